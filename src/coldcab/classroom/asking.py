"""Asking a class in a notebook: the tables and plots of the report, live."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path

from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.needs import need_a_word
from coldcab.classroom.reporting import SheetReport, report_on, standing


@dataclass(frozen=True)
class Shown:
    """A table, and perhaps a plot, as a notebook shows it; every cell is text."""

    heading: Sequence[str]
    rows: Sequence[Sequence[str]]
    drawing: str = ""

    def _repr_html_(self) -> str:
        head = "".join(f"<th style='text-align:left'>{escape(word)}</th>" for word in self.heading)
        body = "".join(
            "<tr>" + "".join(f"<td style='text-align:left'>{escape(cell)}</td>" for cell in row) + "</tr>"
            for row in self.rows
        )
        return f"{self.drawing}<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"

    def __repr__(self) -> str:
        return "\n".join("  ".join(row) for row in (self.heading, *self.rows))


class Class:
    """A class folder, to ask in a notebook."""

    def __init__(self, folder: str | Path = ".") -> None:
        self._folder = ClassFolder.open(folder)

    def report(self, sheet: str) -> SheetReport:
        """Return everything about one sheet."""
        self._folder.choose((sheet,), self._folder.released(), "Release it first: coldcab class release.")
        return report_on(self._folder, sheet)

    def scores(self, sheet: str) -> Shown:
        """Show who has what."""
        found = self.report(sheet)
        rows = [
            (each.learner.id, "" if each.score is None else f"{each.score:g} of {each.out_of:g}", standing(each))
            for each in found.outcomes
        ]
        return Shown(("learner", "points", "status"), rows, found.drawings.get("points", ""))

    def lines(self, sheet: str) -> Shown:
        """Show how hard and how telling each line is."""
        found = self.report(sheet)
        rows = [
            (
                line.label, f"{line.right} of {line.sheets}", f"{line.difficulty:.0%}",
                "" if line.discrimination is None else f"{line.discrimination:.2f}", "; ".join(line.remarks),
            )
            for line in found.lines
        ]  # fmt: skip
        drawing = found.drawings.get("difficulty", "") + found.drawings.get("telling", "")
        return Shown(("line", "right", "share of points", "with the rest", "remarks"), rows, drawing)

    def ideas(self, sheet: str) -> Shown:
        """Show the wrong ideas, those of most learners first."""
        found = self.report(sheet)
        rows = [(f"{len(idea.learners)}", idea.name, ", ".join(idea.lines), idea.passage) for idea in found.ideas]
        return Shown(("learners", "idea", "lines", "read again"), rows, found.drawings.get("ideas", ""))

    def words(self, sheet: str) -> Shown:
        """Show who needs a word."""
        rows = [(who, "; ".join(why)) for who, why in need_a_word([(sheet, self.report(sheet).outcomes)]).items()]
        return Shown(("learner", "why"), rows)
