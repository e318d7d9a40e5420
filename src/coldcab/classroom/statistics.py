"""What the numbers of a sheet say about its lines: how hard, how telling, how reliable, and which misbehave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

FEWEST = 10
"""Sheets below which nothing is said about how telling a line is: chance would speak."""

HARD, EASY = 0.2, 0.98
"""Share of the points at which hardly anybody, or nearly everybody, gets a line right."""

TELLING = 0.15
"""Correlation with the rest of the sheet below which a line tells nothing; common practice, no source."""

MANY = 0.25
"""Share of sheets from which on something is no accident."""


@dataclass(frozen=True)
class Line:
    """One line of a sheet over a class: counts, and figures where there are enough sheets for them.

    ``difficulty`` is the mean share of the points (1 is easy); ``discrimination`` the correlation of the line with
    the rest of the sheet, None where it cannot be told; ``remarks`` say what an author should look at.
    """

    label: str
    sheets: int
    right: int
    ideas: int
    wrong: int
    blank: int
    unreadable: int
    difficulty: float
    discrimination: float | None
    remarks: tuple[str, ...] = ()

    @property
    def tried(self) -> int:
        """Return how many wrote something."""
        return self.sheets - self.blank


def reliability(points: np.ndarray) -> float | None:
    """Return Cronbach's alpha of a sheet: how far its lines measure the same thing.

    Parameters
    ----------
    points
        Points, one row a learner and one column a line.

    Returns
    -------
    float or None
        At most 1; None for fewer than two lines or learners, or where all have the same total.

    Notes
    -----
    L. J. Cronbach, "Coefficient alpha and the internal structure of tests", Psychometrika 16 (1951), 297-334, eq. 2.
    """
    learners, lines = points.shape
    if learners < 2 or lines < 2:
        return None
    total = points.sum(axis=1).var(ddof=1)
    if total <= 1e-12:
        return None
    return float(lines / (lines - 1) * (1 - points.var(axis=0, ddof=1).sum() / total))


def discriminations(points: np.ndarray) -> list[float | None]:
    """Return for every line the correlation of its points with those of all other lines together.

    The line itself is left out of the rest, since it would otherwise correlate with itself. None where a line or its
    rest is the same for everybody.
    """
    total = points.sum(axis=1)
    found: list[float | None] = []
    for column in points.T:
        rest = total - column
        if min(column.std(), rest.std()) <= 1e-9:
            found.append(None)
        else:
            found.append(float(np.corrcoef(column, rest)[0, 1]))
    return found


def analyze(labels: Sequence[str], out_of: Sequence[float], points: np.ndarray, statuses: np.ndarray) -> list[Line]:
    """Return figures and remarks for every line.

    Parameters
    ----------
    labels
        Names of the lines.
    out_of
        Points that can be had for each.
    points
        Points, one row a learner and one column a line.
    statuses
        What each line was: right, idea, wrong, blank or unreadable; same shape.
    """
    sheets = len(points)
    telling = discriminations(points) if sheets >= FEWEST else [None] * len(labels)
    found = []
    for number, label in enumerate(labels):
        counts = {each: int((statuses[:, number] == each).sum())
                  for each in ("right", "idea", "wrong", "blank", "unreadable")}  # fmt: skip
        share = float(points[:, number].mean() / out_of[number]) if sheets and out_of[number] else 0.0
        line = Line(
            label, sheets, counts["right"], counts["idea"], counts["wrong"], counts["blank"], counts["unreadable"],
            share, telling[number],
        )  # fmt: skip
        found.append(Line(**{**line.__dict__, "remarks": _remarks(line)}))
    return found


def _remarks(line: Line) -> tuple[str, ...]:
    """Say in plain sentences what may be wrong with a line, not with the learners."""
    if line.sheets < FEWEST:
        return ()
    remarks = []
    if line.unreadable >= MANY * line.sheets:
        remarks.append(f"{line.unreadable} of {line.sheets} could not be read: is it clear what to write?")
    if line.blank >= MANY * line.sheets:
        remarks.append(f"{line.blank} of {line.sheets} left it empty: too long, too late, or not understood?")
    if line.wrong >= MANY * line.sheets:
        remarks.append(f"{line.wrong} of {line.sheets} wrote a value that no known idea explains: ask them how.")
    if line.difficulty < HARD:
        remarks.append("hardly anybody gets it: look at the question, the key and the lesson")
    elif line.difficulty > EASY:
        remarks.append("nearly everybody gets it: it tells nobody apart")
    if line.discrimination is not None and line.discrimination < TELLING:
        how = "do worse on it" if line.discrimination < -TELLING else "do no better on it"
        remarks.append(f"who is good at the rest {how}: look at the question and the key")
    return tuple(remarks)
