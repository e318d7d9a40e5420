"""Complaints to think through: machines of the shop with a hidden fault, drawn as often as the catalogue says."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from coldcab.faults import HEALTHY, Atlas, Fault, build_atlas, catalogue, observe
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

NAMES = (HEALTHY, *(name for name, one in catalogue.items() if one.fits(REFRIGERANT)))


def hidden(number: int) -> Fault | None:
    """Return the fault behind a complaint, None where the machine is healthy.

    Parameters
    ----------
    number
        Place in the book, 1 to `MANY`.
    """
    draw = Draw("complaints", str(number))
    name = NAMES[int(np.searchsorted(np.cumsum(priors(NAMES, "usual")), draw.fraction("fault"), side="right"))]
    return None if name == HEALTHY else Fault(name, draw.number("severity", *SEVERITIES))


@lru_cache(maxsize=64)
def seen(number: int, unit: int, ambient_fahrenheit: float, engine_rpm: float) -> dict[str, Observed]:
    """Return all that could be measured on the machine of a complaint, as shop instruments show it (SI)."""
    fault = hidden(number)
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
