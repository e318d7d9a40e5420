"""The drawing of an expansion valve with its bulb, coil and three forces: shared by two instruments."""

from __future__ import annotations

from coldcab.instruments.drawing import glass, style, svg
from coldcab.machine.valve import BULB_MOUNTINGS, ExpansionValve
from coldcab.machine.valve_forces import ValveForces
from coldcab.words import _

HEIGHT = 384.0
MIDDLE = 226.0  # x of the pin
DIAPHRAGM = 128.0  # y of the diaphragm at rest
SEAT = 262.0  # y of the seat
LIFT = 15.0  # drawing units from closed to open
PIPE = 176.0  # y of the suction line's middle
BULB = (590.0, 86.0)  # x and length of the bulb along the line
WRAPPED, BARE, LOOSE, LIFTED = BULB_MOUNTINGS
OFF_THE_PIPE = {WRAPPED: 0.0, BARE: 0.0, LOOSE: 9.0, LIFTED: 44.0}
BARS = (120.0, 320.0)  # x where the bars of pressure begin, y of the first one
BAR_REACH = 470.0
BAR_TOP = 8.4e5  # Pa absolute at the end of the scale


def still(block: bool = False) -> str:
    """Body, seat, coil and pipes; from a ``block`` valve the suction line comes out on the liquid's side."""
    left, right = MIDDLE - 46, MIDDLE + 46
    drawn = ""
    if block:
        drawn += svg.line(152, 56, 152, 306, stroke=style.SOFT, stroke_width=style.LINE, stroke_dasharray="9 4")
        drawn += svg.text(144, 70, "bulkhead", size=style.TICK, anchor="end")
    drawn += svg.line(20, 244, left, 244, stroke=style.INK, stroke_width=24)
    drawn += svg.line(20, 244, left, 244, stroke=style.LIQUID, stroke_width=20)
    # The coil: a tube to and fro, then the suction line.
    end = left - 160 if block else 820
    turns = [(right, 284), (520, 284), (520, 248), (372, 248), (372, 212), (520, 212), (520, PIPE), (end, PIPE)]
    look = {"stroke_linejoin": "round", "stroke_linecap": "butt"}
    drawn += svg.path(turns, stroke=style.INK, stroke_width=24, **look)
    drawn += svg.path(turns, stroke=style.VAPOR, stroke_width=20, **look)
    drawn += svg.text(446, 233, "coil", size=style.TICK, anchor="middle")
    if block:
        drawn += svg.text(20, PIPE - 20, "← compressor", size=style.TICK)
        drawn += svg.text(20, 206, "liquid in →", size=style.TICK)
    else:
        drawn += svg.text(816, PIPE + 38, "to the compressor →", size=style.TICK, anchor="end")
        drawn += svg.text(20, 198, "liquid in →", size=style.TICK)
    body = [(left, 150), (right, 150), (right, 306), (left, 306)]
    drawn += svg.path(body, closed=True, fill=style.PAPER, stroke=style.INK, stroke_width=style.LINE)
    if block:  # the gas from the coil passes through the body, round the pin
        drawn += svg.line(left + 2, PIPE, right - 2, PIPE, stroke=style.VAPOR, stroke_width=20)
    for edge, tip in ((left, MIDDLE - 9), (right, MIDDLE + 9)):
        drawn += svg.path(
            [(edge, SEAT - 9), (tip, SEAT), (edge, SEAT)], closed=True, fill=style.METAL, stroke=style.INK
        )
    drawn += svg.line(left, 244, left + 2, 244, stroke=style.LIQUID, stroke_width=20)
    drawn += svg.line(right - 2, 284, right, 284, stroke=style.VAPOR, stroke_width=20)
    dome = f"M{MIDDLE - 78} {DIAPHRAGM} C{MIDDLE - 70} 84 {MIDDLE + 70} 84 {MIDDLE + 78} {DIAPHRAGM} Z"
    drawn += svg.element("path", d=dome, fill=style.PAPER, stroke=style.INK, stroke_width=style.LINE)
    bowl = [(MIDDLE - 78, DIAPHRAGM), (left, 150), (right, 150), (MIDDLE + 78, DIAPHRAGM)]
    return drawn + svg.path(bowl, closed=True, fill=style.VAPOR, stroke=style.INK, stroke_width=style.LINE)


def moving(forces: ValveForces, valve: ExpansionValve, mounting: str, void: float = 0.0) -> str:
    """Pin, spring, bulb or charged head, and the three arrows; ``void`` is the vapor's share in what enters."""
    sign = style.REFRIGERANT[valve.bulb_fluid]
    down = LIFT * min(max(forces.opening, 0.0), 1.0)
    drawn = _head(sign.color) if valve.block else _equalizer(valve.external) + _bulb(mounting, sign.color)
    bend = 4.0 + down / 3
    bow = f"M{MIDDLE - 78} {DIAPHRAGM} Q{MIDDLE} {svg.number(DIAPHRAGM + 2 * bend)} {MIDDLE + 78} {DIAPHRAGM}"
    drawn += svg.element("path", d=bow, fill="none", stroke=style.INK, stroke_width=style.HEAVY)
    ball = SEAT + 9 + down
    drawn += svg.line(MIDDLE, DIAPHRAGM + bend, MIDDLE, ball, stroke=style.INK, stroke_width=5)
    drawn += svg.circle(MIDDLE, ball, 10, fill=style.INK)
    coils = 6
    spring = [
        (MIDDLE + (14 if turn % 2 else -14), ball + 10 + (304 - ball - 10) * turn / coils) for turn in range(coils + 1)
    ]
    drawn += svg.path(spring, stroke=style.INK, stroke_width=style.LINE)
    if void > 0.02:
        spots = glass.BUBBLES[: round(10 + 40 * min(void, 1.0))]
        bubbles = "".join(svg.circle(142 + 34 * u, 244 + 8.5 * v, 2.6) for u, v, _ in spots)
        drawn += svg.group(bubbles, fill=style.PAPER, stroke=style.INK, stroke_width=0.6)
    drawn += _arrow(MIDDLE - 34, 92, 116, sign.color) + _arrow(MIDDLE + 34, 152, 138, style.LOW)
    drawn += _arrow(MIDDLE - 34, 302, 282, style.SOFT)
    for x, y, words in ((MIDDLE - 96, 102, "1"), (MIDDLE + 92, 172, "2"), (MIDDLE - 64, 298, "3")):
        drawn += svg.text(x, y, words, size=style.STRONG, anchor="middle", bold=True)
    return drawn


def bars(forces: ValveForces, bulb_fluid: str, shown: tuple[str, str, str, str]) -> str:
    """What opens above what closes, drawn to scale from no pressure at all; `shown` are the numbers in words."""
    x, y = BARS
    sign = style.REFRIGERANT[bulb_fluid]
    scale = BAR_REACH / BAR_TOP
    bulb, below, spring = (
        min(max(one, 0.0) * scale, BAR_REACH)
        for one in (forces.bulb_pressure, forces.evaporator_pressure, forces.spring)
    )
    drawn = svg.text(20, y + 15, "1 opens", bold=True) + svg.text(20, y + 43, "2+3 close", bold=True)
    drawn += svg.box(x, y, bulb, 20, fill=sign.color, stroke=style.INK)
    drawn += svg.box(x, y + 28, below, 20, fill=style.LOW, stroke=style.INK)
    drawn += svg.box(x + below, y + 28, spring, 20, fill=style.METAL, stroke=style.INK)
    drawn += svg.text(x + 8, y + 15, shown[0], color=style.PAPER, size=style.TICK)
    drawn += svg.text(x + 8, y + 43, shown[1], color=style.PAPER, size=style.TICK)
    drawn += svg.text(x + below + spring + 8, y + 43, shown[2], size=style.TICK)
    far = max(bulb, below + spring)
    drawn += svg.line(x + below + spring, y - 4, x + below + spring, y + 52, stroke=style.INK, stroke_dasharray="3 3")
    # Behind the longer bar; where that would run off the sheet, back over the gap that it speaks of.
    left = min(x + far + 8, style.WIDTH - style.LETTER_WIDTH * style.TICK * len(shown[3]))
    return drawn + svg.text(left, y + 15, shown[3], bold=True, size=style.TICK, halo=True)


def _head(color: str) -> str:
    """The charge of a block valve in its head, and the gas that warms it through the pin."""
    dome = f"M{MIDDLE - 66} {DIAPHRAGM - 5} C{MIDDLE - 58} 94 {MIDDLE + 58} 94 {MIDDLE + 66} {DIAPHRAGM - 5} Z"
    drawn = svg.element("path", d=dome, fill=color, opacity=0.45)
    for x in (MIDDLE - 20, MIDDLE + 20):
        drawn += svg.line(x, PIPE - 12, x, 146, stroke=style.LOW, stroke_width=3, stroke_dasharray="6 4")
    drawn += svg.text(820, 62, _("no bulb: the charge is in the head"), size=style.TICK, anchor="end")
    drawn += svg.text(820, 82, _("and feels the gas in the body"), size=style.TICK, anchor="end")
    return drawn


def _bulb(mounting: str, color: str) -> str:
    """The bulb with its thin tube, strap and wrapping."""
    x, length = BULB
    lifted = OFF_THE_PIPE[mounting]
    y = PIPE - 23 - lifted
    tube = [(MIDDLE, 95), (MIDDLE, 40), (x - 34, 40), (x - 34, y), (x, y)]
    drawn = svg.path(tube, stroke=style.INK, stroke_width=3, stroke_linejoin="round")
    if mounting == WRAPPED:
        drawn += svg.box(x - 10, PIPE - 44, length + 20, 68, rx=14, fill=style.METAL, stroke=style.INK, opacity=0.55)
    drawn += svg.box(x, y - 10, length, 20, rx=10, fill=color, stroke=style.INK, stroke_width=style.THIN)
    if mounting != LIFTED:
        for strap in (x + 18, x + length - 26):
            top = y - 13 if mounting != LOOSE else y - 18
            drawn += svg.box(strap, top, 8, PIPE + 14 - top, fill="none", stroke=style.INK, stroke_width=style.LINE)
    return drawn + svg.text(820, 62, f"bulb: {mounting}", size=style.TICK, anchor="end")


def _equalizer(external: bool) -> str:
    """Where the valve feels the evaporator: through its body, or by a thin line from the coil's outlet."""
    if external:
        points = [(MIDDLE + 62, 138), (MIDDLE + 120, 138), (MIDDLE + 120, 112), (760, 112), (760, PIPE - 12)]
        drawn = svg.path(points, stroke=style.LOW, stroke_width=3, stroke_linejoin="round")
        return drawn + svg.text(450, 104, "external equalizer", size=style.TICK, anchor="middle", halo=True)
    drawn = svg.path([(MIDDLE + 36, 276), (MIDDLE + 36, 150)], stroke=style.LOW, stroke_width=3, stroke_dasharray="6 4")
    return (
        drawn
        + svg.text(MIDDLE + 54, 200, "internal", size=style.TICK)
        + svg.text(MIDDLE + 54, 218, "equalizer", size=style.TICK)
    )


def _arrow(x: float, start: float, end: float, color: str) -> str:
    way = 1 if end > start else -1
    drawn = svg.line(x, start, x, end - 8 * way, stroke=color, stroke_width=5)
    return drawn + svg.path([(x - 8, end - 9 * way), (x + 8, end - 9 * way), (x, end)], closed=True, fill=color)
