"""Fallback strategies for a search that failed: solved neighbors, a walk from one, other starts, a walk from health."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coldcab.machine.fluid import Fluid
from coldcab.machine.layout import Machine
from coldcab.machine.model import Point
from coldcab.machine.ops import ARRAYS, FLOATS
from coldcab.machine.setting import Setting, as_arrays, select
from coldcab.machine.solver import first_guess, solve_many, solve_one

# Shifts of the first guess, each another starting point.
OTHER_STARTS = (
    (0.0, 0.25, -0.2, 0.0),
    (-0.5, 0.0, 1.1, 0.0),
    (-1.0, -0.15, 1.6, -0.15),
    (0.25, -0.15, -0.4, 0.0),
    (0.0, 0.45, 0.0, 0.8),
    (-0.3, 0.1, 0.6, -0.6),
)
NEIGHBOURS = 3  # solved circuits that are tried as starts
# Strides of a walk from a solved machine to the asked-for one; they shrink where the solution turns sharply.
FIRST_STRIDE, LEAST_STRIDE, LONGER, SHORTER, STRIDES = 0.25, 4e-3, 1.8, 0.35, 30
WALKING = 20  # steps of the search, started nearby
SPANNING_DECADES = frozenset(
    {"receiver_inlet", "drier", "suction", "discharge", "liquid_line", "evaporator_passage", "screen", "bulb_charge",
     "charge", "boiling"}
)  # fmt: skip


class Solved(NamedTuple):
    """Circuits whose unknowns (7, n) are known, and what they are."""

    setting: Setting
    unknowns: np.ndarray


def solve_by_fallbacks(
    machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting, healthy: Setting, guess: np.ndarray, near: Solved
) -> tuple[np.ndarray, np.ndarray]:
    """Unknowns (7, n) and success of circuits that the first start did not solve; ``near`` are others of the batch."""
    count = guess.shape[1]
    unknowns, done = guess.copy(), np.zeros(count, bool)

    def attempt(start: np.ndarray, left: np.ndarray, limit: int) -> None:
        if left.size:
            unknowns[:, left], done[left], _ = solve_many(machine, fluid, bulb, select(setting, left), start, limit)

    if near.unknowns.shape[1]:
        order = _nearest(setting, near.setting)
        for column in range(order.shape[1]):
            left = np.flatnonzero(~done)
            attempt(near.unknowns[:, order[left, column]], left, WALKING)
        left = np.flatnonzero(~done)
        if left.size:
            first = order[left, 0]
            unknowns[:, left], done[left] = _walk(
                machine, fluid, bulb, select(setting, left), select(near.setting, first), near.unknowns[:, first]
            )
    for shift in OTHER_STARTS:
        left = np.flatnonzero(~done)
        attempt(guess[:, left] + np.array([*shift, 0.0, 0.0, 0.0])[:, None], left, 60)
    left = np.flatnonzero(~done)
    if left.size:
        base = select(as_arrays(healthy, count), left)
        first, known, _ = solve_many(machine, fluid, bulb, base, np.array(first_guess(ARRAYS, machine, fluid, base)))
        some = left[known]
        if some.size:
            unknowns[:, some], done[some] = _walk(
                machine, fluid, bulb, select(setting, some), select(base, known), first[:, known]
            )
    return unknowns, done


def solve_one_by_fallbacks(
    machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting, healthy: Setting, guess: list[float]
) -> tuple[Point | None, list[float]]:
    """The same for one circuit on floats, which has no neighbours."""
    for shift in OTHER_STARTS:
        start = [a + b for a, b in zip(guess, (*shift, 0.0, 0.0, 0.0), strict=True)]
        point, unknowns, _ = solve_one(machine, fluid, bulb, setting, start, 60)
        if point is not None:
            return point, unknowns
    first = list(first_guess(FLOATS, machine, fluid, healthy))
    point, here, _ = solve_one(machine, fluid, bulb, healthy, first)
    reached, step = 0.0, FIRST_STRIDE
    while point is not None and reached < 1.0 and step > LEAST_STRIDE:
        goal = min(reached + step, 1.0)
        mixed = Setting(*(float(value) for value in _blend(healthy, setting, goal)))
        there, unknowns, _ = solve_one(machine, fluid, bulb, mixed, here, WALKING)
        if there is None:
            step *= SHORTER
        else:
            point, here, reached, step = there, unknowns, goal, step * LONGER
    return (point, here) if reached >= 1.0 else (None, here)


def _nearest(asked: Setting, known: Setting) -> np.ndarray:
    """For each asked-for circuit the places of the most similar known ones, the most similar first."""
    total: Any = 0.0
    for name, one, other in zip(Setting._fields, asked, known, strict=True):
        if name in SPANNING_DECADES:
            one, other = np.log(one), np.log(other)
        scatter = np.std(other)
        if scatter > 1e-12 * (1.0 + np.abs(np.mean(other))):
            total = total + ((one[:, None] - other[None, :]) / scatter) ** 2
    if np.ndim(total) == 0:  # all alike
        return np.zeros((asked.charge.size, 1), int)
    return np.argsort(total, axis=1)[:, :NEIGHBOURS]


def _walk(
    machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting, base: Setting, here: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """From solved machines (7, n) to the asked-for ones."""
    count = here.shape[1]
    here = here.copy()
    reached, step = np.zeros(count), np.full(count, FIRST_STRIDE)
    for _ in range(STRIDES):
        at_work = np.flatnonzero((reached < 1.0) & (step > LEAST_STRIDE))
        if not at_work.size:
            break
        goal = np.minimum(reached[at_work] + step[at_work], 1.0)
        mixed = _blend(select(base, at_work), select(setting, at_work), goal)
        found, good, _ = solve_many(machine, fluid, bulb, mixed, here[:, at_work], WALKING)
        here[:, at_work[good]] = found[:, good]
        reached[at_work[good]] = goal[good]
        step[at_work] *= np.where(good, LONGER, SHORTER)
    return here, reached >= 1.0


def _blend(one: Setting, other: Setting, share: Any) -> Setting:
    """Between two settings; factors that span decades are mixed by their logarithms."""
    mixed = []
    for name, a, b in zip(Setting._fields, one, other, strict=True):
        if name in SPANNING_DECADES:
            mixed.append(np.exp((1.0 - share) * np.log(a) + share * np.log(b)))
        else:
            mixed.append((1.0 - share) * a + share * np.asarray(b))
    return Setting(*mixed)
