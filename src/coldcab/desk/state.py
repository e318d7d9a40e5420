"""Where a learner stands: lessons done and open, ideas to mend, lines to repeat; read from record and folder."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from importlib.resources import files
from pathlib import Path

from coldcab import assess, learner, lessons, progress
from coldcab.desk import record
from coldcab.desk.hand_in import FOLDER as HAND_IN
from coldcab.desk.hand_in import HandInError, name_of, read_sheet
from coldcab.words import _

UNITS = (
    (_("Why it cools"), ("cycle-1", "cycle-2", "cycle-3", "cycle-4")),
    (_("Changing the refrigerant"), ("retrofit-1", "retrofit-2", "retrofit-3")),
    (_("The leak"), ("leak-1",)),
    (_("Filling and the new compressor"), ("retrofit-4", "rebuild-1")),
    (_("Oil"), ("oil-1", "oil-2")),
    (_("Finding what is wrong"), ("faults-1", "faults-2", "faults-3", "faults-4")),
    (_("Capstone"), ("capstone",)),
)
"""The units in the order of the course."""

AT_ONE_GO = 4
"""Lines to repeat on one day: a few minutes."""
BY_HAND = frozenset({"faults-4"})
"""Lessons whose practice needs an instrument beside it; it is repeated on the lesson's own page."""


@dataclass(frozen=True)
class Place:
    """A passage of a lesson."""

    lesson: str
    heading: str


@dataclass(frozen=True)
class LessonState:
    """How far one lesson is: practice lines right last time, lines of the sheet with something in them."""

    name: str
    title: str
    practiced: int
    practice: int
    filled: int
    lines: int
    handed_in: bool

    @property
    def page(self) -> str:
        """Its page, as seen from the course's folder."""
        return lessons.LESSONS[self.name]

    @property
    def sheet(self) -> str:
        """Its graded sheet, as seen from the course's folder."""
        return sheet_file(self.name)

    @property
    def begun(self) -> bool:
        """Whether anything was done."""
        return bool(self.practiced or self.filled or self.handed_in)

    @property
    def done(self) -> bool:
        """Whether nothing is open: practice right, sheet handed in."""
        return self.handed_in and self.practiced == self.practice


@dataclass(frozen=True)
class Mistake:
    """A wrong idea that showed and is not mended: name, what was said to it, and where to read again."""

    lesson: str
    label: str
    idea: str
    said: str
    day: str
    passage: Place | None


@dataclass(frozen=True)
class State:
    """All that the desk shows."""

    who: str
    lessons: tuple[LessonState, ...]
    last: record.Opened | None
    mistakes: tuple[Mistake, ...]
    due: tuple[tuple[str, str], ...]
    """Lesson and label of lines to repeat today, the longest due first."""
    next_due: date | None
    """When the next line is due, if none is today."""
    kept: bool = True
    """Whether this folder keeps anything."""

    @property
    def known(self) -> bool:
        """Whether this learner has been here before."""
        return self.last is not None or any(one.begun for one in self.lessons)

    def of(self, name: str) -> LessonState:
        """Return one lesson."""
        return next(one for one in self.lessons if one.name == name)


def sheet_file(name: str) -> str:
    """Return where the graded sheet of a lesson lies in the course's folder."""
    return f"graded/{name}/{name}.ipynb"


@lru_cache(maxsize=1)
def _passages() -> dict[str, dict[str, list[list[str]]]]:
    text = files("coldcab.lessons").joinpath("passages.json").read_text(encoding="utf-8")
    found: dict[str, dict[str, list[list[str]]]] = json.loads(text)
    return found


def passage(lesson: str, label: str) -> Place | None:
    """Return where a practice line is taught, or None."""
    places = _passages().get(lesson, {}).get(label, [])
    return Place(*places[0]) if places else None


def look(today: date | None = None) -> State:
    """Return where the learner of the current folder stands on a day (default: today)."""
    day, folder = today or date.today(), progress.folder()
    known = {name: record.lines(name) for name in lessons.LESSONS} if folder else {}
    try:
        who = learner.read().id
    except learner.LearnerError:
        who = ""
    waiting = sorted(
        (line.due, number, label, name)
        for number, name in enumerate(known)
        for label, line in _asked(name, known[name]).items()
        if name not in BY_HAND
    )
    due = tuple((name, label) for when, _number, label, name in waiting if when <= day)[:AT_ONE_GO]
    return State(
        who,
        tuple(_lesson(name, known.get(name, {}), folder, who) for name in lessons.LESSONS),
        _last(folder),
        tuple(_mistakes(known)),
        due,
        waiting[0][0] if waiting and not due else None,
        folder is not None,
    )


def _last(folder: Path | None) -> record.Opened | None:
    last = record.last_opened() if folder else None
    return last if last and last.lesson in lessons.LESSONS else None


def _asked(name: str, known: dict[str, record.Line]) -> dict[str, record.Line]:
    """Return the lines that the practice sheet still has."""
    labels = {item.label for item in lessons.PRACTICE[assess.PRACTICE_PREFIX + name].items} if known else set()
    return {label: line for label, line in known.items() if label in labels}


def _lesson(name: str, known: dict[str, record.Line], folder: Path | None, who: str) -> LessonState:
    form, practice = lessons.FORMS[name], lessons.PRACTICE[assess.PRACTICE_PREFIX + name]
    right = sum(line.status == "right" for line in _asked(name, known).values())
    lines = len(form.items) + 1
    filled = lines - len(_blank(folder / sheet_file(name), lines)) if folder else 0
    handed_in = folder is not None and (folder / HAND_IN / name_of(name, who)).is_file()
    return LessonState(name, form.title, right, len(practice.items), filled, lines, handed_in)


def _blank(file: Path, lines: int) -> tuple[str, ...]:
    try:
        return read_sheet(file).blank
    except HandInError:
        return ("",) * lines


def _mistakes(known: dict[str, dict[str, record.Line]]) -> list[Mistake]:
    found = [
        Mistake(name, label, idea, shown.said, shown.day, passage(name, label))
        for name, rows in known.items()
        for label, line in _asked(name, rows).items()
        for idea, shown in line.ideas.items()
        if not shown.mended
    ]
    return sorted(found, key=lambda one: one.day, reverse=True)
