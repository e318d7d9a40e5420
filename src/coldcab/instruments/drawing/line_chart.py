"""A chart that stands still: a few curves in one frame, with a key; for worked examples."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from coldcab.instruments.drawing import style, svg

HEIGHT = 470
PLOT = (78.0, 24.0, 730.0, 340.0)  # x, y, width, height
KEY_TOP = 428.0
KEY_ROW = 24.0


@dataclass(frozen=True)
class Curve:
    """Points in the scales' own units, and how they are told apart: a line, or a marker at each point."""

    words: str
    x: Sequence[float]
    y: Sequence[float]
    color: str
    dash: str | None = None
    dots: bool = False

    def drawn(self, points: Sequence[tuple[float, float]]) -> str:
        """The curve through points on the sheet."""
        if self.dots:
            return svg.group("".join(svg.circle(x, y, 4.0) for x, y in points), fill=self.color)
        look = {"fill": "none", "stroke": self.color, "stroke_width": style.LINE, "stroke_dasharray": self.dash}
        return svg.path(points, **look)


@dataclass(frozen=True)
class Scale:
    """What an edge of the plot spans, where its numbers stand, and the words along it."""

    low: float
    high: float
    step: float
    words: str

    def share(self, value: float) -> float:
        """How far along the edge a value stands, 0 to 1."""
        return (value - self.low) / (self.high - self.low)


def line_chart(title: str, told: str, across: Scale, up: Scale, curves: Sequence[Curve]) -> str:
    """Return the chart as SVG; ``told`` is its text alternative."""
    x, y, width, height = PLOT
    tall = HEIGHT + KEY_ROW * ((len(curves) - 1) // 2)
    drawn = svg.box(0, 0, style.WIDTH, tall, rx=style.CORNER, fill=style.GROUND)
    drawn += svg.box(x, y, width, height, fill=style.PAPER, stroke=style.RULE) + _scales(across, up)
    for number, curve in enumerate(curves):
        points = [
            (x + width * across.share(a), y + height * (1.0 - up.share(b)))
            for a, b in zip(curve.x, curve.y, strict=True)
        ]
        drawn += curve.drawn(points)
        left, top = x + 380.0 * (number % 2), KEY_TOP + KEY_ROW * (number // 2)
        drawn += curve.drawn([(left, top), (left + 20.0, top), (left + 40.0, top)])
        drawn += svg.text(left + 50.0, top + 5.0, curve.words, size=style.TICK)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {style.WIDTH} {tall:g}" role="img" '
        f'style="width:100%;max-width:{style.SHEET}px;height:auto" font-family="{escape(style.FONT)}" '
        f'font-size="{style.BODY}" fill="{style.INK}" aria-label="{escape(told)}"><title>{escape(title)}</title>'
        f"{drawn}</svg>"
    )


def _scales(across: Scale, up: Scale) -> str:
    x, y, width, height = PLOT
    lines, numbers = "", ""
    for value in svg.stops(across.low, across.high, across.step):
        at = x + width * across.share(value)
        lines += svg.line(at, y, at, y + height)
        numbers += svg.text(at, y + height + 19, f"{value:g}", anchor="middle")
    for value in svg.stops(up.low, up.high, up.step):
        at = y + height * (1.0 - up.share(value))
        lines += svg.line(x, at, x + width, at)
        numbers += svg.text(x - 8, at + 5, f"{value:g}", anchor="end")
    numbers += svg.text(x + width / 2, y + height + 41, across.words, anchor="middle")
    numbers += svg.text(0.0, 0.0, up.words, anchor="middle", transform=f"translate(20 {y + height / 2:g}) rotate(-90)")
    return svg.group(lines, stroke=style.RULE, stroke_width=style.HAIR) + svg.group(
        numbers, font_size=style.TICK, fill=style.SOFT
    )
