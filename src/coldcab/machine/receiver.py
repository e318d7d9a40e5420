"""The receiver-drier with its sight glass."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.machine.ops import Arithmetic, Value

ROUNDING = 0.03  # width of the corners between the three regimes
HIGHEST_QUALITY = 1.5  # of a drained receiver's outlet; above 1 it is superheated gas
DRAINING_RATE = 1.42  # so that the quality rises by 2.1 per unit of z at first

# Vapour share of the volume that flows through the glass, up to which it looks ... [limits invented].
GLASS = ((0.03, "clear"), (0.30, "bubbles"), (0.75, "foam"))
EMPTY_GLASS = "streaks"


@dataclass(frozen=True)
class ReceiverDrier:
    """``volume`` m3 of the bottle, ``resistance`` K of desiccant and strainer, ``inlet_resistance`` K of the way in.

    ``stratification`` is 0 for a perfectly mixed one. Of the bottle ``filled`` m3 are solid, desiccant and its frame,
    and ``unreachable`` m3 lie below the end of the pick-up tube: liquid stays there as long as any comes.

    One coordinate z runs through the regimes, their corners rounded, so no equation is ever switched:
    0 to 1 it is the liquid level; below 0 the receiver is drained and gas leaves with the liquid; above 1 it is full
    and liquid backs up into the condenser. The receiver is adiabatic and steady, so what enters leaves unchanged.
    ``stratification`` times the level adds a little subcooling (warm liquid floats); [invented].
    """

    volume: float
    resistance: float
    stratification: float = 0.05
    inlet_resistance: float = 2e8
    filled: float = 0.0
    unreachable: float = 0.0

    @property
    def room(self) -> float:
        """m3 for refrigerant."""
        return self.volume - self.filled

    @property
    def usable(self) -> float:
        """m3 in which the level moves."""
        return self.room - self.unreachable

    def left_below(self, ops: Arithmetic, quality: Value) -> Value:
        """m3 of liquid below the pick-up tube, beside an outlet of that ``quality``: dry gas carries it off."""
        return self.unreachable * ops.positive(1.0 - quality, 0.05)

    def level(self, ops: Arithmetic, z: Value) -> Value:
        """Liquid share of the volume."""
        return ROUNDING * (ops.softplus(z / ROUNDING) - ops.softplus((z - 1.0) / ROUNDING))

    def overfill(self, ops: Arithmetic, z: Value) -> Value:
        """How far z is above 1."""
        return ROUNDING * ops.softplus((z - 1.0) / ROUNDING)

    def outlet_quality(self, ops: Arithmetic, z: Value) -> Value:
        """Quality of what leaves a drained receiver."""
        return HIGHEST_QUALITY * (1.0 - ops.exp(-DRAINING_RATE * ROUNDING * ops.softplus(-z / ROUNDING)))

    def drop(self, flow: Value, volume: Value, factor: Value) -> Value:
        """Pressure loss over the desiccant, Pa: K m^2 v; the enthalpy stays."""
        return self.resistance * factor * flow * flow * volume
