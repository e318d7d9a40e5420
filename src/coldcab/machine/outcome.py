"""From a solved circuit to readings and a status."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from typing import Any, cast

import numpy as np

from coldcab.machine import readings as words
from coldcab.machine.at_rest import rest_values, standing_pressure
from coldcab.machine.conditions import Conditions, MachineError
from coldcab.machine.effects import Effects
from coldcab.machine.evaporator import AIR_HEAT, MASS_RATIO, VAPOR_HEAT, saturated_air
from coldcab.machine.fluid import Fluid
from coldcab.machine.model import HEAT_SCALE, MASSES, Point, evaluate
from coldcab.machine.ops import FLOATS, Arithmetic, Array, Truth, Value
from coldcab.machine.preparation import prepare
from coldcab.machine.readings import WORKED_OUT, Readings, with_worked_out
from coldcab.machine.receiver import EMPTY_GLASS, GLASS
from coldcab.machine.solver import first_guess
from coldcab.machine.status import Case, Clutch, clutch_of, findings
from coldcab.quantities import FREEZING
from coldcab.refrigerants import resolve


def readings_of(
    ops: Arithmetic, case: Case, point: Point, unknowns: Array | tuple[float, ...], done: Truth
) -> Readings:
    """Readings of solved circuits, floats or arrays; ``done`` where the search has found a solution."""
    setting = case.setting
    standing = standing_pressure(
        ops, case.fluid, setting.charge, case.machine.volume, setting.ambient, setting.air_mass
    )
    clutch = clutch_of(ops, case, point, standing)
    unsolved = not done if isinstance(done, bool) else ~done
    found = findings(case, point, clutch, standing, unsolved)
    holds = [one.holds for one in found]
    status = ops.select(holds, [one.status for one in found], words.RUNNING)
    readings = Readings(
        status=status,
        reason=ops.select(holds, [one.reason for one in found], ""),
        standing_pressure=standing - setting.pressure,
        refrigerant=resolve(case.refrigerant),
        unknowns=unknowns,
        **cast(dict[str, Any], dict.fromkeys(WORKED_OUT, 0.0)),
        **_pressures(ops, case, point, clutch),
        **_refrigerant_temperatures(ops, case, point),
        **_air(ops, case, point),
        **_clutch(ops, case, clutch, point),
        **_behind_the_scenes(ops, case, point),
        **_balances(case, point),
    )
    off = status == words.OFF
    blank = unsolved & (status == words.NO_STEADY_STATE)
    if np.any(off):
        readings = _overlaid(ops, readings, off, rest_values(ops, case, standing))
    if np.any(blank):
        readings = _overlaid(ops, readings, blank, dict.fromkeys(BLANKED, math.nan))
    return with_worked_out(readings)


def _pressures(ops: Arithmetic, case: Case, point: Point, clutch: Clutch) -> dict[str, Any]:
    atmosphere = case.setting.pressure
    low, high = point.low.pressure, point.high.pressure
    return {
        "low_gauge": low - atmosphere,
        "high_gauge": high - atmosphere,
        "low_gauge_swing": tuple(
            ops.where(clutch.by_low, limit, low - atmosphere) for limit in (clutch.cutout, clutch.cutin)
        ),
        "low_pressure": low,
        "high_pressure": high,
        "compression_ratio": high / low,
        "atmosphere": ops.spread(atmosphere, low),
    }


def _refrigerant_temperatures(ops: Arithmetic, case: Case, point: Point) -> dict[str, Any]:
    condensing, compression, evaporating = point.condensing, point.compression, point.suction.evaporating
    drier_in = condensing.liquid_temperature
    drier_out = ops.minimum(drier_in, point.liquid.drier_out.line.temperature)
    warmed = drier_out + point.liquid.warming / case.fluid.liquid_heat
    inlet = case.fluid.table.saturation_temperature(ops.log(evaporating.pressure + point.cooling.drop))
    return {
        "evaporator_inlet": inlet,
        "suction_line_at_evaporator": point.expansion.line_temperature,
        "suction_line_at_compressor": compression.suction_temperature,
        "discharge_line": compression.discharge_temperature,
        "drier_in": drier_in,
        "drier_out": drier_out,
        "liquid_line": ops.minimum(warmed, point.liquid.valve_in.line.temperature),
        "superheat": point.expansion.line_temperature - evaporating.line.temperature,
        "subcooling": condensing.side.line.temperature - condensing.liquid_temperature,
        "evaporating_temperature": evaporating.line.temperature,
        "condensing_temperature": condensing.temperature,
    }


def _air(ops: Arithmetic, case: Case, point: Point) -> dict[str, Any]:
    setting, air, behind = case.setting, point.coil_in, point.cab_air
    vapor = point.cab_humidity * setting.pressure / (MASS_RATIO + point.cab_humidity)
    moist = saturated_air(ops, point.cab_temperature, setting.pressure)[0]
    full = moist * setting.pressure / (MASS_RATIO + moist)
    return {
        "condenser_air_in": point.condensing.face_temperature,
        "condenser_air_out": point.condensing.air_out,
        "vent": behind.vent,
        "return_air": air.temperature,
        "cab": point.cab_temperature,
        "ambient": ops.spread(setting.ambient, air.temperature),
        "cab_relative_humidity": vapor / full,
        "condensate": air.flow * (air.humidity - behind.coil_out_humidity),
        "coil_frost": behind.fins < FREEZING,
        "sensible_capacity": air.flow * (AIR_HEAT + VAPOR_HEAT * air.humidity) * (air.temperature - behind.coil_out),
    }


def _clutch(ops: Arithmetic, case: Case, clutch: Clutch, point: Point) -> dict[str, Any]:
    pulley = case.conditions.engine_speed * case.machine.compressor.pulley_ratio
    return {
        "clutch_duty": clutch.duty,
        "clutch_on": clutch.on,
        "clutch_off": clutch.off,
        "pulley_speed": ops.spread(pulley, point.low.pressure),
        "hub_speed": ops.spread(case.setting.speed, point.low.pressure),
    }


def _behind_the_scenes(ops: Arithmetic, case: Case, point: Point) -> dict[str, Any]:
    void = point.liquid.glass
    power = point.compression.gas_power / case.machine.compressor.mechanical_efficiency
    return {
        "glass": ops.select([void < limit for limit, _ in GLASS], [look for _, look in GLASS], EMPTY_GLASS),
        "glass_void": void,
        "mass_flow": point.compression.mass_flow,
        "capacity": point.capacity,
        "power": power,
        "condenser_heat": point.condensing.heat,
        "cop": point.capacity / power,
        "opening": point.expansion.opening,
        "flood_share": point.compression.wetness,
        "level": point.condensing.level,
        "masses": dict(zip(MASSES, point.masses, strict=True)),
        "charge": ops.spread(case.setting.charge, point.low.pressure),
        "relieved": point.relieved,
    }


def _balances(case: Case, point: Point) -> dict[str, Value]:
    """Worked out once more from the transfer side."""
    gas, condensing, flow = point.compression, point.condensing, point.compression.mass_flow
    areas = condensing.gas_area + condensing.tube_area + condensing.cooling_area
    heat = flow * (gas.discharge_enthalpy - condensing.enthalpy)
    overall = gas.gas_power + point.capacity + flow * (point.suction.warming + point.liquid.warming) - heat
    return {
        "energy_residual": abs(overall)
        + abs(condensing.heat * (1.0 - 1.0 / areas))
        + abs(flow * (point.cooling.excess - point.suction.outlet_excess))
        + abs(point.residuals.cab_heat) * HEAT_SCALE,
        "mass_residual": sum(point.masses) + point.relieved - case.setting.charge,
    }


# What has no value without a steady state.
BLANKED = tuple(
    field.name
    for field in fields(Readings)
    if field.name
    not in ("status", "reason", "standing_pressure", "refrigerant", "unknowns", "ambient", "atmosphere", "charge",
            "pulley_speed", "low_gauge_swing", "masses", "glass", "coil_frost")
)  # fmt: skip


def _overlaid(ops: Arithmetic, found: Readings, mask: Truth, values: dict[str, Any]) -> Readings:
    """Readings with some values replaced where ``mask`` is true."""
    changed = {name: ops.where(mask, value, getattr(found, name)) for name, value in values.items()}
    low = changed["low_gauge"]
    changed["low_gauge_swing"] = tuple(ops.where(mask, low, one) for one in found.low_gauge_swing)
    return replace(found, **changed)


def harmless_point(case: Case, bulb: Fluid) -> Point:
    """Some point of the same shape, for readings without values; where the guess itself has none, of a mild day."""
    mild = prepare(FLOATS, case.machine, case.fluid, Conditions(), Effects(), case.machine.charge)
    for setting in (case.setting, mild):
        guess = first_guess(FLOATS, case.machine, case.fluid, setting)
        try:
            return evaluate(FLOATS, case.machine, case.fluid, bulb, setting, guess)
        except (ValueError, OverflowError, ZeroDivisionError):
            continue
    raise MachineError(f"{case.machine.name} has no point that could be evaluated; this should not happen.")
