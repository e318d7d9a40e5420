"""An identifier: what is in a machine or a cylinder, and what that permits. The samples are invented."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab import units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Control, Slider
from coldcab.instruments.drawing import style, svg
from coldcab.service import identification
from coldcab.words import _

OWN = _("one of your own")
SAMPLES: dict[str, dict[str, float]] = {
    "Unit 31, the combine": {"R-12": 0.995, "R-134a": 0.005},
    "Unit 12, the orchard sprayer": {"R-12": 0.78, "R-134a": 0.22},
    "Unit 44, the road sweeper": {"R-134a": 0.94, "air": 0.06},
    "Unit 7, the wheel loader": {"R-12": 0.62, "R-22": 0.38},
    "Unit 40, brought in from a farm": {"R-134a": 0.55, "hydrocarbon": 0.45},
    "Unit 18, the motor grader": {"R-12": 0.01, "air": 0.99},
    "the cylinder without a tag": {"R-12": 0.66},
    "the new sprayer": {"R-1234yf": 0.995, "R-134a": 0.005},
    "Unit 22, the skid steer": {"R-134a": 0.992, "air": 0.008},
}
"""Mass shares of each invented sample; what is missing is a part that the identifier does not know."""
SEALED = ("Unit 22, the skid steer",)
"""Samples whose sealant test, beside the identifier, is positive."""

LEFT, BAR, WIDE = 150.0, 18.0, 190.0
TOP, STEP = 72.0, 37.0
CARD = 440.0
LOOKS = {
    "R-12": style.SECOND,
    "R-134a": style.FIRST,
    "R-1234yf": style.NOTE,
    "R-22": style.SOFT,
    "hydrocarbon": style.HIGH,
    "air": style.AIR,
}

SHOWS = _("It shows {shares}: {name}.")
RECOVER_WITH = _("Recover with {machine}; cylinder: {container}.")
PERMITS = {
    (True, True): _("It may be recycled in the shop and may go back into a machine after that."),
    (True, False): _("It may be recycled in the shop and may not go back into a machine."),
    (False, True): _("It may not be recycled in the shop and may go back into a machine after that."),
    (False, False): _("It may not be recycled in the shop and may not go back into a machine."),
}
"""By whether it may be recycled where it was found, and go back into a machine."""
SOURCE = _("Source: {citation}.")


class Identifier(Instrument):
    """What an identifier shows, and what may be done with it.

    Settings: `sample` (one of `SAMPLES`, or "one of your own"), and for your own: `r134a` (% of R-134a in R-12),
    `hydrocarbon` (%), `air` (%).
    Readings: `shares` (mass shares by name), `sealant` (whether the test beside it is positive), and every field of
    `identification.Finding` by name.
    """

    title = "Refrigerant identifier"
    height = 384
    word_lines = 5
    controls = (
        Choice("sample", "sample", (*SAMPLES, OWN), next(iter(SAMPLES))),
        Slider("r134a", "R-134a in R-12", "fraction", 0.0, 100.0, 0.5, 10.0, "%", "%", 0.5),
        Slider("hydrocarbon", "hydrocarbon", "fraction", 0.0, 50.0, 0.5, 0.0, "%", "%", 0.5),
        Slider("air", "air", "fraction", 0.0, 100.0, 0.5, 0.0, "%", "%", 0.5),
    )

    def in_use(self, control: Control) -> bool:
        return control.name == "sample" or self.settings["sample"] == OWN

    def calculate(self) -> dict[str, Any]:
        shares = dict.fromkeys(identification.PARTS, 0.0) | self._sample()
        sealant = self.settings["sample"] in SEALED
        return {"shares": shares, "sealant": sealant, **vars(identification.identify(shares, sealant=sealant))}

    def _sample(self) -> dict[str, float]:
        given = self.settings
        if given["sample"] != OWN:
            return SAMPLES[given["sample"]]
        left = 1.0 - given["air"]
        clean = left * (1.0 - given["hydrocarbon"])
        return {
            "R-12": clean * (1.0 - given["r134a"]),
            "R-134a": clean * given["r134a"],
            "hydrocarbon": left * given["hydrocarbon"],
            "air": given["air"],
        }

    def face(self) -> str:
        drawn = svg.text(style.MARGIN, 30, _("Identifier, shares by mass"), bold=True)
        for place, name in enumerate((*identification.PARTS, "not known")):
            y = TOP + STEP * place
            drawn += svg.text(LEFT - 10, y + 14, name, anchor="end", bold=True)
            drawn += svg.box(LEFT, y, WIDE, BAR, fill=style.PAPER, stroke=style.RULE)
        drawn += svg.text(style.MARGIN, 366, _("Samples are invented."), size=style.TICK, color=style.SOFT)
        return drawn + svg.text(CARD, 30, _("What was found, and what it permits"), bold=True)

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = ""
        for place, (name, share) in enumerate(self._bars(readings).items()):
            y = TOP + STEP * place
            drawn += svg.box(LEFT, y, max(WIDE * share, 0.5), BAR, fill=LOOKS.get(name, style.METAL))
            drawn += svg.text(LEFT + WIDE + 10, y + 14, f"{100 * share:.1f} %")
        sealant = _("Sealant test: positive") if readings["sealant"] else _("Sealant test: negative")
        drawn += svg.text(style.MARGIN, 342, sealant, bold=True)
        good = readings["may_recycle_here"]
        drawn += svg.box(
            CARD - 12, 46, 392, 34, rx=6, fill=style.PAPER, stroke=style.INK if good else style.NOTE, stroke_width=2
        )
        drawn += svg.text(CARD, 70, readings["name"], size=style.STRONG, bold=True)
        y = 108.0
        for head, words in (
            ("Recover with", readings["recover_with"]),
            ("Cylinder", units.in_order(readings["container"], self.system)),
            (_("Recycle in the shop"), "yes" if good else "no"),
            ("Back into a machine", "yes, once recycled" if readings["may_return"] else "no"),
        ):
            drawn += svg.text(CARD, y, head, bold=True, size=style.TICK, color=style.SOFT)
            lines = svg.wrap(words, 372)
            drawn += svg.paragraph(CARD, y + 20, words, 372)
            y += 31 + 21.6 * len(lines)
        return drawn

    def summary(self, readings: Mapping[str, Any]) -> str:
        meaning = readings["meaning"]
        return f"{meaning[:1].upper()}{meaning[1:]}. {readings['next_step']} {readings['caution']}"

    def details(self, readings: Mapping[str, Any]) -> str:
        shares = ", ".join(f"{name} {100 * share:.1f} %" for name, share in self._bars(readings).items() if share > 0)
        sentences = (
            SHOWS.format(shares=shares, name=readings["name"]),
            self.summary(readings),
            RECOVER_WITH.format(machine=readings["recover_with"], container=readings["container"]),
            PERMITS[readings["may_recycle_here"], readings["may_return"]],
            SOURCE.format(citation=readings["citation"]),
        )
        return " ".join(sentences)

    def _bars(self, readings: Mapping[str, Any]) -> dict[str, float]:
        shares = dict(readings["shares"])
        return {**shares, "not known": max(1.0 - sum(shares.values()), 0.0)}
