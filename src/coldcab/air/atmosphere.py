"""The standard atmosphere below 11 km. Section and equation numbers of the two standards are from memory."""

from __future__ import annotations

from typing import TYPE_CHECKING, overload

from coldcab.air.checks import ALTITUDE_RANGE, within
from coldcab.quantities import GRAVITY, STANDARD_ATMOSPHERE, Array, Value, plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

# ISO 2533:1975, table 1 and section 2; the U.S. Standard Atmosphere 1976 has the same values in this layer.
SEA_LEVEL_TEMPERATURE = 288.15  # K
LAPSE_RATE = 0.0065  # K/m
GAS_CONSTANT = 287.05287  # J/(kg K), of dry air as the standard has it


@overload
def atmospheric_pressure(altitude: float) -> float: ...
@overload
def atmospheric_pressure(altitude: ArrayLike) -> Value: ...
def atmospheric_pressure(altitude: ArrayLike) -> Value:
    """Air pressure of the standard atmosphere. The weather moves the true pressure a few per cent around it.

    Parameters
    ----------
    altitude : height above sea level, m (geopotential), within `ALTITUDE_RANGE`; scalar or array.

    Returns
    -------
    Absolute pressure, Pa, same shape.

    Raises
    ------
    AirError : altitude out of range or not a number.

    Source
    ------
    ISO 2533:1975, section 2; U.S. Standard Atmosphere 1976, equation 33a.

    Example
    -------
    >>> round(atmospheric_pressure(0.0))
    101325
    """
    relative_temperature = 1.0 - LAPSE_RATE / SEA_LEVEL_TEMPERATURE * _altitude(altitude)
    return plain(STANDARD_ATMOSPHERE * relative_temperature ** (GRAVITY / (GAS_CONSTANT * LAPSE_RATE)))


def _altitude(altitude: ArrayLike) -> Array:
    return within("altitude", altitude, ALTITUDE_RANGE)
