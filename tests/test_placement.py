"""The placement check: short, across the course, and its advice follows from the answers."""

import re

import pytest

from coldcab import units
from coldcab.assess import SEA_LEVEL, WORDS
from coldcab.lessons.placement import PICKS, advise, questions
from coldcab.placement import SKIP, PlacementCheck


def written(question):
    """The right answer as a person writes it, in the unit of the example."""
    item, case = question.item, question.case
    value = question.card.right
    if item.kind in WORDS:
        return value
    unit = units.parse(item.example, item.kind).unit
    number = units.convert(value, item.kind, unit, atmosphere=getattr(case, "atmosphere", SEA_LEVEL)) if unit else value
    return f"{number:.4g} {unit}"


def test_at_most_fifteen_questions_across_the_course():
    asked = questions()
    assert len(PICKS) <= 15
    assert len(asked) == len({one.pick.lesson for one in asked}) >= 10
    assert {one.pick.lesson.split("-")[0] for one in asked} == {"cycle", "leak", "retrofit", "rebuild", "oil", "faults"}


@pytest.mark.parametrize("number", [1, 2, 7])
def test_who_knows_everything_needs_no_lesson(number):
    asked = questions(number)
    marks, advice = advise(asked, {one.pick.lesson: written(one) for one in asked})
    assert [one.status for one in marks] == ["right"] * len(asked)
    assert advice == ()


def test_every_question_brings_the_numbers_it_needs():
    for one in questions():
        for start in one.pick.shows:
            assert any(label.startswith(start) for label, _ in one.lines), (one.pick.lesson, start)


def test_no_question_leans_on_what_is_not_shown():
    for one in questions():
        assert not re.search(r"\babove\b|\bmost of it\b|\bfirst rise\b", one.words), one.words
        named = re.findall(r"\b(?:[Cc]ase \d|[Ss]ituation \d|[Mm]achine [A-Z]|[Jj]ob [A-Z])\b", one.words)
        shown = " ".join(label for label, _ in one.lines).lower()
        assert all(name.lower() in shown for name in named), one.words
    letters = next(one for one in questions() if one.pick.lesson == "faults-3")
    assert [label.split()[1][0] for label, _ in letters.lines if label.startswith("  1 ")] == list("ABCDEF")


def test_what_was_missed_is_advised_in_the_order_of_the_course():
    check = PlacementCheck()
    for one in check.asked:
        check.answer(one.pick.lesson, written(one))
    check.answer("oil-2", SKIP)
    check.answer("cycle-2", "40")
    text = check.evening()
    assert f"{len(check.asked) - 2} of {len(check.asked)} right" in text
    assert text.index("cycle-2") < text.index("oil-2")
    assert "../oil/2-the-oil-ledger.ipynb" in text
    assert "cycle-1" not in text


def test_a_wrong_idea_is_named():
    asked = questions()
    loop = next(one for one in asked if one.pick.lesson == "cycle-2")
    names = [idea.name for idea in loop.card.ideas]
    wrong = next(value for number, value in loop.card.shows if names[number] == "ratio of gauge pressures")
    _, advice = advise(asked, {"cycle-2": f"{wrong:.2f}"})
    assert "ratio of gauge pressures" in next(one.reason for one in advice if one.lesson == "cycle-2")


def test_an_answer_without_its_unit_is_named():
    check = PlacementCheck()
    check.answer("cycle-1", "28")
    assert "could not be read: 28" in check.evening()


def test_markup_in_an_answer_does_nothing():
    check = PlacementCheck()
    check.answer("cycle-1", "<script>alert(1)</script>")
    assert "<script" not in check.evening()
