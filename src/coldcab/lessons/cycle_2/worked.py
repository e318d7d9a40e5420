"""Worked examples of lesson cycle-2: a sprayer before and after lunch, compressors, refrigerants, sick loops."""

from __future__ import annotations

from coldcab import air, cycle, refrigerants, units
from coldcab.faults import Fault
from coldcab.lessons.cycle_2.numbers import GOOD_EFFICIENCY, expected_discharge
from coldcab.lessons.example import Example, example_table
from coldcab.machine import Conditions, nominal_charge, simulate
from coldcab.machine.fleet import FLEET
from coldcab.words import _

PSI = 6894.757293168


def before_and_after_lunch() -> Example:
    """One invented sprayer by gauges and clips, in the morning and after lunch, every step on the way."""
    name, altitude = "R-134a", units.from_unit(3000, "length", "ft")
    atmosphere = air.atmospheric_pressure(altitude)
    days = [
        _day(name, atmosphere, 31, high, 56, liquid, outside)
        for outside, high, liquid in ((80, 160, 108), (102, 230, 131))
    ]
    rows = [
        (_("outside air"), _("thermometer in the shade"), *(f"{one['outside']:.0f} F" for one in days)),
        (_("low side"), _("gauge, plus 13.2 psi of air at 3,000 ft"), *(one["low"] for one in days)),
        (_("high side"), _("gauge, plus 13.2 psi"), *(one["high"] for one in days)),
        (_("evaporating"), _("gauge pair, at 3,000 ft"), *(f"{one['evaporating']:.0f} F" for one in days)),
        (_("condensing"), _("gauge pair, at 3,000 ft"), *(f"{one['condensing']:.0f} F" for one in days)),
        (
            _("condensing less outside air"),
            _("says whether the condenser is well"),
            *(f"{one['condensing'] - one['outside']:.0f} F" for one in days),
        ),
        (_("superheat"), _("suction line less evaporating"), *(f"{one['superheat']:.0f} F" for one in days)),
        (_("subcooling"), _("condensing less liquid line"), *(f"{one['subcooling']:.0f} F" for one in days)),
        (_("heat for each pound"), _("chart, from 4 to 1"), *(_btu(one["effect"]) for one in days)),
        (_("work for each pound"), _("chart, from 1 to 2, 65 %"), *(_btu(one["work"]) for one in days)),
        (_("discharge"), _("chart, point 2"), *(f"{one['discharge']:.0f} F" for one in days)),
    ]
    lost = 1.0 - days[1]["effect"] / days[0]["effect"]
    first, second = (units.convert(one["effect"], "specific energy", "Btu/lb") for one in days)
    rows.append((_("lost"), f"({first:.1f} - {second:.1f}) ÷ {first:.1f}", "", f"{lost:.0%}"))
    caption = _("An orchard sprayer, R-134a, 3,000 ft, invented; suction line 56 F both times")
    return example_table((_("what"), _("how"), _("at eight"), _("at two")), rows, caption)


def _day(
    name: str, atmosphere: float, low: float, high: float, suction: float, liquid: float, outside: float
) -> dict[str, float]:
    """Readings of one hour brought to the chart; gauges in psig, temperatures in F, heat in J/kg."""
    pressures = [units.from_unit(one, "pressure", "psig", atmosphere=atmosphere) for one in (low, high)]
    evaporating, condensing = (
        units.convert(refrigerants.saturation_temperature(name, one), "temperature", "F") for one in pressures
    )
    loop = cycle.vapor_compression(
        name,
        evaporating_pressure=pressures[0],
        condensing_pressure=pressures[1],
        superheat=(suction - evaporating) / 1.8,
        subcooling=(condensing - liquid) / 1.8,
        isentropic_efficiency=GOOD_EFFICIENCY,
    )
    return {
        "outside": outside,
        "low": f"{low:g} psig, {pressures[0] / PSI:.1f} psia",
        "high": f"{high:g} psig, {pressures[1] / PSI:.1f} psia",
        "evaporating": evaporating,
        "condensing": condensing,
        "superheat": suction - evaporating,
        "subcooling": condensing - liquid,
        "effect": loop.refrigerating_effect,
        "work": loop.compressor_work,
        "discharge": units.convert(loop.discharge_temperature, "temperature", "F"),
    }


def _btu(enthalpy: float) -> str:
    return units.show(enthalpy, "specific energy")


BY_THE_CHART = (
    ("R-12", 38, 142, 20, 214),
    ("R-134a", 35, 130, 15, 226),
    ("R-1234yf", 36, 138, 18, 206),
    ("R-134a", 40, 135, 0, 132),
    ("R-1234yf", 34, 128, 22, 162),
)
"""Refrigerant, evaporating, condensing, superheat, what the clip on the discharge line shows; F, invented."""


def compressors_by_the_chart() -> Example:
    """Five invented compressors: what the clip shows, what the chart says, what the shop's rule makes of it."""
    body = []
    for name, low, high, superheat, shows in BY_THE_CHART:
        chart = expected_discharge(name, low, high, superheat)
        off = shows - chart
        wet = superheat < 4 and shows <= high + 5
        verdict = _("worn: test it") if off > 20 else _("liquid comes back: stop") if wet else _("good")
        body.append(
            (name, f"{low} F", f"{high} F", f"{superheat} F", f"{chart:.0f} F", f"{shows} F", f"{off:+.0f} F", verdict)
        )
    head = ("refrigerant", "evaporating", "condensing", "superheat", "chart, 65 %", "clip", "apart", "verdict")
    return example_table(head, body, _("Five compressors by the chart, invented"))


def three_refrigerants() -> Example:
    """The same compressor and the same temperatures with R-12, R-134a and R-1234yf."""
    body = []
    for name in ("R-12", "R-134a", "R-1234yf"):
        low, high = (units.from_unit(one, "temperature", "F") for one in (35, 140))
        loop = cycle.vapor_compression(
            name,
            evaporating_temperature=low,
            condensing_temperature=high,
            superheat=15 / 1.8,
            subcooling=5 / 1.8,
            isentropic_efficiency=GOOD_EFFICIENCY,
        )
        speed = units.from_unit(2000, "rotational speed", "rpm")
        flow = cycle.mass_flow(165e-6, speed, 0.65, loop.states[0].density)
        gauges = " / ".join(
            f"{units.convert(one, 'pressure', 'psig'):.0f}"
            for one in (loop.evaporating_pressure, loop.condensing_pressure)
        )
        body.append(
            (
                name,
                f"{gauges} psig",
                f"{loop.compression_ratio:.1f}",
                _btu(loop.refrigerating_effect),
                units.show(flow, "mass flow"),
                units.show(flow * loop.refrigerating_effect, "power"),
                units.show(loop.discharge_temperature, "temperature"),
            )
        )
    head = ("refrigerant", "gauges", "ratio", "heat for each pound", "goes round", "cooling", "discharge")
    caption = _(
        "Evaporating 35 F, condensing 140 F, superheat 15 F, subcooling 5 F; 10.1 cu in a turn, 2,000 rpm, 65 %"
    )
    return example_table(head, body, caption)


SICK = (
    (_("healthy"), 1.0, ()),
    (_("60 % of the charge"), 0.6, ()),
    (_("condenser half blocked"), 1.0, (Fault("condenser blocked", 0.6),)),
    (_("150 % of the charge"), 1.5, ()),
    (_("worn compressor"), 1.0, (Fault("worn compressor", 0.45),)),
    (_("valve stuck open"), 1.0, (Fault("valve stuck open", 0.6),)),
    (_("little air in the cab"), 1.0, (Fault("low evaporator air", 0.8),)),
)
"""What is wrong, share of the charge, faults."""


def sick_loops() -> Example:
    """The loop of one machine, healthy and sick, by this course's model; and healthy on a hotter day."""
    runs = [(name, 95.0, _solved(95.0, share, faults)) for name, share, faults in SICK]
    runs.append((_("healthy, a hotter day"), 105.0, _solved(105.0, 1.0, ())))
    body = []
    for name, outside, run in runs:
        low, high, suction, discharge = (
            units.convert(one, "temperature", "F")
            for one in (
                run.low_saturation_temperature,
                run.high_saturation_temperature,
                run.suction_line_at_compressor,
                run.discharge_line,
            )
        )
        chart = expected_discharge("R-134a", low, high, max(suction - low, 0.0))
        body.append(
            (
                name,
                f"{outside:.0f} F",
                f"{low:.0f} F",
                f"{high:.0f} F",
                f"{high - outside:.0f} F",
                f"{max(suction - low, 0.0):.0f} F",
                f"{max(run.subcooling_measured, 0.0) * 1.8:.0f} F",
                f"{discharge:.0f} F",
                f"{round(discharge - chart):+d} F",
                units.show(run.capacity, "power"),
            )
        )
    head = (
        "what is wrong",
        "outside",
        "evaporating",
        "condensing",
        "less outside",
        "superheat",
        "subcooling",
        "discharge",
        "off the chart",
        "cooling",
    )
    return example_table(head, body, _("Unit 58, the tractor, R-134a, doors open, by this course's model"))


def _solved(outside: float, share: float, faults: tuple[Fault, ...]):
    machine, warm = FLEET[58], units.from_unit(outside, "temperature", "F")
    day = Conditions(ambient=warm, relative_humidity=0.4, inlet_temperature=warm, inlet_relative_humidity=0.4)
    charge = share * nominal_charge(machine, "R-134a")
    return simulate(machine, day, refrigerant="R-134a", charge=charge, faults=faults)
