"""A machine while time goes: a hot cab that cools down, a clutch that cycles, pressures after the engine stops."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

import numpy as np

from coldcab import units
from coldcab.instruments.controls import Choice, Control, Slider, gauge_words
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.dial import HEADS, manifold
from coldcab.instruments.drawing.time_plot import TimePlot
from coldcab.instruments.machine_view import MACHINES, MachineView, pick
from coldcab.machine.transients import clutch_cycling, equalization, pull_down
from coldcab.words import _

PULL_DOWN, CYCLING, STOPPED = _("a hot cab cools down"), _("the clutch cycles"), _("the engine is stopped")
LENGTH = {PULL_DOWN: 1800.0, CYCLING: 180.0, STOPPED: 1800.0}  # s that each is followed
TIME = {PULL_DOWN: "cooling", CYCLING: "cycling", STOPPED: "standing"}  # the slider of each
SOAK = 333.15  # K of the cab that stood in the sun, 140 F
SIDES = ("low", "high")
PLOTS = (TimePlot(70.0, 372.0, 340.0, 190.0, 1.0, 0.0, 1.0), TimePlot(480.0, 372.0, 340.0, 190.0, 1.0, 0.0, 1.0))
LOOKS = {"low_gauge": (style.LOW, None), "high_gauge": (style.HIGH, "8 4"), "cab": (style.INK, None),
         "vent": (style.FIRST, "8 4")}  # fmt: skip
CALLED = {
    "low_gauge": _("low side"),
    "high_gauge": _("high side"),
    "cab": _("air in the cab"),
    "vent": _("air at the vent"),
}


class OverTime(MachineView):
    """One machine of the fleet over some minutes; `cooling`, `standing` (min) or `cycling` (s) is the time shown.

    Settings: `watch` (one of the keys of `LENGTH`), `machine`, `refrigerant`, `charge`, `engine_speed`, `ambient`,
    `blower`, `humidity`, `altitude` as for the bench; the doors are shut. Readings (SI): `time` (s), `low_gauge`,
    `high_gauge` (from the air pressure), `vent`, `cab` (K; NaN after the stop), `engaged` (share, or whether the clutch
    is), `status`, and `series`: the same over all the time.
    """

    title = _("A machine while time goes")
    height = 620
    word_lines = 3
    words_above = True
    stamp = (420.0, 160.0)
    two_steps = True
    plays = MappingProxyType({"cooling": 30.0, "cycling": 60.0, "standing": 30.0})
    drawer = _("Machine and weather")
    controls = (
        Choice("watch", _("what to watch"), tuple(LENGTH), PULL_DOWN),
        Slider("cooling", _("since the start"), "time", 0.0, 30.0, 0.25, 5.0, "min", "min", 0.25, decimals=1),
        Slider("cycling", _("since the start"), "time", 0.0, 180.0, 1.0, 20.0, "s", "s", 1.0, decimals=0),
        Slider("standing", _("since the stop"), "time", 0.0, 30.0, 0.25, 0.5, "min", "min", 0.25, decimals=1),
        *pick("charge", "engine_speed"),
        *(
            replace(one, folded=True)
            for one in pick("machine", "refrigerant", "ambient", "blower", "humidity", "altitude")
        ),
    )
    face_settings = ("watch", "machine", "refrigerant")
    dials = manifold(160.0, 680.0, 150.0, 130.0)

    def __init__(self, **settings: Any) -> None:
        self._series: tuple[tuple, dict[str, np.ndarray]] | None = None
        super().__init__(**settings)

    def in_use(self, control: Control) -> bool:
        return control.name not in TIME.values() or control.name == TIME[self.setting("watch")]

    @property
    def seconds(self) -> float:
        """The time that is shown, s."""
        return float(self._settings[TIME[self._settings["watch"]]])

    # What happens --------------------------------------------------------------------------------------------

    def calculate(self) -> dict[str, Any]:
        self._check_refrigerant()
        key = tuple(self.setting(control.name) for control in self.controls if control.name not in TIME.values())
        if self._series is None or self._series[0] != key:
            if not self.resting:  # it takes half a second; the hand comes first
                raise ValueError(_("it is worked out as soon as you let go."))
            self._series = key, self._followed()
        series = self._series[1]
        now = min(self.seconds, float(series["time"][-1]))
        at = int(np.searchsorted(series["time"], now, side="right")) - 1
        shown = {name: float(np.interp(now, series["time"], series[name])) for name in CALLED}
        return {**shown, "time": now, "engaged": float(series["engaged"][at]), "series": series}

    def _followed(self) -> dict[str, Any]:
        """The whole time, from the room of transients."""
        watch, machine = self.setting("watch"), MACHINES[self.setting("machine")]
        given = {"refrigerant": self.setting("refrigerant"), "charge": self.setting("charge") * self.right_charge}
        self._check_charge()
        if watch == STOPPED:
            still = equalization(machine, self.conditions, **given, duration=LENGTH[watch], samples=181)
            pressures = {f"{side}_gauge": getattr(still, f"{side}_pressure") - self.atmosphere for side in SIDES}
            nothing = np.full(still.time.size, np.nan)
            return {**pressures, "time": still.time, "vent": nothing, "cab": nothing, "engaged": 0.0 * still.time,
                    "equal": still.time_to_equal}  # fmt: skip
        if watch == CYCLING:
            found = clutch_cycling(machine, self.conditions, **given, duration=LENGTH[watch])
            pressures = {f"{side}_gauge": getattr(found, f"{side}_pressure") - self.atmosphere for side in SIDES}
            return {**pressures, "time": found.time, "vent": found.vent, "cab": found.cab,
                    "engaged": found.engaged.astype(float), "on": found.on, "off": found.off}  # fmt: skip
        run = pull_down(machine, self.conditions, **given, soak=SOAK, duration=LENGTH[watch])
        return {"time": run.time, "low_gauge": run.low_gauge, "high_gauge": run.high_gauge, "vent": run.vent,
                "cab": run.cab, "engaged": run.clutch_duty}  # fmt: skip

    @property
    def conditions(self) -> Any:
        """The day, doors shut."""
        return replace(super().conditions, inlet_temperature=None)

    # Drawing -------------------------------------------------------------------------------------------------

    def face(self) -> str:
        drawn = ""
        unit = "psig" if self.system == "us" else "kPa"
        for side, gauge in self.dials.items():
            drawn += gauge.face(self.system, (self.setting("refrigerant"),))
            drawn += svg.text(gauge.x, gauge.y + 96, unit, size=style.TICK, anchor="middle")
            drawn += svg.text(gauge.x - 130, 306, HEADS[side], bold=True, color=gauge.color, size=style.TICK)
        for plot, names in zip(PLOTS, (("low_gauge", "high_gauge"), ("cab", "vent")), strict=True):
            drawn += plot.frame()
            for place, name in enumerate(names):
                color, dash = LOOKS[name]
                x = plot.x + 170.0 * place
                drawn += svg.line(x, plot.y - 19, x + 30, plot.y - 19, stroke=color, stroke_width=3,
                                  stroke_dasharray=dash)  # fmt: skip
                drawn += svg.text(x + 36, plot.y - 14, CALLED[name], size=style.TICK)
        return drawn

    def standing(self) -> str:
        return "".join(gauge.needle(0.0) for gauge in self.dials.values())

    def moving(self, readings: Mapping[str, Any]) -> str:
        drawn = ""
        for side, gauge in self.dials.items():
            drawn += gauge.needle(readings[f"{side}_gauge"])
            shown = gauge_words(readings[f"{side}_gauge"], self.system)
            drawn += svg.text(gauge.x - 20, 306, shown, bold=True, size=style.TICK)
        drawn += self._middle(readings)
        pressure, warm = ("psi", "F") if self.system == "us" else ("kPa", "C")
        drawn += self._plot(PLOTS[0], readings, ("low_gauge", "high_gauge"), "pressure difference", pressure)
        if self.setting("watch") == STOPPED:
            x, y = PLOTS[1].x + PLOTS[1].width / 2, PLOTS[1].y + 96
            return drawn + svg.text(x, y, _("blower and fan stand still"), size=style.TICK, anchor="middle")
        return drawn + self._plot(PLOTS[1], readings, ("cab", "vent"), "temperature", warm)

    def _middle(self, readings: Mapping[str, Any]) -> str:
        drawn = svg.text(420, 90, self._time_words(readings["time"]), size=style.NUMBER, anchor="middle", bold=True)
        on = readings["engaged"] > 0.5
        drawn += svg.circle(420, 150, 26, fill=style.METAL, stroke=style.INK, stroke_width=style.LINE)
        drawn += svg.circle(420, 150, 16, fill=style.INK if on else style.PAPER, stroke=style.INK, stroke_width=2)
        drawn += svg.text(420, 202, self._clutch_words(readings), size=style.TICK, anchor="middle")
        if readings["vent"] == readings["vent"]:
            for y, name in ((240, "cab"), (264, "vent")):
                words = f"{name} {self.words(readings[name], 'temperature')}"
                drawn += svg.text(420, y, words, size=style.TICK, anchor="middle")
        return drawn

    def _plot(self, plot: TimePlot, readings: Mapping[str, Any], names: tuple[str, str], kind: str, unit: str) -> str:
        series = readings["series"]
        minutes = self.setting("watch") != CYCLING
        scale = 60.0 if minutes else 1.0
        values = {name: np.asarray(units.convert(series[name], kind, unit)) for name in names}
        low = min(0.0, *(float(np.nanmin(value)) for value in values.values()))
        high = max(float(np.nanmax(value)) for value in values.values())
        step = next(size for size in (10, 20, 50, 100, 200, 500, 1000, 2000) if (high - low) / size <= 5)
        bottom, top = step * np.floor(low / step), step * np.ceil(high / step)
        length = LENGTH[self.setting("watch")] / scale
        here = TimePlot(plot.x, plot.y, plot.width, plot.height, length, float(bottom), float(top))
        drawn = here.value_scale(svg.stops(float(bottom), float(top), float(step)))
        drawn += here.time_scale(length / 6.0, _("minutes") if minutes else _("seconds"))
        seen = series["time"] <= readings["time"]
        for name, value in values.items():
            color, dash = LOOKS[name]
            now = float(units.convert(readings[name], kind, unit))
            times, shown = [*series["time"][seen] / scale, readings["time"] / scale], [*value[seen], now]
            drawn += here.line(times, shown, stroke=color, stroke_width=style.LINE, stroke_dasharray=dash)
            drawn += svg.circle(*here.place(times[-1], now), 5, fill=color, stroke=style.PAPER, stroke_width=1.5)
        return drawn

    # Saying --------------------------------------------------------------------------------------------------

    def _time_words(self, seconds: float) -> str:
        if self.setting("watch") != CYCLING:
            return f"{seconds / 60.0:.1f} min"
        return f"{seconds:.0f} s"

    def _clutch_words(self, readings: Mapping[str, Any]) -> str:
        if self.setting("watch") == PULL_DOWN and 0.005 < readings["engaged"] < 0.995:
            return _("clutch on {share:.0f} % of time").format(share=100 * readings["engaged"])
        return _("clutch engaged") if readings["engaged"] > 0.5 else _("clutch open")

    def summary(self, readings: Mapping[str, Any]) -> str:
        watch, series = self.setting("watch"), readings["series"]
        if watch == STOPPED:
            if readings["time"] >= series["equal"]:
                return _("Both sides have come together, after {minutes:.1f} minutes.").format(
                    minutes=series["equal"] / 60.0
                )
            return _("Both sides drift together. After {time} they are {apart} apart.").format(
                time=self._time_words(readings["time"]),
                apart=self.words(readings["high_gauge"] - readings["low_gauge"], "pressure difference"),
            )
        if watch == CYCLING:
            if not np.isfinite(series["on"] + series["off"]) or series["off"] == 0.0 or series["on"] == 0.0:
                return _("On this day the clutch does not cycle.")
            return _("The clutch is on for {on:.0f} s and rests {off:.0f} s; the gauges swing with it.").format(
                on=series["on"], off=series["off"]
            )
        return _("The cab stood in the sun, {soak} inside. After {time} it has {cab}, the vent {vent}.").format(
            soak=self.words(SOAK, "temperature"),
            time=self._time_words(readings["time"]),
            cab=self.words(readings["cab"], "temperature"),
            vent=self.words(readings["vent"], "temperature"),
        )

    def details(self, readings: Mapping[str, Any]) -> str:
        gauges = ", ".join(
            f"{CALLED[name]} {gauge_words(readings[name], self.system)}" for name in ("low_gauge", "high_gauge")
        )
        said = [
            self.summary(readings),
            f"{self._time_words(readings['time'])}: {gauges}, {self._clutch_words(readings)}.",
        ]
        if readings["vent"] == readings["vent"]:
            said.append(
                _("Air in the cab {cab}, at the vent {vent}.").format(
                    cab=self.words(readings["cab"], "temperature"), vent=self.words(readings["vent"], "temperature")
                )
            )
        return " ".join(said)
