"""The oil of one job as a ledger: what was in, what left with each part, what the new ones brought."""

from __future__ import annotations

from coldcab import units
from coldcab.job.description import Job
from coldcab.job.model import original_of, refrigerant_of
from coldcab.oil import RETAINED, Ledger
from coldcab.words import _

FLUID_OUNCE = float(units.from_unit(1.0, "volume", "fl oz"))
MEASURED = 0.25 * FLUID_OUNCE
"""How well a shop's measuring cup is read, either way: common practice, no source."""

SHEET_DOUBT = 0.1
"""Share of the data sheet's total that is in doubt after decades of repairs: assumption."""

COMPRESSOR_USUAL, COMPRESSOR_DOUBT = 2.5 * FLUID_OUNCE, 1.5 * FLUID_OUNCE
"""Left in an old compressor that nobody drained: common practice, no source."""

RINSE_LEAVES = 0.05
"""Share of a part's oil that a good rinse leaves: the usual target, common practice, from memory."""


def new_oil(job: Job) -> str:
    """The oil that goes in: as said, else by the refrigerant (PAG for R-134a, the compressor's maker permitting)."""
    return job.get("work.new_oil", "mineral" if refrigerant_of(job) == "R-12" else "PAG")


def old_oil(job: Job) -> str:
    """The oil that was in: as said, else mineral in a machine built for R-12."""
    said = job.get("machine.oil_type", "unknown")
    if said != "unknown":
        return said
    return "mineral" if original_of(job) == "R-12" else "PAG"


def ledger(job: Job) -> Ledger | None:
    """The books of the job; None where the data sheet's total is not known, for then nothing can be counted."""
    total = job["machine.oil"]
    if total is None:
        return None
    replaced, rinsed = set(job["work.replaced"] or ()), set(job["work.rinsed"] or ())
    books = Ledger(new_oil(job), required=total, required_uncertainty=SHEET_DOUBT * total)
    was, left = old_oil(job), total
    for part, held in RETAINED.items():
        if part in replaced | rinsed:
            volume = min(held.usual, left)
            books = books.enter(
                "in",
                _("usually kept by the {part}").format(part=part),
                volume,
                0.5 * (held.high - held.low),
                part=part,
                oil=was,
            )
            left -= volume
    if "compressor" in replaced:
        drained = job["work.drained"]
        volume = min(COMPRESSOR_USUAL if drained is None else drained, left)
        doubt = COMPRESSOR_DOUBT if drained is None else MEASURED
        books = books.enter("in", _("in the old compressor"), volume, 0.0, part="compressor", oil=was)
        left -= volume
    books = books.enter("in", _("in the rest of the circuit, by the data sheet"), left, SHEET_DOUBT * total, oil=was)
    if "compressor" in replaced:
        books = books.enter("out", _("left with the old compressor"), volume, doubt, part="compressor")
        brought = job["work.brought"]
        books = books.enter(
            "added",
            _("came with the new compressor")
            if brought is not None
            else _("came with the new compressor (not measured: drain it and measure)"),
            brought or 0.0,
            MEASURED if brought is not None else COMPRESSOR_USUAL,
            part="compressor",
            oil=new_oil(job),
        )
    for part in RETAINED:
        held = sum(books.contents().get(part, {}).values())
        if part in replaced and held:
            books = books.enter("out", _("left with the old {part}").format(part=part), held, 0.0, part=part)
        elif part in rinsed and held:
            books = books.flushed(part, RINSE_LEAVES * held)
    taken = job["work.recovered_oil"]
    if taken:
        books = books.enter("out", _("came out with the refrigerant"), taken, MEASURED)
    return books


def dry_parts(job: Job) -> tuple[str, ...]:
    """Parts that have lost their oil: new or rinsed ones."""
    changed = set(job["work.replaced"] or ()) | set(job["work.rinsed"] or ())
    return tuple(part for part in RETAINED if part in changed)
