"""What a learner moves or types: the controls of an instrument, told as data."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from coldcab import units
from coldcab.words import _

_BARE = re.compile(r"\s*[-+−]?[\d.,]+\s*")


@dataclass(frozen=True, slots=True)
class Slider:
    """A slider with an entry box beside it.

    Limits, step and start are numbers in the trade unit; the setting itself is kept in SI.
    """

    name: str
    label: str
    kind: str
    lowest: float
    highest: float
    step: float
    start: float
    unit: str
    metric_unit: str
    metric_step: float
    decimals: int = 1
    folded: bool = False

    @property
    def limits(self) -> tuple[float, float]:
        """Lowest and highest setting, SI."""
        return self.to_si(self.lowest), self.to_si(self.highest)

    @property
    def first(self) -> float:
        """The setting at the start, SI."""
        return self.to_si(self.start)

    def to_si(self, number: float) -> float:
        """A number in the trade unit as SI."""
        return units.from_unit(number, self.kind, self.unit) if self.unit else float(number)

    def unit_of(self, system: str) -> str:
        """The unit that the box shows."""
        return self.unit if system == "us" else self.metric_unit

    def in_unit(self, value: float, system: str) -> float:
        """A setting as a number in the unit that the slider shows."""
        unit = self.unit_of(system)
        return float(units.convert(value, self.kind, unit)) if unit else value

    def from_number(self, number: float, system: str) -> float:
        """The setting that a slider's number stands for, SI."""
        unit = self.unit_of(system)
        return float(units.from_unit(number, self.kind, unit)) if unit else float(number)

    def travel(self, system: str) -> tuple[float, float, float]:
        """Lowest and highest number on the slider and its step, in the unit shown.

        The ends are whole steps, so that the slider stops at round numbers; they may lie just past the limits.
        """
        low, high = (self.in_unit(value, system) for value in self.limits)
        step = self.step if system == "us" else self.metric_step
        return math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step, step

    def words(self, value: float, system: str) -> str:
        """The setting as the box shows it."""
        return f"{self.in_unit(value, system):,.{self.decimals}f} {self.unit_of(system)}".rstrip()

    def read(self, given: object, system: str, atmosphere: float, *, typed: bool = False) -> float:
        """A setting from a number in the trade unit or from text with a unit, SI.

        `typed` says that the text comes from the box, whose label names the unit: a bare number is then taken.
        """
        if isinstance(given, str):
            text = given
            if typed and _BARE.fullmatch(text):
                text = f"{text.replace('−', '-').strip()} {self.unit_of(system)}"
            value = self._parse(text, atmosphere)
        else:
            value = self.to_si(_one_number(given, self.label))
        self._check(value, system)
        return value

    def _parse(self, text: str, atmosphere: float) -> float:
        return units.parse(text, self.kind, atmosphere=atmosphere).value

    def _check(self, value: float, system: str) -> None:
        low, high = self.limits
        slack = 1e-9 * (high - low)
        if not low - slack <= value <= high + slack:
            raise ValueError(
                _("{label}: {words} is outside this instrument, which goes from {low} to {high}.").format(
                    label=self.label,
                    words=self.words(value, system),
                    low=self.words(low, system),
                    high=self.words(high, system),
                )
            )


@dataclass(frozen=True, slots=True)
class GaugeSlider(Slider):
    """A slider for a gauge reading: kept as the difference from the air pressure, Pa; vacuum is negative."""

    @property
    def limits(self) -> tuple[float, float]:
        return _psi(self.lowest), _psi(self.highest)

    def to_si(self, number: float) -> float:
        return _psi(number)

    def in_unit(self, value: float, system: str) -> float:
        return float(units.convert(value, "pressure difference", "psi" if system == "us" else "kPa"))

    def from_number(self, number: float, system: str) -> float:
        return float(units.from_unit(number, "pressure difference", "psi" if system == "us" else "kPa"))

    def words(self, value: float, system: str) -> str:
        return gauge_words(value, system)

    def _parse(self, text: str, atmosphere: float) -> float:
        return units.parse(text, "pressure", atmosphere=atmosphere).value - atmosphere


def gauge_slider(name: str, label: str, lowest: float, highest: float, start: float) -> GaugeSlider:
    """A gauge reading in psig (vacuum below zero), shown as inHg vacuum or psig."""
    return GaugeSlider(name, label, "pressure", lowest, highest, 0.5, start, "psig", "kPa gauge", 2.0)


def altitude_slider() -> Slider:
    """The altitude of the yard, from the sea to 10,000 ft."""
    return Slider("altitude", "altitude", "length", 0.0, 10_000.0, 100.0, 0.0, "ft", "m", 50.0, decimals=0)


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few words."""

    name: str
    label: str
    options: tuple[str, ...]
    first: str
    folded: bool = False

    def read(self, given: object, system: str, atmosphere: float, *, typed: bool = False) -> str:
        if given not in self.options:
            shown = str(given)[:30]
            raise ValueError(
                _("{label}: {shown!r} is not one of {options}.").format(
                    label=self.label, shown=shown, options=", ".join(self.options)
                )
            )
        return str(given)


@dataclass(frozen=True, slots=True)
class Buttons(Choice):
    """One of a few words, each a button that is pressed; those that are not offered are hidden.

    The first option stands for no button pressed and is never shown.
    """


@dataclass(frozen=True, slots=True)
class Switch:
    """On or off."""

    name: str
    label: str
    first: bool
    folded: bool = False

    def read(self, given: object, system: str, atmosphere: float, *, typed: bool = False) -> bool:
        if not isinstance(given, bool):
            raise ValueError(
                _("{label}: it is on or off (True or False), not {value!r}.").format(
                    label=self.label, value=str(given)[:30]
                )
            )
        return given


@dataclass(frozen=True, slots=True)
class Entry:
    """A box for a quantity with its unit; the text is kept as it was typed."""

    name: str
    label: str
    first: str
    folded: bool = False

    def read(self, given: object, system: str, atmosphere: float, *, typed: bool = False) -> str:
        if not isinstance(given, str):
            raise ValueError(
                _("{label}: write a number with its unit, for example {first}.").format(
                    label=self.label, first=self.first
                )
            )
        return printable(given)[:LONGEST_ENTRY]


LONGEST_ENTRY = 60
"""Characters kept of what is typed into an entry."""

Control = Slider | Choice | Switch | Entry


def printable(text: str) -> str:
    """Text on one line, without the characters that no keyboard types and no drawing can hold."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def gauge_words(value: float, system: str = "us") -> str:
    """A gauge reading in words: "31.0 psig", "12.0 inHg vacuum", or in kPa. `value` in Pa from the air pressure."""
    if system == "si":
        return f"{units.convert(value, 'pressure difference', 'kPa'):.0f} kPa gauge"
    psi = units.convert(value, "pressure difference", "psi")
    if psi > -0.05:
        return f"{abs(psi):.1f} psig"
    return f"{-units.convert(value, 'pressure difference', 'inHg'):.1f} inHg vacuum"


def absolute_words(pressure: float, system: str = "us") -> str:
    """An absolute pressure in words, "45.7 psia (315 kPa absolute)"."""
    psia, kilopascal = (units.convert(pressure, "pressure", unit) for unit in ("psia", "kPa absolute"))
    shown = f"{psia:.1f} psia", f"{kilopascal:.0f} kPa absolute"
    return in_both(*shown, system)


def in_both(trade: str, metric: str, system: str) -> str:
    """A value written in both systems, the asked one first: "1.2 psi (8 kPa)"."""
    return f"{trade} ({metric})" if system == "us" else f"{metric} ({trade})"


def altitude_words(value: float, system: str = "us") -> str:
    """An altitude in words: "sea level", "2,500 ft", "762 m"."""
    unit = "ft" if system == "us" else "m"
    number = units.convert(value, "length", unit)
    return f"{number:,.0f} {unit}" if number >= 0.5 else "sea level"


def _psi(number: float) -> float:
    return float(units.from_unit(number, "pressure difference", "psi"))


def _one_number(given: object, label: str) -> float:
    try:
        value = float(given)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise ValueError(_("{label}: {value!r} is not a number.").format(label=label, value=str(given)[:30])) from None
    if not math.isfinite(value):
        raise ValueError(_("{label}: it must be a finite number, not {value}.").format(label=label, value=value))
    return value
