"""What an instructor teaches with: source notebooks, keys, rubrics with model answers, and where each line is taught.

The teaching material and every class folder made from it keep these in the same places, so each question here is
asked of either. Nobody else knows where they lie.
"""

from __future__ import annotations

import json
import re
import shutil
import tempfile
import tomllib
from collections.abc import Iterable
from pathlib import Path

from coldcab.assess import Assignment, load_reference
from coldcab.classroom.settings import NAME, ClassError

CONFIGURATION = "nbgrader_config.py"
SOURCE, KEYS, RUBRICS, PASSAGES = "source", "reference", "rubrics", "passages.toml"

_SOLUTION = re.compile(r"### BEGIN SOLUTION\s*(.+?)\s*### END SOLUTION", re.DOTALL)


def missing_part(place: Path) -> str:
    """Return the name of what a class needs and ``place`` does not have, or nothing."""
    return next((part for part in (CONFIGURATION, SOURCE, KEYS) if not (place / part).exists()), "")


def copy_material(material: Path, place: Path) -> None:
    """Copy the teaching material into the folder of a new class."""
    for part in (CONFIGURATION, SOURCE, KEYS, RUBRICS, PASSAGES):
        if (material / part).is_dir():
            ignored = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints")
            shutil.copytree(material / part, place / part, ignore=ignored)
        elif (material / part).is_file():
            shutil.copyfile(material / part, place / part)


def source_file(place: Path, name: str) -> Path:
    """Return where the source notebook of a sheet lies, whether or not it is there."""
    return place / SOURCE / name / f"{name}.ipynb"


def sheets(place: Path) -> tuple[str, ...]:
    """Return the names of the sheets that have a source notebook, sorted."""
    return folders_with_notebook(place / SOURCE)


def folders_with_notebook(folder: Path) -> tuple[str, ...]:
    """Return the names of the folders in ``folder`` that hold a notebook of the same name, sorted."""
    return tuple(
        sorted(
            entry.name
            for entry in (folder.iterdir() if folder.is_dir() else ())
            if NAME.fullmatch(entry.name) and (entry / f"{entry.name}.ipynb").is_file()
        )
    )


def key_files(place: Path, name: str) -> list[Path]:
    """Return the files that the key of one sheet is made of: its own, and tables that lie beside.

    Where no file has the sheet's name, any of them may define it.
    """
    folder = place / KEYS
    own = folder / f"{name.replace('-', '_')}.py"
    programs = [own] if own.is_file() else sorted(folder.glob("*.py"))
    tables = (file for file in sorted(folder.glob("*")) if file.is_file() and file.suffix not in (".py", ".pyc"))
    return [*programs, *tables]


def load_key(name: str, files: Iterable[tuple[str, bytes]]) -> Assignment:
    """Return the sheet with its key from the names and contents of ``key_files``; a worker elsewhere has no more.

    Raises
    ------
    ClassError
        If none of the files has a key for it.
    """
    with tempfile.TemporaryDirectory(prefix="coldcab-keys-") as alone:
        for file, content in files:
            Path(alone, file).write_bytes(content)
        found = load_reference(alone)
    if name not in found:
        raise ClassError(f"{name} has no key here; add {KEYS}/{name.replace('-', '_')}.py.")
    return found[name]


def key(place: Path, name: str) -> Assignment:
    """Return the sheet with its key.

    Raises
    ------
    ClassError
        If there is no key for it.
    """
    return load_key(name, ((file.name, file.read_bytes()) for file in key_files(place, name)))


def rubric(place: Path, name: str) -> str:
    """Return the rubric of a sheet and its model answers as Markdown, or nothing where it has no rubric."""
    file = place / RUBRICS / f"{name}.md"
    if not NAME.fullmatch(name) or not file.is_file():
        return ""
    answers = (f"\n\n## Model answer\n\n{answer}\n" for answer in model_answers(place, name))
    return file.read_text(encoding="utf-8") + "".join(answers)


def model_answers(place: Path, name: str) -> list[str]:
    """Return the model answers to the written questions of a sheet; a source that cannot be read has none."""
    try:
        cells = json.loads(source_file(place, name).read_text(encoding="utf-8"))["cells"]
        texts = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown"]
    except (OSError, ValueError, KeyError, TypeError):
        return []
    return [found for text in texts for found in _SOLUTION.findall(text)]


def taught_in(place: Path) -> dict[str, dict[str, tuple[str, ...]]]:
    """Return the headings under which each line of each sheet is taught; nothing where no file says so.

    Raises
    ------
    ClassError
        If the file cannot be read.
    """
    file = place / PASSAGES
    try:
        read = tomllib.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise ClassError(f"{file} cannot be read ({error}); mend it, or take the teaching material's again.") from error
    places: dict[str, dict[str, tuple[str, ...]]] = {}
    for sheet, lines in read.items():
        if not isinstance(lines, dict) or not all(isinstance(found, str | list) for found in lines.values()):
            raise ClassError(
                f"{file} says nothing about lines under {sheet!r}; write  [{sheet}]  and the lines below it."
            )
        places[sheet] = {line: (found,) if isinstance(found, str) else tuple(found) for line, found in lines.items()}
    return places
