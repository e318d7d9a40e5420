"""No sheet pays for a neighbor's answers or for blind guesses, and no line has one answer for everybody."""

from itertools import pairwise
from random import Random

import pytest

import copying
import made_up_class
from coldcab.assess import Sheet
from coldcab.classroom import demo
from coldcab.classroom.autograder import answers_fingerprint
from coldcab.classroom.marker import Marker
from coldcab.lessons import LESSONS
from material import GRADED

PAIRS = 300


@pytest.mark.parametrize("name", LESSONS)
def test_copying_and_guessing_do_not_pay(name):
    """Of 300 pairs on average a fifth at most, and in 95 of 100 pairs two fifths at most; guessing less than a quarter.

    Choices count like all other lines, with whatever credit a wrong idea brings. Only a line about safety may have one
    answer for everybody.
    """
    sheet = GRADED[name]
    assert copying.neighbour_share(sheet, PAIRS) <= 0.20
    assert copying.neighbour_high(sheet, PAIRS) <= 0.40
    assert copying.guessing_share(sheet, PAIRS) < 0.25
    assert set(copying.same_for_everyone(sheet, PAIRS)) <= {item.label for item in sheet.items if item.safety}


@pytest.mark.parametrize("name", LESSONS)
def test_a_sheet_pays_for_deciding_more_than_for_arithmetic(name):
    """Numbers are what somebody works out; words are what somebody decides."""
    items = GRADED[name].items
    words = sum(item.points for item in items if item.kind in copying.WORDS)
    assert words >= 0.5 * sum(item.points for item in items)


@pytest.mark.parametrize("name", LESSONS)
def test_grading_tells_whose_answers_a_sheet_has(name):
    """A neighbor's sheet is named, also where nearly all of it is choices and the file was changed; no guesser is."""
    judge, people = Marker(GRADED[name], made_up_class.TERM), [f"learner-{number:03d}" for number in range(6)]
    dice = Random(name)
    guess = {
        item.label: dice.choice(item.choices)
        if item.choices
        else f"{dice.uniform(1, 9):.2f} {item.example.split()[-1]}"
        for item in judge.assignment.items
    }
    own = {who: marked_with(judge, who, demo.right, who) for who in people}
    assert judge.owners(own, people) == {}
    copied = {who: marked_with(judge, who, demo.right, owner) for owner, who in pairwise(people)}
    found = [judge.owners(own | {who: copy}, people).get(who) == owner
             for (owner, who), copy in zip(pairwise(people), copied.values(), strict=True)]  # fmt: skip
    assert sum(found) >= len(found) - 1  # two may have drawn nearly the same numbers
    guessed = {who: marked_with(judge, who, lambda item, case: guess[item.label], who) for who in people}
    assert judge.owners(guessed, people) == {}


def marked_with(judge, who, hand, owner):
    """What is kept of a sheet that ``who`` filled in with the numbers of ``owner``."""
    case = judge.assignment.case(judge.term, owner)
    marked = judge.mark(Sheet({item.label: hand(item, case) for item in judge.assignment.items}), who)
    return marked.numbers, marked.typed


def test_a_sheet_of_choices_is_known_letter_for_letter():
    sheet = GRADED["faults-2"]
    case, labels = sheet.case("open", "ash"), [item.label for item in sheet.items]
    answers = {item.label: demo.right(item, case) for item in sheet.items}
    assert answers_fingerprint(Sheet(answers), labels)
    assert answers_fingerprint(Sheet(answers | {"worst drier": "Z"}), labels) != answers_fingerprint(
        Sheet(answers), labels
    )
    assert answers_fingerprint(Sheet(dict.fromkeys(labels, "A")), labels) == "", "a lazy guess is nobody's own"


def test_every_unit_has_lines_about_safety():
    named = {name.partition("-")[0] for name in LESSONS if any(item.safety for item in GRADED[name].items)}
    assert {"cycle", "retrofit", "leak", "oil", "faults", "capstone"} <= named
