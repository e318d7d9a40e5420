"""A wet circuit on the vacuum pump: what the gauges show, and what becomes of the water."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

import numpy as np

from coldcab import units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Slider, Switch, altitude_slider
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.rows import rows
from coldcab.instruments.drawing.time_plot import TimePlot
from coldcab.machine.transients import MICRON
from coldcab.service import drying, evacuation
from coldcab.words import _

MINUTES = drying.WATCHED / 60.0
PLOT = TimePlot(96.0, 58.0, 400.0, 290.0, MINUTES, 20.0 * MICRON, 1e6 * MICRON, logarithmic=True)
"""In Pa; it is drawn in the unit of the gauge."""
SIDE = 520.0
GLASS = (530.0, 252.0, 70.0, 96.0)  # the water left: x, y, width, height
MOST_WATER = 20.0  # g


class PumpDown(Instrument):
    """A vacuum pump on a circuit with water in it, minute by minute.

    Settings: `hose`, `cores` (valve cores left in the ports), `temperature` (F, of the machine), `water` (g), `minutes`
    (how long the pump has run), `pump` (cfm), `altitude` (ft), `rest` (draw the curve to its end).
    Readings (SI): `pressure` (absolute, in the machine), `vacuum` (below the air, as a vacuum gauge shows it),
    `water_left`, `water_temperature`, `ice` (share), `boils_below` (Pa at the machine's temperature), `dry_after` (free
    water gone) and `target_after` (s from the start; infinite beyond `MINUTES`).
    """

    title = _("A wet circuit on the vacuum pump")
    height = 420
    word_lines = 4
    stamp = (296.0, 200.0)
    plays = MappingProxyType({"minutes": 20.0})
    drawer = "Pump and altitude"
    two_steps = True
    controls = (
        Slider("minutes", "pump has run", "time", 0.0, MINUTES, 1.0, 10.0, "min", "min", 1.0),
        Slider("water", "water inside", "mass", 0.0, MOST_WATER, 0.5, 3.0, "g", "g", 0.5),
        Slider("temperature", "machine is at", "temperature", 40.0, 120.0, 1.0, 70.0, "F", "C", 0.5),
        Choice("hose", "hose", tuple(drying.HOSES), "3/16 in bore, 6 ft"),
        Switch("cores", _("valve cores left in"), True),
        Switch("rest", _("draw the curve to its end"), False),
        Slider("pump", "pump's speed", "volume flow", 1.0, 10.0, 0.1, 3.0, "cfm", "m3/h", 0.1, folded=True),
        replace(altitude_slider(), folded=True),
    )

    def __init__(self, **settings: object) -> None:
        self._kept: tuple[tuple, drying.Drying] | None = None
        self._kept_in_full = True
        super().__init__(**settings)

    @property
    def pumped(self) -> drying.Drying:
        """The whole pump-down; kept until something but the time changes."""
        given = self.settings
        key = tuple(given[name] for name in ("water", "temperature", "hose", "cores", "pump", "altitude"))
        if self._kept is None or self._kept[0] != key or (self.resting and not self._kept_in_full):
            found = drying.shop_drying(
                given["water"],
                given["temperature"],
                hose=given["hose"],
                cores=given["cores"],
                pump_speed=given["pump"],
                atmosphere=self.atmosphere,
                coarse=not self.resting,
            )
            self._kept, self._kept_in_full = (key, found), self.resting
        return self._kept[1]

    def calculate(self) -> dict[str, Any]:
        found, now = self.pumped, self.settings["minutes"]
        series = found.series
        pressure = math.exp(np.interp(now, series.time, np.log(series.pressure)))
        return {
            "pressure": pressure,
            "vacuum": self.atmosphere - pressure,
            "water_left": float(np.interp(now, series.time, series.water)),
            "water_temperature": float(np.interp(now, series.time, series.water_temperature)),
            "ice": float(np.interp(now, series.time, series.ice)),
            "boils_below": float(evacuation.boiling_pressure(self.settings["temperature"])),
            "dry_after": float(found.dry_after),
            "target_after": float(found.target_after),
        }

    def face(self) -> str:
        __, unit = vacuum_unit(self.system)
        plot = self._plot
        drawn = svg.text(plot.x, 30, _("Pressure in the machine, {unit}").format(unit=unit), bold=True)
        drawn += plot.frame() + plot.value_scale(
            stop for stop in (10.0, 100.0, 1e3, 1e4, 1e5, 1e6) if plot.bottom <= stop <= plot.top
        )
        drawn += plot.time_scale(15.0, _("minutes with the pump on"))
        drawn += svg.text(SIDE, 30, "Gauges and water", bold=True)
        x, y, width, height = GLASS
        return drawn + svg.box(x, y, width, height, fill=style.PAPER, stroke=style.INK, stroke_width=style.THIN)

    @property
    def _plot(self) -> TimePlot:
        size, __ = vacuum_unit(self.system)
        return replace(PLOT, bottom=PLOT.bottom / size, top=PLOT.top / size)

    def moving(self, readings: Mapping[str, Any]) -> str:
        series, now = self.pumped.series, self.settings["minutes"] / 60.0
        plot, (size, __) = self._plot, vacuum_unit(self.system)
        minutes, shown, here = series.time / 60.0, series.pressure / size, readings["pressure"] / size
        drawn = plot.level(readings["boils_below"] / size, _("water boils below this, here"))
        target = units.in_order("500 micron", self.system)
        drawn += plot.level(evacuation.DEEP_TARGET / size, target, dash="8 4", below=True)
        seen = minutes < now
        if self.settings["rest"]:
            drawn += plot.line(minutes, shown, stroke=style.SOFT, stroke_width=style.HAIR)
        drawn += plot.line([*minutes[seen], now], [*shown[seen], here], stroke=style.INK, stroke_width=style.LINE)
        drawn += svg.circle(*plot.place(now, here), 7, fill=style.INK, stroke=style.PAPER, stroke_width=2)
        lines = [
            ("micron gauge", micron_words(readings["pressure"])),
            ("vacuum gauge", self._vacuum(readings)),
            ("absolute", f"{readings['pressure']:,.0f} Pa"),
            ("water left", f"{1e3 * readings['water_left']:.1f} g"),
            ("its temperature", self._water_words(readings)),
        ]
        drawn += rows(66, (SIDE, SIDE + 138), lines, left=SIDE)
        return drawn + self._water(readings)

    def _water(self, readings: Mapping[str, Any]) -> str:
        x, y, width, height = GLASS
        level = height * min(1e3 * readings["water_left"] / MOST_WATER, 1.0)
        frozen = level * readings["ice"]
        drawn = svg.box(x, y + height - level, width, level, fill=style.LIQUID) if level > 0 else ""
        if frozen > 1.0:
            # Ice is told by hatching as well as by its white ground.
            drawn += svg.box(x, y + height - level, width, frozen, fill=style.PAPER, stroke=style.INK)
            for step in range(1, int(width // 10) + 1):
                drawn += svg.line(
                    x + 10 * step - 8, y + height - level, x + 10 * step, y + height - level + frozen, stroke=style.INK
                )
        drawn += svg.box(x, y, width, height, fill="none", stroke=style.INK, stroke_width=style.THIN)
        told = "ice" if readings["ice"] > 0.5 else "water" if readings["water_left"] > 1e-6 else _("no free water")
        drawn += svg.text(x + width + 14, y + 20, told, size=style.STRONG, bold=True)
        target = units.in_order("500 micron", self.system).partition(" (")[0]
        for row, (name, after) in enumerate((("gone after", "dry_after"), (f"{target} after", "target_after"))):
            drawn += svg.text(x + width + 14, y + 56 + 26 * row, f"{name} {self._after(readings[after])}")
        return drawn

    def _after(self, seconds: float) -> str:
        """A time that has been reached; the rest is for the learner to find."""
        if seconds <= self.settings["minutes"] or (self.settings["rest"] and math.isfinite(seconds)):
            return f"{seconds / 60.0:.0f} min"
        return f"> {MINUTES:.0f} min" if self.settings["rest"] else "…"

    def _vacuum(self, readings: Mapping[str, Any]) -> str:
        unit, decimals = ("inHg", 1) if self.system == "us" else ("kPa", 1)
        return f"{units.convert(readings['vacuum'], 'pressure difference', unit):.{decimals}f} {unit} vacuum"

    def _water_words(self, readings: Mapping[str, Any]) -> str:
        if readings["water_left"] < 1e-6:
            return "none left"
        return self.words(readings["water_temperature"], "temperature")

    def summary(self, readings: Mapping[str, Any]) -> str:
        minutes = self.settings["minutes"] / 60.0
        said = [
            _("After {minutes:.1f} min the micron gauge shows {pressure}, the vacuum gauge {vacuum}.").format(
                minutes=minutes, pressure=micron_words(readings["pressure"]), vacuum=self._vacuum(readings)
            )
        ]
        if self.settings["water"] == 0:
            said.append(_("There is no water inside; only air has to leave."))
        elif readings["water_left"] < 1e-6:
            said.append(_("The free water is gone. What oil and drier hold is still inside; pump on."))
        else:
            left = _("{water_left:.1f} g of water is left, at {water_words}.").format(
                water_left=1000.0 * readings["water_left"], water_words=self._water_words(readings)
            )
            said.append(left)
            if readings["ice"] > 0.02:
                said.append(_("It has frozen: evaporating took its heat. Ice leaves slowly; warm the machine."))
            elif readings["pressure"] > readings["boils_below"]:
                said.append(_("It does not boil yet: the pressure is above the dotted line."))
            else:
                said.append(_("It boils and holds the pressure up; the gauge waits for it."))
        return " ".join(said)

    def details(self, readings: Mapping[str, Any]) -> str:
        return _(
            "{summary} Water boils below {boils_below} at the machine's temperature. Free "
            "water gone after {dry_after}, 500 micron after {target_after}."
        ).format(
            summary=self.summary(readings),
            boils_below=micron_words(readings["boils_below"]),
            dry_after=self._after(readings["dry_after"]),
            target_after=self._after(readings["target_after"]),
        )


def vacuum_unit(system: str) -> tuple[float, str]:
    """The unit in which a deep vacuum is drawn: how many Pa it is, and its name."""
    return (1.0, "Pa") if system == "si" else (MICRON, "micron")


def micron_words(pressure: float) -> str:
    """A deep vacuum in micron, three figures."""
    micron = pressure / MICRON
    step = 10.0 ** max(math.floor(math.log10(max(micron, 1e-3))) - 2, 0)
    return f"{round(micron / step) * step:,.0f} micron"
