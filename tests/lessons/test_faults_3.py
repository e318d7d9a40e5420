"""Lesson faults-3: numbers in its sentences, probabilities by hand, stored tables against the model and the atlas."""

from fractions import Fraction
from functools import lru_cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldcab import faults, instruments, lessons, published
from coldcab.faults import catalogue, measurements
from coldcab.faults.bayes import updated
from coldcab.faults.catalogue import FaultError
from coldcab.lessons.faults_3 import evidence
from coldcab.lessons.faults_3.evidence import TABLES
from coldcab.lessons.faults_3.numbers import ASKED, JOBS_INSIDE, JOBS_OUTSIDE, RATES, EvidenceCase, Situation
from coldcab.lessons.keys import module_of
from coldcab.scenario import complaints
from material import MATERIAL, keys_of

keys = keys_of("faults-3")
making = module_of(MATERIAL / "lessons" / "faults-3" / "make_evidence.py", "make_evidence")


@lru_cache(maxsize=8)
def _board(page, path, advise=False):
    return instruments.suspects_board(system="us", complaint=page, measure=path, advise=advise).readings


def _ranked(page, path):
    return sorted(_board(page, path)["probabilities"].items(), key=lambda pair: -pair[1])


def _offered(name):
    return next(one for one in _board("38", "gauges", True)["advice"] if one.measurement.name == name)


def _drier_first():
    advice = _board("38", "gauges", True)["advice"]
    return advice[0].measurement.name == "glass" and _offered("drier").bits > advice[0].bits > 0.3


SAID = [
    ("An optical meter takes four minutes", lambda: measurements["hub speed"].minutes == 4),
    (
        "Two suspects are about equally probable: a **worn compressor** and a **slipping clutch or belt**",
        lambda: (
            {name for name, _ in _ranked("34", "gauges")[:2]} == {"worn compressor", "clutch or belt slipping"}
            and _ranked("34", "gauges")[0][1] < 1.3 * _ranked("34", "gauges")[1][1]
            and _ranked("34", "gauges")[1][1] > 0.3
        ),
    ),
    (
        "four minutes have taken the clutch off the list",
        lambda: _board("34", "gauges, hub speed")["probabilities"]["clutch or belt slipping"] < 0.01,
    ),
    (
        "look what is left beside it: a few switches and the valve",
        lambda: (
            _ranked("34", "gauges, hub speed")[0] > ("worn compressor", 0.6)
            and {name for name, _ in _ranked("34", "gauges, hub speed")[1:4]}
            == {"thermostat opens early", "valve stuck open", "low-pressure switch opens early"}
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
        "A restricted drier shows this reading twice as often as a low charge",
        lambda: TABLES[0].shares(0)[1] == 2 * TABLES[0].shares(0)[0],
    ),
    ("the shop sees it more than three times as often", lambda: RATES[0][0] > 3 * RATES[0][1]),
    ("The board offers the glass first: one minute", lambda: _drier_first() and measurements["glass"].minutes == 1),
    (
        "The standing pressure costs an hour and tells nothing here",
        lambda: _offered("standing pressure").minutes == 60 and _offered("standing pressure").bits < 0.1,
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
        "The most probable suspect was not the guilty one. Two minutes at the vent would have shown it",
        lambda: (
            _ranked("30", "gauges")[0][0] != complaints.hidden(30).name
            and measurements["vent"].minutes == 2
            and _board("30", "gauges, vent")["probabilities"][_ranked("30", "gauges")[0][0]] < 0.05
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
    # Worn compressor 8, slipping 20, valve stuck open 12 of 40; first reading 80, 75, 50 %; second 45, 60, 20 %:
    # 8*16=128, 20*15=300, 12*10=120 of 548 (twentieths); then *9, *12, *4: 1152, 3600, 480 of 5232.
    base = lessons.case("faults-3", "open", "reference")
    case = EvidenceCase(
        base.situations, evidence.TABLES[2], (8, 20, 12), 0, False, JOBS_INSIDE[0], 0.8, JOBS_OUTSIDE[0], 0.9
    )
    assert keys.PRACTICE["after the first reading"].answer(case) == pytest.approx(128 / 548)
    assert keys.PRACTICE["after both readings"].answer(case) == pytest.approx(1152 / 5232)
    assert keys.PRACTICE["most likely now"].answer(case) == "clutch or belt slipping"
    assert keys.PRACTICE["wasted on average"].answer(case) == pytest.approx(30 * 60)  # 20 % of 150 min
    assert keys.PRACTICE["decision P"].answer(case) == "test first"
    assert keys.KEYS["decision Q"].answer(case) == "repair now"  # 1.5 min against 4


def test_no_decision_is_a_close_call():
    for job in JOBS_INSIDE:
        assert all((1 - chance) * job.minutes > 1.5 * job.test_minutes for chance in (0.70, 0.86))
    for job in JOBS_OUTSIDE:
        assert all(1.5 * (1 - chance) * job.minutes < job.test_minutes for chance in (0.88, 0.96))


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
