"""What a sheet pays without work: to who copies a neighbor's right answers, and to who guesses its choices."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache
from itertools import pairwise
from math import ceil
from statistics import fmean

from coldcab.assess import WORDS
from coldcab.assess.items import Assignment
from made_up_class import class_of


def whole(sheet: Assignment) -> float:
    """Return the points of all lines of a sheet."""
    return sum(item.points for item in sheet.items)


@lru_cache(maxsize=2)
def pair_shares(sheet: Assignment, pairs: int) -> tuple[float, ...]:
    """Return, for each pair, the share of a sheet's points that a neighbor's right answers earn, the least first.

    Parameters
    ----------
    sheet
        With its keys, see `material.GRADED`.
    pairs
        Pairs of learners. Every line counts, choices too, with whatever credit a wrong idea brings.
    """
    found = class_of(sheet)
    shares = (
        sum(found.mark(item, other.answer(item), own).points for item in sheet.items) / whole(sheet)
        for own, other in pairwise(found.people(pairs + 1))
    )
    return tuple(sorted(shares))


def neighbour_share(sheet: Assignment, pairs: int) -> float:
    """Return the mean of `pair_shares`."""
    return fmean(pair_shares(sheet, pairs))


def neighbour_high(sheet: Assignment, pairs: int) -> float:
    """Return the share that 95 of 100 pairs do not pass."""
    return pair_shares(sheet, pairs)[ceil(0.95 * pairs) - 1]


def line_shares(sheet: Assignment, pairs: int) -> dict[str, float]:
    """Return the same for each line: where a sheet is open to copying."""
    found = class_of(sheet)
    pairs_of = list(pairwise(found.people(pairs + 1)))
    return {
        item.label: fmean(found.mark(item, other.answer(item), own).points for own, other in pairs_of) / item.points
        for item in sheet.items
    }


def guessing_share(sheet: Assignment, count: int = 300) -> float:
    """Return the share of all points of a sheet that the best blind guesses earn on its lines of words.

    For each such line the best of: each single choice, all choices at once, and the answers that were right the most
    often. Numbers earn nothing.
    """
    found = class_of(sheet)
    people = found.people(count + 1)
    earned = 0.0
    for item in sheet.items:
        if item.kind not in WORDS:
            continue
        often = [answer for answer, _count in Counter(one.answer(item) for one in people).most_common(5)]
        guesses = {*item.choices, *often, ", ".join(item.choices)}
        earned += max(fmean(found.mark(item, guess, one).points for one in people) for guess in guesses)
    return earned / whole(sheet)


def same_for_everyone(sheet: Assignment, count: int = 300) -> list[str]:
    """Return the labels of lines whose right answer is one and the same for all learners."""
    people = class_of(sheet).people(count + 1)
    return [item.label for item in sheet.items if len({one.cards[item.label].right for one in people}) == 1]
