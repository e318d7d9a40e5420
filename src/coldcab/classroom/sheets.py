"""Source notebooks of the graded sheets, made from a lesson's lines, layout and written task.

``layout.md`` is plain Markdown. A comment ``<!-- name -->`` begins a cell; a fenced block of Python is a code cell
(``<!-- name, moves -->``: its output is not compared). A part (``<!-- part-1 -->``) lists its lines by their labels,
``- **label**``; prompt, points and example come from the lesson's ``lines``. Words behind a label take the place of the
example. ``written.md`` holds points, task, rubric and model answer of what is answered in the learner's own words.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from coldcab import units
from coldcab.assess import CHOICE, LIST, MAGIC, WORDS, Assignment, Item, Value
from coldcab.assess.reading import SEA_LEVEL
from coldcab.lessons import LESSONS
from coldcab.lessons.keys import keyed

REFERENCE_LEARNER, REFERENCE_TERM = "reference", "open"
"""For whom the source notebooks are solved; a sheet with these numbers was copied from the model answers."""

Cell = dict[str, Any]


@dataclass(frozen=True)
class Written:
    """The answer in the learner's own words: points, task, rubric and model answer, as Markdown."""

    points: int
    task: str
    rubric: str
    model: str


def read_written(text: str) -> Written:
    """Read ``written.md``.

    Raises
    ------
    ValueError
        If it has not the three headings Task, Rubric and Model answer below a title that ends with the points.
    """
    found = re.fullmatch(
        r"# .*?\((\d+) points\)\n+## Task\n+(.*?)\n+## Rubric\n+(.*?)\n+## Model answer\n+(.*?)\n*", text, re.DOTALL
    )
    if not found:
        raise ValueError("written.md needs a title with its points, “# … (4 points)”, then Task, Rubric, Model answer.")
    return Written(int(found[1]), found[2], found[3], found[4])


def write_value(item: Item, value: Value, case: Any, unit: str | None = None) -> str:
    """Write a value as a person does, in the unit of the form's example or in ``unit``."""
    if item.kind == CHOICE or isinstance(value, str):
        return str(value)
    if unit is None:
        unit = units.parse(item.example, item.kind).unit
    number = units.convert(value, item.kind, unit, atmosphere=getattr(case, "atmosphere", SEA_LEVEL)) if unit else value
    return f"{float(f'{number:.4g}'):,} {unit}".strip()


def source_notebook(sheet: Assignment, layout: str, written: Written) -> dict[str, Any]:
    """Return the solved source notebook of a graded sheet."""
    name = sheet.name
    case = sheet.case(REFERENCE_TERM, REFERENCE_LEARNER)
    answers = {item.label: write_value(item, item.answer(case), case) for item in sheet.items}
    points = sum(item.points for item in sheet.items) + written.points
    title = _template("title.md.j2", sheet=sheet, points=points, written=written.points, page=LESSONS[name])
    parts = [
        _text(f"{name}-title", title),
        _code(f"{name}-numbers", f"%load_ext coldcab\n%sheet {name}", moves=True),
    ]
    count = 0
    for cell in _cells(layout):
        full = f"{name}-{cell.name}"
        if cell.code:
            parts.append(_code(full, cell.body, moves=cell.moves))
            continue
        labels: list[str] = []
        body = "\n".join(_line(sheet, line, labels) for line in cell.body.split("\n"))
        parts.append(_text(full, body))
        if labels:
            count += 1
            lines = [f"{MAGIC} {name}", *(f"{label}: {answers[label]}" for label in labels)]
            parts.append(_answers(f"{name}-answers-{count}", "\n".join(lines)))
    task = f"## {count + 1} · In your own words ({written.points})\n\n{written.task}"
    parts += [
        _text(f"{name}-part-written", task),
        _own_words(f"{name}-written", written),
        _text(f"{name}-hand-in", _template("hand-in.md.j2")),
        *(_check(name, item) for item in sheet.items),
    ]
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    metadata = {"kernelspec": kernel, "language_info": {"name": "python"}}
    return {"cells": parts, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}


MODEL = """\
### BEGIN SOLUTION
{model}
### END SOLUTION"""


def _template(name: str, **words: Any) -> str:
    pages = Environment(
        loader=PackageLoader("coldcab.classroom", "templates/sheet"), undefined=StrictUndefined, autoescape=False
    )
    return pages.get_template(name).render(words)


@dataclass(frozen=True)
class _Part:
    name: str
    body: str
    code: bool
    moves: bool


def _cells(layout: str) -> Iterator[_Part]:
    pieces = re.split(r"^<!-- ([a-z0-9-]+)(, moves)? -->\n", layout.strip() + "\n", flags=re.MULTILINE)
    if pieces[0].strip():
        raise ValueError(f"layout.md begins with {pieces[0].strip()[:40]!r}; each cell begins with <!-- its name -->.")
    for name, moves, raw in zip(pieces[1::3], pieces[2::3], pieces[3::3], strict=True):
        body = raw.strip("\n")
        code = re.fullmatch(r"```python\n(.*)\n```", body, re.DOTALL)
        yield _Part(name, code[1] if code else body, bool(code), bool(moves))


_LINE = re.compile(r"- \*\*(.+?)\*\*(?: (.+))?")


def _line(sheet: Assignment, line: str, labels: list[str]) -> str:
    found = _LINE.fullmatch(line)
    if not found:
        return line
    item = sheet.item(found[1])
    labels.append(item.label)
    worth = f"{item.points:g}, safety" if item.safety else f"{item.points:g}"
    return f"- **{item.label}** ({worth}): {item.prompt} {found[2] or how_written(item)}"


def how_written(item: Item) -> str:
    """Say how a line is answered: with one of its choices, or like its example, in the trade's unit and in metric."""
    if item.kind in WORDS and item.choices:
        how = "Write one or several of" if item.kind == LIST else "Write one of"
        return f"{how}: {', '.join(f'`{choice}`' for choice in item.choices)}."
    metric = units.in_order(item.example, "si").partition(" (")[0]
    if metric == item.example:
        return f"For example `{item.example}`."
    return f"For example `{item.example}` or `{metric}`."


def _metadata(name: str, *, points: float | None = None, answered: bool = False, **more: Any) -> dict[str, Any]:
    """What nbgrader must know of a cell: only what learners answer is open; what has points is graded."""
    marks = {"grade": points is not None, "grade_id": name, "locked": not answered, "solution": answered}
    marks |= {"schema_version": 3, "task": False} | ({} if points is None else {"points": points})
    return {**more, "nbgrader": marks}


def _cell(kind: str, name: str, text: str, metadata: dict[str, Any]) -> Cell:
    cell: Cell = {"cell_type": kind, "id": name, "metadata": metadata, "source": text.splitlines(keepends=True)}
    return cell | ({"execution_count": None, "outputs": []} if kind == "code" else {})


def _text(name: str, text: str) -> Cell:
    return _cell("markdown", name, text, _metadata(name))


_HIDDEN = {"source_hidden": True}


def _code(name: str, text: str, *, moves: bool) -> Cell:
    tags = {"tags": ["nbval-ignore-output"]} if moves else {}
    return _cell("code", name, text, _metadata(name, jupyter=_HIDDEN, **tags))


def _answers(name: str, text: str) -> Cell:
    return _cell("code", name, text, _metadata(name, answered=True))


def _own_words(name: str, written: Written) -> Cell:
    metadata = _metadata(name, answered=True, points=written.points)
    return _cell("markdown", name, MODEL.format(model=written.model), metadata)


def _check(name: str, item: Item) -> Cell:
    full = f"{name}-{re.sub(r'[^a-z0-9]+', '-', item.label.lower()).strip('-')}"
    points = int(item.points) if item.points == int(item.points) else item.points
    return _cell("code", full, f"%check {item.label}", _metadata(full, points=points, jupyter=_HIDDEN))


def source_text(folder: Path, name: str) -> str:
    """Return the solved source notebook of a graded sheet as text, from its folder in the teaching material."""
    changed = tuple(file.stat().st_mtime_ns for file in sorted(folder.iterdir()) if file.is_file())
    return _source_text(folder, name, changed)


@lru_cache(maxsize=2 * len(LESSONS))
def _source_text(folder: Path, name: str, changed: tuple[int, ...]) -> str:
    layout, written = ((folder / file).read_text(encoding="utf-8") for file in ("layout.md", "written.md"))
    return notebook_text(source_notebook(keyed(folder, name), layout, read_written(written)))


def notebook_text(book: dict[str, Any]) -> str:
    """Return a notebook as the text of its file."""
    return json.dumps(book, indent=1, ensure_ascii=False, sort_keys=True) + "\n"
