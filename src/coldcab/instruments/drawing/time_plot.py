"""A plot over time: a frame, its scales, and where a reading stands on it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coldcab.instruments.drawing import style, svg


@dataclass(frozen=True, slots=True)
class TimePlot:
    """Where the plot stands on the sheet and what it spans; `bottom` above 0 makes the upright scale logarithmic."""

    x: float
    y: float
    width: float
    height: float
    minutes: float
    bottom: float
    top: float
    logarithmic: bool = False

    def place(self, minutes: float, value: float) -> tuple[float, float]:
        """Drawing units of a reading; what lies outside stands at the edge."""
        return self.across(minutes), self.up(value)

    def across(self, minutes: float) -> float:
        """The same, of a time alone."""
        return self.x + self.width * min(max(minutes / self.minutes, 0.0), 1.0)

    def up(self, value: float) -> float:
        """The same, of a value alone."""
        low, high, here = self.bottom, self.top, min(max(value, self.bottom), self.top)
        if self.logarithmic:
            low, high, here = math.log(low), math.log(high), math.log(here)
        return self.y + self.height * (high - here) / (high - low)

    def frame(self) -> str:
        """The empty plot."""
        return svg.box(self.x, self.y, self.width, self.height, fill=style.PAPER, stroke=style.RULE)

    def time_scale(self, step: float, words: str = "minutes") -> str:
        """Numbers below."""
        drawn = ""
        for minutes in svg.stops(0.0, self.minutes, step):
            drawn += svg.text(self.across(minutes), self.y + self.height + 19, f"{minutes:g}")
        drawn += svg.text(self.x + self.width / 2, self.y + self.height + 39, words)
        return svg.group(drawn, text_anchor="middle", font_size=style.TICK, fill=style.SOFT)

    def value_scale(self, values: Iterable[float]) -> str:
        """Lines across and numbers on the left."""
        lines, numbers = "", ""
        for value in values:
            y = self.up(value)
            lines += svg.line(self.x, y, self.x + self.width, y)
            numbers += svg.text(self.x - 8, y + 5, f"{value:,.10g}")
        return svg.group(lines, stroke=style.RULE, stroke_width=style.HAIR) + svg.group(
            numbers, text_anchor="end", font_size=style.TICK, fill=style.SOFT
        )

    def level(self, value: float, words: str, *, dash: str = "3 4", below: bool = False, left: bool = False) -> str:
        """A named line across at a value, if it lies inside; its words above it and to the right unless told so."""
        if not self.bottom <= value <= self.top:
            return ""
        y = self.up(value)
        drawn = svg.line(
            self.x, y, self.x + self.width, y, stroke=style.SOFT, stroke_width=style.THIN, stroke_dasharray=dash
        )
        at = y + 17 if below else y - 6
        x, anchor = (self.x + 6, "start") if left else (self.x + self.width - 6, "end")
        return drawn + svg.text(x, at, words, size=style.TICK, anchor=anchor, color=style.SOFT, halo=True)

    def line(self, minutes: Sequence[float], values: Sequence[float], **look: object) -> str:
        """Straight lines through readings."""
        return svg.path([self.place(t, v) for t, v in zip(minutes, values, strict=True)], **look)

    def dots(self, minutes: Sequence[float], values: Sequence[float], *, size: float = 3.0) -> str:
        """Readings as dots."""
        spots = (svg.circle(*self.place(t, v), size) for t, v in zip(minutes, values, strict=True))
        return svg.group("".join(spots), fill=style.INK)


def round_top(value: float, steps: Sequence[float] = (1.0, 2.0, 5.0)) -> float:
    """The next round number at or above a value: one of `steps` times a power of ten."""
    power = 10.0 ** math.floor(math.log10(max(value, 1e-9)))
    return next(step * power for step in (*steps, 10.0) if step * power >= value * (1.0 - 1e-9))
