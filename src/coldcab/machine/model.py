"""The equations of a whole machine: residuals of seven unknowns, everything else explicit.

The unknowns: ln p at the compressor's suction, ln p at its discharge, enthalpy of the suction gas above saturation,
the receiver coordinate z (see `receiver`), cab temperature, cab humidity ratio, and how far the fins are above the
thermostat's set point. The residuals: area of the condenser, pressure along the liquid path, outlet of the
evaporator, charge, heat of the cab, moisture of the cab, thermostat.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from coldcab.machine import evaporator as evaporator_part
from coldcab.machine.compressor import Compression, Drive, Side
from coldcab.machine.condenser import Condensing, Inlet
from coldcab.machine.evaporator import Cooling, Stream
from coldcab.machine.fluid import Fluid, flashed_volume, gas
from coldcab.machine.layout import Machine
from coldcab.machine.ops import Value
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
# Scales that bring the unknowns and residuals to about 1.
SUPERHEAT_SCALE = 20e3  # J/kg
CAB_SCALE = 10.0  # K
HUMIDITY_SCALE = 0.005
CHARGE_SCALE = 0.3  # kg
HEAT_SCALE = 500.0  # W
WATER_SCALE = 1e-4  # kg/s
THERMOSTAT_SCALE = 0.05  # per band


class Point(NamedTuple):
    """The circuit at one set of unknowns."""

    residuals: tuple[Value, ...]  # scaled
    low: Side  # compressor suction
    high: Side  # compressor discharge
    evaporating: Side  # evaporator outlet
    drier_out: Side
    valve_in: Side
    compression: Compression
    condensing: Condensing
    cooling: Cooling
    duties: tuple[Value, Value, Value]  # by high-pressure switch, low-pressure switch and thermostat
    fins: Value  # K, where the thermostat feels
    discharge_cooling: Value  # J/kg lost in the discharge hose
    condenser_inlet_temperature: Value
    liquid_warming: Value  # J/kg taken up in the liquid line
    suction_warming: Value  # J/kg taken up in the suction hose
    glass: Value  # vapour share of the volume in the sight glass
    valve_enthalpy: Value
    opening: Value
    bulb_pressure: Value
    line_temperature: Value  # of the suction line at the bulb
    outlet_excess: Value  # J/kg, evaporator outlet above saturation
    capacity: Value  # W
    coil_in: Stream
    coil_out: Value  # K
    coil_out_humidity: Value
    surface: Value
    vent: Value
    masses: tuple[Value, ...]  # kg, in the order of MASSES
    relieved: Value  # kg
    cab_temperature: Value
    cab_humidity: Value


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


def evaluate(ops: Any, machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting, unknowns: Any) -> Point:
    """All of the circuit at the seven scaled unknowns (floats, or arrays that broadcast with the setting)."""
    table = fluid.table
    log_low, log_high, excess, z, cab_temperature, cab_humidity, fin_bands = unknowns
    excess = excess * SUPERHEAT_SCALE
    cab_temperature = cab_temperature * CAB_SCALE
    cab_humidity = cab_humidity * HUMIDITY_SCALE
    low = Side(ops.exp(log_low), log_low, table.saturation(log_low))
    high = Side(ops.exp(log_high), log_high, table.saturation(log_high))

    # Compressor and discharge hose. Gas expands along the hose: ln p falls by dp / p, right to first order.
    duties = (
        duty(ops, (setting.high_cutout - high.pressure) / HIGH_PRESSURE_BAND),
        duty(ops, (low.pressure - setting.low_cutout) / LOW_PRESSURE_BAND),
        duty(ops, fin_bands),
    )
    drive = Drive(setting.speed, duties[0] * duties[1] * duties[2], setting.volumetric, setting.leak_area, setting.oil)
    gas_in = machine.compressor.compress(ops, fluid, low, high, excess, drive)
    flow = gas_in.mass_flow
    hose = machine.discharge_hose
    hose_drop = hose.drop(flow, gas_in.discharge_volume) * setting.discharge
    superheat = ops.positive(gas_in.discharge_enthalpy - high.line.vapor_enthalpy, 200.0)
    heat_capacity = superheat / ops.positive(gas_in.discharge_temperature - high.line.temperature, 0.2)
    lost = hose.warming(ops, flow, heat_capacity, gas_in.discharge_temperature - setting.bay)
    inlet_temperature = gas_in.discharge_temperature - lost / heat_capacity
    inlet = Inlet(
        high,
        log_high - hose_drop / high.pressure,
        gas_in.discharge_enthalpy - lost,
        inlet_temperature,
        flow,
        hose.volume,
    )
    condensing = machine.condenser.reject(ops, fluid, machine.receiver, inlet, setting, z)

    # Suction hose, backwards from the compressor to the evaporator; heat to first order in UA / (m cp).
    suction = machine.suction_hose
    warming = suction.warming(ops, flow, fluid.vapor_heat, setting.bay - gas_in.suction_temperature)
    evaporator_pressure = low.pressure + suction.drop(flow, gas_in.suction_volume) * setting.suction
    log_evaporator = ops.log(evaporator_pressure)
    evaporating = Side(evaporator_pressure, log_evaporator, table.saturation(log_evaporator))
    outlet_excess = gas_in.suction_enthalpy - warming - evaporating.line.vapor_enthalpy

    # Receiver-drier, sight glass, liquid line. Pressures never fall below the evaporator's while the solver searches.
    received, liquid = condensing.received, condensing.liquid_volume
    _, received_volume, _ = flashed_volume(ops, received.pressure, condensing.enthalpy, received.line, liquid)
    drier_drop = machine.receiver.drop(flow, received_volume, setting.drier)
    # Air in the receiver presses on the liquid too: the path starts from the total pressure.
    after_drier = _above(ops, evaporator_pressure, condensing.total_pressure - condensing.entry_drop - drier_drop)
    drier_out = Side(after_drier, *_line(ops, table, after_drier))
    _, glass_volume, glass = flashed_volume(ops, after_drier, condensing.enthalpy, drier_out.line, liquid)
    liquid_line = machine.liquid_line
    line_drop = liquid_line.drop(flow, glass_volume) * setting.liquid_line
    before_valve = _above(ops, evaporator_pressure, after_drier - line_drop)
    valve_in = Side(before_valve, *_line(ops, table, before_valve))
    around = setting.bay - condensing.liquid_temperature
    liquid_warming = liquid_line.warming(ops, flow, fluid.liquid_heat, around)
    valve_enthalpy = condensing.enthalpy + liquid_warming
    _, valve_volume, _ = flashed_volume(ops, before_valve, valve_enthalpy, valve_in.line, liquid)

    # Air to the coil.
    outside = setting.fresh_air
    blown = setting.coil_air * (evaporator_part.AIR_HEAT + evaporator_part.VAPOR_HEAT * cab_humidity)
    air = Stream(
        setting.coil_air,
        outside * setting.ambient
        + (1.0 - outside) * cab_temperature
        + (1.0 - setting.bench) * setting.blower_power / blown,
        outside * setting.humidity + (1.0 - outside) * cab_humidity,
    )
    cooling = machine.evaporator.cool(ops, fluid, evaporating, flow, valve_enthalpy, air, setting)

    # Expansion valve.
    line_temperature = gas(fluid, ops, log_evaporator, outlet_excess, evaporating.line, setting.oil)[0]
    valve = machine.valve
    bulb_pressure = valve.bulb_pressure(ops, bulb, line_temperature, setting.bay, setting)
    sensed = evaporator_pressure if valve.external else evaporator_pressure + cooling.drop
    opening = valve.opening(ops, bulb_pressure, sensed, setting)
    behind = evaporating.line.liquid_volume + cooling.quality * evaporating.line.vapor_pressure_volume / sensed
    valve_drop = valve.drop(ops, opening, flow, valve_volume, liquid, behind, setting)

    # Air behind the coil, the vent and the cab.
    capacity = flow * (evaporating.line.vapor_enthalpy + outlet_excess - valve_enthalpy)
    coil_out, coil_out_humidity, surface = machine.evaporator.leaving_air(
        ops, air, capacity, evaporating.line.temperature, setting
    )
    fins = 0.5 * (cooling.temperature + surface)
    above_set_point = (fins - setting.thermostat) / THERMOSTAT_BAND
    vent = coil_out + machine.cab.heater(ops, coil_out, blown, setting)
    cab_heat = machine.cab.heat(setting.ambient, cab_temperature, setting, blown / setting.coil_air)
    cab_water = machine.cab.water(setting.humidity, cab_humidity, setting)
    bench = setting.bench
    heat_balance = (1.0 - bench) * (cab_heat - blown * (cab_temperature - vent)) / HEAT_SCALE
    water_balance = (1.0 - bench) * (cab_water - setting.coil_air * (cab_humidity - coil_out_humidity)) / WATER_SCALE

    # Charge.
    vapor_density = 1.0 / gas_in.suction_volume
    dense = 1.0 / gas_in.discharge_volume
    gas_density = received.pressure / received.line.vapor_pressure_volume
    level = condensing.level
    receiver = machine.receiver
    masses = (
        machine.compressor.volume * 0.5 * (vapor_density + dense),
        hose.volume * dense,
        condensing.mass,
        receiver.volume * (level / liquid + (1.0 - level) * gas_density),
        liquid_line.volume / (0.5 * (glass_volume + valve_volume)),
        cooling.mass,
        suction.volume * vapor_density,
        setting.oil_mass * OIL_SOLUBILITY * low.pressure / OIL_PRESSURE,
    )
    relieved = machine.switches.relieved(ops, high.pressure, setting.relief)
    total = masses[0] + masses[1] + masses[2] + masses[3] + masses[4] + masses[5] + masses[6] + masses[7] + relieved

    available = condensing.total_pressure - evaporator_pressure
    path = condensing.entry_drop + drier_drop + line_drop + valve_drop + cooling.drop
    residuals = (
        ops.log(condensing.gas_area + condensing.tube_area + condensing.cooling_area),
        0.5 * ops.log(ops.positive(available, 2e3) / path),
        (cooling.excess - outlet_excess) / SUPERHEAT_SCALE,
        (total - setting.charge) / CHARGE_SCALE,
        heat_balance + bench * (cab_temperature - setting.inlet_temperature) / CAB_SCALE,
        water_balance + bench * (cab_humidity - setting.inlet_humidity) / HUMIDITY_SCALE,
        (fin_bands - bounded(ops, above_set_point, FURTHEST)) * THERMOSTAT_SCALE,
    )
    return Point(
        residuals,
        low,
        high,
        evaporating,
        drier_out,
        valve_in,
        gas_in,
        condensing,
        cooling,
        duties,
        fins,
        lost,
        inlet_temperature,
        liquid_warming,
        warming,
        glass,
        valve_enthalpy,
        opening,
        bulb_pressure,
        line_temperature,
        outlet_excess,
        capacity,
        air,
        coil_out,
        coil_out_humidity,
        surface,
        vent,
        masses,
        relieved,
        cab_temperature,
        cab_humidity,
    )


OIL_PRESSURE = 16e5  # Pa, about the saturation pressure of these refrigerants at 60 C


def _above(ops: Any, floor: Value, pressure: Value) -> Value:
    """A pressure that stays above another, the corner rounded over 0.1 bar."""
    return floor + ops.positive(pressure - floor, 0.1e5)


def _line(ops: Any, table: Any, pressure: Value) -> tuple[Value, Any]:
    log_pressure = ops.log(pressure)
    return log_pressure, table.saturation(log_pressure)


def bounded(ops: Any, x: Value, limit: float) -> Value:
    """x near zero, never beyond +-limit: limit tanh(x / limit)."""
    return limit * (1.0 - 2.0 / (1.0 + ops.exp(2.0 * x / limit)))
