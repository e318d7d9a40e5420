"""What ails the machine in the bay: causes ranked from readings as found, before anything is planned.

Machines of the fleet are drawn in the ranges of what is known of the job's, each with every fault it can have, at the
weather of the day and at two engine speeds. The readings are compared with all of them as in `coldcab.faults.atlas`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from coldcab.faults import HEALTHY, FaultError, Posterior, Suggestion, catalogue, entry, faults_for, next_measurement
from coldcab.faults.atlas import FOREIGN_STEPS, SEVERITIES, Atlas, Cases, inside_ranges
from coldcab.faults.catalogue import combine
from coldcab.faults.observables import LOOKS, NUMBERS, Observed, run_all
from coldcab.job.description import Job
from coldcab.job.model import day, drawn_day, drawn_effects, model_machine, refrigerant_of, with_known_sizes
from coldcab.machine import Machine, nominal_charge, simulate
from coldcab.machine.fleet import FLEET
from coldcab.service.acceptance import SPEEDS
from coldcab.words import _

PER_CLASS = 64
"""Machines drawn with each fault, over all types."""

LINES = {
    "low_side": "low_gauge",
    "high_side": "high_gauge",
    "vent": "vent",
    "return_air": "return_air",
    "suction_line": "suction_line_at_evaporator",
    "liquid_line": "liquid_line",
    "discharge_line": "discharge_line",
    "condenser_air_in": "condenser_air_in",
    "condenser_air_out": "condenser_air_out",
    "drier_in": "drier_in",
    "drier_out": "drier_out",
}
"""What is read at one engine speed, by its name in the job's file, and the observable that it is."""

ANY_SPEED = {
    "rest": "standing_pressure",
    "glass": "glass",
    "frost": "coil_frost",
    "clutch_share": "clutch_duty",
    "hub_slip": "hub_slip",
    "heater_pinched": "vent_heater_pinched",
    "valve_warmed": "low_gauge_valve_warmed",
}
"""What is read once."""

STRANGE, STRANGE_OF_FEW, FEW = 2.5, 9.0, 3
"""Misfit that fewer than one in a hundred machines with one fault reach (the tests measure it); of three readings or
fewer three standard deviations each, for two gauges of a machine that is not known say little."""

WORTH = 0.1
"""A measurement that is not expected to take this share of the doubt is not proposed."""

LEADS = 0.8
"""Together the named causes are at least so likely."""

# How much more often a cause is behind a story than the catalogue's base rate says: assumptions, no survey was found.
LOST = {"charge low": 5.0}
COMES_AND_GOES = {
    "moisture freezing": 5.0,
    "clutch does not engage": 4.0,
    "high-pressure switch opens early": 4.0,
    "low-pressure switch opens early": 4.0,
    "thermostat never opens": 4.0,
    "clutch or belt slipping": 3.0,
    "condenser fan slow": 2.0,
    "hot air recirculated": 2.0,
}
TOPPED_UP = {"charge low": 2.0, "charge high": 3.0, "air in the circuit": 1.0}
"""Added to 1 for each time that somebody topped it up."""

NOTHING_READ = _("No reading as found: connect the gauges before anything is planned.")
SPOILT = _("These readings fit nothing known: measure again, first the {reading}. Then think of two faults at once.")
NO_FAULT = _("These readings are those of a healthy machine; look at what comes and goes.")
ONE_CAUSE = _("Most likely: {cause} ({chance:.0%}).")
SEVERAL = _("Cannot be told apart with these readings: {causes} (together {chance:.0%}).")


@dataclass(frozen=True)
class Cause:
    """A group of faults that the readings cannot part: its ``names``, likeliest first, and their ``chance`` together.

    ``test`` is what settles the likeliest.
    """

    names: tuple[str, ...]
    chance: float
    test: str
    caution: str


@dataclass(frozen=True)
class Finding:
    """What readings as found say: ``verdict`` in words, ``causes`` ranked, what to measure ``next``.

    ``blocked`` is True where the readings give no verdict; ``misfit`` as in `coldcab.faults.Posterior`; the first
    ``leading`` causes cannot be told apart.
    """

    verdict: str
    causes: tuple[Cause, ...]
    next: tuple[Suggestion, ...]
    blocked: bool
    misfit: float
    leading: int = 0


def readings(job: Job) -> tuple[str, dict[str, Observed]]:
    """Engine speed of the readings ("fast idle", or "idle" if that is all there is), and the observations, SI."""
    at = {
        speed: {
            name: job[key]
            for line, name in LINES.items()
            if job.known(key := f"found.{speed.replace(' ', '_')}_{line}")
        }
        for speed in SPEEDS
    }
    speed = "fast idle" if at["fast idle"] or not at["idle"] else "idle"
    found: dict[str, Observed] = dict(at[speed])
    if speed == "fast idle":
        for gauge in ("low_gauge", "high_gauge"):
            if gauge in at["idle"] and gauge in found:
                found[f"{gauge}_other_speed"] = at["idle"][gauge] - at["fast idle"][gauge]
    found |= {name: job[f"found.{key}"] for key, name in ANY_SPEED.items() if job.known(f"found.{key}")}
    return speed, found


def types(job: Job) -> tuple[Machine, ...]:
    """Machines of the fleet that the job's can be like, with what is known of its compressor."""
    if job.known("machine.like"):
        return (model_machine(job),)
    refrigerant = refrigerant_of(job)
    fitting = (refrigerant, "R-12") if refrigerant == "R-134a" else (refrigerant,)
    return tuple(with_known_sizes(job, one) for one in FLEET.values() if one.refrigerant in fitting)


def priors(job: Job) -> dict[str, float]:
    """Base rates of the catalogue, moved by what the owner tells."""
    rates = {name: one.base_rate for name, one in catalogue.items()}
    if job["work.complaint"] == "lost its charge":
        rates |= {name: rates[name] * factor for name, factor in LOST.items()}
    if job["work.complaint"] == "cools at times" or job["found.comes_and_goes"]:
        rates |= {name: rates[name] * factor for name, factor in COMES_AND_GOES.items()}
    times = job.get("found.topped_up", 0.0)
    return rates | {name: rates[name] * (1.0 + more * times) for name, more in TOPPED_UP.items()}


def drawn_cases(job: Job, machines: tuple[Machine, ...], speed: str, *, per_class: int, seed: int) -> Cases:
    """Machines of some types with every fault they can have, drawn in the ranges of what is known of a job."""
    refrigerant = refrigerant_of(job)
    names = tuple(
        name
        for name in (HEALTHY, *catalogue)
        if name == HEALTHY or any(name in faults_for(machine, refrigerant) for machine in machines)
    )
    share = -(-per_class // len(machines))
    parts = [_cases_of(job, machine, names, speed, share, seed + k) for k, machine in enumerate(machines)]
    return Cases(
        names,
        np.concatenate([one.classes for one in parts]),
        np.concatenate([one.severities for one in parts]),
        {name: np.concatenate([one.seen[name] for one in parts]) for name in parts[0].seen},
    )


def _cases_of(job: Job, machine: Machine, names: tuple[str, ...], speed: str, share: int, seed: int) -> Cases:
    random = np.random.Generator(np.random.Philox(seed))
    refrigerant = refrigerant_of(job)
    own = [place for place, name in enumerate(names) if name == HEALTHY or entry(name).fits(refrigerant, machine)]
    classes = np.repeat(own, share)
    severities = np.where(classes == 0, 0.0, random.uniform(*SEVERITIES, classes.size))
    effects = drawn_effects(job, random, classes.size)
    for place in own[1:]:
        worse = severities * (classes == place)
        if names[place] == "foreign refrigerant":  # each share is a fluid of its own
            worse = np.round(worse * FOREIGN_STEPS) / FOREIGN_STEPS
            severities = np.where(classes == place, worse, severities)
        effects = combine(effects, entry(names[place]).effects(worse))
    charge = nominal_charge(machine, refrigerant)
    effects = inside_ranges(effects, machine, refrigerant, charge)
    conditions = replace(drawn_day(job, random, classes.size), engine_speed=SPEEDS[speed])
    middle = replace(day(job), engine_speed=SPEEDS[speed])
    near = simulate(machine, middle, refrigerant=refrigerant, charge=charge)
    start = near if near.solved else None
    base, seen = run_all(machine, conditions, refrigerant, charge, effects, classes.size, start, SPEEDS["idle"])
    good = base.solved & np.all([np.isfinite(seen[name]) for name in NUMBERS], axis=0)
    return Cases(names, classes[good], severities[good], {name: value[good] for name, value in seen.items()})


@lru_cache(maxsize=4)
def _atlas(texts: tuple[tuple[str, str], ...], speed: str, per_class: int) -> Atlas:
    job = Job()
    for key, text in texts:
        job = job.having(key, text)
    machines = types(job)
    cases = drawn_cases(job, machines, speed, per_class=per_class, seed=0)
    refrigerant = refrigerant_of(job)
    return Atlas(machines[0], day(job), refrigerant, nominal_charge(machines[0], refrigerant), cases)


def atlas_of(job: Job, speed: str = "fast idle", *, per_class: int = PER_CLASS) -> Atlas:
    """The atlas of all machines that the job's can be; kept while what is known of machine and day stays."""
    known = tuple(
        (key, text)
        for key, text in job.texts.items()
        if key.startswith(("machine.", "weather.")) or key == "work.refrigerant"
    )
    return _atlas(known, speed, per_class)


def finding(job: Job) -> Finding:
    """Rank the causes of what was read as found.

    Raises
    ------
    FaultError or MachineError, each one plain sentence, for readings or a day out of range.
    """
    speed, taken = readings(job)
    if not taken:
        return Finding(NOTHING_READ, (), (), True, 0.0)
    after = atlas_of(job, speed).posterior(taken, prior=priors(job))
    return _judged(job, after)


def _judged(job: Job, after: Posterior) -> Finding:
    misfit = after.misfit
    ahead = tuple(next_steps(job, after))
    few = sum(name not in LOOKS for name in after.taken) <= FEW
    if misfit > (STRANGE_OF_FEW if few else STRANGE):
        return Finding(SPOILT.format(reading=_most_surprising(after)), (), ahead, True, misfit)
    causes = tuple(_causes(after))
    leading: list[Cause] = []
    for one in causes:
        leading.append(one)
        if sum(cause.chance for cause in leading) >= LEADS:
            break
    chance = min(sum(one.chance for one in leading), 0.99)  # no reading makes certain
    if len(leading) > 1:
        verdict = SEVERAL.format(causes="; ".join(in_words(one) for one in leading), chance=chance)
    elif leading[0].names == (HEALTHY,):
        verdict = NO_FAULT
    else:
        verdict = ONE_CAUSE.format(cause=in_words(leading[0]), chance=chance)
    return Finding(verdict, causes, ahead, False, misfit, len(leading))


def in_words(cause: Cause) -> str:
    """The faults of a cause in a sentence: "valve screen plugged or valve stuck shut"."""
    return " or ".join(cause.names[:3])


def _causes(after: Posterior) -> list[Cause]:
    """Groups of the catalogue by chance; within each the names that carry a tenth of it."""
    found = []
    ranked = dict(after.ranked)
    for name, chance in after.groups.items():
        members = [one for one in ranked if (HEALTHY if one == HEALTHY else entry(one).group) == name]
        names = tuple(one for one in members if ranked[one] >= 0.1 * chance)
        first = None if names[:1] == (HEALTHY,) or not names else entry(names[0])
        found.append(Cause(names, chance, first.test if first else "", first.caution if first else ""))
    return found


def _most_surprising(after: Posterior) -> str:
    """The reading without which the rest fits best, in words."""
    from coldcab.faults import observables

    numbers = [name for name in after.taken if name not in LOOKS]

    def without(name: str) -> float:
        rest = tuple(one for one in NUMBERS if one in numbers and one != name)
        if not rest:
            return 0.0
        values = np.array([after.taken[one] for one in rest])
        return float(after.atlas.kernel(rest).distances(values).min()) / len(rest)

    return observables[min(numbers, key=without)].words


def next_steps(job: Job, after: Posterior, count: int = 3) -> list[Suggestion]:
    """The measurements worth their minutes; a second engine speed comes early, for it costs next to nothing."""
    taken = set()
    if all(machine.valve.block for machine in types(job)):
        taken.add("bulb re-seated")
    try:
        every = next_measurement(after, taken=taken)
    except FaultError:
        return []
    gauges = {"low_gauge", "high_gauge"} <= set(after.taken)
    second = [one for one in every if one.measurement.name == "other speed"] if gauges else []
    rest = [one for one in every if one not in second and one.bits >= WORTH * after.bits]
    return [*second, *rest][:count]
