"""Finding the unknowns: damped Newton steps, other starts, and a walk from the healthy machine.

One circuit is solved on plain floats, many at once on arrays; both call the same `model.evaluate`. Levenberg's term
and the limits of a step keep the search inside physics until it is close, where the step is Newton's own.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np

from coldcab.machine.fluid import Fluid
from coldcab.machine.layout import Machine
from coldcab.machine.model import CAB_SCALE, HUMIDITY_SCALE, SUPERHEAT_SCALE, Point, evaluate
from coldcab.machine.ops import ARRAYS, FLOATS
from coldcab.machine.setting import Setting, as_arrays, select
from coldcab.machine.switches import FURTHEST

COUNT = 7
WETTEST = 0.8  # mass share of liquid in the suction gas at the edge of the search
TOLERANCE = 1e-9  # of every scaled residual
STEP = 1e-6  # of the forward differences, in scaled unknowns
# Largest change of each unknown in one step: ln p, ln p, 8 kJ/kg, 0.4, 6 K, 4 g/kg, 4 bands of the thermostat.
STEP_LIMITS = (0.25, 0.25, 8e3 / SUPERHEAT_SCALE, 0.4, 6.0 / CAB_SCALE, 0.004 / HUMIDITY_SCALE, 4.0)
HOPELESS = 1e6  # a residual that could not be worked out counts as this
PATIENCE = 20  # steps after which a search that has not got below STALLED of its residual is given up
STALLED = 0.9
HALVINGS = (0.5, 0.2, 0.05, 0.01)


def bounds(fluid: Fluid) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Lowest and highest scaled unknowns."""
    top = math.log(fluid.highest_pressure)
    low = (
        math.log(1.2e4),
        math.log(1.5e5),
        -WETTEST * fluid.latent_heat / SUPERHEAT_SCALE,
        -3.0,
        250.0 / CAB_SCALE,
        0.0,
        -FURTHEST - 1.0,
    )
    high = (
        top - 0.15,
        top - 1e-3,
        110e3 / SUPERHEAT_SCALE,
        4.0,
        360.0 / CAB_SCALE,
        0.4 / HUMIDITY_SCALE,
        FURTHEST + 1.0,
    )
    return low, high


def damping(norm: float) -> float:
    """Levenberg's term by the size of the residual."""
    return 1e-3 if norm > 0.3 else 1e-6 if norm > 1e-2 else 0.0


# One circuit


def solve_one(
    machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting, start: list[float], limit: int = 40
) -> tuple[Point | None, list[float], int]:
    """Solve on floats from ``start``; the point is None when it did not converge. Also unknowns and steps taken.

    The Jacobian is kept while steps with it, corrected after Broyden (1965, Math. Comp. 19, 577), cut the residual
    to a third or less.
    """
    lowest, highest = bounds(fluid)

    def at(u: list[float]) -> tuple[Point | None, tuple[float, ...], float]:
        try:
            point = evaluate(FLOATS, machine, fluid, bulb, setting, u)
            residuals = point.residuals
            norm = max(map(abs, residuals))
        except (ValueError, OverflowError, ZeroDivisionError, TypeError):
            return None, (HOPELESS,) * COUNT, HOPELESS
        return (point, residuals, norm) if norm < HOPELESS else (None, (HOPELESS,) * COUNT, HOPELESS)

    u = [min(max(x, lo), hi) for x, lo, hi in zip(start, lowest, highest, strict=True)]
    point, residuals, norm = at(u)
    jacobian: np.ndarray | None = None
    fresh = False
    mark = norm
    for iteration in range(limit):
        if norm < TOLERANCE:
            return point, u, iteration
        if iteration % PATIENCE == PATIENCE - 1:
            if norm > mark * STALLED:
                return None, u, iteration
            mark = norm
        if jacobian is None:
            columns, moves = [], []
            for k in range(COUNT):
                moved = u.copy()
                # Away from a bound, or the difference would see nothing.
                step = STEP if u[k] + STEP < highest[k] else -STEP
                moved[k] += step
                moves.append(step)
                columns.append(at(moved)[1])
            jacobian = ((np.array(columns) - residuals) / np.array(moves)[:, None]).T
            fresh = True
        step = _step(jacobian, np.array(residuals), damping(norm))
        scale = min(1.0, min(lim / max(abs(s), 1e-30) for s, lim in zip(step, STEP_LIMITS, strict=True)))
        accepted = False
        for factor in (1.0, *HALVINGS):
            moved = [
                min(max(x + factor * scale * s, lo), hi) for x, s, lo, hi in zip(u, step, lowest, highest, strict=True)
            ]
            there = at(moved)
            if there[2] < norm * (1.0 - 1e-4 * factor) or (fresh and factor == 1.0 and there[2] < TOLERANCE):
                accepted = True
                break
            if not fresh:
                break
        if not accepted:
            if fresh:
                # A small step in spite of it, as the way out of a corner.
                if there[0] is None:
                    return None, u, iteration
                u, (point, residuals, norm) = moved, there
            jacobian, fresh = None, False
            continue
        ratio = there[2] / norm
        if ratio < 0.34 and scale * factor > 0.99 and jacobian is not None:
            change = np.array(moved) - np.array(u)
            missed = np.array(there[1]) - np.array(residuals) - jacobian @ change
            jacobian = jacobian + missed[:, None] * (change / (change @ change))
            fresh = False
        else:
            jacobian = None
        u, (point, residuals, norm) = moved, there
    return (point, u, limit) if norm < TOLERANCE else (None, u, limit)


def _step(jacobian: np.ndarray, residuals: np.ndarray, term: float) -> list[float]:
    matrix, side = jacobian, -residuals
    if term:
        matrix, side = jacobian.T @ jacobian, jacobian.T @ side
        diagonal = matrix.ravel()[:: COUNT + 1]  # a view
        diagonal *= 1.0 + term
        diagonal += term
    try:
        return np.linalg.solve(matrix, side).tolist()
    except np.linalg.LinAlgError:
        return [0.0] * COUNT


# Many circuits


def solve_many(
    machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting, start: np.ndarray, limit: int = 40
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Solve from ``start`` (7, n); every field of ``setting`` is an array (n,) or a number.

    Returns unknowns (7, n), converged (n,) and steps taken (n,). Solved circuits leave the calculation.
    """
    count = start.shape[1]
    lowest, highest = (np.array(side)[:, None] for side in bounds(fluid))
    limits = np.array(STEP_LIMITS)[:, None]
    unknowns = np.clip(start, lowest, highest)
    done = np.zeros(count, bool)
    steps = np.zeros(count, int)
    place = np.arange(count)  # of the circuits still at work
    u = unknowns.copy()
    at = residual_function(machine, fluid, bulb, setting)
    difference = STEP * np.eye(COUNT)[:, :, None]
    here = at(u, place)
    norm = np.abs(here).max(axis=0)
    mark = norm.copy()
    for iteration in range(limit + 1):
        good = norm < TOLERANCE
        if good.any():
            unknowns[:, place[good]] = u[:, good]
            done[place[good]] = True
            steps[place[good]] = iteration
            left = ~good
            place, u, here, norm, mark = place[left], u[:, left], here[:, left], norm[left], mark[left]
        if iteration % PATIENCE == PATIENCE - 1:
            moving = norm <= mark * STALLED
            unknowns[:, place[~moving]] = u[:, ~moving]
            steps[place[~moving]] = iteration
            place, u, here, norm = place[moving], u[:, moving], here[:, moving], norm[moving]
            mark = norm.copy()
        if not place.size or iteration == limit:
            break
        sign = np.where(u + STEP < highest, 1.0, -1.0)
        moved = u[:, None, :] + difference * sign[:, None, :]  # unknown, column, circuit
        columns = (at(moved, place) - here[:, None, :]) / (STEP * sign[None, :, :])
        jacobian = columns.transpose(2, 0, 1)
        step = _steps(jacobian, here, norm)
        largest = np.max(np.abs(step) / limits, axis=0)
        step = step / np.maximum(largest, 1.0)
        target = np.clip(u + step, lowest, highest)
        there = at(target, place)
        size = np.abs(there).max(axis=0)
        worse = np.flatnonzero(~(size < norm * (1.0 - 1e-4)))
        for factor in HALVINGS:
            if not worse.size:
                break
            shorter = np.clip(u[:, worse] + factor * step[:, worse], lowest, highest)
            found = at(shorter, place[worse])
            found_size = np.abs(found).max(axis=0)
            better = found_size < np.where(factor == HALVINGS[-1], HOPELESS, norm[worse] * (1.0 - 1e-4 * factor))
            target[:, worse[better]] = shorter[:, better]
            there[:, worse[better]] = found[:, better]
            size[worse[better]] = found_size[better]
            worse = worse[~better]
        u, here, norm = target, there, size
    unknowns[:, place] = u
    steps[place] = limit
    return unknowns, done, steps


def residual_function(
    machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting
) -> Callable[[np.ndarray, np.ndarray], np.ndarray]:
    """Residuals (7, ..., k) of unknowns (7, ..., k) for the circuits at ``place`` (k,)."""

    def at(u: np.ndarray, place: np.ndarray) -> np.ndarray:
        part = select(setting, place)
        with np.errstate(all="ignore"):
            residuals = evaluate(ARRAYS, machine, fluid, bulb, part, u).residuals
        stacked = np.empty_like(u)
        for row, residual in zip(stacked, residuals, strict=True):
            row[...] = residual
        return np.nan_to_num(np.clip(stacked, -HOPELESS, HOPELESS), nan=HOPELESS)

    return at


def _steps(jacobian: np.ndarray, residuals: np.ndarray, norm: np.ndarray) -> np.ndarray:
    """Newton's steps (7, n), with Levenberg's term while far off."""
    right = residuals.T[:, :, None]
    term = np.where(norm > 0.3, 1e-3, np.where(norm > 1e-2, 1e-6, 0.0))
    matrix, side = jacobian.copy(), -right
    far = np.flatnonzero(term > 0)
    if far.size:
        transposed = jacobian[far].transpose(0, 2, 1)
        normal = transposed @ jacobian[far]
        index = np.arange(COUNT)
        normal[:, index, index] = normal[:, index, index] * (1.0 + term[far, None]) + term[far, None]
        matrix[far] = normal
        side[far] = -(transposed @ right[far])
    try:
        return np.linalg.solve(matrix, side)[:, :, 0].T
    except np.linalg.LinAlgError:
        matrix[:, np.arange(COUNT), np.arange(COUNT)] += 1e-9
        return np.linalg.solve(matrix, side)[:, :, 0].T


# Starting points and the ways round a failure


def first_guess(ops: Any, machine: Machine, fluid: Fluid, setting: Setting) -> tuple[Any, ...]:
    """Scaled unknowns not far from most solutions."""
    inlet = setting.bench * setting.inlet_temperature + (1.0 - setting.bench) * (setting.ambient - 6.0)
    cold = ops.minimum(ops.maximum(inlet - 28.0, 262.0), 288.0)
    warm = ops.minimum(setting.ambient + 20.0 + 0.0 * setting.charge, 345.0)
    liquid = 1e3 * (1.0 if fluid.liquid_heat > 1200.0 else 1.15)  # kg/m3, roughly
    outside = 0.28 * liquid * machine.condenser.volume + 0.13 * liquid * 1e-3 + 0.05
    level = (setting.charge - outside) / (liquid * machine.receiver.volume)
    humidity = setting.bench * setting.inlet_humidity + (1.0 - setting.bench) * (0.3 * setting.humidity + 0.004)
    low = fluid.table.log_pressure(cold) + 0.0 * setting.charge
    high = fluid.table.log_pressure(warm)
    # Beyond a switch the compressor stands still; a start there would have to find its way back first.
    # (A jumpered low-pressure switch has its cut-out below nothing.)
    low = ops.maximum(low, ops.log(ops.maximum(setting.low_cutout, 1e3)) + 0.02)
    high = ops.minimum(high, ops.log(setting.high_cutout) - 0.02)
    zero = 0.0 * setting.charge
    return (
        low,
        high,
        0.4 + zero,
        ops.minimum(ops.maximum(level, -0.2), 1.4),
        inlet / CAB_SCALE + zero,
        humidity / HUMIDITY_SCALE + zero,
        6.0 + zero,
    )


# Shifts of the first guess, each another starting point.
OTHER_STARTS = (
    (0.0, 0.25, -0.2, 0.0),
    (-0.5, 0.0, 1.1, 0.0),
    (-1.0, -0.15, 1.6, -0.15),
    (0.25, -0.15, -0.4, 0.0),
    (0.0, 0.45, 0.0, 0.8),
    (-0.3, 0.1, 0.6, -0.6),
)


def solve_stubborn(
    machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting, healthy: Setting, guess: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Unknowns (7, n) and success of circuits that the first start did not solve: other starts, then a walk."""
    count = guess.shape[1]
    unknowns, done = guess.copy(), np.zeros(count, bool)
    for shift in OTHER_STARTS:
        left = np.flatnonzero(~done)
        if not left.size:
            return unknowns, done
        start = guess[:, left] + np.array([*shift, 0.0, 0.0, 0.0])[:, None]
        unknowns[:, left], done[left], _ = solve_many(machine, fluid, bulb, select(setting, left), start, 60)
    left = np.flatnonzero(~done)
    if left.size:
        part, base = select(setting, left), select(healthy, left)
        unknowns[:, left], done[left] = _walk(machine, fluid, bulb, part, base, guess[:, left])
    return unknowns, done


def solve_stubborn_one(
    machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting, healthy: Setting, guess: list[float]
) -> tuple[Point | None, list[float]]:
    """The same for one circuit on floats."""
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
        there, unknowns, _ = solve_one(machine, fluid, bulb, mixed, here, 30)
        if there is None:
            step *= SHORTER
        else:
            point, here, reached, step = there, unknowns, goal, step * LONGER
    return (point, here) if reached >= 1.0 else (None, here)


# Strides of the walk from the healthy machine to the asked-for one; they shrink where the solution turns sharply.
FIRST_STRIDE, LEAST_STRIDE, LONGER, SHORTER, STRIDES = 0.25, 4e-3, 1.8, 0.35, 30


def _walk(
    machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting, healthy: Setting, guess: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """From the healthy machines to the asked-for ones."""
    count = guess.shape[1]
    healthy = as_arrays(healthy, count)
    base = np.array(first_guess(ARRAYS, machine, fluid, healthy))
    here, known, _ = solve_many(machine, fluid, bulb, healthy, base)
    reached, step = np.zeros(count), np.full(count, FIRST_STRIDE)
    for _ in range(STRIDES):
        at_work = np.flatnonzero(known & (reached < 1.0) & (step > LEAST_STRIDE))
        if not at_work.size:
            break
        goal = np.minimum(reached[at_work] + step[at_work], 1.0)
        mixed = _blend(select(healthy, at_work), select(setting, at_work), goal)
        found, good, _ = solve_many(machine, fluid, bulb, mixed, here[:, at_work], 30)
        here[:, at_work[good]] = found[:, good]
        reached[at_work[good]] = goal[good]
        step[at_work] *= np.where(good, LONGER, SHORTER)
    return here, known & (reached >= 1.0)


def _blend(one: Setting, other: Setting, share: Any) -> Setting:
    """Between two settings; factors that span decades are mixed by their logarithms."""
    mixed = []
    for name, a, b in zip(Setting._fields, one, other, strict=True):
        if name in ("drier", "suction", "discharge", "liquid_line", "screen", "bulb_charge", "charge", "boiling"):
            mixed.append(np.exp((1.0 - share) * np.log(a) + share * np.log(b)))
        else:
            mixed.append((1.0 - share) * a + share * np.asarray(b))
    return Setting(*mixed)
