"""The charging bench: refrigerant is weighed in by the ounce, and every reading follows.

The readings come from the room `machine`, curve, cans and marks from `service`.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

import numpy as np

from coldcab import units
from coldcab.instruments.bench import SIDES, Bench
from coldcab.instruments.controls import Control, Slider, Switch, gauge_words
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.rows import rows
from coldcab.instruments.machine_view import AVERAGED, MACHINES, STATUS, MachineView, pick
from coldcab.machine import charge_range
from coldcab.machine.readings import OFF
from coldcab.service.cans import CanPlan, can_heel, can_plan
from coldcab.service.charging import ChargeCurve, charge_curve
from coldcab.words import _

PLOT_LEFT, PLOT_WIDTH = 90.0, 420.0
PLOTS = ((424.0, 120.0), (592.0, 120.0))  # top and height of head and vent
SHEET_LEFT, SHEET_TOP = 540.0, 434.0
POINTS = 28  # of the curve that is drawn
TRACKS = (("high_gauge", "high side", ("psi", "kPa")), ("vent", _("air at the vent"), ("F", "C")))
NUMBERS = (
    ("vent", "vent", "temperature"),
    ("superheat_measured", "superheat", "temperature difference"),
    ("subcooling_measured", "subcooling", "temperature difference"),
    ("discharge_line", "discharge line", "temperature"),
)
MARKS = (
    ("glass_clears", "glass clears", "2 4"),
    ("receiver_full", "receiver full", "8 4"),
    ("head_rises", "head + 10 %", None),
)


class ChargingBench(Bench):
    """A machine that is being charged: both gauges, the glass, what has been weighed in, and the curve so far.

    Settings: `machine` (name, or the shop's number), `refrigerant`, `weighed` (oz in the circuit), `engine_speed`
    (rpm), `ambient` (F), `whole_curve` (True: the whole curve with its marks), `blower` (%), `humidity` (%), `altitude`
    (ft), `doors`. Readings as `MachineView`, and `cans`, the `CanPlan` for 12 oz cans with vapor left in each.
    """

    title = "The charging bench"
    height = 760
    word_lines = 4
    stamp = (420.0, 96.0)
    plays = MappingProxyType({"weighed": 30.0})
    drawer = _("Humidity, altitude and doors")
    two_steps = True
    controls = (
        *pick("machine", "refrigerant"),
        Slider("weighed", "weighed in", "mass", 2.0, 120.0, 1.0, 16.0, "oz", "g", 20.0, decimals=1),
        *pick("engine_speed", "ambient"),
        Switch("whole_curve", _("show the whole curve"), False),
        *pick("blower", "humidity", "altitude", "doors"),
    )
    face_settings = ("machine", "refrigerant")

    def __init__(self, **settings: Any) -> None:
        self._curve: ChargeCurve | None = None
        self._curve_day: tuple | None = None
        super().__init__(**settings)

    def setting(self, name: str) -> Any:
        if name == "charge":
            return self._settings["weighed"] / self.right_charge
        return super().setting(name)

    def in_use(self, control: Control) -> bool:
        return True

    def calculate(self) -> dict[str, Any]:
        found = MachineView.calculate(self)
        return {**found, "cans": self._cans(found)}

    def _check_charge(self) -> None:
        low, high = charge_range(MACHINES[self.setting("machine")], self.setting("refrigerant"))
        if not low <= self._settings["weighed"] <= high:
            raise ValueError(
                _(
                    "this machine can be run with {low} to {high} of {refrigerant}; weigh in an amount between them."
                ).format(
                    low=self.words(low, "mass"), high=self.words(high, "mass"), refrigerant=self.setting("refrigerant")
                )
            )

    def _cans(self, readings: Mapping[str, Any]) -> CanPlan:
        """12 oz cans emptied down to the pressure of the low side, as warm as the air."""
        try:
            heel = can_heel(
                self.setting("refrigerant"), pressure=readings["low_pressure"], temperature=readings["ambient"]
            )
        except ValueError:
            heel = 0.0  # at rest the can is at the circuit's pressure: it gives nothing, and nobody has emptied one
        return can_plan(self._settings["weighed"], heel=heel)

    @property
    def curve_drawn(self) -> ChargeCurve | None:
        """The curve of the day that is set; while a hand changes the day, none."""
        machine, refrigerant = MACHINES[self.setting("machine")], self.setting("refrigerant")
        known = (machine.name, refrigerant, self.conditions) == self._curve_day
        return self.curve if self.resting or known else None

    @property
    def curve(self) -> ChargeCurve:
        """The charge curve of the machine on the day that is set; kept until the day changes."""
        machine, refrigerant = MACHINES[self.setting("machine")], self.setting("refrigerant")
        day = machine.name, refrigerant, self.conditions
        if day != self._curve_day:
            self._curve = charge_curve(machine, self.conditions, refrigerant=refrigerant, points=POINTS)
            self._curve_day = day
        return self._curve

    # Drawing -------------------------------------------------------------------------------------------------

    def face(self) -> str:
        us = self.system == "us"
        drawn = self._gauge_faces() + svg.line(20, 364, style.WIDTH - 20, 364, stroke=style.RULE)
        for (top, height), (__, words, pair) in zip(PLOTS, TRACKS, strict=True):
            unit = pair[0] if us else pair[1]
            shown = {"psi": "psig", "kPa": "kPa gauge"}.get(unit, unit)
            drawn += svg.box(PLOT_LEFT, top, PLOT_WIDTH, height, fill=style.PAPER, stroke=style.RULE)
            drawn += svg.text(PLOT_LEFT, top - 10, f"{words}, {shown}", size=style.TICK, bold=True)
        return drawn

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = self._gauges({**readings, "healthy": {}}) + self._middle(readings)
        return drawn + self._tracks(readings) + self._side(readings)

    def standing(self) -> str:
        return ""

    def _middle(self, readings: Mapping[str, Any]) -> str:
        """Sight glass, status and what has been weighed in, between the gauges."""
        drawn = self._glass(readings)
        drawn += svg.text(420, 286, "weighed in", size=style.TICK, anchor="middle", color=style.SOFT)
        drawn += svg.text(420, 316, self._weighed(), size=style.NUMBER, anchor="middle", bold=True)
        other = self.words(self._settings["weighed"], "mass").split(" (")[-1].rstrip(")")
        return drawn + svg.text(420, 340, other, size=style.TICK, anchor="middle", color=style.SOFT)

    def _weighed(self) -> str:
        unit = "oz" if self.system == "us" else "g"
        return f"{units.convert(self._settings['weighed'], 'mass', unit):.{1 if unit == 'oz' else 0}f} {unit}"

    def _tracks(self, readings: Mapping[str, Any]) -> str:
        """Head and vent against what has been weighed in: up to now, or the whole curve."""
        curve, now = self.curve_drawn, self._settings["weighed"]
        if curve is None:  # it takes half a second; the gauges do not wait for it
            x, y = PLOT_LEFT + PLOT_WIDTH / 2, PLOTS[0][0] + PLOTS[0][1] / 2
            return svg.text(x, y, _("the curve follows"), size=style.TICK, anchor="middle", color=style.SOFT)
        unit = "oz" if self.system == "us" else "g"
        step = 10.0 if unit == "oz" else 500.0
        last = units.convert(max(curve.charge[-1], now), "mass", unit)
        last = step * np.ceil(last / step)

        def across(mass: Any) -> Any:
            return PLOT_LEFT + PLOT_WIDTH * units.convert(mass, "mass", unit) / last

        whole = self._settings["whole_curve"]
        seen = slice(None) if whole else curve.charge < now
        sign = style.REFRIGERANT[self.setting("refrigerant")]
        drawn = ""
        for (top, height), (name, __, pair) in zip(PLOTS, TRACKS, strict=True):
            values = self._in_unit(name, getattr(curve.readings, name), pair)
            here = float(self._in_unit(name, np.asarray(readings[name]), pair))
            bottom, high, lines = _scale(np.append(values, here))

            def up(value: Any, top: float = top, height: float = height, bottom: float = bottom, high: float = high):
                return top + height * (high - value) / (high - bottom)

            for line in lines:
                drawn += svg.line(PLOT_LEFT, up(line), PLOT_LEFT + PLOT_WIDTH, up(line), stroke=style.RULE)
                drawn += svg.text(
                    PLOT_LEFT - 8, up(line) + 5, f"{line:g}", size=style.TICK, anchor="end", color=style.SOFT
                )
            points = list(zip(across(curve.charge[seen]), up(values[seen]), strict=True))
            if not whole:
                points.append((across(now), up(here)))
            if len(points) > 1:
                drawn += svg.path(points, stroke=sign.color, stroke_width=style.LINE, stroke_dasharray=sign.dash)
            drawn += svg.line(across(now), top, across(now), top + height, stroke=style.INK, stroke_width=style.HAIR)
            drawn += svg.marker(
                sign.shape, across(now), up(here), 7, fill=style.INK, stroke=style.PAPER, stroke_width=2
            )
        bottom = PLOTS[-1][0] + PLOTS[-1][1]
        for number in np.arange(0.0, last + 1e-9, 2 * step):
            x = PLOT_LEFT + PLOT_WIDTH * number / last
            drawn += svg.text(x, bottom + 19, f"{number:g}", size=style.TICK, anchor="middle", color=style.SOFT)
        drawn += svg.text(
            PLOT_LEFT + PLOT_WIDTH / 2, bottom + 39, f"weighed in, {unit}", size=style.TICK, anchor="middle"
        )
        return drawn + (self._marks(across) if whole else "")

    def _mark_words(self, name: str, words: str) -> str:
        """What a mark says; on a machine without a glass nobody sees it clear."""
        return _("bubbles end") if self.block and name == "glass_clears" else words

    def _marks(self, across: Any) -> str:
        top, bottom = PLOTS[0][0], PLOTS[-1][0] + PLOTS[-1][1]
        drawn = ""
        for row, (name, words, dash) in enumerate(MARKS):
            mass = getattr(self.curve.marks, name)
            if mass != mass:
                continue
            drawn += svg.line(
                across(mass),
                top,
                across(mass),
                bottom,
                stroke=style.AIR,
                stroke_width=style.LINE,
                stroke_dasharray=dash,
            )
            y = SHEET_TOP + 224 + 22 * row
            drawn += svg.line(
                SHEET_LEFT, y - 5, SHEET_LEFT + 26, y - 5, stroke=style.AIR, stroke_width=style.LINE,
                stroke_dasharray=dash,
            )  # fmt: skip
            said = f"{self._mark_words(name, words)} at {self._first(mass)}"
            drawn += svg.text(SHEET_LEFT + 34, y, said, size=style.TICK)
        return drawn

    def _first(self, mass: float) -> str:
        return self.words(mass, "mass").split(" (")[0]

    def _in_unit(self, name: str, values: np.ndarray, pair: tuple[str, str]) -> np.ndarray:
        unit = pair[0] if self.system == "us" else pair[1]
        kind = "pressure difference" if name == "high_gauge" else "temperature"
        return np.asarray(units.convert(values, kind, unit))

    def _side(self, readings: Mapping[str, Any]) -> str:
        lines = [(words, self._number(readings, name, kind)) for name, words, kind in NUMBERS]
        drawn = rows(SHEET_TOP, (SHEET_LEFT, SHEET_LEFT + 126), lines, left=SHEET_LEFT)
        y = SHEET_TOP + 118
        drawn += svg.text(SHEET_LEFT, y, units.in_order("12 oz cans", self.system), size=style.TICK, bold=True)
        for row, words in enumerate(self._can_words(readings["cans"])):
            drawn += svg.text(SHEET_LEFT, y + 22 + 20 * row, words, size=style.TICK)
        return drawn

    def _can_words(self, plan: CanPlan) -> tuple[str, ...]:
        heel, last = (self._scale(mass) for mass in (plan.heel, plan.from_last))
        cans = "1 opened" if plan.cans == 1 else f"{plan.cans} opened"
        return _("{cans}, the last is {last} lighter").format(cans=cans, last=last), _(
            "vapor left in each: {heel}"
        ).format(heel=heel)

    def _scale(self, mass: float) -> str:
        """A mass as a charging scale shows it: a tenth of an ounce, or a gram."""
        unit, decimals = ("oz", 1) if self.system == "us" else ("g", 0)
        return f"{units.convert(mass, 'mass', unit):.{decimals}f} {unit}"

    def _number(self, readings: Mapping[str, Any], name: str, kind: str) -> str:
        if readings["status"] == OFF and kind == "temperature difference":
            return "none"
        return self.words(readings[name], kind)

    # Saying --------------------------------------------------------------------------------------------------

    def summary(self, readings: Mapping[str, Any]) -> str:
        status = readings["status"]
        said = [f"{status.capitalize()}. {STATUS[status]}", self.glass_words(readings)]
        if status == OFF:
            said.append(f"Why: {readings['reason']}.")
        if status in AVERAGED:
            said.append(_("The readings are means over its cycle."))
        return " ".join(said)

    def details(self, readings: Mapping[str, Any]) -> str:
        said = [
            self.summary(readings),
            _("Weighed in: {weighed}.").format(weighed=self.words(self._settings["weighed"], "mass")),
        ]
        for side in SIDES:
            gauge = gauge_words(readings[f"{side}_gauge"], self.system)
            saturated = self.words(self._saturation(readings, side), "temperature")
            said.append(
                _("{side} side {gauge}, saturated at {saturated}.").format(
                    side=side.capitalize(), gauge=gauge, saturated=saturated
                )
            )
        numbers = ", ".join(f"{words} {self._number(readings, name, kind)}" for name, words, kind in NUMBERS)
        said.append(_("Read and worked out: {numbers}.").format(numbers=numbers))
        said.append(_("12 oz cans: {cans}.").format(cans=", ".join(self._can_words(readings["cans"]))))
        if self._settings["whole_curve"] and self.curve_drawn is not None:
            marks = [
                f"{self._mark_words(name, words)} at {self.words(getattr(self.curve.marks, name), 'mass')}"
                for name, words, __ in MARKS
                if getattr(self.curve.marks, name) == getattr(self.curve.marks, name)
            ]
            said.append(_("The curve: {marks}.").format(marks=", ".join(marks)))
        return " ".join(said)


def _scale(values: np.ndarray) -> tuple[float, float, list[float]]:
    """Round ends around the values, and lines between them."""
    low, high = float(np.nanmin(values)), float(np.nanmax(values))
    width = max(high - low, 1.0)
    step = next(size for size in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000) if width / size <= 4)
    bottom, top = step * np.floor(low / step), step * np.ceil(high / step)
    top = top if top > bottom else bottom + step
    return float(bottom), float(top), svg.stops(bottom, top, step)
