"""A state from any two of its properties, and states a given superheat or subcooling away from saturation."""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from coldcab.quantities import Array, Limit, Value, show

from .exact import exact, exact_state
from .fluid_table import FluidTable, SaturationLine
from .names import resolve
from .ranges import PROPERTIES, QUALITY_RANGE, RangeError, checked, given_property
from .saturation import flat, table_or_none

__all__ = ["State", "state", "subcooled", "superheated"]

# Nearer to saturation than this, pressure and temperature together do not say how much is liquid.
SATURATION_BAND = 0.001  # K; the tables are ten times finer
# Less superheat or subcooling than this counts as none.
LEAST_DIFFERENCE = 2 * SATURATION_BAND
# A quality this near to 0 or 1 is rounding: the state is on the saturation line.
QUALITY_ROUNDING = 1e-9
DIFFERENCE_RANGE = Limit("temperature difference", 0.0, 300.0, words="it is a temperature difference, never negative")


@dataclass(frozen=True)
class State:
    """One state, or arrays of states, in SI units; enthalpy and entropy are 200 kJ/kg and 1 kJ/(kg K) for
    saturated liquid at 0 C. Quality is NaN where there is one phase."""

    pressure: Value  # Pa absolute
    temperature: Value  # K
    density: Value  # kg/m3
    enthalpy: Value  # J/kg
    entropy: Value  # J/(kg K)
    quality: Value  # kg of vapor per kg
    phase: str | NDArray[np.str_]

    @property
    def specific_volume(self) -> Value:
        """m3/kg."""
        return 1 / self.density


def _phase_of(quality: float, vapor: bool) -> str:
    if math.isnan(quality):
        return "superheated vapor" if vapor else "subcooled liquid"
    if quality == 0:
        return "saturated liquid"
    return "saturated vapor" if quality == 1 else "two-phase"


def state(
    name: str,
    *,
    pressure: Value | None = None,
    temperature: Value | None = None,
    density: Value | None = None,
    enthalpy: Value | None = None,
    entropy: Value | None = None,
    quality: Value | None = None,
) -> State:
    """The state that two properties fix.

    Give exactly two of pressure (Pa absolute), temperature (K), density (kg/m3), enthalpy (J/kg), entropy
    (J/(kg K)), quality (kg of vapour per kg, 0 to 1): numbers, or arrays that broadcast. Numbers give
    numbers, arrays give arrays of the common shape.

    For R-12, R-134a, R-152a and R-1234yf pressure with any other property but density, and temperature with
    quality, come from tables between 1 kPa and the saturation pressure at 0.975 of the critical temperature
    (K): liquid from some -100 C, vapour up to the highest temperature of the equation of state (455 K for
    R-134a, 525 K for R-12, 500 K for R-152a, 410 K for R-1234yf). Anything else is computed by CoolProp, one
    state at a time.

    Raises
    ------
    RangeError
        out of range; not two properties; a pair that fixes no state (pressure and temperature at saturation,
        temperature with enthalpy, quality with enthalpy, entropy or density).
    UnknownRefrigerant
    """
    fluid = table_or_none(name)
    values = (pressure, temperature, density, enthalpy, entropy, quality)
    given = {
        key: given_property(key, value) for key, value in zip(PROPERTIES, values, strict=True) if value is not None
    }
    if len(given) != 2:
        got = " and ".join(given) or "none"
        raise RangeError(f"a state needs exactly two of {', '.join(PROPERTIES)}; got {got}.")
    _determinate(frozenset(given))
    if "quality" in given:
        checked("quality", given["quality"], QUALITY_RANGE)
    if all(isinstance(value, float) for value in given.values()):
        return State(*_scalar(resolve(name), fluid, given))
    return _array(resolve(name), fluid, given)


def _determinate(pair: frozenset[str]) -> None:
    one, two = sorted(pair)
    if "quality" in pair and not pair & {"pressure", "temperature"}:
        raise RangeError(f"{one} and {two} do not fix one state; give quality with pressure or with temperature.")
    if pair == {"temperature", "enthalpy"}:
        raise RangeError("temperature and enthalpy do not fix one state well; give pressure with one of them.")


def _scalar(designation: str, fluid: FluidTable | None, given: dict[str, Any]) -> tuple[Any, ...]:
    """All fields of State for two numbers."""
    if fluid:
        found = _scalar_table(fluid, given)
        if found:
            return found
    if "pressure" in given and "temperature" in given:
        if fluid:
            fluid.limits.check(designation, given)
        _refuse_saturation(designation, given["pressure"], given["temperature"])
    return exact_state(designation, fluid.limits if fluid else None, given)


def _scalar_table(fluid: FluidTable, given: dict[str, Any]) -> tuple[Any, ...] | None:
    """The same from the table, None outside of it."""
    quality: Any = given.get("quality")
    temperature: Any = given.get("temperature")
    t: Any
    pressure = given.get("pressure")
    if pressure is None:
        if quality is None or not fluid.coldest <= temperature <= fluid.warmest:
            return None
        x = fluid.log_pressure(temperature)
        pressure = math.exp(x)
    elif "density" in given or not fluid.lowest_pressure <= pressure <= fluid.highest_pressure:
        return None
    else:
        x = math.log(pressure)
    line = fluid.saturation(x)
    if quality is not None:
        enthalpy = line.liquid_enthalpy + quality * (line.vapor_enthalpy - line.liquid_enthalpy)
        rest = line.liquid_volume, line.liquid_entropy
        vapor_volume = line.vapor_pressure_volume / pressure
        volume = rest[0] + quality * (vapor_volume - rest[0])
        entropy = rest[1] + quality * (line.vapor_entropy - rest[1])
        t = line.temperature if temperature is None else temperature
        return pressure, t, 1 / volume, enthalpy, entropy, quality, _phase_of(quality, True)
    if temperature is not None:
        if not fluid.liquid_edge <= temperature <= fluid.limits.highest_temperature:
            return None
        if abs(temperature - line.temperature) < SATURATION_BAND:
            raise _at_saturation(fluid.designation, pressure, temperature)
        method = fluid.vapor_enthalpy if temperature > line.temperature else fluid.liquid_enthalpy
        enthalpy = method(x, temperature, line)
    elif "enthalpy" in given:
        enthalpy = given["enthalpy"]
    else:
        enthalpy = _enthalpy_by_entropy(fluid, x, given["entropy"], line)
    t, volume, entropy, quality = fluid.state(x, enthalpy, line)
    if not fluid.liquid_edge <= t <= fluid.limits.highest_temperature:
        return None
    if abs(quality) < QUALITY_ROUNDING or abs(quality - 1) < QUALITY_ROUNDING:
        quality = round(quality)
    t = t if temperature is None else temperature
    phase = _phase_of(quality, bool(enthalpy > line.vapor_enthalpy))
    return pressure, t, 1 / volume, enthalpy, given.get("entropy", entropy), float(quality), phase


def _enthalpy_by_entropy(fluid: FluidTable, x: Value, entropy: float, line: SaturationLine) -> Value:
    """Enthalpy at one ln p and entropy, in any phase."""
    if entropy > line.vapor_entropy:
        return _vapor_enthalpy_by_entropy(fluid, x, entropy, line)
    if entropy < line.liquid_entropy:
        return _liquid_enthalpy_by_entropy(fluid, x, entropy, line)
    quality = (entropy - line.liquid_entropy) / (line.vapor_entropy - line.liquid_entropy)
    return line.liquid_enthalpy + quality * (line.vapor_enthalpy - line.liquid_enthalpy)


def _vapor_enthalpy_by_entropy(fluid: FluidTable, x: Value, entropy: Value, line: SaturationLine) -> Value:
    """From the table, then one step of Newton's method with dh = T ds at constant pressure."""
    enthalpy = fluid.vapor_enthalpy_by_entropy(x, entropy, line)
    temperature, _, found = fluid.vapor(x, enthalpy, line)
    return enthalpy + temperature * (entropy - found)


def _liquid_enthalpy_by_entropy(fluid: FluidTable, x: Value, entropy: Value, line: SaturationLine) -> Value:
    """Newton's method with dh = T ds at constant pressure; three steps leave less than a millionth."""
    enthalpy = line.liquid_enthalpy + line.temperature * (entropy - line.liquid_entropy)
    # No colder than the edge of the table, or the polynomial runs away.
    coldest = line.liquid_enthalpy - line.liquid_enthalpy_span * 1.2
    for _ in range(4):
        enthalpy = max(enthalpy, coldest) if isinstance(enthalpy, float) else np.maximum(enthalpy, coldest)
        temperature, _, found = fluid.liquid(x, enthalpy, line)
        enthalpy = enthalpy + temperature * (entropy - found)
    return enthalpy


def _array(designation: str, fluid: FluidTable | None, given: dict[str, Any]) -> State:
    shape, arrays = flat(**given)
    keys = tuple(given)
    lists = dict(zip(keys, arrays, strict=True))
    inside = np.zeros(arrays[0].shape, bool)
    columns = np.empty((6, inside.size))
    phase = np.empty(inside.size, dtype="U18")
    if fluid:
        inside = _inside(fluid, lists)
        some = {key: array[inside] for key, array in lists.items()}
        found, names = _array_table(fluid, some)
        # The edges in temperature show only now.
        good = (found[1] >= fluid.liquid_edge) & (found[1] <= fluid.limits.highest_temperature)
        inside[inside] = good
        columns[:, inside], phase[inside] = found[:, good], names[good]
    for place in np.flatnonzero(~inside):
        one = {key: float(array[place]) for key, array in lists.items()}
        *columns[:, place], phase[place] = _scalar(designation, fluid, one)
    pressure, temperature, density, enthalpy, entropy, quality = (column.reshape(shape) for column in columns)
    return State(pressure, temperature, density, enthalpy, entropy, quality, phase.reshape(shape))


def _inside(fluid: FluidTable, given: dict[str, Array]) -> NDArray[np.bool_]:
    """Which pairs the table can answer, as far as the given values show."""
    if "pressure" in given and "density" not in given:
        inside: NDArray[np.bool_] = (given["pressure"] >= fluid.lowest_pressure) & (
            given["pressure"] <= fluid.highest_pressure
        )
        if "temperature" in given:
            temperature = given["temperature"]
            inside &= (temperature >= fluid.liquid_edge) & (temperature <= fluid.limits.highest_temperature)
        return inside
    if "quality" in given:
        inside = (given["temperature"] >= fluid.coldest) & (given["temperature"] <= fluid.warmest)
        return inside
    return np.zeros(next(iter(given.values())).shape, bool)


def _array_table(fluid: FluidTable, given: dict[str, Array]) -> tuple[Array, NDArray[np.str_]]:
    """Six columns of State and the phases, for pairs inside the table."""
    temperature: Any = given.get("temperature")
    quality: Any = given.get("quality")
    x = np.log(given["pressure"]) if "pressure" in given else fluid.log_pressure(temperature)
    pressure = given["pressure"] if "pressure" in given else np.exp(x)
    line = fluid.saturation(x)
    hf, hg = line.liquid_enthalpy, line.vapor_enthalpy
    enthalpy: Any
    entropy: Any
    t: Any
    if quality is not None:
        enthalpy = hf + quality * (hg - hf)
    elif temperature is not None:
        near = np.abs(temperature - line.temperature) < SATURATION_BAND
        if near.any():
            raise _at_saturation(fluid.designation, float(pressure[near][0]), float(temperature[near][0]))
        warm = np.maximum(temperature, line.temperature)
        cold = np.minimum(temperature, line.temperature)
        enthalpy = fluid.vapor_enthalpy(x, warm, line) + fluid.liquid_enthalpy(x, cold, line)
        enthalpy -= np.where(temperature > line.temperature, hf, hg)
    elif "enthalpy" in given:
        enthalpy = given["enthalpy"]
    else:
        entropy, sf, sg = given["entropy"], line.liquid_entropy, line.vapor_entropy
        above = _vapor_enthalpy_by_entropy(fluid, x, np.maximum(entropy, sg), line)
        below = _liquid_enthalpy_by_entropy(fluid, x, np.minimum(entropy, sf), line)
        enthalpy = hf + (entropy - sf) / (sg - sf) * (hg - hf)
        enthalpy = np.where(entropy > sg, above, np.where(entropy < sf, below, enthalpy))
    t, volume, entropy, found = fluid.state(x, enthalpy, line)
    if quality is None:
        quality = found
        quality[np.abs(quality) < QUALITY_ROUNDING] = 0
        quality[np.abs(quality - 1) < QUALITY_ROUNDING] = 1
    t = t if temperature is None else temperature
    phase = np.where(enthalpy > hg, "superheated vapor", "subcooled liquid")
    phase[~np.isnan(quality)] = "two-phase"
    phase[quality == 0] = "saturated liquid"
    phase[quality == 1] = "saturated vapor"
    return np.array([pressure, t, 1 / volume, enthalpy, given.get("entropy", entropy), quality]), phase


def _at_saturation(designation: str, pressure: float, temperature: float) -> RangeError:
    return RangeError(
        f"{designation} at {show(pressure, 'pressure')} boils at {show(temperature, 'temperature')}, so "
        "these two do not say how much is liquid; give quality or enthalpy in place of one of them."
    )


def _refuse_saturation(designation: str, pressure: float, temperature: float) -> None:
    """The same question for states outside the tables: is this point on the saturation line?"""
    engine = exact(designation)
    if engine.blend or not engine.limits.lowest_saturation_pressure < pressure < engine.limits.critical_pressure:
        return
    boiling = engine.state({"pressure": pressure, "quality": 1.0})[1]
    if abs(temperature - boiling) < SATURATION_BAND:
        raise _at_saturation(designation, pressure, temperature)


def superheated(name: str, pressure: Value, superheat: Value) -> State:
    """Vapour at a pressure (Pa absolute) and superheat (K, 0 or more above the dew point).

    Superheat 0 is saturated vapour. Numbers or arrays that broadcast. Raises RangeError, UnknownRefrigerant.
    """
    return _beside_saturation(name, pressure, superheat, "superheat", 1.0)


def subcooled(name: str, pressure: Value, subcooling: Value) -> State:
    """Liquid at a pressure (Pa absolute) and subcooling (K, 0 or more below the bubble point).

    Subcooling 0 is saturated liquid. Numbers or arrays that broadcast. Raises RangeError, UnknownRefrigerant.
    """
    return _beside_saturation(name, pressure, subcooling, "subcooling", 0.0)


def _beside_saturation(name: str, pressure: Value, difference: Value, argument: str, side: float) -> State:
    fluid, designation = table_or_none(name), resolve(name)
    pressure = given_property("pressure", pressure)
    difference = checked(argument, difference, DIFFERENCE_RANGE)
    sign = 1 if side else -1

    def one(p: float, d: float) -> tuple[Any, ...]:
        saturated = _scalar(designation, fluid, {"pressure": p, "quality": side})
        if d < LEAST_DIFFERENCE:
            return saturated
        return _scalar(designation, fluid, {"pressure": p, "temperature": saturated[1] + sign * d})

    if isinstance(pressure, float) and isinstance(difference, float):
        return State(*one(pressure, difference))
    shape, (pressure, difference) = flat(pressure=pressure, **{argument: difference})
    saturated = _array(designation, fluid, {"pressure": pressure, "quality": np.full(pressure.shape, side)})
    away = difference >= LEAST_DIFFERENCE
    if not away.any():
        return State(*(np.reshape(column, shape) for column in vars(saturated).values()))
    moved = _array(
        designation,
        fluid,
        {"pressure": pressure[away], "temperature": (saturated.temperature + sign * difference)[away]},
    )
    merged = []
    for base, new in zip(vars(saturated).values(), vars(moved).values(), strict=True):
        base[away] = new
        merged.append(base.reshape(shape))
    return State(*merged)
