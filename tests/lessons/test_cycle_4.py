"""Lesson cycle-4: the numbers in its sentences, answers worked by other means, and what the choices claim."""

import re
from dataclasses import replace
from functools import lru_cache

import pytest
from CoolProp.CoolProp import PropsSI

from coldcab import instruments, lessons, refrigerants, units, worked
from coldcab.lessons.cycle_4.lines import CLOSES, OPENS, STAYS
from coldcab.machine import Conditions, Effects, simulate
from coldcab.machine.fleet import FLEET
from lesson_rows import fahrenheit, tables_within, takes
from material import GRADED, keys_of

PSI = 6894.757293168
LEARNERS = ("ash", "birch", "cedar")


@lru_cache(maxsize=64)
def _work(**levers):
    return instruments.expansion_valve(system="us", ambient=85, **levers).readings


def _superheat(name="superheat", **levers):
    return units.convert(_work(**levers)[name], "temperature difference", "F")


def _opening(**levers):
    return instruments.valve_forces(**{"line": 46, **levers}).readings["forces"].opening


def _apart():
    return [float(value) for value in re.findall(r"([+-][\d.]+)\sK$", worked.superheat_by_two_tables().text, re.M)]


def _bulbs_differ():
    kelvin = units.from_unit(45, "temperature", "F")
    r12, r134a = (refrigerants.saturation_pressure(name, kelvin) for name in ("R-12", "R-134a"))
    return abs(units.convert(r12 - r134a, "pressure difference", "psi"))


SAID = [
    (
        "the low side rises from 30 to 33 psig",
        lambda: (
            takes(instruments.valve_forces, low_side=33)
            and abs(instruments.valve_forces(line=46).settings["low_side"] - 30 * PSI) < 1
        ),
    ),
    ("the spring is turned in to 8 psi?", lambda: takes(instruments.valve_forces, spring=8)),
    (
        "the coil loses 4 psi instead of 1",
        lambda: (
            takes(instruments.valve_forces, coil_drop=4)
            and abs(instruments.valve_forces(line=46).settings["coil_drop"] - PSI) < 1
        ),
    ),
    ("at 88 F and the low side at 55 psig", lambda: takes(instruments.valve_forces, line=88, low_side=55)),
    (
        "Set the charge to 45 %, then 80, 100 and 170 %. Then go back to 100 % and close the **liquid line** by 60 %",
        lambda: all(
            takes(instruments.expansion_valve, charge=charge, kink=kink)
            for charge, kink in ((45, 0), (80, 0), (100, 0), (170, 0), (100, 60))
        ),
    ),
    (
        "The charge is down to 60 %, the glass foams, superheat is high. Turn the stem **out** by 4 psi",
        lambda: takes(instruments.expansion_valve, charge=60, spring=-4) and _work(charge=60)["glass"] == "foam",
    ),
    (
        "Charge 100 % again, stem back to nothing, **suction hose** closed by 60 %",
        lambda: takes(instruments.expansion_valve, charge=100, hose=60),
    ),
    ("tables within 0.01 % of it", lambda: tables_within(1e-4)),
    ("At 45 F the two press within 2 psi of each other", lambda: _bulbs_differ() < 2),
    (
        "Cases 1 and 2 close it. So does the loss in case 3 with the internal equaliser, but not with the external one",
        lambda: (
            max(_opening(low_side=33), _opening(spring=8), _opening(coil_drop=4)) < _opening()
            and _opening(coil_drop=4, equaliser="external") >= _opening()
        ),
    ),
    (
        "In the fourth the valve stays shut, although superheat is large",
        lambda: (
            _opening(line=88, low_side=55) < 0.05
            and instruments.valve_forces(line=88, low_side=55).readings["superheat"] > 10
        ),
    ),
    ("takes away about 8 F of superheat", lambda: abs(_superheat() - _superheat(bulb="strapped, left bare") - 8) < 0.7),
    (
        "The coil floods and superheat goes to nothing",
        lambda: (
            _work(bulb="lifted off the pipe")["status"] == "flood-back" and _superheat(bulb="lifted off the pipe") < 1
        ),
    ),
    (
        "The glass is clear at 80 % and still clear at 170 %",
        lambda: (
            {_work(charge=charge)["glass"] for charge in (80, 100, 170)} == {"clear"}
            and _work(charge=45)["glass"] != "clear"
        ),
    ),
    (
        "the glass stays clear while most of the room before the valve is filled with vapor",
        lambda: _work(kink=60)["glass"] == "clear" and _work(kink=60)["inlet_void"] > 0.5,
    ),
    (
        "Turning the stem changes neither superheat nor capacity",
        lambda: (
            abs(_superheat(charge=60) - _superheat(charge=60, spring=-4)) < 0.3
            and abs(_work(charge=60, spring=-4)["capacity"] / _work(charge=60)["capacity"] - 1) < 0.005
        ),
    ),
    ("The valve was fully open already", lambda: _work(charge=60)["opening"] > 0.97),
    (
        "it reads about 29 F, at the coil it is about 9 F",
        lambda: abs(_superheat("superheat_measured", hose=60) - 29) < 1 and abs(_superheat(hose=60) - 9) < 0.7,
    ),
    ("Both agree within 0.1 K (0.2 F)", lambda: len(_apart()) == 6 and max(map(abs, _apart())) <= 0.1),
]


@pytest.mark.parametrize("learner", LEARNERS)
def test_valve_answers_by_coolprop(learner):
    """Straight from CoolProp's equations of state; the tables lie within 0.01 % of it, some 0.01 K."""
    case, sheet = lessons.case("cycle-4", "term", learner), GRADED["cycle-4"]
    name = case.refrigerant.replace("-", "")

    def saturation(gauge: float) -> float:
        return PropsSI("T", "P", gauge * PSI + case.atmosphere, "Q", 1, name)

    line = fahrenheit(case.coil_outlet_fahrenheit)
    coil = case.low_side_psig + case.hose_loss_psi
    assert sheet.item("superheat at the coil").answer(case) == pytest.approx(line - saturation(coil), abs=0.02)
    liquid = fahrenheit(case.liquid_line_fahrenheit)
    subcooling = saturation(case.high_side_psig - case.liquid_loss_psi) - liquid
    assert sheet.item("subcooling before the valve").answer(case) == pytest.approx(subcooling, abs=0.02)
    bulb = PropsSI("P", "T", line, "Q", 1, name)
    assert sheet.item("bulb pressure").answer(case) == pytest.approx(bulb, rel=3e-4)
    assert sheet.item("spring").answer(case) == pytest.approx(bulb - coil * PSI - case.atmosphere, abs=200)
    # A healthy machine: what the ranges of the draw promise.
    assert 4.0 < line - saturation(coil) < 11.6
    assert 0.7 < subcooling < 13.0


DAY = Conditions(ambient=303.15, inlet_temperature=300.15, blower=0.7)
# Each disturbance of the sheet as the machine knows it: changed conditions, effects.
DISTURBANCES = {
    "the cab blower is turned from medium to high": ({"blower": 1.0}, {}),
    "a door is opened and hot air reaches the coil": ({"inlet_temperature": 306.15}, {}),
    "the bulb slips off the pipe into the warm bay": ({}, {"bulb_contact_loss": 0.9}),
    "the liquid line is kinked, so less reaches the coil": ({}, {"liquid_line": 60.0}),
    "the cab filter clogs": ({"blower": 0.5}, {}),
    "the bulb loses its charge through a crack": ({}, {"bulb_charge": 0.5}),
    "the stem is turned in, which presses the spring": ({}, {"valve_spring": 0.3e5}),
    "the cab has cooled down, so cooler air reaches the coil": ({"inlet_temperature": 295.15}, {}),
    "a little more charge goes in; the glass was clear before": ({}, {"charge": 1.1}),
}


@pytest.mark.parametrize("number", sorted(FLEET))
@pytest.mark.parametrize(("words", "answer"), keys_of("cycle-4").MOVE_AFTER.items())
def test_the_valves_of_the_fleet_move_as_the_key_says(number, words, answer):
    """The key follows from the three forces; here each machine of the fleet is solved before and after."""
    machine = FLEET[number]
    conditions, effects = DISTURBANCES[words]
    before = simulate(machine, DAY, refrigerant="R-12", charge=machine.charge)
    after = simulate(
        machine,
        replace(DAY, **conditions),
        refrigerant="R-12",
        charge=machine.charge,
        faults=Effects(**effects),
    )
    change = after.opening - before.opening
    if answer == STAYS:
        assert before.glass == after.glass == "clear"
        assert abs(change) < 0.01
    else:
        assert answer in (OPENS, CLOSES)
        assert (change > 0.012) == (answer == OPENS)
        assert (change < -0.012) == (answer == CLOSES)


def test_the_form_gives_no_answer_away():
    """Neither the example nor the place in the list says which choice is right, over all the lines of a sheet."""
    sheet = GRADED["cycle-4"]
    always = [item for item in sheet.items if item.choices and not item.label.startswith("valve after")]
    case = sheet.case("term", "ash")
    assert all(item.example != item.answer(case) for item in always)
    assert len({item.choices.index(item.answer(case)) for item in always}) > 1
