"""Ranges of the transients and the one sentence for a value outside them."""

from __future__ import annotations

import numpy as np

from coldcab.machine.conditions import MachineError, check
from coldcab.machine.ops import Value

PASCAL, LITRE, MINUTE, KILO = 1.0, 1e3, 60.0, 1e-3
LITRES_A_MINUTE = LITRE * MINUTE

# name: (low, high, factor and offset from SI to the unit shown, that unit)
LIMITS: dict[str, tuple[float, float, float, float, str]] = {
    "volume": (1e-5, 1e4, LITRE, 0.0, "L"),
    "pump_speed": (1e-6, 1e2, LITRES_A_MINUTE, 0.0, "L/min"),
    "ultimate_pressure": (0.0, 2e3, PASCAL, 0.0, "Pa"),
    "hose_length": (0.0, 20.0, 1.0, 0.0, "m"),
    "hose_diameter": (1e-3, 0.1, 1e3, 0.0, "mm"),
    "water": (0.0, 1.0, 1e3, 0.0, "g"),
    "wall_temperature": (274.0, 353.15, 1.0, -273.15, "C"),
    "boiling": (1e-12, 1e-3, 1.0, 0.0, "kg/(s Pa)"),
    "warming": (0.0, 1e6, 1.0, 0.0, "W/K"),
    "leak": (0.0, 1e3, 1.0, 0.0, "Pa m3/s"),
    "atmosphere": (5e4, 1.1e5, KILO, 0.0, "kPa"),
    "vacuum": (1.0, 1.1e5, PASCAL, 0.0, "Pa absolute"),
    "start_relative_humidity": (0.0, 1.0, 100.0, 0.0, "%"),
    "duration": (1.0, 1e6, 1.0, 0.0, "s"),
    "samples": (2, 20001, 1.0, 0.0, ""),
    "tolerance": (1e-8, 1e-2, 1.0, 0.0, ""),
    "pressure": (1.2e5, 50e5, KILO, 0.0, "kPa absolute"),
    "temperature": (233.15, 353.15, 1.0, -273.15, "C"),
    "gas_constant": (150.0, 4200.0, 1.0, 0.0, "J/(kg K)"),
    "mass": (0.0, 50.0, 1.0, 0.0, "kg"),
    "displacement": (1e-6, 1e-2, LITRES_A_MINUTE, 0.0, "L/min"),
    "ambient": (263.15, 323.15, 1.0, -273.15, "C"),
    "cylinder_temperature": (273.15, 328.15, 1.0, -273.15, "C"),
    "target": (2e4, 5e5, KILO, 0.0, "kPa absolute"),
    "rest": (1.0, 86400.0, 1.0, 0.0, "s"),
    "pulls": (1, 10, 1.0, 0.0, ""),
    "oil": (0.0, 2.0, 1.0, 0.0, "kg"),
    "soak": (278.15, 348.15, 1.0, -273.15, "C"),
    "soak_humidity": (0.0, 0.06, 1e3, 0.0, "g/kg"),
    "running_duration": (10.0, 14400.0, 1.0, 0.0, "s"),
    "equal_within": (1e3, 2e5, KILO, 0.0, "kPa"),
}


def checked(name: str, value: object, label: str | None = None) -> Value:
    """The value as a float or an array of floats inside its range, else `MachineError`."""
    return check(name, value, LIMITS[name], label)


def number(name: str, value: object, label: str | None = None) -> float:
    """The same for what must be a single number."""
    found = checked(name, value, label)
    if isinstance(found, np.ndarray):
        raise MachineError(f"{label or name.replace('_', ' ')} is an array; give a single number.")
    return float(found)


def whole(name: str, value: object) -> int:
    """The same for a whole number."""
    found = number(name, value)
    if found != int(found):
        raise MachineError(f"{name.replace('_', ' ')} must be a whole number, not {found:g}.")
    return int(found)


def together(*values: Value) -> tuple[tuple[int, ...], list[np.ndarray]]:
    """Numbers and arrays as arrays of one common shape: that shape, and the values flattened to (cases,)."""
    try:
        spread = np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values))
    except ValueError:
        shapes = sorted({np.shape(value) for value in values if np.ndim(value)})
        raise MachineError(f"the arrays do not fit together; got shapes {shapes}.") from None
    if spread[0].size == 0:
        raise MachineError("the arrays are empty; give at least one value.")
    return spread[0].shape, [value.ravel() for value in spread]
