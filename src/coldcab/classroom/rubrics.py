"""The rubric of a sheet and its model answer as HTML, to stand beside a written answer in formgrader."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from coldcab.classroom import material
from coldcab.classroom.settings import read_settings
from coldcab.course.order import text_in_order

NONE = "<p>No rubric for this sheet; put one into the folder rubrics of the class.</p>"


@dataclass(frozen=True)
class Rubrics:
    """The rubrics of a class; called with the name of a sheet, as a filter of nbconvert's templates is."""

    folder: str

    def __call__(self, name: str) -> str:
        """Return the rubric and the model answer of a sheet as HTML; a class without a rubric gets a sentence."""
        from nbconvert.filters.markdown import markdown2html

        from coldcab.classroom.marked_notebook import TAGS, SanitizeHTML

        text = material.rubric(Path(self.folder), str(name))
        if not text:
            return NONE
        html = markdown2html(text_in_order(text, read_settings(Path(self.folder)).units))
        return SanitizeHTML(tags=[*TAGS, "h1", "h2", "h3"], strip=True).sanitize_html_tags(html)
