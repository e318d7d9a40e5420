"""A record for each learner to print and sign: tasks of public lists, the course's own outcomes, how and when shown.

It says what was shown on paper, with made-up machines; that somebody can do it at a machine, a person sees and signs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any

from coldcab.classroom import intake
from coldcab.classroom.competencies import Competency, Sheets, competencies, safe, shown, whole
from coldcab.classroom.exporting import harmless, table_text
from coldcab.classroom.folder import ClassError, ClassFolder, environment_on_path, write_file
from coldcab.classroom.forms import form_of
from coldcab.classroom.gradebook import Entry, sheet_book
from coldcab.classroom.grading import survey
from coldcab.classroom.inbox import Outcome
from coldcab.classroom.printing import write_pdf
from coldcab.classroom.roster import Learner
from coldcab.desk.can_do import Outcome as Ability
from coldcab.desk.can_do import outcomes
from coldcab.words import _

Safety = tuple[int, int] | None
"""How many safety lines are right, and of how many; None where there is none."""


@dataclass(frozen=True)
class AbilityShown:
    """One outcome of the course as the lines of a sheet show it: the share of their points, their safety lines."""

    words: str
    share: float | None
    safety: Safety


@dataclass(frozen=True)
class SheetShown:
    """One sheet of a learner: the day on which it was handed in, the share of its points, what it shows."""

    name: str
    day: str
    share: float
    safety: Safety
    abilities: tuple[AbilityShown, ...] = ()


@dataclass(frozen=True)
class Row:
    """One task on a learner's record: the sheets that show it, and the share of the points of all of them."""

    competency: Competency
    sheets: tuple[SheetShown, ...]
    share: float | None


@dataclass(frozen=True)
class LearnerRecord:
    """A learner's record: tasks of public lists, sheets with the outcomes of the course, safety lines of all sheets."""

    learner: Learner
    rows: tuple[Row, ...]
    sheets: tuple[SheetShown, ...]
    safety: Safety


def ability_shown(ability: Ability, outcome: Outcome, entry: Entry, cells: Mapping[str, str]) -> AbilityShown:
    """Return what the lines of one outcome show, with the points as they stand in the gradebook.

    ``cells`` names the cell that checks each line.
    """
    points = [found for line in ability.lines if (found := entry.points.get(cells.get(line, "")))]
    out_of = sum(each.out_of for each in points)
    lines = [mark.label for mark in outcome.marks if mark.safety and mark.label in ability.lines]
    right = len(lines) - sum(line in outcome.unsafe for line in lines)
    share = sum(each.score for each in points) / out_of if out_of else None
    return AbilityShown(ability.words, share, (right, len(lines)) if lines else None)


@dataclass(frozen=True)
class _Sheet:
    """One sheet of the class: outcomes and entries of the gradebook by learner, the cell that checks each line."""

    name: str
    outcomes: Mapping[str, Outcome]
    entries: Mapping[str, Entry]
    cells: Mapping[str, str]
    zone: str

    def shown(self, learner: str) -> SheetShown | None:
        """Return what one learner has shown; None where nothing is marked as a whole."""
        found, entry = whole(self.outcomes.get(learner)), self.entries.get(learner)
        if found is None or entry is None:
            return None
        own = (each for each in outcomes() if each.lesson == self.name)
        abilities = tuple(ability_shown(each, found, entry, self.cells) for each in own)
        share = found.earned / found.out_of if found.out_of else 0.0
        return SheetShown(self.name, entry.day(self.zone), share, found.safety, abilities)


def record_of(learner: Learner, tasks: Sequence[Competency], found: Sequence[_Sheet]) -> LearnerRecord:
    """Return the record of one learner over the sheets of a class."""
    done = {sheet.name: mine for sheet in found if (mine := sheet.shown(learner.id))}
    sheets: Sheets = {sheet.name: sheet.outcomes for sheet in found}
    rows = []
    for task in tasks:
        points = shown(task, learner.id, sheets)
        mine = tuple(done[name] for name in task.sheets if name in done)
        rows.append(Row(task, mine, points[0] / points[1] if points else None))
    return LearnerRecord(learner, tuple(rows), tuple(done.values()), safe(learner.id, sheets))


ABOUT = _(
    "What was shown on the course's sheets, with made-up machines, in per cent of the points. Work at a machine counts "
    "only when somebody has seen it and signs. Task wording is ours; check the current edition of a list before you "
    "quote it."
)
HEADS = (_("task"), _("shown by: sheet, day, points"), _("together"), _("seen at a machine: date, signature"))
ABILITIES = _("How it was shown: the outcomes of the course")
ABILITY_HEADS = (_("sheet, day"), _("can"), _("points"), _("safety lines right"))


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
    found = [_sheet(folder, name) for name in names]
    records = [record_of(learner, tasks, found) for learner in folder.learners()]
    contents = {
        "title": _("Competency records, {term}").format(term=folder.term),
        "term": folder.term,
        "about": ABOUT,
        "heads": HEADS,
        "abilities": ABILITIES,
        "ability_heads": ABILITY_HEADS,
        "instructor": _("Instructor"),
        "date": _("Date"),
        "people": [_on_paper(record, names) for record in records],
    }
    file = write_pdf(folder, folder.path / "paper" / "competency-records.pdf", "records", contents, size)
    write_file(file.with_suffix(".csv"), figures(records).encode())
    return file, len(records)


def figures(records: Sequence[LearnerRecord]) -> str:
    """Return the records as CSV: one line for each outcome of each sheet of each learner, with the tasks it serves."""
    rows: list[Sequence[str]] = [("id", "first_name", "last_name", "sheet", "day", "outcome", "percent", "safety_right",
                                  "safety_lines", "tasks")]  # fmt: skip
    for record in records:
        who = [harmless(word) for word in (record.learner.id, record.learner.first_name, record.learner.last_name)]
        tasks = {sheet.name: [row.competency.name for row in record.rows if sheet in row.sheets]
                 for sheet in record.sheets}  # fmt: skip
        for sheet in record.sheets:
            for each in sheet.abilities:
                percent = "" if each.share is None else f"{100 * each.share:.4g}"
                safety = map(str, each.safety or ("", ""))
                served = harmless("; ".join(tasks[sheet.name]))
                rows.append((*who, sheet.name, sheet.day, each.words, percent, *safety, served))
    return table_text(rows)


def _sheet(folder: ClassFolder, name: str) -> _Sheet:
    found = {each.learner.id: each for each in survey(folder, name)}
    with environment_on_path(), sheet_book(folder, name) as book:
        entries = book.entries()
    return _Sheet(name, found, entries, intake.lines_checked(form_of(folder, name)["cells"]), folder.settings.zone)


def _on_paper(record: LearnerRecord, names: Sequence[str]) -> dict[str, Any]:
    """A learner's record as it is filled into the page."""
    done = {sheet.name for sheet in record.sheets}
    open_ = ", ".join(name for name in names if name not in done)
    return {
        "name": record.learner.name,
        "id": record.learner.id,
        "lists": [
            {"name": name, "rows": [_row(row) for row in rows]}
            for name, rows in groupby(record.rows, key=lambda row: row.competency.list)
        ],
        "sheets": [_told(sheet) for sheet in record.sheets],
        "open": _("Not shown yet: {sheets}.").format(sheets=open_) if open_ else "",
        "safe": _("Safety lines right: {right} of {lines}.").format(right=record.safety[0], lines=record.safety[1])
        if record.safety else _("No safety line handed in yet."),
    }  # fmt: skip


def _row(row: Row) -> dict[str, str]:
    by = "\n".join(f"{each.name}, {each.day}, {_percent(each.share)}" for each in row.sheets)
    return {"task": row.competency.name, "by": by, "points": _percent(row.share) if len(row.sheets) > 1 else ""}


def _told(sheet: SheetShown) -> dict[str, Any]:
    together = AbilityShown(_("the whole sheet, its written answer, too"), sheet.share, sheet.safety)
    rows = [{"can": each.words, "points": _percent(each.share), "safe": _of(each.safety)}
            for each in (*sheet.abilities, together)]  # fmt: skip
    return {"name": sheet.name, "day": sheet.day, "rows": rows}


def _percent(share: float | None) -> str:
    return "" if share is None else f"{100 * share:.0f} %"


def _of(safety: Safety) -> str:
    return _("{right} of {lines}").format(right=safety[0], lines=safety[1]) if safety else ""
