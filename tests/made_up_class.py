"""A made-up class for every sheet: drawn once and worked out once, for all tests that ask it.

Drawing a learner's numbers may solve a machine, a key too; a text is read as often as somebody writes it. Tests of one
sheet share what was done already, as long as they run in one process (see `conftest`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from coldcab import units
from coldcab.assess import SEA_LEVEL, WORDS, Mark, Reading, judge, mark_by_card, read_answer
from coldcab.assess.items import PRACTICE_PREFIX, Assignment, Item
from coldcab.lessons import deck, practice_case

TERM = "digest-term"


@dataclass(frozen=True)
class Learner:
    """One learner's numbers, and what marks each line; worked out once, for marking is asked many times."""

    case: Any
    cards: dict[str, Any]

    def answer(self, item: Item) -> str:
        """The right answer as a careful person writes it."""
        return self.written(item, self.cards[item.label].right)

    def written(self, item: Item, value: Any, digits: int = 6) -> str:
        """A value as a careful person writes it, in the unit of the line's example."""
        if item.kind in WORDS or isinstance(value, str):
            return str(value)
        unit = units.parse(item.example, item.kind).unit
        around = getattr(self.case, "atmosphere", SEA_LEVEL)
        number = units.convert(value, item.kind, unit, atmosphere=around) if unit else value
        return f"{number:.{digits}g} {unit}".strip()


class MadeUpClass:
    """Learners of one sheet; more are drawn when more are asked for.

    On a graded sheet each has numbers of its own and the cards of the keys; on a practice sheet each has one of the
    cards that travel.
    """

    def __init__(self, sheet: Assignment) -> None:
        self.sheet = sheet
        self._people: list[Learner] = []
        self._read: dict[tuple[str, str], Reading] = {}

    def people(self, count: int) -> list[Learner]:
        """Return the first ``count`` learners; of a practice sheet no more than it has cards."""
        practice = self.sheet.name.startswith(PRACTICE_PREFIX)
        count = min(count, len(deck(self.sheet.name))) if practice else count
        new = range(len(self._people), count)
        self._people += map(self._practicing if practice else self._graded, new)
        return self._people[:count]

    def _graded(self, number: int) -> Learner:
        case = self.sheet.case(TERM, f"learner-{number:03d}")
        return Learner(case, {item.label: item.card(case) for item in self.sheet.items})

    def _practicing(self, number: int) -> Learner:
        name, number = self.sheet.name, number + 1
        cards = {item.label: deck(name).card(item.label, number) for item in self.sheet.items}
        return Learner(practice_case(name, number), cards)

    def mark(self, item: Item, text: str, one: Learner) -> Mark:
        """Mark a text by the card of a learner; an answer in words is read once, for it reads alike for everybody."""
        card = one.cards[item.label]
        if item.kind not in WORDS:
            return mark_by_card(item, text, card, one.case)
        place = item.label, text
        if place not in self._read:
            self._read[place] = read_answer(item, text)
        return judge(item, self._read[place], card)


@lru_cache(maxsize=2)  # tests of a sheet and of its practice come one after the other
def class_of(sheet: Assignment) -> MadeUpClass:
    """Return the class of a sheet, see `material.GRADED` and `material.PRACTICED`."""
    return MadeUpClass(sheet)
