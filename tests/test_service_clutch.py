"""The clutch: copper, Ohm and Kirchhoff, pull, fuse, what to replace."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import published
from coldcab.service import clutch, controls
from coldcab.service.checks import ServiceError

CIRCUIT = clutch.Circuit()


def copper(source: str) -> list[tuple[str, float, float]]:
    """Rows of published/copper_resistance.csv: quantity, at, value."""
    rows = published.rows("copper_resistance")
    return [(r["quantity"], float(r["at"] or "nan"), float(r["value"])) for r in rows if r["source"] == source]


# Copper ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("celsius", "factor"), [(at, value) for _, at, value in copper("B")])
def test_copper_against_a_printed_table(celsius, factor):
    """copper_resistance.csv, source B: three decimals printed, so 0.0005, and as much for its own rounding of 25 C."""
    cold, hot = clutch.coil_resistance(np.array([298.15, celsius + 273.15]), resistance_at_20=1.0)
    assert hot / cold == pytest.approx(factor, abs=0.001)


def test_slope_of_copper():
    """IEC 60028:1925 and copper_resistance.csv, source A: 0.00393 per K at 20 C, three digits printed: 0.000005."""
    (_, _, zero), (_, at, slope) = copper("A")
    assert pytest.approx(zero + 273.15) == clutch.COPPER_ZERO
    warm = clutch.coil_resistance(at + 274.15, resistance_at_20=1.0)
    assert warm - 1.0 == pytest.approx(slope, abs=5e-6)


@settings(max_examples=60, deadline=None)
@given(st.floats(*clutch.TEMPERATURE.ends), st.floats(0.5, 50.0))
def test_coil_is_its_own_thermometer(temperature, cold):
    """There and back; hotter copper always has more ohms."""
    # A hair inside, so that rounding does not leave the range on the way back.
    temperature = min(max(temperature, clutch.TEMPERATURE.low + 1e-6), clutch.TEMPERATURE.high - 1e-6)
    resistance = clutch.coil_resistance(temperature, resistance_at_20=cold)
    assert clutch.coil_temperature(resistance, resistance_at_20=cold) == pytest.approx(temperature)
    cooler = clutch.coil_resistance(clutch.TEMPERATURE.low, resistance_at_20=cold)
    assert cooler < resistance


# Pull -----------------------------------------------------------------------------------------------------------------


def test_magnetic_pull_by_a_worked_example():
    """copper_resistance.csv, source C: 0.84 T on 2 cm by 3 cm pulls with 168 N, printed to three digits: 0.5 N."""
    ((_, density, force),) = copper("C")
    assert clutch.magnetic_pull(density, 6e-4) == pytest.approx(force, abs=0.5)


def test_pull_far_from_saturation_is_the_textbook_formula():
    """F = mu0 A (N I / gap)^2 for two faces in series, the path's air as one gap; 0.1 %: saturation begins."""
    coil = clutch.Coil()
    gap, current = 2e-3, 1.0
    path = 2 * gap + coil.iron_gap
    ideal = clutch.PERMEABILITY * coil.pole_area * (coil.turns * current / path) ** 2
    assert coil.pull(current, gap) == pytest.approx(ideal, rel=1e-3)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.1, 8.0), st.floats(0.0, 2e-3), st.floats(0.05, 1.0), st.floats(1e-5, 5e-4))
def test_pull_grows_with_current_and_falls_with_the_gap(current, gap, more, wider):
    coil = clutch.Coil()
    here = coil.pull(current, gap)
    assert here <= coil.pull(current + more, gap)
    assert here >= coil.pull(current, gap + wider)
    # Never more than saturated faces can give.
    assert here <= 2.0 * clutch.magnetic_pull(coil.saturation, coil.pole_area)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.0, 2e-3))
def test_pull_in_is_where_the_spring_is_beaten(gap):
    coil = clutch.Coil()
    current = coil.pull_in_current(gap)
    assert coil.pull(current, gap) == pytest.approx(coil.spring)


def test_a_coil_too_weak_for_its_spring_never_pulls_in():
    weak = clutch.Coil(spring=1e5)
    assert weak.pull_in_current(0.5e-3) == math.inf
    state = clutch.Circuit(coil=weak).state(source=12.6)
    assert clutch.Circuit(coil=weak).engages(state, 0.5e-3) is False


def test_wide_gap_engages_cold_and_fails_hot():
    """The signature of a worn clutch: it drops out when everything is hot."""
    gap = 1.2e-3
    cold = CIRCUIT.state(source=12.6, coil_temperature=293.15)
    hot = CIRCUIT.state(source=12.0, coil_temperature=393.15)
    assert CIRCUIT.engages(cold, gap)
    assert not CIRCUIT.engages(hot, gap)
    assert CIRCUIT.engages(hot, clutch.USUAL_GAP[1])


# The circuit ----------------------------------------------------------------------------------------------------------


def test_default_coil_is_as_shop_pages_say():
    """Public shop pages (read): a clutch coil has 2 to 5 ohm; with its wiring it draws 12.6 V over the sum."""
    assert 2.0 <= CIRCUIT.coil.resistance <= 5.0
    state = CIRCUIT.state(source=12.6)
    total = CIRCUIT.coil.resistance + sum(link.resistance for link in CIRCUIT.links)
    assert state.current == pytest.approx(12.6 / total)


added = st.dictionaries(st.sampled_from([link.name for link in clutch.LINKS]), st.floats(0.0, 20.0))


@settings(max_examples=120, deadline=None)
@given(st.floats(6.0, 30.0), st.floats(*clutch.TEMPERATURE.ends), added, st.floats(0.05, 1.0))
def test_kirchhoff_and_ohm(source, temperature, extra, share):
    """All drops and the coil's voltage make the source; each is its resistance times the one current."""
    state = CIRCUIT.state(source=source, coil_temperature=temperature, added=extra, coil_share=share)
    assert state.feed_drop + state.coil_voltage + state.ground_drop == pytest.approx(source)
    for one in state.drops:
        resistance = one.link.resistance + extra.get(one.link.name, 0.0)
        assert one.drop == pytest.approx(state.current * resistance)
        assert one.before - one.after == pytest.approx(one.drop)
    assert state.drops[0].before == source
    assert state.drops[-1].after == pytest.approx(0.0, abs=1e-9 * source)
    assert state.coil_heat == pytest.approx(state.coil_voltage**2 / state.coil_resistance)
    # A growing resistance anywhere takes current and coil voltage.
    grown = extra | {"ground strap": extra.get("ground strap", 0.0) + 1.0}
    more = CIRCUIT.state(source=source, coil_temperature=temperature, added=grown, coil_share=share)
    assert more.current < state.current
    assert more.coil_voltage < state.coil_voltage


def test_a_bad_ground_shows_under_load_only():
    """1 ohm in the ground strap: by hand 12.6 V x (1.01 + 0.015) / (3.68 + 1), and nothing without current."""
    state = CIRCUIT.state(source=12.6, added={"ground strap": 1.0})
    total = 3.6 + sum(link.resistance for link in clutch.LINKS) + 1.0
    assert state.ground_drop == pytest.approx(12.6 * 1.025 / total)
    assert state.worst.link.name == "ground strap"
    unloaded = CIRCUIT.state(source=12.6, added={"ground strap": 1.0}, opened=["clutch connector"])
    assert unloaded.current == 0.0
    assert unloaded.ground_drop == 0.0


def test_sound_circuit_loses_little():
    state = CIRCUIT.state(source=12.6)
    assert state.feed_drop + state.ground_drop < clutch.MOST_IN_ALL


def test_an_open_link_carries_the_whole_source():
    state = CIRCUIT.state(source=12.6, opened=["clutch connector", "relay contacts"])
    drops = {one.link.name: one for one in state.drops}
    assert state.current == state.coil_voltage == 0.0
    assert drops["relay contacts"].drop == 12.6  # the first one on the way
    assert drops["clutch connector"].drop == 0.0
    assert drops["load fuse"].after == 12.6
    assert drops["feed wire"].before == 0.0


def test_circuit_takes_arrays():
    grown = np.linspace(0.0, 4.0, 9)
    state = CIRCUIT.state(source=12.6, added={"relay contacts": grown}, coil_temperature=363.15)
    assert state.current.shape == (9,)
    assert np.all(np.diff(state.coil_voltage) < 0.0)
    drop = next(one for one in state.drops if one.link.name == "relay contacts")
    assert np.all(np.diff(drop.drop) > 0.0)
    assert CIRCUIT.engages(state, 0.5e-3).dtype == bool


# Fuse, shorted turns --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("current", "answer"),
    [(0.0, "carries"), (11.0, "carries"), (12.0, "hours"), (19.0, "ten minutes"), (30.0, "seconds"), (90.0, "at once")],
)
def test_fuse(current, answer):
    """ISO 8820-3, from memory: 110, 135, 200 and 350 % of the rating."""
    assert answer in clutch.fuse_answer(current, 10.0)


def test_shorted_turns_draw_more():
    """Half the turns shorted: half the resistance, so nearly twice the current; a 5 A fuse notices."""
    sound, shorted = (CIRCUIT.state(source=13.8, coil_share=share).current for share in (1.0, 0.5))
    assert shorted == pytest.approx(13.8 / (1.8 + sum(link.resistance for link in clutch.LINKS)))
    assert clutch.fuse_answer(sound, 5.0) == "carries it"
    assert clutch.fuse_answer(shorted, 5.0) == "opens within ten minutes"


def test_shorted_turns_pull_less_though_more_current_flows():
    """Ampere-turns by hand: with half the turns the current is not quite doubled, for the wiring stays as it is."""
    gap = clutch.USUAL_GAP[0]
    sound, shorted = (CIRCUIT.state(source=13.8, coil_share=share) for share in (1.0, 0.5))
    assert shorted.current > 1.8 * sound.current
    assert shorted.pulling_current == pytest.approx(0.5 * shorted.current)
    assert CIRCUIT.coil.pull(shorted.pulling_current, gap) < CIRCUIT.coil.pull(sound.pulling_current, gap)
    dead = CIRCUIT.state(source=13.8, coil_share=0.02)
    assert not CIRCUIT.engages(dead, clutch.USUAL_GAP[1])


# What to replace ------------------------------------------------------------------------------------------------------

SOUND = {"source": 12.6, "coil_voltage": 12.2, "coil_resistance": 3.6, "turns_freely": True, "debris": False}


@pytest.mark.parametrize(
    ("changes", "replace", "words"),
    [
        ({}, controls.NEITHER, "nothing that was looked at"),
        ({"turns_freely": False, "faces_burnt": True}, controls.COMPRESSOR, "seized"),
        ({"debris": True, "coil_resistance": 0.9}, controls.COMPRESSOR, "metal"),
        ({"open_switch": "low-pressure switch"}, controls.NEITHER, "is doing its job"),
        ({"coil_voltage": 9.0}, controls.NEITHER, "3.6 V are lost"),
        ({"coil_resistance": 1.2}, controls.CLUTCH, "shorted"),
        ({"coil_resistance": math.inf}, controls.CLUTCH, "open"),
        ({"coil_resistance": 6.0}, controls.CLUTCH, "breaking"),
        ({"coil_resistance": 4.7, "coil_temperature": 373.15}, controls.NEITHER, "nothing"),
        ({"faces_burnt": True, "head_high": True}, controls.CLUTCH, "burnt"),
        ({"gap": 1.5e-3}, controls.CLUTCH, "gap"),
    ],
)
def test_decide(changes, replace, words):
    """The order that the curriculum of the shop teaches: compressor, a switch doing its job, circuit, coil, faces."""
    decision = controls.decide(controls.Findings(**{**SOUND, **changes}))
    assert decision.replace == replace
    assert words in " ".join(decision.reasons)
    assert decision.first
    assert decision.not_looked_at == ()


def test_decide_names_what_was_not_looked_at():
    decision = controls.decide(controls.Findings())
    assert decision.replace == controls.NEITHER
    assert len(decision.not_looked_at) == 4
    hot = controls.decide(controls.Findings(faces_burnt=True, head_high=True))
    assert "head down first" in hot.first


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: clutch.coil_resistance(20.0, resistance_at_20=3.6), "temperature -253.15 C"),
        (lambda: clutch.coil_resistance(300.0, resistance_at_20=0.0), "resistance at 20 0 ohm"),
        (lambda: clutch.coil_temperature(0.4, resistance_at_20=3.6), "shorted turns"),
        (lambda: CIRCUIT.state(source=120.0), "source 120 V"),
        (lambda: CIRCUIT.state(source=12.6, added={"relay": 1.0}), "no part 'relay'"),
        (lambda: CIRCUIT.state(source=12.6, added={"feed wire": -1.0}), "resistance added to feed wire"),
        (lambda: CIRCUIT.state(source=[12.0, 13.0], coil_temperature=[300.0] * 3), "do not fit together"),
        (lambda: clutch.fuse_answer(4.0, 0.0), "rating"),
        (lambda: clutch.Coil().pull("3 A", 0.5e-3), "bare number"),
        (lambda: clutch.Coil().pull(3.0, 0.5), "gap 500 mm"),
        (lambda: controls.decide(controls.Findings(open_switch="door")), "no switch 'door'"),
    ],
)
def test_bad_input_is_one_plain_sentence(call, words):
    with pytest.raises(ServiceError) as problem:
        call()
    said = str(problem.value)
    assert words in said
    assert said[-1] in ".?"
    assert "\n" not in said
