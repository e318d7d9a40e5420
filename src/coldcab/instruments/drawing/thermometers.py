"""A row of thermometers, at the places where a technician clips them on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab import units
from coldcab.faults import observables
from coldcab.instruments.drawing import style, svg
from coldcab.words import _

HEIGHT = 268.0
# Name in the readings, its group's head, its own name on the drawing.
PLACES = (
    ("suction_line_at_evaporator", "suction line", "evap."),
    ("suction_line_at_compressor", "suction line", "compr."),
    ("discharge_line", "hot gas", "discharge"),
    ("condenser_air_in", "condenser air", "in"),
    ("condenser_air_out", "condenser air", "out"),
    ("drier_in", "liquid side", "drier in"),
    ("drier_out", "liquid side", "drier out"),
    ("liquid_line", "liquid side", "at valve"),
    ("return_air", _("air in the cab"), "return"),
    ("vent", _("air in the cab"), "vent"),
    ("cab", _("air in the cab"), "cab"),
)
LEFT, STEP = 84.0, 71.4
TOP, BOTTOM = 62.0, 196.0
SCALE = {"us": (0.0, 320.0, 40.0, "F"), "si": (-40.0, 160.0, 40.0, "C")}
AGAINST_HEALTHY = {
    "": "{name} {now}",
    "up": _("{name} {now}, up from {healthy}"),
    "down": _("{name} {now}, down from {healthy}"),
}
"""A thermometer in words, by which way it differs from the healthy machine."""
FULL_NAMES = {name: observables[name].words for name, *__ in PLACES}


def place(number: float, system: str) -> float:
    """Height on the drawing of a temperature in the scale's unit; the column stops at the ends of its tube."""
    low, high, *__ = SCALE[system]
    return BOTTOM - (BOTTOM - TOP) * (min(max(number, low), high) - low) / (high - low)


def changed(readings: Mapping[str, Any], healthy: Mapping[str, Any], name: str) -> str:
    """ "up", "down" or "" against the healthy machine; "" within what the instrument can tell, or without one."""
    if not healthy:
        return ""
    change = readings[name] - healthy[name]
    return "" if not abs(change) > observables[name].scatter else "up" if change > 0 else "down"


def arrow(x: float, y: float, way: str) -> str:
    """A small arrow head up or down."""
    if not way:
        return ""
    tip = -7 if way == "up" else 7
    return svg.path(
        [(x - 6, y), (x, y + tip), (x + 6, y)], closed=True, fill=style.INK, data_sign="▲" if way == "up" else "▼"
    )


def still(system: str) -> str:
    """Tubes, scale and names."""
    low, high, step, unit = SCALE[system]
    drawn, ticks, words = "", "", svg.text(12, 30, unit)
    for value in svg.stops(low, high, step):
        y = place(value, system)
        ticks += svg.line(46, y, LEFT + 10 * STEP + 12, y)
        words += svg.text(40, y + 5, f"{value:g}".replace("-", "−"), anchor="end")
    drawn += svg.group(ticks, stroke=style.RULE, stroke_width=style.HAIR)
    heads: dict[str, list[float]] = {}
    for number, (__, head, name) in enumerate(PLACES):
        x = LEFT + STEP * number
        heads.setdefault(head, []).append(x)
        drawn += svg.box(x - 6, TOP - 8, 12, BOTTOM - TOP + 12, rx=6, fill=style.PAPER, stroke=style.INK)
        drawn += svg.circle(x, BOTTOM + 9, 9, fill=style.INK)
        words += svg.text(x, 44, name, anchor="middle")
    for head, places in heads.items():
        first, last = places[0] - 28, places[-1] + 28
        drawn += svg.line(first, 26, last, 26, stroke=style.SOFT)
        drawn += svg.text((first + last) / 2, 19, head, size=style.TICK, anchor="middle", bold=True)
    return drawn + svg.group(words, font_size=style.TICK, fill=style.SOFT)


def moving(readings: Mapping[str, Any], system: str) -> str:
    """Columns, the healthy machine's marks, and the numbers in both units."""
    healthy = readings["healthy"]
    units_shown = ("F", "C") if system == "us" else ("C", "F")
    names = [name for name, *__ in PLACES]
    first, second = (units.convert([readings[name] for name in names], "temperature", unit) for unit in units_shown)
    drawn, large, small = "", "", ""
    for number, name in enumerate(names):
        x = LEFT + STEP * number
        y = place(first[number], system)
        drawn += svg.box(x - 3.5, y, 7, BOTTOM - y + 4, fill=style.INK)
        if healthy:
            mark = place(units.convert(healthy[name], "temperature", units_shown[0]), system)
            drawn += svg.line(x - 13, mark, x + 13, mark, stroke=style.SOFT, stroke_width=2, stroke_dasharray="4 2")
            drawn += svg.path([(x + 10, mark), (x + 19, mark - 6), (x + 19, mark + 6)], closed=True, fill=style.PAPER,
                              stroke=style.SOFT, stroke_width=1.5)  # fmt: skip
        drawn += arrow(x - 16, y + 4, changed(readings, healthy, name))
        large += svg.text(x, 236, f"{first[number]:.1f} {units_shown[0]}")
        small += svg.text(x, 256, f"{second[number]:.1f} {units_shown[1]}")
    large = svg.group(large, font_size=style.TICK, font_weight="600", text_anchor="middle")
    return drawn + large + svg.group(small, font_size=style.TICK, fill=style.SOFT, text_anchor="middle")


def in_words(readings: Mapping[str, Any], system: str) -> str:
    """Every thermometer in words, with which way it differs from the healthy machine."""
    healthy = readings["healthy"]
    rows = []
    for name, words in FULL_NAMES.items():
        now, well = (units.show(run[name], "temperature", system=system) if run else "" for run in (readings, healthy))
        rows.append(AGAINST_HEALTHY[changed(readings, healthy, name)].format(name=words, now=now, healthy=well))
    return f"Thermometers: {'; '.join(rows)}."
