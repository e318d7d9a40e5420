"""Feedback pages: one HTML page a learner, which loads nothing and runs nothing."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from coldcab.classroom.gradebook import Entry
from coldcab.classroom.page_notes import Notes
from coldcab.course.order import text_in_order

TEMPLATES = Path(__file__).parent / "templates"


@dataclass(frozen=True)
class PageJob:
    """What a page is made of: the marked notebook, what the gradebook says, and what stands beside."""

    name: str
    learner: str
    marked: str
    entry: Entry
    notes: Notes = field(default_factory=Notes)

    @property
    def state(self) -> str:
        """Return the fingerprint of all that decides how the page looks."""
        entry = self.entry
        parts = json.dumps(
            [
                self.name,
                self.learner,
                sorted(
                    (name, each.score, each.out_of, each.waits, each.changed) for name, each in entry.points.items()
                ),
                sorted((name, words or "") for name, words in entry.comments.items()),
                entry.penalty,
                self.notes.state,
            ]
        )
        return hashlib.sha256("\n".join((parts, self.marked, _template_text())).encode()).hexdigest()


def pages(jobs: Iterable[PageJob]) -> list[str]:
    """Return the HTML of some feedback pages; the work of a worker."""
    return [_page(job) for job in jobs]


def _page(job: PageJob) -> str:
    import nbformat

    book = nbformat.v4.reads_json(job.marked)
    where: dict[str, Any] = {"student": job.learner, "assignment": job.name, "notebook": job.name}
    put_points(book, where, job.entry, job.notes)
    return _template().render(nb=book, resources={"nbgrader": where})


@lru_cache(maxsize=1)
def _template() -> Any:
    """Return the template as nbconvert sets it up, without the passes over the finished page that it has no use for."""
    import nbgrader
    from nbconvert.exporters import HTMLExporter

    class QuickExporter(HTMLExporter):
        """The form's words are the same on every page: they are turned into HTML once."""

        def default_filters(self) -> Any:
            yield from super().default_filters()
            yield "markdown2html", markdown

    stock = Path(nbgrader.__file__).parent / "server_extensions" / "formgrader" / "templates"
    return QuickExporter(template_name="feedback", extra_template_basedirs=[str(TEMPLATES), str(stock)]).template


@lru_cache(maxsize=512)
def markdown(text: str) -> str:
    """Return the HTML of Markdown as nbconvert makes it."""
    return _stock_markdown()({}, text)


@lru_cache(maxsize=1)
def _stock_markdown() -> Any:
    from nbconvert.exporters import HTMLExporter

    return HTMLExporter().markdown2html


@lru_cache(maxsize=1)
def _template_text() -> str:
    return (TEMPLATES / "feedback" / "index.html.j2").read_text(encoding="utf-8")


def put_points(book: Any, where: dict[str, Any], entry: Entry, notes: Notes) -> None:
    """Write points and comments of the gradebook, and the notes, where the template of a feedback page finds them.

    The form's own words are put in the order of units of the class; what somebody wrote stays.
    """
    from nbgrader import utils

    for cell in book.cells:
        about = cell.metadata.get("nbgrader", {})
        name = about.get("grade_id")
        if utils.is_grade(cell):
            points = entry.points[name]
            about |= {"score": points.score, "points": points.out_of, "waits": points.waits, "changed": points.changed}
        if utils.is_solution(cell):
            about["comment"] = entry.comments.get(name)
        elif cell.cell_type == "markdown":
            cell.source = text_in_order(cell.source, notes.units)
    where |= {
        "notes": notes,
        "waits": entry.waits,
        "late_penalty": entry.penalty,
        "score": entry.score,
        "max_score": entry.out_of,
    }
