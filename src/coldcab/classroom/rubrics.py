"""The rubric of a sheet and its model answer as HTML, to stand beside a written answer in formgrader."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from pathlib import Path

NONE = "<p>No rubric for this sheet; put one into the folder rubrics of the class.</p>"


@dataclass(frozen=True)
class Rubrics:
    """The rubrics of a class; called with the name of a sheet, as a filter of nbconvert's templates is."""

    folder: str

    def __call__(self, name: str) -> str:
        """Return the rubric and the model answer of a sheet as HTML; a class without a rubric gets a sentence."""
        from nbconvert.filters.markdown import markdown2html

        from coldcab.classroom.settings import NAME
        from coldcab.classroom.steps import TAGS, SanitizeHTML

        file = Path(self.folder) / "rubrics" / f"{name}.md"
        if not NAME.fullmatch(str(name)) or not file.is_file():
            return NONE
        text = file.read_text(encoding="utf-8")
        for answer in model_answers(Path(self.folder) / "source" / name / f"{name}.ipynb"):
            text += f"\n\n## Model answer\n\n{answer}\n"
        html = markdown2html(text)
        return SanitizeHTML(tags=[*TAGS, "h1", "h2", "h3"], strip=True).sanitize_html_tags(html)


_SOLUTION = re.compile(r"### BEGIN SOLUTION\s*(.+?)\s*### END SOLUTION", re.DOTALL)


def model_answers(source: Path) -> list[str]:
    """Return the model answers to the written questions of a sheet; a source that cannot be read has none."""
    try:
        cells = json.loads(source.read_text(encoding="utf-8"))["cells"]
        texts = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown"]
    except (OSError, ValueError, KeyError, TypeError):
        return []
    return [found for text in texts for found in _SOLUTION.findall(text)]
