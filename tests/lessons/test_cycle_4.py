"""Lesson cycle-4: the numbers in its sentences, answers worked by other means, and what the choices claim."""

from dataclasses import replace
from functools import lru_cache

import pytest
from CoolProp.CoolProp import PropsSI

import published_tables
from coldcab import instruments, lessons, refrigerants, units, worked
from coldcab.machine import Conditions, Effects, nominal_charge, simulate
from coldcab.machine.fleet import FLEET
from lesson_rows import fahrenheit, saturation_fahrenheit, takes
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
    """K between printed saturation tables of R-12 and R-134a and this course."""
    return [
        abs(refrigerants.saturation_temperature(row["refrigerant"], 1e3 * float(row["pressure_kPa_absolute"]))
            - 273.15 - float(row["saturation_C"]))
        for row in published_tables.rows("saturation_printed")
    ]  # fmt: skip


def _block(**levers):
    return instruments.valve_forces(system="us", valve="block valve", line=46, **levers).readings["forces"].opening


def _colder():
    return saturation_fahrenheit("R-134a", 31) - saturation_fahrenheit("R-1234yf", 31)


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
    ("so that the spring takes 8 psi?", lambda: takes(instruments.valve_forces, spring=8)),
    ("the bulb loses 40 % of its charge", lambda: takes(instruments.valve_forces, lost=40)),
    (
        "the coil loses 4 psi instead of 1 psi",
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
    ("within 0.1 K", lambda: len(_apart()) == 6 and max(_apart()) <= 0.1),
    ("At the low side it boils about 4 F colder than R-134a", lambda: abs(_colder() - 4) < 0.5),
    (
        "**charge** 60 %; **charge of the head lost** 50 %; **debris at the inlet** 74 %",
        lambda: all(
            takes(instruments.expansion_valve, machine=58, **lever)
            for lever in ({"charge": 60}, {"head": 50}, {"screen": 74})
        ),
    ),
    (
        "All three starve it: superheat climbs and the low side falls",
        lambda: all(
            _superheat(machine=58, **lever) > _superheat(machine=58) + 10
            and _work(machine=58, **lever)["low_gauge"] < _work(machine=58)["low_gauge"]
            for lever in ({"charge": 60}, {"head": 50}, {"screen": 74})
        ),
    ),
    ("Somebody read 20 F of superheat here", lambda: "19.7 F: too much" in worked.superheat_step_by_step().text),
    ("a combine at 5,000 ft", lambda: "R-134a at 5,000 ft" in worked.superheat_step_by_step().text),
    ("At 45 F the two press within 2 psi of each other", lambda: _bulbs_differ() < 2),
    (
        "Cases 1 and 2 close it. So does the loss in case 3 with the internal equalizer, but not with the external one",
        lambda: (
            max(_opening(low_side=33), _opening(spring=8), _opening(coil_drop=4)) < _opening()
            and _opening(coil_drop=4, equalizer="external") >= _opening()
        ),
    ),
    (
        "Case 4 closes it, and it stays shut",
        lambda: _opening(lost=40) < 0.05 and _block(lost=40) < 0.05 < _block(),
    ),
    (
        "In case 5 the valve stays shut although superheat is large",
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
        "it reads about 29 F (16 K), at the coil it is about 9 F (5 K)",
        lambda: abs(_superheat("superheat_measured", hose=60) - 29) < 1 and abs(_superheat(hose=60) - 9) < 0.7,
    ),
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
    assert sheet.item("spring").answer(case) == pytest.approx(bulb - coil * PSI - case.atmosphere, abs=200)
    block = PropsSI(
        "T", "P", (case.block_low_psig + case.block_hose_psi) * PSI + case.atmosphere, "Q", 1,
        case.block_unit.original_refrigerant.replace("-", ""),
    )  # fmt: skip
    behind = fahrenheit(case.block_outlet_fahrenheit) - block
    assert sheet.item("superheat behind the block").answer(case) == pytest.approx(behind, abs=0.03)
    # What the ranges of the draw promise.
    assert 2.4 < line - saturation(coil) < 14.8
    assert 0.7 < subcooling < 15.0
    assert 2.4 < behind < 13.7


DAY = Conditions(ambient=303.15, inlet_temperature=300.15, blower=0.7)
# Each change of the sheet as the machine knows it: changed conditions, effects.
CHANGES = {
    "bulb valve: the bulb slips off the pipe into the warm bay": ({}, {"bulb_contact_loss": 0.9}),
    "bulb valve: the liquid line is kinked, so less reaches the coil": ({}, {"liquid_line": 60.0}),
    "bulb valve: the stem is turned out, which eases the spring": ({}, {"valve_spring": -0.3e5}),
    "bulb valve: refrigerant leaks away until the glass foams": ({}, {"charge": 0.5}),
    "block valve: a door opens and hot air reaches the coil": ({"inlet_temperature": 306.15}, {}),
    "block valve: the cab blower goes from medium to high": ({"blower": 1.0}, {}),
    "block valve: refrigerant leaks away until the suction line is warm": ({}, {"charge": 0.5}),
    "bulb valve: the cab filter clogs": ({"blower": 0.5}, {}),
    "bulb valve: the bulb loses its charge through a crack": ({}, {"bulb_charge": 0.5}),
    "bulb valve: the stem is turned in, which presses the spring": ({}, {"valve_spring": 0.3e5}),
    "bulb valve: the bulb is held in ice water": None,
    "block valve: the charge of its head leaks away": ({}, {"bulb_charge": 0.5}),
    "block valve: the cab has cooled down, so cooler air reaches the coil": ({"inlet_temperature": 295.15}, {}),
    "block valve: the cab blower goes from high to low": ({"blower": 0.5}, {}),
    "bulb valve: a little more refrigerant goes in; the glass was clear before": ({}, {"charge": 1.1}),
    "bulb valve: a longer hose is screwed to the low gauge": ({}, {}),
    "block valve: an O-ring weeps a little; there is still liquid in the receiver": ({}, {"charge": 0.95}),
    "block valve: a little more refrigerant goes in; liquid stood in the receiver before": ({}, {"charge": 1.1}),
}


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (number, words)
        for number, machine in FLEET.items()
        for words, change in CHANGES.items()
        if change is not None and machine.valve.block == words.startswith("block")
    ],
)
def test_the_valves_of_the_fleet_move_as_the_key_says(number, words):
    """The key follows from the three forces; here each machine of its kind is solved before and after."""
    keys, machine = keys_of("cycle-4"), FLEET[number]
    conditions, effects = CHANGES[words]
    given = {"refrigerant": machine.refrigerant, "charge": nominal_charge(machine, machine.refrigerant)}
    before = simulate(machine, DAY, **given)
    after = simulate(machine, replace(DAY, **conditions), faults=Effects(**effects), **given)
    change = after.opening - before.opening
    if words in keys.STAYS:
        assert before.glass == after.glass == "clear"
        assert abs(change) < 0.01
    else:
        assert (change > 0.012) == (words in keys.OPENS)
        assert (change < -0.012) == (words in keys.CLOSES)


def test_a_bulb_in_ice_water_shuts_the_valve():
    cold = instruments.valve_forces(system="us", line=32).readings["forces"]
    assert cold.opening < 0.02 < instruments.valve_forces(system="us").readings["forces"].opening


def test_every_text_is_judged_and_every_sheet_has_some_of_each():
    keys = keys_of("cycle-4")
    assert set(CHANGES) == keys.OPENS | keys.CLOSES | keys.STAYS
    for number in range(300):
        case = GRADED["cycle-4"].case("groups", f"learner-{number}")
        for group in (keys.BULB, keys.SHORT, keys.VALVE, keys.STEM):
            assert 1 <= sum(text in group for text in case.findings) <= 2
        assert 2 <= sum(text in keys.STANDS for text in case.statements) <= 3
        assert sum(text in keys.HURTS for text in case.plan) == 1
        assert len(set(case.changes)) == 6
        assert len(set(case.findings)) == 8


def test_no_block_valve_is_ever_set():
    keys = keys_of("cycle-4")
    assert all(text.startswith("bulb valve") for text in keys.STEM | keys.BULB)


def test_deciding_is_worth_more_than_arithmetic():
    sheet = GRADED["cycle-4"]
    arithmetic = sum(item.points for item in sheet.items if not item.choices)
    assert arithmetic <= 0.4 * sum(item.points for item in sheet.items)
    assert [item.label for item in sheet.items if item.safety] == ["step that hurts"]
