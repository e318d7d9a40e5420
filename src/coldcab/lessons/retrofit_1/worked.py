"""Worked examples and tables of lesson retrofit-1: cylinders, air in a container, depth, recovery over time."""

from __future__ import annotations

import math

import numpy as np

from coldcab import air, published, refrigerants, units
from coldcab.instruments.drawing import style
from coldcab.instruments.drawing.line_chart import Curve, Scale, line_chart
from coldcab.lessons.example import Example, example_table
from coldcab.quantities import PSI, STANDARD_ATMOSPHERE
from coldcab.service import changes, depth, identification, law, recovery, retrofit
from coldcab.words import _

NAMES = ("R-12", "R-134a")
IN_CYLINDERS = (*NAMES, "R-1234yf")
GRAVITY_ROWS = (40, 50, 60, 70, 77, *range(80, 150, 5))
"""F; fine enough that a straight line between two rows is good to the third decimal."""


def _kelvin(fahrenheit: float) -> float:
    return float(units.from_unit(float(fahrenheit), "temperature", "F"))


def _pounds(value: float) -> float:
    return float(units.convert(value, "mass", "lb"))


def _gauge(psig: float) -> str:
    """A gauge pressure with the metric one beside."""
    return _("{psig:.0f} psig ({psig_2:.0f} kPa)").format(
        psig=psig, psig_2=units.convert(psig * PSI, "pressure difference", "kPa")
    )


def _celsius(fahrenheit: float) -> str:
    return f"{(fahrenheit - 32) / 1.8:.0f} C"


def specific_gravity() -> Example:
    """Weight of the liquid over that of the same space of water at 60 F, by temperature."""
    body = []
    for fahrenheit in GRAVITY_ROWS:
        gravities = (
            refrigerants.saturation(name, temperature=_kelvin(fahrenheit)).liquid_density / recovery.WATER_60F
            for name in IN_CYLINDERS
        )
        body.append((f"{fahrenheit} F", _celsius(fahrenheit), *(f"{one:.3f}" for one in gravities)))
    caption = _(
        "Specific gravity of the liquid: pounds in one pound of water capacity; between two rows, go in proportion"
    )
    return example_table(("temperature", "metric", *IN_CYLINDERS), body, caption)


def cylinder_step_by_step() -> Example:
    """One invented cylinder from its stamps to the hot truck; each step goes on with the rounded number, as by hand."""

    def gravity(fahrenheit: float) -> float:
        line = refrigerants.saturation("R-134a", temperature=_kelvin(fahrenheit))
        return round(line.liquid_density / recovery.WATER_60F, 3)

    by_space, by_weight = round(0.80 * 38.0 * gravity(77), 1), round(0.60 * 60.0, 1)
    net = min(by_space, by_weight)
    overfilled = 63.0 - 21.5
    share = round(overfilled / 38.0, 3)
    cooler, warmer = 120, 125
    full = cooler + (warmer - cooler) * (gravity(cooler) - share) / (gravity(cooler) - gravity(warmer))
    body = [
        (_("by 80 % of the space at 77 F"), f"0.80 × 38.0 lb × {gravity(77):.3f}", f"{by_space:.1f} lb"),
        (_("by 60 % of the rating"), "0.60 × 60.0 lb", f"{by_weight:.1f} lb"),
        ("allowed by both", "the smaller", f"{net:.1f} lb"),
        (_("stop mark on the scale"), _("{net:.1f} lb + 21.5 lb of tare").format(net=net), f"{net + 21.5:.1f} lb"),
        (_("came out of the machine"), "26.9 lb after - 24.6 lb before", _("2.3 lb, which is 2 lb 4.8 oz")),
        (
            _("level at 120 F, at the stop mark"),
            f"{net:.1f} lb ÷ (38.0 lb × {gravity(120):.3f})",
            f"{net / 38 / gravity(120):.0%}",
        ),
        ("overfilled to 63.0 lb", "63.0 lb - 21.5 lb of tare", f"{overfilled:.1f} lb"),
        (_("full at a specific gravity of"), f"{overfilled:.1f} lb ÷ 38.0 lb", f"{share:.3f}"),
        (
            "liquid-full temperature",
            _("table: {cooler:.3f} at {cooler_2} F, {warmer:.3f} at {warmer_2} F").format(
                cooler=gravity(cooler), cooler_2=cooler, warmer=gravity(warmer), warmer_2=warmer
            ),
            f"about {full:.0f} F ({(full - 32) / 1.8:.0f} C)",
        ),
    ]
    caption = _("R-134a, invented: WC 38.0 lb, TW 21.5 lb, rated for 60.0 lb; scale 24.6 lb before and 26.9 lb after")
    return example_table(("what", "how", "result"), body, caption)


def air_limits() -> Example:
    """Gauge limits for air in a container of recycled refrigerant, R-12 from the law."""
    columns = {
        name: {int(row["temp_F"]): row[column] for row in published.rows(file)}
        for name, (file, column, __) in recovery.TABLES.items()
    }
    body = []
    for fahrenheit in sorted(set().union(*columns.values())):
        shown = (_gauge(float(columns[name][fahrenheit])) if fahrenheit in columns[name] else "" for name in NAMES)
        pure = refrigerants.saturation_pressure("R-12", _kelvin(fahrenheit))
        body.append(
            (f"{fahrenheit} F", _celsius(fahrenheit), *shown, _gauge(round(units.convert(pure, "pressure", "psig"))))
        )
    head = ("air beside it", "metric", "limit, R-12 (law)", "limit, R-134a (recalled)", "pure R-12")
    return example_table(head, body, _("The gauge must show less than the limit. Between two rows, go in proportion"))


def recovery_depths() -> Example:
    """How deep to recover at some altitudes: the vacuum is the same, what is left is not."""
    body = []
    for feet in (0, 2000, 4000, 6000):
        around = float(air.atmospheric_pressure(units.from_unit(float(feet), "length", "ft")))
        found = depth.required_depth(depth.OFF_ROAD, atmosphere=around)
        inches = units.convert(found.vacuum, "pressure difference", "inHg")
        body.append(
            (
                f"{feet:,} ft",
                f"{inches:.1f} inHg",
                f"{units.convert(found.pressure, 'pressure', 'psia'):.1f} psia",
                f"{found.pressure / 1e3:.0f} kPa",
            )
        )
    head = ("altitude", "vacuum, at least", "absolute pressure left", "metric")
    return example_table(head, body, _("Recovery from a motor vehicle or an off-road cab"))


def gas_left_behind() -> Example:
    """What stays in a circuit of 4 L (0.14 cu ft) at 77 F when its gauge shows no pressure, and after recovery."""
    volume, warmth = 4e-3, _kelvin(77)
    deep = depth.required_depth(depth.OFF_ROAD).pressure
    body = []
    for words, pressure in (("gauge shows 0 psig", STANDARD_ATMOSPHERE), (_("after recovery to 4 inHg"), deep)):
        shown = []
        for name in NAMES:
            left = recovery.gas_left(name, volume=volume, temperature=warmth, pressure=pressure)
            shown.append(f"{units.convert(left, 'mass', 'oz'):.2f} oz ({left * 1e3:.0f} g)")
        body.append((words, *shown))
    return example_table(
        ("state", *NAMES), body, _("Gas alone, without what is dissolved in the oil; 4 L of circuit at 77 F")
    )


def facts(*names: str) -> Example:
    """Rows of the law with their value, source, edition and mark."""
    body = []
    for name in names:
        one = law.fact(name)
        body.append((name, one.text, f"{one.value} {one.unit}".strip(), one.citation))
    return example_table(("row", "what it says", "value", "where, edition, mark"), body, law.CURRENT_LAW)


def law_of_today(*topics: str) -> Example:
    """What came or changed since 2016, by topic: what it asks, date, how it was read, what became of it."""
    body = [
        (one.id, one.text, f"{one.source}; {one.edition}", one.status, one.standing)
        for topic in topics
        for one in law.facts(topic)
        if one.standing
    ]
    head = ("row", "what it asks", "rule and date", "how read here", "found about it until November 2026")
    return example_table(head, body, law.CURRENT_LAW)


def what_may_be_changed() -> Example:
    """From which refrigerant to which an old cab may be changed."""
    body = [
        (one.old, one.new, "yes" if one.allowed else "no", "; ".join(one.asks) or one.reason) for one in changes.CHANGES
    ]
    head = ("out", "in", "may be done", "what it asks, or why not")
    return example_table(head, body, _("Changes that a shop is asked for"))


def fittings_of_each() -> Example:
    """Service ports and containers of the three refrigerants of cabs."""
    body = []
    for name in IN_CYLINDERS:
        one = retrofit.fittings(name)
        body.append((name, one.high, one.low, one.container))
    head = ("refrigerant", "high side", "low side", "container")
    return example_table(head, body, _("Sizes from memory, see Sources. No hose of one fits a port of another"))


def findings() -> Example:
    """What an identifier may find and what each finding permits."""
    samples = (
        {"R-12": 1.0},
        {"R-134a": 0.94, "air": 0.06},
        {"R-12": 0.8, "R-134a": 0.2},
        {"R-1234yf": 1.0},
        {"R-134a": 0.7, "hydrocarbon": 0.3},
        {"R-12": 0.7},
    )
    every = [identification.identify(shares) for shares in samples]
    every.append(identification.identify({"R-134a": 1.0}, sealant=True))
    body = []
    for found in every:
        body.append(
            (
                found.name,
                "yes" if found.may_recycle_here else "no",
                "yes, once recycled" if found.may_return else "no",
                found.next_step,
            )
        )
    return example_table(
        ("found", "recycle here", "back into a machine", "next step"), body, _("What each finding permits")
    )


def recovery_over_time() -> Example:
    """Pressure in a machine while it is recovered: three pulls, and what comes back in between."""
    from coldcab.machine.transients import recovery as follow

    run = follow("R-134a", mass=1.2, volume=4.2e-3, displacement=2.5e-4, pulls=3, oil=0.25)
    minutes = run.time / 60.0
    gauge = units.convert(run.pressure - STANDARD_ATMOSPHERE, "pressure difference", "psi")
    needed = units.convert(-depth.required_depth(depth.OFF_ROAD).vacuum, "pressure difference", "psi")
    back = [units.convert(one - STANDARD_ATMOSPHERE, "pressure difference", "psi") for one in run.rebounds]
    told = _(
        "Chart of the pressure in an invented machine with 1.2 kg of R-134a while it is recovered. The first pull "
        "takes {minutes:.0f} minutes. Each time the pump rests for 5 minutes, the pressure comes back: to "
        "{first:+.1f} psi, then {second:+.1f} psi, then {third:+.1f} psi against the air. Gas leaves the oil and "
        "cold liquid warms up."
    ).format(minutes=run.stops[0] / 60, first=back[0], second=back[1], third=back[2])
    end = 10.0 * math.ceil(minutes[-1] / 10.0)
    resting = np.flatnonzero(~run.pumping)[::8]
    curves = (
        Curve(_("pressure in the machine"), minutes.tolist(), gauge.tolist(), style.LOW),
        Curve(_("pump shut off"), minutes[resting].tolist(), gauge[resting].tolist(), style.HIGH, dots=True),
        Curve(_("required: 4 inHg vacuum"), [0.0, end], [needed, needed], style.INK, "9 5"),
    )
    top = 20.0 * math.ceil(float(gauge.max()) / 20.0)
    across = Scale(0.0, end, 10.0 if end > 30 else 5.0, _("minutes"))
    up = Scale(-20.0, top, 20.0, _("gauge, psig (below zero: vacuum)"))
    return Example(told, line_chart(_("Recovery over time"), told, across, up, curves))
