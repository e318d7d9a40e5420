"""The roster: who is in the class, as CSV."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coldcab.classroom.settings import ClassError, check_name, is_day
from coldcab.learner import write_whole

ROSTER_COLUMNS = ("id", "first_name", "last_name", "email")
JOINED = "joined"
"""The column for the day on which somebody joined; it need not be there."""


@dataclass(frozen=True)
class Learner:
    """One line of the roster; ``more`` are columns of the class's own, such as a platform's user id."""

    id: str
    first_name: str = ""
    last_name: str = ""
    email: str = ""
    more: tuple[tuple[str, str], ...] = ()

    @property
    def joined(self) -> str:
        """The day on which somebody joined who was not there from the beginning, or nothing."""
        return dict(self.more).get(JOINED, "")

    @property
    def name(self) -> str:
        """First and last name, or the id where the roster has none."""
        return f"{self.first_name} {self.last_name}".strip() or self.id


def read_roster(file: Path) -> tuple[Learner, ...]:
    """Return the learners of a roster file (CSV with a heading line; only the column id is required).

    Raises
    ------
    ClassError
        If the file, an id, a line, or the heading cannot be used; the sentence names the line.
    """
    try:
        text = file.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise ClassError(f"There is no roster at {file}; look at its name and its folder.") from None
    except (OSError, UnicodeDecodeError) as error:
        raise ClassError(
            f"The roster {file} cannot be read; save it as CSV in UTF-8 (in a spreadsheet: “CSV UTF-8”)."
        ) from error
    # Spreadsheets of many countries write semicolons, because their comma is the decimal sign.
    heading = text.split("\n")[0]
    rows = csv.DictReader(io.StringIO(text), delimiter=max(",;\t", key=heading.count))
    rows.fieldnames = [(name or "").strip().casefold() for name in rows.fieldnames or ()]
    if "id" not in (rows.fieldnames or ()):
        raise ClassError(f"The roster {file} needs a heading line with: {','.join(ROSTER_COLUMNS)}.")
    learners: list[Learner] = []
    seen: dict[str, tuple[str, int]] = {}
    for number, row in _numbered(file, rows):
        values = {name: (row.get(name) or "").strip() for name in ROSTER_COLUMNS}
        if not any(values.values()):
            continue
        own = {name: (row.get(name) or "").strip() for name in rows.fieldnames if name and name not in ROSTER_COLUMNS}
        learner = Learner(**values, more=tuple((name, value) for name, value in own.items() if value))
        if learner.joined and not is_day(learner.joined):
            raise ClassError(f"In line {number} of {file} {learner.joined!r} is no day; write one such as 2026-10-12.")
        check_name(learner.id, f"learner id (line {number} of {file})", "birch")
        # Numbers are drawn from the id without regard to capitals, and some disks do not tell them apart either.
        other, before = seen.setdefault(learner.id.casefold(), (learner.id, number))
        if len(seen) == len(learners):
            raise ClassError(
                f"The roster {file} has {other!r} in line {before} and {learner.id!r} in line {number}; "
                "give each learner an id of their own."
            )
        learners.append(learner)
    return tuple(learners)


def _numbered(file: Path, rows: csv.DictReader) -> list[tuple[int, dict[str | None, Any]]]:
    """Return the rows with the numbers of their lines; one that would shift or swallow others is an error."""
    found = []
    try:
        for row in rows:
            # A name may hold line breaks; empty lines are passed over by the reader.
            inside = [value.rstrip("\n").count("\n") for value in row.values() if isinstance(value, str)]
            first = rows.line_num - sum(inside)
            if any("\n" in (row.get(name) or "") for name in ROSTER_COLUMNS):
                raise ClassError(
                    f"In the roster {file} a quotation mark opens in line {first} and does not close there; "
                    "remove it, or put one at the end of that name."
                )
            if any(part.strip() for part in row.get(None) or ()):
                raise ClassError(
                    f"Line {first} of the roster {file} has more parts than the heading; "
                    'put a name that holds a comma into quotation marks: "Silva, Jr.".'
                )
            found.append((first, row))
    except csv.Error as error:
        raise ClassError(f"Line {rows.line_num} of the roster {file} cannot be read ({error}); mend it.") from error
    return found


def write_roster(file: Path, learners: tuple[Learner, ...]) -> None:
    """Write a roster as nbgrader imports it."""
    sheet = io.StringIO()
    writer = csv.writer(sheet, lineterminator="\n")
    more = tuple(dict.fromkeys(name for learner in learners for name, _ in learner.more))
    writer.writerow((*ROSTER_COLUMNS, *more))
    for learner in learners:
        own = dict(learner.more)
        writer.writerow([*(getattr(learner, name) for name in ROSTER_COLUMNS), *(own.get(name, "") for name in more)])
    write_whole(file, sheet.getvalue().encode())
