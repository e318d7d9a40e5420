"""The bench and its parts: what they draw and say of a machine that runs, and how they take what a person sets."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import faults, instruments, units
from coldcab.faults import measurements
from coldcab.instruments.bench import RESOLVED, WORKED_OUT
from coldcab.instruments.controls import Slider
from coldcab.instruments.drawing import circuit, glass, thermometers
from coldcab.instruments.hands_on import TESTS
from coldcab.instruments.machine_view import CONTROLS, MACHINES, STATUS
from coldcab.machine import Conditions, nominal_charge, simulate
from coldcab.machine.fleet import COMBINE, FLEET
from coldcab.machine.readings import INSTRUMENTS, NO_STEADY_STATE, STATUSES
from drawings import SYSTEMS, assert_text_stays_on_the_sheet, assert_well_drawn, kelvin, states

NAMES = ("bench", "circuit_drawing", "sight_glass", "thermometers")


def make(name: str = "bench", **given: object):
    return getattr(instruments, name)(system=given.pop("system", "us"), **given)


# Drawing -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
@given(data=st.data(), system=SYSTEMS)
@settings(max_examples=30, deadline=None)
def test_draws_whatever_can_be_set(name, data, system):
    instrument = make(name, system=system, **data.draw(states(name)))
    assert_well_drawn(instrument)
    assert_text_stays_on_the_sheet(instrument)
    if not instrument.fault:
        assert instrument.readings["status"] in STATUS
        assert instrument.readings["status"] in instrument.description().lower()


@pytest.mark.parametrize("name", NAMES)
def test_the_still_part_is_made_once(name, monkeypatch):
    kind, made = getattr(instruments, name), []
    still = kind.face
    monkeypatch.setattr(kind, "face", lambda self: made.append(1) or still(self))
    instrument = make(name)
    for charge in (100, 60, 40):
        instrument.set(charge=charge, fault="condenser blocked", severity=charge / 2).picture()
    assert len(made) == 1


def test_every_status_of_the_machine_has_words():
    assert set(STATUS) == set(STATUSES) - {NO_STEADY_STATE}


def needles(instrument) -> list[float]:
    found = re.findall(r'<path[^>]*fill="#1d2632"[^>]*transform="rotate\(([-\d.]+) ', instrument.picture())
    return [float(degrees) for degrees in found][:2]


def test_needles_stand_at_the_readings():
    bench = make(fault="condenser blocked", severity=100)
    low, high = (
        units.convert(bench.readings[f"{side}_gauge"], "pressure difference", "psi") for side in ("low", "high")
    )
    # Even steps over 270 degrees: 30 inHg vacuum (14.74 psi) to 150 psig, and 0 to 500 psig; 0.1 degree is drawn.
    assert needles(bench) == pytest.approx([-135 + 270 * (low + 14.74) / 164.74, -135 + 270 * high / 500], abs=0.1)


# The healthy machine on the same day -------------------------------------------------------------------------


def test_the_healthy_machine_is_the_ghost():
    bench = make()
    healthy = bench.readings["healthy"]
    for name in ("low_gauge", "high_gauge", "vent", "superheat", "power"):
        assert bench.readings[name] == healthy[name]
    assert "▲" not in bench.picture()
    assert bench.readings["status"] == healthy["status"] == "running"
    assert "up from" not in bench.description()
    assert "down from" not in bench.description()


def test_the_ghost_is_the_machine_run_by_hand():
    bench = make(machine=31, ambient=100, engine_speed=1200, humidity=55, altitude=4000, fault="air in the circuit")
    day = Conditions(
        ambient=kelvin(100),
        relative_humidity=0.55,
        altitude=4000 * 0.3048,
        engine_speed=20.0,
        inlet_temperature=kelvin(100),
        inlet_relative_humidity=0.55,
    )
    charge = nominal_charge(COMBINE, "R-134a")
    alone = simulate(COMBINE, day, refrigerant="R-134a", charge=charge)
    faulty = simulate(
        COMBINE, day, refrigerant="R-134a", charge=charge, faults=(faults.Fault("air in the circuit", 0.5),)
    )
    # Other starts of the same equations: they agree to the solver's own tolerance, far below what is drawn.
    for name in ("low_gauge", "high_gauge", "discharge_line", "capacity"):
        assert bench.readings["healthy"][name] == pytest.approx(getattr(alone, name), rel=1e-5)
        assert bench.readings[name] == pytest.approx(getattr(faulty, name), rel=1e-5)


def test_the_healthy_machine_is_run_only_when_the_day_changes(monkeypatch):
    from coldcab.instruments import machine_view

    runs = []
    monkeypatch.setattr(machine_view, "simulate", lambda *args, **more: runs.append(more) or simulate(*args, **more))
    bench = make(fault="worn compressor")
    assert len(runs) == 2
    for severity in (20, 40, 60):
        bench.set(severity=severity)
    assert len(runs) == 5
    bench.set(charge=80)
    assert len(runs) == 6
    bench.set(ambient=88)
    assert len(runs) == 8
    bench.set(fault="none", charge=100)
    assert len(runs) == 8  # the healthy machine itself
    # From the readings before, and with the right charge for the healthy machine.
    assert runs[2]["start"] is not None
    assert runs[6]["charge"] == bench.right_charge
    assert not runs[6].get("faults")


@pytest.mark.parametrize("name", faults.catalogue)
def test_every_fault_moves_something(name):
    """At its worst each fault changes at least one drawn number, on a hot day or a mild one with the doors shut."""
    days = ({}, {"doors": "shut, cab cooled down", "ambient": 80})
    drawn = []
    for day in days:
        own = day | {"machine": 58 if faults.catalogue[name].valve == "block" else 31}
        bench = make(fault=name, severity=100, **own)
        assert bench.readings, bench.fault
        drawn.append((bench.picture(), make(**own).picture()))
        assert faults.catalogue[name].meaning in bench.reading_line()
    without_words = [[re.sub(r"(aria-label=\"[^\"]*\"|<desc>.*?</desc>)", "", one) for one in pair] for pair in drawn]
    strip = [[re.findall(r"rotate\([^)]*\)|>[^<]*\d[^<]*<", one) for one in pair] for pair in without_words]
    assert any(faulty != healthy for faulty, healthy in strip)


def test_severity_moves_the_needle_one_way():
    bench = make(fault="condenser blocked")
    highs = [bench.set(severity=severity).readings["high_gauge"] for severity in (0, 25, 50, 75, 100)]
    assert highs == sorted(highs)
    assert highs[-1] > highs[0] + 2e5  # two bar: more than any needle's thickness
    assert highs[0] == bench.readings["healthy"]["high_gauge"]


def test_two_faults_at_once():
    one = make(fault="condenser blocked", severity=60)
    two = make(fault="condenser blocked", severity=60, second_fault="air in the circuit", second_severity=60)
    assert two.readings["high_gauge"] > one.readings["high_gauge"] + 1e5
    for name in ("condenser blocked", "air in the circuit"):
        assert faults.catalogue[name].meaning in two.reading_line()


# What is set -------------------------------------------------------------------------------------------------


def test_a_machine_by_its_number():
    assert make(machine=12).settings["machine"] == make(machine="12").settings["machine"] == FLEET[12].name
    assert list(MACHINES.values()) == list(FLEET.values())
    for wrong in (13, "13", "the tractor", True, None, 10**30):
        with pytest.raises(ValueError, match="is not one of Unit 7"):
            make(machine=wrong)


def test_a_weighed_charge():
    pound = 0.45359237  # kg, exact by definition
    bench = make(machine=12, refrigerant="R-12", charge="1 lb 8 oz")
    assert bench.readings["charge"] == pytest.approx(1.5 * pound, rel=1e-9)
    # With another machine in the same breath the weight is its share of that one's charge.
    bench.set(charge="2 lb", machine=31)
    assert bench.readings["charge"] == pytest.approx(2 * pound, rel=1e-9)
    bench.widget  # noqa: B018 - builds it
    box = bench._panel._boxes["charge"]
    box.value = "1.2 kg"
    assert bench.readings["charge"] == pytest.approx(1.2, rel=1e-9)
    assert box.value == f"{120 / bench.right_charge:.0f} %"
    box.value = "80"
    assert bench.readings["charge"] == pytest.approx(0.8 * bench.right_charge, rel=1e-9)
    for wrong, words in (("50 lb", "is outside"), ("plenty", "plenty"), ("3 F", "temperature"), ("-2 lb", "outside")):
        box.value = wrong
        assert words in bench.reading_line()
        assert bench.reading_line() in bench._panel.drawing.html.replace("&#x27;", "'")
        assert bench.readings["charge"] == pytest.approx(0.8 * bench.right_charge, rel=1e-9)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"fault": "foreign refrigerant", "refrigerant": "R-12"}, "R-134a only"),
        ({"charge": 5, "fault": "charge low", "severity": 100}, "charge and fault together make"),
        ({"machine": 52, "charge": 180, "fault": "charge high", "severity": 100}, "charge and fault together make"),
        ({"machine": 58, "fault": "bulb loose or bare"}, "Unit 58, the tractor has a block valve, which has no bulb"),
        ({"machine": 7, "fault": "valve head charge lost"}, "a valve with a bulb, not a block valve"),
    ],
)
def test_what_cannot_be_run_is_one_sentence(given, words):
    for name in NAMES:
        known = {control.name for control in getattr(instruments, name).controls}
        instrument = make(name, **{key: value for key, value in given.items() if key in known})
        assert words in instrument.fault
        assert "\n" not in instrument.fault
        assert "no reading" in instrument.picture()
        ElementTree.fromstring(instrument.picture())
        instrument.set(charge=100, fault="none")
        assert instrument.readings


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"ambient": 200}, "outside air: 200.0 F is outside"),
        ({"engine_speed": "fast"}, "number"),
        ({"fault": "gremlins"}, "'gremlins' is not one of none"),
        ({"colour": "blue"}, "has no setting 'colour'"),
        ({"charge": "50 lb"}, "is outside this instrument"),
    ],
)
def test_a_wrong_setting_changes_nothing(given, words):
    bench = make()
    before = dict(bench.settings)
    with pytest.raises(ValueError, match=re.escape(words)):
        bench.set(**{"altitude": 3000, **given})
    assert dict(bench.settings) == before


def test_levers_without_a_fault_are_out_of_the_way():
    bench = make()
    bench.widget  # noqa: B018 - builds it
    rows = bench._panel._rows
    assert rows["severity"].layout.display == "none"
    bench._panel._movers["fault"].value = "worn compressor"
    assert rows["severity"].layout.display is None
    assert rows["second_severity"].layout.display == "none"


@pytest.mark.parametrize("name", CONTROLS)
def test_every_control_moves_the_bench(name):
    bench = make(fault="worn compressor", second_fault="low evaporator air")
    bench.widget  # noqa: B018 - builds it
    mover, before = bench._panel._movers[name], bench._panel.drawing.html
    if isinstance(CONTROLS[name], Slider):
        mover.value = mover.min + 0.75 * (mover.max - mover.min)
    else:
        mover.value = next(option for option in CONTROLS[name].options if option != mover.value)
    assert bench._panel.drawing.html != before
    assert not bench.fault


# Saying ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("system", ["us", "si"])
def test_the_description_has_every_number(system):
    bench = make(system=system, fault="drier restricted", severity=100)
    told = bench.description()
    for name in ("low_gauge", "high_gauge"):
        number = units.convert(bench.readings[name], "pressure difference", "psi" if system == "us" else "kPa")
        assert f"{number:.1f} psig" in told if system == "us" else f"{number:.0f} kPa gauge" in told
    for name, *_ in thermometers.PLACES:
        assert units.show(bench.readings[name], "temperature", system=system) in told
    assert units.show(bench.readings["capacity"], "power", system=system) in told
    assert bench.readings["glass"] in told.lower()


def test_the_reading_line_is_above_the_bench():
    page = make().html()
    assert page.index('role="status"') < page.index("<svg")
    assert page.index('role="status"') > 0


def test_readings_made_elsewhere_are_drawn_without_levers():
    """A clinic shows readings without their cause."""
    charge = nominal_charge(COMBINE, "R-12")
    day = Conditions()
    healthy = simulate(COMBINE, day, refrigerant="R-12", charge=charge)
    ill = simulate(COMBINE, day, refrigerant="R-12", charge=charge, faults=(faults.Fault("worn compressor", 1.0),))
    for name in NAMES:
        instrument = make(name, readings=ill, healthy=healthy)
        assert instrument.readings["discharge_line"] == ill.discharge_line
        assert "worn compressor" not in instrument.description()
        assert "Set to" not in instrument.description()
        before = instrument.picture()
        assert instrument.show(healthy).picture() != before
        ElementTree.fromstring(instrument.picture())


# The drawing of the circuit ----------------------------------------------------------------------------------


def test_lines_of_a_healthy_machine():
    found = circuit.states(make().readings)
    expected = {"discharge line": "vapor", "to the drier": "liquid", "from the drier": "liquid"}
    expected |= {"before the valve": "liquid", "behind the valve": "mixture", "suction line": "vapor"}
    assert {name: found[name] for name in expected} == expected


@pytest.mark.parametrize(
    ("given", "line", "state"),
    [
        ({"charge": 45}, "to the drier", "mixture"),
        ({"fault": "drier restricted", "severity": 100}, "to the drier", "liquid"),
        ({"fault": "drier restricted", "severity": 100}, "from the drier", "mixture"),
        ({"fault": "liquid line kinked", "severity": 100}, "from the drier", "liquid"),
        ({"fault": "liquid line kinked", "severity": 100}, "before the valve", "mixture"),
        ({"fault": "valve stuck open", "severity": 100}, "suction line", "mixture"),
        ({"fault": "clutch does not engage"}, "suction line", "at rest"),
    ],
)
def test_lines_of_an_ill_machine(given, line, state):
    bench = make(**given)
    assert circuit.states(bench.readings)[line] == state
    assert f"{line} {state}" in bench.description() or state == "at rest"


def test_states_differ_without_color():
    """Grey out every color: the patterns still differ."""
    drawn = [re.sub(r"#[0-9a-f]{6}", "", circuit.pipe([(0, 0), (9, 0)], state)) for state in circuit.STATES]
    assert len(set(drawn)) == len(drawn)


def test_looks_differ_without_color():
    drawn = [
        re.sub(r"#[0-9a-f]{6}", "", glass.look(0, 0, 50, look, void))
        for look, void in (("clear", 0.0), ("bubbles", 0.15), ("foam", 0.5), ("streaks", 0.9), ("still", np.nan))
    ]
    assert len(set(drawn)) == len(drawn)
    assert set(glass.MEANING) == set(glass.SHORT) == {"clear", "bubbles", "foam", "streaks", "still"}


def test_more_vapor_more_bubbles():
    counts = [glass.look(0, 0, 50, "bubbles", void).count("<circle") for void in (0.03, 0.1, 0.2, 0.29)]
    assert counts == sorted(set(counts))


def test_the_glass_keeps_still_on_request():
    page = make("sight_glass", charge=45).html()
    rule = re.search(r"@media \(prefers-reduced-motion: no-preference\) \{ \.coldcab-drift \{ animation:", page)
    assert rule
    assert page.count("animation:") == 1  # nothing moves outside that rule


def test_columns_follow_the_scale():
    low, high, *_ = thermometers.SCALE["us"]
    assert thermometers.place(low, "us") == thermometers.BOTTOM
    assert thermometers.place(high, "us") == thermometers.TOP
    assert thermometers.place(1e4, "us") == thermometers.TOP  # a hotter line fills the tube; its number stands below
    assert thermometers.place((low + high) / 2, "us") == pytest.approx((thermometers.TOP + thermometers.BOTTOM) / 2)


def test_arrows_point_where_the_instrument_can_tell():
    bench = make(fault="condenser blocked", severity=100)
    healthy = bench.readings["healthy"]
    assert thermometers.changed(bench.readings, healthy, "condenser_air_out") == "up"
    assert thermometers.changed(bench.readings, healthy, "cab") == ""  # doors are open: the cab is as warm as outside
    assert thermometers.changed(bench.readings, {}, "condenser_air_out") == ""
    assert set(RESOLVED) == {name for name, *_ in WORKED_OUT}


# What course/faults/bench.ipynb says under "What you saw" -----------------------------------------------------

GAUGE = 1.0 * 6894.757  # Pa; a gauge is read to about 1 psi (common practice, no source)


def change(bench, name: str) -> float:
    return bench.readings[name] - bench.readings["healthy"][name]


def shown(bench, name: str) -> str:
    return thermometers.changed(bench.readings, bench.readings["healthy"], name)


@pytest.mark.parametrize("machine", FLEET)
def test_page_a_leak_shows_in_the_glass_first(machine):
    bench = make(machine=machine)
    for charge in range(100, 30, -1):
        bench.set(charge=charge)
        if bench.readings["glass"] != "clear":
            break
    assert bench.readings["glass"] == "bubbles"
    assert abs(change(bench, "low_gauge")) < GAUGE
    # The high side is read to 3 psi: its needle moves over a longer scale (common practice, no source).
    assert abs(change(bench, "high_gauge")) < 3 * GAUGE
    assert shown(bench, "vent") == ""
    while shown(bench, "vent") == "":
        bench.set(charge=bench.settings["charge"] * 100 - 1)
    # The low side tells late: when the vent is warmer it has hardly moved, less than the high side has.
    assert abs(change(bench, "low_gauge")) < min(2 * GAUGE, abs(change(bench, "high_gauge")))


@pytest.mark.parametrize(("machine", "has_bulb"), [(31, True), (52, False), (58, False)])
def test_faults_and_tests_by_hand_follow_the_kind_of_valve(machine, has_bulb):
    bench = make(machine=machine)
    lists = {name: bench.offered(control) for control in bench.controls for name in [control.name]
             if name in ("fault", "second_fault", "by_hand")}  # fmt: skip
    for name in ("fault", "second_fault"):
        assert ("bulb loose or bare" in lists[name]) is has_bulb
        assert ("valve head charge lost" in lists[name]) is not has_bulb
    assert ("clean, clamp and wrap the bulb" in lists["by_hand"]) is has_bulb
    bench.set(by_hand="clean, clamp and wrap the bulb")
    assert ("there is no bulb" in bench.readings["by_hand"]) is not has_bulb


def test_the_list_of_faults_changes_with_the_machine():
    bench = make(machine=31)
    assert bench.widget
    panel = bench._panel
    assert "bulb charge lost" in panel._movers["fault"].options
    panel._movers["machine"].value = FLEET[58].name
    assert "bulb charge lost" not in panel._movers["fault"].options
    assert "valve head charge lost" in panel._movers["fault"].options
    assert bench.readings, bench.fault


def test_page_three_ways_to_a_high_head():
    benches = {
        name: make(fault=name, severity=100) for name in ("charge high", "air in the circuit", "condenser blocked")
    }
    for bench in benches.values():
        assert change(bench, "high_gauge") > 20 * GAUGE
    hot_air = {name: shown(bench, "condenser_air_out") == "up" for name, bench in benches.items()}
    rested = {name: change(bench, "standing_pressure") > 5 * GAUGE for name, bench in benches.items()}
    cool = {name: shown(bench, "drier_in") == "down" for name, bench in benches.items()}
    assert [name for name, said in hot_air.items() if said] == ["condenser blocked"]
    assert [name for name, said in rested.items() if said] == ["air in the circuit"]
    assert [name for name, said in cool.items() if said] == ["charge high"]
    assert shown(benches["air in the circuit"], "drier_in") == shown(benches["condenser blocked"], "drier_in") == "up"


def test_page_streaks_with_and_without_a_step():
    leak, drier = (make(fault=name, severity=100) for name in ("charge low", "drier restricted"))
    assert leak.readings["glass"] == drier.readings["glass"]
    steps = [bench.readings["drier_in"] - bench.readings["drier_out"] for bench in (leak, drier)]
    assert steps[0] < 2.0  # K: within twice the doubt of one clip, and near what a healthy drier takes
    assert steps[1] > 10.0


def test_page_a_heater_valve_is_not_the_circuit():
    bench = make(fault="heater valve leaking", severity=100)
    moved = [name for name, *_ in thermometers.PLACES if shown(bench, name)]
    assert moved == ["vent"]
    for name in ("low_gauge", "high_gauge", "superheat_measured", "capacity"):
        assert change(bench, name) == pytest.approx(0.0, abs=1e-3 * bench.readings[name])


def test_page_healthy_needles_travel():
    for setting, ends in (("ambient", (80, 110)), ("altitude", (0, 10_000)), ("engine_speed", (800, 2500))):
        highs = [make(**{setting: end}).readings["high_gauge"] for end in ends]
        assert abs(highs[1] - highs[0]) > 10 * GAUGE


# Tests by hand, and instruments as they are.


@pytest.mark.parametrize("test", TESTS)
def test_every_test_by_hand_says_what_it_shows_and_its_caution(test):
    bench = instruments.bench(by_hand=test)
    said = bench.readings["by_hand"]
    assert said.startswith(test.capitalize())
    assert measurements[TESTS[test]].caution in said
    assert said in bench.description()
    assert "nan" not in said


@pytest.mark.parametrize(
    ("fault", "test", "way"),
    [
        # The separating tests of the faults' catalogue: the gauge falls when a loose bulb is seated, a healthy one's
        # does not move; the vent falls when a leaking heater valve is pinched off.
        ("bulb loose or bare", "clean, clamp and wrap the bulb", "fell"),
        ("none", "clean, clamp and wrap the bulb", "stayed"),
        ("heater valve leaking", "pinch the heater hose with a clamp", "fell"),
        ("none", "pinch the heater hose with a clamp", "stayed"),
    ],
)
def test_a_test_by_hand_separates(fault, test, way):
    said = instruments.bench(fault=fault, severity=80, by_hand=test).readings["by_hand"]
    before, after = (float(number) for number in re.findall(r"(-?[\d.]+) (?:psig|F)", said)[:2])
    assert (after < before - 0.5) if way == "fell" else (after == before)


def test_instruments_of_a_shop_scatter_and_stay_the_same_instruments():
    exact = instruments.bench()
    shop = instruments.bench(shop_instruments=True)
    assert shop.readings["low_gauge"] != exact.readings["low_gauge"]
    # The scale of the low gauge is read to half a psi (machine.readings.INSTRUMENTS), so the reading is a whole step.
    step = INSTRUMENTS["low_gauge"][0]
    assert shop.readings["low_gauge"] / step == pytest.approx(round(shop.readings["low_gauge"] / step))
    again = instruments.bench(shop_instruments=True)
    assert again.readings["discharge_line"] == shop.readings["discharge_line"]
