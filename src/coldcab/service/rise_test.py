"""What a vacuum does after the pump is shut off, and what that says: tight, leak, moisture, both, or cannot tell.

A leak lets air in at a steady rate: a straight line. Water gives vapor until the pressure is that of its temperature,
or until it is used up: the curve bends and stays. `judge` weighs the four answers against each other and gives none
where the readings do not decide.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from coldcab.air.saturation import log_saturation
from coldcab.machine.transients.evacuation import BOTH, LEAK, MOISTURE, TIGHT
from coldcab.quantities import Array, Limit
from coldcab.service.checks import ServiceError, number
from coldcab.words import _

CANNOT_TELL = "cannot tell"
CLASSES = (TIGHT, LEAK, MOISTURE, BOTH)

LIMITS_OF_METHOD = (
    _(
        "Refrigerant that boils out of oil, and oil that gives off vapor, bend the curve as "
        "water does: warm the machine, pump again, and see whether the bend comes back smaller."
    ),
    _(
        "Water under oil or in a drier may come out so slowly that its curve looks straight. A "
        "rise that is called a leak is looked for with nitrogen before anything is taken apart."
    ),
    _("A gauge hose, a core and the gauge itself leak too: test them alone first."),
    _("A machine that warms or cools during the test changes its own pressure."),
    _(
        "A small leak shows in nitrogen under pressure, not in a vacuum: tight here means "
        "nothing that this gauge can see."
    ),
)

NOISE = 2.0
"""Pa: scatter of the readings (standard deviation) where none is given, about 15 micron; invented."""

RESOLUTION = 1.33
"""Pa: last digit of the gauge where none is given, 10 micron; invented."""

RELATIVE_NOISE = 0.005
"""Scatter as a share of the reading where none is given; invented, usual for a vacuum gauge."""

SURE = 0.90
"""Share of belief from which an answer is given."""

# How far a real curve strays from a straight line or a plain bend in the middle of its rise, as a share of it, and over
# which share of the rise such a stray keeps its sign [invented: of the order of what the cooling of the water does to
# the bend]. At the start and at the end it does not stray: a rise that has come to rest is flat.
STRAY, STRAY_SPAN = 0.02, 0.35
MATERIAL = 0.06  # share of the rise from which a second cause counts as one
SEEN = 10.0  # scatters over the root of the number of readings: three times the scatter of a fitted rise
FASTEST, SLOWEST = 0.02, 2.0  # time constants of a bend, as shares of the test's length
BENDS = 40  # of them
# How the last of the water shapes the bend: its height is reached abruptly at this share of the way, or its surface
# shrinks, the more the closer the height is to the saturation pressure.
ENDS = ((1.0, 0.0), (0.6, 0.0), (0.3, 0.0), (1.0, 0.6), (1.0, 0.9))
HIGHEST = 5e4  # Pa that a rise may have
TOO_HIGH = 1.1  # times the saturation pressure, beyond which a bend is not water's
WORST_FIT = 4.0  # standard deviations of the sum of squares beyond which no curve of the four fits
FEWEST, MOST = 8, 400  # readings
DAMP = Limit("temperature", 248.15, 333.15, "C")
SCATTER = Limit("pressure difference", 1e-3, 1e4, "Pa")
SHARE = Limit("share", 0.0, 0.2, "%")
CERTAINTY = Limit("share", 0.5, 0.999999, "%")
VOLUME = Limit("volume", 1e-5, 1e4, "L")


@dataclass(frozen=True)
class RiseVerdict:
    """What a rise says. `verdict` is one of `CLASSES` or `CANNOT_TELL`."""

    verdict: str
    confidence: float  # belief in the likeliest of the four, 0 to 1
    likeliest: str
    beliefs: Mapping[str, float]  # of the four, adding up to 1
    leak_rate: float  # Pa/s of the straight part, of the likeliest answer
    moisture_rise: float  # Pa of the bent part
    time_constant: float  # s of the bend; NaN where there is none
    smallest_leak_rate: float  # Pa/s that would have been seen over this time with this gauge
    reason: str  # one plain sentence

    def leak(self, volume: float) -> float:
        """Pa m3/s of the leak into the vacuum, for a circuit of this volume (m3): q = V dp/dt."""
        return number("volume", volume, VOLUME) * self.leak_rate


def judge(
    time: ArrayLike,
    pressure: ArrayLike,
    *,
    resolution: float = RESOLUTION,
    noise: float = NOISE,
    relative_noise: float = RELATIVE_NOISE,
    temperature: float | None = None,
    sure: float = SURE,
) -> RiseVerdict:
    """Weigh the four answers for one rise.

    Parameters
    ----------
    time : s, rising, 8 to 400 readings. pressure : Pa absolute, one for each time.
    resolution : Pa, last digit of the gauge. noise : Pa, standard deviation of a reading, to
    which `relative_noise`, a share of the reading, is added in squares.
    temperature : K of the machine: water cannot lift the pressure above its saturation there, so that a higher
        rise is a leak's at least in part. Left out, nothing is concluded from the height.
    sure : belief from which an answer is given, 0.5 to 0.999999.

    Returns
    -------
    `RiseVerdict`.

    Raises
    ------
    ServiceError.

    Method: each answer is a family of curves, p0 (tight), p0 + r t (leak), p0 + A g(t) with g = 1 - exp(-t / tau),
    cut off where the water is used up (moisture), or both added. Readings scatter by noise and resolution, and a real
    curve strays smoothly from its family by `STRAY` of the rise. The evidence of a family is its fit, integrated over
    its parameters with equal weight for each power of ten (Laplace's method; Bayesian model comparison: MacKay (2003),
    chapter 28, from memory). The four are equally likely beforehand.
    """
    times, readings = _series(time, pressure)
    resolution, noise = number("resolution", resolution, SCATTER), number("noise", noise, SCATTER)
    sure = number("sure", sure, CERTAINTY)
    ceiling = HIGHEST
    if temperature is not None:
        ceiling = float(np.exp(log_saturation(np.asarray(number("temperature", temperature, DAMP)))[0]))
    share = (times - times[0]) / (times[-1] - times[0])
    relative = number("relative noise", relative_noise, SHARE)
    # Half of the last digit: a pressure that sits between two digits is off by that much in every reading.
    scatters = np.sqrt(noise**2 + resolution**2 / 4.0 + (relative * _smooth(readings)) ** 2)
    scatter = float(scatters[:3].mean())
    # The smallest effect that counts: what the readings can show at all, and no less than the gauge's last digit.
    least = max(resolution, SEEN * scatter / math.sqrt(times.size))
    rise = max(float(readings[-3:].mean() - readings[:3].mean()), least)
    if readings[-3:].mean() - readings[:3].mean() < -4.0 * scatter:
        return _nothing(
            least, times, _("The pressure falls, which no sealed vacuum does; check valve and temperature.")
        )
    if rise > HIGHEST:
        return _nothing(least, times, _("The rise is so large that it is no test of a vacuum; look for an open valve."))
    families = _weigh(share, readings, scatters, rise, least, ceiling)
    logs = np.array([one.evidence for one in families])
    beliefs = np.exp(logs - logs.max())
    beliefs /= beliefs.sum()
    best = int(np.argmax(beliefs))
    family, belief = families[best], float(beliefs[best])
    misfit = (family.squares - times.size) / math.sqrt(2.0 * times.size)
    too_high = family.bend > TOO_HIGH * ceiling
    verdict = CLASSES[best] if belief >= sure and misfit <= WORST_FIT and not too_high else CANNOT_TELL
    length = float(times[-1] - times[0])
    return RiseVerdict(
        verdict,
        belief,
        CLASSES[best],
        MappingProxyType(dict(zip(CLASSES, (float(one) for one in beliefs), strict=True))),
        max(family.line, 0.0) / length,
        max(family.bend, 0.0),
        family.constant * length,
        least / length,
        _reason(verdict, CLASSES[best], belief, misfit, too_high),
    )


class _Family:
    """The best of a family of curves and its evidence (natural logarithm); line and bend in Pa over the test."""

    __slots__ = ("bend", "constant", "evidence", "line", "squares")

    def __init__(
        self, evidence: float, squares: float, line: float = 0.0, bend: float = 0.0, constant: float = math.nan
    ) -> None:
        self.evidence, self.squares, self.line, self.bend, self.constant = evidence, squares, line, bend, constant


def _weigh(share: Array, readings: Array, scatters: Array, rise: float, least: float, ceiling: float) -> list[_Family]:
    n = share.size
    taus, bends = _bends(tuple(share.tolist()))
    way = _way(readings)
    stray = STRAY * rise * 2.0 * np.sqrt(way * (1.0 - way))
    apart = (way[:, None] - way[None, :]) / STRAY_SPAN
    covariance = np.diag(scatters**2) + np.outer(stray, stray) * np.exp(-0.5 * apart**2)
    factor = np.linalg.cholesky(covariance)
    white = np.linalg.solve(factor, np.column_stack([np.ones(n), readings - readings[0], share, bends]))
    # The start pressure is free: take it out of everything else.
    one = white[:, 0] / np.linalg.norm(white[:, 0])
    white = white[:, 1:] - one[:, None] * (one @ white[:, 1:])
    y, line, bent = white[:, 0], white[:, 1], white[:, 2:]
    plain = float(y @ y)
    tight = _Family(-0.5 * plain, plain)

    weight = math.log(HIGHEST / least)  # of the prior of a rise: equal for each power of ten
    height = math.log(max(ceiling / least, 2.0))
    tt = float(line @ line)
    best = float(line @ y) / tt
    spread = 1.0 / math.sqrt(tt)
    leak = _Family(
        -0.5 * (plain - best**2 * tt)
        + float(_peaks(np.array(best), np.array(spread), least, HIGHEST))
        - math.log(weight),
        plain - best**2 * tt,
        best,
    )

    bb, by, bt = (bent * bent).sum(axis=0), bent.T @ y, bent.T @ line
    ty, second = best * tt, max(least, MATERIAL * rise)
    found = by / bb
    squares = plain - found**2 * bb
    evidence = -0.5 * squares + _peaks(found, 1.0 / np.sqrt(bb), least, ceiling) - math.log(height)
    moisture = _averaged(evidence, squares, np.zeros_like(found), found, taus)
    # Bends that are as good as straight say nothing beside a line.
    determinant = tt * bb - bt**2
    apart = determinant > 1e-9 * tt * bb
    bb, by, bt, determinant = bb[apart], by[apart], bt[apart], determinant[apart]
    r, a = (bb * ty - bt * by) / determinant, (tt * by - bt * ty) / determinant
    squares = plain - (r * ty + a * by)
    spread_r, spread_a = np.sqrt(bb / determinant), np.sqrt(tt / determinant)
    # Each one's peak as if the other did not matter, and then the share by which the joint peak is narrower.
    evidence = (
        -0.5 * squares
        + _peaks(r, spread_r, second, HIGHEST)
        + _peaks(a, spread_a, second, ceiling)
        - np.log(np.sqrt(determinant) * spread_r * spread_a)
        - math.log(weight)
        - math.log(height)
    )
    return [tight, leak, moisture, _averaged(evidence, squares, r, a, taus[apart])]


def _smooth(readings: Array) -> Array:
    return np.convolve(np.pad(readings, 1, mode="edge"), np.full(3, 1.0 / 3.0), mode="valid")


def _way(readings: Array) -> Array:
    """How much of the rise is done at each reading, 0 to 1."""
    smooth = _smooth(readings)
    span = smooth[-1] - smooth[0]
    return np.clip((smooth - smooth[0]) / span, 0.0, 1.0) if span > 0.0 else np.zeros_like(smooth)


@lru_cache(maxsize=64)
def _bends(share: tuple[float, ...]) -> tuple[Array, Array]:
    """Time constants of all bent curves that are weighed, and a column for each."""
    constants = np.geomspace(FASTEST, SLOWEST, BENDS)
    grid = [(constant, *end) for constant in constants for end in ENDS]
    times = np.array(share)
    return np.array([one[0] for one in grid]), np.array([_bend(times, *one) for one in grid]).T


def _bend(share: Array, constant: float, spent: float, shrinking: float) -> Array:
    """The bent curve, 1 at its end, for one of `ENDS`.

    dg/dt = (1 - g)(1 - s g) / tau: the drive and, where s is above 0, the shrinking surface of the last water.
    """
    left = np.exp(-(1.0 - shrinking) * share / constant)
    full = (1.0 - left) / (1.0 - shrinking * left)
    top = spent * full[-1]
    bent: Array = np.minimum(full, top) / top
    return bent


_erfc = np.frompyfunc(math.erfc, 1, 1)


def _peaks(best: Array, spread: Array, least: float, most: float) -> Array:
    """ln of the integral of a normal peak over a prior that is 1 / x between ``least`` and ``most`` and 0 elsewhere.

    The prior is taken at the peak, moved to the nearest place where it is not 0.
    """
    above, over = (
        0.5 * np.asarray(_erfc((end - best) / (spread * math.sqrt(2.0))), dtype=float) for end in (least, most)
    )
    inside = np.maximum(above - over, 1e-290)
    height: Array = np.log(inside) + 0.5 * math.log(2.0 * math.pi) + np.log(spread) - np.log(np.clip(best, least, most))
    return height


def _averaged(evidence: Array, squares: Array, line: Array, bend: Array, constants: Array) -> _Family:
    """The family's evidence is the mean over its members; its curve that of the best of them."""
    top = int(np.argmax(evidence))
    mean = float(evidence[top] + math.log(np.mean(np.exp(evidence - evidence[top]))))
    return _Family(mean, float(squares[top]), float(line[top]), float(bend[top]), float(constants[top]))


def _series(time: ArrayLike, pressure: ArrayLike) -> tuple[Array, Array]:
    try:
        times, readings = np.asarray(time, dtype=float), np.asarray(pressure, dtype=float)
    except (TypeError, ValueError):
        raise ServiceError(_("times and pressures must be numbers, in s and Pa absolute.")) from None
    if times.ndim != 1 or times.shape != readings.shape:
        raise ServiceError(_("give one pressure for each time."))
    if not FEWEST <= times.size <= MOST:
        raise ServiceError(
            _("{size} readings are given; a rise is judged from {fewest} to {most}.").format(
                size=times.size, fewest=FEWEST, most=MOST
            )
        )
    if not (np.all(np.isfinite(times)) and np.all(np.diff(times) > 0.0)):
        raise ServiceError(_("the times must rise from one reading to the next."))
    if not np.all((readings >= 0.0) & (readings <= 1.1e5)):
        raise ServiceError(_("the pressures must be absolute, from 0 to 110000 Pa; a gauge reading is not."))
    return times, readings


def _nothing(least: float, times: Array, reason: str) -> RiseVerdict:
    even = MappingProxyType(dict.fromkeys(CLASSES, 0.25))
    seen = least / float(times[-1] - times[0])
    return RiseVerdict(CANNOT_TELL, 0.25, TIGHT, even, 0.0, 0.0, math.nan, seen, reason)


def _reason(verdict: str, likeliest: str, belief: float, misfit: float, too_high: bool) -> str:
    if misfit > WORST_FIT:
        return _("The readings follow none of the four curves; check the gauge, the hoses and the temperature.")
    if too_high:
        return _("The bend goes higher than water can lift it at this temperature; refrigerant or warming does that.")
    if verdict == CANNOT_TELL:
        return _(
            "The readings do not decide: {likeliest} is likeliest at {belief:.0f} %. Watch longer, or warmer."
        ).format(likeliest=likeliest, belief=100 * belief)
    return {
        TIGHT: _("The pressure stays, as far as this gauge can see."),
        LEAK: _("The pressure rises along a straight line, as air through a leak makes it."),
        MOISTURE: _("The rise bends and comes to rest, as vapor of water makes it."),
        BOTH: _("The rise bends and then goes on along a line: vapor first, and a leak under it."),
    }[verdict]
