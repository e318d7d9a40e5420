"""What a learner answered in practice, line by line: the last mark, the wrong ideas that showed, and when to repeat.

One place of `progress` for each lesson, ``learning/<lesson>``. Lines wait in five boxes (Leitner's card file): a right
answer on the day it is due moves a line one box on, any other answer puts it back into the first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from datetime import date, timedelta
from typing import Any

from coldcab import progress
from coldcab.assess import PRACTICE_PREFIX, Mark

DAYS = (1, 3, 7, 14, 30)
"""Days that a line waits in box 1 to 5. Spacing helps; these very numbers are common practice, no source."""
LAST_OPENED = "learning/last"
ANSWERED = ("right", "idea", "wrong")
LONGEST_NOTE = 600


@dataclass(frozen=True)
class Idea:
    """A wrong idea as it showed in an answer: what was said to it, for which numbers, on which day.

    It is mended when the line was answered right for other numbers.
    """

    said: str
    number: int
    day: str
    mended: str = ""


@dataclass(frozen=True)
class Line:
    """What is known of one practice line. ``number`` is that of the numbers it was answered for last."""

    status: str
    number: int
    day: str
    box: int
    since: str
    """Day on which the line came into its box."""
    ideas: Mapping[str, Idea] = field(default_factory=dict)

    @property
    def due(self) -> date:
        """Day on which it should be asked again."""
        return date.fromisoformat(self.since) + timedelta(days=DAYS[self.box - 1])


@dataclass(frozen=True)
class Opened:
    """Which lesson was open last, and whether on its page ("lesson") or on its sheet ("sheet")."""

    lesson: str
    kind: str
    day: str


def marked(practice: str, number: int, marks: Iterable[Mark], today: date | None = None) -> None:
    """Keep what became of the answers on a practice sheet.

    Parameters
    ----------
    practice
        Name of the sheet, such as ``practice-cycle-1``.
    number
        Of the numbers that the answers are for.
    marks
        The lines; what was blank or could not be read changes nothing.
    """
    lesson, day = practice.removeprefix(PRACTICE_PREFIX), today or date.today()
    known = lines(lesson)
    answered = {
        mark.label: answer(known.get(mark.label), mark, number, day) for mark in marks if mark.status in ANSWERED
    }
    if answered:
        merged = {**known, **answered}
        progress.keep(f"learning/{lesson}", {"lines": {label: asdict(line) for label, line in merged.items()}})


def answer(before: Line | None, mark: Mark, number: int, today: date) -> Line:
    """Return what is known of a line after one more answer."""
    day, right = today.isoformat(), mark.status == "right"
    ideas = dict(before.ideas) if before else {}
    if mark.status == "idea" and mark.idea:
        ideas[mark.idea] = Idea(mark.feedback[:LONGEST_NOTE], number, day)
    elif right:
        ideas = {name: _mended(idea, number, day) for name, idea in ideas.items()}
    box, since = _box(before, right, today)
    return Line(mark.status, number, day, box, since, ideas)


def _mended(idea: Idea, number: int, day: str) -> Idea:
    # The same numbers again prove only that the feedback was read.
    return idea if idea.mended or idea.number == number else Idea(idea.said, idea.number, idea.day, day)


def _box(before: Line | None, right: bool, today: date) -> tuple[int, str]:
    if before is None or not right:
        return 1, today.isoformat()
    if today < before.due:
        return before.box, before.since
    return min(before.box + 1, len(DAYS)), today.isoformat()


def lines(lesson: str) -> dict[str, Line]:
    """Return what is known of the practice lines of a lesson, by label; what cannot be understood is left out."""
    kept = progress.kept(f"learning/{lesson}")
    rows = kept.get("lines") if isinstance(kept, dict) else None
    read = {label: _line(row) for label, row in rows.items()} if isinstance(rows, dict) else {}
    return {label: line for label, line in read.items() if line is not None}


def _line(row: Any) -> Line | None:
    try:
        ideas = {str(name): Idea(**idea) for name, idea in row["ideas"].items()}
        line = Line(**(row | {"ideas": ideas}))
        date.fromisoformat(line.day)
        fit = line.status in ANSWERED and 1 <= line.box <= len(DAYS) and line.due
    except (TypeError, ValueError, KeyError, AttributeError, OverflowError):
        return None
    return line if fit else None


def opened(lesson: str, kind: str, today: date | None = None) -> None:
    """Keep that a lesson's page ("lesson") or its graded sheet ("sheet") was started."""
    progress.keep(LAST_OPENED, asdict(Opened(lesson, kind, (today or date.today()).isoformat())))


def last_opened() -> Opened | None:
    """Return what was open last, or None."""
    kept = progress.kept(LAST_OPENED)
    try:
        return Opened(**kept) if isinstance(kept, dict) else None  # type: ignore[arg-type]  # wrong ones are refused
    except TypeError:
        return None
