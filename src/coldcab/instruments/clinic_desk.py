"""The clinic's desk: a machine by its ticket, the measurements asked for, and what they cost. It names no cause."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab import units
from coldcab.faults import measurements
from coldcab.instruments.controls import Entry
from coldcab.instruments.drawing import glass, style, svg, thermometers
from coldcab.instruments.drawing.dial import HEADS, manifold
from coldcab.instruments.machine_view import YF_CAUTION
from coldcab.instruments.path_desk import PathDesk, measurement_choice, reading_words, result_words
from coldcab.machine import Machine
from coldcab.machine.fleet import FLEET
from coldcab.scenario import clinic
from coldcab.words import _

STRIP = 84.0  # y of what hangs on the machine
TOP, ROW = STRIP + 250.0, 41.0
DIALS = manifold(108.0, 316.0, STRIP + 96.0, 94.0)
SIGHT = (478.0, STRIP + 78.0, 44.0)  # x, y and radius of the glass
CLIPS = (700.0, 744.0)  # x of a thermometer's bar and of its number
LINES = 7
"""Measurements that are drawn; of a longer path the last."""
FOOT = TOP + ROW * LINES - 8
HEALTHY, LAST = 452.0, style.WIDTH - style.MARGIN
BAR, WIDE = 236.0, 280.0
SPAN = thermometers.BOTTOM - thermometers.TOP
TYPICAL = {"bubbles": 0.12, "foam": 0.5, "streaks": 0.95}
"""Vapor's share of the volume with which a look is drawn: the ticket knows only the look."""


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
        drawn = glass.ANIMATION
        for side, dial in DIALS.items():
            drawn += dial.face(self.system)
            words = "psig" if self.system == "us" else "kPa"
            drawn += svg.text(dial.x, dial.y + 62, words, size=style.TICK, anchor="middle")
            drawn += svg.text(dial.x - 94, STRIP + 8, HEADS[side].split()[0], bold=True, color=dial.color, size=14)
        drawn += svg.line(style.MARGIN, TOP - 46, LAST, TOP - 46, stroke=style.RULE)
        drawn += svg.text(style.MARGIN, TOP - 24, "Measured", size=style.TICK, color=style.SOFT)
        drawn += svg.text(HEALTHY, TOP - 24, "healthy, same day", size=style.TICK, color=style.SOFT)
        return drawn + svg.line(style.MARGIN, FOOT, LAST, FOOT, stroke=style.RULE)

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = svg.text(style.MARGIN, 34, f"Ticket {readings['ticket']}", size=style.STRONG, bold=True)
        drawn += svg.paragraph(style.MARGIN + 140, 32, readings["words"], LAST - style.MARGIN - 140, size=style.TICK)
        return drawn + self._hung(readings["seen"]) + self._rows(readings) + self._cost(readings)

    def _hung(self, seen: Mapping[str, Any]) -> str:
        """Gauges, glass and clips, as far as they are paid for; the others are not on the machine yet."""
        drawn = ""
        for side, dial in DIALS.items():
            if (name := f"{side}_gauge") in seen:
                drawn += dial.needle(seen[name])
            else:
                drawn += svg.text(dial.x, dial.y + 5, _("not hung"), size=14, anchor="middle", color=style.SOFT)
        x, y, radius = SIGHT
        if "glass" in seen:
            look = seen["glass"]
            drawn += glass.look(x, y, radius, look, TYPICAL.get(look, 0.0))
            drawn += svg.text(x, y + 76, glass.SHORT[look], size=style.TICK, anchor="middle", bold=True)
        elif self.machine is not None and not self.machine.valve.block:
            drawn += svg.circle(x, y, radius, fill=style.PAPER, stroke=style.SOFT, stroke_dasharray="4 4")
            drawn += svg.text(x, y + 76, _("not looked at"), size=14, anchor="middle", color=style.SOFT)
        else:
            drawn += svg.text(x, y + 5, _("no sight glass"), size=14, anchor="middle", color=style.SOFT)
        return drawn + self._clips(seen)

    def _clips(self, seen: Mapping[str, Any]) -> str:
        """The thermometers that are clipped on, one below the other, on one scale."""
        bar, number = CLIPS
        drawn = ""
        names = [(name, f"{head}, {own}") for name, head, own in thermometers.PLACES if name in seen]
        unit = thermometers.SCALE[self.system][3]
        for row, (name, where) in enumerate(names[:9]):
            y = STRIP + 14 + 21 * row
            warm = float(units.convert(seen[name], "temperature", unit))
            wide = (thermometers.BOTTOM - thermometers.place(warm, self.system)) / SPAN * (number - bar - 6)
            drawn += svg.text(bar - 6, y, where, size=14, anchor="end")
            drawn += svg.box(bar, y - 11, number - bar - 6, 12, rx=6, fill=style.PAPER, stroke=style.SOFT)
            drawn += svg.box(bar, y - 9, max(wide, 1.0), 8, fill=style.INK)
            drawn += svg.text(number, y, reading_words(name, seen[name], self.system), size=14, bold=True)
        if not names:
            words = _("no thermometer clipped on")
            drawn += svg.text(bar, STRIP + 84, words, size=14, anchor="middle", color=style.SOFT)
        return drawn

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
