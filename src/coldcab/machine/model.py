"""The equations of a whole machine: residuals of seven unknowns, everything else explicit.

The unknowns: ln p at the compressor's suction, ln p at its discharge, enthalpy of the suction gas above saturation,
the receiver coordinate z (see `receiver`), cab temperature, cab humidity ratio, and how far the fins are above the
thermostat's set point. The residuals are those of `Residuals`.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from operator import add
from typing import NamedTuple

from coldcab.machine.compressor import Compression, Drive, Side
from coldcab.machine.condenser import Condensing, Inlet
from coldcab.machine.evaporator import AIR_HEAT, VAPOR_HEAT, Cooling, Stream
from coldcab.machine.fluid import Fluid, flashed_volume, gas
from coldcab.machine.layout import Machine
from coldcab.machine.ops import Arithmetic, Array, Value
from coldcab.machine.receiver import ReceiverDrier
from coldcab.machine.setting import Setting
from coldcab.machine.switches import (
    FURTHEST,
    HIGH_PRESSURE_BAND,
    LOW_PRESSURE_BAND,
    THERMOSTAT_BAND,
    duty,
)

# Refrigerant dissolved in the oil: share of the oil's mass per share of the saturation pressure at 60 C, Henry's law
# [from memory: some 10 % by mass in a warm compressor at suction pressure].
OIL_SOLUBILITY = 0.6
OIL_PRESSURE = 16e5  # Pa, about the saturation pressure of these refrigerants at 60 C
# Scales that bring the unknowns and residuals to about 1.
SUPERHEAT_SCALE = 20e3  # J/kg
CAB_SCALE = 10.0  # K
HUMIDITY_SCALE = 0.005
CHARGE_SCALE = 0.3  # kg
HEAT_SCALE = 500.0  # W
WATER_SCALE = 1e-4  # kg/s
THERMOSTAT_SCALE = 0.05  # per band

MASSES = (
    "compressor",
    "discharge hose",
    "condenser",
    "receiver-drier",
    "liquid line",
    "evaporator",
    "suction hose",
    "dissolved in the oil",
)


class Residuals(NamedTuple):
    """What has to be zero, scaled."""

    condenser: Value  # its three zones fill its face
    liquid_path: Value  # the pressures lost along it are what there is
    evaporator: Value  # its outlet is what the compressor draws
    charge: Value
    cab_heat: Value
    cab_water: Value
    thermostat: Value


class Discharge(NamedTuple):
    """The discharge hose."""

    inlet: Inlet  # of the condenser
    cooling: Value  # J/kg lost on the way


class Suction(NamedTuple):
    """The suction hose, seen from the compressor."""

    evaporating: Side  # evaporator outlet
    outlet_excess: Value  # J/kg there above saturation
    warming: Value  # J/kg taken up in the hose


class LiquidPath(NamedTuple):
    """From the receiver to the valve."""

    drier_out: Side
    valve_in: Side
    drier_drop: Value  # Pa
    line_drop: Value
    glass: Value  # vapour share of the volume in the sight glass
    glass_volume: Value  # m3/kg of what flows there
    valve_volume: Value  # and before the valve
    warming: Value  # J/kg taken up in the liquid line
    enthalpy: Value  # before the valve


class Expansion(NamedTuple):
    """The expansion valve at work."""

    line_temperature: Value  # of the suction line at the bulb
    bulb_pressure: Value
    opening: Value
    drop: Value  # Pa


class CabAir(NamedTuple):
    """Air from the coil to the vent and in the cab."""

    coil_out: Value  # K
    coil_out_humidity: Value
    fins: Value  # K, where the thermostat feels
    vent: Value
    heat: Value  # W and kg/s that are left over in the cab
    water: Value


class Point(NamedTuple):
    """The circuit at one set of unknowns."""

    residuals: Residuals
    low: Side  # compressor suction
    high: Side  # compressor discharge
    duties: tuple[Value, Value, Value]  # by high-pressure switch, low-pressure switch and thermostat
    compression: Compression
    discharge: Discharge
    condensing: Condensing
    suction: Suction
    liquid: LiquidPath
    coil_in: Stream
    cooling: Cooling
    expansion: Expansion
    capacity: Value  # W
    cab_air: CabAir
    masses: tuple[Value, ...]  # kg, in the order of MASSES
    relieved: Value  # kg
    cab_temperature: Value
    cab_humidity: Value


def evaluate(
    ops: Arithmetic, machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting, unknowns: Sequence[Value] | Array
) -> Point:
    """All of the circuit at the seven scaled unknowns (floats, or arrays that broadcast with the setting)."""
    log_low, log_high, excess, z, cab_temperature, cab_humidity, fin_bands = unknowns
    cab_temperature = cab_temperature * CAB_SCALE
    cab_humidity = cab_humidity * HUMIDITY_SCALE
    low = Side(ops.exp(log_low), log_low, fluid.table.saturation(log_low))
    high = Side(ops.exp(log_high), log_high, fluid.table.saturation(log_high))
    duties = (
        duty(ops, (setting.high_cutout - high.pressure) / HIGH_PRESSURE_BAND),
        duty(ops, (low.pressure - setting.low_cutout) / LOW_PRESSURE_BAND),
        duty(ops, fin_bands),
    )
    drive = Drive(setting.speed, duties[0] * duties[1] * duties[2], setting.volumetric, setting.leak_area, setting.oil)
    compression = machine.compressor.compress(ops, fluid, low, high, excess * SUPERHEAT_SCALE, drive)
    flow = compression.mass_flow
    discharge = _discharge_hose(ops, machine, high, compression, setting)
    condensing = machine.condenser.reject(ops, fluid, machine.receiver, discharge.inlet, setting, z)
    suction = _suction_hose(ops, machine, fluid, low, compression, setting)
    evaporating = suction.evaporating
    liquid = _liquid_path(ops, machine, fluid, condensing, flow, evaporating.pressure, setting)
    coil_in = _air_to_coil(setting, cab_temperature, cab_humidity)
    cooling = machine.evaporator.cool(ops, fluid, evaporating, flow, liquid.enthalpy, coil_in, setting)
    expansion = _valve(ops, machine, fluid, bulb, suction, liquid, condensing.liquid_volume, cooling, flow, setting)
    capacity = flow * (evaporating.line.vapor_enthalpy + suction.outlet_excess - liquid.enthalpy)
    cab_air = _cab_air(ops, machine, coil_in, capacity, evaporating, cooling, setting, cab_temperature, cab_humidity)
    masses = _masses(ops, machine, compression, condensing, liquid, cooling, low, setting)
    relieved = machine.switches.relieved(ops, high.pressure, setting.relief)

    available = condensing.total_pressure - evaporating.pressure
    path = condensing.entry_drop + liquid.drier_drop + liquid.line_drop + expansion.drop + cooling.drop
    above_set_point = (cab_air.fins - setting.thermostat) / THERMOSTAT_BAND
    bench = setting.bench
    residuals = Residuals(
        condenser=ops.log(condensing.gas_area + condensing.tube_area + condensing.cooling_area),
        liquid_path=0.5 * ops.log(ops.positive(available, 2e3) / path),
        evaporator=(cooling.excess - suction.outlet_excess) / SUPERHEAT_SCALE,
        charge=(reduce(add, masses) + relieved - setting.charge) / CHARGE_SCALE,
        cab_heat=(1.0 - bench) * cab_air.heat / HEAT_SCALE
        + bench * (cab_temperature - setting.inlet_temperature) / CAB_SCALE,
        cab_water=(1.0 - bench) * cab_air.water / WATER_SCALE
        + bench * (cab_humidity - setting.inlet_humidity) / HUMIDITY_SCALE,
        thermostat=(fin_bands - bounded(ops, above_set_point, FURTHEST)) * THERMOSTAT_SCALE,
    )
    return Point(
        residuals=residuals,
        low=low,
        high=high,
        duties=duties,
        compression=compression,
        discharge=discharge,
        condensing=condensing,
        suction=suction,
        liquid=liquid,
        coil_in=coil_in,
        cooling=cooling,
        expansion=expansion,
        capacity=capacity,
        cab_air=cab_air,
        masses=masses,
        relieved=relieved,
        cab_temperature=cab_temperature,
        cab_humidity=cab_humidity,
    )


def _discharge_hose(
    ops: Arithmetic, machine: Machine, high: Side, compression: Compression, setting: Setting
) -> Discharge:
    """Gas expands along the hose: ln p falls by dp / p, right to first order."""
    hose, flow = machine.discharge_hose, compression.mass_flow
    drop = hose.drop(flow, compression.discharge_volume) * setting.discharge
    superheat = ops.positive(compression.discharge_enthalpy - high.line.vapor_enthalpy, 200.0)
    heat_capacity = superheat / ops.positive(compression.discharge_temperature - high.line.temperature, 0.2)
    lost = hose.warming(ops, flow, heat_capacity, compression.discharge_temperature - setting.bay)
    inlet = Inlet(
        side=high,
        log_pressure=high.log_pressure - drop / high.pressure,
        enthalpy=compression.discharge_enthalpy - lost,
        temperature=compression.discharge_temperature - lost / heat_capacity,
        flow=flow,
        hose_volume=hose.volume,
    )
    return Discharge(inlet, lost)


def _suction_hose(
    ops: Arithmetic, machine: Machine, fluid: Fluid, low: Side, compression: Compression, setting: Setting
) -> Suction:
    """Backwards from the compressor to the evaporator; heat to first order in UA / (m cp)."""
    hose, flow = machine.suction_hose, compression.mass_flow
    warming = hose.warming(ops, flow, fluid.vapor_heat, setting.bay - compression.suction_temperature)
    evaporating = _side(ops, fluid, low.pressure + hose.drop(flow, compression.suction_volume) * setting.suction)
    return Suction(evaporating, compression.suction_enthalpy - warming - evaporating.line.vapor_enthalpy, warming)


def _liquid_path(
    ops: Arithmetic,
    machine: Machine,
    fluid: Fluid,
    condensing: Condensing,
    flow: Value,
    evaporator_pressure: Value,
    setting: Setting,
) -> LiquidPath:
    """Receiver-drier, sight glass, liquid line. Pressures never fall below the evaporator's while the solver searches.

    Air in the receiver presses on the liquid too: the path starts from the total pressure.
    """
    received, liquid = condensing.received, condensing.liquid_volume
    _, received_volume, _ = flashed_volume(ops, received.pressure, condensing.enthalpy, received.line, liquid)
    drier_drop = machine.receiver.drop(flow, received_volume, setting.drier)
    after_drier = _above(ops, evaporator_pressure, condensing.total_pressure - condensing.entry_drop - drier_drop)
    drier_out = _side(ops, fluid, after_drier)
    _, glass_volume, glass = flashed_volume(ops, after_drier, condensing.enthalpy, drier_out.line, liquid)
    hose = machine.liquid_line
    line_drop = hose.drop(flow, glass_volume) * setting.liquid_line
    valve_in = _side(ops, fluid, _above(ops, evaporator_pressure, after_drier - line_drop))
    warming = hose.warming(ops, flow, fluid.liquid_heat, setting.bay - condensing.liquid_temperature)
    enthalpy = condensing.enthalpy + warming
    _, valve_volume, _ = flashed_volume(ops, valve_in.pressure, enthalpy, valve_in.line, liquid)
    return LiquidPath(drier_out, valve_in, drier_drop, line_drop, glass, glass_volume, valve_volume, warming, enthalpy)


def _stream(setting: Setting, humidity: Value) -> Value:
    """W/K that the moist air through the coil carries."""
    return setting.coil_air * (AIR_HEAT + VAPOR_HEAT * humidity)


def _air_to_coil(setting: Setting, cab_temperature: Value, cab_humidity: Value) -> Stream:
    """Air of the cab and from outside, warmed by the blower (on a bench the inlet is measured behind it)."""
    outside = setting.fresh_air
    return Stream(
        setting.coil_air,
        outside * setting.ambient
        + (1.0 - outside) * cab_temperature
        + (1.0 - setting.bench) * setting.blower_power / _stream(setting, cab_humidity),
        outside * setting.humidity + (1.0 - outside) * cab_humidity,
    )


def _valve(
    ops: Arithmetic,
    machine: Machine,
    fluid: Fluid,
    bulb: Fluid,
    suction: Suction,
    liquid: LiquidPath,
    liquid_volume: Value,
    cooling: Cooling,
    flow: Value,
    setting: Setting,
) -> Expansion:
    """What the bulb feels, how far the valve opens for it, and what the flow loses there."""
    valve, outlet = machine.valve, suction.evaporating
    line_temperature = gas(fluid, ops, outlet.log_pressure, suction.outlet_excess, outlet.line, setting.oil)[0]
    bulb_pressure = valve.bulb_pressure(ops, bulb, line_temperature, setting.bay, setting)
    sensed = outlet.pressure + (1.0 - valve.equalized_at_outlet) * cooling.drop
    opening = valve.opening(ops, bulb_pressure, sensed, setting)
    behind = outlet.line.liquid_volume + cooling.quality * outlet.line.vapor_pressure_volume / sensed
    drop = valve.drop(ops, opening, flow, liquid.valve_volume, liquid_volume, behind, setting)
    return Expansion(line_temperature, bulb_pressure, opening, drop)


def _cab_air(
    ops: Arithmetic,
    machine: Machine,
    coil_in: Stream,
    capacity: Value,
    evaporating: Side,
    cooling: Cooling,
    setting: Setting,
    cab_temperature: Value,
    cab_humidity: Value,
) -> CabAir:
    """Air behind the coil, at the vent, and what the cab's balances leave over."""
    coil_out, coil_out_humidity, surface = machine.evaporator.leaving_air(
        ops, coil_in, capacity, evaporating.line.temperature, setting
    )
    blown = _stream(setting, cab_humidity)
    vent = coil_out + machine.cab.heater(ops, coil_out, blown, setting)
    heat = machine.cab.heat(setting.ambient, cab_temperature, setting, blown / setting.coil_air)
    water = machine.cab.water(setting.humidity, cab_humidity, setting)
    return CabAir(
        coil_out=coil_out,
        coil_out_humidity=coil_out_humidity,
        fins=0.5 * (cooling.temperature + surface),
        vent=vent,
        heat=heat - blown * (cab_temperature - vent),
        water=water - setting.coil_air * (cab_humidity - coil_out_humidity),
    )


def _received(ops: Arithmetic, receiver: ReceiverDrier, condensing: Condensing, gas_density: Value) -> Value:
    """kg in the receiver-drier."""
    level = condensing.level
    moving = receiver.usable * (level / condensing.liquid_volume + (1.0 - level) * gas_density)
    if isinstance(receiver.unreachable, float) and receiver.unreachable == 0.0:
        return moving
    standing = receiver.left_below(ops, condensing.quality)
    return moving + standing / condensing.liquid_volume + (receiver.unreachable - standing) * gas_density


def _masses(
    ops: Arithmetic,
    machine: Machine,
    compression: Compression,
    condensing: Condensing,
    liquid: LiquidPath,
    cooling: Cooling,
    low: Side,
    setting: Setting,
) -> tuple[Value, ...]:
    """kg in each part, in the order of MASSES."""
    vapor_density = 1.0 / compression.suction_volume
    dense = 1.0 / compression.discharge_volume
    received = condensing.received
    gas_density = received.pressure / received.line.vapor_pressure_volume
    return (
        machine.compressor.volume * 0.5 * (vapor_density + dense),
        machine.discharge_hose.volume * dense,
        condensing.mass,
        _received(ops, machine.receiver, condensing, gas_density),
        machine.liquid_line.volume / (0.5 * (liquid.glass_volume + liquid.valve_volume)),
        cooling.mass,
        machine.suction_hose.volume * vapor_density,
        setting.oil_mass * OIL_SOLUBILITY * low.pressure / OIL_PRESSURE,
    )


def _above(ops: Arithmetic, floor: Value, pressure: Value) -> Value:
    """A pressure that stays above another, the corner rounded over 0.1 bar."""
    return floor + ops.positive(pressure - floor, 0.1e5)


def _side(ops: Arithmetic, fluid: Fluid, pressure: Value) -> Side:
    log_pressure = ops.log(pressure)
    return Side(pressure, log_pressure, fluid.table.saturation(log_pressure))


def bounded(ops: Arithmetic, x: Value, limit: float) -> Value:
    """x near zero, never beyond +-limit: limit tanh(x / limit)."""
    return limit * (1.0 - 2.0 / (1.0 + ops.exp(2.0 * x / limit)))
