"""The practice sheets of the lessons: lines with keys, marked at once, with new numbers as often as one likes."""

from coldcab.assess.items import Assignment
from coldcab.assess.practice import cycle_1, cycle_2

PRACTICE: dict[str, Assignment] = {sheet.name: sheet for sheet in (cycle_1.SHEET, cycle_2.SHEET)}
