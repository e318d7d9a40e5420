"""What a sheet pays without work: to who copies a neighbor's right answers, and to who guesses its choices."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import ceil
from statistics import fmean
from typing import Any

from coldcab import units
from coldcab.assess import SEA_LEVEL, WORDS, mark_by_card
from coldcab.assess.items import Assignment, Item

TERM = "copying"


@dataclass(frozen=True)
class Learner:
    """One learner's numbers, and what marks each line; worked out once, for marking is asked many times."""

    case: Any
    cards: dict[str, Any]

    def answer(self, item: Item) -> str:
        """The right answer as a careful person writes it, in the unit of the line's example."""
        value = self.cards[item.label].right
        if item.kind in WORDS or isinstance(value, str):
            return str(value)
        unit = units.parse(item.example, item.kind).unit
        around = getattr(self.case, "atmosphere", SEA_LEVEL)
        number = units.convert(value, item.kind, unit, atmosphere=around) if unit else value
        return f"{number:.6g} {unit}".strip()

    def points(self, item: Item, text: str) -> float:
        """What a text earns on this learner's own sheet."""
        return mark_by_card(item, text, self.cards[item.label], self.case).points


@lru_cache(maxsize=2)
def learners(sheet: Assignment, count: int, term: str = TERM) -> tuple[Learner, ...]:
    """Return invented learners of a sheet."""
    cases = (sheet.case(term, f"neighbor-{number}") for number in range(count))
    return tuple(Learner(case, {item.label: item.card(case) for item in sheet.items}) for case in cases)


def whole(sheet: Assignment) -> float:
    """Return the points of all lines of a sheet."""
    return sum(item.points for item in sheet.items)


def pair_shares(sheet: Assignment, pairs: int) -> list[float]:
    """Return, for each pair, the share of a sheet's points that a neighbor's right answers earn, the least first.

    Parameters
    ----------
    sheet
        With its keys, see `material.GRADED`.
    pairs
        Pairs of learners. Every line counts, choices too, with whatever credit a wrong idea brings.
    """
    return sorted(
        sum(own.points(item, other.answer(item)) for item in sheet.items) / whole(sheet)
        for own, other in pairwise(learners(sheet, pairs + 1))
    )


def neighbour_share(sheet: Assignment, pairs: int) -> float:
    """Return the mean of `pair_shares`."""
    return fmean(pair_shares(sheet, pairs))


def neighbour_high(sheet: Assignment, pairs: int) -> float:
    """Return the share that 95 of 100 pairs do not pass."""
    return pair_shares(sheet, pairs)[ceil(0.95 * pairs) - 1]


def line_shares(sheet: Assignment, pairs: int) -> dict[str, float]:
    """Return the same for each line: where a sheet is open to copying."""
    people = learners(sheet, pairs + 1)
    return {
        item.label: fmean(own.points(item, other.answer(item)) for own, other in pairwise(people)) / item.points
        for item in sheet.items
    }


def guessing_share(sheet: Assignment, count: int = 300) -> float:
    """Return the share of all points of a sheet that the best blind guesses earn on its lines of words.

    For each such line the best of: each single choice, all choices at once, and the answers that were right the most
    often. Numbers earn nothing.
    """
    people = learners(sheet, count + 1)
    earned = 0.0
    for item in sheet.items:
        if item.kind not in WORDS:
            continue
        often = [answer for answer, _count in Counter(one.answer(item) for one in people).most_common(5)]
        guesses = {*item.choices, *often, ", ".join(item.choices)}
        earned += max(fmean(one.points(item, guess) for one in people) for guess in guesses)
    return earned / whole(sheet)


def same_for_everyone(sheet: Assignment, count: int = 300) -> list[str]:
    """Return the labels of lines whose right answer is one and the same for all learners."""
    people = learners(sheet, count + 1)
    return [item.label for item in sheet.items if len({one.cards[item.label].right for one in people}) == 1]
