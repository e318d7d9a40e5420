"""Checks that rows of several lessons share: see `lessons/test_sentences.py`."""

from __future__ import annotations

from functools import cache

from CoolProp.CoolProp import PropsSI

from coldcab import refrigerants, units


def fahrenheit(number: float) -> float:
    """A thermometer's degrees in K."""
    return (number + 459.67) / 1.8


def takes(instrument, **settings) -> bool:
    """Whether an instrument can be set as the page says; it refuses what its controls do not reach."""
    return bool(instrument(system="us", **settings).settings)


def saturation_fahrenheit(refrigerant: str, psig: float) -> float:
    """Saturation temperature in F at a gauge reading at sea level."""
    pressure = units.from_unit(psig, "pressure", "psig")
    return units.convert(refrigerants.saturation_temperature(refrigerant, pressure), "temperature", "F")


@cache
def tables_within(share: float) -> bool:
    """Whether pressure, densities and latent heat of saturation lie within ``share`` of CoolProp, -40 to 80 C."""
    return all(
        abs(ours / theirs - 1) < share
        for name, fluid in (("R-12", "R12"), ("R-134a", "R134a"))
        for kelvin in range(234, 354, 7)
        for line in [refrigerants.saturation(name, temperature=float(kelvin))]
        for ours, theirs in (
            (line.pressure, PropsSI("P", "T", kelvin, "Q", 1, fluid)),
            (line.liquid_density, PropsSI("D", "T", kelvin, "Q", 0, fluid)),
            (line.vapor_density, PropsSI("D", "T", kelvin, "Q", 1, fluid)),
            (line.latent_heat, PropsSI("H", "T", kelvin, "Q", 1, fluid) - PropsSI("H", "T", kelvin, "Q", 0, fluid)),
        )
    )
