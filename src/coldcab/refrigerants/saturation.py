"""Saturation: pressure and temperature, and the properties of both phases on the line."""

import functools
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coldcab.quantities import Array, Value

from .exact import exact_state
from .fluid_table import FluidTable
from .names import TABLES, resolve
from .ranges import QUALITY_RANGE, FluidLimits, RangeError, checked, given_property, together

__all__ = ["Saturation", "saturation", "saturation_pressure", "saturation_temperature", "table"]

DEW = 1.0  # quality of the dew point, and of a pure refrigerant as good as any
NOTHING = 1.0, 0.0  # a span that holds no value


@functools.cache
def _load(designation: str) -> FluidTable:
    return FluidTable(designation)


_tables: dict[str, FluidTable] = {}


def table(name: str) -> FluidTable:
    """The node table of R-12, R-134a, R-152a or R-1234yf: fast, smooth, without range checks (see fluid_table.py).

    Raises UnknownRefrigerant or, for a refrigerant without a table, RangeError.
    """
    found = table_or_none(name)
    if found is None:
        raise RangeError(f"{resolve(name)} has no property table; there are tables for {', '.join(TABLES)}.")
    return found


def table_or_none(name: str) -> FluidTable | None:
    """The table under this name, None when the fluid is known but has none."""
    try:
        return _tables[name]
    except (KeyError, TypeError):
        designation = resolve(name)
    if designation not in TABLES:
        return None
    found = _tables[name] = _load(designation)
    return found


Result = Value | tuple[Value, ...]
"""One property or several."""


def elementwise(
    inside: NDArray[np.bool_],
    arrays: tuple[Array, ...],
    fast: Callable[..., Result] | None,
    slow: Callable[..., Result],
    count: int = 1,
) -> Array:
    """Columns of results (count x n): fast on all elements inside the tables at once, slow one by one."""
    if fast is not None and inside.all() and inside.size:
        return np.array(fast(*arrays)).reshape(count, -1)
    result = np.empty((count, inside.size))
    if fast is not None and inside.any():
        result[:, inside] = np.array(fast(*(array[inside] for array in arrays)))
    if not inside.all():
        for place in np.flatnonzero(~inside):
            result[:, place] = np.array(slow(*(float(array[place]) for array in arrays)))
    return result


def flat(**values: Value) -> tuple[tuple[int, ...], tuple[Array, ...]]:
    """The common shape, and the values broadcast to it and made flat."""
    arrays = together(**values)
    return arrays[0].shape, tuple(array.ravel() for array in arrays)


@overload
def saturation_pressure(name: str, temperature: float, quality: float = ...) -> float: ...
@overload
def saturation_pressure(name: str, temperature: ArrayLike, quality: ArrayLike = ...) -> Value: ...
def saturation_pressure(name: str, temperature: ArrayLike, quality: ArrayLike = DEW) -> Value:
    """Saturation pressure, Pa absolute.

    Parameters
    ----------
    name : designation, such as "R-134a"
    temperature : K, number or array, from the triple point to the critical point
    quality : 0 (bubble point) to 1 (dew point); it matters for blends only

    Returns Pa absolute, a float or an array of the common shape. Raises RangeError, UnknownRefrigerant.
    Source: tables from CoolProp, equations of state named in ``table(name).source``; CoolProp outside them.
    """
    fluid = table_or_none(name)
    kelvin = given_property("temperature", temperature)
    if fluid is None:
        return _one_of_two(name, "temperature", kelvin, quality, NOTHING, None, 0)
    if isinstance(kelvin, float) and fluid.coldest <= kelvin <= fluid.warmest and quality is DEW:
        return math.exp(fluid.log_pressure(kelvin))
    span = fluid.coldest, fluid.warmest
    return _one_of_two(name, "temperature", kelvin, quality, span, lambda t, _: np.exp(fluid.log_pressure(t)), 0)


@overload
def saturation_temperature(name: str, pressure: float, quality: float = ...) -> float: ...
@overload
def saturation_temperature(name: str, pressure: ArrayLike, quality: ArrayLike = ...) -> Value: ...
def saturation_temperature(name: str, pressure: ArrayLike, quality: ArrayLike = DEW) -> Value:
    """Saturation temperature, K.

    Parameters
    ----------
    name : designation, such as "R-134a"
    pressure : Pa absolute, number or array, up to the critical pressure
    quality : 0 (bubble point) to 1 (dew point); it matters for blends only

    Returns K, a float or an array of the common shape. Raises RangeError, UnknownRefrigerant.
    Source: as for saturation_pressure.
    """
    fluid = table_or_none(name)
    pascal = given_property("pressure", pressure)
    if fluid is None:
        return _one_of_two(name, "pressure", pascal, quality, NOTHING, None, 1)
    span = fluid.lowest_pressure, fluid.highest_pressure
    if isinstance(pascal, float) and span[0] <= pascal <= span[1] and quality is DEW:
        return fluid.saturation_temperature(math.log(pascal))
    return _one_of_two(name, "pressure", pascal, quality, span, lambda p, _: fluid.saturation_temperature(np.log(p)), 1)


def _one_of_two(
    name: str,
    argument: str,
    given: Value,
    quality: ArrayLike,
    span: tuple[float, float],
    fast: Callable[..., Result] | None,
    column: int,
) -> Value:
    """Pressure (column 0) or temperature (column 1) at saturation, from the table within span."""
    share = checked("quality", quality, QUALITY_RANGE)
    designation, limits = resolve(name), _limits(name)
    shape, arrays = flat(**{argument: given, "quality": share})

    def slow(one: float, q: float) -> float:
        return float(exact_state(designation, limits, {argument: one, "quality": q})[column])

    inside = (arrays[0] >= span[0]) & (arrays[0] <= span[1])
    found = elementwise(inside, arrays, fast, slow)[0].reshape(shape)
    return found if shape else float(found)


def _limits(name: str) -> FluidLimits | None:
    fluid = table_or_none(name)
    return fluid.limits if fluid else None


@dataclass(frozen=True)
class Saturation:
    """Saturated liquid and vapour, SI units; pressure and temperature of a blend are its dew point's."""

    pressure: Value
    temperature: Value
    liquid_density: Value
    vapor_density: Value
    liquid_enthalpy: Value
    vapor_enthalpy: Value
    liquid_entropy: Value
    vapor_entropy: Value
    bubble_pressure: Value
    bubble_temperature: Value

    @property
    def latent_heat(self) -> Value:
        """J/kg."""
        return self.vapor_enthalpy - self.liquid_enthalpy

    @property
    def liquid_volume(self) -> Value:
        """m3/kg."""
        return 1 / self.liquid_density

    @property
    def vapor_volume(self) -> Value:
        """m3/kg."""
        return 1 / self.vapor_density


def saturation(name: str, *, temperature: Value | None = None, pressure: Value | None = None) -> Saturation:
    """Saturated liquid and vapour at a temperature (K) or at a pressure (Pa absolute): give exactly one.

    Numbers give numbers, arrays arrays of the same shape. Densities kg/m3, enthalpies J/kg and entropies
    J/(kg K), 200 kJ/kg and 1 kJ/(kg K) for saturated liquid at 0 C. The range is that of saturation_pressure.
    Raises RangeError, UnknownRefrigerant. Source: as for saturation_pressure.
    """
    fluid, limits = table_or_none(name), _limits(name)
    if (temperature is None) == (pressure is None):
        raise RangeError("saturation needs exactly one of temperature (K) and pressure (Pa absolute).")
    by_temperature = temperature is not None
    argument = "temperature" if by_temperature else "pressure"
    given = given_property(argument, temperature if by_temperature else pressure)
    low, high = NOTHING
    if fluid and by_temperature:
        low, high = fluid.coldest, fluid.warmest
    elif fluid:
        low, high = fluid.lowest_pressure, fluid.highest_pressure

    def fast(value: Value) -> tuple[Value, ...]:
        assert fluid is not None  # NOTHING lies inside the span of a table that is not there
        log = math.log if isinstance(value, float) else np.log
        x = fluid.log_pressure(value) if by_temperature else log(value)
        line = fluid.saturation(x)
        p = (math.exp(x) if isinstance(x, float) else np.exp(x)) if by_temperature else value
        t = value if by_temperature else line.temperature
        densities = 1 / line.liquid_volume, p / line.vapor_pressure_volume
        return p, t, *densities, *line[3:7], p, t

    def slow(value: float) -> tuple[float, ...]:
        designation = resolve(name)
        pb, tb, rb, hb, sb, *_ = exact_state(designation, limits, {argument: value, "quality": 0.0})
        pd, td, rd, hd, sd, *_ = exact_state(designation, limits, {argument: value, "quality": 1.0})
        return pd, td, rb, rd, hb, hd, sb, sd, pb, tb

    if isinstance(given, float):
        return Saturation(*(fast(given) if low <= given <= high else slow(given)))
    inside = ((given >= low) & (given <= high)).ravel()
    columns = elementwise(inside, (given.ravel(),), fast, slow, 10)
    return Saturation(*(column.reshape(given.shape) for column in columns))
