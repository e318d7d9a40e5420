"""From a solved circuit to readings and a status."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from typing import Any, NamedTuple

import numpy as np

from coldcab.machine import readings as words
from coldcab.machine.conditions import Conditions
from coldcab.machine.effects import Effects
from coldcab.machine.evaporator import AIR_HEAT, FREEZING, MASS_RATIO, VAPOR_HEAT, saturated_air
from coldcab.machine.fluid import Fluid
from coldcab.machine.layout import Machine
from coldcab.machine.model import HEAT_SCALE, MASSES, Point, evaluate
from coldcab.machine.ops import FLOATS, Value
from coldcab.machine.readings import Readings, with_worked_out
from coldcab.machine.receiver import EMPTY_GLASS, GLASS
from coldcab.machine.setting import Setting
from coldcab.machine.solver import first_guess
from coldcab.machine.switches import resting_time
from coldcab.refrigerants import resolve

AIR_GAS_CONSTANT = 287.05  # J/(kg K)
WET = 0.003  # mass share of liquid in the suction gas that counts as flood-back
DUTY_STEADY = 0.97  # a duty above this is no cycling
RELIEF_SEEN = 1e-3  # kg


class Case(NamedTuple):
    """What one solution belongs to."""

    machine: Machine
    fluid: Fluid
    conditions: Conditions
    effects: Effects
    setting: Setting
    refrigerant: str


def readings_of(ops: Any, case: Case, point: Point, unknowns: Any, done: Any) -> Readings:
    """Readings of solved circuits, floats or arrays."""
    machine, fluid, conditions, effects, setting, refrigerant = case
    atmosphere, table, switches = setting.pressure, fluid.table, machine.switches
    gas, cond, coil, flow = point.compression, point.condensing, point.cooling, point.compression.mass_flow
    air = point.coil_in

    # Pressures and temperatures along the way.
    low_gauge = point.low.pressure - atmosphere
    high_gauge = point.high.pressure - atmosphere
    standing = standing_pressure(ops, fluid, setting.charge, machine.volume, setting.ambient, setting.air_mass)
    total_saturation = cond.side.line.temperature
    drier_in = cond.liquid_temperature
    drier_out = ops.minimum(drier_in, point.drier_out.line.temperature)
    warmed = drier_out + point.liquid_warming / fluid.liquid_heat
    liquid_line = ops.minimum(warmed, point.valve_in.line.temperature)
    superheat = point.line_temperature - point.evaporating.line.temperature
    evaporator_inlet = table.saturation_temperature(ops.log(point.evaporating.pressure + coil.drop))
    subcooling = total_saturation - cond.liquid_temperature

    # Clutch.
    cutout, cutin = switches.low_cutout + effects.low_switch, switches.low_cutin + effects.low_switch
    saturated_rest = ops.exp(table.log_pressure(ops.minimum(air.temperature, table.warmest - 1.0))) - atmosphere
    low_rest = ops.minimum(saturated_rest, standing - atmosphere)
    by_high, by_low, by_fins = (one < DUTY_STEADY for one in point.duties)
    duty = point.duties[0] * point.duties[1] * point.duties[2]
    cycling = by_low | by_fins
    start_again = setting.thermostat + switches.thermostat_span
    clutch_off = ops.where(
        by_low,
        resting_time(ops, low_rest, cutout, cutin, switches.suction_rise),
        resting_time(ops, air.temperature, setting.thermostat, start_again, switches.fin_rise),
    )
    clutch_off = ops.where(cycling, clutch_off, ops.where(by_high, math.nan, 0.0))
    clutch_on = ops.where(
        cycling, clutch_off * duty / ops.maximum(1.0 - duty, 1e-6), ops.where(by_high, math.nan, math.inf)
    )

    # Status, the gravest first.
    no_clutch = effects.clutch < 0.5
    too_low = by_low & (low_rest < cutin)
    switched_off = setting.high_cutout < standing
    cold = by_fins & (air.temperature < start_again)
    unsolved = not done if isinstance(done, bool) else ~done
    conditions_list = [
        no_clutch,
        switched_off,
        unsolved & (setting.charge * cond.side.line.liquid_volume > OVERFULL_SHARE * machine.volume),
        unsolved,
        too_low,
        cold,
        point.relieved > RELIEF_SEEN,
        by_high,
        by_low,
        gas.wetness > WET,
        by_fins,
    ]
    status = ops.select(
        conditions_list,
        [
            words.OFF,
            words.OFF,
            words.NO_STEADY_STATE,
            words.NO_STEADY_STATE,
            words.OFF,
            words.OFF,
            words.RELIEF,
            words.HIGH_PRESSURE,
            words.LOW_PRESSURE,
            words.FLOOD_BACK,
            words.THERMOSTAT,
        ],
        words.RUNNING,
    )
    reason = ops.select(
        conditions_list,
        [
            "the clutch does not engage",
            "the standing pressure is above the cut-out of the high-pressure switch",
            OVERFULL,
            NO_SOLUTION,
            "the standing pressure is below the cut-in of the low-pressure switch",
            "the air at the fins is colder than the cut-in of the thermostat",
            "the relief valve has blown off refrigerant",
            "the high-pressure switch cycles the clutch",
            "the low-pressure switch cycles the clutch",
            "liquid reaches the compressor",
            "the thermostat cycles the clutch",
        ],
        "",
    )

    # Balances, worked out once more from the transfer side.
    areas = cond.gas_area + cond.tube_area + cond.cooling_area
    heat = flow * (gas.discharge_enthalpy - cond.enthalpy)
    overall = gas.gas_power + point.capacity + flow * (point.suction_warming + point.liquid_warming) - heat
    energy_residual = (
        abs(overall)
        + abs(cond.heat * (1.0 - 1.0 / areas))
        + abs(flow * (coil.excess - point.outlet_excess))
        + abs(point.residuals[4]) * HEAT_SCALE
    )
    total = sum(point.masses) + point.relieved
    power = gas.gas_power / machine.compressor.mechanical_efficiency
    void = point.glass
    glass = ops.select([void < limit for limit, _ in GLASS], [look for _, look in GLASS], EMPTY_GLASS)
    condensate = air.flow * (air.humidity - point.coil_out_humidity)
    sensible = air.flow * (AIR_HEAT + VAPOR_HEAT * air.humidity) * (air.temperature - point.coil_out)
    vapor = point.cab_humidity * atmosphere / (MASS_RATIO + point.cab_humidity)
    moist = saturated_air(ops, point.cab_temperature, atmosphere)[0]
    full = moist * atmosphere / (MASS_RATIO + moist)
    pulley = conditions.engine_speed * machine.compressor.pulley_ratio
    found = Readings(
        status=status,
        reason=reason,
        low_gauge=low_gauge,
        high_gauge=high_gauge,
        low_gauge_swing=(
            ops.where(by_low, cutout, low_gauge),
            ops.where(by_low, cutin, low_gauge),
        ),
        low_saturation_temperature=0.0,
        high_saturation_temperature=0.0,
        standing_pressure=standing - atmosphere,
        evaporator_inlet=evaporator_inlet,
        suction_line_at_evaporator=point.line_temperature,
        suction_line_at_compressor=gas.suction_temperature,
        discharge_line=gas.discharge_temperature,
        drier_in=drier_in,
        drier_out=drier_out,
        liquid_line=liquid_line,
        condenser_air_in=cond.face_temperature,
        condenser_air_out=cond.air_out,
        vent=point.vent,
        return_air=air.temperature,
        cab=point.cab_temperature,
        ambient=setting.ambient + 0.0 * flow,
        glass=glass,
        glass_void=void,
        condensate=condensate,
        cab_relative_humidity=vapor / full,
        clutch_duty=duty,
        clutch_on=clutch_on,
        clutch_off=clutch_off,
        pulley_speed=pulley + 0.0 * flow,
        hub_speed=setting.speed + 0.0 * flow,
        coil_frost=point.fins < FREEZING,
        superheat_measured=0.0,
        superheat=superheat,
        subcooling_measured=0.0,
        subcooling=subcooling,
        evaporating_temperature=point.evaporating.line.temperature,
        condensing_temperature=cond.temperature,
        low_pressure=point.low.pressure,
        high_pressure=point.high.pressure,
        compression_ratio=point.high.pressure / point.low.pressure,
        mass_flow=flow,
        capacity=point.capacity,
        sensible_capacity=sensible,
        power=power,
        condenser_heat=cond.heat,
        cop=point.capacity / power,
        opening=point.opening,
        flood_share=gas.wetness,
        level=cond.level,
        masses=dict(zip(MASSES, point.masses, strict=True)),
        charge=setting.charge + 0.0 * flow,
        relieved=point.relieved,
        atmosphere=atmosphere + 0.0 * flow,
        energy_residual=energy_residual,
        mass_residual=total - setting.charge,
        refrigerant=resolve(refrigerant),
        unknowns=unknowns,
    )
    off = status == words.OFF
    blank = unsolved & (status == words.NO_STEADY_STATE)
    if np.any(off):
        found = _overlaid(ops, found, off, _rest_values(ops, case, standing, found))
    if np.any(blank):
        found = _overlaid(ops, found, blank, dict.fromkeys(BLANKED, math.nan))
    return with_worked_out(found)


def standing_pressure(ops: Any, fluid: Fluid, mass: Value, volume: float, temperature: Value, air: Value) -> Value:
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


# What has no value without a steady state.
BLANKED = tuple(
    field.name
    for field in fields(Readings)
    if field.name
    not in ("status", "reason", "standing_pressure", "refrigerant", "unknowns", "ambient", "atmosphere", "charge",
            "pulley_speed", "low_gauge_swing", "masses", "glass", "coil_frost")
)  # fmt: skip


def _overlaid(ops: Any, found: Readings, mask: Any, values: dict[str, Any]) -> Readings:
    """Readings with some values replaced where ``mask`` is true."""
    changed = {name: ops.where(mask, value, getattr(found, name)) for name, value in values.items()}
    low = changed["low_gauge"]
    changed["low_gauge_swing"] = tuple(ops.where(mask, low, one) for one in found.low_gauge_swing)
    return replace(found, **changed)


def _rest_values(ops: Any, case: Case, standing: Value, found: Readings) -> dict[str, Any]:
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
    zero = 0.0 * found.mass_flow
    zeros = ("condensate", "clutch_duty", "clutch_on", "hub_speed", "superheat", "subcooling", "mass_flow", "capacity",
             "sensible_capacity", "power", "condenser_heat", "opening", "flood_share", "relieved", "energy_residual",
             "mass_residual")  # fmt: skip
    nothing = ("cop", "level", "glass_void", "cab_relative_humidity")
    ambient = ("suction_line_at_compressor", "discharge_line", "drier_in", "drier_out", "liquid_line",
               "condenser_air_in", "condenser_air_out", "condensing_temperature")  # fmt: skip
    return {
        **dict.fromkeys(zeros, zero),
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


def harmless_point(case: Case, bulb: Fluid) -> Point:
    """Some point of the same shape, for readings without values."""
    guess = first_guess(FLOATS, case.machine, case.fluid, case.setting)
    return evaluate(FLOATS, case.machine, case.fluid, bulb, case.setting, guess)


NO_SOLUTION = "no balance of flow, heat and charge was found for this combination"
OVERFULL = "so much liquid is in the circuit that it fills condenser and evaporator; no steady flow was found"
OVERFULL_SHARE = 0.42  # of the circuit's volume filled with liquid, above which this is the likely reason
