"""What the circuit needs to know of its refrigerant beyond the property table: transport and two-phase states."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

from coldcab import refrigerants
from coldcab.machine.circulating_oil import KEPT, RISE
from coldcab.machine.float_table import FloatTable
from coldcab.machine.ops import Arithmetic, Value
from coldcab.quantities import FREEZING
from coldcab.refrigerants import SaturationLine

# ln F = a + b t + c t^2 + d t^3 with t = (T - 300 K) / 50 K, where F = k^0.6 cp^0.4 mu^-0.4 in SI units is all that
# turbulent convection (Dittus and Boelter 1930) asks of a fluid. Least squares to CoolProp 8.0.0 along the saturation
# lines from 235 K to 355 K (R-1234yf to 350 K); largest errors 1.5 % (liquid) and 2.6 % (vapour), both at the hot end.
TRANSPORT = {
    "R-12": ((4.5627, 0.1053, 0.0192, 0.0209), (4.4253, 0.2144, 0.0623, 0.0355)),
    "R-134a": ((4.8170, 0.1465, 0.0336, 0.0366), (4.7528, 0.2707, 0.0802, 0.0625)),
    "R-152a": ((5.1207, 0.1572, 0.0173, 0.0181), (4.8955, 0.2979, 0.0405, 0.0404)),
    "R-1234yf": ((4.7805, 0.1723, 0.0492, 0.0367), (4.7296, 0.2498, 0.0987, 0.0691)),
}

# Heat capacities, J/(kg K), of gas 10 K above saturation at 5 C and of liquid at 40 C and the pressure of 52 C, for the
# small heats that hoses trade (CoolProp 8.0.0).
HEAT = {
    "R-12": (641.0, 1029.0),
    "R-134a": (907.0, 1491.0),
    "R-152a": (1120.0, 1878.0),
    "R-1234yf": (947.0, 1466.0),
}

# Corner of the vapour line, J/kg: below a kelvin of superheat the kink of the properties is rounded over this.
CORNER = 200.0


class Fluid(NamedTuple):
    """A property table (or anything with its methods) and the transport numbers of the same refrigerant."""

    name: str
    table: Any
    liquid_transport: tuple[float, float, float, float]
    vapor_transport: tuple[float, float, float, float]
    vapor_heat: float
    liquid_heat: float

    @property
    def critical_pressure(self) -> Value:
        """Pa."""
        return self.table.critical_pressure

    @property
    def highest_pressure(self) -> Value:
        """Pa, where the table ends."""
        return self.table.highest_pressure

    @property
    def latent_heat(self) -> Value:
        """J/kg at about 0 C."""
        line = self.table.saturation(self.table.log_pressure(FREEZING))
        return line.vapor_enthalpy - line.liquid_enthalpy


@lru_cache(maxsize=64)
def fluid_named(name: str) -> Fluid:
    """The fluid under a designation that has a table. Raises UnknownRefrigerant, RangeError."""
    designation = refrigerants.resolve(name)
    table = FloatTable(refrigerants.table(designation))
    return Fluid(designation, table, *TRANSPORT[designation], *HEAT[designation])


def convection(ops: Arithmetic, coefficients: tuple[float, float, float, float], temperature: Value) -> Value:
    """F = k^0.6 cp^0.4 mu^-0.4 (SI) of a saturated phase at a temperature (K)."""
    t = ops.minimum(temperature, 360.0) * 0.02 - 6.0
    a, b, c, d = coefficients
    return ops.exp(a + t * (b + t * (c + t * d)))


def gas(
    fluid: Fluid, ops: Arithmetic, log_pressure: Value, excess: Value, line: SaturationLine, oil: Value = 0.0
) -> tuple[Value, Value, Value, Value]:
    """Temperature (K), volume (m3/kg), entropy (J/(kg K)) and wetness of gas ``excess`` J/kg above saturated vapour.

    Below zero it is wet, a homogeneous mixture; wetness is the mass share of liquid. ``oil`` kg per kg of refrigerant
    hold some of it back as liquid: with `circulating_oil.held_back` the balance of energy is a quadratic equation for
    the superheat, whose root is the rounded corner that stands here anyway, only wider.
    """
    if isinstance(oil, float) and oil == 0.0:
        above = ops.positive(excess, CORNER)
    else:
        latent = line.vapor_enthalpy - line.liquid_enthalpy
        dissolving = RISE * ops.exp(log_pressure) * fluid.vapor_heat
        width = ops.sqrt(CORNER * CORNER + 4.0 * oil * latent * dissolving)
        above = ops.positive(excess + KEPT * oil * latent, width)
    below = excess - above
    temperature, volume, entropy = fluid.table.vapor(log_pressure, line.vapor_enthalpy + above, line)
    wetness = -below / (line.vapor_enthalpy - line.liquid_enthalpy)
    saturated_volume = line.vapor_pressure_volume * ops.exp(-log_pressure)
    volume = volume - wetness * (saturated_volume - line.liquid_volume)
    return temperature, volume, entropy + below / line.temperature, wetness


def flashed_volume(
    ops: Arithmetic, pressure: Value, enthalpy: Value, line: SaturationLine, liquid_volume: Value
) -> tuple[Value, Value, Value]:
    """Quality, homogeneous volume (m3/kg) and volume share of vapour of liquid (of that volume) or flashing liquid."""
    latent = line.vapor_enthalpy - line.liquid_enthalpy
    quality = ops.positive((enthalpy - line.liquid_enthalpy) / latent, FLASH_CORNER)
    vapor = quality * line.vapor_pressure_volume / pressure
    volume = liquid_volume * (1.0 - quality) + vapor
    return quality, volume, vapor / volume


FLASH_CORNER = 2e-4  # quality over which the onset of flashing is rounded


def latent_slope(pressure: Value, line: SaturationLine) -> Value:
    """dT/dp of the saturation line, K/Pa: Clausius and Clapeyron, T (vg - vf) / hfg."""
    expansion = line.vapor_pressure_volume / pressure - line.liquid_volume
    return line.temperature * expansion / (line.vapor_enthalpy - line.liquid_enthalpy)
