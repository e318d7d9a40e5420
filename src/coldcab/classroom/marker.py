"""Marking the sheets of one assignment, and finding out whose numbers a sheet fits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

import numpy as np

from coldcab.assess import SEA_LEVEL, WORDS, Assignment, Item, Mark, Sheet, grade, merge_sheets, read_answer
from coldcab.classroom import intake
from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.material import key, mends
from coldcab.classroom.mending import Mends, mended_marks
from coldcab.classroom.sheets import REFERENCE_LEARNER, REFERENCE_TERM

MODEL = f"{REFERENCE_LEARNER} (the model answers)"

ENOUGH = 3
"""Numbers that must fit somebody else's case before it is called more than chance."""

_OTHER_YARD = 1000.0
"""Pa by which the air pressure is shifted to see whether an answer was a gauge reading."""


@dataclass(frozen=True)
class Numbers:
    """The right answers of one learner's own case, in SI, for the lines that are numbers; and its air pressure."""

    targets: tuple[float, ...]
    atmosphere: float


@dataclass(frozen=True)
class Typed:
    """Numbers of a sheet that its owner's case does not explain, in SI.

    ``gauge`` says of each whether it counts from the air pressure; ``least`` is how many must fit somebody else.
    """

    values: tuple[float, ...]
    gauge: tuple[float, ...]
    least: float


@dataclass(frozen=True)
class Marked:
    """One sheet, marked with the numbers of ``case``."""

    case: Any
    marks: tuple[Mark, ...]
    numbers: Numbers
    typed: Typed | None = None


class Marker:
    """Marks sheets of one assignment, and finds out whose numbers a sheet fits."""

    def __init__(self, assignment: Assignment, term: str, mends: Mends = MappingProxyType({})) -> None:
        self.assignment, self.term, self.mends = assignment, term, mends
        self.labels = [item.label for item in assignment.items]
        self._numeric = [item for item in assignment.items if item.kind not in WORDS]

    @classmethod
    def of(cls, folder: ClassFolder, name: str) -> Marker:
        """Return the marker of one assignment of a class."""
        return cls(key(folder.path, name), folder.term, mends(folder.path, name))

    def sheet(self, book: dict[str, Any]) -> Sheet:
        """Return the answers of a clean notebook."""
        return merge_sheets(intake.sheet_texts(book["cells"]), self.labels)

    def mark(self, sheet: Sheet, learner: str) -> Marked:
        """Mark a sheet with the learner's own numbers."""
        case = self.assignment.case(self.term, learner)
        answers = {item.label: item.answer(case) for item in self.assignment.items}
        # A key may have to solve a whole circuit: each answer is worked out once.
        known = replace(self.assignment, items=tuple(_with_answer(item, answers) for item in self.assignment.items))
        marks = grade(known, sheet, case)
        numbers = _numbers(case, [answers[item.label] for item in self._numeric])
        counted = mended_marks(marks, known.items, self.mends, sheet, case)
        return Marked(case, counted, numbers, self._unexplained(sheet, marks, case))

    def numbers(self, learner: str, term: str | None = None) -> Numbers:
        """Return the right answers of a learner."""
        case = self.assignment.case(term or self.term, learner)
        return _numbers(case, [item.answer(case) for item in self._numeric])

    def _unexplained(self, sheet: Sheet, marks: tuple[Mark, ...], case: Any) -> Typed | None:
        """Return the numbers of a sheet if there are enough that may belong to somebody else.

        A line that a known wrong idea explains counts for the learner's own numbers. Else some honest sheets with an
        idea on every line would fit one of thirty other cases by chance (3 of 30 in a trial; none this way).
        """
        answers = [sheet.answers.get(item.label, "") for item in self._numeric]
        explained = {mark.label for mark in marks if mark.status in ("right", "idea")}
        own = sum(item.label in explained for item in self._numeric)
        answered = sum(map(bool, answers))
        least = max(ENOUGH, own + 2, answered / 2)
        if answered < least:
            return None
        here = _Yard(getattr(case, "atmosphere", SEA_LEVEL))
        there = _Yard(here.atmosphere + _OTHER_YARD)
        values = [_value(item, answer, here) for item, answer in zip(self._numeric, answers, strict=True)]
        shifted = [_value(item, answer, there) for item, answer in zip(self._numeric, answers, strict=True)]
        gauge = [(after - before) / _OTHER_YARD for before, after in zip(values, shifted, strict=True)]
        return Typed(tuple(values), tuple(gauge), least)

    def owners(self, marked: Mapping[str, tuple[Numbers, Typed | None]], roster: Iterable[str]) -> dict[str, str]:
        """Return whose numbers the sheets fit clearly better than their own: learner to owner.

        Parameters
        ----------
        marked
            What ``mark`` found, by learner.
        roster
            All learners; the numbers of those who handed in nothing are worked out only if a sheet is in doubt.
        """
        doubtful = {who: typed for who, (_, typed) in marked.items() if typed is not None}
        if not doubtful:
            return {}
        cases = {who: numbers for who, (numbers, _) in marked.items()}
        cases |= {who: self.numbers(who) for who in roster if who not in cases}
        cases[MODEL] = self.numbers(REFERENCE_LEARNER, REFERENCE_TERM)
        names = list(cases)
        targets = np.array([cases[name].targets for name in names], dtype=float)
        air = np.array([cases[name].atmosphere for name in names])
        tolerances = [item.key.tolerance for item in self._numeric if item.key is not None]
        absolute = np.array([each.absolute for each in tolerances])
        relative = np.array([each.relative for each in tolerances])
        # The small share forgives the last printed digit where there is no tolerance at all.
        widths = np.maximum(np.maximum(absolute, relative * np.abs(targets)), 1e-9 * np.maximum(1.0, np.abs(targets)))
        found = {}
        for who, typed in doubtful.items():
            shift = np.outer(air - marked[who][0].atmosphere, np.array(typed.gauge))
            with np.errstate(invalid="ignore"):
                fitting = (np.abs(np.array(typed.values) + shift - targets) <= widths).sum(axis=1)
            fitting = np.where(np.array([name == who for name in names]), -1, fitting)
            best = max(range(len(names)), key=lambda number: (fitting[number], names[number]))
            if fitting[best] >= typed.least:
                found[who] = names[best]
        return found


def _with_answer(item: Item, answers: dict[str, Any]) -> Item:
    assert item.key is not None
    return replace(item, key=replace(item.key, answer=lambda case, known=answers[item.label]: known))


def _numbers(case: Any, targets: list[Any]) -> Numbers:
    return Numbers(tuple(float(each) for each in targets), float(getattr(case, "atmosphere", SEA_LEVEL)))


@dataclass(frozen=True)
class _Yard:
    """A place where a gauge is read."""

    atmosphere: float


def _value(item: Item, answer: str, yard: _Yard) -> float:
    value = read_answer(item, answer, yard).value
    return float("nan") if value is None or isinstance(value, str) else value
