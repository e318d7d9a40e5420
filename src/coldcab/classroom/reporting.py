"""The class at a glance: a page that runs nothing, a notebook to ask further, and scores as CSV."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from coldcab import course
from coldcab.assess import Mark
from coldcab.classroom import intake, material, plots
from coldcab.classroom.competencies import Sheets, competencies, safe
from coldcab.classroom.exporting import scores_table
from coldcab.classroom.folder import ClassFolder, environment_on_path, own_folder, write_file
from coldcab.classroom.forms import form_of
from coldcab.classroom.gradebook import Entry, sheet_book
from coldcab.classroom.grading import survey
from coldcab.classroom.inbox import GRADED, WAITING, Outcome
from coldcab.classroom.needs import FIRST_REASONS, FIRST_WORDS, how_long, need_a_word
from coldcab.classroom.pages import TEMPLATES
from coldcab.classroom.passages import passage_for
from coldcab.classroom.roster import Learner
from coldcab.classroom.second_looks import Request, all_requests
from coldcab.classroom.statistics import Line, analyze, reliability
from coldcab.classroom.term_curves import Curve, by_day, curves, of_the_class, place_in, served, table
from coldcab.lessons import LESSONS
from coldcab.units import in_order

WRITTEN = "words"
"""Heading of the column of written answers, which no line of the sheet has."""

SIGNS = {"right": "", "idea": "✎", "wrong": "✗", "blank": "–", "unreadable": "?"}
"""What stands beside the points; a right line needs no sign."""


@dataclass(frozen=True)
class IdeaSummary:
    """A wrong idea: who holds it, on which lines it shows, the words that help, and where the lesson explains it."""

    name: str
    lines: tuple[str, ...]
    learners: tuple[str, ...]
    feedback: str
    passage: str = ""

    @property
    def shared(self) -> bool:
        """Whether more than one learner holds it."""
        return len(self.learners) > 1


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
    lines: tuple[Line, ...]
    ideas: tuple[IdeaSummary, ...]
    alpha: float | None
    columns: tuple[str, ...] = ()
    scores: dict[str, tuple[Cell, ...]] = field(default_factory=dict)
    left_out: int = 0
    drawings: dict[str, str] = field(default_factory=dict)
    asked: dict[str, tuple[Request, ...]] = field(default_factory=dict)
    days: dict[str, str] = field(default_factory=dict)
    more_time: dict[str, str] = field(default_factory=dict)

    def having(self, *statuses: str) -> list[Outcome]:
        """Return the outcomes with one of these statuses."""
        return [outcome for outcome in self.outcomes if outcome.status in statuses]

    @property
    def scored(self) -> list[Outcome]:
        """Return the outcomes that have a score."""
        return [outcome for outcome in self.outcomes if outcome.score is not None]

    @property
    def unsafe(self) -> list[Outcome]:
        """Return the sheets that a safety line keeps from passing."""
        return [outcome for outcome in self.outcomes if outcome.unsafe]

    @property
    def fitting_others(self) -> list[Outcome]:
        """Return the sheets whose numbers fit somebody else."""
        return [outcome for outcome in self.outcomes if outcome.fits]

    @property
    def misbehaving(self) -> list[Line]:
        """Return the lines that an author should look at."""
        return [line for line in self.lines if line.remarks]


def report_on(folder: ClassFolder, name: str) -> SheetReport:
    """Return all that the report says about one assignment."""
    outcomes = survey(folder, name)
    with environment_on_path(), sheet_book(folder, name) as book:
        entries = book.entries()
    graded = [cell for cell in form_of(folder, name)["cells"] if intake.is_graded(cell)]
    most = {intake.grade_id(cell): float(cell["metadata"]["nbgrader"].get("points", 0)) for cell in graded}
    columns = {cell: label for label, cell in intake.lines_checked(graded).items()}
    labels, out_of = list(columns.values()), [most[cell] for cell in columns]
    columns |= {intake.grade_id(cell): WRITTEN for cell in graded if intake.is_written(cell)}
    # Copied numbers say nothing about the lines of a sheet.
    counted = [each for each in outcomes if each.marks and not each.fits and each.score is not None]
    points, statuses = _matrices(labels, counted, {label: cell for cell, label in columns.items()}, entries)
    lines = tuple(analyze(labels, out_of, points, statuses))
    taught = material.taught_in(folder.path, name)
    sheet = SheetReport(
        name, outcomes, lines, ideas_of(name, outcomes, taught, folder.units), reliability(points),
        tuple(columns.values()), _scores(outcomes, columns, entries), len([each for each in outcomes if each.fits]),
    )  # fmt: skip
    sheet.drawings.update(_drawings(sheet))
    sheet.asked.update(all_requests(folder, name))
    sheet.more_time.update(folder.settings.extensions.get(name, {}))
    sheet.days.update({who: entry.day(folder.settings.zone) for who, entry in entries.items()})
    return sheet


def _matrices(
    labels: list[str], counted: list[Outcome], cells: dict[str, str], entries: dict[str, Entry]
) -> tuple[np.ndarray, np.ndarray]:
    """Points as the gradebook has them and statuses as they were marked, learners by lines."""
    points, statuses = np.zeros((len(counted), len(labels))), np.full((len(counted), len(labels)), "", dtype=object)
    for row, outcome in enumerate(counted):
        marks = {mark.label: mark for mark in outcome.marks}
        for column, label in enumerate(labels):
            in_book = entries[outcome.learner.id].points.get(cells[label])
            points[row, column] = in_book.score if in_book else 0.0
            statuses[row, column] = marks[label].status if label in marks else ""
    return points, statuses


def ideas_of(
    name: str, outcomes: tuple[Outcome, ...], places: Mapping[str, tuple[str, ...]], system: str = "us"
) -> tuple[IdeaSummary, ...]:
    """Return the wrong ideas of a class, those of most learners first; ``places`` is where each line is taught.

    Their words stand in the order of units of the class.
    """
    held: dict[str, list[tuple[str, Mark]]] = {}
    for outcome in outcomes:
        for mark in outcome.marks:
            if mark.idea:
                held.setdefault(mark.idea, []).append((outcome.learner.id, mark))
    found = []
    for idea, marks in held.items():
        lines = [label for label, _ in Counter(mark.label for _, mark in marks).most_common()]
        words = next(mark.feedback for _, mark in marks if mark.label == lines[0])
        learners = tuple(dict.fromkeys(who for who, _ in marks))
        about = f"{idea} {idea} {lines[0]} {words}"
        passage = passage_for(name, about, course.folder(), places.get(lines[0], ()))
        found.append(
            IdeaSummary(
                in_order(idea, system), tuple(lines), learners, in_order(words, system), in_order(passage, system)
            )
        )
    return tuple(sorted(found, key=lambda idea: (-len(idea.learners), -len(idea.lines), idea.name)))


def _scores(
    outcomes: tuple[Outcome, ...], columns: dict[str, str], entries: dict[str, Entry]
) -> dict[str, tuple[Cell, ...]]:
    scores = {}
    for outcome in outcomes:
        entry = entries.get(outcome.learner.id)
        if entry is None:
            continue
        signs = {mark.label: SIGNS[mark.status] for mark in outcome.marks}
        row = []
        for cell, label in columns.items():
            points = entry.points.get(cell)
            row.append(Cell(None if points is None or points.waits else points.score, signs.get(label, "")))
        scores[outcome.learner.id] = tuple(row)
    return scores


def _drawings(sheet: SheetReport) -> dict[str, str]:
    """Return the plots of one sheet."""
    found = {}
    if sheet.scored:
        out_of = max(outcome.out_of or 0.0 for outcome in sheet.scored)
        found["points"] = plots.histogram("Points", [outcome.score or 0.0 for outcome in sheet.scored], out_of)
    if sheet.lines and sheet.lines[0].sheets:
        rows = [(line.label, line.difficulty, f"{line.difficulty:.0%}") for line in sheet.lines]
        found["difficulty"] = plots.bars("Share of the points earned on each line", rows, 1.0)
    telling = [(number, line.difficulty, line.discrimination)
               for number, line in enumerate(sheet.lines, 1) if line.discrimination is not None]  # fmt: skip
    if telling:
        found["telling"] = plots.scatter(
            "How hard and how telling each line is", telling, "share of the points", "correlation with the rest"
        )
    if sheet.ideas:
        count = max(len(idea.learners) for idea in sheet.ideas)
        rows = [(idea.name, len(idea.learners), f"{len(idea.learners)}") for idea in sheet.ideas[:12]]
        found["ideas"] = plots.bars("Learners who hold an idea", rows, count)
    return found


def standing(outcome: Outcome) -> str:
    """Return in words where a sheet stands; nothing is called graded that has no score or waits for a person."""
    if outcome.status == GRADED:
        return "graded; written: waiting" if outcome.to_read else "graded"
    return outcome.status


def write_report(folder: ClassFolder, names: tuple[str, ...]) -> tuple[Path, Path, Path]:
    """Write the report as a page, as CSV and as a notebook; return the three paths."""
    import jinja2

    sheets = [report_on(folder, name) for name in names]
    place = own_folder(folder.path, "report")
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES / "report"), autoescape=True, undefined=jinja2.StrictUndefined
    )
    environment.globals |= {"standing": standing, "how_long": how_long, "WAITING": WAITING}
    totals = Counter(idea.name for sheet in sheets for idea in sheet.ideas for _ in idea.learners)
    term, by_sheet = _term(folder, sheets), outcomes_by_sheet(sheets)
    page = environment.get_template("report.html.j2").render(
        term=folder.term,
        sheets=sheets,
        learners=folder.learners(),
        called=defaultdict(str, {each.id: each.name for each in folder.learners() if each.name != each.id}),
        totals=totals.most_common(10),
        words=need_a_word([(sheet.name, sheet.outcomes) for sheet in sheets]),
        first_reasons=FIRST_REASONS,
        first_words=FIRST_WORDS,
        term_rows=term.rows,
        outcome_rows=term.outcomes,
        safe={each.id: safe(each.id, by_sheet) for each in folder.learners()},
    )
    html, scores, book = place / "index.html", place / "scores.csv", place / "report.ipynb"
    write_file(html, page.encode())
    write_file(place / "term.csv", term.table.encode())
    curves_page = environment.get_template("term.html.j2").render(
        term=folder.term, learners=term.learners, whole=MOST_WHOLE
    )
    write_file(place / "term.html", curves_page.encode())
    write_file(scores, scores_table([(sheet.name, sheet.outcomes) for sheet in sheets]).encode())
    write_file(book, (json.dumps(notebook(names), indent=1) + "\n").encode())
    return html, scores, book


MOST_WHOLE = 17
"""Curves of one learner that no end of a page divides: the outcomes of the whole course."""


@dataclass(frozen=True)
class _Term:
    """The term for the pages: each learner's curve over all sheets, each outcome of the class, all curves of each."""

    rows: list[tuple[Curve, str]]
    outcomes: list[tuple[str, list[tuple[str, float, int]], str]]
    learners: list[tuple[Learner, list[tuple[Curve, str]]]]
    table: str


def curves_of(folder: ClassFolder, sheets: Sequence[SheetReport]) -> tuple[dict[str, tuple[str, ...]], list[Curve]]:
    """Return the outcomes that these sheets serve, each with its sheets, and every curve of the class."""
    names = [sheet.name for sheet in sorted(sheets, key=lambda each: _place_in_course(each.name))]
    outcomes = served(competencies(folder.path), names)
    days = {(sheet.name, who): day for sheet in sheets for who, day in sheet.days.items()}
    return outcomes, curves(folder.learners(), outcomes, outcomes_by_sheet(sheets), days)


def outcomes_by_sheet(sheets: Sequence[SheetReport]) -> Sheets:
    """Return the outcomes of these sheets by learner."""
    return {sheet.name: {each.learner.id: each for each in sheet.outcomes} for sheet in sheets}


def _term(folder: ClassFolder, sheets: list[SheetReport]) -> _Term:
    learners = folder.learners()
    outcomes, found = curves_of(folder, sheets)
    days = sorted({step.day for each in found for step in each.steps})
    term = (days[0], days[-1]) if len(days) > 1 and all(days) else None
    drawn: dict[str, list[tuple[Curve, str]]] = {learner.id: [] for learner in learners}
    for each in found:
        if each.steps:
            drawn[each.learner].append((each, _spark_of(each, term)))
    rows = [mine[0] for mine in drawn.values() if mine]
    means_of = {outcome: of_the_class(outcome, by_day(mine, found), found) for outcome, mine in outcomes.items()}
    of_class = [(outcome, means, _spark_of_class(outcome, means)) for outcome, means in means_of.items() if means]
    return _Term(
        rows if len(sheets) > 1 else [], of_class, [(each, drawn[each.id]) for each in learners], table(learners, found)
    )


def _place_in_course(name: str) -> int:
    return list(LESSONS).index(name) if name in LESSONS else len(LESSONS)


def _spark_of(curve: Curve, term: tuple[str, str] | None) -> str:
    """Draw the share of each sheet at its day between the first and the last day of the term, where days are known."""
    said = [f"{step.sheet} {step.day} {step.share:.0%}" for step in curve.steps]
    places = [place_in(term, step.day) for step in curve.steps] if term else []
    return plots.spark(curve.outcome, [step.share for step in curve.steps], said, places)


def _spark_of_class(outcome: str, means: list[tuple[str, float, int]]) -> str:
    said = [f"{name} {share:.0%} of {count}" for name, share, count in means]
    return plots.spark(outcome, [share for _, share, _ in means], said)


def notebook(names: tuple[str, ...]) -> dict[str, Any]:
    """Return a notebook that asks the class further: tables and plots of each sheet, one call a cell."""
    cells = [_markdown("title", "# Class report\n\nRun the cells; each asks the gradebook as it stands now.")]
    cells.append(_code("class", "from coldcab.classroom.asking import Class\n\nclass_ = Class('..')"))
    if len(names) > 1:
        cells.append(_code("term", "class_.curves()"))
    for name in names:
        cells.append(_markdown(f"{name}-title", f"## {name}"))
        for what in ("scores", "lines", "ideas", "words"):
            cells.append(_code(f"{name}-{what}", f"class_.{what}({name!r})"))
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    return {"cells": cells, "metadata": {"kernelspec": kernel}, "nbformat": 4, "nbformat_minor": 5}


def _markdown(name: str, text: str) -> dict[str, Any]:
    return {"cell_type": "markdown", "id": name, "metadata": {}, "source": text}


def _code(name: str, text: str) -> dict[str, Any]:
    return {"cell_type": "code", "id": name, "metadata": {}, "source": text, "outputs": [], "execution_count": None}
