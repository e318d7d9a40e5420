"""Lesson faults-1: numbers in its sentences, and answers worked again from Ohm's law and the rule for copper."""

from dataclasses import replace
from functools import cache

import pytest

from coldcab import instruments, lessons, published, units
from coldcab.service import clutch
from material import COMMON_PRACTICE, PRACTICED


@cache
def circuit(**settings):
    return instruments.clutch_circuit(system="us", **settings)


def current(**settings):
    return circuit(**settings).readings["circuit"].current


def heat(**settings):
    return circuit(**settings).readings["circuit"].coil_heat


def stays_out():
    """F from which on a worn gap is too wide, between two steps of the slider."""
    worn = {"gap": 0.050, "battery": 12.4}
    return next(f for f in range(70, 300, 5) if not circuit(coil_temperature=f, **worn).readings["engaged"])


def copper(quantity):
    rows = published.rows("copper_resistance")
    return next(float(row["value"]) for row in rows if (row["source"], row["quantity"]) == ("A", quantity))


SAID = [
    ("the battery stands at 13.8 V", lambda: circuit().settings["battery"] == 13.8),
    ("(234.5 + hot) ÷ (234.5 + cold)", lambda: abs(clutch.COPPER_ZERO - 273.15 + 234.5) < 1e-9),
    (
        "It falls by about a quarter",
        lambda: abs(1 - current(coil_temperature=230) / current(coil_temperature=68) - 0.25) < 0.03,
    ),
    ("the coil goes from 68 F to 230 F", lambda: current(coil_temperature=230) < current(coil_temperature=68)),
    (
        "about 0.1 V at a connection, 0.3 V across switch contacts. More than 1 V in all",
        lambda: {link.usual_drop for link in clutch.LINKS} == {0.1, 0.3} and clutch.MOST_IN_ALL == 1.0,
    ),
    (
        "The gap is worn to 0.050 in here",
        lambda: circuit(gap=0.020, battery=12.4, coil_temperature=300).readings["engaged"],
    ),
    ("Three amperes do", lambda: abs(current() - 3.0) < 0.5),
    (
        "a tenth of the turns is lost: 224 W. That much heat appears in a place made for forty watts",
        lambda: round(3 * 746 * (2000 - 1800) / 2000) == 224 and abs(circuit().readings["circuit"].coil_heat - 40) < 8,
    ),
    ("From about 180 F on the plate stays out", lambda: 170 < stays_out() <= 185),
    ("So 68 F is 20 C", lambda: (68 - 32) / 1.8 == 20),
    (
        "the head goes on climbing, here until the relief valve blows off",
        lambda: (
            circuit(fault="condenser blocked", severity=100, bridge="high-pressure switch").readings["status"]
            == "relief"
        ),
    ),
    (
        "Bring the **charge** down to 6 %",
        lambda: circuit(charge=6).readings["switches"][0].state != "closed",
    ),
    (
        "half the turns with twice the current make the same magnet. But the heat nearly doubles",
        lambda: (
            1.85 < current(shorted=50) / current() < 2.0
            and 0.95 < 0.5 * current(shorted=50) / current() < 1.0  # ampere-turns
            and 1.75 < heat(shorted=50) / heat() < 2.0
            and circuit(shorted=50).readings["margin"] < circuit().readings["margin"]
        ),
    ),
    ("a 12 V coil usually has 3 to 5 ohm", COMMON_PRACTICE),
    ("One horsepower is 746 W", lambda: round(units.from_unit(1.0, "power", "hp")) == 746),
    (
        "If 3 hp come in at 2,000 rpm and the hub makes 1,800 rpm, a tenth of the turns is lost",
        lambda: (2000 - 1800) / 2000 == 0.1,
    ),
    (
        "set the **air gap** back to 0.020 in",
        lambda: (
            not circuit(gap=0.050, battery=12.4, coil_temperature=200).readings["engaged"]
            and circuit(gap=0.020, battery=12.4, coil_temperature=200).readings["engaged"]
        ),
    ),
    ("Charge back to 100 %", lambda: circuit(charge=100).readings["switches"][0].state == "closed"),
    (
        "Set the fault **condenser blocked**, **severity** 100 %",
        lambda: (
            [circuit(fault="condenser blocked", severity=severity).readings["status"] for severity in (0, 100)]
            == ["running", "high-pressure cut-out"]
        ),
    ),
    ("More than 1 V lost under load", lambda: clutch.MOST_IN_ALL == 1.0),
    ("against that at 77 F", lambda: (77 - 32) / 1.8 == 25),  # the table's own head: from 25 C
    (
        # The head of the table copper_resistance, source A; the straight line through it gives the slope at 20 C.
        "0.00393 per degree C at 20 C also in IEC 60028, from memory; zero at −234.5 C",
        lambda: (
            copper("zero of resistance") == -234.5
            and copper("temperature coefficient") == 0.00393 == round(1 / (20 + 234.5), 5)
        ),
    ),
]

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
