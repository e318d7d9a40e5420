"""Integration of stiff rates of change, many cases at once or a single one.

Where liquid boils, a pump pulls and metal warms, seconds and hours meet in one equation: explicit steps would crawl.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from coldcab.machine.conditions import MachineError

Rates = Callable[[np.ndarray], np.ndarray]
RatesOfOne = Callable[[list[float]], list[float]]

STEP_CEILING = 50_000
LOST = "the equations could not be followed beyond {:.4g} s; choose values nearer to those of an ordinary machine."
GROWTH, SHRINKING, SAFETY = 5.0, 0.2, 0.9
CLOSE = 1e-7  # share of the way to the stop that counts as reached


class Path(NamedTuple):
    """States (n, cases) at the times asked for, up to the stop if one came."""

    time: np.ndarray
    states: np.ndarray  # (times, n, cases)
    end: float
    last: np.ndarray  # (n, cases) at the end
    steps: int


def integrate(
    rates: Rates,
    start: np.ndarray,
    times: np.ndarray,
    scale: np.ndarray,
    *,
    tolerance: float = 1e-5,
    stop: Callable[[np.ndarray], float] | None = None,
) -> Path:
    """Follow dy/dt = rates(y) from ``start`` (n, cases) and give y at ``times`` (rising, the first one the start).

    ``rates`` takes (n, ..., cases). ``scale`` (n,) is the size below which a state no longer matters: errors of a step
    stay below ``tolerance`` times (scale + |y|). The integration ends where ``stop(y)``, positive at first, reaches 0.

    Rosenbrock's method of order 3(2) in four stages, L-stable, gamma = 1/2: Sandu and others (1997), Atmospheric
    Environment 31, 3459 (coefficients from memory; a test measures the order). Steps end on the times asked for.
    """
    # A trial step may land where nothing is defined; its error is then not a number and the step is shortened.
    with np.errstate(all="ignore"):
        return _integrate(rates, start, times, scale, tolerance, stop)


def _integrate(
    rates: Rates,
    start: np.ndarray,
    times: np.ndarray,
    scale: np.ndarray,
    tolerance: float,
    stop: Callable[[np.ndarray], float] | None,
) -> Path:
    n, cases = start.shape
    scale = np.asarray(scale, dtype=float)[:, None]
    identity = np.eye(n)
    y, now, end = start.astype(float), float(times[0]), float(times[-1])
    found, filled = np.empty((times.size, n, cases)), 1
    found[0] = y
    slope = rates(y)
    level = stop(y) if stop else 1.0
    close = CLOSE * level
    wish = _first_step(float(np.max(np.abs(slope) / (scale + np.abs(y)))), end - now)
    count = 0
    while filled < times.size and level > 0.0:
        jacobian = _jacobian(rates, y, slope, scale)
        step, landing = _fitted(wish, times[filled] - now)
        while True:
            count += 1
            inverse = np.linalg.inv(identity * (2.0 / step) - jacobian)
            k1 = _times(inverse, slope)
            k2 = _times(inverse, slope + (4.0 / step) * k1)
            k3 = _times(inverse, rates(y + 2.0 * k1) + (k1 - k2) / step)
            k4 = _times(inverse, rates(y + 2.0 * k1 + k3) + (k1 - k2 - (8.0 / 3.0) * k3) / step)
            there = y + 2.0 * k1 + k3 + k4
            error = float(np.max(np.abs(k4) / (scale + np.maximum(np.abs(y), np.abs(there))))) / tolerance
            if error <= 1.0:
                reached = stop(there) if stop else 1.0
                share = level / (level - reached) if reached < 0.0 else 1.0
                if share > 1.0 - 1e-6:
                    break
                # Beyond the stop: the same step shorter, as far as a straight line says.
                step, landing = step * max(share, SHRINKING), False
                continue
            step *= _change(error)
            landing = False
            if step < 1e-13 * (end - times[0]) or count > STEP_CEILING:
                raise MachineError(LOST.format(now))
        wish = max(wish, step * _change(error)) if landing else step * _change(error)
        now = float(times[filled]) if landing else now + step
        y, level = there, reached
        if level < close:
            level = 0.0
        if landing:
            found[filled] = y
            filled += 1
        slope = rates(y)
    return Path(times[:filled], found[:filled], float(now), y, count)


def integrate_one(
    rates: RatesOfOne, start: list[float], times: Sequence[float], scale: Sequence[float], *, tolerance: float = 1e-5
) -> np.ndarray:
    """Follow a single case without a stop: `integrate` on plain numbers, several times as fast.

    Arguments as there, states and ``scale`` as lists (n,). Returns the states (times, n). Raises MachineError.
    """
    rates = _defined_or_nan(rates)
    y, now, end = start, times[0], times[-1]
    found, slope, count = [y], rates(y), 0
    wish = _first_step(max(abs(d) / (s + abs(v)) for d, s, v in zip(slope, scale, y, strict=True)), end - now)
    for target in times[1:]:
        landing = False
        while not landing:
            jacobian = _jacobian_of_one(rates, y, slope, scale)
            step, landing = _fitted(wish, target - now)
            while True:
                count += 1
                there, error = _attempt(rates, y, slope, jacobian, scale, step)
                error /= tolerance
                if error <= 1.0:
                    break
                step *= _change(error)
                landing = False
                if step < 1e-13 * (end - times[0]) or count > STEP_CEILING:
                    raise MachineError(LOST.format(now))
            wish = max(wish, step * _change(error)) if landing else step * _change(error)
            now = target if landing else now + step
            y = there
            slope = rates(y)
        found.append(y)
    return np.array(found)


def _attempt(
    rates: RatesOfOne, y: list[float], slope: list[float], jacobian: list[list[float]], scale: Sequence[float], h: float
) -> tuple[list[float], float]:
    """Where one step of the method leads, and its error; not a number where nothing is defined."""
    try:
        inverse = _inverse([[2.0 * (i == j) / h - v for j, v in enumerate(row)] for i, row in enumerate(jacobian)])
        k1 = _product(inverse, slope)
        k2 = _product(inverse, [s + 4.0 / h * a for s, a in zip(slope, k1, strict=True)])
        inner = rates([v + 2.0 * a for v, a in zip(y, k1, strict=True)])
        k3 = _product(inverse, [r + (a - b) / h for r, a, b in zip(inner, k1, k2, strict=True)])
        outer = rates([v + 2.0 * a + c for v, a, c in zip(y, k1, k3, strict=True)])
        right = [r + (a - b - 8.0 / 3.0 * c) / h for r, a, b, c in zip(outer, k1, k2, k3, strict=True)]
        k4 = _product(inverse, right)
    except ArithmeticError:  # no inverse, or beyond what a float holds
        return y, math.nan
    there = [v + 2.0 * a + c + d for v, a, c, d in zip(y, k1, k3, k4, strict=True)]
    errors = [abs(d) / (s + max(abs(v), abs(w))) for d, s, v, w in zip(k4, scale, y, there, strict=True)]
    return there, math.nan if any(one != one for one in errors) else max(errors)


def _defined_or_nan(rates: RatesOfOne) -> RatesOfOne:
    """Rates that are not a number where nothing is defined, as those of arrays are."""

    def defined(y: list[float]) -> list[float]:
        try:
            return rates(y)
        except (ArithmeticError, ValueError):
            return [math.nan] * len(y)

    return defined


def _jacobian_of_one(
    rates: RatesOfOne, y: list[float], slope: list[float], scale: Sequence[float]
) -> list[list[float]]:
    """Rows of the matrix, by forward differences."""
    columns = []
    for place, (value, size) in enumerate(zip(y, scale, strict=True)):
        small = 1e-7 * (size + abs(value))
        moved = rates([*y[:place], value + small, *y[place + 1 :]])
        columns.append([(there - here) / small for there, here in zip(moved, slope, strict=True)])
    return [list(row) for row in zip(*columns, strict=True)]


def _inverse(matrix: list[list[float]]) -> list[list[float]]:
    """By Gauss and Jordan with the largest pivot of each column; ZeroDivisionError where there is none."""
    n = len(matrix)
    rows = [[*row, *(float(i == j) for j in range(n))] for i, row in enumerate(matrix)]
    for column in range(n):
        pivot = max(range(column, n), key=lambda i: abs(rows[i][column]))
        rows[column], rows[pivot] = rows[pivot], rows[column]
        by = rows[column][column]
        leading = rows[column] = [value / by for value in rows[column]]
        for i in range(n):
            share = rows[i][column]
            if i != column and share:
                rows[i] = [value - share * one for value, one in zip(rows[i], leading, strict=True)]
    return [row[n:] for row in rows]


def _product(matrix: list[list[float]], vector: list[float]) -> list[float]:
    return [sum([a * b for a, b in zip(row, vector, strict=True)]) for row in matrix]


def _fitted(wish: float, left: float) -> tuple[float, bool]:
    """The next step, and whether it lands on the next time asked for: two steps share what one would leave over."""
    if wish >= left * (1.0 - 1e-9):
        return left, True
    return (0.5 * left, False) if wish > 0.5 * left else (wish, False)


def _change(error: float) -> float:
    """What a step is multiplied by after a try with this error, in tolerances: shortened, or for the next step.

    The error grows with the third power of the step. One that is not a number says nothing: the step is made short.
    """
    if error != error:
        return SHRINKING
    change = SAFETY * float(max(error, 1e-6) ** (-1 / 3))
    return min(GROWTH, change) if error <= 1.0 else max(SHRINKING, change)


def _first_step(rate: float, span: float) -> float:
    """A hundredth of the time in which the fastest state, which changes at ``rate`` (1/s), would change by itself."""
    return min(span, 1e-2 / rate) if rate > 0.0 else span * 1e-3


def _jacobian(rates: Rates, y: np.ndarray, slope: np.ndarray, scale: np.ndarray) -> np.ndarray:
    """(cases, n, n) by forward differences, all columns in one call."""
    n = y.shape[0]
    small = 1e-7 * (scale + np.abs(y))
    moved = y[:, None, :] + small[:, None, :] * np.eye(n)[:, :, None]  # state, column, case
    columns = (rates(moved) - slope[:, None, :]) / small[None, :, :]
    result: np.ndarray = columns.transpose(2, 0, 1)
    return result


def _times(inverse: np.ndarray, right: np.ndarray) -> np.ndarray:
    result: np.ndarray = np.matmul(inverse, right.T[:, :, None])[:, :, 0].T
    return result
