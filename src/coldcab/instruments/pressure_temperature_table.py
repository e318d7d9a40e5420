"""Saturation tables for lessons: pressure against temperature."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coldcab import air, learner, refrigerants, units
from coldcab.instruments.controls import gauge_words
from coldcab.instruments.tables import Table
from coldcab.words import _


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
    return Table(_("Saturation pressure; gauge readings at {place}").format(place=place), heads, tuple(rows))


def _si(given: float | str, kind: str, unit: str) -> float:
    if isinstance(given, str):
        return units.parse(given, kind).value
    return float(units.from_unit(float(given), kind, unit))
