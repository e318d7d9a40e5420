"""The practice sheets: lines with keys, marked at once, with new numbers as often as one likes.

One module a lesson, each with a ``SHEET``.
"""

from collections.abc import Mapping

from coldcab.assess.items import Assignment
from coldcab.lessons import Pages

PRACTICE: Mapping[str, Assignment] = Pages("coldcab.assess.practice", "SHEET", prefix="practice-")
