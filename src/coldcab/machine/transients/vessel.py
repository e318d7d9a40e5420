"""Refrigerant in a closed space, liquid and vapour at one temperature: pressure, heat capacity, what flows carry."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coldcab.machine.at_rest import standing_pressure
from coldcab.machine.fluid import Fluid
from coldcab.machine.ops import ARRAYS, Value

# Below a gram or so of liquid the heat capacity passes over to that of gas; rounding of the corner [invented].
LAST_LIQUID = 5e-4  # kg
DIFFERENCE = 0.02  # K, of the numerical heat capacity


class Contents(NamedTuple):
    """State of the refrigerant in a vessel; arrays."""

    pressure: np.ndarray  # Pa, of the refrigerant
    liquid: np.ndarray  # kg
    vapor_density: np.ndarray
    liquid_density: np.ndarray
    vapor_enthalpy: np.ndarray  # J/kg
    liquid_enthalpy: np.ndarray
    heat_capacity: np.ndarray  # J/K at constant mass and volume, evaporation included
    marginal_energy: np.ndarray  # J/kg, d(internal energy)/d(mass) at constant temperature and volume


def contents(fluid: Fluid, mass: Value, volume: Value, temperature: Value) -> Contents:
    """Work out the contents of a vessel from mass (kg), volume (m3) and temperature (K), numbers or arrays.

    With liquid: p = p_sat(T); dU/dm = (v_g u_l - v_l u_g) / (v_g - v_l); dU/dT by differences of m_l u_l + m_g u_g
    (both from the volume's constraint; first law, textbook). Without: the pressure of `standing_pressure`, heat
    capacity m (cp - R), cp as for hoses, and u = h - p / rho with the saturated vapour's h at this temperature: that of
    thin gas is 1 to 2 % of the latent heat higher, which is left out.
    """
    mass = np.maximum(np.asarray(mass, dtype=float), 1e-9)
    temperature = np.asarray(temperature, dtype=float)
    table = fluid.table
    three = temperature + np.multiply.outer(np.array([-DIFFERENCE, 0.0, DIFFERENCE]), np.ones_like(temperature))
    log_pressure = table.log_pressure(three)
    line = table.saturation(log_pressure)
    saturated = np.exp(log_pressure)
    vapor_volume, liquid_volume = line.vapor_pressure_volume / saturated, line.liquid_volume
    vapor_energy = line.vapor_enthalpy - line.vapor_pressure_volume
    liquid_energy = line.liquid_enthalpy - saturated * liquid_volume
    vapor = (volume - mass * liquid_volume) / (vapor_volume - liquid_volume)
    energy = (mass - vapor) * liquid_energy + vapor * vapor_energy
    liquid = np.maximum(mass - vapor[1], 0.0)
    wet = liquid / (liquid + LAST_LIQUID)

    pressure = standing_pressure(ARRAYS, fluid, mass, volume, temperature, 0.0)
    density = np.where(liquid > 0.0, 1.0 / vapor_volume[1], mass / volume)
    vapor_enthalpy, liquid_enthalpy = line.vapor_enthalpy[1], line.liquid_enthalpy[1]
    v_g, v_l = vapor_volume[1], liquid_volume[1]
    marginal = (v_g * liquid_energy[1] - v_l * vapor_energy[1]) / (v_g - v_l)
    gas_capacity = mass * (fluid.vapor_heat - table.gas_constant)
    wet_capacity = (energy[2] - energy[0]) / (2.0 * DIFFERENCE)
    return Contents(
        pressure,
        liquid,
        density,
        1.0 / v_l,
        vapor_enthalpy,
        liquid_enthalpy,
        wet * wet_capacity + (1.0 - wet) * gas_capacity,
        wet * marginal + (1.0 - wet) * (vapor_enthalpy - pressure / density),
    )
