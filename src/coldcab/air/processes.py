"""What happens to moist air on its way: through a coil, and where two streams meet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from coldcab.air import moist
from coldcab.air.checks import DRY_BULB_RANGE, FLOW_RANGE, SHARE_RANGE, AirError, within
from coldcab.air.saturation import solve_rising
from coldcab.air.state import MoistAir
from coldcab.quantities import FREEZING, Array, Value, plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    Number = Value

# Enthalpy of ice against liquid water at 0 C, J/kg, and its rise: ASHRAE (2017) chapter 1, Table 3.
_ICE_ENTHALPY = -333.43e3
_ICE_HEAT = 2100.0


@dataclass(frozen=True, eq=False)
class CoilResult:
    """What a coil does to the air.

    Attributes
    ----------
    leaving : the air behind the coil.
    total_heat : heat taken from the air, W; negative where the coil heats.
    sensible_heat : part of it that cools the air, W.
    latent_heat : part of it that turns vapour into water or frost, W.
    condensate_rate : water that leaves the air, kg/s.
    """

    leaving: MoistAir
    total_heat: Number
    sensible_heat: Number
    latent_heat: Number
    condensate_rate: Number


@dataclass(frozen=True, eq=False)
class MixingResult:
    """Two streams made one.

    Attributes
    ----------
    air : the mixture.
    dry_air_flow : kg of dry air per second.
    condensate_rate : fog, kg/s: water that the mixture cannot hold; nearly always zero.
    """

    air: MoistAir
    dry_air_flow: Number
    condensate_rate: Number


def coil(
    entering: MoistAir, dry_air_flow: ArrayLike, *, surface_temperature: ArrayLike, bypass_factor: ArrayLike
) -> CoilResult:
    """Air through a coil: part of it meets the cold surface fully, the rest passes by untouched.

    The surface is wet where it is colder than the dew point of the entering air; vapour then condenses, as
    frost where the surface is below 0 C. Water leaves at the temperature of the surface.

    Parameters
    ----------
    entering : air before the coil.
    dry_air_flow : kg of dry air per second, zero or more.
    surface_temperature : of the coil (apparatus dew point where it is wet), K, within `DRY_BULB_RANGE`.
    bypass_factor : share of the air that passes by, 0 to 1.
        Scalars or arrays that broadcast with the state.

    Returns
    -------
    CoilResult. sensible_heat + latent_heat = total_heat, and total_heat closes the energy balance with the
    water that leaves.

    Raises
    ------
    AirError : a number out of range.

    Source
    ------
    Bypass factor: textbooks of refrigeration, from memory. Enthalpy of the water: ASHRAE (2017) chapter 1,
    equation 33 (liquid) and Table 3 (ice).

    Example
    -------
    >>> from coldcab.air import moist_air
    >>> room = moist_air(300.15, relative_humidity=0.5)
    >>> round(coil(room, 0.15, surface_temperature=278.15, bypass_factor=0.2).total_heat)
    4432
    """
    flow = within("dry_air_flow", dry_air_flow, FLOW_RANGE)
    surface = within("surface_temperature", surface_temperature, DRY_BULB_RANGE)
    bypass = within("bypass_factor", bypass_factor, SHARE_RANGE)
    pressure = np.asarray(entering.pressure, dtype=float)
    dry, ratio = np.asarray(entering.dry_bulb, dtype=float), np.asarray(entering.humidity_ratio, dtype=float)

    at_surface = np.minimum(ratio, moist.saturated_ratio(surface, pressure)[0])
    shed = (1.0 - bypass) * (ratio - at_surface)
    line_dry, line_ratio = surface + bypass * (dry - surface), ratio - shed
    total = moist.enthalpy_of(dry, ratio) - moist.enthalpy_of(line_dry, line_ratio) - shed * _water_enthalpy(surface)

    leaving_dry, leaving_ratio, fog = _settled(line_dry, line_ratio, pressure)
    leaving = MoistAir(plain(leaving_dry), plain(leaving_ratio), entering.pressure)
    sensible = (moist.AIR_HEAT + moist.VAPOR_HEAT * leaving_ratio) * (dry - leaving_dry)
    return CoilResult(
        leaving=leaving,
        total_heat=plain(flow * total),
        sensible_heat=plain(flow * sensible),
        latent_heat=plain(flow * (total - sensible)),
        condensate_rate=plain(flow * (shed + fog)),
    )


def mix(first: MoistAir, first_flow: ArrayLike, second: MoistAir, second_flow: ArrayLike) -> MixingResult:
    """Two streams of air made one without heat from outside, such as fresh and return air.

    Parameters
    ----------
    first, second : the streams, at the same pressure.
    first_flow, second_flow : kg of dry air per second, zero or more, not both zero.
        Scalars or arrays that broadcast together.

    Returns
    -------
    MixingResult. Water and enthalpy are those of both streams together.

    Raises
    ------
    AirError : a flow out of range, no flow at all, or streams of different pressure.

    Source
    ------
    ASHRAE (2017) chapter 1, "Adiabatic mixing of two moist airstreams".

    Example
    -------
    >>> from coldcab.air import moist_air
    >>> fresh, cab = moist_air(308.15, relative_humidity=0.4), moist_air(298.15, relative_humidity=0.5)
    >>> round(mix(fresh, 0.05, cab, 0.10).air.dry_bulb, 2)
    301.5
    """
    one = within("first_flow", first_flow, FLOW_RANGE)
    two = within("second_flow", second_flow, FLOW_RANGE)
    flow = one + two
    if np.any(flow <= 0.0):
        raise AirError("first_flow and second_flow are both zero; at least one stream must flow.")
    pressure = np.asarray(first.pressure, dtype=float)
    if not np.allclose(pressure, second.pressure, rtol=1e-6, atol=0.0):
        raise AirError("the two streams have different pressures; bring both to the same pressure first.")
    share = one / flow
    ratio = share * first.humidity_ratio + (1.0 - share) * second.humidity_ratio
    heat = share * first.enthalpy + (1.0 - share) * second.enthalpy
    dry = FREEZING + (heat - moist.EVAPORATION_HEAT * ratio) / (moist.AIR_HEAT + moist.VAPOR_HEAT * ratio)
    dry, ratio, fog = _settled(dry, ratio, pressure)
    return MixingResult(MoistAir(plain(dry), plain(ratio), first.pressure), plain(flow), plain(flow * fog))


def _water_enthalpy(kelvin: Array) -> Array:
    celsius = kelvin - FREEZING
    return np.where(celsius < 0.0, _ICE_ENTHALPY + _ICE_HEAT * celsius, moist.WATER_HEAT * celsius)


def _settled(dry: Array, ratio: Array, pressure: Array) -> tuple[Array, Array, Array]:
    """Dry bulb, humidity ratio and fog (kg/kg) after too much vapour has become droplets.

    A straight line on the psychrometric chart can cross the curve of saturation. The fog warms the air until
    it is just saturated; enthalpy, droplets included, stays the same.
    """
    dry, ratio, pressure = np.broadcast_arrays(dry, ratio, pressure)
    foggy = ratio > moist.saturated_ratio(dry, pressure)[0]
    if not foggy.any():
        return dry, ratio, np.zeros(dry.shape)
    heat = moist.enthalpy_of(dry, ratio)

    def excess(kelvin: Array) -> tuple[Array, Array]:
        """Enthalpy of saturated air and droplets above the true one, and its slope by temperature."""
        held, slope = moist.saturated_ratio(kelvin, pressure)
        droplets, celsius = ratio - held, kelvin - FREEZING
        value = moist.enthalpy_of(kelvin, held) + droplets * moist.WATER_HEAT * celsius - heat
        evaporation = moist.EVAPORATION_HEAT + (moist.VAPOR_HEAT - moist.WATER_HEAT) * celsius
        fixed = moist.AIR_HEAT + held * moist.VAPOR_HEAT + droplets * moist.WATER_HEAT
        return value, fixed + slope * evaporation

    warm = solve_rising(excess, dry, np.full(dry.shape, DRY_BULB_RANGE.high))
    dry = np.where(foggy, warm, dry)
    held = np.where(foggy, np.minimum(ratio, moist.saturated_ratio(dry, pressure)[0]), ratio)
    return dry, held, ratio - held
