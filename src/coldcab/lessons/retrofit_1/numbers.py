"""Cases of lesson retrofit-1: a cylinder, and six each of containers, samples, scenes, people; law."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import refrigerants, units
from coldcab.quantities import STANDARD_ATMOSPHERE
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.service import recovery
from coldcab.words import _

REFRIGERANTS = ("R-12", "R-134a", "R-1234yf")
LETTERS = ("A", "B", "C", "D", "E", "F")
REASON_LETTERS = tuple("ABCDEFGHIJKLMN")
ORDINARY_MACHINES = ("R-12", "R-134a")

SCENES = (
    _("engine runs in the closed bay, nothing leads its exhaust outside"),
    _("cylinder stands 4 lb above its stop mark and still fills"),
    _("identifier shows 12 % hydrocarbon; the ordinary recovery machine is hooked up already"),
    _("a torch warms the accumulator, so that it gives its charge faster"),
    _("recycled gas goes into the throw-away cylinder of the new gas"),
    _("R-1234yf comes out, fan off; a grinder throws sparks beside the hose"),
    _("a fitting is loosened with 80 psig still on the gauge, no glasses on"),
    _("cylinder is filled whose last test was seven years ago"),
    _("recovery runs, door open, fan on, glasses and gloves on"),
    _("engine runs outside, brake set, everybody clear of the belt"),
    _("cylinder stands 3 lb below its stop mark and fills slowly"),
    _("machine stands in the sun, so that it gives its charge faster"),
    _("identifier shows 99.4 % R-134a; the R-134a machine is hooked up"),
    _("R-1234yf comes out into a machine made for it; fan on, no spark near"),
    _("a mixture goes into the cylinder for mixtures; its tag says what was read"),
    _("cylinder tested two years ago, evacuated before its first fill"),
    _("engine runs in the bay, a hose leads its exhaust outside, doors open"),
)
"""What can be seen in a shop; a sheet shows six of them."""

PEOPLE = (
    _("section 609 certificate, approved recovery machine"),
    _("section 608 Type II certificate, approved recovery machine"),
    _("section 609 certificate, approved machine, helps a neighbor without pay"),
    _("section 609 certificate, comes to the field with the shop's approved machine"),
    _("the owner, no certificate; it is his own machine and nobody pays"),
    _("section 609 certificate, no recovery machine"),
    _("section 608 Type I certificate, for small appliances; approved machine"),
    _("thirty years in the trade, no certificate; approved machine"),
    _("helper without a certificate; the certified one is at lunch, the machine is approved"),
    _("section 609 certificate, recovery pump made from an old compressor, approved by nobody"),
)
"""Who stands before an off-road cab; a sheet shows six of them."""

REASONS = {
    "qualified": _("yes: certificate and approved equipment are both there"),
    "cleaned": _("yes: recycled or reclaimed gas may go back in"),
    "same": _("yes: its own refrigerant, into a machine that was repaired"),
    "listed": _("yes: a listed change, with fittings, label and all old gas out"),
    "small can": _("yes: a can to 2 lb with a self-sealing valve, or older than 2018, is free to sell"),
    "old machine": _("yes: the dates are for new machines; old ones and parts may stay in use"),
    "new machine": _("yes: R-1234yf is listed for new machines of this kind"),
    "venting": _("no: that lets refrigerant out"),
    "unqualified": _("no: that takes a certificate or approved equipment, and it is missing"),
    "mixing": _("no: that mixes two refrigerants in one machine"),
    "not cleaned": _("no: recovered gas is not cleaned yet"),
    "not listed": _("no: not a listed refrigerant for this machine"),
    "fitting": _("no: fittings must be unique, locked on, and no old port left"),
    "container": _("no: that container may not be filled"),
}
"""Why something may be done or not; each sheet gives them letters of its own."""

QUESTIONS = {
    "combine": _(
        "A technician with the section 609 certificate wants to open the cab circuit of the combine, Unit 31: belt-"
        "driven compressor, 3.4 lb of R-12. An approved machine stands ready. May she?"
    ),
    "type two": _(
        "A man from a refrigeration firm holds section 608 Type II and has an approved machine. May he open the "
        "R-134a circuit of the loader?"
    ),
    "recycled back": _("R-12 from Unit 31 went through the approved recycling machine. May it go back into Unit 31?"),
    "reclaimed bought": _(
        "The shop buys R-12 from a reclaimer; the label says reclaimed. Unit 31 runs on R-12 and its leak is repaired. "
        "May it be charged with that?"
    ),
    "same refrigerant": _(
        "The leak of a dozer is repaired and tested. It still holds R-134a, and its label says R-134a. May R-134a be "
        "added?"
    ),
    "own gas of a new tractor": _(
        "A tractor built for R-1234yf lost half its charge at a crimp, which is replaced and tested. May the shop "
        "charge R-1234yf with its machine for R-1234yf?"
    ),
    "conversion": _(
        "All R-12 of an old loader is recovered. Both ports carry R-134a fittings with thread lock, the label "
        "and a pressure "
        "cut-out are on. May R-134a go in?"
    ),
    "quoted conversion": _(
        "The owner of an R-12 sprayer wants R-134a. The quote: recover all R-12, locked R-134a fittings, new label, "
        "cut-out, oil, drier. May the job be done so?"
    ),
    "small can": _(
        "A farmer without a certificate wants one 12 oz can of R-134a; it has a self-sealing valve. May the shop sell "
        "it to him?"
    ),
    "old can": _(
        "A box of 12 oz cans of R-134a from 2016 turns up; they have no self-sealing valve. May the store sell them to "
        "farmers?"
    ),
    "kept in 2029": _("An owner wants to keep his 1998 loader on R-134a and have it repaired in 2029. May he?"),
    "part in 2029": _("May a new condenser for R-134a be sold in 2029, for a dozer of 2005?"),
    "new loader": _(
        "A maker delivers a new wheel loader with R-1234yf, with the fittings and the label for it. May he?"
    ),
    "new tractor": _(
        "A maker puts R-1234yf into a new 120 hp tractor and keeps all conditions of the listing. May he?"
    ),
    "short hose": _(
        "An old grader holds a little R-12 and must be opened. The hose is too short for the recovery machine. "
        "May the rest "
        "be let out in the open air?"
    ),
    "empty": _(
        "The gauge on an old grader shows 0 psig, so the owner calls it empty. May it be opened without recovery?"
    ),
    "blown out": _("The last R-134a of Unit 44 is to be blown out of an open port with nitrogen. May it be?"),
    "no equipment": _(
        "A neighbor asks the shop to open his loader's circuit in a field. The shop owns no approved recovery machine. "
        "May it take the job?"
    ),
    "own tractor": _(
        "A farmer without a certificate wants to open the circuit of his own tractor. Nobody pays him. May he?"
    ),
    "large cylinder": _(
        "A farmer without a certificate wants a 30 lb cylinder of R-134a. May the shop sell it to him?"
    ),
    "old refrigerant": _(
        "A farmer without a certificate wants a 14 oz can of R-12 for his old loader. May the shop sell it to him?"
    ),
    "top off": _("A baler tractor runs on R-12 and is low. The shop has R-134a only. May it be topped up with that?"),
    "blend on top": _(
        "A grader was changed to R-134a and is low. May a can that says “fits R-12 and R-134a systems” go on top of it?"
    ),
    "own refrigerant back": _(
        "R-12 was recovered from Unit 31 an hour ago. May it go straight back into the same machine, not recycled?"
    ),
    "into the next": _(
        "R-134a was recovered from a scrapped dozer with a recovery-only machine. May it go into Unit 44 as it is?"
    ),
    "hydrocarbon": _("A customer brings a hydrocarbon mixture sold for old R-12 cabs. May it go into his loader?"),
    "into an old cab": _(
        "The owner of a 1998 loader on R-134a wants R-1234yf put in, because it is the modern gas. May the shop do it?"
    ),
    "detour": _(
        "R-12 is recovered and R-134a goes in for one day, so that a hydrocarbon mixture can go in after that. "
        "May that be done?"
    ),
    "adapter": _("The R-134a hose does not fit the R-12 port of an old dozer. May an adapter go between for an hour?"),
    "unlocked port": _(
        "New R-134a fittings were screwed onto the R-12 ports of a loader, with neither thread lock nor latch. May it "
        "leave the shop so?"
    ),
    "old port left": _(
        "A loader got R-134a fittings on two ports. A third R-12 port behind the cab was left as it was. May it leave "
        "the shop so?"
    ),
    "disposable cylinder": _(
        "Recycled R-12 is to be stored in the empty throw-away cylinder in which new R-12 came. May it be?"
    ),
    "test overdue": _("A refillable cylinder was last tested seven years ago. May it be filled once more?"),
}
"""Short invented cases of law: may this be done?"""

TOPICS = (
    ("combine", "type two"), ("recycled back", "reclaimed bought"), ("same refrigerant", "own gas of a new tractor"),
    ("conversion", "quoted conversion"), ("small can", "old can"), ("kept in 2029", "part in 2029"),
    ("new loader", "new tractor"), ("short hose", "empty", "blown out"),
    ("no equipment", "own tractor", "large cylinder", "old refrigerant"), ("top off", "blend on top"),
    ("own refrigerant back", "into the next"), ("hydrocarbon", "into an old cab", "detour"),
    ("adapter", "unlocked port", "old port left"), ("disposable cylinder", "test overdue"),
)  # fmt: skip
"""Cases that turn on the same rule; a sheet has four cases, no two of one rule."""


@dataclass(frozen=True)
class Container:
    """A container of recycled R-12 that is checked for air."""

    fahrenheit: float
    hours: float
    shade: bool
    psig: float


@dataclass(frozen=True)
class Sample:
    """What an identifier shows of a machine, and what the sealant test says."""

    shares: tuple[tuple[str, float], ...]
    sealant: bool = False


@dataclass(frozen=True)
class RecoveryCase:
    """One job of recovery: weights in lb, temperatures in F, pressures in psig, as the instruments show them."""

    unit: Unit
    refrigerant: str
    water_capacity_lb: float
    tare_lb: float
    rating_lb: float
    before_lb: float
    after_lb: float
    warm_scale_lb: float
    warm_fahrenheit: float
    overfilled_scale_lb: float
    containers: tuple[Container, ...]
    samples: tuple[Sample, ...]
    scenes: tuple[str, ...]
    people: tuple[str, ...]
    law_cases: tuple[str, ...]  # names of QUESTIONS
    reasons: tuple[str, ...]  # names of REASONS, in the order of REASON_LETTERS

    @property
    def machine(self) -> str:
        """What was recovered from; no old machine of the shop holds R-1234yf."""
        return _("a new tractor") if self.refrigerant == "R-1234yf" else self.unit.name

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [*self._cylinder(), *self._checks(), *self._law()]

    def _cylinder(self) -> list[tuple[str, str]]:
        return [
            ("machine", f"{self.machine}, {self.refrigerant}"),
            ("water capacity WC", weight(self.water_capacity_lb)),
            ("tare weight TW", weight(self.tare_lb)),
            ("gross weight rating", weight(self.rating_lb)),
            ("scale before recovery", weight(self.before_lb)),
            ("scale after recovery", weight(self.after_lb)),
            ("scale, in the truck", weight(self.warm_scale_lb)),
            ("inside the truck", shown(f"{self.warm_fahrenheit:g} F", "temperature")),
            ("scale, overfilled twin", weight(self.overfilled_scale_lb)),
        ]

    def _checks(self) -> list[tuple[str, str]]:
        return [
            *((f"container {letter}, R-12", check(one)) for letter, one in zip(LETTERS, self.containers, strict=True)),
            *((f"sample {letter}", reading(one)) for letter, one in zip(LETTERS, self.samples, strict=True)),
            *((f"scene {letter}", text) for letter, text in zip(LETTERS, self.scenes, strict=True)),
        ]

    def _law(self) -> list[tuple[str, str]]:
        return [
            *((f"person {letter}", text) for letter, text in zip(LETTERS, self.people, strict=True)),
            *((f"case {number}", QUESTIONS[name]) for number, name in enumerate(self.law_cases, 1)),
            *((f"reason {letter}", REASONS[name]) for letter, name in zip(REASON_LETTERS, self.reasons, strict=True)),
        ]


def pounds(number: float) -> float:
    """kg of a number of pounds."""
    return units.from_unit(number, "mass", "lb")


def weight(number: float) -> str:
    """A weight as the scale or the stamp shows it, metric beside."""
    return shown(f"{number:.1f} lb", "mass", decimals=2)


def check(one: Container) -> str:
    """How a container stood, and what its gauge shows."""
    stood = (
        _("{warmth}, {hours:g} h in the shade, {gauge}")
        if one.shade
        else _("{warmth}, {hours:g} h in the sun, {gauge}")
    )
    return stood.format(
        warmth=shown(f"{one.fahrenheit:g} F", "temperature"),
        hours=one.hours,
        gauge=shown(f"{one.psig:g} psig", "pressure"),
    )


def reading(one: Sample) -> str:
    """What an identifier shows, and the sealant test beside it."""
    shares = ", ".join(f"{name} {100 * share:.1f} %" for name, share in one.shares)
    if one.sealant:
        return _("{shares}; sealant test: positive").format(shares=shares)
    return _("{shares}; sealant test: negative").format(shares=shares)


def draw_case(term: str, learner: str, *, assignment: str = "retrofit-1") -> RecoveryCase:
    """Return the numbers of one learner.

    The two rules for filling are drawn well apart, so that taking the wrong one shows, and neither always wins.
    """
    draw = Draw(assignment, term, learner)
    unit, refrigerant = draw.pick("unit", CONVERTED), draw.pick("refrigerant", REFRIGERANTS)
    capacity = draw.number("water capacity", 24.0, 50.0, 0.2)
    tare = round(0.45 * capacity + draw.number("tare", 2.0, 5.0, 0.1), 1)
    share = draw.pick("rule", (draw.number("strict", 0.80, 0.90, 0.01), draw.number("loose", 1.08, 1.20, 0.01)))
    rating = float(round(0.80 * capacity * _gravity(refrigerant, 77.0) * share / 0.60))
    before = round(tare + capacity * draw.number("heel", 0.030, 0.045, 0.001), 1)
    charge = units.convert(unit.charge, "mass", "lb")
    level = draw.number("level", 0.74, 0.84, 0.01)
    return RecoveryCase(
        unit=unit,
        refrigerant=refrigerant,
        water_capacity_lb=capacity,
        tare_lb=tare,
        rating_lb=rating,
        before_lb=before,
        after_lb=round(before + charge * draw.number("recovered", 0.60, 0.94, 0.01), 1),
        warm_scale_lb=round(tare + level * capacity * _gravity(refrigerant, 70.0), 1),
        warm_fahrenheit=draw.number("truck", 120.0, 136.0, 1.0),
        overfilled_scale_lb=round(tare + capacity * _gravity(refrigerant, draw.number("full", 84.0, 136.0, 1.0)), 1),
        containers=_containers(draw),
        samples=_samples(draw),
        scenes=draw.some("scenes", SCENES[:8], SCENES[8:], (2, 3, 4)),
        people=draw.some("people", PEOPLE[:4], PEOPLE[4:], (1, 2, 3)),
        law_cases=tuple(draw.pick(f"case {topic[0]}", topic) for topic in draw.order("topics", TOPICS)[:4]),
        reasons=draw.order("reasons", tuple(REASONS)),
    )


def _gravity(refrigerant: str, fahrenheit: float) -> float:
    """Weight of a pound of water capacity's worth of liquid."""
    kelvin = units.from_unit(fahrenheit, "temperature", "F")
    return float(refrigerants.saturation(refrigerant, temperature=kelvin).liquid_density) / recovery.WATER_60F


def _containers(draw: Draw) -> tuple[Container, ...]:
    """Six containers: full of air or not, well between the two curves or hardly above pure R-12, settled or not."""
    settled = draw.some("containers", ("high",) * 4, ("low", "low", "pure", "early", "sunny"), (1, 2, 3))
    return tuple(_container(draw, kind, place) for place, kind in enumerate(settled))


def _container(draw: Draw, kind: str, place: int) -> Container:
    warmth = draw.number(f"check {place}", 66.0, 98.0, 1.0)
    kelvin = units.from_unit(warmth, "temperature", "F")
    limit = round(units.convert(recovery.table_limit("R-12", kelvin), "pressure difference", "psi"))
    pure = units.convert(
        refrigerants.saturation_pressure("R-12", kelvin) - STANDARD_ATMOSPHERE, "pressure difference", "psi"
    )
    # Far enough from the limit that a row too high or too low in the table does not matter.
    gauge = {
        "low": limit - draw.number(f"low {place}", 4.0, 6.0, 1.0),
        "pure": float(round(pure)),
    }.get(kind, limit + draw.number(f"high {place}", 4.0, 12.0, 1.0))
    hours = draw.number(f"hours {place}", 2.0, 7.0, 1.0) if kind == "early" else draw.number(f"h {place}", 13, 22, 1)
    return Container(warmth, hours, kind != "sunny", gauge)


def _samples(draw: Draw) -> tuple[Sample, ...]:
    good = ("R-12", "R-134a", "trace", "air")
    bad = ("mixture", "R-22", "hydrocarbon", "unknown", "sealant", "R-1234yf")
    kinds = draw.some("samples", good, bad, (1, 2, 3))
    return tuple(_sample(draw, kind, place) for place, kind in enumerate(kinds))


def _sample(draw: Draw, kind: str, place: int) -> Sample:
    """What the identifier shows: shares by mass well away from the limits."""
    first, second = draw.order(f"first {place}", ORDINARY_MACHINES)
    small = draw.number(f"small {place}", 0.002, 0.008, 0.001)
    other = draw.number(f"other {place}", 0.04, 0.40, 0.01)
    air = draw.number(f"air {place}", 0.04, 0.12, 0.01)
    rest = round(1 - other, 3)
    return {
        "R-12": Sample((("R-12", 1 - small), ("R-134a", small))),
        "R-134a": Sample((("R-134a", 1 - small), ("R-12", small))),
        "trace": Sample(((first, 0.988), (second, 0.012))),
        "air": Sample(((first, round(1 - air, 3)), ("air", air))),
        "mixture": Sample(((first, rest), (second, other))),
        "R-22": Sample(((first, rest), ("R-22", other))),
        "hydrocarbon": Sample(((first, rest), ("hydrocarbon", other))),
        "unknown": Sample(((first, rest), (_("not known"), other))),
        "sealant": Sample((("R-134a", 1 - small), ("R-12", small)), sealant=True),
        "R-1234yf": Sample((("R-1234yf", 1 - small), ("R-134a", small))),
    }[kind]
