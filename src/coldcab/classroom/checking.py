"""Before grading: who is missing, what cannot be read, what is there twice, what came late. Nothing is written."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import UTC, datetime

from coldcab.assess import merge_sheets
from coldcab.classroom import intake
from coldcab.classroom.autograder import (
    MarkingPackage,
    answers_fingerprint,
    autograder_of,
    read_alone,
    words_fingerprint,
)
from coldcab.classroom.copies import ENOUGH_WORDS
from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.grading import survey
from coldcab.classroom.inbox import NOT_GRADABLE, Outcome, look
from coldcab.classroom.submissions import HandIn


@dataclass(frozen=True)
class Checked:
    """One learner's sheet before grading: where it stands, how late, and who has the same."""

    outcome: Outcome
    seconds_late: float = 0.0
    same_as: tuple[str, ...] = ()


def check(folder: ClassFolder, name: str) -> tuple[Checked, ...]:
    """Return where every sheet stands, writing nothing.

    Raises
    ------
    ClassError
        If the sheet has not been released.
    """
    outcomes = survey(folder, name)
    settings = folder.settings
    late: dict[str, float] = {}
    same: dict[tuple[str, str], set[str]] = defaultdict(set)
    refused = {each.learner.id for each in outcomes if each.status == NOT_GRADABLE}
    package = MarkingPackage.of(folder, name)
    autograder = autograder_of(package)
    blank, labels = _words(autograder.form["cells"]), autograder.labels
    for learner in folder.learners():
        found = look(folder, name, learner)
        if not isinstance(found, HandIn):
            continue
        if (due := settings.due_time_of(name, learner.id)) is not None:
            moment = datetime.strptime(found.time, "%Y-%m-%d %H:%M:%S UTC").replace(tzinfo=UTC)
            late[learner.id] = max(0.0, (moment - due).total_seconds())
        if learner.id in refused:
            continue
        try:
            book, _ = read_alone(package, found)
        except intake.NotGradable:
            continue
        for cell, words in _words(book["cells"]).items():
            if words != blank.get(cell) and len(words) >= ENOUGH_WORDS:
                same["words", words_fingerprint(words)].add(learner.id)
        if answers := answers_fingerprint(merge_sheets(intake.sheet_texts(book["cells"]), labels), labels):
            same["answers", answers].add(learner.id)
    twins: dict[str, set[str]] = defaultdict(set)
    for people in same.values():
        for who in people:
            twins[who] |= people - {who}
    return tuple(
        Checked(each, late.get(each.learner.id, 0.0), tuple(sorted(twins.get(each.learner.id, ()))))
        for each in outcomes
    )


def _words(cells: list[dict]) -> dict[str, str]:
    return {intake.grade_id(cell): "".join(cell["source"]) for cell in cells if intake.is_written(cell)}
