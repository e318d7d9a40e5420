"""Asking a class in a notebook: the tables and plots of the report, live, and the term as a chart to keep."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.needs import need_a_word
from coldcab.classroom.reporting import SheetReport, curves_of, report_on, standing
from coldcab.classroom.settings import ClassError
from coldcab.classroom.term_curves import ALL, by_day, of_the_class

if TYPE_CHECKING:
    from matplotlib.figure import Figure


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


@dataclass(frozen=True)
class Chart:
    """A chart as a notebook shows it, with its figures in words; ``figure`` is matplotlib's, to write on or to save."""

    figure: Figure
    words: str

    def _repr_png_(self) -> bytes:
        drawn = BytesIO()
        self.figure.savefig(drawn, format="png", dpi=110)
        return drawn.getvalue()

    def __repr__(self) -> str:
        return self.words


MOST_NAMED, LETTER = 30, 3.3
"""Learners who are named beside the ends of their curves, the lowest first, and the room of one name, in per cent."""


def apart(heights: Sequence[float], room: float, low: float, high: float) -> list[float]:
    """Return heights, which rise, moved so that each has its room and all stay between ``low`` and ``high``.

    Where there is not room for all, they stand as far apart as they can.
    """
    room = min(room, (high - low) / max(1, len(heights) - 1))
    found: list[float] = []
    for number, height in enumerate(heights):
        least = found[-1] + room if found else low
        most = high - room * (len(heights) - 1 - number)
        found.append(min(max(height, least), most))
    return found


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

    def curves(self, outcome: str = ALL) -> Chart:
        """Draw one outcome over the term: each learner's share of all points so far, and the mean of each sheet.

        Raises ClassError for an outcome that no sheet of this class serves.
        """
        from matplotlib.figure import Figure

        outcomes, found = curves_of(self._folder, [self.report(name) for name in self._folder.released()])
        if outcome not in outcomes:
            raise ClassError(f"No sheet of this class serves {outcome!r}; there are {', '.join(outcomes)}.")
        places = {name: number for number, name in enumerate(by_day(outcomes[outcome], found), 1)}
        figure = Figure(figsize=(8.0, 4.5), layout="constrained")
        axes = figure.add_subplot(title=outcome, ylabel="share of the points, %", ylim=(0, 105))
        ends: dict[str, tuple[int, float]] = {}
        for each in found:
            if each.outcome == outcome and each.steps:
                steps = sorted((places[step.sheet], 100 * step.so_far) for step in each.steps)
                axes.plot(*zip(*steps, strict=True), color="0.6", linewidth=1, marker=".")
                ends[each.learner] = steps[-1]
        named = sorted(ends, key=lambda who: ends[who][1])[:MOST_NAMED]
        heights = apart([ends[who][1] for who in named], LETTER, 0.0, 105.0)
        for who, height in zip(named, heights, strict=True):
            axes.annotate(who, ends[who], xytext=(len(places) + 0.35, height), fontsize=7, va="center",
                          arrowprops={"arrowstyle": "-", "color": "0.8", "linewidth": 0.6})  # fmt: skip
        axes.set_xlim(0.7, len(places) + 0.9)
        of_class = of_the_class(outcome, tuple(places), found)
        means = [(places[name], 100 * share) for name, share, _ in of_class]
        if means:
            axes.plot(*zip(*means, strict=True), color="black", linewidth=2, marker="s", label="mean of each sheet")
            axes.legend(loc="lower left")
        axes.set_xticks(list(places.values()), list(places), rotation=45, ha="right")
        said = "; ".join(f"{name} {share:.0%} of {count}" for name, share, count in of_class)
        return Chart(figure, f"{outcome}, mean of each sheet: {said or 'nothing handed in'}")
