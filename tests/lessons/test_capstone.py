"""The capstone: numbers in its sentences, and whether its readings tell the fault that was put in."""

import re
from dataclasses import replace

import pytest

from coldcab import lessons, oil, worked
from coldcab.lessons.capstone import numbers
from coldcab.scenario import FLEET, sick_machines
from material import keys_of


def mineral_oil_that_stays():
    """Percent, in the row of the worked job."""
    (row,) = (row for row in worked.figures_of_a_job().text.splitlines() if "mineral oil that stays" in row)
    return float(re.search(r"([\d.]+) %", row)[1])


SAID = [
    (
        "just under the 5 % aimed at",
        lambda: oil.RESIDUE_LIMIT == 0.05 and 4.5 < mineral_oil_that_stays() < 5.0,
    ),
]

CASE, KEYS = lessons.case("capstone", "t", "ash"), keys_of("capstone").KEYS
ACTIONS = {"": "hand it over", "charge low": "look for lost charge", "condenser blocked": "look at the condenser's air"}


@pytest.mark.parametrize("unit", FLEET, ids=lambda unit: unit.machine)
def test_noted_readings_tell_the_fault_that_was_put_in(unit):
    """The keys see only what the sheet shows."""

    def noted(fault, refrigerant, like):
        severity = numbers.SEVERE if fault else 0.0
        readings = sick_machines.run(unit.number, ambient, numbers.RPM, fault, severity, refrigerant)
        return sick_machines.note(readings, *(name for name, _ in like))

    for ambient in (88.0, 95.0, 102.0):
        case = replace(CASE, unit=unit, ambient_fahrenheit=ambient)
        for fault in numbers.FOUND:
            assert KEYS["cause"].answer(replace(case, as_found=noted(fault, "R-12", case.as_found))) == fault
        for fault in numbers.LEFT:
            left = replace(case, as_left=noted(fault, "R-134a", case.as_left))
            assert KEYS["acceptance"].answer(left) == ACTIONS[fault]


def test_the_label_lacks_what_is_not_on_it():
    for field in numbers.LABEL_FIELDS:
        label = ("R-134a", *(one for one in numbers.LABEL_FIELDS if one != field), "lubricant type and maker")
        case = replace(CASE, label=label)
        assert KEYS["missing on the label"].answer(case) == field
        assert field not in dict(case.lines())["the label says"]
