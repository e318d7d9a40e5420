"""Worked examples of lesson faults-2: three combines with one complaint, and a starved machine without a glass."""

from __future__ import annotations

from coldcab.faults import QUANTITIES
from coldcab.lessons.example import Example, example_table
from coldcab.machine import Readings
from coldcab.quantities import PSI
from coldcab.scenario import sick_machines
from coldcab.scenario.showing import shown
from coldcab.words import _

DAY, RPM, COMBINE, TRACTOR = 95.0, 1500.0, 31, 58
READINGS = (
    ("low_gauge", _("low side")),
    ("high_gauge", _("high side")),
    ("superheat_measured", _("superheat")),
    ("drier_drop", _("step over the drier")),
    ("condenser_air_rise", _("air rise over the condenser")),
    ("vent", _("vent air")),
    ("glass", _("glass")),
)
ALIKE = (("charge low", 0.6), ("valve screen plugged", 0.61), ("valve head charge lost", 0.72))
"""Three faults of the tractor at sizes that bring the low gauge to the same place."""
MARKS = {-1: _("lower"), 1: _("higher")}


def run(unit: int, fault: str = "", severity: float = 0.0) -> Readings:
    """Return the readings of a machine on the day of the examples."""
    return sick_machines.run(unit, DAY, RPM, fault, severity)


def value(readings: Readings, name: str) -> str:
    """Return a reading as the instrument shows it, with the other system beside."""
    number = QUANTITIES[name].value(readings)
    if name == "glass":
        return str(readings.glass)
    if name in ("low_gauge", "high_gauge"):
        return shown(f"{round(float(number) / PSI)} psig", "pressure")
    if name == "vent" or name.endswith("line"):
        return shown(f"{sick_machines.fahrenheit(float(number)):g} F", "temperature")
    return shown(f"{round(1.8 * float(number)) + 0:g} F", "temperature difference", decimals=0)


def way(readings: Readings, healthy: Readings, name: str) -> int:
    """Return -1, 0 or 1: a quantity is lower, the same or higher than on the healthy machine."""
    change = float(QUANTITIES[name].value(readings) - QUANTITIES[name].value(healthy))
    return 0 if abs(change) <= QUANTITIES[name].resolved else (1 if change > 0 else -1)


def three_combines() -> Example:
    """Three combines that do not cool, beside the healthy one of the same day."""
    healthy = run(COMBINE)
    sick = [run(COMBINE, fault, 0.8) for fault in ("charge low", "condenser blocked", "heater valve leaking")]
    body = []
    for name, words in READINGS:
        cells = [value(healthy, name)]
        for one in sick:
            mark = MARKS.get(way(one, healthy, name), "")
            cells.append(value(one, name) if name == "glass" or not mark else f"{value(one, name)}, {mark}")
        body.append((words, *cells))
    head = (_("reading"), _("healthy"), _("first"), _("second"), _("third"))
    return example_table(head, body, _("The combine at 95 F, 1,500 rpm, doors open"))


def without_a_glass() -> Example:
    """Three faults of the tractor that starve the evaporator alike: what is left to tell them by."""
    names = ("low_gauge", "high_gauge", "superheat_measured", "subcooling_measured", "drier_drop", "vent", "glass")
    words = dict(READINGS) | {"subcooling_measured": _("subcooling"), "glass": _("glass, if there were one")}
    runs = [run(TRACTOR), *(run(TRACTOR, fault, severity) for fault, severity in ALIKE)]
    body = [(words[name], *(value(one, name) for one in runs)) for name in names]
    head = (_("reading"), _("healthy"), *(fault for fault, _severity in ALIKE))
    return example_table(head, body, _("The tractor at 95 F, 1,500 rpm: three faults, each at a size of its own"))
