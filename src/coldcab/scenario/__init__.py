"""The invented shop: its fleet, and the numbers that each learner gets from assignment, term and id."""

from __future__ import annotations

from functools import partial
from typing import Any

from coldcab.scenario import cycle_1, cycle_2
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import FLEET, Unit

__all__ = ["CASES", "FLEET", "Draw", "Unit", "case"]

CASES = {
    "cycle-1": cycle_1.draw_case,
    "cycle-2": cycle_2.draw_case,
    # Practice draws from names of its own, so that it never shows a learner's graded numbers.
    "practice-cycle-1": partial(cycle_1.draw_case, assignment="practice-cycle-1"),
    "practice-cycle-2": partial(cycle_2.draw_case, assignment="practice-cycle-2"),
}


def case(assignment: str, term: str, learner: str) -> Any:
    """Return the numbers that ``learner`` gets in ``assignment`` during ``term``.

    Raises
    ------
    ValueError
        If there is no such assignment.
    """
    if assignment not in CASES:
        raise ValueError(f"There is no assignment named {assignment!r}; there are {', '.join(CASES)}.")
    return CASES[assignment](term, learner)
