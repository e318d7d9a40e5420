"""The roster: who is in the class, as CSV."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from pathlib import Path

from coldcab.classroom.settings import ClassError, check_name
from coldcab.learner import write_whole

ROSTER_COLUMNS = ("id", "first_name", "last_name", "email")


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
    # Spreadsheets of many countries write semicolons, because their comma is the decimal sign.
    heading = text.split("\n")[0]
    rows = csv.DictReader(io.StringIO(text), delimiter=max(",;\t", key=heading.count))
    rows.fieldnames = [(name or "").strip().casefold() for name in rows.fieldnames or ()]
    if "id" not in (rows.fieldnames or ()):
        raise ClassError(f"The roster {file} needs a heading line with: {','.join(ROSTER_COLUMNS)}.")
    learners: list[Learner] = []
    seen: dict[str, str] = {}
    try:
        found = list(rows)
    except csv.Error as error:
        raise ClassError(f"The roster {file} cannot be read ({error}); save it as CSV in UTF-8.") from error
    for row in found:
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
    sheet = io.StringIO()
    writer = csv.writer(sheet, lineterminator="\n")
    writer.writerow(ROSTER_COLUMNS)
    writer.writerows([getattr(learner, name) for name in ROSTER_COLUMNS] for learner in learners)
    write_whole(file, sheet.getvalue().encode())
