"""The vapour-compression cycle from a few readings. SI units, absolute pressure."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from .quantities import ABOVE_ZERO, MOST, Limit, Value, plain, show
from .refrigerants import (
    RangeError,
    State,
    saturation_pressure,
    saturation_temperature,
    state,
    subcooled,
    superheated,
)
from .refrigerants.ranges import checked, given_property
from .refrigerants.states import DIFFERENCE_RANGE

__all__ = [
    "Cycle",
    "States",
    "mass_flow",
    "vapor_compression",
    "volumetric_efficiency_clearance",
]

EFFICIENCY_RANGE = Limit("share", ABOVE_ZERO, 1.0)
FLOW_RANGE = Limit("mass flow", ABOVE_ZERO, MOST)
CLEARANCE_RANGE = Limit("share", 0.0, 0.5)
RATIO_RANGE = Limit("ratio", 1.0, MOST)
POSITIVE = Limit("", ABOVE_ZERO, MOST)


class States(NamedTuple):
    """The four states; ``states[0]`` is state 1."""

    compressor_inlet: State  # 1
    discharge: State  # 2
    liquid: State  # 3, before the valve
    evaporator_inlet: State  # 4, after the valve


@dataclass(frozen=True)
class Cycle:
    """Results of vapor_compression: numbers or arrays; flows in W are None without a mass flow."""

    states: States
    evaporating_temperature: Value  # K, saturation (dew point of a blend)
    condensing_temperature: Value  # K, saturation (dew point of a blend)
    isentropic_efficiency: Value
    isentropic_discharge_temperature: Value  # K, what a perfect compressor would give
    mass_flow: Value | None  # kg/s

    @property
    def evaporating_pressure(self) -> Value:
        """Pa absolute."""
        return self.states[0].pressure

    @property
    def condensing_pressure(self) -> Value:
        """Pa absolute."""
        return self.states[1].pressure

    @property
    def refrigerating_effect(self) -> Value:
        """Heat taken up in the evaporator, J/kg: h1 - h4."""
        return self.states[0].enthalpy - self.states[3].enthalpy

    @property
    def compressor_work(self) -> Value:
        """Work given to the refrigerant, J/kg: h2 - h1."""
        return self.states[1].enthalpy - self.states[0].enthalpy

    @property
    def condenser_heat(self) -> Value:
        """Heat given off in the condenser, J/kg: h2 - h3, the sum of effect and work."""
        return self.states[1].enthalpy - self.states[2].enthalpy

    @property
    def cop(self) -> Value:
        """Refrigerating effect over compressor work."""
        return self.refrigerating_effect / self.compressor_work

    @property
    def discharge_temperature(self) -> Value:
        """K."""
        return self.states[1].temperature

    @property
    def compression_ratio(self) -> Value:
        """Ratio of absolute pressures."""
        return self.condensing_pressure / self.evaporating_pressure

    @property
    def capacity(self) -> Value | None:
        """Cooling, W."""
        return _flow(self.mass_flow, self.refrigerating_effect)

    @property
    def power(self) -> Value | None:
        """Power given to the refrigerant by the compressor, W."""
        return _flow(self.mass_flow, self.compressor_work)

    @property
    def heat_rejected(self) -> Value | None:
        """Heat given off in the condenser, W; without a mass flow see condenser_heat (J/kg)."""
        return _flow(self.mass_flow, self.condenser_heat)


def _flow(mass_flow: Value | None, specific: Value) -> Value | None:
    return None if mass_flow is None else mass_flow * specific


def vapor_compression(
    name: str,
    *,
    evaporating_temperature: Value | None = None,
    evaporating_pressure: Value | None = None,
    condensing_temperature: Value | None = None,
    condensing_pressure: Value | None = None,
    superheat: Value = 0.0,
    subcooling: Value = 0.0,
    isentropic_efficiency: Value = 1.0,
    mass_flow: Value | None = None,
) -> Cycle:
    """The single-stage cycle without pressure losses.

    Parameters
    ----------
    name : designation, such as "R-134a"
    evaporating_temperature (K) or evaporating_pressure (Pa absolute) : exactly one
    condensing_temperature (K) or condensing_pressure (Pa absolute) : exactly one, above the evaporating side
    superheat : K above saturation at the compressor inlet, 0 or more; all of it counts as cooling
    subcooling : K below saturation before the valve, 0 or more
    isentropic_efficiency : above 0, up to 1
    mass_flow : kg/s, above 0; with it capacity, power and heat_rejected in W

    Numbers give numbers; arrays broadcast and give arrays. Temperatures of a blend are dew-point temperatures
    (the convention of EN 12900, from memory). No heat is lost from the compressor and the valve keeps the
    enthalpy, so the heat of the condenser is exactly that of the evaporator plus the work.
    Raises RangeError, UnknownRefrigerant. Source: Moran and Shapiro, Fundamentals of Engineering
    Thermodynamics, section 10.2 (from memory; the tests reproduce worked examples of several textbooks).
    """
    low = _side(name, "evaporating", evaporating_temperature, evaporating_pressure)
    high = _side(name, "condensing", condensing_temperature, condensing_pressure)
    efficiency = checked("isentropic_efficiency", isentropic_efficiency, EFFICIENCY_RANGE)
    superheat = checked("superheat", superheat, DIFFERENCE_RANGE)
    subcooling = checked("subcooling", subcooling, DIFFERENCE_RANGE)
    values = [low[0], high[0], efficiency, superheat, subcooling]
    if mass_flow is not None:
        mass_flow = checked("mass_flow", mass_flow, FLOW_RANGE)
        values.append(mass_flow)
    try:
        shape = np.broadcast_shapes(*(np.shape(value) for value in values))
    except ValueError:
        raise RangeError("the arrays given to vapor_compression must have shapes that go together.") from None
    if shape:
        low, high = ((np.broadcast_to(p, shape), np.broadcast_to(t, shape)) for p, t in (low, high))
        superheat, subcooling = (np.broadcast_to(v, shape) for v in (superheat, subcooling))
    _above(high, low)

    one = superheated(name, low[0], superheat)
    try:
        ideal = state(name, pressure=high[0], entropy=one.entropy)
        work = (ideal.enthalpy - one.enthalpy) / efficiency
        two = state(name, pressure=high[0], enthalpy=one.enthalpy + work)
    except RangeError as error:
        raise RangeError(f"the compressor's discharge is out of range: {error}") from None
    three = subcooled(name, high[0], subcooling)
    four = state(name, pressure=low[0], enthalpy=three.enthalpy)
    return Cycle(States(one, two, three, four), low[1], high[1], efficiency, ideal.temperature, mass_flow)


def _side(name: str, side: str, temperature: Value | None, pressure: Value | None) -> tuple[Value, Value]:
    """Pressure and saturation temperature of one side of the circuit."""
    if (temperature is None) == (pressure is None):
        raise RangeError(f"give exactly one of {side} temperature (K) and {side} pressure (Pa absolute).")
    try:
        if pressure is None:
            temperature = given_property("temperature", temperature)
            return saturation_pressure(name, temperature), temperature
        pressure = given_property("pressure", pressure)
        return pressure, saturation_temperature(name, pressure)
    except RangeError as error:
        raise RangeError(f"{side} {error}") from None


def _above(high: tuple[Value, Value], low: tuple[Value, Value]) -> None:
    wrong = np.flatnonzero(np.atleast_1d(high[0] <= low[0]))
    if wrong.size:
        condensing, evaporating = (float(np.atleast_1d(side[0]).flat[wrong[0]]) for side in (high, low))
        raise RangeError(
            f"the condensing pressure {show(condensing, 'pressure')} must be above the evaporating pressure "
            f"{show(evaporating, 'pressure')}; check whether the two sides are swapped."
        )


def mass_flow(
    displacement: Value, rotational_speed: Value, volumetric_efficiency: Value, suction_density: Value
) -> Value:
    """Refrigerant flow of a compressor, kg/s.

    displacement m3 per revolution, rotational_speed rev/s, volumetric_efficiency 0 to 1, suction_density
    kg/m3; numbers or arrays that broadcast, all above 0. Raises RangeError.
    Source: definition of volumetric efficiency.
    """
    given = {
        "displacement": displacement,
        "rotational speed": rotational_speed,
        "volumetric efficiency": volumetric_efficiency,
        "suction density": suction_density,
    }
    flow: Value = 1.0
    for label, value in given.items():
        flow = flow * checked(label, value, EFFICIENCY_RANGE if label == "volumetric efficiency" else POSITIVE)
    return flow


def volumetric_efficiency_clearance(clearance: Value, compression_ratio: Value, polytropic_exponent: Value) -> Value:
    """Share of the displacement that is filled fresh when gas left in the clearance expands again.

    1 + c - c r^(1/n): clearance c as a share of the displacement (0 to 0.5), compression ratio r (1 or more),
    polytropic exponent n (above 0). Never below 0. Raises RangeError.
    Source: textbook clearance formula, from memory.
    """
    clearance = checked("clearance", clearance, CLEARANCE_RANGE)
    ratio = checked("compression_ratio", compression_ratio, RATIO_RANGE)
    exponent = checked("polytropic_exponent", polytropic_exponent, POSITIVE)
    return plain(np.maximum(1 + clearance - clearance * ratio ** (1 / exponent), 0.0))
