"""What a term shows: public competency lists beside the sheets that serve them, and the lines about people's safety.

The lists are a small table of the class, ``lessons/competencies.csv``; a class that has none has no such columns.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from coldcab.classroom.inbox import GRADED, UNCHANGED, Outcome
from coldcab.classroom.material import LESSON_FOLDERS
from coldcab.classroom.settings import ClassError

COMPETENCIES = "competencies.csv"


@dataclass(frozen=True)
class Competency:
    """One task of a public list, in our own words, and the sheets that serve it."""

    list: str
    code: str
    task: str
    sheets: tuple[str, ...]

    @property
    def name(self) -> str:
        """Return the task with its code, as a heading of a column."""
        return f"{self.code} {self.task}".removeprefix("- ")


def competencies(place: Path) -> tuple[Competency, ...]:
    """Return the competency lists of a class.

    Raises
    ------
    ClassError
        If the table cannot be read.
    """
    rows = _rows(place / LESSON_FOLDERS / COMPETENCIES, ("list", "code", "task", "lessons"))
    return tuple(Competency(row["list"], row["code"], row["task"], tuple(row["lessons"].split())) for row in rows)


def _rows(file: Path, columns: tuple[str, ...]) -> list[dict[str, str]]:
    if not file.is_file():
        return []
    try:
        with file.open(encoding="utf-8-sig", newline="") as stream:
            rows = list(csv.DictReader(stream))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise ClassError(f"{file} cannot be read ({error}); take the teaching material's again.") from None
    if any(row.get(column) is None for row in rows for column in columns):
        raise ClassError(f"{file} needs the columns {', '.join(columns)} in every line; mend it.")
    return rows


Sheets = Mapping[str, Mapping[str, Outcome]]
"""Outcomes by sheet and by learner."""


def shown(competency: Competency, learner: str, sheets: Sheets) -> tuple[float, float] | None:
    """Return points and possible points of one learner on the sheets of a competency; None where none is done.

    What somebody can do is not less because it came late, so nothing is taken off here.
    """
    done = [each for name in competency.sheets if (each := whole(sheets.get(name, {}).get(learner)))]
    if not done:
        return None
    return sum(each.earned for each in done), sum(each.out_of or 0.0 for each in done)


def safe(learner: str, sheets: Sheets) -> tuple[int, int] | None:
    """Return how many safety lines one learner has right, and of how many handed in; None where none is done."""
    done = [found.safety for by_learner in sheets.values() if (found := by_learner.get(learner)) and found.safety]
    return (sum(right for right, _ in done), sum(lines for _, lines in done)) if done else None


def whole(outcome: Outcome | None) -> Outcome | None:
    """Return an outcome whose score is whole: graded, and nothing in it waits."""
    if outcome is None or outcome.score is None or outcome.to_read or outcome.status not in (GRADED, UNCHANGED):
        return None
    return outcome
