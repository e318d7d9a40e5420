"""The placement check in a notebook: questions with boxes, a button, and the evening's lessons with links."""

from __future__ import annotations

from html import escape
from typing import Any

from coldcab.instruments.drawing import style
from coldcab.lessons import LESSONS
from coldcab.lessons.placement import Advice, PlacementQuestion, advise, questions
from coldcab.scenario.showing import in_order, lines_in_order
from coldcab.words import _

SKIP = "not sure"


class PlacementCheck:
    """Ten minutes, one question a lesson; nothing is graded or kept.

    Parameters
    ----------
    links : where each lesson lies, by its name, as seen from the notebook.
    """

    def __init__(self, links: dict[str, str] | None = None, number: int = 1) -> None:
        self.asked: tuple[PlacementQuestion, ...] = questions(number)
        self.links = found_links() if links is None else links
        self.answers: dict[str, str] = {}
        self._widget: Any = None

    def answer(self, lesson: str, text: str) -> None:
        """Take an answer; "not sure" leaves it open."""
        self.answers[lesson] = "" if text == SKIP else text

    def evening(self) -> str:
        """The lessons that are worth the evening, as HTML."""
        marks, advice = advise(self.asked, self.answers)
        right = sum(one.status == "right" for one in marks)
        head = f"<strong>{right} of {len(marks)} right.</strong>"
        if not advice:
            return f"<p>{head} Take the job planner; you need no lesson tonight.</p>"
        rows = "".join(self._row(one) for one in advice)
        return f"<p>{head} These lessons are worth the evening, in this order:</p><ol>{rows}</ol>"

    def _row(self, advice: Advice) -> str:
        name = f"{advice.lesson} · {advice.title}"
        target = self.links.get(advice.lesson)
        link = f'<a href="{escape(target, quote=True)}">{escape(name)}</a>' if target else escape(name)
        return f"<li>{link}: {escape(in_order(advice.reason))}</li>"

    @property
    def widget(self) -> Any:
        """Questions, boxes and the button."""
        if self._widget is None:
            self._widget = self._built()
        return self._widget

    def _built(self) -> Any:
        import ipywidgets as widgets

        rows = [self._question(widgets, number, one) for number, one in enumerate(self.asked, start=1)]
        button = widgets.Button(
            description=_("Show my evening"), button_style="primary", icon="check", layout={"width": "14em"}
        )
        said = widgets.HTML()

        def show(_button: Any) -> None:
            said.value = self.evening()

        button.on_click(show)
        return widgets.VBox([*rows, button, said])

    def _question(self, widgets: Any, number: int, one: PlacementQuestion) -> Any:
        shown = "".join(
            f'<br><span style="color:{style.CARD_QUIET}">{escape(label)}:</span> {escape(text)}'
            for label, text in lines_in_order(one.lines)
        )
        head = widgets.HTML(f"<strong>{number}. {escape(in_order(one.words))}</strong>{shown}")
        wide = widgets.Layout(width="98%", max_width="460px")
        if one.item.choices:
            box: Any = widgets.Dropdown(options=(SKIP, *one.item.choices), value=SKIP, layout=wide)
        else:
            box = widgets.Text(placeholder=f"for example {in_order(one.item.example)}", layout=wide)
        box.observe(lambda change: self.answer(one.pick.lesson, change["new"]), "value")
        return widgets.VBox([head, box], layout=widgets.Layout(margin="0 0 10px 0"))

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> Any:
        bundle = self.widget._repr_mimebundle_()
        data, metadata = bundle if isinstance(bundle, tuple) else (bundle, {})
        text = _("The placement check: {asked} questions, one for each lesson but the clinic.").format(
            asked=len(self.asked)
        )
        return {**data, "text/plain": text, "text/html": f"<p>{text}</p>"}, metadata


def found_links() -> dict[str, str]:
    """Each lesson's file as seen from the refresher's folder."""
    return {lesson: f"../{place}" for lesson, place in LESSONS.items()}
