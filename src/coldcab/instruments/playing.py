"""A slider that moves by itself while time goes: play, pause, and the slider itself to go to and fro."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Mapping

import ipywidgets as widgets

from coldcab.words import _

EVERY = 0.1  # s between two pictures; where a picture takes longer, fewer are shown and time goes on
Sliders = Callable[[], tuple[widgets.FloatSlider, float]]


def playable(plays: Mapping[str, float], sliders: Mapping[str, widgets.Widget], used: Callable[[str], bool]) -> Sliders:
    """Return what finds the slider that is played now: the first that is in use, and the seconds of its whole way."""

    def find() -> tuple[widgets.FloatSlider, float]:
        name = next((name for name in plays if used(name)), next(iter(plays)))
        return sliders[name], plays[name]

    return find


class Player:
    """The button that plays.

    A press plays on from where the slider stands, or from its beginning where it stands at its end; another press, or a
    hand on the slider, stops it. Seconds below zero play from the top of the slider down.
    """

    def __init__(self, find: Sliders) -> None:
        self._find = find
        self._task: asyncio.TimerHandle | None = None
        self.moves = False  # while the player itself moves the slider
        self.button = widgets.Button(
            description=_("Play"),
            icon="play",
            tooltip=_("Play: let time go; press again to stop, or move the slider yourself"),
            layout=widgets.Layout(width="auto", margin="2px"),
        )
        self.button.on_click(lambda _pressed: self.stop() if self.plays else self.play())

    @property
    def plays(self) -> bool:
        """Whether it plays now."""
        return self._task is not None

    def play(self) -> None:
        """Begin, if there is a page behind it."""
        slider, seconds = self._find()
        begin, end = (slider.min, slider.max) if seconds > 0 else (slider.max, slider.min)
        self._from = begin if abs(slider.value - end) < 0.5 * slider.step else slider.value
        self._began = time.monotonic()
        self.button.description, self.button.icon = _("Pause"), "pause"
        self._again()

    def stop(self) -> None:
        """Stop where it stands."""
        if self._task is not None:
            self._task.cancel()
        self._task = None
        self.button.description, self.button.icon = _("Play"), "play"

    def _again(self) -> None:
        try:
            self._task = asyncio.get_running_loop().call_later(EVERY, self.step)
        except RuntimeError:
            self.stop()

    def step(self) -> None:
        """Bring the slider to where it must be by now, at one of its whole steps."""
        slider, seconds = self._find()
        way = (slider.max - slider.min) * (time.monotonic() - self._began) / seconds
        number = min(max(self._from + way, slider.min), slider.max)
        number = slider.min + round((number - slider.min) / slider.step) * slider.step
        self.moves = True
        try:
            slider.value = number
        finally:
            self.moves = False
        if number in (slider.min, slider.max) and abs(way) > slider.step:
            self.stop()
        else:
            self._again()
