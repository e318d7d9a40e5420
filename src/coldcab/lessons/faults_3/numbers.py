"""Cases of lesson faults-3: which measurement next, what evidence makes of base rates, and when to stop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from coldcab import units
from coldcab.assess.items import PRACTICE_PREFIX
from coldcab.faults import measurements, observables
from coldcab.lessons.faults_3 import evidence
from coldcab.lessons.faults_3.evidence import (
    ADD_A_CAN,
    GAUGES_AGAIN,
    SIGN_WORDS,
    SITUATIONS,
    TABLES,
    VOLTMETER,
    WAIT,
    Pair,
    Seen,
    SignTable,
)
from coldcab.machine.fleet import FLEET
from coldcab.scenario.draw import Draw
from coldcab.scenario.showing import shown
from coldcab.words import _

LETTERS = "ABCDEF"
RATES = (
    *((4, 26, 10), (8, 10, 22), (10, 18, 12), (8, 20, 12), (6, 26, 8)),
    *((26, 8, 6), (18, 6, 16), (4, 30, 6)),
)
"""How many of the last 40 complaints of a kind each suspect was, in the shop's book; invented."""
COMPLAINTS = 40

ASKED = (
    *((0, 0, 1), (0, 0, 2), (0, 1, 1), (0, 1, 2), (0, 2, 2), (0, 3, 1), (0, 4, 2), (0, 5, 1), (0, 6, 1)),
    *((1, 0, 2), (1, 1, 1), (1, 2, 2), (1, 3, 1), (1, 3, 2), (1, 7, 1)),
    *((2, 0, 0), (2, 0, 1), (2, 1, 0), (2, 2, 0), (2, 4, 0), (2, 4, 1), (2, 5, 0), (2, 5, 1), (2, 7, 0)),
)
"""Place of table, base rates and suspect asked for, where no two known ways to think lead to the same number."""

AGAIN = _("the helper reads the first instrument once more: the same")
"""A further reading that is no new evidence."""

SITUATION = _(
    "{machine}, {day}. Gauges: {gauges}; healthy on this day: {healthy}. Two suspects are left: (1) {one}, (2) {two}."
)
SITUATION_OF_A_CLUTCH_THAT_DROPS_OUT = _(
    "{machine}, {day}. The clutch drops out again and again; the gauges are means over its cycle: {gauges}; healthy on "
    "this day: {healthy}. Two suspects are left: (1) {one}, (2) {two}."
)
OPENS, OPENS_NOTHING = (
    _(
        "{cause} {chance:.0f} %. Repair: {repair}, {minutes:g} min, opens the refrigerant circuit. "
        "Test that settles it: {test}, {test_minutes:g} min"
    ),
    _(
        "{cause} {chance:.0f} %. Repair: {repair}, {minutes:g} min, no refrigerant circuit is opened. "
        "Test that settles it: {test}, {test_minutes:g} min"
    ),
)


@dataclass(frozen=True)
class Job:
    """A repair, what it costs where it was not the cause, and the test that settles the cause beforehand."""

    cause: str
    repair: str
    minutes: float
    test: str
    opens: bool

    @property
    def test_minutes(self) -> float:
        """Price of the confirming test."""
        return measurements[self.test].minutes


JOBS_INSIDE = (
    Job("drier restricted", "a new drier", 150.0, "drier", True),
    Job("valve screen plugged", "a new valve with a clean screen", 180.0, "valve warmed", True),
    Job("worn compressor", "a new compressor", 300.0, "hub speed", True),
)
JOBS_OUTSIDE = (
    Job("condenser blocked", "blow out the condenser", 15.0, "condenser air", False),
    Job("low evaporator air", "change the cab's filter", 6.0, "vent", False),
    Job("clutch or belt slipping", "tighten the belt", 12.0, "hub speed", False),
)
JOBS_LONG = (
    Job("condenser fan slow", "a new fan motor", 90.0, "fan", False),
    Job("heater valve leaking", "a new heater valve", 75.0, "heater pinched", False),
    Job("thermostat opens early", "a new thermostat", 150.0, "thermostat", False),
)
"""Repairs that open the circuit, short and long repairs that touch no refrigerant; their minutes are invented."""
JOBS = (
    *((job, 0.70, 0.86) for job in JOBS_INSIDE),
    *((job, 0.88, 0.96) for job in JOBS_OUTSIDE),
    *((job, 0.60, 0.74) for job in JOBS_LONG),
)
"""Each with the least and the highest chance that its cause is the right one."""

FURTHER = (
    _("it rises: with all three products multiplied by that reading, this suspect has a larger part of the sum"),
    _("it falls: with all three products multiplied by that reading, this suspect has a smaller part of the sum"),
    _("it stays: the first instrument read again is no new evidence"),
    _("it rises: every reading that fits a suspect confirms it"),
    _("it stays: two readings are enough, a third cannot change them"),
    _("it falls: the more readings, the less sure one gets"),
)
DECISIONS = (
    _("test first: the repair opens the refrigerant circuit, and what opens it is confirmed first"),
    _("test first: the circuit stays closed, but on average more minutes are wasted than the test takes"),
    _("repair now: the circuit stays closed, and on average fewer minutes are wasted than the test takes"),
    _("repair now: this cause is by far the likeliest"),
    _("test first: nothing is repaired before it is certain"),
    _("repair now: the customer waits"),
)
"""What may be said of a further reading, and of a repair; what holds stands with the instructor."""


@dataclass(frozen=True)
class Situation:
    """Two suspects with like gauges on one machine's day, and six offers of what to do next."""

    pair: Pair
    unit: int
    day: float
    offers: tuple[str, ...]

    def minutes(self, offer: str) -> float:
        """What an offer costs."""
        return evidence.minutes(self.pair, offer)

    def seen(self, offer: str) -> Seen:
        """What an offered measurement shows with either suspect."""
        return evidence.seen(self.pair, self.unit, self.day, offer)

    def offer_in_words(self, offer: str) -> str:
        """An offer, with what either suspect would show."""
        if offer in (self.pair.part, ADD_A_CAN, WAIT):
            return _("{offer}. The machine is well again, or it is not").format(offer=offer)
        if offer == VOLTMETER:
            return _(
                "{offer} while the clutch is out. With (1): battery voltage across the thermostat. With (2): battery "
                "voltage across the pressure switch"
            ).format(offer=offer)
        words = offer if offer == GAUGES_AGAIN else measurements[offer].words
        both = self.seen(offer)
        return _("{measurement}. With (1): {one}. With (2): {two}").format(
            measurement=words, one=in_words(both.one), two=in_words(both.two)
        )

    def lines(self, number: int) -> list[tuple[str, str]]:
        """What the sheet shows of it."""
        now = evidence.seen(self.pair, self.unit, self.day, "gauges").one
        healthy = evidence.healthy(self.pair, self.unit, self.day)
        words = (SITUATION_OF_A_CLUTCH_THAT_DROPS_OUT if self.pair.drops_out else SITUATION).format(
            machine=FLEET[self.unit].name,
            day=shown(f"{self.day:g} F", "temperature"),
            gauges=in_words(now),
            healthy=in_words(healthy),
            one=self.pair.one,
            two=self.pair.two,
        )
        rows = [(f"situation {number}", words)]
        for letter, offer in zip(LETTERS, self.offers, strict=True):
            rows.append((f"  {number} {letter}, {self.minutes(offer):g} min", self.offer_in_words(offer)))
        return rows


_SENTENCES = {
    "low_gauge": _("low side {reading}"),
    "high_gauge": _("high side {reading}"),
    "drier_in": _("in {reading}"),
    "drier_out": _("out {reading}"),
    "condenser_air_in": _("at its face {reading}"),
    "condenser_air_out": _("behind it {reading}"),
    "hub_slip": _("hub slower by {reading}"),
    "fan_share": _("speed {reading}"),
    "low_gauge_valve_warmed": _("low side moves {reading}"),
    "thermostat_opens_at": _("opens at {reading}"),
    "high_switch_opens_at": _("high one opens at {reading}"),
    "low_switch_opens_at": _("low one opens at {reading}"),
}
"""Where a measurement gives more than one reading, or its name does not say which."""


def in_words(values: dict[str, Any]) -> str:
    """Return readings in words, rounded as shop instruments show them."""
    return ", ".join(
        _SENTENCES.get(name, "{reading}").format(reading=_reading(name, value)) for name, value in values.items()
    )


def _reading(name: str, value: Any) -> str:
    if isinstance(value, str):
        return value
    kind = observables[name].kind
    if kind == "pressure":
        return shown(f"{units.convert(value, 'pressure difference', 'psi'):.0f} psig", "pressure")
    if kind == "pressure difference":
        if abs(value) < observables[name].scatter:
            return _("not at all")
        return shown(f"{units.convert(value, kind, 'psi') + 0.0:.0f} psi".replace("-0 ", "0 "), kind)
    if kind == "fraction":
        return f"{round(100 * value)} %"
    return shown(f"{units.convert(value, kind, 'F'):.0f} F", kind)


def _doubts() -> str:
    """What each reading can be off by, by instrument, and what follows for two of them."""

    def written(name: str, kind: str, unit: str, decimals: int) -> str:
        number = units.convert(observables[name].scatter, kind, unit)
        return shown(f"{number:.0f} {unit}", kind, decimals=decimals)

    each = ", ".join(
        f"{words} {written(name, kind, unit, decimals)}"
        for words, name, kind, unit, decimals in (
            ("low gauge", "low_gauge", "pressure difference", "psi", 0),
            ("high gauge", "high_gauge", "pressure difference", "psi", 0),
            ("clips", "suction_line_at_evaporator", "temperature difference", "F", 1),
            ("clips at the drier", "drier_in", "temperature difference", "F", 1),
            ("clip on the discharge line", "discharge_line", "temperature difference", "F", 1),
            ("air before the condenser or in the vent", "vent", "temperature difference", "F", 1),
        )
    )
    return _("{each}. Two readings that differ by no more than twice that are the same").format(each=each)


@dataclass(frozen=True)
class EvidenceCase:
    """Four situations; three suspects with base rates and signs; two machines on which to stop or to go on."""

    situations: tuple[Situation, Situation, Situation, Situation]
    table: SignTable
    rates: tuple[int, int, int]
    asked: int
    again: bool
    first_job: Job
    first_chance: float
    second_job: Job
    second_chance: float
    further: tuple[str, ...]
    decisions: tuple[str, ...]
    practice: bool = False
    """Practice asks about the first job alone, and shows no other."""

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        rows = [("can be off by", _doubts())]
        for number, situation in enumerate(self.situations, 1):
            rows += situation.lines(number)
        names = self.table.suspects
        rows += [
            (
                "machine M",
                _("suspects: {suspects}. Asked for: {asked}").format(
                    suspects=", ".join(names), asked=names[self.asked]
                ),
            ),
            (f"  last {COMPLAINTS} like it", self._each([f"{rate}" for rate in self.rates])),
            ("  first reading", self._reading(0)),
            ("  second reading", self._reading(1)),
            (
                "  a further one",
                AGAIN if self.again else _("another instrument: {reading}").format(reading=self._reading(2)),
            ),
            *((f"  further {letter}", text) for letter, text in zip(LETTERS, self.further, strict=True)),
        ]
        machines = [("machine P", self.first_job, self.first_chance)]
        if not self.practice:
            machines.append(("machine Q", self.second_job, self.second_chance))
        for name, job, chance in machines:
            words = (OPENS if job.opens else OPENS_NOTHING).format(
                cause=job.cause,
                chance=100 * chance,
                repair=job.repair,
                minutes=job.minutes,
                test=measurements[job.test].words,
                test_minutes=job.test_minutes,
            )
            rows.append((name, words))
        return [*rows, *((f"decision {letter}", text) for letter, text in zip(LETTERS, self.decisions, strict=True))]

    def _reading(self, sign: int) -> str:
        shares = self._each([f"{100 * share:.0f} %" for share in self.table.shares(sign)])
        return _("{reading}. Shows in {shares}").format(reading=SIGN_WORDS[self.table.signs[sign]], shares=shares)

    def _each(self, words: list[str]) -> str:
        return ", ".join(f"{name} {word}" for name, word in zip(self.table.suspects, words, strict=True))


def draw_case(term: str, learner: str, *, assignment: str = "faults-3") -> EvidenceCase:
    """Return the numbers of one learner.

    Base rates and signs come from short lists in which the known wrong ideas lead to other numbers, and job and
    chance from lists in which the decision is not a close call (a test goes through all of them).
    """
    draw = Draw(assignment, term, learner)
    situations = []
    for number, pairs in enumerate(SITUATIONS):
        pair = draw.pick(f"pair {number}", pairs)
        unit, day = draw.pick(f"machine {number}", evidence.machines_of(pair))
        offers = draw.order(f"offers {number}", evidence.offered(pair))
        situations.append(Situation(pair, unit, day, offers))
    jobs = [
        (job, draw.number(f"chance of {job.cause}", least, highest, 0.01))
        for job, least, highest in draw.order("jobs", JOBS)[:2]
    ]
    (first_job, first_chance), (second_job, second_chance) = jobs
    table, rates, asked = draw.pick("table", ASKED)
    return EvidenceCase(
        situations=tuple(situations),
        table=TABLES[table],
        rates=RATES[rates],
        asked=asked,
        again=draw.pick("again", (True, False, False)),
        first_job=first_job,
        first_chance=first_chance,
        second_job=second_job,
        second_chance=second_chance,
        further=draw.order("further", FURTHER),
        decisions=draw.order("decisions", DECISIONS),
        practice=assignment.startswith(PRACTICE_PREFIX),
    )
