"""The rubric of a sheet as HTML, to stand beside a written answer in formgrader."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

NONE = "<p>No rubric for this sheet; put one into the folder rubrics of the class.</p>"


@dataclass(frozen=True)
class Rubrics:
    """The rubrics of a class; called with the name of a sheet, as a filter of nbconvert's templates is."""

    folder: str

    def __call__(self, name: str) -> str:
        """Return the rubric of a sheet as HTML; a class without one gets a sentence."""
        from nbconvert.filters.markdown import markdown2html

        from coldcab.classroom.settings import NAME
        from coldcab.classroom.steps import TAGS, SanitizeHTML

        file = Path(self.folder) / "rubrics" / f"{name}.md"
        if not NAME.fullmatch(str(name)) or not file.is_file():
            return NONE
        html = markdown2html(file.read_text(encoding="utf-8"))
        return SanitizeHTML(tags=[*TAGS, "h1", "h2", "h3"], strip=True).sanitize_html_tags(html)
