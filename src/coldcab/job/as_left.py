"""Is the work right? The readings as left are judged together, and only as far as they can tell.

Readings move together: of healthy machines that fit what is known, and of machines with a fault. A set of readings is
accepted where each lies within its band and all together lie among the healthy ones (Mahalanobis' distance, P. C.
Mahalanobis 1936, On the generalised distance in statistics); and where it could have told the commonest faults.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from coldcab.faults import HEALTHY, QUANTITIES, catalogue
from coldcab.faults.catalogue import HEALTHY_RATE
from coldcab.job.bands import Faulty, Healthy
from coldcab.service.acceptance import Band
from coldcab.words import _

Place = tuple[str, str]
"""Engine speed and line of a reading."""

ACCEPTED, NOT_ACCEPTED, NOT_ENOUGH = "accepted", "not accepted", "not enough read"
HALF = 0.5
"""Severity of a fault that the check should find: it is felt, and it is not yet a breakdown."""

SURE = 2.326
"""Normal deviate that one healthy machine in a hundred passes."""

FINDS = 0.5
"""A fault counts as found by readings that show it in this share of its machines."""

MUST_FIND = 5
"""Of so many of the commonest faults none may be missed that more readings would have found."""

NAMED = 0.15
"""Chance from which a suspect is named."""

TAKEN = {
    "coil_air_drop": _("air to the coil"),
    "superheat_measured": _("suction line at the evaporator"),
    "subcooling_measured": _("liquid line before the valve"),
    "condenser_air_rise": _("air before and behind the condenser"),
    "drier_drop": _("line into and out of the drier"),
}
"""What is read for a line that is worked out."""

WORDS = {
    ACCEPTED: _("Accepted: each reading lies within its band, and together they are those of a healthy machine."),
    NOT_ACCEPTED: _("Not accepted: {why}"),
    NOT_ENOUGH: _(
        "Not enough read: what was read fits a healthy machine and would fit {missed} as well. Take also: {more}."
    ),
}
ALONE = _("{reading} lies outside its band.")
TOGETHER = _("each reading lies within its band, and together they fit no healthy machine.")
SUSPECT = _("Suspect {names}.")


@dataclass(frozen=True)
class AsLeft:
    """What the readings as left say together.

    ``verdict`` is `ACCEPTED`, `NOT_ACCEPTED` or `NOT_ENOUGH`, ``words`` says it in sentences; ``suspects`` are the
    faults that explain the readings, likeliest first; ``missed`` those of half severity that these readings could not
    have caught; ``more`` the readings to take as well.
    """

    verdict: str
    words: str
    suspects: tuple[str, ...] = ()
    missed: tuple[str, ...] = ()
    more: tuple[Place, ...] = ()


def farthest(lines: int) -> float:
    """Squared distance that one healthy machine in a hundred passes.

    Parameters
    ----------
    lines : number of readings, 1 or more.

    Source
    ------
    E. B. Wilson, M. M. Hilferty 1931, The distribution of chi-square, PNAS 17, 684.
    """
    part = 2.0 / (9.0 * lines)
    return float(lines * (1.0 - part + SURE * part**0.5) ** 3)


class _Cloud:
    """Healthy machines as a cloud: its middle, and how its readings spread together."""

    def __init__(self, machines: Healthy, places: Sequence[Place]) -> None:
        read = np.array([machines.read[place] for place in places])
        read = read[:, np.all(np.isfinite(read), axis=0)]
        self.middle = read.mean(axis=1)
        self.spread = np.atleast_2d(np.cov(read)) + np.diag([machines.doubts[place] ** 2 for place in places])
        self.inverse = np.linalg.inv(self.spread)
        self.limit = farthest(len(places))

    def beyond(self, values: np.ndarray) -> np.ndarray:
        """Whether readings (lines by machines) lie too far from it; what cannot be read does."""
        off = values - self.middle[:, None]
        squared = np.einsum("im,ij,jm->m", off, self.inverse, off)
        return ~(squared <= self.limit)


def found_share(bands: Mapping[Place, Band], machines: Healthy, sick: Mapping[Place, np.ndarray],
                places: Sequence[Place]) -> float:  # fmt: skip
    """Share of the sick machines that these readings show: one outside its band, or all together too far."""
    values = np.array([sick[place] for place in places])
    low = np.array([bands[place].low for place in places])[:, None]
    high = np.array([bands[place].high for place in places])[:, None]
    outside = np.any(~((values >= low) & (values <= high)), axis=0)
    return float(np.mean(outside | _Cloud(machines, places).beyond(values)))


def judge_together(
    values: Mapping[Place, float], bands: tuple[Band, ...], machines: Healthy, sick: Faulty
) -> AsLeft | None:
    """Return what the readings as left say together; None where there are none.

    Parameters
    ----------
    values : what was read, SI, gauge pressures above the air, by speed and line.
    bands : of healthy machines.
    machines : the healthy machines themselves.
    sick : machines with the commonest faults, also at severity `HALF`.
    """
    by_place = {(band.speed, band.name): band for band in bands}
    places = [place for place in by_place if place in values]
    if not places:
        return None
    missed, lost = _missed(by_place, machines, sick, places)
    read = np.array([[values[place]] for place in places])
    alone = [place for place in places if by_place[place].judge(values[place]) != "within"]
    if alone or bool(_Cloud(machines, places).beyond(read)[0]):
        names = _suspects(read[:, 0], machines, sick, places)
        why = " ".join(ALONE.format(reading=_called(by_place[place])) for place in alone) or TOGETHER
        said = [WORDS[NOT_ACCEPTED].format(why=why)]
        said += [SUSPECT.format(names=", ".join(names))] if names else []
        return AsLeft(NOT_ACCEPTED, " ".join(said), names, missed)
    if lost:
        more = _more(by_place, machines, sick, places, lost)
        words = WORDS[NOT_ENOUGH].format(
            missed=" or ".join(lost), more=", ".join(_asked(by_place[one]) for one in more)
        )
        return AsLeft(NOT_ENOUGH, words, (), missed, more)
    return AsLeft(ACCEPTED, WORDS[ACCEPTED], (), missed)


def _called(band: Band) -> str:
    words = f"{band.words} at {band.speed}"
    return words[:1].upper() + words[1:]


def _asked(band: Band) -> str:
    return f"{TAKEN.get(band.name, band.words)} at {band.speed}"


def _at_half(sick: Faulty) -> dict[str, Mapping[Place, np.ndarray]]:
    return {name: read for (name, severity), read in sick.items() if severity == HALF}


def _missed(
    bands: Mapping[Place, Band], machines: Healthy, sick: Faulty, places: Sequence[Place]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The faults that these readings could not have caught, and those of the commonest that all readings could."""
    halves = _at_half(sick)
    missed = [name for name, read in halves.items() if found_share(bands, machines, read, places) < FINDS]
    every = list(bands)
    lost = [
        name
        for name in missed
        if name in list(halves)[:MUST_FIND] and found_share(bands, machines, halves[name], every) >= FINDS
    ]
    return tuple(missed), tuple(lost)


def _more(
    bands: Mapping[Place, Band], machines: Healthy, sick: Faulty, places: Sequence[Place], lost: Sequence[str]
) -> tuple[Place, ...]:
    """The fewest further readings, the most telling first, with which the lost faults would be found."""
    halves, taken, more = _at_half(sick), list(places), []
    while True:
        left = [place for place in bands if place not in taken]
        wanted = [name for name in lost if found_share(bands, machines, halves[name], taken) < FINDS]
        if not left or not wanted:
            return tuple(more)
        tells = {
            place: sum(found_share(bands, machines, halves[name], [*taken, place]) for name in wanted) for place in left
        }
        # Of readings that tell the same, one at the speed that the engine turns at already.
        best = max(left, key=lambda place: (round(tells[place], 1), place[0] == places[0][0]))
        taken.append(best)
        more.append(best)


def _suspects(values: np.ndarray, machines: Healthy, sick: Faulty, places: Sequence[Place]) -> tuple[str, ...]:
    """The faults whose machines show such readings, likeliest first; Gaussians around the cases, as in the atlas."""
    noise = np.array([QUANTITIES[line].resolved ** 2 + machines.doubts[speed, line] ** 2 for speed, line in places])
    width = np.linalg.inv(np.diag(noise) + 0.25 * _Cloud(machines, places).spread)

    def likelihood(read: Mapping[Place, np.ndarray]) -> np.ndarray:
        off = np.array([read[place] for place in places]) - values[:, None]
        off = off[:, np.all(np.isfinite(off), axis=0)]
        return np.asarray(-0.5 * np.einsum("im,ij,jm->m", off, width, off))

    logs: dict[str, list[np.ndarray]] = {HEALTHY: [likelihood(machines.read)]}
    for (name, _severity), read in sick.items():
        logs.setdefault(name, []).append(likelihood(read))
    rates = {name: HEALTHY_RATE if name == HEALTHY else catalogue[name].base_rate for name in logs}
    highest = max((float(part.max()) for parts in logs.values() for part in parts if part.size), default=0.0)
    weights = {
        name: rates[name] * float(np.exp(np.concatenate(parts) - highest).mean())
        for name, parts in logs.items()
        if np.concatenate(parts).size
    }
    whole = sum(weights.values())
    ranked = sorted(weights, key=lambda name: -weights[name])
    return tuple(name for name in ranked if name != HEALTHY and weights[name] >= NAMED * whole)[:3]
