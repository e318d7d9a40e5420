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

sys.path.insert(0, str(Path(__file__).parents[1]))  # when it is run as a program

from coldcab.lessons import LESSONS
from made_up_class import class_of
from material import GRADED

STORED = Path(__file__).with_name("unchanged.json")
LEARNERS, BLOCK = 200, 50
KINDS = ("numbers", "answers", "marks", "feedback")


def of_learner(made_up, one):
    """Return what one learner sees, answers and is told, by `KINDS`."""
    answers, marks, feedback = [], [], []
    for item in made_up.sheet.items:
        card = one.cards[item.label]
        answers.append([item.label, one.written(item, card.right, 9)])
        for value in (card.right, *(value for _, value in card.shows)):
            outcome = made_up.mark(item, one.written(item, value, 9), one)
            marks.append([item.label, outcome.status, round(outcome.points, 9), outcome.idea, outcome.read])
            feedback.append(outcome.feedback)
    return one.case.lines(), answers, marks, feedback


def digests(name):
    """Return a digest for each kind and each block of learners."""
    made_up = class_of(GRADED[name])
    people = made_up.people(LEARNERS)
    found = {kind: [] for kind in KINDS}
    for first in range(0, LEARNERS, BLOCK):
        block = [of_learner(made_up, one) for one in people[first : first + BLOCK]]
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
