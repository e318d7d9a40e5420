"""What one line of an answer sheet asks, what it is worth, and what people get when they think it wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from coldcab import scenario

Value = float | str
"""A value in SI (or one of the item's choices)."""

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
class Tolerance:
    """How far an answer may lie from the value, and why: what the instrument or the table can resolve.

    ``absolute`` is in SI units of the item's kind, ``relative`` a share of the value; the wider one counts.
    """

    reason: str
    absolute: float = 0.0
    relative: float = 0.0

    def width(self, value: float) -> float:
        """Return the half-width around ``value`` in SI units."""
        return max(self.absolute, self.relative * abs(value))


@dataclass(frozen=True)
class WrongIdea:
    """A known way to think it wrong.

    ``result(case)`` is what a person with this idea, and no other, would write: a value, several values, or None
    where the idea does not show in this case. ``credit`` is the share of the points it still earns.
    """

    name: str
    result: Callable[[Any], Value | tuple[Value, ...] | None]
    feedback: str
    credit: float = 0.0

    def results(self, case: Any) -> tuple[Value, ...]:
        """Return all that this idea leads to in ``case``."""
        found = self.result(case)
        if found is None:
            return ()
        return found if isinstance(found, tuple) else (found,)


@dataclass(frozen=True)
class Verdict:
    """What a judge says of an answer: the share of the points, a sentence or two, the wrong idea if it is one."""

    share: float
    feedback: str
    idea: str | None = None


@dataclass(frozen=True)
class Key:
    """The part of an item that marks it: the answer, the tolerance and the wrong ideas.

    Where many answers are good, ``judge(value, case)`` weighs one instead of comparing it with the answer.
    """

    answer: Callable[[Any], Value]
    ideas: tuple[WrongIdea, ...] = ()
    tolerance: Tolerance = Tolerance("the answer is one of the choices")
    judge: Callable[[Value, Any], Verdict] | None = None


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
        if self.key is None:
            raise ValueError(f"The line {self.label!r} is part of a form and has no key here.")
        return self.key.answer(case)


@dataclass(frozen=True)
class Assignment:
    """A sheet: its lines in order. A form when the lines have no keys, an assignment to mark with when they have."""

    name: str
    title: str
    minutes: int
    items: tuple[Item, ...]

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
        raise ValueError(f"The sheet {self.name} has no line {label!r}.")

    def case(self, term: str, learner: str) -> Any:
        """Return the numbers of one learner."""
        return scenario.case(self.name, term, learner)

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
                raise ValueError(f"The line {label!r} of {self.name} has no key.")
        for label in keys:
            if label not in labels:
                raise ValueError(f"There is a key for {label!r}, but {self.name} has no such line.")
        return replace(self, items=tuple(replace(item, key=keys[item.label]) for item in self.items))
