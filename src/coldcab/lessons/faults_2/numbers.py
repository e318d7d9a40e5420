"""Cases of lesson faults-2: machines with faults, whose readings are to be predicted, compared and judged."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from coldcab.faults import QUANTITIES, faults_for
from coldcab.lessons.faults_2.notes import CONCLUSIONS, REASONS, STEPS
from coldcab.machine import Readings
from coldcab.machine.fleet import FLEET
from coldcab.scenario import sick_machines
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import FLEET as UNITS
from coldcab.scenario.fleet import Unit
from coldcab.scenario.showing import shown
from coldcab.scenario.sick_machines import Noted, in_words, note, psig
from coldcab.words import _

SEVERITY = 0.8
"""Severity of every fault but those whose severity is the question."""

BLOCK_VALVES = tuple(unit for unit in UNITS if FLEET[unit.number].valve.block)
MACHINES = (*UNITS, *BLOCK_VALVES)
"""Those with block valves twice, so that they come more often."""
DAYS, RPM = (84.0, 88.0, 102.0, 106.0), 1500.0

FIRST_FAULTS = (
    *("charge low", "drier restricted", "liquid line kinked", "valve screen plugged", "suction hose collapsed"),
    *("low evaporator air", "valve stuck open", "bulb charge lost", "valve head charge lost"),
)
"""Of the last two a machine has the one that fits its kind of valve."""
SECOND_FAULTS = (
    *("worn compressor", "clutch or belt slipping", "condenser blocked", "condenser fan slow", "charge high"),
    *("hot air recirculated", "air in the circuit", "discharge hose restricted", "heater valve leaking"),
)
DRIER_SEVERITIES = (0.25, 0.35, 0.45, 0.5, 0.55, 0.85)
"""Severities of the six machines with a restricted drier."""
LOW_SIDE_CULPRITS = (
    *("charge low", "drier restricted", "liquid line kinked", "valve screen plugged", "suction hose collapsed"),
    *("low evaporator air", "evaporator oil-logged", "evaporator blocked inside"),
)
HEAD_CULPRITS = (
    *("charge high", "condenser blocked", "air in the circuit", "hot air recirculated"),
    *("discharge hose restricted", "drier inlet blocked"),
)
NOT_COLD = (
    *("", "heater valve leaking", "low evaporator air", "drier restricted", "valve screen plugged"),
    *("liquid line kinked", "worn compressor", "clutch or belt slipping", "condenser blocked"),
    *("condenser fan slow", "valve stuck open"),
)
"""What complaints D and E are about; the first of them is a machine with no fault."""
LEFT_OVER = (
    *("charge low", "valve screen plugged", "valve stuck shut", "moisture freezing", "bulb charge lost"),
    *("valve head charge lost", "drier restricted", "liquid line kinked", "condenser blocked", "condenser fan slow"),
    *("charge high", "discharge hose restricted", "worn compressor", "clutch or belt slipping", "air in the circuit"),
    *("low evaporator air", "suction hose collapsed", "heater valve leaking", "hot air recirculated"),
    *("evaporator oil-logged", "valve stuck open"),
)
"""Suspects of machine H, whose readings leave more than one of them."""
PAIRS = (
    *(("charge low", "drier restricted"), ("charge low", "valve screen plugged")),
    *(("drier restricted", "valve screen plugged"), ("liquid line kinked", "valve screen plugged")),
    *(("suction hose collapsed", "valve screen plugged"), ("drier restricted", "liquid line kinked")),
    *(("condenser blocked", "hot air recirculated"), ("condenser blocked", "air in the circuit")),
    *(("air in the circuit", "charge high"), ("clutch or belt slipping", "worn compressor")),
    *(("condenser blocked", "charge high"), ("charge low", "liquid line kinked")),
)
"""Suspects that push both needles the same way."""
MARKS = {"suction_hose_rise": "suction hose collapsed", "condenser_air_rise": "condenser blocked", "vent": None}
"""The suspect whose mark a reading is. It is offered as the one that separates only where that suspect is in the pair:
with others it differs by the size of the fault, not by its kind."""

SIGNS = {
    "low_gauge": (_("low side lower"), _("low side as on the healthy one"), _("low side higher")),
    "high_gauge": (_("high side lower"), _("high side as on the healthy one"), _("high side higher")),
    "superheat_measured": (_("superheat lower"), _("superheat as on the healthy one"), _("superheat higher")),
    "vent": (_("vent air colder"), _("vent air as on the healthy one"), _("vent air warmer")),
    "discharge_line": (
        _("discharge line cooler"),
        _("discharge line as on the healthy one"),
        _("discharge line hotter"),
    ),
    "condenser_air_rise": (
        _("condenser warms its air less"),
        _("condenser warms its air as on the healthy one"),
        _("condenser warms its air more"),
    ),
    "subcooling_measured": ("", _("subcooling as on the healthy one"), _("subcooling higher")),
    "drier_drop": ("", _("no step over the drier"), _("line colder out of the drier than into it")),
    "liquid_line_drop": (
        "",
        _("line as warm at the valve as behind the drier"),
        _("line colder at the valve than at the drier"),
    ),
    "condenser_face": (
        "",
        _("air at the condenser's face as on the healthy one"),
        _("hot air at the condenser's face"),
    ),
    "glass": ("", _("glass clear"), _("bubbles, foam or streaks in the glass")),
    "standing_pressure": (
        "",
        _("gauges after a night's rest as on the healthy one"),
        _("gauges higher after a night's rest"),
    ),
    "suction_hose_rise": (
        _("suction line warms less on its way, or cools"),
        _("suction hose as on the healthy one"),
        "",
    ),
    "hub_slip": ("", _("hub as fast as its pulley"), _("hub slower than its pulley")),
}
"""Words for a quantity of `QUANTITIES` that falls, stays and rises; left empty where the sheet does not ask."""
PLAIN, NOTHING = 1.5, 0.7
"""A change is plain above the first, none below the second, in what is resolved; between, it is not asked."""

MEASUREMENTS = {
    "glass": _("look at the sight glass"),
    "drier_drop": _("clamp-on thermometers at both ends of the drier"),
    "liquid_line_drop": _("clamp-on thermometers behind the drier and before the valve"),
    "suction_hose_rise": _("clamp-on thermometers at both ends of the suction hose"),
    "condenser_face": _("air at the condenser's face against air in the shade"),
    "condenser_air_rise": _("air before and behind the condenser"),
    "standing_pressure": _("both gauges after a night's rest"),
    "hub_slip": _("photo tachometer on pulley and hub"),
    "subcooling_measured": _("clamp-on thermometer on the liquid line, for the subcooling"),
    "vent": _("thermometer in the vent"),
}
GAUGES_AGAIN = _("read both gauges once more")
GAUGES = ("low_gauge", "high_gauge")

LOUDEST = _("“Nothing works, it is terrible!”")
COMPLAINTS = (
    _("“It blows warm, the compressor is gone.”"),
    _("“It never was cold, put some gas in.”"),
    _("“It is the clutch, I can hear it.”"),
    _("“It was fine until last week.”"),
    _("“A new valve will do it.”"),
)
LETTERS = "ABCDEFGHIJ"


@dataclass(frozen=True)
class Place:
    """A machine of the shop on a day (F), with its own refrigerant in it."""

    unit: Unit
    ambient_fahrenheit: float

    @property
    def refrigerant(self) -> str:
        """What it runs on: R-134a, but for the newest."""
        built_for = FLEET[self.unit.number].refrigerant
        return sick_machines.REFRIGERANT if built_for == "R-12" else built_for

    @property
    def own_faults(self) -> tuple[str, ...]:
        """The faults that it can have."""
        return faults_for(FLEET[self.unit.number], self.refrigerant)

    @property
    def has_glass(self) -> bool:
        """Whether it has a sight glass; the shop's machines with a block valve have none."""
        return not FLEET[self.unit.number].valve.block

    def run(self, fault: str = "", severity: float = SEVERITY) -> Readings:
        """Return its readings, healthy or with a fault."""
        return sick_machines.run(
            *(self.unit.number, self.ambient_fahrenheit, RPM, fault, severity if fault else 0.0),
            self.refrigerant,
        )

    def way(self, fault: str, name: str) -> int | None:
        """Return -1, 0 or 1: a quantity falls, stays or rises plainly; None where that is a close call."""
        change = change_in(self, fault, name)
        if abs(change) < NOTHING:
            return 0
        return None if abs(change) < PLAIN else (1 if change > 0 else -1)


@lru_cache(maxsize=65536)
def change_in(place: Place, fault: str, name: str) -> float:
    """Return how far a fault moves a quantity, in what its instrument resolves."""
    one = QUANTITIES[name]
    return float((one.value(place.run(fault)) - one.value(place.run())) / one.resolved)


@dataclass(frozen=True)
class SignatureCase:
    """A machine on a day, two faults to predict, and readings of machines of that type with faults."""

    place: Place
    fault_1: str
    fault_2: str
    signs: tuple[tuple[str, int], ...]  # name of the quantity, and its way
    blocked_psig: float  # high gauge of the machine with the blocked condenser
    driers: tuple[Noted, ...]  # of machines A to F of part 2
    drier_days: tuple[float, ...]
    complaints: tuple[str, ...]
    reasons: tuple[str, ...]
    complaint_d: Noted
    complaint_e: Noted
    machine_f: Noted
    machine_g: Noted
    left_signs: tuple[tuple[str, int], ...]
    suspects: tuple[str, ...]  # of machine H
    pair: tuple[str, str]
    offers: tuple[str, ...]
    conclusions: tuple[str, ...]
    steps: tuple[str, ...]

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [*self._bench(), *self._sizes(), *self._complaints(), *self._suspects(), *self._shop()]

    def _bench(self) -> list[tuple[str, str]]:
        place = self.place
        valve = _("block valve") if FLEET[place.unit.number].valve.block else _("valve with a bulb")
        return [
            (
                "machine",
                _("{machine}, {valve}; every machine on this sheet is of its type").format(
                    machine=place.unit.name, valve=valve
                ),
            ),
            (
                "the day",
                _("{temperature}, humidity 40 %, sea level, doors open").format(
                    temperature=shown(f"{place.ambient_fahrenheit:g} F", "temperature")
                ),
            ),
            (
                "engine",
                _("{speed:,.0f} rpm, {refrigerant}, right charge, blower on full").format(
                    speed=RPM, refrigerant=place.refrigerant
                ),
            ),
            ("fault 1, at 80 %", self.fault_1),
            ("fault 2, at 80 %", self.fault_2),
            *_lettered("sign", (SIGNS[name][way + 1] for name, way in self.signs)),
        ]

    def _sizes(self) -> list[tuple[str, str]]:
        rows = zip(LETTERS, self.complaints, self.drier_days, self.driers, strict=False)
        return [
            *(
                (
                    f"drier {letter}",
                    _("{complaint} Day {day}: {readings}").format(
                        complaint=complaint, day=shown(f"{day:g} F", "temperature"), readings=in_words(drier)
                    ),
                )
                for letter, complaint, day, drier in rows
            ),
            (
                "machine with the blocked condenser",
                _("high side {pressure}").format(pressure=shown(f"{self.blocked_psig:g} psig", "pressure")),
            ),
        ]

    def _complaints(self) -> list[tuple[str, str]]:
        said = _("“It does not cool.” {readings}")
        return [
            ("complaint D", said.format(readings=in_words(self.complaint_d))),
            ("complaint E", said.format(readings=in_words(self.complaint_e))),
            *_lettered("reason", self.reasons),
        ]

    def _suspects(self) -> list[tuple[str, str]]:
        signs = ", ".join(SIGNS[name][way + 1] for name, way in self.left_signs)
        seen, unseen = "{readings}", _("its sight glass is black; {signs}")
        if not self.place.has_glass:
            seen = _("{readings}; it has none of its own, a test glass was put into the liquid line")
            unseen = _("it has no sight glass; {signs}")
        return [
            ("machine F", seen.format(readings=in_words(self.machine_f))),
            ("machine G", seen.format(readings=in_words(self.machine_g))),
            ("machine H", unseen.format(signs=signs)),
            *_lettered("suspect", self.suspects),
            ("machine K", _("two suspects left: {one}, {two}").format(one=self.pair[0], two=self.pair[1])),
            *_lettered("reading", (GAUGES_AGAIN if one == GAUGES_AGAIN else MEASUREMENTS[one] for one in self.offers)),
        ]

    def _shop(self) -> list[tuple[str, str]]:
        return [*_lettered("sentence", self.conclusions), *_lettered("step", self.steps)]


def _lettered(label: str, texts: Iterable[str]) -> list[tuple[str, str]]:
    return [(f"{label} {letter}", text) for letter, text in zip(LETTERS, texts, strict=False)]


def draw_signs(draw: Draw, place: Place) -> tuple[tuple[str, str], tuple[tuple[str, int], ...]]:
    """Return two faults and ten signs that are no close call with either; each fault makes at least one of them."""
    first = draw.pick("first", [fault for fault in FIRST_FAULTS if fault in place.own_faults])
    pool = draw.order("signs", [(name, way) for name, words in SIGNS.items() for way in (-1, 1) if words[way + 1]])
    pool = tuple(one for one in pool if place.has_glass or one[0] != "glass")  # the bench could not show it
    for second in draw.order("second", SECOND_FAULTS):
        faults = first, second
        clear = [one for one in pool if None not in (place.way(fault, one[0]) for fault in faults)]
        made = [[one for one in clear if place.way(fault, one[0]) == one[1]] for fault in faults]
        if all(made) and len(clear) >= 10:
            chosen = list(dict.fromkeys((*made[0][:2], *made[1][:2], *clear)))[:10]
            return faults, draw.order("order of signs", chosen)
    raise ValueError(_("No two faults of {machine} make plain signs.").format(machine=place.unit.name))


def draw_left(draw: Draw, place: Place) -> tuple[tuple[tuple[str, int], ...], tuple[str, ...]]:
    """Return signs of a machine whose glass cannot be read, and eight suspects; two to five of them make all signs."""
    own = [fault for fault in LEFT_OVER if fault in place.own_faults]
    further = draw.order("left signs", [name for name in SIGNS if name not in ("glass", "hub_slip")])
    asked = [*GAUGES, *(name for name in further if name not in GAUGES)]
    for fault in draw.order("left fault", own):
        ways = [(name, place.way(fault, name)) for name in asked]
        clear = [(name, way) for name, way in ways if way is not None and SIGNS[name][way + 1]]
        for count in (5, 4, 3):
            signs = tuple(clear[:count])
            fits = [one for one in own if all(place.way(one, name) == way for name, way in signs)]
            others = [one for one in own if any(place.way(one, name) not in (None, way) for name, way in signs)]
            kept = draw.order("fits", fits)[:5]
            if len(fits) >= 2 and len(kept) + len(others) >= 8 and any(way for _name, way in signs):
                others = list(draw.order("others", others))
                return signs, draw.order("suspects", (*kept, *others[: 8 - len(kept)]))
    raise ValueError(_("No fault of {machine} leaves two suspects.").format(machine=place.unit.name))


def draw_offers(draw: Draw, place: Place) -> tuple[tuple[str, str], tuple[str, ...]]:
    """Return two suspects, and six readings of which one shows them apart."""
    for pair in draw.order("pairs", [pair for pair in PAIRS if set(pair) <= {*place.own_faults}]):
        offered = [name for name in draw.order("offers", [*MEASUREMENTS]) if place.has_glass or name != "glass"]
        ways = {name: {place.way(fault, name) for fault in pair} for name in offered}
        differ = [name for name, found in ways.items() if len(found) == 2 and None not in found]
        apart = [name for name in differ if name not in MARKS or MARKS[name] in pair]
        alike = [name for name, found in ways.items() if len(found) == 1 and None not in found]
        same_gauges = all(len({place.way(fault, name) for fault in pair} - {None}) <= 1 for name in GAUGES)
        if apart and len(alike) >= 4 and same_gauges:
            return pair, draw.order("order of offers", (apart[0], GAUGES_AGAIN, *alike[:4]))
    raise ValueError(_("No two faults of {machine} look alike on the gauges.").format(machine=place.unit.name))


def draw_notes(draw: Draw, name: str, notes: tuple[str, ...], count: int) -> tuple[str, ...]:
    """Return some of the shop's notes, in an order of their own."""
    return draw.order(name, notes)[:count]


AT_THE_CAB = ("low_gauge", "high_gauge", "suction_line_at_evaporator", "return_air", "vent")
STARVED_NOTES = (
    *("low_gauge", "evaporator_inlet", "suction_line_at_evaporator", "suction_line_at_compressor"),
    *("drier_in", "drier_out", "liquid_line", "vent", "glass"),
)
HEAD_NOTES = (
    *("high_gauge", "drier_in", "drier_out", "liquid_line", "condenser_air_in", "condenser_air_out"),
    *("standing_pressure", "glass"),
)


def draw_case(term: str, learner: str, *, assignment: str = "faults-2") -> SignatureCase:
    """Return the numbers of one learner.

    Faults and severities come from short lists, within which the readings tell the fault on every machine and day that
    can be drawn (a test goes through them).
    """
    draw = Draw(assignment, term, learner)
    place = Place(draw.pick("unit", MACHINES), draw.pick("ambient", DAYS))

    def own(quantity: str, faults: tuple[str, ...]) -> str:
        return draw.pick(quantity, [fault for fault in faults if fault in place.own_faults])

    faults, signs = draw_signs(draw, place)
    severities, days = draw.order("driers", DRIER_SEVERITIES), [draw.pick(f"day {one}", DAYS) for one in range(6)]
    worst = severities.index(max(severities))
    complaints = [draw.pick(f"complaint {one}", COMPLAINTS) for one in range(6)]
    complaints[draw.pick("loudest", [one for one in range(6) if one != worst])] = LOUDEST
    left, suspects = draw_left(draw, place)
    pair, offers = draw_offers(draw, place)
    cause_d, cause_e = draw.order("causes", NOT_COLD)[:2]
    return SignatureCase(
        place=place,
        fault_1=faults[0],
        fault_2=faults[1],
        signs=signs,
        blocked_psig=psig(place.run("condenser blocked", draw.number("blocked", 0.4, 0.9, 0.05)).high_gauge),
        driers=tuple(
            note(
                Place(place.unit, day).run("drier restricted", severity),
                *("low_gauge", "drier_in", "drier_out"),
            )
            for severity, day in zip(severities, days, strict=True)
        ),
        drier_days=tuple(days),
        complaints=tuple(complaints),
        reasons=draw.order("reasons", REASONS),
        complaint_d=note(place.run(cause_d), *AT_THE_CAB),
        complaint_e=note(place.run(cause_e), *AT_THE_CAB),
        machine_f=note(place.run(own("low side", LOW_SIDE_CULPRITS)), *STARVED_NOTES),
        machine_g=note(place.run(own("head", HEAD_CULPRITS)), *HEAD_NOTES),
        left_signs=left,
        suspects=suspects,
        pair=pair,
        offers=offers,
        conclusions=draw_notes(draw, "conclusions", CONCLUSIONS, 8),
        steps=draw_notes(draw, "steps", STEPS, 6),
    )
