"""No sheet pays for a neighbor's answers or for blind guesses, and no line has one answer for everybody."""

import pytest

import copying
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


def test_every_unit_has_lines_about_safety():
    named = {name.partition("-")[0] for name in LESSONS if any(item.safety for item in GRADED[name].items)}
    assert {"cycle", "retrofit", "leak", "oil", "faults", "capstone"} <= named
