"""Practice as finished cards: each lesson's ``practice.json``, worked out from the instructor's keys."""

from __future__ import annotations

from coldcab.assess.cards import deck_text
from coldcab.assess.items import Assignment

CARDS = 100
"""Sets of numbers in a deck."""


def practice_deck(keyed: Assignment) -> str:
    """Return the text of ``practice.json`` for a practice sheet with its keys."""
    cases = (keyed.case("practice", str(number)) for number in range(1, CARDS + 1))
    labels = [item.label for item in keyed.items]
    return deck_text(labels, ({item.label: item.card(case).finished() for item in keyed.items} for case in cases))
