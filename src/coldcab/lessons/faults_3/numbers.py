"""Cases of lesson faults-3: which measurement next, what evidence makes of base rates, and when to stop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from coldcab import units
from coldcab.assess.items import PRACTICE_PREFIX
from coldcab.faults import measurements, observables
from coldcab.lessons.faults_3 import evidence
from coldcab.lessons.faults_3.evidence import GAUGES_AGAIN, SIGN_WORDS, SITUATIONS, TABLES, Pair, Seen, SignTable
from coldcab.machine.fleet import FLEET
from coldcab.scenario.draw import Draw
from coldcab.scenario.showing import shown

LETTERS = "ABCD"
RATES = ((26, 8, 6), (22, 12, 6), (24, 6, 10), (8, 20, 12), (12, 22, 6))
"""How many of the last 40 complaints of a kind each suspect was, in the shop's book; invented."""
COMPLAINTS = 40

ASKED = (
    *((0, 0, 0), (0, 0, 1), (0, 0, 2), (0, 1, 0), (0, 2, 1), (0, 2, 2), (0, 3, 1), (0, 4, 1)),
    *((1, 0, 2), (1, 1, 2), (1, 2, 2), (1, 4, 2)),
    *((2, 0, 0), (2, 1, 0), (2, 2, 0), (2, 2, 2), (2, 3, 0), (2, 4, 0)),
)
"""Place of table, base rates and suspect asked for, where no two known ways to think lead to the same number."""

AGAIN = "the helper reads the first instrument once more: the same"
"""A further reading that is no new evidence."""


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
"""Repairs that open the circuit, and repairs that touch no refrigerant; their minutes are invented."""


@dataclass(frozen=True)
class Situation:
    """Two suspects with like gauges on one machine's day, and four offers of what to do next."""

    pair: Pair
    unit: int
    day: float
    offers: tuple[str, str, str, str]

    def minutes(self, offer: str) -> float:
        """What an offer costs."""
        return evidence.minutes(self.pair, offer)

    def seen(self, offer: str) -> Seen:
        """What an offered measurement shows with either suspect."""
        return evidence.seen(self.pair, self.unit, self.day, offer)

    def offer_in_words(self, offer: str) -> str:
        """An offer, with what either suspect would show."""
        if offer == self.pair.part:
            return f"{offer}. The machine is well again, or it is not"
        words = offer if offer == GAUGES_AGAIN else measurements[offer].words
        both = self.seen(offer)
        return f"{words}. With (1): {in_words(both.one)}. With (2): {in_words(both.two)}"

    def lines(self, number: int) -> list[tuple[str, str]]:
        """What the sheet shows of it."""
        now = evidence.seen(self.pair, self.unit, self.day, "gauges").one
        healthy = evidence.healthy(self.pair, self.unit, self.day)
        place = f"{FLEET[self.unit].name}, {shown(f'{self.day:g} F', 'temperature')}"
        rows = [
            (
                f"situation {number}",
                f"{place}. Gauges: {in_words(now)}; healthy on this day: {in_words(healthy)}. "
                f"{self.pair.note}Two suspects are left: (1) {self.pair.one}, (2) {self.pair.two}.",
            )
        ]
        for letter, offer in zip(LETTERS, self.offers, strict=True):
            rows.append((f"  {number} {letter}, {self.minutes(offer):g} min", self.offer_in_words(offer)))
        return rows


_SENTENCES = {
    "low_gauge": "low side {reading}",
    "high_gauge": "high side {reading}",
    "drier_in": "in {reading}",
    "drier_out": "out {reading}",
    "condenser_air_in": "at its face {reading}",
    "condenser_air_out": "behind it {reading}",
    "hub_slip": "hub slower by {reading}",
    "fan_share": "speed {reading}",
    "low_gauge_valve_warmed": "low side moves {reading}",
    "thermostat_opens_at": "opens at {reading}",
    "high_switch_opens_at": "high one opens at {reading}",
    "low_switch_opens_at": "low one opens at {reading}",
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
            return "not at all"
        return shown(f"{units.convert(value, kind, 'psi') + 0.0:.0f} psi".replace("-0 ", "0 "), kind)
    if kind == "fraction":
        return f"{round(100 * value)} %"
    return shown(f"{units.convert(value, kind, 'F'):.0f} F", kind)


def _doubts() -> str:
    """What two readings must differ by to be worth a thought, by instrument."""

    def written(name: str, kind: str, unit: str, decimals: int) -> str:
        number = units.convert(observables[name].scatter, kind, unit)
        return shown(f"{number:.0f} {unit}", kind, decimals=decimals)

    return ", ".join(
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
    practice: bool = False
    """Practice asks about the first two situations and the first job, and shows no more."""

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        rows = [("instruments' doubt", _doubts())]
        for number, situation in enumerate(self.situations[: 2 if self.practice else None], 1):
            rows += situation.lines(number)
        names = self.table.suspects
        rows += [
            ("machine M", f"suspects: {', '.join(names)}. Asked for: {names[self.asked]}"),
            (f"  last {COMPLAINTS} like it", self._each([f"{rate}" for rate in self.rates])),
            ("  first reading", f"{SIGN_WORDS[self.table.signs[0]]}. Shows in {self._shares(0)}"),
            ("  second reading", f"{SIGN_WORDS[self.table.signs[1]]}. Shows in {self._shares(1)}"),
        ]
        machines = [("machine P", self.first_job, self.first_chance)]
        if not self.practice:
            further = f"another instrument: {SIGN_WORDS[self.table.signs[2]]}. Shows in {self._shares(2)}"
            rows.append(("  a further one", AGAIN if self.again else further))
            machines.append(("machine Q", self.second_job, self.second_chance))
        for name, job, chance in machines:
            touch = "opens the circuit" if job.opens else "opens nothing"
            test = measurements[job.test].words
            rows.append(
                (
                    name,
                    f"{job.cause} {100 * chance:.0f} %. Repair: {job.repair}, {job.minutes:g} min, {touch}. "
                    f"Test that settles it: {test}, {job.test_minutes:g} min",
                )
            )
        return rows

    def _shares(self, sign: int) -> str:
        return self._each([f"{100 * share:.0f} %" for share in self.table.shares(sign)])

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
        offers = draw.order(f"offers {number}", (*pair.offers, GAUGES_AGAIN, pair.part))
        situations.append(Situation(pair, unit, day, offers))
    inside, outside = draw.pick("long", JOBS_INSIDE), draw.pick("quick", JOBS_OUTSIDE)
    chances = draw.number("long chance", 0.70, 0.86, 0.02), draw.number("quick chance", 0.88, 0.96, 0.02)
    first, second = draw.order("jobs", ((inside, chances[0]), (outside, chances[1])))
    table, rates, asked = draw.pick("table", ASKED)
    return EvidenceCase(
        situations=tuple(situations),
        table=TABLES[table],
        rates=RATES[rates],
        asked=asked,
        again=draw.pick("again", (True, False, False)),
        first_job=first[0],
        first_chance=first[1],
        second_job=second[0],
        second_chance=second[1],
        practice=assignment.startswith(PRACTICE_PREFIX),
    )
