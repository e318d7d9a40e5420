"""What is in a line: liquid, vapor or both, told from its pressure and its temperature."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab import refrigerants, units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import (
    Choice,
    Slider,
    absolute_words,
    altitude_slider,
    gauge_slider,
    gauge_words,
)
from coldcab.instruments.drawing import style, svg
from coldcab.words import _

BAND = 1.0 / 1.8
"""K. A clamp-on thermometer is good for about 1 F (common practice, no source): within it, saturated."""

SATURATED_AT = _("{gauge} is {absolute}; there {refrigerant} is saturated at {at}.")
STATES = {
    "saturated": _(
        "The line is at {line}: saturated, within what the instruments can tell. Gauge and "
        "thermometer cannot say how much of it is liquid."
    ),
    "superheated": _("The line is at {line}, {amount} warmer: superheated vapor, no liquid is left."),
    "subcooled": _("The line is at {line}, {amount} colder: subcooled liquid, no vapor is left."),
}
SHOWN = (-60.0, 90.0)  # F below and above saturation on the strip
PIPE = (30.0, 72.0, 370.0, 120.0)  # x, y, width, height
STRIP_LEFT, STRIP_RIGHT, STRIP_Y = 452.0, 790.0, 160.0

# Bubbles, as shares of the pipe's length and height with a radius; drawn once, the same every time.
BUBBLES = tuple(
    ((0.02 + 0.0377 * n + 0.013 * (n * 7 % 5)) % 0.97, 0.08 + 0.84 * ((n * 0.618) % 1), 4 + (n * 5) % 9)
    for n in range(26)
)
DOTS = tuple((0.012 + 0.0163 * n, 0.06 + 0.88 * ((n * 0.618) % 1)) for n in range(60))


class StateOfALine(Instrument):
    """Superheated, saturated or subcooled, and by how much.

    Settings: `refrigerant`, `pressure` (psig, vacuum below zero), `temperature` of the line (F), `altitude` (ft).
    Readings (SI): `absolute`, `saturation_temperature`, `temperature`, `above_saturation` (K, negative when
    colder) and `state`: "superheated", "saturated" or "subcooled".
    """

    title = _("What is in this line")
    height = 290
    word_lines = 4
    stamp = (215.0, 132.0)
    controls = (
        Choice("refrigerant", "refrigerant", ("R-134a", "R-12", "R-1234yf"), "R-134a"),
        gauge_slider("pressure", "pressure", -14.24, 400.0, 31.0),
        Slider("temperature", "line temperature", "temperature", -40.0, 220.0, 0.5, 48.0, "F", "C", 0.5),
        altitude_slider(),
    )

    def calculate(self) -> dict[str, Any]:
        absolute = self.gauge_to_absolute(self.settings["pressure"])
        saturation = float(refrigerants.saturation_temperature(self.settings["refrigerant"], absolute))
        above = self.settings["temperature"] - saturation
        state = "saturated" if abs(above) <= BAND else "superheated" if above > 0 else "subcooled"
        return {
            "gauge": self.settings["pressure"],
            "absolute": absolute,
            "saturation_temperature": saturation,
            "temperature": self.settings["temperature"],
            "above_saturation": above,
            "state": state,
        }

    def face(self) -> str:
        unit = "F" if self.system == "us" else "K"
        drawn = svg.text(style.MARGIN, 34, _("The line, cut open"), bold=True)
        drawn += svg.line(STRIP_LEFT, STRIP_Y, STRIP_RIGHT, STRIP_Y, stroke=style.INK, stroke_width=style.LINE)
        ticks = ""
        for value in svg.stops(*(self._span()), 10.0):
            x = self._place(value)
            ticks += svg.line(x, STRIP_Y, x, STRIP_Y + 8, stroke=style.INK)
            if value % 20 == 0:
                sign = "+" if value > 0 else "−" if value < 0 else ""
                ticks += svg.text(x, STRIP_Y + 25, f"{sign}{abs(value):g}", size=style.TICK, anchor="middle")
        zero = self._place(0.0)
        drawn += ticks
        words = _("{unit} colder or warmer than saturation").format(unit=unit)
        drawn += svg.text(STRIP_RIGHT, STRIP_Y + 46, words, size=style.TICK, anchor="end", color=style.SOFT)
        above = STRIP_Y - 64
        drawn += svg.text(STRIP_LEFT, above, "subcooled liquid", size=style.TICK, bold=True)
        drawn += svg.text(STRIP_RIGHT, above, "superheated vapor", size=style.TICK, bold=True, anchor="end")
        return drawn + svg.line(zero, above - 14, zero, STRIP_Y + 10, stroke=style.INK, stroke_width=style.THIN)

    def moving(self, readings: Mapping[str, Any]) -> str:
        state, above = readings["state"], readings["above_saturation"]
        what = {"superheated": "superheated vapor", "saturated": _("saturated: liquid and vapor together")}
        shown = what.get(state, "subcooled liquid")
        drawn = self._pipe(state) + svg.text(PIPE[0], 240, shown, size=style.STRONG, bold=True)
        zero = self._place(0.0)
        low, high = self._span()
        step = above * (1.8 if self.system == "us" else 1.0)
        place = self._place(min(max(step, low), high))
        drawn += svg.box(min(zero, place), STRIP_Y - 14, abs(place - zero), 10, fill=style.METAL, stroke=style.INK)
        drawn += svg.marker("triangle", place, STRIP_Y - 12, 8, fill=style.INK, transform=_down(place, STRIP_Y - 12))
        saturation = self.words(readings["saturation_temperature"], "temperature")
        drawn += svg.text(zero, STRIP_Y - 90, f"saturation {saturation}", anchor="middle", halo=True)
        name = f"this line {self.words(readings['temperature'], 'temperature')}"
        half = svg.text_width(name, style.BODY) / 2
        at = min(max(place, STRIP_LEFT - 30 + half), STRIP_RIGHT + 30 - half)
        drawn += svg.text(at, STRIP_Y - 28, name, anchor="middle", bold=True, halo=True)
        width = STRIP_RIGHT - STRIP_LEFT + 20
        return drawn + svg.paragraph(
            STRIP_LEFT, STRIP_Y + 80, self._amount(readings), width, size=style.STRONG, bold=True
        )

    def summary(self, readings: Mapping[str, Any]) -> str:
        saturated = SATURATED_AT.format(
            gauge=gauge_words(readings["gauge"], self.system),
            absolute=absolute_words(readings["absolute"], self.system),
            refrigerant=self.settings["refrigerant"],
            at=self.words(readings["saturation_temperature"], "temperature"),
        )
        state = STATES[readings["state"]].format(
            line=self.words(readings["temperature"], "temperature"),
            amount=self.words(abs(readings["above_saturation"]), "temperature difference"),
        )
        return f"{saturated} {state}"

    def _amount(self, readings: Mapping[str, Any]) -> str:
        if readings["state"] == "saturated":
            return _("saturated, within what the instruments can tell")
        amount = self.words(abs(readings["above_saturation"]), "temperature difference")
        return f"{'superheat' if readings['state'] == 'superheated' else 'subcooling'} {amount}"

    def _span(self) -> tuple[float, float]:
        return SHOWN if self.system == "us" else (-30.0, 50.0)

    def _place(self, step: float) -> float:
        low, high = self._span()
        return STRIP_LEFT + (STRIP_RIGHT - STRIP_LEFT) * (step - low) / (high - low)

    def _pipe(self, state: str) -> str:
        """The cut pipe and what is in it; each state has its own pattern, whatever its color."""
        x, y, width, height = PIPE
        drawn = svg.box(x, y - 12, width, height + 24, fill=style.METAL, stroke=style.INK, stroke_width=style.THIN)
        fill = style.VAPOR if state == "superheated" else style.LIQUID
        drawn += svg.box(x, y, width, height, fill=fill, stroke=style.INK, stroke_width=style.THIN)
        if state == "superheated":
            dots = (svg.circle(x + u * width, y + v * height, 2.2) for u, v in DOTS)
            return drawn + svg.group("".join(dots), fill=style.SOFT)
        if state == "subcooled":
            rows = (
                svg.line(x + 14 + (46 if row % 2 else 0), y + 16 + 22 * row, x + width - 14, y + 16 + 22 * row)
                for row in range(5)
            )
            return drawn + svg.group("".join(rows), stroke=style.INK, stroke_width=style.HAIR, stroke_dasharray="34 58")
        bubbles = (
            svg.circle(x + 14 + u * (width - 28), y + 14 + v * (height - 28), float(radius)) for u, v, radius in BUBBLES
        )
        return drawn + svg.group("".join(bubbles), fill=style.PAPER, stroke=style.INK, stroke_width=style.THIN)


def _down(x: float, y: float) -> str:
    return f"rotate(180 {svg.number(x)} {svg.number(y)})"


def band_words() -> str:
    """The band within which a line is called saturated, for lessons."""
    return units.show(BAND, "temperature difference")
