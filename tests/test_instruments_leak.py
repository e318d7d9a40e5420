"""The leak bench as an instrument: it draws every hunt, adds up, hides the leaks until they are asked for."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab.scenario import leak_hunt
from coldcab.scenario.leak_hunt import ACTIONS
from drawings import assert_text_stays_on_the_sheet, assert_well_drawn, make


def bench(**given_):
    return make("leak_bench", **given_)


@settings(max_examples=30, deadline=None)
@given(
    st.sampled_from([str(number) for number in range(1, 41)]),
    st.permutations(list(ACTIONS)),
    st.integers(0, 12),
    st.sampled_from(["us", "si"]),
    st.booleans(),
)
def test_draws_every_hunt_and_adds_up(machine, order, many, system, reveal):
    one = bench(machine=machine, measure=", ".join(order[:many]) or None, system=system, reveal=reveal)
    assert_well_drawn(one)
    assert_text_stays_on_the_sheet(one)
    assert one.readings["minutes"] == sum(ACTIONS[name].minutes for name in one.path)
    assert one.readings["dollars"] == sum(ACTIONS[name].dollars for name in one.path)


def test_the_leaks_are_hidden_until_asked_for():
    for number in range(1, 41):
        one = bench(machine=str(number))
        assert one.readings["leaks"] == ()
        assert "It leaks at" not in one.description()
        one.set(reveal=True)
        assert one.readings["leaks"] == leak_hunt.machine(number).leaks
        assert "It leaks at" in one.description()


def test_the_same_again_costs_nothing_unless_something_changed():
    number = next(n for n in range(1, 41) if leak_hunt.machine(n).ppm > 50 and leak_hunt.machine(n).pressure)
    one = bench(machine=str(number), measure="detector")
    control = next(each for each in one.controls if each.name == "measure")
    assert not one.accept(control, "detector (12 min)")
    assert "nothing has changed" in one.reading_line()
    assert one.readings["minutes"] == 12
    one.set(measure="air the bay")
    assert one.accept(control, "detector (12 min)")
    assert one.readings["minutes"] == 34


def test_another_machine_starts_anew():
    one = bench(measure="look for oil, detector")
    one.set(machine="2")
    assert one.path == ()


def test_what_it_says_of_an_empty_circuit():
    number = next(n for n in range(1, 41) if not leak_hunt.machine(n).pressure)
    one = bench(machine=str(number), measure="soap everywhere")
    assert "nothing was tested" in one.description()
    assert "gauge stands at zero" in one.description()


@pytest.mark.parametrize("name", list(ACTIONS))
def test_every_action_reports_in_a_sentence(name):
    one = bench(measure=name)
    report = one.readings["hunt"].steps[-1][1]
    assert report.words.endswith(".")
