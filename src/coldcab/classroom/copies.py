"""Who has the same as somebody else: numbers, words, or the whole file. A person talks before anybody judges."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coldcab.classroom.inbox import Outcome

ENOUGH_WORDS = 40
"""Characters of a written answer from which on the same words are no chance."""

SHOWN = 3
"""Learners of one copy that are named; a file may go round a whole class."""


def some(people: Sequence[str]) -> str:
    """Return the first few of these, and how many more there are."""
    more = f" and {len(people) - SHOWN} others" if len(people) > SHOWN else ""
    return ", ".join(people[:SHOWN]) + more


@dataclass(frozen=True)
class Copy:
    """What two or more learners share, ``words`` or ``file``, and with whom."""

    what: str
    others: tuple[str, ...]

    def __str__(self) -> str:
        of = some(self.others)
        return (
            f"the words are those of {of}" if self.what == "words" else f"the file is that of {of}, letter for letter"
        )


def copies(outcomes: Iterable[Outcome]) -> dict[str, tuple[Copy, ...]]:
    """Return what each learner shares with others; nothing for who shares nothing.

    Words of at least ``ENOUGH_WORDS`` characters, and all typed answers of a sheet of which most is filled in.
    """
    same: dict[tuple[str, str], list[str]] = defaultdict(list)
    for outcome in outcomes:
        for _, print_ in outcome.words:
            if int(print_.partition(" ")[0]) >= ENOUGH_WORDS:
                same["words", print_].append(outcome.learner.id)
        if outcome.file:
            same["file", outcome.file].append(outcome.learner.id)
    found: dict[str, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for (what, _), people in same.items():
        for who in people:
            if others := set(people) - {who}:
                found[who][what] |= others
    return {
        who: tuple(Copy(what, tuple(sorted(shared[what]))) for what in ("words", "file") if what in shared)
        for who, shared in found.items()
    }


def suspicions(outcome: Outcome) -> list[str]:
    """Return in words why a sheet may not be its owner's."""
    fits = [f"the answers fit the numbers of {outcome.fits}, not its own"] if outcome.fits else []
    return [*fits, *outcome.copied]
