"""A compressor goes in: the learner chooses how each step is done; the bench tells what is seen at start and later."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Slider
from coldcab.instruments.drawing import style, svg
from coldcab.quantities import POUND_FORCE
from coldcab.service import compressor_swap
from coldcab.words import _

BUILD, START, WEEK = _("still building"), _("start the engine"), _("come back after a week")
LABELS = {
    "ports": _("hoses at the ports"),
    "oil": _("oil of the new one"),
    "hub": _("first turns"),
    "ring": _("O-ring of the joint"),
    "drier": _("drier"),
    "bulb": _("bulb"),
    "run-in": _("run-in"),
}
TOP, ROW = 74.0, 58.0
WORDS, LAST = 196.0, style.WIDTH - style.MARGIN


class SwapBench(Instrument):
    """A job that runs: eight choices, then the engine starts, then a week passes.

    Settings: each step of `coldcab.service.compressor_swap.STEPS` by its name (`run_in` for the run-in), `bend` (in,
    what the belt gives under 10 lbf), `when`. Readings: `tension` (N), `load` and `life` of the pulley bearing
    (ratios), `slipping`, `told` (what is seen, by step), `troubled` (steps that show something by now), `troubles`
    (how many).
    """

    title = _("The new compressor goes in")
    height = int(TOP + 8 * ROW + 16)
    word_lines = 4
    words_above = True
    controls = (
        *(
            Choice(step.replace("-", "_"), LABELS[step], tuple(one.words for one in options), options[-1].words)
            for step, options in compressor_swap.STEPS.items()
        ),
        Slider("bend", _("belt gives at 10 lbf"), "length", 0.05, 0.8, 0.01, 0.06, "in", "mm", 0.5, decimals=2),
        Choice("when", "look", (BUILD, START, WEEK), BUILD),
    )

    def calculate(self) -> dict[str, Any]:
        belt = compressor_swap.bench_belt(self.settings["bend"])
        chosen = {
            step: compressor_swap.found_option(step, self.settings[step.replace("-", "_")])
            for step in compressor_swap.STEPS
        }
        when = self.settings["when"]
        told = {}
        for step, option in chosen.items():
            told[step] = "" if when == BUILD else option.at_start if when == START else option.after_a_week
        quiet = ("", compressor_swap.FINE_START, compressor_swap.FINE_WEEK)
        troubled = [step for step, words in told.items() if words not in quiet]
        told["belt"] = self._belt(belt)
        if when != BUILD and (belt.slipping or (when == WEEK and belt.life < 0.5)):
            troubled.append("belt")
        return {
            "tension": belt.tension,
            "load": belt.load,
            "life": belt.life,
            "slipping": belt.slipping,
            "told": told,
            "troubled": troubled,
            "troubles": len(troubled),
        }

    def _belt(self, belt: compressor_swap.Belt) -> str:
        pull = f"{belt.tension / POUND_FORCE:.0f} lbf" if self.system == "us" else f"{belt.tension:.0f} N"
        when = self.settings["when"]
        if when == BUILD:
            return _("tension {pull}").format(pull=pull)
        if belt.slipping:
            return _("tension {pull}: it squeals and slips, the pulley gets hot").format(pull=pull)
        if when == START:
            return _("tension {pull}: {fine}").format(pull=pull, fine=compressor_swap.FINE_START)
        return _("tension {pull}: the pulley bearing will last {life:.0%} of its life").format(
            pull=pull, life=belt.life
        )

    def face(self) -> str:
        return svg.text(style.MARGIN, 40, _("What is seen"), size=style.STRONG, bold=True)

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = ""
        for place, (step, words) in enumerate(readings["told"].items()):
            y = TOP + ROW * place
            drawn += svg.line(style.MARGIN, y - 16, LAST, y - 16, stroke=style.RULE)
            drawn += svg.text(style.MARGIN, y + 4, LABELS.get(step, "belt"), size=style.TICK, bold=True)
            shown = words or _("not run yet")
            quiet = words in ("", compressor_swap.FINE_START, compressor_swap.FINE_WEEK)
            color = style.SOFT if quiet else style.INK
            drawn += svg.paragraph(WORDS, y + 4, shown, LAST - WORDS - 20, size=style.TICK, color=color)
        when = svg.text(LAST, 40, self.settings["when"], anchor="end", color=style.SOFT)
        return when + svg.group(drawn, data_table=2)

    def _count(self, readings: Mapping[str, Any]) -> str:
        when, troubles = self.settings["when"], readings["troubles"]
        if when == BUILD:
            return _("Choose how each step is done, then start the engine.")
        if not troubles:
            return _("{when}: nothing wrong shows.").format(when=when.capitalize())
        return _("{when}: {troubles} of 8 steps show trouble.").format(when=when.capitalize(), troubles=troubles)

    def summary(self, readings: Mapping[str, Any]) -> str:
        if not readings["troubled"]:
            return self._count(readings)
        first = readings["troubled"][0]  # told in words too: on a phone the drawing is small
        said = _("{count} The first: {step}. {words}.")
        words = readings["told"][first]
        return said.format(
            count=self._count(readings), step=LABELS.get(first, "belt"), words=words[:1].upper() + words[1:].rstrip(".")
        )

    def details(self, readings: Mapping[str, Any]) -> str:
        said = [self._count(readings)]
        if self.settings["when"] != BUILD:
            said += [f"{LABELS.get(step, 'belt').capitalize()}: {words}." for step, words in readings["told"].items()]
        return " ".join(said).replace("..", ".")
