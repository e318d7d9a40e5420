"""One learner's sheet beside the key: what would have been right for these numbers, what was read, and what it earned.

Every learner has numbers of their own, so whoever is asked "why no points?" needs the key worked out for that learner.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from coldcab import units
from coldcab.assess import SEA_LEVEL, Item, Mark
from coldcab.assess.items import WORDS, Value
from coldcab.classroom import material, records
from coldcab.classroom.file_owner import comparable
from coldcab.classroom.folder import ClassError, ClassFolder, Learner


@dataclass(frozen=True)
class Explained:
    """One line: the right answer as a person writes it, what counts as right, and the mark, if there is one."""

    label: str
    right: str
    counts: str
    mark: Mark | None


def find_learner(folder: ClassFolder, words: str) -> Learner:
    """Return the learner with this id, or with this name or a part of it.

    Raises
    ------
    ClassError
        If there is none, or more than one.
    """
    learners = folder.learners()
    for learner in learners:
        if learner.id == words:
            return learner
    wanted = comparable(words)
    found = [each for each in learners if wanted and f" {wanted} " in f" {comparable(f'{each.id} {each.name}')} "]
    if len(found) == 1:
        return found[0]
    if found:
        several = ", ".join(f"{each.id} ({each.name})" for each in found)
        raise ClassError(f"{words!r} may be {several}; write the id.")
    raise ClassError(f"There is nobody called {words!r} in {folder.roster}; write an id from there, or a name.")


def explain(folder: ClassFolder, name: str, learner: Learner) -> tuple[list[tuple[str, str]], tuple[Explained, ...]]:
    """Return the numbers that a learner was given, and every line of the sheet beside its key.

    Raises
    ------
    ClassError
        If the sheet has no key.
    """
    key = material.key(folder.path, name)
    case = key.case(folder.term, learner.id)
    record = records.read_record(folder, name, learner.id)
    marks = {mark.label: mark for mark in record.marks} if record else {}
    return case.lines(), tuple(_explained(item, case, marks.get(item.label)) for item in key.items)


def _explained(item: Item, case: Any, mark: Mark | None) -> Explained:
    right = item.answer(case)
    shown = written(item, right, case)
    if item.key is not None and item.key.evidence is not None:
        return Explained(item.label, shown, "other good answers count, too", mark)
    if item.kind in WORDS or isinstance(right, str) or item.tolerance is None:
        return Explained(item.label, shown, "", mark)
    width = item.tolerance.width(right)
    low, high = (written(item, right + sign * width, case) for sign in (-1, 1))
    counts = f"{low} to {high} counts: {item.tolerance.reason}" if width else ""
    return Explained(item.label, shown, counts, mark)


def written(item: Item, value: Value, case: Any) -> str:
    """Return a value as a person writes it, in the unit of the form's example."""
    if item.kind in WORDS or isinstance(value, str):
        return str(value)
    if item.kind == "ratio":
        return f"{value:.4g}"
    atmosphere = getattr(case, "atmosphere", SEA_LEVEL)
    unit = units.parse(item.example, item.kind).unit
    if not unit:
        return units.show(value, item.kind, atmosphere=atmosphere)  # two units, one after the other: 2 lb 9 oz
    number = units.convert(value, item.kind, unit, atmosphere=atmosphere)
    return f"{float(f'{number:.4g}'):,.10g} {unit}"
