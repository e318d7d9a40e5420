"""Lesson faults-3: numbers in its sentences, probabilities by hand, stored tables against the model and the atlas."""

from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldcab import faults, instruments, lessons, published, worked
from coldcab.faults import catalogue, measurements
from coldcab.faults.bayes import updated
from coldcab.faults.catalogue import FaultError
from coldcab.lessons.faults_3 import evidence
from coldcab.lessons.faults_3.evidence import TABLES
from coldcab.lessons.faults_3.numbers import (
    ASKED,
    DECISIONS,
    FURTHER,
    JOBS,
    JOBS_INSIDE,
    JOBS_LONG,
    JOBS_OUTSIDE,
    RATES,
    Situation,
)
from coldcab.lessons.keys import module_of
from coldcab.scenario import complaints, sick_machines
from material import MATERIAL, keys_of

keys = keys_of("faults-3")
making = module_of(MATERIAL / "lessons" / "faults-3" / "make_evidence.py", "make_evidence")


@lru_cache(maxsize=8)
def _board(page, path, advise=False):
    return instruments.suspects_board(system="us", complaint=page, measure=path, advise=advise).readings


def _ranked(page, path):
    return sorted(_board(page, path)["probabilities"].items(), key=lambda pair: -pair[1])


def _offered(name):
    return next(one for one in _board("30", "gauges", True)["advice"] if one.measurement.name == name)


def _drier_first():
    advice = _board("30", "gauges", True)["advice"]
    return advice[0].measurement.name == "glass" and _offered("drier").bits > advice[0].bits > 0.3


def _healthy(rpm):
    return sick_machines.run(31, 95.0, float(rpm))


def _off_by_doubts(page, rpm):
    """How far a page's gauges are from those of the healthy machine at some engine speed, in instrument doubts."""
    seen, healthy = _board(page, "gauges")["seen"], _healthy(rpm)
    return max(
        abs(seen[name] - getattr(healthy, name)) / faults.observables[name].scatter
        for name in ("low_gauge", "high_gauge")
    )


def _both_lower(page):
    seen, healthy = _board(page, "gauges")["seen"], _healthy(1500)
    return seen["low_gauge"] < healthy.low_gauge and seen["high_gauge"] < healthy.high_gauge


SAID = [
    (
        "A look at the glass takes one minute, two clamp-on thermometers on the drier take four",
        lambda: (measurements["glass"].minutes, measurements["drier"].minutes) == (1, 4),
    ),
    (
        "Both stand lower than on the healthy machine of this day. No engine speed does that to a healthy one",
        lambda: all(_off_by_doubts("38", rpm) > 4 for rpm in range(700, 2801, 300)) and _both_lower("38"),
    ),
    (
        "when it turns faster, the low side falls and the head rises",
        lambda: (
            _healthy(2200).low_gauge < _healthy(1500).low_gauge
            and _healthy(2200).high_gauge > _healthy(1500).high_gauge
        ),
    ),
    (
        "a drier, a screen, ice, a lost charge can all do it, and no bar is half full",
        lambda: (
            _ranked("38", "gauges")[0][1] < 0.5
            and {"drier restricted", "valve screen plugged", "moisture freezing", "charge low"}
            <= {name for name, chance in _ranked("38", "gauges") if chance > 0.05}
        ),
    ),
    (
        "One minute has left two suspects: a **restricted drier** and a **low charge**",
        lambda: (
            [name for name, _ in _ranked("38", "gauges, glass")[:2]] == ["drier restricted", "charge low"]
            and sum(chance for _, chance in _ranked("38", "gauges, glass")[:2]) > 0.9
            and _board("38", "gauges, glass")["seen"]["glass"] != "clear"
        ),
    ),
    (
        "four more minutes have taken the low charge off the list",
        lambda: (
            _board("38", "gauges, glass, drier")["probabilities"]["charge low"] < 0.01
            and complaints.hidden(38, 31).name == "drier restricted"
        ),
    ),
    (
        "A weak pull looks like a healthy machine at a lower engine speed: low side higher, head lower",
        lambda: (
            _healthy(800).low_gauge > _healthy(1500).low_gauge and _healthy(800).high_gauge < _healthy(1500).high_gauge
        ),
    ),
    (
        "in this book it is three times as usual as a slow fan",
        lambda: catalogue["condenser blocked"].base_rate == 3 * catalogue["condenser fan slow"].base_rate,
    ),
    (
        "The fan's own speed is of another kind. It decides",
        lambda: _ranked("14", "gauges, condenser air, fan")[0][1] > 0.9,
    ),
    (
        "A worn compressor shows this reading one and a half times as often as a slipping clutch or belt",
        lambda: abs(TABLES[2].shares(0)[0] / TABLES[2].shares(0)[1] - 1.5) < 0.1,
    ),
    (
        "Still the slipping one is the more probable: this shop sees it more than twice as often",
        lambda: (
            RATES[3][1] > 2 * RATES[3][0]
            and "of the last 40" in worked.by_hand().text
            and updated(RATES[3], TABLES[2].shares(0))[1] > updated(RATES[3], TABLES[2].shares(0))[0]
        ),
    ),
    ("The board offers the glass first: one minute", lambda: _drier_first() and measurements["glass"].minutes == 1),
    (
        "The standing pressure costs an hour and tells next to nothing here",
        lambda: (
            _offered("standing pressure").minutes == 60
            and _offered("standing pressure").bits < 0.2 * _offered("drier").bits
        ),
    ),
    (
        "After *glass* and *suction hose* every suspect that is left sits at the valve",
        lambda: (
            sum(
                chance
                for name, chance in _ranked("30", "gauges, glass, suction hose")
                if name != "healthy" and catalogue[name].group == "valve shut"
            )
            > 0.95
        ),
    ),
    (
        "A fan motor at 70 %, a job of 90 minutes: 27 minutes wasted on average. The test takes 5",
        lambda: abs((1 - 0.7) * JOBS_LONG[0].minutes - 27) < 1e-9 and JOBS_LONG[0].test_minutes == 5,
    ),
    (
        "a voltmeter names the switch in five minutes",
        lambda: evidence.OTHER_MINUTES[evidence.VOLTMETER] == 5,
    ),
    (
        "takes four to seven times as long",
        lambda: (measurements["thermostat"].minutes, measurements["switches"].minutes) == (4 * 5, 7 * 5),
    ),
    (
        "18 × 65 % × 95 % = 11.1",
        lambda: (TABLES[0].shares(1)[1], TABLES[0].shares(2)[1]) == (0.65, 0.95) and round(18 * 0.65 * 0.95, 1) == 11.1,
    ),
    (
        "the low charge stands at 83 %, the drier at 14 %",
        lambda: (
            [round(100 * one) for one in updated((10, 18, 12), TABLES[0].shares(1), TABLES[0].shares(2))][:2]
            == [14, 83]
        ),
    ),
    (
        "A repair of the drier takes 150 minutes and would be wasted in 86 of 100 such jobs: 129 minutes on average",
        lambda: JOBS_INSIDE[0].minutes == 150 and pytest.approx(129) == 0.86 * 150,
    ),
    (
        "Two clamp-on thermometers on the drier take 4 minutes",
        lambda: measurements["drier"].minutes == 4,
    ),
    (
        "A drier at 80 %, a job of 150 minutes: 30 minutes wasted on average. The test takes 4",
        lambda: abs((1 - 0.8) * JOBS_INSIDE[0].minutes - 30) < 1e-9 and JOBS_INSIDE[0].test_minutes == 4,
    ),
    (
        "A cab filter at 90 %, a job of 6 minutes: less than one minute wasted",
        lambda: JOBS_OUTSIDE[1].minutes == 6 and (1 - 0.9) * JOBS_OUTSIDE[1].minutes < 1 < JOBS_OUTSIDE[1].test_minutes,
    ),
    (
        "The most probable suspect was not the cause. Four minutes at pulley and hub would have shown it",
        lambda: (
            _ranked("12", "gauges")[0][0] == "clutch or belt slipping" != complaints.hidden(12, 31).name
            and measurements["hub speed"].minutes == 4
            and _board("12", "gauges, hub speed")["probabilities"]["clutch or belt slipping"] < 0.05
        ),
    ),
    (
        "divided by their sum, so that they make 100 % again",
        lambda: abs(sum(updated((26, 8, 6), (0.5, 0.4, 0.3))) - 1) < 1e-12,
    ),
]


@pytest.mark.parametrize("row", published.rows("bayes_examples"), ids=lambda row: row["name"])
def test_published_answers(row):
    # Tversky and Kahneman 1982: 41 %; Eddy 1982 / Gigerenzer and Hoffrage 1995: 7.8 %; to the last digit.
    rate = float(row["base_rate"])
    found = updated((rate, 100 - rate), (float(row["shown_by_it"]) / 100, float(row["shown_by_others"]) / 100))
    digits = len(row["answer"].partition(".")[2])
    assert round(100 * found[0], digits) == float(row["answer"])


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 20), st.integers(0, 20)), min_size=1, max_size=5))
def test_bayes_is_that_of_whole_numbers(rows):
    rates, first, second = zip(*rows, strict=True)
    whole = [Fraction(r * a * b) for r, a, b in rows]
    shares = [[each / 20 for each in column] for column in (first, second)]
    if sum(whole) == 0:
        with pytest.raises(FaultError):
            updated(rates, *shares)
        return
    assert updated(rates, *shares) == pytest.approx([float(each / sum(whole)) for each in whole])
    assert updated(updated(rates, shares[0]), shares[1]) == pytest.approx(updated(rates, *shares))


@pytest.mark.parametrize(
    ("rates", "shares", "says"),
    [
        ((), (), "at least one"),
        ((1, -1), (), "from 0 up"),
        ((1, 2), ((0.5,),), "2 suspects but 1 likelihoods"),
        ((1, 2), ((0.5, 1.2),), "share from 0 to 1"),
        ((1, 2), ((0.0, 0.0),), "a suspect is missing"),
    ],
)
def test_what_bayes_refuses(rates, shares, says):
    with pytest.raises(FaultError, match=says):
        updated(rates, *shares)


def test_a_case_worked_by_hand():
    # Worn compressor 6, slipping 24, valve stuck open 10 of 40; first reading 90, 60, 10 %; second 70, 40, 5 %:
    # 6*18=108, 24*12=288, 10*2=20 of 416 (twentieths); then *14, *8, *1: 1512, 2304, 20 of 3836.
    base = lessons.case("faults-3", "open", "reference")
    case = replace(
        base,
        table=evidence.TABLES[2],
        rates=(6, 24, 10),
        asked=0,
        again=False,
        first_job=JOBS_INSIDE[0],
        first_chance=0.8,
        second_job=JOBS_OUTSIDE[0],
        second_chance=0.9,
        further=FURTHER,
        decisions=DECISIONS,
    )
    assert keys.PRACTICE["after the first reading"].answer(case) == pytest.approx(108 / 416)
    assert keys.PRACTICE["after both readings"].answer(case) == pytest.approx(1512 / 3836)
    assert keys.PRACTICE["most likely now"].answer(case) == "clutch or belt slipping"
    assert keys.PRACTICE["wasted on average"].answer(case) == pytest.approx(30 * 60)  # 20 % of 150 min
    assert keys.PRACTICE["decision P"].answer(case) == "A"  # it opens the circuit
    assert keys.KEYS["decision Q"].answer(case) == "C"  # 1.5 min against 4
    fan = replace(case, second_job=JOBS_LONG[0], second_chance=0.7)
    assert keys.KEYS["decision Q"].answer(fan) == "B"  # 27 min against 5
    assert keys.KEYS["a further reading"].answer(replace(case, again=True)) == "C"


def test_no_decision_is_a_close_call():
    for job, least, highest in JOBS:
        wasted = [(1 - chance) * job.minutes for chance in (least, highest)]
        if job in JOBS_OUTSIDE:
            assert all(1.5 * one < job.test_minutes for one in wasted)
        else:
            assert all(one > 1.5 * job.test_minutes for one in wasted)


def test_no_further_reading_is_a_close_call():
    for table, rates, asked in ASKED:
        two, three = (
            updated(RATES[rates], *(TABLES[table].shares(sign) for sign in signs))[asked]
            for signs in ((0, 1), (0, 1, 2))
        )
        assert abs(three - two) > keys.NOT_MUCH


def test_a_voltmeter_is_offered_where_the_clutch_drops_out_and_is_best_there():
    for pair in evidence.PAIRS.values():
        unit, day = evidence.machines_of(pair)[0]
        situation = Situation(pair, unit, day, evidence.offered(pair))
        assert len(set(situation.offers)) == 6
        assert (evidence.VOLTMETER in situation.offers) is pair.drops_out
        assert keys.best(situation) == (evidence.VOLTMETER if pair.drops_out else pair.offers[0])


def test_every_table_that_is_drawn_has_its_rates():
    assert all(
        0 <= table < len(evidence.TABLES) and 0 <= rates < len(RATES) and asked < 3 for table, rates, asked in ASKED
    )
    assert {table for table, _, _ in ASKED} == set(range(len(evidence.TABLES)))


@pytest.mark.parametrize(("doubts", "telling"), [(2.9, False), (3.1, True)])
def test_three_instrument_doubts_tell_apart_and_a_look_does(doubts, telling):
    """Three standard deviations, the usual limit; a look that differs needs no sum."""
    doubt = faults.observables["drier_in"].scatter
    seen = evidence.Seen(
        {"drier_in": 310.0, "drier_out": 300.0}, {"drier_in": 310.0, "drier_out": 300.0 - doubts * doubt}
    )
    assert (keys.doubts_between(seen) >= keys.PLAIN) is telling
    assert keys.doubts_between(seen) == pytest.approx(doubts)
    assert keys.doubts_between(evidence.Seen({"glass": "clear"}, {"glass": "foam"})) >= keys.PLAIN
    assert keys.doubts_between(evidence.Seen({"glass": "clear"}, {"glass": "clear"})) == 0.0


@pytest.mark.parametrize("pair", evidence.PAIRS.values(), ids=lambda pair: pair.name)
def test_one_offer_is_plainly_best(pair):
    assert evidence.machines_of(pair)
    for unit, day in evidence.machines_of(pair):
        situation = Situation(pair, unit, day, (*pair.offers, evidence.GAUGES_AGAIN, pair.part))
        assert keys.best(situation) == pair.offers[0]
        assert not keys.tells_apart(situation, evidence.GAUGES_AGAIN)
        other = keys.doubts_between(situation.seen(pair.offers[1]))
        # Blind, or as telling but dearer by so much that expected information a minute cannot turn it round.
        assert other <= making.BLIND or (
            other >= keys.PLAIN and situation.minutes(pair.offers[1]) >= 1.5 * situation.minutes(pair.offers[0])
        )


@pytest.mark.parametrize("name", ["worn or slipping", "blocked or air", "drier or screen", "thermostat or low switch"])
def test_the_best_offer_is_that_of_expected_information(name):
    # The same question to the atlas, with only the two suspects left: bits a minute of each offer.
    pair = evidence.PAIRS[name]
    atlas = complaints.atlas(31, 95.0, 1500.0)
    only = dict.fromkeys(atlas.names, 0.0) | {pair.one: 1.0, pair.two: 1.0}
    offers = faults.next_measurement(atlas.posterior({}, prior=only))
    worth = {one.measurement.name: one.bits_per_minute for one in offers}
    assert worth[pair.offers[0]] > 2 * worth[pair.offers[1]] or pair.offers[1] == "switches"
    assert worth[pair.offers[0]] > worth[pair.offers[1]]


def test_shares_are_what_the_model_gives():
    """All of them: within half a twentieth, a hair for another computer's rounding; the ends are kept off 0 and 1."""
    found = making.likelihoods()
    for table in TABLES:
        for place, sign in enumerate(table.signs):
            for suspect, share in zip(table.suspects, table.shares(place), strict=True):
                model = min(max(found[sign][suspect], making.LEAST), 1.0 - making.LEAST)
                assert share == pytest.approx(model, abs=0.5 * making.TWENTIETH + 0.002), (sign, suspect)


@pytest.mark.parametrize("pair", evidence.PAIRS.values(), ids=lambda pair: pair.name)
def test_suspects_of_a_situation_are_plainly_sick_and_fit_the_machine(pair):
    for unit, day in evidence.machines_of(pair):
        assert making.fits(pair, unit)
        seen, well = evidence.seen(pair, unit, day, "gauges"), evidence.healthy(pair, unit, day)
        assert all(making.gap(well, one) >= making.SICK for one in (seen.one, seen.two))


@pytest.mark.parametrize("name", ["blocked or fan", "bulb or ice"])
def test_stored_readings_are_still_the_models(name):
    # Regression: a change of the model asks for the tables to be made anew. Half an instrument's doubt is allowed.
    pair = evidence.PAIRS[name]
    unit, day = evidence.machines_of(pair)[0]
    made = making.situation(pair, unit, day)
    for offer in ("gauges", *pair.offers):
        stored = evidence.seen(pair, unit, day, offer)
        for reading, value in stored.one.items():
            assert value == pytest.approx(made[reading][1], abs=0.5 * faults.observables[reading].scatter)
            assert stored.two[reading] == pytest.approx(made[reading][2], abs=faults.observables[reading].scatter)
