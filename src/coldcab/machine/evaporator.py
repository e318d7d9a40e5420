"""The evaporator: boiling and superheating inside, a wet or dry coil outside, and the blower."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from coldcab.machine.circulating_oil import mean_rise
from coldcab.machine.compressor import Side
from coldcab.machine.fluid import Fluid, convection, latent_slope
from coldcab.machine.ops import Arithmetic, Value
from coldcab.machine.setting import Setting
from coldcab.machine.void import EVAPORATOR_SLIP, mean_void
from coldcab.quantities import FREEZING

# Moist air: ASHRAE Handbook Fundamentals (2017), chapter 1, equations 20 and 30.
MASS_RATIO = 0.621945
EVAPORATION_HEAT = 2.501e6
VAPOR_HEAT = 1860.0
AIR_HEAT = 1006.0

AIR_EXPONENT = 0.55  # of the air-side coefficient with the flow [typical of louvred fins, from memory]
# Three points of Gauss and Legendre on 0..1, for the mean boiling coefficient: what of the liquid is left at each, and
# its weight times that to the power 0.8 (the liquid's share of the flow in the single-phase coefficient).
LEFT_AT_NODES = (0.8872983346, 0.5, 0.1127016654)
WEIGHTS = tuple(weight * left**0.8 for weight, left in zip((5 / 18, 8 / 18, 5 / 18), LEFT_AT_NODES, strict=True))
AREA_ROUNDING = 0.01  # of face area, over which the end of boiling meets the end of the coil
STRAIGHTENING = 40e3  # J/kg
DEW_ROUNDING = 2e-4  # kg/kg over which the onset of condensation is rounded: at most 3 g of water an hour on a dry coil


def saturated_air(ops: Arithmetic, temperature: Value, pressure: Value) -> tuple[Value, Value, Value]:
    """Humidity ratio, enthalpy (J/kg) and d(enthalpy)/dT of saturated air over water at a temperature (K).

    Vapour pressure after Buck (1996), coefficients from memory; tests hold it within 0.1 % of `coldcab.air`
    between 0 and 50 C. Below 0 C it is that over supercooled water.
    """
    t = temperature - FREEZING
    bottom = t + 257.14
    vapor = 611.21 * ops.exp((18.678 - t / 234.5) * t / bottom)
    slope = ((18.678 - t / 117.25) * bottom - (18.678 - t / 234.5) * t) / (bottom * bottom)
    dry = ops.maximum(pressure - vapor, 0.3 * pressure)
    humidity = MASS_RATIO * vapor / dry
    rise = humidity * slope * pressure / dry
    latent = EVAPORATION_HEAT + VAPOR_HEAT * t
    return humidity, AIR_HEAT * t + humidity * latent, AIR_HEAT + VAPOR_HEAT * humidity + rise * latent


def air_enthalpy(temperature: Value, humidity: Value) -> Value:
    """J/kg of dry air."""
    t = temperature - FREEZING
    return AIR_HEAT * t + humidity * (EVAPORATION_HEAT + VAPOR_HEAT * t)


@dataclass(frozen=True)
class Blower:
    """Cab blower: ``flow`` m3/s on its highest step, ``power`` W of its motor there, all of it warming the air."""

    flow: float
    power: float = 150.0


@dataclass(frozen=True)
class Evaporator:
    """Tubes and fins.

    ``circuits`` parallel tubes of ``length`` m in all and ``diameter`` m inside; ``air_conductance`` W/K of all fins
    at ``rated_air`` kg/s; ``resistance`` K in dp = K m^2 v; ``blower``.
    """

    circuits: int
    length: float
    diameter: float
    air_conductance: float
    rated_air: float
    resistance: float
    blower: Blower

    @cached_property
    def volume(self) -> float:
        """m3 inside."""
        return self.length * math.pi / 4 * self.diameter**2

    @cached_property
    def inner_area(self) -> float:
        """m2 wetted by refrigerant."""
        return self.length * math.pi * self.diameter

    @cached_property
    def film_factor(self) -> float:
        """0.023 G^0.8 D^-0.2 A per (kg/s)^0.8 (Dittus and Boelter form)."""
        section = self.circuits * math.pi / 4 * self.diameter**2
        return float(0.023 * section**-0.8 * self.diameter**-0.2 * self.inner_area)

    @cached_property
    def boiling_number(self) -> float:
        """Bo per unit of quality rise: q / (G hfg) = (section / wall) dx, a matter of geometry alone."""
        return self.diameter / (4.0 * self.length / self.circuits)

    def boiling(self, ops: Arithmetic, quality: Value, volume_ratio: Value) -> Value:
        """Mean boiling over liquid-only coefficient from ``quality`` to 1; ``volume_ratio`` vapour over liquid.

        h = h_l [1 + 3000 Bo^0.86 + 1.12 (x/(1-x))^0.75 (rho_l/rho_g)^0.41], h_l that of the liquid's share:
        Gungor and Winterton (1987), Chem. Eng. Res. Des. 65, 148, simplified form, from memory.
        """
        left = ops.positive(1.0 - quality, 0.02)
        nucleate = 1.0 + 3000.0 * (self.boiling_number * left) ** 0.86
        convective = 1.12 * volume_ratio**0.41
        total = 0.0
        for share, weight in zip(LEFT_AT_NODES, WEIGHTS, strict=True):
            liquid = left * share
            total = total + weight * (nucleate + convective * (1.0 / liquid - 1.0) ** 0.75)
        return left**0.8 * total

    def cool(
        self, ops: Arithmetic, fluid: Fluid, side: Side, flow: Value, enthalpy: Value, air: Stream, setting: Setting
    ) -> Cooling:
        """What the coil would do to refrigerant that enters with ``enthalpy`` (J/kg) and leaves at ``side``.

        Wet coil: the driving force is the enthalpy potential, 1/U* = cp/U_o + c_s/U_i with c_s the chord slope of
        saturated air from refrigerant to wall (Threlkeld 1970; Braun, Klein and Mitchell 1989, ASHRAE Trans. 95(1),
        164; form from memory). Dry coil likewise in temperature; the larger one counts. Zones as in the condenser.
        """
        line = side.line
        latent = line.vapor_enthalpy - line.liquid_enthalpy
        vapor_volume = line.vapor_pressure_volume / side.pressure
        quality = ops.positive((enthalpy - line.liquid_enthalpy) / latent, 0.01)
        drop = self.resistance * setting.evaporator_passage * flow * flow * 0.5 * vapor_volume * (1.0 + quality)
        # Mean temperature: that of the mean pressure (1/T is a straight line in ln p), and what oil adds.
        steepness = latent_slope(side.pressure, line) * side.pressure / line.temperature
        temperature = line.temperature / (1.0 - steepness * ops.log(1.0 + 0.5 * drop / side.pressure))
        temperature = temperature + mean_rise(ops, side.pressure, quality, setting.oil)

        film = self.film_factor * flow**0.8
        volume_ratio = vapor_volume / line.liquid_volume
        inner = film * convection(ops, fluid.liquid_transport, temperature) * setting.boiling
        inner = inner * self.boiling(ops, quality, volume_ratio)
        vapor_inner = film * convection(ops, fluid.vapor_transport, temperature)
        outer = setting.evaporator_conductance
        heat_capacity = AIR_HEAT + VAPOR_HEAT * air.humidity
        stream = air.flow * heat_capacity
        span = ops.positive(air.temperature - temperature, 0.3)
        enthalpy_in = air_enthalpy(air.temperature, air.humidity)

        # Whole coil boiling: dry, then wet with the wall's temperature found in two passes.
        dry = stream * (1.0 - ops.exp(-1.0 / (stream * (1.0 / outer + 1.0 / inner)))) * span
        _, enthalpy_cold, slope_cold = saturated_air(ops, temperature, setting.pressure)
        potential = enthalpy_in - enthalpy_cold
        slope = slope_cold * 1.1
        for _ in range(2):
            transfer = 1.0 / (heat_capacity / outer + slope / inner)
            wet = air.flow * (1.0 - ops.exp(-transfer / air.flow)) * potential
            rise = ops.minimum(ops.positive(wet / inner, 0.05), 40.0)
            slope = (saturated_air(ops, temperature + rise, setting.pressure)[1] - enthalpy_cold) / rise
        transfer = 1.0 / (heat_capacity / outer + slope / inner)
        wet = air.flow * (1.0 - ops.exp(-transfer / air.flow)) * potential
        whole = dry + ops.positive(wet - dry, 20.0)

        # Share of the coil that boils, then superheating in the rest; above 1 liquid floods out.
        share = flow * (line.vapor_enthalpy - enthalpy) / whole
        spare = ops.positive(1.0 - share, AREA_ROUNDING)
        flooded = ops.positive(share - 1.0, AREA_ROUNDING)
        # Mean heat capacity from saturation up to the air's temperature, where superheating would end.
        warmest = fluid.table.vapor_enthalpy(side.log_pressure, line.temperature + span, line)
        vapor_heat = (warmest - line.vapor_enthalpy) / span
        gas_transfer = 1.0 - ops.exp(-1.0 / (stream * (1.0 / outer + 1.0 / vapor_inner)))
        superheat = span * (1.0 - ops.exp(-spare * gas_transfer * stream / (flow * vapor_heat)))
        excess = vapor_heat * superheat - flooded * whole / flow

        boiling_share = share - flooded
        quality_out = ops.positive(1.0 - flooded * whole / (flow * latent), 0.01)
        void = mean_void(ops, quality, quality_out, 1.0 / volume_ratio, EVAPORATOR_SLIP)
        vapor_density, liquid_density = 1.0 / vapor_volume, 1.0 / line.liquid_volume
        mass = self.volume * (
            boiling_share * (void * vapor_density + (1.0 - void) * liquid_density)
            + (1.0 - boiling_share) * vapor_density * 0.95
        )
        return Cooling(excess, temperature, drop, share, whole, mass, quality)

    def leaving_air(
        self, ops: Arithmetic, air: Stream, heat: Value, coldest: Value, setting: Setting
    ) -> tuple[Value, Value, Value]:
        """Temperature (K) and humidity ratio of the air that has given off ``heat`` W, and the surface temperature.

        Bypass factor BF = exp(-U_o / (m_a cp)): the air leaves as a mixture of untouched air and air saturated at the
        effective surface, whose enthalpy is i_in - (i_in - i_out) / (1 - BF) (textbook, from memory). A surface above
        the dew point takes no water. The heat of the condensate itself, under 2 %, is left out.
        """
        heat_capacity = AIR_HEAT + VAPOR_HEAT * air.humidity
        bypass = ops.exp(-setting.evaporator_conductance / (air.flow * heat_capacity))
        enthalpy_in = air_enthalpy(air.temperature, air.humidity)
        enthalpy_out = enthalpy_in - heat / air.flow
        surface_enthalpy = enthalpy_in - heat / air.flow / (1.0 - bypass)
        # ln(i + 40 kJ/kg) is almost a straight line in temperature: three of Newton's steps find it to 1e-4 K.
        goal = ops.log(ops.positive(surface_enthalpy + STRAIGHTENING, 100.0))
        surface = coldest + 0.4 * (air.temperature - coldest)
        for _ in range(3):
            _, enthalpy, slope = saturated_air(ops, surface, setting.pressure)
            shifted = ops.maximum(enthalpy + STRAIGHTENING, 100.0)
            surface = surface + (goal - ops.log(shifted)) * shifted / slope
            surface = ops.minimum(ops.maximum(surface, 210.0), 350.0)
        humidity = saturated_air(ops, surface, setting.pressure)[0]
        removed = (1.0 - bypass) * ops.positive(air.humidity - humidity, DEW_ROUNDING)
        humidity_out = air.humidity - removed
        t = (enthalpy_out - humidity_out * EVAPORATION_HEAT) / (AIR_HEAT + VAPOR_HEAT * humidity_out)
        return t + FREEZING, humidity_out, surface


class Stream(NamedTuple):
    """Moist air on its way to the coil."""

    flow: Value  # kg/s of dry air
    temperature: Value
    humidity: Value


class Cooling(NamedTuple):
    """Results of `Evaporator.cool`."""

    excess: Value  # J/kg of the leaving refrigerant above saturated vapour
    temperature: Value  # mean, of boiling
    drop: Value  # Pa
    share: Value  # of the coil that boils; above 1 it floods
    whole: Value  # W of a coil that boils throughout
    mass: Value
    quality: Value  # of the entering refrigerant
