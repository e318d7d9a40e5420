"""Weather, speed and the air that the machine is given."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from coldcab.machine.ops import Value
from coldcab.quantities import ColdcabError


@dataclass(frozen=True)
class Conditions:
    """Conditions of one run; in `simulate_many` every field may be an array.

    ``inlet_temperature`` set: bench mode, the coil is given air of that state (doors and windows open, a workshop);
    left out: cab mode, the cab finds its own balance with ``sun``, people and ``fresh_air``.
    """

    ambient: Value = 308.15  # K
    relative_humidity: Value = 0.40  # 0 to 1, of the ambient air
    altitude: Value = 0.0  # m
    engine_speed: Value = 25.0  # rev/s (25 is 1500 rpm)
    blower: Value = 1.0  # share of the blower's full flow
    fresh_air: Value = 0.0  # share of outside air in the blower's flow; the rest recirculates
    sun: Value = 1000.0  # W/m2
    occupants: Value = 1.0
    inlet_temperature: Value | None = None  # K; None is cab mode
    inlet_relative_humidity: Value = 0.45


# name: (low, high, factor and offset from SI to the unit shown, that unit)
LIMITS: dict[str, tuple[float, float, float, float, str]] = {
    "ambient": (278.15, 328.15, 1.0, -273.15, "C"),
    "relative_humidity": (0.0, 1.0, 100.0, 0.0, "%"),
    "altitude": (-400.0, 4500.0, 1.0, 0.0, "m"),
    "engine_speed": (8.0, 55.0, 60.0, 0.0, "rpm"),
    "blower": (0.25, 1.0, 100.0, 0.0, "%"),
    "fresh_air": (0.0, 1.0, 100.0, 0.0, "%"),
    "sun": (0.0, 1200.0, 1.0, 0.0, "W/m2"),
    "occupants": (0.0, 4.0, 1.0, 0.0, "people"),
    "inlet_temperature": (283.15, 333.15, 1.0, -273.15, "C"),
    "inlet_relative_humidity": (0.0, 1.0, 100.0, 0.0, "%"),
}

NAMES = tuple(field.name for field in fields(Conditions))


class MachineError(ColdcabError):
    """A value that a machine cannot be run with; the message is one plain sentence."""


def sentence(label: str, value: float, low: float, high: float, unit: str, where: str = "") -> MachineError:
    """The error for a value out of range, in the unit shown."""
    unit = f" {unit}" if unit else ""
    return MachineError(
        f"{label} {value:.6g}{unit} is outside the range {low:.4g} to {high:.4g}{unit}{where}; choose a value in it."
    )


def check(
    name: str, value: object, limits: tuple[float, float, float, float, str], label: str | None = None, where: str = ""
) -> Value:
    """The value as a float or array of floats inside its limits, else `MachineError`."""
    low, high, factor, offset, unit = limits
    label = label or name.replace("_", " ")
    if type(value) is float and low <= value <= high:
        return value
    try:
        if isinstance(value, str | bytes | bool) or value is None:
            raise TypeError
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError, OverflowError):
        raise MachineError(f"{label} must be a number, not {str(value)[:40]!r}.") from None
    bad = ~((array >= low) & (array <= high))
    if bad.any():
        first = float(array[bad].flat[0]) if array.ndim else float(array)
        if first != first:
            raise MachineError(f"{label} is not a number (NaN); give a value from {low:g} to {high:g}.")
        raise sentence(label, first * factor + offset, low * factor + offset, high * factor + offset, unit, where)
    return float(array) if array.ndim == 0 else array
