"""The last sections of a plan: the charge and its cans, the sight glass, and what it all costs."""

from __future__ import annotations

import math

from coldcab import refrigerants, units
from coldcab.job import oil_books
from coldcab.job.description import Job
from coldcab.job.figures import Figure, Section, in_words
from coldcab.job.model import (
    NEWEST,
    original_of,
    refrigerant_of,
)
from coldcab.job.stages import MADE_FOR_IT, ambient, contents, converts
from coldcab.service import cans, charging, warming
from coldcab.words import _

CHARGING_HOSE = 1.5
"""m, an assumption."""

LIMIT_SHARE = 1.05
"""Of the target: more only raises the head. An assumption."""

SLIVER = 0.02
"""Share of the target for which no further can is opened: less than the readings can tell. An assumption."""

FIND_THE_CHARGE = (
    _("The right charge of this machine is not known, so no amount is given and the label stays blank. Find it first."),
    _("Read the plate or label at the compressor, at the condenser or under the hood; then the machine's manuals."),
    _(
        "No figure anywhere? Find it by weight on a hot day, doors open, engine at 1,500 rpm. Give 2 oz (60 g) at a "
        "time and write down weight, head and glass. Note where the glass clears and where the head stands 3 psi "
        "(20 kPa) higher than then. The charge lies between, a little nearer to the second: common practice, no source."
    ),
    _(
        "What to expect: cabs hold some 2 to 4 lb (0.9 to 1.8 kg) of R-134a. Manuals of a mower's cab, a motor grader "
        "and a tractor print 0.9, 1.7 and 1.8 kg. Stop at the high-pressure limit of the machine's plate in any case."
    ),
)
"""What stands in place of a charge that nobody knows."""


LAST_CAN_SHUT = _("The last can would give only {last}: leave it shut, {enough} come within {share:.0%} of the target.")
PRICE_OF_REFRIGERANT = _("Refrigerant: {price:,.2f} for the target charge, heels and hose not counted.")
PRICE_OF_OIL = _("Oil: {price:,.2f} for {ounces:.1f} fl oz.")
PRICE_OF_TIME = _("Time: {price:,.2f} for each hour; write the hours into the record.")


def charge_amounts(job: Job) -> dict[str, float] | None:
    """Start, target and upper limit of the charge, kg; None where the machine's own charge is not known."""
    if not job.known("machine.charge"):
        return None
    sheet = job["machine.charge"]
    original = original_of(job)
    if converts(job):
        found = charging.starting_charge(sheet, original=original, refrigerant=refrigerant_of(job))
        start, target, limit = float(found.start), float(found.by_density), float(found.high)
        start = min(start, target)
    else:
        start, target, limit = 0.9 * sheet, sheet, LIMIT_SHARE * sheet
    return {"start": start, "target": target, "limit": max(limit, LIMIT_SHARE * target)}


CAUTIONS = (
    _("Never open the high-side valve of the gauge set to a can or cylinder while the machine runs: it bursts."),
)


def charge(job: Job) -> Section:
    """By mass: start, target, limit, and the cans for it."""
    name, warm = refrigerant_of(job), ambient(job)
    found = charge_amounts(job)
    cautions = (*CAUTIONS, MADE_FOR_IT) if name == NEWEST else CAUTIONS
    steps = [
        _("By mass. The scale decides, the readings confirm, the glass decides nothing."),
        _("Charge into the low side as vapor while it runs; liquid only into the high side of a machine that stands."),
    ]
    if found is None:
        return Section("charge", "Charge", (*FIND_THE_CHARGE, *steps), (), cautions)
    if converts(job):
        basis = {
            "start": _("80 % of the R-12 charge: common practice, from memory"),
            "target": _("same volume of liquid as the R-12 charge"),
            "limit": "5 % above the target, or the highest rule: assumption; beyond it only the head climbs",
        }
    else:
        basis = {
            "start": _("90 % of the data sheet: assumption"),
            "target": "data sheet",
            "limit": _("5 % above the data sheet: assumption"),
        }
    figures = [
        Figure(key, label, found[key], "mass", basis[key])
        for key, label in (("start", _("stop and read at")), ("target", "target"), ("limit", "never beyond"))
    ]
    low_side = float(refrigerants.saturation_pressure(name, warm - 25.0))
    if job.get("tools.supply", "cans") == "cans":
        heel = cans.can_heel(name, pressure=low_side, temperature=warm)
        hose = cans.hose_contents(name, length=CHARGING_HOSE, temperature=warm, pressure=low_side)
        plan = cans.can_plan(found["target"], contents=job.get("tools.can", cans.SMALL_CAN), heel=heel, hose=hose)
        if plan.cans > 1 and plan.from_last < SLIVER * found["target"]:
            last = in_words(float(plan.from_last), "mass")
            steps.append(LAST_CAN_SHUT.format(last=last, enough=plan.cans - 1, share=SLIVER))
        figures += [
            Figure("cans", _("cans for the target"), plan.cans, "count", _("charge + heel of each can + hose")),
            Figure("last", _("last can gets lighter by"), float(plan.from_last), "mass", _("stop there, by the scale")),
            Figure("heel", _("stays in each empty can"), float(heel), "mass",
                   _("vapor at the low side's pressure and the air's temperature")),
        ]  # fmt: skip
    return Section(
        "charge",
        "Charge",
        tuple(steps),
        tuple(figures),
        cautions,
    )


CURVE_POINTS = 40


def glass(marks: charging.Marks, right: float) -> Section:
    """What the sight glass will and will not tell, from the model's charge curve and its ``right`` charge (kg)."""
    clears, rises = float(marks.glass_clears / right), float(marks.head_rises / right)
    basis = _("charge curve of the model on this day")
    figures = []
    if math.isfinite(clears):
        figures.append(Figure("clears", _("glass clears at, of the right charge"), clears, "fraction", basis))
    if math.isfinite(rises):
        figures.append(Figure("rises", _("head 10 % up at, of the right charge"), rises, "fraction", basis))
    return Section(
        "glass",
        "The sight glass",
        (
            _(
                "Bubbles at a steady speed say that liquid is missing there. A clear glass says that "
                "some is there, and nothing more: it stays clear far beyond the right charge."
            ),
            _("Milky glass may be oil that does not mix with the refrigerant."),
        ),
        tuple(figures),
    )


def cost(job: Job) -> Section:
    """Refrigerant, oil and time if prices are given; what the leak weighs in CO2."""
    figures = []
    found = charge_amounts(job)
    pound = float(units.from_unit(1.0, "mass", "lb"))
    price = job["prices.refrigerant_per_pound"]
    steps = []
    if price is not None and found is not None:
        steps.append(PRICE_OF_REFRIGERANT.format(price=price * found["target"] / pound))
    books = oil_books.ledger(job)
    if job["prices.oil_per_fluid_ounce"] is not None and books is not None and books.to_add.volume > 0:
        ounces = books.to_add.volume / oil_books.FLUID_OUNCE
        steps.append(PRICE_OF_OIL.format(price=job["prices.oil_per_fluid_ounce"] * ounces, ounces=ounces))
    if job["prices.hour"] is not None:
        steps.append(PRICE_OF_TIME.format(price=job["prices.hour"]))
    recovered = job["work.recovered"]
    name = contents(job)
    sheet = job["machine.charge"]
    if recovered is not None and sheet is not None and recovered <= sheet:
        lost = sheet - recovered
        leak = warming.leak_cost(name, lost)
        figures.append(
            Figure("leaked", _("leaked since it was full"), lost, "mass", _("data sheet less what was recovered"))
        )
        figures.append(
            Figure("carbon", _(
"as carbon dioxide, {report} potential {potential:,.0f}"
).format(report=leak.report, potential=leak.potential),
                   float(leak.carbon_dioxide), "mass", leak.citation)
        )  # fmt: skip
    else:
        one = warming.leak_cost(name, pound)
        figures.append(
            Figure("carbon", _(
"a pound of {name} in the air, as carbon dioxide"
).format(name=name), float(one.carbon_dioxide), "mass",
                   f"{one.report}; {one.citation}")
        )  # fmt: skip
    return Section("cost", "What it costs", tuple(steps), tuple(figures))
