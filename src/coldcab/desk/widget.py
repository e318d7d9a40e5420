"""The desk alive in a notebook, and the picture of it that the file keeps."""

from __future__ import annotations

from typing import Any
from weakref import WeakSet

from coldcab.desk import page
from coldcab.desk.repeat import Repeat
from coldcab.desk.state import look
from coldcab.words import _

_open: WeakSet[LearnerDesk] = WeakSet()


class LearnerDesk:
    """What is done and open, where to go on, what to mend and to repeat; it reads the learner's folder when asked."""

    def __init__(self) -> None:
        self._widget: Any = None
        self._repeat: Repeat | None = None
        self.state = look()
        _open.add(self)

    def refresh(self, _pressed: Any = None) -> None:
        """Read the folder again and show what is new; a line that is being repeated stays."""
        self.state = look()
        if self._widget is not None:
            self._show()

    @property
    def widget(self) -> Any:
        """The desk, the button to repeat, and the page of what one can do."""
        if self._widget is None:
            import ipywidgets as widgets

            self._page, self._list = widgets.HTML(), widgets.HTML()
            self._again = widgets.Button(description=_("Repeat now"), button_style="primary", icon="refresh")
            self._again.on_click(self._begin_repeat)
            self._can = widgets.Button(description=_("What I can do"), icon="list", layout={"width": "14em"})
            self._can.on_click(self._turn_list)
            self._asked = widgets.VBox()
            row = widgets.HBox([self._again, self._can], layout={"flex_flow": "row wrap"})
            self._widget = widgets.VBox([self._page, row, self._asked, self._list])
            self._show()
        return self._widget

    def _show(self) -> None:
        self._page.value = page.desk_page(self.state)
        self._again.layout.display = None if self.state.due and not self._repeating else "none"
        if self._list.value:
            self._list.value = _printable(page.can_do_page(self.state))

    @property
    def _repeating(self) -> bool:
        return bool(self._asked.children)

    def _begin_repeat(self, _pressed: Any = None) -> None:
        self._repeat = Repeat(self.state.due, done=self.refresh)
        self._asked.children = [self._repeat.box]
        self._again.layout.display = "none"

    def _turn_list(self, _pressed: Any = None) -> None:
        self._list.value = "" if self._list.value else _printable(page.can_do_page(self.state))

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> Any:
        bundle = self.widget._repr_mimebundle_()
        data, metadata = bundle if isinstance(bundle, tuple) else (bundle, {})
        # Where nothing is known the file keeps the map alone, the same on every computer.
        html = page.desk_page(self.state) if self.state.known else page.blank_map()
        return {**data, "text/html": html, "text/plain": plain(self.state)}, metadata


def _printable(html: str) -> str:
    words = _("Print this page")
    return (
        f'<div class="coldcab-print">{html}</div>'
        f'<button class="coldcab-print-button jupyter-button" type="button">{words}</button>'
    )


def plain(state: Any) -> str:
    """Return the desk in a line or two of plain text."""
    if not state.known:
        return _("Your desk: nothing is done yet; begin with the first lesson.")
    done = sum(one.done for one in state.lessons)
    return _("Your desk: {done} of {all} lessons done, {due} lines to repeat, {ideas} ideas to mend.").format(
        done=done, all=len(state.lessons), due=len(state.due), ideas=len(state.mistakes)
    )


def refresh() -> None:
    """Bring every desk of this kernel to what the folder says now; the page asks for it when it is shown again."""
    for one in list(_open):
        one.refresh()
