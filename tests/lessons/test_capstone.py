"""The capstone: numbers in its sentences, its readings against the fault put in, its lines worked again by hand."""

from dataclasses import replace

import pytest

from coldcab import lessons, worked
from coldcab.assess import mark
from coldcab.lessons.capstone import numbers, texts
from coldcab.lessons.capstone.lines import LEAVES, NEXT
from coldcab.scenario import FLEET, sick_machines
from coldcab.service import charging
from material import COMMON_PRACTICE, GRADED, keys_of

FLUID_OUNCE, OUNCE, PSI = 29.5735295625e-6, 0.028349523125, 6894.757293168  # exact, and standard gravity
SHEET = GRADED["capstone"]
KEYS = keys_of("capstone")
CASES = [lessons.case("capstone", "t", f"learner-{number}") for number in range(120)]

SAID = [
    ("24 V melts metal", COMMON_PRACTICE),
    ("A conversion starts at 80 % of the R-12 weight", lambda: charging.SHARES[0] == 0.80),
    ("Start at 80 %: common practice, from memory", COMMON_PRACTICE),
    ("Water's pressure at 70 F", lambda: pytest.approx(0.7392 * 25400, rel=0.005) == KEYS.WATER_AT_70F),
]


@pytest.mark.parametrize("unit", FLEET, ids=lambda unit: unit.machine)
def test_noted_readings_tell_the_fault_that_was_put_in(unit):
    """On every machine and both days, before and after; the key sees only what the sheet shows."""
    new = "R-134a" if unit.original_refrigerant == "R-12" else unit.original_refrigerant
    for day in (90.0, 100.0):
        for name, faults, severity in (
            (unit.original_refrigerant, texts.CAUSES, 1.0),
            (new, texts.LEFT, numbers.AFTER_A_CHARGE),
        ):
            healthy = noted(unit, day, "", name, 0.0)
            for fault in faults:
                assert KEYS.diagnosed(noted(unit, day, fault, name, severity if fault else 0.0), healthy) == fault


def noted(unit, day, fault, refrigerant, severity):
    readings = sick_machines.run(unit.number, day, numbers.RPM, fault, severity, refrigerant)
    return sick_machines.note(readings, *numbers.READ, numbers.NIGHT)


def answers(case):
    return {item.label: item.answer(case) for item in SHEET.items}


@pytest.mark.parametrize("case", CASES[:30])
def test_numbers_by_hand(case):
    """Conservation of oil, the scale's sum, the weakest plate: written out here from the sheet's numbers."""
    right = answers(case)
    poured = case.sheet_oil - case.walls - case.brought
    assert right["oil to add"] == pytest.approx(poured * FLUID_OUNCE, rel=1e-6)
    start = 0.8 * case.sheet_ounces if case.found_on == "R-12" else case.sheet_ounces
    assert right["scale at the stop"] == pytest.approx((case.scale_ounces - start - case.hose_ounces) * OUNCE, rel=1e-6)
    assert right["test pressure"] == pytest.approx((min(case.plates_psig) + 14.696) * PSI, rel=1e-4)
    assert case.evening_psig < min(case.plates_psig)  # nobody on the sheet tests above the lowest plate


MADE = {"evening_psig": 130.0, "evening_fahrenheit": 90.0}
# 144.7 psia x 524.7 / 549.7 = 138.1 psia = 123.4 psig
HELD = MADE | {"morning_psig": 123.5, "morning_fahrenheit": 65.0}
DRY, WET, LINE = (350.0, 400.0, 420.0, 430.0), (350.0, 9000.0, 16000.0, 17800.0), (350.0, 950.0, 1550.0, 2150.0)


@pytest.mark.parametrize(
    ("facts", "says"),
    [
        (HELD | {"microns": DRY}, "charge it"),
        (HELD | {"microns": WET}, "pump on, warm it"),
        (HELD | {"microns": LINE}, "check pump and hoses"),
        (HELD | {"microns": ()}, "fit a micron gauge"),
        (HELD | {"microns": LINE, "morning_psig": 116.0}, "nitrogen and soap"),
        (HELD | {"microns": DRY, "morning_psig": 116.0}, "nitrogen and soap"),  # the night comes first
        (HELD | {"microns": DRY, "morning_fahrenheit": None}, "test one more night"),
    ],
)
def test_night_and_pump_as_the_worked_example_has_it(facts, says):
    assert KEYS.next_step(replace(CASES[0], **facts)) == says
    assert says in NEXT


@pytest.mark.parametrize(
    ("inside", "unit"),
    [
        ("R-12 99 %, air 1 %", texts.UNITS[0]),
        ("R-134a 99 %, air 1 %", texts.UNITS[1]),
        ("R-1234yf 99 %, air 1 %", texts.UNITS[2]),
        ("R-12 70 %, R-134a 30 %", texts.UNITS[3]),
        ("R-134a 70 %, R-12 30 %", texts.UNITS[3]),
        ("R-134a 80 %, hydrocarbons 20 %", texts.UNITS[4]),
        ("R-1234yf 80 %, hydrocarbons 20 %", texts.UNITS[4]),
    ],
)
def test_the_unit_follows_what_is_inside(inside, unit):
    case = replace(CASES[0], inside=inside)
    place = "ABCDEF".index(KEYS.recovery_unit().answer(case))
    assert case.recovery_units[place] == unit


def test_readings_as_found_are_of_one_refrigerant():
    """A mixture rests at another pressure; the sheet says that it came after the readings."""
    for case in CASES:
        told = dict(case.lines())["identifier"]
        assert ("after the readings" in told) == ("air 1 %" not in case.inside)
        assert told.startswith(case.inside)


def test_the_yard_is_never_the_right_unit():
    for case in CASES:
        place = "ABCDEF".index(answers(case)["recovery unit"])
        assert "yard" not in case.recovery_units[place]


PARTS = {  # by the table of the page
    "condenser: parallel-flow, metal at its inlet": "goes",
    "condenser: parallel-flow, no metal, mineral oil in it": "flushed",
    "condenser: parallel-flow, no metal, its right oil in it": "stays",
    "condenser: long tubes, metal at its inlet": "flushed",
    "receiver-drier: new, its caps off since the morning": "goes",
    "receiver-drier: new, its caps on until the end": "stays",
    "valve: bulb valve, screen dusty, seat good": "stays",
    "block valve: metal flakes inside": "goes",
    "block valve: clean inside, holds its superheat": "stays",
    "suction hose: a muffler in it, gray oil with metal": "goes",
    "evaporator: tube and fin, metal flakes at its inlet": "flushed",
    "service valve cores: old, taken out for the flush": "goes",
}


@pytest.mark.parametrize(("part", "verdict"), PARTS.items())
def test_parts_by_the_table_of_the_page(part, verdict):
    case = replace(CASES[0], parts=(part,) * 8)
    lists = (answers(case)["parts that go"], answers(case)["parts to flush"])
    every = "A, B, C, D, E, F, G, H"
    assert lists == {"goes": (every, ""), "flushed": ("", every), "stays": ("", "")}[verdict]


def test_each_job_is_one_job():
    """Facts of one job do not deny each other: valve and condenser are the machine's, oil and label follow it."""
    for case in CASES:
        block = case.unit.number in (52, 58)
        assert any(part.startswith("block valve") for part in case.parts) == block
        parallel = case.unit.number in (26, 44, 52, 58)
        condenser = next(part for part in case.parts if part.startswith("condenser"))
        assert "tube rubbed" in condenser or ("parallel-flow" in condenser) == parallel
        assert case.converts == (case.found_on == "R-12")
        if not case.converts:
            assert not any("mineral oil" in part for part in case.parts)
        assert any("flammable" in line or "none needed" in line for line in case.label) == (
            case.refrigerant == "R-1234yf"
        )
        right = answers(case)
        assert right["parts that go"] or right["parts to flush"]
        assert not set(right["parts that go"].split(", ")) & (set(right["parts to flush"].split(", ")) - {""})
        assert right["label lines to redo"]
        assert right["as left"] in LEAVES


def test_machines_with_a_block_valve_and_both_gases_come_up():
    assert {case.unit.number for case in CASES} == {unit.number for unit in FLEET}


def test_three_lines_are_about_somebody_being_hurt_and_their_keys_differ():
    safe = [item for item in SHEET.items if item.safety]
    assert [item.label for item in safe] == ["line that hurts", "recovery unit", "test pressure"]
    for item in safe:
        assert len({item.answer(case) for case in CASES}) >= 6


def test_deciding_earns_more_than_arithmetic():
    points = {item.label: item.points for item in SHEET.items}
    sums = sum(points[label] for label in ("oil to add", "scale at the stop", "test pressure"))
    assert sums <= 0.4 * sum(points.values())
    assert len(points) <= 14


def test_a_right_sheet_is_right():
    case = CASES[0]
    for item in SHEET.items:
        value = item.answer(case)
        if isinstance(value, str):
            assert mark(item, value, case).status == "right"


def test_worked_examples_by_hand():
    assert "8.2 − 3.1 = 5.1 fl oz" in worked.oil_of_a_job().text
    assert "138.1 psia, 123.4 psig" in worked.night_and_pump().text
    scale = worked.scale_of_a_job().text
    assert "= 364.4 oz" in scale  # 400 - 33.6 - 2
    assert "= 343.0 oz" in scale
    table = worked.readings_beside_the_healthy().text
    assert all(fault in table for fault in (*texts.CAUSES, "charge high"))
