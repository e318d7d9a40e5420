"""Steps that take the place of nbgrader's own: blanking a form, reading a submission, marking without running it."""

from __future__ import annotations

import json
from functools import lru_cache
from html import escape
from pathlib import Path
from typing import Any

import nbformat
from nbformat.notebooknode import NotebookNode
from nbgrader import utils
from nbgrader.api import Gradebook
from nbgrader.preprocessors import GetGrades, NbGraderPreprocessor, SaveAutoGrades
from traitlets import Unicode

from coldcab.assess import MAGIC, Assignment, Mark, grade, load_reference, merge_sheets, parse_sheet
from coldcab.classroom import intake
from coldcab.classroom.folder import OPEN_TERM

Resources = dict[str, Any]

STUB = "*Write your answer here.*"
BEGIN = "BEGIN SOLUTION"
CHECK = "%check "
SHEET = "%sheet "


class ClassStep(NbGraderPreprocessor):
    """A step that knows the class folder and the term."""

    folder = Unicode(help="The class folder.").tag(config=True)
    term = Unicode(OPEN_TERM, help="The term that the learners' numbers are drawn from.").tag(config=True)

    @property
    def references(self) -> dict[str, Assignment]:
        """The keys of the class."""
        place = Path(self.folder) / "reference"
        # A server that runs for days must see a corrected key.
        return _references(place, tuple((file.name, file.stat().st_mtime_ns) for file in sorted(place.glob("*.py"))))


@lru_cache(maxsize=8)
def _references(place: Path, written: tuple[tuple[str, int], ...]) -> dict[str, Assignment]:
    return load_reference(place)


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
            cell.source = STUB
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


class MarkSheets(ClassStep):
    """Marks the sheets as text and writes score and feedback where running the notebook would have written them."""

    def preprocess(self, book: NotebookNode, resources: Resources) -> tuple[NotebookNode, Resources]:
        """Mark one submission."""
        assignment = self.references[resources["nbgrader"]["assignment"]]
        # The folder's name is the learner; what a notebook says about itself does not count.
        case = assignment.case(self.term, resources["nbgrader"]["student"])
        labels = [item.label for item in assignment.items]
        sheet = merge_sheets(intake.sheet_texts(book.cells), labels)
        marks = {mark.label: mark for mark in grade(assignment, sheet, case)}
        for cell in book.cells:
            if cell.cell_type != "code":
                continue
            if cell.source.startswith(CHECK):
                cell.outputs = [_result(marks[cell.source.removeprefix(CHECK).strip()])]
            elif intake.is_answer(cell):
                problems = parse_sheet(cell.source, labels).problems
                cell.outputs = [_notes(problems)] if problems else []
            elif SHEET in cell.source:
                cell.outputs = [_display(case.lines())]
        return book, resources


def _result(mark: Mark) -> NotebookNode:
    """A score for nbgrader and words for people in one output."""
    said = f"{mark.label}: {_WORDS[mark.status]}, {mark.points:g} of {mark.out_of:g} points."
    read = f" Read as {mark.read}." if mark.read and mark.status != "right" else ""
    more = "" if mark.status in ("right", "blank") else f" {mark.feedback}"
    data = {
        "text/plain": f"{mark.points:g}",
        "text/html": f"<p><strong>{escape(said)}</strong>{escape(read)}{escape(more)}</p>",
    }
    return nbformat.v4.new_output("execute_result", data=data, execution_count=None)


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
    return nbformat.v4.new_output("display_data", data={"text/plain": "\n".join(problems), "text/html": html})


def _display(lines: list[tuple[str, str]]) -> NotebookNode:
    rows = "".join(f"<tr><th>{escape(label)}</th><td>{escape(text)}</td></tr>" for label, text in lines)
    text = "\n".join(f"{label}: {value}" for label, value in lines)
    return nbformat.v4.new_output("display_data", data={"text/plain": text, "text/html": f"<table>{rows}</table>"})


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


class GradesAndStates(GetGrades):
    """Brings scores and comments into a feedback page, and whether a written answer still waits for its points."""

    def preprocess(self, book: NotebookNode, resources: Resources) -> tuple[NotebookNode, Resources]:
        """Look up one submission."""
        where = resources["nbgrader"]
        with Gradebook(where["db_url"]) as gradebook:
            grades, comments = _entries(gradebook, resources)
            for cell in book.cells:
                about = cell.metadata.get("nbgrader", {})
                if utils.is_grade(cell):
                    grade = grades[about["grade_id"]]
                    about |= {"score": grade.score, "points": grade.max_score, "waits": grade.needs_manual_grade}
                if utils.is_solution(cell):
                    about["comment"] = comments[about["grade_id"]].comment
            where["waits"] = any(grade.needs_manual_grade for grade in grades.values())
            notebook = gradebook.find_submission_notebook(where["notebook"], where["assignment"], where["student"])
            where["late_penalty"] = notebook.late_submission_penalty or 0
            where["score"] = notebook.score - where["late_penalty"]
            where["max_score"] = notebook.max_score
        return book, resources
