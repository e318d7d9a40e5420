"""Faults of the yard: as bad as printed at severity 1, even in between, and fitting the kind of valve."""

from __future__ import annotations

from functools import cache

import pytest

from coldcab.faults import Fault, FaultError, catalogue, faults_for
from coldcab.machine import Conditions, Effects, nominal_charge, simulate
from coldcab.machine.fleet import FLEET
from coldcab.machine.readings import HIGH_PRESSURE, RELIEF, Readings
from coldcab.machine.transients import equalization

DAY = Conditions(ambient=308.15, inlet_temperature=303.15)  # 95 F, doors open, 1500 rpm
PSI = 6894.757
machines = pytest.mark.parametrize("number", FLEET)


def modern(number: int) -> str:
    return "R-134a" if FLEET[number].refrigerant == "R-12" else FLEET[number].refrigerant


def pairs(names) -> list[tuple[int, str]]:
    """Machines with those of the faults that they can have."""
    return [(number, name) for number in FLEET for name in names if name in faults_for(FLEET[number], modern(number))]


# The reading by which each fault is known. None goes straight for a foreign refrigerant (its pressure bends) and for a
# blocked inlet of the drier (liquid backs up first, then the circuit starves); set points and the clutch have none.
MARK = {
    "charge low": "low_gauge",
    "charge high": "high_gauge",
    "air in the circuit": "high_gauge",
    "condenser blocked": "high_gauge",
    "condenser fan slow": "high_gauge",
    "hot air recirculated": "high_gauge",
    "worn compressor": "low_gauge",
    "clutch or belt slipping": "low_gauge",
    "discharge hose restricted": "high_gauge",
    "drier restricted": "low_gauge",
    "liquid line kinked": "low_gauge",
    "valve screen plugged": "low_gauge",
    "valve stuck shut": "low_gauge",
    "bulb charge lost": "low_gauge",
    "valve head charge lost": "low_gauge",
    "moisture freezing": "low_gauge",
    "valve stuck open": "low_gauge",
    "bulb loose or bare": "superheat",
    "evaporator blocked inside": "low_gauge",
    "evaporator oil-logged": "low_gauge",
    "low evaporator air": "vent",
    "heater valve leaking": "vent",
    "suction hose collapsed": "low_gauge",
}


@cache
def run(number: int, name: str, severity: float) -> Readings:
    machine, refrigerant = FLEET[number], modern(number)
    effects = Fault(name, severity).apply(Effects()) if name else Effects()
    charge = nominal_charge(machine, refrigerant)
    return simulate(machine, DAY, refrigerant=refrigerant, charge=charge, faults=effects)


def low_and_high(found: Readings) -> tuple[float, float]:
    return found.low_gauge / PSI, found.high_gauge / PSI


@machines
def test_worn_compressor(number: int) -> None:
    """50 psig or more on the low side, under 165 on the high side: fault_gauges.csv, FG017 and FG023 (57 to 85 over 100
    to 156), taken to machines whose healthy low side is 10 psi lower."""
    low, high = low_and_high(run(number, "worn compressor", 1.0))
    assert 50.0 <= low <= 85.0
    assert 100.0 <= high < 165.0


@pytest.mark.parametrize("celsius", [25, 35])
@pytest.mark.parametrize("number", [7, 26, 52])
def test_worn_compressor_lets_the_sides_meet(number: int, celsius: int) -> None:
    """Equal within two minutes of stopping [common practice, no source]; a sound one takes longer."""
    machine, refrigerant = FLEET[number], modern(number)
    day = Conditions(ambient=273.15 + celsius, inlet_temperature=298.15)
    times = [
        equalization(
            machine, day, refrigerant=refrigerant, charge=nominal_charge(machine, refrigerant), faults=effects
        ).time_to_equal
        for effects in (Fault("worn compressor").apply(Effects()), Effects())
    ]
    assert times[0] < 120.0 < times[1]


@machines
@pytest.mark.parametrize("name", ["condenser blocked", "condenser fan slow"])
def test_condenser_without_air(number: int, name: str) -> None:
    """Above 285 psig or at its switch: FG003 (285 to 355 for a condenser that is not cooled), FG029, FG031."""
    found = run(number, name, 1.0)
    assert found.high_gauge / PSI > 285.0 or found.status in (HIGH_PRESSURE, RELIEF)
    assert found.high_gauge / PSI < 412.0  # FG029: off at 384 +/- 28


@pytest.mark.parametrize(
    ("number", "name"), pairs(["valve stuck shut", "bulb charge lost", "valve head charge lost", "moisture freezing"])
)
def test_shut_valve_pulls_down(number: int, name: str) -> None:
    """To 8 psig or below; vacuum in FG005 and FG019, on machines without a low-pressure switch."""
    assert run(number, name, 1.0).low_gauge / PSI < 8.5


@machines
def test_stuck_open_valve_does_not_obey_its_bulb(number: int) -> None:
    """At its worst a colder or warmer bulb changes nothing, liquid comes back and the low side stands higher."""
    machine, refrigerant = FLEET[number], modern(number)
    stuck = Fault("valve stuck open").apply(Effects())
    charge = nominal_charge(machine, refrigerant)
    answers = [
        simulate(machine, DAY, refrigerant=refrigerant, charge=charge, faults=stuck.changed(bulb_charge=share))
        for share in (0.6, 1.0)
    ]
    assert answers[0].low_gauge == pytest.approx(answers[1].low_gauge, abs=0.5 * PSI)
    assert answers[1].superheat < 2.0
    assert answers[1].low_gauge > run(number, "", 0.0).low_gauge + 3 * PSI


@machines
def test_gross_leak(number: int) -> None:
    """15 to 20 % left: 4 to 21 over 95 to 150 psig (FG001, FG009, and FG015 from memory)."""
    low, high = low_and_high(run(number, "charge low", 1.0))
    assert 4.0 <= low <= 21.0
    assert 95.0 <= high <= 150.0


@machines
def test_air(number: int) -> None:
    """FG011 and FG021: 284 to 356 psig; the largest condensers and the smallest one lie 10 psi beyond."""
    assert 284.0 <= low_and_high(run(number, "air in the circuit", 1.0))[1] <= 367.0


@pytest.mark.parametrize(("number", "name"), pairs(MARK))
def test_severity_is_even(number: int, name: str) -> None:
    """Half the severity shows about half of the change: 0.28 to 0.70 of it."""
    healthy, half, worst = (getattr(run(number, name, severity), MARK[name]) for severity in (0.0, 0.5, 1.0))
    assert 0.28 < (half - healthy) / (worst - healthy) < 0.70


def test_faults_follow_the_kind_of_valve() -> None:
    """No bulb is lost where there is none; the head of a block valve can lose its charge instead."""
    for number, machine in FLEET.items():
        names = set(faults_for(machine, modern(number)))
        assert ("bulb loose or bare" in names) == ("bulb charge lost" in names) == (not machine.valve.block)
        assert ("valve head charge lost" in names) == machine.valve.block
        assert ("foreign refrigerant" in names) == (modern(number) == "R-134a")
    # A hand moves a valve by its bulb or its head, unless the charge in there is gone.
    block, bulb, warm = FLEET[58], FLEET[7], Effects(bulb_contact_loss=0.6)
    for machine, lost, moves in ((block, 1.0, True), (bulb, 1.0, True), (block, 0.3, False), (bulb, 0.3, False)):
        runs = [
            simulate(machine, DAY, refrigerant="R-134a", charge=nominal_charge(machine, "R-134a"), faults=effects)
            for effects in (Effects(bulb_charge=lost), warm.changed(bulb_charge=lost))
        ]
        assert (abs(runs[0].low_gauge - runs[1].low_gauge) > 1.0 * PSI) == moves, (machine.name, lost)


def test_healthy_at_no_severity_and_named_plainly() -> None:
    for name in catalogue:
        assert Fault(name, 0.0).apply(Effects()) == Effects()
    with pytest.raises(FaultError, match="no fault named"):
        Fault("gremlins")
