"""Answer sheets: reading them, marking them, and saying what would help."""

from coldcab.assess.cards import Card, Deck, Evidence, Idea, Tolerance, Value, Verdict
from coldcab.assess.items import CHOICE, LIST, PRACTICE_PREFIX, WORDS, Assignment, Item, listed
from coldcab.assess.keys import Key, WrongIdea
from coldcab.assess.marking import Mark, grade, judge, mark, mark_by_card, total
from coldcab.assess.reading import SEA_LEVEL, Reading, read_answer
from coldcab.assess.sheet import MAGIC, Sheet, blank_form, fold, merge_sheets, parse_sheet

__all__ = [
    "CHOICE",
    "LIST",
    "MAGIC",
    "PRACTICE_PREFIX",
    "SEA_LEVEL",
    "WORDS",
    "Assignment",
    "Card",
    "Deck",
    "Evidence",
    "Idea",
    "Item",
    "Key",
    "Mark",
    "Reading",
    "Sheet",
    "Tolerance",
    "Value",
    "Verdict",
    "WrongIdea",
    "blank_form",
    "fold",
    "grade",
    "judge",
    "listed",
    "mark",
    "mark_by_card",
    "merge_sheets",
    "parse_sheet",
    "read_answer",
    "total",
]
