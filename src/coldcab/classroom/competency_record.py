"""A page for each learner to print and sign: tasks of public lists, by which sheets they were shown, and when.

It says what was shown on paper, with made-up machines; that somebody can do it at a machine, a person sees and signs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import groupby
from pathlib import Path
from typing import Any

from coldcab.classroom.competencies import Competency, Sheets, competencies, safe, shown
from coldcab.classroom.folder import ClassError, ClassFolder, environment_on_path
from coldcab.classroom.gradebook import sheet_book
from coldcab.classroom.grading import survey
from coldcab.classroom.printing import write_pdf
from coldcab.classroom.roster import Learner
from coldcab.words import _


@dataclass(frozen=True)
class Row:
    """One task on a learner's record: on which sheets it was shown, when last, and the share of their points."""

    competency: Competency
    sheets: tuple[str, ...]
    when: str
    share: float | None


@dataclass(frozen=True)
class LearnerRecord:
    """A learner's record; ``safe`` is how many safety lines were right, and of how many."""

    learner: Learner
    rows: tuple[Row, ...]
    safe: tuple[int, int] | None


def record_of(
    learner: Learner,
    tasks: tuple[Competency, ...],
    sheets: Sheets,
    days: dict[tuple[str, str], str],
) -> LearnerRecord:
    """Return the record of one learner; ``days`` says when a sheet of a learner was handed in."""
    rows = []
    for task in tasks:
        points = shown(task, learner.id, sheets)
        done = tuple(name for name in task.sheets if shown(replace(task, sheets=(name,)), learner.id, sheets))
        when = max((days[name, learner.id] for name in done), default="")
        rows.append(Row(task, done, when, points[0] / points[1] if points else None))
    return LearnerRecord(learner, tuple(rows), safe(learner.id, sheets))


ABOUT = _(
    "What was shown on the course's sheets, with made-up machines. Work at a machine counts only when somebody has "
    "seen it and signs. Task wording is ours; check the current edition of a list before you quote it."
)
HEADS = (_("task"), _("shown by"), _("when"), _("points"), _("seen at a machine: date, signature"))


def write_record_pages(folder: ClassFolder, size: str = "letter") -> tuple[Path, int]:
    """Write the records of all learners into one PDF file to print; return it and how many there are.

    Raises
    ------
    ClassError
        If the class has no competency lists.
    """
    tasks = competencies(folder.path)
    if not tasks:
        raise ClassError("This class has no lessons/competencies.csv; copy it from the teaching material.")
    names = folder.choose((), folder.released(), "Release one first: coldcab class release.")
    sheets = {name: {each.learner.id: each for each in survey(folder, name)} for name in names}
    days: dict[tuple[str, str], str] = {}
    for name in names:
        with environment_on_path(), sheet_book(folder, name) as book:
            days |= {(name, who): entry.day(folder.settings.zone) for who, entry in book.entries().items()}
    records = [record_of(learner, tasks, sheets, days) for learner in folder.learners()]
    contents = {
        "title": _("Competency records, {term}").format(term=folder.term),
        "term": folder.term,
        "about": ABOUT,
        "heads": HEADS,
        "instructor": _("Instructor"),
        "date": _("Date"),
        "people": [_on_paper(record) for record in records],
    }
    return write_pdf(folder, folder.path / "paper" / "competency-records.pdf", "records", contents, size), len(records)


def _on_paper(record: LearnerRecord) -> dict[str, Any]:
    """A learner's record as it is filled into the page."""
    right = _("Safety lines right: {right} of {lines}.")
    return {
        "name": record.learner.name,
        "id": record.learner.id,
        "lists": [
            {"name": name, "rows": [_row(row) for row in rows]}
            for name, rows in groupby(record.rows, key=lambda row: row.competency.list)
        ],
        "safe": right.format(right=record.safe[0], lines=record.safe[1]) if record.safe else
        _("No safety line handed in yet."),
    }  # fmt: skip


def _row(row: Row) -> dict[str, str]:
    points = "" if row.share is None else f"{100 * row.share:.0f} %"
    return {"task": row.competency.name, "sheets": ", ".join(row.sheets), "when": row.when, "points": points}
