"""The suspects' board: probabilities that move with each measurement, and what each measurement costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from coldcab.faults import HEALTHY, Posterior, catalogue, confirmations, group, measurements, next_measurement
from coldcab.faults.atlas import entropy, priors
from coldcab.instruments.controls import Choice, Control, Switch
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.hands_on import can_be_done
from coldcab.instruments.machine_view import CONTROLS
from coldcab.instruments.path_desk import PAR_WORDS, PathDesk, keep_best, measurement_choice, result_words
from coldcab.machine import Machine
from coldcab.machine.fleet import FLEET
from coldcab.scenario import complaints, par
from coldcab.scenario.par import NOTHING, SURE
from coldcab.words import _

DAYS = {"85 F (29 C)": 85.0, "95 F (35 C)": 95.0, "105 F (41 C)": 105.0}
ENGINE_RPM = 1500.0
NUMBERS = {machine.name: number for number, machine in FLEET.items()}

ROWS = 10
TOP, STEP = 78.0, 31.0
NAME, BAR, WIDE = 286.0, 294.0, 70.0
PATH, LAST = 482.0, style.WIDTH - style.MARGIN
LINES = 8
"""Measurements of the path that are drawn; of a longer one the last."""
FOOT = TOP + STEP * ROWS + 4
ADVICE = 3
WAITS = _("Wait a moment: many machines with known faults are run.")
NO_ADVICE = _("Tick “say what to measure next” for the measurement that should tell most in a minute.")


class SuspectsBoard(PathDesk):
    """A machine with a hidden fault: base rates first, then what each measurement makes of them.

    Settings: `complaint` ("1" to "40", a page of the invented complaint book), `measure` (a measurement by its name,
    several with commas, or "start again"), `advise` (True: name the next measurement by expected information a
    minute), `reveal` (True: show what it was), `machine` (name, or the shop's number), `day` (one of `DAYS`).
    Readings: `probabilities` by name, `before` (the same before the last measurement), `bits` of doubt left,
    `minutes` spent, `path` (names), `seen` (SI, of what was measured), `strange` (a warning, or nothing), `truth`
    (the hidden fault, None for a healthy machine), `par` (minutes; None until the cause is shown), `best` (the
    learner's, None before the first), `advice` (suggestions, the best first; empty unless asked for, and where nothing
    that is left tells more).

    The first measurement on a machine's day takes about a second: an atlas of machines with known faults is run.
    While a hand moves, the board shows what it has at once; bars of a new day and advice follow when it rests.
    """

    title = "Suspects' board"
    height = int(FOOT + 138)
    word_lines = 5
    stamp = (420.0, 180.0)
    drawer = "Machine and day"
    fresh = ("complaint", "machine", "day")
    two_steps = True
    _run: tuple[object, ...] = ()  # the machine's day whose atlas has been run here
    _unscored = False  # measured, and not yet looked at whether that names the cause
    controls = (
        Choice("complaint", "complaint, page", tuple(str(one + 1) for one in range(complaints.MANY)), "3"),
        measurement_choice(PathDesk.prices),
        Switch("advise", _("say what to measure next"), False),
        Switch("reveal", _("show what it was"), False),
        replace(CONTROLS["machine"], folded=True),
        Choice("day", "day, doors open", tuple(DAYS), "95 F (35 C)", folded=True),
    )

    def place_of_best(self) -> str:
        given = self.settings
        return f"suspects/{NUMBERS[given['machine']]}-{given['complaint']}-{DAYS[given['day']]:.0f}"

    def accept(self, control: Control, given: object) -> bool:
        taken = super().accept(control, given)
        if control.name == "measure":
            self._unscored = not self.settings["reveal"]
            self._score_if_named()
        return taken

    def come_to_rest(self) -> None:
        super().come_to_rest()
        self._score_if_named()

    def _score_if_named(self) -> None:
        """Keep the minutes as the best, if the last measurement by hand made the cause sure enough."""
        if not self.resting or not self._unscored:
            return
        self._unscored = False
        if self._named:
            keep_best(self.place_of_best(), self.minutes)
            self._readings["best"] = self.best

    @property
    def _named(self) -> bool:
        """Whether what has been measured makes the true cause sure enough, with those that look the same."""
        if not self._readings or not self.path:
            return False
        chances, own = self._readings["probabilities"], group(self._truth(self._readings))
        return sum(chance for name, chance in chances.items() if group(name) == own) >= SURE

    @property
    def machine(self) -> Machine:
        return FLEET[NUMBERS[self.settings["machine"]]]

    def calculate(self) -> dict[str, Any]:
        given, path = self.settings, self.path
        number = int(given["complaint"])
        place = NUMBERS[given["machine"]], DAYS[given["day"]], ENGINE_RPM
        found = {"path": path, "minutes": self.minutes, "truth": complaints.hidden(number, place[0]), "advice": []}
        found |= {"par": par.of_complaint(number, place[0], place[1]), "best": self.best, "waits": False}
        names = complaints.names(place[0])
        start = dict(zip(names, priors(names, "usual").tolist(), strict=True))
        wanted = bool(path or given["advise"])
        if not wanted or (not self.resting and self._run != place):  # base rates need no atlas
            bits = float(entropy(np.array(list(start.values()))))
            found |= {"probabilities": start, "before": start, "bits": bits, "seen": {}, "strange": ""}
            return found | {"waits": wanted}
        everything = complaints.seen(number, *place)
        atlas, self._run = complaints.atlas(*place), place
        after = [self._posterior(atlas, everything, path[:-1]), self._posterior(atlas, everything, path)]
        advice = self._advice(after[1], path) if given["advise"] and self.resting else []
        return found | {
            "probabilities": after[1].probabilities,
            "before": after[0].probabilities,
            "bits": after[1].bits,
            "seen": after[1].taken,
            "strange": after[1].strange,
            "advice": advice,
            "waits": bool(given["advise"]) and not self.resting,
        }

    def _advice(self, now: Posterior, path: tuple[str, ...]) -> list[Any]:
        """What to measure next, of what this machine lets one measure and what still tells something."""
        found = next_measurement(now, taken=path, system=self.system)
        return [one for one in found if one.bits >= NOTHING and self._possible(one.measurement.name)]

    def _possible(self, name: str) -> bool:
        return can_be_done(name, self.machine)

    @staticmethod
    def _posterior(atlas: Any, everything: Mapping[str, Any], path: tuple[str, ...]) -> Posterior:
        return atlas.posterior({name: everything[name] for one in path for name in measurements[one].gives})

    # Drawing -------------------------------------------------------------------------------------------------

    def face(self) -> str:
        drawn = ""
        drawn += svg.text(
            style.MARGIN, 58, "bar: now; thin mark: before the last measurement", size=14, color=style.SOFT
        )
        drawn += svg.text(PATH, 34, _("Path"), bold=True)
        drawn += svg.line(PATH - 16, 18, PATH - 16, FOOT - 6, stroke=style.RULE)
        return drawn + svg.line(style.MARGIN, FOOT, LAST, FOOT, stroke=style.RULE)

    def moving(self, readings: Mapping[str, Any]) -> str:
        head = svg.text(
            style.MARGIN,
            34,
            _("Suspects, page {complaint} of the book").format(complaint=self.settings["complaint"]),
            bold=True,
        )
        return head + self._bars(readings) + self._path_drawn(readings) + self._below(readings)

    def _settings_in_words(self) -> str:
        given = self.settings
        return _("Page {complaint} of the complaint book: {machine}, {day}.").format(
            complaint=given["complaint"], machine=given["machine"], day=given["day"]
        )

    def _bars(self, readings: Mapping[str, Any]) -> str:
        drawn, truth = "", self._truth(readings) if self.settings["reveal"] else ""
        ranked = _ranked(readings)
        for place, (name, chance) in enumerate(ranked[:ROWS]):
            y = TOP + STEP * place
            drawn += svg.text(NAME, y + 15, name, anchor="end", size=style.TICK, bold=place == 0)
            drawn += svg.box(BAR, y, WIDE, 20, fill=style.PAPER, stroke=style.RULE)
            drawn += svg.box(BAR, y + 2, max(WIDE * chance, 0.5), 16, fill=style.FIRST if place == 0 else style.METAL)
            before = BAR + WIDE * readings["before"][name]
            drawn += svg.line(before, y - 3, before, y + 23, stroke=style.INK, stroke_width=style.THIN)
            drawn += svg.text(BAR + WIDE + 8, y + 15, _short_percent(chance), size=style.TICK, bold=place == 0)
            if name == truth:
                drawn += svg.marker("diamond", 12, y + 10, 5, fill=style.HIGH)
        return drawn

    def _path_drawn(self, readings: Mapping[str, Any]) -> str:
        path, drawn, spent = readings["path"], "", 0.0
        if not path:
            words = _(
                "Nothing measured yet: the bars are base rates, how usual each fault is. The first "
                "measurement takes a second: many machines with known faults are run."
            )
            drawn += svg.paragraph(PATH, TOP + 8, words, LAST - PATH, size=style.TICK, color=style.SOFT)
            if readings["par"] is None:
                return drawn
            return drawn + svg.paragraph(PATH, TOP + 128, PAR_WORDS, LAST - PATH, size=style.TICK, color=style.SOFT)
        hidden = max(len(path) - LINES, 0)
        for place, name in enumerate(path):
            spent += self.prices[name]
            if place < hidden:
                continue
            y = TOP - 14 + 40.0 * (place - hidden)
            drawn += svg.text(PATH, y, f"{place + 1} · {name}", size=style.TICK, bold=True)
            price = f"+{self.prices[name]:g} = {spent:g} min"
            drawn += svg.text(LAST, y, price, size=style.TICK, anchor="end", color=style.SOFT)
            drawn += svg.text(PATH + 14, y + 17, self._result(name, readings), size=14)
        return drawn

    def _result(self, name: str, readings: Mapping[str, Any]) -> str:
        if not readings["seen"]:
            return _("wait …")
        return result_words(measurements[name], readings["seen"], self.system)

    def _below(self, readings: Mapping[str, Any]) -> str:
        y = FOOT + 28
        drawn = svg.text(style.MARGIN, y, f"{readings['minutes']:g} minutes", size=style.STRONG, bold=True)
        drawn += svg.text(
            style.MARGIN, y + 24, _("doubt left: {bits:.1f} bits").format(bits=readings["bits"]), size=style.TICK
        )
        if score := self._score(readings):
            drawn += svg.text(LAST, 34, score, size=style.TICK, anchor="end", bold=True)
        if self.settings["reveal"]:
            drawn += svg.text(style.MARGIN, y + 50, _("It was:"), size=style.TICK, color=style.SOFT)
            drawn += svg.paragraph(style.MARGIN, y + 70, self._truth_words(readings), 180, size=style.TICK)
        if not readings["advice"]:
            words = _("Tick “say what to measure next” for the measurement that should tell most in a minute.")
            if readings["waits"]:
                words = WAITS
            elif self.settings["advise"]:
                words = _("Nothing that is left to measure would tell more.")
            return drawn + svg.paragraph(236, y - 3, words, 370, size=style.TICK, color=style.SOFT)
        for place, one in enumerate(readings["advice"][:ADVICE]):
            words = f"{place + 1} · {one.measurement.name}, {one.minutes:g} min"
            worth = _("{bits:.2f} bit, {bits_per_minute:.3f} a minute").format(
                bits=one.bits, bits_per_minute=one.bits_per_minute
            )
            drawn += svg.text(236, y - 3 + 22 * place, words, size=style.TICK, bold=place == 0)
            drawn += svg.text(LAST, y - 3 + 22 * place, worth, size=14, anchor="end", color=style.SOFT)
        return drawn + svg.paragraph(236, y + 65, readings["advice"][0].reason, LAST - 236, size=14)

    # Words ---------------------------------------------------------------------------------------------------

    def summary(self, readings: Mapping[str, Any]) -> str:
        name, chance = _ranked(readings)[0]
        spent = _("{minutes:g} minutes spent.").format(minutes=readings["minutes"])
        if readings["waits"]:
            return f"{spent} {WAITS}"
        if not readings["path"]:
            return _("{spent} Before any measurement {name} is the most usual cause, {chance}. Choose one.").format(
                spent=spent, name=name, chance=_percent(chance)
            )
        said = f"{spent} Likeliest: {name}, {_percent(chance)}."
        if readings["strange"]:
            return f"{said} {readings['strange']}"
        if chance < SURE and not self._left(readings):
            return _("{said} That is not enough to open anything, and nothing is left to measure here.").format(
                said=said
            )
        if chance < SURE:
            return _(
                "{said} That is not enough to open anything. Take a measurement that tells the first two apart."
            ).format(said=said)
        if name == HEALTHY:
            return _(
                "{said} Nothing in the circuit asks for a repair: look at doors, sun and what the driver expects."
            ).format(said=said)
        one = catalogue[name]
        caution = _("Caution: {caution}").format(caution=one.caution) if one.caution else ""
        return " ".join(filter(None, (said, self._confirmation(name, readings), caution)))

    def _left(self, readings: Mapping[str, Any]) -> bool:
        """Whether anything is left to measure on this machine."""
        return any(name not in readings["path"] and self._possible(name) for name in self.prices)

    def _confirmation(self, name: str, readings: Mapping[str, Any]) -> str:
        """What confirms a cause, of what has not been measured yet; where all of it has, what it showed."""
        one, taken = confirmations[name], readings["path"]
        own, missing = one.group(self._possible), one.missing(taken, self._possible)
        if not own or (missing == own and own == one.groups[0]):
            return _("Confirm before you replace: {test}").format(test=catalogue[name].test)
        if missing:
            words = _("Confirm before you replace. Still to measure: {missing}.").format(missing=", ".join(missing))
        else:
            shown = "; ".join(f"{each} ({self._result(each, readings)})" for each in own)
            words = _("Its test is taken: {shown}. After the repair it must read as healthy.").format(shown=shown)
        return " ".join(filter(None, (words, one.left)))

    def details(self, readings: Mapping[str, Any]) -> str:
        chances = ", ".join(f"{name} {_percent(chance)}" for name, chance in _ranked(readings)[:ROWS])
        path = "; ".join(f"{name} ({self._result(name, readings)})" for name in readings["path"])
        said = [
            self.summary(readings),
            _("Probabilities: {chances}. Doubt left {bits:.1f} bits.").format(chances=chances, bits=readings["bits"]),
        ]
        if path:
            said.append(f"Measured: {path}.")
        said += [
            _("Next best: {words}. {reason}").format(words=one.measurement.words, reason=one.reason)
            for one in readings["advice"][:1]
        ]
        if score := self._score(readings):
            said.append(f"{score.capitalize()}.")
        if self.settings["reveal"]:
            said.append(_("It was {truth_words}.").format(truth_words=self._truth_words(readings)))
        return " ".join(said)

    def _truth(self, readings: Mapping[str, Any]) -> str:
        return readings["truth"].name if readings["truth"] else HEALTHY

    def _truth_words(self, readings: Mapping[str, Any]) -> str:
        fault = readings["truth"]
        return f"{fault.name}, severity {_percent(fault.severity)}" if fault else "a healthy machine"


def _ranked(readings: Mapping[str, Any]) -> list[tuple[str, float]]:
    return sorted(readings["probabilities"].items(), key=lambda pair: -pair[1])


def _percent(chance: float) -> str:
    if 0.005 <= chance < 0.995:
        return f"{100 * chance:.0f} %"
    return "under 1 %" if chance < 0.5 else "over 99 %"


def _short_percent(chance: float) -> str:
    """The same beside a bar, so that both stay together on a phone."""
    return _percent(chance).replace("under", "<").replace("over", ">")
