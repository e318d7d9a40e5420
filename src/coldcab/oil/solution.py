"""Refrigerant and oil in one liquid: boiling a little warmer than pure refrigerant. A stated approximation."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from coldcab import refrigerants
from coldcab.oil.checks import SHARE_RANGE, OilError, within
from coldcab.quantities import Array, Limit, Value, plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

OIL_FRACTION_RANGE = Limit("share", 0.0, 0.5)
"""kg of oil in a kg of liquid: the span of the published check values."""

PRESSURE_RANGE = Limit("pressure", 160e3, 1.0e6)
"""Evaporators. Below it the form lets a little oil lower the boiling point, which no
oil does; the published check values span 0.25 to 0.4 MPa."""

CIRCULATION_RANGE = Limit("share", 0.0, 0.15)
"""kg of oil in a kg of what flows."""

_SLOPE_STEP = 1e-3  # in ln p, for the slope of the saturation line
_A = (182.52, -724.21, 3868.0, -5268.9)
_B = (-0.72212, 2.3914, -13.779, 17.066)


def local_oil_fraction(circulation: ArrayLike, quality: ArrayLike) -> Value:
    """Share of oil in the liquid that is left where a part of the refrigerant has boiled away.

    Parameters
    ----------
    circulation : kg of oil in a kg of what flows, within `CIRCULATION_RANGE`.
    quality : kg of vapour in a kg of what flows, 0 to 1 minus the circulation: the oil itself does not boil.
    Numbers or arrays that broadcast.

    Returns
    -------
    kg of oil in a kg of liquid, 0 to 1.

    Raises
    ------
    OilError : out of range.

    Source
    ------
    Conservation of mass: circulation / (1 - quality).

    Example
    -------
    >>> round(local_oil_fraction(0.03, 0.90), 2)
    0.3
    """
    oil, vapor = within("circulation", circulation, CIRCULATION_RANGE), within("quality", quality, SHARE_RANGE)
    if np.any(vapor > 1.0 - oil + 1e-12) or np.any(vapor >= 1.0):
        raise OilError("quality and oil circulation must not exceed 1 together; the oil itself stays liquid.")
    return plain(np.minimum(oil / (1.0 - vapor), 1.0))


def bubble_point_rise(refrigerant: str, pressure: ArrayLike, oil_fraction: ArrayLike) -> Value:
    """How much warmer a liquid of refrigerant and oil boils than the pure refrigerant at the same pressure.

    Parameters
    ----------
    refrigerant : designation of a single refrigerant, such as "R-134a".
    pressure : Pa absolute, within `PRESSURE_RANGE`.
    oil_fraction : kg of oil in a kg of liquid, within `OIL_FRACTION_RANGE`.
    Numbers or arrays that broadcast.

    Returns
    -------
    K, 0 or more.

    Raises
    ------
    OilError : out of range.
    refrigerants.UnknownRefrigerant, refrigerants.RangeError : as for the saturation temperature.

    Source
    ------
    J. R. Thome, HVAC&R Research 1(2), 1995, general form T = A(w) / (ln p - B(w)); its constants as read in the open
    heat-pump model HPSim; A(0) and B(0) from the pure refrigerant's own saturation line at this pressure. One form
    for all refrigerants and oils: an approximation.
    """
    p = within("pressure", pressure, PRESSURE_RANGE)
    w = within("oil_fraction", oil_fraction, OIL_FRACTION_RANGE)
    try:
        p, w = np.broadcast_arrays(p, w)
    except ValueError:
        raise OilError("the arrays of pressure and oil fraction must have shapes that go together.") from None
    temperature, x = _saturation_line(refrigerant, p)
    # Without oil the difference is a rounding either side of 0.
    return plain(np.maximum(_boiling(temperature, x, w) - temperature, 0.0))


def _saturation_line(refrigerant: str, pressure: Array) -> tuple[Array, Array]:
    """Saturation temperature, and x = ln p - B(0) of the line T = A(0) / (ln p - B(0)) that touches it there."""
    temperature, above, below = (
        np.asarray(refrigerants.saturation_temperature(refrigerant, pressure * np.exp(step)))
        for step in (0.0, _SLOPE_STEP, -_SLOPE_STEP)
    )
    slope = (above - below) / (2.0 * _SLOPE_STEP)
    return temperature, -temperature / slope


def _boiling(temperature: Array, x: Array, w: Array) -> Array:
    a = temperature * x + np.asarray(sum(c * w**n for c, n in zip(_A, (1, 3, 5, 7), strict=True)))
    b = np.asarray(sum(c * w**n for c, n in zip(_B, (1, 3, 5, 7), strict=True)))
    boiling: Array = a / (x - b)
    return boiling
