"""The pieces of a plan: figures with their unit and basis, and sections with their steps and cautions."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import units
from coldcab.instruments.controls import in_both
from coldcab.quantities import STANDARD_ATMOSPHERE

GAUGE = "gauge"
"""Kind of a figure in Pa above the air around the gauge."""

AS_READ = {
    "volume": ((0.0, 1e-3, ("fl oz", 1), ("mL", 0)),),
    "mass": ((0.0, 0.0284, ("oz", 1), ("g", 0)), (50.0, 1e9, ("lb", 0), ("kg", 0))),
    "pressure difference": ((0.0, 1e5, ("psi", 1), ("kPa", 0)),),
    "time": ((90.0, 14401.0, ("min", 0)),),
}
"""From and below how much (SI) a figure is written as a cup, a scale or a gauge shows it: units and their decimals."""


@dataclass(frozen=True)
class Figure:
    """One number of the plan, SI: what it is, its range where it has one, and what it rests on.

    ``kind`` is one of `coldcab.units.KINDS`, `GAUGE`, or "count" for a bare whole number. ``basis`` names the source or
    the assumption.
    """

    key: str
    label: str
    value: float
    kind: str
    basis: str
    low: float | None = None
    high: float | None = None

    def words(self, system: str = "us", atmosphere: float = STANDARD_ATMOSPHERE) -> str:
        """The figure in words, with its range."""
        if self.low is None or self.high is None:
            return in_words(self.value, self.kind, system, atmosphere)
        ends = [in_words(one, self.kind, system, atmosphere) for one in (self.low, self.high)]
        return f"{ends[0]} to {ends[1]}"


def in_words(value: float, kind: str, system: str = "us", atmosphere: float = STANDARD_ATMOSPHERE) -> str:
    """A value of a kind in words, trade unit first or metric first."""
    if kind == "count":
        return f"{value:.0f}"
    if kind == GAUGE:
        psi = units.convert(value, "pressure difference", "psi")
        metric = f"{units.convert(value, 'pressure difference', 'kPa'):.0f} kPa gauge"
        trade = (
            f"{psi:.0f} psig" if psi >= 0 else f"{-units.convert(value, 'pressure difference', 'inHg'):.0f} inHg vacuum"
        )
        return in_both(trade, metric, system)
    for least, most, *ways in AS_READ.get(kind, ()):
        if least <= abs(value) < most:
            words = [f"{units.convert(value, kind, unit):,.{decimals}f} {unit}" for unit, decimals in ways]
            trade, metric = words[0], words[-1]
            if trade == metric:
                return trade
            return in_both(trade, metric, system)
    return units.show(value, kind, system=system, atmosphere=atmosphere)


@dataclass(frozen=True)
class Section:
    """One step of the work: what to do, the figures for it, what can hurt."""

    key: str
    title: str
    steps: tuple[str, ...] = ()
    figures: tuple[Figure, ...] = ()
    cautions: tuple[str, ...] = ()

    def figure(self, key: str) -> Figure:
        """The figure with this key; KeyError where there is none."""
        for one in self.figures:
            if one.key == key:
                return one
        raise KeyError(key)
