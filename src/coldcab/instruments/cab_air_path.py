"""The way of the air through a cab: a lever on each place, a thermometer behind it, and the pressure of the cab."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from coldcab import air, units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Slider, altitude_slider, in_both
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.rows import ROW, rows
from coldcab.instruments.machine_view import pick
from coldcab.machine import cab as cab_room
from coldcab.quantities import INCH
from coldcab.words import _

TIGHT = air.CabLevers().gaps  # m2
SPRAY_PRESSURE = 20.0  # Pa, the least of a cab for spraying (EN 15695-1)
LEAST_SHOWN = 5e-4  # m3/s; less is a rounding
TOP, BOTTOM = 84.0, 152.0
SHEET_TOP = 266.0
COLUMNS = (20.0, 330.0, 590.0)
# Name of each place, x of its left edge and its width, in the order in which the air passes.
PLACES = (
    (_("flap"), 100.0, 74.0),
    (_("filter"), 194.0, 74.0),
    (_("coil"), 288.0, 82.0),
    (_("blower"), 424.0, 78.0),
    (_("heater"), 522.0, 82.0),
    (_("duct"), 624.0, 74.0),
    (_("vents"), 718.0, 102.0),
)

# Name in the readings, words, kind.
LINES = (
    ("cab", _("air in the cab"), "temperature"),
    ("before", _("air before the coil"), "temperature"),
    ("behind", _("air behind the coil"), "temperature"),
    ("vent", _("air at the vents"), "temperature"),
    ("hose_in", _("heater hose behind the valve"), "temperature"),
    ("hose_out", _("heater hose going back"), "temperature"),
    ("vent_speed", _("air speed at the vents"), "speed"),
    ("pressure", _("cab over the air outside"), "pascal"),
    ("fresh", _("fresh air through the filter"), "volume flow"),
    ("unfiltered", _("outside air past the filter"), "volume flow"),
    ("condensate", _("water from the coil"), "water"),
    ("held", _("water held up in the drain"), "column"),
    ("capacity", _("heat that the coil takes"), "power"),
)

SAYS = _(
    "Behind the coil {behind}, at the vents {vent}, in the cab {cab}. Vent speed {speed} of clean; cab pressure "
    "{pascal} Pa. {note}"
)
OVER = _("The cab blows out through its gaps.")
UNDER = _("The cab draws in: dust comes in through every gap.")
PAST = _("Outside air comes in past the filter.")
LEVEL = _("Nothing holds the dust out.")
SPRAY = _("Below 20 Pa: no cab to spray from. The manual and the label say what a cab for spraying must have.")


def _percent(name: str, label: str, highest: float, start: float = 0.0, step: float = 5.0) -> Slider:
    return Slider(name, label, "fraction", 0.0, highest, step, start, "%", "%", step, 0)


class CabAirPath(Instrument):
    """The air's way through a shut cab whose circuit is in order.

    Settings: `blower`, `pressurizer` (% of full speed), `flap` (outside air that slips past the shut flap, % of the
    blower's air), `cabin_filter`, `fresh_filter` (% blocked), `heater` (valve open, %), `duct` (cold air lost to the
    open, %), `gaps` (of doors and floor, times those of a tight cab); in the drawer `ambient` (F), `humidity` (%),
    `sun` (% of full sun), `altitude` (ft). Readings: those of `coldcab.air.CabAir` by the names of `LINES`, `clean`
    (the same of a cab in order on the same day).
    """

    title = _("The way of the air through the cab")
    height = int(SHEET_TOP + len(LINES) * ROW + 2)
    word_lines = 4
    words_above = True
    drawer = _("The day: outside air, humidity, sun, altitude")
    controls = (
        Slider("blower", "blower", "fraction", 30.0, 100.0, 5.0, 100.0, "%", "%", 5.0, 0),
        _percent("pressurizer", "pressurizer", 100.0, 100.0),
        _percent("flap", _("flap leaks"), 50.0),
        _percent("cabin_filter", _("cabin filter blocked"), 90.0),
        _percent("fresh_filter", _("fresh-air filter blocked"), 90.0),
        _percent("heater", _("heater valve open"), 100.0, step=1.0),
        _percent("duct", _("duct leaks"), 40.0),
        Slider("gaps", _("gaps, times a tight cab"), "ratio", 1.0, 6.0, 0.5, 1.0, "", "", 0.5, 1),
        *(replace(control, folded=True) for control in pick("ambient", "humidity")),
        replace(_percent("sun", _("sun, of full sun"), 110.0, 100.0), folded=True),
        replace(altitude_slider(), folded=True),
    )

    def __init__(self, **settings: Any) -> None:
        self._clean: tuple[tuple, dict[str, Any]] | None = None  # the day, and the cab in order on it
        super().__init__(**settings)

    def calculate(self) -> dict[str, Any]:
        given = self.settings
        outside = air.moist_air(given["ambient"], self.atmosphere, relative_humidity=given["humidity"])
        cab = cab_room.Cab()
        shell = air.CabShell(
            conductance=cab.conductance,
            warm_conductance=cab.engine_conductance,
            warm_wall=cab_room.ENGINE_WALL,
            gains=cab.solar * given["sun"] + cab_room.OCCUPANT_HEAT,
            water=cab_room.OCCUPANT_WATER,
        )
        same = ("blower", "pressurizer", "flap", "cabin_filter", "fresh_filter", "heater", "duct")
        levers = air.CabLevers(**{name: given[name] for name in same}, gaps=given["gaps"] * TIGHT)
        day = tuple(given[name] for name in ("ambient", "humidity", "altitude", "sun", "blower"))
        if self._clean is None or self._clean[0] != day:
            self._clean = day, _named(air.cab_air(shell, outside, air.CabLevers(blower=given["blower"])))
        return {**_named(air.cab_air(shell, outside, levers)), "clean": self._clean[1]}

    def face(self) -> str:
        drawn = svg.text(style.MARGIN, 36, _("From the return grille to the vents"), bold=True)
        for name, left, width in PLACES:
            drawn += svg.box(left, TOP, width, BOTTOM - TOP, fill=style.PAPER, stroke=style.INK)
            drawn += svg.text(left + width / 2, TOP + 22, name, size=style.TICK, anchor="middle")
        stops = [*(left for _name, left, _width in PLACES)]
        ends = [80.0, *(left + width for _name, left, width in PLACES[:-1])]
        for start, stop in zip(ends, stops, strict=True):
            drawn += svg.line(start, 126, stop, 126, stroke=style.SOFT, stroke_width=style.LINE)
        drawn += svg.text(style.MARGIN, 130, _("cab"), size=style.TICK)
        heads = (_("now"), _("all in order, same day"))
        drawn += "".join(
            svg.text(left, SHEET_TOP - ROW, head, size=style.TICK, color=style.SOFT)
            for left, head in zip(COLUMNS[1:], heads, strict=True)
        )
        return drawn

    def moving(self, readings: Mapping[str, Any]) -> str:
        given = self.settings
        shown = (
            f"{given['flap']:.0%}",
            f"{given['cabin_filter']:.0%}",
            "",
            f"{given['blower']:.0%}",
            f"{given['heater']:.0%}",
            f"{given['duct']:.0%}",
            f"{readings['vent_speed'] / readings['clean']['vent_speed']:.0%}",
        )
        signs = (_("leaks"), _("blocked"), "", _("speed"), _("open"), _("leaks"), _("of speed"))
        drawn = ""
        for (_name, left, width), number, sign in zip(PLACES, shown, signs, strict=True):
            middle = left + width / 2
            if not number:
                continue
            drawn += svg.text(middle, TOP + 44, number, anchor="middle", bold=True)
            drawn += svg.text(middle, TOP + 61, sign, size=style.TICK, anchor="middle", color=style.SOFT)
        for x, name in ((278.0, "before"), (397.0, "behind"), (769.0, "vent")):
            drawn += svg.text(x, TOP - 12, self._degrees(readings[name]), anchor="middle", bold=True)
        hoses = f"{self._degrees(readings['hose_in'])} → {self._degrees(readings['hose_out'])}"
        drawn += svg.text(563, TOP - 12, hoses, anchor="middle", color=style.HIGH)
        drawn += svg.text(
            329,
            BOTTOM + 24,
            _("drain: {held}").format(held=self._value("held", "column", readings)),
            anchor="middle",
            size=style.TICK,
        )
        drawn += svg.text(
            style.MARGIN,
            BOTTOM + 56,
            _("cab {degrees}, {pascal:.0f} Pa over outside")
            .format(degrees=self._degrees(readings["cab"]), pascal=readings["pressure"])
            .replace("-", "−"),
            bold=True,
        )
        clean = readings["clean"]
        lines = [
            (words, self._value(name, kind, readings), self._value(name, kind, clean)) for name, words, kind in LINES
        ]
        return drawn + rows(SHEET_TOP, COLUMNS, lines)

    def _degrees(self, kelvin: float) -> str:
        unit = "F" if self.system == "us" else "C"
        return f"{units.convert(kelvin, 'temperature', unit):.0f} {unit}".replace("-", "−")

    def _value(self, name: str, kind: str, readings: Mapping[str, Any]) -> str:
        value = readings[name]
        if kind == "pascal":
            return in_both(f"{value / 249.089:.2f} in of water", f"{value:.0f} Pa", self.system).replace("-", "−")
        if kind == "speed":
            return in_both(f"{value * 60 / 0.3048:,.0f} ft/min", f"{value:.1f} m/s", self.system)
        if kind == "column":
            return in_both(f"{value / INCH:.1f} in", f"{1e3 * value:.0f} mm", self.system)
        if kind == "water":
            pounds = units.convert(value, "mass flow", "lb/h")
            return in_both(f"{pounds:.1f} lb/h", f"{1e3 * value:.2f} g/s", self.system)
        return self.words(value, kind)

    def summary(self, readings: Mapping[str, Any]) -> str:
        pressure = readings["pressure"]
        return SAYS.format(
            **{name: self.words(readings[name], "temperature") for name in ("behind", "vent", "cab")},
            speed=f"{readings['vent_speed'] / readings['clean']['vent_speed']:.0%}",
            pascal=f"{pressure:.0f}".replace("-", "−"),
            note=self._note_on(pressure, readings["unfiltered"]),
        )

    def _note_on(self, pressure: float, unfiltered: float) -> str:
        if pressure < -1.0:
            return UNDER
        if unfiltered > LEAST_SHOWN:
            return PAST
        return OVER if pressure > 1.0 else LEVEL

    def details(self, readings: Mapping[str, Any]) -> str:
        told = ", ".join(
            _("{words} {now} (in order: {clean})").format(
                words=words,
                now=self._value(name, kind, readings),
                clean=self._value(name, kind, readings["clean"]),
            )
            for name, words, kind in LINES
        )
        return f"{self.summary(readings)} {told}."

    def caution(self) -> str:
        return SPRAY if self.readings and self.readings["pressure"] < SPRAY_PRESSURE else ""


def _named(found: air.CabAir) -> dict[str, float]:
    """The readings by the names of `LINES`."""
    return {
        "cab": found.cab.dry_bulb,
        "before": found.before_coil.dry_bulb,
        "behind": found.behind_coil.dry_bulb,
        "vent": found.vent,
        "hose_in": found.hose_in,
        "hose_out": found.hose_out,
        "vent_speed": found.vent_speed,
        "pressure": found.pressure,
        "fresh": found.fresh_flow,
        "unfiltered": found.unfiltered_flow,
        "condensate": found.condensate,
        "held": float(air.water_column(max(found.box_suction, 0.0))),
        "capacity": found.capacity,
    }
