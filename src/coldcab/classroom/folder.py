"""The class folder: what lies where, who is on the roster, and how a new one is made."""

from __future__ import annotations

import csv
import os
import re
import shutil
import sys
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

NAME = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9._-]{0,62}[A-Za-z0-9_-])?")
"""Learner ids, terms and assignment names: they become names of folders, so nothing else is allowed."""

SETTINGS = "class.toml"
CONFIGURATION = "nbgrader_config.py"
ROSTER_COLUMNS = ("id", "first_name", "last_name", "email")
OPEN_TERM = "open"
"""The term of a folder without settings, such as the checkout's instructor folder itself."""


class ClassError(ValueError):
    """Something about the class folder is not as it should be; the message is one plain sentence."""


@dataclass(frozen=True)
class Learner:
    """One line of the roster."""

    id: str
    first_name: str = ""
    last_name: str = ""
    email: str = ""

    @property
    def name(self) -> str:
        """First and last name, or the id where the roster has none."""
        return f"{self.first_name} {self.last_name}".strip() or self.id


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
        if not (path / CONFIGURATION).is_file() or not (path / "source").is_dir():
            raise ClassError(
                f"{path} is not a class folder; make one with: coldcab class new FOLDER --term TERM, "
                "or name yours with --folder."
            )
        return cls(path, read_term(path))

    @classmethod
    def create(cls, path: str | Path, term: str, *, roster: str | Path | None, material: str | Path) -> ClassFolder:
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
            Folder with ``nbgrader_config.py``, ``source`` and ``reference``.

        Raises
        ------
        ClassError
            If the folder is in use, the term or the roster cannot be used, or the material is not complete.
        """
        path, material = Path(path).resolve(), Path(material).resolve()
        check_name(term, "term", "2026-autumn")
        if path.exists() and (not path.is_dir() or any(path.iterdir())):
            raise ClassError(f"{path} is in use; name a folder that does not exist yet.")
        for part in (CONFIGURATION, "source", "reference"):
            if not (material / part).exists():
                raise ClassError(f"{material} has no {part}; name the folder of the teaching material with --material.")
        learners = read_roster(Path(roster)) if roster else ()
        for part in ("inbox", "submitted", "release", "autograded", "feedback", "records"):
            (path / part).mkdir(parents=True)
        ignore = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints")
        shutil.copytree(material / "source", path / "source", ignore=ignore)
        shutil.copytree(material / "reference", path / "reference", ignore=ignore)
        shutil.copyfile(material / CONFIGURATION, path / CONFIGURATION)
        (path / SETTINGS).write_text(
            "# The term is part of what every learner's numbers are drawn from:\n"
            "# do not change it once forms have been handed out.\n"
            f'term = "{term}"\n',
            encoding="utf-8",
        )
        write_roster(path / "roster.csv", learners)
        made = cls(path, term)
        made.enter_learners()
        return made

    source = property(lambda self: self.path / "source")
    release = property(lambda self: self.path / "release")
    reference = property(lambda self: self.path / "reference")
    inbox = property(lambda self: self.path / "inbox")
    submitted = property(lambda self: self.path / "submitted")
    autograded = property(lambda self: self.path / "autograded")
    feedback = property(lambda self: self.path / "feedback")
    records = property(lambda self: self.path / "records")
    report = property(lambda self: self.path / "report")
    roster = property(lambda self: self.path / "roster.csv")
    gradebook_url = property(lambda self: f"sqlite:///{self.path / 'gradebook.db'}")

    def assignments(self) -> tuple[str, ...]:
        """Return the names of the assignments that have a source notebook."""
        return _with_notebook(self.source)

    def released(self) -> tuple[str, ...]:
        """Return the names of the assignments whose form has been made."""
        return _with_notebook(self.release)

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
                raise ClassError(f"There is no assignment {name!r} here; {there}. {missing}")
        if not wanted and not among:
            raise ClassError(f"There is no assignment here yet. {missing}")
        return wanted or among

    def learners(self) -> tuple[Learner, ...]:
        """Return the roster.

        Raises
        ------
        ClassError
            If it cannot be read.
        """
        return read_roster(self.roster)

    def enter_learners(self) -> None:
        """Write the roster into nbgrader's gradebook, which is made if it is not there."""
        from nbgrader.api import Gradebook

        with environment_on_path(), Gradebook(self.gradebook_url) as gradebook:
            known = {student.id: student for student in gradebook.students}
            for learner in self.learners():
                entry = {name: getattr(learner, name) for name in ROSTER_COLUMNS[1:]}
                student = known.get(learner.id)
                if student is None or any((getattr(student, name) or "") != text for name, text in entry.items()):
                    gradebook.update_or_create_student(learner.id, **entry)


def read_term(path: Path) -> str:
    """Return the term that the settings of a class folder name.

    Raises
    ------
    ClassError
        If the settings cannot be read.
    """
    file = path / SETTINGS
    if not file.is_file():
        return OPEN_TERM
    try:
        term = tomllib.loads(file.read_text(encoding="utf-8"))["term"]
    except (KeyError, ValueError) as error:
        raise ClassError(f'{file} should hold one line such as: term = "2026-autumn".') from error
    return check_name(term, "term", "2026-autumn")


def check_name(text: object, what: str, example: str) -> str:
    """Return ``text`` if it may become the name of a folder.

    Raises
    ------
    ClassError
        If it may not.
    """
    if not isinstance(text, str) or not NAME.fullmatch(text):
        raise ClassError(
            f"{str(text)!r} cannot be used as {what}; use at most 64 letters without accents, digits, and . _ - "
            f"between them, for example {example}."
        )
    return text


def read_roster(file: Path) -> tuple[Learner, ...]:
    """Return the learners of a roster file (CSV with a heading line; only the column id is required).

    Raises
    ------
    ClassError
        If the file, an id, or the heading cannot be used.
    """
    try:
        text = file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise ClassError(f"The roster {file} cannot be read; save it as CSV in UTF-8.") from error
    rows = csv.DictReader(text.splitlines())
    if "id" not in (rows.fieldnames or ()):
        raise ClassError(f"The roster {file} needs a heading line with: {','.join(ROSTER_COLUMNS)}.")
    learners: list[Learner] = []
    seen: dict[str, str] = {}
    for row in rows:
        values = {name: (row.get(name) or "").strip() for name in ROSTER_COLUMNS}
        if not any(values.values()):
            continue
        learner = Learner(**values)
        check_name(learner.id, "learner id", "birch")
        # Numbers are drawn from the id without regard to capitals, and some disks do not tell them apart either.
        other = seen.setdefault(learner.id.casefold(), learner.id)
        if len(seen) == len(learners):
            raise ClassError(
                f"The roster {file} has {learner.id!r} and {other!r}; give each learner an id of their own."
            )
        learners.append(learner)
    return tuple(learners)


def write_roster(file: Path, learners: tuple[Learner, ...]) -> None:
    """Write a roster as nbgrader imports it."""
    with file.open("w", newline="", encoding="utf-8") as sheet:
        writer = csv.writer(sheet, lineterminator="\n")
        writer.writerow(ROSTER_COLUMNS)
        writer.writerows([getattr(learner, name) for name in ROSTER_COLUMNS] for learner in learners)


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


@contextmanager
def environment_on_path() -> Iterator[None]:
    """Let nbgrader find ``alembic`` beside the Python that runs, however that Python was called."""
    before = os.environ.get("PATH", "")
    os.environ["PATH"] = os.pathsep.join([str(Path(sys.executable).parent), before])
    try:
        yield
    finally:
        os.environ["PATH"] = before


def _with_notebook(folder: Path) -> tuple[str, ...]:
    return tuple(
        sorted(
            entry.name
            for entry in (folder.iterdir() if folder.is_dir() else ())
            if NAME.fullmatch(entry.name) and (entry / f"{entry.name}.ipynb").is_file()
        )
    )
