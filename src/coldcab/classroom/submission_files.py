"""The files that learners handed in: which one counts, its bytes, and when it came. Links are never followed."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from coldcab.assess.sheet import clean
from coldcab.classroom.intake import NotGradable

LARGEST_FILE = 5_000_000
"""Bytes; a filled sheet with its outputs has about 100,000."""


def find_notebook(inbox: Path, learner: str, assignment: str) -> Path:
    """Return the file that a learner handed in.

    It is ``inbox/<learner>/<assignment>/<any name>.ipynb`` or ``inbox/<learner>/<assignment>.ipynb``.

    Raises
    ------
    FileNotFoundError
        If the learner handed in nothing.
    NotGradable
        If there is something, but not one plain notebook.
    """
    own = inbox / learner
    try:
        for folder in (inbox, own):
            if folder.is_symlink():
                raise NotGradable(f"{folder.name} in the inbox is a link, not a folder")
        if not os.path.lexists(own):
            raise FileNotFoundError(own)
        if not own.is_dir():
            raise NotGradable(f"{learner} in the inbox is a file; make a folder of that name and put the file into it")
        single, folder = own / f"{assignment}.ipynb", own / assignment
        if folder.is_symlink():
            raise NotGradable(f"{assignment} is a link, not a folder")
        found = [entry for entry in notebooks_in(own) if entry.name.lower() == single.name.lower()]
        if folder.is_dir():
            found += notebooks_in(folder)
            if not found:
                raise NotGradable(_problem_in(folder) or "the folder holds no notebook")
        elif os.path.lexists(folder):
            raise NotGradable(f"{learner}/{assignment} in the inbox is a file without the ending .ipynb")
    except PermissionError as error:
        raise NotGradable(f"the folder cannot be opened ({error.strerror})") from None
    if not found:
        raise FileNotFoundError(single)
    if len(found) > 1:
        raise NotGradable(f"there are {len(found)} notebooks; keep the one that counts")
    return found[0]


def notebooks_in(folder: Path) -> list[Path]:
    """Return what lies in a folder under the ending of a notebook, in capitals too; sorted."""
    return sorted(entry for entry in folder.iterdir() if entry.suffix.lower() == ".ipynb")


PROBLEM = "problem.txt"
"""Beside which no notebook lies: why what was collected could not be put there."""


def _problem_in(folder: Path) -> str:
    if not os.path.lexists(folder / PROBLEM):
        return ""
    return showable_name(read_plain_file(folder / PROBLEM)[:300].decode(errors="replace"))


def stray_notebooks(inbox: Path, learner: str, assignments: Iterable[str]) -> tuple[str, ...]:
    """Return the names of notebooks that lie in a learner's folder under a name that belongs to no assignment."""
    known = {f"{assignment}.ipynb".lower() for assignment in assignments}
    try:
        found = notebooks_in(inbox / learner)
    except OSError:
        return ()
    return tuple(showable_name(file.name) for file in found if file.name.lower() not in known)


def showable_name(name: str) -> str:
    """Return the name of a file so that it can be shown: one line, no control characters, no broken letters."""
    return " ".join(clean(name).split()) or "a name that cannot be shown"


def read_plain_file(path: Path) -> bytes:
    """Return the bytes of a regular file of reasonable size; links and anything else are refused unread.

    Raises
    ------
    NotGradable
        If it is something else.
    """
    try:
        kind = os.lstat(path)
    except OSError as error:
        raise NotGradable(f"the file cannot be read ({error.strerror})") from None
    if stat.S_ISLNK(kind.st_mode):
        raise NotGradable("the file is a link to another place")
    if not stat.S_ISREG(kind.st_mode):
        raise NotGradable("it is not a plain file")
    if kind.st_size == 0:
        raise NotGradable("the file is empty")
    if kind.st_size > LARGEST_FILE:
        raise NotGradable(f"the file has {kind.st_size / 1e6:.0f} MB; a sheet has less than {LARGEST_FILE / 1e6:.0f}")
    try:
        # O_NOFOLLOW closes the gap between looking and opening.
        with os.fdopen(os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0)), "rb") as file:
            return file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise NotGradable(f"the file cannot be read ({error.strerror})") from None


def time_of(file: Path) -> str:
    """Return when a submission came, in UTC as nbgrader reads it.

    That is what ``timestamp.txt`` beside the file says (nbgrader's exchange writes one), else the time of the file.

    Raises
    ------
    NotGradable
        If nothing can have been handed in then.
    """
    try:
        said = read_plain_file(file.with_name("timestamp.txt"))[:64].decode().strip()
    except (NotGradable, ValueError):
        said = ""
    moment = _moment(said)
    if moment is None:
        return _checked_time(file_time(file), "the file", "set its time")
    return _checked_time(moment, "timestamp.txt", "correct it or remove it", said)


_STAMP = re.compile(r"(\d{4}-\d\d-\d\d[ T]\d\d:\d\d(?::\d\d(?:\.\d{1,6})?)?) ?(.*)", re.ASCII)
_OFFSET = re.compile(r"([+-])(\d\d):?(\d\d)?", re.ASCII)


def _moment(said: str) -> datetime | None:
    """Return the moment that nbgrader wrote, in UTC without a zone; None where it is none.

    Read here and not by a guesser of dates: what stands there came from a learner.
    """
    stamp = _STAMP.fullmatch(said)
    if stamp is None:
        return None
    try:
        moment = datetime.fromisoformat(stamp[1])
        offset = _offset(stamp[2], moment)
    except ValueError:
        return None
    try:
        return moment - offset
    except OverflowError:
        return datetime.min


def _offset(zone: str, moment: datetime) -> timedelta:
    """Return how far a zone is ahead of UTC; one that nobody knows is taken for UTC, as nbgrader does."""
    if numbers := _OFFSET.fullmatch(zone):
        size = timedelta(hours=int(numbers[2]), minutes=int(numbers[3] or 0))
        return -size if numbers[1] == "-" else size
    try:
        return ZoneInfo(zone).utcoffset(moment) or timedelta(0)
    except (KeyError, OSError, ValueError, OverflowError):
        return timedelta(0)


FIRST_YEAR, LAST_YEAR = 1970, 2100
"""Years of which a hand-in is believed; a broken clock or a joke gives others."""


def _checked_time(moment: datetime | None, where: str, advice: str, said: str = "") -> str:
    if moment is None or not FIRST_YEAR <= moment.year <= LAST_YEAR:
        said = showable_name(said) if said else "another age" if moment is None else f"the year {moment.year}"
        raise NotGradable(f"{where} says {said}, when nothing can have been handed in; {advice}")
    return f"{moment:%Y-%m-%d %H:%M:%S} UTC"


def file_time(file: Path) -> datetime | None:
    """Return when a file was written, or None where its time is none of a calendar."""
    try:
        return datetime.fromtimestamp(file.lstat().st_mtime, UTC)
    except (ValueError, OverflowError):
        return None
