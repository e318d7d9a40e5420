"""How much oil each part of a circuit usually holds, and a proposal where the oil that is missing should go."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from coldcab.oil.checks import VOLUME_RANGE, OilError, number

MILLILITRE = 1e-6


@dataclass(frozen=True)
class Retained:
    """Oil that stays in a part of a running circuit, m3: usual amount and the limits between which it varies."""

    low: float
    usual: float
    high: float


def _millilitres(low: float, usual: float, high: float) -> Retained:
    return Retained(low * MILLILITRE, usual * MILLILITRE, high * MILLILITRE)


RETAINED = MappingProxyType(
    {
        "evaporator": _millilitres(30, 60, 90),
        "condenser": _millilitres(15, 30, 45),
        "receiver-drier": _millilitres(15, 22.5, 30),
        "accumulator": _millilitres(60, 75, 90),
        "discharge hose": _millilitres(5, 10, 15),
        "liquid line": _millilitres(5, 10, 15),
        "suction hose": _millilitres(5, 10, 15),
    }
)
"""Oil retained by part [common practice, no source; the machine's own manual comes first]. The compressor is not in
this table: what it holds and may hold stands in its manual."""

COMPRESSOR = "compressor"
PARTS = (COMPRESSOR, *RETAINED)
"""Parts of a circuit by name."""


@dataclass(frozen=True)
class Placement:
    """Oil to put into one part: m3, the limits of what that part holds afterwards, and why."""

    part: str
    volume: float
    low: float
    high: float
    reason: str


@dataclass(frozen=True)
class Proposal:
    """Where to put an amount of oil: by part, and what finds no place, m3."""

    placements: tuple[Placement, ...]
    left_over: float
    words: str

    def volume(self, part: str) -> float:
        """m3 proposed for a part; 0 where nothing goes."""
        return sum(place.volume for place in self.placements if place.part == part)


def known_part(part: str) -> str:
    """`part` itself if it is one of `PARTS`."""
    if part not in PARTS:
        raise OilError(f"{str(part)[:40]!r} is not a part of the circuit; the parts are {', '.join(PARTS)}.")
    return part


def propose(
    amount: float,
    dry: Iterable[str],
    *,
    holds: Mapping[str, float] | None = None,
    compressor_limit: float | None = None,
) -> Proposal:
    """A proposal where an amount of new oil should go.

    First each part that lost its oil (new, drained or flushed) gets back what such a part usually holds; the rest
    goes into the compressor, up to its limit; what is then left goes into the dry parts up to their upper limits.
    If there is too little for all dry parts, each gets its share.

    Parameters
    ----------
    amount : m3 to add, within `checks.VOLUME_RANGE`.
    dry : names of the parts that lost their oil, from `PARTS`.
    holds : m3 that a part holds now, by name (the oil a new compressor brought); without an entry 0.
    compressor_limit : m3 that the compressor may hold, from its manual; None if it is not known.

    Returns
    -------
    `Proposal`; `left_over` above 0 says that the amount does not fit.

    Raises
    ------
    OilError : unknown part or a number out of range.

    Source
    ------
    `RETAINED`: common practice, no source.
    """
    left = number("amount", amount, VOLUME_RANGE)
    holds = {known_part(part): number("holds", value) for part, value in dict(holds or {}).items()}
    names = [name for name in dict.fromkeys(known_part(part) for part in dry) if name != COMPRESSOR]
    present = {name: max(holds.get(name, 0.0), 0.0) for name in (*names, COMPRESSOR)}
    wants = {name: max(RETAINED[name].usual - present[name], 0.0) for name in names}
    scale = min(1.0, left / sum(wants.values())) if sum(wants.values()) > 0.0 else 0.0
    given = {name: want * scale for name, want in wants.items()}
    left = max(left - sum(given.values()), 0.0)

    if compressor_limit is None:
        room, most = left, VOLUME_RANGE.high
    else:
        most = number("compressor_limit", compressor_limit, VOLUME_RANGE)
        room = max(most - present[COMPRESSOR], 0.0)
    into_compressor = min(left, room)
    left -= into_compressor
    for name in names:
        more = min(left, max(RETAINED[name].high - present[name] - given[name], 0.0))
        given[name] += more
        left -= more
    places = [
        Placement(name, volume, RETAINED[name].low, RETAINED[name].high, "lost its oil; gets what such a part holds")
        for name, volume in given.items()
        if volume > 0.0
    ]
    if into_compressor > 0.0:
        reason = "the rest; " + (
            "its limit stands in its manual" if compressor_limit is None else "within the limit of its manual"
        )
        places.append(Placement(COMPRESSOR, into_compressor, 0.0, most, reason))
    left = left if left > 1e-12 else 0.0  # what adding and subtracting leave behind is no oil
    return Proposal(tuple(places), left, _words(left, scale, names))


def _words(left: float, scale: float, names: list[str]) -> str:
    if left > 0.0:
        return (
            "The parts and the compressor cannot take all of this oil: check the total, and do not overfill; too much "
            "oil in a compressor can break it."
        )
    if names and scale < 1.0:
        return "There is less oil to add than the dry parts usually hold, so each gets its share: check the total."
    return "All of it finds a place."
