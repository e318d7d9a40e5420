"""The plan as a page to print: black on white, large figures, a label to cut out, a record to sign."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from coldcab.job.plan import LAW_NOTE, MODEL_NOTE, Judged, Plan, as_read, band_words, key_figures
from coldcab.job.questions import QUESTIONS
from coldcab.service import label as labels
from coldcab.service.acceptance import ABOVE, BELOW, Band
from coldcab.words import _

if TYPE_CHECKING:
    from jinja2 import Template

OUTSIDE = {
    ABOVE: _("{reading}, {speed}: {value} lies above its band."),
    BELOW: _("{reading}, {speed}: {value} lies below its band."),
}
OUTSIDE_WITH_SUSPECTS = {
    ABOVE: _("{reading}, {speed}: {value} lies above its band; suspect {suspects}."),
    BELOW: _("{reading}, {speed}: {value} lies below its band; suspect {suspects}."),
}
SHOWN = 0.03
"""Causes less likely than this are left out."""

_CITATION = re.compile(r" \((?:law: )?[^()]*\bCFR\b(?:[^()]|\([^()]*\))*\)")


@dataclass(frozen=True)
class BandRow:
    """One reading of the bands' table: its range at each speed ("" where there is none), suspects outside it."""

    words: str
    ranges: tuple[str, ...]
    higher: tuple[str, ...]
    lower: tuple[str, ...]


def without_citations(text: str) -> str:
    """A sentence without its place in the law, for the hand that holds the page; the sources stand at the end."""
    return _CITATION.sub("", text)


def html(plan: Plan, system: str = "us") -> str:
    """The whole plan as one HTML page that works without network.

    Parameters
    ----------
    plan : of `coldcab.job.plan.plan`.
    system : "us" or "si", the units that come first.
    """
    speeds = tuple(dict.fromkeys(band.speed for band in plan.bands))
    judged = {(one.band.speed, one.band.name): one for one in plan.judged}
    return _template().render(
        plan=plan,
        system=system,
        known=_known(plan),
        causes=[] if plan.finding is None else [one for one in plan.finding.causes if one.chance >= SHOWN][:5],
        outside=outside(plan, system),
        key_figures=key_figures(plan, system),
        speeds=speeds,
        band_rows=[_band_row(plan, name, speeds, system) for name in dict.fromkeys(band.name for band in plan.bands)],
        label_lines=labels.lines(plan.label, system=system),
        label_rules=[rule for rule, __ in labels.RULES],
        paper=labels.COLORS.get(plan.label.refrigerant, ""),
        record=[
            (band, _as_found(plan, band, system), _as_left(judged.get((band.speed, band.name)), system))
            for band in plan.bands
        ],
        laws=sorted({one.basis for section in plan.sections for one in section.figures if "CFR" in one.basis}),
        model_note=MODEL_NOTE,
        law_note=LAW_NOTE,
    )


@cache
def _template() -> Template:
    from jinja2 import Environment, StrictUndefined

    room = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    room.filters["without_citations"] = without_citations
    return room.from_string(files("coldcab.job").joinpath("page.html.j2").read_text(encoding="utf-8"))


def _known(plan: Plan) -> str:
    return "; ".join(
        f"{QUESTIONS[key].name.replace('_', ' ')} {text}"
        for key, text in plan.job.texts.items()
        if not key.startswith(("job.", "found.", "as_left.", "prices."))
    )


def outside(plan: Plan, system: str = "us") -> tuple[str, ...]:
    """As-left readings that lie outside their bands, a sentence each, with what to suspect."""
    found = []
    for one in plan.judged:
        if one.place in OUTSIDE:
            sentences = OUTSIDE_WITH_SUSPECTS if one.suspects else OUTSIDE
            words = one.band.words
            found.append(
                sentences[one.place].format(
                    reading=words[:1].upper() + words[1:],
                    speed=one.band.speed,
                    value=band_words(one.value, one.band.kind, system),
                    suspects=", ".join(one.suspects[:3]),
                )
            )
    return tuple(found)


def _band_row(plan: Plan, name: str, speeds: tuple[str, ...], system: str) -> BandRow:
    bands = {band.speed: band for band in plan.bands if band.name == name}
    suspects = [plan.watch.suspects[speed, name] for speed in bands]
    return BandRow(
        next(iter(bands.values())).words,
        tuple(range_words(bands[speed].low, bands[speed].high, bands[speed].kind, system) if speed in bands else ""
              for speed in speeds),
        tuple(dict.fromkeys(fault for one in suspects for fault in one.above))[:3],
        tuple(dict.fromkeys(fault for one in suspects for fault in one.below))[:3],
    )  # fmt: skip


def range_words(low: float, high: float, kind: str, system: str) -> str:
    """From where to where a band goes, in words."""
    return f"{band_words(low, kind, system)} to {band_words(high, kind, system)}"


def _as_found(plan: Plan, band: Band, system: str) -> str:
    """The record's cell for a reading before the work; empty where it was not taken."""
    value = as_read(plan.job, band.speed, "found").get(band.name)
    return "" if value is None else band_words(value, band.kind, system)


def _as_left(judged: Judged | None, system: str) -> str:
    """The record's cell for one reading; empty where it was not taken."""
    if judged is None:
        return ""
    template = _("{value}: {place}; suspect {suspects}") if judged.suspects else "{value}: {place}"
    value = band_words(judged.value, judged.band.kind, system)
    return template.format(value=value, place=judged.place, suspects=", ".join(judged.suspects))
