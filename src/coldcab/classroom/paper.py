"""A sheet on paper: each learner's own numbers, a box a line, and a code that says whose it is; typed in afterwards.

What is typed becomes the learner's notebook in the inbox, so paper is marked by the same keys in the same way. Nothing
here reads a photograph or a scanned page.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coldcab.classroom import intake, material, submission_files
from coldcab.classroom.folder import ClassError, ClassFolder, Learner, own_folder, write_file
from coldcab.classroom.forms import form_of
from coldcab.classroom.intake import NotGradable
from coldcab.classroom.pages import TEMPLATES, markdown

LONGEST_WORDS = 5_000
"""Characters of a written answer that are taken from the keyboard."""


@dataclass(frozen=True)
class Part:
    """A part of a sheet as it is printed: ``text``, ``numbers``, ``boxes`` for labels, or ``words``."""

    kind: str
    html: str = ""
    labels: tuple[str, ...] = ()


@dataclass(frozen=True)
class Page:
    """What is one learner's own on a printed sheet."""

    code: str
    name: str
    numbers: tuple[tuple[str, str], ...]


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


def write_sheets(folder: ClassFolder, name: str) -> tuple[Path, int]:
    """Write every learner's own sheet into one file to print; return it and how many there are.

    Raises
    ------
    ClassError
        If the sheet has not been released or has no key.
    """
    import jinja2

    key = material.key(folder.path, name)
    parts = _parts(form_of(folder, name)["cells"])
    pages = [
        Page(code_of(folder, name, each), each.name, tuple(key.case(folder.term, each.id).lines()))
        for each in folder.learners()
    ]
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES / "paper"), autoescape=True, undefined=jinja2.StrictUndefined
    )
    moment = folder.settings.due_time(name)
    due = f"{moment:%Y-%m-%d %H:%M} ({folder.settings.zone})" if moment else ""
    text = environment.get_template("sheets.html.j2").render(sheet=name, pages=pages, parts=parts, due=due)
    file = own_folder(folder.path, "paper") / f"{name}.html"
    write_file(file, text.encode())
    return file, len(pages)


def _parts(cells: list[dict[str, Any]]) -> list[Part]:
    """Return the parts of a form that stand on paper; what speaks of keys and screens does not."""
    found = []
    for cell in cells:
        text, name = "".join(cell["source"]), intake.grade_id(cell)
        if intake.is_answer(cell):
            found.append(Part("boxes", labels=tuple(_labels(text))))
        elif intake.is_written(cell):
            found.append(Part("words"))
        elif "%sheet " in text:
            found.append(Part("numbers"))
        elif cell["cell_type"] == "markdown" and not name.endswith(("-title", "-tools", "-hand-in")):
            found.append(Part("text", markdown(text)))
    return found


def _labels(text: str) -> list[str]:
    return [line.partition(":")[0].strip() for line in text.split("\n")[1:] if line.strip()]


def boxes(folder: ClassFolder, name: str) -> tuple[str, ...]:
    """Return the labels of a sheet's boxes in their order."""
    cells = form_of(folder, name)["cells"]
    return tuple(label for cell in cells if intake.is_answer(cell) for label in _labels("".join(cell["source"])))


def has_words(folder: ClassFolder, name: str) -> bool:
    """Whether a sheet asks for a written answer."""
    return any(intake.is_written(cell) for cell in form_of(folder, name)["cells"])


def is_there(folder: ClassFolder, name: str, learner: Learner) -> bool:
    """Whether something of a learner lies in the inbox already."""
    try:
        submission_files.find_notebook(folder.inbox, learner.id, name)
    except FileNotFoundError:
        return False
    except NotGradable:
        return True
    return True


def enter(folder: ClassFolder, name: str, learner: Learner, answers: Mapping[str, str], words: str = "") -> Path:
    """Put what stands on a learner's paper into the inbox, as if the notebook had been handed in; return the file.

    Raises
    ------
    ClassError
        If the words are too long, or the learner's place in the inbox is no plain folder.
    """
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
    write_file(file, (json.dumps(intake.fill_form(form, texts), indent=1, ensure_ascii=False) + "\n").encode())
    return file
