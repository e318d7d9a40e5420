"""The label that a retrofitted machine must carry: its fields, its color, and what is missing from one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from coldcab import refrigerants
from coldcab.quantities import Limit
from coldcab.service.checks import ServiceError, number
from coldcab.words import _

WHERE = _("40 CFR 82 Subpart G App. C and D, 2{section}, 2015 annual edition, read")
OZONE = "ozone depleter"
FLAMMABLE = _("This refrigerant is FLAMMABLE. Take appropriate precautions.")
BURNS = ("A2L", "A2", "A3", "B2L", "B2", "B3")  # ASHRAE 34 classes with flammability limits
LONGEST = 80
CHARGE = Limit("mass", 0.05, 20.0)
AMOUNT = Limit("volume", 1e-5, 5e-3)


@dataclass(frozen=True)
class Field:
    """One thing that the label must say: its name on the sheet, when it is needed, and where the law says so."""

    name: str
    meaning: str
    always: bool
    citation: str


FIELDS = (
    Field("technician", _("name and address of the technician"), True, WHERE.format(section="a i")),
    Field("company", _("name and address of the company"), True, WHERE.format(section="a i")),
    Field("date", _("date of the retrofit"), True, WHERE.format(section="a ii")),
    Field("refrigerant", _("trade name and ASHRAE number of the refrigerant"), True, WHERE.format(section="a iii")),
    Field("charge", "charge amount", True, WHERE.format(section="a iii")),
    Field("lubricant type", "type of lubricant", True, WHERE.format(section="a iv")),
    Field("lubricant maker", _("manufacturer of the lubricant"), True, WHERE.format(section="a iv")),
    Field("lubricant amount", "amount of lubricant", True, WHERE.format(section="a iv")),
    Field(
        "ozone", _('the words "{ozone}", if it is or holds one').format(ozone=OZONE), False, WHERE.format(section="a v")
    ),
    Field(
        "flammability",
        _('the sentence "{flammable}", if it has flammability limits').format(flammable=FLAMMABLE),
        False,
        WHERE.format(section="a vi"),
    ),
)
"""Everything a label must say. The law lists it in six points, i to vi."""

RULES = (
    (_("large enough to be read easily, and permanent"), WHERE.format(section="b")),
    (_("background color that no other refrigerant has"), WHERE.format(section="c")),
    (_("over the old label, on a part that is not usually replaced"), WHERE.format(section="d")),
    (
        _("old refrigerant's data that it does not cover made unreadable for good"),
        WHERE.format(section="e (App. C) and 2f (App. D)"),
    ),
    (_("label itself tested to ANSI/UL 969"), WHERE.format(section="e (App. D)")),
)
"""How the label must be, each with its place in the law."""

COLORS: Mapping[str, str] = MappingProxyType({"R-12": "white", "R-134a": "sky blue"})
"""Background by refrigerant (fact R12, a regulator's fact sheet, from memory)."""


@dataclass(frozen=True)
class Label:
    """What stands on a label; SI units. Empty text is a blank."""

    refrigerant: str
    charge: float  # kg; 0 is a blank
    technician: str = ""
    company: str = ""
    date: str = ""
    trade_name: str = ""
    lubricant_type: str = ""
    lubricant_maker: str = ""
    lubricant_amount: float = 0.0  # m3


def color(refrigerant: str) -> str:
    """Background color of the label; ServiceError where none is on record here."""
    name = refrigerants.resolve(refrigerant)
    if name not in COLORS:
        raise ServiceError(
            _("no label color for {name} is on record here; ask the refrigerant's supplier.").format(name=name)
        )
    return COLORS[name]


def is_ozone_depleter(refrigerant: str) -> bool:
    """Whether the label must say so; by the catalogue's ozone depletion potential."""
    return _entry(refrigerant).ozone_depletion_potential > 0.0


def is_flammable(refrigerant: str) -> bool:
    """Whether the label must say so; by the safety class of ASHRAE Standard 34."""
    return _entry(refrigerant).safety_class in BURNS


def check_label(label: Label) -> tuple[str, ...]:
    """What is wrong with a label, one sentence each; empty when nothing is.

    Raises ServiceError for a charge or an amount that no cab's machine has. UnknownRefrigerant.
    """
    entry = _entry(label.refrigerant)
    if label.charge:
        number("charge", label.charge, CHARGE)
    if label.lubricant_amount:
        number("lubricant_amount", label.lubricant_amount, AMOUNT)
    found = []
    needed = {
        "technician": "technician",
        "company": "company",
        "date": "date",
        "lubricant_type": "lubricant type",
        "lubricant_maker": "lubricant maker",
    }
    for attribute, name in needed.items():
        words = getattr(label, attribute)
        if not isinstance(words, str):
            raise ServiceError(_("{name} must be text, not {value!r}.").format(name=name, value=str(words)[:20]))
        if not words.strip():
            found.append(_("{name} is blank ({name_2}).").format(name=name.capitalize(), name_2=_place(name)))
        elif len(words) > LONGEST:
            found.append(
                _("{name} is longer than {longest} letters: it must be easy to read.").format(
                    name=name.capitalize(), longest=LONGEST
                )
            )
    if not label.charge:
        found.append(_("Charge is blank ({value}).").format(value=_place("charge amount")))
    if not label.lubricant_amount:
        found.append(_("Lubricant amount is blank ({value}).").format(value=_place("lubricant amount")))
    synthetic = not any("mineral" in oil for oil in entry.oils)
    if synthetic and "mineral" in label.lubricant_type.lower():
        found.append(
            _("Mineral oil does not mix with {designation}: no oil would return to the compressor.").format(
                designation=entry.designation
            )
        )
    return tuple(found)


def entries(label: Label, system: str = "us") -> tuple[tuple[str, str], ...]:
    """What the label says of the fields that are filled in, by the name of the field; "" is a blank."""
    from coldcab import units

    return (
        ("refrigerant", f"{label.trade_name} ({label.refrigerant})" if label.trade_name else label.refrigerant),
        ("charge", units.show(label.charge, "mass", system=system) if label.charge else ""),
        ("lubricant type", label.lubricant_type),
        ("lubricant maker", label.lubricant_maker),
        (
            "lubricant amount",
            units.show(label.lubricant_amount, "volume", system=system) if label.lubricant_amount else "",
        ),
        ("technician", label.technician),
        ("company", label.company),
        ("date", label.date),
    )


def sentences(label: Label) -> tuple[str, ...]:
    """What the label must say word for word, because of what the refrigerant is."""
    said = ((OZONE, is_ozone_depleter(label.refrigerant)), (FLAMMABLE, is_flammable(label.refrigerant)))
    return tuple(words for words, needed in said if needed)


def lines(label: Label, *, system: str = "us") -> tuple[str, ...]:
    """The label as lines of text, blanks shown as a rule to write on."""
    said = {name: words or "____________________" for name, words in entries(label, system)}
    return (
        f"Refrigerant: {said['refrigerant']}",
        f"Charge: {said['charge']}",
        _("Lubricant: {lubricant_type}, made by {lubricant_maker}, {amount}").format(
            lubricant_type=said["lubricant type"],
            lubricant_maker=said["lubricant maker"],
            amount=said["lubricant amount"],
        ),
        f"Retrofitted by: {said['technician']}",
        f"Company: {said['company']}",
        f"Date: {said['date']}",
        *sentences(label),
    )


def _place(name: str) -> str:
    return next(field.citation for field in FIELDS if field.name == name)


def _entry(refrigerant: str) -> refrigerants.Refrigerant:
    name = refrigerants.resolve(refrigerant)
    if name not in refrigerants.catalogue:
        raise ServiceError(
            _("{name} is not in the catalogue, so neither its class nor its ozone effect is known here.").format(
                name=name
            )
        )
    return refrigerants.catalogue[name]
