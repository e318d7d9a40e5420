"""Worked examples of the capstone: readings beside the healthy machine, oil, night and pump, the scale."""

from __future__ import annotations

from typing import Any

from coldcab.lessons.example import Example, example_table
from coldcab.quantities import FREEZING
from coldcab.words import _

FAULTS = (
    "charge low",
    "charge high",
    "air in the circuit",
    "worn compressor",
    "valve screen plugged",
    "drier restricted",
    "condenser blocked",
)
EXAMPLE_UNIT, EXAMPLE_DAY, EXAMPLE_RPM = 31, 95.0, 1500.0


def _against(now: float, healthy: float, least: float) -> str:
    """In a word, where a reading lies beside the healthy one; ``least`` is what counts as a difference."""
    if abs(now - healthy) < least:
        return _("as healthy")
    return _("higher") if now > healthy else _("lower")


def readings_beside_the_healthy() -> Example:
    """What each fault does to the readings of one machine, in words, beside the healthy one of the same day."""
    from coldcab.scenario import sick_machines

    names = ("low_gauge", "high_gauge", "drier_in", "drier_out", "condenser_air_in", "condenser_air_out", "glass")

    def seen(fault: str) -> dict[str, Any]:
        readings = sick_machines.run(EXAMPLE_UNIT, EXAMPLE_DAY, EXAMPLE_RPM, fault, 1.0 if fault else 0.0)
        return dict(sick_machines.note(readings, *names, "standing_pressure"))

    healthy, body = seen(""), []
    for fault in FAULTS:
        now = seen(fault)
        rise, drop = (
            [one[a] - one[b] for one in (now, healthy)]
            for a, b in (("condenser_air_out", "condenser_air_in"), ("drier_in", "drier_out"))
        )
        body.append(
            (
                fault,
                _against(now["low_gauge"], healthy["low_gauge"], 4.0),
                _against(now["high_gauge"], healthy["high_gauge"], 8.0),
                _("colder behind it") if drop[0] - drop[1] >= 6.0 else _("no drop"),
                _("hotter") if rise[0] - rise[1] >= 8.0 else _("not hotter"),
                str(now["glass"]),
                _against(now["standing_pressure"], healthy["standing_pressure"], 4.0),
            )
        )
    head = (
        _("fault"),
        _("low side"),
        _("high side"),
        _("drier"),
        _("air behind the condenser"),
        _("glass"),
        _("pressure after a night"),
    )
    return example_table(
        head, body, _("Unit 31, the combine, on R-134a, 95 F (35.0 C): severe faults beside the healthy machine")
    )


def oil_of_a_job() -> Example:
    """The oil books of one invented job, line by line."""
    sheet, walls, brought = 8.5, 0.3, 3.1
    left = (("old compressor", 2.6), ("old drier", 0.8), ("condenser", 1.2), ("with the flush", 3.6))
    total = sum(amount for _name, amount in left)
    body = [(_("left: {name}").format(name=name), f"{amount:.1f} fl oz") for name, amount in left]
    body += [
        (_("left together"), f"{total:.1f} fl oz"),
        (_("stayed on the walls"), f"{sheet:.1f} − {total:.1f} = {walls:.1f} fl oz"),
        (_("the new compressor brought"), f"{brought:.1f} fl oz"),
        (_("to pour in"), f"{total:.1f} − {brought:.1f} = {total - brought:.1f} fl oz"),
        (_("inside now"), f"{walls:.1f} + {brought:.1f} + {total - brought:.1f} = {sheet:.1f} fl oz"),
    ]
    return example_table((_("oil"), _("amount")), body, _("An invented job, data sheet 8.5 fl oz"))


def night_and_pump() -> Example:
    """A night under nitrogen, worked out, and what four rises of a micron gauge say."""
    from coldcab import units
    from coldcab.assess.reading import SEA_LEVEL
    from coldcab.service import leak_test

    evening, morning = (units.from_unit(one, "temperature", "F") for one in (90.0, 65.0))
    start = units.from_unit(130.0, "pressure", "psig", atmosphere=SEA_LEVEL)
    expected = float(leak_test.corrected_pressure(start, evening, morning))
    shown = units.convert(expected, "pressure", "psig", atmosphere=SEA_LEVEL)
    body = [
        (_("evening"), _("130 psig, 90 F: 144.7 psia, 549.7 degrees from absolute zero")),
        (_("morning, if tight"), f"144.7 × 524.7 ÷ 549.7 = {shown + 14.7:.1f} psia, {shown:.1f} psig"),
        (_("gauge in the morning 123 psig"), _("the cold explains it: go on to the pump")),
        (_("gauge in the morning 116 psig"), _("7 psi more than the cold explains: nitrogen and soap")),
        (_("350, 400, 420, 430 micron"), _("rises little and stands: dry and tight")),
        (_("350, 9,000, 16,000, 17,800 micron"), _("stops where water boils: water is inside, pump on, warm it")),
        (_("350, 950, 1,550, 2,150 micron"), _("straight line after a night that held: pump, hoses, their valves")),
        (_("29 inHg on the low gauge"), _("says nothing of water: fit a micron gauge")),
    ]
    return example_table(
        (_("reading"), _("what follows")), body, _("A night at sea level, then the pump at 70 F; five minutes apart")
    )


def scale_of_a_job() -> Example:
    """When to stop the charge, for a conversion and for a machine that keeps its refrigerant."""
    body = [
        (_("data sheet"), _("42 oz of R-12, will run on R-134a"), _("55 oz of R-134a, stays on it")),
        (_("charge to start with"), f"0.80 × 42 oz = {0.8 * 42:.1f} oz", "55.0 oz"),
        (_("stays in the hose"), "2.0 oz", "2.0 oz"),
        (_("cylinder before"), "400.0 oz", "400.0 oz"),
        (
            _("scale at the stop"),
            f"400.0 − {0.8 * 42:.1f} − 2.0 = {400 - 0.8 * 42 - 2:.1f} oz",
            f"400.0 − 55.0 − 2.0 = {400 - 55 - 2:.1f} oz",
        ),
    ]
    return example_table((_("what"), _("conversion"), _("same refrigerant")), body, _("Two invented jobs"))


def water_vapor_pressure() -> Example:
    """Pressure at which water boils, from a cold morning to a hot day."""
    from coldcab import units
    from coldcab.service.evacuation import boiling_pressure

    body = []
    for fahrenheit in (40, 50, 60, 70, 80, 84, 88, 92, 95, 98, 102, 106, 110):
        kelvin = units.from_unit(fahrenheit, "temperature", "F")
        pressure = float(boiling_pressure(kelvin))
        body.append(
            (
                f"{fahrenheit} F ({kelvin - FREEZING:.1f} C)",
                f"{units.convert(pressure, 'pressure', 'inHg abs'):.2f} inHg",
                f"{units.convert(pressure, 'pressure', 'micron'):,.0f} micron",
                f"{pressure / 1e3:.2f} kPa",
            )
        )
    head = (_("water at"), _("boils at or below"), _("on a micron gauge"), _("metric"))
    return example_table(head, body, _("Vapor pressure of water, absolute"))
