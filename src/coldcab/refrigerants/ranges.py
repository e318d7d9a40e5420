"""Ranges and the one plain sentence that says what is out of range."""

import math
from typing import NamedTuple

import numpy as np

__all__ = ["RangeError"]


class RangeError(ValueError):
    """A value outside the range that is known, or a pair of values that does not fix a state."""


KELVIN = 273.15
LOWEST_PRESSURE = 1e-3  # Pa, thinner than any vacuum pump of the trade leaves
DENSITY_RANGE = 1e-9, 1e5  # kg/m3
ROUNDING = 1e-12  # -103.3 + 273.15 is a hair below 169.85
PSI = 6894.757293168  # Pa, from the pound and inch of 1959
UNITS = {
    "pressure": "Pa absolute",
    "temperature": "K",
    "density": "kg/m3",
    "enthalpy": "J/kg",
    "entropy": "J/(kg K)",
    "quality": "kg of vapor per kg",
    "mass": "kg",
    "air_mass": "kg",
    "volume": "m3",
}


def kind_of(argument: str) -> str:
    """The quantity an argument name stands for: 'evaporating_temperature' is a temperature."""
    if argument in UNITS:
        return argument
    last = argument.rsplit("_", 1)[-1]
    return last if last in UNITS else ""


def show(value: float, kind: str) -> str:
    """A value with its SI unit and, for temperature and pressure, the units of the shop beside it."""
    if kind == "temperature":
        style = ".1f" if abs(value) < 1e4 else ".4g"
        return f"{value:.6g} K ({value - KELVIN:{style}} C, {value * 1.8 - 459.67:{style}} F)"
    if kind == "pressure":
        return f"{value:.6g} Pa absolute ({value / PSI:.4g} psia, {value / 1e5:.4g} bar)"
    return f"{value:.6g} {UNITS.get(kind, '')}".rstrip()


def _slip(kind: str, value: float, low: float, high: float) -> str:
    """The likely slip behind a value out of range, as a further clause."""
    if kind == "temperature":
        meant = {"C": value + KELVIN, "F": (value + 459.67) / 1.8}
        asked = [f"{value:g} {unit} = {kelvin:.2f} K" for unit, kelvin in meant.items() if low <= kelvin <= high]
        return f"; did you mean {' or '.join(asked)}?" if asked else "."
    if kind == "pressure":
        if value <= 0:
            return "; add the pressure of the air (101325 Pa at sea level) to a gauge reading."
        meant = {"psia": value * PSI, "kPa": value * 1e3, "bar": value * 1e5}
        asked = [f"{value:g} {unit} = {pascal:.6g} Pa" for unit, pascal in meant.items() if low <= pascal <= high]
        return f"; did you mean {' or '.join(asked)} (absolute)?" if asked else "."
    if kind == "quality" and 1 < value <= 100:
        return f"; did you mean {value:g} % = {value / 100:g}?"
    if kind in ("enthalpy", "entropy") and low <= value * 1e3 <= high:
        return f"; did you mean {value:g} k{UNITS[kind]} = {value * 1e3:g} {UNITS[kind]}?"
    return "."


def out_of_range(argument: str, value: float, low: float, high: float, where: str = "") -> RangeError:
    """The error for a value outside low..high; where names the fluid or the function's limit."""
    kind = kind_of(argument)
    label = argument.replace("_", " ")
    span = f"{show(low, kind)} to {show(high, kind)}"
    return RangeError(f"{label} {show(value, kind)} is outside the range {span}{where}{_slip(kind, value, low, high)}")


def number(argument: str, value: object) -> float | np.ndarray:
    """A float for one number, else an array of floats; a sentence for anything else and for NaN."""
    if type(value) is float:
        if math.isfinite(value):
            return value
        raise _not_finite(argument, value)
    unit = UNITS.get(kind_of(argument), "SI units")
    label = argument.replace("_", " ")
    if value is None or isinstance(value, str | bytes | bool) or hasattr(value, "units"):
        raise RangeError(f"{label} must be a bare number in {unit}; got {str(value)[:40]!r}.")
    try:
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError, OverflowError):
        raise RangeError(f"{label} must be a number or an array of numbers in {unit}.") from None
    bad = ~np.isfinite(array)
    if bad.any():
        raise _not_finite(argument, float(array[bad].flat[0]))
    return float(array) if array.ndim == 0 else array


def _not_finite(argument: str, value: float) -> RangeError:
    unit = UNITS.get(kind_of(argument), "SI units")
    text = "NaN (not a number)" if math.isnan(value) else "infinite"
    return RangeError(f"{argument.replace('_', ' ')} is {text}; give a number in {unit}.")


def within(argument: str, value: float | np.ndarray, low: float, high: float, where: str = "") -> None:
    """Raise the sentence for the first value outside low..high."""
    if isinstance(value, float):
        if not low <= value <= high:
            raise out_of_range(argument, value, low, high, where)
        return
    bad = (value < low) | (value > high)
    if bad.any():
        raise out_of_range(argument, float(value[bad].flat[0]), low, high, where)


class Limits(NamedTuple):
    """Where one fluid's equation of state and its saturation line end, SI units."""

    lowest_temperature: float
    critical_temperature: float
    highest_temperature: float
    lowest_saturation_pressure: float
    critical_pressure: float
    highest_pressure: float

    def check(self, designation: str, given: dict[str, float]) -> None:
        """A sentence for the first of two given properties that lies outside."""
        saturated = "quality" in given
        where = f" of {designation}" + (" at saturation" if saturated else "")
        spans = {
            "temperature": (
                self.lowest_temperature,
                self.critical_temperature if saturated else self.highest_temperature,
            ),
            "pressure": (
                self.lowest_saturation_pressure if saturated else LOWEST_PRESSURE,
                self.critical_pressure if saturated else self.highest_pressure,
            ),
            "density": DENSITY_RANGE,
            "quality": (0.0, 1.0),
        }
        for argument, value in given.items():
            if argument in spans:
                low, high = spans[argument]
                if not low * (1 - ROUNDING) <= value <= high * (1 + ROUNDING):
                    raise out_of_range(argument, value, low, high, where)
