"""As left: readings judged together, with three verdicts, and what they could not have caught."""

from pathlib import Path

import numpy as np
import pytest

from coldcab import job
from coldcab.job import as_left, bands, model, page
from coldcab.job.as_left import ACCEPTED, HALF, NOT_ACCEPTED, NOT_ENOUGH
from coldcab.job.questions import MACHINES

JOBS = Path(__file__).parents[1] / "course" / "refresher" / "jobs"
PSI = 6894.757293168
FAST = "fast idle"
THREE = ((FAST, "low_gauge"), (FAST, "high_gauge"), (FAST, "vent"))


def to_solve(one):
    """The healthy and the sick machines of a job, and which faults those have."""
    draws = model.draw(one)
    sick = tuple(
        (name, severity)
        for name in bands.commonest(draws.machine, draws.refrigerant)
        for severity in (HALF, bands.SEVERE)
    )
    return (draws, bands.with_faults(bands.few(draws), sick)), sick


def as_read(well, ill, sick):
    """Those machines as they are read."""
    return bands.healthy_as_read(well), bands.faulty_as_read(ill, sick)


@pytest.fixture(scope="module")
def seal_leak():
    machines, sick = to_solve(job.read_job(JOBS / "seal-leak.toml"))
    healthy, faulty = as_read(*bands.run_all(machines), sick)
    return bands.bands_of(healthy), healthy, faulty


def judged(seal_leak, low, high, vent):
    values = dict(zip(THREE, (low * PSI, high * PSI, (vent + 459.67) / 1.8), strict=True))
    return as_left.judge_together(values, *seal_leak)


def test_three_readings_within_their_bands_are_not_enough(seal_leak):
    """They catch a low charge of half severity next to never, so nobody may call the work right by them."""
    found = judged(seal_leak, 28, 175, 58)
    assert found.verdict == NOT_ENOUGH
    assert "charge low" in found.missed
    assert found.more
    assert "liquid line" in found.words or "suction line" in found.words


def test_the_readings_asked_for_are_enough(seal_leak):
    limits, machines, sick = seal_leak
    by_place = {(band.speed, band.name): band for band in limits}
    places = [*THREE, *judged(seal_leak, 28, 175, 58).more]
    for name in ("charge low", "charge high"):
        assert as_left.found_share(by_place, machines, sick[name, HALF], places) >= as_left.FINDS


def test_a_high_head_with_a_low_side_to_match_is_no_clutch(seal_leak):
    found = judged(seal_leak, 48, 300, 60)
    assert found.verdict == NOT_ACCEPTED
    assert found.suspects
    assert not any("clutch" in name for name in found.suspects)
    assert found.suspects[0].startswith("condenser")


def test_an_empty_circuit_is_called_that(seal_leak):
    assert judged(seal_leak, 14, 130, 70).suspects[0] == "charge low"


def test_the_middle_of_every_band_is_accepted(seal_leak):
    limits = seal_leak[0]
    found = as_left.judge_together({(band.speed, band.name): band.expected for band in limits}, *seal_leak)
    assert found.verdict == ACCEPTED
    assert found.missed, "some faults hide from every reading, and that is said"


def test_readings_that_contradict_each_other_are_not_accepted_though_each_is_within(seal_leak):
    """Each at another end of its band: no healthy machine reads so."""
    ends = {}
    for number, band in enumerate(seal_leak[0]):
        inside = 0.02 * (band.high - band.low)
        ends[band.speed, band.name] = band.low + inside if number % 2 else band.high - inside
    found = as_left.judge_together(ends, *seal_leak)
    assert found.verdict == NOT_ACCEPTED
    assert "together" in found.words


def test_nothing_read_is_no_verdict(seal_leak):
    assert as_left.judge_together({}, *seal_leak) is None


def test_the_farthest_healthy_distance_is_that_of_the_table():
    """Chi-square, 99th percentile, by printed tables: 6.63 for 1, 15.09 for 5, 23.21 for 10 (from memory)."""
    assert [as_left.farthest(lines) for lines in (1, 5, 10)] == pytest.approx([6.63, 15.09, 23.21], rel=0.02)


def test_right_work_is_accepted_and_severe_faults_are_not():
    """Machines drawn apart from those of the bands, read with shop instruments, all lines taken."""
    right, caught, asked, sick = [], [], [], []
    for number in range(14):
        one = job.Job().having("machine.like", MACHINES[number % len(MACHINES)]).having("machine.charge", "2 lb 8 oz")
        truth = model.draw(one, 1, seed=70_000 + number)
        known, ill = to_solve(one)
        its = bands.commonest(truth.machine, truth.refrigerant)[number % 4]
        sick.append((ill, ((its, bands.SEVERE),)))
        asked += [*known, truth, bands.with_faults(truth, sick[-1][1])]
    runs = iter(bands.run_all(asked))
    for number, (ill, own) in enumerate(sick):
        machines, faulty = as_read(next(runs), next(runs), ill)
        known = bands.bands_of(machines), machines, faulty
        random = np.random.Generator(np.random.Philox([11, number]))
        read = {
            (speed, line): float(value[0])
            for speed, readings in next(runs).items()
            for line, value in bands.values_of(readings, random).items()
        }
        right.append(as_left.judge_together(read, *known).verdict != NOT_ACCEPTED)
        (seen,) = bands.faulty_as_read(next(runs), own).values()
        values = {place: float(value[0]) for place, value in seen.items()}
        caught.append(as_left.judge_together(values, *known).verdict == NOT_ACCEPTED)
    assert np.mean(right) >= 0.85
    assert np.mean(caught) >= 0.75


def test_the_page_says_verdict_and_what_could_not_be_caught():
    one = job.read_job(JOBS / "seal-leak.toml")
    for line, text in (("low_side", "28 psig"), ("high_side", "175 psig"), ("vent", "58 F")):
        one = one.having(f"as_left.fast_idle_{line}", text)
    made = job.plan(one)
    assert made.accepted is None
    assert "Not enough read" in page.html(made)
    assert "could not have caught" in page.html(made)
    assert made.as_data()["verdict"]["verdict"] == NOT_ENOUGH
