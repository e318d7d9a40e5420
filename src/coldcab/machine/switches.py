"""Pressure switches, thermostat and the share of the time that the clutch is engaged."""

from __future__ import annotations

import math
from dataclasses import dataclass

from coldcab.machine.ops import Arithmetic, Value

# Bands in which a switch cycles the clutch. The circuit is solved with the mean flow, so the quantity hovers at its set
# point: what a cycling clutch does on average, but for the swing between cut-out and cut-in.
HIGH_PRESSURE_BAND = 0.12e5  # Pa
LOW_PRESSURE_BAND = 0.03e5
THERMOSTAT_BAND = 0.15  # K
LEAST_DUTY = 0.03  # what a cycling compressor still pumps, so that hopeless cases end at the relief valve
FURTHEST = 10.0  # bands from the set point beyond which nothing changes
RELIEF_FLOW = 0.05  # kg blown off per 0.1 bar above the relief pressure
RELIEF_BAND = 0.1e5


@dataclass(frozen=True)
class Switches:
    """Set points, Pa above the atmosphere (a switch compares with the air around it) and K. All [invented, typical].

    The compressor stops above ``high_cutout`` and below ``low_cutout`` until ``low_cutin`` is reached again; it stops
    when the fins are colder than ``thermostat`` until they are ``thermostat_span`` warmer. ``relief`` blows off.
    ``hover`` is the share of that span above the cut-out at which fins stand in the mean of a cycle.
    ``suction_rise`` and ``fin_rise`` are the time constants (s) of the low side and of the fins with the clutch off.
    """

    high_cutout: float = 26.0e5
    relief: float = 28.0e5
    low_cutout: float = 0.45e5
    low_cutin: float = 2.2e5
    thermostat: float = 273.65
    thermostat_span: float = 3.0
    hover: float = 0.0
    suction_rise: float = 22.0
    fin_rise: float = 30.0

    @property
    def lift(self) -> float:
        """K from the thermostat's cut-out to the fins' mean over a cycle."""
        return self.hover * self.thermostat_span

    def relieved(self, ops: Arithmetic, pressure: Value, relief: Value) -> Value:
        """kg that the relief valve has blown off when the head rests at ``pressure``."""
        return RELIEF_FLOW * ops.softplus((pressure - relief) / RELIEF_BAND)


def duty(ops: Arithmetic, bands: Value) -> Value:
    """Share of the time that a switch leaves the clutch engaged, ``bands`` short of its set point."""
    return LEAST_DUTY + (1.0 - LEAST_DUTY) / (1.0 + ops.exp(-bands))


def resting_time(ops: Arithmetic, rest: Value, off: Value, on: Value, rise: float) -> Value:
    """Seconds that a clutch rests which stops at ``off`` and starts again at ``on``; infinite if ``on`` is not reached.

    The quantity rises exponentially towards ``rest``: t = tau ln((rest - off) / (rest - on)).
    """
    reached = rest > on
    goal = ops.where(reached, rest, on + 1.0)
    return ops.where(reached, rise * ops.log((goal - ops.minimum(off, on)) / (goal - on)), math.inf)
