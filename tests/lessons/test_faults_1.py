"""Lesson faults-1: numbers in its sentences, and answers worked again from Ohm's law and the rule for copper."""

from collections import Counter
from functools import cache

import pytest

from coldcab import instruments, lessons, published, worked
from coldcab.lessons.faults_1 import jobs
from coldcab.lessons.faults_1.numbers import NO_PART, PARTS
from coldcab.quantities import PSI
from coldcab.service import clutch, clutch_wiring
from material import COMMON_PRACTICE, GRADED, PRACTICED, keys_of


@cache
def circuit(**settings):
    return instruments.clutch_circuit(system="us", **settings)


def current(**settings):
    return circuit(**settings).readings["current"]


def stays_out():
    """F from which on a worn gap is too wide, between two steps of the slider."""
    return next(f for f in range(70, 300, 5) if circuit(gap=0.060, coil_temperature=f).readings["status"] != "engaged")


def volts(red, black, **settings):
    return circuit(**settings).readings["probed"].across(red, black)


def opens(control, psig):
    return circuit(control=control, pressure=psig).readings["probed"].stopped_by == ("pressure switch",)


def copper(quantity):
    rows = published.rows("copper_resistance")
    return next(float(row["value"]) for row in rows if (row["source"], row["quantity"]) == ("A", quantity))


ONE, TWO, THREE = "switch, one function", "switch, two functions", "switch, three functions"
JOB = "clutch ground wire corroded"

SAID = [
    ("It carries about 0.15 A", lambda: circuit().readings["probed"].control.current == pytest.approx(0.15, abs=0.01)),
    ("It carries 3 to 4 A", lambda: 3.0 < current() < 4.0 and 3.0 < current(coil_temperature=68) < 4.0),
    ("Within 1 V of the battery", lambda: clutch.MOST_IN_ALL == 1.0),
    (
        "3.8 V from the engine block to battery minus",
        lambda: volts("engine block", "battery minus", fault="unknown A") == pytest.approx(3.8, abs=0.05),
    ),
    (
        "about 9 V on relay 85, where a good ground shows 0 V",
        lambda: (
            volts("relay 85", "battery minus", fault="unknown F") == pytest.approx(8.8, abs=0.1)
            and volts("relay 85", "battery minus") < 0.01
        ),
    ),
    (
        "battery voltage on 86 and 0 V on 85, and still no click",
        lambda: (
            volts("relay 85", "battery minus", fault="unknown H") < 0.01
            and volts("relay 86", "battery minus", fault="unknown H") > 13.7
        ),
    ),
    ("Here 150 psig: it should be closed", lambda: circuit().settings["pressure"] == pytest.approx(150 * PSI)),
    (
        "the switch opens below 30 psig and above 385 psig, and asks for the fan above 220 psig",
        lambda: (
            [opens(TWO, psig) for psig in (29, 31, 384, 386)] == [True, False, False, True]
            and not opens(ONE, 400)
            and [circuit(control=THREE, pressure=psig).readings["probed"].fan for psig in (219, 221)] == [False, True]
        ),
    ),
    (
        "put the **liquid line** at 20 psig, then at 400 psig",
        lambda: (
            all(opens(control, 20) for control in (ONE, TWO, THREE))
            and [opens(control, 400) for control in (ONE, TWO, THREE)] == [False, True, True]
        ),
    ),
    ("supply (5 V), signal, ground", lambda: clutch_wiring.SUPPLY == 5.0),
    (
        "range 500 psig, supply 5.00 V, liquid line 250 psig",
        lambda: clutch_wiring.SPAN == 500 * PSI,
    ),
    (
        "A tenth of the supply means 0 psig",
        lambda: clutch_wiring.sensor_signal(0.0) == pytest.approx(0.5),
    ),
    ("250 psig gives 2.50 V", lambda: clutch_wiring.sensor_signal(250 * PSI) == pytest.approx(5 * (0.1 + 0.8 * 0.5))),
    (
        "the signal falls to 0 V",
        lambda: (
            volts(
                "sensor signal",
                "sensor ground",
                control="sensor and controller",
                fault="supply wire of the sensor broken",
            )
            == 0.0
        ),
    ),
    ("A 12 V clutch coil usually has 3 to 5 ohm when it is cold, a 24 V coil about four times", COMMON_PRACTICE),
    ("The gap is worn to 0.060 in here, and the coil is at 70 F", lambda: stays_out() > 70),
    (
        "set the **air gap** to 0.020 in",
        lambda: circuit(gap=0.020, coil_temperature=250).readings["status"] == "engaged",
    ),
    ("From about 155 F on the plate stays out", lambda: 145 < stays_out() <= 160),
    ("often 0.016 to 0.031 in (0.4 to 0.8 mm), which is common practice", COMMON_PRACTICE),
    ("About 0.7 V", lambda: circuit().readings["probed"].turn_off == 0.7),
    (
        "About 100 V with the 33 ohm of this bench",
        lambda: circuit(suppression="resistor").readings["probed"].turn_off == pytest.approx(33 * current()),
    ),
    ("0.5 to 0.7 V one way", lambda: clutch_wiring.DIODE_DROP == 0.7),  # silicon, from memory
    (
        "have **two 12 V batteries in series**",
        lambda: clutch_wiring.SYSTEMS["24 V"].running == 2 * clutch_wiring.SYSTEMS["12 V"].running,
    ),
    (
        "Coils, relays and bulbs are made for 24 V. A 24 V clutch coil draws half the current",
        lambda: current(battery="24 V") == pytest.approx(0.5 * current(), rel=0.03),
    ),
    ("Never feed a 12 V part", lambda: clutch_wiring.SYSTEMS["12 V"].nominal == 12.0),
    ("Never jump a 24 V machine from a 12 V one", lambda: clutch_wiring.SYSTEMS["24 V"].nominal == 24.0),
    ("Never put a 12 V relay or clutch in", lambda: clutch_wiring.SYSTEMS["12 V"].relay < 330.0),
    ("the same limits in volts on 12 V and 24 V machines (common practice", COMMON_PRACTICE),
    ("the same bench on 24 V", lambda: circuit(battery="24 V", fault="unknown D").readings["status"] == "engaged"),
    ("More than 1 V lost, feed side", lambda: clutch.MOST_IN_ALL == 1.0),
    ("Battery 13.8 V, clutch on", lambda: volts("battery plus", "battery minus", fault=JOB) == pytest.approx(13.8)),
    (
        "Coil 10.4 V: more than 1 V lost",
        lambda: volts("clutch feed terminal", "clutch ground terminal", fault=JOB) == pytest.approx(10.4, abs=0.05),
    ),
    (
        "Feed side 0.1 V. Ground side 3.3 V",
        lambda: (
            volts("battery plus", "clutch feed terminal", fault=JOB) == pytest.approx(0.1, abs=0.05)
            and volts("clutch ground terminal", "battery minus", fault=JOB) == pytest.approx(3.3, abs=0.05)
        ),
    ),
    (
        "to the engine block it is still 3.3 V",
        lambda: volts("clutch ground terminal", "engine block", fault=JOB) == pytest.approx(3.3, abs=0.05),
    ),
    (
        "measured again: less than 0.1 V",
        lambda: volts("clutch ground terminal", "engine block") < 0.1,
    ),
    (
        "zero resistance at −390 F (−234.5 C)",
        lambda: copper("zero of resistance") == -234.5 and round(-234.5 * 1.8 + 32) == -390,
    ),
]

CASES = [lessons.case("faults-1", "by hand", f"learner-{number}") for number in range(60)]


def answers(case) -> dict[str, object]:
    """Answers in SI by the sheet's own keys."""
    return {item.label: item.answer(case) for item in GRADED["faults-1"].items}


def letters(wanted) -> str:
    return ", ".join(letter for letter, is_wanted in zip("ABCDEFGH", wanted, strict=True) if is_wanted)


@pytest.mark.parametrize("case", CASES)
def test_machine_a_by_hand(case):
    """From the readings on the sheet alone; the drop of each part is the difference of its two points."""
    hot = case.cold_ohm * (390 + case.hot_fahrenheit) / (390 + case.cold_fahrenheit)
    relay_30, relay_87, behind_wire, feed, ground, block = case.behind
    found = answers(case)
    assert found["coil resistance hot"] == pytest.approx(hot)
    assert found["current hot"] == pytest.approx((feed - ground) / hot)
    assert found["voltage lost"] == pytest.approx(case.battery - (feed - ground))
    drops = (case.battery - relay_30, relay_30 - relay_87, relay_87 - behind_wire, behind_wire - feed, ground - block,
             block)  # fmt: skip
    high = [part for part, drop in zip(PARTS, drops, strict=True) if drop > (0.3 if part == "relay contacts" else 0.1)]
    assert [found["part that takes it"]] == (high or [NO_PART])
    # The same circuit under Kirchhoff: the current through the bad part is the coil's.
    if high:
        assert max(drops) > 1.0


@pytest.mark.parametrize("case", CASES)
def test_pressures_and_drops_by_hand(case):
    found = answers(case)
    gauge = (case.signal / case.supply - 0.1) / 0.8 * case.span_psig
    assert found["pressure by the sensor"] / PSI - 14.696 == pytest.approx(gauge, abs=0.01)
    loaded = [
        volts > (0.3 if "contacts" in part or "switch" in part or "thermostat" in part else 0.1)
        for part, volts in case.drops
    ]
    assert found["drops too high"] == letters(loaded)
    open_ = case.switches
    if open_.across_switch > 1.0:
        inside = open_.low_opens <= open_.psig <= open_.high_opens
        assert found["what is open and why"].startswith(
            "pressure switch bad" if inside else "low pressure" if open_.psig < open_.low_opens else "high pressure"
        )
    elif open_.across_thermostat > 1.0:
        cold = open_.fins < open_.thermostat_opens
        # Between its two set points a thermostat may be open or closed: no sheet shows it there.
        assert cold or open_.fins > open_.thermostat_closes
        assert found["what is open and why"] == ("cold fins, thermostat sound" if cold else "thermostat bad")
    else:
        assert open_.psig > open_.fan_closes
        assert open_.across_fan > 1.0
        assert found["what is open and why"] == "fan contact bad"


@pytest.mark.parametrize("case", CASES)
def test_machine_e_by_the_order_of_the_page(case):
    it, found = case.blamed, answers(case)["what to do"]
    copper_has = 3.6 * (390 + it.fahrenheit) / (390 + 68)
    wanted = (
        "compressor and clutch" if it.debris or not it.turns_freely
        else "find what opened the switch" if it.switch_open
        else "repair the wiring" if 13.8 - it.volts > 1.0
        else "clutch alone" if abs(it.ohm / copper_has - 1) > 0.2
        else "set the air gap" if it.gap_inches > 0.0315
        else "leave the clutch as it is"
    )  # fmt: skip
    assert found == wanted


def test_the_middle_is_told_from_the_situation():
    """Each half-measured job has its own pair, and both machines of a sheet are different jobs."""
    assert len(set(jobs.PAIRS)) == len(jobs.SITUATIONS) == len(jobs.PAIRS)
    for case in CASES:
        found = answers(case)
        for machine, place in zip("BC", case.situations, strict=True):
            letter = found[f"next points, machine {machine}"]
            assert case.pairs["ABCDEFGHI".index(letter)] == jobs.PAIRS[place]
        assert case.situations[0] != case.situations[1]
        assert not any("{" in words for words in case.situation_words)


def test_notes_and_plans_are_judged_by_a_rule_of_the_page():
    keys = keys_of("faults-1")
    assert set(jobs.NOTES) == keys.PROVED | keys.NO_LOAD | keys.SYMPTOMS
    assert keys.BYPASSES | keys.HANDS == keys.REFUSED
    for word in ("test lamp", "plug pulled off", "cold bench", "ohmmeter"):
        assert any(word in note for note in keys.NO_LOAD), word
    for word in ("a wire across", "left across", "30 A fuse", "foil", "engine running, a hand", "one of the two"):
        assert any(word in plan for plan in keys.REFUSED), word
    for case in CASES:
        assert sum(plan in keys.REFUSED for plan in case.proposals) > 0
        assert sum(note in keys.PROVED for note in case.notes) > 0


def test_answers_are_spread():
    """No part, pair, finding or work is the usual one."""
    found = [answers(lessons.case("faults-1", "spread", f"learner-{number}")) for number in range(300)]
    for label in ("part that takes it", "next points, machine B", "what is open and why", "what to do"):
        counted = Counter(one[label] for one in found)
        assert max(counted.values()) < 0.28 * len(found), counted


def test_practice_asks_every_kind_of_decision():
    asked = {item.label for item in PRACTICED["practice-faults-1"].items}
    assert {"next points, machine B", "notes that prove it", "plans to refuse", "what to do"} < asked


def test_the_examples_by_hand():
    walk = worked.circuit_under_load().text
    assert "10.37 V" in walk
    total = 3.6 * 294.5 / 254.5 + 0.080 + 1.3
    assert 13.8 / total * (1.3 + 0.015 + 0.010) == pytest.approx(3.30, abs=0.005)
    assert f"{3.7 * 600 / 465:.2f} ohm" in worked.coil_by_temperature().text
    assert f"{(1.71 / 4.92 - 0.1) / 0.8 * 500:.0f} psig" in worked.sensor_step_by_step().text
