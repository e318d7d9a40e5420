"""The change between a named unit and SI. pint said how large each unit is when ``factors.json`` was made."""

from __future__ import annotations

import json
import math
from functools import cache, lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING, overload

import numpy as np

from coldcab.quantities import STANDARD_ATMOSPHERE, Value, plain
from coldcab.units.table import KIND_ROWS, Unit, UnitError, echo, known_kind, look_up, pick, unsaid
from coldcab.words import _

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

ATMOSPHERE_RANGE = (20_000.0, 120_000.0)
"""Pa. Air pressures that can surround a gauge; wider than the standard atmosphere from -1000 to 11000 m."""


@overload
def known_atmosphere(atmosphere: float) -> float: ...
@overload
def known_atmosphere(atmosphere: ArrayLike, *, one: bool) -> Value: ...
def known_atmosphere(atmosphere: ArrayLike, *, one: bool = True) -> Value:
    """`atmosphere` itself if it is an air pressure in Pa (just one of them) that can surround a gauge."""
    low, high = ATMOSPHERE_RANGE
    if type(atmosphere) is float and low <= atmosphere <= high:
        return atmosphere  # the usual case, far quicker than an array
    try:
        numbers = np.asarray(atmosphere, dtype=float)
    except (TypeError, ValueError, OverflowError):
        numbers = np.asarray(math.nan)
    if (one and numbers.ndim) or not np.all((numbers >= low) & (numbers <= high)):
        raise UnitError(
            _("atmosphere is {atmosphere}; it must be an absolute air pressure from {low:g} to {high:g} Pa.").format(
                atmosphere=echo(str(atmosphere)), low=low, high=high
            )
        )
    return plain(numbers)


FACTORS = "factors.json"
"""What pint says of every unit; made by ``python -m coldcab.make factors``."""


@cache
def _factors() -> dict[str, dict[str, tuple[float, float]]]:
    found: dict[str, dict[str, tuple[float, float]]] = json.loads(
        files("coldcab.units").joinpath(FACTORS).read_text(encoding="utf-8")
    )
    return found


def scale_and_offset(unit: Unit) -> tuple[float, float]:
    """Factors so that SI value = number * scale + offset (a gauge reading's atmosphere apart)."""
    scale, offset = _factors()[unit.kind][unit.expression]
    return scale, offset


def to_si(number: Value, unit: Unit, atmosphere: Value) -> Value:
    """SI value of `number` (scalar or array) in `unit`; a pressure becomes absolute."""
    scale, offset = scale_and_offset(unit)
    if unit.reference == "gauge":
        return number * scale + atmosphere
    if unit.reference == "vacuum":
        return atmosphere - number * scale
    return number * scale + offset


def _from_si(value: Value, unit: Unit, atmosphere: Value) -> Value:
    scale, offset = scale_and_offset(unit)
    if unit.reference == "gauge":
        return (value - atmosphere) / scale
    if unit.reference == "vacuum":
        return (atmosphere - value) / scale
    return (value - offset) / scale


def lowest(unit: Unit, atmosphere: float) -> str:
    """The lowest reading a pressure or temperature unit can have, in words."""
    number = _from_si(0.0, unit, atmosphere)
    if unit.reference == "vacuum":
        return _("the deepest vacuum here is {floor:.2f} {name}").format(
            floor=math.floor(number * 100) / 100, name=unit.name
        )
    return _("the lowest possible here is {ceil:.2f} {name}").format(
        ceil=math.ceil(number * 100) / 100 + 0.0, name=unit.name
    )


def _unit_for_number(kind: str, unit: str) -> Unit:
    known_kind(kind)
    if not isinstance(unit, str) or len(unit) > 40:
        raise UnitError(_("unit must be a short text such as psig; this is {value}.").format(value=echo(str(unit))))
    return _named(kind, unit)


@lru_cache(maxsize=1024)
def _named(kind: str, unit: str) -> Unit:
    if unit == "" and kind in ("ratio", "fraction"):
        return BARE[kind]
    found = pick(unit, look_up(unit), kind)
    if found.reference == "unsaid":
        raise UnitError(unsaid(found))
    return found


BARE = {kind: Unit("", kind, "dimensionless") for kind in ("ratio", "fraction")}


@overload
def convert(value: float, kind: str, unit: str, *, atmosphere: float = ...) -> float: ...
@overload
def convert(value: ArrayLike, kind: str, unit: str, *, atmosphere: ArrayLike = ...) -> Value: ...
def convert(value: ArrayLike, kind: str, unit: str, *, atmosphere: ArrayLike = STANDARD_ATMOSPHERE) -> Value:
    """The number that an SI value is in a named unit.

    Parameters
    ----------
    value : SI value (Pa absolute, K, kg, ...), scalar or array of any shape.
    kind : one of `KINDS`.
    unit : words for the unit, such as "psig", "inHg vac", "F"; "" for a bare ratio or fraction.
    atmosphere : air pressure around the gauge, Pa, within `ATMOSPHERE_RANGE`; scalar or array.

    Returns
    -------
    Number in that unit, same shape; a float for a scalar.

    Raises
    ------
    UnitError : unknown kind or unit, a unit of another kind, a bare "psi" or "inHg".

    Example
    -------
    >>> round(convert(101325.0, "pressure", "psia"), 2)
    14.7
    """
    found = _unit_for_number(kind, unit)
    return plain(_from_si(_numbers("value", value), found, known_atmosphere(atmosphere, one=False)))


@overload
def from_unit(number: float, kind: str, unit: str, *, atmosphere: float = ...) -> float: ...
@overload
def from_unit(number: ArrayLike, kind: str, unit: str, *, atmosphere: ArrayLike = ...) -> Value: ...
def from_unit(number: ArrayLike, kind: str, unit: str, *, atmosphere: ArrayLike = STANDARD_ATMOSPHERE) -> Value:
    """The SI value of a number in a named unit; the way back from `convert`.

    Parameters
    ----------
    number : number in that unit, scalar or array of any shape.
    kind, unit, atmosphere : as for `convert`.

    Returns
    -------
    SI value (Pa absolute, K, kg, ...), same shape; a float for a scalar.

    Raises
    ------
    UnitError : as for `convert`, and for a pressure or temperature below absolute zero.

    Example
    -------
    >>> from_unit(2.0, "mass", "kg")
    2.0
    """
    found = _unit_for_number(kind, unit)
    value = to_si(_numbers("number", number), found, known_atmosphere(atmosphere, one=False))
    if kind in ("pressure", "temperature") and (value < 0.0 if isinstance(value, float) else np.any(value < 0.0)):
        raise UnitError(
            _("{min:g} {value} is below absolute zero; check the number in {unit}.").format(
                min=np.min(value), value=KIND_ROWS[kind][2], unit=unit
            )
        )
    return plain(value)


def _numbers(argument: str, value: ArrayLike) -> Value:
    if type(value) is float:
        return value  # the usual case, far quicker than an array
    try:
        return np.asarray(value, dtype=float)
    except (TypeError, ValueError, OverflowError):
        raise UnitError(
            _("{argument} must be a number or an array of numbers; this is {value}.").format(
                argument=argument, value=echo(str(value))
            )
        ) from None
