"""Which measurement next: the doubt it can be expected to remove, for each minute that it costs.

Doubt is the entropy of the posterior in bits. What a measurement is worth is the mutual information between it and the
fault (C. E. Shannon 1948; D. V. Lindley 1956, On a measure of the information provided by an experiment): the mean,
over what the measurement may show, of how far the posterior would move. It is worked out with the atlas as the model
of what may be shown, by a fixed set of random draws.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from coldcab import air, units
from coldcab.faults.atlas import Posterior, look_chances
from coldcab.faults.catalogue import FaultError
from coldcab.faults.observables import GLASS_LOOKS, LOOKS, NUMBERS, Measurement, measurements, nearest, observables

DRAWS = 160
NEGLIGIBLE = 1e-5  # weight of a case, as a share of the largest, below which it is left out
SETTLED = 0.05  # bits
PLAIN = 3.0  # standard deviations apart; more tells no better
SUSPECTS = 6  # of the likeliest, among which the reason looks for a pair


@dataclass(frozen=True)
class Suggestion:
    """A measurement not yet taken: expected ``bits`` of doubt removed, at a price of ``minutes``."""

    measurement: Measurement
    minutes: float
    bits: float
    reason: str

    @property
    def bits_per_minute(self) -> float:
        """Expected bits for each minute."""
        return self.bits / self.minutes


def next_measurement(
    posterior: Posterior,
    *,
    taken: Iterable[str] = (),
    prices: Mapping[str, float] | None = None,
    system: str = "us",
) -> list[Suggestion]:
    """Measurements that are left, the one that tells most in a minute first.

    Parameters
    ----------
    posterior : what is known so far; its own observations count as taken.
    taken : names of further measurements that are not to be offered (done, or out of reach).
    prices : minutes by measurement, instead of those of `measurements`.
    system : "us" or "si", the units of the reasons.

    Raises `FaultError` for an unknown measurement or a price that is not above 0.
    """
    done = {_named(name) for name in taken}
    minutes = {name: one.minutes for name, one in measurements.items()}
    for name, price in (prices or {}).items():
        if not isinstance(price, int | float) or isinstance(price, bool) or not 0.0 < price < math.inf:
            raise FaultError(f"The price of {_named(name)!r} must be in minutes, above 0, not {price!r}.")
        minutes[_named(name)] = float(price)
    outlook = _Outlook(posterior, system)
    found = []
    for name, one in measurements.items():
        new = tuple(item for item in one.gives if item not in posterior.taken)
        if new and name not in done:
            bits = outlook.information(new)
            found.append(Suggestion(one, minutes[name], bits, outlook.reason(new, bits, minutes[name])))
    return sorted(found, key=lambda suggestion: -suggestion.bits_per_minute)


def _named(name: str) -> str:
    if name not in measurements:
        near = nearest(name, measurements)
        raise FaultError(f"There is no measurement named {str(name)[:60]!r}; the nearest is {near!r}.")
    return name


class _Outlook:
    """What may be read next on the machines that the readings so far leave in question."""

    def __init__(self, posterior: Posterior, system: str):
        self.posterior, self.atlas, self.system = posterior, posterior.atlas, system
        weights = posterior.weights
        self.kept = np.flatnonzero(weights > NEGLIGIBLE * weights.max())
        self.weights = weights[self.kept] / weights[self.kept].sum()
        self.classes = self.atlas.cases.classes[self.kept]
        self.member = np.zeros((self.kept.size, len(self.atlas.names)))
        self.member[np.arange(self.kept.size), self.classes] = 1.0
        self.chances = self.weights @ self.member
        self.taken = tuple(name for name in NUMBERS if name in posterior.taken)
        # Evenly spaced through the weights: few draws cover all suspects.
        places = (np.arange(DRAWS) + 0.5) / DRAWS
        self.draws = np.searchsorted(np.cumsum(self.weights), places).clip(max=self.kept.size - 1)

    def predicted(self, new: tuple[str, ...]) -> tuple[np.ndarray, np.ndarray]:
        """Means (cases, observables) of new numbers given those taken, and their common covariance."""
        cases, old = self.atlas.cases, self.taken
        means = np.stack([cases.seen[name][self.kept] for name in new], axis=1)
        covariance = self.atlas.covariance(old + new)
        if not old:
            return means, covariance
        size = len(old)
        gain = np.linalg.solve(covariance[:size, :size], covariance[:size, size:]).T
        known = np.array([self.posterior.taken[name] for name in old])
        rest = known - np.stack([cases.seen[name][self.kept] for name in old], axis=1)
        return means + rest @ gain.T, covariance[size:, size:] - gain @ covariance[:size, size:]

    def information(self, new: tuple[str, ...]) -> float:
        """Expected bits: mean divergence of the posterior after the measurement from the one before."""
        if self.posterior.bits < 1e-9:
            return 0.0
        random = np.random.Generator(np.random.Philox(1))
        logs = np.zeros((DRAWS, self.kept.size))
        numbers = tuple(name for name in new if name not in LOOKS)
        if numbers:
            means, covariance = self.predicted(numbers)
            root = np.linalg.cholesky(covariance)
            # In units of the covariance's root the cases are points and the draws are those points with unit scatter.
            points = np.linalg.solve(root, means.T).T
            simulated = points[self.draws] + random.standard_normal((DRAWS, len(numbers)))
            for column in range(len(numbers)):
                logs -= 0.5 * (simulated[:, column, None] - points[None, :, column]) ** 2
        for name in new:
            if name in LOOKS:
                logs += np.log(self._looks(name, random))
        logs -= logs.max(axis=1, keepdims=True)
        after = (np.exp(logs) * self.weights) @ self.member
        after /= after.sum(axis=1, keepdims=True)
        ratio = np.where(after > 0, after, 1.0) / np.where(self.chances > 0, self.chances, 1.0)
        return max(float(np.mean(np.sum(after * np.log2(ratio), axis=1))), 0.0)

    def _looks(self, name: str, random: np.random.Generator) -> np.ndarray:
        truth = self.atlas.cases.seen[name][self.kept]
        options: tuple[Any, ...] = GLASS_LOOKS if name == "glass" else (False, True)
        chances = np.stack([look_chances(name, truth, look) for look in options])  # look, case
        pick = random.random(DRAWS)[:, None] > np.cumsum(chances[:, self.draws].T, axis=1)
        result: np.ndarray = chances[pick.sum(axis=1).clip(max=len(options) - 1)]
        return result

    def reason(self, new: tuple[str, ...], bits: float, minutes: float) -> str:
        """A sentence or two: what the measurement is worth, and which two suspects it tells apart best."""
        doubt = self.posterior.bits
        if doubt < SETTLED:
            return "There is hardly any doubt left to remove."
        price = "1 minute" if minutes == 1 else f"{minutes:g} minutes"
        worth = f"It should remove about {min(bits / doubt, 1.0):.0%} of the doubt in {price}."
        pair = self._best_pair(new)
        return f"{worth} {pair}" if pair else f"{worth} The suspects that are left look the same to it."

    def _best_pair(self, new: tuple[str, ...]) -> str:
        likely = [number for number in np.argsort(-self.chances)[:SUSPECTS] if self.chances[number] > 0.01]
        best, comparison = 0.0, ""
        for name in new:
            expected = {number: self._expected(name, number) for number in likely}
            for one, two in combinations(likely, 2):
                apart = _apart(expected[one], expected[two])
                score = min(apart, PLAIN) * self.chances[one] * self.chances[two]
                if apart > 1.0 and score > best:
                    best = score
                    first, second = (self._words(name, expected[number]) for number in (one, two))
                    names = self.atlas.names
                    comparison = (
                        f"It best tells '{names[one]}' from '{names[two]}': {observables[name].words} {first} "
                        f"against {second}."
                    )
        return comparison

    def _expected(self, name: str, number: int) -> Any:
        """Mean and standard deviation of a number, or shares of the looks, if it is that class."""
        mask = self.classes == number
        weights = self.weights[mask] / self.weights[mask].sum()
        if name in LOOKS:
            truth = self.atlas.cases.seen[name][self.kept][mask]
            return {look: float(weights[truth == look].sum()) for look in np.unique(truth).tolist()}
        means, covariance = self.predicted((name,))
        mean = float(weights @ means[mask, 0])
        return mean, math.sqrt(float(weights @ (means[mask, 0] - mean) ** 2) + float(covariance[0, 0]))

    def _words(self, name: str, expected: Any) -> str:
        if isinstance(expected, dict):
            look = max(expected, key=expected.__getitem__)
            return f"mostly {look}" if name == "glass" else ("frost" if look else "no frost")
        kind = observables[name].kind
        value = expected[0]
        atmosphere = float(air.atmospheric_pressure(self.atlas.conditions.altitude))
        if kind == "pressure":
            value += atmosphere
        elif kind != "temperature" and abs(value) < observables[name].scatter:
            return "about none"
        return "about " + units.show(value, kind, system=self.system, atmosphere=atmosphere)


def _apart(one: Any, two: Any) -> float:
    """How far two expectations are apart, in standard deviations."""
    if isinstance(one, dict):
        return float(3.0 * sum(abs(one.get(look, 0.0) - two.get(look, 0.0)) for look in {*one, *two}) / 2.0)
    return float(abs(one[0] - two[0]) / math.hypot(one[1], two[1]))
