"""The class at a glance: a page that runs nothing, and scores as CSV."""

from __future__ import annotations

import csv
import io
from collections import Counter
from dataclasses import dataclass, field, replace
from pathlib import Path

from coldcab.assess import Mark
from coldcab.classroom import intake
from coldcab.classroom.configuration import TEMPLATES
from coldcab.classroom.folder import ClassFolder, own_folder
from coldcab.classroom.grading import Outcome, survey
from coldcab.classroom.releasing import form_of, key_of
from coldcab.learner import write_whole


@dataclass(frozen=True)
class ItemSummary:
    """How a class did on one line."""

    label: str
    right: int
    tried: int
    answers: int

    @property
    def share(self) -> float:
        """Share of right answers among all sheets."""
        return self.right / self.answers if self.answers else 0.0


@dataclass(frozen=True)
class IdeaSummary:
    """A wrong idea, who holds it, on which lines it shows, and the words that help on the first of them."""

    name: str
    lines: tuple[str, ...]
    learners: tuple[str, ...]
    feedback: str


@dataclass(frozen=True)
class Cell:
    """One score of one learner: points as the gradebook has them, and a sign for what the line was."""

    points: float | None
    sign: str = ""


@dataclass(frozen=True)
class SheetReport:
    """One assignment of the report."""

    name: str
    outcomes: tuple[Outcome, ...]
    items: tuple[ItemSummary, ...]
    ideas: tuple[IdeaSummary, ...]
    columns: tuple[str, ...] = ()
    scores: dict[str, tuple[Cell, ...]] = field(default_factory=dict)

    def having(self, *statuses: str) -> list[Outcome]:
        """Return the outcomes with one of these statuses."""
        return [outcome for outcome in self.outcomes if outcome.status in statuses]

    @property
    def fitting_others(self) -> list[Outcome]:
        """Return the sheets whose numbers fit somebody else."""
        return [outcome for outcome in self.outcomes if outcome.fits]


def summarize(name: str, outcomes: tuple[Outcome, ...]) -> SheetReport:
    """Count lines and ideas of one assignment."""
    marked = [outcome for outcome in outcomes if outcome.marks]
    items = []
    for position, mark in enumerate(marked[0].marks if marked else ()):
        column = [outcome.marks[position] for outcome in marked]
        right = sum(each.status == "right" for each in column)
        items.append(ItemSummary(mark.label, right, sum(each.status != "blank" for each in column), len(column)))
    held: dict[str, list[Mark]] = {}
    who: dict[str, list[str]] = {}
    for outcome in marked:
        for each in outcome.marks:
            if each.idea:
                held.setdefault(each.idea, []).append(each)
                who.setdefault(each.idea, []).append(outcome.learner.id)
    ideas = []
    for idea, marks in held.items():
        lines = [label for label, _ in Counter(each.label for each in marks).most_common()]
        words = next(each.feedback for each in marks if each.label == lines[0])
        ideas.append(IdeaSummary(idea, tuple(lines), tuple(dict.fromkeys(who[idea])), words))
    ideas.sort(key=lambda idea: (-len(idea.learners), -len(idea.lines), idea.name))
    return SheetReport(name, outcomes, tuple(items), tuple(ideas))


WRITTEN = "words"
"""Heading of the column of written answers, which no line of the sheet has."""

SIGNS = {"right": "", "idea": "✎", "wrong": "✗", "blank": "–", "unreadable": "?"}
"""What stands beside the points; a right line needs no sign."""


def with_lines(folder: ClassFolder, report: SheetReport) -> SheetReport:
    """Add the points of every learner on every line, as they stand in the gradebook."""
    from nbgrader.api import Gradebook

    graded = [cell for cell in form_of(folder, report.name)["cells"] if intake.is_graded(cell)]
    lines = {"".join(cell["source"]).removeprefix("%check ").strip(): intake.grade_id(cell) for cell in graded}
    labels = {lines[item.label]: item.label for item in key_of(folder, report.name).items if item.label in lines}
    labels |= {intake.grade_id(cell): WRITTEN for cell in graded if intake.is_written(cell)}
    with Gradebook(folder.gradebook_url) as gradebook:
        points = {
            (each.student_id, grade.name): None if grade.needs_manual_grade else grade.score
            for each in gradebook.assignment_submissions(report.name)
            for notebook in each.notebooks
            for grade in notebook.grades
        }
    scores = {}
    for outcome in report.outcomes:
        who = outcome.learner.id
        if any((who, name) in points for name in labels):
            signs = {mark.label: SIGNS[mark.status] for mark in outcome.marks}
            scores[who] = tuple(Cell(points.get((who, name)), signs.get(label, "")) for name, label in labels.items())
    return replace(report, columns=tuple(labels.values()), scores=scores)


def write_report(folder: ClassFolder, names: tuple[str, ...]) -> tuple[Path, Path]:
    """Write ``report/index.html`` and ``report/scores.csv``; return both paths."""
    import jinja2

    sheets = [with_lines(folder, summarize(name, survey(folder, name))) for name in names]
    place = own_folder(folder.path, "report")
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES / "report"), autoescape=True, undefined=jinja2.StrictUndefined
    )
    totals = Counter(idea.name for sheet in sheets for idea in sheet.ideas for _ in idea.learners)
    page = environment.get_template("report.html.j2").render(
        term=folder.term, sheets=sheets, learners=folder.learners(), totals=totals.most_common(10)
    )
    html, scores = place / "index.html", place / "scores.csv"
    write_whole(html, page.encode())
    write_whole(scores, scores_table(sheets).encode())
    return html, scores


def scores_table(sheets: list[SheetReport]) -> str:
    """Return one line for each learner and sheet as CSV; no cell can act as a formula in a spreadsheet."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["sheet", "id", "first_name", "last_name", "status", "score", "out_of", "remark"])
    for sheet in sheets:
        for outcome in sheet.outcomes:
            who = outcome.learner
            remark = outcome.reason or (f"the numbers fit {outcome.fits}" if outcome.fits else "")
            numbers = ["" if value is None else f"{value:g}" for value in (outcome.score, outcome.out_of)]
            words = [sheet.name, who.id, who.first_name, who.last_name, outcome.status]
            writer.writerow([*map(harmless, words), *numbers, harmless(remark)])
    return text.getvalue()


def harmless(text: str) -> str:
    """Return ``text`` so that a spreadsheet shows it instead of calculating it."""
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text
