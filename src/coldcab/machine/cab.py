"""The cab: what warms it, and the heater valve."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from coldcab.machine.ops import Value

INFILTRATION = 0.006  # kg/s of outside air through doors and floor [invented]
OCCUPANT_HEAT = 80.0  # W of sensible heat of one person driving [from memory, the usual figure of ASHRAE Fundamentals]
OCCUPANT_WATER = 2.2e-5  # kg/s of one person driving [from memory, likewise]
COOLANT_TEMPERATURE = 361.15  # K, thermostat of a warm engine [typical]
ENGINE_WALL = 363.15  # K, beside the cab [invented]
FULL_SUN = 1000.0  # W/m2, the usual round figure of clear weather


@dataclass(frozen=True)
class Cab:
    """``conductance`` W/K of walls and glass, ``solar`` W taken in at 1000 W/m2, ``engine_conductance`` W/K to a warm
    engine wall, ``heater_conductance`` W/K of the heater core."""

    conductance: float = 55.0
    solar: float = 1300.0
    engine_conductance: float = 14.0
    heater_conductance: float = 220.0

    def heat(self, ambient: Value, inside: Value, setting: Any, heat_capacity: Value) -> Value:
        """W that flow into the cab from outside, sun, people and the engine."""
        walls = (self.conductance + INFILTRATION * heat_capacity) * (ambient - inside)
        sun = self.solar * setting.sun / FULL_SUN
        return walls + sun + OCCUPANT_HEAT * setting.occupants + self.engine_conductance * (ENGINE_WALL - inside)

    def water(self, ambient: Value, inside: Value, setting: Any) -> Value:
        """kg/s of water vapour that enter; arguments are humidity ratios."""
        return INFILTRATION * (ambient - inside) + OCCUPANT_WATER * setting.occupants

    def heater(self, ops: Any, air: Value, stream: Value, setting: Any) -> Value:
        """K by which a heater valve that does not close warms the air; ``stream`` is its m cp in W/K."""
        conductance = setting.heater_leak * self.heater_conductance
        return (1.0 - ops.exp(-conductance / stream)) * (COOLANT_TEMPERATURE - air)
