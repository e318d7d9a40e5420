"""The leak bench: a machine with one or two hidden leaks; each action costs minutes and money."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from coldcab.instruments.controls import Choice, Switch
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.path_desk import PathDesk, measurement_choice
from coldcab.scenario import leak_hunt
from coldcab.scenario.leak_hunt import ACTIONS, PLACES
from coldcab.words import _

MANY = 40
"""Machines on the bench."""
TOP, STEP = 84.0, 26.0
STATE, PATH, LAST = 262.0, 424.0, style.WIDTH - style.MARGIN
PRICES = {name: action.minutes for name, action in ACTIONS.items()}
ROW, LINES = 47.0, 6
"""Actions that are drawn; of a longer hunt the last."""
FOOT = TOP + STEP * (len(PLACES) + 1) + 4
AGAIN_THE_SAME = _(
    "{name}: nothing has changed since you last did that, so it would show the same. Change something first: cleaner "
    "air, a cover off, more pressure. Or go on."
)


class LeakBench(PathDesk):
    """A machine that loses refrigerant, its places, and what was done so far.

    Settings: `machine` ("1" to "40"), `measure` (an action by its name, several with commas, or "start again"),
    `reveal` (True: show the leaks).
    Readings: `hunt` (`coldcab.scenario.leak_hunt.Hunt`), `path` (names), `minutes`, `dollars`, `proved` and
    `suspects` (places), `leaks` (hidden until `reveal`, else empty).
    """

    title = "Leak bench"
    height = int(FOOT + 90)
    word_lines = 4
    prices = PRICES
    fresh = ("machine",)
    controls = (
        Choice("machine", _("machine on the bench"), tuple(str(one + 1) for one in range(MANY)), "1"),
        replace(measurement_choice(PRICES, idle=_("choose one")), label=_("what to do next")),
        Switch("reveal", _("show the leaks"), False),
    )

    def _take(self, option: str) -> str:
        name = option.partition(" (")[0]
        if name in self._path:
            before = self._hunt()
            last = len(self._path) - 1 - self._path[::-1].index(name)
            at_that_time = leak_hunt.begin(before.machine)
            for one in self._path[:last]:
                at_that_time = at_that_time.do(one)
            if at_that_time.do(name).steps[-1][1] == before.do(name).steps[-1][1]:
                return AGAIN_THE_SAME.format(name=name.capitalize())
            self._path += (name,)
            return ""
        return super()._take(option)

    def _hunt(self) -> leak_hunt.Hunt:
        hunt = leak_hunt.begin(leak_hunt.machine(int(self.settings["machine"])))
        for name in self._path:
            hunt = hunt.do(name)
        return hunt

    def calculate(self) -> dict[str, Any]:
        hunt = self._hunt()
        return {
            "hunt": hunt,
            "path": self._path,
            "minutes": hunt.minutes,
            "dollars": hunt.dollars,
            "proved": sorted(hunt.state.proved),
            "suspects": sorted(hunt.state.suspects),
            "leaks": hunt.machine.leaks if self.settings["reveal"] else (),
        }

    # Drawing -------------------------------------------------------------------------------------------------

    def face(self) -> str:
        drawn = svg.text(PATH, 34, _("Done so far"), bold=True)
        drawn += svg.line(PATH - 16, 18, PATH - 16, FOOT - 6, stroke=style.RULE)
        drawn += svg.text(style.MARGIN, 58, _("place"), size=style.TICK, color=style.SOFT)
        drawn += svg.text(STATE, 58, _("what is known"), size=style.TICK, color=style.SOFT)
        return drawn + svg.line(style.MARGIN, FOOT, LAST, FOOT, stroke=style.RULE)

    def moving(self, readings: Mapping[str, Any]) -> str:
        words = _("Machine {number}").format(number=self.settings["machine"])
        head = svg.text(style.MARGIN, 34, words, size=style.STRONG, bold=True)
        return head + self._places(readings) + self._done(readings) + self._below(readings)

    def _known(self, place: str, hunt: leak_hunt.Hunt) -> str:
        cover = PLACES[place].cover if place in PLACES else ""
        if place in hunt.state.proved:
            return _("leaks: proved")
        if place in hunt.state.suspects:
            return _("suspect")
        return _("covered") if cover and cover not in hunt.state.open_covers else _("in reach")

    def _places(self, readings: Mapping[str, Any]) -> str:
        hunt, drawn = readings["hunt"], ""
        true = {leak.place for leak in readings["leaks"]}
        for row, place in enumerate((*PLACES, leak_hunt.DRAIN)):
            y, known = TOP + STEP * row, self._known(place, hunt)
            strong = known in (_("leaks: proved"), _("suspect"))
            drawn += svg.text(style.MARGIN + 4, y, place, size=style.TICK, bold=strong)
            color = style.HIGH if known == _("leaks: proved") else style.INK if strong else style.SOFT
            drawn += svg.text(STATE, y, known, size=style.TICK, bold=strong, color=color)
            if place in true:
                drawn += svg.marker("diamond", STATE - 14, y - 5, 5, fill=style.HIGH)
        return drawn

    def _done(self, readings: Mapping[str, Any]) -> str:
        steps = readings["hunt"].steps
        if not steps:
            words = _("Nothing done yet. Each action costs its minutes and some cost money. None is given back.")
            return svg.paragraph(PATH, TOP - 20, words, LAST - PATH, size=style.TICK, color=style.SOFT)
        drawn, hidden = "", max(len(steps) - LINES, 0)
        for number, (name, report) in list(enumerate(steps, 1))[hidden:]:
            y = TOP - 22 + ROW * (number - 1 - hidden)
            drawn += svg.text(PATH, y, f"{number} · {name}", size=style.TICK, bold=True)
            price = f"{ACTIONS[name].minutes:g} min"
            drawn += svg.text(LAST, y, price, size=style.TICK, anchor="end", color=style.SOFT)
            lines = svg.wrap(report.words, LAST - PATH - 10, 13)
            shown = [*lines[:1], lines[1] + (" …" if len(lines) > 2 else "")] if len(lines) > 1 else lines
            for line, words in enumerate(shown):
                drawn += svg.text(PATH + 10, y + 15 + 14 * line, words, size=13)
        return drawn

    def _below(self, readings: Mapping[str, Any]) -> str:
        spent = _("{minutes:g} minutes, {dollars:g} dollars").format(**readings)
        drawn = svg.text(style.MARGIN, FOOT + 30, spent, size=style.STRONG, bold=True)
        words = self._circuit(readings)
        return drawn + svg.paragraph(
            style.MARGIN, FOOT + 54, words, LAST - style.MARGIN, size=style.TICK, color=style.SOFT
        )

    # Words ---------------------------------------------------------------------------------------------------

    def _circuit(self, readings: Mapping[str, Any]) -> str:
        hunt = readings["hunt"]
        inside = {"": _("nothing: the gauge stands at zero"), leak_hunt.REFRIGERANT: _("R-134a at rest, 71 psig")}.get(
            hunt.state.gas, _("{gas} at 200 psig").format(gas=hunt.state.gas)
        )
        return _("In the circuit: {inside}. Air in the bay: {air}. Detector: class {grams:g} g/yr.").format(
            inside=inside, air=self._bay(hunt), grams=hunt.machine.detector_class
        )

    @staticmethod
    def _bay(hunt: leak_hunt.Hunt) -> str:
        if hunt.state.aired:
            return _("clean and still")
        gas = _("refrigerant in it") if hunt.machine.ppm >= leak_hunt.WORTH_AIRING_PPM else _("clean")
        wind = _("windy") if hunt.machine.draught >= leak_hunt.WORTH_AIRING_DRAUGHT else _("still")
        return f"{gas}, {wind}"

    def summary(self, readings: Mapping[str, Any]) -> str:
        hunt = readings["hunt"]
        spent = _("{minutes:g} minutes, {dollars:g} dollars.").format(**readings)
        last = hunt.steps[-1][1].words if hunt.steps else _("Choose what to do first.")
        proved = _("Proved: {places}.").format(places=", ".join(readings["proved"]) or _("nothing yet"))
        return f"{spent} {last} {proved}"

    def details(self, readings: Mapping[str, Any]) -> str:
        hunt = readings["hunt"]
        done = [f"{number}. {name}: {report.words}" for number, (name, report) in enumerate(hunt.steps, 1)]
        known = "; ".join(f"{place}: {self._known(place, hunt)}" for place in (*PLACES, leak_hunt.DRAIN))
        said = [self._circuit(readings), *done, f"{known}.", self.summary(readings)]
        if self.settings["reveal"]:
            said.append(
                _("It leaks at: {places}.").format(
                    places=", ".join(f"{leak.place}, {leak.grams_a_year:.0f} g/yr" for leak in readings["leaks"])
                )
            )
        return " ".join(said)
