"""The clinic's desk: a machine by its ticket, the measurements asked for, and what they cost. It names no cause."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab.faults import measurements
from coldcab.instruments.controls import Entry
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.machine_view import YF_CAUTION
from coldcab.instruments.path_desk import PathDesk, measurement_choice, result_words
from coldcab.machine import Machine
from coldcab.machine.fleet import FLEET
from coldcab.scenario import clinic
from coldcab.words import _

TOP, ROW = 118.0, 41.0
LINES = 7
"""Measurements that are drawn; of a longer path the last."""
FOOT = TOP + ROW * LINES - 8
HEALTHY, LAST = 452.0, style.WIDTH - style.MARGIN
BAR, WIDE = 236.0, 280.0


class ClinicDesk(PathDesk):
    """One machine of the clinic: only what is measured is seen, beside the healthy machine of the same day.

    What a learner measures by hand stays with its ticket, over another ticket, Start, a reload and the night; on a
    graded ticket nothing is given back.

    Settings: `ticket` (the number on the sheet, such as "217", or "P7" for practice), `measure` (a measurement by its
    name, several with commas, or "start again").
    Readings: `ticket` (number, unit, day), `path` (names), `minutes` spent, `budget`, `seen` and `healthy` (SI, of
    what was measured).
    """

    title = "Clinic's desk"
    height = int(FOOT + 124)
    word_lines = 3
    prices = clinic.PRICES
    fresh = ("ticket",)
    controls = (Entry("ticket", _("ticket, from your sheet"), "P1"), measurement_choice(clinic.PRICES))

    @property
    def machine(self) -> Machine | None:
        return FLEET[clinic.ticket(self._number).unit] if self._number else None

    def place_kept(self) -> str:
        number = self._number
        return f"clinic/{number.lower()}" if number else ""

    def gives_back(self) -> bool:
        return self._number.startswith("P") or not self._number

    @property
    def _number(self) -> str:
        try:
            return clinic.ticket(self.settings["ticket"]).number
        except ValueError:  # no such ticket; `calculate` says so
            return ""

    def calculate(self) -> dict[str, Any]:
        one = clinic.ticket(self.settings["ticket"])
        names = [name for each in self.path for name in measurements[each].gives]
        return {
            "ticket": one.number,
            "unit": one.unit,
            "day": one.day,
            "words": one.words,
            "path": self.path,
            "minutes": self.minutes,
            "budget": clinic.BUDGET,
            "seen": {name: one.seen[name] for name in names},
            "healthy": {name: one.healthy[name] for name in names},
        }

    def face(self) -> str:
        drawn = svg.text(style.MARGIN, TOP - 26, "Measured", size=style.TICK, color=style.SOFT)
        drawn += svg.text(HEALTHY, TOP - 26, "healthy, same day", size=style.TICK, color=style.SOFT)
        return drawn + svg.line(style.MARGIN, FOOT, LAST, FOOT, stroke=style.RULE)

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = svg.text(style.MARGIN, 34, f"Ticket {readings['ticket']}", size=style.STRONG, bold=True)
        drawn += svg.paragraph(style.MARGIN + 140, 32, readings["words"], LAST - style.MARGIN - 140, size=style.TICK)
        return drawn + self._rows(readings) + self._cost(readings)

    def _rows(self, readings: Mapping[str, Any]) -> str:
        path, drawn, spent = readings["path"], "", 0.0
        if not path:
            words = _("Nothing measured yet. Each measurement costs its minutes, and none is given back.")
            return svg.paragraph(style.MARGIN, TOP + 8, words, 400, size=style.TICK, color=style.SOFT)
        hidden = max(len(path) - LINES, 0)
        for place, name in enumerate(path):
            spent += self.prices[name]
            if place < hidden:
                continue
            y = TOP + ROW * (place - hidden)
            price = f"+{self.prices[name]:g} = {spent:g} min"
            drawn += svg.text(style.MARGIN, y, f"{place + 1} · {name}", size=style.TICK, bold=True)
            drawn += svg.text(LAST, y, price, size=style.TICK, anchor="end", color=style.SOFT)
            drawn += svg.text(style.MARGIN + 20, y + 18, self._result(name, readings["seen"]), size=style.TICK)
            healthy = self._result(name, readings["healthy"])
            drawn += svg.text(HEALTHY, y + 18, healthy, size=style.TICK, color=style.SOFT)
        return drawn

    def _cost(self, readings: Mapping[str, Any]) -> str:
        y, spent, budget = FOOT + 30, readings["minutes"], readings["budget"]
        drawn = svg.text(
            style.MARGIN,
            y,
            _("{spent:g} of {budget:g} minutes").format(spent=spent, budget=budget),
            size=style.STRONG,
            bold=True,
        )
        drawn += svg.box(BAR, y - 15, WIDE, 18, fill=style.PAPER, stroke=style.RULE)
        share = min(spent / budget, 1.0)
        over = spent > budget
        drawn += svg.box(BAR, y - 13, max(WIDE * share, 0.5), 14, fill=style.HIGH if over else style.FIRST)
        if over:
            drawn += svg.text(BAR + WIDE + 14, y, "over the budget", size=style.TICK, color=style.NOTE)
        return drawn + svg.paragraph(style.MARGIN, y + 30, self._for_the_sheet(readings), LAST - 20, size=14)

    def _for_the_sheet(self, readings: Mapping[str, Any]) -> str:
        return _("For the sheet: {path}").format(path=", ".join(readings["path"]) or "nothing yet")

    def _result(self, name: str, values: Mapping[str, Any]) -> str:
        return result_words(measurements[name], values, self.system)

    def summary(self, readings: Mapping[str, Any]) -> str:
        spent = _("{minutes:g} of {budget:g} minutes spent on ticket {ticket}.").format(
            minutes=readings["minutes"], budget=readings["budget"], ticket=readings["ticket"]
        )
        if not readings["path"]:
            return _("{spent} Choose the first measurement.").format(spent=spent)
        last = readings["path"][-1]
        caution = f" Caution: {measurements[last].caution}" if measurements[last].caution else ""
        return f"{spent} Last: {measurements[last].words}.{caution}"

    def caution(self) -> str:
        machine = self.machine
        return YF_CAUTION if machine is not None and machine.refrigerant == clinic.NEWEST else ""

    def details(self, readings: Mapping[str, Any]) -> str:
        said = [readings["words"], self.summary(readings)]
        for name in readings["path"]:
            now, well = (self._result(name, readings[which]) for which in ("seen", "healthy"))
            said.append(f"{name.capitalize()}: {now}; healthy: {well}.")
        return " ".join([*said, f"{self._for_the_sheet(readings)}."])
