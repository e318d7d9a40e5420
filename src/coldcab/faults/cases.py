"""Machines drawn with each fault: random severities, the scatter that healthy machines have, the weather as it is read.

What they would show is worked out in one batch. The atlas compares a set of readings with all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeAlias

import numpy as np

from coldcab.faults.catalogue import HEALTHY, combine, entry
from coldcab.faults.observables import NUMBERS
from coldcab.faults.observing import Lot, Runs, other_speed, run_lots, tested
from coldcab.machine import Conditions, Effects, Machine, charge_range
from coldcab.machine.conditions import LIMITS as CONDITION_LIMITS
from coldcab.machine.effects import HEALTHY as NOTHING
from coldcab.machine.effects import LIMITS as EFFECT_LIMITS
from coldcab.machine.simulate import Batch, simulate_batches

SEVERITIES = (0.25, 1.0)  # below, a fault can hardly be told from a healthy machine by anyone
# Scatter among healthy machines and of what is known of them: standard deviations of factors [invented].
SCATTER = {
    "condenser_conductance": 0.07,
    "evaporator_conductance": 0.07,
    "condenser_air": 0.06,
    "blower": 0.06,
    "volumetric": 0.03,
    "charge": 0.06,
    "valve_capacity": 0.07,
}
WEATHER_SCATTER = {"ambient": 0.7, "relative_humidity": 0.08, "inlet_temperature": 0.7, "inlet_relative_humidity": 0.08}
FOREIGN_STEPS = 5  # shares of foreign refrigerant in an atlas: each is a fluid of its own


@dataclass(frozen=True)
class Cases:
    """Machines with known faults: class number and severity of each, and every observable without scatter.

    ``counts``: cases of each class as drawn, where some of them are left out because they are no match for what was
    read (`likely`); without it all are there.
    """

    names: tuple[str, ...]
    classes: np.ndarray
    severities: np.ndarray
    seen: dict[str, np.ndarray]
    counts: np.ndarray | None = None

    @property
    def sizes(self) -> np.ndarray:
        """Cases of each class as drawn."""
        return np.bincount(self.classes, minlength=len(self.names)) if self.counts is None else self.counts


@dataclass(frozen=True)
class Drawn:
    """Machines of one kind with known faults, run once and not yet tested by hand; some may have no steady state.

    ``classes`` are places in ``names``; ``runs`` what each machine shows.
    """

    names: tuple[str, ...]
    classes: np.ndarray
    severities: np.ndarray
    runs: Runs

    @cached_property
    def solved(self) -> np.ndarray:
        """Numbers of the machines with a steady state."""
        return np.flatnonzero(self.runs.base.solved)

    def untested(self) -> Cases:
        """The solved machines with what needs no hands-on test."""
        some = self.solved
        seen = {name: value[some] for name, value in self.runs.seen().items()}
        return Cases(self.names, self.classes[some], self.severities[some], seen)


def all_tested(drawn: Sequence[Drawn], chosen: Sequence[np.ndarray] | None = None) -> list[Cases]:
    """The solved machines of each kind, or those ``chosen`` by number, with everything that can be measured."""
    chosen = [one.solved for one in drawn] if chosen is None else chosen
    cases = []
    for one, some, changes in zip(drawn, chosen, tested([one.runs for one in drawn], chosen), strict=True):
        seen = {name: value[some] for name, value in one.runs.seen().items()} | changes
        good = np.all([np.isfinite(seen[name]) for name in NUMBERS], axis=0)
        own = some[good]
        cases.append(
            Cases(one.names, one.classes[own], one.severities[own], {name: value[good] for name, value in seen.items()})
        )
    return cases


Among: TypeAlias = Callable[[np.random.Generator, int], tuple[Effects, Conditions]]
"""Draws so many healthy machines and their days."""


@dataclass(frozen=True)
class Planned:
    """Machines of one kind with known faults, not yet run, drawn around the conditions in the ``middle``."""

    names: tuple[str, ...]
    classes: np.ndarray
    severities: np.ndarray
    lot: Lot
    middle: Conditions

    @property
    def healthy(self) -> Batch:
        """The machine without a fault in the middle of the conditions."""
        return Batch(self.lot.machine, self.middle, self.lot.refrigerant, self.lot.charge)


def run_planned(plans: Sequence[Planned]) -> tuple[Drawn, ...]:
    """Run machines of several kinds, drawn around one day, in one go; each search starts from the healthy machine."""
    kinds = {id(one.lot.machine): one.healthy for one in plans}
    found = zip(kinds, simulate_batches(list(kinds.values())), strict=True)
    near = {kind: readings[0] if np.all(readings.solved) else None for kind, readings in found}
    runs = run_lots([replace(one.lot, start=near[id(one.lot.machine)]) for one in plans])
    return tuple(Drawn(one.names, one.classes, one.severities, done) for one, done in zip(plans, runs, strict=True))


def planned(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    charge: float,
    names: Sequence[str],
    per_class: int,
    seed: int,
    severities: tuple[float, float] = SEVERITIES,
    among: Among | None = None,
    other: float | None = None,
) -> Planned:
    """Draw ``per_class`` machines of every class.

    Parameters
    ----------
    machine, conditions : in whose middle the machines are drawn.
    refrigerant, charge : as for `build_atlas`.
    names : the classes, `HEALTHY` among them.
    per_class, seed, severities : how many, of which draw, how bad.
    among : draws healthy machines and days; the usual scatter around the middle if left out.
    other : rev/s of the engine in the speed test; `coldcab.faults.observing.other_speed` if left out.
    """
    random = np.random.Generator(np.random.Philox(seed))
    count = per_class * len(names)
    classes = np.repeat(np.arange(len(names)), per_class)
    severity = np.where(np.array(names)[classes] == HEALTHY, 0.0, random.uniform(*severities, count))
    effects, weather = (among or _usually(conditions))(random, count)
    for number, name in enumerate(names):
        if name != HEALTHY:
            own = severity * (classes == number)
            if name == "foreign refrigerant":
                own = np.round(own * FOREIGN_STEPS) / FOREIGN_STEPS
                severity = np.where(classes == number, own, severity)
            effects = combine(effects, entry(name).effects(own))
    effects = inside_ranges(effects, machine, refrigerant, charge)
    speed = other_speed(conditions) if other is None else other
    lot = Lot(machine, weather, refrigerant, float(charge), effects, count, None, speed)
    return Planned(tuple(names), classes, severity, lot, conditions)


def draw_cases(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    charge: float,
    names: Sequence[str],
    per_class: int,
    seed: int,
    severities: tuple[float, float] = SEVERITIES,
) -> Cases:
    """Run ``per_class`` machines of every class; classes that found no steady state lose those cases."""
    plan = planned(
        machine, conditions, refrigerant=refrigerant, charge=charge, names=names, per_class=per_class, seed=seed,
        severities=severities,
    )  # fmt: skip
    return all_tested(run_planned([plan]))[0]


def joined(parts: Sequence[Cases], names: Sequence[str] = ()) -> Cases:
    """Cases of several kinds of machine as one, under all their classes or under given ``names``."""
    names = tuple(names) or tuple(dict.fromkeys(name for one in parts for name in one.names))
    places = [np.array([names.index(name) for name in one.names]) for one in parts]
    return Cases(
        names,
        np.concatenate([place[one.classes] for one, place in zip(parts, places, strict=True)]),
        np.concatenate([one.severities for one in parts]),
        {name: np.concatenate([one.seen[name] for one in parts]) for name in parts[0].seen},
    )


def healthy_place(names: Sequence[str]) -> int:
    """Where among the classes the healthy machine stands."""
    return list(names).index(HEALTHY)


def scattered_effects(random: np.random.Generator, count: int) -> Effects:
    values = {name: 1.0 + sigma * random.standard_normal(count) for name, sigma in SCATTER.items()}
    return NOTHING.changed(**values)


def _usually(conditions: Conditions) -> Among:
    """Machines with the usual scatter, and days around some conditions."""

    def among(random: np.random.Generator, count: int) -> tuple[Effects, Conditions]:
        effects = scattered_effects(random, count)
        return effects, _scattered_weather(random, conditions, count)

    return among


def _scattered_weather(random: np.random.Generator, conditions: Conditions, count: int) -> Conditions:
    values = {}
    for name, sigma in WEATHER_SCATTER.items():
        value = getattr(conditions, name)
        if value is not None:
            low, high = CONDITION_LIMITS[name].ends
            values[name] = np.clip(value + sigma * random.standard_normal(count), low, high)
    return replace(conditions, **values)


def inside_ranges(effects: Effects, machine: Machine, refrigerant: str, charge: float) -> Effects:
    """Scatter never carries a machine out of the model's ranges."""
    low, high = charge_range(machine, refrigerant)
    values = {name: np.clip(getattr(effects, name), *limits) for name, limits in EFFECT_LIMITS.items()}
    # A hair inside, so that rounding cannot carry the product out again.
    values["charge"] = np.clip(values["charge"], low / charge * 1.001, 0.999 * high / charge)
    return effects.changed(**values)
