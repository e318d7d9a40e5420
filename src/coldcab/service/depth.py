"""Which rules a machine falls under, how deep to recover, when it is done, and what may become of the refrigerant."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import refrigerants
from coldcab.quantities import INCH_OF_MERCURY, MILLIMETER_OF_MERCURY, POUND, STANDARD_ATMOSPHERE, Limit
from coldcab.service import law
from coldcab.service.checks import ServiceError, number
from coldcab.service.recovery import ATMOSPHERE
from coldcab.words import _

CHARGE = Limit("mass", 0.05, 500.0, "lb")

ROAD, OFF_ROAD, OTHER = "motor vehicle", "off-road cab", "other appliance"
KINDS = (ROAD, OFF_ROAD, OTHER)


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
            raise ServiceError(
                _("{name} must be True or False, not {value!r}.").format(
                    name=name.replace("_", " "), value=str(value)[:20]
                )
            )
    charge = number("charge", charge, CHARGE)
    most, designation = law.fact("D1").number * POUND, refrigerants.resolve(refrigerant)
    if cab and road and designation != "R-22":
        return Kind(
            ROAD,
            _("it cools the people in a vehicle built for street or highway"),
            _("a technician of the section-609 program, with approved equipment"),
            law.cite("D3"),
        )
    against = [
        words
        for words, holds in (
            (_("it does not cool the people in a cab"), not cab),
            ("it runs on R-22", designation == "R-22"),
            (_("its compressor is not open-drive"), not open_drive),
            (_("its full charge is over {number:g} lb").format(number=law.fact("D1").number), charge > most),
        )
        if holds
    ]
    if against:
        return Kind(
            OTHER,
            " and ".join(against),
            _("a technician certified under section 608 for this type of appliance"),
            law.cite("D1", "D2"),
        )
    return Kind(
        OFF_ROAD,
        _(
            "an open-drive compressor cools the people in an off-road vehicle, with a full charge of "
            "at most {number:g} lb and not R-22"
        ).format(number=law.fact("D1").number),
        _("a technician with section-608 Type II or of the section-609 program, with approved equipment"),
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
        raise ServiceError(
            _("kind is {value!r}; it must be one of {kinds}.").format(value=str(kind)[:30], kinds=", ".join(KINDS))
        )
    if kind == OTHER:
        inches = [float(part) for part in law.fact("V10").value.split("/")]
        vacuum = inches[0 if new_equipment else 1] * INCH_OF_MERCURY
        return Depth(vacuum, around - vacuum, law.cite("V10"))
    vacuum = law.fact("V1").number * MILLIMETER_OF_MERCURY
    return Depth(vacuum, around - vacuum, law.cite("V1", "V5"))
