"""The wiring around a clutch: relay, control circuit, load circuit, sensor, and what lies over the coil."""

from contextlib import suppress
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coldcab.quantities import PSI
from coldcab.service import clutch_wiring as wiring
from coldcab.service.checks import ServiceError
from coldcab.service.clutch import coil_resistance
from coldcab.service.clutch_wiring import Wiring, probe

SOUND = Wiring()


def changed(**settings):
    return probe(replace(SOUND, **settings))


def fits(fault, control):
    """Whether a wiring has the part."""
    with suppress(ServiceError):
        return wiring.fault_called(fault, control) is wiring.BY_NAME[fault]
    return False


def test_sound_circuit_by_hand():
    """Load: 13.8 V over 3.6 + 0.08 ohm. Control: 13.8 V over 90 + 0.24 ohm."""
    state = probe(SOUND)
    assert state.load.current == pytest.approx(13.8 / 3.68)
    assert state.control.current == pytest.approx(13.8 / 90.24)
    assert state.across("relay 30", "relay 87") == pytest.approx(13.8 / 3.68 * 0.015)
    assert state.relay_closed
    assert state.engaged
    assert state.stopped_by == ()


def test_twice_the_voltage_takes_half_the_current():
    """By hand: 27.6 V over 14.4 + 0.08 ohm; the pull follows the ampere-turns."""
    state = changed(system="24 V")
    assert state.load.current == pytest.approx(27.6 / 14.48)
    assert 600 * state.load.current == pytest.approx(300 * probe(SOUND).load.current, rel=0.02)
    assert state.engaged


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(wiring.CONTROLS),
    st.sampled_from(list(wiring.SYSTEMS)),
    st.sampled_from([*wiring.BY_NAME, *wiring.UNKNOWN]),
    st.sampled_from([wiring.KEY_OFF, wiring.KEY_ON, wiring.RUNNING]),
    st.booleans(),
    st.floats(0.0, 450.0),
)
def test_kirchhoff_along_each_circuit(control, system, fault, key, asked, psig):
    """Whatever is set: the drops along the load circuit make the battery, and no point lies outside of it."""
    one = replace(SOUND, control=control, system=system, fault=fault, key=key, asked=asked, pressure=psig * PSI)
    assume(fault in wiring.UNKNOWN or fits(fault, control))
    state = probe(one)
    battery = state.volts["battery plus"]
    assert set(state.volts) == set(wiring.points(control))
    assert all(-1e-9 <= volts <= battery + 1e-9 for volts in state.volts.values() if volts is not None)
    way = ("battery plus", *wiring.LOAD_POINTS, "battery minus")
    if None not in (state.volts[point] for point in way):
        assert sum(state.across(a, b) for a, b in pairwise(way)) == pytest.approx(battery)
    if key == wiring.KEY_OFF or not asked:
        assert not state.relay_closed
        assert state.load.current == 0.0
    assert not (state.engaged and not state.relay_closed)


def test_what_is_open_has_the_battery_across_it():
    state = changed(fault="pressure switch open at a good pressure")
    assert state.across("behind the thermostat", "relay 86") == 13.8
    assert state.stopped_by == ()
    assert changed(pressure=20 * PSI).across("behind the thermostat", "relay 86") == 13.8
    # Two open places: what hangs between them shows nothing, to either side.
    both = changed(fault="pressure switch open at a good pressure", key=wiring.KEY_OFF)
    assert both.volts["behind the A/C switch"] is None
    assert both.across("battery plus", "behind the A/C switch") == 0.0


@pytest.mark.parametrize(
    ("control", "psig", "stops", "fan"),
    [
        (wiring.ONE, 20, True, False), (wiring.ONE, 400, False, False),
        (wiring.TWO, 20, True, False), (wiring.TWO, 400, True, False), (wiring.TWO, 300, False, False),
        (wiring.THREE, 300, False, True), (wiring.THREE, 400, True, True), (wiring.THREE, 150, False, False),
        (wiring.CONTROLLER, 20, True, False), (wiring.CONTROLLER, 400, True, True),
    ],
)  # fmt: skip
def test_one_two_and_three_functions(control, psig, stops, fan):
    state = changed(control=control, pressure=psig * PSI)
    assert bool(state.stopped_by) == stops
    assert state.engaged != stops
    assert state.fan == fan


def test_each_fault_changes_a_reading_that_a_meter_can_find():
    """Every fault moves some point by half a volt from the sound circuit, or the current that a clamp meter shows."""
    for control in (wiring.TWO, wiring.CONTROLLER):
        sound = changed(control=control)
        for name in wiring.BY_NAME:
            if name == "none" or not fits(name, control):
                continue
            state = changed(control=control, fault=name)
            moved = max(abs((state.volts[point] or 0.0) - (sound.volts[point] or 0.0)) for point in sound.volts)
            assert moved > 0.5 or abs(state.load.current - sound.load.current) > 1.0, name


def test_the_relay_needs_two_thirds_of_its_voltage():
    """160 ohm in the cab ground leave 13.8 x 90 / 250.24 = 4.96 V of the 7.8 V it needs."""
    state = changed(fault="cab ground corroded")
    assert state.across("relay 86", "relay 85") == pytest.approx(13.8 * 90 / 250.24)
    assert not state.relay_closed


def test_sensor_signal_by_hand_and_back():
    assert wiring.sensor_signal(0.0) == pytest.approx(0.5)
    assert wiring.sensor_signal(500 * PSI) == pytest.approx(4.5)
    assert wiring.sensor_signal(125 * PSI, supply=4.8) == pytest.approx(4.8 * 0.3)
    assert wiring.sensor_pressure(1.44, supply=4.8) == pytest.approx(125 * PSI)
    with pytest.raises(ServiceError, match="no pressure"):
        wiring.sensor_pressure(0.05)


@pytest.mark.parametrize(
    ("part", "volts"), [("diode", 0.7), ("resistor", 3.75 * 33.0), ("none", None), ("diode shorted", 0.0)]
)
def test_what_lies_over_the_coil(part, volts):
    """By hand: 13.8 V over 3.68 ohm are 3.75 A; with the shorted diode the fuse has opened and no current flowed."""
    state = changed(suppression=part)
    assert state.turn_off == (None if volts is None else pytest.approx(volts))
    assert bool(state.load.current) == (part != "diode shorted")


@settings(max_examples=60, deadline=None)
@given(st.floats(-20.0, 120.0), st.floats(120.0, 300.0))
def test_copper_in_fahrenheit_is_the_rule_in_kelvin(cold, hot):
    kelvin = [(f + 459.67) / 1.8 for f in (cold, hot)]
    exact = coil_resistance(kelvin[1], resistance_at_20=1.0) / coil_resistance(kelvin[0], resistance_at_20=1.0)
    assert wiring.copper_in_fahrenheit(1.0, cold, hot) == pytest.approx(exact, rel=2e-3)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: changed(system="48 V"), "there is no '48 V' system"),
        (lambda: changed(fault="gremlins"), "there is no fault"),
        (lambda: changed(fault="controller output dead"), "no such part"),
        (lambda: changed(pressure=1e9), "outside the range"),
        (lambda: wiring.copper_in_fahrenheit(3.6, 70.0, 900.0), "hot is 900 F"),
    ],
)
def test_bad_input_is_one_plain_sentence(call, words):
    with pytest.raises(ServiceError, match=words):
        call()
