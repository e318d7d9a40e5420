"""How long to leave the pump on: what service papers print, and the water that free boiling does not reach.

Three kinds of water sit in a wet circuit. Free water boils off in minutes (`coldcab.service.drying`). Water in oil has
to wander to the oil's surface first, which takes hours in a film and weeks in a pool. Water in a desiccant stays
there under every shop vacuum. So a time on the pump is the longer of two, the printed practice and the physics of free
water; and the micron gauge, with the pump shut off, decides.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from coldcab import published
from coldcab.quantities import Limit, Value, plain
from coldcab.service.checks import ServiceError, checked
from coldcab.words import _

DIFFUSIVITY = 3e-10
"""m2/s of water in a viscous synthetic oil at shop temperature: from memory, the order only (1e-10 to 1e-9)."""

FILM, POOL = 1e-3, 20e-3
"""m: oil on walls, oil in a low spot or a sump; invented sizes."""

DESICCANT_FULL = 0.20
"""kg of water that a kg of molecular sieve holds when full: from memory, the usual figure."""

HALF_FULL = 7.0
"""Pa of water vapor over a sieve that is half full at 25 C: from memory, the order only."""

DEPTH = Limit("length", 1e-5, 0.2, "mm")
SHARE = Limit("share", 1e-3, 0.7)
VAPOR = Limit("pressure", 0.0, 1e4, "Pa")

PUMP_OIL = _(
    "Look at the vacuum pump's oil first: cloudy oil holds water and keeps the pump from a deep vacuum. Change it, and "
    "change it again after a wet machine (common practice, no source; the pump's manual says how often)."
)
HELD_WATER = _(
    "Free water boils off in minutes. Water in the oil takes hours to come out, and a drier keeps its water under any "
    "shop vacuum: replace the drier, pump at least this long, and let the micron gauge decide."
)
NO_LESS = _("printed practice: {source}")


@dataclass(frozen=True)
class Practice:
    """What one service paper prints; s."""

    least: float  # s of pumping
    more: float  # s in addition when a part was replaced; 0 where the paper says nothing of it
    condition: str
    source: str


def practices() -> tuple[Practice, ...]:
    """All printed times, as in the published table `evacuation`."""
    return tuple(
        Practice(60.0 * float(row["minutes"]), 60.0 * float(row["more"] or 0.0), row["condition"], row["source"])
        for row in published.rows("evacuation")
    )


@dataclass(frozen=True)
class LeastTime:
    """Shortest time on the pump by printed practice; s, and where it stands."""

    time: float
    source: str


def least_time(*, part_replaced: bool = False, stood_open: bool = False) -> LeastTime:
    """Shortest time on the pump for a cab of an off-road machine, by printed practice.

    Parameters
    ----------
    part_replaced : a part was taken off or replaced, so that air and its moisture came in for some hours.
    stood_open : the circuit stood open for days, or lost its whole charge.

    Returns
    -------
    `LeastTime`: 30 min, an hour, or 90 min.

    Source: the published table `evacuation`: a tractor's (30 min at least), the same and the 30 min that a car's manual
    adds for a replaced part (the sum is this course's reading), a wheel loader's (90 min).
    """
    by_id = {row["id"]: row for row in published.rows("evacuation")}
    tractor, part, loader = by_id["E009"], by_id["E005"], by_id["E001"]
    if stood_open:
        return LeastTime(60.0 * float(loader["minutes"]), loader["source"])
    if part_replaced:
        both = _("{first}, and what a {second} adds for a replaced part")
        return LeastTime(
            60.0 * (float(tractor["minutes"]) + float(part["more"])),
            both.format(first=tractor["source"], second=part["source"]),
        )
    return LeastTime(60.0 * float(tractor["minutes"]), tractor["source"])


def oil_drying_time(depth: Value, *, left: Value = 0.1, diffusivity: float = DIFFUSIVITY) -> Value:
    """s until still oil under a vacuum has given off its water down to a share of it.

    Parameters
    ----------
    depth : m of oil below its open surface, 1e-5 to 0.2; number or array.
    left : share of the water that is still in it, 0.001 to 0.7. diffusivity : m2/s of water in the oil.

    Returns
    -------
    s. It grows with the square of the depth: a film of 1 mm dries in about an hour, a pool of 20 mm in weeks.

    Raises
    ------
    ServiceError.

    First term of the series for a slab with one open face at no vapor pressure (Crank, The mathematics of diffusion,
    from memory): left = 8 / pi^2 exp(-pi^2 D t / (4 depth^2)). Foaming and warm oil are faster; that is left out.
    """
    deep = np.asarray(checked("depth", depth, DEPTH), dtype=float)
    share = np.asarray(checked("left", left, SHARE), dtype=float)
    if not diffusivity > 0.0:
        raise ServiceError(_("the diffusivity must be above nothing."))
    return plain(4.0 * deep**2 / (math.pi**2 * diffusivity) * np.log(8.0 / (math.pi**2 * share)))


def desiccant_share(vapor_pressure: Value) -> Value:
    """Share of its full load of water that a molecular sieve keeps under a pressure of water vapor (Pa) at 25 C.

    Langmuir's curve with `HALF_FULL`, from memory and good to the order: at 500 micron it keeps nine tenths.
    Raises ServiceError.
    """
    pressure = np.asarray(checked("vapor_pressure", vapor_pressure, VAPOR), dtype=float)
    return plain(pressure / (pressure + HALF_FULL))
