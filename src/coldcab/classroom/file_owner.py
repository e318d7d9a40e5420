"""Guesses whose a file is from its name, as learning platforms name uploads; a person's list goes before.

The names are long and all different. A learner is known by id, by address, or by first and last name, wherever these
stand in the name of the file or of a folder above it; never by what a notebook says of itself.
"""

from __future__ import annotations

import csv
import hashlib
import io
import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from coldcab.classroom import submission_files
from coldcab.classroom.exporting import harmless
from coldcab.classroom.folder import ClassError, Learner, write_file

NOBODY = "its name fits nobody on the roster"
SEVERAL = "it may be that of"

_LETTERS = str.maketrans({"ß": "ss", "ł": "l", "ø": "o", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i"})
"""Letters that platforms write plainly and Unicode does not take apart."""

_GERMAN = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})


def comparable(text: str) -> str:
    """Return ``text`` as names are compared: small letters without accents, words apart by single spaces."""
    plain = unicodedata.normalize("NFKD", text.casefold().translate(_LETTERS)).casefold()
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    return " ".join(re.findall(r"[^\W_]+", plain))


class OwnerFinder:
    """Guesses from the names of a file which learner of the roster it belongs to."""

    def __init__(self, learners: Sequence[Learner], by_hand: Sequence[Named] = (), sheets: Sequence[str] = ()) -> None:
        known = {learner.id for learner in learners}
        for row in by_hand:
            if row.id not in known:
                raise ClassError(f"The list of names gives {row.file!r} to {row.id!r}, who is not on the roster.")
        self._by_hand = by_hand
        self._used: set[str] = set()
        # The number in cycle-1 is not that of a learner.
        self._sheets = sorted((comparable(sheet) for sheet in sheets), key=len, reverse=True)
        self._signs: dict[str, set[str]] = defaultdict(set)
        for learner in learners:
            signs = {comparable(learner.id), comparable(learner.email), comparable(learner.email.split("@")[0])}
            for first, last in _spellings(learner):
                signs |= {f"{first} {last}", f"{last} {first}", f"{first}{last}", f"{last}{first}"}
                signs |= {f"{last}{first}".replace(" ", "")}
            for sign in signs - {""}:
                self._signs[sign].add(learner.id)

    def owner_of(self, names: Sequence[str], sign: str = "") -> tuple[str, str]:
        """Return the id of the learner that the names speak of, or nothing and the reason.

        The outermost name that speaks of somebody counts, since a platform writes it; the name of the file itself is
        the learner's to choose. The name of the whole upload comes last. Two learners in one name: a person decides.
        ``sign`` is that of its content: what a person said of a file says nothing of another one that is called so.
        """
        ways = (*names, " / ".join(map(submission_files.showable_name, names)), "/".join(names))
        for row in self._by_hand:
            if any(row.file in way for way in ways):
                self._used.add(row.file)
                if row.sign in ("", sign):
                    return row.id, ""
        for name in (*names[1:], *names[:1]):
            people = self._people(name)
            if len(people) == 1:
                return people.pop(), ""
            if people:
                return "", f"{SEVERAL} {' or '.join(sorted(people))}"
        return "", NOBODY

    @property
    def unused(self) -> list[tuple[str, str]]:
        """What a person said of files that did not come."""
        return [(row.file, row.id) for row in self._by_hand if row.file not in self._used]

    def _people(self, name: str) -> set[str]:
        way = f" {comparable(name)} "
        for sheet in self._sheets:
            way = way.replace(f" {sheet} ", " . ")
        spans = []
        for sign, people in self._signs.items():
            start = way.find(f" {sign} ")
            while start >= 0:
                spans.append((start, start + len(sign) + 2, people))
                start = way.find(f" {sign} ", start + 1)
        # Within a longer sign a shorter one says nothing: ash is in ash-2, but the file is that of ash-2.
        outer = [
            span
            for span in spans
            if not any(other[0] <= span[0] and span[1] <= other[1] and other[:2] != span[:2] for other in spans)
        ]
        return {who for _, _, people in outer for who in people}


def _spellings(learner: Learner) -> set[tuple[str, str]]:
    """Return first and last name as they may be written; nothing where one of them is missing."""
    both = learner.first_name, learner.last_name
    composed = [unicodedata.normalize("NFC", name.casefold()) for name in both]
    plain, german = tuple(map(comparable, both)), tuple(comparable(name.translate(_GERMAN)) for name in composed)
    return {plain, german} if all(plain) else set()


def sign_of(data: bytes) -> str:
    """Return by which a file's content is known again in the list of names."""
    return hashlib.sha256(data).hexdigest()[:8]


@dataclass(frozen=True)
class Named:
    """A row of the list of names: the way to a file or a part of it, whose it is, and the sign of its content.

    Without an id it says nothing yet; without a sign it speaks of every file that is called so.
    """

    file: str
    id: str = ""
    remark: str = ""
    sign: str = ""


def read_names(file: Path) -> tuple[Named, ...]:
    """Return the list by which a person says whose a file is; rows without an id say nothing yet.

    Raises
    ------
    ClassError
        If it is no CSV with the columns file and id.
    """
    return tuple(row for row in _rows_of(file) if row.id)


def _rows_of(file: Path) -> list[Named]:
    try:
        text = Path(file).read_text(encoding="utf-8-sig")
        # As in the roster: spreadsheets of many countries write semicolons.
        heading = text.split("\n")[0]
        rows = list(csv.DictReader(io.StringIO(text), delimiter=max(",;\t", key=heading.count)))
    except FileNotFoundError:
        raise ClassError(f"There is no list of names at {file}; look at its name and its folder.") from None
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise ClassError(f"The list of names {file} cannot be read; save it as CSV in UTF-8.") from error
    if not rows or not {"file", "id"} <= set(rows[0]):
        raise ClassError(f"The list of names {file} needs a heading line with: file,id.")
    found = (Named(*((row.get(name) or "").strip() for name in COLUMNS)) for row in rows)
    return [row for row in found if row.file]


COLUMNS = ("file", "id", "remark", "sign")


def write_names(file: Path, left: Iterable[Named], settled: Iterable[Named] = ()) -> None:
    """Write a list in which a person only has to fill in the ids: the way to each file, and what may help.

    What a person has written into it before stays, and so do rows of earlier uploads that are still open, but for
    those of ``settled``, files that have found their owner.
    """
    done = {(harmless(row.file), row.sign) for row in settled}
    there = _rows_of(file) if file.is_file() else ()
    rows = {(row.file, row.sign): row for row in there if row.id or (row.file, row.sign) not in done}
    for new in left:
        place = harmless(new.file), new.sign
        if (old := rows.get(place)) is None or not old.id:
            owners = [row.id for row in rows.values() if row.file == place[0] and row.id]
            said = f"{new.remark}; another file of this name was {owners[-1]}'s" if owners else new.remark
            rows[place] = Named(place[0], "", harmless(said), new.sign)
    text = io.StringIO()
    lines = ((row.file, row.id, row.remark, row.sign) for row in rows.values())
    csv.writer(text, lineterminator="\n").writerows([COLUMNS, *lines])
    # With the mark that tells spreadsheets that letters with accents are to come.
    write_file(file, text.getvalue().encode("utf-8-sig"))
