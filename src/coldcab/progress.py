"""What a learner's copy remembers between two evenings: one small JSON file for each place.

The files lie in ``.coldcab/progress`` in the learner's folder, beside the list of what was delivered there: a hidden
folder, the course's own, which copying and collecting leave alone. A place is a name such as ``practice/cycle-1``. A
file is written whole or not at all. Nothing here ever raises into a page: what cannot be kept is not kept, what cannot
be read counts as nothing.

Nothing is kept where there is no learner's copy (the course's own folder, its tests, making its pages), nor while a
collected sheet is marked.
"""

from __future__ import annotations

import json
import os
import re
import sys
from pathlib import Path
from typing import TypeAlias

from coldcab import learner

FOLDER = "progress"
LARGEST = 256 * 1024
"""Bytes of one place; more than that is not kept."""
MARKING_VARIABLE = "COLDCAB_REFERENCE"
START = "start-here.ipynb"
MOST_SET_ASIDE = 99

Json: TypeAlias = "bool | int | float | str | list[Json] | dict[str, Json] | None"

_PLACE = re.compile(r"[a-z0-9][a-z0-9_.-]{0,63}(?:/[a-z0-9][a-z0-9_.-]{0,63}){0,2}")


def folder(start: Path | str | None = None) -> Path | None:
    """Return the folder of the learner's copy that ``start`` (default: the current folder) lies in, or None.

    A copy is told by the list of delivered files that ``coldcab open`` leaves, so it needs no learner's id; the
    variable COLDCAB_LEARNER_FOLDER names a folder instead. In a browser the folder of the lessons is the learner's.
    """
    if os.environ.get(MARKING_VARIABLE):
        return None
    named = os.environ.get(learner.FOLDER_VARIABLE)
    if named and start is None:
        return Path(named).expanduser()
    try:
        here = (Path(start) if start is not None else Path.cwd()).expanduser().absolute()
        return next((one for one in (here, *here.parents) if _is_copy(one)), None)
    except OSError:  # the current folder is gone, or may not be looked into
        return None


def _is_copy(place: Path) -> bool:
    if sys.platform == "emscripten" and (place / START).is_file():
        return True
    return (place / learner.STATE_FOLDER / learner.DELIVERED).is_file()


def kept(place: str) -> Json:
    """Return what was kept under ``place`` (small letters, digits, dots, dashes, up to three names with slashes), or
    None. A file that cannot be understood is set aside under another name, never overwritten."""
    path = _path(place)
    return _read(path)[1] if path is not None else None


def keep(place: str, value: object) -> bool:
    """Keep ``value`` under ``place`` and return whether that was possible; None as a value forgets the place.

    Anything that JSON can hold is a value; numbers must be finite.
    Call it when a person has finished a move, not for every pixel of it. The newest of several writers wins.
    """
    path = _path(place)
    if path is None:
        return False
    try:
        data = json.dumps(value, ensure_ascii=False, allow_nan=False, indent=1).encode()
    except (TypeError, ValueError, RecursionError):
        return False
    if len(data) > LARGEST or not _read(path)[0]:
        return False
    try:
        if value is None and not path.exists():
            return True
        path.parent.mkdir(parents=True, exist_ok=True)
        learner.write_whole(path, data, sure=False)
    except OSError:
        return False
    return True


def _path(place: str) -> Path | None:
    here = folder()
    if here is None or not _PLACE.fullmatch(place):
        return None
    return here / learner.STATE_FOLDER / FOLDER / f"{place}.json"


def _read(path: Path) -> tuple[bool, Json]:
    """Return whether the place is fit to be written, and what lies there."""
    try:
        if path.stat().st_size > LARGEST:
            return _set_aside(path), None
        return True, json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return True, None
    except (ValueError, RecursionError):
        return _set_aside(path), None
    except OSError:
        return False, None


def _set_aside(path: Path) -> bool:
    for number in range(1, MOST_SET_ASIDE + 1):
        other = path.with_name(f"{path.name}.unread-{number}")
        if not other.exists():
            try:
                os.replace(path, other)
            except OSError:
                return False
            return True
    return False
