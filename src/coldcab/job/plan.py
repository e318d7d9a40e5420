"""The plan for one job: all its sections, the bands to check against, the label, and what the readings say."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any

from coldcab import refrigerants
from coldcab.job import as_found, bands, filling, model, oil_books, stages
from coldcab.job import route as routes
from coldcab.job.as_left import ACCEPTED, HALF, NOT_ACCEPTED, AsLeft, judge_together
from coldcab.job.bands import SEVERE, Faulty, Healthy, Watch, commonest, watch
from coldcab.job.contradictions import contradictions
from coldcab.job.description import Job
from coldcab.job.figures import GAUGE, Section, in_words
from coldcab.job.questions import QUESTIONS
from coldcab.machine import Readings, nominal_charge
from coldcab.machine.simulate import Batch, simulate_batches
from coldcab.quantities import STANDARD_ATMOSPHERE
from coldcab.service import charging
from coldcab.service import label as labels
from coldcab.service.acceptance import NOT_READ, SPEEDS, Band
from coldcab.words import _

LAW_NOTE = _("Law is quoted with edition and date where it stands; check the current law where you work.")
MODEL_NOTE = _(
    "The bands belong to a model of an invented machine with what you said put in. The machine's manual comes first."
)


@dataclass(frozen=True)
class Judged:
    """One as-left reading beside its band."""

    band: Band
    value: float
    place: str


@dataclass(frozen=True)
class Plan:
    """What to do tonight, in order, with every figure and what it rests on."""

    job: Job
    title: str
    about: str
    earlier: str  # what was done at this machine before, or nothing
    atmosphere: float  # Pa
    contradictions: tuple[str, ...]
    assumptions: tuple[str, ...]
    route: routes.Route
    sections: tuple[Section, ...]
    bands: tuple[Band, ...]
    watch: Watch
    label: labels.Label | None  # None for a machine that was born with its refrigerant
    judged: tuple[Judged, ...]
    as_left: AsLeft | None  # None where nothing was read as left
    finding: as_found.Finding | None  # None where nothing was read as found

    def section(self, key: str) -> Section:
        """The section with this key; KeyError where the job has none."""
        for one in self.sections:
            if one.key == key:
                return one
        raise KeyError(key)

    @property
    def accepted(self) -> bool | None:
        """Whether the work is accepted by its readings as left; None where too little was read to say so."""
        verdict = self.as_left.verdict if self.as_left else ""
        return True if verdict == ACCEPTED else False if verdict == NOT_ACCEPTED else None

    def as_data(self) -> dict[str, Any]:
        """The plan as plain data in SI, for other programs."""
        return {
            "title": self.title,
            "about": self.about,
            "earlier": self.earlier,
            "known": dict(self.job.texts),
            "contradictions": list(self.contradictions),
            "assumptions": list(self.assumptions),
            "route": {"kind": self.route.kind, "why": self.route.why},
            "sections": [
                {
                    "key": section.key,
                    "title": section.title,
                    "steps": list(section.steps),
                    "cautions": list(section.cautions),
                    "figures": [
                        {
                            "key": one.key,
                            "label": one.label,
                            "value": one.value,
                            "low": one.low,
                            "high": one.high,
                            "kind": one.kind,
                            "basis": one.basis,
                            "words": one.words(atmosphere=self.atmosphere),
                        }
                        for one in section.figures
                    ],
                }
                for section in self.sections
            ],
            "bands": [vars(band) for band in self.bands],
            "can_hide": list(self.watch.hidden),
            "label": None if self.label is None else list(labels.lines(self.label)),
            "as_found": None if self.finding is None else {
                "verdict": self.finding.verdict,
                "blocked": self.finding.blocked,
                "causes": [{"names": list(one.names), "chance": one.chance} for one in self.finding.causes],
                "measure_next": [one.measurement.name for one in self.finding.next],
            },
            "as_left": [
                {"speed": one.band.speed, "name": one.band.name, "value": one.value, "place": one.place}
                for one in self.judged
            ],
            "verdict": None if self.as_left is None else {
                "verdict": self.as_left.verdict,
                "words": self.as_left.words,
                "suspects": list(self.as_left.suspects),
                "could_not_be_caught": list(self.as_left.missed),
            },
            "accepted": self.accepted,
        }  # fmt: skip


def plan(job: Job, *, earlier: str = "") -> Plan:
    """Work the whole plan out.

    Parameters
    ----------
    job : what is known of it.
    earlier : what was done at this machine before, in a sentence.

    Raises
    ------
    JobError, or the error of a room whose range the job leaves (MachineError, ServiceError, RangeError); each is one
    plain sentence.
    """
    model_says = expected(model.of_machine_and_day(job))
    found = as_found.finding(job) if as_found.readings(job)[1] else None
    way = routes.route(job, found)
    return Plan(
        job=job,
        title=job.get("job.name", "A job without a name"),
        about=model.in_words(job),
        earlier=earlier,
        atmosphere=stages.atmosphere(job),
        contradictions=contradictions(job),
        assumptions=assumptions(job),
        route=way,
        sections=sections(job, way, found, model_says.glass),
        bands=model_says.bands,
        watch=watch(model_says.bands, model_says.sick),
        label=label_of(job, way),
        judged=judge(job, model_says.bands),
        as_left=judge_together(all_read(job), model_says.bands, model_says.machines, model_says.sick),
        finding=found,
    )


@dataclass(frozen=True)
class Expected:
    """What the model shows of what is known: healthy machines, their bands, machines with the commonest faults.

    ``curve`` is the model machine with little to much charge on this day, ``charged`` its readings.
    """

    machines: Healthy
    bands: tuple[Band, ...]
    sick: Faulty
    curve: Batch
    charged: Readings

    def glass(self) -> Section:
        """What the sight glass tells."""
        right = nominal_charge(self.curve.machine, self.curve.refrigerant)
        return filling.glass(charging.curve_of(self.curve, self.charged).marks, right)


@lru_cache(maxsize=4)
def expected(known: model.Known) -> Expected:
    """What the model shows of what is known; kept while it stays.

    The machine in the middle is solved first, with each fault: from there it is not far to all that were drawn.
    """
    job = model.job_of_known(known)
    draws = model.draw(job)
    names = commonest(draws.machine, draws.refrigerant)
    sick = tuple((name, severity) for name in names for severity in (HALF, SEVERE))
    curve = charging.curve_batch(draws.machine, model.day(job), draws.refrigerant, filling.CURVE_POINTS)
    one = bands.middle(draws)
    first = bands.batch(one), bands.batch(bands.with_faults(one, sick)), curve
    near, near_ill, charged = simulate_batches(first)
    many = bands.batch(draws, near=near), bands.batch(bands.with_faults(bands.few(draws), sick), near=near_ill)
    well, ill = simulate_batches(many)
    machines = bands.healthy_as_read(bands.by_speed(well))
    faulty = bands.faulty_as_read(bands.by_speed(ill), sick)
    return Expected(machines, bands.bands_of(machines), faulty, curve, charged)


def sections(
    job: Job, way: routes.Route, found: as_found.Finding | None, glass: Callable[[], Section]
) -> tuple[Section, ...]:
    """The sections of a route, in its order; those that have nothing to say are left out."""
    makers: Mapping[str, Callable[[], Section | None]] = {
        "before": lambda: stages.before_you_start(job),
        "outside": lambda: routes.outside(job, found),
        "measure": lambda: routes.measure(found),
        "watch": routes.watch,
        "leak": lambda: routes.leak(job, found),
        "recover": lambda: stages.recover(job),
        "debris": lambda: routes.debris(job),
        "parts": lambda: stages.decide_parts(job),
        "rinse": lambda: stages.clean(job),
        "oil": lambda: stages.oil(job),
        "test": lambda: stages.pressure_test(job),
        "vacuum": lambda: stages.evacuate(job),
        "charge": lambda: filling.charge(job),
        "glass": glass,
        "cost": lambda: filling.cost(job),
    }
    made = (makers[key]() for key in way.sections)
    return tuple(section for section in made if section is not None)


def assumptions(job: Job) -> tuple[str, ...]:
    """What was not said and matters, and what is done instead."""
    return tuple(
        _("{question}: not known; {unknown}.").format(question=question.words.rstrip("?"), unknown=question.unknown)
        for question in QUESTIONS.values()
        if question.section in ("machine", "weather", "tools", "work")
        and question.asked
        and question.unknown != "left open"
        and not job.known(question.key)
    )


def label_of(job: Job, way: routes.Route) -> labels.Label | None:
    """The retrofit label as far as it is known; blanks are to be filled in by hand.

    None for a machine that has the refrigerant it was built for, where a retrofit label would be false, and where the
    work leaves the circuit shut.
    """
    if not stages.converts(job) or way.kind in ("cause", "watch"):
        return None
    books = oil_books.ledger(job)
    total = job.get("machine.oil", 0.0) if books is not None else 0.0
    amounts = filling.charge_amounts(job)
    return labels.Label(
        refrigerant=refrigerants.resolve(model.refrigerant_of(job)),
        charge=0.0 if amounts is None else amounts["target"],
        technician=job.get("job.technician", ""),
        company=job.get("job.company", ""),
        date=job.get("job.date", date.today().isoformat()),
        lubricant_type=oil_books.new_oil(job),
        lubricant_amount=total,
    )


def as_read(job: Job, speed: str, when: str = "as_left") -> dict[str, float]:
    """The lines of the check from the readings typed in at one speed, SI; ``when`` is "found" or "as_left"."""
    prefix = f"{when}.{speed.replace(' ', '_')}_"
    name = model.refrigerant_of(job)

    def read(reading: str) -> float | None:
        return job[prefix + reading]

    def saturation(gauge: float | None) -> float | None:
        if gauge is None:
            return None
        # The check works superheat and subcooling out as a chart for sea level does, like the bands.
        try:
            return float(refrigerants.saturation_temperature(name, gauge + STANDARD_ATMOSPHERE))
        except ValueError:
            return None

    def less(first: float | None, second: float | None) -> float | None:
        return None if first is None or second is None else first - second

    low, high = read("low_side"), read("high_side")
    found = {
        "low_gauge": low,
        "high_gauge": high,
        "vent": read("vent"),
        "coil_air_drop": less(read("return_air"), read("vent")),
        "superheat_measured": less(read("suction_line"), saturation(low)),
        "subcooling_measured": less(saturation(high), read("liquid_line")),
        "discharge_line": read("discharge_line"),
        "condenser_air_rise": less(read("condenser_air_out"), read("condenser_air_in")),
        "drier_drop": less(read("drier_in"), read("drier_out")),
    }
    return {line: value for line, value in found.items() if value is not None}


def all_read(job: Job, when: str = "as_left") -> dict[tuple[str, str], float]:
    """The lines of the check at every speed, by (speed, line), SI."""
    return {(speed, name): value for speed in SPEEDS for name, value in as_read(job, speed, when).items()}


def judge(job: Job, bands: tuple[Band, ...]) -> tuple[Judged, ...]:
    """Every as-left reading that was typed in, beside its band."""
    values = all_read(job)
    found = (Judged(band, value, band.judge(value)) for band in bands
             if (value := values.get((band.speed, band.name))) is not None)  # fmt: skip
    return tuple(one for one in found if one.place != NOT_READ)


def band_words(value: float, kind: str, system: str = "us") -> str:
    """A value of a band in words; pressures of bands are gauge pressures."""
    return in_words(value, GAUGE if kind == "pressure" else kind, system)


def key_figures(made: Plan, system: str = "us") -> Mapping[str, str]:
    """The few figures a technician wants at a glance: label -> words."""
    found = {}
    for key, names in (("charge", ("start", "target", "limit")), ("oil", ("to add",)), ("vacuum", ("target", "time"))):
        section = next((one for one in made.sections if one.key == key), None)
        for name in names:
            if section and any(one.key == name for one in section.figures):
                one = section.figure(name)
                found[f"{section.title}: {one.label}"] = one.words(system, made.atmosphere)
    return found
