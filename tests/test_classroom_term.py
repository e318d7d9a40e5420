"""The term: curves of each learner and outcome."""

import csv
import itertools
import re

import pytest

from classes import MATERIAL
from coldcab.classroom import demo, inbox, needs, plots, term_curves
from coldcab.classroom.asking import apart
from coldcab.classroom.competencies import Competency, competencies
from coldcab.lessons import LESSONS

NAMES = ("cycle-1", "cycle-2", "oil-1", "oil-2")
ASH, BIRCH = demo.ROSTER[:2]
TASKS = (Competency("L", "7.1.5", "oil", ("oil-1", "oil-2")), Competency("L", "9", "brakes", ("brakes-1",)))


def done(learner, score, **about):
    return inbox.Outcome(learner, "graded", score=score, out_of=10.0, **about)


SHEETS = {
    "cycle-1": {"ash": done(ASH, 2.0), "birch": done(BIRCH, 5.0)},
    "cycle-2": {"ash": done(ASH, 4.0), "birch": done(BIRCH, 9.0, to_read=True)},
    "oil-1": {"ash": done(ASH, 9.0)},
    "oil-2": {"ash": done(ASH, 7.0), "birch": inbox.Outcome(BIRCH, "missing")},
}
LATE = {"oil-1": {"ash": done(ASH, 6.0, taken_off=3.0, seconds_late=5.0)}}
DAYS = {("cycle-1", "ash"): "2026-10-01", ("cycle-2", "ash"): "2026-10-20", ("oil-1", "ash"): "2026-10-08",
        ("oil-2", "ash"): "2026-10-20", ("cycle-1", "birch"): "2026-10-01"}  # fmt: skip


@pytest.fixture(scope="module")
def found():
    outcomes = term_curves.served(TASKS, NAMES)
    assert list(outcomes) == [term_curves.ALL, "7.1.5 oil"]
    return {(each.learner, each.outcome): each for each in term_curves.curves((ASH, BIRCH), outcomes, SHEETS, DAYS)}


def test_a_curve_goes_by_the_day_and_counts_all_points_so_far(found):
    """Worked by hand: 2 of 10, then 11 of 20, 15 of 30 and 22 of 40."""
    mine = found["ash", term_curves.ALL]
    assert [(each.sheet, each.so_far) for each in mine.steps] == [
        ("cycle-1", 0.2), ("oil-1", 0.55), ("cycle-2", 0.5), ("oil-2", 0.55),
    ]  # fmt: skip
    assert mine.now == 0.55
    assert mine.rise == pytest.approx((0.4 + 0.7) / 2 - (0.2 + 0.9) / 2)
    assert [each.so_far for each in found["ash", "7.1.5 oil"].steps] == [0.9, 0.8]


def test_what_came_late_shows_no_less():
    """6 of 10 after 3 were taken off: 9 of 10."""
    mine = term_curves.curve("ash", "oil", ("oil-1",), LATE, DAYS)
    assert mine.now == 0.9
    assert [needs.share_of(each) for each in LATE["oil-1"].values()] == [0.9]


def test_what_waits_or_never_came_is_not_on_it(found):
    mine = found["birch", term_curves.ALL]
    assert [each.sheet for each in mine.steps] == ["cycle-1"]
    assert mine.rise is None
    assert found["birch", "7.1.5 oil"].now is None


def test_the_class_on_an_outcome(found):
    means = term_curves.of_the_class(term_curves.ALL, NAMES, list(found.values()))
    assert [(name, pytest.approx(share), count) for name, share, count in means] == [
        ("cycle-1", 0.35, 2), ("cycle-2", 0.4, 1), ("oil-1", 0.9, 1), ("oil-2", 0.7, 1),
    ]  # fmt: skip


def test_sheets_stand_in_the_order_of_the_days_of_the_class(found):
    """cycle-2 came on the 20th like oil-2, oil-1 on the 8th; what nobody handed in comes last."""
    assert term_curves.by_day((*NAMES, "faults-1"), list(found.values())) == (
        "cycle-1", "oil-1", "cycle-2", "oil-2", "faults-1",
    )  # fmt: skip


@pytest.mark.parametrize(("heights", "expected"), [
    ([], []), ([50], [50]), ([50, 50, 51], [50, 53, 56]), ([98, 99, 100], [94, 97, 100]), ([0, 1, 90], [0, 3, 90]),
    ([5] * 201, None),
])  # fmt: skip
def test_names_stand_apart(heights, expected):
    found = apart(heights, 3.0, 0.0, 100.0)
    if expected is not None:
        assert found == expected
    assert all(0 <= each <= 100 for each in found)
    assert all(second - first >= min(3.0, 100 / len(found)) - 1e-9 for first, second in itertools.pairwise(found))


def test_the_table_holds_every_point(found):
    rows = list(csv.DictReader(term_curves.table((ASH, BIRCH), list(found.values())).splitlines()))
    assert len(rows) == sum(len(each.steps) for each in found.values())
    assert rows[1] == {
        "id": "ash", "first_name": "Ash", "last_name": "Invented", "outcome": "all sheets", "day": "2026-10-08",
        "sheet": "oil-1", "points": "9", "out_of": "10", "so_far_percent": "55",
    }  # fmt: skip


def test_a_curve_says_what_it_shows():
    drawing = plots.spark("<oil>", [0.2, 0.9], ["oil-1 20%", "oil-2 90%"])
    assert 'aria-label="&lt;oil&gt;: oil-1 20%; oil-2 90%"' in drawing
    assert drawing.count("<circle") == 2
    two, three = (
        plots.spark("x", shares, "abc", places) for shares, places in (([0, 1], ()), ([0, 1, 1], (0, 0.1, 1)))
    )
    middle = [float(each) for each in re.findall(r'cx="([\d.]+)"', three)]
    assert [float(each) for each in re.findall(r'cx="([\d.]+)"', two)] == [middle[0], middle[2]]
    assert middle[1] - middle[0] == pytest.approx(0.1 * (middle[2] - middle[0]), abs=0.1)


def test_a_day_lies_between_the_first_and_the_last():
    """31 of October is 30 days after the first, and 61 days lie between the first of October and of December."""
    assert term_curves.place_in(("2026-10-01", "2026-12-01"), "2026-10-31") == pytest.approx(30 / 61)
    assert term_curves.place_in(("2026-10-01", "2026-10-01"), "2026-10-01") == 0


def test_every_lesson_serves_an_outcome():
    assert {name for task in competencies(MATERIAL) for name in task.sheets} == set(LESSONS)
