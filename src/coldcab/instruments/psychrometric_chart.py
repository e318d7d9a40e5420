"""The psychrometric chart with the air of the day on it, and what a cold coil makes of it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import numpy as np

from coldcab import air, units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Slider, altitude_slider, altitude_words
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.rows import ROW, rows
from coldcab.quantities import FREEZING
from coldcab.words import _

PLOT = (52.0, 64.0, 384.0, 328.0)  # x, y, width, height
DRY = (units.from_unit(20.0, "temperature", "F"), units.from_unit(120.0, "temperature", "F"))
RATIO = (0.0, 0.034)  # kg/kg
HUMIDITIES = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0)
WET_BULBS = {"us": (40.0, 50.0, 60.0, 70.0, 80.0, 90.0), "si": (5.0, 10.0, 15.0, 20.0, 25.0, 30.0)}
POINTS = 31
# Name in `MoistAir`, words, kind.
PROPERTIES = (
    ("dry_bulb", "dry bulb", "temperature"),
    ("wet_bulb", "wet bulb", "temperature"),
    ("dew_point", "dew point", "temperature"),
    ("relative_humidity", "relative humidity", "fraction"),
    ("humidity_ratio", "humidity ratio", "humidity ratio"),
    ("enthalpy", _("enthalpy, per dry air"), "specific energy"),
    ("specific_volume", _("volume, per dry air"), "specific volume"),
)
STATES_TOP = 500.0
HEATS = (530.0, 84.0, 48.0)  # left, top, and from one to the next
COLUMNS = (20.0, 300.0, 570.0)

AIR_HOLDS = _("The air holds {water} of water; its dew point is {dew_point}.")
WARMS = _("The surface is warmer than the air, so it warms it and no water runs off.")
DRY_COIL = _(
    "The surface is no colder than that, so the coil stays dry and all of the heat, {heat}, goes into cooling the air."
)
WET_COIL = _(
    "The surface is colder, so {condensate} of water leaves the air and takes {share:.0f} % "
    "of the heat. The air leaves at {leaving}."
)
FROST = _("The surface is below freezing: the water stays as frost and closes the coil.")


class PsychrometricChart(Instrument):
    """Moist air before and behind a coil, on the chart.

    Settings: `dry_bulb` (F) and `humidity` (%) of the air that enters, `surface` of the coil (F), `airflow` (cfm, of
    the air that enters), in the drawer `bypass` (share of the air that passes untouched, %) and `altitude` (ft).
    Readings (SI): `entering` and `leaving` (`coldcab.air.MoistAir`), `states` (their properties by name, in pairs),
    `dry_air_flow`, `total_heat`, `sensible_heat`, `latent_heat`, `condensate_rate`.
    """

    title = "The psychrometric chart"
    height = int(STATES_TOP + 6 * ROW + 20)
    word_lines = 4
    words_above = True
    stamp = (250.0, 200.0)
    drawer = _("Bypassed air and altitude")
    face_settings = ("altitude",)
    controls = (
        Slider("dry_bulb", _("air before the coil"), "temperature", 40.0, 120.0, 1.0, 95.0, "F", "C", 0.5),
        Slider("humidity", "its relative humidity", "fraction", 5.0, 100.0, 1.0, 40.0, "%", "%", 1.0),
        Slider("surface", "coil surface", "temperature", 20.0, 80.0, 1.0, 40.0, "F", "C", 0.5),
        Slider("airflow", "air flow", "volume flow", 50.0, 600.0, 5.0, 270.0, "cfm", "m3/h", 10.0, 0),
        Slider("bypass", "untouched air", "fraction", 0.0, 50.0, 1.0, 10.0, "%", "%", 1.0, 0, True),
        Slider("altitude", altitude_slider().label, "length", 0.0, 10_000.0, 100.0, 0.0, "ft", "m", 50.0, 0, True),
    )

    def calculate(self) -> dict[str, Any]:
        given = self.settings
        entering = air.moist_air(given["dry_bulb"], self.atmosphere, relative_humidity=given["humidity"])
        flow = given["airflow"] / entering.specific_volume
        behind = air.coil(entering, flow, surface_temperature=given["surface"], bypass_factor=given["bypass"])
        return {
            # Wet bulb and dew point are solved for: once for the drawing, the table and the words.
            "states": {name: (getattr(entering, name), getattr(behind.leaving, name)) for name, *__ in PROPERTIES},
            "entering": entering,
            "leaving": behind.leaving,
            "dry_air_flow": flow,
            "total_heat": behind.total_heat,
            "sensible_heat": behind.sensible_heat,
            "latent_heat": behind.latent_heat,
            "condensate_rate": behind.condensate_rate,
        }

    def face(self) -> str:
        x, y, width, height = PLOT
        drawn = svg.text(
            x,
            30,
            _("Moist air at {altitude}").format(altitude=altitude_words(self.settings["altitude"], self.system)),
            bold=True,
        )
        drawn += svg.box(x, y, width, height, fill=style.PAPER, stroke=style.INK) + self._axes()
        curves, labels = "", ""
        for humidity, (temperatures, ratios) in _curves(self.atmosphere):
            points = [_at(t, w) for t, w in zip(temperatures, ratios, strict=True)]
            full = humidity == 1.0
            curves += svg.path(
                points,
                stroke=style.INK if full else style.METAL,
                stroke_width=style.LINE if full else style.HAIR,
            )
            within = [point for point in points if point[1] > y + 14 and point[0] < x + width - 40]
            if humidity in (0.2, 0.4, 0.6, 0.8):
                labels += svg.text(
                    within[-1][0] - 6, within[-1][1] - 3, f"{100 * humidity:.0f} %", anchor="end", halo=True
                )
        for value in WET_BULBS[self.system]:
            wet = units.from_unit(value, "temperature", "F" if self.system == "us" else "C")
            foot, top = _wet_line(wet, self.atmosphere)
            curves += svg.path([_at(*foot), _at(*top)], stroke=style.RULE, stroke_width=style.HAIR)
        drawn += _cut(curves) + svg.group(labels, font_size=style.TICK, fill=style.SOFT)
        drawn += svg.text(x + 8, y + 22, "curves: relative humidity", size=style.TICK, color=style.SOFT, halo=True)
        drawn += svg.text(x + 8, y + 41, _("slanting lines: wet bulb"), size=style.TICK, color=style.SOFT, halo=True)
        for column, head in enumerate(("", "before the coil", "behind the coil")):
            if column:
                shape, fill = (("circle", style.INK), ("square", style.AIR))[column - 1]
                drawn += svg.marker(shape, COLUMNS[column] + 6, STATES_TOP - ROW - 5, fill=fill)
                drawn += svg.text(COLUMNS[column] + 20, STATES_TOP - ROW, head, bold=True)
        return drawn

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = self._process(readings)
        lines = self._states(readings)
        drawn += rows(STATES_TOP, COLUMNS, lines)
        left, top, step = HEATS
        for place, (words, shown) in enumerate(self._heats(readings)):
            drawn += svg.text(left, top + step * place, words, size=style.TICK, color=style.SOFT)
            drawn += svg.text(left, top + step * place + 20, shown, bold=True)
        return drawn

    def summary(self, readings: Mapping[str, Any]) -> str:
        dry, wet = readings["total_heat"] < 0.0, readings["condensate_rate"] > 0.0
        sentences = [AIR_HOLDS, WARMS if dry else WET_COIL if wet else DRY_COIL]
        if not dry and wet and self.settings["surface"] < FREEZING:
            sentences.append(FROST)
        return " ".join(sentences).format(
            water=self.words(readings["entering"].humidity_ratio, "humidity ratio"),
            dew_point=self.words(readings["states"]["dew_point"][0], "temperature"),
            heat=self.words(readings["total_heat"], "power"),
            condensate=self.words(readings["condensate_rate"], "mass flow"),
            share=100 * readings["latent_heat"] / (readings["total_heat"] or 1.0),
            leaving=self.words(readings["leaving"].dry_bulb, "temperature"),
        )

    def details(self, readings: Mapping[str, Any]) -> str:
        before = ", ".join(f"{label} {first}" for label, first, __ in self._states(readings))
        behind = ", ".join(f"{label} {last}" for label, __, last in self._states(readings))
        heats = ", ".join(f"{label} {shown}" for label, shown in self._heats(readings))
        return _("{summary} Before the coil: {before}. Behind it: {behind}. {heats}{heats_2}.").format(
            summary=self.summary(readings), before=before, behind=behind, heats=heats[:1].upper(), heats_2=heats[1:]
        )

    def _states(self, readings: Mapping[str, Any]) -> list[tuple[str, str, str]]:
        states = readings["states"]
        return [(label, *(self._in_words(one, kind) for one in states[name])) for name, label, kind in PROPERTIES]

    def _in_words(self, value: float, kind: str) -> str:
        return f"{100 * value:.0f} %" if kind == "fraction" else self.words(value, kind)

    def _heats(self, readings: Mapping[str, Any]) -> list[tuple[str, str]]:
        names = ("total_heat", "sensible_heat", "latent_heat")
        total, sensible, latent = (round(readings[name], 3) for name in names)  # to a milliwatt
        parts = [f" = {100 * part / total:.0f} %" if total > 0.0 else "" for part in (sensible, latent)]
        return [
            (_("dry air that flows"), self.words(readings["dry_air_flow"], "mass flow")),
            (_("heat taken from the air"), self.words(total, "power")),
            (_("sensible: it cools the air"), self.words(sensible, "power") + parts[0]),
            (_("latent: it makes water"), self.words(latent, "power") + parts[1]),
            (_("water that runs off"), self.words(readings["condensate_rate"], "mass flow")),
        ]

    def _process(self, readings: Mapping[str, Any]) -> str:
        """The air before the coil with its dew point and wet bulb, and its way through the coil."""
        entering, leaving = readings["entering"], readings["leaving"]
        surface, bypass = self.settings["surface"], self.settings["bypass"]
        here = _at(entering.dry_bulb, entering.humidity_ratio)
        there = _at(leaving.dry_bulb, leaving.humidity_ratio)
        (dew_point, __), (wet_bulb, __) = readings["states"]["dew_point"], readings["states"]["wet_bulb"]
        dew = _at(dew_point, entering.humidity_ratio)
        wet = _at(wet_bulb, air.humidity_ratio(wet_bulb, 1.0, entering.pressure))
        # The straight line points at the air that the surface makes: saturated there, or dry where it is no colder.
        end_ratio = min(entering.humidity_ratio, air.humidity_ratio(surface, 1.0, entering.pressure))
        end = _at(surface, end_ratio)
        lines = svg.path((dew, here), stroke=style.SOFT, stroke_dasharray="3 4", stroke_width=style.THIN)
        lines += svg.path((here, wet), stroke=style.SOFT, stroke_dasharray="9 4", stroke_width=style.THIN)
        if bypass > 0.0:
            lines += svg.path((there, end), stroke=style.AIR, stroke_dasharray="2 4", stroke_width=style.LINE)
        lines += svg.path((here, there), stroke=style.AIR, stroke_width=style.HEAVY)
        lines += svg.marker("diamond", *end, 6, fill=style.PAPER, stroke=style.AIR, stroke_width=style.THIN)
        lines += svg.marker("square", *there, 7, fill=style.AIR, stroke=style.PAPER, stroke_width=style.THIN)
        lines += svg.marker("circle", *here, 7, fill=style.INK, stroke=style.PAPER, stroke_width=style.THIN)
        names = svg.text(*_beside(dew, -10, -8), "dew point", anchor="end", halo=True)
        names += svg.text(*_beside(end, -12, 5), "coil surface", anchor="end", halo=True)
        if wet[0] - dew[0] > 26:
            names += svg.text(*_beside(wet, -10, -6), "wet bulb", anchor="end", halo=True)
        drawn = _cut(lines + svg.group(names, font_size=style.TICK))
        x, y, width, __ = PLOT
        if here[1] < y or here[0] > x + width:
            drawn += svg.text(x + width - 8, y + 20, _("more water than this sheet shows ↑"), anchor="end", halo=True)
        return drawn

    def _axes(self) -> str:
        x, y, width, height = PLOT
        us = self.system == "us"
        lines, words = "", ""
        for row, (unit, step) in enumerate((("F", 10.0), ("C", 5.0)) if us else (("C", 5.0), ("F", 10.0))):
            low, high = (units.convert(value, "temperature", unit) for value in DRY)
            at = y + height + (18 if row == 0 else 36)
            for value in svg.stops(low, high, step):
                px, py = _at(units.from_unit(value, "temperature", unit), 0.0)
                if row == 0:
                    lines += svg.line(px, y, px, py)
                if px < x + width - 16:
                    words += svg.text(px, at, f"{value:g}".replace("-", "−"), anchor="middle")
            words += svg.text(x + width, at, unit, anchor="middle", bold=True)
        pair = (("grains/lb", 40.0), ("g/kg", 5.0)) if us else (("g/kg", 5.0), ("grains/lb", 40.0))
        for column, (unit, step) in enumerate(pair):
            low, high = (units.convert(value, "humidity ratio", unit) for value in RATIO)
            at, anchor = (x + width + 8, "start") if column == 0 else (x - 8, "end")
            for value in svg.stops(low, high, step):
                __, py = _at(DRY[1], units.from_unit(value, "humidity ratio", unit))
                if column == 0:
                    lines += svg.line(x, py, x + width, py)
                words += svg.text(at, py + 5, f"{value:g}", anchor=anchor)
            place, side = (x + width + 52, "end") if column == 0 else (10.0, "start")
            words += svg.text(place, y - 10, unit, bold=True, anchor=side)
        words += svg.text(x + width + 52, y - 28, "humidity ratio", anchor="end")
        words += svg.text(x, y + height + 54, "dry bulb")
        return svg.group(lines, stroke=style.RULE, stroke_width=0.5) + svg.group(
            words, font_size=style.TICK, fill=style.SOFT
        )


def _at(dry_bulb: float, ratio: float) -> tuple[float, float]:
    """A place on the chart."""
    x, y, width, height = PLOT
    across = (float(dry_bulb) - DRY[0]) / (DRY[1] - DRY[0])
    up = (float(ratio) - RATIO[0]) / (RATIO[1] - RATIO[0])
    return x + width * across, y + height * (1 - up)


def _beside(place: tuple[float, float], right: float, down: float) -> tuple[float, float]:
    """Where the words of a point stand, kept on the sheet."""
    x, y, __, height = PLOT
    return max(place[0] + right, x + 92), min(max(place[1] + down, y + 16), y + height - 6)


def _cut(drawn: str) -> str:
    """What lies off the chart is cut at its edge."""
    x, y, width, height = PLOT
    return svg.element("svg", drawn, x=x, y=y, width=width, height=height, viewBox=f"{x} {y} {width} {height}")


@lru_cache(maxsize=8)
def _curves(pressure: float) -> list[tuple[float, tuple[list[float], list[float]]]]:
    """Lines of one relative humidity: each with its temperatures and humidity ratios."""
    temperatures = np.linspace(DRY[0], DRY[1], POINTS)
    found = []
    for humidity in HUMIDITIES:
        ratios = air.humidity_ratio(temperatures, humidity, pressure)
        # One point above the sheet, so that the line runs to its edge.
        count = min(int(np.searchsorted(ratios, RATIO[1])) + 1, POINTS)
        found.append((humidity, (temperatures[:count].tolist(), ratios[:count].tolist())))
    return found


@lru_cache(maxsize=64)
def _wet_line(wet: float, pressure: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """The ends of a line of one wet bulb: at the right edge or where the air is dry, and at saturation."""
    top = wet, air.humidity_ratio(wet, 1.0, pressure)
    ratio = 0.0
    for dry in np.linspace(DRY[1], wet, 60):  # the driest air that can have this wet bulb
        try:
            ratio = air.humidity_ratio_from_wet_bulb(dry, wet, pressure)
        except air.AirError:
            continue
        break
    return (float(dry), float(ratio)), top
