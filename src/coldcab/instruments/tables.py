"""Saturation tables for lessons: pressure against temperature, as HTML and as plain text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from coldcab import air, learner, refrigerants, units
from coldcab.instruments import style
from coldcab.instruments.controls import gauge_words


@dataclass(frozen=True)
class Table:
    """Words in rows and columns."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def html(self) -> str:
        """The table as HTML, on its own light ground."""
        cell = f"padding:4px 14px;text-align:right;border-bottom:1px solid {style.RULE}"
        heads = "".join(f'<th scope="col" style="{cell}">{escape(head)}</th>' for head in self.heads)
        rows = "".join(
            "<tr>" + "".join(f'<td style="{cell}">{escape(words)}</td>' for words in row) + "</tr>" for row in self.rows
        )
        return (
            f'<table style="border-collapse:collapse;background:{style.GROUND};color:{style.INK};'
            f'font:15px/1.4 {style.FONT}"><caption style="caption-side:top;text-align:left;padding:6px 14px;'
            f'color:{style.INK};background:{style.GROUND}">{escape(self.caption)}</caption>'
            f"<thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"
        )

    def __str__(self) -> str:
        widths = [max(len(row[place]) for row in (self.heads, *self.rows)) for place in range(len(self.heads))]
        lines = [
            "  ".join(words.rjust(width) for words, width in zip(row, widths, strict=True))
            for row in (self.heads, *self.rows)
        ]
        return "\n".join((self.caption, *lines))

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        return {"text/html": self.html(), "text/plain": str(self)}


def pressure_temperature_table(
    names: str | Sequence[str],
    temperatures: Iterable[float | str],
    *,
    altitude: float | str = 0.0,
    system: str | None = None,
) -> Table:
    """Saturation pressures of refrigerants at temperatures.

    Parameters
    ----------
    names : designation or several, such as ("R-12", "R-134a")
    temperatures : numbers in F, or text with a unit
    altitude : ft, or text with a unit; it gives the gauge readings their meaning
    system : "us" or "si"; without it the learner's own choice

    Raises ValueError with one plain sentence.
    """
    system = learner.units() if system is None else system
    names = (names,) if isinstance(names, str) else tuple(names)
    meters = _si(altitude, "length", "ft")
    outside = float(air.atmospheric_pressure(meters))
    unit = ("psia", 1) if system == "us" else ("kPa absolute", 0)
    rows = []
    for given in temperatures:
        kelvin = _si(given, "temperature", "F")
        row = [units.show(kelvin, "temperature", system=system)]
        for name in names:
            pressure = float(refrigerants.saturation_pressure(name, kelvin))
            absolute = f"{units.convert(pressure, 'pressure', unit[0]):.{unit[1]}f} {unit[0]}"
            row += [gauge_words(pressure - outside, system), absolute]
        rows.append(tuple(row))
    heads = ("temperature", *(f"{name}, {what}" for name in names for what in ("gauge", "absolute")))
    place = "sea level" if meters < 0.5 else units.show(meters, "length", system=system)
    return Table(f"Saturation pressure; gauge readings at {place}", heads, tuple(rows))


def _si(given: float | str, kind: str, unit: str) -> float:
    if isinstance(given, str):
        return units.parse(given, kind).value
    return float(units.from_unit(float(given), kind, unit))
