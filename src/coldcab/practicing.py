"""What lies on the learner's desk in one notebook: each sheet with its numbers, and how practice numbers are turned.

New numbers leave the answers to the old ones on their own card: the sheet is blank for the new ones, one press brings
the old ones back with what was answered.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from html import escape
from typing import Any, Protocol

from coldcab import answering, assess, lessons
from coldcab.answering import Card, numbers_card
from coldcab.instruments import beside
from coldcab.words import _


@dataclass
class Desk:
    """What lies on the learner's desk in this notebook: one sheet, its numbers, and what was written last."""

    assignment: assess.Assignment
    case: Any
    answers: dict[str, str] = field(default_factory=dict)
    number: int = 0
    """Of the practice sheet's card; 0 on a graded sheet."""
    feedback: Any = None
    """Where the feedback of a practice sheet stands on the page, so that new numbers can clear it."""
    card: Card | None = None
    """Its numbers as they are shown."""
    written: dict[str, answering.Written] = field(default_factory=dict)
    """Of a practice sheet: for which numbers each answer was written."""
    aside: dict[int, dict[str, str]] = field(default_factory=dict)
    """Of a practice sheet: the answers to other numbers, by the number of their card."""

    def __post_init__(self) -> None:
        beside.opened(self.case)

    @property
    def practice(self) -> bool:
        """Whether answers are marked at once."""
        return self.number > 0


class Sheets(Protocol):
    """What holds the desks of a notebook and speaks with its page."""

    desks: dict[str, Desk]

    @property
    def listened(self) -> bool:
        """Whether a page has opened a channel to this kernel."""

    def tell_pages(self, more: dict[str, Any] | None = None) -> None:
        """Say that numbers have changed."""


class PracticeNumbers:
    """The numbers of a practice sheet, a button that draws new ones, and buttons to those that were answered before."""

    def __init__(self, sheets: Sheets, sheet: assess.Assignment) -> None:
        self._sheets, self._sheet = sheets, sheet
        self._widget: Any = None
        # Started again, the page goes on with the numbers that lie on the desk.
        desk = sheets.desks.get(sheet.name)
        self._number, written = (desk.number, desk.written) if desk else answering.kept(sheet.name)
        self._draw(written, desk.answers if desk else {}, desk.aside if desk else answering.kept_aside(sheet.name))
        sheets.tell_pages()

    def _draw(
        self, written: dict[str, answering.Written], answers: dict[str, str], aside: dict[int, dict[str, str]]
    ) -> None:
        case = lessons.practice_case(self._sheet.name, self._number)
        note = _("Invented shop, invented numbers.")
        title = _("Practice {number}: {title}").format(number=self._number, title=self._sheet.title)
        self.card = numbers_card(title, self._sheet.shown(case), note)
        desk = Desk(self._sheet, case, answers, self._number, card=self.card, written=written, aside=aside)
        self._sheets.desks[self._sheet.name] = desk

    def renew(self, _button: Any = None) -> None:
        """Draw new numbers, show them, set the answers to the old ones aside, and take away the feedback on them."""
        self._turn_to(max(self._number, *self._desk.aside, 0) + 1)

    @property
    def _desk(self) -> Desk:
        return self._sheets.desks[self._sheet.name]

    def _turn_to(self, number: int) -> None:
        """Show these numbers; a page that listens has its sheet blank then, or with the answers to them."""
        desk, left, aside = self._desk, self._number, dict(self._desk.aside)
        answered = {label: answer for label, answer in desk.answers.items() if answer}
        self._number = number
        if self._sheets.listened:
            aside.pop(left, None)
            aside |= {left: answered} if answered else {}
            answers = aside.get(number, {})
            written = {label: answering.Written(answer, number) for label, answer in answers.items()}
        else:  # nobody can blank the sheet, so its answers keep the numbers that they were written for
            answers, written = desk.answers, answering.written_for(desk.written, desk.answers, left)
        self._draw(written, dict(answers), aside)
        answering.keep(self._sheet.name, number, written)
        answering.keep_aside(self._sheet.name, aside)
        blank = {item.label: answers.get(item.label, "") for item in self._sheet.items}
        self._sheets.tell_pages({"sheet": self._sheet.name, "left": left, "fill": blank})
        self._say(desk.feedback, left)
        if self._widget is not None:
            self._html.value = self.card._repr_mimebundle_()["text/html"]
            self._show_ways()

    def _say(self, feedback: Any, left: int) -> None:
        if feedback is None:
            return
        if self._number in self._desk.aside:
            said = _("These are the numbers of practice {number} with your answers to them.")
        else:
            said = _("New numbers are drawn. Write your answers for them, then press “Check this sheet”.")
        said = said.format(number=self._number)
        if left in self._desk.aside:
            said += " " + _("Your answers to practice {number} are kept with its numbers.").format(number=left)
        feedback.update(Card(said, escape(said)))
        self._desk.feedback = feedback

    @property
    def widget(self) -> Any:
        """The numbers and the buttons."""
        if self._widget is None:
            import ipywidgets

            self._html = ipywidgets.HTML(self.card._repr_mimebundle_()["text/html"])
            button = ipywidgets.Button(description=_("New numbers"), tooltip=_("Draw another machine and another day"))
            button.on_click(self.renew)
            self._ways = [ipywidgets.Button(layout={"width": "auto"}) for _way in range(2)]
            for way, turn in zip(self._ways, (self._back, self._on), strict=True):
                way.on_click(turn)
            row = ipywidgets.HBox([button, *self._ways], layout={"flex_flow": "row wrap"})
            self._widget = ipywidgets.VBox([self._html, row])
            self._show_ways()
        return self._widget

    def _answered(self) -> tuple[int | None, int | None]:
        """The nearest numbers before and after these that were answered."""
        known = self._desk.aside
        return (
            max((one for one in known if one < self._number), default=None),
            min((one for one in known if one > self._number), default=None),
        )

    def _back(self, _button: Any = None) -> None:
        self._turn_to(self._answered()[0] or self._number)

    def _on(self, _button: Any = None) -> None:
        self._turn_to(self._answered()[1] or self._number)

    def _show_ways(self) -> None:
        words = (_("Back to practice {number}"), _("On to practice {number}"))
        for way, number, said in zip(self._ways, self._answered(), words, strict=True):
            way.layout.display = "none" if number is None else None
            way.description = said.format(number=number)
            way.tooltip = _("These numbers with your answers to them")

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> Any:
        data, metadata = widget_bundle(self.widget)
        return {**data, **self.card._repr_mimebundle_()}, metadata


def widget_bundle(widget: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return what a widget shows of itself, data and metadata."""
    bundle = widget._repr_mimebundle_()
    return bundle if isinstance(bundle, tuple) else (bundle, {})
