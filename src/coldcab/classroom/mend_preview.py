"""Who would gain and who would lose if a line were marked otherwise; nothing is written."""

from __future__ import annotations

from dataclasses import dataclass, replace

from coldcab.classroom import intake
from coldcab.classroom.autograder import MarkingPackage, autograder_of
from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.forms import form_of
from coldcab.classroom.gradebook import sheet_book
from coldcab.classroom.guarded import OverBudget, guarded
from coldcab.classroom.inbox import look
from coldcab.classroom.mending import MENDED, Mends, write_mends
from coldcab.classroom.submissions import HandIn


@dataclass(frozen=True)
class Change:
    """What a mended key does to one learner's line."""

    learner: str
    before: float
    after: float
    by_hand: bool = False


def preview(folder: ClassFolder, name: str, label: str, mends: Mends) -> list[Change]:
    """Return what a decision would do to everybody who handed in, writing nothing."""
    before = MarkingPackage.of(folder, name)
    keys = tuple(each for each in before.keys if each[0] != MENDED)
    after = replace(before, keys=(*keys, (MENDED, write_mends(mends).encode())))
    cell = intake.lines_checked(form_of(folder, name)["cells"]).get(label, "")
    with sheet_book(folder, name) as book:
        entries = book.entries()
    found = []
    for learner in folder.learners():
        hand_in = look(folder, name, learner)
        if not isinstance(hand_in, HandIn):
            continue
        try:
            with guarded() as process:
                points = process.call(_points, before, after, hand_in, label)
        except (OverBudget, intake.NotGradable):
            continue
        entry = entries.get(learner.id)
        by_hand = bool(entry and cell in entry.points and entry.points[cell].by_hand)
        found.append(Change(learner.id, *points, by_hand))
    return found


def _points(before: MarkingPackage, after: MarkingPackage, hand_in: HandIn, label: str) -> tuple[float, float]:

    points = []
    for package in (before, after):
        autograder = autograder_of(package)
        book, _ = autograder.read(hand_in)
        marks = autograder.marker.mark(autograder.marker.sheet(book), hand_in.learner).marks
        points.append(next(mark.points for mark in marks if mark.label == label))
    return points[0], points[1]
