"""Where the heat of a cab comes from, in a machine that has been run."""

from __future__ import annotations

import math

from coldcab.air import humidity_ratio, moist_air
from coldcab.machine.cab import COOLANT_TEMPERATURE, INFILTRATION, OCCUPANT_WATER, CabLoad, cab_load
from coldcab.machine.conditions import Conditions, MachineError
from coldcab.machine.effects import Faults, gather
from coldcab.machine.evaporator import AIR_HEAT, VAPOR_HEAT
from coldcab.machine.fluid import fluid_named
from coldcab.machine.layout import Machine
from coldcab.machine.ops import FLOATS
from coldcab.machine.preparation import prepare
from coldcab.machine.readings import Readings


def load_of(machine: Machine, conditions: Conditions, readings: Readings, faults: Faults = ()) -> CabLoad:
    """Where the heat comes from that the coil of a run in cab mode carries.

    Parameters
    ----------
    machine, conditions, faults : those of the run, with the cab shut. readings : what `coldcab.machine.simulate` gave.
        With the compressor off the cab is as moist as its balance of water without a coil makes it.

    Returns
    -------
    CabLoad. Its total is the run's capacity, but for 2 % of the latent part: the run counts the latent heat at the
    temperature behind the coil.

    Raises
    ------
    MachineError : a run with open doors, whose cab finds no balance of its own.
    """
    if conditions.inlet_temperature is not None:
        raise MachineError("with doors and windows open a cab has no load of its own; shut them.")
    # The fluid sets only the switches here, so a blend's own table is not needed.
    setting = prepare(FLOATS, machine, fluid_named(readings.refrigerant), conditions, gather(faults), readings.charge)
    pressure = setting.pressure
    fresh = setting.coil_air * conditions.fresh_air
    outside = moist_air(conditions.ambient, pressure, relative_humidity=conditions.relative_humidity)
    if math.isnan(readings.cab_relative_humidity):
        ratio = outside.humidity_ratio + OCCUPANT_WATER * conditions.occupants / (INFILTRATION + fresh)
    else:
        ratio = humidity_ratio(readings.cab, min(readings.cab_relative_humidity, 1.0), pressure)
    inside = moist_air(readings.cab, pressure, humidity_ratio=ratio)
    # The heater core warms what leaves the coil: vent = coil + k (coolant - coil).
    stream = setting.coil_air * (AIR_HEAT + VAPOR_HEAT * ratio)
    share = 1.0 - math.exp(-setting.heater_leak * machine.cab.heater_conductance / stream)
    behind_coil = (readings.vent - share * COOLANT_TEMPERATURE) / (1.0 - share)
    return cab_load(
        machine.cab,
        outside,
        inside,
        sun=conditions.sun,
        occupants=conditions.occupants,
        fresh_air_flow=fresh,
        blower_power=setting.blower_power,
        heater=stream * (readings.vent - behind_coil),
    )
