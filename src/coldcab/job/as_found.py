"""What ails the machine in the bay: causes ranked from readings as found, before anything is planned.

Machines of the fleet are drawn in the ranges of what is known of the job's, each with every fault it can have, at the
weather of the day and at two engine speeds. The readings are compared with all of them as in `coldcab.faults.atlas`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from coldcab import units
from coldcab.air import atmospheric_pressure
from coldcab.faults import (
    HEALTHY,
    FaultError,
    Posterior,
    Suggestion,
    catalogue,
    entry,
    next_measurement,
    observables,
)
from coldcab.faults.observables import LOOKS, NUMBERS, Observed
from coldcab.job.description import Job
from coldcab.job.model import (
    MIDDLE,
    refrigerant_of,
)
from coldcab.job.questions import REFRIGERANTS
from coldcab.job.yard import types, yard_of
from coldcab.quantities import PSI
from coldcab.refrigerants import saturation_pressure
from coldcab.service.acceptance import SPEEDS
from coldcab.words import _

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
    "bulb_warmed": "low_gauge_bulb_warmed",
    "bulb_reseated": "low_gauge_bulb_reseated",
    "cab": "cab",
    "evaporator_inlet": "evaporator_inlet",
    "suction_at_compressor": "suction_line_at_compressor",
    "water": "condensate",
    "fan_share": "fan_share",
    "foreign_share": "foreign_share",
    "thermostat_opens": "thermostat_opens_at",
    "high_switch_opens": "high_switch_opens_at",
    "low_switch_opens": "low_switch_opens_at",
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

EQUAL = 10.0 * PSI
"""Gauges that differ by less while the clutch should turn: nothing is pumped."""

LESS, MORE = 0.9, 1.1
"""Shares of the saturation pressure between which a circuit at rest has liquid of one refrigerant and no air."""

NOTHING_READ = _("No reading as found: connect the gauges before anything is planned.")
SPOILT = _("These readings fit nothing known: measure again, first the {reading}. Then think of two faults at once.")
WITHOUT_IT = _("Without that reading: {verdict}")
OTHER, BOTH_SPEEDS = "_other_speed", _("gauges at both speeds")
NO_FAULT = _("These readings are those of a healthy machine; look at what comes and goes.")
ONLY_VAPOR = _(
    "At rest {read} stand there; {name} with any liquid left shows {expected} at {ambient}. Is it as warm as the air? "
    "Then only vapor is inside: nearly empty, so find the leak."
)
TOO_MUCH = _(
    "At rest {read} stand there; {name} alone shows {expected} at {ambient}. Is it as cool as the air? Then air or "
    "another refrigerant is inside: identify it."
)
NOTHING_PUMPED = _(
    "Both gauges show the same while it should run: nothing is pumped. First see if the hub turns with its pulley."
)
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
    ``leading`` causes cannot be told apart; ``empty`` is True where the pressure at rest leaves only vapor inside.
    """

    verdict: str
    causes: tuple[Cause, ...]
    next: tuple[Suggestion, ...]
    blocked: bool
    misfit: float
    leading: int = 0
    empty: bool = False


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


def priors(job: Job) -> dict[str, float]:
    """Base rates of the catalogue, moved by what the owner tells."""
    rates = {name: one.base_rate for name, one in catalogue.items()}
    if job["work.complaint"] == "lost its charge":
        rates |= {name: rates[name] * factor for name, factor in LOST.items()}
    if job["work.complaint"] == "cools at times" or job["found.comes_and_goes"]:
        rates |= {name: rates[name] * factor for name, factor in COMES_AND_GOES.items()}
    times = job.get("found.topped_up", 0.0)
    return rates | {name: rates[name] * (1.0 + more * times) for name, more in TOPPED_UP.items()}


def finding(job: Job) -> Finding:
    """Rank the causes of what was read as found.

    Raises
    ------
    FaultError or MachineError, each one plain sentence, for readings or a day out of range.
    """
    speed, taken = readings(job)
    if not taken:
        return Finding(NOTHING_READ, (), (), True, 0.0)
    prior = priors(job)
    after = yard_of(job, speed, pumps=pumps(taken)).likely(taken, prior).posterior(taken, prior=prior)
    found, rest = judged(after), at_rest(job)
    said = [rest, "" if pumps(taken) else NOTHING_PUMPED]
    if not (found.blocked and rest):
        said.append(found.verdict)
    if found.blocked and not rest:
        said.append(without_the_strangest(after, prior))
    words, empty = " ".join(one for one in said if one), rest_share(job) < LESS
    return replace(found, verdict=words, next=tuple(next_steps(job, after)), empty=empty)


def without_the_strangest(after: Posterior, prior: Mapping[str, float]) -> str:
    """What the readings would say without the one that fits the others least; nothing where that helps nothing."""
    strangest = _most_surprising(after)
    # The changes of both gauges are one reading: the other speed.
    gone = {name for name in after.taken if name.endswith(OTHER)} if strangest.endswith(OTHER) else {strangest}
    rest = {name: value for name, value in after.taken.items() if name not in gone}
    if sum(name not in LOOKS for name in rest) < 2:
        return ""
    found = judged(after.atlas.posterior(rest, prior=prior))
    return "" if found.blocked else WITHOUT_IT.format(verdict=found.verdict)


def pumps(taken: Mapping[str, Observed]) -> bool:
    """Whether the gauges differ, as far as both were read: then the compressor pumps."""
    low, high = taken.get("low_gauge"), taken.get("high_gauge")
    return not (isinstance(low, float) and isinstance(high, float) and abs(high - low) < EQUAL)


def rest_share(job: Job) -> float:
    """Absolute pressure at rest over the table's at the air's temperature; 1 where one of them is not known."""
    if not (job.known("found.rest") and job.known("weather.ambient")):
        return 1.0
    air = float(atmospheric_pressure(job.get("weather.altitude", MIDDLE["altitude"])))
    return (job["found.rest"] + air) / float(saturation_pressure(_inside(job), job["weather.ambient"]))


def _inside(job: Job) -> str:
    inside = job.get("work.inside", "")
    return inside if inside in REFRIGERANTS else refrigerant_of(job)


def at_rest(job: Job) -> str:
    """What the pressure at rest says beside the table of the refrigerant; nothing where it says nothing new."""
    share = rest_share(job)
    if LESS <= share <= MORE:
        return ""
    name = _inside(job)
    air = float(atmospheric_pressure(job.get("weather.altitude", MIDDLE["altitude"])))
    expected = float(saturation_pressure(name, job["weather.ambient"]))
    return (ONLY_VAPOR if share < LESS else TOO_MUCH).format(
        read=in_gauge(job["found.rest"]), name=name, expected=in_gauge(expected - air),
        ambient=units.show(job["weather.ambient"], "temperature"),
    )  # fmt: skip


def in_gauge(pressure: float) -> str:
    """A gauge pressure (Pa) as the gauge shows it."""
    return f"{pressure / PSI:.0f} psig ({pressure / 1e3:.0f} kPa gauge)"


def judged(after: Posterior) -> Finding:
    """What the chances say in words, without what to measure next."""
    misfit = after.misfit
    few = sum(name not in LOOKS for name in after.taken) <= FEW
    if misfit > (STRANGE_OF_FEW if few else STRANGE):
        name = _most_surprising(after)
        words = BOTH_SPEEDS if name.endswith(OTHER) else observables[name].words
        return Finding(SPOILT.format(reading=words), (), (), True, misfit)
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
    return Finding(verdict, causes, (), False, misfit, len(leading))


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
    """Name of the reading without which the rest fits best."""
    numbers = [name for name in after.taken if name not in LOOKS]

    def without(name: str) -> float:
        rest = tuple(one for one in NUMBERS if one in numbers and one != name)
        if not rest:
            return 0.0
        values = np.array([after.taken[one] for one in rest])
        return float(after.atlas.kernel(rest).distances(values).min()) / len(rest)

    return min(numbers, key=without)


def next_steps(job: Job, after: Posterior, count: int = 3) -> list[Suggestion]:
    """The measurements worth their minutes; a second engine speed comes early, for it costs next to nothing."""
    taken = set()
    if all(machine.valve.block for machine in types(job)):
        taken.add("bulb re-seated")
    if job.known("weather.ambient"):
        taken.add("shade")
    try:
        every = next_measurement(after, taken=taken)
    except FaultError:
        return []
    gauges = {"low_gauge", "high_gauge"} <= set(after.taken)
    second = [one for one in every if one.measurement.name == "other speed"] if gauges else []
    rest = [one for one in every if one not in second and one.bits >= WORTH * after.bits]
    return [*second, *rest][:count]
