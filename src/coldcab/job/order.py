"""The order of work in a few words: what the card and the top of the page show."""

from __future__ import annotations

import re
from math import ceil, floor
from typing import Any

from coldcab import units
from coldcab.instruments.controls import in_both
from coldcab.job.plan import Plan, band_words
from coldcab.service import label as labels
from coldcab.service.acceptance import Band
from coldcab.words import _

CARD_FIGURES = {
    "recover": "depth",
    "oil": "to add",
    "test": "start",
    "vacuum": "time",
    "charge": "target",
}
"""The one figure of a section that stands on the card in large type."""

SHORT = {
    "before": _("Read, identify, write down"),
    "outside": _("Air, drive, wires first"),
    "measure": _("Take readings"),
    "watch": _("Watch it fail"),
    "leak": _("Find the leak"),
    "recover": _("Recover, at least to"),
    "debris": _("Search for debris"),
    "parts": _("Parts"),
    "rinse": _("Flush"),
    "oil": _("Oil to add"),
    "test": _("Nitrogen"),
    "vacuum": _("Vacuum, at least"),
    "charge": _("Charge by weight"),
}
HOW = {
    "before": _("Two speeds, vent, glass. Identify what is inside."),
    "recover": _("Wait 5 min; if it rises, again. Weigh the cylinder."),
    "leak": _("Oily dust, then soap under nitrogen. Often two."),
    "oil": _("Best guess in the middle; where: see the sheet."),
    "test": _("Overnight. Never oxygen, never shop air."),
    "vacuum": _("The micron gauge decides. Compressor stands still."),
    "charge": _("Vapor, low side, running. High-side valve shut."),
}
"""What stands under a step of the card; other sections show their first sentence."""


DONE_TO = {"parts": "work.replaced", "rinse": "work.rinsed"}
"""Steps under which the parts stand that somebody has chosen."""

LABEL = {
    "refrigerant": (_("Refrigerant"), False),
    "charge": (_("Charge"), False),
    "date": (_("Date"), False),
    "lubricant type": (_("Lubricant"), False),
    "lubricant maker": (_("made by"), False),
    "lubricant amount": (_("amount"), False),
    "technician": (_("Retrofitted by, address"), True),
    "company": (_("Company, address"), True),
}
"""The label's fields in their order on paper: the name, and whether it needs a whole line."""


_CITATION = re.compile(r" \((?:law: )?[^()]*\bCFR\b(?:[^()]|\([^()]*\))*\)")


def without_citations(text: str) -> str:
    """A sentence without its place in the law, for the hand that holds the page; the sources stand at the end."""
    return _CITATION.sub("", text)


def first(plan: Plan) -> str:
    """What the job is about, in a sentence: what the readings as found say, else the complaint and what was found."""
    if plan.finding is not None:
        return plan.finding.verdict
    said = [plan.job.get("work.complaint", ""), *(plan.job["work.findings"] or ())]
    told = "; ".join(one for one in said if one)
    return f"{told[:1].upper()}{told[1:]}. {plan.route.why}" if told else plan.route.why


def steps(plan: Plan, system: str) -> list[dict[str, str]]:
    """The order of work: what, its one figure, and how in a line."""
    found = []
    for section in plan.sections:
        if section.key not in SHORT:
            continue
        key = CARD_FIGURES.get(section.key, "")
        figure = next((one.words(system, plan.atmosphere) for one in section.figures if one.key == key), "")
        # Words about a figure stand only where there is one.
        how = HOW.get(section.key, "") if figure or not key else ""
        how = how or first_sentence(section.steps)
        if section.key in DONE_TO and plan.job[DONE_TO[section.key]]:
            how = ", ".join(plan.job[DONE_TO[section.key]])
        found.append({"what": SHORT[section.key], "figure": in_short(figure), "how": how})
    found.append(
        {"what": _("Read as left, sign"), "figure": "", "how": _("All readings together decide: see the table.")}
    )
    return found


def label(plan: Plan, system: str) -> list[dict[str, Any]]:
    """What the label says, field by field, and which field needs a whole line; an empty text is a rule to write on."""
    if plan.label is None:
        return []
    said = dict(labels.entries(plan.label, system))
    return [{"name": name, "words": said[key], "long": long} for key, (name, long) in LABEL.items()]


def first_sentence(sentences: tuple[str, ...]) -> str:
    """The first sentence of some steps, as far as a card has room for it."""
    return without_citations(sentences[0]).split(". ")[0].rstrip(".") + "." if sentences else ""


_OTHER_SYSTEM = re.compile(r" \([^()]*\)")


def in_one_system(words: str) -> str:
    """The first of two systems' figures; a card has room for one, the sheet has both."""
    return _OTHER_SYSTEM.sub("", words)


def in_short(words: str) -> str:
    """A figure or a range in one system, its unit once: "1.2 to 4.4 fl oz"; nobody adds less than nothing."""
    low, to, high = in_one_system(words).partition(" to ")
    number, _space, unit = low.partition(" ")
    if not (to and high.endswith(unit)):
        return in_one_system(words)
    return _("at most {high}").format(high=high) if number.startswith("-") else f"{number} to {high}"


WHOLE = {
    "pressure": (("psi", "psig"), ("kPa", "kPa")),
    "temperature": (("F", "F"), ("C", "C")),
    "temperature difference": (("F", "F"), ("K", "K")),
}
"""Units of a reading, trade and metric, and how they are written; a person reads them in whole steps."""


def accepted_in(band: Band, unit: str) -> tuple[int, int]:
    """From which to which whole number of a unit a reading is accepted.

    Rounded inward: of readings in whole steps these are exactly the ones that lie within the band.
    """
    kind = "pressure difference" if band.kind == "pressure" else band.kind
    return ceil(units.convert(band.low, kind, unit)), floor(units.convert(band.high, kind, unit))


def accepted(band: Band, system: str) -> str:
    """A band in words: "15 to 44 psig (104 to 303 kPa)"; a gauge's reading needs no word for what it starts from."""
    if band.kind not in WHOLE:
        return range_words(band.low, band.high, band.kind, system)
    trade, metric = (
        f"{low} to {high} {written}"
        for (low, high), written in ((accepted_in(band, unit), written) for unit, written in WHOLE[band.kind])
    )
    return in_both(trade, metric, system)


def whole(value: float, kind: str, system: str) -> str:
    """A reading in words, as a person reads it: in whole psi, kPa or degrees."""
    if kind not in WHOLE or (kind == "pressure" and value < 0.0):
        return band_words(value, kind, system)
    as_kind = "pressure difference" if kind == "pressure" else kind
    trade, metric = (f"{units.convert(value, as_kind, unit):.0f} {written}" for unit, written in WHOLE[kind])
    return in_both(trade, metric, system)


def range_words(low: float, high: float, kind: str, system: str) -> str:
    """From where to where a band goes, in words."""
    return f"{band_words(low, kind, system)} to {band_words(high, kind, system)}"
