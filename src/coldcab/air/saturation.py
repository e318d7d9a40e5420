"""Saturation pressure of water, and the solver that inverts it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from coldcab.air.checks import SATURATION_RANGE, within
from coldcab.quantities import Array, Value, plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

TRIPLE_POINT = 273.16  # K; ice at and below it, water above

# Hyland and Wexler (1983), as equations 5 (over ice) and 6 (over liquid water):
# ln p = a/T + b + c T + d T^2 + e T^3 + f T^4 + g ln T
_ICE = (-5.6745359e3, 6.3925247, -9.6778430e-3, 6.2215701e-7, 2.0747825e-9, -9.4840240e-13, 4.1635019)
_LIQUID = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


def log_saturation(kelvin: Array) -> tuple[Array, Array]:
    """ln of the saturation pressure in Pa and its slope by temperature."""
    liquid = np.asarray(kelvin > TRIPLE_POINT)
    terms: Sequence[Any] = _LIQUID
    if not liquid.all():
        mixed = [np.where(liquid, water, ice) for water, ice in zip(_LIQUID, _ICE, strict=True)]
        terms = mixed if liquid.any() else _ICE
    a, b, c, d, e, f, g = terms
    t = kelvin
    value = a / t + b + t * (c + t * (d + t * (e + t * f))) + g * np.log(t)
    slope = -a / t**2 + c + t * (2.0 * d + t * (3.0 * e + t * 4.0 * f)) + g / t
    return value, slope


def log_saturation_of(kelvin: float) -> float:
    """ln of the saturation pressure in Pa at one temperature, K: quicker than an array of one."""
    a, b, c, d, e, f, g = _LIQUID if kelvin > TRIPLE_POINT else _ICE
    return a / kelvin + b + kelvin * (c + kelvin * (d + kelvin * (e + kelvin * f))) + g * math.log(kelvin)


def saturation_pressure(temperature: ArrayLike) -> Value:
    """Pressure of water vapour in balance with ice (to 273.16 K) or with liquid water (above).

    Parameters
    ----------
    temperature : K, within `SATURATION_RANGE`; scalar or array.

    Returns
    -------
    Absolute pressure, Pa, same shape.

    Raises
    ------
    AirError : temperature out of range or not a number.

    Source
    ------
    Hyland and Wexler (1983), ASHRAE Transactions 89(2A); ASHRAE (2017) equations 5 and 6. The two meet at the
    triple point within 0.01 %.

    Example
    -------
    >>> round(saturation_pressure(298.15))
    3169
    """
    return plain(np.exp(log_saturation(within("temperature", temperature, SATURATION_RANGE))[0]))


def solve_rising(
    function: Callable[[Array], tuple[Array, Array]],
    low: Array,
    high: Array,
    steps: int = 100,
) -> Array:
    """Where a rising function is zero: Newton's steps, halving the bracket wherever one would leave it.

    `function` gives its value and slope. Elements are independent; each is found to 1e-10 K or so. Where the
    function has one sign throughout, the end nearest to its zero is given.
    """
    low, high = np.array(low, dtype=float), np.array(high, dtype=float)
    here = 0.5 * (low + high)
    for _ in range(steps):
        value, slope = function(here)
        low, high = np.where(value < 0.0, here, low), np.where(value > 0.0, here, high)
        step = here - value / slope
        inside = (step >= low) & (step <= high)
        there = np.where(inside, step, 0.5 * (low + high))
        if np.all(np.abs(there - here) < 1e-10):
            return there
        here = there
    return here
