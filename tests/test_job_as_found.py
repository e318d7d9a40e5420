"""As found: readings give ranked causes, what to measure next, or no verdict; held-out machines, printed readings."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

import published_tables
from coldcab import job
from coldcab.faults import HEALTHY, catalogue, group, measurements, observables
from coldcab.faults.cases import joined
from coldcab.job import as_found, page, yard
from coldcab.machine import nominal_charge
from coldcab.machine.fleet import FLEET
from coldcab.machine.simulate import Batch, simulate_batches
from coldcab.service.acceptance import SPEEDS

DAY = {"weather.ambient": "95 F", "weather.humidity": "40 %", "weather.altitude": "500 ft"}
STARVED = {
    "found.fast_idle_low_side": "12 psig",
    "found.fast_idle_high_side": "150 psig",
    "found.glass": "foam",
}
TWELVE = (
    "low_gauge", "high_gauge", "low_gauge_other_speed", "high_gauge_other_speed", "vent", "return_air",
    "suction_line_at_evaporator", "liquid_line", "discharge_line", "condenser_air_in", "condenser_air_out", "glass",
)  # fmt: skip

WARM = ("high_gauge", "liquid_line", "discharge_line", "drier_in")


def having(**given: str) -> job.Job:
    return job_of(given)


def job_of(given: dict[str, str]) -> job.Job:
    one = job.Job()
    for key, text in given.items():
        one = one.having(key, text)
    return one


@cache
def starved() -> as_found.Finding:
    return as_found.finding(job_of(DAY | STARVED | {"machine.like": "combine"}))


def test_readings_at_two_speeds_are_one_and_a_change() -> None:
    one = job_of(STARVED | {"found.idle_low_side": "20 psig", "found.idle_high_side": "140 psig", "found.frost": "no"})
    speed, taken = as_found.readings(one)
    assert speed == "fast idle"
    assert set(taken) == {
        "low_gauge", "high_gauge", "low_gauge_other_speed", "high_gauge_other_speed", "glass", "coil_frost",
    }  # fmt: skip
    assert taken["low_gauge_other_speed"] == pytest.approx(8 * 6894.757, rel=1e-6)
    assert as_found.readings(job_of({"found.idle_low_side": "20 psig"}))[0] == "idle"


def test_a_starved_machine_is_short_of_gas_or_choked() -> None:
    found = starved()
    assert not found.blocked
    assert found.causes[0].names[0] == "charge low"
    assert sum(one.chance for one in found.causes) == pytest.approx(1.0)
    assert found.next[0].measurement.name == "other speed"


def test_what_fits_nothing_gets_no_verdict() -> None:
    """60 over 60 psig while the clutch turns: no machine with one fault shows that."""
    gauges = {f"found.{speed}_{side}_side": "60 psig" for speed in ("idle", "fast_idle") for side in ("low", "high")}
    found = as_found.finding(job_of(DAY | gauges))
    assert found.blocked
    assert not found.causes
    assert "measure again" in found.verdict
    assert "nothing is pumped" in found.verdict
    assert as_found.finding(job.Job()).blocked


def test_one_wrong_reading_is_named_and_the_rest_is_read_without_it() -> None:
    """A starved machine with the gauges at idle of one that stands: no verdict, and what it would be else."""
    wrong = {"found.idle_low_side": "60 psig", "found.idle_high_side": "60 psig"}
    found = as_found.finding(job_of(DAY | STARVED | wrong | {"machine.like": "combine"}))
    assert found.blocked
    assert not found.causes
    assert "first the gauges at both speeds" in found.verdict
    assert "charge low" in found.verdict.partition("Without that reading")[2]


def test_a_fan_that_follows_the_engine_otherwise_is_no_misfit() -> None:
    """The doubt of the head's change between two speeds is what fans driven by 5 to 95 % make of it on the fleet."""
    shares, speeds = (0.05, 0.275, 0.5, 0.725, 0.95), np.array([SPEEDS["fast idle"], SPEEDS["idle"]])
    middle = replace(yard.day(job_of(DAY)), engine_speed=speeds)
    machines = yard.types(job_of(DAY))
    runs = simulate_batches(
        [
            Batch(
                replace(one, condenser=replace(one.condenser, fan=replace(one.condenser.fan, driven=share))),
                middle, "R-134a", nominal_charge(one, "R-134a"),
            )
            for one in machines
            for share in shares
        ]
    )  # fmt: skip
    high, low = (
        np.array([np.diff(getattr(one, name))[0] for one in runs]).reshape(len(machines), -1).std(axis=1)
        for name in ("high_gauge", "low_gauge")
    )
    head = np.array([one.high_pressure[0] for one in runs]).reshape(len(machines), -1).mean(axis=1)
    assert np.mean(high / head) == pytest.approx(yard.FAN_DRIVE, abs=0.005)
    assert np.mean(low / high) == pytest.approx(yard.FOLLOWED, abs=0.01)


def test_a_circuit_with_vapor_alone_is_not_ranked() -> None:
    """60 over 60 psig at rest on a day of 95 F."""
    found = as_found.finding(job_of(DAY | {"found.rest": "60 psig"}))
    assert found.blocked
    assert found.empty
    assert "nearly empty" in found.verdict


def test_what_the_owner_tells_moves_the_base_rates() -> None:
    plain = as_found.priors(job.Job())
    assert plain["charge low"] == catalogue["charge low"].base_rate
    topped = as_found.priors(job_of({"found.topped_up": "2"}))
    assert topped["charge high"] / plain["charge high"] > topped["charge low"] / plain["charge low"] > 1.0
    goes = as_found.priors(job_of({"found.comes_and_goes": "yes"}))
    assert goes["moisture freezing"] > plain["moisture freezing"]
    assert goes["condenser blocked"] == plain["condenser blocked"]


@pytest.mark.parametrize("name", measurements)
def test_what_is_proposed_can_be_typed_in(name: str) -> None:
    """Each measurement has a field for all that it gives; in the file, the form and after --new the same."""
    fields = {one: f"found.fast_idle_{line}" for line, one in as_found.LINES.items()}
    fields |= {one: f"found.{key}" for key, one in as_found.ANY_SPEED.items()} | {"ambient": "weather.ambient"}
    fields |= {f"{side}_gauge_other_speed": f"found.idle_{side}_side" for side in ("low", "high")}
    gives = measurements[name].gives
    for one in gives:
        question = job.QUESTIONS[fields[one]]
        assert job_of({question.key: question.example}).known(question.key)
    read = {fields[one]: job.QUESTIONS[fields[one]].example for one in gives} | STARVED
    assert set(gives) - {"ambient"} <= set(as_found.readings(job_of(read))[1])


def test_a_machine_that_is_like_none_can_be_like_all() -> None:
    assert len(yard.types(job.Job())) == sum(one.refrigerant != "R-1234yf" for one in FLEET.values())
    assert [one.name for one in yard.types(having(**{"machine.like": "tractor"}))] == [FLEET[58].name]


def test_held_out_machines_of_unknown_type() -> None:
    """Sizes known to a fifth, ten lines of one speed, severity over 0.4, flat base rates: in how many the right group
    leads, is among the first three, and is right where it is said above 80 %. The bounds lie two standard deviations of
    so few machines below what tests/benchmarks/test_ranking.py finds: 0.76, 0.91 and 0.98."""
    one = job_of(DAY)
    atlas = yard.yard_of(one).untested
    drawn = yard.drawn_machines(one, yard.types(one), "fast idle", per_class=14, seed=900)
    truth = joined([part.untested() for part in drawn])
    read = [name for name in TWELVE if name in truth.seen]
    noise, random = [observables[name].scatter for name in read[:-1]], np.random.Generator(np.random.Philox(5))
    groups = [group(name) for name in truth.names]
    lead, three, sure, misfits = [], [], [], []
    for k in np.flatnonzero((truth.severities > 0.4) | (truth.classes == 0)):
        values = [truth.seen[name][k] for name in read[:-1]] + noise * random.standard_normal(len(noise))
        after = atlas.posterior(dict(zip(read, [*values, truth.seen["glass"][k]], strict=True)), prior="flat")
        ranked, right = list(after.groups.items()), groups[truth.classes[k]]
        lead.append(ranked[0][0] == right)
        three.append(right in [name for name, _ in ranked[:3]])
        misfits.append(after.misfit)
        if ranked[0][1] > 0.8:
            sure.append(lead[-1])
    assert len(lead) > 300
    assert np.mean(lead) > 0.71
    assert np.mean(three) > 0.88
    assert np.mean(sure) > 0.94
    assert np.mean(np.array(misfits) > as_found.STRANGE) < 0.01


def test_machines_that_the_readings_rule_out_are_not_missed() -> None:
    """Only the likely ones are run at the second speed; the chances are those of the whole atlas all the same."""
    one = job_of(
        DAY
        | STARVED
        | {"machine.like": "combine", "found.idle_low_side": "20 psig", "found.idle_high_side": "140 psig"}
    )
    machines, (_speed, taken) = yard.yard_of(one), as_found.readings(one)
    prior = as_found.priors(one)
    likely = machines.likely(taken, prior)
    assert len(likely.cases.classes) < 0.7 * len(machines.untested.cases.classes)
    few, all_ = (atlas.posterior(taken, prior=prior) for atlas in (likely, machines.whole()))
    for name, chance in all_.probabilities.items():
        assert few[name] == pytest.approx(chance, abs=0.01)


def test_a_real_machine_differs_from_the_model() -> None:
    """A head 50 psi (345 kPa) above the model's, in all its lines: nothing strange where the doubt counts."""
    atlas = yard.yard_of(job_of(DAY)).untested
    healthy = {
        name: float(np.median(atlas.cases.seen[name][atlas.cases.classes == 0])) for name in ("low_gauge", *WARM)
    }
    warmer = {name: value + atlas.errors[1].get(name, 0.0) for name, value in healthy.items()}
    plain = replace(atlas, errors=(), _kernels={})
    assert atlas.posterior(warmer)[HEALTHY] > 2.0 * plain.posterior(warmer)[HEALTHY]


def test_the_page_says_it_first() -> None:
    made = job.plan(job_of(DAY | STARVED | {"machine.like": "combine", "job.name": "Unit 31"}))
    text = page.html(made)
    assert text.index("As found") < text.index("Before you start")
    assert made.finding.verdict in text
    assert made.as_data()["as_found"]["causes"][0]["names"][0] == "charge low"
    assert job.plan(job.Job()).finding is None


def test_healthy_readings_are_called_so() -> None:
    machine = "combine"
    one = job_of(DAY | {"machine.like": machine})
    atlas = yard.yard_of(one).untested
    lines = [name for name in TWELVE[:-1] if name in atlas.cases.seen]
    healthy = {name: float(np.median(atlas.cases.seen[name][atlas.cases.classes == 0])) for name in lines}
    after = atlas.posterior(healthy | {"glass": "clear"}, prior=as_found.priors(one))
    assert HEALTHY in list(after.groups)[:2]


# Middle of the printed gauges (psig) and the look of the glass where it is printed; the groups that the row means.
PRINTED = {
    "FG001": ("12", "121", "foam", {"charge low"}),
    "FG003": ("57", "320", "clear", {"charge high", "condenser air"}),
    "FG005": ("-3", "78", "", {"valve shut"}),
    "FG009": ("9", "121", "foam", {"charge low"}),
    "FG011": ("43", "320", "", {"air in the circuit"}),
    "FG015": ("11", "114", "", {"charge low"}),
    "FG017": ("71", "128", "", {"worn compressor"}),
    "FG021": ("36", "320", "bubbles", {"air in the circuit"}),
    "FG023": ("71", "121", "", {"worn compressor"}),
}


def test_printed_fault_readings() -> None:
    """fault_gauges.csv, every row of a running machine with two gauges: the printed cause leads, or is among those that
    cannot be told apart, in eight of nine."""
    rows = published_tables.by_id("fault_gauges")
    named = []
    for number, (low, high, glass, meant) in PRINTED.items():
        assert number in rows
        read = {"found.fast_idle_low_side": f"{low} psig", "found.fast_idle_high_side": f"{high} psig"}
        one = job_of(DAY | read | ({"found.glass": glass} if glass else {}))
        # Two gauges and a glass: what all machines show at one speed is all that is asked.
        after = yard.yard_of(one).untested.posterior(as_found.readings(one)[1], prior=as_found.priors(one))
        found = as_found.judged(after)
        leading = found.causes[: found.leading]
        if any({group(name) for name in one.names} & meant for one in leading):
            named.append(number)
    assert len(named) >= 8


def test_the_pressure_at_rest_is_read_beside_the_table() -> None:
    """R-134a at 95 F: 114 psig (published table, from memory); 60 is vapor alone, 150 holds something else."""
    said = {rest: as_found.at_rest(job_of(DAY | {"found.rest": f"{rest} psig"})) for rest in (60, 114, 150)}
    assert "nearly empty" in said[60]
    assert said[114] == ""
    assert "identify" in said[150]
    assert as_found.at_rest(having(**{"found.rest": "60 psig"})) == "", "the day is not known"
