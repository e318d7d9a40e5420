"""Ranges of this room and the sentences for what lies outside them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

ALTITUDE_RANGE = (-1000.0, 11_000.0)
"""m, both ends allowed: from below the Dead Sea to the top of the standard troposphere."""

SATURATION_RANGE = (173.15, 473.15)
"""K, both ends allowed: -100 to 200 C, where the saturation equations are published."""

DRY_BULB_RANGE = (213.15, 373.15)
"""K, both ends allowed: -60 to 100 C, more than any cab, engine bay or weather."""

PRESSURE_RANGE = (20_000.0, 120_000.0)
"""Pa, both ends allowed: total pressure; wider than the standard atmosphere over `ALTITUDE_RANGE`."""

FREEZING = 273.15
"""K, 0 C: the zero of moist-air enthalpies."""


class AirError(ValueError):
    """A number that is not possible or not covered; the message is one plain sentence."""


def numbers(name: str, value: ArrayLike) -> NDArray[np.float64]:
    """`value` as floats, none of them NaN."""
    try:
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError, OverflowError):
        raise AirError(f"{name} must be a number or an array of numbers, not {str(value)[:40]!r}.") from None
    if np.isnan(array).any():
        raise AirError(f"{name} is not a number (NaN) in at least one place; check where it comes from.")
    return array


def within(name: str, value: ArrayLike, limits: tuple[float, float], unit: str, hint: str = "") -> NDArray:
    """`value` as floats, all of them within `limits`."""
    array = numbers(name, value)
    low, high = limits
    outside = (array < low) | (array > high)
    if outside.any():
        first = float(array[outside].flat[0]) if array.ndim else float(array)
        unit = f" {unit}" if unit else ""
        raise AirError(f"{name} is {first:g}{unit}; it must be from {low:g} to {high:g}{unit}{hint}.")
    return array


def kelvins(name: str, value: ArrayLike, limits: tuple[float, float] = DRY_BULB_RANGE) -> NDArray:
    """Temperature in K within `limits`; the sentence also names the range in C and the likely slip."""
    low, high = (limit - FREEZING for limit in limits)
    return within(
        name,
        value,
        limits,
        "K",
        f" ({low:g} to {high:g} C), and it is counted in kelvin: add 273.15 to Celsius",
    )


def total_pressure(value: ArrayLike) -> NDArray:
    """Total pressure of the air in Pa."""
    return within("pressure", value, PRESSURE_RANGE, "Pa", ", absolute")


def not_negative(name: str, value: ArrayLike, unit: str) -> NDArray:
    """A finite number of zero or more."""
    array = numbers(name, value)
    if (array < 0.0).any() or np.isinf(array).any():
        raise AirError(f"{name} is {np.min(array):g} {unit} or not finite; it must be zero or more and finite.")
    return array


def plain(value):
    """A float for a single number, the array itself otherwise."""
    return float(value) if np.ndim(value) == 0 else value
