"""From a machine, its conditions, effects and charge to everything that stays fixed while its circuit is solved."""

from __future__ import annotations

import numpy as np

from coldcab.air import atmospheric_pressure, humidity_ratio
from coldcab.machine import condenser as condenser_part
from coldcab.machine import evaporator as evaporator_part
from coldcab.machine.circulating_oil import hindrance
from coldcab.machine.conditions import Conditions
from coldcab.machine.effects import Effects
from coldcab.machine.fluid import Fluid
from coldcab.machine.layout import Machine
from coldcab.machine.ops import Arithmetic, Value
from coldcab.machine.setting import Setting
from coldcab.quantities import AIR_GAS_CONSTANT

COIL_AIR_TEMPERATURE = 298.15  # K, at which the blower's volume is turned into mass
# The table of a refrigerant with a low critical point ends before the switches act; they are set lower for it then.
HIGHEST_CUTOUT = 0.95  # of the table's highest pressure
HIGHEST_RELIEF = 0.975
# Effects that the parts read as they are.
AS_THEY_ARE = (
    "volumetric",
    "leak_area",
    "air_mass",
    "evaporator_passage",
    "receiver_inlet",
    "drier",
    "suction",
    "discharge",
    "liquid_line",
    "screen",
    "ice",
    "valve_minimum",
    "valve_maximum",
    "valve_capacity",
    "valve_spring",
    "bulb_contact_loss",
    "bulb_charge",
    "heater_leak",
)


def prepare(
    ops: Arithmetic, machine: Machine, fluid: Fluid, conditions: Conditions, effects: Effects, charge: Value
) -> Setting:
    """Work out what stays fixed; atmosphere and humidity are those of `coldcab.air`."""
    c, e = conditions, effects
    pressure = atmospheric_pressure(c.altitude)
    humidity = humidity_ratio(c.ambient, c.relative_humidity, pressure)
    density = pressure / (AIR_GAS_CONSTANT * c.ambient)
    condenser, evaporator, switches = machine.condenser, machine.evaporator, machine.switches
    condenser_air = density * e.condenser_air * condenser.fan.volume_flow(c.engine_speed, e.fan)
    blown = evaporator.blower.flow * c.blower * e.blower
    coil_air = pressure / (AIR_GAS_CONSTANT * COIL_AIR_TEMPERATURE) * blown
    share = condenser.own_recirculation + e.recirculation
    inlet = c.inlet_temperature
    if inlet is None:
        bench, inlet = 0.0, c.ambient
    elif isinstance(inlet, float):
        bench = 1.0
    else:  # NaN marks cab mode among arrays
        bench = np.isfinite(inlet).astype(float)
        inlet = np.where(bench > 0, inlet, c.ambient)
    inlet_humidity = humidity_ratio(inlet, c.inlet_relative_humidity, pressure)
    oil = machine.oil_share * e.oil  # more oil in the circuit, more of it on the way [invented: in proportion]
    highest = fluid.highest_pressure
    return Setting(
        ambient=c.ambient,
        humidity=humidity,
        pressure=pressure,
        bay=c.ambient + machine.bay_warmth,
        speed=c.engine_speed * machine.compressor.pulley_ratio * (1.0 - e.slip),
        condenser_air=condenser_air,
        condenser_conductance=condenser.air_conductance
        * e.condenser_conductance
        * (condenser_air / condenser.rated_air) ** condenser_part.AIR_EXPONENT,
        recirculated=share / (1.0 - share),
        coil_air=coil_air,
        evaporator_conductance=evaporator.air_conductance
        * e.evaporator_conductance
        * (coil_air / evaporator.rated_air) ** evaporator_part.AIR_EXPONENT,
        boiling=e.boiling * hindrance(ops, oil),
        oil=oil / (1.0 - oil),
        oil_mass=machine.oil * e.oil,
        fresh_air=c.fresh_air * (1.0 - bench),
        # A blower's power goes with the cube of its speed (fan laws); blocked filters do not lower it here.
        blower_power=evaporator.blower.power * c.blower**3 * pressure / 101325.0,
        sun=c.sun,
        occupants=c.occupants,
        bench=bench,
        inlet_temperature=inlet,
        inlet_humidity=inlet_humidity,
        high_cutout=ops.minimum(switches.high_cutout + e.high_switch + pressure, HIGHEST_CUTOUT * highest),
        low_cutout=switches.low_cutout + e.low_switch + pressure,
        thermostat=switches.thermostat + e.thermostat + switches.lift,
        relief=ops.minimum(switches.relief + pressure, HIGHEST_RELIEF * highest),
        charge=charge * e.charge,
        **{name: getattr(e, name) for name in AS_THEY_ARE},
    )
