"""Weather, speed and the air that the machine is given."""

from __future__ import annotations

from dataclasses import dataclass, fields

from coldcab.machine.ops import Value
from coldcab.quantities import Check, ColdcabError, Limit


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


LIMITS = {
    "ambient": Limit("temperature", 278.15, 328.15, "C"),
    "relative_humidity": Limit("share", 0.0, 1.0, "%"),
    "altitude": Limit("altitude", -400.0, 4500.0, "m"),
    "engine_speed": Limit("speed", 8.0, 55.0, "rpm"),
    "blower": Limit("share", 0.25, 1.0, "%"),
    "fresh_air": Limit("share", 0.0, 1.0, "%"),
    "sun": Limit("irradiance", 0.0, 1200.0, "W/m2"),
    "occupants": Limit("people", 0.0, 4.0, "people"),
    "inlet_temperature": Limit("temperature", 283.15, 333.15, "C"),
    "inlet_relative_humidity": Limit("share", 0.0, 1.0, "%"),
}

NAMES = tuple(field.name for field in fields(Conditions))


class MachineError(ColdcabError):
    """A value that a machine cannot be run with; the message is one plain sentence."""


_CHECK = Check(MachineError)


def check(name: str, value: object, limit: Limit, where: str = "") -> Value:
    """The value as a float or array of floats inside its limit, else `MachineError`; ``where`` ends the range."""
    return _CHECK.value(name, value, limit, where)
