"""Worked examples of the unit cycle."""

from __future__ import annotations

import json

import numpy as np

from coldcab import air, cycle, published, refrigerants, units
from coldcab.worked.example import Example, table

SEA_LEVEL = 101_325.0
TON_OF_REFRIGERATION = 211_000 / 60
"""W; the textbooks quoted here use 211 kJ/min."""


def air_pressure_table() -> Example:
    """Air pressure against altitude in the units of the three kinds of gauge (ISO 2533)."""
    body = []
    for feet in range(0, 10_001, 1000):
        pressure = air.atmospheric_pressure(units.from_unit(feet, "length", "ft"))
        body.append(
            (
                f"{feet:,} ft",
                f"{units.convert(pressure, 'pressure', 'psia'):.2f} psi",
                f"{units.convert(pressure, 'pressure', 'inHg abs'):.2f} inHg",
                f"{pressure / 1e3:.1f} kPa",
            )
        )
    head = ("altitude", "air pressure", "in mercury", "metric")
    return table(head, body, "Air pressure of the standard atmosphere; between two rows, go in proportion")


def _tank_rows() -> list[tuple[float, float, float]]:
    """Temperature (F), published limit (psig) and the course's saturation pressure (psig at sea level)."""
    found = []
    for row in published.rows("ncg_r12"):
        fahrenheit = float(row["temp_F"])
        pressure = refrigerants.saturation_pressure("R-12", units.from_unit(fahrenheit, "temperature", "F"))
        shown = units.convert(pressure, "pressure", "psig", atmosphere=SEA_LEVEL)
        found.append((fahrenheit, float(row["limit_psig"]), shown))
    return found


def tank_pressure_table(every: int = 4) -> Example:
    """Published R-12 container limits beside the saturation pressure, every so many rows.

    Source: 40 CFR Part 82 Subpart B Appendix A, section 5.4, Table 1 (edition of 2015).
    """
    body = [
        (f"{fahrenheit:.0f} F", f"{limit:.0f} psig", f"{shown:.1f} psig", f"{limit - shown:.1f} psi")
        for fahrenheit, limit, shown in _tank_rows()[::every]
    ]
    head = ("temperature", "limit printed in the law", "saturation, this course", "allowance for air")
    return table(head, body, "R-12 in a container, gauge at sea level")


def tank_pressure_chart() -> Example:
    """The same table as a picture, with R-134a for comparison."""
    from io import BytesIO

    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    rows = _tank_rows()
    fahrenheit = [row[0] for row in rows]
    figure = Figure(figsize=(7.2, 4.2), dpi=110, layout="constrained")
    axes = figure.add_subplot(xlabel="container temperature, F", ylabel="gauge at sea level, psig")
    axes.plot(
        fahrenheit,
        [row[1] for row in rows],
        "o",
        color="#1d2a33",
        ms=4,
        label="limit for R-12 printed in the law",
    )
    axes.plot(fahrenheit, [row[2] for row in rows], "-", color="#1b5e8a", lw=2, label="R-12 saturation, this course")
    other = refrigerants.saturation_pressure("R-134a", units.from_unit(np.array(fahrenheit), "temperature", "F"))
    axes.plot(
        fahrenheit,
        units.convert(other, "pressure", "psig", atmosphere=SEA_LEVEL),
        "--",
        color="#8a4b00",
        lw=2,
        label="R-134a saturation, this course",
    )
    axes.legend(frameon=False)
    axes.grid(color="#cfd8dc", lw=0.6)
    axes.spines[["top", "right"]].set_visible(False)
    picture = BytesIO()
    FigureCanvasAgg(figure).print_png(picture, metadata={"Software": None})
    allowance = [limit - shown for _, limit, shown in rows]
    return Example(
        f"Chart of gauge pressure against container temperature from {fahrenheit[0]:.0f} to {fahrenheit[-1]:.0f} F. "
        f"The printed limits for R-12 run {min(allowance):.0f} to {max(allowance):.0f} psi above the R-12 saturation "
        "line. The R-134a line is the steeper one.",
        png=picture.getvalue(),
    )


def _cycle(row: dict[str, str]) -> tuple[dict[str, float], dict[str, float]]:
    """Published and computed figures of one textbook cycle, as far as both exist."""
    given, printed = json.loads(row["inputs_json"]), json.loads(row["published_json"])
    name = row["fluid"].replace("R", "R-", 1)
    sides: dict[str, float] = {}
    for side, short in (("evaporating", "evap"), ("condensing", "cond")):
        if f"T_{short}_C" in given:
            sides[f"{side}_temperature"] = given[f"T_{short}_C"] + 273.15
        else:
            megapascal, bar = given.get(f"p_{short}_MPa"), given.get(f"p_{short}_bar")
            sides[f"{side}_pressure"] = megapascal * 1e6 if megapascal else bar * 1e5
    if "T_liq_C" in given:
        saturation = refrigerants.saturation_temperature(name, sides["condensing_pressure"])
        sides["subcooling"] = saturation - (given["T_liq_C"] + 273.15)
    result = cycle.vapor_compression(
        name, **sides, isentropic_efficiency=given.get("eta_is", 1.0), mass_flow=given.get("m_kg_s")
    )
    computed = {"COP": result.cop}
    if result.capacity is not None:
        computed |= {"cooling, kW": result.capacity / 1e3, "power, kW": result.power / 1e3}
    stated = {"COP": printed.get("COP")}
    stated["cooling, kW"] = (
        printed["Q_ton"] * TON_OF_REFRIGERATION / 1e3 if "Q_ton" in printed else printed.get("QL_kW")
    )
    stated["power, kW"] = printed.get("W_kW")
    return {key: value for key, value in stated.items() if value is not None}, computed


TEXTBOOK_CYCLES = ("CB11.1", "BS11.6", "MS10.1", "MS10.3")
"""Textbook examples shown in lesson cycle-2, by their name in the table cycle_problems."""


def textbook_cycles() -> Example:
    """Published answers of R-134a textbook cycles beside the ones computed here."""
    body = []
    for row in published.rows("cycle_problems"):
        if row["id"] not in TEXTBOOK_CYCLES:
            continue
        stated, computed = _cycle(row)
        book = row["source"].split("): ", 1)[1].split(" (also")[0]
        for quantity, value in stated.items():
            if quantity in computed:
                apart = computed[quantity] / value - 1
                body.append((book, quantity, f"{value:.2f}", f"{computed[quantity]:.2f}", f"{apart:+.1%}"))
                book = ""
    return table(("textbook", "quantity", "printed", "this course", "apart"), body, "Worked cycles with R-134a")
