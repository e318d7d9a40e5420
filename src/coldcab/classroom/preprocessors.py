"""The steps that nbgrader's own commands take in a class: blanking a form, reading a submission, marking it as text.

Reading and marking are those of ``coldcab class grade``; here they are only called.
"""

from __future__ import annotations

from datetime import UTC
from pathlib import Path
from typing import Any

import nbformat
from nbformat.notebooknode import NotebookNode
from nbgrader import utils
from nbgrader.api import Gradebook
from nbgrader.preprocessors import GetGrades, NbGraderPreprocessor, SaveAutoGrades, SaveCells
from traitlets import Unicode

from coldcab.assess import MAGIC
from coldcab.classroom import intake
from coldcab.classroom.autograder import Autograder, MarkingPackage, autograder_of
from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.gradebook import Entry, Points
from coldcab.classroom.marked_notebook import SHEET, STUB, plain_words
from coldcab.classroom.page_notes import SheetNotes
from coldcab.classroom.pages import put_points
from coldcab.classroom.settings import OPEN_TERM, read_settings

Resources = dict[str, Any]

BEGIN = "BEGIN SOLUTION"


class ClassStep(NbGraderPreprocessor):
    """A step that knows the class folder and the term."""

    folder = Unicode(help="The class folder.").tag(config=True)
    term = Unicode(OPEN_TERM, help="The term that the learners' numbers are drawn from.").tag(config=True)

    def autograder(self, name: str) -> Autograder:
        """Return what reads and marks the sheets of one assignment, with the form and key that are there now."""
        return autograder_of(MarkingPackage.of(ClassFolder(Path(self.folder), self.term), name))


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
        autograder = self.autograder(resources["nbgrader"]["assignment"])
        clean, _ = autograder.clean([dict(cell) for cell in book.cells])
        return nbformat.from_dict(clean), resources


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
        # The folder's name is the learner; what a notebook says about itself does not count.
        self.autograder(resources["nbgrader"]["assignment"]).mark(book, resources["nbgrader"]["student"])
        return book, resources


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


class SaveCellsAtOnce(SaveCells):
    """nbgrader's own entering of a form into the gradebook in one transaction, where it makes one of each cell."""

    def _create_notebook(self, nb: NotebookNode) -> None:
        session = self.gradebook.db
        session.commit = session.flush
        try:
            super()._create_notebook(nb)
        finally:
            del session.commit
        session.commit()


def _entries(gradebook: Gradebook, resources: Resources) -> tuple[dict[str, Any], dict[str, Any]]:
    """Grades and comments of one submission by the name of their cell."""
    where = resources["nbgrader"]
    notebook = gradebook.find_submission_notebook(where["notebook"], where["assignment"], where["student"])
    return {grade.name: grade for grade in notebook.grades}, {each.name: each for each in notebook.comments}


class PlainWords(ClassStep):
    """Turns a written answer into plain words: no markup, link, picture or formula of it acts in a browser.

    It comes after the scores are saved, because nbgrader knows an untouched answer by its checksum.
    """

    def preprocess_cell(self, cell: NotebookNode, resources: Resources, index: int) -> tuple[NotebookNode, Resources]:
        """Make one written answer plain."""
        plain_words(cell)
        return cell, resources


class GradesAndStates(GetGrades):
    """Brings scores and comments into a feedback page, and whether a written answer still waits for its points."""

    folder = Unicode(help="The class folder.").tag(config=True)

    def preprocess(self, book: NotebookNode, resources: Resources) -> tuple[NotebookNode, Resources]:
        """Look up one submission."""
        where = resources["nbgrader"]
        with Gradebook(where["db_url"]) as gradebook:
            grades, comments = _entries(gradebook, resources)
            notebook = gradebook.find_submission_notebook(where["notebook"], where["assignment"], where["student"])
            points = {
                name: Points(each.score, each.max_score, each.needs_manual_grade, each.manual_score is not None,
                             each.auto_score)
                for name, each in grades.items()
            }  # fmt: skip
            words = {name: each.comment for name, each in comments.items()}
            notes = SheetNotes(ClassFolder.open(self.folder), where["assignment"]).of(where["student"])
            put_points(book, where, Entry(points, words, notebook.late_submission_penalty or 0.0), notes)
        return book, resources
