"""Moist air as a mixture of two ideal gases, the way the ASHRAE Handbook calculates it.

Real air differs by at most about 0.5 % in the humidity ratio at saturation (the handbook's Table 2 is of real
air). Equation numbers are those of ASHRAE Handbook Fundamentals (SI), 2017, chapter 1, as the open library PsychroLib
quotes them where it does; the others from memory.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from coldcab.air.checks import (
    DRY_BULB_RANGE,
    HUMIDITY_RATIO_RANGE,
    PRESSURE_RANGE,
    SATURATION_RANGE,
    SHARE_RANGE,
    WET_RANGE,
    AirError,
    within,
)
from coldcab.air.saturation import log_saturation, solve_rising
from coldcab.quantities import FREEZING, WATER_TO_AIR, Array, Value, plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Number = Value

GAS_CONSTANT = 287.042  # J/(kg K), of dry air as equation 1 has it
AIR_HEAT = 1006.0  # J/(kg K), equation 30
VAPOR_HEAT = 1860.0  # J/(kg K), equation 30
EVAPORATION_HEAT = 2.501e6  # J/kg at 0 C, equation 30
WATER_HEAT = 4186.0  # J/(kg K), equation 33

# A little more than 1, for numbers that came through a rounding.
_SATURATED = 1.0 + 1e-9


def humidity_ratio(dry_bulb: ArrayLike, relative_humidity: ArrayLike, pressure: ArrayLike) -> Number:
    """Mass of water vapour per mass of dry air.

    Parameters
    ----------
    dry_bulb : K, within `DRY_BULB_RANGE`.
    relative_humidity : 0 to 1, against ice below freezing.
    pressure : total pressure, Pa, within `PRESSURE_RANGE`.
        Scalars or arrays that broadcast together.

    Returns
    -------
    Humidity ratio, kg/kg, in the common shape.

    Raises
    ------
    AirError : an argument out of range, or vapour that would push all air out.

    Source
    ------
    ASHRAE (2017) equations 12, 20 and 22.

    Example
    -------
    >>> round(humidity_ratio(298.15, 0.5, 101325.0), 5)
    0.00988
    """
    kelvin = within("dry_bulb", dry_bulb, DRY_BULB_RANGE)
    share = within("relative_humidity", relative_humidity, SHARE_RANGE)
    total = within("pressure", pressure, PRESSURE_RANGE)
    return plain(_from_vapor_pressure(share * np.exp(log_saturation(kelvin)[0]), total))


def _from_vapor_pressure(vapor: Array, pressure: Array) -> Array:
    if np.any(vapor >= pressure):
        raise AirError(
            "the water vapour would need more than the whole pressure of the air; such hot and damp air "
            "cannot be at this pressure."
        )
    return WATER_TO_AIR * vapor / (pressure - vapor)


def humidity_ratio_from_dew_point(dew_point: ArrayLike, pressure: ArrayLike) -> Number:
    """Mass of water vapour per mass of dry air, from the dew point (frost point below freezing).

    Parameters
    ----------
    dew_point : K, from the lower end of `SATURATION_RANGE` to the upper end of `DRY_BULB_RANGE`.
    pressure : total pressure, Pa, within `PRESSURE_RANGE`.

    Returns
    -------
    Humidity ratio, kg/kg, in the common shape.

    Raises
    ------
    AirError : an argument out of range, or vapour that would push all air out.

    Source
    ------
    ASHRAE (2017) equations 20 and 36.

    Example
    -------
    >>> round(humidity_ratio_from_dew_point(287.0, 101325.0), 5)
    0.00987
    """
    kelvin = within("dew_point", dew_point, WET_RANGE)
    return plain(_from_vapor_pressure(np.exp(log_saturation(kelvin)[0]), within("pressure", pressure, PRESSURE_RANGE)))


def vapor_pressure(humidity_ratio: ArrayLike, pressure: ArrayLike) -> Number:
    """Partial pressure of the water vapour.

    Parameters
    ----------
    humidity_ratio : kg/kg, zero or more.
    pressure : total pressure, Pa, within `PRESSURE_RANGE`.

    Returns
    -------
    Partial pressure, Pa, in the common shape.

    Raises
    ------
    AirError : an argument out of range or not a number.

    Source
    ------
    ASHRAE (2017) equation 20.

    Example
    -------
    >>> round(vapor_pressure(0.01, 101325.0))
    1603
    """
    ratio = within("humidity_ratio", humidity_ratio, HUMIDITY_RATIO_RANGE)
    return plain(within("pressure", pressure, PRESSURE_RANGE) * ratio / (WATER_TO_AIR + ratio))


def relative_humidity(dry_bulb: ArrayLike, humidity_ratio: ArrayLike, pressure: ArrayLike) -> Number:
    """Relative humidity, against ice below freezing.

    Parameters
    ----------
    dry_bulb : K, within `DRY_BULB_RANGE`.
    humidity_ratio : kg/kg, zero or more.
    pressure : total pressure, Pa, within `PRESSURE_RANGE`.

    Returns
    -------
    Relative humidity, 0 to 1, in the common shape.

    Raises
    ------
    AirError : an argument out of range, or more water than the air can hold.

    Source
    ------
    ASHRAE (2017) equations 12, 20 and 22.

    Example
    -------
    >>> round(relative_humidity(298.15, 0.01, 101325.0), 3)
    0.506
    """
    saturation = np.exp(log_saturation(within("dry_bulb", dry_bulb, DRY_BULB_RANGE))[0])
    share = np.asarray(vapor_pressure(humidity_ratio, pressure)) / saturation
    if np.any(share > _SATURATED):
        raise AirError(
            f"humidity_ratio is more than the air can hold ({np.max(share):.0%} relative humidity); is it "
            "really the humidity ratio in kg/kg? The relative humidity is another number."
        )
    return plain(np.minimum(share, 1.0))


def dew_point(humidity_ratio: ArrayLike, pressure: ArrayLike) -> Number:
    """Temperature at which the air, cooled at its pressure, begins to shed dew (frost below freezing).

    Parameters
    ----------
    humidity_ratio : kg/kg, more than zero: quite dry air has no dew point.
    pressure : total pressure, Pa, within `PRESSURE_RANGE`.

    Returns
    -------
    Dew point, K, in the common shape.

    Raises
    ------
    AirError : an argument out of range, or a dew point outside `SATURATION_RANGE`.

    Source
    ------
    Inversion of ASHRAE (2017) equations 5 and 6.

    Example
    -------
    >>> round(dew_point(0.01, 101325.0), 1)
    287.2
    """
    vapor = np.asarray(vapor_pressure(humidity_ratio, pressure))
    ends = np.exp(log_saturation(np.array(SATURATION_RANGE.ends))[0])
    if np.any(vapor < ends[0]):
        raise AirError(
            f"the air is so dry that its dew point lies below {SATURATION_RANGE.low - FREEZING:g} C; give it "
            "more humidity."
        )
    target = np.log(vapor)

    def excess(kelvin: Array) -> tuple[Array, Array]:
        value, slope = log_saturation(kelvin)
        return value - target, slope

    low, high = (np.full(target.shape, limit) for limit in SATURATION_RANGE.ends)
    return plain(solve_rising(excess, low, high))


def humidity_ratio_from_wet_bulb(dry_bulb: ArrayLike, wet_bulb: ArrayLike, pressure: ArrayLike) -> Number:
    """Mass of water vapour per mass of dry air, from two thermometers of which one has a wet wick.

    Parameters
    ----------
    dry_bulb : K, within `DRY_BULB_RANGE`.
    wet_bulb : thermodynamic wet bulb, K, not above the dry bulb; below 0 C the wick is taken as iced.
    pressure : total pressure, Pa, within `PRESSURE_RANGE`.

    Returns
    -------
    Humidity ratio, kg/kg, in the common shape.

    Raises
    ------
    AirError : an argument out of range, a wet bulb above the dry bulb, or below that of quite dry air.

    Source
    ------
    ASHRAE (2017) equations 33 (wet wick) and 35 (iced wick).

    Example
    -------
    >>> round(humidity_ratio_from_wet_bulb(313.15, 293.15, 101325.0), 4)
    0.0064
    """
    dry = within("dry_bulb", dry_bulb, DRY_BULB_RANGE)
    wet = within("wet_bulb", wet_bulb, WET_RANGE)
    if np.any(wet > dry):
        raise AirError("wet_bulb is above dry_bulb; the wet thermometer never reads higher, so check both readings.")
    saturated = _from_vapor_pressure(np.exp(log_saturation(wet)[0]), within("pressure", pressure, PRESSURE_RANGE))
    gain, loss, divisor = _wet_bulb_terms(dry, wet, wet >= FREEZING)
    ratio = (gain * saturated - loss) / divisor
    # Rounding leaves quite dry air a hair below zero.
    if np.any(ratio < -1e-9):
        raise AirError("wet_bulb is lower than quite dry air would give at this dry_bulb; check both readings.")
    return plain(np.maximum(ratio, 0.0))


def _wet_bulb_terms(dry: Array, wet: Array, liquid: NDArray[np.bool_]) -> tuple[Array, Array, Array]:
    """The terms of equations 33 and 35: W = (gain Ws - loss) / divisor, all in J/kg."""
    d, w = dry - FREEZING, wet - FREEZING
    gain = np.where(liquid, 2.501e6 - 2326.0 * w, 2.830e6 - 240.0 * w)
    divisor = np.where(liquid, 2.501e6 + 1860.0 * d - 4186.0 * w, 2.830e6 + 1860.0 * d - 2100.0 * w)
    return gain, AIR_HEAT * (d - w), divisor


def wet_bulb(dry_bulb: ArrayLike, humidity_ratio: ArrayLike, pressure: ArrayLike) -> Number:
    """Thermodynamic wet-bulb temperature.

    Parameters
    ----------
    dry_bulb : K, within `DRY_BULB_RANGE`.
    humidity_ratio : kg/kg, zero or more.
    pressure : total pressure, Pa, within `PRESSURE_RANGE`.

    Returns
    -------
    Wet bulb, K, in the common shape. Just below 0 C a wet and an iced wick can both be in balance; then the
    wet one, at or above 0 C, is given, so the answer jumps by up to 0.7 K there.

    Raises
    ------
    AirError : an argument out of range, or more water than the air can hold.

    Source
    ------
    ASHRAE (2017) equations 33 and 35, solved for the wet bulb.

    Example
    -------
    >>> round(wet_bulb(313.15, 0.0064, 101325.0), 1)
    293.1
    """
    relative_humidity(dry_bulb, humidity_ratio, pressure)  # refuses what no air can be
    dry, ratio, total = np.broadcast_arrays(
        within("dry_bulb", dry_bulb, DRY_BULB_RANGE),
        within("humidity_ratio", humidity_ratio, HUMIDITY_RATIO_RANGE),
        within("pressure", pressure, PRESSURE_RANGE),
    )

    def excess(wet: Array, liquid: NDArray[np.bool_]) -> tuple[Array, Array]:
        """Equation 33 or 35 multiplied out, and its slope by the wet bulb."""
        saturated, saturated_slope = saturated_ratio(wet, total)
        gain, loss, divisor = _wet_bulb_terms(dry, wet, liquid)
        gain_slope, divisor_slope = np.where(liquid, -2326.0, -240.0), np.where(liquid, -4186.0, -2100.0)
        slope = gain_slope * saturated + gain * saturated_slope + AIR_HEAT - ratio * divisor_slope
        return gain * saturated - loss - ratio * divisor, slope

    freezing = np.full(dry.shape, FREEZING)
    liquid = (dry >= FREEZING) & (excess(freezing, np.full(dry.shape, True))[0] <= 0.0)
    low = np.where(liquid, FREEZING, SATURATION_RANGE.low)
    high = np.where(liquid, dry, np.minimum(dry, FREEZING))
    return plain(solve_rising(lambda wet: excess(wet, liquid), low, high))


def saturated_ratio(kelvin: Array, pressure: Array) -> tuple[Array, Array]:
    """Humidity ratio at saturation and its slope by temperature, without checks, for trial values."""
    log_vapor, log_slope = log_saturation(kelvin)
    vapor = np.exp(log_vapor)
    air = np.maximum(pressure - vapor, 1e-3)  # beyond boiling: huge instead of infinite or negative
    ratio = WATER_TO_AIR * vapor / air
    return ratio, ratio * log_slope * pressure / air


def enthalpy(dry_bulb: ArrayLike, humidity_ratio: ArrayLike) -> Number:
    """Enthalpy per mass of dry air, zero for dry air and liquid water at 0 C.

    Parameters
    ----------
    dry_bulb : K, within `DRY_BULB_RANGE`.
    humidity_ratio : kg/kg, zero or more.

    Returns
    -------
    Enthalpy, J per kg of dry air, in the common shape.

    Raises
    ------
    AirError : an argument out of range or not a number.

    Source
    ------
    ASHRAE (2017) equation 30.

    Example
    -------
    >>> round(enthalpy(298.15, 0.01))
    50625
    """
    ratio = within("humidity_ratio", humidity_ratio, HUMIDITY_RATIO_RANGE)
    return plain(enthalpy_of(within("dry_bulb", dry_bulb, DRY_BULB_RANGE), ratio))


def enthalpy_of(kelvin: Array, ratio: Array) -> Array:
    """`enthalpy` without its checks, for trial values."""
    celsius = kelvin - FREEZING
    return AIR_HEAT * celsius + ratio * (EVAPORATION_HEAT + VAPOR_HEAT * celsius)


def specific_volume(dry_bulb: ArrayLike, humidity_ratio: ArrayLike, pressure: ArrayLike) -> Number:
    """Volume of the moist air per mass of dry air.

    Parameters
    ----------
    dry_bulb : K, within `DRY_BULB_RANGE`.
    humidity_ratio : kg/kg, zero or more.
    pressure : total pressure, Pa, within `PRESSURE_RANGE`.

    Returns
    -------
    Specific volume, m3 per kg of dry air, in the common shape.

    Raises
    ------
    AirError : an argument out of range or not a number.

    Source
    ------
    ASHRAE (2017) equation 26.

    Example
    -------
    >>> round(specific_volume(298.15, 0.01, 101325.0), 3)
    0.858
    """
    ratio = within("humidity_ratio", humidity_ratio, HUMIDITY_RATIO_RANGE)
    kelvin = within("dry_bulb", dry_bulb, DRY_BULB_RANGE)
    total = within("pressure", pressure, PRESSURE_RANGE)
    return plain(GAS_CONSTANT * kelvin * (1.0 + ratio / WATER_TO_AIR) / total)


def density(dry_bulb: ArrayLike, humidity_ratio: ArrayLike, pressure: ArrayLike) -> Number:
    """Density of the moist air: air and vapour together.

    Parameters
    ----------
    dry_bulb : K, within `DRY_BULB_RANGE`.
    humidity_ratio : kg/kg, zero or more.
    pressure : total pressure, Pa, within `PRESSURE_RANGE`.

    Returns
    -------
    Density, kg/m3, in the common shape.

    Raises
    ------
    AirError : an argument out of range or not a number.

    Source
    ------
    ASHRAE (2017) equation 11.

    Example
    -------
    >>> round(density(298.15, 0.01, 101325.0), 3)
    1.177
    """
    volume = np.asarray(specific_volume(dry_bulb, humidity_ratio, pressure))
    return plain((1.0 + np.asarray(humidity_ratio, dtype=float)) / volume)
