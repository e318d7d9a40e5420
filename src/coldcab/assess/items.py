"""What the lines of an answer sheet ask and what they are worth."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from coldcab.assess.cards import Tolerance, Value
from coldcab.assess.keys import Key, WorkedCard, WrongIdea
from coldcab.words import _

PRACTICE_PREFIX = "practice-"
"""Practice draws from names of its own, so that it never shows a learner's graded numbers."""

CHOICE = "choice"
"""The kind of an item that is answered with one of its choices, not with a quantity."""

LIST = "list"
"""The kind of an item that is answered with one or several of its choices, in any order.

Its value is a text: those choices in the order of the form, with a comma and a space between them (`listed`).
"""

WORDS = (CHOICE, LIST)
"""Kinds that are answered in words."""


def listed(names: Iterable[str], choices: Sequence[str]) -> str:
    """Return the value of a `LIST` item for some of its choices."""
    chosen = set(names)
    return ", ".join(choice for choice in choices if choice in chosen)


@dataclass(frozen=True)
class Item:
    """One line of an answer sheet.

    Without ``key`` it is a line of a form: it can be read, and checked for its unit, but not marked.
    """

    label: str
    prompt: str
    kind: str
    example: str
    points: float = 1.0
    choices: tuple[str, ...] = ()
    hint: str = ""
    safety: bool = False
    """Whether somebody can get hurt by a wrong answer: such a line must be right to pass the sheet."""
    rows: tuple[str, ...] = ()
    """Where its words do not tell which numbers it is about, how their names begin (`pointing`)."""
    key: Key | None = None

    @property
    def ideas(self) -> tuple[WrongIdea, ...]:
        """The wrong ideas that this item knows."""
        return self.key.ideas if self.key else ()

    @property
    def tolerance(self) -> Tolerance | None:
        """How far an answer may lie from the value."""
        return self.key.tolerance if self.key else None

    def answer(self, case: Any) -> Value:
        """Return the right answer in SI units.

        Raises
        ------
        ValueError
            If the item is a line of a form, without a key.
        """
        return self.card(case).right

    def card(self, case: Any) -> WorkedCard:
        """Return what marks this line with the numbers of ``case``.

        Raises
        ------
        ValueError
            If the item is a line of a form, without a key.
        """
        if self.key is None:
            raise ValueError(_("The line {label!r} is part of a form and has no key here.").format(label=self.label))
        return self.key.card(case)


@dataclass(frozen=True)
class Assignment:
    """A sheet: its lines in order. A form when the lines have no keys, an assignment to mark with when they have."""

    name: str
    title: str
    minutes: int
    items: tuple[Item, ...]
    draw: Callable[..., Any]
    """How the numbers of a learner are drawn: ``draw(term, learner, assignment=name)``."""
    unasked: tuple[str, ...] = ()
    """How the names of those numbers begin that none of its lines asks about; they are not shown."""

    @property
    def keyed(self) -> bool:
        """Whether every line can be marked."""
        return all(item.key is not None for item in self.items)

    def item(self, label: str) -> Item:
        """Return the line with this label.

        Raises
        ------
        ValueError
            If no line has it.
        """
        for item in self.items:
            if item.label == label:
                return item
        raise ValueError(_("The sheet {name} has no line {label!r}.").format(name=self.name, label=label))

    def case(self, term: str, learner: str) -> Any:
        """Return the numbers of one learner."""
        return self.draw(term, learner, assignment=self.name)

    def shown(self, case: Any) -> list[tuple[str, str]]:
        """Return the numbers of a case that the sheet shows: name and value of each row."""
        return [(name, value) for name, value in case.lines() if not (self.unasked and name.startswith(self.unasked))]

    def practice(self, minutes: int, *labels: str, unasked: tuple[str, ...] = ()) -> Assignment:
        """Return the lines of this sheet that its lesson lets people practice, with numbers of their own.

        Raises
        ------
        ValueError
            If the sheet has no line of one of the labels.
        """
        items = tuple(map(self.item, labels))
        return Assignment(f"{PRACTICE_PREFIX}{self.name}", self.title, minutes, items, self.draw, unasked)

    def with_keys(self, keys: Mapping[str, Key]) -> Assignment:
        """Return this form with a key on each line.

        Raises
        ------
        ValueError
            If a line has no key or a key has no line.
        """
        labels = [item.label for item in self.items]
        for label in labels:
            if label not in keys:
                raise ValueError(_("The line {label!r} of {name} has no key.").format(label=label, name=self.name))
        for label in keys:
            if label not in labels:
                raise ValueError(
                    _("There is a key for {label!r}, but {name} has no such line.").format(label=label, name=self.name)
                )
        return replace(self, items=tuple(replace(item, key=keys[item.label]) for item in self.items))
