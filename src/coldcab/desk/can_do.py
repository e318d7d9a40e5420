"""The course's outcomes beside what a learner has shown: "what I can do", to print."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

from coldcab.desk.record import Line

SHOWN, BEGUN, OPEN = "shown", "begun", "open"
KEPT = 3
"""Box from which on an outcome counts as kept: right on three days, the last a week and more after the first."""


@dataclass(frozen=True)
class Outcome:
    """One thing that a lesson is for, worded to follow "I can", and the practice lines that show it."""

    lesson: str
    words: str
    lines: tuple[str, ...]

    def standing(self, known: Mapping[str, Line]) -> str:
        """Return "shown" if every line was right the last time, "begun" if one of them was, else "open"."""
        right = sum(label in known and known[label].status == "right" for label in self.lines)
        return SHOWN if right == len(self.lines) else BEGUN if right else OPEN

    def day(self, known: Mapping[str, Line]) -> str:
        """Return the latest day on which one of its lines was answered, or nothing."""
        return max((known[label].day for label in self.lines if label in known), default="")

    def kept(self, known: Mapping[str, Line]) -> bool:
        """Return whether it is shown and was right again on later days."""
        return self.standing(known) == SHOWN and all(known[label].box >= KEPT for label in self.lines)


@lru_cache(maxsize=1)
def outcomes() -> tuple[Outcome, ...]:
    """Return all outcomes, in the order of the course."""
    with files("coldcab.desk").joinpath("outcomes.csv").open(encoding="utf-8") as stream:
        return tuple(
            Outcome(row["lesson"], row["outcome"], tuple(row["lines"].split(";"))) for row in csv.DictReader(stream)
        )
