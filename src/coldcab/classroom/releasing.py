"""From a source notebook with model answers to the blank form that learners get."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from coldcab.assess import Assignment, load_reference
from coldcab.classroom import intake
from coldcab.classroom.folder import ClassError, ClassFolder, environment_on_path, own_folder
from coldcab.classroom.running import load_configuration, one_gradebook_engine, quiet, run_converter


def release(folder: ClassFolder, names: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Make the forms of the named assignments, or of all; return their names.

    A form may be made again with corrected words, also after sheets came in; its cells must then stay the same.

    Raises
    ------
    ClassError
        If the source notebook and its key do not fit each other, or a form cannot be made; an earlier one stays.
    """
    from nbgrader.converters import GenerateAssignment
    from nbgrader.coursedir import CourseDirectory

    chosen = folder.choose(names, folder.assignments(), "Its notebook belongs in source/<name>/<name>.ipynb.")
    configuration = load_configuration(folder)
    with environment_on_path(), one_gradebook_engine(), quiet():
        for name in chosen:
            check_source(folder, name)
            place = CourseDirectory(config=configuration)
            place.assignment_id = name
            maker = GenerateAssignment(coursedir=place, config=configuration)
            maker.force = True
            with _kept_on_failure(own_folder(folder.path, "release") / name):
                run_converter(maker, f"the form of {name} could not be made")
    return chosen


def check_source(folder: ClassFolder, name: str) -> None:
    """Compare a source notebook with its key and with what is in the gradebook, before a form is made of it.

    Raises
    ------
    ClassError
        If a line has no grading cell or other points than in the key, or if cells came or went after sheets were
        handed in: nbgrader could not place the scores any more.
    """
    from nbgrader.api import Gradebook, MissingEntry

    file = folder.source / name / f"{name}.ipynb"
    try:
        cells = intake.parse_notebook(intake.read_plain_file(file))
    except intake.NotGradable as error:
        raise ClassError(f"{file} cannot be used: {error}.") from None
    items = {item.label: item.points for item in key_of(folder, name).items}
    there: dict[str, float] = {}
    for cell in cells:
        text = "".join(cell.get("source", ""))
        if text.startswith("%check ") and _is_recorded(cell):
            there[text.removeprefix("%check ").strip()] = float(cell["metadata"]["nbgrader"].get("points", 0))
    for label in {**items, **there}:
        if items.get(label) != there.get(label):
            raise ClassError(
                f"{name}, line {label!r}: the key gives {_points(items.get(label))}, the notebook "
                f"{_points(there.get(label))}; make both the same."
            )
    with Gradebook(folder.gradebook_url) as gradebook, suppress(MissingEntry):
        notebook = gradebook.find_notebook(name, name)
        before = {cell.name for cell in notebook.source_cells}
        now = {intake.grade_id(cell) for cell in cells if _is_recorded(cell)}
        if notebook.submissions and before != now:
            raise ClassError(
                f"{name} has been handed in already, so its cells must stay the same; added or removed: "
                f"{', '.join(sorted(before ^ now))}. Words may be corrected, or give the new sheet a name of its own."
            )


def _is_recorded(cell: dict[str, Any]) -> bool:
    """Whether nbgrader keeps a cell in the gradebook."""
    about = cell.get("metadata", {}).get("nbgrader", {})
    return any(about.get(role) for role in ("grade", "solution", "locked", "task"))


def _points(points: float | None) -> str:
    return "no such line" if points is None else f"{points:g} points"


@contextmanager
def _kept_on_failure(path: Path) -> Iterator[None]:
    """Put a folder back as it was if what replaces it fails."""
    with tempfile.TemporaryDirectory(dir=path.parent, prefix=".") as aside:
        kept = Path(aside) / path.name
        if path.is_dir():
            shutil.copytree(path, kept)
        try:
            yield
        except BaseException:
            if kept.is_dir():
                shutil.rmtree(path, ignore_errors=True)
                shutil.move(kept, path)
            raise


def form_of(folder: ClassFolder, name: str) -> dict[str, Any]:
    """Return the released form of an assignment.

    Raises
    ------
    ClassError
        If it has not been released.
    """
    file = folder.form_file(name)
    if not file.is_file():
        raise ClassError(f"{name} has not been released in this class; run: coldcab class release {name}")
    return json.loads(file.read_text(encoding="utf-8"))


def key_of(folder: ClassFolder, name: str) -> Assignment:
    """Return the assignment with its key.

    Raises
    ------
    ClassError
        If the class has no key for it.
    """
    references = load_reference(folder.reference)
    if name not in references:
        raise ClassError(f"{name} has no key in {folder.reference}; add reference/{name.replace('-', '_')}.py.")
    return references[name]
