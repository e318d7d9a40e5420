"""The plan as a PDF of one or two letter pages, drawn by matplotlib: black, legible, no browser needed."""

from __future__ import annotations

import textwrap
from io import BytesIO
from typing import Any

from coldcab.job.page import outside, range_words, without_citations
from coldcab.job.plan import LAW_NOTE, MODEL_NOTE, Plan, band_words, key_figures
from coldcab.service import label as labels
from coldcab.words import _

PAGE = (8.5, 11.0)  # inch
MARGIN, GUTTER = 0.45, 0.25  # inch
COLUMNS = 2
BODY, SMALL, HEAD, TITLE = 7.2, 6.0, 9.0, 14.0  # point
LEADING = 1.22
LETTER = 0.53
"""Mean width of a letter of the page's typeface, as a share of its size."""


class _Paper:
    """Lines of text from the top of a column to its bottom, then the next column, then the next page."""

    def __init__(self, book: Any) -> None:
        self.book, self.figure, self.pages = book, None, 0
        self.width = (PAGE[0] - 2 * MARGIN - (COLUMNS - 1) * GUTTER) / COLUMNS
        self.turn()

    def turn(self) -> None:
        """Begin a new page."""
        from matplotlib.figure import Figure

        self.close()
        self.figure, self.column, self.y = Figure(figsize=PAGE), 0, PAGE[1] - MARGIN
        self.pages += 1

    def close(self) -> None:
        """Put the page into the book."""
        if self.figure is not None:
            self.book.savefig(self.figure)
            self.figure = None

    @property
    def x(self) -> float:
        """Left edge of the column, inch."""
        return MARGIN + self.column * (self.width + GUTTER)

    def room(self, height: float) -> None:
        """Go to the next column where less than this height (inch) is left."""
        if self.y - height < MARGIN:
            self.column, self.y = self.column + 1, PAGE[1] - MARGIN
            if self.column == COLUMNS:
                self.turn()

    def write(self, text: str, size: float = BODY, *, bold: bool = False, indent: float = 0.0) -> None:
        """Write a paragraph, wrapped to the column."""
        share = LETTER * (1.08 if bold else 1.0)
        letters = max(int((self.width - indent) * 72 / (share * size)), 12)
        for line in textwrap.wrap(text, letters) or [""]:
            step = size * LEADING / 72
            self.room(step)
            self.y -= step
            self.figure.text(
                (self.x + indent) / PAGE[0], self.y / PAGE[1], line, fontsize=size, parse_math=False,
                fontweight="bold" if bold else "normal", family="DejaVu Sans",
            )  # fmt: skip

    def rule(self, *, dashed: bool = False, weight: float = 1.0) -> None:
        """Draw a line across the column."""
        from matplotlib.lines import Line2D

        self.y -= 0.035
        xs = [self.x / PAGE[0], (self.x + self.width) / PAGE[0]]
        style = "--" if dashed else "-"
        self.figure.add_artist(Line2D(xs, [self.y / PAGE[1]] * 2, color="black", lw=weight, ls=style))

    def head(self, text: str) -> None:
        """Write a section's title, never at the foot of a column."""
        self.room(0.6)
        self.y -= 0.07
        self.write(text, HEAD, bold=True)
        self.rule(weight=1.2)


def pdf(plan: Plan, system: str = "us") -> bytes:
    """The plan as the bytes of a PDF file.

    Parameters
    ----------
    plan : of `coldcab.job.plan.plan`.
    system : "us" or "si", the units that come first.
    """
    from matplotlib.backends.backend_pdf import PdfPages

    held = BytesIO()
    with PdfPages(held, metadata={"Title": plan.title, "CreationDate": None}) as book:
        paper = _Paper(book)
        _fill(paper, plan, system)
        paper.close()
    return held.getvalue()


def _fill(paper: _Paper, plan: Plan, system: str) -> None:
    paper.write(plan.title, TITLE, bold=True)
    paper.write(plan.about, SMALL)
    if plan.contradictions:
        paper.head(_("Look at this again first"))
        for said in plan.contradictions:
            paper.write(f"! {said}", bold=True)
    if beyond := outside(plan, system):
        paper.head(_("As left, not accepted yet"))
        for said in beyond:
            paper.write(f"! {said}", bold=True)
    if glance := key_figures(plan, system):
        paper.head("At a glance")
        for label, words in glance.items():
            paper.write(f"{label}: {words}", BODY, bold=True)
    for section in plan.sections:
        paper.head(section.title)
        for caution in section.cautions:
            paper.write(f"! {caution}", SMALL, bold=True)
        for step in section.steps:
            paper.write(f"- {without_citations(step)}")
        for one in section.figures:
            paper.write(f"{one.label}: {one.words(system, plan.atmosphere)}", BODY + 0.6, bold=True, indent=0.1)
            paper.write(one.basis, SMALL - 1.0, indent=0.2)
    _bands(paper, plan, system)
    paper.head(_("Label to cut out"))
    paper.rule(dashed=True)
    for line in labels.lines(plan.label, system=system):
        paper.write(line, BODY + 1.4, bold=True, indent=0.1)
    paper.rule(dashed=True)
    paper.head("Record")
    for said in (
        "recovered",
        "charged",
        _("oil drained and added"),
        _("nitrogen test, start and end"),
        "vacuum and rise",
    ):
        paper.write(f"{said}: ______________________________")
    paper.write(_("date ______________  name and signature ______________________"))
    paper.head(_("What this rests on"))
    paper.write(f"{MODEL_NOTE} {LAW_NOTE}", SMALL)
    for said in plan.assumptions:
        paper.write(f"- {said}", SMALL)


def _bands(paper: _Paper, plan: Plan, system: str) -> None:
    paper.head(_("Expected readings, doors open, blower on full"))
    judged = {(one.band.speed, one.band.name): one for one in plan.judged}
    for band in plan.bands:
        reach = range_words(band.low, band.high, band.kind, system)
        paper.write(f"{band.speed}, {band.words}: {reach}", bold=True)
        one = judged.get((band.speed, band.name))
        left = f"{band_words(one.value, band.kind, system)}, {one.place}" if one else "__________"
        paper.write(_("as found __________   as left {left}").format(left=left), SMALL, indent=0.15)
        suspects = plan.watch.suspects[band.speed, band.name]
        for way, found in (("higher", suspects.above[:3]), ("lower", suspects.below[:3])):
            if found:
                paper.write(f"{way}: suspect {', '.join(found)}", SMALL - 0.5, indent=0.15)
    if plan.watch.hidden:
        paper.write(_("Can hide from this check: {hidden}.").format(hidden=", ".join(plan.watch.hidden)), bold=True)
