"""The nitrogen test: a gauge in the morning, the weather, a leak, and what can be told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from coldcab import units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Slider, altitude_slider, gauge_slider, gauge_words
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.dial import compound
from coldcab.instruments.drawing.rows import rows
from coldcab.machine.transients import pressure_test
from coldcab.machine.transients.evacuation import GAS_CONSTANT
from coldcab.service import leak_test
from coldcab.service.drying import CIRCUIT_VOLUME
from coldcab.service.leak_test import NITROGEN_MOLAR_MASS
from coldcab.words import _

SIDE = 356.0
BAR = (356.0, 306.0, 440.0)  # x, y and width of the line that weighs the fall
SAMPLES = 9

FROM_TO = _("From {start} at {before} to {shown} at {now} in {hours:g} h. A tight circuit would show {expected} now.")
VERDICTS = {
    leak_test.LEAKING: _("The rest is a leak: {lost} of nitrogen at this pressure."),
    leak_test.TIGHT: _("It is tight as far as this test sees: a leak below {smallest} stays hidden."),
}
AT_THE_EDGE = _("The rest lies at the edge of what is read: wait longer, or read better.")
IN_DOUBT = _("Not explained: {unexplained}, plus or minus {doubt}. Smallest leak seen: {smallest}.")


class NitrogenTest(Instrument):
    """A circuit left standing under dry nitrogen.

    Settings: `start` (psig), `before` and `now` (F, of the circuit), `hours`, `leak` (oz of nitrogen a year at the
    start's pressure), `division` (psi, what is read off the gauge), `thermometer` (F, how well the temperature is
    known), `altitude` (ft).
    Readings (SI): `start` and `shown` (gauge, as read), `expected` (gauge, of a tight circuit), `test` (a
    `StandingTest`), `smallest` (kg/s of nitrogen that this test sees), `change` (of the reading).
    """

    title = _("The nitrogen test and the weather")
    height = 400
    word_lines = 4
    stamp = (170.0, 190.0)
    drawer = _("Gauge, thermometer and altitude")
    controls = (
        gauge_slider("start", _("gauge at the start"), 50.0, 300.0, 150.0),
        Slider("before", _("circuit at the start"), "temperature", 0.0, 120.0, 1.0, 90.0, "F", "C", 0.5),
        Slider("now", "circuit now", "temperature", 0.0, 120.0, 1.0, 90.0, "F", "C", 0.5),
        Slider("hours", "stood for", "time", 0.5, 48.0, 0.5, 12.0, "h", "h", 0.5),
        Slider("leak", "leak of nitrogen", "mass flow", 0.0, 100.0, 1.0, 0.0, "oz/year", "g/year", 20.0),
        Slider(
            "division", _("gauge is read to"), "pressure difference", 0.1, 10.0, 0.1, 1.0, "psi", "kPa", 1.0,
            folded=True,
        ),
        Slider(
            "thermometer", "temperature known to", "temperature difference", 0.0, 10.0, 0.5, 1.0, "F", "K", 0.5,
            folded=True,
        ),
        replace(altitude_slider(), folded=True),
    )  # fmt: skip
    dial = compound(170.0, 196.0, 140.0, 400.0)

    def calculate(self) -> dict[str, Any]:
        given, air = self.settings, self.atmosphere
        start = self._read(given["start"]) + air
        seconds = given["hours"]
        # The leak as the room counts it: from the air into vacuum, laminar.
        flow = given["leak"] * GAS_CONSTANT * given["before"] / NITROGEN_MOLAR_MASS
        times = np.linspace(0.0, seconds, SAMPLES)
        series = pressure_test(
            CIRCUIT_VOLUME,
            pressure=start,
            time=times,
            temperature=np.linspace(given["before"], given["now"], SAMPLES),
            leak=flow * air**2 / (start**2 - air**2),
            atmosphere=air,
        )
        shown = self._read(float(series.gauge[-1]))
        known = {"gauge_resolution": given["division"], "thermometer_resolution": given["thermometer"]}
        found = leak_test.standing_test(
            start, given["before"], shown + air, given["now"], volume=CIRCUIT_VOLUME, duration=seconds, **known
        )
        return {
            "start": start - air,
            "shown": shown,
            "expected": float(found.expected) - air,
            "change": shown - (start - air),
            "test": found,
            "smallest": self._mass(found.smallest_leak),
        }

    def _read(self, gauge: float) -> float:
        """A reading to the nearest division."""
        division = self.settings["division"]
        return round(gauge / division) * division

    def _mass(self, flow: float) -> float:
        return float(flow) * NITROGEN_MOLAR_MASS / (GAS_CONSTANT * self.settings["now"])

    def face(self) -> str:
        us = self.system == "us"
        drawn = svg.text(style.MARGIN, 30, "The gauge now", bold=True)
        drawn += self.dial.face(self.system)
        drawn += svg.text(170, 296, "psig" if us else "kPa gauge", size=style.TICK, anchor="middle", bold=True)
        drawn += svg.text(
            170, 366, _("dashed: a tight circuit, today"), size=style.TICK, anchor="middle", color=style.SOFT
        )
        return drawn + svg.text(SIDE, 30, _("What the temperature explains, and what not"), bold=True)

    def moving(self, readings: Mapping[str, Any]) -> str:
        found = readings["test"]
        drawn = self.dial.ghost(readings["expected"]) + self.dial.needle(readings["shown"])
        lines = [
            ("at the start", gauge_words(readings["start"], self.system)),
            ("a tight circuit now", gauge_words(readings["expected"], self.system)),
            ("the gauge now", gauge_words(readings["shown"], self.system)),
            ("not explained", self._difference(found.unexplained)),
            ("plus or minus", f"± {self._difference(found.uncertainty)}"),
            ("smallest leak seen", self.words(readings["smallest"], "mass flow")),
        ]
        drawn += rows(64, (SIDE, SIDE + 180), lines, left=SIDE)
        drawn += svg.text(SIDE, 236, found.verdict, size=style.STRONG, bold=True)
        return drawn + self._weighed(found)

    def _weighed(self, found: leak_test.StandingTest) -> str:
        """The fall on a line, the doubt as a band about nothing."""
        x, y, width = BAR
        doubt, fall = float(found.uncertainty), float(found.unexplained)
        reach = 1.15 * max(3.0 * doubt, abs(fall))
        middle = x + width / 2

        def at(value: float) -> float:
            return middle + 0.5 * width * value / reach

        drawn = svg.text(x, y - 30, _("fall that the temperature does not explain"), size=style.TICK, color=style.SOFT)
        drawn += svg.box(at(-doubt), y - 12, at(doubt) - at(-doubt), 24, fill=style.VAPOR, stroke=style.INK)
        drawn += svg.line(x, y, x + width, y, stroke=style.INK, stroke_width=style.THIN)
        drawn += svg.line(middle, y - 16, middle, y + 16, stroke=style.SOFT)
        drawn += svg.marker("diamond", at(fall), y, 8, fill=style.HIGH, stroke=style.PAPER, stroke_width=2)
        drawn += svg.text(middle, y + 36, "none", size=style.TICK, anchor="middle", color=style.SOFT)
        drawn += svg.text(x, y + 36, "rise", size=style.TICK, color=style.SOFT)
        drawn += svg.text(x + width, y + 36, "fall", size=style.TICK, anchor="end", color=style.SOFT)
        drawn += svg.text(
            middle, y + 62, _("box: what gauge and thermometer can pretend"), size=style.TICK, anchor="middle"
        )
        return drawn

    def _difference(self, value: float) -> str:
        unit, decimals = ("psi", 1) if self.system == "us" else ("kPa", 0)
        shown = f"{float(units.convert(value, 'pressure difference', unit)):.{decimals}f}"
        return f"{shown.removeprefix('-') if not shown.strip('-0.') else shown} {unit}"

    def summary(self, readings: Mapping[str, Any]) -> str:
        found, given = readings["test"], self.settings
        fall = FROM_TO.format(
            start=gauge_words(readings["start"], self.system),
            before=self.words(given["before"], "temperature"),
            shown=gauge_words(readings["shown"], self.system),
            now=self.words(given["now"], "temperature"),
            hours=given["hours"] / 3600.0,
            expected=gauge_words(readings["expected"], self.system),
        )
        verdict = VERDICTS.get(found.verdict, AT_THE_EDGE).format(
            lost=self.words(self._mass(found.leak), "mass flow"),
            smallest=self.words(readings["smallest"], "mass flow"),
        )
        return f"{fall} {verdict}"

    def details(self, readings: Mapping[str, Any]) -> str:
        found = readings["test"]
        doubt = IN_DOUBT.format(
            unexplained=self._difference(found.unexplained),
            doubt=self._difference(found.uncertainty),
            smallest=self.words(readings["smallest"], "mass flow"),
        )
        return f"{self.summary(readings)} {doubt}"
