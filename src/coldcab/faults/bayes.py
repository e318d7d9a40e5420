"""Bayes' rule for a short list of suspects, as it can be done on paper: base rates times likelihoods, made to sum to 1.

T. Bayes 1763; in the form of a table e.g. in A. Tversky and D. Kahneman 1982, "Evidential impact of base rates".
"""

from __future__ import annotations

from collections.abc import Sequence

from coldcab.faults.catalogue import FaultError


def updated(rates: Sequence[float], *likelihoods: Sequence[float]) -> tuple[float, ...]:
    """Probabilities of the suspects after some independent pieces of evidence.

    Parameters
    ----------
    rates : base rates of the suspects, relative numbers from 0 up; they need not sum to 1.
    likelihoods : for each piece of evidence, how often each suspect shows it, 0 to 1.

    Returns probabilities that sum to 1, in the order of the suspects. Raises `FaultError` for lists of different
    length, numbers out of range, or evidence that no suspect can show.
    """
    weights = [float(rate) for rate in rates]
    if not weights or not all(0.0 <= weight < float("inf") for weight in weights):
        raise FaultError("Base rates must be numbers from 0 up, at least one of them.")
    for shares in likelihoods:
        if len(shares) != len(weights):
            raise FaultError(f"There are {len(weights)} suspects but {len(shares)} likelihoods; give one for each.")
        if not all(0.0 <= share <= 1.0 for share in shares):
            raise FaultError("A likelihood is a share from 0 to 1.")
        weights = [weight * share for weight, share in zip(weights, shares, strict=True)]
    total = sum(weights)
    if total <= 0.0:
        raise FaultError("No suspect can show this evidence; a suspect is missing from the list.")
    return tuple(weight / total for weight in weights)
