"""Ranges of the transients and the one sentence for a value outside them."""

from __future__ import annotations

import numpy as np

from coldcab.machine.conditions import MachineError, check
from coldcab.machine.ops import Value
from coldcab.quantities import Limit

LIMITS = {
    "volume": Limit("volume", 1e-5, 1e4, "L"),
    "pump_speed": Limit("volume flow", 1e-6, 1e2, "L/min"),
    "ultimate_pressure": Limit("pressure difference", 0.0, 2e3, "Pa"),
    "hose_length": Limit("length", 0.0, 20.0, "m"),
    "hose_diameter": Limit("length", 1e-3, 0.1, "mm"),
    "water": Limit("mass", 0.0, 1.0, "g"),
    "wall_temperature": Limit("temperature", 274.0, 353.15, "C"),
    "boiling": Limit("boiling", 1e-12, 1e-3, "kg/(s Pa)"),
    "warming": Limit("conductance", 0.0, 1e6, "W/K"),
    "leak": Limit("leak", 0.0, 1e3, "Pa m3/s"),
    "atmosphere": Limit("pressure difference", 5e4, 1.1e5, "kPa"),
    "vacuum": Limit("pressure", 1.0, 1.1e5, "Pa absolute"),
    "start_relative_humidity": Limit("share", 0.0, 1.0, "%"),
    "duration": Limit("time", 1.0, 1e6, "s"),
    "samples": Limit("count", 2, 20001),
    "tolerance": Limit("count", 1e-8, 1e-2),
    "pressure": Limit("pressure", 1.2e5, 50e5, "kPa absolute"),
    "temperature": Limit("temperature", 233.15, 353.15, "C"),
    "gas_constant": Limit("gas constant", 150.0, 4200.0, "J/(kg K)"),
    "mass": Limit("mass", 0.0, 50.0, "kg"),
    "displacement": Limit("volume flow", 1e-6, 1e-2, "L/min"),
    "ambient": Limit("temperature", 263.15, 323.15, "C"),
    "cylinder_temperature": Limit("temperature", 273.15, 328.15, "C"),
    "target": Limit("pressure", 2e4, 5e5, "kPa absolute"),
    "rest": Limit("time", 1.0, 86400.0, "s"),
    "pulls": Limit("count", 1, 10),
    "oil": Limit("mass", 0.0, 2.0, "kg"),
    "soak": Limit("temperature", 278.15, 348.15, "C"),
    "soak_humidity": Limit("humidity ratio", 0.0, 0.06),
    "running_duration": Limit("time", 10.0, 14400.0, "s"),
    "equal_within": Limit("pressure difference", 1e3, 2e5, "kPa"),
}


def checked(name: str, value: object, label: str | None = None) -> Value:
    """The value as a float or an array of floats inside its range, else `MachineError`."""
    return check(label or name, value, LIMITS[name])


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
