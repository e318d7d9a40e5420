"""Everything that stays fixed while a circuit is solved; `preparation` works it out."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coldcab.machine.ops import Value


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
    thermostat: Value  # K of the fins, about which a cycle hovers
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
    kind: Value = 0.0  # number of the kind of machine, where several are solved together (`kinds`)


def as_arrays(setting: Setting, count: int) -> Setting:
    """Every field as an array of that length."""
    return Setting(*(np.broadcast_to(np.asarray(value, dtype=float), (count,)) for value in setting))


def select(setting: Setting, place: np.ndarray) -> Setting:
    """The setting of some circuits."""
    return Setting(*(value[place] if isinstance(value, np.ndarray) and value.ndim else value for value in setting))
