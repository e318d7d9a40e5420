"""Ranges of the service room and the one sentence for a value outside them."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

Value = float | np.ndarray


class ServiceError(ValueError):
    """A value that service work cannot be worked out with; the message is one plain sentence."""


class Limits(NamedTuple):
    """A range in SI, and how it is said: shown = SI * factor + offset, in ``unit``."""

    low: float
    high: float
    unit: str = ""
    factor: float = 1.0
    offset: float = 0.0

    def shown(self, value: float) -> str:
        """A value of this kind in the unit that people use."""
        return f"{value * self.factor + self.offset:.6g} {self.unit}".rstrip()


def checked(name: str, value: Any, limits: Limits, where: str = "") -> Value:
    """The value as a float or an array of floats inside its limits, both ends allowed, else `ServiceError`."""
    label = name.replace("_", " ")
    if isinstance(value, str | bytes | bool) or value is None or hasattr(value, "units"):
        raise ServiceError(f"{label} must be a bare number in SI units, not {str(value)[:40]!r}.")
    try:
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError, OverflowError):
        raise ServiceError(f"{label} must be a number or an array of numbers, not {str(value)[:40]!r}.") from None
    bad = ~((array >= limits.low) & (array <= limits.high))
    if bad.any():
        first = float(array[bad].flat[0]) if array.ndim else float(array)
        span = f"{limits.shown(limits.low)} to {limits.shown(limits.high)}"
        if first != first:
            raise ServiceError(f"{label} is not a number (NaN); give a value from {span}.")
        raise ServiceError(f"{label} {limits.shown(first)} is outside the range {span}{where}; give a value in it.")
    return float(array) if array.ndim == 0 else array


def number(name: str, value: Any, limits: Limits, where: str = "") -> float:
    """The same for what must be a single number."""
    found = checked(name, value, limits, where)
    if isinstance(found, np.ndarray):
        raise ServiceError(f"{name.replace('_', ' ')} is an array; give a single number.")
    return found


def together(**values: Value) -> tuple[np.ndarray, ...]:
    """Numbers and arrays as arrays of one common shape, else `ServiceError`."""
    try:
        return tuple(np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values.values())))
    except ValueError:
        shapes = ", ".join(f"{name.replace('_', ' ')} {np.shape(value)}" for name, value in values.items())
        raise ServiceError(f"the arrays do not fit together: {shapes}.") from None


def plain(value: np.ndarray) -> Value:
    """A float for one number, else the array."""
    return float(value) if np.ndim(value) == 0 else value
