"""The plan on paper, set by typst: a bay card on one side, and a sheet with reasons behind it."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from coldcab.job.order import first, in_one_system, in_short, range_words, steps, without_citations
from coldcab.job.page import reading_as_found
from coldcab.job.plan import LAW_NOTE, MODEL_NOTE, Plan, band_words
from coldcab.quantities import ColdcabError
from coldcab.service import label as labels
from coldcab.service.acceptance import Band
from coldcab.words import _

PAPERS = {"us": "us-letter", "si": "a4"}
ON_CARD = ("low_gauge", "high_gauge", "vent", "superheat_measured", "subcooling_measured", "discharge_line")
"""Readings of the card's table; the page has all."""

FAST = "fast idle"
FACES = {"low_gauge": (_("LOW"), "psig", (0, 150), 30), "high_gauge": (_("HIGH"), "psig", (0, 500), 100)}
FACES_SI = {"low_gauge": (_("LOW"), "kPa", (0, 1000), 200), "high_gauge": (_("HIGH"), "kPa", (0, 3500), 500)}
"""Name, unit, ends and steps of the gauges' faces."""

NO_TYPST = _("The paper needs typst, which is not installed here: open the page in a browser and print it from there.")

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
    try:
        import typst
    except ImportError:
        raise ColdcabError(NO_TYPST) from None
    source = files("coldcab.job").joinpath("paper.typ").read_bytes()
    return bytes(
        typst.compile(
            source,
            font_paths=typefaces(),
            ignore_system_fonts=True,
            sys_inputs={"plan": json.dumps(contents(plan, system))},
            pdf_standards="ua-1",
        )
    )


@cache
def typefaces() -> list[str]:
    """Folders with the typeface of the drawings; matplotlib carries it, and need not be loaded for that."""
    found = find_spec("matplotlib")
    if found is None or found.origin is None:
        return []
    return [str(Path(found.origin).parent / "mpl-data" / "fonts" / "ttf")]


def contents(plan: Plan, system: str = "us") -> dict[str, Any]:
    """All that stands on the paper, in words, for the template."""
    bands = {(band.speed, band.name): band for band in plan.bands}
    return {
        "title": plan.title,
        "author": plan.job.get("job.company", "") or "coldcab",
        "paper": PAPERS[system],
        "about": _("Last time, {earlier}").format(earlier=plan.earlier) if plan.earlier else plan.about,
        "refrigerant": refrigerant(plan),
        "warnings": warnings(plan),
        "first": first(plan),
        "cautions": list(dict.fromkeys(one for section in plan.sections for one in CAUTIONS.get(section.key, ()))),
        "steps": steps(plan, system),
        "charge": charge(plan, system),
        "speed": FAST,
        "faces": [face(bands[FAST, name], system) for name in ON_CARD[:2] if (FAST, name) in bands],
        "bars": [bar(bands[FAST, name], system) for name in ON_CARD[2:4] if (FAST, name) in bands],
        "rows": rows(plan, system),
        "work": work(plan, system),
        "verdict": plan.as_left.words if plan.as_left else "",
        "label": list(labels.lines(plan.label, system=system)) if plan.label else [],
        "hides": hides(plan),
        "finding": finding(plan),
        "sections": [
            {
                "title": section.title,
                "steps": [without_citations(step) for step in section.steps] if section.key in TOLD else [],
                "figures": [
                    {"label": one.label, "words": one.words(system, plan.atmosphere), "basis": one.basis.rstrip(".")}
                    for one in section.figures
                ],
            }
            for section in plan.sections
            if section.key in TOLD or section.figures
        ],
        "suspects": suspects(plan),
        "rests": f"{MODEL_NOTE} {LAW_NOTE}",
        "assumptions": list(plan.assumptions),
    }


def refrigerant(plan: Plan) -> str:
    """What will be in the machine in the end."""
    from coldcab.job.model import refrigerant_of

    return refrigerant_of(plan.job)


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
        "stop_words": words["start"],
        "target_words": words["target"],
        "limit_words": words["limit"],
        "alt": _("Charge: stop and read at {start}, target {target}, never beyond {limit}.").format(**words),
    }


def face(band: Band, system: str) -> dict[str, Any]:
    """A gauge's face with the accepted range."""
    from coldcab import units

    name, unit, (low, high), step = (FACES if system == "us" else FACES_SI)[band.name]
    a, b = (float(units.convert(one, "pressure difference", "psi" if unit == "psig" else unit))
            for one in (band.low, band.high))  # fmt: skip
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
    from coldcab import units

    unit = {"us": "F", "si": "C"}[system] if band.kind == "temperature" else {"us": "F", "si": "K"}[system]
    a, b = (float(units.convert(one, band.kind, unit)) for one in (band.low, band.high))
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
            speed: _short_range(bands[speed, name], system) if (speed, name) in bands else ""
            for speed in ("idle", FAST)
        }
        left = judged.get((FAST, name))
        found.append(
            {
                "words": WORDS.get(name, band.words),
                "idle": ranges["idle"],
                "fast": ranges[FAST],
                "found": in_one_system(reading_as_found(plan, band, system)),
                "left": in_one_system(band_words(left.value, band.kind, system)) if left else "",
            }
        )
    return found


def _short_range(band: Band, system: str) -> str:
    return in_short(range_words(band.low, band.high, band.kind, system))


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
            if one.names
        ],
        "next": [f"{one.measurement.words} ({one.minutes:.0f} min)." for one in plan.finding.next],
    }


def suspects(plan: Plan) -> list[str]:
    """For each reading what to suspect above and below its band, at fast idle."""
    found = []
    for band in plan.bands:
        one = plan.watch.suspects[band.speed, band.name]
        if band.speed == FAST and (one.above or one.below):
            ways = [
                f"{way}: {', '.join(names[:3])}" for way, names in (("above", one.above), ("below", one.below)) if names
            ]
            found.append(f"{band.words}, {range_words(band.low, band.high, band.kind, 'us')}; {'; '.join(ways)}.")
    return found
