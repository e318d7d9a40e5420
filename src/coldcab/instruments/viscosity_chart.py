"""The viscosity chart: two oils and their blend over temperature, with the ISO grades at 40 C."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from coldcab import oil, units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Slider
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.rows import rows
from coldcab.oil.samples import SAMPLES, sample_named
from coldcab.words import _

PLOT = (78.0, 66.0, 660.0, 380.0)  # x, y, width, height
TEMPERATURES = (253.15, 393.15)  # K, -20 to 120 C
VISCOSITIES = (3e-6, 20e-3)  # m2/s
GRADES = (22, 32, 46, 68, 100, 150, 220)
AT_40 = 313.15
FIRST_SIGN, SECOND_SIGN = style.Sign(style.FIRST, None, "circle"), style.Sign(style.SECOND, "8 4", "square")
BLEND_SIGN = style.Sign(style.INK, None, "diamond")
TABLE_TOP = 500.0
COLUMNS = (20.0, 250.0, 390.0, 540.0)
NO_GRADE = "between two grades"


class ViscosityChart(Instrument):
    """Two oils of one type, blended by volume, on a chart on which every oil is a straight line.

    Settings: `first` and `second` (sample oils, see `coldcab.oil.samples`), `share` (% of the second oil by volume),
    `temperature` (F). Readings (SI): `first`, `second`, `blend` (m2/s at the temperature set), `first at 40 C` and so
    on, `grade` (ISO viscosity grade of the blend, or None), `mean` (of the two at 40 C, weighed by volume: what a blend
    is often wrongly taken for), `index` (viscosity index of the blend).
    """

    title = "The viscosity chart"
    height = 604
    word_lines = 4
    stamp = (408.0, 256.0)
    face_settings = ()
    controls = (
        Choice("first", "first oil", tuple(SAMPLES), "PAG 46"),
        Choice("second", "second oil", tuple(SAMPLES), "PAG 150"),
        Slider("share", _("share of the second"), "fraction", 0.0, 100.0, 1.0, 50.0, "%", "%", 1.0, decimals=0),
        Slider("temperature", "oil temperature", "temperature", -4.0, 248.0, 1.0, 176.0, "F", "C", 0.5),
    )

    def calculate(self) -> dict[str, Any]:
        first, second = (sample_named(self.settings[name]) for name in ("first", "second"))
        if first.oil != second.oil:
            raise ValueError(
                _(
                    "{oil} and {oil_2} do not make a grade: what is left of one in the other is a residue, "
                    "and no blend makes it right; choose two oils of one type."
                ).format(oil=first.oil, oil_2=second.oil)
            )
        share = self.settings["share"]
        points = tuple(
            (here[0], oil.blend_viscosity((here[1], there[1]), (1.0 - share, share)))
            for here, there in zip(first.points, second.points, strict=True)
        )
        lines = {
            "first": oil.viscosity_line(first.points),
            "second": oil.viscosity_line(second.points),
            "blend": oil.viscosity_line(points),
        }
        temperature = self.settings["temperature"]
        at_40 = points[0][1]
        return {
            "lines": lines,
            "temperature": temperature,
            **{name: line.at(temperature) for name, line in lines.items()},
            "first at 40 C": first.points[0][1],
            "second at 40 C": second.points[0][1],
            "blend at 40 C": at_40,
            "grade": oil.grade_of(at_40),
            "mean": (1.0 - share) * first.points[0][1] + share * second.points[0][1],
            "index": oil.viscosity_index(at_40, points[1][1]),
        }

    def face(self) -> str:
        x, y, width, height = PLOT
        drawn = svg.box(x, y, width, height, fill=style.PAPER, stroke=style.INK)
        lines, words = "", ""
        for value in (5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000):
            __, py = place_on_chart(AT_40, value * 1e-6)
            lines += svg.line(x, py, x + width, py)
            words += svg.text(x - 8, py + 5, f"{value:,}", anchor="end")
        us = self.system == "us"
        for value in (0, 50, 100, 150, 200) if us else (-20, 0, 20, 40, 60, 80, 100, 120):
            kelvin = units.from_unit(value, "temperature", "F" if us else "C")
            px, __ = place_on_chart(kelvin, VISCOSITIES[0])
            lines += svg.line(px, y, px, y + height)
            words += svg.text(px, y + height + 20, f"{value:g}".replace("-", "−"), anchor="middle")
        words += svg.text(x + width, y + height + 20, "F" if us else "C", anchor="end", bold=True)
        words += svg.text(x - 8, y - 10, "cSt", anchor="end", bold=True)
        drawn += svg.group(lines, stroke=style.RULE, stroke_width=0.6)
        drawn += svg.group(words, font_size=style.TICK, fill=style.SOFT)
        # The grades stand at 40 C; each is a band with a gap to the next.
        px, __ = place_on_chart(AT_40, 1e-4)
        bands, names = "", ""
        for grade in GRADES:
            low, high = oil.grade_limits(grade)
            top, bottom = place_on_chart(AT_40, high)[1], place_on_chart(AT_40, low)[1]
            bands += svg.box(px - 9, top, 18, bottom - top)
            names += svg.text(x + width + 12, 0.5 * (top + bottom) + 5, f"VG {grade}")
            names += svg.line(px + 9, 0.5 * (top + bottom), x + width + 8, 0.5 * (top + bottom), stroke=style.RULE)
        drawn += svg.group(bands, fill=style.METAL, stroke=style.INK, stroke_width=1)
        drawn += svg.group(names, font_size=style.TICK, fill=style.SOFT)
        drawn += svg.text(x, 30, _("Kinematic viscosity over temperature, oil without refrigerant"), bold=True)
        return drawn + svg.text(px, y - 10, "40 C (104 F)", size=style.TICK, anchor="middle", color=style.SOFT)

    def moving(self, readings: Mapping[str, Any]) -> str:
        x, y, width, height = PLOT
        here, __ = place_on_chart(readings["temperature"], VISCOSITIES[0])
        marks, drawn = "", svg.line(here, y, here, y + height, stroke=style.SOFT, stroke_dasharray="3 4")
        signs = {"first": FIRST_SIGN, "second": SECOND_SIGN, "blend": BLEND_SIGN}
        for name, sign in signs.items():
            line = readings["lines"][name]
            ends = [place_on_chart(kelvin, line.at(kelvin)) for kelvin in TEMPERATURES]
            drawn += svg.path(ends, stroke=sign.color, stroke_width=style.LINE, stroke_dasharray=sign.dash)
            if readings[name] <= VISCOSITIES[1]:
                marks += svg.marker(
                    sign.shape, *place_on_chart(readings["temperature"], readings[name]), 6, fill=sign.color
                )
        marks += svg.marker(
            "triangle", *place_on_chart(AT_40, readings["mean"]), 6, fill=style.PAPER, stroke=style.HIGH, stroke_width=2
        )
        # A line that leaves the chart is cut at its edge.
        cut = svg.element("svg", drawn, x=x, y=y, width=width, height=height, viewBox=f"{x} {y} {width} {height}")
        return cut + marks + self._table(readings)

    def _table(self, readings: Mapping[str, Any]) -> str:
        drawn = svg.marker(
            "triangle", COLUMNS[0] + 6, TABLE_TOP + 90, 6, fill=style.PAPER, stroke=style.HIGH, stroke_width=2
        )
        drawn += svg.text(
            COLUMNS[0] + 20,
            TABLE_TOP + 95,
            _("not the blend: the mean of both, {mean}").format(mean=_cst(readings["mean"])),
        )
        for column, (name, sign) in zip(
            COLUMNS[1:], (("first", FIRST_SIGN), ("second", SECOND_SIGN), ("blend", BLEND_SIGN)), strict=True
        ):
            drawn += svg.marker(sign.shape, column + 6, TABLE_TOP - 5, 6, fill=sign.color)
            head = "blend" if name == "blend" else self.settings[name]
            drawn += svg.text(column + 20, TABLE_TOP, head, bold=True, color=sign.color)
        grade = readings["grade"]
        lines = [
            (f"at {self._warm(readings)}", *(_cst(readings[name]) for name in ("first", "second", "blend"))),
            (
                "at 40 C (104 F)",
                *(_cst(readings[f"{name} at 40 C"]) for name in ("first", "second")),
                f"{_cst(readings['blend at 40 C'])}, {f'ISO VG {grade}' if grade else NO_GRADE}",
            ),
        ]
        return drawn + rows(TABLE_TOP + 25, COLUMNS, lines)

    def summary(self, readings: Mapping[str, Any]) -> str:
        grade = readings["grade"]
        blend = (OF_A_GRADE if grade else BETWEEN_GRADES).format(
            share=100.0 * self.settings["share"],
            second=self.settings["second"],
            first=self.settings["first"],
            at_40=_cst(readings["blend at 40 C"]),
            grade=grade,
            warm=self._warm(readings),
            at_warm=_cst(readings["blend"]),
        )
        gap = readings["mean"] / readings["blend at 40 C"] - 1.0
        return f"{blend} {MEAN.format(mean=_cst(readings['mean']), gap=100 * gap)}" if gap > 0.02 else blend

    def details(self, readings: Mapping[str, Any]) -> str:
        both = ", ".join(
            _("{settings} {name} at 40 C and {name_2} at {warm}").format(
                settings=self.settings[name],
                name=_cst(readings[f"{name} at 40 C"]),
                name_2=_cst(readings[name]),
                warm=self._warm(readings),
            )
            for name in ("first", "second")
        )
        return _("{summary} {both}. Viscosity index of the blend {index:.0f}.").format(
            summary=self.summary(readings), both=both, index=readings["index"]
        )

    def _warm(self, readings: Mapping[str, Any]) -> str:
        unit = "F" if self.system == "us" else "C"
        return f"{units.convert(readings['temperature'], 'temperature', unit):.0f} {unit}"


OF_A_GRADE = _(
    "{share:.0f} % {second} in {first} by volume: {at_40} at 40 C, ISO VG {grade}. At {warm} it is {at_warm}."
)
BETWEEN_GRADES = _(
    "{share:.0f} % {second} in {first} by volume: {at_40} at 40 C, no ISO grade; it lies "
    "between two. At {warm} it is {at_warm}."
)
MEAN = _("The mean of the two numbers would be {mean}, {gap:.0f} % too much.")


def _cst(value: float) -> str:
    """A viscosity as oil cans tell it."""
    number = value * 1e6
    return f"{number:,.0f} cSt" if number >= 99.95 else f"{number:.1f} cSt"


def place_on_chart(kelvin: float, viscosity: float) -> tuple[float, float]:
    """A place on the chart: along log T and log log v every oil of ASTM D341 is a straight line."""
    x, y, width, height = PLOT
    across = math.log(kelvin / TEMPERATURES[0]) / math.log(TEMPERATURES[1] / TEMPERATURES[0])
    low, high, here = (math.log(math.log(v * 1e6 + 0.7)) for v in (*VISCOSITIES, viscosity))
    return x + width * across, y + height * (1.0 - (here - low) / (high - low))
