"""The class folder: what lies where, who is on the roster, and how a new one is made."""

from __future__ import annotations

import difflib
import os
import stat
import sys
import uuid
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from coldcab.classroom.material import CONFIGURATION, SOURCE, copy_material, folders_with_notebook, missing_part, sheets
from coldcab.classroom.roster import Learner, read_roster, write_roster
from coldcab.classroom.settings import (
    OPEN_TERM,
    ClassError,
    Settings,
    check_name,
    check_units,
    gradebook_url,
    parse_due,
    read_settings,
    write_settings,
)

__all__ = ["OPEN_TERM", "ClassError", "ClassFolder", "Learner", "environment_on_path", "own_folder", "write_file"]


@dataclass(frozen=True)
class ClassFolder:
    """A class: one folder with everything that the instructor keeps."""

    path: Path
    term: str

    @classmethod
    def open(cls, path: str | Path = ".") -> ClassFolder:
        """Return the class that lies in ``path``.

        Raises
        ------
        ClassError
            If there is none.
        """
        path = Path(path).resolve()
        if not (path / CONFIGURATION).is_file() or not (path / SOURCE).is_dir():
            raise ClassError(
                f"{path} is not a class folder; make one with: coldcab class new FOLDER --term TERM, "
                "or name yours with --folder."
            )
        return cls(path, read_settings(path).term)

    @classmethod
    def create(
        cls,
        path: str | Path,
        term: str,
        *,
        roster: str | Path | None,
        material: str | Path,
        zone: str = "UTC",
        gradebook: str = "",
        course: str = "",
        units: str = "us",
    ) -> ClassFolder:
        """Make a new class folder from the teaching material.

        Parameters
        ----------
        path
            A folder that does not exist yet or is empty.
        term
            Part of what every learner's numbers are drawn from, for example ``2026-autumn``.
        roster
            CSV file with the columns id, first_name, last_name, email; without it an empty roster is made.
        material
            Folder with ``nbgrader_config.py`` and ``lessons``.
        zone
            The time zone in which hand-in times are meant and shown, for example ``Europe/Vienna``.
        gradebook
            URL of the gradebook's database; without it the gradebook is a file in the folder.
        course
            nbgrader's name of the course, where its exchange is used.
        units
            Which come first on all that the class gives out: "us" or "si".

        Raises
        ------
        ClassError
            If the folder is in use, the term or the roster cannot be used, or the material is not complete.
        """
        path, material = Path(path).resolve(), Path(material).resolve()
        check_name(term, "term", "2026-autumn")
        if course:
            check_name(course, "course", "cab-air-2026")
        check_units(units)
        parse_due("2026-01-01 00:00", zone)
        if path.exists() and (not path.is_dir() or any(path.iterdir())):
            raise ClassError(f"{path} is in use; name a folder that does not exist yet.")
        if part := missing_part(material):
            raise ClassError(f"{material} has no {part}; name the folder of the teaching material with --material.")
        learners = read_roster(Path(roster)) if roster else ()
        for part in ("inbox", "submitted", "release", "autograded", "feedback", "records"):
            (path / part).mkdir(parents=True)
        copy_material(material, path)
        write_settings(path, Settings(term, zone, gradebook, course, units=units))
        write_roster(path / "roster.csv", learners)
        return cls(path, term)

    release = property(lambda self: self.path / "release")
    inbox = property(lambda self: self.path / "inbox")
    submitted = property(lambda self: self.path / "submitted")
    autograded = property(lambda self: self.path / "autograded")
    feedback = property(lambda self: self.path / "feedback")
    records = property(lambda self: self.path / "records")
    report = property(lambda self: self.path / "report")
    roster = property(lambda self: self.path / "roster.csv")
    gradebook_url = property(lambda self: gradebook_url(self.path))
    settings = property(lambda self: read_settings(self.path))
    units = property(lambda self: self.settings.units)

    def assignments(self) -> tuple[str, ...]:
        """Return the names of the assignments that have a source notebook."""
        return sheets(self.path)

    def released(self) -> tuple[str, ...]:
        """Return the names of the assignments whose form has been made."""
        return folders_with_notebook(self.release)

    def form_file(self, assignment: str) -> Path:
        """Return where the form of an assignment lies."""
        return self.release / assignment / f"{assignment}.ipynb"

    def choose(self, wanted: tuple[str, ...], among: tuple[str, ...], missing: str) -> tuple[str, ...]:
        """Return ``wanted``, or all of ``among`` where nothing was named.

        Raises
        ------
        ClassError
            If one is not among them; ``missing`` says what to do.
        """
        for name in wanted:
            if name not in among:
                there = f"there are {', '.join(among)}" if among else "there is none yet"
                known = name in self.assignments()
                near = [] if known else difflib.get_close_matches(name.lower(), among, 1)
                raise ClassError(
                    f"There is no sheet {name!r} here; did you mean {near[0]!r}?" if near else
                    f"There is no sheet {name!r} here; {there}. {missing}"
                )  # fmt: skip
        if not wanted and not among:
            raise ClassError(f"There is no sheet here yet. {missing}")
        return wanted or among

    def learners(self) -> tuple[Learner, ...]:
        """Return the roster.

        Raises
        ------
        ClassError
            If it cannot be read.
        """
        return read_roster(self.roster)

    def blocked(self, learner: Learner, name: str) -> str:
        """Return why nothing may be written for a learner: a folder of theirs is a link elsewhere. Else nothing."""
        for part in ("submitted", "autograded", "feedback"):
            for place in (self.path / part / learner.id, self.path / part / learner.id / name):
                if place.is_symlink():
                    return f"{place.relative_to(self.path)} is a link; remove it, then grade again"
                if place.exists() and not place.is_dir():
                    return f"{place.relative_to(self.path)} is a file, not a folder; move it away, then grade again"
        return ""


def own_folder(root: Path, *names: str) -> Path:
    """Return ``root/names…``, making what is missing, and following no link on the way.

    Raises
    ------
    ClassError
        If a part of the way is a link or a file.
    """
    path = root
    for name in names:
        path = path / name
        if path.is_symlink() or (path.exists() and not path.is_dir()):
            raise ClassError(f"{path} is not a plain folder; move it away, then try again.")
        path.mkdir(exist_ok=True)
    return path


def write_file(path: Path, data: bytes, *, moment: float | None = None) -> None:
    """Write a file in one step: it is the old one or the new one, never half of it; ``moment`` becomes its time.

    For what can be made again. Unlike ``learner.write_whole`` it does not wait for the disk, which takes longer than
    marking a sheet does; a record knows the size of what it speaks of, so that a file lost with the power is noticed.
    """
    if moment is None and _holds(path, data):
        return  # replacing a file costs a disk more than reading it
    part = path.with_name(f".{path.name[-100:]}.{uuid.uuid4().hex}.part")
    try:
        part.write_bytes(data)
        if moment is not None:
            os.utime(part, (moment, moment))
        os.replace(part, path)
    finally:
        with suppress(FileNotFoundError):
            part.unlink()


def _holds(path: Path, data: bytes) -> bool:
    try:
        kind = os.lstat(path)
        return stat.S_ISREG(kind.st_mode) and kind.st_size == len(data) and path.read_bytes() == data
    except OSError:
        return False


@contextmanager
def environment_on_path() -> Iterator[None]:
    """Let nbgrader find ``alembic`` beside the Python that runs, however that Python was called."""
    before = os.environ.get("PATH", "")
    os.environ["PATH"] = os.pathsep.join([str(Path(sys.executable).parent), before])
    try:
        yield
    finally:
        os.environ["PATH"] = before
