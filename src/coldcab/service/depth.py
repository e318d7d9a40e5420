"""Which rules a machine falls under, how deep to recover, when it is done, and what may become of the refrigerant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from coldcab import refrigerants
from coldcab.quantities import INCH_OF_MERCURY, MILLIMETER_OF_MERCURY, POUND, STANDARD_ATMOSPHERE, Limit
from coldcab.service import law
from coldcab.service.checks import ServiceError, number
from coldcab.service.recovery import ATMOSPHERE

CHARGE = Limit("mass", 0.05, 500.0, "lb")

ROAD, OFF_ROAD, OTHER = "motor vehicle", "off-road cab", "other appliance"
KINDS = (ROAD, OFF_ROAD, OTHER)

RECOVERED, RECYCLED, RECLAIMED = "recovered", "recycled", "reclaimed"
STAGES = MappingProxyType(
    {
        RECOVERED: "taken out of a machine into a cylinder, not cleaned; it may not go into any machine, not even back "
        "into its own",
        RECYCLED: "cleaned by an approved machine in the shop to the purity that the law asks of it; it may go back "
        "into motor vehicles and off-road cabs",
        RECLAIMED: "made as pure as new in a works and proved so by analysis; it may be sold and used anywhere",
    }
)
"""What each word means (40 CFR 82.32(e)(1) and 82.156(e), C7; "reclaimed" as in AHRI Standard 700, from memory)."""


@dataclass(frozen=True)
class Kind:
    """Under which rules a machine falls, why, and who may open it."""

    name: str
    reason: str
    who: str
    citation: str


@dataclass(frozen=True)
class Depth:
    """How deep recovery must go."""

    vacuum: float  # Pa below the air on the spot
    pressure: float  # Pa absolute
    citation: str


@dataclass(frozen=True)
class Wait:
    """What the gauge says after the recovery machine has been shut off."""

    done: bool
    verdict: str
    citation: str


def kind_of_machine(refrigerant: str, *, road: bool, open_drive: bool, charge: float, cab: bool = True) -> Kind:
    """Motor vehicle, off-road cab ("MVAC-like appliance") or other appliance, by the law's definitions.

    Parameters
    ----------
    refrigerant : designation.
    road : built for street or highway.
    open_drive : the compressor has a shaft that comes out, turned by a belt or by the engine.
    charge : full charge, kg.
    cab : it cools the people in a cab, not cargo or a building.

    Raises ServiceError. Source: 40 CFR 82.32(c) and 82.152 (D1 to D3), 82.161(a)(5) and 82.34 (C1).
    """
    for name, value in (("road", road), ("open_drive", open_drive), ("cab", cab)):
        if not isinstance(value, bool):
            raise ServiceError(f"{name.replace('_', ' ')} must be True or False, not {str(value)[:20]!r}.")
    charge = number("charge", charge, CHARGE)
    most, designation = law.fact("D1").number * POUND, refrigerants.resolve(refrigerant)
    if cab and road and designation != "R-22":
        return Kind(
            ROAD,
            "it cools the people in a vehicle built for street or highway",
            "a technician of the section-609 program, with approved equipment",
            law.cite("D3"),
        )
    against = [
        words
        for words, holds in (
            ("it does not cool the people in a cab", not cab),
            ("it runs on R-22", designation == "R-22"),
            ("its compressor is not open-drive", not open_drive),
            (f"its full charge is over {law.fact('D1').number:g} lb", charge > most),
        )
        if holds
    ]
    if against:
        return Kind(
            OTHER,
            " and ".join(against),
            "a technician certified under section 608 for this type of appliance",
            law.cite("D1", "D2"),
        )
    return Kind(
        OFF_ROAD,
        "an open-drive compressor cools the people in an off-road vehicle, with a full charge of at most "
        f"{law.fact('D1').number:g} lb and not R-22",
        "a technician with section-608 Type II or of the section-609 program, with approved equipment",
        law.cite("D1", "D2", "C1"),
    )


def required_depth(kind: str, *, atmosphere: float = STANDARD_ATMOSPHERE, new_equipment: bool = True) -> Depth:
    """How far below the air the machine must be pulled.

    Parameters
    ----------
    kind : one of `KINDS`. For "other appliance" the row for medium pressure and under 200 lb is taken.
    atmosphere : Pa on the spot.
    new_equipment : recovery machine of the newer kind; counts only for other appliances.

    Raises ServiceError. Source: 40 CFR 82 Subpart B App. A (V1) and 82.156(g) (V5), Table 1 of 82.156 (V10).
    """
    around = number("atmosphere", atmosphere, ATMOSPHERE)
    if kind not in KINDS:
        raise ServiceError(f"kind is {str(kind)[:30]!r}; it must be one of {', '.join(KINDS)}.")
    if kind == OTHER:
        inches = [float(part) for part in law.fact("V10").value.split("/")]
        vacuum = inches[0 if new_equipment else 1] * INCH_OF_MERCURY
        return Depth(vacuum, around - vacuum, law.cite("V10"))
    vacuum = law.fact("V1").number * MILLIMETER_OF_MERCURY
    return Depth(vacuum, around - vacuum, law.cite("V1", "V5"))


def judge_wait(
    minutes: Sequence[float],
    pressures: Sequence[float],
    *,
    atmosphere: float = STANDARD_ATMOSPHERE,
    kind: str = OFF_ROAD,
    resolution: float = 0.5 * INCH_OF_MERCURY,
) -> Wait:
    """Is recovery finished? From the gauge after the machine was shut off.

    Parameters
    ----------
    minutes : since shut-off, rising.
    pressures : Pa absolute at those times.
    atmosphere : Pa on the spot. kind : one of `KINDS`.
    resolution : Pa; what the gauge can tell apart (common practice, no source).

    Raises ServiceError. Source: 40 CFR 82 Subpart B App. A, service procedure 3.2.1 (V3, V4): off for at least 5
    minutes, and the vacuum stable for 2 minutes.
    """
    time, pressure = (np.asarray(one, dtype=float) for one in (minutes, pressures))
    if time.ndim != 1 or time.shape != pressure.shape or time.size < 2:
        raise ServiceError("give the minutes and the pressures as two lists of the same length, two readings or more.")
    if not np.isfinite(time).all() or (np.diff(time) <= 0).any() or time[0] < 0:
        raise ServiceError("the minutes must start at 0 or later and rise from reading to reading.")
    if not np.isfinite(pressure).all() or (pressure <= 0).any():
        raise ServiceError("the pressures must be absolute, in Pa and above 0.")
    step = number("resolution", resolution, Limit("pressure difference", 1.0, 20_000.0, "Pa"))
    target = required_depth(kind, atmosphere=atmosphere).pressure
    wait, stable = law.fact("V3").number, law.fact("V4").number
    citation = law.cite("V3", "V4")
    if pressure[-1] >= number("atmosphere", atmosphere, ATMOSPHERE):
        return Wait(False, "pressure has come back, so refrigerant is left: recover again", citation)
    if pressure[-1] > target + step:
        return Wait(False, "the vacuum has not held at the required depth: recover again", citation)
    if time[-1] < wait:
        return Wait(False, f"too early to say: wait until {wait:g} minutes after shut-off", citation)
    last = pressure[time >= time[-1] - stable]
    if last.size < 2:
        return Wait(False, f"too few readings: take two within the last {stable:g} minutes", citation)
    if last.max() - last.min() > step:
        return Wait(False, f"the vacuum has not been stable for {stable:g} minutes: recover again", citation)
    return Wait(True, "the required vacuum has held: recovery is finished", citation)
