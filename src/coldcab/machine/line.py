"""Hoses and pipes: they cost pressure and trade heat with the air around them."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.machine.ops import Arithmetic, Value


@dataclass(frozen=True)
class Line:
    """A hose or pipe.

    ``resistance`` K in dp = K m^2 v (Pa, kg/s, m3/kg: turbulent flow, friction factor taken constant), ``volume`` m3,
    ``conductance`` W/K to the air around it.
    """

    resistance: float
    volume: float
    conductance: float = 0.0

    def drop(self, flow: Value, volume: Value) -> Value:
        """Pressure loss, Pa, at a mass flow (kg/s) and specific volume (m3/kg)."""
        return self.resistance * flow * flow * volume

    def warming(self, ops: Arithmetic, flow: Value, heat_capacity: Value, difference: Value) -> Value:
        """Heat taken up per kilogram, J/kg, with air ``difference`` K warmer: cp (1 - exp(-UA / (m cp))) dT.

        Bounded however small the flow is. Source: heat exchanger with one side at constant temperature, textbook.
        """
        return heat_capacity * (1.0 - ops.exp(-self.conductance / (flow * heat_capacity))) * difference
