"""Due times, extensions and what a late sheet loses, brought up to date in the gradebook by nbgrader's own step."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import UTC, datetime

from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.gradebook import Entry, SheetBook, sheet_book
from coldcab.classroom.nbgrader_process import load_configuration, one_gradebook_engine
from coldcab.classroom.settings import Late

DAY = 86_400
"""Seconds."""


def share_off(rule: Late, seconds_late: float) -> float:
    """Return the share of its points that a sheet loses: so many per cent for each day begun."""
    return min(rule.most, rule.percent_a_day * math.ceil(seconds_late / DAY)) / 100


def out_of_date(folder: ClassFolder, names: Sequence[str]) -> list[str]:
    """Return the sheets on which points were given, or time, since it was worked out last what being late costs."""
    settings = folder.settings
    if not settings.late.percent_a_day:
        return []
    found = []
    for name in names:
        due = settings.due_time(name)
        with sheet_book(folder, name) as book:
            entries, known = book.entries(), book.due
        owed = ((entry.score + entry.penalty) * share_off(settings.late, entry.seconds_late) - entry.penalty
                for entry in entries.values())  # fmt: skip
        if entries and (known != _plain(due) or any(abs(each) > 1e-6 for each in owed)):
            found.append(name)
    return found


def with_time(folder: ClassFolder, book: SheetBook) -> dict[str, Entry]:
    """Bring due time, extensions and what is taken off for being late up to date; return the sheet's entries."""
    name, settings = book.name, folder.settings
    due = settings.due_time(name)
    book.set_due(due.astimezone(UTC).replace(tzinfo=None) if due else None)
    book.set_extensions({who: _plain(settings.due_time_of(name, who)) for who in settings.extensions.get(name, {})})
    entries = book.entries()
    if late := [who for who, entry in entries.items() if entry.seconds_late or entry.penalty]:
        take_off(folder, name, late)
        return book.entries()
    return entries


def _plain(moment: datetime | None) -> datetime | None:
    return moment.astimezone(UTC).replace(tzinfo=None) if moment else None


def take_off(folder: ClassFolder, name: str, late: list[str]) -> None:
    """Let nbgrader's own step take points off, as the configuration of the class says, and give back what was wrong."""
    from nbformat.v4 import new_notebook
    from nbgrader.preprocessors import AssignLatePenalties

    step = AssignLatePenalties(config=load_configuration(folder))
    about = {"notebook": name, "assignment": name, "db_url": folder.gradebook_url}
    with one_gradebook_engine():
        for learner in late:
            step.preprocess(new_notebook(), {"nbgrader": {**about, "student": learner}})
