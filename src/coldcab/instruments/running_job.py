"""A job that runs: each choice costs minutes and money, and what was done at one step shows at a later one."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from coldcab import units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Buttons, Choice, Control, printable
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.path_desk import reading_words
from coldcab.scenario.fleet import FLEET
from coldcab.scenario.running_job import facts
from coldcab.scenario.running_job.record import Progress, follow, order_of_ways, owners_copy, readings_now, record
from coldcab.scenario.running_job.steps import CAUTIONS, STEPS
from coldcab.words import _

LETTERS = ("A", "B", "C", "D")
UNDO, NOT_PRESSED = _("undo"), ""
MACHINES = {one.name: one.number for one in FLEET}
NAMES = ("low_gauge", "high_gauge", "vent", "suction_line_at_evaporator", "liquid_line", "glass")
WORDS = (_("low side"), _("high side"), _("air at the vent"), _("suction line"), _("liquid line"), _("sight glass"))
TOP, ROW = 76.0, 22.0
TABLE, NOW, HEALTHY, LAST = 330.0, 560.0, 700.0, style.WIDTH - style.MARGIN


class RunningJob(Instrument):
    """One machine from the complaint to the owner's copy; the learner decides at every step.

    Settings: `machine` (a name of the fleet), `press` ("A" to "D", "undo"; from a program several at once:
    "A B A"). Readings: `progress` (`coldcab.scenario.running_job.record.Progress`), `path` (numbers of the
    ways), `now` and `healthy` (`coldcab.machine.Readings`; `healthy` None before the charge), `minutes`, `owner` and
    `shop` (dollars), `lines` (of the record) and `copy` (the owner's, at the end).
    """

    title = _("The running job")
    height = int(TOP + ROW * len(STEPS) + 16)
    word_lines = 3
    words_above = True
    passing = ("press",)
    controls = (
        Choice("machine", _("machine"), tuple(MACHINES), next(iter(MACHINES))),
        Buttons("press", _("your decision"), (NOT_PRESSED, *LETTERS, UNDO), NOT_PRESSED),
    )

    def __init__(self, **settings: Any) -> None:
        self._path: tuple[int, ...] = ()
        self._job = next(iter(MACHINES))
        super().__init__(**settings)
        self._page_path = self._path

    # Moves -------------------------------------------------------------------------------------------------------

    def _progress(self) -> Progress:
        return follow(facts.job(MACHINES[self._settings["machine"]]), self._path)

    def _press(self, button: str) -> None:
        """Do what a button says; a ValueError's sentence where it cannot be done now."""
        if button == UNDO:
            self._path = self._path[:-1]
        elif button != NOT_PRESSED:
            progress = self._progress()
            if button not in LETTERS or progress.next is None:
                raise ValueError(_("The job is over. Undo a step, or press Reset to begin it anew."))
            ways = order_of_ways(progress.job, progress.next)
            place = LETTERS.index(button)
            if place >= len(ways):
                raise ValueError(_("This step has no way {letter}.").format(letter=button))
            self._path = (*self._path, ways[place])

    def accept(self, control: Control, given: object) -> bool:
        if control.name == "press":
            self._note = ""
            try:
                self._press(str(given))
            except ValueError as problem:
                self._note = printable(str(problem))
            self._work_out()
            return not self._note
        taken = super().accept(control, given)
        self._fresh()
        self._work_out()
        return taken

    def more(self) -> Any:
        return list(self._path) or None

    def take_more(self, more: Any) -> None:
        """The decisions taken, as far as they can still be taken so."""
        self._job, self._path = self._settings["machine"], ()
        for way in more if isinstance(more, list) else self._page_path:
            step = self._progress().next
            if step is None or way not in order_of_ways(self._progress().job, step):
                return
            self._path = (*self._path, way)

    def reset(self) -> None:
        """Begin the job of the machine that is shown anew."""
        shown, own = self._settings["machine"], self._page["machine"]
        super().reset()
        self._settings["machine"] = self._job = shown
        self._path = self._page_path if shown == own else ()
        self._work_out()

    def _fresh(self) -> None:
        """Another machine is another job."""
        if self._settings["machine"] != self._job:
            self._job, self._path = self._settings["machine"], ()

    def _update(self, settings: Mapping[str, object]) -> None:
        others = {name: value for name, value in settings.items() if name != "press"}
        kept = self._path
        super()._update(others)
        self._fresh()
        try:
            for button in self._pressed(settings.get("press", NOT_PRESSED)):
                self._press(button)
        except ValueError:
            self._path = kept
            raise

    @staticmethod
    def _pressed(given: object) -> tuple[str, ...]:
        text = str(given).strip()
        return (text,) if text == UNDO else tuple(text.split())

    def offered(self, control: Choice) -> tuple[str, ...]:
        if control.name != "press":
            return super().offered(control)
        step = self._progress().next
        ways = LETTERS[: len(step.ways)] if step else ()
        return (NOT_PRESSED, *ways, *((UNDO,) if self._path else ()))

    def calculate(self) -> dict[str, Any]:
        progress = self._progress()
        now, healthy = readings_now(progress)
        paid = facts.bill(progress.state)
        return {
            "progress": progress,
            "path": self._path,
            "now": now,
            "healthy": healthy,
            "minutes": progress.state.minutes + progress.state.shop_minutes,
            "owner": paid.owner,
            "shop": paid.shop,
            "lines": record(progress),
            "copy": owners_copy(progress) if progress.next is None else (),
        }

    # Drawing -------------------------------------------------------------------------------------------------------

    def face(self) -> str:
        drawn = svg.text(style.MARGIN, 36, _("The job"), size=style.STRONG, bold=True)
        return drawn + svg.line(TABLE - 22, 20, TABLE - 22, self.height - 20, stroke=style.RULE)

    def moving(self, readings: Mapping[str, Any]) -> str:
        return self._steps(readings) + self._table(readings) + self._spent(readings)

    def _steps(self, readings: Mapping[str, Any]) -> str:
        """The steps in their order: done, asked now, still to come; at the end sound ones told from the others."""
        progress: Progress = readings["progress"]
        sound = {line.step: line.sound for line in readings["lines"]}
        over, drawn = progress.next is None, ""
        for place, step in enumerate(STEPS):
            y = TOP + ROW * place
            asked = progress.next is step
            if step.name in sound:
                good = sound[step.name] or not over
                drawn += svg.marker("circle" if good else "diamond", style.MARGIN + 8, y - 5, 6, fill=style.INK)
            elif asked:
                drawn += svg.marker("circle", style.MARGIN + 8, y - 5, 6, fill=style.GROUND, stroke=style.INK)
            color = style.INK if asked or step.name in sound else style.SOFT
            drawn += svg.text(style.MARGIN + 26, y, step.name, size=style.TICK, bold=asked, color=color)
        return drawn

    def _table(self, readings: Mapping[str, Any]) -> str:
        """What gauges, thermometers and glass show now, beside the healthy machine once there is one to compare."""
        progress: Progress = readings["progress"]
        one = progress.job
        charged = readings["healthy"] is not None
        name = progress.state.refrigerant if charged else one.found_on
        stage = _("as left, on {name}") if charged else _("as found, on {name}")
        drawn = svg.text(TABLE, 36, stage.format(name=name), size=style.STRONG, bold=True)
        drawn += svg.text(LAST, 36, self._day(one), anchor="end", size=style.TICK, color=style.SOFT)
        drawn += svg.text(NOW, 68, _("now"), size=style.TICK, color=style.SOFT)
        if charged:
            drawn += svg.text(HEALTHY, 68, _("healthy"), size=style.TICK, color=style.SOFT)
        lines = ""
        for place, (reading, words) in enumerate(zip(NAMES, WORDS, strict=True)):
            y = TOP + 22 + 27 * place
            lines += svg.text(TABLE, y, words)
            lines += svg.text(NOW, y, self._reading(readings["now"], reading), bold=True)
            if charged:
                lines += svg.text(HEALTHY, y, self._reading(readings["healthy"], reading), color=style.SOFT)
        return drawn + svg.group(lines, data_table=3 if charged else 2)

    def _reading(self, readings: Any, name: str) -> str:
        value = getattr(readings, name)
        return str(value) if name == "glass" else reading_words(name, value, self.system)

    def _day(self, one: facts.Job) -> str:
        kelvin = units.from_unit(one.fahrenheit, "temperature", "F")
        return _("day of {day}, 1500 rpm, doors open").format(day=reading_words("vent", kelvin, self.system))

    def _spent(self, readings: Mapping[str, Any]) -> str:
        y = TOP + 22 + 27 * len(NAMES) + 24
        drawn = svg.line(TABLE, y - 24, LAST, y - 24, stroke=style.RULE)
        for place, words in enumerate(self._money(readings)):
            drawn += svg.text(TABLE, y + 25 * place, words, bold=place == 0)
        return drawn

    @staticmethod
    def _money(readings: Mapping[str, Any]) -> tuple[str, ...]:
        bears = (
            _("the shop pays {dollars:,.0f} dollars")
            if readings["shop"] >= 0.0
            else _("the shop keeps {dollars:,.0f} dollars")
        )
        return (
            _("{minutes:,.0f} minutes of labor").format(minutes=readings["minutes"]),
            _("the owner pays {dollars:,.0f} dollars").format(dollars=readings["owner"]),
            bears.format(dollars=abs(readings["shop"])),
        )

    def _settings_in_words(self) -> str:
        return f"{self._settings['machine']}."

    # Words -----------------------------------------------------------------------------------------------------------

    def _ways(self, progress: Progress) -> list[tuple[str, str]]:
        if progress.next is None:
            return []
        order = order_of_ways(progress.job, progress.next)
        return [(letter, progress.next.ways[number].words) for letter, number in zip(LETTERS, order, strict=False)]

    @staticmethod
    def _a_year_later(readings: Mapping[str, Any], system: str) -> str:
        progress: Progress = readings["progress"]
        one, state = progress.job, progress.state
        then, right = facts.next_summer(one, state), facts.right_next_summer(one)
        hot = reading_words("vent", units.from_unit(facts.HOT_DAY, "temperature", "F"), system)
        shown = _("low side {low}, high side {high}, vent {vent}, glass {glass}").format(
            low=reading_words("low_gauge", then.low_gauge, system),
            high=reading_words("high_gauge", then.high_gauge, system),
            vent=reading_words("vent", then.vent, system),
            glass=then.glass,
        )
        verdict = _("It comes back.") if facts.comes_back(one, state) else _("It does not come back.")
        return _("Next summer, {hot}: {shown}; the healthy machine has {right} at the vent. {verdict}").format(
            hot=hot, shown=shown, right=reading_words("vent", right.vent, system), verdict=verdict
        )

    def summary(self, readings: Mapping[str, Any]) -> str:
        progress: Progress = readings["progress"]
        seen = progress.done[-1].seen if progress.done else ""
        if progress.next is None:
            return " ".join(filter(None, (seen, self._a_year_later(readings, self.system))))
        asked = _("{step}: {question}").format(step=progress.next.name.capitalize(), question=progress.question)
        return " ".join(filter(None, (seen, asked)))

    def caution(self) -> str:
        step = self._readings["progress"].next if self._readings else None
        return CAUTIONS.get(step.name, "") if step else ""

    def details(self, readings: Mapping[str, Any]) -> str:
        progress: Progress = readings["progress"]
        shown = ", ".join(
            f"{words} {self._reading(readings['now'], name)}" for name, words in zip(NAMES, WORDS, strict=True)
        )
        stage = _("As left") if readings["healthy"] is not None else _("As found")
        said = [f"{stage}: {shown}.", f"{', '.join(self._money(readings))}.", self.summary(readings)]
        said += [f"{letter}: {words}." for letter, words in self._ways(progress)]
        if progress.next is None:
            said += [f"{line.step.capitalize()}: {line.done}. {line.came}" for line in readings["lines"]]
            said += readings["copy"]
        return " ".join(said)

    def html(self) -> str:
        """The question with the ways to choose from as text, then the drawing; at the end record and owner's copy."""
        line, rest = super().html().split("</p>", 1)
        if self._fault:
            return f"{line}</p>{rest}"
        body = self._now() + (self._choices() if self._readings["progress"].next else "")
        end = "" if self._readings["progress"].next else self._finished()
        return f"{line}</p>{_part(body)}{rest.removesuffix('</div>')}{_part(end)}</div>"

    def _now(self) -> str:
        """Readings and money in one line: on a phone the drawing is small."""
        shown = ", ".join(
            f"{words} {self._reading(self._readings['now'], name)}"
            for words, name in zip(WORDS, NAMES, strict=True)
            if name in ("low_gauge", "high_gauge", "vent", "glass")
        )
        told = "; ".join((shown, *self._money(self._readings)))
        return f'<p style="margin:0 0 8px;color:{style.SOFT}">{escape(told)}</p>'

    def _choices(self) -> str:
        return "".join(
            f'<p style="margin:4px 0;display:flex;gap:12px"><strong>{letter}</strong><span>{escape(words)}</span></p>'
            for letter, words in self._ways(self._readings["progress"])
        )

    def _finished(self) -> str:
        """Record and owner's copy, a paragraph a step: a table of three columns would not fit a phone."""
        rows = "".join(
            f'<li style="margin:6px 0"><strong>{escape(line.step.capitalize())}:</strong> {escape(line.done)}. '
            f"<br/>{'' if line.sound else '◆ '}{escape(line.came)}</li>"
            for line in self._readings["lines"]
        )
        copy = " ".join(escape(one) for one in self._readings["copy"])
        head = _("The record, with what came of each choice")
        return (
            f'<p style="margin:0"><strong>{head}</strong></p><ol style="padding-left:24px">{rows}</ol>'
            f'<p style="margin:0"><strong>{_("The owner’s copy.")}</strong> {copy}</p>'
        )


def _part(body: str) -> str:
    if not body:
        return ""
    return f'<div style="padding:0 20px 12px;font:16px/1.45 {style.FONT};color:{style.INK}">{body}</div>'
