"""Viscosity of a blend of oils of one type, and the share that gives a wanted viscosity.

Published sources disagree on what a fraction counts. ASTM D7152 was developed with volume fractions; the Refutas
index as printed by Maples (2000) takes mass fractions, while other pages print the same index with volume
fractions. This room follows ASTM D7152 with volume fractions, because a shop measures oil by volume. For oils of
nearly equal density the difference is small (the standard says so too).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from coldcab.oil.checks import SHARE_RANGE, VISCOSITY_RANGE, OilError, within
from coldcab.quantities import SQUARE_MILLIMETER, Array, Value, plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

SUM_TOLERANCE = 1e-6
"""How far the fractions of a blend may be from 1 in sum."""


@dataclass(frozen=True)
class Method:
    """A blending equation: index = factor * ln ln(v + constant) + offset, v in mm2/s, averaged by `fraction`."""

    constant: float
    factor: float
    offset: float
    fraction: str
    source: str


METHODS = MappingProxyType(
    {
        "ASTM D7152": Method(
            0.7,
            1.0,
            0.0,
            "volume",
            "ASTM D7152-11(2016), ASTM Blending Method at one temperature: volume fractions (abstract of the standard, "
            "read); double logarithm with the constant 0.7 of ASTM D341, from memory",
        ),
        "Refutas": Method(
            0.8,
            14.534,
            10.975,
            "mass",
            "R. E. Maples, Petroleum Refinery Process Economics, 2nd ed., 2000: mass fractions (quoted on a public "
            "page, read)",
        ),
    }
)
"""Blending equations by name; the first one is followed by default."""


def blending_number(viscosity: ArrayLike, *, method: str = "ASTM D7152") -> Value:
    """The number that adds up in proportion to the fractions of a blend.

    Parameters
    ----------
    viscosity : kinematic, m2/s, within `checks.VISCOSITY_RANGE`; scalar or array.
    method : one of `METHODS`.

    Returns
    -------
    The blending number, same shape; only numbers of one method go together.

    Raises
    ------
    OilError : viscosity out of range or an unknown method.

    Source
    ------
    See `METHODS`.

    Example
    -------
    >>> round(blending_number(2.234e-6, method="Refutas"), 2)
    12.49
    """
    rule = _rule(method)
    viscous = within("viscosity", viscosity, VISCOSITY_RANGE)
    return plain(rule.factor * np.log(np.log(viscous / SQUARE_MILLIMETER + rule.constant)) + rule.offset)


def blend_viscosity(
    viscosities: Sequence[ArrayLike], fractions: Sequence[ArrayLike], *, method: str = "ASTM D7152"
) -> Value:
    """Kinematic viscosity of a blend, all viscosities at one temperature.

    For oils of one type that dissolve in each other. It says nothing on whether they may be mixed: mineral oil in
    PAG is not a blend but a residue.

    Parameters
    ----------
    viscosities : of the components, m2/s, within `checks.VISCOSITY_RANGE`; numbers or arrays that broadcast.
    fractions : of the components, 0 to 1, their sum 1: by volume for "ASTM D7152", by mass for "Refutas".
    method : one of `METHODS`.

    Returns
    -------
    m2/s; an array if one was given.

    Raises
    ------
    OilError : out of range, another number of fractions than of viscosities, or fractions that do not sum to 1.

    Source
    ------
    See `METHODS`.

    Example
    -------
    >>> round(blend_viscosity((46e-6, 150e-6), (0.5, 0.5)) * 1e6, 1)
    80.0
    """
    rule = _rule(method)
    try:
        numbers_, given = list(viscosities), list(fractions)
    except TypeError:
        raise OilError("give the viscosities and the fractions as lists, one value for each oil.") from None
    if not numbers_ or len(numbers_) != len(given):
        raise OilError(
            f"there are {len(numbers_)} viscosities and {len(given)} fractions; each oil needs one of either."
        )
    indices = [np.asarray(blending_number(value, method=method)) for value in numbers_]
    parts = [within("fraction", part, SHARE_RANGE) for part in given]
    try:
        total = np.asarray(sum(parts))
        index = np.asarray(sum(part * value for part, value in zip(parts, indices, strict=True)))
    except ValueError:
        raise OilError("the arrays given for a blend must have shapes that go together.") from None
    if np.any(np.abs(total - 1.0) > SUM_TOLERANCE):
        first = float(np.atleast_1d(total)[np.atleast_1d(np.abs(total - 1.0) > SUM_TOLERANCE)][0])
        raise OilError(f"the {rule.fraction} fractions sum to {first:g}; they must sum to 1.")
    # Divided by the sum, so that a rounding in the fractions does not show as viscosity.
    return plain(_viscosity(index / total, rule))


def _rule(method: str) -> Method:
    if method not in METHODS:
        raise OilError(f"{str(method)[:40]!r} is not a blending method; there are {', '.join(METHODS)}.")
    return METHODS[method]


def _viscosity(index: Array, rule: Method) -> Array:
    return (np.exp(np.exp((within("index", index) - rule.offset) / rule.factor)) - rule.constant) * SQUARE_MILLIMETER
