"""Taking in a submission: a file is read as data, only the words of its answers are kept, nothing in it is trusted.

What comes out is the class's own form with the learner's words in it. So edited, doubled, missing or forged cells,
metadata and outputs cannot matter. What cannot be read is named with the reason; it is never marked as a zero.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from coldcab.assess import MAGIC, fold
from coldcab.assess.sheet import LONGEST_SHEET, clean
from coldcab.quantities import ColdcabError

LONGEST_WRITTEN = 20_000
"""Characters of a written answer that are kept."""

LONGEST_CELL = 100_000
"""Characters of a cell that are looked at; a learner's notes may be long, an answer is not."""

DEEPEST = 64
"""Brackets within brackets; a notebook has about ten."""


class NotGradable(ColdcabError):
    """Why a submission cannot be marked, in one plain sentence."""


@dataclass(frozen=True)
class Submission:
    """The words of one submission: text of answer cells and written answers by cell id, and remarks about the file."""

    texts: dict[str, str]
    remarks: tuple[str, ...] = field(default=())


def parse_notebook(data: bytes) -> list[dict[str, Any]]:
    """Return the cells of a notebook that arrived as bytes.

    Raises
    ------
    NotGradable
        If the bytes are no notebook.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise NotGradable("the file is not UTF-8 text, so it is not a notebook") from None
    if _depth(text) > DEEPEST:
        raise NotGradable("the file is nested too deeply to be a notebook")
    try:
        book = json.loads(text)
    except (ValueError, RecursionError):
        raise NotGradable("the file is not a notebook, or it is cut off") from None
    cells = book.get("cells") if isinstance(book, dict) else None
    if not isinstance(cells, list) or not all(isinstance(cell, dict) for cell in cells):
        raise NotGradable("the file is JSON, but not a notebook")
    return cells


_STRING = re.compile(r'"(?:[^"\\]++|\\.)*+"?', re.DOTALL)
"""A string, closed or not, in one go: a search that may begin anew at each quotation mark takes the square of them."""


def _depth(text: str) -> int:
    """How deep brackets are nested; those within strings (a traceback in colours is full of them) do not count."""
    depth = deepest = 0
    for sign in _STRING.sub("", text):
        if sign in "[{":
            depth += 1
            if depth > deepest:
                deepest = depth
        elif sign in "]}":
            depth -= 1
    return deepest


def _source(cell: dict[str, Any]) -> str:
    source = cell.get("source", "")
    if isinstance(source, list):
        source = "".join(part for part in source if isinstance(part, str))
    return source if isinstance(source, str) else ""


def grade_id(cell: dict[str, Any]) -> str:
    """Return nbgrader's name of a cell, or nothing."""
    metadata = cell.get("metadata")
    about = metadata.get("nbgrader") if isinstance(metadata, dict) else None
    name = about.get("grade_id") if isinstance(about, dict) else None
    return name if isinstance(name, str) else ""


def names_in(data: bytes) -> frozenset[str]:
    """Return nbgrader's names of the cells of a notebook that arrived as bytes; none if it is no notebook."""
    try:
        return frozenset(map(grade_id, parse_notebook(data))) - {""}
    except NotGradable:
        return frozenset()


def is_answer(cell: dict[str, Any]) -> bool:
    """Whether a cell of a form is an answer sheet."""
    return cell.get("cell_type") == "code" and _source(cell).lstrip().startswith(MAGIC)


def is_written(cell: dict[str, Any]) -> bool:
    """Whether a cell of a form is a written answer."""
    about = cell.get("metadata", {}).get("nbgrader", {})
    return cell.get("cell_type") == "markdown" and bool(about.get("grade") and about.get("solution"))


def is_program(cell: dict[str, Any]) -> bool:
    """Whether a cell of a form is answered with a program; the course has none, an instructor may add some."""
    about = cell.get("metadata", {}).get("nbgrader", {})
    return cell.get("cell_type") == "code" and bool(about.get("solution")) and not is_answer(cell)


def is_graded(cell: dict[str, Any]) -> bool:
    """Whether a cell of a form carries points."""
    return bool(cell.get("metadata", {}).get("nbgrader", {}).get("grade"))


def needs_running(cell: dict[str, Any]) -> bool:
    """Whether a cell of a form carries points and is no line of ours: it gives them only when it is run."""
    return is_graded(cell) and cell.get("cell_type") == "code" and not _source(cell).startswith("%check ")


def lines_checked(form: Iterable[dict[str, Any]]) -> dict[str, str]:
    """Return the labels of a form's lines, as its checking cells name them, and the names of these cells."""
    checks = ((_source(cell).strip(), grade_id(cell)) for cell in form if is_graded(cell))
    return {text.removeprefix("%check ").strip(): name for text, name in checks if text.startswith("%check ")}


def labels_of(text: str) -> set[str]:
    """Return the labels of a sheet as they are compared."""
    lines = (line for line in text.splitlines() if not line.startswith(MAGIC))
    return {fold(line.replace("=", ":").partition(":")[0]) for line in lines if line.strip()} - {""}


def read_submission(
    cells: list[dict[str, Any]],
    form: list[dict[str, Any]],
    assignment: str,
    earlier: Mapping[str, Collection[str]] = MappingProxyType({}),
) -> Submission:
    """Take the words of the answers out of a submission.

    Parameters
    ----------
    cells
        Cells as they came.
    form
        Cells of the form that was released.
    assignment
        Its name.
    earlier
        Fingerprints of what locked cells said in earlier releases of the form: whoever has one changed nothing.

    Raises
    ------
    NotGradable
        If it is another form, an answer cell is missing, or two cells claim to be the same one with different words.
    """
    parts = _Form.of(form, earlier)
    found, remarks, foreign = _words_by_cell(cells, parts)
    if not any(found[name] for name in parts.sheets):
        other = next((grade_id(cell).split("-answers")[0] for cell in cells if "-answers" in grade_id(cell)), "")
        if foreign and other and other != assignment:
            raise NotGradable(f"this is the sheet {clean(other)[:40]}, not {assignment}")
        raise NotGradable(f"no answer cell of {assignment} is in the notebook")
    texts = {}
    for name, versions in found.items():
        if len(versions) > 1:
            remarks.append(f"the cell {name} is there {len(versions)} times, with the same answers")
        texts[name] = _one_version(name, versions, parts)
    return Submission(texts, tuple(dict.fromkeys(remarks)))


@dataclass(frozen=True)
class _Form:
    """What a form says about its cells, by their names: labels of sheets, empty written answers, its own words."""

    sheets: dict[str, set[str]]
    untouched: dict[str, str]
    own: dict[str, str]
    by_id: dict[str, str]
    earlier: Mapping[str, Collection[str]]

    @classmethod
    def of(cls, form: list[dict[str, Any]], earlier: Mapping[str, Collection[str]]) -> _Form:
        sheets = {grade_id(cell): labels_of(_source(cell)) for cell in form if is_answer(cell)}
        written = [grade_id(cell) for cell in form if is_written(cell) or is_program(cell)]
        own = {grade_id(cell): _source(cell) for cell in form if grade_id(cell)}
        # Where a platform took the names away, Jupyter's own id of a cell may still say which one it is.
        ids = {cell["id"]: grade_id(cell) for cell in form if cell.get("id")}
        by_id = {cell: name for cell, name in ids.items() if name in sheets or name in written}
        return cls(sheets, {name: clean(own[name]).strip() for name in written}, own, by_id, earlier)


def _words_by_cell(cells: list[dict[str, Any]], form: _Form) -> tuple[dict[str, list[str]], list[str], int]:
    """Return what came for each answer of the form, remarks, and the number of cells that belong to another form."""
    found: dict[str, list[str]] = {name: [] for name in (*form.sheets, *form.untouched)}
    remarks: list[str] = []
    foreign = 0
    for cell in cells:
        name, raw = grade_id(cell), _source(cell)
        if name not in found and form.own.get(name) == raw:
            continue  # most cells are as they were released
        if len(raw) > LONGEST_CELL:
            if name in found:
                raise NotGradable(f"the cell {name} has {len(raw):,} characters; {LONGEST_SHEET:,} are the most")
            continue
        text = clean(raw).strip()
        if not name and isinstance(cell.get("id"), str) and cell["id"] in form.by_id:
            name = form.by_id[cell["id"]]
            remarks.append(f"the cell {name} was known by its place in the form; its name was lost")
        if name in found:
            found[name].append(text)
        elif MAGIC in text and (home := _home_of(text, form)):
            # A copied or pasted cell has lost its name, but its labels say where it belongs.
            found[home].append(text)
            remarks.append(f"answer cell {home} was known by its labels; its name was lost")
        elif name and name not in form.own:
            foreign += 1
        elif name and _is_changed(text, form.own[name], form.earlier.get(name, ())):
            remarks.append(f"the cell {name} was changed; the class's own was used")
    return found, remarks, foreign


def _home_of(text: str, form: _Form) -> str:
    labels = labels_of(text)
    return next((name for name, wanted in form.sheets.items() if len(labels & wanted) > len(wanted) / 2), "")


def _one_version(name: str, versions: list[str], form: _Form) -> str:
    """Return the one text of a cell; a copy in which nothing was written does not count."""
    is_sheet = name in form.sheets
    if not versions:
        raise NotGradable(f"the {'answer cell' if is_sheet else 'written answer'} {name} is missing")
    different = list(dict.fromkeys(text for text in versions if text))
    if len(different) > 1:
        different = [text for text in different if (_filled(text) if is_sheet else text != form.untouched[name])]
        if len(different) != 1:
            raise NotGradable(f"the cell {name} is there {len(versions)} times with different answers; keep one")
    text = different[0] if different else ""
    longest = LONGEST_SHEET if is_sheet else LONGEST_WRITTEN
    if len(text) > longest:
        raise NotGradable(f"the cell {name} has {len(text):,} characters; {longest:,} are the most")
    return text


DUE = "**Due:** "
"""What the line in the head of a form begins with that says when it is due."""


def _is_changed(text: str, ours: str, earlier: Collection[str]) -> bool:
    plain = _without_term(text)
    return plain != _without_term(clean(ours).strip()) and cell_fingerprint(plain) not in earlier


def _without_term(text: str) -> str:
    """The form of the course and that of the class differ in the term and the due date alone; that is no change."""
    lines = [line for line in text.split("\n") if not line.startswith(DUE)]
    return re.sub(r" --term \S+", "", "\n".join(lines)).strip()


def cell_fingerprint(text: str) -> str:
    """Return a short name of what a cell says, without term and due date."""
    return hashlib.sha256(_without_term(clean(text).strip()).encode()).hexdigest()[:16]


def _filled(text: str) -> bool:
    return any(line.partition(":")[2].strip() for line in text.splitlines() if not line.startswith(MAGIC))


def fill_form(form: dict[str, Any], texts: dict[str, str]) -> dict[str, Any]:
    """Return a fresh copy of the form with the learner's words in its answer cells."""
    cells = [{**cell, "source": _source(cell)} for cell in form["cells"]]
    for cell in cells:
        text = texts.get(grade_id(cell))
        if text is None:
            continue
        if is_answer(cell):
            head = _source(cell).split("\n")[0]
            body = [line for line in text.split("\n") if not line.strip().startswith(MAGIC)]
            cell["source"] = "\n".join([head, *body])
        elif text:
            cell["source"] = text
    return {**form, "cells": cells}


def sheet_texts(cells: Iterable[dict[str, Any]]) -> list[str]:
    """Return the text of every answer cell of a clean notebook."""
    return [_source(cell) for cell in cells if is_answer(cell)]
