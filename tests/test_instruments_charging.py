"""The charging bench and the clutch circuit: what they draw and say, and how they take what a person sets."""

from __future__ import annotations

import re
from importlib import import_module

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import instruments, units
from coldcab.instruments.clutch_circuit import FUSE
from coldcab.instruments.controls import Slider, Switch
from coldcab.machine import Conditions, nominal_charge, simulate
from coldcab.machine.fleet import COMBINE, FLEET
from coldcab.service import charging, clutch, clutch_wiring
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
    start = {"fault": "condenser blocked"} if name == "charging_bench" else {}
    known = {control.name for control in kind.controls}
    for control in kind.controls:
        instrument = make(name, **{key: value for key, value in start.items() if key in known})
        assert not instrument.fault
        instrument.widget  # noqa: B018 - builds it
        mover, before = instrument._panel._movers[control.name], instrument._panel.drawing.html
        if isinstance(control, Slider):
            mover.value = mover.min + 0.62 * (mover.max - mover.min)
        elif isinstance(control, Switch):
            mover.value = not mover.value
        else:
            mover.value = next(option for option in reversed(mover.options) if option != mover.value)
        assert instrument._panel.drawing.html != before, control.name


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


def test_a_machine_with_a_block_valve_has_no_glass():
    """Neither drawn nor said, on the bench, in the circuit and in the table of the day; a valve with a bulb has one."""
    for machine, has in ((31, True), (52, False), (58, False)):
        bench = instruments.charging_bench(machine=machine, weighed=30, refrigerant=FLEET[machine].refrigerant)
        assert ("no sight glass" in bench.description()) is not has
        assert ("no sight glass" in bench.picture()) is not has
        circuit = instruments.circuit_drawing(machine=machine, system="us")
        assert ("no sight glass" in circuit.description()) is not has
        table = instruments.acceptance_table(machine, refrigerant=FLEET[machine].refrigerant)
        assert ("sight glass" in str(table)) is has


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
    """Ohm by hand: 3.6 x (234.5 + 60) / 254.5 = 4.166 at 140 F (60 C), 0.08 around it, 1.6 ohm in the strap."""
    instrument = make("clutch_circuit", fault="ground strap loose", coil_temperature=140)
    current = 13.8 / (3.6 * 294.5 / 254.5 + 0.080 + 1.6)
    for red, black, volts in (
        ("A battery plus", "R battery minus", 13.8),
        ("Q engine block", "R battery minus", 1.61 * current),
        ("R battery minus", "Q engine block", -1.61 * current),
        ("O clutch feed terminal", "P clutch ground terminal", 3.6 * 294.5 / 254.5 * current),
        ("A battery plus", "L relay 30", 0.010 * current),
    ):
        instrument.set(red=red, black=black)
        assert instrument.readings["meter"] == pytest.approx(volts, rel=1e-6)
        assert f"{volts:.2f} V" in instrument.picture()
    assert instrument.readings["current"] == pytest.approx(current, rel=1e-6)


@pytest.mark.parametrize("unknown", clutch_wiring.UNKNOWN)
def test_an_unknown_fault_is_not_given_away(unknown):
    """Neither drawing nor words name it, and the voltages of all points are not shown."""
    said = make("clutch_circuit", fault=unknown, every_voltage=True).picture()
    assert clutch_wiring.UNKNOWN[unknown].name not in said
    assert "Against battery minus" not in said
    weak = [make("clutch_circuit", fault=f"unknown {letter}") for letter in "AB"]
    bare = [re.sub(r"unknown .|[\d.]+ (A|V)", "", one.picture()) for one in weak]
    assert bare[0] == bare[1]  # a bad ground and burnt contacts differ in current and volts alone


def test_every_voltage_is_told_in_words_too():
    instrument = make("clutch_circuit", every_voltage=True, fault="clutch connector corroded")
    said = instrument.description().split("Against battery minus:")[1]
    assert len(re.findall(r"[\d.]+ V[,.]", said)) == len(clutch_wiring.points(clutch_wiring.TWO)) - 2
    assert "O clutch feed terminal" in said


def test_worn_gap_engages_cold_and_not_hot():
    instrument = make("clutch_circuit", gap=0.06, coil_temperature=70)
    assert instrument.readings["status"] == "engaged"
    instrument.set(coil_temperature=290)
    assert "plate stays out" in instrument.readings["status"]
    assert instrument.readings["current"] > 1.5  # current flows, and it is not enough


def test_a_switch_that_should_be_open_is_said_to_be_so():
    empty = make("clutch_circuit", pressure=5)
    assert "Open as it should be: pressure switch" in empty.description()
    broken = make("clutch_circuit", fault="pressure switch open at a good pressure")
    assert "Open as it should be" not in broken.description()
    assert "The relay has not closed" in broken.description()


def test_leads_move_with_the_wiring():
    """A point that the other wiring has not is said in one sentence, and the lead can be moved back."""
    instrument = make("clutch_circuit", red="E behind the thermostat", control="sensor and controller")
    assert "no point 'behind the thermostat'; move the red lead" in instrument.fault
    assert "J sensor signal" in instrument.offered(instrument.controls[0])
    instrument.set(red="J sensor signal", black="K sensor ground", pressure=250)
    assert instrument.readings["meter"] == pytest.approx(2.5)


def test_shorted_parts_trouble_the_fuse():
    """Half the turns leave 2.08 of 4.17 ohm: 6.4 A by hand. A shorted diode opens the fuse, and nothing flows."""
    shorted = make("clutch_circuit", fault="half the turns of the clutch coil shorted")
    assert shorted.readings["current"] == pytest.approx(13.8 / (0.5 * 3.6 * 294.5 / 254.5 + 0.080))
    assert shorted.readings["fuse"] == clutch.fuse_answer(shorted.readings["current"], FUSE)
    diode = make("clutch_circuit", suppression="diode shorted")
    assert (diode.readings["fuse"], diode.readings["current"]) == ("opens at once", 0.0)


def test_the_caution_follows_the_key():
    running, key_on, off = (
        make("clutch_circuit", key=key).description() for key in ("engine running", "key on, engine stopped", "key off")
    )
    assert "clear of belt and fan" in running
    assert "No hand near the belt" in key_on
    assert "belt" not in off


def test_every_voltage_is_out_of_the_way_of_an_unknown_fault():
    instrument = make("clutch_circuit")
    instrument.widget  # noqa: B018 - builds it
    assert instrument._panel._rows["every_voltage"].layout.display is None
    instrument._panel._movers["fault"].value = "unknown A"
    assert instrument._panel._rows["every_voltage"].layout.display == "none"


def test_bench_and_circuit_use_the_fleet():
    bench = make("charging_bench", machine=31)
    assert bench.right_charge == nominal_charge(COMBINE, "R-134a")
    with pytest.raises(ValueError, match="is not one of"):
        make("clutch_circuit", battery="48 V")
    with pytest.raises(ValueError, match="is outside this instrument"):
        make("clutch_circuit", pressure=2000)
