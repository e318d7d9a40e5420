"""A sheet on paper: each learner's own numbers, a box a line, and a code that says whose it is; typed in afterwards.

What is typed becomes the learner's notebook in the inbox, so paper is marked by the same keys in the same way. Nothing
here reads a photograph or a scanned page.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Any

from coldcab.assess import Item
from coldcab.classroom import intake, material, submission_files
from coldcab.classroom.folder import ClassError, ClassFolder, Learner, own_folder, write_file
from coldcab.classroom.forms import form_of
from coldcab.classroom.intake import NotGradable
from coldcab.classroom.pages import markdown
from coldcab.classroom.printing import write_pdf
from coldcab.course.order import text_in_order
from coldcab.paper.markup import blocks
from coldcab.scenario.showing import lines_in_order
from coldcab.words import _

LONGEST_WORDS = 5_000
"""Characters of a written answer that are taken from the keyboard."""

WRITTEN = "written"
"""What the box of the written answer is called."""

HOW = _(
    "Write one answer into each box, number and unit. Leave a box empty if you do not know. The table of pressures and "
    "temperatures hangs in the shop, or your instructor gives you one."
)
DUE = _("Due {time} ({zone}).")

Part = dict[str, Any]
"""A part of a sheet as it is printed: its ``kind`` is text, numbers, lines or words."""


def code_of(folder: ClassFolder, name: str, learner: Learner) -> str:
    """Return the code on a learner's sheet: the id and two digits that give a slip of the pen away."""
    text = f"{folder.term}/{name}/{learner.id}".casefold()
    return f"{learner.id} {int(hashlib.sha256(text.encode()).hexdigest()[:8], 16) % 97:02d}"


def owner_of(folder: ClassFolder, name: str, code: str) -> Learner:
    """Return whose sheet bears a code.

    Raises
    ------
    ClassError
        If it is nobody's.
    """
    wanted = " ".join(code.split()).casefold()
    for learner in folder.learners():
        if code_of(folder, name, learner).casefold() == wanted:
            return learner
    raise ClassError(f"No sheet {name} bears {code!r}; read the box at its top again, id and two digits.")


def write_sheets(folder: ClassFolder, name: str, size: str = "letter") -> tuple[Path, int]:
    """Write every learner's own sheet into one PDF file to print; return it and how many there are.

    Raises
    ------
    ClassError
        If the sheet has not been released or has no key.
    """
    key = material.key(folder.path, name)
    people = [
        {
            "code": code_of(folder, name, each),
            "name": each.name,
            "numbers": lines_in_order(key.case(folder.term, each.id).lines(), folder.units),
        }
        for each in folder.learners()
    ]
    moment = folder.settings.due_time(name)
    due = DUE.format(time=f"{moment:%Y-%m-%d %H:%M}", zone=folder.settings.zone) if moment else ""
    contents = {
        "title": _("Sheet {sheet} on paper").format(sheet=name),
        "sheet": name,
        "how": f"{due} {HOW}".strip(),
        "parts": parts(form_of(folder, name)["cells"], folder.units),
        "people": people,
    }
    return write_pdf(folder, folder.path / "paper" / f"{name}.pdf", "sheet", contents, size), len(people)


def parts(cells: list[dict[str, Any]], system: str = "us") -> list[Part]:
    """Return the parts of a form that stand on paper, in the order of units of a class; what speaks of keys and screens
    does not.

    A line's box stands beside what is asked.
    """
    found: list[Part] = []
    numbers = count(1)
    for cell in cells:
        text, name = "".join(cell["source"]), intake.grade_id(cell)
        if intake.is_answer(cell):
            lines = [{"number": str(next(numbers)), **line} for line in _lines(_labels(text), found)]
            found.append({"kind": "lines", "lines": lines})
        elif intake.is_written(cell):
            found.append({"kind": "words"})
        elif "%sheet " in text:
            found.append({"kind": "numbers"})
        elif cell["cell_type"] == "markdown" and not name.endswith(("-title", "-tools", "-hand-in")):
            found.append({"kind": "text", "blocks": blocks(markdown(text_in_order(text, system)), under=1)})
    return found


def _lines(labels: list[str], before: list[Part]) -> list[dict[str, Any]]:
    """Return the lines of a part, each with what is asked there, which is taken out of the text before it."""
    asked: dict[str, list[Any]] = {}
    for block in before[-1]["blocks"] if before and before[-1]["kind"] == "text" else ():
        if block["kind"] != "list":
            continue
        for item in list(block["items"]):
            first = item[0]["runs"][0] if item and item[0]["kind"] == "words" else {}
            if first.get("bold") and first["text"].strip() in labels:
                asked[first["text"].strip()] = item
                block["items"].remove(item)
    return [{"label": label, "blocks": asked.get(label, [])} for label in labels]


def _labels(text: str) -> list[str]:
    return [line.partition(":")[0].strip() for line in text.split("\n")[1:] if line.strip()]


def boxes(folder: ClassFolder, name: str) -> tuple[str, ...]:
    """Return the labels of a sheet's boxes in their order; that of the written answer is ``WRITTEN``."""
    cells = form_of(folder, name)["cells"]
    labels = [label for cell in cells if intake.is_answer(cell) for label in _labels("".join(cell["source"]))]
    return (*labels, WRITTEN) if any(map(intake.is_written, cells)) else tuple(labels)


def items(folder: ClassFolder, name: str) -> dict[str, Item]:
    """Return the lines of a sheet by their labels."""
    return {item.label: item for item in material.key(folder.path, name).items}


def is_there(folder: ClassFolder, name: str, learner: Learner) -> bool:
    """Whether something of a learner lies in the inbox already."""
    try:
        submission_files.find_notebook(folder.inbox, learner.id, name)
    except FileNotFoundError:
        return False
    except NotGradable:
        return True
    return True


def enter(folder: ClassFolder, name: str, learner: Learner, answers: Mapping[str, str]) -> Path:
    """Put what stands on a learner's paper into the inbox, as if the notebook had been handed in; return the file.

    Raises
    ------
    ClassError
        If the words are too long, or the learner's place in the inbox is no plain folder.
    """
    words = answers.get(WRITTEN, "")
    if len(words) > LONGEST_WORDS:
        raise ClassError(
            f"The written answer has {len(words):,} characters; {LONGEST_WORDS:,} are the most by keyboard."
        )
    form = form_of(folder, name)
    texts = {}
    for cell in form["cells"]:
        if intake.is_answer(cell):
            head, *lines = "".join(cell["source"]).split("\n")
            filled = (f"{label}: {answers.get(label, '')}" for label in _labels("\n".join([head, *lines])))
            texts[intake.grade_id(cell)] = "\n".join([head, *filled])
        elif intake.is_written(cell) and words.strip():
            texts[intake.grade_id(cell)] = words
    place = own_folder(folder.path, "inbox", learner.id, name)
    there = submission_files.notebooks_in(place)
    file = there[0] if len(there) == 1 else place / f"{name}.ipynb"
    # Paper was handed in before somebody sat down to type: where it was due, it is not late.
    due, now = folder.settings.due_time_of(name, learner.id), datetime.now(UTC)
    data = json.dumps(intake.fill_form(form, texts), indent=1, ensure_ascii=False) + "\n"
    write_file(file, data.encode(), moment=min(now, due).timestamp() if due else None)
    return file
