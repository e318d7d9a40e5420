"""Keys: what is right in any case, and what people get when they think it wrong.

Only what a key is made of stands here; the keys themselves lie with the instructor.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from coldcab import units
from coldcab.assess.cards import Card, Evidence, Idea, Tolerance, Value
from coldcab.words import _

WORDS_AGREE = Tolerance(_("the answer is one of the choices"))


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
class Key:
    """What marks an item in any case: the answer, the tolerance and the wrong ideas.

    Where many lists of measurements are good, ``evidence(case)`` says how one is weighed.
    """

    answer: Callable[[Any], Value]
    ideas: tuple[WrongIdea, ...] = ()
    tolerance: Tolerance = WORDS_AGREE
    evidence: Callable[[Any], Evidence] | None = None

    def card(self, case: Any) -> WorkedCard:
        """Return what marks the item with the numbers of ``case``; each part is worked out when it is asked for."""
        return WorkedCard(self, case)


class WorkedCard:
    """A `Card` that is worked out from a key: a key may have to solve a whole circuit, so nothing is done twice."""

    def __init__(self, key: Key, case: Any) -> None:
        self._key, self._case = key, case
        self.tolerance = key.tolerance

    @cached_property
    def right(self) -> Value:
        """The right answer."""
        return self._key.answer(self._case)

    @cached_property
    def ideas(self) -> tuple[Idea, ...]:
        """The wrong ideas as data."""
        return tuple(Idea(idea.name, idea.feedback, idea.credit) for idea in self._key.ideas)

    @cached_property
    def shows(self) -> tuple[tuple[int, Value], ...]:
        """Number of an idea and a value that shows it."""
        return tuple(
            (number, value) for number, idea in enumerate(self._key.ideas) for value in idea.results(self._case)
        )

    @cached_property
    def evidence(self) -> Evidence | None:
        """How a list of measurements is weighed."""
        return self._key.evidence(self._case) if self._key.evidence else None

    def finished(self) -> Card:
        """Return the card as data."""
        return Card(self.right, self.tolerance, self.ideas, self.shows, self.evidence)


def apart(value: float, *others: float, width: float) -> float | None:
    """Return the value, or None where it could not be told from one of the others."""
    return None if any(abs(value - other) < 2.5 * width for other in others) else value


def kelvin(fahrenheit: float) -> float:
    """Return a thermometer's degrees F in K."""
    return units.from_unit(fahrenheit, "temperature", "F")


def absolute(psig: float, atmosphere: float) -> float:
    """Return a gauge reading in psig as Pa absolute, where the air presses with ``atmosphere`` Pa."""
    return units.from_unit(psig, "pressure", "psig", atmosphere=atmosphere)


def celsius_called_fahrenheit(temperature: float) -> float:
    """Return the temperature (K) that somebody writes who has the right number in C and calls it F."""
    return kelvin(units.convert(temperature, "temperature", "C"))
