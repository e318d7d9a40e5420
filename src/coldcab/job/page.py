"""The plan as a page to print: black on white, large figures, a label to cut out, a record to sign."""

from __future__ import annotations

import re
from html import escape

from coldcab.job.figures import Section
from coldcab.job.plan import LAW_NOTE, MODEL_NOTE, Plan, band_words, summary
from coldcab.job.questions import QUESTIONS
from coldcab.service import label as labels

STYLE = """
body{font:11pt/1.35 "DejaVu Sans",Arial,sans-serif;color:#000;background:#fff;margin:0 auto;max-width:52em;padding:12px}
h1{font-size:18pt;margin:0 0 2pt}
h2{font-size:12.5pt;margin:10pt 0 3pt;border-bottom:2px solid #000}
p{margin:3pt 0}
ul{margin:3pt 0;padding-left:1.2em}
li{margin:1pt 0}
table{border-collapse:collapse;width:100%;margin:3pt 0}
td,th{border:1px solid #000;padding:2pt 5pt;text-align:left;vertical-align:top}
td.value{font-weight:bold;font-size:12.5pt;white-space:nowrap}
td.basis{font-size:8.5pt}
.warning{border:3px solid #000;padding:4pt 8pt;margin:6pt 0}
.caution{font-weight:bold}
.caution:before{content:"\\26A0  "}
.label{border:2px dashed #000;padding:8pt 12pt;margin:8pt 0;font-size:12pt}
.label p{margin:4pt 0}
.blank{display:inline-block;border-bottom:1px solid #000;min-width:9em}
.small{font-size:8.5pt}
section{break-inside:avoid}
@media (max-width:600px){body{padding:8px}td.value{white-space:normal}td.basis{display:none}}
@media print{
body{font-size:8.6pt;max-width:none;padding:0;columns:2;column-gap:14pt}
h1{font-size:14pt}
h2{font-size:10pt}
td.value{font-size:9.5pt;white-space:normal}
td.basis,.small{font-size:6.6pt}
.label{font-size:9.5pt}
@page{margin:10mm}
}
"""

_CITATION = re.compile(r" \((?:law: )?[^()]*\bCFR\b(?:[^()]|\([^()]*\))*\)")


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
    body = [f"<h1>{escape(plan.title)}</h1>", _facts(plan)]
    if plan.contradictions:
        found = "".join(f"<p>{escape(one)}</p>" for one in plan.contradictions)
        body.append(f'<div class="warning"><p><strong>Look at this again first</strong></p>{found}</div>')
    body += [_outside(plan, system), _at_a_glance(plan, system)]
    body += [_section(section, plan, system) for section in plan.sections]
    body += [_bands(plan, system), _label(plan, system), _record(plan, system), _notes(plan)]
    title = escape(plan.title)
    return (
        f'<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
        f'<meta name="viewport" content="width=device-width, initial-scale=1"><style>{STYLE}</style></head>'
        f"<body>{''.join(body)}</body></html>"
    )


def _facts(plan: Plan) -> str:
    known = "; ".join(
        f"{QUESTIONS[key].name.replace('_', ' ')} {text}"
        for key, text in plan.job.texts.items()
        if not key.startswith(("job.", "as_left.", "prices."))
    )
    said = f"<strong>Known:</strong> {escape(known or 'nothing')}."
    return f'<p class="small">{said}</p><p class="small">{escape(plan.about)}</p>'


def outside(plan: Plan, system: str = "us") -> tuple[str, ...]:
    """As-left readings that lie outside their bands, each with what to suspect."""
    said = []
    for one in plan.judged:
        if one.place in ("above", "below"):
            value = band_words(one.value, one.band.kind, system)
            hint = f"; suspect {', '.join(one.suspects[:3])}" if one.suspects else ""
            said.append(f"{one.band.words}, {one.band.speed}: {value} lies {one.place} its band{hint}.")
    return tuple(said)


def _outside(plan: Plan, system: str) -> str:
    rows = "".join(f"<p>{escape(one[:1].upper() + one[1:])}</p>" for one in outside(plan, system))
    return f'<div class="warning"><p><strong>As left, not accepted yet</strong></p>{rows}</div>' if rows else ""


def _at_a_glance(plan: Plan, system: str) -> str:
    rows = "; ".join(
        f"{escape(label[:1].lower() + label[1:])} <strong>{escape(words)}</strong>"
        for label, words in summary(plan, system).items()
    )
    return f"<p>At a glance: {rows}.</p>" if rows else ""


def _section(section: Section, plan: Plan, system: str) -> str:
    said = "".join(f"<li>{escape(without_citations(step))}</li>" for step in section.steps)
    rows = "".join(
        f'<tr><th scope="row">{escape(one.label)}</th>'
        f'<td class="value">{escape(one.shown(system, plan.atmosphere))}</td>'
        f'<td class="basis">{escape(one.basis)}</td></tr>'
        for one in section.figures
    )
    table = f"<table>{rows}</table>" if rows else ""
    cautions = "".join(f'<p class="caution">{escape(one)}</p>' for one in section.cautions)
    return f"<section><h2>{escape(section.title)}</h2>{cautions}<ul>{said}</ul>{table}</section>"


def _bands(plan: Plan, system: str) -> str:
    speeds = tuple(dict.fromkeys(band.speed for band in plan.bands))
    rows = []
    for name in dict.fromkeys(band.name for band in plan.bands):
        mine = {band.speed: band for band in plan.bands if band.name == name}
        first = next(iter(mine.values()))
        cells = "".join(
            f'<td class="value">{escape(_range(mine[speed], system))}</td>' if speed in mine else "<td></td>"
            for speed in speeds
        )
        suspects = [plan.watch.suspects[band.speed, band.name] for band in mine.values()]
        high = tuple(dict.fromkeys(fault for one in suspects for fault in one.above))[:3]
        low = tuple(dict.fromkeys(fault for one in suspects for fault in one.below))[:3]
        hints = "; ".join(f"{way}: {', '.join(found)}" for way, found in (("higher", high), ("lower", low)) if found)
        rows.append(f'<tr><th scope="row">{escape(first.words)}</th>{cells}<td class="basis">{escape(hints)}</td></tr>')
    head = "".join(f'<th scope="col">{escape(speed)}</th>' for speed in speeds)
    hidden = plan.watch.hidden
    hides = (
        f"<p><strong>Can hide from this check:</strong> {escape(', '.join(hidden))}.</p>"
        if hidden
        else "<p>None of the ten commonest faults, when severe, stayed within all bands when it was tried.</p>"
    )
    return (
        "<section><h2>Expected readings, doors open, blower on full</h2>"
        f'<table><tr><th scope="col">reading</th>{head}<th scope="col">outside: suspect first</th></tr>'
        f"{''.join(rows)}</table>"
        f"{hides}</section>"
    )


def _range(band, system: str) -> str:
    low, high = band_words(band.low, band.kind, system), band_words(band.high, band.kind, system)
    return f"{low} to {high}"


def _label(plan: Plan, system: str) -> str:
    lines = "".join(f"<p>{escape(line)}</p>" for line in labels.lines(plan.label, system=system))
    color = labels.COLORS.get(plan.label.refrigerant, "")
    paper = (
        f"Print on {color} paper: the color belongs to the refrigerant (a regulator's fact sheet, from memory). "
        if color
        else ""
    )
    rules = "; ".join(rule for rule, _ in labels.RULES)
    return (
        f'<section><h2>Label to cut out</h2><div class="label">{lines}</div>'
        f'<p class="small">{escape(paper)}It must be: {escape(rules)}.</p></section>'
    )


def _record(plan: Plan, system: str) -> str:
    rows = []
    judged = {(one.band.speed, one.band.name): one for one in plan.judged}
    for band in plan.bands:
        one = judged.get((band.speed, band.name))
        left = "" if one is None else f"{band_words(one.value, band.kind, system)}: {one.place}"
        hint = f"; suspect {', '.join(one.suspects)}" if one and one.suspects else ""
        head = f"{band.words}, {band.speed}"
        rows.append(f'<tr><th scope="row">{escape(head)}</th><td></td><td>{escape(left + hint)}</td></tr>')
    verdict = ""
    if plan.accepted is not None:
        said = (
            "All readings lie within their bands."
            if plan.accepted
            else "Not accepted: a reading lies outside its band."
        )
        verdict = f"<p><strong>{said}</strong></p>"
    amounts = "".join(
        f'<tr><th scope="row">{what}</th><td></td><td></td></tr>'
        for what in ("refrigerant recovered", "refrigerant charged", "oil drained", "oil added", "vacuum reached, rise",
                     "nitrogen test, start and end", "parts replaced", "hours")
    )  # fmt: skip
    return (
        f'<section><h2>Record</h2>{verdict}<table><tr><th scope="col">reading</th><th scope="col">as found</th>'
        f'<th scope="col">as left</th></tr>{"".join(rows)}</table>'
        '<table><tr><th scope="col">work</th><th scope="col">planned</th><th scope="col">done</th></tr>'
        f"{amounts}</table>"
        '<p>Date <span class="blank"></span> Name and signature <span class="blank"></span></p>'
        "</section>"
    )


def _notes(plan: Plan) -> str:
    sources = sorted({one.basis for section in plan.sections for one in section.figures if "CFR" in one.basis})
    assumed = "".join(f"<li>{escape(one)}</li>" for one in plan.assumptions)
    return (
        f'<section><h2>What this rests on</h2><p class="small">{escape(MODEL_NOTE)} {escape(LAW_NOTE)}</p>'
        + (f'<ul class="small">{assumed}</ul>' if assumed else "")
        + (f'<p class="small">Law: {escape("; ".join(sources))}.</p>' if sources else "")
        + "</section>"
    )
