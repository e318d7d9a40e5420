"""What an instructor teaches with: source notebooks, keys, rubrics with model answers, and where each line is taught.

The teaching material and every class folder made from it keep these in the same places, ``lessons/<lesson>``, so each
question here is asked of either. Nobody else knows where they lie.
"""

from __future__ import annotations

import shutil
import tempfile
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from coldcab.classroom.mending import MENDED, Mends, read_mends, widened
from coldcab.classroom.settings import NAME, ClassError
from coldcab.lessons import EDITION, LESSONS

if TYPE_CHECKING:
    from coldcab.assess import Assignment

CONFIGURATION = "nbgrader_config.py"
SOURCE, LESSON_FOLDERS, PASSAGES = "source", "lessons", "passages.toml"
EDITION_FILE = "edition.txt"
"""Which edition the sheets of a folder are; the first had no such file."""

KEYS, LAYOUT, WRITTEN = "keys.py", "layout.md", "written.md"


def missing_part(place: Path) -> str:
    """Return the name of what a class needs and ``place`` does not have, or nothing."""
    return next((part for part in (CONFIGURATION, LESSON_FOLDERS) if not (place / part).exists()), "")


def copy_material(material: Path, place: Path) -> None:
    """Copy the teaching material into the folder of a new class, and make the sheets' source notebooks from it.

    From then on the class's own source notebooks count; words of a sheet are corrected there.
    """
    from coldcab.classroom.sheets import source_text

    for part in (CONFIGURATION, SOURCE, LESSON_FOLDERS):
        if (material / part).is_dir():
            ignored = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints")
            shutil.copytree(material / part, place / part, ignore=ignored)
        elif (material / part).is_file():
            shutil.copyfile(material / part, place / part)
    for name in LESSONS:
        folder, target = material / LESSON_FOLDERS / name, source_file(place, name)
        if (folder / LAYOUT).is_file() and not target.is_file():
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(source_text(folder, name), encoding="utf-8")
    (place / SOURCE).mkdir(exist_ok=True)


def source_file(place: Path, name: str) -> Path:
    """Return where the source notebook of a sheet lies, whether or not it is there."""
    return place / SOURCE / name / f"{name}.ipynb"


def sheets(place: Path) -> tuple[str, ...]:
    """Return the names of the sheets that have a source notebook, in the order of the course."""
    return folders_with_notebook(place / SOURCE)


def folders_with_notebook(folder: Path) -> tuple[str, ...]:
    """Return the names of the folders in ``folder`` that hold a notebook of the same name.

    Those of the course come first, in its order.
    """
    found = (
        entry.name
        for entry in (folder.iterdir() if folder.is_dir() else ())
        if NAME.fullmatch(entry.name) and (entry / f"{entry.name}.ipynb").is_file()
    )
    place = {name: number for number, name in enumerate(LESSONS)}
    return tuple(sorted(found, key=lambda name: (place.get(name, len(place)), name)))


def teaching_material() -> Path:
    """Return the folder ``instructor`` of the checkout that coldcab runs from.

    Raises
    ------
    ClassError
        If coldcab does not run from a checkout.
    """
    folder = Path(__file__).parents[3] / "instructor"
    if missing_part(folder):
        raise ClassError("The teaching material is not part of what learners install; name it with --material.")
    return folder


def key_files(place: Path, name: str) -> list[tuple[str, Path]]:
    """Return the files that the key of one sheet is made of, and their names: the key, and tables that lie beside.

    Decisions about single lines (``mending``) come last.

    Raises
    ------
    ClassError
        If the class was made for another edition of the sheets.
    """
    edition = _edition(place)
    if edition != str(EDITION):
        raise ClassError(
            f"{place} was made for edition {edition} of the sheets, and this coldcab has edition {EDITION}: other "
            "lines, other numbers. Finish its term with the release of coldcab that made it, or make a new class "
            "with: coldcab class new."
        )
    folder = place / LESSON_FOLDERS / name
    if not (folder / KEYS).is_file():
        return []
    tables = (file for file in sorted(folder.glob("*.csv")) if file.is_file())
    mended = (file for file in (folder / MENDED,) if file.is_file())
    return [(file.name, file) for file in (folder / KEYS, *tables, *mended)]


def _edition(place: Path) -> str:
    file = place / LESSON_FOLDERS / EDITION_FILE
    return file.read_text(encoding="utf-8").strip() if file.is_file() else "1"


def load_key(name: str, files: Iterable[tuple[str, bytes]]) -> Assignment:
    """Return the sheet with its key from the names and contents of ``key_files``; a worker elsewhere has no more.

    Raises
    ------
    ClassError
        If the files hold no key for it.
    """
    from coldcab.lessons.keys import keyed

    files = tuple(files)
    with tempfile.TemporaryDirectory(prefix="coldcab-keys-") as alone:
        folder = Path(alone) / name
        folder.mkdir()
        for file, content in files:
            (folder / file).write_bytes(content)
        if not (folder / KEYS).is_file() or name not in LESSONS:
            raise ClassError(f"{name} has no key here; add {LESSON_FOLDERS}/{name}/{KEYS}.")
        found = keyed(folder, name)
    return widened(found, mends_in(files))


def mends_in(files: Iterable[tuple[str, bytes]]) -> Mends:
    """Return what was decided about single lines of a sheet, from the files of its key."""
    return next((read_mends(content.decode()) for file, content in files if file == MENDED), {})


def mends(place: Path, name: str) -> Mends:
    """Return what a class decided about single lines of a sheet."""
    return mends_in((file, path.read_bytes()) for file, path in key_files(place, name) if file == MENDED)


def key(place: Path, name: str) -> Assignment:
    """Return the sheet with its key.

    Raises
    ------
    ClassError
        If there is no key for it.
    """
    return load_key(name, ((inside, file.read_bytes()) for inside, file in key_files(place, name)))


def rubric(place: Path, name: str) -> str:
    """Return task, rubric and model answer of a sheet's written part as Markdown, or nothing where it has none."""
    if not NAME.fullmatch(name):
        return ""
    file = place / LESSON_FOLDERS / name / WRITTEN
    return file.read_text(encoding="utf-8") if file.is_file() else ""


def taught_in(place: Path, name: str) -> dict[str, tuple[str, ...]]:
    """Return the headings under which each line of a sheet is taught; nothing where no file says so.

    Raises
    ------
    ClassError
        If the file cannot be read.
    """
    file = place / LESSON_FOLDERS / name / PASSAGES
    try:
        lines = tomllib.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise ClassError(f"{file} cannot be read ({error}); mend it, or take the teaching material's again.") from error
    if not all(isinstance(found, str | list) for found in lines.values()):
        raise ClassError(f'{file} says nothing about lines of {name}; write  "label of the line" = "heading".')
    return {line: (found,) if isinstance(found, str) else tuple(found) for line, found in lines.items()}
