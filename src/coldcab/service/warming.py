"""What leaks cost the climate: mass lost times the warming potential, with the report that it comes from named."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldcab import refrigerants
from coldcab.quantities import Limit, Value, plain
from coldcab.service.checks import ServiceError, checked, number
from coldcab.words import _

REPORTS = ("AR4", "AR5", "AR6")
"""IPCC assessment reports of 2007, 2013 and 2021; 100 years, CO2 = 1."""
REPORT = "AR5"
MASS = Limit("mass", 0.0, 1e4)


@dataclass(frozen=True)
class LeakCost:
    """A mass of refrigerant in the air and what it equals, with the set of potentials named."""

    refrigerant: str
    mass: Value  # kg lost
    potential: float  # kg CO2 per kg
    report: str
    carbon_dioxide: Value  # kg CO2 equivalent
    citation: str


def warming_potential(refrigerant: str, report: str = REPORT) -> float:
    """kg of CO2 that warm as much as 1 kg over 100 years, by one IPCC report.

    Raises ServiceError for a report, UnknownRefrigerant for a designation that the catalogue does not hold.
    """
    name = refrigerants.resolve(refrigerant)
    if name not in refrigerants.catalogue:
        raise ServiceError(
            _("the catalogue has no warming potential of {name}; it has {catalogue}.").format(
                name=name, catalogue=", ".join(refrigerants.catalogue)
            )
        )
    if report not in REPORTS:
        raise ServiceError(
            _("report is {value!r}; it must be one of {reports}.").format(
                value=str(report)[:20], reports=", ".join(REPORTS)
            )
        )
    return float(refrigerants.catalogue[name].global_warming_potential[report])


def leak_cost(refrigerant: str, mass: Value, *, report: str = REPORT) -> LeakCost:
    """CO2 equivalent of a mass (kg, number or array) of refrigerant that went into the air."""
    potential = warming_potential(refrigerant, report)
    lost = checked("mass", mass, MASS)
    name = refrigerants.resolve(refrigerant)
    source = refrigerants.catalogue[name].sources["global_warming_potential"]
    return LeakCost(name, lost, potential, report, plain(np.asarray(lost) * potential), source)


def history_cost(refrigerant: str, added: Sequence[float], *, report: str = REPORT) -> LeakCost:
    """The same for a history of top-ups: what was added had leaked. ``added`` in kg, one entry a visit."""
    masses = np.asarray([number(f"amount {place + 1}", one, MASS) for place, one in enumerate(added)])
    if masses.size == 0:
        raise ServiceError(_("give at least one amount that was added."))
    return leak_cost(refrigerant, float(masses.sum()), report=report)
