"""From the inbox to scores and feedback pages: many may mark, one writes, nobody's code is run."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any

from coldcab.assess import Mark
from coldcab.classroom import intake, late, records
from coldcab.classroom.autograder import MarkingPackage, autograder_of, mark_all, over_budget, read_alone
from coldcab.classroom.copies import copies
from coldcab.classroom.feedback import Progress, make_pages
from coldcab.classroom.folder import ClassError, ClassFolder, Learner, environment_on_path, own_folder, write_file
from coldcab.classroom.gradebook import Entry, SheetBook, Submission, enter_roster, sheet_book
from coldcab.classroom.guarded import OverBudget
from coldcab.classroom.inbox import (
    GRADED,
    MISSING,
    NOT_GRADABLE,
    UNCHANGED,
    WAITING,
    Outcome,
    is_in_inbox,
    look,
    strangers,
)
from coldcab.classroom.nbgrader_process import quiet
from coldcab.classroom.page_notes import refused
from coldcab.classroom.records import Record
from coldcab.classroom.spreading import Spread, crew
from coldcab.classroom.submission_files import read_plain_file
from coldcab.classroom.submissions import HandIn, Result

TOGETHER = 8
"""Submissions that go into the gradebook in one transaction: a disk makes few of them a second."""

_THEIR_OWN = (errno.EACCES, errno.EPERM, errno.ELOOP, errno.ENOTDIR, errno.EISDIR, errno.ENAMETOOLONG)
"""What may be wrong with the folders of one learner; a full disk, say, is everybody's."""


def grade_class(
    folder: ClassFolder,
    name: str,
    *,
    again: bool = False,
    pages: bool = True,
    progress: Progress = lambda text: None,
    spread: Spread = Spread(),  # noqa: B008 - it cannot change
) -> tuple[Outcome, ...]:
    """Take in, mark and give feedback on one assignment.

    Whoever is done stays done when the run is stopped; a second run marks only what is new, unless ``again``.
    ``pages`` says whether feedback pages are written, too; ``spread`` where the work is done.

    Returns
    -------
    tuple
        One outcome for each learner of the roster, and for each folder in the inbox that the roster does not know.
    """
    package = MarkingPackage.of(folder, name)
    run = _Run(folder, package, again, progress)
    with crew(spread) as team, environment_on_path(), quiet():
        enter_roster(folder)
        with sheet_book(folder, name) as book:
            run.known = book.learners()
            for result in team.run(partial(mark_all, package), run.hand_ins(), _stumbled):
                run.take(result, book)
            run.flush(book)
            entries = late.with_time(folder, book)
            if pages:
                make_pages(folder, name, team, entries, refused(run.outcomes))
            owners = _owners(folder, package, run.marked, keep=True)
    found = [replace(run.outcomes[learner.id], fits=owners.get(learner.id, "")) for learner in run.learners]
    return with_entries((*with_copies(found), *strangers(folder)), entries, package.lines_checked)


def _owners(
    folder: ClassFolder, package: MarkingPackage, marked: dict[str, Any], *, keep: bool = False
) -> dict[str, str]:
    """Return whose numbers the sheets fit better than their own; what was found before needs no keys."""
    if all(typed is None for _, typed in marked.values()):
        return {}
    roster = [learner.id for learner in folder.learners()]
    state = records.owners_state(package.version, roster, marked)
    owners = records.read_owners(folder, package.name, state)
    if owners is None:
        owners = autograder_of(package).marker.owners(marked, roster)
        if keep:
            records.write_owners(folder, package.name, state, owners)
    return owners


def with_copies(outcomes: list[Outcome]) -> list[Outcome]:
    """Add to each outcome whose words or file it has."""
    shared = copies(outcomes)
    return [replace(each, copied=tuple(map(str, shared.get(each.learner.id, ())))) for each in outcomes]


def _stumbled(hand_in: HandIn, error: Exception) -> Result:
    if isinstance(error, OverBudget):
        return Result(hand_in.learner, hand_in.time, over_budget(error))
    reason = str(error).strip().splitlines()
    said = f"{type(error).__name__}: {reason[0][:120]}" if reason else type(error).__name__
    return Result(hand_in.learner, hand_in.time, f"reading it went wrong ({said}); please tell the developers")


class _Run:
    """One run over one sheet: what is to be done, and what came of it."""

    def __init__(self, folder: ClassFolder, package: MarkingPackage, again: bool, progress: Progress) -> None:
        self.folder, self.package, self.again, self.progress = folder, package, again, progress
        self.learners = folder.learners()
        self._by_id = {learner.id: learner for learner in self.learners}
        self.outcomes: dict[str, Outcome] = {}
        self.marked: dict[str, Any] = {}
        self.known: frozenset[str] = frozenset()
        self._states: dict[str, str] = {}
        self._before: dict[str, Record] = {}
        self._pending: list[tuple[Submission, Learner, Record]] = []

    def hand_ins(self) -> Iterator[HandIn]:
        """Yield what is to be marked; who handed in nothing, or nothing new, is done at once."""
        for learner in self.learners:
            found = look(self.folder, self.package.name, learner)
            if isinstance(found, Outcome):
                self._done(found)
                continue
            state, record = records.state_of(self.package, found), self._record(learner.id)
            marked = self.folder.autograded / learner.id / self.package.name / f"{self.package.name}.ipynb"
            done = record is not None and record.state == state and _has_size(marked, record.size)
            # A gradebook that was exchanged for another knows nothing of what was marked before.
            if done and learner.id in self.known and not self.again:
                self._done(_outcome(learner, UNCHANGED, record))
                self.marked[learner.id] = (record.numbers, record.typed)
                continue
            self._states[learner.id] = state
            if record is not None:
                self._before[learner.id] = record
            yield found

    def _record(self, learner: str) -> Record | None:
        return records.read_record(self.folder, self.package.name, learner)

    def _done(self, outcome: Outcome) -> None:
        self.outcomes[outcome.learner.id] = outcome
        self.progress(outcome.learner.id)

    def take(self, result: Result, book: SheetBook) -> None:
        """Write what was found in one submission: files, then the gradebook, then the record."""
        learner = self._by_id[result.learner]
        state, before = self._states.pop(learner.id), self._before.pop(learner.id, None)
        records.write_refusal(self.folder, self.package.name, learner.id, state, result.problem)
        if result.problem:
            self._done(Outcome(learner, NOT_GRADABLE, result.problem))
            return
        folder, name = self.folder, self.package.name
        clean = result.clean.encode()
        try:
            if before is not None:
                records.set_aside(folder, name, learner.id, before)
            submitted = own_folder(folder.path, "submitted", learner.id, name)
            came = next((place for place in (folder.inbox, folder.submitted)
                         if (place / learner.id / name).is_dir()), folder.inbox)  # fmt: skip
            for part, place in (("submitted", submitted), ("autograded", None)):
                where = place or own_folder(folder.path, part, learner.id, name)
                write_file(where / "timestamp.txt", result.time.encode())
                _copy_secret(came / learner.id / name, where)
            write_file(submitted / f"{name}.ipynb", clean)
            write_file(folder.autograded / learner.id / name / f"{name}.ipynb", result.marked.encode())
        except (ClassError, OSError) as error:
            if isinstance(error, OSError) and error.errno not in _THEIR_OWN:
                raise
            self._done(Outcome(learner, NOT_GRADABLE, f"nothing can be written for this learner ({error})"))
            return
        moment = datetime.strptime(result.time, "%Y-%m-%d %H:%M:%S UTC")
        same = {cell for cell, words in result.words if before is not None and (cell, words) in before.words}
        submission = Submission(learner.id, moment, dict(result.scores), result.untouched, same, result.to_confirm)
        if not is_in_inbox(folder, name, learner):
            run_of, ran = records.read_run(folder, name, learner.id)
            run = (ran, run_of)
            state = records.state_of(self.package, HandIn(learner.id, clean, result.time, *run))
        self._pending.append((submission, learner, Record.of(state, result)))
        if len(self._pending) >= TOGETHER:
            self.flush(book)

    def flush(self, book: SheetBook) -> None:
        """Write into the gradebook, then into the records, what has been marked since."""
        book.write(submission for submission, _, _ in self._pending)
        for _, learner, record in self._pending:
            records.write_record(self.folder, self.package.name, learner.id, record)
            self.marked[learner.id] = (record.numbers, record.typed)
            self._done(_outcome(learner, GRADED, record))
        self._pending.clear()


def _has_size(file: Path, size: int) -> bool:
    with suppress(OSError):
        return file.stat().st_size == size
    return False


def _copy_secret(source: Path, target: Path) -> None:
    """Take along the word by which nbgrader's exchange knows whose feedback it is."""
    file = source / "submission_secret.txt"
    if source == target or not file.is_file() or file.is_symlink():
        return
    with suppress(intake.NotGradable):
        write_file(target / file.name, read_plain_file(file)[:200])


def _outcome(learner: Learner, status: str, record: Record) -> Outcome:
    return Outcome(learner, status, remarks=record.remarks, marks=record.marks, words=record.words, file=record.file)


def with_entries(
    outcomes: tuple[Outcome, ...], entries: dict[str, Entry], cells: dict[str, str]
) -> tuple[Outcome, ...]:
    """Add to each outcome what the gradebook has; ``cells`` names the cell that checks each line."""
    found = []
    for outcome in outcomes:
        entry = entries.get(outcome.learner.id)
        if entry is not None:
            outcome = replace(
                outcome,
                score=entry.score,
                out_of=entry.out_of,
                taken_off=entry.penalty,
                to_read=entry.waits,
                seconds_late=entry.seconds_late,
                unsafe=_unsafe(outcome.marks, entry, cells),
            )
            if outcome.status in (NOT_GRADABLE, MISSING, WAITING):
                outcome = replace(outcome, remarks=(*outcome.remarks, "the score is of what was handed in before"))
        elif outcome.status in (GRADED, UNCHANGED):
            # Nobody is called graded without a score, whatever became of the gradebook.
            outcome = replace(outcome, status=WAITING)
        found.append(outcome)
    return tuple(found)


def _unsafe(marks: tuple[Mark, ...], entry: Entry, cells: dict[str, str]) -> tuple[str, ...]:
    """Return the safety lines that are neither right nor given full points by hand."""
    wrong = [mark.label for mark in marks if mark.safety and mark.status != "right"]
    given = {label: entry.points.get(cells.get(label, "")) for label in wrong}
    return tuple(label for label, points in given.items()
                 if points is None or not points.changed or points.score < points.out_of)  # fmt: skip


def _problem(package: MarkingPackage, hand_in: HandIn) -> str:
    try:
        read_alone(package, hand_in)
    except intake.NotGradable as error:
        return str(error)
    return ""


def survey(folder: ClassFolder, name: str) -> tuple[Outcome, ...]:
    """Return the outcomes as they stand, writing nothing; what is new since the last grading is *to grade*."""
    package = MarkingPackage.of(folder, name)
    found: list[Outcome] = []
    marked: dict[str, Any] = {}
    learners = folder.learners()
    for learner in learners:
        seen, record = look(folder, name, learner), records.read_record(folder, name, learner.id)
        if isinstance(seen, HandIn):
            state = records.state_of(package, seen)
            if record is not None and record.state == state:
                outcome = Outcome(learner, GRADED)
            elif problem := records.refusal(folder, name, learner.id, state) or _problem(package, seen):
                outcome = Outcome(learner, NOT_GRADABLE, problem)
            else:
                outcome = Outcome(learner, WAITING)
        else:
            outcome = seen
        if record is not None:
            marked[learner.id] = (record.numbers, record.typed)
            remarks = record.remarks if outcome.status == GRADED else outcome.remarks
            outcome = replace(outcome, marks=record.marks, words=record.words, file=record.file, remarks=remarks)
        found.append(outcome)
    owners = _owners(folder, package, marked)
    found = [replace(outcome, fits=owners.get(outcome.learner.id, "")) for outcome in found]
    found = with_copies(found)
    with environment_on_path(), sheet_book(folder, name) as book:
        entries = book.entries()
    return with_entries((*found, *strangers(folder)), entries, package.lines_checked)
