"""Lesson faults-4: numbers in its sentences; tickets tell causes to who measures and to nobody else; paths weighed by
hand."""

import re
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

import material
from coldcab import lessons, published, units, worked
from coldcab.assess import mark, read_answer
from coldcab.faults import HEALTHY, catalogue, faults_for, measurements
from coldcab.instruments.hands_on import can_be_done
from coldcab.lessons.faults_4.worked import MANUAL_ROWS
from coldcab.lessons.keys import module_of
from coldcab.machine.fleet import FLEET
from coldcab.scenario import clinic
from coldcab.scenario.clinic import BUDGET, CAUSES, PRICES

keys = material.keys_of("faults-4")
making = module_of(material.MATERIAL / "lessons" / "faults-4" / "make_tickets.py", "make_tickets")
SHOWN_AGAIN, TELLING_GROUPS = keys.SHOWN_AGAIN, keys.TELLING_GROUPS
SHEET = material.PRACTICED["practice-faults-4"]
GRADED, PRACTICED = keys.read_causes("clinic_causes.csv"), keys.read_causes("practice_causes.csv")
BOTH = {**GRADED, **PRACTICED}

PSI = units.from_unit(1.0, "pressure difference", "psi")


def _widest(name, unit):
    """How far healthy practice machines lie from the healthy machine of their day, at most."""
    found = [
        abs(clinic.ticket(number).seen[name] - clinic.ticket(number).healthy[name]) / unit
        for number, causes in PRACTICED.items()
        if causes == (HEALTHY,)
    ]
    return max(found)


def _two_at_once():
    one = clinic.ticket("P24")
    return one.seen["low_gauge"] > one.healthy["low_gauge"] + 10 * PSI and (
        abs(one.seen["high_gauge"] - one.healthy["high_gauge"]) < 10 * PSI
    )


def _starved():
    one = clinic.ticket("P4")
    return one.seen["glass"] == "streaks" and one.seen["low_gauge"] < one.healthy["low_gauge"] - 6 * PSI


def _healthy_and_high():
    one = clinic.ticket("P52")
    return PRACTICED["P52"] == (HEALTHY,) and all(
        one.seen[name] > one.healthy[name] for name in ("low_gauge", "high_gauge", "vent")
    )


def _heater_too():
    one, causes = clinic.ticket("P14"), PRACTICED["P14"]
    return (
        set(causes) == {"heater valve leaking", "drier restricted"}
        and one.seen["ambient"] - one.seen["vent"] < 0.25 * (one.seen["ambient"] - one.healthy["vent"])
        and one.seen["vent_heater_pinched"] < -10.0
    )


def _rows():
    return worked.manual_symptoms().text.splitlines()[2:]


SAID = [
    ("the budget is 30 for each machine", lambda: clinic.BUDGET == 30),
    ("The low side is far too high, the high side is where it should be", _two_at_once),
    (
        "The blocked condenser had hidden what the slipping does to the head",
        lambda: PRACTICED["P24"] == ("condenser blocked", "clutch or belt slipping"),
    ),
    ("**hub speed**, four minutes", lambda: clinic.PRICES["hub speed"] == 4),
    ("But the vent blows nearly as warm as the day", _heater_too),
    ("*P52* reads a little high everywhere", _healthy_and_high),
    (
        "about 3 psi on the low side, 14 psi on the high side and 4 F (2 K) at the vent",
        lambda: (
            1.5 < _widest("low_gauge", PSI) < 3.6
            and 9 < _widest("high_gauge", PSI) < 14.5
            and 2.5 < _widest("vent", 5 / 9) < 4.5
        ),
    ),
    ("*P4* has streaks in the glass and a low low side", _starved),
    (
        "Six of the seven agree.",
        lambda: [row.rsplit(None, 1)[1] for row in _rows()].count("yes") == 6 and len(_rows()) == 7,
    ),
    ("low charge: low side normal", lambda: any(re.match(r"low charge +normal +low ", row) for row in _rows())),
    (
        "in five of the seven the combine's low side is low",
        lambda: sum(bool(re.search(r" {2,}low {2,}(?:low|normal|high) {2,}(?:yes|no)$", row)) for row in _rows()) == 5,
    ),
    ("within 30 minutes", lambda: clinic.BUDGET == 30),
]


def test_the_pool_is_large_and_complete():
    assert len(GRADED) >= 300
    assert set(GRADED) == {ticket for tray in clinic.trays(False) for rack in tray for ticket in rack}
    assert set(PRACTICED) == {ticket for tray in clinic.trays(True) for rack in tray for ticket in rack}


def kind(ticket):
    """0 healthy, 1 one fault, 2 two."""
    return 0 if BOTH[ticket] == (HEALTHY,) else len(BOTH[ticket])


@pytest.mark.parametrize("practice", [False, True])
def test_the_clinic_draws_how_many_are_healthy_single_or_double(practice):
    """A rack holds one kind; how many of each stand in a tray is drawn, so that nobody can count on one healthy."""
    mixtures = set()
    for tray in clinic.trays(practice):
        kinds = [{kind(ticket) for ticket in rack} for rack in tray]
        assert all(len(one) == 1 for one in kinds)
        mixtures.add(tuple(sorted(min(one) for one in kinds)))
    assert len(mixtures) >= (3 if practice else 6)
    assert len({mixture.count(0) for mixture in mixtures}) > 1


def test_nothing_in_the_package_names_a_graded_cause():
    package = Path(clinic.__file__).parent
    with np.load(package / "clinic.npz") as pool:
        assert set(pool.files) == {
            *("unit", "day", "complaint", "trays", "healthy_of"),
            *(f"{one}{two}" for one in ("", "healthy_") for two in ("numbers", "glass", "frost")),
        }
        # Complaint, day and machine say nothing of the kind: their shares among sick and healthy are alike (chi-square,
        # 99.9 % point for 7 degrees of freedom 24.3, printed tables).
        well = np.array([GRADED[str(place + 1)] == (HEALTHY,) for place in range(len(pool["unit"]))])
        for name in ("unit", "day", "complaint"):
            statistic = 0.0
            for value in np.unique(pool[name]):
                for side in (well, ~well):
                    expected = (pool[name] == value).mean() * side.sum()
                    statistic += ((pool[name] == value)[side].sum() - expected) ** 2 / expected
            assert statistic < 24.3, name
    assert not list(package.glob("*causes*"))


def test_every_cause_is_in_the_catalogue_and_has_its_proof_and_its_evidence():
    assert set(CAUSES) == set(SHOWN_AGAIN) == set(TELLING_GROUPS)
    assert set(CAUSES) <= {HEALTHY, *catalogue}
    assert len(set(SHOWN_AGAIN.values())) == len(CAUSES)
    assert all(name in measurements for groups in TELLING_GROUPS.values() for group in groups for name in group)


def test_what_settles_a_cause_shows_it_on_every_ticket():
    """By hand, from the words of the catalogue's own tests: the reading that names the fault is off, the others not."""
    shows = {
        "clutch or belt slipping": lambda s, h: s["hub_slip"] > 0.1,
        "condenser fan slow": lambda s, h: s["fan_share"] < 0.8,
        "drier restricted": lambda s, h: s["drier_in"] - s["drier_out"] > 3.0,
        "heater valve leaking": lambda s, h: s["vent_heater_pinched"] < -3.0,
        "air in the circuit": lambda s, h: s["standing_pressure"] - h["standing_pressure"] > 0.4e5,
        "hot air recirculated": lambda s, h: s["condenser_air_in"] - h["ambient"] > 4.0,
    }
    for number, causes in BOTH.items():
        one = clinic.ticket(number)
        for name, test in shows.items():
            assert test(one.seen, one.healthy) == (name in causes), f"{number}: {name}"
        assert (one.seen["glass"] != "clear") == bool({"charge low", "drier restricted"} & set(causes)) or causes == (
            "bulb loose or bare",
        )


def test_a_wrong_cause_is_told_what_speaks_against_it():
    """Every machine shows all signs of what it has; what a sick one has not, misses one, but for a few look-alikes."""
    told = untold = 0
    for number, causes in BOTH.items():
        for cause in keys.SIGNS:
            missing = keys.missing_sign(number, cause)
            if cause in causes:
                assert len(causes) > 1 or missing is None, f"{number}: {cause}, {missing}"
            elif causes != (HEALTHY,):
                told, untold = told + (missing is not None), untold + (missing is None)
    assert set(keys.SIGNS) == set(CAUSES) - {HEALTHY}
    assert untold < 0.01 * told


def test_no_hint_names_what_the_machine_has():
    """Nor another cause: it says of the named one alone what it would show."""
    words = {"charge low": "low charge", "charge high": "too much charge", "condenser fan slow": "slow fan"}
    words |= {
        "clutch or belt slipping": "slips",
        "air in the circuit": "air raises",
        "bulb loose or bare": "loose bulb",
    }
    words |= {"worn compressor": "worn compressor", "drier restricted": "restricted drier"}
    words |= {"condenser blocked": "blocked condenser", "valve screen plugged": "plugged screen"}
    words |= {"heater valve leaking": "leaking heater valve", "hot air recirculated": "comes round again"}
    for cause, signs in keys.SIGNS.items():
        for sign in signs:
            assert not [other for other, said in words.items() if other != cause and said in sign.said.lower()]


def test_three_wrong_causes_earn_three_hints():
    place, ticket = next((n, one) for n, one in enumerate(CASE.tickets) if len(BOTH[one]) == 1 and kind(one) == 1)
    item, own = SHEET.item(f"machine {place + 1}, cause"), BOTH[ticket][0]
    others = [cause for cause in CAUSES if cause not in (own, HEALTHY) and keys.missing_sign(ticket, cause)]
    outcomes = [mark(item, cause, CASE) for cause in others]
    assert len({outcome.feedback for outcome in outcomes}) == len(others) >= 10
    assert all((outcome.status, outcome.points) == ("idea", 0.0) for outcome in outcomes)


def test_healthy_machines_lie_inside_their_scatter_and_sick_ones_outside():
    """Scatter as the page says it, and 9 F of superheat; the glass is the other thing that a healthy one never has."""
    for number, causes in BOTH.items():
        one = clinic.ticket(number)
        refrigerant = {"refrigerant": clinic.refrigerant_in(one.unit)}
        inside = making.inside_the_scatter(one.seen | refrigerant, one.healthy | refrigerant)
        assert inside == (causes == (HEALTHY,)), number
        if inside:
            for name, most in (("low_gauge", 4 * PSI), ("high_gauge", 15 * PSI), ("vent", 5 / 1.8)):
                assert abs(one.seen[name] - one.healthy[name]) < most, f"{number}: {name}"


def test_tickets_are_of_all_machines_with_only_the_faults_they_can_have():
    for number, causes in BOTH.items():
        unit = clinic.ticket(number).unit
        refrigerant = clinic.refrigerant_in(unit)
        assert refrigerant == ("R-1234yf" if unit == 52 else "R-134a")
        assert {HEALTHY, *faults_for(FLEET[unit], refrigerant)}.issuperset(causes), number
        assert refrigerant in clinic.ticket(number).words
    assert {clinic.ticket(number).unit for number in GRADED} == set(FLEET)


def test_every_ticket_can_be_settled_within_the_budget():
    for causes in set(BOTH.values()):
        names = {one for cause in causes for one in TELLING_GROUPS[cause][0]}
        assert sum(PRICES[name] for name in names) + PRICES["gauges"] <= BUDGET
        assert all(keys.tells(cause, names) for cause in causes)


def test_every_cause_can_be_shown_on_its_machine():
    """A machine with a block valve has no sight glass and no bulb."""
    for number, causes in BOTH.items():
        machine = FLEET[clinic.ticket(number).unit]
        groups = [keys.groups_on(number, cause) for cause in causes]
        assert all(groups), number
        assert all(can_be_done(name, machine) for own in groups for group in own for name in group), number
        assert sum(PRICES[name] for own in groups for name in own[0]) <= BUDGET, number
        glass = any("glass" in group for group in keys.groups_on(number, "charge low"))
        assert glass is not machine.valve.block


def test_a_low_charge_without_a_glass_is_a_starved_evaporator_behind_a_sound_drier():
    """Both gauges low, superheat high, no step; and the head lies lower than a plugged screen brings it."""
    heads = {"charge low": [], "valve screen plugged": []}
    for number, causes in BOTH.items():
        one = clinic.ticket(number)
        if FLEET[one.unit].valve.block and len(causes) == 1 and causes[0] in heads:
            refrigerant = {"refrigerant": clinic.refrigerant_in(one.unit)}
            seen, healthy = one.seen | refrigerant, one.healthy | refrigerant
            assert making.superheat(seen) > making.superheat(healthy) + 10.0
            assert seen["low_gauge"] < healthy["low_gauge"] - 10 * PSI
            assert making.step(seen) < 2.0
            heads[causes[0]].append(healthy["high_gauge"] - seen["high_gauge"])
    assert np.median(heads["charge low"]) > 1.5 * np.median(heads["valve screen plugged"]) > 0.0


def guessed(name, group):
    """Share of graded tickets that are guessed right by who knows how often each group has each cause."""
    counted = Counter((group(number), name(causes)) for number, causes in GRADED.items())
    best = {}
    for (own, _), many in counted.items():
        best[own] = max(best.get(own, 0), many)
    return sum(best.values()) / len(GRADED)


def test_par_names_no_cause():
    """Who knows all graded causes and is told par guesses hardly better than who is not told it."""
    pars = {number: clinic.ticket(number).par for number in GRADED}
    assert set(pars.values()) == {20.0, 30.0}
    for name, more in ((tuple, 0.05), (len, 0.06), (lambda causes: causes == (HEALTHY,), 0.0)):
        told, untold = guessed(name, pars.get), guessed(name, lambda number: None)
        assert told <= untold + more, (told, untold)
    for value in set(pars.values()):
        counts = Counter(GRADED[number] for number in GRADED if pars[number] == value)
        assert max(counts.values()) <= 0.2 * counts.total()
        assert len(counts) >= 15


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("No temperature step over the drier", "no step over the drier"),
        ("same temperature before and after the drier", "no step over the drier"),
        ("hub and pulley the same speed", "hub as fast as the pulley"),
        ("no leak and the right charge", "tight with the right charge"),
        ("fan speed normal, full airflow", "fan at its proper speed, full air flow at the vents"),
        ("no repair needed", "nothing to repair"),
        ("fan at proper speed, tight and right charge", "fan at its proper speed, tight with the right charge"),
        ("hub like the pulley and fan at proper speed", "fan at its proper speed, hub as fast as the pulley"),
        ("no change with the heater hose pinched", "pinching the hose changes nothing"),
    ],
)
def test_what_people_say_of_a_proof_is_read(said, meant):
    assert read_answer(SHEET.item("machine 1, proof"), said).value == meant


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("slipping belt and leaking heater valve", "clutch or belt slipping, heater valve leaking"),
        ("slow fan", "condenser fan slow"),
        ("air in the system", "air in the circuit"),
        ("plugged screen", "valve screen plugged"),
        ("not a slow fan", None),
    ],
)
def test_what_people_say_of_a_cause_is_read(said, meant):
    assert read_answer(SHEET.item("machine 1, cause"), said).value == meant


CASE = next(
    case
    for case in (lessons.case("practice-faults-4", "t", f"ash-{number}") for number in range(200))
    if {kind(ticket) for ticket in case.tickets} == {0, 1, 2}
)
PLACE = next(place for place, ticket in enumerate(CASE.tickets) if BOTH[ticket] == (HEALTHY,))


def weighed(path, key):
    """The verdict on a list of measurements."""
    card = key.card(CASE)
    return card.evidence.weigh(path, card.ideas)


@pytest.mark.parametrize(
    ("path", "share", "idea"),
    [
        # Healthy needs gauges 8, vent 2, glass 1: 11 minutes.
        ("gauges, glass, vent", 1.0, None),
        ("gauges, glass, vent, drier, hub speed", 1.0, None),  # 19
        ("gauges, glass, vent, switches", 44 / 60, "everything measured"),  # 46 min: 44 of the 60 beyond 30 are left
        ("gauges, glass, vent, condensate, switches, thermostat, bulb re-seated", 0.0, "everything measured"),  # 98
        ("glass, vent", 0.0, "measurements that leave the suspects alike"),
    ],
)
def test_a_path_is_weighed_by_what_it_shows_and_costs(path, share, idea):
    verdict = weighed(path, keys.measurements(PLACE, BOTH))
    assert (verdict.share, verdict.idea) == (pytest.approx(share), idea)


def test_evidence_for_one_of_two_is_worth_half():
    causes = dict.fromkeys(CASE.tickets, ("drier restricted", "heater valve leaking"))
    key = keys.measurements(0, causes)
    assert weighed("drier", key).share == 0.5
    assert weighed("drier, heater pinched", key).share == 1.0
    assert weighed("drier, switches", key).share == pytest.approx(0.5 * (90 - 39) / 60)


def test_two_causes_in_any_order_and_one_of_them_for_half():
    place = next(place for place, ticket in enumerate(CASE.tickets) if len(BOTH[ticket]) == 2)
    item = SHEET.item(f"machine {place + 1}, cause")
    one, two = BOTH[CASE.tickets[place]]
    assert mark(item, f"{two}, {one}", CASE).status == "right"
    assert (mark(item, one, CASE).idea, mark(item, one, CASE).points) == ("stopping at the first match", 1.5)
    assert mark(item, "healthy", CASE).idea == "called healthy"


def test_the_high_side_is_the_difference_of_two_gauges():
    one = clinic.ticket(CASE.tickets[0])
    psi = [round(one_side["high_gauge"] / 6894.757) for one_side in (one.seen, one.healthy)]
    found = SHEET.item("machine 1, high side").answer(CASE)
    assert units.convert(found, "pressure difference", "psi") == pytest.approx(psi[0] - psi[1], abs=1e-4)


def test_practice_never_shows_a_graded_ticket():
    graded = material.GRADED["faults-4"]
    for seed in range(50):
        assert not any(ticket.startswith("P") for ticket in graded.case("t", f"s{seed}").tickets)
        assert all(ticket.startswith("P") for ticket in SHEET.case("t", f"s{seed}").tickets)


def test_the_printed_symptoms_are_those_of_the_manuals():
    # army_vehicle_ac_symptoms.csv: sources A, B, C named in its head.
    rows = {(row["source"], row["finding"]): row for row in published.rows("army_vehicle_ac_symptoms")}
    text = worked.manual_symptoms().text
    for key in MANUAL_ROWS:
        line = next(line for line in text.splitlines() if line.startswith(f"{key[1]}  "))
        assert rows[key]["low_side"] in line
        assert rows[key]["high_side"] in line
