"""The plan as a page to print: black on white, large figures, a label to cut out, a record to sign."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import TYPE_CHECKING

from coldcab import units
from coldcab.job.order import accepted, first, label, steps, whole, without_citations
from coldcab.job.plan import LAW_NOTE, MODEL_NOTE, Judged, Plan, as_read, key_figures
from coldcab.job.questions import QUESTIONS
from coldcab.service import label as labels
from coldcab.service.acceptance import Band

if TYPE_CHECKING:
    from jinja2 import Template

SHOWN = 0.03
"""Causes less likely than this are left out."""


@dataclass(frozen=True)
class BandRow:
    """One reading of the bands' table: its range at each speed ("" where there is none), suspects outside it."""

    words: str
    ranges: tuple[str, ...]
    higher: tuple[str, ...]
    lower: tuple[str, ...]


def html(plan: Plan, system: str = "us", *, live: bool = True) -> str:
    """The whole plan as one HTML page that works without network.

    Parameters
    ----------
    plan : of `coldcab.job.plan.plan`.
    system : "us" or "si", the units that come first.
    live : whether it carries the program that keeps ticks and readings; a frame in a notebook runs none.
    """
    from markupsafe import Markup, escape

    speeds = tuple(dict.fromkeys(band.speed for band in plan.bands))
    judged = {(one.band.speed, one.band.name): one for one in plan.judged}
    return _template(
        system
    ).render(
        plan=plan,
        title=escape(plan.title),  # the job's own name stays as it was given
        system=system,
        known=_known(plan),
        causes=[] if plan.finding is None else [one for one in plan.finding.causes if one.chance >= SHOWN][:5],
        key_figures=key_figures(plan, system),
        first=first(plan),
        steps=steps(plan, system),
        script=Markup(_script() if live else ""),
        script_digest=b64encode(sha256(_script().encode()).digest()).decode(),
        speeds=speeds,
        band_rows=[_band_row(plan, name, speeds, system) for name in dict.fromkeys(band.name for band in plan.bands)],
        label=label(plan, system),
        label_says=labels.sentences(plan.label) if plan.label else (),
        label_rules=[rule for rule, __ in labels.RULES],
        paper=labels.COLORS.get(plan.label.refrigerant, "") if plan.label else "",
        record=[
            (
                band,
                accepted(band, system),
                reading_as_found(plan, band, system),
                _as_left(judged.get((band.speed, band.name)), system),
            )
            for band in plan.bands
        ],
        laws=sorted({one.basis for section in plan.sections for one in section.figures if "CFR" in one.basis}),
        model_note=MODEL_NOTE,
        law_note=LAW_NOTE,
    )


@cache
def _script() -> str:
    return files("coldcab.job").joinpath("page.js").read_text(encoding="utf-8")


@cache
def _template(system: str) -> Template:
    from jinja2 import Environment, StrictUndefined

    def in_order(said: object) -> object:
        return units.in_order(said, system) if type(said) is str else said

    room = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True, finalize=in_order
    )
    room.filters["without_citations"] = without_citations
    return room.from_string(files("coldcab.job").joinpath("page.html.j2").read_text(encoding="utf-8"))


def _known(plan: Plan) -> str:
    return "; ".join(
        f"{QUESTIONS[key].name.replace('_', ' ')} {text}"
        for key, text in plan.job.texts.items()
        if not key.startswith(("job.", "found.", "as_left.", "prices."))
    )


def _band_row(plan: Plan, name: str, speeds: tuple[str, ...], system: str) -> BandRow:
    bands = {band.speed: band for band in plan.bands if band.name == name}
    suspects = [plan.watch.suspects[speed, name] for speed in bands]
    return BandRow(
        next(iter(bands.values())).words,
        tuple(accepted(bands[speed], system) if speed in bands else "" for speed in speeds),
        tuple(dict.fromkeys(fault for one in suspects for fault in one.above))[:3],
        tuple(dict.fromkeys(fault for one in suspects for fault in one.below))[:3],
    )  # fmt: skip


def reading_as_found(plan: Plan, band: Band, system: str) -> str:
    """The record's cell for a reading before the work; empty where it was not taken."""
    value = as_read(plan.job, band.speed, "found").get(band.name)
    return "" if value is None else whole(value, band.kind, system)


def _as_left(judged: Judged | None, system: str) -> str:
    """The record's cell for one reading; empty where it was not taken."""
    if judged is None:
        return ""
    value = whole(judged.value, judged.band.kind, system)
    return f"{value}: {judged.place}"
