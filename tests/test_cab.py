"""Cabs and clutches of the yard over time: common practice, no source; no published series of such a cab was found."""

from __future__ import annotations

import numpy as np
import pytest

from coldcab.machine import Conditions, nominal_charge, simulate
from coldcab.machine.fleet import FLEET
from coldcab.machine.readings import THERMOSTAT
from coldcab.machine.transients import clutch_cycling, pull_down

machines = pytest.mark.parametrize("number", FLEET)
MILD = Conditions(ambient=298.15)
HOT = Conditions(ambient=308.15)


def filled(number: int) -> dict[str, object]:
    refrigerant = "R-134a" if FLEET[number].refrigerant == "R-12" else FLEET[number].refrigerant
    return {"refrigerant": refrigerant, "charge": nominal_charge(FLEET[number], refrigerant)}


@machines
def test_pull_down(number: int) -> None:
    """From 60 C on a day of 38 C at 1800 rpm, seats and glass holding the air warm: 42 to 48 C after a minute, 33 to 39
    after ten, 28 to 33 after twenty, under 28 after forty."""
    day = Conditions(ambient=311.15, engine_speed=30.0)
    found = pull_down(FLEET[number], day, **filled(number))
    at = [found.at(60.0 * minutes) - 273.15 for minutes in (1, 10, 20, 40)]
    for value, low, high in zip(at, (42, 33, 28, 22), (48, 39, 33, 28), strict=True):
        assert low < value < high


@machines
@pytest.mark.parametrize("day", [MILD, HOT, Conditions(ambient=298.15, inlet_temperature=298.15)])
def test_clutch_cycles(number: int, day: Conditions) -> None:
    """Two to four cycles a minute, and the same share of the time engaged as the mean state has: within 3 %."""
    mean = simulate(FLEET[number], day, **filled(number))
    cycled = clutch_cycling(FLEET[number], day, **filled(number))
    assert mean.status == cycled.status == THERMOSTAT
    assert 2.0 < 60.0 / cycled.period < 4.0
    assert cycled.duty == pytest.approx(mean.clutch_duty, rel=0.03)
    assert 60.0 / (mean.clutch_on + mean.clutch_off) == pytest.approx(60.0 / cycled.period, rel=0.05)
    # The fins' mean over a cycle is what the mean state has.
    later = cycled.time > 0.5 * cycled.time[-1]
    mean_of_cycle = np.trapezoid(cycled.fins[later], cycled.time[later]) / np.ptp(cycled.time[later])
    switches = FLEET[number].switches
    assert mean_of_cycle == pytest.approx(switches.thermostat + switches.lift, abs=0.3)


@machines
def test_cab_in_the_heat(number: int) -> None:
    """35 C outside, full sun: 21 to 25 C inside at 25 to 45 % relative humidity, air recirculated."""
    found = simulate(FLEET[number], HOT, **filled(number))
    assert 294.0 < found.cab < 298.2
    assert 0.25 < found.cab_relative_humidity < 0.45
