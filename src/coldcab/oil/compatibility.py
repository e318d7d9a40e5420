"""What goes with what: oil, refrigerant, desiccant and seals, each with its reason and where that is from.

The equipment's manual and the part's own marking decide; this table says what to look out for.
"""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import refrigerants
from coldcab.oil.checks import OilError
from coldcab.oil.properties import oil_named

SUITABLE = "suitable"
WITH_CARE = "with care"
NOT_SUITABLE = "not suitable"
UNKNOWN = "not known here"
VERDICTS = (NOT_SUITABLE, UNKNOWN, WITH_CARE, SUITABLE)
"""Verdicts, the worst first."""

DESICCANTS = ("molecular sieve 4 A", "molecular sieve 3 A", "silica gel", "activated alumina")
"""Drying agents by kind; the pore size of a molecular sieve is in angstrom."""

SEALS = ("NBR", "HNBR", "CR", "EPDM", "FKM")
"""Seal materials by the abbreviations of ISO 1629: nitrile, hydrogenated nitrile, chloroprene, ethylene-propylene
and fluorocarbon rubber."""

_LAW = (
    "test lubricants named in 40 CFR 82 Subpart B (2015 annual edition), Appendices A, C, D and F, read; check the "
    "current law where you work"
)
_MEMORY = "from memory"
_PRACTICE = "common practice, no source"
_SEAL_HANDBOOK = "material table of a seal handbook, read; behaviour from memory"


@dataclass(frozen=True)
class Finding:
    """Two things together: a verdict out of `VERDICTS`, the reason, and the source's mark."""

    first: str
    second: str
    verdict: str
    reason: str
    source: str


_OIL_REFRIGERANT = {
    ("mineral oil", "R-12"): (SUITABLE, "mixes fully with R-12 and comes back with it", _LAW),
    ("mineral oil", "R-134a"): (NOT_SUITABLE, "does not mix with R-134a and stays in the evaporator", _PRACTICE),
    ("mineral oil", "R-152a"): (UNKNOWN, "no evidence at hand; ask the compressor's maker", _MEMORY),
    ("mineral oil", "R-1234yf"): (NOT_SUITABLE, "does not mix with R-1234yf", _MEMORY),
    ("mineral oil", "R-22"): (SUITABLE, "the usual oil of R-22 machines", _PRACTICE),
    ("alkylbenzene", "R-12"): (SUITABLE, "mixes with R-12 and with mineral oil", _MEMORY),
    ("alkylbenzene", "R-134a"): (NOT_SUITABLE, "mixes too little with R-134a", _MEMORY),
    ("alkylbenzene", "R-152a"): (UNKNOWN, "no evidence at hand; ask the compressor's maker", _MEMORY),
    ("alkylbenzene", "R-1234yf"): (NOT_SUITABLE, "mixes too little with R-1234yf", _MEMORY),
    ("alkylbenzene", "R-22"): (SUITABLE, "mixes better with R-22 than mineral oil does", _MEMORY),
    ("PAG", "R-12"): (NOT_SUITABLE, "chlorine from R-12 attacks PAG, and the two mix badly", _MEMORY),
    ("PAG", "R-134a"): (SUITABLE, "the usual oil of belt-driven R-134a compressors", _LAW),
    ("PAG", "R-152a"): (WITH_CARE, "mixes, but R-152a burns and the law may forbid the change", _MEMORY),
    ("PAG", "R-1234yf"): (WITH_CARE, "only a PAG made for R-1234yf; others are not stable with it", _MEMORY),
    ("PAG", "R-22"): (UNKNOWN, "not usual; ask the compressor's maker", _MEMORY),
    ("POE", "R-12"): (WITH_CARE, "mixes with R-12 and with mineral oil, if the compressor's maker allows it", _MEMORY),
    ("POE", "R-134a"): (SUITABLE, "mixes with R-134a; keep it dry, water splits it into acid", _LAW),
    ("POE", "R-152a"): (WITH_CARE, "mixes, but R-152a burns and the law may forbid the change", _MEMORY),
    ("POE", "R-1234yf"): (WITH_CARE, "only a POE made for R-1234yf", _MEMORY),
    ("POE", "R-22"): (SUITABLE, "mixes with R-22; often taken when a machine is changed over", _PRACTICE),
}

_DESICCANT_REFRIGERANT = {
    ("molecular sieve 4 A", "R-12"): (SUITABLE, "the usual beads of R-12 driers", _MEMORY),
    ("molecular sieve 4 A", "R-134a"): (
        NOT_SUITABLE,
        "R-134a enters the pores, breaks down there and eats the beads",
        _MEMORY,
    ),
    ("molecular sieve 4 A", "R-152a"): (NOT_SUITABLE, "the small molecule enters the pores", _MEMORY),
    ("molecular sieve 4 A", "R-1234yf"): (NOT_SUITABLE, "its double bond reacts in the pores", _MEMORY),
    ("molecular sieve 4 A", "R-22"): (WITH_CARE, "only beads made for R-22", _MEMORY),
    ("molecular sieve 3 A", "R-12"): (SUITABLE, "pores too small for R-12; they take water only", _MEMORY),
    ("molecular sieve 3 A", "R-134a"): (SUITABLE, "pores too small for R-134a; they take water only", _MEMORY),
    ("molecular sieve 3 A", "R-152a"): (WITH_CARE, "only beads made for small molecules", _MEMORY),
    ("molecular sieve 3 A", "R-1234yf"): (WITH_CARE, "only beads made for R-1234yf", _MEMORY),
    ("molecular sieve 3 A", "R-22"): (SUITABLE, "pores too small for R-22", _MEMORY),
    ("silica gel", "R-12"): (SUITABLE, "old R-12 driers hold it; it takes little water when warm", _MEMORY),
    ("silica gel", "R-134a"): (WITH_CARE, "takes too little water for R-134a circuits; not usual", _MEMORY),
    ("silica gel", "R-152a"): (UNKNOWN, "no evidence at hand", _MEMORY),
    ("silica gel", "R-1234yf"): (UNKNOWN, "no evidence at hand", _MEMORY),
    ("silica gel", "R-22"): (SUITABLE, "used in older driers", _MEMORY),
    ("activated alumina", "R-12"): (SUITABLE, "takes water and acid", _MEMORY),
    ("activated alumina", "R-134a"): (WITH_CARE, "takes water and acid; not together with POE", _MEMORY),
    ("activated alumina", "R-152a"): (UNKNOWN, "no evidence at hand", _MEMORY),
    ("activated alumina", "R-1234yf"): (UNKNOWN, "no evidence at hand", _MEMORY),
    ("activated alumina", "R-22"): (SUITABLE, "takes water and acid", _MEMORY),
}

_SEAL_REFRIGERANT = {
    ("NBR", "R-12"): (SUITABLE, "the usual seal of R-12 machines", _MEMORY),
    ("NBR", "R-134a"): (WITH_CARE, "ages and lets R-134a through; replace it while the joint is open", _PRACTICE),
    ("HNBR", "R-12"): (SUITABLE, "stands the refrigerant and the heat", _MEMORY),
    ("HNBR", "R-134a"): (SUITABLE, "the usual seal of R-134a machines", _PRACTICE),
    ("CR", "R-12"): (SUITABLE, "listed for R-12", _SEAL_HANDBOOK),
    ("CR", "R-134a"): (SUITABLE, "listed for R-134a", _SEAL_HANDBOOK),
    ("EPDM", "R-12"): (WITH_CARE, "stands R-12 itself, but not the mineral oil that goes with it", _MEMORY),
    ("EPDM", "R-134a"): (SUITABLE, "stands R-134a; not where mineral oil is left", _MEMORY),
    ("FKM", "R-12"): (SUITABLE, "listed for R-12 with mineral oil", _SEAL_HANDBOOK),
    ("FKM", "R-134a"): (NOT_SUITABLE, "swells and blisters in R-134a", _MEMORY),
}

_OIL_SEAL = {
    ("mineral oil", "NBR"): (SUITABLE, "made for mineral oil", _MEMORY),
    ("mineral oil", "HNBR"): (SUITABLE, "made for mineral oil", _MEMORY),
    ("mineral oil", "CR"): (SUITABLE, "swells a little, which is usual", _MEMORY),
    ("mineral oil", "EPDM"): (NOT_SUITABLE, "swells and goes soft in mineral oil", _MEMORY),
    ("mineral oil", "FKM"): (SUITABLE, "stands mineral oil", _MEMORY),
    ("alkylbenzene", "NBR"): (SUITABLE, "stands it much as mineral oil", _MEMORY),
    ("alkylbenzene", "HNBR"): (SUITABLE, "stands it much as mineral oil", _MEMORY),
    ("alkylbenzene", "CR"): (WITH_CARE, "swells more than in mineral oil", _MEMORY),
    ("alkylbenzene", "EPDM"): (NOT_SUITABLE, "swells and goes soft", _MEMORY),
    ("alkylbenzene", "FKM"): (SUITABLE, "stands it much as mineral oil", _MEMORY),
    ("PAG", "NBR"): (WITH_CARE, "may shrink after years in mineral oil, then leaks", _PRACTICE),
    ("PAG", "HNBR"): (SUITABLE, "the usual pair in R-134a machines", _PRACTICE),
    ("PAG", "CR"): (SUITABLE, "swells little in PAG", _MEMORY),
    ("PAG", "EPDM"): (SUITABLE, "swells little in PAG", _MEMORY),
    ("PAG", "FKM"): (WITH_CARE, "stands PAG, but not R-134a", _MEMORY),
    ("POE", "NBR"): (WITH_CARE, "swells or shrinks by its make; replace it while the joint is open", _MEMORY),
    ("POE", "HNBR"): (SUITABLE, "usual with ester oil", _MEMORY),
    ("POE", "CR"): (WITH_CARE, "swells by its make", _MEMORY),
    ("POE", "EPDM"): (SUITABLE, "swells little in POE", _MEMORY),
    ("POE", "FKM"): (WITH_CARE, "stands POE, but not R-134a", _MEMORY),
}


def oil_and_refrigerant(oil: str, refrigerant: str) -> Finding:
    """Whether an oil goes with a refrigerant.

    Parameters
    ----------
    oil : see `properties.oil_named`.
    refrigerant : designation, such as "R-134a".

    Returns
    -------
    `Finding`, with its reason and source mark; the verdict "not known here" where there is no evidence.

    Raises
    ------
    OilError : unknown oil. refrigerants.UnknownRefrigerant : unknown refrigerant.
    """
    return _look_up(_OIL_REFRIGERANT, oil_named(oil).name, refrigerants.resolve(refrigerant))


def desiccant_and_refrigerant(desiccant: str, refrigerant: str) -> Finding:
    """Whether a drying agent (one of `DESICCANTS`) goes with a refrigerant; see `oil_and_refrigerant`."""
    return _look_up(
        _DESICCANT_REFRIGERANT, _one_of("desiccant", desiccant, DESICCANTS), refrigerants.resolve(refrigerant)
    )


def seal_and_refrigerant(seal: str, refrigerant: str) -> Finding:
    """Whether a seal material (one of `SEALS`) goes with a refrigerant; see `oil_and_refrigerant`."""
    return _look_up(_SEAL_REFRIGERANT, _one_of("seal", seal, SEALS), refrigerants.resolve(refrigerant))


def oil_and_seal(oil: str, seal: str) -> Finding:
    """Whether an oil goes with a seal material (one of `SEALS`); see `oil_and_refrigerant`."""
    return _look_up(_OIL_SEAL, oil_named(oil).name, _one_of("seal", seal, SEALS))


def matrix(refrigerant: str, oil: str, *, desiccant: str | None = None, seal: str | None = None) -> tuple[Finding, ...]:
    """All findings on one machine, the worst first.

    Parameters
    ----------
    refrigerant, oil, desiccant, seal : as in the functions above; the last two may be left out.

    Returns
    -------
    Findings ordered by `VERDICTS`.

    Raises
    ------
    OilError, refrigerants.UnknownRefrigerant : a name not known here.
    """
    found = [oil_and_refrigerant(oil, refrigerant)]
    if desiccant is not None:
        found.append(desiccant_and_refrigerant(desiccant, refrigerant))
    if seal is not None:
        found += [seal_and_refrigerant(seal, refrigerant), oil_and_seal(oil, seal)]
    return tuple(sorted(found, key=lambda finding: VERDICTS.index(finding.verdict)))


def _look_up(table: dict[tuple[str, str], tuple[str, str, str]], first: str, second: str) -> Finding:
    verdict, reason, source = table.get((first, second), (UNKNOWN, "no evidence at hand; ask the maker", "none"))
    return Finding(first, second, verdict, reason, source)


def _one_of(argument: str, value: str, known: tuple[str, ...]) -> str:
    for name in known:
        if isinstance(value, str) and value.strip().lower() == name.lower():
            return name
    raise OilError(f"{argument} {str(value)[:40]!r} is not known here; there are {', '.join(known)}.")
