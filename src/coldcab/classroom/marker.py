"""Marking the sheets of one assignment, and finding out whose numbers a sheet fits."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

import numpy as np

from coldcab.assess import CHOICE, SEA_LEVEL, WORDS, Assignment, Item, Mark, Sheet, grade, merge_sheets, read_answer
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


FAITHFUL = 0.9
"""Share of lines that somebody who copies is taken to copy as they are."""

RARE = 1 / 20
"""Chance at least that a number or a list fits somebody else's case; a choice is guessed as often as it has choices."""

SURE = math.log(1e6)
"""How much more probable copying must be than chance: 17 sheets of 30 learners make 15,000 comparisons a term."""


@dataclass(frozen=True)
class Numbers:
    """The right answers of one learner's own case: in SI for the lines that are numbers, and ``words`` for the others.

    ``atmosphere`` is its air pressure.
    """

    targets: tuple[float, ...]
    atmosphere: float
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Typed:
    """Answers of a sheet that its owner's case does not explain: numbers in SI, and ``words`` as they were read.

    ``gauge`` says of each number whether it counts from the air pressure; ``least`` is how many must fit somebody
    else.
    """

    values: tuple[float, ...]
    gauge: tuple[float, ...]
    least: float
    words: tuple[str, ...] = ()


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
        self._in_words = [item for item in assignment.items if item.kind in WORDS]

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
        numbers = self._of_case(case, answers)
        counted = mended_marks(marks, known.items, self.mends, sheet, case)
        return Marked(case, counted, numbers, self._unexplained(sheet, marks, case))

    def numbers(self, learner: str, term: str | None = None) -> Numbers:
        """Return the right answers of a learner."""
        case = self.assignment.case(term or self.term, learner)
        return self._of_case(case, {item.label: item.answer(case) for item in self.assignment.items})

    def _of_case(self, case: Any, answers: dict[str, Any]) -> Numbers:
        targets = tuple(float(answers[item.label]) for item in self._numeric)
        words = tuple(str(answers[item.label]) for item in self._in_words)
        return Numbers(targets, float(getattr(case, "atmosphere", SEA_LEVEL)), words)

    def _unexplained(self, sheet: Sheet, marks: tuple[Mark, ...], case: Any) -> Typed | None:
        """Return the answers of a sheet if there are enough that may belong to somebody else.

        A number that a known wrong idea explains counts for the learner's own numbers. Else some honest sheets with an
        idea on every line would fit one of thirty other cases by chance (3 of 30 in a trial; none this way).
        """
        answers = [sheet.answers.get(item.label, "") for item in self._numeric]
        explained = {mark.label for mark in marks if mark.status in ("right", "idea")}
        own = sum(item.label in explained for item in self._numeric)
        answered = sum(map(bool, answers))
        least = max(ENOUGH, own + 2, answered / 2)
        not_right = sum(mark.status in ("idea", "wrong") for mark in marks)
        in_doubt = not_right > ENOUGH and not_right > sum(mark.status == "right" for mark in marks)
        if answered < least:
            if not in_doubt:
                return None
            least = math.inf
        here = _Yard(getattr(case, "atmosphere", SEA_LEVEL))
        there = _Yard(here.atmosphere + _OTHER_YARD)
        values = [_value(item, answer, here) for item, answer in zip(self._numeric, answers, strict=True)]
        shifted = [_value(item, answer, there) for item, answer in zip(self._numeric, answers, strict=True)]
        gauge = [(after - before) / _OTHER_YARD for before, after in zip(values, shifted, strict=True)]
        words = [_word(item, sheet.answers.get(item.label, "")) for item in self._in_words] if in_doubt else ()
        return Typed(tuple(values), tuple(gauge), least, tuple(words))

    def owners(self, marked: Mapping[str, tuple[Numbers, Typed | None]], roster: Iterable[str]) -> dict[str, str]:
        """Return whose numbers the sheets fit clearly better than their own: learner to owner.

        Either enough numbers fit, or all answers together, choices too, are far more probable when they were copied.

        Parameters
        ----------
        marked
            What ``mark`` found, by learner.
        roster
            All learners; the numbers of those who handed in nothing are worked out only if a sheet's numbers are in
            doubt.
        """
        doubtful = {who: typed for who, (_, typed) in marked.items() if typed is not None}
        if not doubtful:
            return {}
        cases = {who: numbers for who, (numbers, _) in marked.items()}
        if any(math.isfinite(typed.least) for typed in doubtful.values()):
            cases |= {who: self.numbers(who) for who in roster if who not in cases}
        cases[MODEL] = self.numbers(REFERENCE_LEARNER, REFERENCE_TERM)
        names = list(cases)
        targets = np.array([cases[name].targets for name in names], dtype=float).reshape(len(names), -1)
        # Numbers for words: in a class of thousands each sheet is compared with each case.
        code: dict[str, int] = {}
        words = np.array(
            [[code.setdefault(word, len(code)) for word in cases[name].words] for name in names], dtype=int
        )
        words = words.reshape(len(names), -1)
        air = np.array([cases[name].atmosphere for name in names])
        widths = self._widths(targets)
        found = {}
        for who, typed in doubtful.items():
            shift = np.outer(air - marked[who][0].atmosphere, np.array(typed.gauge))
            with np.errstate(invalid="ignore"):
                fits = np.abs(np.array(typed.values) + shift - targets) <= widths
            fitting = np.where(np.array([name == who for name in names]), -1, fits.sum(axis=1))
            best = max(range(len(names)), key=lambda number: (fitting[number], names[number]))
            if fitting[best] >= typed.least:
                found[who] = names[best]
            elif len(typed.words) == words.shape[1] > 0:
                own = names.index(who)
                same = np.hstack((np.abs(targets - targets[own]) <= widths, words == words[own]))
                typed_at_all = np.array([*np.isfinite(typed.values), *map(bool, typed.words)])
                said = np.array([code.get(word, -1) for word in typed.words])
                likely = self._likely(np.hstack((fits, words == said)), ~same & typed_at_all)
                best = max(range(len(names)), key=lambda number: (likely[number], names[number]))
                if likely[best] >= SURE:
                    found[who] = names[best]
        return found

    def _widths(self, targets: Any) -> Any:
        tolerances = [item.key.tolerance for item in self._numeric if item.key is not None]
        absolute = np.array([each.absolute for each in tolerances])
        relative = np.array([each.relative for each in tolerances])
        # The small share forgives the last printed digit where there is no tolerance at all.
        return np.maximum(np.maximum(absolute, relative * np.abs(targets)), 1e-9 * np.maximum(1.0, np.abs(targets)))

    def _likely(self, fits: Any, tells: Any) -> Any:
        """Return, for each case, the logarithm of how much more probable the answers are as a copy than by chance.

        ``fits`` says which answers fit which case, ``tells`` where a case differs from the learner's own. By chance a
        line fits as often as it does other cases, at least as often as a blind guess.
        """
        least = [RARE] * len(self._numeric)
        least += [max(RARE, 1 / len(item.choices)) if item.kind == CHOICE else RARE for item in self._in_words]
        others = fits.sum(axis=0)
        fitting, not_fitting = (np.clip((others - own) / len(fits), np.array(least), FAITHFUL) for own in (1, 0))
        gain = np.where(fits, np.log(FAITHFUL / fitting), np.log((1 - FAITHFUL) / (1 - not_fitting)))
        return np.where(tells, gain, 0.0).sum(axis=1)


def _with_answer(item: Item, answers: dict[str, Any]) -> Item:
    assert item.key is not None
    return replace(item, key=replace(item.key, answer=lambda case, known=answers[item.label]: known))


@dataclass(frozen=True)
class _Yard:
    """A place where a gauge is read."""

    atmosphere: float


def _value(item: Item, answer: str, yard: _Yard) -> float:
    value = read_answer(item, answer, yard).value
    return float("nan") if value is None or isinstance(value, str) else value


def _word(item: Item, answer: str) -> str:
    value = read_answer(item, answer).value
    return "" if value is None else str(value)
