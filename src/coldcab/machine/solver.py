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
from coldcab.machine.kinds import Kind, Kinds
from coldcab.machine.layout import Machine
from coldcab.machine.model import CAB_SCALE, HUMIDITY_SCALE, SUPERHEAT_SCALE, Point, evaluate
from coldcab.machine.ops import ARRAYS, FLOATS, Arithmetic, Value
from coldcab.machine.residual_code import residuals_of
from coldcab.machine.setting import Setting, select
from coldcab.machine.switches import FURTHEST

COUNT = 7
WETTEST = 0.8  # mass share of liquid in the suction gas at the edge of the search
TOLERANCE = 1e-9  # of every scaled residual
STEP = 1e-6  # of the forward differences, in scaled unknowns
# Largest change of each unknown in one step: ln p, ln p, 8 kJ/kg, 0.4, 6 K, 4 g/kg, 4 bands of the thermostat.
STEP_LIMITS = (0.25, 0.25, 8e3 / SUPERHEAT_SCALE, 0.4, 6.0 / CAB_SCALE, 0.004 / HUMIDITY_SCALE, 4.0)
HOPELESS = 1e6  # a residual that could not be worked out counts as this
NOWHERE = (HOPELESS,) * COUNT, HOPELESS  # residuals, and the largest, where nothing could be worked out
PATIENCE = 20  # steps after which a search that has not got below STALLED of its residual is given up
STALLED = 0.9
NATURAL = 0.25  # share of the step's own fraction by which the next step must be shorter to count as progress
FEW = 6  # circuits, up to which many are solved one by one
KEEP = 0.34  # a step that leaves less than this of the residual keeps its Jacobian, with Broyden's correction
FULL_STEP = 1.0 / 0.99  # of the limits, up to which a step counts as not cut short
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
    to a third or less. A step counts as progress when the residual is smaller after it, or when the next step with the
    same Jacobian would be shorter: the natural monotonicity test of Deuflhard (1974, Numer. Math. 22, 289), which does
    not creep along where the residuals are badly scaled.
    """
    lowest, highest = bounds(fluid)

    calculate = residuals_of(machine, fluid, bulb)

    def at(u: list[float]) -> tuple[tuple[float, ...], float]:
        try:
            residuals = calculate(setting, u)
            norm = max(map(abs, residuals))
        except (ValueError, OverflowError, ZeroDivisionError, TypeError):
            return NOWHERE
        return (residuals, norm) if norm < HOPELESS else NOWHERE

    def solution() -> Point:
        return evaluate(FLOATS, machine, fluid, bulb, setting, u)

    u = [min(max(x, lo), hi) for x, lo, hi in zip(start, lowest, highest, strict=True)]
    residuals, norm = at(u)
    jacobian: np.ndarray | None = None
    fresh = False
    mark = norm
    for iteration in range(limit):
        if norm < TOLERANCE:
            return solution(), u, iteration
        if iteration % PATIENCE == PATIENCE - 1:
            if norm > mark * STALLED:
                return None, u, iteration
            mark = norm
        if jacobian is None:
            columns, moves = [], []
            for k in range(COUNT):
                moved = u.copy()
                # Away from a bound, or the difference would see nothing.
                nudge = STEP if u[k] + STEP < highest[k] else -STEP
                moved[k] += nudge
                moves.append(nudge)
                columns.append(at(moved)[0])
            jacobian = ((np.array(columns) - residuals) / np.array(moves)[:, None]).T
            fresh = True
        step = _step(jacobian, np.array(residuals), damping(norm))
        length = _length(step)
        scale = 1.0 / max(length, 1.0)
        accepted = False
        for factor in (1.0, *HALVINGS):
            moved = [
                min(max(x + factor * scale * s, lo), hi) for x, s, lo, hi in zip(u, step, lowest, highest, strict=True)
            ]
            there = at(moved)
            if there[1] < norm * (1.0 - 1e-4 * factor) or (fresh and factor == 1.0 and there[1] < TOLERANCE):
                accepted = True
                break
            if not fresh:
                break
            if there is not NOWHERE:
                following = _step(jacobian, np.array(there[0]), damping(norm))
                if _length(following) < (1.0 - NATURAL * factor * scale) * length:
                    accepted = True
                    break
        if not accepted:
            if fresh:
                # A small step in spite of it, as the way out of a corner.
                if there is NOWHERE:
                    return None, u, iteration
                u, (residuals, norm) = moved, there
            jacobian, fresh = None, False
            continue
        ratio = there[1] / norm
        if ratio < KEEP and scale * factor > 0.99 and jacobian is not None:
            change = np.array([a - b for a, b in zip(moved, u, strict=True)])
            missed = np.array([a - b for a, b in zip(there[0], residuals, strict=True)]) - jacobian @ change
            jacobian = jacobian + missed[:, None] * (change / (change @ change))
            fresh = False
        else:
            jacobian = None
        u, (residuals, norm) = moved, there
    return (solution(), u, limit) if norm < TOLERANCE else (None, u, limit)


def _length(step: list[float]) -> float:
    """Of a step, in units of the limits."""
    return max([abs(s) / limit for s, limit in zip(step, STEP_LIMITS, strict=True)])


def _step(jacobian: np.ndarray, residuals: np.ndarray, term: float) -> list[float]:
    matrix, side = jacobian, -residuals
    if term:
        matrix, side = jacobian.T @ jacobian, jacobian.T @ side
        diagonal = matrix.ravel()[:: COUNT + 1]  # a view
        diagonal *= 1.0 + term
        diagonal += term
    try:
        step: list[float] = np.linalg.solve(matrix, side).tolist()
        return step
    except np.linalg.LinAlgError:
        return [0.0] * COUNT


# Many circuits


def solve_many(
    machine: Machine, fluid: Fluid, bulb: Fluid, setting: Setting, start: np.ndarray, limit: int = 40
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Solve from ``start`` (7, n); every field of ``setting`` is an array (n,) or a number. See `solve_kinds`."""
    return solve_kinds(Kind(machine, fluid, bulb), setting, start, limit)


def solve_kinds(
    kinds: Kind | Kinds, setting: Setting, start: np.ndarray, limit: int = 40
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Solve circuits of one kind, or of those that ``setting.kind`` names, from ``start`` (7, n).

    The way of `solve_one`, for all at once: a circuit's Jacobian is worked out only when its last step with the old
    one did not do. Returns unknowns (7, n), converged (n,) and steps taken (n,). Solved circuits leave the calculation.
    """
    count = start.shape[1]
    lowest, highest = _bounds_of_each(kinds, setting, count)
    limits = np.array(STEP_LIMITS)[:, None]
    unknowns = np.clip(start, lowest, highest)
    done = np.zeros(count, bool)
    steps = np.zeros(count, int)
    place = np.arange(count)  # of the circuits still at work
    part = _constants_as_numbers(setting)

    def at(u: np.ndarray, part: Setting) -> np.ndarray:
        return _residuals(kinds.at(part), part, u)

    u = unknowns.copy()
    here = at(u, part)
    norm = np.abs(here).max(axis=0)
    mark = norm.copy()
    jacobian = np.empty((count, COUNT, COUNT))
    known = np.zeros(count, bool)  # has a Jacobian
    if count > FEW and not np.ptp(start, axis=1).any():
        # All from one solved circuit nearby: its Jacobian does for the first step of most.
        jacobian[:] = _jacobians(at, u[:, :1], here[:, :1], select(part, np.zeros(1, int)), highest[:, :1])
        known[:] = True
    for iteration in range(limit + 1):
        good = norm < TOLERANCE
        stuck = np.zeros_like(good)
        if iteration % PATIENCE == PATIENCE - 1:
            stuck = norm > mark * STALLED
            mark = norm.copy()
        leaving = good | stuck
        if leaving.any():
            gone, left = place[leaving], ~leaving
            unknowns[:, gone], done[gone], steps[gone] = u[:, leaving], good[leaving], iteration
            place, u, here, norm, mark = place[left], u[:, left], here[:, left], norm[left], mark[left]
            jacobian, known, part = jacobian[left], known[left], select(part, left)
            lowest, highest = lowest[:, left], highest[:, left]
        if not place.size or iteration == limit:
            break
        if place.size <= FEW and isinstance(kinds, Kind):
            # Arrays of a few numbers cost more than the numbers one by one.
            for number, circuit in enumerate(place):
                one = Setting(*(value.item(number) if isinstance(value, np.ndarray) else value for value in part))
                point, last, more = solve_one(*kinds, one, u[:, number].tolist(), limit - iteration)
                unknowns[:, circuit], done[circuit], steps[circuit] = last, point is not None, iteration + more
            return unknowns, done, steps
        fresh = ~known
        if fresh.any():
            some: Any = slice(None) if fresh.all() else np.flatnonzero(fresh)
            jacobian[some] = _jacobians(at, u[:, some], here[:, some], select(part, some), highest[:, some])
            known[:] = True
        step = _steps(jacobian, here, norm)
        largest = np.max(np.abs(step) / limits, axis=0)
        full = largest < FULL_STEP
        step /= np.maximum(largest, 1.0)
        target = np.clip(u + step, lowest, highest)
        there = at(target, part)
        size = np.abs(there).max(axis=0)
        worse = ~(size < norm * (1.0 - 1e-4))
        # With an old Jacobian a step that does not help is not taken; with a fresh one it is shortened.
        retry = np.flatnonzero(worse & ~fresh)
        worse = np.flatnonzero(worse & fresh)
        full[worse] = False
        if worse.size:
            passed = _progress(jacobian[worse], there[:, worse], norm[worse], largest[worse], 1.0)
            worse = worse[~passed]
        for factor in HALVINGS:
            if not worse.size:
                break
            shorter = np.clip(u[:, worse] + factor * step[:, worse], lowest[:, worse], highest[:, worse])
            found = at(shorter, select(part, worse))
            found_size = np.abs(found).max(axis=0)
            better = found_size < np.where(factor == HALVINGS[-1], HOPELESS, norm[worse] * (1.0 - 1e-4 * factor))
            better |= _progress(jacobian[worse], found, norm[worse], largest[worse], factor)
            target[:, worse[better]] = shorter[:, better]
            there[:, worse[better]] = found[:, better]
            size[worse[better]] = found_size[better]
            worse = worse[~better]
        target[:, retry], there[:, retry], size[retry] = u[:, retry], here[:, retry], norm[retry]
        known = full & (size < KEEP * norm)
        known[retry] = False
        _correct(jacobian, np.flatnonzero(known), target - u, there - here)
        u, here, norm = target, there, size
    unknowns[:, place] = u
    steps[place] = limit
    return unknowns, done, steps


def _progress(
    jacobian: np.ndarray, there: np.ndarray, norm: np.ndarray, length: np.ndarray, factor: float
) -> np.ndarray:
    """Whether the next steps with the same Jacobians would be shorter than the last, of that ``length`` uncut."""
    following = np.max(np.abs(_steps(jacobian, there, norm)) / np.array(STEP_LIMITS)[:, None], axis=0)
    taken = factor / np.maximum(length, 1.0)
    result: np.ndarray = (following < (1.0 - NATURAL * taken) * length) & (np.abs(there).max(axis=0) < HOPELESS)
    return result


def _constants_as_numbers(setting: Setting) -> Setting:
    """Fields that are one number spread over an array, as that number: less to carry along."""
    return Setting(
        *(
            float(value[0]) if isinstance(value, np.ndarray) and value.ndim and value.strides == (0,) else value
            for value in setting
        )
    )


def _bounds_of_each(kinds: Kind | Kinds, setting: Setting, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Lowest and highest scaled unknowns (7, n) of each circuit."""
    if isinstance(kinds, Kind):
        low, high = (np.repeat(np.array(side)[:, None], count, axis=1) for side in bounds(kinds.fluid))
        return low, high
    number = np.asarray(setting.kind, dtype=int)
    low, high = np.array([bounds(kind.fluid) for kind in kinds.kinds]).transpose(1, 2, 0)
    return low[:, number], high[:, number]


def _residuals(kind: Kind, part: Setting, u: np.ndarray) -> np.ndarray:
    """Residuals (7, ..., n) of unknowns (7, ..., n)."""
    with np.errstate(all="ignore"):
        residuals = evaluate(ARRAYS, *kind, part, u).residuals
    stacked = np.empty_like(u)
    for row, residual in zip(stacked, residuals, strict=True):
        row[...] = residual
    np.clip(stacked, -HOPELESS, HOPELESS, out=stacked)
    result: np.ndarray = np.nan_to_num(stacked, copy=False, nan=HOPELESS)
    return result


def _jacobians(
    at: Callable[[np.ndarray, Setting], np.ndarray], u: np.ndarray, here: np.ndarray, part: Setting, highest: np.ndarray
) -> np.ndarray:
    """Jacobians (n, 7, 7) by forward differences; away from a bound, or the difference would see nothing."""
    sign = np.where(u + STEP < highest, 1.0, -1.0)
    moved = u[:, None, :] + STEP * np.eye(COUNT)[:, :, None] * sign[:, None, :]  # unknown, column, circuit
    columns = (at(moved, part) - here[:, None, :]) / (STEP * sign[None, :, :])
    result: np.ndarray = columns.transpose(2, 0, 1)
    return result


def _correct(jacobian: np.ndarray, some: np.ndarray, change: np.ndarray, difference: np.ndarray) -> None:
    """Broyden's correction of the Jacobians of some circuits after a step, in place."""
    if some.size:
        moved, seen = change[:, some].T, difference[:, some].T
        missed = seen - np.einsum("nij,nj->ni", jacobian[some], moved)
        moved /= np.einsum("ni,ni->n", moved, moved)[:, None]
        jacobian[some] += missed[:, :, None] * moved[:, None, :]


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


# The starting point


def first_guess(ops: Arithmetic, machine: Machine, fluid: Fluid, setting: Setting) -> tuple[Value, ...]:
    """Scaled unknowns not far from most solutions."""
    inlet = setting.bench * setting.inlet_temperature + (1.0 - setting.bench) * (setting.ambient - 6.0)
    cold = ops.minimum(ops.maximum(inlet - 28.0, 262.0), 288.0)
    warm = ops.minimum(setting.ambient + 20.0, 345.0)
    liquid = 1e3 * (1.0 if fluid.liquid_heat > 1200.0 else 1.15)  # kg/m3, roughly
    outside = 0.28 * liquid * machine.condenser.volume + 0.13 * liquid * 1e-3 + 0.05
    level = (setting.charge - outside) / (liquid * machine.receiver.usable)
    humidity = setting.bench * setting.inlet_humidity + (1.0 - setting.bench) * (0.3 * setting.humidity + 0.004)
    low = fluid.table.log_pressure(cold)
    high = fluid.table.log_pressure(warm)
    # Beyond a switch the compressor stands still; a start there would have to find its way back first.
    # (A jumpered low-pressure switch has its cut-out below nothing.)
    low = ops.maximum(low, ops.log(ops.maximum(setting.low_cutout, 1e3)) + 0.02)
    high = ops.minimum(high, ops.log(setting.high_cutout) - 0.02)
    return (
        low,
        high,
        ops.spread(0.4, setting.charge),
        ops.minimum(ops.maximum(level, -0.2), 1.4),
        inlet / CAB_SCALE,
        humidity / HUMIDITY_SCALE,
        ops.spread(6.0, setting.charge),
    )
