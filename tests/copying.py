"""What a sheet pays without work: to who copies a neighbor's right answers, and to who guesses its choices."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from math import ceil
from statistics import fmean

from coldcab import units
from coldcab.assess import SEA_LEVEL, WORDS, mark
from coldcab.assess.items import Assignment

TERM = "copying"


def written(item, value, case) -> str:
    """A value as a careful person writes it, in the unit of the line's example."""
    if item.kind in WORDS or isinstance(value, str):
        return str(value)
    unit = units.parse(item.example, item.kind).unit
    number = units.convert(value, item.kind, unit, atmosphere=getattr(case, "atmosphere", SEA_LEVEL)) if unit else value
    return f"{number:.6g} {unit}".strip()


def pair_shares(sheet: Assignment, pairs: int, *, term: str = TERM) -> list[float]:
    """Return, for each pair, the share of a sheet's points that a neighbor's right answers earn, the least first.

    Parameters
    ----------
    sheet
        With its keys, see `material.GRADED`.
    pairs
        Pairs of learners. Every line counts, choices too, with whatever credit a wrong idea brings.
    """
    cases = [sheet.case(term, f"neighbor-{number}") for number in range(pairs + 1)]
    points = sum(item.points for item in sheet.items)
    return sorted(
        sum(mark(item, written(item, item.answer(other), other), own).points for item in sheet.items) / points
        for own, other in pairwise(cases)
    )


def neighbour_share(sheet: Assignment, pairs: int, *, term: str = TERM) -> float:
    """Return the mean of `pair_shares`."""
    return fmean(pair_shares(sheet, pairs, term=term))


def neighbour_high(sheet: Assignment, pairs: int, *, term: str = TERM) -> float:
    """Return the share that 95 of 100 pairs do not pass."""
    return pair_shares(sheet, pairs, term=term)[ceil(0.95 * pairs) - 1]


def line_shares(sheet: Assignment, pairs: int, *, term: str = TERM) -> dict[str, float]:
    """Return the same for each line: where a sheet is open to copying."""
    cases = [sheet.case(term, f"neighbor-{number}") for number in range(pairs + 1)]
    return {
        item.label: sum(
            mark(item, written(item, item.answer(other), other), own).points for own, other in pairwise(cases)
        )
        / (pairs * item.points)
        for item in sheet.items
    }


def guessing_share(sheet: Assignment, learners: int = 300, *, term: str = TERM) -> float:
    """Return the share of all points of a sheet that the best blind guesses earn on its lines of words.

    For each such line the best of: each single choice, all choices at once, and the answers that were right the most
    often. Numbers earn nothing.
    """
    cases = [sheet.case(term, f"guesser-{number}") for number in range(learners)]
    earned = 0.0
    for item in sheet.items:
        if item.kind not in WORDS:
            continue
        often = [answer for answer, _count in Counter(str(item.answer(case)) for case in cases).most_common(5)]
        guesses = [*item.choices, *often, ", ".join(item.choices)]
        earned += max(sum(mark(item, guess, case).points for case in cases) for guess in set(guesses)) / learners
    return earned / sum(item.points for item in sheet.items)


def same_for_everyone(sheet: Assignment, learners: int = 40, *, term: str = TERM) -> list[str]:
    """Return the labels of lines whose right answer is one and the same for all learners."""
    cases = [sheet.case(term, f"guesser-{number}") for number in range(learners)]
    return [item.label for item in sheet.items if len({item.answer(case) for case in cases}) == 1]
