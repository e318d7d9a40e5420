"""The complete circuit of a cab air conditioner: what is in each line, and how warm it is where a clip can go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from coldcab import units
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.glass import look
from coldcab.machine.readings import FLOOD_BACK, OFF
from coldcab.words import _

HEIGHT = 416.0

# Lines, in the order in which the refrigerant passes: corners, and on which side they lie.
CONDENSER_ROWS = (64.0, 101.0, 138.0, 175.0, 212.0)
EVAPORATOR_ROWS = (98.0, 124.0, 150.0, 176.0, 202.0, 228.0)
GLASS = (440.0, 100.0)
VALVE = (530.0, 100.0)
BLOCK = (518.0, 78.0, 36.0, 102.0)  # x, y, width, height of a block valve: liquid through it above, gas below
THROUGH_BLOCK = 160.0  # y of the gas that it feels


def _serpentine(left: float, right: float, rows: Sequence[float]) -> list[tuple[float, float]]:
    points = []
    for place, y in enumerate(rows):
        points += [(left, y), (right, y)] if place % 2 == 0 else [(right, y), (left, y)]
    return points


_CONDENSER = _serpentine(92.0, 182.0, CONDENSER_ROWS)
_EVAPORATOR = _serpentine(598.0, 670.0, EVAPORATOR_ROWS)
LINES: dict[str, tuple[str, list[tuple[float, float]]]] = {
    "discharge line": ("high", [(92, 334), (92, 288), (26, 288), (26, 64), (92, 64)]),
    "condenser, first row": ("high", _CONDENSER[:2]),
    "condenser, middle": ("high", _CONDENSER[1:9]),
    "condenser, last row": ("high", _CONDENSER[8:]),
    "to the drier": ("high", [(182, 212), (292, 212), (292, 170), (343, 170), (343, 200)]),
    "from the drier": ("high", [(369, 200), (369, 100), (482, 100)]),
    "before the valve": ("high", [(482, 100), (524, 100)]),
    "behind the valve": ("low", [(536, 100), (566, 100), (566, 98), (598, 98)]),
    "evaporator": ("low", _EVAPORATOR[:9]),
    "evaporator, end": ("low", [*_EVAPORATOR[8:], (562, 228)]),
    "suction line": ("low", [(562, 228), (562, 318), (152, 318), (152, 334)]),
}
BLOCK_LINES = {
    **LINES,
    "suction line": (
        "low",
        [(562, 228), (562, THROUGH_BLOCK), (506, THROUGH_BLOCK), (506, 318), (152, 318), (152, 334)],
    ),
}
ARROWS = ((26, 180, 0), (236, 212, 90), (369, 128, 0), (430, 318, 270), (562, 290, 180), (404, 100, 90))
BLOCK_ARROWS = (*ARROWS[:4], (506, 250, 180), ARROWS[5])

# Where a clip or a thermometer can go: name in the readings, name on the drawing, place.
CLIPS = (
    ("discharge_line", "discharge line", 42, 255),
    ("condenser_air_in", "air in", 42, 22),
    ("condenser_air_out", "air out", 234, 66),
    ("drier_in", "into the drier", 190, 242),
    ("drier_out", _("out of the drier"), 386, 160),
    ("liquid_line", "liquid line", 392, 56),
    ("suction_line_at_evaporator", "suction, evaporator", 387, 264),
    ("suction_line_at_compressor", "suction, compressor", 172, 287),
    ("vent", "vent", 648, 42),
    ("return_air", "return air", 690, 274),
    ("cab", "cab", 690, 154),
)
BLOCK_SPOT = (562, 196)  # where the clip behind the evaporator sits on a machine with a block valve
BLOCK_CLIPS = {"suction_line_at_evaporator": (684, 232), "drier_out": (380, 131)}
SPOTS = ((26, 250), (292, 192), (369, 158), (504, 100), (562, 256), (196, 318))  # clips on lines

SQUARE = {"stroke_linecap": "square"}  # so that lines meet without a notch
STATES = ("liquid", "mixture", "vapor", "at rest")
CLEAR = 0.03  # vapor share of the volume below which the glass looks clear
EMPTY = 0.03  # level of a receiver from which vapor leaves with the liquid
DROP = 0.5  # K; a line that much colder than before has lost pressure, so liquid has flashed in it


def states(readings: Mapping[str, Any]) -> dict[str, str]:
    """What is in each line of `LINES`: liquid, mixture, vapor, or at rest.

    Told from the readings: the glass shows vapor in the liquid line; a liquid line that turns cold on its way has
    vapor in it as well. How long each part of an exchanger is, no reading says: the drawing shows the order only.
    """
    if readings["status"] == OFF:
        return dict.fromkeys(LINES, "at rest")
    void = readings["glass_void"]
    glass = "liquid" if void < CLEAR else "mixture" if void < 0.99 else "vapor"
    cold = readings["liquid_line"] < readings["drier_out"] - DROP
    drained = glass if readings["level"] < EMPTY else "liquid"
    wet = readings["status"] == FLOOD_BACK
    return {
        "discharge line": "vapor",
        "condenser, first row": "vapor",
        "condenser, middle": "mixture",
        "condenser, last row": drained,
        "to the drier": drained,
        "from the drier": glass,
        "before the valve": "mixture" if cold and glass == "liquid" else glass,
        "behind the valve": "vapor" if glass == "vapor" else "mixture",
        "evaporator": "vapor" if glass == "vapor" else "mixture",
        "evaporator, end": "mixture" if wet else "vapor",
        "suction line": "mixture" if wet else "vapor",
    }


def pipe(points: Sequence[tuple[float, float]], state: str) -> str:
    """What is in a line; each state has its own pattern, whatever its color."""
    fill = {"liquid": style.LIQUID, "mixture": style.LIQUID, "at rest": style.METAL}.get(state, style.VAPOR)
    d = " L".join(f"{svg.number(x)} {svg.number(y)}" for x, y in points)

    def stroke(color: str, width: float, **more: str) -> str:
        return svg.element("path", d=f"M{d}", stroke=color, stroke_width=width, **more)

    drawn = stroke(fill, 11.0, **SQUARE)
    if state == "liquid":
        drawn += stroke(style.INK, 1.5, stroke_dasharray="16 9")
    elif state == "mixture":
        round_dots = {"stroke_dasharray": "0.1 12", "stroke_linecap": "round"}
        drawn += stroke(style.INK, 8.5, **round_dots) + stroke(style.PAPER, 6.0, **round_dots)
    elif state == "vapor":
        drawn += stroke(style.SOFT, 2.6, stroke_dasharray="0.1 7", stroke_linecap="round")
    return drawn


def lines(block: bool) -> dict[str, tuple[str, list[tuple[float, float]]]]:
    """The lines of a machine: through a block valve both pass, on their way in and out of the cab."""
    return BLOCK_LINES if block else LINES


def still(block: bool = False) -> str:
    """Machine, cab and the outlines of all lines; at a ``block`` valve no bulb."""
    cab = [(578, 22), (822, 22), (834, 130), (834, 334), (578, 334)]
    drawn = [svg.path(cab, closed=True, fill=style.PAPER, stroke=style.INK, stroke_width=style.LINE)]
    pane = [(700, 76), (814, 76), (821, 134), (700, 134)]
    drawn.append(svg.path(pane, closed=True, fill=style.VAPOR, stroke=style.SOFT))
    # The coil's case, the blower under it and the vent above.
    drawn.append(svg.box(586, 80, 96, 166, rx=4, fill=style.GROUND, stroke=style.SOFT, stroke_dasharray="4 3"))
    drawn.append(_fan(634, 274, 15) + _air(634, 316, 634, 294) + _air(634, 76, 634, 32))
    # Condenser frame and fan.
    drawn.append(svg.box(76, 46, 122, 184, rx=4, fill=style.PAPER, stroke=style.SOFT))
    drawn.append(_fan(234, 142, 30) + _air(40, 138, 72, 138) + _air(272, 138, 304, 138))
    # Drier.
    drawn.append(svg.box(330, 198, 52, 88, rx=12, fill=style.METAL, stroke=style.INK, stroke_width=style.LINE))
    # Compressor, belt and engine.
    drawn.append(svg.box(58, 332, 112, 78, rx=10, fill=style.METAL, stroke=style.INK, stroke_width=style.LINE))
    belt = [(114, 342), (400, 349)], [(114, 400), (400, 393)]
    drawn.append("".join(svg.path(side, stroke=style.INK, stroke_width=5) for side in belt))
    drawn.append(svg.circle(400, 371, 22, fill=style.PAPER, stroke=style.INK, stroke_width=style.LINE))
    drawn.append(svg.circle(114, 371, 29, fill=style.PAPER, stroke=style.INK, stroke_width=style.LINE))
    if block:
        drawn.append(svg.line(536, 30, 536, 334, stroke=style.SOFT, stroke_width=style.LINE, stroke_dasharray="9 4"))
    else:  # the bulb's thin tube, from the valve to the suction line
        tube = [(530, 84), (530, 70), (547, 70), (547, 240)]
        drawn.append(svg.path(tube, stroke=style.INK, stroke_width=style.THIN))
    # Outlines of the lines: red and blue, and named in the key as well.
    for side, color in (("high", style.HIGH), ("low", style.LOW)):
        outlines = "".join(svg.path(points) for where, points in lines(block).values() if where == side)
        drawn.append(svg.group(outlines, stroke=color, stroke_width=16, stroke_linejoin="round", **SQUARE))
    if not block:
        drawn.append(svg.box(541, 236, 12, 40, rx=5, fill=style.METAL, stroke=style.INK))
    valve = (
        (("block valve", 494, 190, "end"), ("bulkhead", 572, 22, "end"))
        if block
        else (("expansion valve", 540, 136, "end"), ("bulb", 537, 230, "end"))
    )
    names = (
        *valve,
        ("condenser", 86, 88, "start"),
        ("fan", 234, 106, "middle"),
        ("receiver-", 392, 214, "start"),
        ("drier", 392, 232, "start"),
        ("evaporator", 690, 206, "start"),
        ("blower", 690, 314, "start"),
        ("compressor", 182, 367, "start"),
        ("engine", 430, 366, "start"),
    )
    words = "".join(svg.text(x, y, name, anchor=anchor) for name, x, y, anchor in names)
    drawn.append(svg.group(words, font_size=style.TICK, font_weight="600"))
    return "".join(drawn) + _key()


def moving(readings: Mapping[str, Any], system: str, block: bool = False) -> str:
    """What is in the lines, the clips' readings, the clutch and the glass."""
    found = states(readings)
    pipes = _pipes(block, *found.values())
    drawn = svg.group(pipes, fill="none", stroke_linejoin="round")
    if readings["status"] != OFF:
        arrows = "".join(
            svg.element(
                "path", d=f"M{x - 5} {y + 5} L{x} {y - 6} L{x + 5} {y + 5} Z", transform=f"rotate({turn} {x} {y})"
            )
            for x, y, turn in (BLOCK_ARROWS if block else ARROWS)
        )
        drawn += svg.group(arrows, fill=style.INK, stroke=style.PAPER, stroke_width=1)
    drawn += _valve(block)
    if not block:  # such machines have no sight glass
        drawn += look(*GLASS, 17, readings["glass"], readings["glass_void"])
    spots = [BLOCK_SPOT if block and spot == (562, 256) else spot for spot in SPOTS]
    drawn += "".join(svg.marker("square", px, py, 5, fill=style.PAPER, stroke=style.INK) for px, py in spots)
    names, values = "", ""
    for name, label, px, py in CLIPS:
        px, py = BLOCK_CLIPS.get(name, (px, py)) if block else (px, py)
        names += svg.text(px, py, label)
        values += svg.text(px, py + 17, units.show(readings[name], "temperature", system=system))
    drawn += svg.group(names, font_size=style.TICK, fill=style.SOFT) + svg.group(
        values, font_size=style.TICK, font_weight="600"
    )
    return drawn + _clutch(readings)


def standing(block: bool = False) -> str:
    """The lines and the valve when nothing is known of them."""
    pipes = _pipes(block, *("at rest" for _line in lines(block)))
    return svg.group(pipes, fill="none", stroke_linejoin="round") + _valve(block)


@cache
def _pipes(block: bool, *found: str) -> str:
    """All lines by what is in them; few of the ways in which that can be are ever seen."""
    return "".join(pipe(points, state) for (__, points), state in zip(lines(block).values(), found, strict=True))


@cache
def _valve(block: bool) -> str:
    x, y = VALVE
    if block:
        left, top, wide, high = BLOCK
        drawn = svg.box(left, top, wide, high, rx=4, fill=style.METAL, stroke=style.INK, stroke_width=style.LINE)
        drawn += svg.box(left + 6, top - 14, wide - 12, 14, rx=5, fill=style.METAL, stroke=style.INK)
        for row, side in ((y, style.HIGH), (THROUGH_BLOCK, style.LOW)):
            drawn += svg.line(left + 1, row, left + wide - 1, row, stroke=side, stroke_width=12, stroke_dasharray="5 3")
        return drawn
    bow = [(x - 13, y - 12), (x + 13, y + 12), (x + 13, y - 12), (x - 13, y + 12)]
    drawn = svg.path(bow, closed=True, fill=style.PAPER, stroke=style.INK, stroke_width=style.LINE)
    return drawn + svg.circle(x, y - 15, 7, fill=style.METAL, stroke=style.INK, stroke_width=style.THIN)


def _clutch(readings: Mapping[str, Any]) -> str:
    on = readings["status"] != OFF
    duty = 100 * readings["clutch_duty"]
    drawn = svg.circle(114, 371, 18, fill=style.INK if on else style.PAPER, stroke=style.INK, stroke_width=2)
    words = (
        "clutch open"
        if not on
        else "clutch engaged"
        if duty > 99.5
        else _("clutch on {duty:.0f} % of time").format(duty=duty)
    )
    drawn += svg.text(182, 386, words, size=style.TICK)
    speed = units.convert(readings["pulley_speed"], "rotational speed", "rpm")
    return drawn + svg.text(430, 384, f"pulley {speed:,.0f} rpm", size=style.TICK)


def _fan(x: float, y: float, radius: float) -> str:
    blade = {"cx": x, "cy": y - radius / 2, "rx": radius * 0.2, "ry": radius * 0.46}
    blades = "".join(svg.element("ellipse", **blade, transform=f"rotate({turn} {x} {y})") for turn in (0, 90, 180, 270))
    return svg.circle(x, y, radius, fill=style.PAPER, stroke=style.SOFT) + svg.group(blades, fill=style.SOFT)


def _air(x1: float, y1: float, x2: float, y2: float) -> str:
    """An arrow of air, to the right or up: dashed, with an open head."""
    drawn = svg.line(x1, y1, x2, y2, stroke=style.SOFT, stroke_width=2, stroke_dasharray="6 3")
    back = (x2 - 6, x2 - 6) if y1 == y2 else (x2 - 6, x2 + 6)
    low = (y2 - 6, y2 + 6) if y1 == y2 else (y2 + 6, y2 + 6)
    head = [(back[0], low[0]), (x2, y2), (back[1], low[1])]
    return drawn + svg.path(head, stroke=style.SOFT, stroke_width=2)


def _key() -> str:
    """What the patterns and the rims mean."""
    drawn = ""
    for place, (state, words) in enumerate((("liquid", "liquid"), ("mixture", "liquid and vapor"), ("vapor", "vapor"))):
        y = 354 + 22 * place
        ends = [(590, y), (652, y)]
        drawn += svg.path(ends, stroke=style.INK, stroke_width=13, **SQUARE) + svg.group(pipe(ends, state), fill="none")
        drawn += svg.text(662, y + 5, words, size=style.TICK)
    for x, side, color in ((250, "high", style.HIGH), (380, "low", style.LOW)):
        drawn += svg.line(x, 17, x + 28, 17, stroke=color, stroke_width=12)
        drawn += svg.text(x + 35, 22, f"{side} side", size=style.TICK, color=color, bold=True)
    return drawn


def states_in_words(readings: Mapping[str, Any]) -> str:
    """The lines' states in a sentence."""
    found = states(readings)
    if readings["status"] == OFF:
        return _("Everything in the circuit is at rest.")
    ends = ("to the drier", "from the drier", "before the valve", "suction line", "discharge line")
    return _("In the lines: {name}.").format(name=", ".join(f"{name} {found[name]}" for name in ends))


def temperatures_in_words(readings: Mapping[str, Any], system: str) -> str:
    """Every clip's temperature in a sentence."""
    shown = (f"{label} {units.show(readings[name], 'temperature', system=system)}" for name, label, *__ in CLIPS)
    return f"Temperatures: {', '.join(shown)}."
