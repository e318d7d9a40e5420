"""What every instrument shares: settings, controls, the drawing, its words, and how a notebook shows it.

An instrument keeps its settings in SI, asks the rooms of physics for the readings, and draws them as SVG text.
The part of a drawing that does not move is made once and kept.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from html import escape
from types import MappingProxyType
from typing import Any

from coldcab import air, learner, units
from coldcab.instruments import keeping
from coldcab.instruments.controls import Choice, Control, Entry, Slider, Switch, printable
from coldcab.instruments.drawing import style, svg
from coldcab.words import _


class Instrument:
    """A thing to read and to move.

    Parameters
    ----------
    system : "us" puts trade units first, "si" metric ones; without it the learner's own choice is taken.
    fixed : True shows it without controls, as a display that `set` drives.
    settings : by name, as listed by the instrument: a number in the unit named there, or text with a unit
        ("31 psig", "5,000 ft").
    """

    title = ""
    height = 400
    word_lines = 3  # room kept for the reading line, so that nothing below jumps
    words_above = False  # a tall drawing has its reading line above, near the controls
    stamp = (style.WIDTH / 2, 200.0)  # middle of the words "no reading"
    drawer = ""  # title of the drawer that holds the folded controls
    controls: tuple[Control, ...] = ()
    face_settings: tuple[str, ...] = ()  # settings that change the part of the drawing that does not move
    plays: Mapping[str, float] = MappingProxyType({})  # sliders that can play, and seconds of their whole way
    two_steps = False  # while the hand moves, something lighter is worked out; the rest follows when it rests
    passing: tuple[str, ...] = ()  # settings that are moves, not states: nothing of them is kept

    def __init__(self, *, system: str | None = None, fixed: bool = False, **settings: object) -> None:
        system = learner.units() if system is None else system
        if system not in ("us", "si"):
            raise ValueError(_("system is {value!r}; it must be us or si.").format(value=str(system)[:20]))
        self.system = system
        self.fixed = fixed  # no controls
        self._settings: dict[str, Any] = {control.name: control.first for control in self.controls}
        self._faces: dict[tuple, str] = {}
        self._panel = None
        self._where_kept = ""
        self.resting = True  # False while a hand moves something
        self._note = ""
        self._update(settings)
        self._page = dict(self._settings)  # what the page gives; a reset comes back to it
        self._work_out()

    # What one instrument says about itself ---------------------------------------------------------------

    def calculate(self) -> dict[str, Any]:
        """The readings in SI, from the rooms of physics; a ValueError's sentence is shown to the learner."""
        raise NotImplementedError

    def face(self) -> str:
        """The part of the drawing that does not move."""
        raise NotImplementedError

    def moving(self, readings: Mapping[str, Any]) -> str:
        """The part of the drawing that follows the readings."""
        raise NotImplementedError

    def summary(self, readings: Mapping[str, Any]) -> str:
        """What it says now, in one to three plain sentences."""
        raise NotImplementedError

    def details(self, readings: Mapping[str, Any]) -> str:
        """The same for who does not see the drawing: every number that it shows."""
        return self.summary(readings)

    def caution(self) -> str:
        """What must stand below the drawing as it is set, in one or two sentences; empty where nothing must."""
        return ""

    def standing(self) -> str:
        """What still can be drawn when there is no reading."""
        return ""

    def in_use(self, control: Control) -> bool:
        """Whether a control belongs to the present mode."""
        return True

    def offered(self, control: Choice) -> tuple[str, ...]:
        """What a choice offers as the other settings stand; what is chosen now stays in it."""
        return control.options

    # For notebooks and tests -----------------------------------------------------------------------------

    @property
    def settings(self) -> Mapping[str, Any]:
        """The present settings: SI numbers, words and switches."""
        return MappingProxyType(self._settings)

    @property
    def readings(self) -> Mapping[str, Any]:
        """The present readings, SI; empty where there is none (see `fault`)."""
        return MappingProxyType(self._readings)

    @property
    def fault(self) -> str:
        """The sentence that says why there is no reading; empty if there is one."""
        return self._fault

    def set(self, **settings: object) -> Instrument:
        """Change settings by name and draw again.

        Raises
        ------
        ValueError : a name or a value that this instrument does not have; nothing is changed then.
        """
        before = dict(self._settings)
        self._update(settings)
        moved = {name for name, value in self._settings.items() if value != before[name]}
        self._page |= {name: self._settings[name] for name in moved.union(settings)}
        self._note = ""
        self._work_out()
        if self._panel is not None:
            self._panel.show_settings()
            self._panel.paint()
        return self

    def reading_line(self) -> str:
        """What the instrument says now, in plain words."""
        if self._note:
            return self._note
        said = f"No reading: {_capital(self._fault)}" if self._fault else self.summary(self._readings)
        return units.in_order(said, self.system)

    def description(self) -> str:
        """A text alternative to the drawing: one paragraph with the numbers."""
        told = f"No reading: {_capital(self._fault)}" if self._fault else self.details(self._readings)
        said = " ".join(filter(None, (f"{self.title}. {self._settings_in_words()} {told}", self.caution())))
        return units.in_order(said, self.system)

    def picture(self, *, words: bool = True) -> str:
        """The drawing in its present state as SVG text; with `words` the reading line stands below it."""
        height = self.height + (style.MARGIN + 22 * self.word_lines if words else 0)
        drawn = [svg.box(0, 0, style.WIDTH, height, rx=style.CORNER, fill=style.GROUND), self.kept_face()]
        drawn.append(self._no_reading() if self._fault else self.moving(self._readings))
        if words:
            drawn.append(svg.line(20, self.height, style.WIDTH - 20, self.height, stroke=style.RULE))
            drawn.append(
                svg.paragraph(style.MARGIN, self.height + 26, self.reading_line(), style.WIDTH - 2 * style.MARGIN)
            )
        told = escape(self.description())
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{style.WIDTH}" height="{height}" '
            f'viewBox="0 0 {style.WIDTH} {height}" style="display:block;width:100%;max-width:{style.SHEET}px;'
            f'height:auto" font-family="{style.FONT}" font-size="{style.BODY}" fill="{style.INK}" role="img" '
            f'aria-label="{told}"><title>{escape(self.title)}</title><desc>{told}</desc>{"".join(drawn)}</svg>'
        )

    def html(self) -> str:
        """The drawing with its reading line below (or above), as HTML."""
        drawing = self.picture(words=False)
        line = (
            f'<p role="status" style="margin:0;padding:6px 20px 14px;min-height:{1.45 * (self.word_lines - 1):g}em;'
            f'font:15px/1.45 {style.FONT};color:{style.INK}">{escape(self.reading_line())}</p>'
        )
        if caution := units.in_order(self.caution(), self.system):
            drawing += (
                f'<p style="margin:0;padding:0 20px 12px;font:15px/1.45 {style.FONT};color:{style.NOTE}">'
                f"{escape(caution)}</p>"
            )
        return (
            f'<div style="max-width:{style.SHEET}px;background:{style.GROUND};color:{style.INK};'
            f'border-radius:{style.CORNER}px">{line + drawing if self.words_above else drawing + line}</div>'
        )

    @property
    def widget(self) -> Any:
        """The controls and the drawing as a Jupyter widget, made on first use."""
        if self._panel is None:
            from coldcab.instruments.panel import Panel

            if not self.fixed:
                self._recall()
            self._panel = Panel(self)
        return self._panel.box

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, Any]:
        bundle = dict(self.widget._repr_mimebundle_())
        bundle["text/html"] = self.html()
        bundle["text/plain"] = self.description()
        return bundle

    # For the panel ---------------------------------------------------------------------------------------

    def kept_face(self) -> str:
        """The part of the drawing that does not move, made once for each of its states."""
        key = tuple(self._settings[name] for name in self.face_settings)
        if key not in self._faces:
            self._faces[key] = self.face()
        return self._faces[key]

    def accept(self, control: Control, given: object) -> bool:
        """Take what a learner moved or typed; what cannot be taken is said in the reading line."""
        try:
            value = control.read(given, self.system, self.atmosphere, typed=True)
        except ValueError as problem:
            self._note = printable(str(problem))
            return False
        self._note = ""
        self._turn(control, value)
        return True

    def place(self, control: Slider, value: float) -> None:
        """Take the position of a slider, SI; the slider itself keeps it within its limits."""
        low, high = control.limits
        self._note = ""
        self._turn(control, min(max(value, low), high))  # the slider's last step may overshoot

    def _turn(self, control: Control, value: Any) -> None:
        """Take a value that can be taken, with all that hangs on it."""
        before = self._settings.get(control.name)
        self._settings[control.name] = value
        if value != before:
            self._turned(control)
        self._work_out()

    def _turned(self, control: Control) -> None:
        """What else another value of a control brings, before anything is worked out."""

    def foresees(self, control: Control) -> bool:
        """Whether the next moves of a control may be worked out before they come: they must change nothing else."""
        return control.name not in self.passing

    def twin(self) -> Any:
        """Another one that stands as this one does while a hand moves, to try a move; no page shows it."""
        other = copy.copy(self)
        other._settings, other._panel = dict(self._settings), None
        other.resting = self.resting and not self.two_steps
        return other

    def become(self, twin: Any) -> None:
        """Take over all that a twin has worked out."""
        panel = self._panel
        self.__dict__.update(vars(twin))
        self._panel = panel

    def come_to_rest(self) -> None:
        """Work out in full what was only sketched while the hand moved."""
        self.resting = True
        self._work_out()

    def reset(self) -> None:
        """Back to what the page gives."""
        self._settings, self._note = dict(self._page), ""
        self.take_more(None)
        self._work_out()

    def keep(self) -> None:
        """Keep the present settings in the learner's copy, for the next Start."""
        keeping.keep(self._where_kept, self._lasting(self._page), self._lasting(self._settings), self.more())

    def more(self) -> Any:
        """What is kept beside the settings, as JSON holds it."""
        return None

    def take_more(self, more: Any) -> None:
        """Take what was kept beside the settings; None at a reset. Nobody has looked whether it is still good."""

    def _lasting(self, settings: Mapping[str, Any]) -> dict[str, Any]:
        return {name: value for name, value in settings.items() if name not in self.passing}

    def _recall(self) -> None:
        """Take what the learner had set on this page before."""
        self._where_kept = keeping.place()
        kept, more = keeping.recall(self._where_kept, self._lasting(self._page), self.controls)
        if kept or more:
            self._settings |= kept
            self.take_more(more)
            self._work_out()

    # Helpers of the instruments --------------------------------------------------------------------------

    @property
    def atmosphere(self) -> float:
        """Air pressure around the gauge at the altitude that is set, Pa."""
        return float(air.atmospheric_pressure(self._settings.get("altitude", 0.0)))

    def words(self, value: float, kind: str) -> str:
        """A quantity in words, in this instrument's order of units."""
        return units.show(value, kind, system=self.system, atmosphere=self.atmosphere)

    def gauge_to_absolute(self, gauge: float) -> float:
        """Absolute pressure of a gauge reading, Pa; a ValueError where no such vacuum exists."""
        pressure = gauge + self.atmosphere
        if pressure <= 0.0:
            left = units.convert(self.atmosphere, "pressure", "inHg absolute")
            raise ValueError(
                _(
                    "at this altitude the air presses with {left:.1f} inHg, so no gauge can show a deeper "
                    "vacuum than that; {gauge:.1f} inHg vacuum is impossible here."
                ).format(left=left, gauge=-units.convert(gauge, "pressure difference", "inHg"))
            )
        return pressure

    def _update(self, settings: Mapping[str, object]) -> None:
        known = {control.name: control for control in self.controls}
        kept = dict(self._settings)
        try:
            # The altitude first: it gives a gauge reading its meaning.
            for name in sorted(settings, key=lambda name: name != "altitude"):
                if name not in known:
                    raise ValueError(
                        _("{title} has no setting {name!r}; it has {known}.").format(
                            title=self.title, name=name, known=", ".join(known)
                        )
                    )
                value = known[name].read(settings[name], self.system, self.atmosphere)
                self._settings[name] = value
        except ValueError:
            self._settings = kept
            raise

    def _work_out(self) -> None:
        self._fault, self._readings = "", {}
        try:
            self._readings = self.calculate()
        except ValueError as problem:
            self._fault = printable(str(problem))

    def _no_reading(self) -> str:
        x, y = self.stamp
        stamp = svg.box(x - 90, y - 26, 180, 44, rx=6, fill=style.GROUND, stroke=style.NOTE, stroke_width=2)
        stamp += svg.text(x, y + 3, "no reading", size=style.STRONG, anchor="middle", color=style.NOTE)
        return self.standing() + stamp

    def _settings_in_words(self) -> str:
        parts = []
        for control in self.controls:
            if not self.in_use(control):
                continue
            value = self._settings[control.name]
            if isinstance(control, Slider):
                parts.append(f"{control.label} {control.words(value, self.system)}")
            elif isinstance(control, Switch):
                parts.append(f"{control.label}: {'on' if value else 'off'}")
            elif isinstance(control, Choice | Entry):
                parts.append(f"{control.label} {value}")
        return _("Set to {parts}.").format(parts=", ".join(parts)) if parts else ""


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]
