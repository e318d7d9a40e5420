"""A gauge face: pressure around the outside, saturation temperatures on rings within, a needle.

The rings are those of a printed gauge: made for sea level. Where the air is thinner the needle still shows the
gauge reading, and small pointers on the rings show the true saturation temperatures.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from coldcab import refrigerants, units
from coldcab.instruments.drawing import style, svg

HEADS = {"low": "LOW SIDE", "high": "HIGH SIDE"}
START, SWEEP = -135.0, 270.0  # degrees clockwise from the top
CROWDED = 140.0  # radius below which two rings have room for every second temperature only
CLOSEST = 2.0  # degrees between two marks of vacuum that an eye still tells apart
VACUUM_END = -14.74  # psi: the scale of a compound gauge begins at 30 inHg of vacuum
STEPS = {
    150.0: {"us": (20.0, 5.0), "si": (200.0, 50.0)},
    300.0: {"us": (50.0, 10.0), "si": (200.0, 50.0)},
    400.0: {"us": (100.0, 20.0), "si": (500.0, 100.0)},
    500.0: {"us": (100.0, 20.0), "si": (500.0, 100.0)},
}
"""Large and small marks, psi or kPa, by the top of the scale in psi."""
RING_START = 222.0389  # K, -60 F: below it a gauge's scale has no room for temperatures


@dataclass(frozen=True, slots=True)
class Dial:
    """Where a gauge stands and what its scale spans; pressures in Pa from the air pressure (vacuum negative).

    `steps` are those of the large and the small marks, by system of units, in psi or kPa.
    """

    x: float
    y: float
    radius: float
    lowest: float
    highest: float
    steps: Mapping[str, tuple[float, float]]
    color: str = style.INK

    def angle(self, gauge: float) -> float:
        """Degrees of the needle, clockwise from the top. A needle stops at its pins, 3 degrees past the ends."""
        turned = START + SWEEP * (gauge - self.lowest) / (self.highest - self.lowest)
        return min(max(turned, START - 3.0), START + SWEEP + 3.0)

    def ring_radius(self, place: int) -> float:
        """Radius of a temperature ring, counted inward from 0."""
        return self.radius * (0.66 - 0.225 * place)

    def face(self, system: str, rings: Sequence[str] = ()) -> str:
        """Rim, pressure scale and temperature rings."""
        x, y, radius = self.x, self.y, self.radius
        drawn = svg.circle(x, y, radius, fill=style.PAPER, stroke=self.color, stroke_width=5)
        drawn += svg.arc(x, y, 0.93 * radius, START, START + SWEEP, stroke=style.INK, stroke_width=style.THIN)
        if system == "us" and self.lowest < 0.0:
            ends = self.angle(self.lowest), self.angle(0.0)
            drawn += svg.arc(x, y, 0.945 * radius, *ends, stroke=style.INK, stroke_width=4, stroke_dasharray="2 2")
        drawn += self._scale(self._marks(system))
        crowded = len(rings) > 1 and self.radius < CROWDED
        return drawn + "".join(
            self._ring(name, self.ring_radius(place), system, crowded) for place, name in enumerate(rings)
        )

    def _marks(self, system: str) -> list[tuple[float, str, bool]]:
        """Degrees, number and whether it is large, of every mark: psi with vacuum in inHg below, or kPa throughout."""
        unit = "psi" if system == "us" else "kPa"
        bottom, top = units.convert(np.array([self.lowest, self.highest]), "pressure difference", unit)
        major, minor = self.steps[system]
        marks = [
            (self.angle(_pascal(value, unit)), f"{value:g}", abs(value / major - round(value / major)) < 1e-6)
            for value in svg.stops(0.0 if system == "us" else bottom, top, minor)
        ]
        if system == "us":
            # A wide scale has no room for every mark of its vacuum: it shows the end alone.
            roomy = self.angle(0.0) - self.angle(-_pascal(5.0, "inHg")) > CLOSEST
            depths = ((depth, -_pascal(depth, "inHg")) for depth in svg.stops(5.0 if roomy else 30.0, 30.0, 5.0))
            marks += [
                (self.angle(gauge), f"{depth:g}", depth % 10 == 0)
                for depth, gauge in depths
                if gauge >= self.lowest - 1.0
            ]
        return marks

    def _scale(self, marks: list[tuple[float, str, bool]]) -> str:
        radius = self.radius
        small = "".join(self._tick(degrees, 0.93, 0.895) for degrees, _, large in marks if not large)
        large = "".join(self._tick(degrees, 0.93, 0.86) for degrees, _, large in marks if large)
        drawn = svg.group(small, stroke=style.INK, stroke_width=style.HAIR)
        drawn += svg.group(large, stroke=style.INK, stroke_width=style.LINE)
        return drawn + self._labels([mark[:2] for mark in marks if mark[2]], 0.845 * radius, bold=True)

    def needle(self, gauge: float) -> str:
        """The needle at a reading."""
        x, y, length = self.x, self.y, 0.88 * self.radius
        shape = svg.path(
            [
                (x - 4, y + 26),
                (x - 2.5, y),
                (x - 1, y - length),
                (x + 1, y - length),
                (x + 2.5, y),
                (x + 4, y + 26),
            ],
            closed=True,
            fill=style.INK,
            transform=f"rotate({svg.number(self.angle(gauge))} {svg.number(x)} {svg.number(y)})",
        )
        return shape + svg.circle(x, y, 8, fill=style.INK)

    def ghost(self, gauge: float) -> str:
        """A thin second needle: the same gauge at another time or on a healthy machine."""
        x, y = self.x, self.y
        return svg.line(
            x,
            y,
            x,
            y - 0.9 * self.radius,
            stroke=style.SOFT,
            stroke_width=2,
            stroke_dasharray="6 4",
            transform=f"rotate({svg.number(self.angle(gauge))} {svg.number(x)} {svg.number(y)})",
        )

    def pointer(self, place: int, name: str, absolute: float) -> str:
        """A small pointer on a ring at the true saturation temperature, that of an absolute pressure, Pa.

        The ring is printed for sea level, so that temperature stands where the pressure would be at sea level.
        """
        x, y, radius = self.x, self.y, self.ring_radius(place)
        turned = svg.number(self.angle(absolute - units.STANDARD_ATMOSPHERE))
        return svg.path(
            [(x, y - radius), (x - 6, y - radius - 11), (x + 6, y - radius - 11)],
            closed=True,
            fill=style.REFRIGERANT[name].color,
            transform=f"rotate({turned} {svg.number(x)} {svg.number(y)})",
        )

    def _tick(self, degrees: float, outer: float, inner: float) -> str:
        (x1, y1), (x2, y2) = (svg.polar(self.x, self.y, part * self.radius, degrees) for part in (outer, inner))
        return svg.line(x1, y1, x2, y2)

    def _labels(self, labels: list[tuple[float, str]], outer: float, *, bold: bool = False, **look: object) -> str:
        """Labels just inside a circle, zero first; one that would touch another is left out."""
        drawn, taken = [], []
        for degrees, words in sorted(labels, key=lambda label: (label[1] != "0", label[0])):
            width, turned = svg.text_width(words, style.TICK), math.radians(degrees)
            radius = outer - 0.5 * (width * abs(math.sin(turned)) + style.TICK * abs(math.cos(turned)))
            px, py = svg.polar(self.x, self.y, radius, degrees)
            if any(abs(px - x) < 0.5 * (width + other) + 4 and abs(py - y) < style.TICK for x, y, other in taken):
                continue
            taken.append((px, py, width))
            drawn.append(svg.text(px, py + 5, words, size=style.TICK, bold=bold))
        return svg.group("".join(drawn), text_anchor="middle", **look)

    def _ring(self, name: str, radius: float, system: str, crowded: bool) -> str:
        sign = style.REFRIGERANT[name]
        unit = "F" if system == "us" else "C"
        low, high = (_saturation(name, gauge) for gauge in (self.lowest, self.highest))
        first, last = (units.convert(value, "temperature", unit) for value in (low, high))
        small, large, labels = [], [], []
        major = (20.0 if system == "us" else 10.0) * (2.0 if crowded else 1.0)
        for value in svg.stops(first, last, major / 2):
            kelvin = units.from_unit(value, "temperature", unit)
            degrees = self.angle(refrigerants.saturation_pressure(name, kelvin) - units.STANDARD_ATMOSPHERE)
            is_large = abs(value / major - round(value / major)) < 1e-6
            outer, inner = radius / self.radius, (radius - (10 if is_large else 6)) / self.radius
            (large if is_large else small).append(self._tick(degrees, outer, inner))
            if is_large:
                labels.append((degrees, f"{value:.0f}".replace("-", "−")))
        ends = [self.angle(refrigerants.saturation_pressure(name, k) - units.STANDARD_ATMOSPHERE) for k in (low, high)]
        drawn = svg.arc(
            self.x,
            self.y,
            radius,
            *ends,
            stroke=sign.color,
            stroke_width=style.LINE,
            stroke_dasharray=sign.dash,
        )
        drawn += svg.group("".join(small), stroke=sign.color, stroke_width=style.HAIR)
        drawn += svg.group("".join(large), stroke=sign.color, stroke_width=style.LINE)
        drawn += self._labels(labels, radius - 11, fill=sign.color)
        drop = 0.78 * radius + 6
        drawn += svg.text(
            self.x,
            self.y + drop,
            f"{name}, {unit}",
            size=style.TICK,
            anchor="middle",
            color=sign.color,
            bold=True,
        )
        return drawn


def compound(x: float, y: float, radius: float, top: float, color: str = style.INK) -> Dial:
    """A gauge that shows vacuum as well, up to `top` psi."""
    return Dial(x, y, radius, _pascal(VACUUM_END, "psi"), _pascal(top, "psi"), STEPS[top], color)


def manifold(low_x: float, high_x: float, y: float, radius: float) -> Mapping[str, Dial]:
    """The two gauges of a manifold, by side: the low one shows vacuum, the high one begins at 0."""
    high = Dial(high_x, y, radius, 0.0, _pascal(500.0, "psi"), STEPS[500.0], style.HIGH)
    return MappingProxyType({"low": compound(low_x, y, radius, 150.0, style.LOW), "high": high})


def _pascal(number: float, unit: str) -> float:
    return float(units.from_unit(number, "pressure difference", unit))


def _saturation(name: str, gauge: float) -> float:
    """Saturation temperature on a ring printed for sea level; the ring starts where it is worth printing."""
    lowest = refrigerants.saturation_pressure(name, RING_START)
    highest = 0.999 * refrigerants.table(name).highest_pressure
    pressure = min(max(gauge + units.STANDARD_ATMOSPHERE, lowest), highest)
    return float(refrigerants.saturation_temperature(name, pressure))
