"""Lesson faults-1: its answers worked again from Ohm's law and the rule for copper, as a learner does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coldcab import lessons
from material import PRACTICED

CASES = [lessons.case("faults-1", "by hand", f"learner-{number}") for number in range(40)]
PARTS = (
    "fuse and its holder", "control switch", "thermostat", "low-pressure switch", "high-pressure switch",
    "relay contacts", "coil connector",
)  # fmt: skip


def answers(case) -> dict[str, object]:
    """Answers in SI by the practice sheet's own keys."""
    return {item.label: item.answer(case) for item in PRACTICED["practice-faults-1"].items}


@pytest.mark.parametrize("case", CASES)
def test_answers_by_hand(case):
    """From the readings on the sheet alone; rounding is the only difference."""
    celsius = (case.hot_fahrenheit - 32) / 1.8
    hot = case.cold_ohm * (234.5 + celsius) / 254.5
    readings = [case.battery, *case.behind]
    coil = readings[-1] - case.coil_ground
    drops = {part: before - after for part, before, after in zip(PARTS, readings[:-1], readings[1:], strict=True)}
    drops["ground strap"] = case.coil_ground
    worst = max(drops, key=drops.get)
    found = answers(case)
    assert found["coil resistance hot"] == pytest.approx(hot)
    assert found["current hot"] == pytest.approx(coil / hot)
    assert found["voltage lost"] == pytest.approx(case.battery - coil)
    assert found["part that takes it"] == worst
    assert found["voltage across it"] == pytest.approx(drops[worst])
    assert found["its resistance"] == pytest.approx(drops[worst] / (coil / hot))


@pytest.mark.parametrize(
    ("low", "high", "fins", "switch"),
    [
        (45, 385, 55, "high-pressure switch"),
        (4, 90, 50, "low-pressure switch"),
        (22, 150, 30, "thermostat"),
        (16, 300, 45, "none of them"),
    ],
)
def test_the_switch_by_its_set_point(low, high, fins, switch):
    """Set points as the sheet prints them: below 6.5 psig, above 377 psig, below 33 F."""
    case = replace(CASES[0], low_psig=low, high_psig=high, fins_fahrenheit=fins)
    printed = dict(case.lines())
    assert printed["low-pressure switch opens below"].startswith("6.5 psig")
    assert printed["high-pressure switch opens above"].startswith("377 psig")
    assert printed["thermostat opens below"].startswith("33 F")
    assert answers(case)["switch that opened"] == switch
