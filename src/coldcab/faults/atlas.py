"""The atlas: many machines with known faults at the learner's own weather and speed, and what readings say of them.

For each class (every fault, and healthy) the machine is run with random severities and with the scatter that healthy
machines have among themselves. A set of readings is then compared with all of them (kernel density estimate, e.g.
B. W. Silverman 1986, Density Estimation for Statistics and Data Analysis): its likelihood under a class is the mean of
Gaussians around the cases of that class, and Bayes' rule with the base rates gives the posterior. Readings that were
not taken simply drop out: a Gaussian's marginal leaves out rows and columns.

The figures hold for the invented machines and the stated scatter. They take one fault at a time; `Posterior.strange`
says when no single fault explains the readings.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from coldcab.faults.cases import Cases, draw_cases, healthy_place
from coldcab.faults.catalogue import HEALTHY, HEALTHY_RATE, FaultError, catalogue, entry, faults_for, group
from coldcab.faults.observables import (
    FROST_ERROR,
    GLASS_ERROR,
    GLASS_LOOKS,
    NUMBERS,
    Observed,
    observables,
    observations,
)
from coldcab.machine import Conditions, Machine, Readings, simulate
from coldcab.machine.doubt import common_errors
from coldcab.quantities import Value
from coldcab.refrigerants import resolve

PER_CLASS = 64
BANDWIDTH = 1.5  # in units of Scott's rule; wider than his 1, for 64 cases in many dimensions are spread thin
LEAST_PER_CLASS = 5
KEPT = 64  # kernels kept; each is at most half a megabyte
STRANGE = 2.5  # misfit that fewer than 1 in 200 machines with one fault reach (tests/benchmarks/test_faults.py)


@dataclass(frozen=True)
class Atlas:
    """Cases at one weather, speed, refrigerant and charge; make it with `build_atlas`, keep it, ask it often.

    ``errors``: what a real machine's readings may differ by, each part moving its readings together (`for_real`).
    """

    machine: Machine
    conditions: Conditions
    refrigerant: str
    charge: float
    cases: Cases
    bandwidth: float = BANDWIDTH
    errors: tuple[dict[str, float], ...] = ()
    _kernels: dict[tuple[str, ...], Kernel] = field(default_factory=dict, repr=False, compare=False)

    @property
    def names(self) -> tuple[str, ...]:
        """The classes: healthy, then the faults."""
        return self.cases.names

    def kernel(self, taken: tuple[str, ...]) -> Kernel:
        """Cases and covariance of some observables, ready to be compared with readings."""
        if taken not in self._kernels:
            if len(self._kernels) >= KEPT:
                self._kernels.clear()
            self._kernels[taken] = Kernel.of(self.cases, taken, self.covariance(taken))
        return self._kernels[taken]

    def covariance(self, taken: tuple[str, ...]) -> np.ndarray:
        """Covariance of some observables around a case: instruments, width of the kernel, doubt of the model."""
        covariance = covariance_of(self.cases, taken, self.bandwidth)
        for part in self.errors:
            together = np.array([part.get(name, 0.0) for name in taken])
            covariance = covariance + np.outer(together, together)
        return covariance

    def for_real(self, healthy: Readings | None = None, more: Mapping[str, float] | None = None) -> Atlas:
        """The same atlas for a machine in a real bay: the model's doubt counts beside the instruments'.

        The doubt was found beside the middle machine of the model; what the atlas's machines differ by is a part of it
        already, and only the rest is added. ``healthy`` may be the readings of that machine, if they are at hand,
        ``more`` a further part, as `common_errors` gives them. Raises FaultError where it has no steady state.
        """
        if healthy is None:
            healthy = simulate(self.machine, self.conditions, refrigerant=self.refrigerant, charge=self.charge)
        if not healthy.solved:
            raise FaultError("The healthy machine finds no steady state at these conditions; choose milder weather.")
        own = self.cases.classes == healthy_place(self.names)
        rest = []
        for part in (*common_errors(healthy), *([more] if more else [])):
            name, whole = next(iter(part.items()))
            if name not in self.cases.seen:
                continue  # not yet tested by hand
            share = math.sqrt(max(1.0 - float(np.var(self.cases.seen[name][own])) / whole**2, 0.0))
            rest.append({one: share * error for one, error in part.items()})
        return replace(self, errors=tuple(rest), _kernels={})

    def log_likelihoods(self, taken: Mapping[str, Observed]) -> np.ndarray:
        """Log-likelihood of checked observations for every case."""
        numbers = tuple(name for name in NUMBERS if name in taken)
        total = np.zeros(len(self.cases.classes))
        if numbers:
            total = self.kernel(numbers).log_density(np.array([taken[name] for name in numbers]))
        for name in ("glass", "coil_frost"):
            if name in taken:
                total = total + np.log(look_chances(name, self.cases.seen[name], taken[name]))
        return total

    def posterior(
        self,
        readings: Readings | Mapping[str, object],
        *,
        tests: Mapping[str, object] | None = None,
        prior: str | Mapping[str, float] = "usual",
    ) -> Posterior:
        """What the readings say; see `diagnose` for the arguments."""
        taken = observations(readings, self.refrigerant)
        if tests:
            taken |= observations(tests, self.refrigerant)
        before = priors(self.names, prior)
        sizes = self.cases.sizes
        with np.errstate(divide="ignore"):
            shares = np.where(sizes > 0, before / np.maximum(sizes, 1), 0.0)
            logs = self.log_likelihoods(taken) + np.log(shares)[self.cases.classes]
        weights = np.exp(logs - logs.max())
        weights /= weights.sum()
        chances = np.minimum(np.bincount(self.cases.classes, weights, len(self.names)), 1.0)
        return Posterior(self, taken, dict(zip(self.names, chances.tolist(), strict=True)), weights)


@dataclass(frozen=True)
class Kernel:
    """Gaussians of one common covariance around the cases, for some observables."""

    factor: np.ndarray  # inverse of the covariance's Cholesky factor
    points: np.ndarray  # the cases in units of that factor
    log_norm: float

    @staticmethod
    def of(cases: Cases, taken: tuple[str, ...], covariance: np.ndarray) -> Kernel:
        factor = np.linalg.inv(np.linalg.cholesky(covariance))
        points = np.stack([cases.seen[name] for name in taken], axis=1) @ factor.T
        norm = float(np.log(np.diag(factor)).sum()) - 0.5 * len(taken) * math.log(2.0 * math.pi)
        return Kernel(factor, points, norm)

    def distances(self, values: np.ndarray) -> np.ndarray:
        """Squared distance of some readings from every case, in standard deviations."""
        difference = self.points - self.factor @ values
        result: np.ndarray = np.einsum("ij,ij->i", difference, difference)
        return result

    def log_density(self, values: np.ndarray) -> np.ndarray:
        return self.log_norm - 0.5 * self.distances(values)


def covariance_of(cases: Cases, taken: tuple[str, ...], bandwidth: float) -> np.ndarray:
    """Scatter of the instruments plus a share of the scatter among healthy machines.

    The kernel widens with the number of readings d as n^(-1/(d + 4)) (D. W. Scott 1992, Multivariate Density
    Estimation): the more readings, the further apart the cases lie.
    """
    scatter = np.array([observables[name].scatter for name in taken])
    healthy = cases.classes == healthy_place(cases.names)
    spread = np.atleast_2d(np.cov(np.stack([cases.seen[name][healthy] for name in taken]), bias=True))
    width = bandwidth * healthy.sum() ** (-1.0 / (len(taken) + 4.0))
    result: np.ndarray = np.diag(scatter**2) + width**2 * spread
    return result


def look_chances(name: str, truth: np.ndarray, look: object) -> np.ndarray:
    """Chance that each case is judged to look so."""
    if name == "coil_frost":
        return np.where(truth == look, 1.0 - FROST_ERROR, FROST_ERROR)
    moving = len(GLASS_LOOKS) - 1
    wrong = GLASS_ERROR / moving
    # A still glass is hardly mistaken: nothing flows. A small chance keeps the sum of all looks at 1.
    return np.where(truth == look, 1.0 - GLASS_ERROR * (moving - 1) / moving, wrong)


def priors(names: Sequence[str], prior: str | Mapping[str, float]) -> np.ndarray:
    """Base rates of the classes, summing to 1: "usual", "flat", or a mapping of relative numbers (missing: usual)."""
    usual = {name: HEALTHY_RATE if name == HEALTHY else catalogue[name].base_rate for name in names}
    if isinstance(prior, Mapping):
        for name, value in prior.items():
            known = name if name == HEALTHY else entry(name).name
            if not isinstance(value, int | float) or isinstance(value, bool) or not 0.0 <= value < math.inf:
                raise FaultError(f"The base rate of {known!r} must be a number from 0 up, not {value!r}.")
            if known in usual:
                usual[known] = float(value)
    elif prior == "flat":
        usual = dict.fromkeys(names, 1.0)
    elif prior != "usual":
        raise FaultError(f"The prior is 'usual', 'flat' or a mapping of base rates, not {str(prior)[:40]!r}.")
    rates = np.array([usual[name] for name in names])
    if rates.sum() <= 0.0:
        raise FaultError("All base rates are 0; give at least one fault a rate above 0.")
    result: np.ndarray = rates / rates.sum()
    return result


@dataclass(frozen=True)
class Posterior:
    """Probabilities of healthy and of every fault, after the observations in ``taken``."""

    atlas: Atlas = field(repr=False)
    taken: dict[str, Observed]
    probabilities: dict[str, float]
    weights: np.ndarray = field(repr=False)  # of every case of the atlas

    def __getitem__(self, name: str) -> float:
        """Probability of "healthy" or of a fault by its name; 0 for one that this refrigerant cannot have."""
        return self.probabilities.get(name if name == HEALTHY else entry(name).name, 0.0)

    @property
    def ranked(self) -> list[tuple[str, float]]:
        """Names and probabilities, the most likely first."""
        return sorted(self.probabilities.items(), key=lambda pair: -pair[1])

    @property
    def likeliest(self) -> str:
        """The most likely name."""
        return self.ranked[0][0]

    @property
    def groups(self) -> dict[str, float]:
        """Probabilities of the groups that no gauge and no thermometer tells apart, the most likely first."""
        found: dict[str, float] = {}
        for name, value in self.probabilities.items():
            found[group(name)] = found.get(group(name), 0.0) + value
        return dict(sorted(found.items(), key=lambda pair: -pair[1]))

    @property
    def bits(self) -> float:
        """Doubt that is left: entropy of the probabilities in bits; 0 is certainty."""
        return float(entropy(np.array(list(self.probabilities.values()))))

    def severity(self, name: str) -> float:
        """Mean severity of a fault, if it is that fault. NaN for one that has no case."""
        known = name if name == HEALTHY else entry(name).name
        if known not in self.atlas.names:
            return math.nan
        mask = self.atlas.cases.classes == self.atlas.names.index(known)
        total = self.weights[mask].sum()
        return float((self.weights * self.atlas.cases.severities)[mask].sum() / total) if total > 0 else math.nan

    @property
    def misfit(self) -> float:
        """Squared distance of the readings from the nearest case, per reading; about 1 or less for one fault."""
        numbers = tuple(name for name in NUMBERS if name in self.taken)
        if not numbers:
            return 0.0
        values = np.array([self.taken[name] for name in numbers])
        return float(self.atlas.kernel(numbers).distances(values).min()) / len(numbers)

    @property
    def strange(self) -> str:
        """A warning if no single fault explains the readings, else nothing."""
        if self.misfit <= STRANGE:
            return ""
        return (
            "No single fault explains these readings. Check the reading that surprises most; then think of two faults."
        )


def entropy(chances: np.ndarray) -> Value:
    """Bits of the last axis."""
    bits: Value = -np.sum(chances * np.log2(np.where(chances > 0, chances, 1.0)), axis=-1)
    return bits


def build_atlas(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    charge: float,
    per_class: int = PER_CLASS,
    seed: int = 0,
) -> Atlas:
    """An atlas of every fault that the machine can have with the refrigerant, at these conditions.

    ``charge`` kg is the right charge of the data sheet (`nominal_charge`), not what is in the machine. Raises
    FaultError, and MachineError for a machine out of range.
    """
    if not isinstance(per_class, int) or isinstance(per_class, bool) or per_class < LEAST_PER_CLASS:
        raise FaultError(f"An atlas needs at least {LEAST_PER_CLASS} cases of each fault, not {per_class!r}.")
    # One healthy run first: it checks every argument, and without it there is nothing to compare with.
    if not simulate(machine, conditions, refrigerant=refrigerant, charge=charge).solved:
        raise FaultError(
            "The healthy machine finds no steady state at these conditions; choose milder weather or another speed."
        )
    refrigerant = resolve(refrigerant)
    names = (HEALTHY, *faults_for(machine, refrigerant))
    cases = draw_cases(
        machine, conditions, refrigerant=refrigerant, charge=charge, names=names, per_class=per_class, seed=seed
    )
    return Atlas(machine, conditions, refrigerant, float(charge), cases)
