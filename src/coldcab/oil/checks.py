"""Ranges of this room and the sentences for what lies outside them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

FREEZING = 273.15
"""K, 0 C."""

TEMPERATURE_RANGE = (233.15, 423.15)
"""K, both ends allowed: -40 to 150 C, from a winter yard to a hot compressor head."""

VISCOSITY_RANGE = (2e-6, 20.0)
"""m2/s, both ends allowed: 2 to 20,000,000 cSt, where the short form of ASTM D341 (constant 0.7) holds."""

VOLUME_RANGE = (0.0, 0.05)
"""m3, both ends allowed: up to 50 L, far more oil than any cab's circuit holds."""

SQUARE_MILLIMETRE = 1e-6
"""m2, so that m2/s over it is mm2/s, which is cSt."""

_UNITS = {"m2/s": (SQUARE_MILLIMETRE, "cSt"), "m3": (1e-6, "mL")}


class OilError(ValueError):
    """A number, name or entry that is not possible or not covered; the message is one plain sentence."""


def numbers(name: str, value: ArrayLike) -> NDArray[np.float64]:
    """`value` as floats, none of them NaN."""
    try:
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError, OverflowError):
        raise OilError(f"{name} must be a number or an array of numbers, not {str(value)[:40]!r}.") from None
    if np.isnan(array).any():
        raise OilError(f"{name} is not a number (NaN) in at least one place; check where it comes from.")
    return array


def one_number(name: str, value: object) -> float:
    """`value` as a single float that is not NaN."""
    array = numbers(name, value)
    if array.ndim:
        raise OilError(f"{name} must be one number, not a list of {array.size}.")
    return float(array)


def within(name: str, value: ArrayLike, limits: tuple[float, float], unit: str = "", hint: str = "") -> NDArray:
    """`value` as floats, all of them within `limits`; small SI units are told in the ones people use."""
    array = numbers(name, value)
    low, high = limits
    outside = (array < low) | (array > high)
    if outside.any():
        scale, told = _UNITS.get(unit, (1.0, unit))
        first = float(array[outside].flat[0]) if array.ndim else float(array)
        told = f" {told}" if told else ""
        raise OilError(
            f"{name} is {first / scale:g}{told}; it must be from {low / scale:g} to {high / scale:g}{told}{hint}."
        )
    return array


def kelvins(name: str, value: ArrayLike, limits: tuple[float, float] = TEMPERATURE_RANGE) -> NDArray:
    """Temperature in K within `limits`; the sentence also names the range in C and the likely slip."""
    low, high = (limit - FREEZING for limit in limits)
    hint = f" ({low:g} to {high:g} C), and it is counted in kelvin: add 273.15 to Celsius"
    return within(name, value, limits, "K", hint)


def share(name: str, value: ArrayLike, limits: tuple[float, float] = (0.0, 1.0)) -> NDArray:
    """A share between 0 and 1."""
    return within(name, value, limits, "", "; 40 % is written 0.4")


def plain(value):
    """A float for a single number, the array itself otherwise."""
    return float(value) if np.ndim(value) == 0 else value
