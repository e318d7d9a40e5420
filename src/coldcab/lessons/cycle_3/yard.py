"""What stands in the yard of lesson cycle-3: cabs with their readings, spray jobs, the work of others, sentences."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import units
from coldcab.learner import units as chosen_units
from coldcab.scenario.draw import Draw
from coldcab.words import _

LETTERS = ("A", "B", "C", "D", "E", "F", "G", "H")

DROP = (22.0, 39.0)  # F that a coil in order takes off its air on these days; more where the cab is hot
OVER_CAB = 5.0  # F: with the flap shut, the air before the coil is no warmer than this over the cab's
LEAST_SPEED = 0.90  # of the manual's air speed at the vents
LEAST_PRESSURE = 40.0  # Pa, of the manual
BEHIND_VALVE = 110.0  # F; a heater hose behind a shut valve stays below
VENT_OVER_COIL = 4.0  # F; more than that and heat came in behind the coil


@dataclass(frozen=True)
class CabReadings:
    """One cab on recirculation, cold set full: F, share of the manual's vent speed, Pa over the air outside."""

    cab: float
    before: float
    behind: float
    vent: float
    hose_engine: float
    hose_core: float
    speed: float
    pascal: float

    def text(self) -> str:
        """The readings in the order of the sheet's legend."""
        airs = (self.cab, self.before, self.behind, self.vent)
        return _("air {airs}; hoses {hoses}; vents {speed:.0%}; {pascal:.0f} Pa").format(
            airs=_several(airs),
            hoses=_several((self.hose_engine, self.hose_core)),
            speed=self.speed,
            pascal=self.pascal,
        )


def _several(fahrenheit: tuple[float, ...]) -> str:
    celsius = [units.convert(units.from_unit(one, "temperature", "F"), "temperature", "C") for one in fahrenheit]
    trade = " / ".join(f"{one:.0f}" for one in fahrenheit) + " F"
    metric = " / ".join(f"{one:.0f}" for one in celsius) + " C"
    return f"{metric} ({trade})" if chosen_units() == "si" else f"{trade} ({metric})"


@dataclass(frozen=True)
class Range:
    """From where readings are drawn: low and high, in the unit of `CabReadings`."""

    cab: tuple[float, float] = (72, 78)
    mixed: tuple[float, float] = (0.02, 0.08)  # share of outside air
    drop: tuple[float, float] = (26, 31)
    rise: tuple[float, float] = (0, 2)
    hose: tuple[float, float] = (80, 100)
    speed: tuple[float, float] = (0.93, 1.03)
    pascal: tuple[float, float] = (46, 80)


RANGES = {
    "heater valve": Range(cab=(82, 90), drop=(31, 37), rise=(9, 20), hose=(140, 176)),
    "flap": Range(cab=(76, 82), mixed=(0.60, 0.85), drop=(29, 34)),
    "duct": Range(cab=(81, 88), drop=(31, 36), speed=(0.50, 0.75), pascal=(-40, 12)),
    "filter or coil": Range(cab=(82, 88), drop=(42, 47), speed=(0.45, 0.72)),
    "refrigerant circuit": Range(cab=(84, 92), drop=(6, 14)),
    "seals or pressurizer": Range(pascal=(2, 18)),
    "nothing": Range(),
}
"""What is wrong with a cab, and where its readings then lie."""

STATEMENTS = (
    (_("cabin filter half blocked: vents colder, cab warmer"), _("cabin filter half blocked: vents and cab warmer")),
    (_("half the condenser blocked: it shows most on the high side"),
     _("half the condenser blocked: it shows most on the low side")),
    (_("fresh air, blower from half to full: vents warmer, cab cooler"),
     _("fresh air, blower from half to full: vents colder, cab cooler")),
    (_("a more humid day: vents and both gauges higher, nothing broken"),
     _("a more humid day: the same vents and gauges, or something is broken")),
    (_("fresh-air filter blocked: the cab's pressure falls"), _("fresh-air filter blocked: the cab's pressure rises")),
    (_("duct leaks to the open: dust comes in at the doors"), _("duct leaks to the open: no more dust than before")),
    (_("heater valve leaks: vents warmer than the air behind the coil"),
     _("heater valve leaks: the air behind the coil as warm as the vents")),
    (_("twice the gaps: a quarter of the cab's pressure"), _("twice the gaps: half of the cab's pressure")),
)  # fmt: skip
"""Sentences about a cab: as it is, and as many think."""

WORK = (
    (_("spray filter out with gloves and mask, bagged; a new one in"),
     _("spray filter blown out with shop air and put back")),
    (_("dust filter tapped out in the yard, nobody near, as the manual allows"),
     _("dust filter blown out at the bench, door shut against the wind")),
    (_("roof filter changed from a platform with rails, engine off"),
     _("roof filter changed from the hood, one hand on the mirror arm")),
    (_("header up, its safety stop in, then under it to the condenser"),
     _("header up on its cylinders, lever locked, then under it")),
    (_("heater hose taken off after the engine has cooled"),
     _("heater hose taken off hot, to see whether coolant flows")),
    (_("coil washed key out, low pressure, box open, drain running"),
     _("coil cleaner sprayed into the grille, blower on, operator in the seat")),
    (_("cab pressure read in the yard, brake on, wheels blocked"),
     _("cab pressure read in the bay, engine running, door shut")),
    (_("sprayer's roof washed where the farm cleans its sprayer, gloves on"),
     _("sprayer's roof washed in the bay with the pressure washer")),
)  # fmt: skip
"""Work on the cab side: as it may be done, and so that somebody gets hurt or ill."""

NEEDS = {_("dust"): 2, _("dust and spray mist"): 3, _("spray mist and vapor"): 4}
"""What a job asks the cab to keep out, and the category of cab that is made for it (EN 15695-1)."""
FUMIGANT = _("a fumigant")
FILTER_HOURS = 200
FILTER_MONTHS = 36
SPRAY_PASCAL = 20.0


@dataclass(frozen=True)
class SprayJob:
    """A machine that is to go out: what its label warns of, its cab, its filter's hours and months, its pressure."""

    against: str
    category: int
    hours: float
    months: float
    pascal: float

    def text(self) -> str:
        """One row of the sheet."""
        return _(
            "{against}; cab category {category}; filter {hours:.0f} h, {months:.0f} months; {pascal:.0f} Pa"
        ).format(against=self.against, category=self.category, hours=self.hours, months=self.months, pascal=self.pascal)


def draw_cab(draw: Draw, name: str, kind: str, outside: float) -> CabReadings:
    """Return readings of a cab with this fault; ``outside`` F."""
    span = RANGES[kind]
    cab = draw.number(f"{name} cab", *span.cab, 1)
    mixed = draw.number(f"{name} mixed", *span.mixed, 0.01)
    before = float(round(cab + mixed * (outside - cab)))
    behind = before - draw.number(f"{name} drop", *span.drop, 1)
    return CabReadings(
        cab=cab,
        before=before,
        behind=behind,
        vent=behind + draw.number(f"{name} rise", *span.rise, 1),
        hose_engine=draw.number(f"{name} engine", 176, 192, 1),
        hose_core=draw.number(f"{name} hose", *span.hose, 1),
        speed=draw.number(f"{name} speed", *span.speed, 0.01),
        pascal=draw.number(f"{name} pascal", *span.pascal, 1),
    )


def draw_cabs(draw: Draw, outside: float) -> tuple[CabReadings, ...]:
    """Return eight cabs: each fault once, and two more of any kind."""
    faults = tuple(kind for kind in RANGES if kind != "nothing")
    more = tuple(draw.pick(f"more {number}", tuple(RANGES)) for number in range(len(LETTERS) - len(faults)))
    kinds = draw.order("cabs", faults + more)
    return tuple(draw_cab(draw, letter, kind, outside) for letter, kind in zip(LETTERS, kinds, strict=True))


def draw_pairs(draw: Draw, name: str, pairs: tuple[tuple[str, str], ...], least: int, most: int) -> tuple[str, ...]:
    """Return each pair's first or second words, in an order of their own; ``least`` to ``most`` are second ones."""
    wrong = int(draw.number(f"{name} wrong", least, most, 1))
    chosen = set(draw.order(f"{name} which", tuple(range(len(pairs))))[:wrong])
    order = draw.order(f"{name} order", tuple(range(len(pairs))))
    return tuple(pairs[place][place in chosen] for place in order)


def draw_spray_jobs(draw: Draw) -> tuple[SprayJob, ...]:
    """Return eight machines of which three to five may not go out as they are."""
    faults = ("category", "category", "hours", "months", "pressure", "fumigant")
    wrong = draw.order("spray faults", faults)[: int(draw.number("spray wrong", 3, 5, 1))]
    states = draw.order("spray order", wrong + ("good",) * (len(LETTERS) - len(wrong)))
    return tuple(_spray_job(draw, letter, state) for letter, state in zip(LETTERS, states, strict=True))


def _spray_job(draw: Draw, letter: str, state: str) -> SprayJob:
    against, needed = draw.pick(f"spray {letter}", tuple(NEEDS.items()))
    category = int(draw.number(f"spray category {letter}", needed, 4, 1))
    if state == "category":
        category = int(draw.number(f"spray low {letter}", 1, needed - 1, 1))
    if state == "fumigant":
        against, category = FUMIGANT, 4
    return SprayJob(
        against=against,
        category=category,
        hours=draw.number(f"spray hours {letter}", *((206, 320) if state == "hours" else (15, 190)), 1),
        months=draw.number(f"spray months {letter}", *((38, 60) if state == "months" else (2, 34)), 1),
        pascal=draw.number(f"spray pascal {letter}", *((3, 15) if state == "pressure" else (44, 80)), 1),
    )
