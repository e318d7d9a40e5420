"""Practice lines of earlier lessons, asked again one by one, with other numbers than the last time."""

from __future__ import annotations

from datetime import date
from html import escape
from typing import Any

from coldcab import assess, lessons
from coldcab.desk import record
from coldcab.desk.look import card, quiet
from coldcab.instruments.drawing import style
from coldcab.instruments.tables import html_table
from coldcab.scenario.showing import in_order, lines_in_order
from coldcab.words import _

SKIP = _("choose one")
APART = 49
"""How many sets of numbers lie between a line's last numbers and the next ones."""


class Question:
    """One line with numbers that it was not answered for the last time."""

    def __init__(self, lesson: str, label: str) -> None:
        self.lesson = lesson
        self.practice = assess.PRACTICE_PREFIX + lesson
        self.item = lessons.PRACTICE[self.practice].item(label)
        before, deck = record.lines(lesson).get(label), lessons.deck(self.practice)
        self.number = ((before.number if before else 0) + APART - 1) % len(deck) + 1
        self.card = deck.card(label, self.number)
        self.case = lessons.practice_case(self.practice, self.number)

    def html(self) -> str:
        """Lesson, numbers and question."""
        cell = "text-align:left;padding:2px 14px 2px 0;vertical-align:top"
        numbers = html_table(
            lines_in_order(self.case.lines()),
            look="border-collapse:collapse;margin:4px 0",
            cell=cell,
            row_head=f"{cell};font-weight:600",
        )
        title = lessons.PRACTICE[self.practice].title
        open_page = _("open its practice")
        page = escape(lessons.LESSONS[self.lesson], quote=True)
        return card(
            f'<strong>{escape(title)}</strong> · <a href="{page}#Practice">{escape(open_page)}</a>{numbers}'
            f'<p style="margin:8px 0 2px"><strong>{escape(in_order(self.item.prompt))}</strong></p>{self._hint()}'
        )

    def _hint(self) -> str:
        if self.item.kind == assess.LIST:
            return quiet(_("One or several of: {choices}").format(choices=" · ".join(self.item.choices)))
        return (
            "" if self.item.choices else quiet(_("For example {example}").format(example=in_order(self.item.example)))
        )

    def answer(self, text: str, today: date | None = None) -> assess.Mark:
        """Mark an answer, keep what came of it, and return the mark."""
        mark = assess.mark_by_card(self.item, text, self.card, self.case)
        record.marked(self.practice, self.number, [mark], today)
        return mark


class Repeat:
    """Asks the lines that are due, one after the other.

    Parameters
    ----------
    due
        Lesson and label of each.
    done
        Is called after the last one.
    """

    def __init__(self, due: tuple[tuple[str, str], ...], done: Any = None) -> None:
        import ipywidgets as widgets

        self._due, self._place, self._right, self._done = due, 0, 0, done
        self._widgets = widgets
        self.box = widgets.VBox(layout=widgets.Layout(max_width="60em"))
        self._ask()

    def _ask(self) -> None:
        widgets = self._widgets
        if self._place >= len(self._due):
            said = _("Done for today: {right} of {asked} right.").format(right=self._right, asked=len(self._due))
            self.box.children = [widgets.HTML(card(f"<strong>{escape(said)}</strong>"))]
            if self._done is not None:
                self._done()
            return
        self.question = Question(*self._due[self._place])
        wide = widgets.Layout(width="98%", max_width="460px")
        if self.question.item.kind == assess.CHOICE:
            self._field: Any = widgets.Dropdown(options=(SKIP, *self.question.item.choices), layout=wide)
        else:
            self._field = widgets.Text(placeholder=_("your answer"), layout=wide)
        check = widgets.Button(description=_("Check"), button_style="primary", icon="check")
        check.on_click(self._check)
        self._said = widgets.HTML()
        self._next = widgets.Button(description=_("Next"), layout=widgets.Layout(display="none"))
        self._next.on_click(self._go_on)
        count = quiet(_("Line {place} of {count}").format(place=self._place + 1, count=len(self._due)))
        self._check_button = check
        self.box.children = [
            widgets.HTML(count + self.question.html()),
            self._field,
            widgets.HBox([check, self._next]),
            self._said,
        ]

    def _check(self, _pressed: Any = None) -> None:
        text = "" if self._field.value == SKIP else self._field.value
        mark = self.question.answer(text)
        if mark.status in ("blank", "unreadable"):
            self._said.value = card(escape(in_order(mark.feedback)))
            return
        right = mark.status == "right"
        self._right += right
        color = style.CARD_RIGHT if right else style.CARD_WRONG
        word = _("✔ Right.") if right else _("✎ Look again.")
        rest = "" if right else f" {escape(in_order(mark.feedback))}"
        self._said.value = card(f'<span style="color:{color}">{word}</span> {escape(mark.read)}{rest}')
        self._check_button.disabled = self._field.disabled = True
        self._next.layout.display = None

    def _go_on(self, _pressed: Any = None) -> None:
        self._place += 1
        self._ask()
