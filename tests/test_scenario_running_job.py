"""The running job: a choice for gas, oil, water or metal shows in later readings, in the bill and on paper."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab.machine import nominal_charge
from coldcab.machine.fleet import FLEET as MACHINES
from coldcab.scenario import FLEET
from coldcab.scenario.running_job import facts
from coldcab.scenario.running_job.facts import JobError, bill
from coldcab.scenario.running_job.record import follow, order_of_ways, owners_copy, readings_now, record
from coldcab.scenario.running_job.steps import CAUTIONS, STEPS
from coldcab.scenario.running_job.way import is_sound

NUMBERS = [unit.number for unit in FLEET]
JOBS = [facts.job(number) for number in NUMBERS]
CLEAN_CONVERSION, METAL_CONVERSION = facts.job(7), facts.job(12)
PARALLEL_WITH_METAL, KEEPS_ITS_GAS = facts.job(26), facts.job(58)


def lead(one, **wrong):
    """The whole job in sound ways, but for the ways named by step."""
    path, unused = (), dict(wrong)
    while (progress := follow(one, path)).next:
        ways, name = progress.next.ways, progress.next.name
        sound = next((number for number, way in enumerate(ways) if is_sound(way, one, progress.state)), 0)
        path += (unused.pop(name.replace(" ", "_"), sound),)
    assert not unused, f"never asked: {unused}"
    return progress


def came(progress, step):
    return next(line.came for line in record(progress) if line.step == step)


def ways_of(step):
    return [number for number, _way in enumerate(step.ways)]


# Sound work ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("one", JOBS, ids=lambda one: one.unit.machine)
def test_sound_work_leaves_a_machine_like_the_healthy_one(one):
    """Right weight, the data sheet's oil, no leak, no air, no water; today and next summer as the healthy machine."""
    progress = lead(one)
    state = progress.state
    assert state.oil == pytest.approx(one.oil, abs=1e-9)
    assert state.charge == pytest.approx(nominal_charge(MACHINES[one.unit.number], one.refrigerant))
    assert (state.leaks, state.air, state.wet, state.vented, state.fell) == (0.0, 0.0, False, 0.0, False)
    now, healthy = readings_now(progress)
    assert now.vent == pytest.approx(healthy.vent, abs=0.7)
    assert not facts.comes_back(one, state)
    assert bill(state).shop == pytest.approx(0.0)
    # After an unsound hunt the repair cannot be sound; led soundly from the first step every line is.
    assert all(line.sound for line in record(progress))
    assert "repaired and was tested" in " ".join(owners_copy(progress))


def test_each_job_asks_one_sound_way_at_each_step():
    for one in JOBS:
        for done in lead(one).done:
            sound = [is_sound(way, one, done.before) for way in done.step.ways]
            assert sum(sound) == 1, (one.unit.name, done.step.name)


def test_the_fleet_holds_every_kind_of_job():
    assert {one.condenser for one in JOBS} == {facts.SERPENTINE, facts.FEW_PATHS, facts.PARALLEL}
    assert {(one.condenser == facts.PARALLEL, one.debris) for one in JOBS} == {
        (True, True), (True, False), (False, True), (False, False),
    }  # fmt: skip
    assert {one.block for one in JOBS} == {True, False}
    assert {one.refrigerant for one in JOBS} == {"R-134a", "R-1234yf"}
    assert {one.debris for one in JOBS if one.block} == {True, False}


# Parts, by the trade's rule: many paths side by side cannot be flushed of metal ---------------------------------------


@pytest.mark.parametrize(
    ("number", "sound"),
    [
        (26, "replace it"),  # metal, parallel-flow, conversion
        (52, "replace it"),  # metal, parallel-flow, keeps R-1234yf
        (12, "flush it"),  # metal, serpentine
        (31, "flush it"),  # metal, few paths
        (44, "flush it"),  # no metal, parallel-flow, conversion: the old oil must come out
        (7, "flush it"),  # no metal, conversion
        (58, "keep it"),  # no metal, keeps its refrigerant
    ],
)
def test_the_condenser_follows_metal_and_paths(number, sound):
    one = facts.job(number)
    done = next(done for done in lead(one).done if done.step.name == "the condenser")
    (way,) = (way for way in done.step.ways if is_sound(way, one, done.before))
    assert way.words.startswith(sound)


# Choices carry on --------------------------------------------------------------------------------------------------


def test_a_leak_nobody_looked_for_is_found_by_the_nitrogen_and_costs_a_second_night():
    one = CLEAN_CONVERSION
    skipped, sound = lead(one, the_leak=3), lead(one)
    assert [done.step.name for done in skipped.done].count("the fall") == 1
    assert "the fall" not in [done.step.name for done in sound.done]
    assert skipped.state.leaks == 0.0
    assert bill(skipped.state).owner > bill(sound.state).owner + 100.0
    assert "pressure test had to find" in came(skipped, "the leak")


def test_a_leak_neither_looked_for_nor_tested_leaves_with_the_machine():
    """120 to 420 g in a year, by the job's own number: the charge next summer is short by just that."""
    one = CLEAN_CONVERSION
    progress = lead(one, the_leak=3, the_repair=2, the_pressure_test=1)
    assert progress.state.leaks == one.grams_a_year
    left = facts.charge_after(progress.state, 12.0)
    assert left == pytest.approx(progress.state.charge - 1e-3 * one.grams_a_year)
    assert "still leaks" in " ".join(owners_copy(progress))


def test_the_oily_place_is_repaired_and_the_leak_stays():
    progress = lead(METAL_CONVERSION, the_leak=1, the_repair=0, the_pressure_test=1)
    assert progress.state.repaired == METAL_CONVERSION.oily
    assert progress.state.leaks == METAL_CONVERSION.grams_a_year
    assert "did not leak" in came(progress, "the repair")
    assert "We do not know where" in " ".join(owners_copy(progress))


def test_oil_of_the_data_sheet_on_top_is_the_whole_sheet_too_much_but_for_what_left():
    """Conservation: inside is what stayed, what the new compressor brought, and the sheet."""
    one = METAL_CONVERSION
    progress = lead(one, the_oil=1)
    stayed = facts.ON_THE_WALLS
    assert progress.state.oil == pytest.approx(stayed + one.brought + one.oil, abs=1e-9)
    assert facts.as_left(one, progress.state).vent > facts.right_as_left(one).vent + 1.0
    assert f"{progress.state.oil:.1f} fl oz" in came(progress, "the oil")


def test_a_flush_that_was_skipped_makes_the_right_amount_of_oil_wrong():
    """With the old oil still in hoses and evaporator the books come out right, and the mineral oil stays."""
    one = CLEAN_CONVERSION
    progress = lead(one, hoses_and_evaporator=3)
    assert progress.state.oil == pytest.approx(one.oil)
    assert facts.old_oil_share(one, progress.state) > facts.MISCIBLE_LIMIT
    assert facts.comes_back(one, progress.state)
    # On a machine that keeps its refrigerant and its oil the same choice is right.
    assert not facts.comes_back(KEEPS_ITS_GAS, lead(KEEPS_ITS_GAS, hoses_and_evaporator=3).state)


def test_metal_flushed_through_many_paths_comes_back_and_metal_flushed_through_one_does_not():
    many = lead(PARALLEL_WITH_METAL, the_condenser=1).state
    one = lead(METAL_CONVERSION, the_condenser=1).state
    assert many.debris > 5 * one.debris
    assert "clogged ones kept" in came(lead(PARALLEL_WITH_METAL, the_condenser=1), "the condenser")


def test_a_soaked_drier_costs_two_hours_at_the_pump_or_freezes_next_summer():
    one = CLEAN_CONVERSION
    kept_and_measured, kept_by_the_clock = lead(one, drier_and_valve=1), lead(one, drier_and_valve=1, the_vacuum=1)
    assert kept_and_measured.state.minutes == pytest.approx(lead(one).state.minutes + 120.0 - 5.0)
    assert not kept_and_measured.state.wet
    assert kept_by_the_clock.state.wet
    assert facts.next_summer(one, kept_by_the_clock.state).vent > facts.right_next_summer(one).vent
    assert "freezes" in came(kept_by_the_clock, "drier and valve")


def test_the_old_weight_shows_at_a_good_check_and_leaves_with_a_bad_one():
    one = CLEAN_CONVERSION
    checked, handed_over = lead(one, the_charge=1), lead(one, the_charge=1, acceptance=1)
    assert checked.state.charge == pytest.approx(one.charge)
    assert bill(checked.state).shop > 100.0
    assert handed_over.state.charge == pytest.approx(one.unit.charge)  # pound for pound the R-12 of the sheet
    assert handed_over.state.charge > one.charge
    hot = facts.next_summer(one, handed_over.state).high_gauge
    assert hot > facts.right_next_summer(one).high_gauge
    assert "too much" in came(handed_over, "the charge")


def test_air_that_was_left_inside_lifts_the_head():
    """Air in the circuit adds its own pressure in the condenser (Dalton)."""
    one = KEEPS_ITS_GAS
    progress = lead(one, the_vacuum=3, acceptance=1)
    air = 1.2 * MACHINES[one.unit.number].volume * facts.LEFT_BY_PURGING
    assert progress.state.air == pytest.approx(air)
    assert facts.as_left(one, progress.state).high_gauge > facts.right_as_left(one).high_gauge + 50e3


def test_a_compressor_in_a_vacuum_is_scored_and_shows_at_once():
    one = KEEPS_ITS_GAS
    handed_over = lead(one, the_vacuum=2, acceptance=1)
    assert handed_over.state.hurt
    now, healthy = readings_now(handed_over)
    assert now.low_gauge > healthy.low_gauge + 50e3  # it pumps less: the two sides come together
    assert now.high_gauge < healthy.high_gauge - 50e3
    checked = lead(one, the_vacuum=2)
    assert not checked.state.hurt
    assert bill(checked.state).shop > facts.PRICES["compressor"]


def test_a_can_on_top_of_r12_makes_a_mixture_that_somebody_pays_for():
    mixture, same = lead(CLEAN_CONVERSION, complaint=2), lead(KEEPS_ITS_GAS, complaint=2)
    assert mixture.state.mixed
    assert not same.state.mixed
    assert bill(mixture.state).shop == pytest.approx(facts.PRICES["an unknown cylinder"])


def test_a_can_of_r134a_on_top_of_r1234yf_is_a_mixture_as_well():
    mixture = lead(facts.job(52), complaint=2)
    assert mixture.state.mixed
    assert "R-134a on top of R-1234yf" in record(mixture)[0].came


@pytest.mark.parametrize(("way", "share"), [(0, 0.0), (1, 0.12), (2, 0.0), (3, 1.0)])
def test_what_is_not_recovered_is_in_the_air_and_on_the_owners_copy(way, share):
    one = KEEPS_ITS_GAS
    progress = lead(one, recovery=way)
    assert progress.state.vented == pytest.approx(share * one.left * one.unit.charge)
    assert ("went into the air" in " ".join(owners_copy(progress))) == (share > 0.0)


def test_a_round_price_leaves_the_rest_with_the_shop():
    sound, round_price = lead(METAL_CONVERSION), lead(METAL_CONVERSION, the_quote=1)
    assert bill(round_price.state).owner == facts.ROUND_PRICE
    worth = facts.worth(round_price.state)
    assert bill(round_price.state).shop == pytest.approx(worth - facts.ROUND_PRICE)
    assert bill(sound.state).owner > facts.ROUND_PRICE


# Any way through ---------------------------------------------------------------------------------------------------


@st.composite
def led(draw):
    """A job led in any way to its end."""
    one, path = draw(st.sampled_from(JOBS)), ()
    while (progress := follow(one, path)).next:
        path += (draw(st.sampled_from(ways_of(progress.next))),)
    return progress, path


@given(led())
@settings(max_examples=40, deadline=None)
def test_any_way_through_ends_with_sane_amounts_and_whole_sentences(given_job):
    progress, path = given_job
    one, state = progress.job, progress.state
    assert 14 <= len(path) <= len(STEPS)
    assert min(state.old_oil, state.new_oil, state.leaks, state.debris, state.vented, state.air) >= 0.0
    assert state.old_oil <= one.oil
    assert state.debris <= 1.0
    assert state.minutes > 0.0
    # Money is conserved: what the owner does not pay for the work, the shop bears.
    paid = bill(state)
    assert paid.owner + paid.shop == pytest.approx(
        facts.worth(state) + state.shop_minutes / 60.0 * facts.LABOR + state.shop_dollars
    )
    lines = record(progress)
    assert len(lines) == len(path)
    assert all(line.came.endswith(".") and line.done for line in lines)
    assert all(sentence.endswith(".") for sentence in owners_copy(progress))


@given(led(), st.data())
@settings(max_examples=30, deadline=None)
def test_undoing_is_the_same_as_not_having_done(given_job, data):
    progress, path = given_job
    cut = data.draw(st.integers(0, len(path)))
    assert follow(progress.job, path[:cut]).done == progress.done[:cut]


@given(st.floats(0.0, 400.0), st.floats(0.0, 24.0), st.floats(0.0, 12.0))
def test_a_leak_takes_more_with_time(grams, months, more):
    state = facts.State(1.0, leaks=grams, charge=1.0)
    assert facts.charge_after(state, months + more) <= facts.charge_after(state, months) <= 1.0


def test_the_ways_stand_in_another_order_on_each_machine():
    orders = {tuple(order_of_ways(one, step) for step in STEPS) for one in JOBS}
    assert len(orders) == len(JOBS)
    assert all(sorted(order_of_ways(JOBS[0], step)) == ways_of(step) for step in STEPS)


def test_every_step_that_can_hurt_says_so():
    assert "destroyed" in CAUTIONS["the vacuum"]
    assert "exhaust" in CAUTIONS["complaint"]
    assert "implements" in CAUTIONS["complaint"]
    assert "24 V" in CAUTIONS["the condenser"]
    assert "burns" in CAUTIONS["recovery"]
    assert set(CAUTIONS) <= {step.name for step in STEPS}


@pytest.mark.parametrize(
    ("act", "says"),
    [
        (lambda: facts.job(99), "no Unit 99"),
        (lambda: follow(JOBS[0], (3,)), "no way 4"),
        (lambda: follow(JOBS[0], (*(0,) * 15, 0, 0)), "over after"),
    ],
)
def test_what_cannot_be_done_is_said(act, says):
    with pytest.raises(JobError, match=says):
        act()
