"""The marked notebook: a clean notebook with score and feedback in its outputs, harmless in a browser."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from html import escape
from typing import Any

import nbformat
from nbconvert.preprocessors.sanitize import SanitizeHTML
from nbformat.notebooknode import NotebookNode
from nbgrader import utils
from traitlets import Bool, List, Unicode

from coldcab.assess import Mark, parse_sheet
from coldcab.classroom import intake
from coldcab.classroom.submissions import Run
from coldcab.scenario.showing import lines_in_order
from coldcab.units import in_order

STUB = "*Write your answer here.*"
CHECK = "%check "
SHEET = "%sheet "


def put_marks(
    book: NotebookNode, marks: Iterable[Mark], labels: list[str], case: Any, run: Run = (), system: str = "us"
) -> None:
    """Write score and feedback of every line into the outputs of a clean notebook, in the order of units of the class.

    ``run`` holds the results of the instructor's own cells. One that was not run says so as an error: nbgrader would
    give all points to a cell that shows none.
    """
    by_label = {mark.label: mark for mark in marks}
    ran = {cell: (points, said) for cell, points, said in run}
    for cell in book.cells:
        if cell.cell_type != "code":
            continue
        if intake.needs_running(cell):
            cell.outputs = [_run_result(*ran[intake.grade_id(cell)]) if intake.grade_id(cell) in ran else _not_run()]
        elif cell.source.startswith(CHECK):
            cell.outputs = [_result(by_label[cell.source.removeprefix(CHECK).strip()], system)]
        elif intake.is_answer(cell):
            problems = tuple(in_order(each, system) for each in parse_sheet(cell.source, labels).problems)
            cell.outputs = [_notes(problems)] if problems else []
        elif SHEET in cell.source:
            cell.outputs = [_display(lines_in_order(case.lines(), system))]


def scores_of(book: NotebookNode) -> tuple[dict[str, float | None], list[str]]:
    """Return the points of every graded cell (None where a person has to look), and the cells left untouched."""
    scores: dict[str, float | None] = {}
    untouched = []
    for cell in book.cells:
        name = cell.metadata.get("nbgrader", {}).get("grade_id")
        if utils.is_grade(cell):
            # What ran in a learner's kernel, or did not run at all, waits for a person.
            scores[name] = None if _is_not_run(cell) else utils.determine_grade(cell)[0]
        if utils.is_solution(cell) and cell.metadata.nbgrader.get("checksum") == utils.compute_checksum(cell):
            untouched.append(name)
    return scores, untouched


def notebook_text(book: NotebookNode) -> str:
    """Return a notebook as nbgrader writes it."""
    return nbformat.v4.writes_json(book).rstrip("\n") + "\n"


NOT_RUN = "NotRun"


def _not_run() -> NotebookNode:
    words = "this cell was not run; your instructor gives its points"
    return nbformat.from_dict({"output_type": "error", "ename": NOT_RUN, "evalue": words, "traceback": []})


def _is_not_run(cell: NotebookNode) -> bool:
    return any(output.get("ename") == NOT_RUN for output in cell.get("outputs", ()))


def _run_result(points: float, said: str) -> NotebookNode:
    words = f"{points:g} points when it was run, to be confirmed.{f' {said}' if said else ''}"
    return _output(
        "execute_result",
        {"text/plain": f"{points:g}", "text/html": f"<p>{escape(words)}</p>"},
        execution_count=None,
    )


def _output(kind: str, data: dict[str, str], **more: Any) -> NotebookNode:
    """Return an output of a cell; nbformat's own function compares each with its schema, which takes a millisecond."""
    return nbformat.from_dict({"output_type": kind, "data": data, "metadata": {}, **more})


def _result(mark: Mark, system: str) -> NotebookNode:
    """A score for nbgrader and words for people in one output; how an answer was read stays as it was read."""
    # What could not be read comes with a clause, all else with whole sentences.
    end = ":" if mark.status == "unreadable" else "."
    said = f"{mark.label}: {_WORDS[mark.status]}, {mark.points:g} of {mark.out_of:g} points{end}"
    read = f" Read as {mark.read}." if mark.read and mark.status != "right" else ""
    more = "" if mark.status in ("right", "blank") else f" {in_order(mark.feedback, system)}"
    unsafe = mark.safety and mark.status != "right"
    data = {
        "text/plain": f"{mark.points:g}",
        "text/html": f"<p><strong>{escape(said)}</strong>{escape(read)}{escape(more)}</p>",
    }
    result = _output("execute_result", data, execution_count=None)
    if unsafe:
        result.metadata["coldcab"] = {"unsafe": True}
    return result


_WORDS = {
    "right": "right",
    "idea": "look again",
    "wrong": "not right",
    "blank": "not filled in",
    "unreadable": "could not be read",
}


def _notes(problems: tuple[str, ...]) -> NotebookNode:
    """What could not be read on a sheet; otherwise a mistyped label would only look like a blank line."""
    html = "".join(f"<p>{escape(problem)}</p>" for problem in problems)
    return _output("display_data", {"text/plain": "\n".join(problems), "text/html": html})


def _display(lines: list[tuple[str, str]]) -> NotebookNode:
    rows = "".join(f"<tr><th>{escape(label)}</th><td>{escape(text)}</td></tr>" for label, text in lines)
    text = "\n".join(f"{label}: {value}" for label, value in lines)
    return _output("display_data", {"text/plain": text, "text/html": f"<table>{rows}</table>"})


_ACTING = str.maketrans({sign: f"&#{ord(sign)};" for sign in "&<>[]$\\`"})
"""Signs that act in Markdown, HTML or a formula. Brackets are among them, so parentheses alone make no link."""

_ADDRESS = re.compile(r"(https?://[^\s<>\[\]$`\\]+)(?=[<>\[\]$`\\])")
"""An address that runs into such a sign: it would take what the sign is written as for its own end."""


def plain_words(cell: NotebookNode) -> None:
    """Turn a written answer into plain words: no markup, link, picture or formula of it acts in a browser."""
    if cell.cell_type == "markdown" and utils.is_solution(cell) and cell.source != STUB:
        cell.source = _ADDRESS.sub(r"\1 ", cell.source).translate(_ACTING)


TAGS = (
    *("a", "b", "br", "code", "em", "i", "li", "ol", "p", "strong", "ul"),
    *("table", "tbody", "td", "th", "thead", "tr"),
)
"""What our own feedback and the forms' text are made of; everything else is shown as text."""


_PLAIN = re.compile(rf"(?:[^<>&]++|&(?:amp|lt|gt|quot|#x27);|</?(?:{'|'.join(TAGS)})>)*+")
"""Text with our tags alone, none of them with an attribute: there is nothing to clean, and the numbers of each learner
are like that. Cleaning them took a third of the time of a sheet."""


class Harmless(SanitizeHTML):
    """nbconvert's own cleaning of markup, with our tags; words that all sheets share are cleaned once."""

    enabled = Bool(True, help="Always.").tag(config=True)
    tags = List(Unicode(), default_value=list(TAGS), help="Tags that stay tags.").tag(config=True)

    def sanitize_html_tags(self, html_str: str) -> str:
        """Return ``html_str`` without anything that acts."""
        if _PLAIN.fullmatch(html_str):
            return html_str
        return _cleaned(html_str, tuple(self.tags))


@lru_cache(maxsize=1024)
def _cleaned(html: str, tags: tuple[str, ...]) -> str:
    return SanitizeHTML(tags=list(tags)).sanitize_html_tags(html)


def make_harmless(book: NotebookNode) -> None:
    """Let nothing that a learner wrote act in a browser."""
    for cell in book.cells:
        plain_words(cell)
    Harmless().preprocess(book, {})
