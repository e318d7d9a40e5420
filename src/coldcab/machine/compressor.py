"""The belt-driven compressor, its pulley and its clutch."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, NamedTuple

from coldcab.machine.fluid import CORNER, Fluid, gas
from coldcab.machine.ops import Arithmetic, Value

THOUSAND_RPM = 1000.0 / 60.0  # rev/s

# Pressure lost through the reed valves, share of the pressure on each side [invented, typical].
VALVE_LOSS = 0.03
# Liquid in the suction gas cools the compression. A study of a swash-plate compressor (R-134a, abstract read) found the
# volumetric efficiency unchanged and the isentropic efficiency falling as suction quality rises from 80 to 90 %; the
# size of the slope is invented. What slugs of liquid break is not in the equations.
WET_GAIN = 0.3
DISCHARGE_COEFFICIENT = 0.7  # of the leak past worn reeds and rings [from memory: a sharp-edged hole has 0.6 to 0.8]


@dataclass(frozen=True)
class ReciprocatingMap:
    """Efficiencies of the invented compressors.

    Volumetric: (filling - filling_slope n) (1 + c - c r^(1/m)), n in 1000 rpm, r the pressure ratio inside the
    cylinder: the textbook clearance form (from memory). Isentropic: (efficiency - efficiency_slope n), less away from
    the best ratio. Numbers [invented], laid between two published curves (Darr and Crawford 1992; Li 2013).
    """

    filling: float = 0.913
    filling_slope: float = 0.095
    clearance: float = 0.049
    exponent: float = 1.06
    efficiency: float = 0.725
    efficiency_slope: float = 0.049
    best_ratio: float = 4.0
    ratio_loss: float = 0.014

    def volumetric(self, ops: Arithmetic, speed: Value, ratio: Value, squeeze: Value) -> Value:
        """Volumetric efficiency at ``speed`` rev/s and pressure ``ratio``; ``squeeze`` is not used."""
        inside = ratio * ((1.0 + VALVE_LOSS) / (1.0 - VALVE_LOSS))
        filled = 1.0 + self.clearance - self.clearance * inside ** (1.0 / self.exponent)
        n = speed / THOUSAND_RPM
        return ops.positive((self.filling - self.filling_slope * n) * filled, 0.02)

    def isentropic(self, ops: Arithmetic, speed: Value, ratio: Value, suction_density: Value) -> Value:
        """Isentropic efficiency, never below about 0.25; ``suction_density`` is not used."""
        off = ratio - self.best_ratio
        shape = 1.0 - self.ratio_loss * off * off / (1.0 + 0.35 * ops.sqrt(off * off + 0.01))
        base = self.efficiency - self.efficiency_slope * speed / THOUSAND_RPM
        return 0.25 + ops.positive(base * shape - 0.25, 0.02)


@dataclass(frozen=True)
class Compressor:
    """Swept volume (m3/rev), compressor turns per engine turn, internal volume (m3) and efficiency map.

    ``map`` is anything with ``volumetric(ops, speed, pressure_ratio, squeeze)`` and
    ``isentropic(ops, speed, pressure_ratio, suction_density)``; speed in rev/s, density in kg/m3, squeeze is
    rho_2s / rho_1 - 1 of an isentropic compression, worked out only for a map with ``uses_density_ratio = True``.
    ``mechanical_efficiency`` covers belt and bearings [invented].
    """

    displacement: float
    pulley_ratio: float
    volume: float = 0.25e-3
    mechanical_efficiency: float = 0.92
    map: Any = field(default_factory=ReciprocatingMap)

    def compress(
        self, ops: Arithmetic, fluid: Fluid, low: Side, high: Side, excess: Value, drive: Drive
    ) -> Compression:
        """Gas ``excess`` J/kg above saturation at the ``low`` side, delivered at the ``high`` side.

        m = eta_v V N / v less the leak A sqrt(2 dp rho); h2 = h1 + (h2s - h1) / eta_is, and what leaks back is
        compressed again: twice its share is added to the work per kilogram (once for itself, once for warming the
        fresh gas; an approximation [invented]).
        """
        line, line_high = low.line, high.line
        temperature, volume, entropy, _ = gas(fluid, ops, low.log_pressure, excess, line, drive.oil)
        # Free liquid; what the oil holds back is none.
        wetness = (ops.positive(excess, CORNER) - excess) / (line.vapor_enthalpy - line.liquid_enthalpy)
        ratio = high.pressure / low.pressure
        dry = ops.positive(entropy - line_high.vapor_entropy, 1.0)
        ideal = fluid.table.vapor_enthalpy_by_entropy(high.log_pressure, line_high.vapor_entropy + dry, line_high)
        ideal = ideal + line_high.temperature * (entropy - line_high.vapor_entropy - dry)
        enthalpy = line.vapor_enthalpy + excess
        work = ops.positive(ideal - enthalpy, CORNER)

        squeeze = 0.0
        if getattr(self.map, "uses_density_ratio", False):
            excess_ideal = ideal - line_high.vapor_enthalpy
            squeeze = volume / gas(fluid, ops, high.log_pressure, excess_ideal, line_high)[1] - 1.0
        filled = self.map.volumetric(ops, drive.speed, ratio, squeeze)
        pumped = drive.duty * filled * drive.volumetric * self.displacement * drive.speed / volume
        head = ops.positive(high.pressure - low.pressure, 1e3)
        density = high.pressure / line_high.vapor_pressure_volume
        leak = DISCHARGE_COEFFICIENT * drive.leak_area * ops.sqrt(2.0 * head * density)
        flow = ops.positive(pumped - leak, 1e-4)
        efficiency = self.map.isentropic(ops, drive.speed, ratio, 1.0 / volume) * (1.0 + WET_GAIN * wetness)
        specific = work / efficiency * (1.0 + 2.0 * leak / (pumped + 1e-3))
        discharge = enthalpy + specific
        hot, hot_volume, _, _ = gas(fluid, ops, high.log_pressure, discharge - line_high.vapor_enthalpy, line_high)
        return Compression(
            flow, enthalpy, temperature, volume, discharge, hot, hot_volume, flow * specific, leak, wetness, filled
        )


class Side(NamedTuple):
    """One pressure level: pressure (Pa absolute), its logarithm and the saturation line there."""

    pressure: Value
    log_pressure: Value
    line: Any


class Drive(NamedTuple):
    """How the compressor is driven and how worn it is; see `effects.Effects`."""

    speed: Value  # rev/s of the compressor
    duty: Value  # share of the time the clutch is engaged by the high-pressure switch
    volumetric: Value
    leak_area: Value
    oil: Value = 0.0  # kg in the suction gas per kg of refrigerant


class Compression(NamedTuple):
    """Results of `Compressor.compress`."""

    mass_flow: Value  # kg/s
    suction_enthalpy: Value
    suction_temperature: Value
    suction_volume: Value
    discharge_enthalpy: Value
    discharge_temperature: Value
    discharge_volume: Value
    gas_power: Value  # W into the gas
    leak: Value  # kg/s
    wetness: Value
    volumetric_efficiency: Value
