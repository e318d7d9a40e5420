"""What may be changed to what in an old cab, and what each change asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from coldcab import refrigerants
from coldcab.service import law
from coldcab.service.checks import ServiceError
from coldcab.words import _

HYDROCARBON, DROP_IN = "hydrocarbon mixture", "unlisted drop-in"


@dataclass(frozen=True)
class Change:
    """One refrigerant out, another in: whether the law allows it, why, and what it asks."""

    old: str
    new: str
    allowed: bool
    reason: str
    asks: tuple[str, ...]
    citation: str


def change(old: str, new: str) -> Change:
    """Return the ruling on a change.

    Parameters
    ----------
    old, new : designations such as "R-12", or `HYDROCARBON`, or `DROP_IN`.

    Raises
    ------
    ServiceError : for a change that is not on record.
    """
    key = _name(old), _name(new)
    if key not in _BY_NAME:
        known = "; ".join(_("{old} to {new}").format(old=one.old, new=one.new) for one in CHANGES)
        raise ServiceError(
            _("the change from {old} to {new} is not on record here; there are: {known}.").format(
                old=str(old)[:30], new=str(new)[:30], known=known
            )
        )
    return _BY_NAME[key]


def _name(given: object) -> str:
    if given in (HYDROCARBON, DROP_IN):
        return str(given)
    try:
        return str(refrigerants.resolve(given))  # type: ignore[arg-type]
    except ValueError:
        return str(given)


CHANGES = (
    Change(
        "R-12",
        "R-134a",
        True,
        _("a listed change, with conditions"),
        (
            _("all R-12 recovered first"),
            _("R-134a fittings on both ports, locked so that they stay"),
            _("a label of R-134a over the old one"),
            _("a switch that stops the compressor before the relief device vents"),
            _("oil, drier and seals for R-134a (trade practice)"),
        ),
        law.cite("N12", "R1", "R2", "R4", "R5"),
    ),
    Change(
        "R-12",
        "R-1234yf",
        False,
        _("listed for newly made machines only; an old cab lacks what keeps a flammable gas safe"),
        (),
        law.cite("N1", "N13"),
    ),
    Change(
        "R-134a",
        "R-1234yf",
        False,
        _("listed for newly made machines only; if a list names your machine one day, read its conditions"),
        (),
        law.cite("N1", "N13"),
    ),
    Change(
        "R-1234yf",
        "R-134a",
        False,
        _("the machine was built for R-1234yf and its ports fit nothing else; an adapter is a violation"),
        (),
        law.cite("N15", "R1"),
    ),
    Change("R-134a", "R-12", False, _("no way back: its fittings and label say R-134a"), (), law.cite("R1", "R7")),
    Change(
        "R-12",
        HYDROCARBON,
        False,
        _("highly flammable and unacceptable; putting R-134a in first does not make it legal"),
        (),
        law.cite("N14", "R11"),
    ),
    Change(
        "R-134a",
        HYDROCARBON,
        False,
        _("flammable refrigerants other than R-152a and R-1234yf are unacceptable in cabs"),
        (),
        law.cite("N14"),
    ),
    Change(
        "R-12",
        DROP_IN,
        False,
        _("the law knows no drop-in: what is not listed may not go in, and nothing goes on top of another gas"),
        (),
        law.cite("N13", "R7"),
    ),
)
"""Changes that a shop is asked for."""

_BY_NAME: Mapping[tuple[str, str], Change] = MappingProxyType({(one.old, one.new): one for one in CHANGES})
