"""The clinic's desk: a machine by its ticket, the measurements asked for, and what they cost. It names no cause."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab import units
from coldcab.faults import measurements
from coldcab.instruments import beside
from coldcab.instruments.controls import Buttons, Choice, Control, Entry, printable
from coldcab.instruments.drawing import glass, style, svg, thermometers
from coldcab.instruments.drawing.dial import HEADS, manifold
from coldcab.instruments.machine_view import YF_CAUTION
from coldcab.instruments.path_desk import (
    PAR_WORDS,
    SPENT,
    PathDesk,
    keep_best,
    measurement_choice,
    reading_words,
    recalled,
    result_words,
    short_result,
)
from coldcab.machine import Machine
from coldcab.machine.fleet import FLEET
from coldcab.scenario import clinic
from coldcab.words import _

STRIP = 58.0  # y of what hangs on the machine
DIALS = manifold(106.0, 296.0, STRIP + 76.0, 74.0)
SIGHT = (446.0, STRIP + 62.0, 40.0)  # x, y and radius of the glass
CLIPS = (664.0, 744.0)  # x of a thermometer's bar and of its number
TOP, ROW = STRIP + 196.0, 24.0
LINES = 7
"""Measurements that are drawn; of a longer path the last."""
FOOT = TOP + ROW * LINES - 10
RESULT, HEALTHY, IN_ALL, LAST = 204.0, 476.0, style.WIDTH - style.MARGIN - 64.0, style.WIDTH - style.MARGIN
BAR, WIDE = 218.0, 170.0
SPAN = thermometers.BOTTOM - thermometers.TOP
TYPICAL = {"bubbles": 0.12, "foam": 0.5, "streaks": 0.95}
"""Vapor's share of the volume with which a look is drawn: the ticket knows only the look."""

CLIPPED = {name: f"{head}, {own}" for name, head, own in thermometers.PLACES} | {
    "evaporator_inlet": _("line into the evaporator"),
    "ambient": _("air in the shade"),
}
"""Thermometers by reading, and where each is clipped on."""
MOST_CLIPS = 8
"""Thermometers that are drawn; of more the last."""

FIRST = "P1"
NO_MACHINE = "none"
NOT_PRESSED, INTO_THE_SHEET = "none", _("write it into the sheet")
MACHINES = tuple(_("machine {number}").format(number=number) for number in (1, 2, 3))


class ClinicDesk(PathDesk):
    """One machine of the clinic: only what is measured is seen, beside the healthy machine of the same day.

    What a learner measures by hand stays with its ticket, over another ticket, Start, a reload and the night; on a
    graded ticket nothing is given back. Without a ticket it begins with machine 1 of the sheet beside it.

    Settings: `ticket` (the number on the sheet, such as "217", or "P7" for practice), `measure` (a measurement by its
    name, several with commas, or "start again"), `machine` (a button for each machine of the sheet), `sheet` (a button
    that writes the list of measurements into its line of the sheet).
    Readings: `ticket` (number, unit, day), `path` (names), `minutes` spent, `budget`, `par`, `best` (minutes; None
    where there is none), `seen` and `healthy` (SI, of what was measured).
    """

    title = "Clinic's desk"
    height = int(FOOT + 44)
    word_lines = 3
    words_above = True  # minutes and cautions are wanted beside the next choice
    prices = clinic.PRICES
    fresh = ("ticket",)
    passing = ("measure", "machine", "sheet")
    controls = (
        Buttons("machine", _("of your sheet"), (NO_MACHINE, *MACHINES), NO_MACHINE),
        Entry("ticket", _("ticket, from your sheet"), FIRST),
        measurement_choice(clinic.PRICES),
        Buttons("sheet", _("list of measurements"), (NOT_PRESSED, INTO_THE_SHEET), NOT_PRESSED),
    )

    def __init__(self, **settings: Any) -> None:
        self._case = beside.case()
        self._written: dict[str, tuple[str, ...]] = {}  # by ticket, the list that was written into the sheet
        self._tickets = _tickets(self._case)
        self._follows = settings.get("ticket") is None
        if self._follows and self._tickets:
            settings["ticket"] = self._tickets[0]
        super().__init__(**settings)
        beside.listen(self)

    # The sheet beside it -----------------------------------------------------------------------------------------

    def sheet_opened(self, case: Any) -> None:
        """Offer the machines of a sheet; a desk of no ticket of its own turns to the first of other ones."""
        self._case, before, self._tickets = case, self._tickets, _tickets(case)
        if self._follows and self._tickets and self._tickets != before:
            self.set(ticket=self._tickets[0])
        if self._panel is not None:
            self._panel.offer_anew()

    def sheet_checked(self, case: Any, right: Mapping[str, bool]) -> None:
        """Keep the minutes of practice machines whose cause was right, and what shows it where the sheet asks."""
        for name, number in zip(MACHINES, _tickets(case), strict=False):
            if right.get(f"{name}, cause") and right.get(f"{name}, measurements", True):
                keep_best(_best_place(number), sum(self.prices[one] for one in recalled(_place(number), self.prices)))
        self._work_out()
        if self._panel is not None:
            self._panel.paint()

    def in_use(self, control: Control) -> bool:
        if control.name == "sheet":
            return self._number in self._tickets
        return control.name != "machine" or bool(self._tickets)

    def offered(self, control: Choice) -> tuple[str, ...]:
        if control.name == "machine":
            return control.options[: 1 + len(self._tickets)]
        return super().offered(control)

    def accept(self, control: Control, given: object) -> bool:
        if control.name == "sheet":
            self._note = self._write_down()
            return True
        if control.name == "ticket":
            return self._take_ticket(control, given)
        if control.name != "machine":
            return super().accept(control, given)
        ticket = dict(zip(MACHINES, self._tickets, strict=False)).get(str(given), self.settings["ticket"])
        return super().accept(next(one for one in self.controls if one.name == "ticket"), ticket)

    def _write_down(self) -> str:
        """Write the list of measurements into its line of the sheet; return what came of it."""
        names = dict(zip(self._tickets, MACHINES, strict=False))
        if self._number not in names:
            return _("Ticket {ticket} is not on your sheet; there are {tickets}.").format(
                ticket=self._number, tickets=", ".join(self._tickets)
            )
        label = f"{names[self._number]}, measurements"
        if not self.path:
            return _("Nothing measured yet, so there is no list to write.")
        if problem := beside.write(self._case, {label: ", ".join(self.path)}):
            return problem
        self._written[self._number] = self.path
        return _("Written into the line “{label}” of your sheet.").format(label=label)

    # The ticket --------------------------------------------------------------------------------------------------

    def _take_ticket(self, control: Control, given: object) -> bool:
        """Turn to another ticket; one that does not exist is said, and the desk stays where it is."""
        try:
            clinic.ticket(str(given))
        except ValueError as problem:
            stays = _("The desk stays at ticket {ticket}.").format(ticket=self._number) if self._number else ""
            self._note = printable(f"{problem} {stays}".strip())
            if self._panel is not None:
                self._panel.show_settings()
            return False
        return super().accept(control, given)

    @property
    def machine(self) -> Machine | None:
        return FLEET[clinic.ticket(self._number).unit] if self._number else None

    def place_kept(self) -> str:
        return _place(self._number)

    def place_of_best(self) -> str:
        return _best_place(self._number)

    def gives_back(self) -> bool:
        return self._number.startswith("P") or not self._number

    def reset(self) -> None:
        """Start the ticket that is shown again; a graded one gives nothing back."""
        if not self.gives_back():
            self._note = SPENT
            return
        own = self._page["ticket"]
        shown = self._settings["ticket"] if self._number else own
        super().reset()
        self._settings["ticket"] = shown
        self._path = self._page_path if shown == own else ()
        self._keep()
        self._work_out()

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
            "par": one.par,
            "best": self.best,
            "seen": {name: one.seen[name] for name in names},
            "healthy": {name: one.healthy[name] for name in names},
        }

    # Drawing -----------------------------------------------------------------------------------------------------

    def face(self) -> str:
        drawn = glass.ANIMATION
        for side, dial in DIALS.items():
            drawn += dial.face(self.system)
            words = "psig" if self.system == "us" else "kPa"
            drawn += svg.text(dial.x, dial.y + 48, words, size=14, anchor="middle")
            drawn += svg.text(dial.x - 86, STRIP + 8, HEADS[side].split()[0], bold=True, color=dial.color, size=14)
        drawn += svg.line(style.MARGIN, TOP - 40, LAST, TOP - 40, stroke=style.RULE)
        drawn += svg.text(style.MARGIN, TOP - 22, _("Measured"), size=14, color=style.SOFT)
        drawn += svg.text(HEALTHY, TOP - 22, _("healthy, same day"), size=14, color=style.SOFT)
        drawn += svg.text(IN_ALL, TOP - 22, _("in all"), size=14, color=style.SOFT)
        return drawn + svg.line(style.MARGIN, FOOT, LAST, FOOT, stroke=style.RULE)

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = svg.text(style.MARGIN, 30, f"Ticket {readings['ticket']}", size=style.STRONG, bold=True)
        words = self._whose(readings) + units.in_order(readings["words"], self.system)
        drawn += svg.paragraph(style.MARGIN + 128, 24, words, LAST - style.MARGIN - 128, size=style.TICK)
        return drawn + self._hung(readings["seen"]) + self._rows(readings) + self._cost(readings)

    def _whose(self, readings: Mapping[str, Any]) -> str:
        """Which machine of the sheet this is, with a colon; nothing for another one."""
        found = [name for name, own in zip(MACHINES, self._tickets, strict=False) if own == readings["ticket"]]
        return f"{found[0].capitalize()}: " if found else ""

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
            drawn += svg.text(x, y + 68, glass.SHORT[look], size=style.TICK, anchor="middle", bold=True)
        elif self.machine is not None and not self.machine.valve.block:
            drawn += svg.circle(x, y, radius, fill=style.PAPER, stroke=style.SOFT, stroke_dasharray="4 4")
            drawn += svg.text(x, y + 68, _("not looked at"), size=14, anchor="middle", color=style.SOFT)
        else:
            drawn += svg.text(x, y + 5, _("no sight glass"), size=14, anchor="middle", color=style.SOFT)
        return drawn + self._clips(seen)

    def _clips(self, seen: Mapping[str, Any]) -> str:
        """The thermometers that are clipped on, one below the other, on one scale."""
        bar, number = CLIPS
        drawn = ""
        bought = [name for name in seen if name in CLIPPED][-MOST_CLIPS:]
        names = [(name, where) for name, where in CLIPPED.items() if name in bought]
        unit = thermometers.SCALE[self.system][3]
        for row, (name, where) in enumerate(names):
            y = STRIP + 6 + 19 * row
            warm = float(units.convert(seen[name], "temperature", unit))
            wide = (thermometers.BOTTOM - thermometers.place(warm, self.system)) / SPAN * (number - bar - 6)
            drawn += svg.text(bar - 6, y, where, size=14, anchor="end")
            drawn += svg.box(bar, y - 11, number - bar - 6, 12, rx=6, fill=style.PAPER, stroke=style.SOFT)
            drawn += svg.box(bar, y - 9, max(wide, 1.0), 8, fill=style.INK)
            drawn += svg.text(number, y, reading_words(name, seen[name], self.system), size=14, bold=True)
        if not names:
            words = _("no thermometer clipped on")
            drawn += svg.text(bar, STRIP + 66, words, size=14, anchor="middle", color=style.SOFT)
        return drawn

    def _rows(self, readings: Mapping[str, Any]) -> str:
        path, drawn, spent = readings["path"], "", 0.0
        if not path:
            words = _("Nothing measured yet. Each measurement costs its minutes.")
            if not self.gives_back():
                words = _("{words} None is given back.").format(words=words)
            drawn += svg.paragraph(style.MARGIN, TOP + 4, words, 350, size=style.TICK, color=style.SOFT)
            if readings["par"] is None:
                return drawn
            return drawn + svg.paragraph(HEALTHY, TOP + 4, PAR_WORDS, LAST - HEALTHY, size=14, color=style.SOFT)
        hidden = max(len(path) - LINES, 0)
        for place, name in enumerate(path):
            spent += self.prices[name]
            if place < hidden:
                continue
            y = TOP + ROW * (place - hidden)
            drawn += svg.text(style.MARGIN, y, f"{place + 1} · {name}", size=style.TICK, bold=True)
            drawn += svg.text(IN_ALL, y, f"{spent:g} min", size=14, color=style.SOFT)
            now, well = (short_result(measurements[name], readings[one], self.system) for one in ("seen", "healthy"))
            drawn += svg.text(RESULT, y, now, size=14)
            drawn += svg.text(HEALTHY, y, well, size=14, color=style.SOFT)
        return f'<g data-table="4">{drawn}</g>'  # a narrow page tells them as a table

    def _cost(self, readings: Mapping[str, Any]) -> str:
        y, spent, budget = FOOT + 28, readings["minutes"], readings["budget"]
        words = _("{spent:g} of {budget:g} minutes").format(spent=spent, budget=budget)
        drawn = svg.text(style.MARGIN, y, words, size=style.STRONG, bold=True)
        drawn += svg.box(BAR, y - 15, WIDE, 18, fill=style.PAPER, stroke=style.RULE)
        share = min(spent / budget, 1.0)
        over = spent > budget
        drawn += svg.box(BAR, y - 13, max(WIDE * share, 0.5), 14, fill=style.HIGH if over else style.FIRST)
        if over:
            drawn += svg.text(BAR + WIDE + 14, y, _("over the budget"), size=style.TICK, color=style.NOTE)
        return drawn + svg.text(LAST, y, self._score(readings), size=style.TICK, anchor="end", bold=True)

    def _result(self, name: str, values: Mapping[str, Any]) -> str:
        return result_words(measurements[name], values, self.system)

    # Words -------------------------------------------------------------------------------------------------------

    def summary(self, readings: Mapping[str, Any]) -> str:
        spent = _("{minutes:g} of {budget:g} minutes spent on ticket {ticket}.").format(
            minutes=readings["minutes"], budget=readings["budget"], ticket=readings["ticket"]
        )
        if not readings["path"]:
            return _("{spent} Choose the first measurement.").format(spent=spent)
        last = measurements[readings["path"][-1]]
        caution = _("Caution: {caution}").format(caution=last.caution) if last.caution else ""
        return " ".join(filter(None, (self._listed(), spent, _("Last: {words}.").format(words=last.words), caution)))

    def _listed(self) -> str:
        """The list for the sheet; where it has grown since it was written there, that too."""
        if not self.path:
            return ""
        listed = _("For the sheet: {path}.").format(path=", ".join(self.path))
        if self._written.get(self._number, self.path) == self.path:
            return listed
        return _("{listed} Write it into the sheet again.").format(listed=listed)

    def reading_line(self) -> str:
        """The list for the sheet stays, whatever there is to say of the last move."""
        if not self._note:
            return super().reading_line()
        return " ".join(filter(None, (self._listed(), self._note)))

    def caution(self) -> str:
        machine = self.machine
        return YF_CAUTION if machine is not None and machine.refrigerant == clinic.NEWEST else ""

    def details(self, readings: Mapping[str, Any]) -> str:
        said = [self._whose(readings) + readings["words"], self.summary(readings)]
        for name in readings["path"]:
            now, well = (self._result(name, readings[which]) for which in ("seen", "healthy"))
            said.append(f"{name.capitalize()}: {now}; healthy: {well}.")
        if score := self._score(readings):
            said.append(f"{score.capitalize()}.")
        return " ".join(said)


def _tickets(case: Any) -> tuple[str, ...]:
    """The tickets of a sheet's numbers; none where the sheet is about something else."""
    return tuple(getattr(case, "tickets", ()))[: len(MACHINES)]


def _place(number: str) -> str:
    return f"clinic/{number.lower()}" if number else ""


def _best_place(number: str) -> str:
    return f"{_place(number)}-best" if number.startswith("P") else ""
