"""Marking the sheets of one assignment, and finding out whose numbers a sheet fits."""

from __future__ import annotations

from typing import Any

from coldcab.assess import CHOICE, Mark, Sheet, agrees, grade, merge_sheets
from coldcab.classroom import intake
from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.releasing import key_of

REFERENCE_LEARNER, REFERENCE_TERM = "reference", "open"
"""For whom the source notebooks are solved; a sheet with these numbers was copied from the model answers."""

ENOUGH = 3
"""Numbers that must fit somebody else's case before it is called more than chance."""


class Marker:
    """Marks sheets of one assignment, and finds out whose numbers a sheet fits."""

    def __init__(self, folder: ClassFolder, name: str) -> None:
        self.assignment = key_of(folder, name)
        self.term = folder.term
        self._numeric = [item for item in self.assignment.items if item.kind != CHOICE]
        cases = {learner.id: self.assignment.case(folder.term, learner.id) for learner in folder.learners()}
        model = self.assignment.case(REFERENCE_TERM, REFERENCE_LEARNER)
        cases[f"{REFERENCE_LEARNER} (the model answers)"] = model
        self._targets = {who: (case, [item.answer(case) for item in self._numeric]) for who, case in cases.items()}

    def sheet(self, book: dict[str, Any]) -> Sheet:
        """Return the answers of a clean notebook."""
        labels = [item.label for item in self.assignment.items]
        return merge_sheets(intake.sheet_texts(book["cells"]), labels)

    def marks(self, sheet: Sheet, learner: str) -> tuple[Mark, ...]:
        """Mark a sheet with the learner's own numbers."""
        return grade(self.assignment, sheet, self.assignment.case(self.term, learner))

    def fits(self, sheet: Sheet, marks: tuple[Mark, ...], learner: str) -> str:
        """Return the id whose numbers a sheet fits clearly better than the learner's own, or nothing.

        A line that a known wrong idea explains counts for the learner's own numbers. Else some honest sheets with an
        idea on every line would fit one of thirty other cases by chance (3 of 30 in a trial; none this way).
        """
        answers = [sheet.answers.get(item.label, "") for item in self._numeric]
        explained = {mark.label for mark in marks if mark.status in ("right", "idea")}
        own = sum(item.label in explained for item in self._numeric)
        answered = sum(map(bool, answers))
        enough = max(ENOUGH, own + 2, answered / 2)
        if answered < enough:
            return ""

        def right(case: Any, targets: list[Any]) -> int:
            lines = zip(self._numeric, answers, targets, strict=True)
            return sum(bool(answer) and agrees(item, answer, target, case) for item, answer, target in lines)

        others = ((right(*target), who) for who, target in self._targets.items() if who != learner)
        most, who = max(others, default=(0, ""))
        return who if most >= enough else ""
