"""A class of twelve invented learners with filled-in sheets, for trying things out and for the tests."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from coldcab.assess import CHOICE, MAGIC, Assignment, Item
from coldcab.classroom import intake
from coldcab.classroom.folder import ClassFolder, Learner, own_folder, write_roster
from coldcab.classroom.forms import form_of
from coldcab.classroom.material import key
from coldcab.classroom.releasing import release
from coldcab.classroom.sheets import write_value

TERM = "demo"

ROSTER: tuple[Learner, ...] = tuple(
    Learner(tree, tree.capitalize(), "Invented", f"{tree}@example.invalid")
    for tree in (
        "ash", "birch", "cedar", "elm", "fir", "hazel", "larch", "maple", "oak", "pine", "rowan", "willow",
    )
)  # fmt: skip

WRITTEN = {
    "ash": "The gauge only follows the temperature while there is liquid. I recover and weigh to know the charge.",
    "cedar": "Pressure is fine, so the charge is fine.",
    "elm": "It depends. <b>Not</b> sure.",
}

_METRIC = {
    "pressure": "kPa",
    "temperature": "C",
    "pressure difference": "kPa",
    "specific energy": "kJ/kg",
    "mass flow": "g/s",
    "power": "kW",
}

Words = Callable[[Item, Any], str]


def right(item: Item, case: Any) -> str:
    """The right answer."""
    return write_value(item, item.answer(case), case)


def metric(item: Item, case: Any) -> str:
    """The right answer in metric units."""
    return write_value(item, item.answer(case), case, _METRIC.get(item.kind))


def idea(number: int) -> Words:
    """What somebody writes who has the idea of this number on every line that has so many."""

    def write(item: Item, case: Any) -> str:
        results = item.ideas[number].results(case) if number < len(item.ideas) else ()
        return write_value(item, results[0], case) if results else right(item, case)

    return write


def wrong_unit(item: Item, case: Any) -> str:
    """A number with a unit of another kind."""
    return "maybe" if item.kind == CHOICE else "12 ohm"


def blank(item: Item, case: Any) -> str:
    """Nothing."""
    return ""


def partly(item: Item, case: Any) -> str:
    """Right on every second line, blank on the others."""
    return right(item, case) if len(item.label) % 2 else ""


def garbage(item: Item, case: Any) -> str:
    """What a cat on the keyboard writes."""
    return "};DROP ((( <script>document.title='x'</script> ''' \\u0000"


HANDS: dict[str, Words] = {
    "ash": right,
    "birch": metric,
    "cedar": idea(0),
    "elm": idea(1),
    "fir": idea(2),
    "hazel": idea(3),
    "larch": wrong_unit,
    "maple": blank,
    "oak": garbage,
    "pine": right,
    "rowan": partly,
}
COPIED = {"pine": "ash"}
"""Who wrote off whose numbers."""
UNREADABLE = {"cycle-2": ("rowan",)}
"""Whose file is cut off, by sheet."""


def sheet_text(form_text: str, assignment: Assignment, case: Any, words: Words) -> str:
    """Return an answer cell filled in."""
    head, *lines = form_text.split("\n")
    labels = [line.partition(":")[0] for line in lines]
    return "\n".join([head, *(f"{label}: {words(assignment.item(label), case)}" for label in labels)])


def filled_notebook(form: dict[str, Any], assignment: Assignment, case: Any, words: Words, said: str = "") -> str:
    """Return a form with every answer cell filled in, as the text of a notebook file."""
    texts = {
        intake.grade_id(cell): sheet_text("".join(cell["source"]), assignment, case, words)
        for cell in form["cells"]
        if "".join(cell["source"]).startswith(MAGIC)
    }
    if said:
        texts |= {intake.grade_id(cell): said for cell in form["cells"] if intake.is_written(cell)}
    # Without indents, which take json ten times as long.
    return json.dumps(intake.fill_form(form, texts), ensure_ascii=False) + "\n"


def make_demo_class(path: Path, material: Path, sheets: tuple[str, ...] = ()) -> ClassFolder:
    """Make the demo class in ``path`` from the teaching material; forms are out and sheets are in.

    ``sheets`` names those to make, by default all.

    Raises
    ------
    ClassError
        If ``path`` is in use.
    """
    folder = ClassFolder.create(path, TERM, roster=None, material=material)
    write_roster(folder.roster, ROSTER)
    for name in release(folder, sheets):
        form, assignment = form_of(folder, name), key(folder.path, name)
        for learner, words in HANDS.items():
            case = assignment.case(TERM, COPIED.get(learner, learner))
            text = filled_notebook(form, assignment, case, words, WRITTEN.get(learner, ""))
            if learner in UNREADABLE.get(name, ()):
                text = text[: len(text) // 2]
            place = own_folder(folder.path, "inbox", learner, name)
            (place / f"{name}.ipynb").write_text(text, encoding="utf-8")
    return folder
