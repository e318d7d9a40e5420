"""What an identifier may find in a machine or a cylinder, and what each finding permits."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from coldcab.service import law
from coldcab.service.checks import ServiceError
from coldcab.words import _

PURE = 0.98
"""Mass share of one refrigerant from which an identifier calls it pure (SAE J1771, from memory)."""
FLAMMABLE = 0.02
"""Mass share of hydrocarbon above which the contents are treated as flammable: an identifier warns there (N21)."""
AIR = 0.02
"""Mass share of air worth a step of its own (the law asks for 98 % free of non-condensables: V20)."""
PARTS = ("R-12", "R-134a", "R-1234yf", "R-22", "hydrocarbon", "air")
OWN_MACHINE = ("R-12", "R-134a")

MIXTURE, FOREIGN, BURNS, UNKNOWN, EMPTY, SEALANT = (
    "mixture",
    "another refrigerant",
    "flammable",
    "unknown",
    "air only",
    "sealant inside",
)


@dataclass(frozen=True)
class Finding:
    """What was found and what may be done with it."""

    name: str
    refrigerant: str  # designation, or "" where there is no single one
    meaning: str
    recover_with: str
    container: str
    may_recycle_here: bool  # in the shop's own recycling machine
    may_return: bool  # to this machine or another, after recycling
    air: bool  # air is to be bled off or recycled out
    next_step: str
    caution: str
    citation: str


CONTAINERS = {
    "R-12": _("grey with yellow top, 3/8 in flare"),
    "R-134a": _("blue with yellow top, 1/2 in ACME"),
    "R-1234yf": _("one for R-1234yf, marked flammable, left-hand thread"),
}
GENERAL = _("Glasses and gloves: liquid refrigerant freezes skin and eyes. Ventilate: the gas displaces air. No flame.")
WASTE = _("a cylinder kept for mixtures only, marked with what was read, never with a shop's clean stock")


def identify(shares: Mapping[str, float], *, sealant: bool = False) -> Finding:
    """What an identifier's percentages mean.

    Parameters
    ----------
    shares : mass shares from 0 to 1 by name: "R-12", "R-134a", "R-1234yf", "R-22", "hydrocarbon", "air"; left out is
        0. They add up to 1; what is missing to 1 by more than 0.02 is counted as unknown.
    sealant : whether the sealant test, which is a test of its own, was positive.

    Returns
    -------
    `Finding`.

    Raises ServiceError for a name or a share that cannot be.

    Source: 40 CFR 82.32(e)(1), 82.156(e) (C7), Subpart G App. C/D 3 (R7), Subpart B App. E (P7),
    containers V23 and V24.
    """
    given = _checked(shares)
    air = given["air"]
    rest = 1.0 - air
    if rest <= 0.02:
        return _empty()
    known = {name: given[name] / rest for name in PARTS if name != "air"}
    missing = 1.0 - sum(known.values())
    if known["hydrocarbon"] > FLAMMABLE:
        return _flammable(air > AIR)
    if missing > 0.02:
        return _unknown(air > AIR)
    if sealant:
        return _sealant(air > AIR)
    first = max(known, key=known.__getitem__)
    if known[first] < PURE:
        return _mixture(known, air > AIR)
    if first == "R-1234yf":
        return _own_machine_only(first, air > AIR)
    if first not in OWN_MACHINE:
        return _foreign(first, air > AIR)
    return _pure(first, air > AIR)


def _pure(name: str, air: bool) -> Finding:
    step = _("Recover with the {name} machine until the vacuum holds, weigh, recycle, then repair.").format(name=name)
    if air:
        step += _(
            " Let the container stand 12 hours, check its pressure against the table, and bleed "
            "vapor from its top into the recycling machine, never into the open."
        )
    return Finding(
        f"{name} with air" if air else name,
        name,
        _("at least {pure:.0f} % of the refrigerant is {name}").format(pure=100 * PURE, name=name)
        + (_(", and air is with it") if air else ""),
        _("a machine approved for {name} only, or one approved for both").format(name=name),
        CONTAINERS[name],
        True,
        True,
        air,
        step,
        GENERAL,
        law.cite("C7", "V20" if air else "C8", "V23" if name == "R-12" else "V24"),
    )


def _mixture(known: Mapping[str, float], air: bool) -> Finding:
    parts = " and ".join(name for name in PARTS[:4] if known[name] > 1 - PURE)
    return Finding(
        f"{MIXTURE} with air" if air else MIXTURE,
        "",
        _("a mixture of {parts}: no table fits it and no machine in the shop can separate it").format(parts=parts),
        _("a recovery-only machine kept for mixtures; never the shop's recycling machine"),
        WASTE,
        False,
        False,
        air,
        _("Recover it, tag the cylinder, send it to be reclaimed or destroyed. Never vent it and never top it up."),
        GENERAL + _(" The pressure of a mixture can lie above both tables."),
        law.cite("R7", "C7", "P7"),
    )


def _own_machine_only(name: str, air: bool) -> Finding:
    return Finding(
        name,
        name,
        _("at least {pure:.0f} % of the refrigerant is {name}, which burns mildly").format(pure=100 * PURE, name=name),
        _("a machine made for {name} only, with a fan and without sparks").format(name=name),
        CONTAINERS[name],
        False,
        True,
        air,
        _("Never the machine for R-12 or R-134a. Open the doors, run the fan, keep sparks and flames away, recover."),
        GENERAL + _(" It burns mildly, and its burnt gas is poison."),
        law.cite("N1", "N15"),
    )


def _sealant(air: bool) -> Finding:
    return Finding(
        SEALANT,
        "",
        _("the sealant test is positive: a leak sealer was put in, and it hardens where it meets air and water"),
        _("a recovery-only machine kept for spoiled gas, with a filter for sealant; never the recycling machine"),
        WASTE,
        False,
        False,
        air,
        _("Keep it out of the shop's machine. Tell the owner: drier, valve and what is clogged must be replaced."),
        GENERAL,
        _("common practice, no source"),
    )


def _foreign(name: str, air: bool) -> Finding:
    return Finding(
        f"{FOREIGN}: {name}",
        name,
        _("{name}, which belongs neither in an R-12 nor in an R-134a machine").format(name=name),
        _("recovery equipment approved for {name}").format(name=name),
        _("a cylinder for {name}, rated for its higher pressure").format(name=name),
        False,
        False,
        air,
        _("Ask who filled it. Recover it separately and send it to be reclaimed; inspect hoses, seals and oil."),
        GENERAL + _(" Its pressure is higher than that of R-12: check the ratings of hoses and cylinder first."),
        law.cite("R7", "D2"),
    )


def _flammable(air: bool) -> Finding:
    return Finding(
        BURNS,
        "",
        _("more than {flammable:.0f} % hydrocarbon: treat the contents as flammable").format(flammable=100 * FLAMMABLE),
        _("recovery equipment rated for flammable refrigerants only; ordinary machines can ignite it"),
        _("a cylinder marked flammable, kept apart"),
        False,
        False,
        air,
        _(
            "Stop. Do not connect the shop's machine. Ventilate, keep flames and switches away, call "
            "a recovery firm that handles flammable refrigerants."
        ),
        GENERAL + _(" Gas with air can explode; one spark of a switch or a motor is enough."),
        law.cite("R11"),
    )


def _unknown(air: bool) -> Finding:
    return Finding(
        UNKNOWN,
        "",
        _("the identifier does not know a part of it; a blend, a sealant or something flammable may be inside"),
        _("nothing, until it is known; then the machine for mixtures"),
        WASTE,
        False,
        False,
        air,
        _("Take a sample to a laboratory or call a reclaimer. Treat it as flammable until it is proved not to be."),
        GENERAL,
        law.cite("R7"),
    )


def _empty() -> Finding:
    return Finding(
        EMPTY,
        "",
        _("air: the circuit has leaked down and breathed in"),
        _("the machine for the refrigerant on the label: what is left in oil and corners still comes out"),
        _("as for the refrigerant on the label"),
        False,
        False,
        True,
        _("Recover what is left to the required vacuum, then find the leak. Do not charge a circuit that leaks."),
        GENERAL,
        law.cite("V1", "V3"),
    )


def _checked(shares: Mapping[str, float]) -> dict[str, float]:
    if not isinstance(shares, Mapping):
        raise ServiceError(_("give the shares by name, for example R-12: 0.7 and R-134a: 0.3."))
    for name, value in shares.items():
        if name not in PARTS:
            raise ServiceError(
                _("{value!r} is not what an identifier shows; it shows {parts}.").format(
                    value=str(name)[:20], parts=", ".join(PARTS)
                )
            )
        if isinstance(value, bool | str) or not isinstance(value, int | float) or not math.isfinite(value):
            raise ServiceError(_("the share of {name} must be a number from 0 to 1.").format(name=name))
        if not 0.0 <= value <= 1.0:
            hint = (
                _("; for {value:g} % write {value_2:g}").format(value=value, value_2=value / 100)
                if 1.0 < value <= 100.0
                else ""
            )
            raise ServiceError(
                _("the share of {name} is {value:g}; it must be from 0 to 1{hint}.").format(
                    name=name, value=value, hint=hint
                )
            )
    total = sum(shares.values())
    if total > 1.02:
        raise ServiceError(
            _("the shares add up to {total:.0f} %; together they are at most 100 %.").format(total=100 * total)
        )
    return {name: float(shares.get(name, 0.0)) for name in PARTS}
