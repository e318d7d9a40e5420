"""One gauge with the temperature scales of two refrigerants, for the lesson on pressure and temperature."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab import refrigerants, units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import (
    absolute_words,
    altitude_slider,
    altitude_words,
    gauge_slider,
    gauge_words,
)
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.dial import compound
from coldcab.words import _

NAMES = ("R-12", "R-134a")
LOWEST, HIGHEST = -14.24, 300.0  # psi from the air pressure; the low end is 29 inHg vacuum
BAR_LEFT, BAR_WIDTH = 462.0, 350.0
BAR_ENDS = {"us": (20.0, 50.0, 100.0, 200.0, 320.0), "si": (140.0, 350.0, 700.0, 1400.0, 2200.0)}  # psi, kPa

ABOVE_THE_AIR = _(
    "The gauge shows {gauge}. The air at {place}, {air:.1f} {unit}, plus the gauge reading "
    "makes {absolute}. At that pressure liquid and vapor stand together at {old_at} for "
    "{old} and {new_at} for {new}."
)
BELOW_THE_AIR = _(
    "The gauge shows {gauge}. The air at {place}, {air:.1f} {unit}, less the gauge reading "
    "makes {absolute}. At that pressure liquid and vapor stand together at {old_at} for "
    "{old} and {new_at} for {new}."
)


class PressureAndTemperature(Instrument):
    """Gauge reading, absolute pressure and the saturation temperatures of R-12 and R-134a.

    Settings: `gauge` (psig, vacuum below zero or "20 inHg vac"), `altitude` (ft).
    Readings (SI): `gauge`, `atmosphere`, `absolute`, and a saturation temperature under each refrigerant's name.
    """

    title = _("Pressure gauge with the temperature scales of R-12 and R-134a")
    height = 470
    stamp = (640.0, 130.0)
    controls = (gauge_slider("gauge", "gauge reading", LOWEST, HIGHEST, 31.0), altitude_slider())

    dial = compound(228.0, 236.0, 204.0, HIGHEST)

    def calculate(self) -> dict[str, Any]:
        gauge = self.settings["gauge"]
        absolute = self.gauge_to_absolute(gauge)
        readings = {"gauge": gauge, "atmosphere": self.atmosphere, "absolute": absolute}
        for name in NAMES:
            readings[name] = float(refrigerants.saturation_temperature(name, absolute))
        return readings

    def face(self) -> str:
        us = self.system == "us"
        dial = self.dial.face(self.system, NAMES)
        unit = _("psig, vacuum in inHg") if us else "kPa gauge"
        drawn = dial + svg.text(228, 412, unit, size=style.TICK, anchor="middle", bold=True)
        drawn += svg.text(BAR_LEFT, 40, _("From the gauge to absolute pressure"), bold=True)
        drawn += svg.text(BAR_LEFT, 278, _("Saturation temperature at that pressure"), bold=True)
        for place, name in enumerate(NAMES):
            sign, x = style.REFRIGERANT[name], BAR_LEFT + 182 * place
            drawn += svg.box(x, 292, 170, 104, rx=6, fill=style.PAPER, stroke=sign.color, stroke_width=2)
            drawn += svg.marker(sign.shape, x + 18, 313, fill=sign.color)
            drawn += svg.text(x + 32, 319, name, bold=True, color=sign.color)
        return drawn

    def standing(self) -> str:
        return self.dial.needle(self.settings["gauge"])

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = "".join(self.dial.pointer(place, name, readings["absolute"]) for place, name in enumerate(NAMES))
        drawn += self.dial.needle(readings["gauge"]) + self._bars(readings)
        for place, name in enumerate(NAMES):
            first, second = _two(readings[name], self.system)
            x = BAR_LEFT + 182 * place
            drawn += svg.text(x + 18, 357, first, size=style.NUMBER, bold=True)
            drawn += svg.text(x + 18, 383, second, color=style.SOFT)
        return drawn + svg.paragraph(BAR_LEFT, 420, self._ring_words(readings), 352, size=style.TICK, color=style.SOFT)

    def summary(self, readings: Mapping[str, Any]) -> str:
        unit = "psi" if self.system == "us" else "kPa"
        old, new = NAMES
        return (ABOVE_THE_AIR if readings["gauge"] >= 0 else BELOW_THE_AIR).format(
            gauge=gauge_words(readings["gauge"], self.system),
            place=altitude_words(self.settings["altitude"], self.system),
            air=units.convert(readings["atmosphere"], "pressure difference", unit),
            unit=unit,
            absolute=absolute_words(readings["absolute"], self.system),
            old=old,
            old_at=self.words(readings[old], "temperature"),
            new=new,
            new_at=self.words(readings[new], "temperature"),
        )

    def _ring_words(self, readings: Mapping[str, Any]) -> str:
        if self.settings["altitude"] < 1.0:
            return _("The rings are printed for sea level. Here that is right.")
        name = NAMES[1]
        printed = refrigerants.saturation_temperature(name, readings["gauge"] + units.STANDARD_ATMOSPHERE)
        over = units.convert(printed - readings[name], "temperature difference", "F" if self.system == "us" else "K")
        return _(
            "Rings are printed for sea level: here the {name} ring at the needle reads {over:.1f} "
            "{value} too warm. The pointers are right."
        ).format(name=name, over=over, value="F" if self.system == "us" else "K")

    def _bars(self, readings: Mapping[str, Any]) -> str:
        """Air pressure, gauge reading and their sum, drawn to scale."""
        unit = "psi" if self.system == "us" else "kPa"
        air, gauge, total = (
            units.convert(readings[name], "pressure difference", unit) for name in ("atmosphere", "gauge", "absolute")
        )
        span = next(end for end in BAR_ENDS[self.system] if max(air, total) <= end)
        scale, at = BAR_WIDTH / span, BAR_LEFT
        edges = at + air * scale, at + total * scale
        drawn = "".join(svg.line(edge, 75, edge, 214, stroke=style.SOFT, stroke_dasharray="2 3") for edge in edges)
        drawn += svg.text(at, 68, _("air around the gauge: {air:.1f} {unit}").format(air=air, unit=unit))
        drawn += svg.box(at, 75, air * scale, 22, fill=style.AIR)
        if gauge >= 0:
            drawn += svg.text(
                at, 122, _("plus the gauge reading: {gauge:.1f} {unit}").format(gauge=gauge, unit=unit), halo=True
            )
            drawn += svg.box(edges[0], 129, gauge * scale, 22, fill=style.METAL, stroke=style.INK)
            drawn += svg.box(edges[0], 183, gauge * scale, 22, fill=style.METAL)
        else:
            drawn += svg.text(
                at, 122, _("less the vacuum: {gauge:.1f} {unit}").format(gauge=-gauge, unit=unit), halo=True
            )
            drawn += svg.box(edges[1], 129, -gauge * scale, 22, fill="none", stroke=style.INK, stroke_dasharray="4 3")
        drawn += svg.box(at, 183, min(air, total) * scale, 22, fill=style.AIR)
        drawn += svg.box(at, 183, total * scale, 22, fill="none", stroke=style.INK, stroke_width=2)
        name = "psia" if self.system == "us" else "kPa"
        drawn += svg.text(
            at, 176, _("absolute pressure: {total:.1f} {name}").format(total=total, name=name), bold=True, halo=True
        )
        return drawn + self._bar_axis(span, scale)

    def _bar_axis(self, span: float, scale: float) -> str:
        step = next(step for step in (5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0) if span / step <= 7)
        drawn = svg.line(BAR_LEFT, 214, BAR_LEFT + BAR_WIDTH, 214)
        words = ""
        for value in svg.stops(0.0, span, step):
            x = BAR_LEFT + value * scale
            drawn += svg.line(x, 214, x, 219)
            words += svg.text(x, 234, f"{value:g}", anchor="middle")
        unit = "psia" if self.system == "us" else "kPa absolute"
        words += svg.text(BAR_LEFT + BAR_WIDTH, 250, unit, anchor="end")
        return svg.group(drawn, stroke=style.SOFT, stroke_width=style.HAIR) + svg.group(
            words, font_size=style.TICK, fill=style.SOFT
        )


def _two(temperature: float, system: str) -> tuple[str, str]:
    fahrenheit, celsius = (f"{units.convert(temperature, 'temperature', unit):.1f} {unit}" for unit in "FC")
    return (fahrenheit, celsius) if system == "us" else (celsius, fahrenheit)
