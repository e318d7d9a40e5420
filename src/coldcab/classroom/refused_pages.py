"""The page for a learner whose file could not be marked: what was wrong, what to do, how to hand in again."""

from __future__ import annotations

import re
from typing import Any

from coldcab.classroom import intake
from coldcab.classroom.page_notes import for_the_learner
from coldcab.classroom.pages import TEMPLATES

_ADVICE: tuple[tuple[str, str], ...] = (
    (r"this is the sheet", "You handed in another sheet. Open {name}.ipynb and hand in that file."),
    (
        r"not a notebook, or it is cut off|not a notebook; ask",
        "Hand in the notebook itself, the file {name}.ipynb. In JupyterLab press Ctrl+S, then right-click the file "
        "in the list at the left and choose Download.",
    ),
    (
        r"UTF-8|but not a notebook|nested too deeply",
        "Hand in the file {name}.ipynb as JupyterLab saves it; no print, no copy from another program.",
    ),
    (
        r"no answer cell|is missing",
        "Cells of the form are gone. Take a blank form, copy your answers into it and save.",
    ),
    (
        r"times with different answers",
        "A cell is there twice, with different answers. Delete the copy that does not count and save.",
    ),
    (r"characters; [\d,]+ are the most", "A cell holds far more words than an answer needs. Shorten it and save."),
    (
        r"\bMB\b|unfolds|seconds",
        "The file holds far more than a sheet does. In JupyterLab choose Kernel, Restart Kernel and Clear Outputs of "
        "All Cells, save, and hand in that one file.",
    ),
    (r"password|packed in a way|the zip", "Hand in the notebook itself, the file {name}.ipynb, and no zip."),
    (
        r"is empty|damaged|link to another place",
        "The file did not arrive as a whole. Save the sheet and hand in {name}.ipynb again.",
    ),
    (r"notebooks; keep", "Several files came. Hand in the one that counts."),
)

_NOT_THEIRS = re.compile(r"stumbles over|tell the developers|in the inbox|grade again|nothing can be written")
"""Reasons that are no fault of the file: nothing is left for the learner to do but to wait."""


def advice(name: str, reason: str) -> str:
    """Return what a learner can do about a file that could not be marked."""
    if _NOT_THEIRS.search(reason):
        return "This is no fault of your file. Your instructor looks at it; you need not do anything."
    for pattern, said in _ADVICE:
        if re.search(pattern, reason):
            return said.format(name=name)
    return (
        f"Open {name}.ipynb, see that your answers are there, press Ctrl+S, and hand the file in again. If it comes "
        "back once more, take a blank form and copy your answers into it."
    )


REFUSED = "refused "
"""What the fingerprint of such a page begins with."""


def refused_page(name: str, learner: str, reason: str) -> tuple[str, str]:
    """Return the page for a learner whose file could not be marked, and the fingerprint of what it says."""
    html = _refused_template().render(
        name=name, learner=learner, reason=for_the_learner(reason), advice=advice(name, reason)
    )
    return html, f"{REFUSED}{intake.cell_fingerprint(html)}"


def _refused_template() -> Any:
    import jinja2

    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES / "feedback"), autoescape=True, undefined=jinja2.StrictUndefined
    ).get_template("refused.html.j2")
