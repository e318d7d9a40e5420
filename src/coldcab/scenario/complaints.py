"""Complaints to think through: machines of the shop with a hidden fault, drawn as often as the catalogue says."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from coldcab.faults import HEALTHY, Atlas, Fault, build_atlas, faults_for, observe
from coldcab.faults.atlas import priors
from coldcab.faults.observables import Observed
from coldcab.machine import nominal_charge
from coldcab.machine.fleet import FLEET
from coldcab.scenario.draw import Draw
from coldcab.scenario.sick_machines import REFRIGERANT, day

MANY = 40
"""Complaints that stand in the book."""

PER_CLASS = 40
"""Machines with each fault in the atlas of a board: fewer than for a diagnosis that counts, so it starts sooner."""

SEVERITIES = (0.6, 1.0, 0.05)
"""Severity of a hidden fault: lowest, highest, step."""


@lru_cache
def names(unit: int) -> tuple[str, ...]:
    """What a machine of the shop can have: healthy, then the faults that fit its valve."""
    return (HEALTHY, *faults_for(FLEET[unit], REFRIGERANT))


def hidden(number: int, unit: int) -> Fault | None:
    """Return the fault behind a complaint about a machine, None where it is healthy.

    Parameters
    ----------
    number
        Place in the book, 1 to `MANY`.
    unit
        The machine's number in the shop.
    """
    draw, own = Draw("complaints", str(number)), names(unit)
    name = own[int(np.searchsorted(np.cumsum(priors(own, "usual")), draw.fraction("fault"), side="right"))]
    return None if name == HEALTHY else Fault(name, draw.number("severity", *SEVERITIES))


@lru_cache(maxsize=64)
def seen(number: int, unit: int, ambient_fahrenheit: float, engine_rpm: float) -> dict[str, Observed]:
    """Return all that could be measured on the machine of a complaint, as shop instruments show it (SI)."""
    fault = hidden(number, unit)
    return observe(
        FLEET[unit],
        day(ambient_fahrenheit, engine_rpm),
        refrigerant=REFRIGERANT,
        charge=nominal_charge(FLEET[unit], REFRIGERANT),
        faults=(fault,) if fault else (),
        seed=number,
    )


@lru_cache(maxsize=4)
def atlas(unit: int, ambient_fahrenheit: float, engine_rpm: float) -> Atlas:
    """Return the atlas of a machine's day; the first call takes about a second."""
    return build_atlas(
        FLEET[unit],
        day(ambient_fahrenheit, engine_rpm),
        refrigerant=REFRIGERANT,
        charge=nominal_charge(FLEET[unit], REFRIGERANT),
        per_class=PER_CLASS,
    )
