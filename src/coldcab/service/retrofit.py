"""Changing the refrigerant of an old machine: what to do with each part, fittings, rules, cautions.

Reasons come with their place in the law, or say that they are common practice. Where the law does not speak, the
equipment's manual decides.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType

from coldcab import refrigerants
from coldcab.service import law
from coldcab.service.checks import ServiceError
from coldcab.words import _

PRACTICE = _("common practice, no source; the equipment's manual decides")
REPLACE, FIT, SET, INSPECT, KEEP = "replace", "fit", "set", "inspect", "keep"
ACTIONS = (REPLACE, FIT, SET, INSPECT, KEEP)
UNKNOWN = "unknown"

HOSES = ("barrier", "plain rubber", UNKNOWN)
SEALS = ("nitrile", "approved for R-134a", UNKNOWN)
DESICCANTS = ("for R-12 only", "approved for R-134a", UNKNOWN)
OILS = ("mineral", "PAG", "POE", UNKNOWN)
COMPRESSORS = ("sound", "worn", "failed")
CONDENSERS = ("tube and fin", "serpentine", "parallel flow")
METERING = ("expansion valve", "orifice tube")


@dataclass(frozen=True)
class OldMachine:
    """A machine as it stands before the change; each field one of the words of its list."""

    hoses: str = "plain rubber"  # HOSES
    hoses_sound: bool = True  # no cracks, no oil at the crimps
    seals: str = "nitrile"  # SEALS: O-rings of the joints
    desiccant: str = "for R-12 only"  # DESICCANTS
    oil: str = "mineral"  # OILS
    compressor: str = "sound"  # COMPRESSORS
    compressor_approved: bool = False  # its maker approves shaft seal and bearings for R-134a
    condenser: str = "tube and fin"  # CONDENSERS
    condenser_sound: bool = True  # fins straight and clean, fan and shroud in order
    metering: str = "expansion valve"  # METERING
    relief_device: bool = True
    high_cutout: bool = False
    low_switch: bool = True
    low_switch_adjustable: bool = False  # it has a screw and a scale; a sealed one has neither
    joints_opened: bool = True


@dataclass(frozen=True)
class PartDecision:
    """What to do with one part, and why; ``by_law`` where the law asks for it."""

    part: str
    action: str
    reason: str
    citation: str
    by_law: bool = False


@dataclass(frozen=True)
class Fittings:
    """Service ports and containers of one refrigerant, as printed in the source."""

    refrigerant: str
    high: str
    low: str
    container: str
    citation: str


def decide_parts(machine: OldMachine) -> tuple[PartDecision, ...]:
    """What an R-12 machine needs before it may run on R-134a, part by part.

    Raises ServiceError for a word that is not one of its list.

    Source: law where `PartDecision.by_law` (40 CFR 82 Subpart G App. B, C, D); else common practice.
    """
    _check(machine)
    return (
        _refrigerant(),
        _ports(),
        _cutout(machine),
        _low_switch(machine),
        _drier(machine),
        _seals(machine),
        _hoses(machine),
        _oil(machine),
        _compressor(machine),
        _condenser(machine),
        _metering(machine),
        PartDecision("label", FIT, _("a label of the new refrigerant over the old one"), law.cite("R5", "R6"), True),
    )


def fittings(refrigerant: str) -> Fittings:
    """Service ports and containers of R-12, R-134a, R-1234yf and R-744. Raises ServiceError for another refrigerant."""
    name = refrigerants.resolve(refrigerant)
    if name not in FITTINGS:
        raise ServiceError(
            _("no fittings of {name} are on record here; there are those of {fittings}.").format(
                name=name, fittings=", ".join(FITTINGS)
            )
        )
    return FITTINGS[name]


# The parts -------------------------------------------------------------------------------------------------------


def _refrigerant() -> PartDecision:
    return PartDecision(
        "old refrigerant", REPLACE, _("all R-12 must be recovered before R-134a goes in"), law.cite("R8", "R7"), True
    )


def _ports() -> PartDecision:
    reason = _("fittings of R-134a, locked so that they cannot come off; ports left over made unusable for good")
    return PartDecision("service ports", FIT, reason, law.cite("R1", "R2", "R3"), True)


def _cutout(machine: OldMachine) -> PartDecision:
    part = _("high-pressure cut-out")
    if machine.high_cutout:
        reason = _("it is there; check that it stops the clutch before the relief device opens")
        return PartDecision(part, INSPECT, reason, law.cite("R4"), machine.relief_device)
    if machine.relief_device:
        reason = _("the compressor must stop before the relief device vents")
        return PartDecision(part, FIT, reason, law.cite("R4"), True)
    reason = _("without a relief device App. C waives it, App. D does not; the head rises with R-134a, so fit one")
    return PartDecision(part, FIT, reason, law.cite("R4"), False)


def _low_switch(machine: OldMachine) -> PartDecision:
    part = "low-pressure switch"
    if not machine.low_switch:
        return PartDecision(
            part, INSPECT, _("there is none: find out what keeps the coil from freezing and the oil moving"), PRACTICE
        )
    if machine.low_switch_adjustable:
        reason = _("it has a screw: set it to R-134a's pressure at the old boiling temperature")
        return PartDecision(part, SET, reason, PRACTICE)
    reason = _("a sealed switch cannot be set: fit one rated at R-134a's pressure for the old boiling temperature")
    return PartDecision(part, REPLACE, reason, PRACTICE)


def _drier(machine: OldMachine) -> PartDecision:
    reason = {
        "for R-12 only": _("its desiccant is made for R-12; with R-134a it may break down"),
        UNKNOWN: _("nobody knows what desiccant is in it"),
        "approved for R-134a": _("an opened circuit gets a new drier: the old one is full of water"),
    }[machine.desiccant]
    return PartDecision("receiver-drier", REPLACE, reason, PRACTICE)


def _seals(machine: OldMachine) -> PartDecision:
    if machine.seals == "approved for R-134a":
        return PartDecision(
            "O-rings", INSPECT, _("approved material; replace those of every joint you open, oiled"), PRACTICE
        )
    if machine.joints_opened:
        reason = _("new rings of approved material in every joint that is opened, wetted with the new oil")
        return PartDecision("O-rings", REPLACE, reason, PRACTICE)
    return PartDecision(
        "O-rings", INSPECT, _("leave tight joints alone; leak-test all of them after the change"), PRACTICE
    )


def _hoses(machine: OldMachine) -> PartDecision:
    if not machine.hoses_sound:
        return PartDecision("hoses", REPLACE, _("cracked or oily hoses leak with any refrigerant"), PRACTICE)
    if machine.hoses == "barrier":
        return PartDecision("hoses", KEEP, _("sound barrier hoses serve R-134a"), PRACTICE)
    reason = _(
        "law does not ask for barrier hoses with R-134a; plain rubber lets more through, so weigh age and length"
    )
    return PartDecision("hoses", INSPECT, reason, f"{law.cite('R10')}; {PRACTICE}")


def _oil(machine: OldMachine) -> PartDecision:
    if machine.oil in ("PAG", "POE"):
        reason = _("{oil} oil mixes with R-134a; check grade and amount against the compressor's data").format(
            oil=machine.oil
        )
        if machine.oil == "PAG":
            reason += _("; if it has worked with R-12, chlorine has attacked it: then drain, flush, fill new")
        return PartDecision("oil", INSPECT, reason, PRACTICE)
    what = "mineral oil" if machine.oil == "mineral" else _("oil that nobody knows")
    reason = _(
        "R-134a does not carry {what} back to the compressor; drain, flush, fill the type its maker names"
    ).format(what=what)
    return PartDecision("oil", REPLACE, reason, PRACTICE)


def _compressor(machine: OldMachine) -> PartDecision:
    if machine.compressor == "failed":
        reason = _("it has failed: new compressor, and debris flushed out or the parts that hold it replaced")
        return PartDecision("compressor", REPLACE, reason, PRACTICE)
    if machine.compressor == "worn":
        reason = _("R-134a asks for more compression: a worn compressor shows it first")
        return PartDecision("compressor", REPLACE, reason, PRACTICE)
    if machine.compressor_approved:
        return PartDecision("compressor", KEEP, _("sound, and its maker approves it for R-134a"), PRACTICE)
    reason = _("sound, but ask its maker about shaft seal and bearings with R-134a and the new oil")
    return PartDecision("compressor", INSPECT, reason, PRACTICE)


def _condenser(machine: OldMachine) -> PartDecision:
    if not machine.condenser_sound:
        reason = _("clean and comb the fins, repair fan and shroud first: R-134a leaves less margin at the head")
        return PartDecision("condenser", INSPECT, reason, PRACTICE)
    if machine.condenser == "parallel flow":
        return PartDecision("condenser", KEEP, _("much surface for its size; check the head on a hot day"), PRACTICE)
    reason = _("head pressure rises with R-134a: predict the hottest day, and keep it only if the margin holds")
    return PartDecision("condenser", INSPECT, reason, PRACTICE)


def _metering(machine: OldMachine) -> PartDecision:
    if machine.metering == "orifice tube":
        return PartDecision("orifice tube", REPLACE, _("it holds debris; choose the size for R-134a"), PRACTICE)
    reason = _("its bulb is charged for R-12: measure superheat with R-134a, and change it where it is out of range")
    return PartDecision("expansion valve", INSPECT, reason, PRACTICE)


_WORDS = MappingProxyType(
    {
        "hoses": HOSES,
        "seals": SEALS,
        "desiccant": DESICCANTS,
        "oil": OILS,
        "compressor": COMPRESSORS,
        "condenser": CONDENSERS,
        "metering": METERING,
    }
)


def _check(machine: object) -> None:
    if not isinstance(machine, OldMachine):
        raise ServiceError(_("describe the machine as an OldMachine."))
    for one in fields(OldMachine):
        value, label = getattr(machine, one.name), one.name.replace("_", " ")
        if one.name in _WORDS:
            if value not in _WORDS[one.name]:
                raise ServiceError(
                    _("{label} is {value!r}; it must be one of {words}.").format(
                        label=label, value=str(value)[:30], words=", ".join(_WORDS[one.name])
                    )
                )
        elif not isinstance(value, bool):
            raise ServiceError(
                _("{label} must be True or False, not {value!r}.").format(label=label, value=str(value)[:20])
            )


def _fittings() -> dict[str, Fittings]:
    wide = law.fact("R13").value.split(" / ")
    gas = law.fact("R16").value.split(" / ")
    return {
        "R-12": Fittings("R-12", "3/8-24 screw", "7/16-20 screw", "7/16-20 screw; small can 7/16", law.cite("R14")),
        "R-134a": Fittings(
            "R-134a",
            _("quick coupler, {wide} mm bore").format(wide=wide[0]),
            _("quick coupler, {wide} mm bore").format(wide=wide[1]),
            _("{value} screw, small can the same").format(value=law.fact("R15").value),
            law.cite("R13", "R15"),
        ),
        "R-1234yf": Fittings(
            "R-1234yf",
            _("quick coupler, 17 mm outside"),
            _("quick coupler, 14 mm outside"),
            _("1/2 in ACME, left-hand thread; small can left-hand too"),
            _("{law}; sizes from SAE J639, from memory").format(law=law.cite("N1", "N15")),
        ),
        "R-744": Fittings(
            "R-744", f"{gas[1]} mm outside", f"{gas[0]} mm outside", _("not on record here"), law.cite("R16")
        ),
    }


FITTINGS: Mapping[str, Fittings] = MappingProxyType(_fittings())

CAUTIONS = (
    _("Wear glasses and gloves: liquid refrigerant freezes skin and eyes at once."),
    _("Refrigerant gas is heavier than air and displaces it: ventilate pits and cabs."),
    _("Keep flames and hot surfaces away: hot refrigerant gas makes poisonous, biting fumes."),
    _("Never use air or oxygen to test for leaks; dry nitrogen through a regulator only ({law}).").format(
        law=law.cite("V25")
    ),
    _("Never warm a cylinder with a flame, and never fill it beyond its limit: a liquid-full cylinder bursts."),
    _("Stop the engine and take the key before your hands go near belts and fans."),
    _("Polyalkylene glycol and polyol ester oils draw water from the air: keep the cans shut."),
    _("{current_law} The equipment's own manual comes before this list.").format(current_law=law.CURRENT_LAW),
)
"""What can hurt in a retrofit, and what to do."""
