"""Due times, extensions and what a late sheet loses, brought up to date in the gradebook by nbgrader's own step."""

from __future__ import annotations

from datetime import UTC, datetime

from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.gradebook import Entry, SheetBook
from coldcab.classroom.nbgrader_process import load_configuration, one_gradebook_engine


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
