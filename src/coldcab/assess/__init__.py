"""Answer sheets: reading them, marking them, and saying what would help."""

from coldcab.assess.forms import FORMS
from coldcab.assess.items import CHOICE, LIST, WORDS, Assignment, Item, Key, Tolerance, Verdict, WrongIdea
from coldcab.assess.marking import Mark, Reading, agrees, grade, mark, read_answer, total
from coldcab.assess.practice import PRACTICE
from coldcab.assess.reference import load_reference
from coldcab.assess.sheet import MAGIC, Sheet, blank_form, fold, merge_sheets, parse_sheet

__all__ = [
    "CHOICE",
    "FORMS",
    "LIST",
    "MAGIC",
    "PRACTICE",
    "WORDS",
    "Assignment",
    "Item",
    "Key",
    "Mark",
    "Reading",
    "Sheet",
    "Tolerance",
    "Verdict",
    "WrongIdea",
    "agrees",
    "blank_form",
    "fold",
    "grade",
    "load_reference",
    "mark",
    "merge_sheets",
    "parse_sheet",
    "read_answer",
    "total",
]
