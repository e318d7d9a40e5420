"""Machines drawn with each fault: random severities, the scatter that healthy machines have, the weather as it is read.

What they would show is worked out in one batch. The atlas compares a set of readings with all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeAlias

import numpy as np

from coldcab.faults.catalogue import HEALTHY, catalogue, combine, entry
from coldcab.faults.observables import (
    NUMBERS,
)
from coldcab.faults.observing import Runs, run_once
from coldcab.machine import Conditions, Effects, Machine, Readings, charge_range, simulate
from coldcab.machine.conditions import LIMITS as CONDITION_LIMITS
from coldcab.machine.effects import HEALTHY as NOTHING
from coldcab.machine.effects import LIMITS as EFFECT_LIMITS
from coldcab.quantities import Value

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
RIDGE = 1e-3  # keeps a trait that no machine has yet from doing anything
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

    ``classes`` are places in ``names``; ``runs`` what each machine shows; ``traits`` what tells them apart, as numbers.
    """

    names: tuple[str, ...]
    classes: np.ndarray
    severities: np.ndarray
    runs: Runs
    traits: np.ndarray

    @cached_property
    def solved(self) -> np.ndarray:
        """Numbers of the machines with a steady state."""
        return np.flatnonzero(self.runs.base.solved)

    def untested(self) -> Cases:
        """The solved machines with what needs no hands-on test."""
        return self._cases(self.solved, {name: value[self.solved] for name, value in self.runs.seen().items()})

    def tested(self, some: np.ndarray | None = None) -> Cases:
        """The solved machines, or ``some`` of them by number, with everything that can be measured."""
        some = self.solved if some is None else some
        seen = {name: value[some] for name, value in self.runs.seen().items()} | self.runs.tested(some)
        good = np.all([np.isfinite(seen[name]) for name in NUMBERS], axis=0)
        return self._cases(some[good], {name: value[good] for name, value in seen.items()})

    def _cases(self, some: np.ndarray, seen: dict[str, np.ndarray]) -> Cases:
        return Cases(self.names, self.classes[some], self.severities[some], seen)


Among: TypeAlias = Callable[[np.random.Generator, int], tuple[Effects, Conditions]]
"""Draws so many healthy machines and their days."""


def draw_machines(
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
    like: Sequence[Drawn] = (),
) -> Drawn:
    """Run ``per_class`` machines of every class once.

    Parameters
    ----------
    machine, conditions : in whose middle the machines are drawn.
    refrigerant, charge : as for `build_atlas`.
    names : the classes, `HEALTHY` among them.
    per_class, seed, severities : how many, of which draw, how bad.
    among : draws healthy machines and days; the usual scatter around the middle if left out.
    other : rev/s of the engine in the speed test; `coldcab.faults.observing.other_speed` if left out.
    like : machines of other kinds, run already: what moved them is where the search starts here.
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
    # Every search starts from the healthy machine.
    near = simulate(machine, conditions, refrigerant=refrigerant, charge=charge)
    start = near if near.solved else None
    traits = _traits(np.array(names)[classes], severity, effects, weather)
    first = start
    if start is not None and like:
        first = replace(start, unknowns=_moved_alike(start, traits, like))
    runs = run_once(machine, weather, refrigerant, float(charge), effects, count, start, other, first)
    return Drawn(tuple(names), classes, severity, runs, traits)


def _moved_alike(start: Readings, traits: np.ndarray, like: Sequence[Drawn]) -> np.ndarray:
    """Unknowns (7, n) of the healthy machine ``start``, moved as faults, sizes and days moved other machines.

    A straight line through what was solved, by least squares (ridge: A. E. Hoerl, R. W. Kennard 1970, Technometrics 12,
    55), is near enough to start a search from.
    """
    known, moved = [], []
    for one in like:
        if one.runs.start is not None:
            moves = one.runs.base.unknowns - np.array(one.runs.start.unknowns)[:, None]
            good = np.all(np.isfinite(moves), axis=0)
            known.append(one.traits[good])
            moved.append(moves[:, good].T)
    here = np.array(start.unknowns)[:, None]
    if not known:
        return np.asarray(np.repeat(here, len(traits), axis=1))
    rows, columns = np.vstack(known), traits.shape[1]
    normal = rows.T @ rows + RIDGE * np.eye(columns)
    return np.asarray(here + np.linalg.solve(normal, rows.T @ np.vstack(moved)).T @ traits.T)


def _traits(names: np.ndarray, severities: np.ndarray, effects: Effects, conditions: Conditions) -> np.ndarray:
    """What tells drawn machines apart, as numbers of about 1: fault and severity, sizes, weather."""
    classes = np.array([HEALTHY, *catalogue])
    own = (names[:, None] == classes).astype(float)

    def column(value: Value) -> np.ndarray:
        return np.broadcast_to(np.asarray(value, dtype=float), names.shape)

    sizes = [np.clip(column(getattr(effects, name)) - 1.0, -0.5, 0.5) for name in SCATTER]
    warm = (column(conditions.ambient) - 308.15) / 5.0
    damp = column(conditions.relative_humidity) - 0.4
    weather = [warm, damp, warm**2, warm * damp, column(conditions.altitude) / 1e3]
    return np.column_stack([own, own * severities[:, None], *sizes, *weather])


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
    return draw_machines(
        machine, conditions, refrigerant=refrigerant, charge=charge, names=names, per_class=per_class, seed=seed,
        severities=severities,
    ).tested()  # fmt: skip


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
