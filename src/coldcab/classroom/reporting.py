"""The class at a glance: a page that runs nothing, and scores as CSV."""

from __future__ import annotations

import csv
import io
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from coldcab.classroom.configuration import TEMPLATES
from coldcab.classroom.folder import ClassFolder, own_folder
from coldcab.classroom.grading import Outcome, survey
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
    """A wrong idea and how many hold it, with the words that help."""

    name: str
    label: str
    count: int
    learners: tuple[str, ...]
    feedback: str


@dataclass(frozen=True)
class SheetReport:
    """One assignment of the report."""

    name: str
    outcomes: tuple[Outcome, ...]
    items: tuple[ItemSummary, ...]
    ideas: tuple[IdeaSummary, ...]

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
    held: dict[tuple[str, str], list[str]] = {}
    words: dict[tuple[str, str], str] = {}
    for outcome in marked:
        for each in outcome.marks:
            if each.idea:
                held.setdefault((each.idea, each.label), []).append(outcome.learner.id)
                words[each.idea, each.label] = each.feedback
    ideas = [IdeaSummary(idea, label, len(who), tuple(who), words[idea, label]) for (idea, label), who in held.items()]
    ideas.sort(key=lambda idea: (-idea.count, idea.name, idea.label))
    return SheetReport(name, outcomes, tuple(items), tuple(ideas))


def write_report(folder: ClassFolder, names: tuple[str, ...]) -> tuple[Path, Path]:
    """Write ``report/index.html`` and ``report/scores.csv``; return both paths."""
    import jinja2

    sheets = [summarize(name, survey(folder, name)) for name in names]
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
