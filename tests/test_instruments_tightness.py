"""Vacuum pump, rise test and nitrogen test as instruments: what they draw and say, and how they take what is set."""

from __future__ import annotations

import re
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import air, instruments, units
from coldcab.instruments.controls import Slider, Switch
from coldcab.instruments.drawing import time_plot
from coldcab.instruments.pump_down import micron_words
from coldcab.instruments.rise_test import RECORDS
from coldcab.machine.transients import MICRON, evacuation
from coldcab.service import drying, leak_test, rise_test
from coldcab.service.drying import CIRCUIT_VOLUME, PUMP_ULTIMATE
from drawings import SYSTEMS, assert_text_stays_on_the_sheet, assert_well_drawn, make, states

NAMES = ("pump_down", "rise_test", "nitrogen_test")
PSI, INCH = 6894.757293168, 3386.389


@pytest.mark.parametrize("name", NAMES)
@given(data=st.data(), system=SYSTEMS)
@settings(max_examples=20, deadline=None)
def test_draws_whatever_can_be_set(name, data, system):
    instrument = make(name, system=system, **data.draw(states(name)))
    assert_well_drawn(instrument)
    assert_text_stays_on_the_sheet(instrument)
    assert not instrument.fault  # every state of these three can be worked out


@pytest.mark.parametrize("name", NAMES)
def test_every_control_moves_it(name):
    for control in getattr(instruments, name).controls:
        # With a leak, a fall in temperature and a weak gauge, each lever has something to move.
        start = {"leak": 20.0} if name != "pump_down" else {}
        instrument = make(name, **start)
        instrument.widget  # noqa: B018 - builds it
        mover, before = instrument._panel._movers[control.name], instrument._panel.drawing.html
        if isinstance(control, Slider):
            mover.value = mover.min + 0.62 * (mover.max - mover.min)
        elif isinstance(control, Switch):
            mover.value = not mover.value
        else:
            mover.value = next(option for option in reversed(control.options) if option != mover.value)
        assert instrument._panel.drawing.html != before, control.name


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("system", ["us", "si"])
def test_sliders_stop_at_whole_steps_and_reach_both_ends(name, system):
    for control in getattr(instruments, name).controls:
        if isinstance(control, Slider):
            low, high, step = control.travel(system)
            ends = [control.in_unit(value, system) for value in control.limits]
            assert low <= ends[0] + 1e-9
            assert high >= ends[1] - 1e-9
            assert (high - low) / step == pytest.approx(round((high - low) / step), abs=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_the_still_part_is_made_once(name, monkeypatch):
    kind, made = getattr(instruments, name), []
    still = kind.face
    monkeypatch.setattr(kind, "face", lambda self: made.append(1) or still(self))
    instrument = make(name)
    for control in kind.controls:
        if isinstance(control, Slider):
            instrument.set(**{control.name: control.lowest + 0.6 * (control.highest - control.lowest)})
            instrument.picture()
    assert len(made) == 1


def test_nothing_heavy_is_loaded_for_a_picture():
    program = (
        "import sys; from coldcab import instruments\n"
        f"for name in {NAMES!r}: getattr(instruments, name)().picture()\n"
        "print([m for m in ('matplotlib', 'ipywidgets', 'CoolProp', 'IPython') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


# The pump ----------------------------------------------------------------------------------------------------


def test_pump_shows_the_series():
    """Against the room's own series at its usual, a hundred times finer tolerance: 0.5 % for what is drawn."""
    pump = make("pump_down", minutes=25, water=2, temperature=80, cores=False)
    series = evacuation(
        CIRCUIT_VOLUME,
        pump_speed=3.0 * 0.3048**3 / 60,
        ultimate_pressure=PUMP_ULTIMATE,
        hose_length=1.83,
        hose_diameter=3 / 16 * 0.0254,
        water=2e-3,
        temperature=(80 + 459.67) / 1.8,
        duration=25 * 60.0,
        samples=26,
    )
    assert pump.readings["pressure"] == pytest.approx(series.pressure[-1], rel=5e-3)
    assert pump.readings["water_left"] == pytest.approx(series.water[-1], abs=1e-5)
    assert micron_words(pump.readings["pressure"]) in pump.description()


def test_a_vacuum_gauge_reads_less_at_altitude():
    low, high = (make("pump_down", minutes=60, water=0, altitude=feet) for feet in (0, 5000))
    assert low.readings["pressure"] == pytest.approx(high.readings["pressure"], rel=0.02)
    gap = air.atmospheric_pressure(0.0) - air.atmospheric_pressure(1524.0)
    assert low.readings["vacuum"] - high.readings["vacuum"] == pytest.approx(gap, rel=1e-3)
    assert "29.9 inHg vacuum" in low.description()
    assert "24.9 inHg vacuum" in high.description()


def test_water_holds_the_pressure_up_and_cores_cost_time():
    wet = make("pump_down", minutes=15, water=5)
    assert "holds the pressure up" in wet.reading_line()
    assert "gone after …" in wet.picture()  # what has not come yet is not told
    free, cored = (make("pump_down", cores=cores, water=5, rest=True) for cores in (False, True))
    assert free.readings["dry_after"] < cored.readings["dry_after"]
    wide = make("pump_down", cores=False, water=5, hose="3/8 in bore, 6 ft")
    assert wide.readings["dry_after"] < free.readings["dry_after"]
    warm = make("pump_down", cores=False, water=5, temperature=110)
    assert warm.readings["dry_after"] < free.readings["dry_after"]


def test_a_cold_machine_freezes_its_water():
    cold = make("pump_down", minutes=20, water=10, temperature=42, hose="none, pump at the port", cores=False, pump=10)
    assert cold.readings["ice"] > 0.02
    assert "frozen" in cold.reading_line()


def test_time_is_moved_without_a_new_pump_down(monkeypatch):
    pump, calls = make("pump_down"), []
    real = drying.shop_drying
    monkeypatch.setattr(drying, "shop_drying", lambda *a, **k: calls.append(1) or real(*a, **k))
    for minutes in (5, 20, 60):
        pump.set(minutes=minutes)
    assert not calls
    pump.set(water=1.0)
    assert len(calls) == 1


# The rise test -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("machine", "minutes", "says"),
    [
        ("record 1", 20, rise_test.LEAK),
        ("record 2", 20, rise_test.MOISTURE),
        ("record 3", 20, rise_test.TIGHT),
        ("record 4", 25, rise_test.BOTH),
        ("record 5", 10, rise_test.CANNOT_TELL),  # cold and slow: watched too briefly
        ("record 5", 60, rise_test.MOISTURE),
        ("record 6", 60, rise_test.LEAK),
    ],
)
def test_records(machine, minutes, says):
    rise = make("rise_test", machine=machine, minutes=minutes)
    assert rise.readings["verdict"].verdict == says
    if says != rise_test.TIGHT:
        assert f"says: {says}" not in rise.description()  # not before it is asked for
    rise.set(judged=True)
    assert f"The fit says: {says}." in rise.description()
    inside = RECORDS[machine]  # what was put in
    if says == rise_test.LEAK:
        assert inside.water == 0.0
        assert inside.leak > 0.0
    elif says == rise_test.MOISTURE:
        assert inside.leak == 0.0
        assert inside.water > 0.0


def test_the_line_gives_the_leak_that_was_set():
    rise = make("rise_test", leak=12.0, judged=True)
    # 12 oz a year were put in; ten micron of scatter in thousands: 5 %.
    found = re.search(r"The line makes ([\d.]+) oz/year", rise.description())
    assert float(found[1]) == pytest.approx(12.0, rel=0.05)


def test_levers_are_hidden_for_a_record():
    rise = make("rise_test", machine="record 2")
    assert [control.name for control in rise.controls if rise.in_use(control)] == ["machine", "minutes", "judged"]


def test_same_record_same_readings():
    one, other = (make("rise_test", machine="record 4").watched[1] for _ in range(2))
    assert np.array_equal(one, other)
    assert one / (10 * MICRON) == pytest.approx(np.round(one / (10 * MICRON)))  # the gauge's last digit


# Nitrogen ----------------------------------------------------------------------------------------------------


def test_the_cold_alone_is_no_leak():
    # N2c: 150 psig at 70 F is 145.336 psig at 55 F (ideal gas); read to a tenth here.
    test = make("nitrogen_test", start=150, before=70, now=55, division=0.1)
    assert test.readings["expected"] / PSI == pytest.approx(145.336, abs=1e-3)
    assert test.readings["shown"] / PSI == pytest.approx(145.3, abs=1e-6)
    assert test.readings["test"].verdict == leak_test.TIGHT
    assert "145.3 psig now" in test.reading_line()


def test_a_leak_is_told_with_its_size():
    test = make("nitrogen_test", leak=40.0, now=60)
    assert test.readings["test"].verdict == leak_test.LEAKING
    mass = re.search(r"a leak: ([\d.]+) oz/year", test.reading_line())
    # 40 oz a year at the start's pressure; a psi is read, of some five lost, and the leak shrinks with the pressure.
    assert float(mass[1]) == pytest.approx(40.0, rel=0.2)


def test_a_small_leak_hides_until_gauge_or_time_improve():
    small = {"leak": 3.0, "now": 90}
    assert make("nitrogen_test", **small).readings["test"].verdict == leak_test.TIGHT
    assert make("nitrogen_test", hours=48, thermometer=0.5, division=0.2, **small).readings["test"].verdict == (
        leak_test.LEAKING
    )
    coarse, fine = (make("nitrogen_test", division=step).readings["smallest"] for step in (5.0, 1.0))
    assert coarse > fine


def test_the_needles_stand_where_the_gauge_says():
    test = make("nitrogen_test", now=60, leak=40.0)
    dial = test.dial
    turned = [float(angle) for angle in re.findall(r'transform="rotate\(([-\d.]+) ', test.picture())]
    assert turned[0] == pytest.approx(dial.angle(test.readings["expected"]), abs=0.01)
    assert turned[1] == pytest.approx(dial.angle(test.readings["shown"]), abs=0.01)


# The plot ----------------------------------------------------------------------------------------------------


def test_plot_places_readings():
    plot = time_plot.TimePlot(100.0, 50.0, 400.0, 300.0, 60.0, 10.0, 1e5, logarithmic=True)
    assert plot.place(30.0, 1e3) == pytest.approx((300.0, 200.0))  # half way in time and in powers of ten
    assert plot.place(90.0, 1e9) == (500.0, 50.0)  # at the edge
    even = time_plot.TimePlot(0.0, 0.0, 10.0, 10.0, 1.0, 0.0, 10.0)
    assert even.up(2.5) == pytest.approx(7.5)
    assert [time_plot.round_top(value) for value in (0.9, 3.0, 5.0, 51.0, 700.0)] == [1.0, 5.0, 5.0, 100.0, 1000.0]


def test_micron_words():
    # 133.322 Pa is a torr, 1000 micron, by definition.
    assert micron_words(133.322387415) == "1,000 micron"
    assert micron_words(66.66) == "500 micron"
    assert micron_words(1234.5) == "9,260 micron"
    assert units.parse(micron_words(1234.5), "pressure").value == pytest.approx(1234.5, rel=5e-3)
