"""How a maker finds the charge for the label: fill step by step on the hottest day and watch glass and head."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldcab.machine.conditions import Conditions, MachineError
from coldcab.machine.layout import Machine
from coldcab.machine.readings import Readings
from coldcab.machine.receiver import GLASS
from coldcab.machine.simulate import charge_range, simulate_many
from coldcab.quantities import PSI

HOTTEST_DAY = Conditions(ambient=316.15, relative_humidity=0.25, inlet_temperature=308.15)  # 43 C, doors open
HEAD_RISE = 3 * PSI  # Pa: 3 psi, what a technician takes for "the head goes up"
BETWEEN = 0.6  # of the way from clear glass to rising head [invented: a little nearer to the head]
LABEL_STEP = 0.02  # kg, to which labels are rounded
STEPS = 81
LEAST_SHARE, MOST_SHARE = 0.08, 0.75  # of the largest charge that fits, over which the curve is taken


@dataclass(frozen=True)
class ChargeDetermination:
    """A charge curve and what is read off it.

    ``charges`` kg and their ``readings``; kg at which the ``glass_clear`` and the ``head_rises`` 3 psi above what it
    was then; ``label`` kg in between, rounded.
    """

    charges: np.ndarray
    readings: Readings
    glass_clear: float
    head_rises: float
    label: float


def charge_determination(
    machine: Machine, refrigerant: str | None = None, conditions: Conditions = HOTTEST_DAY
) -> ChargeDetermination:
    """Find the charge that the label of a machine should give.

    Parameters
    ----------
    machine : its own charge is not used. refrigerant : its own if left out. conditions : the hottest day.

    Returns
    -------
    ChargeDetermination: the least charge above which the sight glass stays clear, the charge at which the high side
    stands 3 psi higher than at that, and a label 0.6 of the way from one to the other in steps of 20 g.

    Raises
    ------
    MachineError : the glass does not clear, or the head does not rise. UnknownRefrigerant.

    Source
    ------
    Common practice of makers (charge to clear glass, then until subcooling or head rises, label in between).
    """
    refrigerant = refrigerant or machine.refrigerant
    most = charge_range(machine, refrigerant)[1]
    charges = np.linspace(LEAST_SHARE, MOST_SHARE, STEPS) * most
    readings = simulate_many(machine, conditions, refrigerant=refrigerant, charge=charges)
    limit = GLASS[0][0]
    foaming = np.flatnonzero(~(readings.glass_void < limit))
    if not foaming.size or foaming[-1] == STEPS - 1:
        raise MachineError(f"{machine.name}: the sight glass does not clear once; choose another receiver or day.")
    k = int(foaming[-1])
    clear = _crossing(charges, readings.glass_void, k, limit)
    head_then = float(np.interp(clear, charges, readings.high_pressure))
    above = readings.high_pressure - head_then - HEAD_RISE
    higher = np.flatnonzero((charges > clear) & (above > 0))
    if not higher.size:
        raise MachineError(f"{machine.name}: the head does not rise up to {charges[-1]:.2f} kg; choose another day.")
    rises = _crossing(charges, above, int(higher[0]) - 1, 0.0)
    label = round((clear + BETWEEN * (rises - clear)) / LABEL_STEP) * LABEL_STEP
    return ChargeDetermination(charges, readings, clear, rises, round(label, 2))


def _crossing(x: np.ndarray, y: np.ndarray, k: int, goal: float) -> float:
    """Where a straight line from point k to the next passes a value."""
    return float(x[k] + (goal - y[k]) / (y[k + 1] - y[k]) * (x[k + 1] - x[k]))
