"""The lessons in their order, one folder each: ``numbers`` (the case and its draw), ``lines`` (what its sheets ask),
``worked`` (examples step by step), ``practice.json`` (the finished cards that mark practice).

A part of a lesson is loaded when it is first asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from importlib import import_module
from importlib.resources import files
from typing import Any

from coldcab.assess.cards import Deck
from coldcab.assess.items import PRACTICE_PREFIX, Assignment

LESSONS = {
    "cycle-1": "cycle/1-pressure-and-temperature.ipynb",
    "cycle-2": "cycle/2-the-loop-on-the-p-h-chart.ipynb",
    "cycle-3": "cycle/3-the-air-side.ipynb",
    "cycle-4": "cycle/4-the-valve.ipynb",
    "retrofit-1": "retrofit/1-law-identity-and-recovery.ipynb",
    "retrofit-2": "retrofit/2-clean-tight-and-dry.ipynb",
    "retrofit-3": "retrofit/3-from-r-12-to-r-134a.ipynb",
    "leak-1": "leak/1-finding-the-leak.ipynb",
    "retrofit-4": "retrofit/4-charging.ipynb",
    "rebuild-1": "retrofit/5-the-compressor-swap.ipynb",
    "oil-1": "oil/1-choosing-oil.ipynb",
    "oil-2": "oil/2-the-oil-ledger.ipynb",
    "faults-1": "faults/1-the-clutch-and-the-controls.ipynb",
    "faults-2": "faults/2-signatures.ipynb",
    "faults-3": "faults/3-evidence.ipynb",
    "faults-4": "faults/4-clinic.ipynb",
    "capstone": "capstone/rebuild.ipynb",
}
"""The lessons in the order of the course, and where each page lies in the course's folder."""

EDITION = 2
"""The edition of the sheets. It rises when lines or numbers change so that a term cannot go on with the new ones."""


def module_name(lesson: str) -> str:
    """Return the name of a lesson's folder in the package: ``cycle_1`` for cycle-1."""
    return lesson.replace("-", "_")


class Sheets(Mapping[str, Assignment]):
    """One sheet of each lesson, by its name.

    Parameters
    ----------
    attribute
        What each lesson's ``lines`` call it.
    prefix
        Put before the lesson's name in the mapping's names.
    """

    def __init__(self, attribute: str, *, prefix: str = "") -> None:
        self._attribute = attribute
        self._lessons = {prefix + lesson: lesson for lesson in LESSONS}

    def __getitem__(self, name: str) -> Assignment:
        lines = import_module(f"{__name__}.{module_name(self._lessons[name])}.lines")
        sheet: Assignment = getattr(lines, self._attribute)
        return sheet

    def __iter__(self) -> Iterator[str]:
        return iter(self._lessons)

    def __len__(self) -> int:
        return len(self._lessons)

    def __contains__(self, name: object) -> bool:
        return name in self._lessons


FORMS = Sheets("FORM")
"""The graded forms as a learner's copy has them: lines without keys."""

PRACTICE = Sheets("PRACTICE", prefix=PRACTICE_PREFIX)
"""The practice sheets: lines marked at once by the cards of `deck`, with new numbers as often as one likes."""


@lru_cache(maxsize=len(LESSONS))
def deck(practice: str) -> Deck:
    """Return the finished cards of a practice sheet."""
    folder = files(f"{__name__}.{module_name(practice.removeprefix(PRACTICE_PREFIX))}")
    return Deck(folder.joinpath("practice.json").read_text(encoding="utf-8"))


def practice_case(practice: str, number: int) -> Any:
    """Return the numbers that belong to card ``number`` of a practice sheet, from 1; after the last comes the first."""
    return PRACTICE[practice].case("practice", str((number - 1) % len(deck(practice)) + 1))


def case(assignment: str, term: str, learner: str) -> Any:
    """Return the numbers that ``learner`` gets in ``assignment`` during ``term``.

    Raises
    ------
    ValueError
        If there is no such assignment.
    """
    sheets = PRACTICE if assignment.startswith(PRACTICE_PREFIX) else FORMS
    if assignment not in sheets:
        raise ValueError(f"There is no assignment named {assignment!r}; there are {', '.join(FORMS)}.")
    return sheets[assignment].case(term, learner)
