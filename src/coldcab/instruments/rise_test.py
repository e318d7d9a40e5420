"""The rise test: readings after the pump is shut off, to be judged by eye and then by the fit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np

from coldcab import units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Control, Slider, Switch
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.time_plot import TimePlot, round_top
from coldcab.instruments.pump_down import micron_words, vacuum_unit
from coldcab.machine.transients import MICRON, vacuum_rise
from coldcab.machine.transients.evacuation import AIR_MOLAR_MASS, GAS_CONSTANT
from coldcab.service import rise_test
from coldcab.service.drying import CIRCUIT_VOLUME
from coldcab.service.evacuation import DEEP_TARGET, boiling_pressure
from coldcab.words import _

MINUTES = 60.0
EVERY = 30.0  # s between readings
SKETCH = 4  # of them are skipped while the hand moves
DIGIT, SCATTER = 10.0 * MICRON, 10.0 * MICRON  # last digit and scatter of the gauge (invented)
START = 300.0 * MICRON
BESIDE = "set it yourself"
SIDE = 548.0
BARS = 250.0  # length of a full bar


@dataclass(frozen=True)
class Record:
    """A rise that was written down; what was in the machine is not shown. All invented."""

    leak: float  # kg/s of air
    water: float  # kg
    temperature: float  # K
    boiling: float  # kg/(s Pa)


OUNCE_A_YEAR = 0.028349523125 / (365.25 * 86400.0)
RECORDS = {
    "record 1": Record(12.0 * OUNCE_A_YEAR, 0.0, 293.15, 2e-10),
    "record 2": Record(0.0, 2e-3, 291.15, 2e-10),
    "record 3": Record(0.0, 0.0, 296.15, 2e-10),
    "record 4": Record(30.0 * OUNCE_A_YEAR, 1e-3, 289.15, 2e-10),
    "record 5": Record(0.0, 3e-3, 281.15, 2.2e-11),
    "record 6": Record(2.0 * OUNCE_A_YEAR, 0.0, 303.15, 2e-10),
}


class RiseTest(Instrument):
    """Readings of a micron gauge on a circuit whose pump is shut off.

    Settings: `machine` ("set it yourself" or a record), `leak` (oz of air a year, drawn into the vacuum), `water` (g),
    `temperature` (F), `minutes` (watched), `judged` (show what the fit says).
    Readings: `start`, `end` (Pa absolute), `rise`, `boils_below` (Pa, water at this temperature), `verdict` (a
    `RiseVerdict`), `temperature` (K).
    """

    title = _("The vacuum after the pump is shut off")
    height = 400
    plays = MappingProxyType({"minutes": 15.0})
    word_lines = 4
    stamp = (300.0, 200.0)
    controls = (
        Choice("machine", "machine", (BESIDE, *RECORDS), BESIDE),
        Slider("minutes", "watched for", "time", 5.0, MINUTES, 1.0, 20.0, "min", "min", 1.0, decimals=0),
        Slider("leak", "leak of air", "mass flow", 0.0, 60.0, 0.5, 0.0, "oz/year", "g/year", 10.0),
        Slider("water", "water inside", "mass", 0.0, 5.0, 0.1, 0.0, "g", "g", 0.1),
        Slider("temperature", "machine is at", "temperature", 40.0, 110.0, 1.0, 70.0, "F", "C", 0.5),
        Switch("judged", _("show what the fit says"), False),
    )

    def __init__(self, **settings: object) -> None:
        self._kept: tuple[tuple, tuple[np.ndarray, np.ndarray]] | None = None
        self._kept_in_full = True
        super().__init__(**settings)

    def in_use(self, control: Control) -> bool:
        return control.name not in ("leak", "water", "temperature") or self.settings["machine"] == BESIDE

    @property
    def record(self) -> Record:
        """What is in the machine."""
        given = self.settings
        own = Record(given["leak"], given["water"], given["temperature"], 2e-10)
        return RECORDS.get(given["machine"], own)

    @property
    def watched(self) -> tuple[np.ndarray, np.ndarray]:
        """s and Pa as the gauge shows them, over the longest time."""
        key = self.settings["machine"], self.record
        if self._kept is None or self._kept[0] != key or (self.resting and not self._kept_in_full):
            inside = self.record
            series = vacuum_rise(
                CIRCUIT_VOLUME,
                start_pressure=START,
                leak=inside.leak * GAS_CONSTANT * inside.temperature / AIR_MOLAR_MASS,
                water=inside.water,
                temperature=inside.temperature,
                boiling=inside.boiling,
                duration=MINUTES * 60.0,
                # While the hand moves, every fourth reading, and straight lines between.
                samples=int(MINUTES * 60.0 / EVERY) // (1 if self.resting else SKETCH) + 1,
                tolerance=1e-5 if self.resting else 1e-3,
            )
            times = np.arange(int(MINUTES * 60.0 / EVERY) + 1) * EVERY
            pressure = series.pressure if self.resting else np.interp(times, series.time, series.pressure)
            number = sorted(RECORDS).index(key[0]) + 1 if key[0] in RECORDS else 0
            scatter = np.random.Generator(np.random.Philox(70 + number)).normal(0.0, SCATTER, times.size)
            shown = np.maximum(np.round((pressure + scatter) / DIGIT), 0.0) * DIGIT
            self._kept, self._kept_in_full = (key, (times, shown)), self.resting
        return self._kept[1]

    def calculate(self) -> dict[str, Any]:
        times, shown = self._seen()
        found = rise_test.judge(times, shown, resolution=DIGIT, noise=SCATTER, temperature=self.record.temperature)
        return {
            "start": float(shown[0]),
            "end": float(shown[-1]),
            "rise": float(shown[-1] - shown[0]),
            "boils_below": float(boiling_pressure(self.record.temperature)),
            "temperature": self.record.temperature,
            "verdict": found,
        }

    def _seen(self) -> tuple[np.ndarray, np.ndarray]:
        times, shown = self.watched
        seen = times <= self.settings["minutes"] + 1e-6
        return times[seen], shown[seen]

    def face(self) -> str:
        words = _("Micron gauge, pump shut off") if self.system == "us" else _("Vacuum gauge in Pa, pump shut off")
        drawn = svg.text(96, 30, words, bold=True)
        drawn += TimePlot(96.0, 58.0, 410.0, 270.0, MINUTES, 0.0, 1.0).frame()
        return drawn + svg.text(SIDE, 30, _("What the readings say"), bold=True)

    def moving(self, readings: Mapping[str, Any]) -> str:
        times, shown = self._seen()
        size, __ = vacuum_unit(self.system)
        top = round_top(max(1.15 * float(shown.max()), DEEP_TARGET) / size)
        plot = TimePlot(96.0, 58.0, 410.0, 270.0, round_top(float(times[-1]) / 60.0, (1, 2, 3, 4, 5, 6)), 0.0, top)
        drawn = plot.value_scale(svg.stops(0.0, top, top / 5.0))
        drawn += plot.time_scale(plot.minutes / 5.0, _("minutes since the pump was shut off"))
        drawn += plot.level(readings["boils_below"] / size, _("water lifts it no higher"), left=True)
        drawn += plot.dots(times / 60.0, shown / size)
        if self.settings["judged"]:
            return drawn + self._beliefs(readings["verdict"])
        drawn += svg.text(SIDE, 66, _("Straight, bent, flat, or both?"), bold=True)
        return drawn + svg.paragraph(
            SIDE, 96, _("Say it first. Then let the fit speak."), style.WIDTH - SIDE - 20, color=style.SOFT
        )

    def _beliefs(self, found: rise_test.RiseVerdict) -> str:
        drawn = svg.text(SIDE, 64, found.verdict, size=style.STRONG, bold=True)
        for row, name in enumerate(rise_test.CLASSES):
            y, share = 98 + 44 * row, found.beliefs[name]
            drawn += svg.text(SIDE, y, name, size=style.TICK)
            drawn += svg.text(SIDE + BARS, y, f"{100 * share:.0f} %", size=style.TICK, anchor="end")
            drawn += svg.box(SIDE, y + 6, BARS, 12, fill=style.PAPER, stroke=style.RULE)
            drawn += svg.box(SIDE, y + 6, max(BARS * share, 0.5), 12, fill=style.INK)
        mark = SIDE + BARS * rise_test.SURE
        drawn += svg.line(mark, 100, mark, 252, stroke=style.SOFT, stroke_dasharray="3 4")
        drawn += svg.text(mark, 268, f"{100 * rise_test.SURE:.0f} %: sure enough", size=style.TICK, anchor="end")
        reason = units.in_order(found.reason, self.system)
        return drawn + svg.paragraph(SIDE, 296, reason, style.WIDTH - SIDE - 20, size=style.TICK)

    def summary(self, readings: Mapping[str, Any]) -> str:
        minutes = self.settings["minutes"] / 60.0
        said = _("At {temperature} the gauge went from {start} to {end} in {minutes:.0f} min. ").format(
            temperature=self.words(readings["temperature"], "temperature"),
            start=micron_words(readings["start"]),
            end=micron_words(readings["end"]),
            minutes=minutes,
        )
        if not self.settings["judged"]:
            return said + _("Look at the shape before you look at the number.")
        found = readings["verdict"]
        said += _("The fit says: {verdict}. {reason}").format(verdict=found.verdict, reason=found.reason)
        if found.verdict in (rise_test.LEAK, rise_test.BOTH):
            mass = found.leak(CIRCUIT_VOLUME) * AIR_MOLAR_MASS / (GAS_CONSTANT * readings["temperature"])
            said += _(" The line makes {mass} of air.").format(mass=units.show(mass, "mass flow", system=self.system))
        return said

    def details(self, readings: Mapping[str, Any]) -> str:
        times, shown = self._seen()
        marks = ", ".join(
            f"{t / 60.0:.0f} min {micron_words(float(np.interp(t, times, shown)))}"
            for t in np.linspace(0.0, times[-1], 5)
        )
        highest = micron_words(readings["boils_below"])
        said = _("{summary} Readings: {marks}. Water alone can lift it to {highest}.").format(
            summary=self.summary(readings), marks=marks, highest=highest
        )
        if self.settings["judged"]:
            shares = readings["verdict"].beliefs
            said += f" Beliefs: {', '.join(f'{name} {100 * shares[name]:.0f} %' for name in rise_test.CLASSES)}."
        return said
