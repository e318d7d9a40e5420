"""A page for each learner to print and sign: tasks of public lists, by which sheets they were shown, and when.

It says what was shown on paper, with made-up machines; that somebody can do it at a machine, a person sees and signs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from coldcab.classroom.competencies import Competency, Sheets, competencies, safe, shown
from coldcab.classroom.folder import ClassError, ClassFolder, environment_on_path, own_folder, write_file
from coldcab.classroom.gradebook import sheet_book
from coldcab.classroom.grading import survey
from coldcab.classroom.pages import TEMPLATES
from coldcab.classroom.roster import Learner


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


def write_record_pages(folder: ClassFolder) -> tuple[Path, int]:
    """Write the records of all learners into one file to print; return it and how many there are.

    Raises
    ------
    ClassError
        If the class has no competency lists.
    """
    import jinja2

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
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES / "paper"), autoescape=True, undefined=jinja2.StrictUndefined
    )
    text = environment.get_template("records.html.j2").render(term=folder.term, records=records)
    file = own_folder(folder.path, "paper") / "competency-records.html"
    write_file(file, text.encode())
    return file, len(records)
