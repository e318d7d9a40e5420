"""Scores filled into a table that a learning platform exported: its own headings, people and order, only cells change.

Such a table its import takes back, whatever else it holds. People are told by what the platform knows them by, and
whoever is only there, or only in the roster, is named.
"""

from __future__ import annotations

import csv
import difflib
import io
import re
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from coldcab.classroom.exporting import NAMES, Cells, about, heading_of, table_text
from coldcab.classroom.roster import Learner
from coldcab.classroom.settings import ClassError, Upload

MARK = "\ufeff"
"""What tells spreadsheets that letters with accents are to come; kept where it is there."""


@dataclass(frozen=True)
class Filled:
    """A table with the scores in it, how many cells of which columns got one, and what a person should know."""

    text: str
    count: int
    columns: tuple[str, ...]
    said: tuple[str, ...]


def read_table(file: Path) -> str:
    """Return the text of a table that a platform exported.

    Raises
    ------
    ClassError
        If it cannot be read.
    """
    try:
        data = file.read_bytes()
        # Some platforms export for a spreadsheet, in UTF-16 with tabs.
        return data.decode("utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8")
    except FileNotFoundError:
        raise ClassError(f"There is no table at {file}; look at its name and its folder.") from None
    except (OSError, UnicodeError):
        raise ClassError(f"The table {file} cannot be read; export it as CSV in UTF-8, not as a workbook.") from None


def fill(text: str, learners: Sequence[Learner], cells: Cells, upload: Upload) -> Filled:
    """Return a platform's table with the scores of a class; where there is none, its cell stays as it is.

    Parameters
    ----------
    text
        The table as the platform exported it.
    learners
        The roster.
    cells
        Columns of scores by heading (``exporting.upload_cells``).
    upload
        How columns are called.

    Raises
    ------
    ClassError
        If the table has nothing to tell learners by, or none of the columns.
    """
    body = text.removeprefix(MARK)
    first = body.split("\n")[0]
    separator = max(",;\t", key=first.count)
    try:
        rows = list(csv.reader(io.StringIO(body, newline=""), delimiter=separator))
    except csv.Error as error:
        raise ClassError(f"The table cannot be read ({error}); export it once more, as CSV.") from None
    head = [name.strip() for name in rows[0]] if rows else []
    places, lost = _places(head, cells)
    if not places:
        raise ClassError(f"The table has none of the columns to fill: {'; '.join(lost)}.")
    keys = _keys(head, upload)
    owners, said = _owners(learners, keys)
    found: dict[str, list[list[str]]] = defaultdict(list)
    strangers = []
    for row in rows[1:]:
        if any(map(str.strip, row)):
            key = _folded(row[place] if place < len(row) else "" for place in keys.values())
            found[owners[key]].append(row) if key in owners else strangers.append(_shown(row, keys))
    count = 0
    for who, mine in found.items():
        if len(mine) > 1:
            said.append(f"{who} stands there {len(mine)} times; nothing was filled in")
            continue
        count += _fill_row(mine[0], who, cells, places)
    if strangers:
        said.append(f"not in roster.csv, left as they are: {_listed(strangers)}")
    if missing := [who for who in owners.values() if who not in found]:
        said.append(f"not in the table: {_listed(missing)}")
    ends = "\r\n" if "\r\n" in body else "\n"
    start = MARK if text.startswith(MARK) else ""
    return Filled(start + table_text(rows, separator, ends), count, tuple(places), (*lost, *said))


def _fill_row(row: list[str], who: str, cells: Cells, places: dict[str, int]) -> int:
    """Write the scores of one learner into a row; return how many there are."""
    count = 0
    for heading, place in places.items():
        if score := cells[heading](who):
            row += [""] * (place + 1 - len(row))
            row[place] = score
            count += 1
    return count


def _places(head: Sequence[str], cells: Cells) -> tuple[dict[str, int], list[str]]:
    """Return where each column stands in the table, and in a sentence each which do not or stand there twice."""
    counts = Counter(head)
    said = [f"{counts[heading]} columns of the table are called {heading!r}; nothing was filled in there"
            for heading in cells if counts[heading] > 1]  # fmt: skip
    if lost := [heading for heading in cells if heading not in counts]:
        said.append(
            f"no column of the table is called {' or '.join(map(repr, lost))}. Its columns are "
            f"{', '.join(map(repr, head))}. Write into [upload.headings] of class.toml which is whose"
            f"{_for_example(lost, [name for name in head if name not in cells])}"
        )
    return {heading: head.index(heading) for heading in cells if counts[heading] == 1}, said


def _for_example(lost: Sequence[str], head: Sequence[str]) -> str:
    """Return a line for the settings, where a column has no heading of the class's own yet."""
    own = next((sheet for heading in lost if (sheet := _PLAIN.sub("", heading)) != heading), "")
    near = max(head, key=lambda name: _likeness(own, name), default="")
    return f", for example  {own} = {near!r}" if own and near else ""


def _likeness(own: str, name: str) -> tuple[bool, float]:
    """Return how likely a heading is that of a sheet: the same number in it, then the same letters."""
    numbers = (set(re.findall(r"\d+", text)) for text in (own, name))
    return bool(set.intersection(*numbers)), difflib.SequenceMatcher(None, own, name.casefold()).ratio()


_PLAIN = re.compile(r" \((?:percent|[\d.]+ points)\)$")
"""What stands behind a name in a heading of ours."""


def _keys(head: Sequence[str], upload: Upload) -> dict[str, int]:
    """Return the columns that tell people apart, and where they stand: the first that is no name, else the names.

    Raises
    ------
    ClassError
        If there is none.
    """
    folded = [name.casefold() for name in head]
    there = {name: folded.index(heading) for name in upload.who
             if folded.count(heading := heading_of(name, upload).strip().casefold()) == 1}  # fmt: skip
    for names in (*((name,) for name in there if name not in NAMES), ("name",), ("first_name", "last_name")):
        if all(name in there for name in names):
            return {name: there[name] for name in names}
    mail = next((name for name in head if "mail" in name.casefold()), "E-mail")
    raise ClassError(
        f"Nothing in the table says whose a row is: none of {_headings(upload)} is a heading there. There are "
        f'{", ".join(map(repr, head))}; write into class.toml, for example, [upload.headings]  email = "{mail}".'
    )


def _headings(upload: Upload) -> str:
    return ", ".join(repr(heading_of(name, upload)) for name in upload.who)


def _owners(learners: Sequence[Learner], keys: dict[str, int]) -> tuple[dict[tuple[str, ...], str], list[str]]:
    """Return the learners by what the table knows them by, and who has nothing of the kind, or what another has."""
    people: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for learner in learners:
        people[_folded(about(learner, name, learners) for name in keys)].append(learner.id)
    what, said = " and ".join(keys), []
    for key, mine in list(people.items()):
        if not all(key):
            said.append(f"no {what} in roster.csv, so not filled in: {_listed(mine)}")
            del people[key]
        elif len(mine) > 1:
            said.append(f"the same {what}, so not filled in: {_listed(mine)}")
            del people[key]
    return {key: mine[0] for key, mine in people.items()}, said


def _folded(words: object) -> tuple[str, ...]:
    return tuple(" ".join(str(word).split()).casefold() for word in words)  # type: ignore[attr-defined]


def _shown(row: Sequence[str], keys: dict[str, int]) -> str:
    """Return what a row says of a person, for a message: what tells people apart, else its first words."""
    said = " ".join(row[place] for place in keys.values() if place < len(row)).strip()
    return (said or next(filter(str.strip, row), ""))[:40]


NAMED = 8
"""People of one kind that are named."""


def _listed(people: Sequence[str]) -> str:
    more = f" and {len(people) - NAMED} others" if len(people) > NAMED else ""
    return ", ".join(people[:NAMED]) + more
