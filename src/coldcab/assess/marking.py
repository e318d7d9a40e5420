"""Marking: from what a person wrote to points and one or two sentences that help."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from coldcab.assess.cards import Card, Tolerance, Value
from coldcab.assess.items import Assignment, Item
from coldcab.assess.keys import WorkedCard
from coldcab.assess.reading import Reading, read_answer
from coldcab.assess.sheet import Sheet
from coldcab.words import _


@dataclass(frozen=True)
class Mark:
    """The outcome for one line. ``status`` is right, idea (a known wrong idea), wrong, blank or unreadable."""

    label: str
    status: str
    points: float
    out_of: float
    read: str
    idea: str | None
    feedback: str
    safety: bool = False
    """Whether the line must be right to pass the sheet, see `Item`."""


def mark(item: Item, answer: str, case: Any) -> Mark:
    """Mark one answer with the item's key.

    Parameters
    ----------
    item
        A line with its key.
    answer
        What the person wrote.
    case
        The person's own numbers.

    Raises
    ------
    ValueError
        If the item has no key.
    """
    return mark_by_card(item, answer, item.card(case), case)


def mark_by_card(item: Item, answer: str, card: Card | WorkedCard, case: Any) -> Mark:
    """Mark one answer by a card.

    A right answer is right whatever idea could also lead to it; otherwise the nearest wrong idea within the
    tolerance is named.

    Parameters
    ----------
    item
        A line, with or without a key.
    answer
        What the person wrote.
    card
        What is right and what shows a wrong idea, for the numbers of ``case``.
    case
        The person's own numbers; of these only the air pressure is used.
    """
    return judge(item, read_answer(item, answer, case), card)


def judge(item: Item, reading: Reading, card: Card | WorkedCard) -> Mark:
    """Mark an answer that was read, by a card.

    Parameters
    ----------
    item
        The line that was answered.
    reading
        What `read_answer` made of the answer.
    card
        What is right and what shows a wrong idea.
    """

    def outcome(status: str, feedback: str, share: float = 0.0, idea: str | None = None) -> Mark:
        return Mark(item.label, status, share * item.points, item.points, reading.echo, idea, feedback, item.safety)

    if reading.value is None:
        if reading.problem:
            return outcome("unreadable", reading.problem)
        return outcome("blank", _("Not filled in."))
    if card.evidence is not None:
        verdict = card.evidence.weigh(str(reading.value), card.ideas)
        status = "right" if verdict.share >= 1.0 else "idea" if verdict.idea else "wrong"
        return outcome(status, verdict.feedback, verdict.share, verdict.idea)
    if _distance(card.tolerance, reading.value, card.right) <= 1:
        return outcome("right", "Right.", 1.0)
    candidates = [(_distance(card.tolerance, reading.value, value), number) for number, value in card.shows]
    distance, number = min(candidates, default=(2.0, 0))
    if distance <= 1:
        idea = card.ideas[number]
        return outcome("idea", idea.feedback, idea.credit, idea.name)
    return outcome("wrong", item.hint or _("Not the value that these readings give. Go through the steps once more."))


def grade(assignment: Assignment, sheet: Sheet, case: Any) -> tuple[Mark, ...]:
    """Mark every line of a sheet, in the order of the form."""
    return tuple(mark(item, sheet.answers.get(item.label, ""), case) for item in assignment.items)


def total(marks: Iterable[Mark]) -> float:
    """Return the points of all marks together."""
    return sum(each.points for each in marks)


def _distance(tolerance: Tolerance, value: Value, target: Value) -> float:
    """Distance between two answers in widths of the tolerance; 1 or less counts as the same."""
    if isinstance(value, str) or isinstance(target, str):
        return 0.0 if value == target else 2.0
    width = tolerance.width(target)
    gap = abs(value - target)
    # An exact hit on a target with no width (a count) is a hit; the small share forgives the last printed digit.
    return gap / width if width else (0.0 if gap <= 1e-9 * max(1.0, abs(target)) else 2.0)
