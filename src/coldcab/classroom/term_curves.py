"""The term as curves: how each learner, and the class, stands on each outcome after every sheet that was handed in.

An outcome is a task of the competency lists (``lessons/competencies.csv``); ``all sheets`` is one more. A point of a
curve is the share of all points that the sheets of an outcome have earned up to that day; what was taken off for being
late counts as earned.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median_low

from coldcab.classroom.competencies import Competency, Sheets, whole
from coldcab.classroom.exporting import harmless
from coldcab.classroom.roster import Learner

ALL = "all sheets"
"""The outcome that every sheet serves."""


@dataclass(frozen=True)
class Step:
    """One sheet on a curve: its day, its points, and the share of the points of all sheets up to it."""

    sheet: str
    day: str
    points: float
    out_of: float
    so_far: float

    @property
    def share(self) -> float:
        """Return the share of the points of this sheet alone."""
        return self.points / self.out_of if self.out_of else 0.0


@dataclass(frozen=True)
class Curve:
    """What one learner has shown of one outcome, in the order of the days."""

    learner: str
    outcome: str
    steps: tuple[Step, ...]

    @property
    def now(self) -> float | None:
        """Return the share of all points so far, or None where nothing has been handed in."""
        return self.steps[-1].so_far if self.steps else None

    @property
    def rise(self) -> float | None:
        """Return how much better the later half of the sheets was than the earlier; None with fewer than four."""
        if len(self.steps) < 4:
            return None
        half = len(self.steps) // 2
        first, last = self.steps[:half], self.steps[-half:]
        return sum(each.share for each in last) / half - sum(each.share for each in first) / half


Days = Mapping[tuple[str, str], str]
"""The day on which a sheet of a learner was handed in, by sheet and learner."""


def curve(learner: str, outcome: str, names: Iterable[str], sheets: Sheets, days: Days) -> Curve:
    """Return the curve of one learner over these sheets; a sheet whose score is not whole is not on it."""
    done = [(days.get((name, learner), ""), number, name, found)
            for number, name in enumerate(names)
            if (found := whole(sheets.get(name, {}).get(learner)))]  # fmt: skip
    steps, points, out_of = [], 0.0, 0.0
    for day, _, name, found in sorted(done, key=lambda each: each[:2]):
        mine, most = found.earned, found.out_of or 0.0
        points, out_of = points + mine, out_of + most
        steps.append(Step(name, day, mine, most, points / out_of if out_of else 0.0))
    return Curve(learner, outcome, tuple(steps))


def served(tasks: Sequence[Competency], names: Sequence[str]) -> dict[str, tuple[str, ...]]:
    """Return the outcomes that these sheets serve, each with its sheets in the order of ``names``; all sheets first."""
    found = {ALL: tuple(names)}
    for task in tasks:
        if mine := tuple(name for name in names if name in task.sheets):
            found[task.name] = mine
    return found


def curves(
    learners: Sequence[Learner], outcomes: Mapping[str, Sequence[str]], sheets: Sheets, days: Days
) -> list[Curve]:
    """Return every curve of a class, learner by learner."""
    return [
        curve(learner.id, outcome, names, sheets, days) for learner in learners for outcome, names in outcomes.items()
    ]


def place_in(term: tuple[str, str], day: str) -> float:
    """Return where a day lies between the first and the last of a term, 0 to 1."""
    first, last, mine = (date.fromisoformat(each) for each in (*term, day))
    return (mine - first).days / max(1, (last - first).days)


def by_day(names: Sequence[str], found: Sequence[Curve]) -> tuple[str, ...]:
    """Return sheets in the order in which the class handed them in, by the day in the middle of all its days."""
    days: dict[str, list[str]] = {name: [] for name in names}
    for each in found:
        for step in each.steps if each.outcome == ALL else ():
            days.setdefault(step.sheet, []).append(step.day)
    return tuple(sorted(names, key=lambda name: median_low(days[name]) if days[name] else "9"))


def of_the_class(outcome: str, names: Sequence[str], found: Sequence[Curve]) -> list[tuple[str, float, int]]:
    """Return for each sheet of an outcome the mean share of its points, and how many have handed it in."""
    shares: dict[str, list[float]] = {name: [] for name in names}
    for each in found:
        if each.outcome == outcome:
            for step in each.steps:
                shares[step.sheet].append(step.share)
    return [(name, sum(mine) / len(mine), len(mine)) for name, mine in shares.items() if mine]


def table(learners: Sequence[Learner], found: Sequence[Curve]) -> str:
    """Return all curves as CSV: one line for each learner, outcome and sheet."""
    names = {learner.id: learner for learner in learners}
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(("id", "first_name", "last_name", "outcome", "day", "sheet", "points", "out_of", "so_far_percent"))
    for each in found:
        who = names[each.learner]
        for step in each.steps:
            words = map(harmless, (who.id, who.first_name, who.last_name, each.outcome, step.day, step.sheet))
            out.writerow((*words, f"{step.points:g}", f"{step.out_of:g}", f"{100 * step.so_far:.4g}"))
    return text.getvalue()
