"""The live form of an instrument: Jupyter widgets that move it. Nothing here knows any physics."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping
from typing import Any, Protocol

import ipywidgets as widgets

from coldcab import units
from coldcab.instruments.canvas import Canvas
from coldcab.instruments.controls import Buttons, Choice, Control, Slider, Switch
from coldcab.instruments.drawing import style
from coldcab.instruments.foreseeing import Foresight
from coldcab.instruments.playing import Player, playable
from coldcab.words import _

_LABEL = {"description_width": "160px"}
SKETCHED = 0.35  # s after the last move, when what was only sketched is worked out in full
REST = 0.4  # s after the last move, when what is set is kept
AFTER = 0.02  # s; a frame or so: rows and lists follow the drawing, which the eye is on


class Movable(Protocol):
    """What a panel must know of an instrument."""

    controls: tuple[Control, ...]
    drawer: str
    fixed: bool
    plays: Mapping[str, float]
    resting: bool
    system: str
    two_steps: bool

    @property
    def settings(self) -> Mapping[str, Any]:
        """The controls' values by name, SI."""
        ...

    def html(self) -> str:
        """The drawing with its words."""
        ...

    def kept_face(self) -> str:
        """The part of the drawing that does not move."""
        ...

    def in_use(self, control: Control) -> bool:
        """Whether a control has something to say as the others stand."""
        ...

    def offered(self, control: Choice) -> tuple[str, ...]:
        """What a choice offers as the others stand."""
        ...

    def accept(self, control: Control, given: object) -> bool:
        """Take what a learner moved or typed; whether it could be taken."""
        ...

    def place(self, control: Slider, value: float) -> None:
        """Take the position of a slider, SI."""
        ...

    def foresees(self, control: Control) -> bool:
        """Whether the next moves of a control may be worked out before they come."""
        ...

    def twin(self) -> Any:
        """Another one that stands the same, to try a move."""
        ...

    def become(self, twin: Any) -> None:
        """Take over all that a twin has worked out."""
        ...

    def come_to_rest(self) -> None:
        """Work out in full what was only sketched while the hand moved."""
        ...

    def reset(self) -> None:
        """Back to what the page gives."""
        ...

    def keep(self) -> None:
        """Keep what is set for the next time."""
        ...


class Panel:
    """Controls above, drawing and reading line below."""

    def __init__(self, instrument: Movable) -> None:
        self.instrument = instrument
        self._quiet = False
        self._movers: dict[str, widgets.Widget] = {}
        self._boxes: dict[str, widgets.Text] = {}
        self._rows: dict[str, widgets.Widget] = {}
        self._presses: dict[str, dict[str, widgets.Button]] = {}
        self._soon: asyncio.TimerHandle | None = None
        self._rest: asyncio.TimerHandle | None = None
        self._foresight = Foresight()
        self._last: tuple[Control, Any] | None = None  # the control that moved last, and where it stands
        self.player: Player | None = None
        layout = widgets.Layout(width="100%", margin="0")
        self.drawing = Canvas(instrument.html(), instrument.kept_face(), layout=layout)
        children: list[widgets.Widget] = [self.drawing]
        if instrument.controls and not instrument.fixed:
            desk = widgets.VBox(self._desk(), layout=widgets.Layout(width="100%"))
            desk.add_class("coldcab-desk")
            children = [desk, self.drawing]
        self.box = widgets.VBox(children, layout=widgets.Layout(width="100%", max_width=f"{style.SHEET}px"))
        self._hide_and_show()

    def paint(self) -> None:
        """Show the present state."""
        self._foresight.forget()
        self.drawing.show(self.instrument.html(), self.instrument.kept_face())

    def show_settings(self) -> None:
        """Bring sliders and boxes to the instrument's settings."""
        for control in self.instrument.controls:
            if control.name in self._rows:
                self._show(control)
        self._hide_and_show()

    def show_settings_soon(self) -> None:
        """Bring sliders and boxes to the instrument's settings when the drawing has been painted."""
        self._after(self.show_settings)

    def offer_anew(self) -> None:
        """Bring lists and buttons to what can be chosen now."""
        self._hide_and_show()

    def _desk(self) -> list[widgets.Widget]:
        for control in self.instrument.controls:
            self._rows[control.name] = self._row(control)
            self._rows[control.name].add_class("coldcab-control")
        open_rows = [self._rows[control.name] for control in self.instrument.controls if not control.folded]
        folded = [self._rows[control.name] for control in self.instrument.controls if control.folded]
        if self.instrument.plays:
            used = {control.name: control for control in self.instrument.controls}
            find = playable(self.instrument.plays, self._movers, lambda name: self.instrument.in_use(used[name]))
            self.player = Player(find)
        if folded:
            return [_grid(open_rows, "grid"), *self._drawer(folded)]
        return [_grid([*open_rows, self._hand_buttons()], "grid")]

    def _drawer(self, rows: list[widgets.Widget]) -> list[widgets.Widget]:
        """A button that opens and shuts the folded controls; the keyboard reaches it."""
        inside = _grid(rows, "none")
        button = widgets.ToggleButton(
            description=self.instrument.drawer,
            icon="caret-right",
            tooltip=_("{drawer}: open or shut").format(drawer=self.instrument.drawer),
            layout=widgets.Layout(width="auto", flex="1 1 auto", margin="2px 0"),
        )

        def turn(change: dict[str, bool]) -> None:
            inside.layout.display = "grid" if change["new"] else "none"
            button.icon = "caret-down" if change["new"] else "caret-right"

        button.observe(turn, "value")
        return [widgets.HBox([button, self._hand_buttons()], layout=widgets.Layout(width="100%")), inside]

    def _hand_buttons(self) -> widgets.Widget:
        """Play, where time matters, and reset."""
        buttons = [self.player.button] if self.player else []
        return widgets.HBox([*buttons, self._reset_button()], layout=widgets.Layout(margin="0 0 0 auto"))

    def _reset_button(self) -> widgets.Widget:
        button = widgets.Button(
            description=_("Reset"),
            icon="undo",
            tooltip=_("Reset: every control back to where this page has it"),
            layout=widgets.Layout(width="auto", margin="2px 2px 2px auto"),
        )
        button.on_click(lambda _pressed: self._reset())
        return button

    def _reset(self) -> None:
        if self.player is not None:
            self.player.stop()
        self._begin()
        self._last = None
        self.instrument.reset()
        self.show_settings()
        self.paint()
        self.instrument.keep()

    def _begin(self) -> None:
        """A hand moves: where it takes two steps, the first one now, the other when nothing more comes."""
        if self._rest is not None:
            self._rest.cancel()
            self._rest = None
        if not self.instrument.two_steps:
            return
        try:
            self._rest = asyncio.get_running_loop().call_later(SKETCHED, self._come_to_rest)
            self.instrument.resting = False
        except RuntimeError:  # no page behind it
            self.instrument.resting = True

    def _come_to_rest(self) -> None:
        self._rest = None
        self.instrument.come_to_rest()
        self.paint()
        if self._last is not None:
            self._foresight.begin(self.instrument, *self._last, self.drawing.now)

    def _move(self, control: Control, given: Any, before: float | None = None) -> None:
        """Make a move, or show what was foreseen of it; then look ahead."""
        self._begin()
        if step := self._foresight.take(control, given, self.drawing.now):
            self.instrument.become(step.twin)
            self.drawing.turn(step.drawing, step.changes)
        else:
            if isinstance(control, Slider):
                self.instrument.place(control, control.from_number(given, self.instrument.system))
            else:
                self.instrument.accept(control, given)
            self.paint()
        self._last = control, given
        self._foresight.begin(self.instrument, control, given, self.drawing.now, before=before)

    def _keep_soon(self) -> None:
        """Keep the settings when the hand has come to rest."""
        if self._soon is not None:
            self._soon.cancel()
        try:
            self._soon = asyncio.get_running_loop().call_later(REST, self.instrument.keep)
        except RuntimeError:  # no page behind it
            self.instrument.keep()

    def _row(self, control: Control) -> widgets.Widget:
        if isinstance(control, Slider):
            return self._slider_row(control)
        if isinstance(control, Buttons):
            return self._buttons_row(control)
        layout = widgets.Layout(width="auto", max_width="460px")  # 100 % and the margin would stick out
        value = self.instrument.settings[control.name]
        if isinstance(control, Choice):
            mover: widgets.Widget = widgets.Dropdown(
                options=self._named(control),
                value=value,
                description=control.label,
                style=_LABEL,
                layout=layout,
            )
        elif isinstance(control, Switch):
            mover = widgets.Checkbox(value=value, description=control.label, indent=True, style=_LABEL, layout=layout)
        else:
            mover = widgets.Text(
                value=value, description=control.label, continuous_update=False, style=_LABEL, layout=layout
            )
        mover.observe(lambda change: self._moved(control, change["new"]), "value")
        self._movers[control.name] = mover
        return mover

    def _slider_row(self, control: Slider) -> widgets.Widget:
        system = self.instrument.system
        value = self.instrument.settings[control.name]
        low, high, step = control.travel(system)
        unit = control.unit_of(system)
        label = f"{control.label}, {unit}" if unit else control.label
        slider = widgets.FloatSlider(
            value=control.in_unit(value, system),
            min=low,
            max=high,
            step=step,
            readout=False,
            description=label,
            tooltip=_("{label}: arrow keys move it by {step:g}").format(label=label, step=step),
            style=_LABEL,
            layout=widgets.Layout(flex="1 1 auto", width="auto", min_width="0"),
        )
        box = widgets.Text(
            value=control.words(value, system),
            continuous_update=False,
            tooltip=_("{label}: type a number or a number with a unit").format(label=label),
            layout=widgets.Layout(width="128px", flex="0 0 auto"),
        )
        slider.observe(lambda change: self._slid(control, change["new"]), "value")
        box.observe(lambda change: self._typed(control, change["new"]), "value")
        self._movers[control.name], self._boxes[control.name] = slider, box
        return widgets.HBox([slider, box], layout=widgets.Layout(width="100%", align_items="center"))

    def _moved(self, control: Control, value: object) -> None:
        if self._quiet:
            return
        self._tidy()
        self._move(control, value)
        self._after(self._hide_and_show)
        self._keep_soon()

    def _buttons_row(self, control: Buttons) -> widgets.Widget:
        buttons = {option: self._button(control, option) for option in control.options if option != control.first}
        self._presses[control.name] = buttons
        label = widgets.Label(control.label, layout=widgets.Layout(width="160px"))
        return widgets.HBox([label, *buttons.values()], layout=widgets.Layout(flex_flow="row wrap", width="100%"))

    def _button(self, control: Buttons, option: str) -> widgets.Button:
        button = widgets.Button(
            description=units.in_order(option, self.instrument.system),
            tooltip=_("{label}: {option}").format(label=control.label, option=option),
            layout=widgets.Layout(width="auto", min_width="44px"),
        )
        button.on_click(lambda _pressed: self._moved(control, option))
        return button

    def _slid(self, control: Slider, number: float) -> None:
        if self._quiet:
            return
        system = self.instrument.system
        now = control.in_unit(self.instrument.settings[control.name], system)
        # A slider put at a typed number settles at its nearest step and says so; the typed number stands.
        if abs(number - now) <= 0.5 * control.travel(system)[2] and number != now:
            return
        if self.player is not None and not self.player.moves:
            self.player.stop()  # a hand is on the slider
        self._tidy()
        self._move(control, number, before=now)
        self._hush(self._boxes[control.name], control.words(self.instrument.settings[control.name], system))
        self._keep_soon()

    def _typed(self, control: Control, text: str) -> None:
        if self._quiet:
            return
        self._tidy(but=control)
        self._begin()
        self._last = None
        if self.instrument.accept(control, text):
            self._after(lambda: self._show(control))
            self._keep_soon()
        self.paint()

    def _tidy(self, but: Control | None = None) -> None:
        """Put boxes back that hold something unreadable: its sentence goes with the next move, so must the words."""
        system = self.instrument.system
        for control in self.instrument.controls:
            if control is not but and (box := self._boxes.get(control.name)) is not None:
                words = control.words(self.instrument.settings[control.name], system)
                if box.value != words:
                    self._hush(box, words)

    def _show(self, control: Control) -> None:
        value = self.instrument.settings[control.name]
        if isinstance(control, Slider):
            system = self.instrument.system
            low, high, __ = control.travel(system)
            self._hush(self._movers[control.name], min(max(control.in_unit(value, system), low), high))
            self._hush(self._boxes[control.name], control.words(value, system))
        elif not isinstance(control, Buttons):
            self._hush(self._movers[control.name], value)

    def _hush(self, widget: widgets.Widget, value: object) -> None:
        """Set a widget without hearing its own answer."""
        self._quiet = True
        try:
            widget.value = value
        finally:
            self._quiet = False

    def _after(self, follow: Callable[[], None]) -> None:
        """Let the drawing be painted first: what rows and lists send would come before its frame."""
        try:
            asyncio.get_running_loop().call_later(AFTER, follow)
        except RuntimeError:  # no page behind it
            follow()

    def _hide_and_show(self) -> None:
        for control in self.instrument.controls:
            if isinstance(row := self._rows.get(control.name), widgets.Widget):
                wanted = None if self.instrument.in_use(control) else "none"
                if row.layout.display != wanted:
                    row.layout.display = wanted
                if isinstance(control, Choice):
                    self._offer(control)

    def _named(self, control: Choice) -> tuple[Any, ...]:
        """What is offered: each by its name in the learner's order of units, and by what is kept in any order."""
        offered, system = self.instrument.offered(control), self.instrument.system
        return offered if system == "us" else tuple((units.in_order(one, system), one) for one in offered)

    def _offer(self, control: Choice) -> None:
        """Bring a list, or buttons, to what is offered now."""
        if isinstance(control, Buttons):
            offered = self.instrument.offered(control)
            for option, button in self._presses[control.name].items():
                button.layout.display = None if option in offered else "none"
            return
        mover, options = self._movers[control.name], self._named(control)
        if tuple(mover.options) != options:
            self._quiet = True
            try:
                with mover.hold_sync():  # one message for the list and its place
                    mover.options = options
                    mover.value = self.instrument.settings[control.name]
            finally:
                self._quiet = False


def _grid(rows: list[widgets.Widget], display: str) -> widgets.Box:
    columns = "repeat(auto-fit, minmax(min(400px, 100%), 1fr))"
    return widgets.Box(rows, layout=widgets.Layout(display=display, grid_template_columns=columns, width="100%"))
