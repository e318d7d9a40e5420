"""From a source notebook with model answers to the blank form that learners get."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import UTC
from pathlib import Path
from typing import Any

from coldcab.classroom import intake, material
from coldcab.classroom.folder import ClassError, ClassFolder, environment_on_path, own_folder
from coldcab.classroom.forms import remember_form
from coldcab.classroom.gradebook import enter_roster, sheet_book
from coldcab.classroom.nbgrader_process import load_configuration, load_soon, one_gradebook_engine, quiet, run_converter
from coldcab.classroom.submission_files import read_plain_file


def release(
    folder: ClassFolder, names: tuple[str, ...] = (), *, progress: Callable[[str], None] = lambda text: None
) -> tuple[str, ...]:
    """Make the forms of the named assignments, or of all; return their names.

    A form may be made again with corrected words, also after sheets came in; its cells must then stay the same.

    Raises
    ------
    ClassError
        If the source notebook and its key do not fit each other, or a form cannot be made; an earlier one stays.
    """
    load_soon()
    from nbgrader.converters import GenerateAssignment
    from nbgrader.coursedir import CourseDirectory

    chosen = folder.choose(names, folder.assignments(), "Its notebook belongs in source/<name>/<name>.ipynb.")
    configuration = load_configuration(folder)
    enter_roster(folder)
    with environment_on_path(), one_gradebook_engine(), quiet():
        for name in chosen:
            check_source(folder, name)
            progress(f"Making {name} ...")
            place = CourseDirectory(config=configuration)
            place.assignment_id = name
            maker = GenerateAssignment(coursedir=place, config=configuration)
            maker.force = True
            remember_form(folder, name)
            with _kept_on_failure(own_folder(folder.path, "release") / name):
                run_converter(maker, f"the form of {name} could not be made")
            write_due(folder, name)
    return chosen


def write_due(folder: ClassFolder, name: str) -> None:
    """Tell the gradebook when a sheet is due, as the settings of the class say."""
    due = folder.settings.due_time(name)
    with sheet_book(folder, name) as book:
        book.set_due(due.astimezone(UTC).replace(tzinfo=None) if due else None)


def release_to_exchange(folder: ClassFolder, name: str) -> None:
    """Put a released form into nbgrader's exchange, or the corrected one in its place.

    Raises
    ------
    ClassError
        If the settings name no course, or the exchange cannot be written.
    """
    from nbgrader.exchange.default import ExchangeReleaseAssignment

    _exchange(folder, name, ExchangeReleaseAssignment, "it could not be put into the exchange", force=True)


def feedback_to_exchange(folder: ClassFolder, name: str) -> None:
    """Give the feedback pages out through nbgrader's exchange.

    Raises
    ------
    ClassError
        If the settings name no course, or the exchange cannot be written.
    """
    from nbgrader.exchange.default import ExchangeReleaseFeedback

    came_otherwise = [
        learner.id
        for learner in folder.learners()
        if not (folder.feedback / learner.id / name / "submission_secret.txt").is_file()
    ]
    _exchange(
        folder, name, ExchangeReleaseFeedback, "the pages could not be put into the exchange", without=came_otherwise
    )


def _exchange(
    folder: ClassFolder, name: str, kind: type, what: str, *, without: Sequence[str] = (), **traits: Any
) -> None:
    from nbgrader.auth import Authenticator
    from nbgrader.coursedir import CourseDirectory
    from nbgrader.exchange import ExchangeError

    if not folder.settings.course:
        raise ClassError('The exchange needs the name of the course; write  course = "..."  into class.toml.')
    configuration = load_configuration(folder)
    with environment_on_path(), quiet():
        place = CourseDirectory(config=configuration)
        place.assignment_id, place.student_id_exclude = name, ",".join(without)
        try:
            kind(
                coursedir=place, authenticator=Authenticator(config=configuration), config=configuration, **traits
            ).start()
        except (ExchangeError, OSError) as error:
            raise ClassError(f"{name}: {what} ({error}).") from error


def check_source(folder: ClassFolder, name: str) -> None:
    """Compare a source notebook with its key and with what is in the gradebook, before a form is made of it.

    Raises
    ------
    ClassError
        If a line has no grading cell or other points than in the key, or if cells came or went after sheets were
        handed in: nbgrader could not place the scores any more.
    """
    from nbgrader.api import Gradebook, MissingEntry

    file = material.source_file(folder.path, name)
    try:
        cells = intake.parse_notebook(read_plain_file(file))
    except intake.NotGradable as error:
        raise ClassError(f"{file} cannot be used: {error}.") from None
    items = {item.label: item.points for item in material.key(folder.path, name).items}
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
