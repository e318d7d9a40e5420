"""Motion: a machine while time goes, and the button that plays."""

from __future__ import annotations

import numpy as np
import pytest

from coldcab.instruments import playing
from coldcab.instruments.machine_view import MACHINES
from coldcab.instruments.over_time import CYCLING, LENGTH, PULL_DOWN, SOAK, STOPPED, TIME
from coldcab.machine.transients import pull_down
from drawings import assert_text_stays_on_the_sheet, assert_well_drawn, make

PLAYED = ("over_time", "pump_down", "rise_test", "charging_bench", "container")


@pytest.fixture(scope="module")
def scenes():
    return {watch: make("over_time", watch=watch) for watch in LENGTH}


@pytest.mark.parametrize("watch", LENGTH)
def test_each_is_drawn_and_said(scenes, watch):
    one = scenes[watch]
    for share in (0.0, 0.3, 1.0):
        control = next(control for control in one.controls if control.name == TIME[watch])
        one.set(**{TIME[watch]: control.lowest + share * (control.highest - control.lowest)})
        assert_well_drawn(one)
        assert_text_stays_on_the_sheet(one)
        assert one.fault == ""
        assert one.readings["time"] == pytest.approx(share * LENGTH[watch], abs=1.0)


def test_it_shows_what_the_room_of_transients_says(scenes):
    one = scenes[PULL_DOWN].set(cooling=12.5)
    run = pull_down(
        MACHINES[one.settings["machine"]],
        one.conditions,
        refrigerant="R-134a",
        charge=one.right_charge,
        soak=SOAK,
        duration=LENGTH[PULL_DOWN],
    )
    assert one.readings["cab"] == pytest.approx(run.at(750.0), abs=1e-6)
    assert one.set(cooling=0).readings["cab"] == pytest.approx(SOAK, abs=1e-6)


def test_clutch_and_gauges_swing_together(scenes):
    one = scenes[CYCLING]
    head = {True: [], False: []}
    for second in range(30, 120):
        readings = one.set(cycling=second).readings
        head[readings["engaged"] > 0.5].append(readings["high_gauge"])
    assert np.mean(head[True]) > np.mean(head[False])  # only an engaged compressor keeps the head up


def test_after_the_stop_the_sides_come_together(scenes):
    one = scenes[STOPPED]
    apart = [
        one.set(standing=minutes).readings["high_gauge"] - one.readings["low_gauge"] for minutes in (0, 1, 5, 15, 30)
    ]
    assert apart == sorted(apart, reverse=True)
    assert apart[-1] < 0.2 * apart[0]
    assert "have come together" in one.reading_line()
    assert "apart" in one.set(standing=1).reading_line()  # nobody is told beforehand when that is


@pytest.mark.parametrize("name", PLAYED)
def test_play_goes_from_one_end_to_the_other(name, monkeypatch):
    """The clock is the test's own; each step is a move of the slider, as a hand's."""
    one = make(name)
    one.widget  # noqa: B018 - builds it
    player, now = one._panel.player, [0.0]
    slider, seconds = player._find()
    monkeypatch.setattr(playing.time, "monotonic", lambda: now[0])
    begin, end = (slider.min, slider.max) if seconds > 0 else (slider.max, slider.min)
    slider.value = end
    player.play()  # no page behind it: it does not go on by itself
    assert not player.plays
    seen = []
    for part in (0.25, 0.5, 1.01):
        now[0] = part * abs(seconds)
        player.step()
        seen.append(slider.value)
        assert one._panel.drawing.html == one.html()
    assert seen[-1] == end
    assert seen == sorted(seen, reverse=seconds < 0)
    assert abs(seen[1] - 0.5 * (begin + end)) <= slider.step


def test_while_a_hand_moves_the_rest_waits():
    """In two steps: at first the gauges alone; when the hand rests, what takes long."""
    bench = make("charging_bench", ambient=90)
    bench.resting = False
    bench.set(ambient=85)
    assert "the curve follows" in bench.html()
    bench.come_to_rest()
    assert "the curve follows" not in bench.html()
    assert bench.html() == make("charging_bench", ambient=85).html()
    for name, lever in (("pump_down", {"water": 5.0}), ("rise_test", {"water": 1.0})):
        one = make(name)
        one.resting = False
        one.set(**lever)
        one.come_to_rest()
        assert one.html() == make(name, **lever).html()
