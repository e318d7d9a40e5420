"""What the gauges should show: bands from machines and days that all fit what is known, and what falls outside them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from coldcab.faults import QUANTITIES, catalogue, entry, faults_for
from coldcab.faults.cases import inside_ranges
from coldcab.faults.catalogue import combine
from coldcab.job.model import Draws
from coldcab.machine import Effects, Machine, Readings
from coldcab.machine.doubt import doubt
from coldcab.machine.effects import NAMES
from coldcab.machine.simulate import Batch, simulate_batches
from coldcab.service.acceptance import SPEEDS, Band

LINES = (
    "low_gauge",
    "high_gauge",
    "vent",
    "coil_air_drop",
    "superheat_measured",
    "subcooling_measured",
    "discharge_line",
    "condenser_air_rise",
    "drier_drop",
)
"""What is read, by its name in `coldcab.faults.QUANTITIES`; gauge pressures in Pa above the air around them."""

SEVERE = 0.9
COMMONEST = 10
CASES = 24
"""Machines drawn for each fault."""

PUSHES_OUT = 0.5
"""Share of a fault's machines that must lie outside a band for the fault to be named there."""

HIDES = 0.85
"""A fault that falls outside some band in fewer than this share of cases can hide."""


@dataclass(frozen=True)
class Suspects:
    """Faults that push a reading out of its band, likeliest first."""

    above: tuple[str, ...]
    below: tuple[str, ...]


def values_of(readings: Readings, random: np.random.Generator | None = None) -> dict[str, np.ndarray]:
    """The lines of the check from readings, with the scatter of shop instruments where a generator is given."""
    found = {}
    for name in LINES:
        value = np.asarray(QUANTITIES[name].value(readings), dtype=float)
        if random is not None:
            value = value + QUANTITIES[name].resolved * random.standard_normal(value.shape)
        found[name] = value
    return found


def batch(draws: Draws, speeds: Mapping[str, float] = SPEEDS, near: Readings | None = None) -> Batch:
    """All drawn machines at each speed (rev/s by its name), one speed after the other.

    ``near`` may be readings of the same batch with fewer machines, each of which is near as many of these.
    """
    count = np.size(draws.effects.charge)
    start = None
    if near is not None:
        unknowns = np.where(near.solved, near.unknowns, np.nan)
        start = replace(near, unknowns=np.repeat(unknowns, len(speeds) * count // len(near), axis=1))

    def each(values: object, names: Iterable[str]) -> dict[str, np.ndarray]:
        return {
            name: np.tile(np.broadcast_to(np.asarray(getattr(values, name), dtype=float), (count,)), len(speeds))
            for name in names
            if getattr(values, name) is not None
        }

    conditions = replace(
        draws.conditions,
        **each(draws.conditions, ("ambient", "relative_humidity", "altitude", "inlet_temperature",
                                   "inlet_relative_humidity")),
        engine_speed=np.repeat(np.array(list(speeds.values())), count),
    )  # fmt: skip
    varied = [name for name in NAMES if np.ndim(getattr(draws.effects, name))]
    effects = replace(draws.effects, **each(draws.effects, varied))
    return Batch(draws.machine, conditions, draws.refrigerant, draws.charge, effects, start)


def by_speed(together: Readings, speeds: Mapping[str, float] = SPEEDS) -> dict[str, Readings]:
    """Readings of a `batch`, by the name of the speed."""
    count = len(together) // len(speeds)
    return {label: together[n * count : (n + 1) * count] for n, label in enumerate(speeds)}


def run(draws: Draws, effects: Effects | None = None, speeds: Mapping[str, float] = SPEEDS) -> dict[str, Readings]:
    """Readings of all drawn machines at each speed (rev/s by its name), with other ``effects`` than drawn if given."""
    draws = draws if effects is None else replace(draws, effects=effects)
    return by_speed(simulate_batches((batch(draws, speeds),))[0], speeds)


def run_all(many: Sequence[Draws], speeds: Mapping[str, float] = SPEEDS) -> list[dict[str, Readings]]:
    """`run` of several draws, all solved together."""
    return [by_speed(found, speeds) for found in simulate_batches([batch(one, speeds) for one in many])]


DOUBT_OF = {"coil_air_drop": "vent"}
"""Lines whose doubt is that of another reading; the others' is their own."""


def printed_doubts(readings: Readings) -> dict[str, float]:
    """How far a real machine's lines may lie from the model's (SI, one standard deviation), from printed figures."""
    known = doubt(readings)
    return {
        name: float(np.nanmedian(known[DOUBT_OF.get(name, name)].printed))
        for name in LINES
        if DOUBT_OF.get(name, name) in known
    }


@dataclass(frozen=True)
class Healthy:
    """Healthy machines that fit what is known, as read with shop instruments; by (speed, line), SI.

    ``exact`` is without the instruments' scatter, ``doubts`` how far a real machine may lie from the model's, one
    standard deviation (0 where nothing is printed of it).
    """

    exact: Mapping[tuple[str, str], np.ndarray]
    read: Mapping[tuple[str, str], np.ndarray]
    doubts: Mapping[tuple[str, str], float]


def healthy(draws: Draws, seed: int = 1, speeds: Mapping[str, float] = SPEEDS, doubted: bool = True) -> Healthy:
    """Run the drawn machines at each speed and read them.

    Parameters
    ----------
    draws : machines and days that fit what is known.
    seed : of the instruments' scatter.
    speeds : of the engine, rev/s by their name.
    doubted : False leaves out the doubt: readings of the model's own machines.
    """
    return healthy_as_read(run(draws, speeds=speeds), seed, doubted)


def healthy_as_read(runs: Mapping[str, Readings], seed: int = 1, doubted: bool = True) -> Healthy:
    """Healthy machines, run already at each speed, as they are read; arguments as for `healthy`."""
    random = np.random.Generator(np.random.Philox(seed))
    exact, read, doubts = {}, {}, {}
    for speed, readings in runs.items():
        plain, seen = values_of(readings), values_of(readings, random)
        known = printed_doubts(readings) if doubted else {}
        for name in LINES:
            if np.isfinite(seen[name]).any():
                exact[speed, name], read[speed, name] = plain[name], seen[name]
                doubts[speed, name] = known.get(name, 0.0)
    return Healthy(exact, read, doubts)


def bands_of(machines: Healthy) -> tuple[Band, ...]:
    """Bands for every line at every speed.

    A band reaches as far as the outermost machine, read with shop instruments, and by the doubt of the model beyond
    it; it is centered on nothing and so as lopsided as the unknowns make it.
    """
    found = []
    for (speed, name), read in machines.read.items():
        one, good = QUANTITIES[name], np.isfinite(read)
        wider = machines.doubts[speed, name]
        low, high = float(read[good].min()) - wider, float(read[good].max()) + wider
        middle = float(np.median(machines.exact[speed, name][good]))
        found.append(Band(speed, name, one.words, one.kind, middle, low, high))
    return tuple(found)


def expected_bands(
    draws: Draws, seed: int = 1, speeds: Mapping[str, float] = SPEEDS, doubted: bool = True
) -> tuple[Band, ...]:
    """The bands of drawn machines; arguments as for `healthy`."""
    return bands_of(healthy(draws, seed, speeds, doubted))


def commonest(machine: Machine, refrigerant: str, count: int = COMMONEST) -> tuple[str, ...]:
    """The faults with the highest base rates (assumptions of the catalogue) that a machine can have."""
    fitting = faults_for(machine, refrigerant)
    return tuple(sorted(fitting, key=lambda name: -catalogue[name].base_rate)[:count])


def few(draws: Draws, count: int = CASES) -> Draws:
    """The first of the drawn machines."""
    return _changed(draws, lambda values: values[:count])


def middle(draws: Draws) -> Draws:
    """The one machine in the middle of those drawn."""
    return _changed(draws, lambda values: np.median(values, keepdims=True))


def _changed(draws: Draws, how: Callable[[np.ndarray], np.ndarray]) -> Draws:
    def changed(values: object) -> dict[str, np.ndarray]:
        return {name: how(value) for name, value in vars(values).items() if np.ndim(value)}

    return replace(
        draws,
        effects=replace(draws.effects, **changed(draws.effects)),
        conditions=replace(draws.conditions, **changed(draws.conditions)),
    )


Faulty = Mapping[tuple[str, float], Mapping[tuple[str, str], np.ndarray]]
"""Readings (speed, line) of machines with each fault at each severity."""


Sick = tuple[tuple[str, float], ...]
"""Faults, each at a severity."""


def with_faults(draws: Draws, sick: Sick) -> Draws:
    """The drawn machines once with each fault, one after the other."""
    count = np.size(draws.effects.charge)
    many = _changed(draws, lambda values: np.tile(values, len(sick)))
    effects = many.effects
    for place, (name, severity) in enumerate(sick):
        own = np.repeat(np.arange(len(sick)) == place, count)
        effects = combine(effects, entry(name).effects(severity * own))
    return replace(many, effects=inside_ranges(effects, draws.machine, draws.refrigerant, draws.charge))


def faulty_as_read(runs: Mapping[str, Readings], sick: Sick, seed: int = 2) -> Faulty:
    """Machines `with_faults`, run already at each speed, as they are read; ``seed`` of the instruments' scatter."""
    random = np.random.Generator(np.random.Philox(seed))
    read = {speed: values_of(readings, random) for speed, readings in runs.items()}
    found = {}
    for place, kind in enumerate(sick):
        found[kind] = {
            (speed, line): np.split(values, len(sick))[place]
            for speed, lines in read.items()
            for line, values in lines.items()
        }
    return found


def faulty(draws: Draws, names: tuple[str, ...], severities: tuple[float, ...] = (SEVERE,), seed: int = 2) -> Faulty:
    """Read the drawn machines with each fault at each severity; all of them are solved in one batch."""
    sick = tuple((name, severity) for name in names for severity in severities)
    return faulty_as_read(run(with_faults(draws, sick)), sick, seed)


def outside(
    bands: tuple[Band, ...], read: Mapping[tuple[str, str], np.ndarray]
) -> tuple[np.ndarray, dict[tuple[str, str], tuple[float, float]]]:
    """Which machines lie outside some band, and for each band the shares below and above it."""
    caught: np.ndarray = np.zeros(1, dtype=bool)
    shares = {}
    for band in bands:
        value = read[band.speed, band.name]
        below, above = value < band.low, value > band.high
        caught = caught | below | above
        shares[band.speed, band.name] = float(below.mean()), float(above.mean())
    return caught, shares


@dataclass(frozen=True)
class Watch:
    """What the check can find: suspects by reading, and the faults that can hide from it."""

    suspects: Mapping[tuple[str, str], Suspects]
    caught: Mapping[str, float]

    @property
    def hidden(self) -> tuple[str, ...]:
        """Common faults that can stay within all bands."""
        return tuple(name for name, share in self.caught.items() if share < HIDES)


def watch(bands: tuple[Band, ...], sick: Faulty) -> Watch:
    """What the bands catch of the faults at high severity."""
    caught: dict[str, float] = {}
    above: dict[tuple[str, str], list[tuple[float, str]]] = {}
    below: dict[tuple[str, str], list[tuple[float, str]]] = {}
    for (name, severity), read in sick.items():
        if severity != SEVERE:
            continue
        beyond, shares = outside(bands, read)
        caught[name] = float(beyond.mean())
        for place, (under, over) in shares.items():
            if under >= PUSHES_OUT:
                below.setdefault(place, []).append((under, name))
            if over >= PUSHES_OUT:
                above.setdefault(place, []).append((over, name))

    def names(found: list[tuple[float, str]]) -> tuple[str, ...]:
        return tuple(name for _, name in sorted(found, key=lambda one: -one[0]))

    places = [(band.speed, band.name) for band in bands]
    return Watch(
        {place: Suspects(names(above.get(place, [])), names(below.get(place, []))) for place in places}, caught
    )
