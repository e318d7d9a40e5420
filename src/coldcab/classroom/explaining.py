"""One learner's sheet beside the key: what would have been right for these numbers, what was read, and what it earned.

Every learner has numbers of their own, so whoever is asked "why no points?" needs the key worked out for that learner.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from coldcab import units
from coldcab.assess import SEA_LEVEL, Item, Mark
from coldcab.assess.items import WORDS, Value
from coldcab.classroom import intake, material, records
from coldcab.classroom.file_owner import comparable
from coldcab.classroom.folder import ClassError, ClassFolder, Learner
from coldcab.classroom.forms import form_of
from coldcab.classroom.gradebook import sheet_book
from coldcab.classroom.mending import Mend
from coldcab.scenario.showing import lines_in_order


@dataclass(frozen=True)
class Explained:
    """One line: the right answer as a person writes it, what counts as right, and the mark, if there is one.

    ``given`` are points that a person gave instead.
    """

    label: str
    right: str
    counts: str
    mark: Mark | None
    given: float | None = None

    @property
    def points(self) -> str:
        """Return in words what the line earned, and who gave it."""
        if self.mark is None:
            return ""
        if self.given is None:
            return f"{self.mark.points:g} of {self.mark.out_of:g} points"
        return f"{self.given:g} of {self.mark.out_of:g} points, given by hand; {self.mark.points:g} when it was marked"


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
    given = _given(folder, name, learner) if record else {}
    mends = material.mends(folder.path, name)
    lines = (_explained(item, case, marks.get(item.label), folder.units) for item in key.items)
    return lines_in_order(case.lines(), folder.units), tuple(
        _with_decisions(line, given.get(line.label), mends.get(line.label)) for line in lines
    )


def _with_decisions(line: Explained, given: float | None, mend: Mend | None) -> Explained:
    """Add what persons decided: points by hand, answers that count too."""
    said = [line.counts] if line.counts else []
    if mend is not None:
        said += ["this line counts for everybody"] if mend.full else []
        said += [f"{answer!r} counts, too" for answer in mend.accept]
    return replace(line, given=given, counts="; ".join(said))


def _given(folder: ClassFolder, name: str, learner: Learner) -> dict[str, float]:
    """Return the points that a person gave instead of those of the marking, by line."""
    with sheet_book(folder, name) as book:
        entry = book.entries().get(learner.id)
    cells = intake.lines_checked(form_of(folder, name)["cells"])
    points = {label: entry.points.get(cell) for label, cell in cells.items()} if entry else {}
    return {label: each.score for label, each in points.items() if each is not None and each.changed}


def _explained(item: Item, case: Any, mark: Mark | None, system: str) -> Explained:
    right = item.answer(case)
    shown = written(item, right, case, system)
    if item.key is not None and item.key.evidence is not None:
        return Explained(item.label, shown, "other good answers count, too", mark)
    if item.kind in WORDS or isinstance(right, str) or item.tolerance is None:
        return Explained(item.label, shown, "", mark)
    width = item.tolerance.width(right)
    low, high = (written(item, right + sign * width, case, system) for sign in (-1, 1))
    counts = f"{low} to {high} counts: {units.in_order(item.tolerance.reason, system)}" if width else ""
    return Explained(item.label, shown, counts, mark)


def written(item: Item, value: Value, case: Any, system: str = "us") -> str:
    """Return a value as a person writes it, in the unit of the form's example, or with "si" in its metric one."""
    if item.kind in WORDS or isinstance(value, str):
        return str(value)
    if item.kind == "ratio":
        return f"{value:.4g}"
    atmosphere = getattr(case, "atmosphere", SEA_LEVEL)
    difference = item.kind == "temperature difference"
    example = units.in_order(item.example, system, difference=difference).partition(" (")[0]
    unit = units.parse(example, item.kind).unit
    if not unit:
        return units.show(value, item.kind, atmosphere=atmosphere)  # two units, one after the other: 2 lb 9 oz
    number = units.convert(value, item.kind, unit, atmosphere=atmosphere)
    return f"{float(f'{number:.4g}'):,.10g} {unit}"
