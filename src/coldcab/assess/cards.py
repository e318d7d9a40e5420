"""What marks one line for one set of numbers, as finished data: what is right, and what shows which wrong idea.

A card is worked out from a key once, where the keys are; it can travel as JSON to where no key is.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from coldcab.words import _

Value = float | str
"""A value in SI (or one of the item's choices)."""


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
class Idea:
    """A known wrong idea as data: its name, what to say to who has it, and the share of the points it still earns."""

    name: str
    feedback: str
    credit: float = 0.0


@dataclass(frozen=True)
class Verdict:
    """What is said of an answer: the share of the points, a sentence or two, the wrong idea if it is one."""

    share: float
    feedback: str
    idea: str | None = None


@dataclass(frozen=True)
class Evidence:
    """How a list of measurements is weighed: each cause must be told from the others, within a budget of minutes.

    ``groups`` holds, for each cause that is there, the groups of choices of which any one tells it; ``prices`` the
    minutes of each choice; up to ``budget`` minutes cost nothing, at ``beyond`` times as many nothing is left.
    The card's ideas are, in this order: no cause told, one of several told, more than the budget spent.
    """

    groups: tuple[tuple[tuple[str, ...], ...], ...]
    prices: Mapping[str, float]
    budget: float
    beyond: float
    right: str

    def weigh(self, value: str, ideas: tuple[Idea, ...]) -> Verdict:
        """Return what a list of choices, as `listed` writes it, is worth."""
        nothing, one_of_several, expensive = ideas
        names = value.split(", ")
        minutes = sum(self.prices[name] for name in names)
        left = min(1.0, max(0.0, (self.beyond * self.budget - minutes) / ((self.beyond - 1.0) * self.budget)))
        told = [any(set(names).issuperset(group) for group in groups) for groups in self.groups]
        if not any(told):
            return Verdict(0.0, nothing.feedback, nothing.name)
        if not all(told):
            return Verdict(one_of_several.credit * left, one_of_several.feedback, one_of_several.name)
        if left < 1.0:
            feedback = expensive.feedback.format(minutes=minutes, budget=self.budget)
            return Verdict(left, feedback, expensive.name)
        return Verdict(1.0, self.right.format(minutes=minutes))


@dataclass(frozen=True)
class Card:
    """All that marks one line: the right value in SI or words, the tolerance, what shows which idea."""

    right: Value
    tolerance: Tolerance
    ideas: tuple[Idea, ...] = ()
    shows: tuple[tuple[int, Value], ...] = ()
    """Number of an idea and a value that shows it, in the order in which they are compared."""
    evidence: Evidence | None = None


class Deck:
    """The finished cards of a practice sheet, as ``practice.json`` holds them: some hundred sets of numbers.

    The file has, under ``lines``, what all cards of a line share (tolerance, ideas, prices, and once each its ``words``
    and its ``causes``, the groups of choices that tell a cause), and under ``cases`` a list with, for each set of
    numbers and each line, the right value, and each idea with the values that show it. Where a line has words, a value
    is a place among them.
    """

    def __init__(self, text: str) -> None:
        content = json.loads(text)
        self._lines: dict[str, dict[str, Any]] = content["lines"]
        self._cases: list[dict[str, dict[str, Any]]] = content["cases"]
        self._ideas = {label: tuple(Idea(**idea) for idea in shared["ideas"]) for label, shared in self._lines.items()}

    def __len__(self) -> int:
        return len(self._cases)

    def card(self, label: str, number: int) -> Card:
        """Return the card of a line for a set of numbers, from 1; after the last comes the first again."""
        shared, own = self._lines[label], self._cases[(number - 1) % len(self._cases)][label]
        words = shared.get("words")

        def value(written: Any) -> Value:
            found: Value = words[written] if words else written
            return found

        shows = tuple((idea, value(each)) for idea, *values in own["shows"] for each in values)
        evidence = None
        if "evidence" in shared:
            causes = (shared["causes"][place] for place in own["causes"])
            evidence = Evidence(tuple(tuple(map(tuple, groups)) for groups in causes), **shared["evidence"])
        return Card(value(own["right"]), Tolerance(**shared["tolerance"]), self._ideas[label], shows, evidence)


def deck_text(labels: Iterable[str], cases: Iterable[Mapping[str, Card]]) -> str:
    """Return the text of a deck's file: one line for each set of numbers, so that a change shows where it is.

    Raises
    ------
    ValueError
        If the cards of a line do not share tolerance and ideas.
    """
    labels, rows = list(labels), list(cases)
    lines, columns = {}, []
    for label in labels:
        cards = [row[label] for row in rows]
        shared = _shared(cards[0])
        if any(_shared(card) != shared for card in cards):
            raise ValueError(_("The cards of {label!r} differ in more than their values.").format(label=label))
        words = list(dict.fromkeys(value for card in cards for value in _values(card) if isinstance(value, str)))
        causes = list(dict.fromkeys(groups for card in cards if card.evidence for groups in card.evidence.groups))
        lines[label] = shared | ({"words": words} if words else {}) | ({"causes": causes} if causes else {})
        columns.append([_own(card, words, causes) for card in cards])
    written = (
        json.dumps(dict(zip(labels, row, strict=True)), ensure_ascii=False) for row in zip(*columns, strict=True)
    )
    head = ",\n".join(
        f"{json.dumps(label)}: {json.dumps(shared, ensure_ascii=False)}" for label, shared in lines.items()
    )
    body = ",\n".join(written)
    return f'{{"lines": {{\n{head}\n}},\n"cases": [\n{body}\n]}}\n'


def _shared(card: Card) -> dict[str, Any]:
    tolerance, ideas = vars(card.tolerance), [vars(idea) for idea in card.ideas]
    shared: dict[str, Any] = {"tolerance": tolerance, "ideas": ideas}
    if card.evidence:
        weighs = {name: each for name, each in vars(card.evidence).items() if name != "groups"}
        shared["evidence"] = weighs | {"prices": dict(card.evidence.prices)}
    return shared


def _values(card: Card) -> tuple[Value, ...]:
    return card.right, *(show[1] for show in card.shows)


def _own(card: Card, words: list[str], causes: list[Any]) -> dict[str, Any]:
    def written(value: Value) -> Value:
        return words.index(value) if isinstance(value, str) else _short(value)

    shows = [
        [idea, *(written(show[1]) for show in shown_by)]
        for idea, shown_by in groupby(card.shows, key=lambda show: show[0])
    ]
    own: dict[str, Any] = {"right": written(card.right), "shows": shows}
    return own | ({"causes": [causes.index(groups) for groups in card.evidence.groups]} if card.evidence else {})


def _short(value: float) -> float:
    """Ten digits, far below what any tolerance can tell."""
    return float(f"{value:.10g}")
