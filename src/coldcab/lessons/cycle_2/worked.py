"""Worked examples of lesson cycle-2: textbook cycles, and one machine step by step."""

from __future__ import annotations

import json

from coldcab import air, cycle, published, refrigerants, units
from coldcab.lessons.example import Example, example_table
from coldcab.quantities import FREEZING
from coldcab.refrigerants.states import State
from coldcab.words import _

TON_OF_REFRIGERATION = 211_000 / 60
"""W; the textbooks quoted here use 211 kJ/min."""


def _cycle(row: dict[str, str]) -> tuple[dict[str, float], dict[str, float]]:
    """Published and computed figures of one textbook cycle, as far as both exist."""
    given, printed = json.loads(row["inputs_json"]), json.loads(row["published_json"])
    name = row["fluid"].replace("R", "R-", 1)
    sides: dict[str, float] = {}
    for side, short in (("evaporating", "evap"), ("condensing", "cond")):
        if f"T_{short}_C" in given:
            sides[f"{side}_temperature"] = given[f"T_{short}_C"] + FREEZING
        else:
            megapascal, bar = given.get(f"p_{short}_MPa"), given.get(f"p_{short}_bar")
            sides[f"{side}_pressure"] = megapascal * 1e6 if megapascal else bar * 1e5
    if "T_liq_C" in given:
        saturation = refrigerants.saturation_temperature(name, sides["condensing_pressure"])
        sides["subcooling"] = saturation - (given["T_liq_C"] + FREEZING)
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
    return example_table(("textbook", "quantity", "printed", "this course", "apart"), body, "Worked cycles with R-134a")


def one_machine_step_by_step() -> Example:
    """One invented machine from four readings to its capacity, with every conversion on the way."""
    atmosphere = air.atmospheric_pressure(units.from_unit(3000, "length", "ft"))
    low, high = (units.from_unit(psig, "pressure", "psig", atmosphere=atmosphere) for psig in (31, 185))
    suction, liquid = (units.from_unit(fahrenheit, "temperature", "F") for fahrenheit in (56, 110))
    inlet = refrigerants.state("R-134a", pressure=low, temperature=suction)
    ideal = refrigerants.state("R-134a", pressure=high, entropy=inlet.entropy)
    valve = refrigerants.state("R-134a", pressure=high, temperature=liquid)
    work = (ideal.enthalpy - inlet.enthalpy) / 0.62
    real = refrigerants.state("R-134a", pressure=high, enthalpy=inlet.enthalpy + work)
    effect = inlet.enthalpy - valve.enthalpy
    body = [
        (_("air pressure at 3,000 ft"), _("table of air pressures"), _psia(atmosphere)),
        ("low side", f"31 psig + {_psia(atmosphere)}", _psia(low)),
        ("high side", f"185 psig + {_psia(atmosphere)}", _psia(high)),
        ("compression ratio", f"{_psia(high)} ÷ {_psia(low)}", f"{high / low:.2f}"),
        *_effect_and_work(inlet, ideal, real, valve),
        ("cooling COP", _("refrigerating effect ÷ real work"), f"{effect / work:.2f}"),
        *_flow_and_power(inlet, effect, work),
    ]
    caption = _(
        "An orchard sprayer, R-134a, 3,000 ft, invented: 31 and 185 psig, suction line 56 F, "
        "liquid line 110 F, engine 1,500 rpm, pulley ratio 1.40, 6.59 cu in (108 cm3) a turn, "
        "isentropic efficiency 62 %, volumetric 72 %"
    )
    return example_table(("what", "how", "result"), body, caption)


def _psia(pressure: float) -> str:
    return f"{units.convert(pressure, 'pressure', 'psia'):.1f} psia"


def _btu(enthalpy: float) -> str:
    return f"{units.convert(enthalpy, 'specific energy', 'Btu/lb'):.1f}"


def _effect_and_work(inlet: State, ideal: State, real: State, valve: State) -> list[tuple[str, str, str]]:
    """Rows from the enthalpies at the corners to effect, work and the temperature of the discharge."""
    low, high = _psia(inlet.pressure), _psia(real.pressure)
    reader = _("reader: {pressure} and {second}")
    at_inlet, at_valve, at_ideal, at_real = (_btu(one.enthalpy) for one in (inlet, valve, ideal, real))
    effect, ideal_work = inlet.enthalpy - valve.enthalpy, ideal.enthalpy - inlet.enthalpy
    work = ideal_work / 0.62
    return [
        ("enthalpy at 1", reader.format(pressure=low, second="56 F"), f"{at_inlet} Btu/lb"),
        ("enthalpy at 3", reader.format(pressure=high, second="110 F"), f"{at_valve} Btu/lb"),
        ("refrigerating effect", f"{at_inlet} - {at_valve}", units.show(effect, "specific energy")),
        (
            "enthalpy at 2, ideal",
            _("reader: {pressure} and the entropy of 1").format(pressure=high),
            f"{at_ideal} Btu/lb",
        ),
        ("ideal work", f"{at_ideal} - {at_inlet}", units.show(ideal_work, "specific energy")),
        ("real work", "ideal work ÷ 0.62", units.show(work, "specific energy")),
        ("enthalpy at 2, real", f"{at_inlet} + {_btu(work)}", f"{at_real} Btu/lb"),
        (
            "discharge temperature",
            reader.format(pressure=high, second=f"{at_real} Btu/lb"),
            units.show(real.temperature, "temperature"),
        ),
    ]


def _flow_and_power(inlet: State, effect: float, work: float) -> list[tuple[str, str, str]]:
    """Rows from the compressor's turns to mass flow, capacity and power."""
    displacement, speed = 108e-6, units.from_unit(1500 * 1.4, "rotational speed", "rpm")
    flow = cycle.mass_flow(displacement, speed, 0.72, inlet.density)
    swept = units.convert(displacement * speed, "volume flow", "cfm") * 60
    density = units.convert(inlet.density, "density", "lb/cu ft")
    return [
        (
            _("turns of the compressor"),
            "1,500 rpm × 1.40 × 60 min/h",
            _("{turns:,.0f} turns an hour").format(turns=speed * 3600),
        ),
        (
            "swept volume",
            _("{speed:,.0f} × {displacement:.2f} cu in ÷ 1,728").format(
                speed=speed * 3600, displacement=displacement / 1.6387064e-05
            ),
            _("{volume:,.0f} cu ft an hour").format(volume=swept),
        ),
        (
            "mass flow",
            _("swept volume × 0.72 × {density:.3f} lb/cu ft").format(density=density),
            units.show(flow, "mass flow"),
        ),
        ("cooling capacity", _("mass flow × refrigerating effect"), units.show(flow * effect, "power")),
        (
            "compressor power",
            _("mass flow × real work; 1 hp is 2,545 Btu/h"),
            _("{flow:.2f} hp ({flow_2:.2f} kW)").format(
                flow=units.convert(flow * work, "power", "hp"), flow_2=flow * work / 1000.0
            ),
        ),
    ]
