"""Steps that take the place of nbgrader's own: blanking a form, reading a submission, marking without running it."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import UTC
from functools import lru_cache
from html import escape
from pathlib import Path
from typing import Any

import nbformat
from nbconvert.preprocessors.sanitize import SanitizeHTML
from nbformat.notebooknode import NotebookNode
from nbgrader import utils
from nbgrader.api import Gradebook
from nbgrader.preprocessors import GetGrades, NbGraderPreprocessor, SaveAutoGrades
from traitlets import Bool, List, Unicode

from coldcab.assess import MAGIC, Assignment, Mark, grade, merge_sheets, parse_sheet
from coldcab.classroom import intake, material
from coldcab.classroom.confined import needs_running
from coldcab.classroom.gradebook import Entry, Points
from coldcab.classroom.kit import Run
from coldcab.classroom.settings import OPEN_TERM, read_settings

Resources = dict[str, Any]

STUB = "*Write your answer here.*"
BEGIN = "BEGIN SOLUTION"
CHECK = "%check "
SHEET = "%sheet "


class ClassStep(NbGraderPreprocessor):
    """A step that knows the class folder and the term."""

    folder = Unicode(help="The class folder.").tag(config=True)
    term = Unicode(OPEN_TERM, help="The term that the learners' numbers are drawn from.").tag(config=True)

    def key(self, name: str) -> Assignment:
        """Return an assignment of the class with its key."""
        place = Path(self.folder)
        # A server that runs for days must see a corrected key.
        written = tuple((inside, file.stat().st_mtime_ns) for inside, file in material.key_files(place, name))
        return _key(place, name, written)


@lru_cache(maxsize=8)
def _key(place: Path, name: str, written: tuple[tuple[str, int], ...]) -> Assignment:
    return material.key(place, name)


class BlankAnswers(ClassStep):
    """Turns a source notebook into a form: answers go, labels stay, and the term is written down."""

    def preprocess_cell(self, cell: NotebookNode, resources: Resources, index: int) -> tuple[NotebookNode, Resources]:
        """Blank one cell."""
        if cell.cell_type == "code" and cell.source.startswith(MAGIC):
            head, *lines = cell.source.split("\n")
            cell.source = "\n".join([head, *(f"{line.partition(':')[0]}: " for line in lines)])
        elif cell.cell_type == "code" and SHEET in cell.source and self.term != OPEN_TERM:
            lines = [
                f"{line} --term {self.term}" if line.startswith(SHEET) else line for line in cell.source.split("\n")
            ]
            cell.source = "\n".join(lines)
        elif BEGIN in cell.source:
            cell.source = STUB if cell.cell_type == "markdown" else "# Write your program here."
        elif index == 0 and cell.cell_type == "markdown":
            cell.source += due_line(Path(self.folder), resources.get("nbgrader", {}).get("assignment", ""))
        return cell, resources


class FreshForm(ClassStep):
    """Puts the words of a submission into the class's own form; nothing else of the submission goes on."""

    def preprocess(self, book: NotebookNode, resources: Resources) -> tuple[NotebookNode, Resources]:
        """Read one submission."""
        name = resources["nbgrader"]["assignment"]
        form = json.loads((Path(self.folder) / "release" / name / f"{name}.ipynb").read_text(encoding="utf-8"))
        cells = [dict(cell) for cell in book.cells]
        submission = intake.read_submission(cells, form["cells"], name)
        return nbformat.from_dict(intake.fill_form(form, submission.texts)), resources


def due_line(folder: Path, name: str) -> str:
    """Return the line for a form's head that says when it is due: date, time and zone, since learners see no other."""
    settings = read_settings(folder)
    due = settings.due_time(name)
    if due is None:
        return ""
    return f"\n\n{intake.DUE}{due:%A} {due.day} {due:%B %Y, %H:%M} ({due.tzinfo}, {due.astimezone(UTC):%H:%M} UTC)"


class MarkSheets(ClassStep):
    """Marks the sheets as text and writes score and feedback where running the notebook would have written them."""

    def preprocess(self, book: NotebookNode, resources: Resources) -> tuple[NotebookNode, Resources]:
        """Mark one submission."""
        assignment = self.key(resources["nbgrader"]["assignment"])
        # The folder's name is the learner; what a notebook says about itself does not count.
        case = assignment.case(self.term, resources["nbgrader"]["student"])
        labels = [item.label for item in assignment.items]
        sheet = merge_sheets(intake.sheet_texts(book.cells), labels)
        put_marks(book, grade(assignment, sheet, case), labels, case)
        return book, resources


def put_marks(book: NotebookNode, marks: Iterable[Mark], labels: list[str], case: Any, run: Run = ()) -> None:
    """Write score and feedback of every line into the outputs of a clean notebook.

    ``run`` is what cells of an instructor's own gave. One that was not run says so as an error: nbgrader would give
    all points to a cell that shows none.
    """
    by_label = {mark.label: mark for mark in marks}
    ran = {cell: (points, said) for cell, points, said in run}
    for cell in book.cells:
        if cell.cell_type != "code":
            continue
        if needs_running(cell):
            cell.outputs = [_run_result(*ran[intake.grade_id(cell)]) if intake.grade_id(cell) in ran else _not_run()]
        elif cell.source.startswith(CHECK):
            cell.outputs = [_result(by_label[cell.source.removeprefix(CHECK).strip()])]
        elif intake.is_answer(cell):
            problems = parse_sheet(cell.source, labels).problems
            cell.outputs = [_notes(problems)] if problems else []
        elif SHEET in cell.source:
            cell.outputs = [_display(case.lines())]


def marked_notebook(clean: str, marks: Iterable[Mark], labels: list[str], case: Any, run: Run = ()) -> NotebookNode:
    """Return a clean notebook with its marks."""
    book = nbformat.from_dict(json.loads(clean))
    put_marks(book, marks, labels, case, run)
    return book


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


def make_harmless(book: NotebookNode) -> None:
    """Let nothing that a learner wrote act in a browser."""
    for step in (PlainWords(), Harmless()):
        step.preprocess(book, {})


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


def _result(mark: Mark) -> NotebookNode:
    """A score for nbgrader and words for people in one output."""
    # What could not be read comes with a clause, all else with whole sentences.
    end = ":" if mark.status == "unreadable" else "."
    said = f"{mark.label}: {_WORDS[mark.status]}, {mark.points:g} of {mark.out_of:g} points{end}"
    read = f" Read as {mark.read}." if mark.read and mark.status != "right" else ""
    more = "" if mark.status in ("right", "blank") else f" {mark.feedback}"
    data = {
        "text/plain": f"{mark.points:g}",
        "text/html": f"<p><strong>{escape(said)}</strong>{escape(read)}{escape(more)}</p>",
    }
    return _output("execute_result", data, execution_count=None)


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


class SaveScores(SaveAutoGrades):
    """nbgrader's own saving of scores in one transaction and two queries, where it makes one of each for every cell."""

    def preprocess(self, book: NotebookNode, resources: Resources) -> tuple[NotebookNode, Resources]:
        """Save all scores of one submission, or none."""
        with Gradebook(resources["nbgrader"]["db_url"]) as gradebook:
            grades, comments = _entries(gradebook, resources)
            for cell in book.cells:
                name = cell.metadata.get("nbgrader", {}).get("grade_id")
                if utils.is_grade(cell):
                    grade = grades[name]
                    grade.auto_score, _ = utils.determine_grade(cell, self.log)
                    # Points by hand stay; the instructor is asked to look at them again.
                    grade.needs_manual_grade = grade.manual_score is not None or grade.auto_score is None
                if utils.is_solution(cell):
                    untouched = cell.metadata.nbgrader.get("checksum") == utils.compute_checksum(cell)
                    comments[name].auto_comment = "No response." if untouched else None
            gradebook.db.commit()
        return book, resources


def _entries(gradebook: Gradebook, resources: Resources) -> tuple[dict[str, Any], dict[str, Any]]:
    """Grades and comments of one submission by the name of their cell."""
    where = resources["nbgrader"]
    notebook = gradebook.find_submission_notebook(where["notebook"], where["assignment"], where["student"])
    return {grade.name: grade for grade in notebook.grades}, {each.name: each for each in notebook.comments}


class PlainWords(ClassStep):
    """Turns a written answer into plain words: no markup, link, picture or formula of it acts in a browser.

    It comes after the scores are saved, because nbgrader knows an untouched answer by its checksum.
    """

    _plain = str.maketrans({sign: f"&#{ord(sign)};" for sign in "&<>[]()!$\\`"})

    def preprocess_cell(self, cell: NotebookNode, resources: Resources, index: int) -> tuple[NotebookNode, Resources]:
        """Make one written answer plain."""
        if cell.cell_type == "markdown" and utils.is_solution(cell) and cell.source != STUB:
            cell.source = cell.source.translate(self._plain)
        return cell, resources


TAGS = (
    *("a", "b", "br", "code", "em", "i", "li", "ol", "p", "strong", "ul"),
    *("table", "tbody", "td", "th", "thead", "tr"),
)
"""What our own feedback and the forms' text are made of; everything else is shown as text."""


class Harmless(SanitizeHTML):
    """nbconvert's own cleaning of markup, with our tags; words that all sheets share are cleaned once."""

    enabled = Bool(True, help="Always.").tag(config=True)
    tags = List(Unicode(), default_value=list(TAGS), help="Tags that stay tags.").tag(config=True)

    def sanitize_html_tags(self, html_str: str) -> str:
        """Return ``html_str`` without anything that acts."""
        return _cleaned(html_str, tuple(self.tags))


@lru_cache(maxsize=1024)
def _cleaned(html: str, tags: tuple[str, ...]) -> str:
    return SanitizeHTML(tags=list(tags)).sanitize_html_tags(html)


class GradesAndStates(GetGrades):
    """Brings scores and comments into a feedback page, and whether a written answer still waits for its points."""

    def preprocess(self, book: NotebookNode, resources: Resources) -> tuple[NotebookNode, Resources]:
        """Look up one submission."""
        where = resources["nbgrader"]
        with Gradebook(where["db_url"]) as gradebook:
            grades, comments = _entries(gradebook, resources)
            notebook = gradebook.find_submission_notebook(where["notebook"], where["assignment"], where["student"])
            points = {name: Points(each.score, each.max_score, each.needs_manual_grade)
                      for name, each in grades.items()}  # fmt: skip
            words = {name: each.comment for name, each in comments.items()}
            put_points(book, where, Entry(points, words, notebook.late_submission_penalty or 0.0))
        return book, resources


def put_points(book: NotebookNode, where: Resources, entry: Entry) -> None:
    """Write points and comments of the gradebook where the template of a feedback page finds them."""
    for cell in book.cells:
        about = cell.metadata.get("nbgrader", {})
        name = about.get("grade_id")
        if utils.is_grade(cell):
            points = entry.points[name]
            about |= {"score": points.score, "points": points.out_of, "waits": points.waits}
        if utils.is_solution(cell):
            about["comment"] = entry.comments.get(name)
    where |= {"waits": entry.waits, "late_penalty": entry.penalty, "score": entry.score, "max_score": entry.out_of}
