"""Worked examples and tables of lesson cycle-1."""

from __future__ import annotations

import numpy as np

from coldcab import air, published, refrigerants, units
from coldcab.instruments.drawing import style
from coldcab.instruments.drawing.line_chart import Curve, Scale, line_chart
from coldcab.lessons.cycle_1.numbers import NEAR_TABLE
from coldcab.lessons.example import Example, example_table
from coldcab.quantities import STANDARD_ATMOSPHERE as SEA_LEVEL
from coldcab.words import _


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
    return example_table(head, body, _("Air pressure of the standard atmosphere; between two rows, go in proportion"))


def tank_rows() -> list[tuple[float, float, float]]:
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
        for fahrenheit, limit, shown in tank_rows()[::every]
    ]
    head = ("temperature", _("limit printed in the law"), "saturation, this course", "allowance for air")
    return example_table(head, body, _("R-12 in a container, gauge at sea level"))


def tank_pressure_chart() -> Example:
    """The same table as a picture, with R-134a and R-1234yf beside it."""
    rows = tank_rows()
    fahrenheit = [row[0] for row in rows]
    curves = [
        Curve(_("limit for R-12 printed in the law"), fahrenheit, [row[1] for row in rows], style.INK, dots=True),
        Curve(_("R-12 saturation, this course"), fahrenheit, [row[2] for row in rows], style.SECOND),
    ]
    for name, dash, color in (("R-134a", "9 5", style.FIRST), ("R-1234yf", "2 5", style.AIR)):
        other = refrigerants.saturation_pressure(name, units.from_unit(np.array(fahrenheit), "temperature", "F"))
        shown = units.convert(other, "pressure", "psig", atmosphere=SEA_LEVEL)
        words = _("{name} saturation, this course").format(name=name)
        curves.append(Curve(words, fahrenheit, shown.tolist(), color, dash))
    allowance = [row[1] - row[2] for row in rows]
    told = _(
        "Chart of gauge pressure against container temperature from {coldest:.0f} to {warmest:.0f} F. The printed "
        "limits for R-12 run {least:.0f} to {most:.0f} psi above the R-12 saturation line. The lines of R-134a "
        "and R-1234yf run close together; R-134a is the steeper one."
    ).format(coldest=fahrenheit[0], warmest=fahrenheit[-1], least=min(allowance), most=max(allowance))
    across = Scale(60, 120, 10, _("container temperature, F"))
    up = Scale(40, 180, 20, _("gauge at sea level, psig"))
    return Example(told, line_chart(_("R-12 in a container"), told, across, up, curves))


def parked_step_by_step() -> Example:
    """Three parked machines of one yard, each with its own refrigerant: table, gauge expected, what the gauge says."""
    atmosphere = air.atmospheric_pressure(units.from_unit(5000, "length", "ft"))
    around = round(units.convert(atmosphere, "pressure", "psia"), 2)
    machines = (
        (_("the old loader"), "R-12", 78, 81),
        (_("the converted combine"), "R-134a", 74, 51),
        (_("the new sprayer"), "R-1234yf", 86, 121),
    )
    verdicts = {
        -1: _("below: no liquid left, find the leak"),
        0: _("agrees: some liquid is left, not how much"),
        1: _("above: air or another gas, identify first"),
    }
    body = []
    for name, refrigerant, fahrenheit, gauge in machines:
        kelvin = units.from_unit(fahrenheit, "temperature", "F")
        psia = round(units.convert(refrigerants.saturation_pressure(refrigerant, kelvin), "pressure", "psia"), 1)
        expected = round(psia - around, 1)
        away = gauge - expected
        body.append(
            (
                name,
                f"{refrigerant}, {fahrenheit} F",
                f"{psia:.1f} psia",
                f"{psia:.1f} − {around:.2f} = {expected:.1f} psig",
                f"{gauge} psig",
                verdicts[0 if abs(away) <= NEAR_TABLE else 1 if away > 0 else -1],
            )
        )
    head = (_("machine"), _("label, thermometer"), _("table"), _("gauge expected here"), _("gauge read"), _("so"))
    return example_table(
        head, body, _("A yard at 5,000 ft, air {around:.2f} psi; all stood overnight; invented").format(around=around)
    )


def yard_step_by_step() -> Example:
    """Absolute pressure, vacuum, saturation, air in a cylinder, standing pressure: one invented yard, as by hand."""
    atmosphere = air.atmospheric_pressure(units.from_unit(5000, "length", "ft"))
    around = round(units.convert(atmosphere, "pressure", "psia"), 2)
    inches = round(units.convert(atmosphere, "pressure", "inHg abs"), 2)

    def table_psia(name: str, fahrenheit: float) -> float:
        kelvin = units.from_unit(fahrenheit, "temperature", "F")
        return round(units.convert(refrigerants.saturation_pressure(name, kelvin), "pressure", "psia"), 1)

    low = round(28 + around, 1)
    boils = refrigerants.saturation_temperature("R-12", units.from_unit(low, "pressure", "psia"))
    inside, pure, parked = round(132 + around, 1), table_psia("R-134a", 95), table_psia("R-12", 70)
    body = [
        ("low side, absolute", _("28 psig + {around:.2f} psi of air").format(around=around), f"{low:.1f} psia"),
        ("R-12 is saturated at", f"reader: R-12, {low:.1f} psia", f"{units.convert(boils, 'temperature', 'F'):.1f} F"),
        ("18 inHg vacuum leaves", f"{inches:.2f} − 18", f"{inches - 18:.1f} inHg abs"),
        ("cylinder, absolute", _("132 psig + {around:.2f} psi of air").format(around=around), f"{inside:.1f} psia"),
        ("pure R-134a at 95 F", "reader: R-134a, 95 F", f"{pure:.1f} psia"),
        (_("air pressure in the cylinder"), f"{inside:.1f} − {pure:.1f}", f"{inside - pure:.1f} psi"),
        ("parked, R-12 at 70 F", "reader: R-12, 70 F", f"{parked:.1f} psia"),
        (
            _("standing pressure, on the gauge"),
            _("{parked:.1f} − {around:.2f} psi of air").format(parked=parked, around=around),
            f"{parked - around:.1f} psig",
        ),
    ]
    caption = _(
        "5,000 ft: gauge at 28 psig, later at 18 inHg vacuum; R-134a cylinder at 95 F and 132 psig; R-12 parked at 70 F"
    )
    return example_table(("what", "how", "result"), body, caption)
