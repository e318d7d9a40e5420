"""Candidates for an old R-12 machine: safety class, warming potential, law, and why the shop uses them or not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from coldcab import refrigerants
from coldcab.service import law
from coldcab.words import _


@dataclass(frozen=True)
class Alternative:
    """One candidate for an old R-12 machine."""

    designation: str
    safety_class: str
    warming: Mapping[str, float]  # by IPCC report; empty where not on record here
    for_the_shop: bool
    law: str
    reason: str
    citation: str


def alternatives() -> tuple[Alternative, ...]:
    """What else might go into an old R-12 machine, by safety class and law, and why the shop uses it or not."""
    return ALTERNATIVES


_FLAMMABLES = _(
    "40 CFR 82 Subpart G App. B, table for CFC-12 motor vehicle air conditioners, retrofit "
    "and new, 2015 annual edition, read"
)
_MEMORY = "from memory"


def _catalogued(designation: str) -> tuple[str, Mapping[str, float]]:
    entry = refrigerants.catalogue[designation]
    return entry.safety_class, entry.global_warming_potential


ALTERNATIVES = (
    Alternative(
        "R-12",
        *_catalogued("R-12"),
        True,
        _("may be used while recycled or reclaimed stock lasts; certified technicians only"),
        _("no change to the machine; scarce and costly, and its leaks harm the ozone layer"),
        law.cite("C4", "C7"),
    ),
    Alternative(
        "R-134a",
        *_catalogued("R-134a"),
        True,
        _("acceptable for retrofit with its fittings, its label and all R-12 recovered"),
        _("the one retrofit with parts, oil and training everywhere; not flammable"),
        law.cite("R8", "R1", "R5"),
    ),
    Alternative(
        "R-152a",
        *_catalogued("R-152a"),
        False,
        _("of the flammable ones allowed in new equipment made for it, not in a retrofit"),
        _("flammable; an old cab lacks what keeps its gas away from the people"),
        _FLAMMABLES,
    ),
    Alternative(
        "R-1234yf",
        *_catalogued("R-1234yf"),
        False,
        _("of the flammable ones allowed in new passenger cars and light trucks made for it, not in a retrofit"),
        _("mildly flammable; needs equipment and fittings of its own"),
        _FLAMMABLES,
    ),
    Alternative(
        "blends with R-22",
        "A1 or A2, by blend",
        MappingProxyType({}),
        False,
        _("some are acceptable with fittings, label and barrier hoses of their own"),
        _(
            "each needs its own recovery machine and cylinder, leaks change its make-up, and its "
            "head pressure is higher"
        ),
        _("40 CFR 82 Subpart G App. C and D, 2015 annual edition, read"),
    ),
    Alternative(
        "hydrocarbons (R-290, R-600a)",
        "A3",
        MappingProxyType({}),
        False,
        _("unacceptable in place of R-12; putting R-134a in first does not make it legal"),
        _("highly flammable: one leak into the cab and one spark"),
        _("{flammables}; {law}; class from ASHRAE 34, {memory}").format(
            flammables=_FLAMMABLES, law=law.cite("R11"), memory=_MEMORY
        ),
    ),
    Alternative(
        "R-744",
        "A1",
        MappingProxyType({"AR4": 1, "AR5": 1, "AR6": 1}),
        False,
        _("listed for new systems with conditions of its own"),
        _("runs at about ten times the pressure: no part of an old machine can hold it"),
        _("{law}; class and warming potential {memory}").format(law=law.cite("R16"), memory=_MEMORY),
    ),
)
