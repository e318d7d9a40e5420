"""The invented shop: its fleet, and the numbers that each learner gets from assignment, term and id."""

from __future__ import annotations

from typing import Any

from coldcab.lessons import Pages
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import FLEET, Unit
from coldcab.scenario.showing import shown

__all__ = ["CASES", "FLEET", "PRACTICE_PREFIX", "Draw", "Unit", "case", "shown"]

PRACTICE_PREFIX = "practice-"
"""Practice draws from names of its own, so that it never shows a learner's graded numbers."""

CASES = Pages("coldcab.scenario", "draw_case")
"""How the numbers of each lesson are drawn: ``draw_case(term, learner, *, assignment)``; one module a lesson."""


def case(assignment: str, term: str, learner: str) -> Any:
    """Return the numbers that ``learner`` gets in ``assignment`` during ``term``.

    Raises
    ------
    ValueError
        If there is no such assignment.
    """
    lesson = assignment.removeprefix(PRACTICE_PREFIX)
    if lesson not in CASES:
        raise ValueError(f"There is no assignment named {assignment!r}; there are {', '.join(CASES)}.")
    return CASES[lesson](term, learner, assignment=assignment)
