"""What does not go together in a job's description; each in one sentence that says what to look at again."""

from __future__ import annotations

from coldcab import refrigerants, units
from coldcab.job.description import Job
from coldcab.job.model import NEWEST, model_machine, original_of, refrigerant_of
from coldcab.job.questions import REFRIGERANTS
from coldcab.service.changes import CHANGES
from coldcab.words import _

LARGEST_SHARE = 1.02
"""Of the data sheet's charge: more than this cannot have been recovered from the machine alone."""


def contradictions(job: Job) -> tuple[str, ...]:
    """Name what cannot be true together, or must not be done as described."""
    return tuple(said for check in _CHECKS if (said := check(job)))


def _mixture_is_not_topped_up(job: Job) -> str:
    mixed = job["work.inside"] == "mixture"
    if not mixed and "mixed refrigerant" in (job["work.findings"] or ()) and job["work.inside"] in REFRIGERANTS:
        template = _("Findings say mixed refrigerant, the identifier says {name}; identify again.")
        return template.format(name=job["work.inside"])
    return ""


def _nothing_inside_but_recovered(job: Job) -> str:
    if job["work.inside"] == "nothing" and (job["work.recovered"] or 0.0) > 0.05:
        return _("The identifier found nothing, but a mass was recovered; weigh and identify again.")
    return ""


def _more_recovered_than_charge(job: Job) -> str:
    charge, found = job["machine.charge"], job["work.recovered"]
    if charge and found and found > LARGEST_SHARE * charge:
        template = _(
            "More was recovered ({found}) than the data sheet holds ({charge}): it was overcharged, "
            "or the scale or the sheet is wrong."
        )
        return template.format(found=units.show(found, "mass"), charge=units.show(charge, "mass"))
    return ""


def _mineral_oil_with_r134a(job: Job) -> str:
    name = refrigerant_of(job)
    if name != "R-12" and job["work.new_oil"] == "mineral":
        template = _(
            "Mineral oil does not mix with {name}, so it does not come back to the compressor; choose PAG or POE."
        )
        return template.format(name=name)
    return ""


def _failed_compressor_stays(job: Job) -> str:
    failed = job["work.complaint"] == "compressor failed" or "metal debris" in (job["work.findings"] or ())
    replaced = job["work.replaced"]
    if failed and replaced is not None and "compressor" not in replaced:
        return _("The compressor failed or shed metal, but it is not among the replaced parts.")
    return ""


def _opened_without_a_drier(job: Job) -> str:
    replaced = job["work.replaced"]
    if replaced and "receiver-drier" not in replaced and "accumulator" not in replaced:
        return _("The circuit is opened, but the drier is not among the replaced parts: its desiccant has met the air.")
    return ""


def _rinsed_what_must_not_be(job: Job) -> str:
    wrong = [part for part in job["work.rinsed"] or () if part in ("compressor", "receiver-drier", "accumulator")]
    if wrong:
        template = _("{parts} must not be flushed; a drier is replaced, a compressor is drained.")
        return template.format(parts=" and ".join(wrong).capitalize())
    if "condenser" in (job["work.rinsed"] or ()) and job["machine.condenser"] == "parallel flow":
        return _(
            "A parallel-flow condenser cannot be flushed clean: solvent takes the open paths. Replace it after debris."
        )
    return ""


def _brought_more_than_total(job: Job) -> str:
    total, brought = job["machine.oil"], job["work.brought"]
    if total and brought and brought > total:
        return _("The new compressor brought more oil than the whole circuit needs; drain it before you fit it.")
    return ""


def _drained_more_than_total(job: Job) -> str:
    total, drained = job["machine.oil"], job["work.drained"]
    if total and drained and drained > total:
        return _("More oil was drained from the old compressor than the data sheet has for the whole circuit.")
    return ""


def _charge_beyond_the_machine(job: Job) -> str:
    charge = job["machine.charge"]
    if charge:
        room = model_machine(job).charge
        if not 0.3 * room <= charge <= 3.0 * room:
            template = _(
                "A charge of {charge} is far from what such a machine holds ({room} on the model's data "
                "sheet); check the unit, or choose another machine it is like."
            )
            return template.format(charge=units.show(charge, "mass"), room=units.show(room, "mass"))
    return ""


def _built_for_the_new_one_with_the_old_inside(job: Job) -> str:
    born, inside = job["machine.original_refrigerant"], job["work.inside"]
    if (born, inside) == ("R-134a", "R-12") or (born == NEWEST and inside in ("R-12", "R-134a")):
        template = _(
            "It was built for {born} but holds {inside}: somebody mixed up a cylinder, or the data sheet is another's."
        )
        return template.format(born=born, inside=inside)
    return ""


def _backwards(job: Job) -> str:
    if job["machine.original_refrigerant"] == "R-134a" and refrigerant_of(job) == "R-12":
        return _("A machine built for R-134a is not changed to R-12.")
    return ""


def _to_or_from_the_newest(job: Job) -> str:
    """No change to R-1234yf or away from it is allowed; why stands with the changes that a shop is asked for."""
    born, wanted = original_of(job), refrigerant_of(job)
    if NEWEST not in (born, wanted) or born == wanted:
        return ""
    known = {(one.old, one.new): one for one in CHANGES}
    found = known.get((born, wanted), known[NEWEST, "R-134a"])
    template = _("It was built for {born}; do not change it to {wanted}: {why} ({citation}; check the current law).")
    return template.format(born=born, wanted=wanted, why=found.reason, citation=found.citation)


def _cylinder_smaller_than_charge(job: Job) -> str:
    capacity, charge = job["tools.cylinder_water_capacity"], job["machine.charge"]
    name = original_of(job)
    if capacity and charge:
        liquid = refrigerants.saturation(name, temperature=294.26).liquid_density
        if 0.8 * capacity / 999.0 * liquid < charge:
            return _("The recovery cylinder is too small for the whole charge; have a second one ready.")
    return ""


_CHECKS = (
    _mixture_is_not_topped_up,
    _nothing_inside_but_recovered,
    _more_recovered_than_charge,
    _mineral_oil_with_r134a,
    _failed_compressor_stays,
    _opened_without_a_drier,
    _rinsed_what_must_not_be,
    _brought_more_than_total,
    _drained_more_than_total,
    _charge_beyond_the_machine,
    _built_for_the_new_one_with_the_old_inside,
    _backwards,
    _to_or_from_the_newest,
    _cylinder_smaller_than_charge,
)
