"""The picture on the course's first page: an old machine, its circuit, and where on it each unit of the course lies."""

from __future__ import annotations

import math
from html import escape
from typing import Any

from coldcab.instruments.drawing import style, svg
from coldcab.words import _

HEIGHT = 400
WIDEST = 600
"""Pixels on a screen: the desk below it is to be seen as well."""
SOIL = 336.0
GLASS, STEEL, FIELD, SUN = "#dfecee", "#e9e5da", "#e3e6d3", "#f2d9a0"

LABELS = (
    # words, where they stand (x, y), where the pointer begins and ends
    (_("faults"), 128.0, 132.0, (), ()),
    (_("air side"), 270.0, 54.0, (316.0, 66.0), (356.0, 94.0)),
    (_("valve"), 530.0, 66.0, (494.0, 76.0), (454.0, 96.0)),
    (_("clean and dry"), 706.0, 142.0, (660.0, 152.0), (596.0, 218.0)),
    (_("charging"), 752.0, 210.0, (684.0, 210.0), (645.0, 222.0)),
    (_("leak"), 756.0, 298.0, (712.0, 286.0), (638.0, 264.0)),
    (_("oil"), 476.0, 386.0, (488.0, 356.0), (528.0, 282.0)),
)
ALT = _(
    "An old tractor in a field, seen from the side. Its circuit is drawn in: compressor at the engine, condenser in "
    "front, drier, valve and evaporator in the roof of the cab. Two gauges hang at the left. Words point to where the "
    "lessons lie: air side, valve, clean and dry, charging, leak, oil, faults."
)


class Cover:
    """The picture as a notebook shows it, with its words for who does not see it."""

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        return {"text/html": picture(), "text/plain": ALT}


def picture() -> str:
    """Return the picture as SVG text."""
    drawn = "".join((_field(), _tractor(), _circuit(), _gauges(), _labels()))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {style.WIDTH} {HEIGHT}" width="{style.WIDTH}" '
        f'height="{HEIGHT}" style="display:block;width:100%;max-width:{WIDEST}px;height:auto" '
        f'font-family="{style.FONT}" fill="{style.INK}" role="img" aria-label="{escape(ALT)}">{drawn}</svg>'
    )


def _field() -> str:
    drawn = svg.box(0, 0, style.WIDTH, HEIGHT, rx=style.CORNER, fill=style.GROUND)
    drawn += svg.circle(712, 52, 36, fill=SUN)
    drawn += svg.element(
        "path",
        d=f"M0 {SOIL - 40:g} Q 210 {SOIL - 76:g} 430 {SOIL - 44:g} T 840 {SOIL - 58:g} V {HEIGHT} H 0 Z",
        fill=FIELD,
    )
    for row in range(6):
        y = SOIL + 8 + 11 * row
        drawn += svg.line(0, y, style.WIDTH, y + 2, stroke="#cfd3bb", stroke_width=style.HAIR)
    return drawn


def _wheel(x: float, radius: float) -> str:
    y = SOIL - radius + 6
    lugs = "".join(
        svg.line(
            x + (radius - 6) * math.cos(turn), y + (radius - 6) * math.sin(turn),
            x + (radius + 3) * math.cos(turn + 0.07), y + (radius + 3) * math.sin(turn + 0.07),
            stroke=style.INK, stroke_width=6,
        )
        for turn in (2 * math.pi * step / 22 for step in range(22))
    )  # fmt: skip
    tire = svg.circle(x, y, radius, fill="#4a4f57", stroke=style.INK, stroke_width=style.LINE)
    rim = svg.circle(x, y, 0.56 * radius, fill=STEEL, stroke=style.INK, stroke_width=style.THIN)
    return lugs + tire + rim + svg.circle(x, y, 0.16 * radius, fill=style.METAL, stroke=style.INK)


def _tractor() -> str:
    line: dict[str, Any] = {"stroke": style.INK, "stroke_width": style.LINE, "stroke_linejoin": "round"}
    body = svg.path([(318, 236), (460, 236), (470, 186), (640, 196), (648, 280), (470, 290), (318, 290)], closed=True,
                    **{**line, "fill": STEEL})  # fmt: skip
    cab = svg.path([(296, 236), (318, 112), (446, 112), (462, 236)], closed=True, **{**line, "fill": GLASS})
    post = svg.path([(392, 112), (398, 236)], **line)
    roof = svg.box(302, 84, 160, 28, rx=7, fill=STEEL, **line)
    seat = svg.path([(338, 236), (334, 186), (348, 186), (354, 214), (384, 216), (384, 236)], closed=True,
                    fill=style.METAL, stroke=style.SOFT, stroke_width=style.THIN)  # fmt: skip
    wheel = svg.path([(424, 236), (412, 196)], **line) + svg.path([(400, 200), (424, 190)], stroke=style.INK,
                                                                  stroke_width=style.HEAVY)  # fmt: skip
    pipe = svg.box(566, 138, 9, 56, fill=style.METAL, **line)
    return pipe + body + cab + seat + wheel + post + roof + _wheel(352, 70) + _wheel(600, 40)


def _circuit() -> str:
    high: dict[str, Any] = {
        "stroke": style.HIGH,
        "stroke_width": style.HEAVY,
        "stroke_linejoin": "round",
        "fill": "none",
    }
    low = {**high, "stroke": style.LOW}
    drawn = svg.path([(536, 246), (536, 222), (632, 222)], **high)
    drawn += svg.path(
        [(632, 262), (592, 262), (592, 214), (492, 206), (476, 98), (446, 98)], **{**high, "stroke_width": 2.5}
    )
    drawn += svg.path([(330, 104), (470, 104), (484, 262), (520, 262)], **{**low, "stroke_dasharray": "9 4"})
    drawn += svg.box(328, 90, 92, 16, rx=3, fill=style.PAPER, stroke=style.LOW, stroke_width=style.LINE)
    for place in range(6):
        drawn += svg.line(338 + 15 * place, 90, 338 + 15 * place, 106, stroke=style.LOW, stroke_width=style.HAIR)
    drawn += svg.path([(440, 91), (452, 105), (440, 105), (452, 91)], closed=True, fill=style.PAPER, stroke=style.INK,
                      stroke_width=style.THIN)  # fmt: skip
    drawn += svg.box(626, 206, 16, 66, rx=2, fill=style.PAPER, stroke=style.HIGH, stroke_width=style.LINE)
    for place in range(7):
        y = 212 + 9 * place
        drawn += svg.line(626, y, 642, y, stroke=style.HIGH, stroke_width=style.HAIR)
    drawn += svg.box(584, 214, 16, 36, rx=6, fill=style.PAPER, stroke=style.INK, stroke_width=style.THIN)
    drawn += svg.circle(536, 262, 19, fill=style.PAPER, stroke=style.INK, stroke_width=style.LINE)
    return drawn + svg.circle(536, 262, 7, fill=style.METAL, stroke=style.INK)


def _gauges() -> str:
    drawn = ""
    for x, color, turn in ((82.0, style.LOW, -0.9), (174.0, style.HIGH, 0.5)):
        y = 190.0
        hose = f"M{x:g} {y + 36:g} C {x:g} 300, 250 330, 330 300" if color == style.LOW else (
            f"M{x:g} {y + 36:g} C {x:g} 288, 240 312, 320 286"
        )  # fmt: skip
        drawn += svg.element("path", d=hose, fill="none", stroke=color, stroke_width=style.HEAVY)
        drawn += svg.circle(x, y, 40, fill=style.PAPER, stroke=color, stroke_width=style.HEAVY)
        for mark in range(9):
            angle = math.radians(135 + 33.75 * mark)
            drawn += svg.line(x + 31 * math.cos(angle), y + 31 * math.sin(angle), x + 36 * math.cos(angle),
                              y + 36 * math.sin(angle), stroke=style.INK, stroke_width=style.THIN)  # fmt: skip
        drawn += svg.line(x, y, x + 29 * math.sin(turn), y - 29 * math.cos(turn), stroke=style.INK, stroke_width=3)
        drawn += svg.circle(x, y, 5, fill=style.INK)
    return drawn


def _labels() -> str:
    drawn = ""
    for words, x, y, start, end in LABELS:
        if start and end:
            drawn += svg.line(*start, *end, stroke=style.INK, stroke_width=style.THIN) + svg.circle(*end, 4)
        # On a phone's width this is still 11 pixels.
        drawn += svg.text(x, y, words, size=33, anchor="middle", bold=True, halo=True)
    return drawn
