"""Same learners, same numbers, same marks: digests taken before the lessons got folders of their own.

For 200 learners and every sheet: what the sheet shows, the right answers as a person writes them, and, for right
answers and every known wrong idea, status, points, idea, how it was read, and the feedback. A digest that differs
after a text was corrected on purpose is taken anew: ``python tests/lessons/test_unchanged.py SHEET ...``.
"""

from __future__ import annotations

import hashlib
import json
import sys
from pathlib import Path

import pytest

from coldcab import units
from coldcab.assess import SEA_LEVEL, WORDS, mark_by_card
from coldcab.lessons import LESSONS
from coldcab.lessons.keys import keyed

MATERIAL = Path(__file__).parents[2] / "instructor" / "lessons"
STORED = Path(__file__).with_name("unchanged.json")
TERM, LEARNERS, BLOCK = "digest-term", 200, 50
KINDS = ("numbers", "answers", "marks", "feedback")


def written(item, value, case) -> str:
    if item.kind in WORDS or isinstance(value, str):
        return str(value)
    unit = units.parse(item.example, item.kind).unit
    number = units.convert(value, item.kind, unit, atmosphere=getattr(case, "atmosphere", SEA_LEVEL)) if unit else value
    return f"{number:.9g} {unit}".strip()


def of_learner(sheet, learner):
    """Return what one learner sees, answers and is told, by `KINDS`."""
    case = sheet.case(TERM, learner)
    answers, marks, feedback = [], [], []
    for item in sheet.items:
        card = item.card(case)
        answers.append([item.label, written(item, card.right, case)])
        for value in (card.right, *(value for _, value in card.shows)):
            outcome = mark_by_card(item, written(item, value, case), card, case)
            marks.append([item.label, outcome.status, round(outcome.points, 9), outcome.idea, outcome.read])
            feedback.append(outcome.feedback)
    return case.lines(), answers, marks, feedback


def digests(name):
    """Return a digest for each kind and each block of learners."""
    sheet = keyed(MATERIAL / name, name)
    found = {kind: [] for kind in KINDS}
    for first in range(0, LEARNERS, BLOCK):
        block = [of_learner(sheet, f"learner-{number:03d}") for number in range(first, first + BLOCK)]
        for kind, of_all in zip(KINDS, zip(*block, strict=True), strict=True):
            found[kind].append(hashlib.sha256(json.dumps(of_all).encode()).hexdigest()[:16])
    return found


@pytest.mark.parametrize("name", LESSONS)
def test_same_numbers_and_marks(name):
    stored = json.loads(STORED.read_text(encoding="utf-8"))[name]
    assert digests(name) == stored


if __name__ == "__main__":
    stored = json.loads(STORED.read_text(encoding="utf-8")) if STORED.is_file() else {}
    stored |= {name: digests(name) for name in sys.argv[1:]}
    STORED.write_text(json.dumps(stored, indent=1) + "\n", encoding="utf-8")
