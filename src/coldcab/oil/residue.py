"""What is left: of a contaminant after rinses, of the old oil after drains, and how much of it may stay."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from coldcab.oil.checks import SHARE_RANGE, VOLUME_RANGE, OilError, number, within
from coldcab.quantities import Array, Value, plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

RESIDUE_LIMIT = 0.05
"""Share of mineral oil in the new oil that is usually still accepted [common practice, from memory]."""

STRINGENT_RESIDUE_LIMIT = 0.01
"""The same for machines whose makers ask for more [common practice, from memory]."""

MOST_STEPS = 200
"""Rinses or drains that are counted at most."""


def rinse_factor(carry_over: ArrayLike, rinse_volume: ArrayLike) -> Value:
    """Share of the contaminant that one rinse leaves behind.

    What clings to the walls mixes with the fresh liquid; the same volume of the mixture clings afterwards. Real
    pockets and dead ends mix badly, so a real rinse leaves more: a best case.

    Parameters
    ----------
    carry_over : m3 of liquid that stays in the part each time it is emptied; 0 or more.
    rinse_volume : m3 of fresh liquid put in for one rinse, above 0.

    Returns
    -------
    Share from 0 to 1: carry-over over the sum of both.

    Raises
    ------
    OilError : out of range.

    Source
    ------
    Conservation of mass with complete mixing.
    """
    stays = within("carry_over", carry_over, VOLUME_RANGE)
    fresh = within("rinse_volume", rinse_volume, VOLUME_RANGE)
    if np.any(fresh <= 0.0):
        raise OilError("rinse_volume must be above 0; a flush without liquid removes nothing.")
    return plain(stays / (stays + fresh))


def residual_after_rinses(carry_over: ArrayLike, rinse_volume: ArrayLike, rinses: ArrayLike) -> Value:
    """Share of the contaminant that is left after some rinses of equal volume.

    Parameters
    ----------
    carry_over, rinse_volume : as for `rinse_factor`.
    rinses : whole number, 0 to `MOST_STEPS`; scalar or array.

    Returns
    -------
    Share from 0 to 1: the factor of one rinse to the power of their number.

    Raises
    ------
    OilError : out of range.

    Source
    ------
    Conservation of mass with complete mixing each time.

    Example
    -------
    >>> round(residual_after_rinses(30e-6, 270e-6, 2), 6)
    0.01
    """
    return plain(np.asarray(rinse_factor(carry_over, rinse_volume)) ** _steps("rinses", rinses))


def rinses_needed(carry_over: float, rinse_volume: float, wanted_share: float) -> int:
    """Rinses after which no more than a wanted share of the contaminant is left.

    Parameters
    ----------
    carry_over, rinse_volume : as for `rinse_factor`.
    wanted_share : above 0, below or equal to 1.

    Returns
    -------
    Whole number of rinses.

    Raises
    ------
    OilError : out of range, or more than `MOST_STEPS` rinses.

    Source
    ------
    As for `residual_after_rinses`.
    """
    factor = number("flush factor", rinse_factor(carry_over, rinse_volume))
    return _steps_needed(factor, wanted_share, "rinses")


def residual_share(left: ArrayLike, total: ArrayLike) -> Value:
    """Share of old oil in the circuit once it is filled: what was left behind over the total.

    Parameters
    ----------
    left : m3 of old oil that stayed in the circuit.
    total : m3 of oil in the circuit afterwards, old and new; above 0.

    Returns
    -------
    Share from 0 to 1, by volume; compare with `RESIDUE_LIMIT`.

    Raises
    ------
    OilError : out of range, or more left than the total.

    Source
    ------
    Definition.
    """
    stays, whole = within("left", left, VOLUME_RANGE), within("total", total, VOLUME_RANGE)
    if np.any(whole <= 0.0) or np.any(stays > whole):
        raise OilError("what is left must be no more than the total, and the total above 0; check which is which.")
    return plain(stays / whole)


def _steps(name: str, value: ArrayLike) -> Array:
    count = within(name, value)
    if np.any((count < 0) | (count > MOST_STEPS) | (count != np.floor(count))):
        raise OilError(f"{name} must be a whole number from 0 to {MOST_STEPS}.")
    return count


def _steps_needed(factor: float, wanted_share: float, word: str) -> int:
    wanted = number("wanted_share", wanted_share, SHARE_RANGE)
    if wanted <= 0.0:
        raise OilError("wanted_share must be above 0; dilution never reaches nothing at all.")
    if wanted >= 1.0:
        return 0
    if factor <= 0.0:
        return 1
    # A hair of slack, so that exactly reaching the share counts as reached.
    needed = MOST_STEPS + 1 if factor >= 1.0 else math.ceil(math.log(wanted) / math.log(factor) - 1e-9)
    if needed > MOST_STEPS:
        raise OilError(f"more than {MOST_STEPS} {word} would be needed; take more out each time or replace the part.")
    return needed
