"""A low-side and a high-side gauge with the saturation temperatures of the chosen refrigerant."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab import refrigerants
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import (
    Choice,
    absolute_words,
    altitude_slider,
    altitude_words,
    gauge_slider,
    gauge_words,
)
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.dial import HEADS, manifold
from coldcab.words import _

LOW_RANGE = (-14.24, 150.0)  # psi from the air pressure; the low end is 29 inHg vacuum
HIGH_RANGE = (0.0, 475.0)
BOTH = "R-12 and R-134a"
SIDES = ("low", "high")
SATURATED = {
    ("low", 1): _("Low side {gauge}, which is {absolute}: {first} boils at {at}."),
    ("low", 2): _("Low side {gauge}, which is {absolute}: {first} boils at {at} and {second} boils at {second_at}."),
    ("high", 1): _("High side {gauge}, which is {absolute}: {first} condenses at {at}."),
    (
        "high",
        2,
    ): _("High side {gauge}, which is {absolute}: {first} condenses at {at} and {second} condenses at {second_at}."),
}
"""By side and how many refrigerants have their scale on it."""
AIR_AS_AT = _("Air pressure as at {place}: {pressure}.")
THIN_NEEDLES = _("The thin dashed needles show {low} and {high}.")


class GaugePair(Instrument):
    """Two gauges as they hang on the service ports.

    Parameters
    ----------
    healthy : low-side and high-side readings of a second, thin needle (psig or text with a unit), or None.

    Settings: `low` and `high` (psig), `refrigerant` ("R-12", "R-134a", "R-1234yf" or "R-12 and R-134a"), `altitude`
    (ft).
    Readings (SI): `atmosphere`, `low`, `high` (gauge), `low absolute`, `high absolute`, and for each side and
    refrigerant a saturation temperature such as `low R-134a`.
    """

    title = _("Low-side and high-side gauge")
    height = 490
    word_lines = 5
    stamp = (420.0, 250.0)
    face_settings = ("refrigerant",)
    controls = (
        gauge_slider("low", "low side", *LOW_RANGE, 31.0),
        gauge_slider("high", "high side", *HIGH_RANGE, 200.0),
        Choice("refrigerant", "temperature scale", ("R-134a", "R-12", "R-1234yf", BOTH), "R-134a"),
        altitude_slider(),
    )
    dials = manifold(212.0, 628.0, 206.0, 186.0)

    def __init__(self, *, healthy: tuple[object, object] | None = None, **settings: object) -> None:
        self._healthy: tuple[float, float] | None = None
        super().__init__(**settings)
        self.compare(healthy)

    def compare(self, healthy: tuple[object, object] | None) -> GaugePair:
        """Set or remove the thin second needles; readings in psig or text with a unit."""
        if healthy is not None:
            sides = zip(self.controls[:2], healthy, strict=True)
            low, high = (control.read(given, self.system, self.atmosphere) for control, given in sides)
            self._healthy = low, high
        else:
            self._healthy = None
        if self._panel is not None:
            self._panel.paint()
        return self

    @property
    def names(self) -> tuple[str, ...]:
        """The refrigerants whose scales are shown."""
        return tuple(self.settings["refrigerant"].split(" and "))

    def calculate(self) -> dict[str, Any]:
        readings: dict[str, Any] = {"atmosphere": self.atmosphere}
        for side in SIDES:
            readings[side] = self.settings[side]
            readings[f"{side} absolute"] = self.gauge_to_absolute(readings[side])
        for side in SIDES:
            for name in self.names:
                pressure = readings[f"{side} absolute"]
                readings[f"{side} {name}"] = float(refrigerants.saturation_temperature(name, pressure))
        return readings

    def face(self) -> str:
        us = self.system == "us"
        drawn = ""
        for side, gauge in self.dials.items():
            drawn += gauge.face(self.system, self.names)
            words = "kPa gauge" if not us else _("psig, vacuum in inHg") if side == "low" else "psig"
            drawn += svg.text(gauge.x, gauge.y + 156, words, size=style.TICK, anchor="middle")
            drawn += svg.box(gauge.x - 190, 402, 380, 78, rx=6, fill=style.PAPER, stroke=gauge.color, stroke_width=2)
            drawn += svg.text(gauge.x - 178, 426, HEADS[side], bold=True, color=gauge.color, size=style.TICK)
        return drawn

    def standing(self) -> str:
        return "".join(self.dials[side].needle(self.settings[side]) for side in SIDES)

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = ""
        for place, (side, gauge) in enumerate(self.dials.items()):
            drawn += "".join(
                gauge.pointer(ring, name, readings[f"{side} absolute"]) for ring, name in enumerate(self.names)
            )
            if self._healthy:
                drawn += gauge.ghost(self._healthy[place])
            drawn += gauge.needle(readings[side])
            left = gauge.x - 178
            drawn += svg.text(left + 100, 427, gauge_words(readings[side], self.system), bold=True)
            absolute = absolute_words(readings[f"{side} absolute"], self.system)
            drawn += svg.text(
                gauge.x + 178, 426, absolute.split(" (")[0].replace("absolute", "abs"), size=style.TICK, anchor="end"
            )
            for row, name in enumerate(self.names):
                sign = style.REFRIGERANT[name]
                y = 451 + 21 * row
                drawn += svg.marker(sign.shape, left + 6, y - 5, 5, fill=sign.color)
                shown = _("{name} saturated at {side}").format(
                    name=name, side=self.words(readings[f"{side} {name}"], "temperature")
                )
                drawn += svg.text(left + 20, y, shown)
        return drawn

    def summary(self, readings: Mapping[str, Any]) -> str:
        sentences = [self._side(side, readings) for side in SIDES]
        sentences.append(
            AIR_AS_AT.format(
                place=altitude_words(self.settings["altitude"], self.system),
                pressure=absolute_words(self.atmosphere, self.system),
            )
        )
        if self._healthy:
            low, high = (gauge_words(value, self.system) for value in self._healthy)
            sentences.append(THIN_NEEDLES.format(low=low, high=high))
        return " ".join(sentences)

    def _side(self, side: str, readings: Mapping[str, Any]) -> str:
        first, second = (self.names * 2)[:2]
        return SATURATED[side, len(self.names)].format(
            gauge=gauge_words(readings[side], self.system),
            absolute=absolute_words(readings[f"{side} absolute"], self.system),
            first=first,
            at=self.words(readings[f"{side} {first}"], "temperature"),
            second=second,
            second_at=self.words(readings[f"{side} {second}"], "temperature"),
        )
