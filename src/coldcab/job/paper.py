"""The plan on paper, set by typst: a bay card on one side, and a sheet with reasons behind it."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.resources import files
from itertools import groupby
from typing import Any

from coldcab import paper, refrigerants, units
from coldcab.job.figures import Figure
from coldcab.job.order import (
    accepted,
    accepted_in,
    first,
    in_one_system,
    in_short,
    label,
    steps,
    whole,
    without_citations,
)
from coldcab.job.page import SHOWN, reading_as_found
from coldcab.job.plan import LAW_NOTE, MODEL_NOTE, Plan
from coldcab.service import label as labels
from coldcab.service.acceptance import Band
from coldcab.words import _

PAPERS = {"us": "letter", "si": "a4"}
ON_CARD = ("low_gauge", "high_gauge", "vent", "superheat_measured", "subcooling_measured", "discharge_line")
"""Readings of the card's table; the page has all."""

FAST = "fast idle"
FACES = {"low_gauge": (_("LOW"), "psig", (0, 150), 30), "high_gauge": (_("HIGH"), "psig", (0, 500), 100)}
FACES_SI = {"low_gauge": (_("LOW"), "kPa", (0, 1000), 200), "high_gauge": (_("HIGH"), "kPa", (0, 4000), 1000)}
"""Name, unit, ends and steps of the gauges' faces."""

WORK = (
    (_("Gas out"), "", ""),
    (_("Gas in"), "charge", "target"),
    (_("Oil out"), "", ""),
    (_("Oil in"), "oil", "to add"),
    (_("Vacuum, rise"), "vacuum", "target"),
    (_("Nitrogen"), "test", "start"),
)
"""What the record keeps of the work: its name, and the figure that plans it."""

CAUTIONS = {
    "before": (
        _("goggles and gloves"),
        _("key out near belt and fan"),
        _("fresh air, no flame"),
        _("stop the engine in a closed bay"),
    ),
    "recover": (_("never vent, never overfill a cylinder"),),
    "rinse": (_("solvent: read its sheet, no spark"),),
    "test": (_("nitrogen only through a regulator with a relief valve"),),
    "vacuum": (_("never run the compressor in a vacuum"),),
    "charge": (_("high-side valve shut while it runs"),),
    "outside": (_("engine off before a hand goes into fan or fins"),),
}
"""What can hurt, in few words; the page says it in full."""

TOLD = ("before", "measure", "outside", "watch", "leak", "debris", "parts", "oil")
"""Sections whose steps stand on the sheet too: they decide. The others show their figures and what these rest on."""

WORDS = {
    "superheat_measured": _("superheat"),
    "subcooling_measured": _("subcooling"),
}
"""Short names of lines that are worked out."""


def pdf(plan: Plan, system: str = "us") -> bytes:
    """The plan as the bytes of a tagged PDF file (PDF/UA-1): the card, then the sheet.

    Parameters
    ----------
    plan : of `coldcab.job.plan.plan`.
    system : "us" or "si", the units that come first, and the size of the paper.

    Raises
    ------
    ColdcabError
        If typst is not installed.
    """
    template = files("coldcab.job").joinpath("paper.typ").read_text(encoding="utf-8")
    return paper.pdf(template, contents(plan, system), PAPERS[system])


def contents(plan: Plan, system: str = "us") -> dict[str, Any]:
    """All that stands on the paper, in words, for the template; the job's own name stays as it was given."""
    said = _in_order(_contents(plan, system), system)
    return said | {"title": plan.title}


def _in_order(said: Any, system: str) -> Any:
    """Words, or whatever holds words, in the order of units of who reads them."""
    if isinstance(said, str):
        return units.in_order(said, system)
    if isinstance(said, dict):
        return {key: _in_order(one, system) for key, one in said.items()}
    return [_in_order(one, system) for one in said] if isinstance(said, (list, tuple)) else said


def _contents(plan: Plan, system: str) -> dict[str, Any]:
    bands = {(band.speed, band.name): band for band in plan.bands}
    return {
        "title": plan.title,
        "author": plan.job.get("job.company", "") or "coldcab",
        "about": _("Last time, {earlier}").format(earlier=plan.earlier) if plan.earlier else plan.about,
        "refrigerant": refrigerant(plan),
        "warnings": warnings(plan),
        "first": first(plan),
        "cautions": cautions(plan),
        "steps": steps(plan, system),
        "charge": charge(plan, system),
        "speed": FAST,
        "faces": [face(bands[FAST, name], system) for name in ON_CARD[:2] if (FAST, name) in bands],
        "bars": [bar(bands[FAST, name], system) for name in ON_CARD[2:4] if (FAST, name) in bands],
        "rows": rows(plan, system),
        "work": work(plan, system),
        "verdict": plan.as_left.words if plan.as_left and plan.accepted else "",
        "label": [one | {"words": in_one_system(one["words"])} for one in label(plan, system)],
        "label_says": list(labels.sentences(plan.label)) if plan.label else [],
        "hides": hides(plan),
        "finding": finding(plan),
        "sections": [
            {
                "title": section.title,
                "steps": [without_citations(step) for step in section.steps] if section.key in TOLD else [],
                "figures": together(section.figures, system, plan.atmosphere),
            }
            for section in plan.sections
            if section.key in TOLD or section.figures
        ],
        "suspects": suspects(plan),
        "rests": f"{MODEL_NOTE} {LAW_NOTE}",
        "assumptions": list(plan.assumptions),
    }


def together(figures: Iterable[Figure], system: str, atmosphere: float) -> list[dict[str, Any]]:
    """The figures of a section; neighbors that rest on the same stand together, and that is said once."""
    return [
        {
            "said": [(one.label, one.words(system, atmosphere)) for one in neighbors],
            "basis": basis,
        }
        for basis, neighbors in groupby(figures, key=lambda one: one.basis.rstrip("."))
    ]


def refrigerant(plan: Plan) -> str:
    """What will be in the machine in the end."""
    from coldcab.job.model import refrigerant_of

    return refrigerant_of(plan.job)


BURNS = _("THIS GAS BURNS: no spark, and only a unit, hoses and detector made for it")


def cautions(plan: Plan) -> list[str]:
    """What can hurt in the sections of this job, and first of all a gas that burns."""
    name = refrigerant(plan)
    burns = [BURNS] if name in refrigerants.catalogue and labels.is_flammable(name) else []
    return list(dict.fromkeys([*burns, *(one for section in plan.sections for one in CAUTIONS.get(section.key, ()))]))


def warnings(plan: Plan) -> list[str]:
    """What a hand must see first: what does not go together, and work that is not accepted."""
    left = [plan.as_left.words] if plan.as_left and not plan.accepted else []
    return [*plan.contradictions, *left]


def charge(plan: Plan, system: str) -> dict[str, Any] | None:
    """The bar of the charge; None where no amount of this machine is known."""
    section = next((one for one in plan.sections if one.key == "charge"), None)
    amounts = {one.key: one for one in section.figures} if section else {}
    if not {"start", "target", "limit"} <= set(amounts):
        return None
    start, target, limit = (amounts[key] for key in ("start", "target", "limit"))
    words = {key: in_one_system(one.words(system)) for key, one in amounts.items()}
    return {
        "low": 0.6 * start.value,
        "high": limit.value + 0.15 * target.value,
        "stop": start.value,
        "target": target.value,
        "limit": limit.value,
        "stop_name": _("stop and read at"),
        "limit_name": _("never beyond"),
        "stop_words": words["start"],
        "target_words": words["target"],
        "limit_words": words["limit"],
        "alt": _("Charge: stop and read at {start}, target {target}, never beyond {limit}.").format(**words),
    }


def face(band: Band, system: str) -> dict[str, Any]:
    """A gauge's face with the accepted range."""
    name, unit, (low, high), step = (FACES if system == "us" else FACES_SI)[band.name]
    a, b = accepted_in(band, "psi" if unit == "psig" else unit)
    words = f"{a:.0f}–{b:.0f}"
    return {
        "name": name,
        "unit": unit,
        "low": low,
        "high": high,
        "a": min(max(a, low), high),
        "b": min(max(b, low), high),
        "marks": list(range(low, high + 1, step)),
        "words": words,
        "alt": _("{name} gauge: accept {words} {unit}.").format(name=name.capitalize(), words=words, unit=unit),
    }


def bar(band: Band, system: str) -> dict[str, Any]:
    """A scale with the accepted range of a temperature or a difference of temperatures."""
    unit = {"us": "F", "si": "C"}[system] if band.kind == "temperature" else {"us": "F", "si": "K"}[system]
    a, b = accepted_in(band, unit)
    step = 20 if unit == "F" else 10
    low, high = step * int(a // step), step * int(-(-b // step))
    return {
        "name": f"{WORDS.get(band.name, band.words)}, {unit}",
        "low": low,
        "high": high,
        "a": a,
        "b": b,
        "marks": list(range(low, high + 1, step)),
        "alt": _("{name}: accept {a:.0f} to {b:.0f} {unit}.").format(name=band.words, a=a, b=b, unit=unit),
    }


def rows(plan: Plan, system: str) -> list[dict[str, str]]:
    """The readings' table: accepted at both speeds, as found and as left at fast idle."""
    judged = {(one.band.speed, one.band.name): one for one in plan.judged}
    bands = {(band.speed, band.name): band for band in plan.bands}
    found = []
    for name in ON_CARD:
        band = bands.get((FAST, name))
        if band is None:
            continue
        ranges = {
            speed: in_one_system(accepted(bands[speed, name], system)) if (speed, name) in bands else ""
            for speed in ("idle", FAST)
        }
        left = judged.get((FAST, name))
        found.append(
            {
                "words": WORDS.get(name, band.words),
                "idle": ranges["idle"],
                "fast": ranges[FAST],
                "found": in_one_system(reading_as_found(plan, band, system)),
                "left": in_one_system(whole(left.value, band.kind, system)) if left else "",
            }
        )
    return found


def work(plan: Plan, system: str) -> list[list[str]]:
    """The record of the work, two entries a row."""
    planned = []
    for name, key, figure in WORK:
        section = next((one for one in plan.sections if one.key == key), None)
        words = (
            next((one.words(system, plan.atmosphere) for one in section.figures if one.key == figure), "")
            if section
            else ""
        )
        planned.append([name, in_short(words), ""])
    return [[*planned[place], *planned[place + 1]] for place in range(0, len(planned), 2)]


def hides(plan: Plan) -> str:
    """Which common faults the check cannot find."""
    names = plan.as_left.missed if plan.as_left else plan.watch.hidden
    return _("These readings cannot show: {names}.").format(names=", ".join(names)) if names else ""


def finding(plan: Plan) -> dict[str, Any] | None:
    """What the readings as found say, for the sheet."""
    if plan.finding is None:
        return None
    return {
        "verdict": plan.finding.verdict,
        "causes": [
            {"names": " or ".join(one.names), "chance": f"{100 * min(one.chance, 0.99):.0f} %", "test": one.test}
            for one in plan.finding.causes[:4]
            if one.names and one.chance >= SHOWN
        ],
        "next": [f"{one.measurement.words} ({one.minutes:.0f} min)." for one in plan.finding.next],
    }


def suspects(plan: Plan) -> list[dict[str, Any]]:
    """For each reading what to suspect above and below its band, at fast idle."""
    found = []
    for band in plan.bands:
        one = plan.watch.suspects[band.speed, band.name]
        ways = [(_("above: {names}"), one.above), (_("below: {names}"), one.below)]
        said = [way.format(names=", ".join(names[:3])) for way, names in ways if names]
        if band.speed == FAST and said:
            found.append({"reading": f"{band.words}:", "ways": said})
    return found
