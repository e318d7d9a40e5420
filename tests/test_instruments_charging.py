"""The charging bench and the clutch circuit: what they draw and say, and how they take what a person sets."""

from __future__ import annotations

import re
from importlib import import_module

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import instruments, units
from coldcab.instruments.clutch_circuit import FUSE
from coldcab.instruments.controls import Slider, Switch
from coldcab.machine import Conditions, nominal_charge, simulate
from coldcab.machine.fleet import COMBINE
from coldcab.service import charging, clutch, controls
from drawings import SYSTEMS, assert_text_stays_on_the_sheet, assert_well_drawn, make, states

NAMES = ("charging_bench", "clutch_circuit")
OUNCE = 0.45359237 / 16  # kg, exact by definition


# Drawing -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
@given(data=st.data(), system=SYSTEMS)
@settings(max_examples=15, deadline=None)
def test_draws_whatever_can_be_set(name, data, system):
    instrument = make(name, system=system, **data.draw(states(name)))
    assert_well_drawn(instrument)
    assert_text_stays_on_the_sheet(instrument)
    assert instrument.fault or instrument.readings["status"] in instrument.description().lower()


@pytest.mark.parametrize("name", NAMES)
def test_every_control_moves_it(name):
    """Each lever changes something that is drawn or said."""
    kind = getattr(instruments, name)
    start = {"bad": "relay contacts", "second_bad": "ground strap", "fault": "condenser blocked"}
    known = {control.name for control in kind.controls}
    for control in kind.controls:
        instrument = make(name, **{key: value for key, value in start.items() if key in known})
        assert not instrument.fault
        instrument.widget  # noqa: B018 - builds it
        mover, before = instrument._panel._movers[control.name], instrument._panel.drawing.value
        if isinstance(control, Slider):
            mover.value = mover.min + 0.62 * (mover.max - mover.min)
        elif isinstance(control, Switch):
            mover.value = not mover.value
        else:
            mover.value = next(option for option in reversed(mover.options) if option != mover.value)
        assert instrument._panel.drawing.value != before, control.name


# The charging bench ------------------------------------------------------------------------------------------


def test_bench_shows_the_machine_run_by_hand():
    bench = make("charging_bench", weighed="2 lb 8 oz", ambient=100, refrigerant="R-12")
    assert bench.settings["weighed"] == pytest.approx(40 * OUNCE)
    day = Conditions(
        ambient=(100 + 459.67) / 1.8,
        engine_speed=25.0,
        inlet_temperature=(100 + 459.67) / 1.8,
        inlet_relative_humidity=0.40,
    )
    alone = simulate(COMBINE, day, refrigerant="R-12", charge=40 * OUNCE)
    # Another start of the same equations: they agree to the solver's own tolerance, far below what is drawn.
    for name in ("low_gauge", "high_gauge", "vent", "subcooling_measured"):
        assert bench.readings[name] == pytest.approx(getattr(alone, name), rel=1e-5)
    assert units.show(alone.vent, "temperature") in bench.description()
    assert bench.readings["glass"] == alone.glass


def test_ounce_by_ounce_the_glass_clears_and_the_head_rises():
    """The order of the signs of a receiver system, as the curve's own marks have it."""
    bench = make("charging_bench", weighed=16)
    looks, heads = [], []
    for ounces in range(16, 84, 4):
        bench.set(weighed=ounces)
        looks.append(bench.readings["glass"])
        heads.append(bench.readings["high_gauge"])
    cleared = looks.index("clear")
    assert "bubbles" in looks[:cleared]
    assert set(looks[cleared:]) == {"clear"}
    assert heads[-1] > 1.05 * heads[cleared]
    marks = bench.curve.marks
    assert (16 + 4 * (cleared - 1)) * OUNCE < marks.glass_clears <= (16 + 4 * cleared) * OUNCE * 1.02


def test_the_curve_is_shown_on_request_only():
    bench = make("charging_bench", weighed=30)
    assert "glass clears at" not in bench.picture()
    assert "receiver full" not in bench.description()
    bench.set(whole_curve=True)
    for words in ("glass clears at", "receiver full at", "head + 10 % at"):
        assert words in bench.picture()
        assert words in bench.description()


def test_the_curve_is_worked_out_only_when_the_day_changes(monkeypatch):
    bench_module = import_module("coldcab.instruments.charging_bench")

    made = []
    monkeypatch.setattr(
        bench_module, "charge_curve", lambda *args, **more: made.append(1) or charging.charge_curve(*args, **more)
    )
    bench = make("charging_bench")
    for ounces in (20, 30, 40):
        bench.set(weighed=ounces).picture()
    assert len(made) == 1
    bench.set(ambient=80).picture()
    assert len(made) == 2


def test_cans_on_the_bench():
    """60 oz from 12 oz cans that keep a little each: a sixth can, by conservation of mass."""
    bench = make("charging_bench", weighed=60)
    plan = bench.readings["cans"]
    assert plan.cans == 6
    emptied = 5 * (12 * OUNCE - plan.heel)
    assert plan.from_last == pytest.approx(60 * OUNCE - emptied)
    assert "6 opened" in bench.description()


def test_a_charge_that_does_not_fit_is_one_sentence():
    bench = make("charging_bench", machine=12, weighed=118)
    assert "can be run with" in bench.fault
    assert "no reading" in bench.picture()
    bench.set(weighed=30)
    assert bench.readings


# The clutch circuit ------------------------------------------------------------------------------------------


def test_meter_shows_what_the_circuit_says():
    """Ohm by hand: 3.6 x (234.5 + 60) / 254.5 = 4.166 at 140 F (60 C), 0.125 around it, 1 ohm added."""
    instrument = make("clutch_circuit", bad="ground strap", resistance=1.0, battery=13.8, coil_temperature=140)
    current = 13.8 / (3.6 * 294.5 / 254.5 + sum(link.resistance for link in clutch.LINKS) + 1.0)
    for place, volts in (
        ("battery", 13.8),
        ("ground strap", 1.01 * current),
        ("coil", 3.6 * 294.5 / 254.5 * current),
        ("whole ground side", 1.01 * current),
        ("fuse and its holder", 0.010 * current),
    ):
        instrument.set(meter=place)
        assert instrument.readings["meter"] == pytest.approx(volts, rel=1e-6)
        assert f"{volts:.2f} V" in instrument.picture()
    assert instrument.readings["circuit"].current == pytest.approx(current, rel=1e-6)


def test_the_bad_connection_is_not_given_away():
    """Without the meter on it, the drawing of a bad ground differs only in current, and in volts lost in all."""
    drawn = [
        make("clutch_circuit", bad=place, resistance=2.0).picture(words=False)
        for place in ("relay contacts", "ground strap")
    ]
    bare = [re.sub(r"(aria-label=\"[^\"]*\"|<desc>.*?</desc>)", "", one) for one in drawn]
    # Their own resistances differ by 5 milliohm, so by a hundredth of an ampere at most.
    assert re.sub(r"[\d.]+ (A|W|V)", "", bare[0]) == re.sub(r"[\d.]+ (A|W|V)", "", bare[1])


def test_every_voltage_makes_up_the_battery():
    instrument = make("clutch_circuit", bad="thermostat", second_bad="coil connector", every_voltage=True)
    shown = [float(volts) for volts in re.findall(r"([\d.]+) V[,.]", instrument.description().split("Voltages:")[1])]
    parts = shown[: len(clutch.LINKS) + 1]
    # Nine figures rounded to 0.01 V.
    assert sum(parts) == pytest.approx(13.8, abs=0.045)


def test_worn_gap_engages_cold_and_not_hot():
    instrument = make("clutch_circuit", gap=0.05, battery=12.0, coil_temperature=70)
    assert instrument.readings["engaged"]
    assert instrument.readings["status"] == "running"
    instrument.set(coil_temperature=290)
    assert not instrument.readings["engaged"]
    assert instrument.readings["status"] == "off"
    assert instrument.readings["circuit"].current > 1.5  # current flows, and it is not enough
    assert "too little to draw the plate" in instrument.description()


def test_an_empty_machine_opens_its_low_pressure_switch():
    instrument = make("clutch_circuit", fault="charge low", severity=90, charge=30)
    states = {one.name: one for one in instrument.readings["switches"]}
    assert states[controls.LOW_SWITCH].state in (controls.OPEN, controls.CYCLES)
    assert states[controls.HIGH_SWITCH].state == controls.CLOSED
    assert "protects the compressor against running without refrigerant" in instrument.description()


def test_an_open_switch_takes_the_whole_battery():
    instrument = make(
        "clutch_circuit", fault="thermostat opens early", severity=100, ambient=50, meter="thermostat", charge=100
    )
    state = {one.name: one for one in instrument.readings["switches"]}[controls.FIN_SWITCH]
    assert state.state in (controls.OPEN, controls.CYCLES)
    if state.state == controls.OPEN:
        assert instrument.readings["meter"] == pytest.approx(13.8)
        assert "OPEN" in instrument.picture()
    opened = make("clutch_circuit", open_lead="relay contacts", meter="relay contacts")
    assert opened.readings["meter"] == pytest.approx(13.8)
    assert not opened.readings["engaged"]
    assert opened.readings["status"] == "off"


def test_a_wire_across_the_switch_lets_the_head_climb():
    """What a jumper takes away: without it the switch holds the head, with it the head goes on rising."""
    hot = {"fault": "condenser blocked", "severity": 100, "ambient": 120, "charge": 150}
    guarded, bridged = (make("clutch_circuit", bridge=name, **hot) for name in ("none", controls.HIGH_SWITCH))
    assert guarded.readings["status"] == "high-pressure cut-out"
    assert bridged.readings["high_gauge"] > guarded.readings["high_gauge"] + 0.5e5
    assert "mends nothing" in bridged.description()
    assert "protects hoses" in guarded.description()


def test_shorted_turns_trouble_the_fuse():
    """60 % of the turns shorted leave 1.67 of 4.17 ohm: 7.7 A by hand, more than the 7.5 A fuse is named for."""
    shorted = make("clutch_circuit", shorted=60)
    assert shorted.readings["circuit"].current == pytest.approx(13.8 / (0.4 * 3.6 * 294.5 / 254.5 + 0.125))
    worse = make("clutch_circuit", shorted=80)
    assert worse.readings["fuse"] == clutch.fuse_answer(worse.readings["circuit"].current, FUSE)
    assert "opens" in worse.readings["fuse"]


def test_slip_follows_the_voltage():
    margins = [
        make("clutch_circuit", bad="coil connector", resistance=ohm).readings["margin"] for ohm in (0.0, 1.0, 2.0, 4.0)
    ]
    assert np.all(np.diff(margins) < 0.0)
    assert margins[0] > 1.0


def test_levers_without_a_bad_part_are_out_of_the_way():
    instrument = make("clutch_circuit")
    instrument.widget  # noqa: B018 - builds it
    rows = instrument._panel._rows
    assert rows["resistance"].layout.display == rows["severity"].layout.display == "none"
    instrument._panel._movers["bad"].value = "thermostat"
    assert rows["resistance"].layout.display is None


def test_bench_and_circuit_use_the_fleet():
    bench = make("charging_bench", machine=31)
    assert bench.right_charge == nominal_charge(COMBINE, "R-134a")
    with pytest.raises(ValueError, match="is not one of"):
        make("clutch_circuit", machine=99)
    with pytest.raises(ValueError, match="is outside this instrument"):
        make("clutch_circuit", battery=230)
