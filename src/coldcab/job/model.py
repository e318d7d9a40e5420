"""The machine in the bay as a model: what is known is set, what is not is drawn from a range that widens the result."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coldcab import units
from coldcab.faults.cases import SCATTER, WEATHER_SCATTER, inside_ranges
from coldcab.instruments.controls import in_both
from coldcab.job.description import Job
from coldcab.job.questions import REFRIGERANTS
from coldcab.machine import Conditions, Effects, Machine, nominal_charge
from coldcab.machine.conditions import LIMITS as CONDITION_LIMITS
from coldcab.machine.fleet import FLEET
from coldcab.service.acceptance import SPEEDS
from coldcab.words import _

SAMPLES = 240
"""Machines drawn for the bands: the outermost of so many is missed by about one healthy machine in a hundred."""

DEFAULT_MACHINES = {"R-1234yf": "compact loader"}
DEFAULT_MACHINE = "wheel loader"
"""What a machine is taken to be like where nobody says, for the refrigerants named and for all others."""
NEWEST = "R-1234yf"
"""The refrigerant that only machines have which were built for it."""

UNKNOWN_SIZE = (0.80, 1.20)
"""Range of a size that is not known, as a share of the model's: compressor, heat exchangers, air flows [invented]."""

UNKNOWN_WEATHER = {"ambient": (293.15, 315.15), "relative_humidity": (0.20, 0.70), "altitude": (0.0, 1500.0)}
"""Weather that is not known: K, share, m. A summer's day in farming country [invented]."""

CHARGE_BY_SCALE, CHARGE_BY_GUESS = 0.03, 0.08
"""Standard deviation of the charge as a share: of a data sheet's mass weighed in, and without a data sheet."""

KEYS = {"ambient": "weather.ambient", "relative_humidity": "weather.humidity", "altitude": "weather.altitude"}
MIDDLE = {"ambient": 308.15, "relative_humidity": 0.40, "altitude": 300.0}


def model_machine(job: Job) -> Machine:
    """The invented machine that the job's is most like, with what is known of the real one put in."""
    return with_known_sizes(job, like_of_the_fleet(job.get("machine.like", default_machine(job))))


def like_of_the_fleet(like: str) -> Machine:
    """The invented machine of that kind."""
    return next(one for one in FLEET.values() if one.name.endswith(like))


def default_machine(job: Job) -> str:
    """The kind that a machine is taken to be like where nobody says."""
    return DEFAULT_MACHINES.get(refrigerant_of(job), DEFAULT_MACHINE)


def with_known_sizes(job: Job, machine: Machine) -> Machine:
    """A machine of the fleet with what is known of the job's compressor put in."""
    known = {}
    if job.known("machine.displacement"):
        known["displacement"] = job["machine.displacement"]
    if job.known("machine.pulley_ratio"):
        known["pulley_ratio"] = job["machine.pulley_ratio"]
    return replace(machine, compressor=replace(machine.compressor, **known)) if known else machine


def original_of(job: Job) -> str:
    """The refrigerant that it was built for; where nobody says, R-12 unless something else of the job is R-1234yf's."""
    said: str | None = job["machine.original_refrigerant"]
    if said is not None:
        return said
    told = {job["work.refrigerant"], job["work.inside"]} & set(REFRIGERANTS)
    like = job["machine.like"]
    born = like is not None and like_of_the_fleet(like).refrigerant == NEWEST
    return NEWEST if NEWEST in told or (born and not told) else "R-12"


def refrigerant_of(job: Job) -> str:
    """The refrigerant that will be in it in the end."""
    said: str | None = job["work.refrigerant"]
    if said is not None:
        return said
    return NEWEST if original_of(job) == NEWEST else "R-134a"


def day(job: Job) -> Conditions:
    """The middle of what is known of the day; doors open, blower on full."""
    middle = {name: job.get(key, MIDDLE[name]) for name, key in KEYS.items()}
    return Conditions(
        **middle,
        engine_speed=SPEEDS["fast idle"],
        inlet_temperature=middle["ambient"],
        inlet_relative_humidity=middle["relative_humidity"],
    )


Known = tuple[tuple[str, str], ...]
"""Keys and texts of a job."""


def of_machine_and_day(job: Job) -> Known:
    """What a job says of machine, weather and refrigerant: what drawn machines and bands follow from, and no more."""
    return tuple(
        (key, text)
        for key, text in job.texts.items()
        if key.startswith(("machine.", "weather.")) or key in ("work.refrigerant", "work.inside")
    )


def job_of_known(known: Known) -> Job:
    """The job that says only this."""
    job = Job()
    for key, text in known:
        job = job.having(key, text)
    return job


@dataclass(frozen=True)
class Draws:
    """Many machines and days that all fit what is known; arrays of one length."""

    machine: Machine
    refrigerant: str
    charge: float  # kg, the right one of the model
    effects: Effects
    conditions: Conditions  # without the engine speed


def draw(job: Job, count: int = SAMPLES, seed: int = 0) -> Draws:
    """Draw machines and days that fit what is known of a job.

    Parameters
    ----------
    job : the job.
    count : how many.
    seed : the same seed gives the same draws.
    """
    random = np.random.Generator(np.random.Philox(seed))
    machine, refrigerant = model_machine(job), refrigerant_of(job)
    charge = nominal_charge(machine, refrigerant)
    effects = drawn_effects(job, random, count)
    effects = inside_ranges(effects, machine, refrigerant, charge)
    return Draws(machine, refrigerant, charge, effects, drawn_day(job, random, count))


def drawn_effects(job: Job, random: np.random.Generator, count: int) -> Effects:
    """Healthy machines that fit what is known: scatter among them, and sizes that nobody has said."""
    values = {name: 1.0 + sigma * random.standard_normal(count) for name, sigma in SCATTER.items()}
    share = CHARGE_BY_SCALE if job.known("machine.charge") else CHARGE_BY_GUESS
    values["charge"] = 1.0 + share * random.standard_normal(count)
    if not job.known("machine.like"):
        for name in ("condenser_conductance", "condenser_air", "evaporator_conductance", "blower", "valve_capacity"):
            values[name] = values[name] * random.uniform(*UNKNOWN_SIZE, count)
    if not (job.known("machine.displacement") and job.known("machine.pulley_ratio")):
        values["volumetric"] = values["volumetric"] * random.uniform(*UNKNOWN_SIZE, count)
    return Effects(**values)


def drawn_day(job: Job, random: np.random.Generator, count: int) -> Conditions:
    """Days that fit what is known, doors open."""
    weather = {}
    for name, key in KEYS.items():
        if job.known(key):
            sigma = WEATHER_SCATTER.get(name, 0.0)
            weather[name] = job[key] + sigma * random.standard_normal(count)
        else:
            weather[name] = random.uniform(*UNKNOWN_WEATHER[name], count)
        weather[name] = np.clip(weather[name], *CONDITION_LIMITS[name].ends)
    return replace(
        day(job),
        **weather,
        inlet_temperature=np.clip(weather["ambient"], *CONDITION_LIMITS["inlet_temperature"].ends),
        inlet_relative_humidity=weather["relative_humidity"],
    )


SOURCE_OF_THE_READINGS = {
    (False, False): _("The readings come from the course's own model of an invented {machine}."),
    (True, False): _(
        "The readings come from the course's own model of an invented {machine}, with your "
        "displacement of {size} a turn."
    ),
    (False, True): _(
        "The readings come from the course's own model of an invented {machine}, with your pulley ratio of {ratio:.3g}."
    ),
    (True, True): _(
        "The readings come from the course's own model of an invented {machine}, with your "
        "displacement of {size} a turn and your pulley ratio of {ratio:.3g}."
    ),
}
"""By whether the displacement and the pulley ratio are known."""


FEW_OF_THE_NEWEST = _(
    "Causes are ranked on its two invented machines that can have R-1234yf, a compact loader and a tractor: no other "
    "was built for it, so a larger machine may read otherwise."
)


def in_words(job: Job, system: str = "us") -> str:
    """What the model is, in a sentence."""
    displacement, ratio = job["machine.displacement"], job["machine.pulley_ratio"]
    few = f" {FEW_OF_THE_NEWEST}" if refrigerant_of(job) == NEWEST and not job.known("machine.like") else ""
    said = SOURCE_OF_THE_READINGS[displacement is not None, ratio is not None].format(
        machine=job.get(
            "machine.like",
            _("{default_machine} (nothing was said, so sizes are drawn widely)").format(
                default_machine=default_machine(job)
            ),
        ),
        size="" if displacement is None else displacement_in_words(displacement, system),
        ratio=0.0 if ratio is None else ratio,
    )
    return said + few


def displacement_in_words(displacement: float, system: str = "us") -> str:
    """A compressor's displacement in a turn, m3, in cubic inches and cubic centimeters."""
    trade = f"{units.convert(displacement, 'volume', 'cu in'):.2f} cu in"
    return in_both(trade, f"{displacement * 1e6:.0f} cm3", system)
