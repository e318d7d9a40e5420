"""The pressure-enthalpy chart with a running cycle on it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np

from coldcab import cycle, refrigerants, units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Slider, Switch
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.rows import rows
from coldcab.words import _

PLOT = (112.0, 56.0, 600.0, 350.0)  # x, y, width, height
ENTHALPY = (130e3, 510e3)  # J/kg
PRESSURE = (units.from_unit(8.0, "pressure", "psia"), units.from_unit(700.0, "pressure", "psia"))
TABLE_TOP = 478.0
TEMPERATURES = (-20.0, 0.0, 20.0, 40.0, 60.0, 80.0, 100.0, 120.0, 140.0, 160.0, 180.0, 200.0)  # F
CELSIUS = (-30.0, -20.0, -10.0, 0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0)
OTHER = {"R-134a": "R-12", "R-12": "R-134a", "R-1234yf": "R-134a"}
"""What is drawn beside each refrigerant."""
REFERENCE = _("Enthalpy counts from 200 kJ/kg for saturated liquid at 0 C (32 F).")


class PressureEnthalpyChart(Instrument):
    """The cycle of a running circuit on the chart of its refrigerant, a second refrigerant beside it.

    Settings: `refrigerant`, `compare` (the other refrigerant too), `evaporating` and `condensing` (saturation
    temperatures, F), `superheat` and `subcooling` (F), `efficiency` (isentropic, %), and in the drawer
    `displacement` (cu in for one turn), `speed` (rpm), `volumetric` (efficiency, %).
    Readings: under each refrigerant's name a `coldcab.cycle.Cycle` in SI.
    """

    title = _("The loop on the pressure-enthalpy chart")
    height = 716
    word_lines = 4
    stamp = (412.0, 230.0)
    drawer = _("The compressor: displacement, speed, volumetric efficiency")
    face_settings = ("refrigerant", "compare")
    controls = (
        Choice("refrigerant", "refrigerant", ("R-134a", "R-12", "R-1234yf"), "R-134a"),
        Switch("compare", _("show the other refrigerant too"), True),
        Slider("evaporating", "evaporating at", "temperature", -20.0, 60.0, 1.0, 35.0, "F", "C", 0.5),
        Slider("condensing", "condensing at", "temperature", 80.0, 180.0, 1.0, 130.0, "F", "C", 0.5),
        Slider("superheat", "superheat", "temperature difference", 0.0, 50.0, 1.0, 10.0, "F", "K", 0.5),
        Slider("subcooling", "subcooling", "temperature difference", 0.0, 40.0, 1.0, 10.0, "F", "K", 0.5),
        Slider(
            "efficiency",
            "isentropic efficiency",
            "fraction",
            40.0,
            100.0,
            1.0,
            65.0,
            "%",
            "%",
            1.0,
            decimals=0,
        ),
        Slider(
            "displacement",
            "displacement",
            "volume",
            2.0,
            20.0,
            0.1,
            10.0,
            "cu in",
            "cc",
            1.0,
            folded=True,
        ),
        Slider("speed", "speed", "rotational speed", 500.0, 5000.0, 50.0, 1800.0, "rpm", "rpm", 50.0, 0, True),
        Slider("volumetric", "volumetric efficiency", "fraction", 30.0, 100.0, 1.0, 65.0, "%", "%", 1.0, 0, True),
    )

    @property
    def names(self) -> tuple[str, ...]:
        """The refrigerant, then the one beside it."""
        name = self.settings["refrigerant"]
        return (name, OTHER[name]) if self.settings["compare"] else (name,)

    def calculate(self) -> dict[str, Any]:
        return {name: self._cycle(name) for name in self.names}

    def face(self) -> str:
        x, y, width, height = PLOT
        drawn = svg.box(x, y, width, height, fill=style.PAPER, stroke=style.INK) + self._axes()
        for place, name in reversed(list(enumerate(self.names))):
            sign = style.REFRIGERANT[name]
            liquid, vapor, pressure = _dome(name)
            points = [_at(h, p) for h, p in zip([*liquid, *vapor[::-1]], [*pressure, *pressure[::-1]], strict=True)]
            drawn += svg.path(
                points,
                stroke=sign.color,
                stroke_width=style.LINE,
                stroke_dasharray=None if place == 0 else "8 4",
            )
            drawn += self._temperatures(name, x + width + 68 * place)
        for words, enthalpy in (("liquid", 158e3), ("liquid and vapor", 270e3), ("vapor", 440e3)):
            px, py = _at(enthalpy, PRESSURE[0] if words != "liquid" else 20 * PRESSURE[0])
            drawn += svg.text(px, py - 9, words, size=style.TICK, anchor="middle", color=style.SOFT)
        drawn += svg.text(x, y + height + 44, REFERENCE, size=style.TICK, color=style.SOFT)
        heads = [
            "",
            *(f"{name} {'(solid)' if place == 0 else '(dashed)'}" for place, name in enumerate(self.names)),
        ]
        for column, (at, head) in enumerate(zip((20.0, 256.0, 556.0), heads, strict=False)):
            if column:
                sign = style.REFRIGERANT[self.names[column - 1]]
                drawn += svg.marker(sign.shape, at + 6, TABLE_TOP - 5, fill=sign.color)
                drawn += svg.text(at + 20, TABLE_TOP, head, bold=True, color=sign.color)
        return drawn

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = ""
        for place, name in reversed(list(enumerate(self.names))):
            drawn += self._loop(name, readings[name], first=place == 0)
        named = [self._numbers(readings[name]) for name in self.names]
        lines = [[label, *(column[row][1] for column in named)] for row, (label, __) in enumerate(named[0])]
        return drawn + rows(TABLE_TOP + 25, (20.0, 256.0, 556.0), lines)

    def summary(self, readings: Mapping[str, Any]) -> str:
        name = self.names[0]
        loop = readings[name]
        low, high = (self.words(self.settings[side], "temperature") for side in ("evaporating", "condensing"))
        said = _(
            "{name}, evaporating at {low} and condensing at {high}: each {value} takes up "
            "{refrigerating_effect} in the evaporator and costs {compressor_work} of work, so the "
            "COP is {cop:.2f}. Discharge {discharge_temperature}, capacity {capacity}."
        ).format(
            name=name,
            low=low,
            high=high,
            value="pound" if self.system == "us" else "kilogram",
            refrigerating_effect=self.words(loop.refrigerating_effect, "specific energy"),
            compressor_work=self.words(loop.compressor_work, "specific energy"),
            cop=loop.cop,
            discharge_temperature=self.words(loop.discharge_temperature, "temperature"),
            capacity=self.words(loop.capacity, "power"),
        )
        if len(self.names) == 2:
            other = readings[self.names[1]]
            said += _(" {names} at the same temperatures: COP {cop:.2f}, capacity {capacity}.").format(
                names=self.names[1], cop=other.cop, capacity=self.words(other.capacity, "power")
            )
        return said

    def details(self, readings: Mapping[str, Any]) -> str:
        told = [
            f"{name}: " + ", ".join(f"{label} {shown}" for label, shown in self._numbers(readings[name]))
            for name in self.names
        ]
        return f"{'. '.join(told)}. {REFERENCE}"

    def _cycle(self, name: str) -> cycle.Cycle:
        given = self.settings
        loop = cycle.vapor_compression(
            name,
            evaporating_temperature=given["evaporating"],
            condensing_temperature=given["condensing"],
            superheat=given["superheat"],
            subcooling=given["subcooling"],
            isentropic_efficiency=given["efficiency"],
        )
        flow = cycle.mass_flow(given["displacement"], given["speed"], given["volumetric"], loop.states[0].density)
        return replace(loop, mass_flow=flow)

    def _numbers(self, loop: cycle.Cycle) -> list[tuple[str, str]]:
        unit = "psia" if self.system == "us" else "kPa absolute"
        low, high = (
            units.convert(value, "pressure", unit) for value in (loop.evaporating_pressure, loop.condensing_pressure)
        )
        digits = 1 if self.system == "us" else 0
        return [
            ("pressures, absolute", f"{low:.{digits}f} and {high:.{digits}f} {unit.split()[0]}"),
            ("compression ratio", f"{loop.compression_ratio:.2f}"),
            ("refrigerating effect", self.words(loop.refrigerating_effect, "specific energy")),
            ("compressor work", self.words(loop.compressor_work, "specific energy")),
            ("COP", f"{loop.cop:.2f}"),
            ("discharge temperature", self.words(loop.discharge_temperature, "temperature")),
            ("mass flow", self.words(loop.mass_flow, "mass flow")),
            ("cooling capacity", self.words(loop.capacity, "power")),
            ("compressor power", self.words(loop.power, "power")),
            ("heat rejected", self.words(loop.heat_rejected, "power")),
        ]

    def _loop(self, name: str, loop: cycle.Cycle, *, first: bool) -> str:
        """The four states and the lines between them; what lies off the sheet is cut at its edge."""
        sign = style.REFRIGERANT[name]
        places = [_at(state.enthalpy, state.pressure) for state in loop.states]
        drawn = svg.path(
            places,
            closed=True,
            stroke=style.INK if first else sign.color,
            stroke_width=style.LINE if first else 2,
            stroke_dasharray=None if first else "7 4",
        )
        if first:
            drawn += self._ideal(loop)
        look = {"fill": style.INK if first else style.PAPER, "stroke": sign.color}
        drawn += "".join(svg.marker(sign.shape, px, py, 6 if first else 5, **look) for px, py in places)
        if first:
            drawn += self._loop_words(places)
        x, y, width, height = PLOT
        sheet_of_chart = f"{x} {y} {width} {height}"
        return svg.element("svg", drawn, x=x, y=y, width=width, height=height, viewBox=sheet_of_chart)

    def _ideal(self, loop: cycle.Cycle) -> str:
        """Where a perfect compressor would arrive."""
        inlet, discharge = loop.states[0], loop.states[1]
        if loop.isentropic_efficiency > 0.995:
            return ""
        ideal = inlet.enthalpy + loop.isentropic_efficiency * loop.compressor_work
        start, end = _at(inlet.enthalpy, inlet.pressure), _at(ideal, discharge.pressure)
        drawn = svg.path((start, end), stroke=style.SOFT, stroke_width=style.THIN, stroke_dasharray="2 3")
        drawn += svg.marker("diamond", *end, 4.5, fill=style.PAPER, stroke=style.SOFT, stroke_width=style.THIN)
        return drawn + svg.text(
            end[0], end[1] + 20, "ideal", size=style.TICK, anchor="end", color=style.SOFT, halo=True
        )

    def _loop_words(self, places: list[tuple[float, float]]) -> str:
        (x1, y1), (x2, y2), (x3, y3), (x4, y4) = places
        edge = PLOT[0] + PLOT[2]
        two = ("2 →", edge - 18, y2 - 8) if x2 > edge - 8 else ("2", x2 + 15, y2 - 6)
        drawn = "".join(
            svg.text(px, py, label, size=style.STRONG, anchor="middle", bold=True, halo=True)
            for label, px, py in (("1", x1 + 13, y1 + 16), two, ("3", x3 - 13, y3 - 8), ("4", x4 - 13, y4 + 16))
        )
        names = svg.text(0.5 * (min(x2, edge) + x3), y2 - 9, "condenser", anchor="middle", halo=True)
        names += svg.text(0.5 * (x4 + x1), y4 + 18, "evaporator", anchor="middle", halo=True)
        names += svg.text(x3 - 8, 0.5 * (y3 + y4), "valve", anchor="end", halo=True)
        across = min(0.5 * (x1 + x2) + 12, edge - 88)
        names += svg.text(across, 0.5 * (y1 + y2) + 5, "compressor", halo=True)
        return drawn + svg.group(names, font_size=style.TICK)

    def _axes(self) -> str:
        x, y, width, height = PLOT
        us = self.system == "us"
        lines, words = "", ""
        columns = ("psia", "kPa") if us else ("kPa", "psia")
        for column, unit in enumerate(columns):
            right = x - 8 - 52 * column
            name = "psia" if unit == "psia" else "kPa absolute"
            for value in (10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 4000.0):
                pressure = units.from_unit(value, "pressure", name)
                if not PRESSURE[0] <= pressure <= PRESSURE[1]:
                    continue
                __, py = _at(ENTHALPY[0], pressure)
                if column == 0:
                    lines += svg.line(x, py, x + width, py)
                words += svg.text(right, py + 5, f"{value:g}", anchor="end")
            words += svg.text(right, y - 8, unit, anchor="end", bold=True)
        for row, (unit, step) in enumerate(
            (("Btu/lb", 20.0), ("kJ/kg", 50.0)) if us else (("kJ/kg", 50.0), ("Btu/lb", 20.0))
        ):
            low, high = (units.convert(value, "specific energy", unit) for value in ENTHALPY)
            at = y + height + 20 if row == 0 else y - 8
            for value in svg.stops(low, high, step):
                px, __ = _at(units.from_unit(value, "specific energy", unit), PRESSURE[0])
                if row == 0:
                    lines += svg.line(px, y, px, y + height)
                else:
                    words += svg.line(px, y, px, y - 5, stroke=style.SOFT)
                if px < x + width - 66:
                    words += svg.text(px, at, f"{value:g}", anchor="middle")
            words += svg.text(x + width, at, unit, anchor="end", bold=True)
        return svg.group(lines, stroke=style.RULE, stroke_width=0.6) + svg.group(
            words, font_size=style.TICK, fill=style.SOFT
        )

    def _temperatures(self, name: str, x: float) -> str:
        """Saturation temperatures of one refrigerant along a pressure axis."""
        __, y, __, height = PLOT
        sign = style.REFRIGERANT[name]
        us = self.system == "us"
        warmest = refrigerants.table(name).warmest
        drawn = svg.line(x, y, x, y + height, stroke=sign.color, stroke_width=2)
        for value in TEMPERATURES if us else CELSIUS:
            kelvin = units.from_unit(value, "temperature", "F" if us else "C")
            if kelvin > warmest:
                continue
            pressure = refrigerants.saturation_pressure(name, kelvin)
            if PRESSURE[0] <= pressure <= PRESSURE[1]:
                __, py = _at(ENTHALPY[0], pressure)
                drawn += svg.line(x, py, x + 7, py, stroke=sign.color, stroke_width=2)
                drawn += svg.text(x + 11, py + 5, f"{value:g}".replace("-", "−"), size=style.TICK)
        unit = "F" if us else "C"
        drawn += svg.text(x, y - 26, name, size=style.TICK, bold=True)
        return svg.group(drawn + svg.text(x + 11, y - 8, unit, size=style.TICK, bold=True), fill=sign.color)


def _at(enthalpy: float, pressure: float) -> tuple[float, float]:
    """A place on the chart."""
    x, y, width, height = PLOT
    across = (enthalpy - ENTHALPY[0]) / (ENTHALPY[1] - ENTHALPY[0])
    up = math.log(pressure / PRESSURE[0]) / math.log(PRESSURE[1] / PRESSURE[0])
    return x + width * across, y + height * (1 - up)


@cache
def _dome(name: str) -> tuple[list[float], list[float], list[float]]:
    """Enthalpies of saturated liquid and vapor over pressure, from the foot of the chart to the top of the dome."""
    fluid = refrigerants.table(name)
    pressures = np.exp(np.linspace(math.log(PRESSURE[0]), math.log(fluid.highest_pressure * 0.9999), 60))
    line = refrigerants.saturation(name, pressure=pressures)
    middle, half = (
        0.5 * (line.vapor_enthalpy + line.liquid_enthalpy),
        0.5 * (line.vapor_enthalpy - line.liquid_enthalpy),
    )
    # The tables end short of the critical point. There the dome is closed for the eye only: its middle runs on
    # straight, its width shrinks by the power that its last two points have. No reading comes from this piece.
    top = fluid.critical_pressure
    left = np.log(top - pressures[-2:])
    power = (math.log(half[-1]) - math.log(half[-2])) / (left[1] - left[0])
    more = top - (top - pressures[-1]) * np.linspace(1.0, 0.0, 14) ** 2.0
    run = (middle[-1] - middle[-2]) / (pressures[-1] - pressures[-2])
    middle_more = middle[-1] + run * (more - pressures[-1])
    half_more = half[-1] * ((top - more) / (top - pressures[-1])) ** power
    liquid = [*line.liquid_enthalpy, *(middle_more - half_more)]
    return liquid, [*line.vapor_enthalpy, *(middle_more + half_more)], [*pressures, *more]
