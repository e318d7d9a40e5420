"""Lesson faults-2: numbers in its sentences, and whether its readings tell the fault that was put in."""

from dataclasses import replace
from itertools import product

import pytest

from coldcab import lessons, units
from coldcab.faults import QUANTITIES, observables
from coldcab.lessons.faults_2 import numbers
from coldcab.scenario import sick_machines
from coldcab.scenario.fleet import ON_R134A
from material import keys_of


def _psi(name):
    return units.convert(observables[name].scatter, "pressure difference", "psi")


def _low_falls_by(severity):
    healthy = sick_machines.run(31, 95, 1500).low_gauge
    return healthy - sick_machines.run(31, 95, 1500, "valve screen plugged", severity).low_gauge


def at_100(fault):
    return sick_machines.run(31, 95, 1500, fault, 1.0)


SAID = [
    (
        "about 1 psi on the low side and 4 psi on the high side",
        lambda: round(_psi("low_gauge")) == 1 and round(_psi("high_gauge")) == 4,
    ),
    (
        "For a superheat by gauge and clip it is about 3 F",
        lambda: round(units.convert(QUANTITIES["superheat_measured"].resolved, "temperature difference", "F")) == 3,
    ),
    (
        "At 30 % severity a plugged screen changes nothing that you can measure. At 100 % it changes everything",
        lambda: (
            _low_falls_by(0.3)
            < observables["low_gauge"].scatter
            < 8 * observables["low_gauge"].scatter
            < _low_falls_by(1.0)
        ),
    ),
    (
        "Go through the three below, each at 100 %",
        # A low charge clouds the glass, a drier's two ends differ, a plugged screen shows neither.
        lambda: (
            [
                (at_100(fault).glass == "clear", at_100(fault).drier_in - at_100(fault).drier_out > 5.0)
                for fault in numbers.LOW_SIDE_CULPRITS
            ]
            == [(False, False), (False, True), (True, False)]
        ),
    ),
    (
        "Move the severity on any bench above from 0 to 100 %",
        lambda: abs(_low_falls_by(0.0)) < 1.0 < observables["low_gauge"].scatter < _low_falls_by(1.0),
    ),
]


CASE, KEYS = lessons.case("faults-2", "t", "ash"), keys_of("faults-2").KEYS


@pytest.mark.parametrize(("unit", "ambient", "rpm"), [*product(ON_R134A, (84.0, 106.0), (1300.0, 1700.0))])
def test_noted_readings_tell_the_fault_that_was_put_in(unit, ambient, rpm):
    """The keys see only what the sheet shows. Coolest and hottest day, both speeds."""

    def noted(fault, like, severity=numbers.SEVERITY):
        readings = sick_machines.run(unit.number, ambient, rpm, fault, severity)
        return sick_machines.note(readings, *(name for name, _ in like))

    def answer(label, **changed):
        case = replace(CASE, unit=unit, ambient_fahrenheit=ambient, engine_rpm=rpm, **changed)
        return KEYS[label].answer(case)

    for fault in numbers.LOW_SIDE_CULPRITS:
        assert answer("low side suspect", machine_f=noted(fault, CASE.machine_f)) == fault
    for fault in numbers.HEAD_CULPRITS:
        assert answer("high side suspect", machine_g=noted(fault, CASE.machine_g)) == fault
    for place, faults in (("the cab", numbers.IN_THE_CAB), ("the circuit", numbers.IN_THE_CIRCUIT)):
        for fault in faults:
            machine = noted(fault, CASE.complaint_d)
            assert answer("complaint D", complaint_d=machine) == answer("complaint E", complaint_e=machine) == place
    like = CASE.driers[0]
    mild, middling, severe = (noted("drier restricted", like, severity) for severity in numbers.DRIER_SEVERITIES)
    assert answer("worst drier", driers=(mild, severe, middling)) == "B"
    assert answer("worst drier", driers=(middling, mild, severe)) == "C"
