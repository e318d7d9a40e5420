"""Lesson retrofit-1: one learner's sheet worked out by another way, and the worked example against what is printed."""

import re

import pytest
from CoolProp.CoolProp import PropsSI

import material
from coldcab import assess, lessons, worked
from coldcab.lessons.retrofit_1.numbers import QUESTIONS
from material import PRACTICED

POUND = 0.45359237
LEARNER = ("2026-autumn", "birch")


def kelvin(fahrenheit):
    return (fahrenheit + 459.67) / 1.8


@pytest.fixture(scope="module")
def sheet():
    return lessons.case("retrofit-1", *LEARNER), material.GRADED["retrofit-1"]


def gravity(case, fahrenheit):
    """From CoolProp directly; water at 60 F weighs 999.02 kg/m3 (IAPWS-95)."""
    return PropsSI("D", "T", kelvin(fahrenheit), "Q", 0, case.refrigerant.replace("-", "")) / 999.02


def test_answers_by_hand(sheet):
    """By the formulas of the lesson. Tables lie within 0.01 % of CoolProp; the vapor's weight is 2 % at most."""
    case, form = sheet
    eighty = 0.80 * case.water_capacity_lb * gravity(case, 70)
    assert form.item("allowed net mass").answer(case) / POUND == pytest.approx(eighty, rel=3e-4)
    stop = case.tare_lb + min(eighty, 0.60 * case.rating_lb)
    assert form.item("stop mark").answer(case) / POUND == pytest.approx(stop, rel=3e-4)
    net = case.warm_scale_lb - case.tare_lb
    level = net / case.water_capacity_lb / gravity(case, case.warm_fahrenheit)
    assert form.item("level in the warm truck").answer(case) == pytest.approx(level, rel=0.02)
    full = form.item("liquid-full temperature").answer(case) * 1.8 - 459.67
    overfilled = (case.overfilled_scale_lb - case.tare_lb) / case.water_capacity_lb
    assert gravity(case, full) == pytest.approx(overfilled, rel=3e-4)
    recovered = form.item("mass recovered").answer(case) / POUND
    assert recovered == pytest.approx(case.after_lb - case.before_lb, abs=1e-9)


def test_the_lessons_short_way_is_marked_right():
    """Leaving the vapor out, as the lesson does, stays within the tolerance for every learner."""
    item = PRACTICED["practice-retrofit-1"].item("level in the warm truck")
    for number in range(100):
        case = lessons.case("retrofit-1", "t", f"learner-{number}")
        level = (case.warm_scale_lb - case.tare_lb) / case.water_capacity_lb / gravity(case, case.warm_fahrenheit)
        assert assess.mark(item, f"{100 * level:.1f} %", case).status == "right"


def test_every_learner_gets_one_case_that_is_allowed():
    seen, rulings = set(), material.keys_of("retrofit-1").RULINGS
    for number in range(200):
        case = lessons.case("retrofit-1", "t", f"learner-{number}")
        assert [rulings[name].answer for name in case.law_cases].count("yes") == 1
        seen |= set(case.law_cases)
    assert seen == set(QUESTIONS) == set(rulings)


def test_each_ruling_says_where_it_stands():
    """By rows of the law that hold what it needs, or by a source of its own; `law.cite` refuses an unknown row."""
    for ruling in material.keys_of("retrofit-1").RULINGS.values():
        assert re.search("40 CFR 82|Clean Air Act|regulator page", ruling.citation)
        assert ruling.citation.endswith("read")


def test_a_weight_in_two_units_is_read():
    item = lessons.FORMS["retrofit-1"].item("mass recovered")
    found = assess.read_answer(item, "2 lb 9 oz")
    assert found.value == pytest.approx((2 + 9 / 16) * POUND)
    assert found.shown.startswith("2 lb 9 oz = ")


def test_published_fillings():
    """CY1, CY2, CY7, CY8: specific gravity of 1.197 against 1.194, and limits printed in whole per cent."""
    apart = [float(one) for one in re.findall(r"([+-][\d.]+)%$", worked.cylinder_fillings().text, re.M)]
    assert len(apart) == 4
    assert all(abs(one) < 0.3 for one in apart[:2])
    assert all(0 <= one < 1 for one in apart[2:])


def test_recovery_over_time_comes_back():
    """The text alternative tells what the picture shows: less comes back each time, all of it above the air."""
    back = [float(one) for one in re.findall(r"\+([\d.]+) psi", worked.recovery_over_time().text)]
    assert len(back) == 3
    assert back == sorted(back, reverse=True)
