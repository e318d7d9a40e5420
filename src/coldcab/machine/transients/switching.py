"""Switches with a dead band: following states through their openings and closings."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from coldcab.machine.conditions import MachineError

STEP = 0.5  # s


def cycle_times(
    run: float, rest: float, cut_out: float, cut_in: float, fall: float, rise: float
) -> tuple[float, float]:
    """s on and off of a switch that opens at ``cut_out`` and closes at ``cut_in`` above it, in closed form.

    The quantity falls towards ``run`` with time constant ``fall`` (s) while the clutch is engaged and rises towards
    ``rest`` with ``rise`` while it is not: t_on = fall ln((cut_in - run) / (cut_out - run)),
    t_off = rise ln((rest - cut_out) / (rest - cut_in)). Infinite where the switch is not reached. Exponentials of
    first order, textbook.
    """
    if not cut_in > cut_out:
        raise MachineError(f"the cut-in {cut_in:g} must lie above the cut-out {cut_out:g}.")
    on = fall * math.log((cut_in - run) / (cut_out - run)) if run < cut_out else math.inf
    off = rise * math.log((rest - cut_out) / (rest - cut_in)) if rest > cut_in else math.inf
    return on, off


class Threshold(NamedTuple):
    """A switch: which state it feels, where it opens and where it closes again."""

    name: str
    state: int
    opens: float
    closes: float


class Followed(NamedTuple):
    """What `follow` found."""

    times: list[float]
    states: list[list[float]]
    engaged: list[bool]
    on_times: list[float]
    off_times: list[float]
    opened_by: list[str]


def follow(
    rates: Callable[[list[float], bool], list[float]],
    start: list[float],
    thresholds: Sequence[Threshold],
    duration: float,
    step: float = STEP,
) -> Followed:
    """Integrate ``rates(states, engaged)`` while the switches open and close the clutch.

    A threshold that opens below where it closes acts on falling, one that opens above on rising values. The clutch
    is engaged when all are closed. Classical Runge and Kutta steps; a switching is found by halving the step.
    """
    now, y = 0.0, list(start)
    shut = [not _beyond(one, y, True) for one in thresholds]
    engaged = all(shut)
    times, states, flags = [0.0], [y], [engaged]
    on_times: list[float] = []
    off_times: list[float] = []
    opened_by: list[str] = []
    since: float | None = None  # of the last switching; the first spell is not complete
    while now < duration - 1e-9:
        length = min(step, duration - now)
        there = _runge_kutta(rates, y, engaged, length)
        if _switched(thresholds, shut, there):
            low, high = 0.0, length
            while high - low > 1e-7:
                middle = 0.5 * (low + high)
                there = _runge_kutta(rates, y, engaged, middle)
                low, high = (low, middle) if _switched(thresholds, shut, there) else (middle, high)
            length, there = high, _runge_kutta(rates, y, engaged, high)
            turned = _switched(thresholds, shut, there)
            shut = [flag != (k in turned) for k, flag in enumerate(shut)]
        now, y = now + length, there
        if all(shut) != engaged:
            if since is not None:
                (on_times if engaged else off_times).append(now - since)
            if engaged:
                opened_by.append(thresholds[turned[0]].name)
            engaged, since = not engaged, now
        times.append(now)
        states.append(y)
        flags.append(engaged)
    return Followed(times, states, flags, on_times, off_times, opened_by)


def _beyond(one: Threshold, y: list[float], closed: bool) -> bool:
    """True when a closed switch must open, or an open one may close."""
    value, falling = y[one.state], one.opens < one.closes
    if closed:
        return value < one.opens if falling else value > one.opens
    return value > one.closes if falling else value < one.closes


def _switched(thresholds: Sequence[Threshold], shut: list[bool], y: list[float]) -> list[int]:
    """The switches that turn at these states."""
    return [k for k, (one, flag) in enumerate(zip(thresholds, shut, strict=True)) if _beyond(one, y, flag)]


def _runge_kutta(
    rates: Callable[[list[float], bool], list[float]], y: list[float], engaged: bool, h: float
) -> list[float]:
    a = rates(y, engaged)
    b = rates([v + 0.5 * h * d for v, d in zip(y, a, strict=True)], engaged)
    c = rates([v + 0.5 * h * d for v, d in zip(y, b, strict=True)], engaged)
    e = rates([v + h * d for v, d in zip(y, c, strict=True)], engaged)
    return [v + h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4) for v, k1, k2, k3, k4 in zip(y, a, b, c, e, strict=True)]


def means(found: Followed) -> tuple[float, float, float]:
    """On and off time (s) of the later half of the complete cycles, and their duty."""
    cycles = min(len(found.on_times), len(found.off_times))
    if not cycles:
        engaged = found.engaged[-1]
        return (math.inf, 0.0, 1.0) if engaged else (0.0, math.inf, 0.0)
    later = max(1, cycles // 2)
    on = sum(found.on_times[-later:]) / later
    off = sum(found.off_times[-later:]) / later
    return on, off, on / (on + off)
