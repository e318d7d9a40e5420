"""Everything that stays fixed while a circuit is solved, worked out from conditions, effects and charge."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coldcab.air import atmospheric_pressure, humidity_ratio
from coldcab.machine import condenser as condenser_part
from coldcab.machine import evaporator as evaporator_part
from coldcab.machine.circulating_oil import hindrance
from coldcab.machine.conditions import Conditions
from coldcab.machine.effects import Effects
from coldcab.machine.fluid import Fluid
from coldcab.machine.layout import Machine
from coldcab.machine.ops import Value

AIR_GAS_CONSTANT = 287.05  # J/(kg K)
COIL_AIR_TEMPERATURE = 298.15  # K, at which the blower's volume is turned into mass


class Setting(NamedTuple):
    """Everything fixed during one solution, worked out from conditions and effects."""

    ambient: Value  # K
    humidity: Value  # kg/kg, of the ambient air
    pressure: Value  # Pa, of the atmosphere
    bay: Value  # K
    speed: Value  # rev/s of the compressor
    volumetric: Value
    leak_area: Value
    air_mass: Value
    condenser_air: Value  # kg/s
    condenser_conductance: Value  # W/K, air side
    recirculated: Value  # r / (1 - r)
    coil_air: Value  # kg/s
    evaporator_conductance: Value  # W/K, air side
    boiling: Value
    evaporator_passage: Value
    oil: Value  # kg that travels with a kg of refrigerant
    oil_mass: Value  # kg in the circuit
    fresh_air: Value
    blower_power: Value
    sun: Value
    occupants: Value
    bench: Value  # 1 bench, 0 cab
    inlet_temperature: Value
    inlet_humidity: Value
    high_cutout: Value  # Pa absolute
    low_cutout: Value  # Pa absolute
    thermostat: Value  # K
    relief: Value  # Pa absolute
    receiver_inlet: Value
    drier: Value
    suction: Value
    discharge: Value
    liquid_line: Value
    screen: Value
    ice: Value
    valve_minimum: Value
    valve_maximum: Value
    valve_capacity: Value
    valve_spring: Value
    bulb_contact_loss: Value
    bulb_charge: Value
    heater_leak: Value
    charge: Value  # kg


# The table of a refrigerant with a low critical point ends before the switches act; they are set lower for it then.
HIGHEST_CUTOUT = 0.95  # of the table's highest pressure
HIGHEST_RELIEF = 0.975


def prepare(
    ops: Any, machine: Machine, fluid: Fluid, conditions: Conditions, effects: Effects, charge: Value
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
        volumetric=e.volumetric,
        leak_area=e.leak_area,
        air_mass=e.air_mass,
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
        evaporator_passage=e.evaporator_passage,
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
        thermostat=switches.thermostat + e.thermostat,
        relief=ops.minimum(switches.relief + pressure, HIGHEST_RELIEF * highest),
        receiver_inlet=e.receiver_inlet,
        drier=e.drier,
        suction=e.suction,
        discharge=e.discharge,
        liquid_line=e.liquid_line,
        screen=e.screen,
        ice=e.ice,
        valve_minimum=e.valve_minimum,
        valve_maximum=e.valve_maximum,
        valve_capacity=e.valve_capacity,
        valve_spring=e.valve_spring,
        bulb_contact_loss=e.bulb_contact_loss,
        bulb_charge=e.bulb_charge,
        heater_leak=e.heater_leak,
        charge=charge * e.charge,
    )


def as_arrays(setting: Setting, count: int) -> Setting:
    """Every field as an array of that length."""
    return Setting(*(np.broadcast_to(np.asarray(value, dtype=float), (count,)) for value in setting))


def select(setting: Setting, place: np.ndarray) -> Setting:
    """The setting of some circuits."""
    return Setting(*(value[place] if isinstance(value, np.ndarray) and value.ndim else value for value in setting))
