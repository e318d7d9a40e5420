"""Short invented cases: may this be done? Each ruling stands on a row of the law."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.service import law
from coldcab.service.checks import ServiceError
from coldcab.words import _

VENTING = _("Clean Air Act section 608(c) as told in 81 FR 82272 (18 Nov 2016), summary, read")


@dataclass(frozen=True)
class Case:
    """One question, its answer and why."""

    name: str
    question: str
    allowed: bool
    reason: str
    facts: tuple[str, ...]
    other: str = ""

    @property
    def answer(self) -> str:
        """ "yes" or "no"."""
        return "yes" if self.allowed else "no"

    @property
    def citation(self) -> str:
        """Place in the law."""
        return "; ".join(part for part in (self.other, law.cite(*self.facts) if self.facts else "") if part)


_CASES = (
    Case(
        "vent",
        _(
            "Unit 40 holds a little R-12 and must be opened. The hose is too short for the recovery "
            "machine. May the rest be let out in the open air?"
        ),
        False,
        _("no refrigerant may be let out on purpose, old or new, much or little"),
        (),
        VENTING,
    ),
    Case(
        "empty",
        _("The gauge on Unit 40 shows 0 psig, so the owner calls it empty. May it be opened without recovery?"),
        False,
        _("at 0 psig it still holds gas; recover to 4 inHg below the air first"),
        ("V1", "V5"),
    ),
    Case(
        "top off",
        _("Unit 12 runs on R-12 and is low. The shop has R-134a only. May it be topped up with that?"),
        False,
        _("a substitute may not top off another refrigerant; recover the original first"),
        ("R7", "R8"),
    ),
    Case(
        "own refrigerant back",
        _("R-12 was recovered from Unit 31 an hour ago. May it go straight back into the same machine, not recycled?"),
        False,
        _("recovered refrigerant must be recycled or reclaimed first, even for the same machine"),
        ("C7",),
    ),
    Case(
        "recycled back",
        _("R-12 from Unit 31 went through the shop's approved recycling machine. May it go back into Unit 31?"),
        True,
        _("recycled by approved equipment, it may go into motor vehicles and off-road cabs"),
        ("C7",),
    ),
    Case(
        "adapter",
        _("The R-134a hose does not fit the R-12 port of Unit 44. May an adapter be put between for an hour?"),
        False,
        _("each refrigerant has its own fittings; an adapter is a violation"),
        ("R1",),
    ),
    Case(
        "unlocked port",
        _(
            "New R-134a fittings were screwed onto the R-12 ports of Unit 7, with neither thread "
            "lock nor latch. May it leave the shop so?"
        ),
        False,
        _("conversion fittings must be fixed so that they cannot come off"),
        ("R2",),
    ),
    Case(
        "vehicle certificate",
        _(
            "A technician of the section-609 program is to open the cab air conditioner of the "
            "combine, Unit 31. The compressor is belt-driven, the charge is 3.4 lb of R-12. May she?"
        ),
        True,
        _("it is an off-road cab by the law's definition, and this program covers it"),
        ("C1", "D1", "D2"),
    ),
    Case(
        "no equipment",
        _(
            "A neighbor asks the shop to open his loader's circuit at a field. The shop owns no "
            "approved recovery machine. May it take the job?"
        ),
        False,
        _("whoever opens such a machine needs at least one approved machine at the place of business"),
        ("C8",),
    ),
    Case(
        "hydrocarbon",
        _("A customer brings a hydrocarbon mixture sold for old R-12 cabs. May it go into his loader?"),
        False,
        _("flammable hydrocarbons are unacceptable in place of R-12"),
        ("R11",),
    ),
    Case(
        "disposable can",
        _("Recycled R-12 is to be stored in the empty throw-away cylinder in which new R-12 came. May it?"),
        False,
        _("only approved refillable containers may hold recycled refrigerant"),
        (),
        _("40 CFR 82 Subpart B App. A, service procedure 6.1, 2015 annual edition, read"),
    ),
    Case(
        "same refrigerant",
        _(
            "The leak of Unit 18 is repaired and tested. It still holds R-134a, and its label says "
            "R-134a. May R-134a be added?"
        ),
        True,
        _("the same refrigerant may be added to its own machine"),
        ("R7",),
    ),
    Case(
        "small can",
        _("A farmer without a certificate wants a small can of R-12 for his old loader. May the shop sell it to him?"),
        False,
        _("R-12 in containers under 20 lb may be sold to certified technicians only"),
        ("C4",),
    ),
)


def cases() -> tuple[Case, ...]:
    """Every case."""
    return _CASES


def case(name: str) -> Case:
    """One case by its name; ServiceError for another name."""
    for one in _CASES:
        if one.name == name:
            return one
    raise ServiceError(
        _("{value!r} is not one of the cases: {name}.").format(
            value=str(name)[:30], name=", ".join(one.name for one in _CASES)
        )
    )
