"""What lies in the inbox for each learner: something to mark, or why there is nothing."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from coldcab.assess import Mark
from coldcab.classroom import records, submission_files
from coldcab.classroom.folder import ClassFolder, Learner
from coldcab.classroom.intake import NotGradable
from coldcab.classroom.settings import parse_due
from coldcab.classroom.submissions import HandIn

SHOWN = 3
"""Files in the wrong place that are named."""

GRADED, UNCHANGED, WAITING, NOT_GRADABLE, MISSING = "graded", "unchanged", "to grade", "not gradable", "missing"
JOINED_LATER = "joined later"


@dataclass(frozen=True)
class Outcome:
    """What became of one learner's sheet.

    ``status`` is graded, unchanged, to grade, not gradable, missing, or joined later (than the sheet was due);
    ``reason`` says why it is not gradable.
    ``score`` is what the gradebook has, None if it has nothing; ``taken_off`` are the points that being late has cost
    it. ``fits`` is whose numbers it fits better than its own,
    ``copied`` says whose words or file it has. ``unsafe`` are the safety lines that keep it from passing.
    """

    learner: Learner
    status: str
    reason: str = ""
    remarks: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    fits: str = ""
    copied: tuple[str, ...] = ()
    score: float | None = None
    out_of: float | None = None
    taken_off: float = 0.0
    to_read: bool = False
    seconds_late: float = 0.0
    unsafe: tuple[str, ...] = ()
    words: tuple[tuple[str, str], ...] = field(default=(), repr=False)
    file: str = field(default="", repr=False)

    @property
    def earned(self) -> float:
        """Return the points of the answers, whether they came late or not."""
        return (self.score or 0.0) + self.taken_off

    @property
    def safety(self) -> tuple[int, int] | None:
        """Return how many safety lines are right, and of how many; None where none has been marked."""
        lines = sum(mark.safety for mark in self.marks)
        return (lines - len(self.unsafe), lines) if lines else None

    @property
    def unread(self) -> bool:
        """Whether something was written, and not one line of it could be read."""
        tried = [mark for mark in self.marks if mark.status != "blank"]
        return bool(tried) and all(mark.status == "unreadable" for mark in tried)

    @property
    def blank(self) -> bool:
        """Whether it was handed in with every line empty."""
        return bool(self.marks) and all(mark.status == "blank" for mark in self.marks)


def look(folder: ClassFolder, name: str, learner: Learner) -> HandIn | Outcome:
    """Return what a learner handed in, or the outcome if there is nothing that can be opened."""
    if blocked := folder.blocked(learner, name):
        return Outcome(learner, NOT_GRADABLE, blocked)
    try:
        file = find_hand_in(folder, name, learner)
        run_of, run = records.read_run(folder, name, learner.id)
        return HandIn(learner.id, submission_files.read_plain_file(file), submission_files.time_of(file), run, run_of)
    except FileNotFoundError:
        stray = submission_files.stray_notebooks(folder.inbox, learner.id, folder.assignments())
        more = f" and {len(stray) - SHOWN} others" if len(stray) > SHOWN else ""
        there = f"{', '.join(stray[:SHOWN])}{more}"
        hint = f"there is {there} in the inbox; if it is this sheet, put it into {learner.id}/{name}/"
        status = JOINED_LATER if _joined_later(folder, name, learner) else MISSING
        return Outcome(learner, status, remarks=(hint,) if stray else ())
    except NotGradable as error:
        return Outcome(learner, NOT_GRADABLE, str(error))


def _joined_later(folder: ClassFolder, name: str, learner: Learner) -> bool:
    """Whether a learner joined the class after a sheet was due, as the roster says."""
    settings = folder.settings
    due = settings.due_time(name) if learner.joined else None
    return due is not None and due < parse_due(learner.joined, settings.zone)


def find_hand_in(folder: ClassFolder, name: str, learner: Learner) -> Path:
    """Return the file that a learner handed in: from the inbox, else what was taken in before.

    Taken in by us, or by nbgrader's own exchange.

    Raises
    ------
    FileNotFoundError
        If nothing was handed in.
    NotGradable
        If there is something, but not one plain notebook.
    """
    try:
        return submission_files.find_notebook(folder.inbox, learner.id, name)
    except FileNotFoundError:
        return submission_files.find_notebook(folder.submitted, learner.id, name)


def is_in_inbox(folder: ClassFolder, name: str, learner: Learner) -> bool:
    """Whether a learner's notebook lies in the inbox, and not only among what was taken in before."""
    with suppress(FileNotFoundError, NotGradable):
        return bool(submission_files.find_notebook(folder.inbox, learner.id, name))
    return False


def departed(folder: ClassFolder) -> tuple[str, ...]:
    """Return who has been marked and is no longer on the roster."""
    known = {learner.id for learner in folder.learners()}
    marked = {file.stem for file in folder.records.glob(f"*/{records.GRADED}/*.json")}
    return tuple(sorted(marked - known))


def strangers(folder: ClassFolder) -> tuple[Outcome, ...]:
    """Return what lies in the inbox under an id that is not on the roster and never was."""
    known = {*(learner.id for learner in folder.learners()), *departed(folder)}
    reason = "this id is not on the roster; rename the folder to the learner's id, or add the id to roster.csv"
    return tuple(
        Outcome(Learner(submission_files.showable_name(entry.name)), NOT_GRADABLE, reason)
        for entry in sorted(folder.inbox.iterdir())
        if entry.name not in known and not entry.name.startswith(".")
    )
