"""Kinematic viscosity: ISO grades, how it falls with temperature, and the viscosity index."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

import numpy as np

from coldcab.oil.checks import TEMPERATURE_RANGE, VISCOSITY_RANGE, OilError, number, within
from coldcab.quantities import FREEZING, SQUARE_MILLIMETER, Array, Limit, Value, plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

ISO_GRADES = (2, 3, 5, 7, 10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460, 680, 1000, 1500)
"""ISO viscosity grades (VG) of ISO 3448."""

# Midpoints in cSt at 40 C; from VG 10 on the grade's number is the midpoint itself.
_MIDPOINTS = {2: 2.2, 3: 3.2, 5: 4.6, 7: 6.8}
GRADE_SPREAD = 0.1
"""A grade reaches from 10 % below its midpoint to 10 % above (ISO 3448)."""

INDEX_RANGE = Limit("viscosity", 2e-6, 70e-6, "cSt")
"""Viscosity at 100 C that the table of ASTM D2270 covers."""

_WALTHER = 0.7  # mm2/s, the constant of ASTM D341


def grade_limits(grade: int) -> tuple[float, float]:
    """Lowest and highest kinematic viscosity at 40 C of an ISO viscosity grade.

    Parameters
    ----------
    grade : one of `ISO_GRADES`, such as 46.

    Returns
    -------
    (lowest, highest), m2/s.

    Raises
    ------
    OilError : a number that is not a grade.

    Source
    ------
    ISO 3448:1992, table 1: midpoint and 10 % either way.

    Example
    -------
    >>> [round(limit * 1e6, 1) for limit in grade_limits(46)]
    [41.4, 50.6]
    """
    asked = number("grade", grade)
    if asked not in ISO_GRADES:
        raise OilError(f"ISO VG {asked:g} is not a grade; the grades are {', '.join(map(str, ISO_GRADES))}.")
    midpoint = _MIDPOINTS.get(int(asked), asked) * SQUARE_MILLIMETER
    return midpoint * (1.0 - GRADE_SPREAD), midpoint * (1.0 + GRADE_SPREAD)


def grade_of(viscosity_at_40_c: float) -> int | None:
    """The ISO viscosity grade that a kinematic viscosity at 40 C belongs to.

    Parameters
    ----------
    viscosity_at_40_c : m2/s, above 0.

    Returns
    -------
    The grade, or None: the grades leave gaps, and what lies in a gap has no grade.

    Raises
    ------
    OilError : zero, negative or not a number.

    Source
    ------
    ISO 3448:1992, table 1.

    Example
    -------
    >>> grade_of(46e-6), grade_of(56e-6)
    (46, None)
    """
    viscosity = number("viscosity_at_40_c", viscosity_at_40_c)
    if viscosity <= 0.0:
        raise OilError(f"viscosity_at_40_c is {viscosity / SQUARE_MILLIMETER:g} cSt; it must be above 0.")
    for grade in ISO_GRADES:
        low, high = grade_limits(grade)
        # A viscosity that is exactly a printed limit belongs to the grade, whatever the last binary digit.
        if low * (1.0 - 1e-12) <= viscosity <= high * (1.0 + 1e-12):
            return grade
    return None


@dataclass(frozen=True)
class ViscosityLine:
    """The straight line of an oil on the viscosity chart: log10 log10(v + 0.7) = A - B log10 T."""

    a: float
    b: float

    def at(self, temperature: ArrayLike) -> Value:
        """Kinematic viscosity, m2/s, at a temperature in K; see `kinematic_viscosity`."""
        kelvin = within("temperature", temperature, TEMPERATURE_RANGE)
        with np.errstate(over="ignore"):
            viscosity = (10.0 ** (10.0 ** (self.a - self.b * np.log10(kelvin))) - _WALTHER) * SQUARE_MILLIMETER
        low, high = VISCOSITY_RANGE.ends
        outside = (viscosity < low * (1.0 - 1e-9)) | (viscosity > high * (1.0 + 1e-9))
        if outside.any():
            place = float(np.atleast_1d(kelvin)[np.atleast_1d(outside)][0])
            raise OilError(
                f"at {place - FREEZING:.1f} C this oil leaves the range in which the viscosity chart holds "
                f"({low / SQUARE_MILLIMETER:g} to {high / SQUARE_MILLIMETER:g} cSt); choose a temperature nearer to "
                "the two points."
            )
        return plain(viscosity)


def viscosity_line(points: Sequence[Sequence[float]]) -> ViscosityLine:
    """The viscosity-temperature line through two measured points.

    Parameters
    ----------
    points : two pairs (temperature in K, kinematic viscosity in m2/s), in any order; the warmer one thinner.

    Returns
    -------
    `ViscosityLine`.

    Raises
    ------
    OilError : not two pairs, out of range, less than 1 K apart, or an oil that would thicken when warmed.

    Source
    ------
    ASTM D341-17, equation for viscosities of 2 mm2/s and above (its constant 0.7), from memory; the tests repeat
    worked examples published elsewhere.
    """
    try:
        (first, thick), (second, thin) = points
    except (TypeError, ValueError):
        raise OilError("points must be two pairs, each a temperature in K and a viscosity in m2/s.") from None
    warm = [number("temperature of a point", t, TEMPERATURE_RANGE) for t in (first, second)]
    viscous = [number("viscosity of a point", v, VISCOSITY_RANGE) for v in (thick, thin)]
    if abs(warm[0] - warm[1]) < 1.0:
        raise OilError("the two points have the same temperature; give two that lie apart, such as 40 C and 100 C.")
    if warm[0] > warm[1]:
        warm.reverse()
        viscous.reverse()
    if viscous[1] >= viscous[0]:
        raise OilError("the warmer point must have the lower viscosity; check whether the two are swapped.")
    high, low = (float(_double_log(v)) for v in viscous)
    b = (high - low) / (np.log10(warm[1]) - np.log10(warm[0]))
    return ViscosityLine(a=high + b * np.log10(warm[0]), b=b)


def kinematic_viscosity(temperature: ArrayLike, points: Sequence[Sequence[float]]) -> Value:
    """Kinematic viscosity of an oil at any temperature from two measured points.

    The oil alone: refrigerant dissolved in it makes it thinner.

    Parameters
    ----------
    temperature : K, within `checks.TEMPERATURE_RANGE`; scalar or array.
    points : two pairs (temperature in K, kinematic viscosity in m2/s), usually at 40 C and 100 C.

    Returns
    -------
    m2/s, same shape.

    Raises
    ------
    OilError : see `viscosity_line`; also where the result leaves 2 to 20,000,000 cSt.

    Source
    ------
    ASTM D341-17 (constant 0.7), from memory; log10 log10(v + 0.7) = A - B log10 T, v in mm2/s, T in K.

    Example
    -------
    >>> round(kinematic_viscosity(353.15, ((313.15, 32e-6), (373.15, 5.4e-6))) * 1e6, 1)
    8.5
    """
    return viscosity_line(points).at(temperature)


def viscosity_index(viscosity_at_40_c: ArrayLike, viscosity_at_100_c: ArrayLike) -> Value:
    """Viscosity index: the higher, the less the oil thins when it warms.

    Parameters
    ----------
    viscosity_at_40_c, viscosity_at_100_c : m2/s; scalars or arrays that broadcast. At 100 C within `INDEX_RANGE`.

    Returns
    -------
    The index, not rounded (the standard rounds to a whole number).

    Raises
    ------
    OilError : out of range, or thicker at 100 C than at 40 C.

    Source
    ------
    ASTM D2270-10(2016), procedures A and B; its table of L and H as transcribed in the open library chemicals
    (chemicals/viscosity.py, read).

    Example
    -------
    >>> round(viscosity_index(73.3e-6, 8.86e-6))
    92
    """
    hot = within("viscosity_at_100_c", viscosity_at_100_c, INDEX_RANGE)
    warm = within("viscosity_at_40_c", viscosity_at_40_c)
    try:
        warm, hot = np.broadcast_arrays(warm, hot)
    except ValueError:
        raise OilError("the viscosities at 40 C and 100 C must have shapes that go together.") from None
    if (warm <= hot).any() or np.isinf(warm).any():
        raise OilError("the viscosity at 40 C must be above that at 100 C; check whether the two are swapped.")
    table = _index_table()
    warm, hot = warm / SQUARE_MILLIMETER, hot / SQUARE_MILLIMETER
    low, high = (np.interp(hot, table[0], column) for column in table[1:])
    with np.errstate(over="ignore"):
        power = (np.log10(high) - np.log10(warm)) / np.log10(hot)
        procedure_b = (10.0**power - 1.0) / 0.00715 + 100.0
    return plain(np.where(warm >= high, (low - warm) / (low - high) * 100.0, procedure_b))


def _double_log(viscosity: Array | float) -> Array:
    return np.log10(np.log10(np.asarray(viscosity) / SQUARE_MILLIMETER + _WALTHER))


@cache
def _index_table() -> tuple[Array, Array, Array]:
    """Viscosity at 100 C, L (index 0) and H (index 100) at 40 C, all in mm2/s."""
    text = files(__package__).joinpath("viscosity_index.csv").read_text(encoding="utf-8")
    rows = list(csv.reader(line for line in text.splitlines() if not line.startswith("#")))[1:]
    hot, low, high = (np.array(column, dtype=float) for column in zip(*rows, strict=True))
    return hot, low, high
