"""Numbers for learners: the same names give the same numbers for ever, and every number is plausible."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldcab import lessons, scenario
from coldcab.scenario import Draw

NAMES = st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), min_size=1, max_size=20)


def test_draw_is_pinned():
    # Regression values: a class's numbers must never change with a release of Python or NumPy.
    draw = Draw("cycle-1", "2026-autumn", "birch")
    assert draw.fraction("altitude") == 0.359110793359666
    assert draw.number("altitude", 6500, 9000, 100) == 7400
    assert draw.order("states", ("a", "b", "c")) == ("c", "b", "a")


def test_cases_are_pinned():
    one = lessons.case("cycle-1", "2026-autumn", "birch")
    assert (one.altitude_feet, one.low_side_psig, one.cylinder_psig) == (7400, 25, 173.0)
    two = lessons.case("cycle-2", "2026-autumn", "birch")
    assert (two.refrigerant, two.low_side_psig, two.high_side_psig, two.hot_outside_fahrenheit) == (
        "R-134a",
        34,
        185,
        89.0,
    )


@given(NAMES, st.floats(-1e3, 1e3), st.integers(1, 200), st.sampled_from([0.05, 0.5, 1, 5, 100]))
def test_numbers_stay_on_the_instrument(name, low, places, step):
    value = Draw(name).number("reading", low, low + places * step, step)
    steps = (value - low) / step
    assert -1e-3 <= steps <= places + 1e-3
    assert math.isclose(steps, round(steps), abs_tol=1e-3)


def test_every_place_is_reached_about_equally_often():
    counts = [0] * 5
    for learner in range(5000):
        counts[int(Draw("even", str(learner)).number("x", 0, 4, 1))] += 1
    # 1000 expected; four standard deviations of a binomial count are 113.
    assert all(887 < count < 1113 for count in counts)


def test_words_do_not_run_together():
    assert Draw("ab", "c").fraction("x") != Draw("a", "bc").fraction("x")


def test_capitals_and_look_alikes_are_one_learner():
    assert Draw("Birch").fraction("x") == Draw("birch").fraction("x") == Draw("ｂirch").fraction("x")


def test_term_and_assignment_change_the_numbers():
    assert lessons.case("cycle-1", "a", "birch") != lessons.case("cycle-1", "b", "birch")
    assert lessons.case("cycle-1", "a", "birch") != lessons.case("practice-cycle-1", "a", "birch")


def test_no_two_of_a_school_share_a_case():
    for name in ("cycle-1", "cycle-2"):
        cases = {lessons.case(name, "term", f"learner-{number}") for number in range(500)}
        assert len(cases) == 500


def test_unknown_assignment_is_named():
    with pytest.raises(ValueError, match="no assignment named 'cycle-9'"):
        lessons.case("cycle-9", "t", "l")


@pytest.mark.parametrize(
    ("text", "kind", "trade_first", "metric_first"),
    [
        # 34 psi of 6.894757 kPa; 105 F is 40.56 C; 1 ft is 0.3048 m: exact definitions.
        ("34 psig", "pressure", "34 psig (234 kPa gauge)", "234 kPa gauge (34 psig)"),
        ("105 F", "temperature", "105 F (40.6 C)", "40.6 C (105 F)"),
        ("9 F", "temperature difference", "9 F (5.0 K)", "5.0 K (9 F)"),
        ("6,000 ft", "length", "6,000 ft (1,829 m)", "1,829 m (6,000 ft)"),
        ("16 inHg vacuum", "pressure", "16 inHg vacuum", "16 inHg vacuum"),
        ("1,500 rpm", "rotational speed", "1,500 rpm", "1,500 rpm"),
    ],
)
def test_readings_are_written_in_both_systems(monkeypatch, text, kind, trade_first, metric_first):
    assert scenario.shown(text, kind) == trade_first
    monkeypatch.setattr("coldcab.learner.units", lambda: "si")
    assert scenario.shown(text, kind) == metric_first


def test_data_sheets_are_those_that_cases_were_always_drawn_from():
    # Regression values: another number would change every drawn case.
    assert [tuple(vars(unit).values()) for unit in scenario.FLEET] == [
        (7, "wheel loader", 164e-6, 1.30, "R-12", 1.20),
        (12, "orchard sprayer", 108e-6, 1.40, "R-12", 0.88),
        (18, "motor grader", 155e-6, 1.25, "R-12", 1.38),
        (26, "forage harvester", 178e-6, 1.20, "R-12", 1.42),
        (31, "combine", 170e-6, 1.35, "R-12", 1.48),
        (44, "road sweeper", 125e-6, 1.50, "R-12", 0.98),
        (52, "compact loader", 88e-6, 1.45, "R-1234yf", 0.62),
        (58, "tractor", 165e-6, 1.30, "R-134a", 1.56),
    ]
    assert scenario.FLEET[4].name == "Unit 31, the combine"
