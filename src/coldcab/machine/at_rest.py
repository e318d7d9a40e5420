"""The circuit at rest: its pressure, and what is read at a machine whose clutch stays off."""

from __future__ import annotations

import math

from coldcab.machine.evaporator import AIR_HEAT
from coldcab.machine.fluid import Fluid
from coldcab.machine.ops import Arithmetic, Value
from coldcab.machine.status import Case
from coldcab.quantities import AIR_GAS_CONSTANT


def standing_pressure(
    ops: Arithmetic, fluid: Fluid, mass: Value, volume: float, temperature: Value, air: Value
) -> Value:
    """Pa absolute in the circuit at rest: saturation while liquid is left, air added after Dalton.

    Without liquid the compressibility is taken to fall evenly from 1 to that of saturated vapour (virial equation, one
    term). `coldcab.refrigerants.closed_container` does the same with the property table.
    """
    log_pressure = fluid.table.log_pressure(temperature)
    saturated = ops.exp(log_pressure)
    line = fluid.table.saturation(log_pressure)
    vapor_density = saturated / line.vapor_pressure_volume
    filling = ops.minimum(mass / volume / vapor_density, 1.0)
    compressibility = line.vapor_pressure_volume / (fluid.table.gas_constant * temperature)
    pressure = saturated * filling * (1.0 - (1.0 - compressibility) * filling) / compressibility
    liquid_share = ops.maximum(mass / volume - vapor_density, 0.0) / (1.0 / line.liquid_volume - vapor_density)
    room = volume * (1.0 - ops.minimum(liquid_share, 0.95))
    return pressure + air * AIR_GAS_CONSTANT * temperature / room


def rest_values(ops: Arithmetic, case: Case, standing: Value) -> dict[str, Value]:
    """What a machine shows with the clutch off for long and blower and engine running."""
    setting, cab = case.setting, case.machine.cab
    gauge = standing - setting.pressure
    blown = setting.coil_air * AIR_HEAT
    outside = setting.fresh_air
    blower = (1.0 - setting.bench) * setting.blower_power / blown

    def behind(inside: Value) -> tuple[Value, Value]:
        """Air before the coil and at the vent for a cab temperature; nothing cools it."""
        before = outside * setting.ambient + (1.0 - outside) * inside + blower
        return before, before + cab.heater(ops, before, blown, setting)

    def balance(inside: Value) -> Value:
        return cab.heat(setting.ambient, inside, setting, AIR_HEAT) - blown * (inside - behind(inside)[1])

    # A straight line in the cab temperature: two points give its zero.
    here, there = setting.ambient, setting.ambient + 10.0
    at_here, at_there = balance(here), balance(there)
    inside = here - at_here * 10.0 / (at_there - at_here)
    inside = setting.bench * setting.inlet_temperature + (1.0 - setting.bench) * inside
    before, vent = behind(inside)
    zeros = ("condensate", "clutch_duty", "clutch_on", "hub_speed", "superheat", "subcooling", "mass_flow", "capacity",
             "sensible_capacity", "power", "condenser_heat", "opening", "flood_share", "relieved", "energy_residual",
             "mass_residual")  # fmt: skip
    nothing = ("cop", "level", "glass_void", "cab_relative_humidity")
    ambient = ("suction_line_at_compressor", "discharge_line", "drier_in", "drier_out", "liquid_line",
               "condenser_air_in", "condenser_air_out", "condensing_temperature")  # fmt: skip
    return {
        **dict.fromkeys(zeros, 0.0),
        **dict.fromkeys(nothing, math.nan),
        **dict.fromkeys(ambient, setting.ambient),
        "low_gauge": gauge,
        "high_gauge": gauge,
        "low_pressure": standing,
        "high_pressure": standing,
        "compression_ratio": 1.0,
        "suction_line_at_evaporator": before,
        "evaporator_inlet": before,
        "evaporating_temperature": before,
        "return_air": before,
        "cab": inside,
        "vent": vent,
        "clutch_off": math.inf,
        "coil_frost": False,
        "glass": "still",
    }
