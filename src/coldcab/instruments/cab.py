"""A cab on a hot day: where its heat comes from, what the coil takes away, and what the vents deliver."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from coldcab import units
from coldcab.faults import Fault
from coldcab.instruments.controls import Slider, altitude_slider
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.drawing.rows import ROW
from coldcab.instruments.machine_view import MACHINES, STATUS, MachineView, pick
from coldcab.machine import Conditions, Effects, Readings
from coldcab.machine.cab import FULL_SUN
from coldcab.machine.cab_balance import load_of
from coldcab.machine.effects import gather
from coldcab.machine.readings import OFF
from coldcab.words import _

SENSIBLE_PARTS = ("sun", "walls", "engine", "occupants", "leaks", "fresh", "blower", "heater")
WATER_PARTS = {"occupants": "occupants_water", "leaks": "leaks_water", "fresh": "fresh_water"}
LABELS = {
    "sun": "sun through glass",
    "walls": "walls and glass",
    "engine": "engine wall",
    "occupants": "people",
    "leaks": "doors and gaps",
    "fresh": "fresh air",
    "blower": "blower motor",
    "heater": "heater core",
}
BARS = (372.0, 76.0, 176.0, 29.0)  # x of the labels, y of the first row, reach of the bars, height of a row
ZERO = 522.0  # x where the bars begin
TOPS = (1000.0, 2000.0, 4000.0, 8000.0, 16000.0)  # W at the end of the scale
SHEET_TOP = 432.0
COLUMNS = (20.0, 318.0, 580.0)
ROOF, FLOOR = 112.0, 330.0
LEAST_SHOWN = 5.0  # W; less is no bar

# Name in the readings, words, kind, what counts as a change (SI).
LINES = (
    ("vent", _("air at the vents"), "temperature"),
    ("cab", _("air in the cab"), "temperature"),
    ("cab_relative_humidity", _("humidity in the cab"), "share"),
    ("return_air", _("air before the coil"), "temperature"),
    ("capacity", _("heat that the coil takes"), "power"),
    ("latent", _("of it, to make water"), "power"),
    ("condensate", _("water from the coil"), "water"),
    ("low_gauge", "low side", "gauge"),
    ("high_gauge", "high side", "gauge"),
)

AT_REST = _("{status}. {meaning} Why: {reason}. The cab would come to {cab}.")
RUNS = _(
    "{status}. The vents blow {vent} and the cab comes to {cab}. The largest part of the "
    "load is {part}, {largest}. The coil takes {capacity}, {water:.0f} % of it to make water."
)


def _percent(name: str, label: str, highest: float, start: float, step: float = 5.0, folded: bool = False) -> Slider:
    return Slider(name, label, "fraction", 0.0, highest, step, start, "%", "%", step, 0, folded)


class CabView(MachineView):
    """A shut cab with its levers, cooled by a machine of the fleet.

    Settings: `machine`, `ambient` (F), `humidity` (%), `sun` (% of full sun), `blower` (%), `fresh_air` (share of
    outside air in the blower's flow, %), `occupants`, `heater` (how far the heater valve stands open, %), `filter` and
    `condenser` (how badly the cab filter and the condenser are blocked, %); in the drawer `engine_speed` (rpm),
    `refrigerant`, `charge`, `altitude` (ft). Readings as `MachineView`, and `load` (`coldcab.machine.cab.CabLoad`),
    `latent` (W that the coil spends on water). The healthy machine has its heater shut, its filter and condenser clean.
    """

    title = _("The cab on a hot day")
    height = int(SHEET_TOP + len(LINES) * ROW + 2)
    word_lines = 4
    words_above = True
    stamp = (190.0, 215.0)
    drawer = _("Engine, refrigerant, charge, altitude")
    controls = (
        *pick("machine", "ambient"),
        replace(pick("humidity")[0], folded=False),
        _percent("sun", _("sun, of full sun"), 110.0, 100.0),
        *pick("blower"),
        _percent("fresh_air", "fresh air", 100.0, 0.0),
        Slider("occupants", _("people in the cab"), "ratio", 0.0, 4.0, 1.0, 1.0, "", "", 1.0, 0),
        _percent("heater", "heater valve open", 100.0, 0.0, 1.0),
        _percent("filter", "cab filter blocked", 100.0, 0.0),
        _percent("condenser", "condenser blocked", 100.0, 0.0),
        replace(pick("engine_speed")[0], folded=True),
        replace(pick("refrigerant")[0], folded=True),
        replace(pick("charge")[0], folded=True),
        replace(altitude_slider(), folded=True),
    )

    @property
    def conditions(self) -> Conditions:
        given = self.settings
        return Conditions(
            ambient=given["ambient"],
            relative_humidity=given["humidity"],
            altitude=given["altitude"],
            engine_speed=given["engine_speed"],
            blower=given["blower"],
            fresh_air=given["fresh_air"],
            sun=given["sun"] * FULL_SUN,
            occupants=given["occupants"],
        )

    @property
    def faults(self) -> tuple[Fault, ...]:
        return (
            Fault("low evaporator air", self.settings["filter"]),
            Fault("condenser blocked", self.settings["condenser"]),
        )

    @property
    def effects(self) -> Effects:
        return gather(self.faults).changed(heater_leak=self.settings["heater"])

    def calculate(self) -> dict[str, Any]:
        readings = super().calculate()
        load = load_of(MACHINES[self.settings["machine"]], self.conditions, self._run, self.effects)
        healthy = readings["healthy"]
        return {
            **readings,
            "healthy": {**healthy, "latent": _latent(self._healthy)} if healthy else {},
            "load": load,
            "latent": _latent(self._run),
        }

    def face(self) -> str:
        drawn = svg.text(style.MARGIN, 30, "The cab", bold=True)
        x, y, __, row = BARS
        drawn += svg.text(x, 30, _("What the coil has to carry away"), bold=True)
        for place, part in enumerate(SENSIBLE_PARTS):
            drawn += svg.text(x, y + row * place, LABELS[part])
        bottom = y + row * len(SENSIBLE_PARTS)
        drawn += svg.line(ZERO, y - 20, ZERO, bottom - 12, stroke=style.INK, stroke_width=style.THIN)
        key = bottom + 66
        drawn += svg.box(x, key - 12, 22, 12, fill=style.INK) + svg.text(x + 30, key, "warms (sensible)")
        drawn += svg.box(x + 190, key - 12, 22, 12, fill=style.LIQUID, stroke=style.INK)
        drawn += svg.text(x + 220, key, "brings water (latent)")
        heads = ("now", _("clean, heater shut, same day"))
        drawn += "".join(
            svg.text(left, SHEET_TOP - ROW, head, size=style.TICK, color=style.SOFT)
            for left, head in zip(COLUMNS[1:], heads, strict=True)
        )
        return drawn + _cab()

    def moving(self, readings: Mapping[str, Any]) -> str:
        return self._sketch(readings) + self._bars(readings) + self._sheet(readings)

    def summary(self, readings: Mapping[str, Any]) -> str:
        status, load = readings["status"], readings["load"]
        name, largest = max(((part, getattr(load, part)) for part in SENSIBLE_PARTS), key=lambda pair: pair[1])
        vent, cab = (self.words(readings[one], "temperature") for one in ("vent", "cab"))
        if status == OFF:
            return AT_REST.format(
                status=status.capitalize(), meaning=STATUS[status], reason=readings["reason"], cab=cab
            )
        return RUNS.format(
            status=status.capitalize(),
            vent=vent,
            cab=cab,
            part=LABELS[name],
            largest=self.words(largest, "power"),
            capacity=self.words(readings["capacity"], "power"),
            water=100 * readings["latent"] / max(readings["capacity"], 1.0),
        )

    def details(self, readings: Mapping[str, Any]) -> str:
        load, healthy = readings["load"], readings["healthy"]
        parts = ", ".join(
            f"{LABELS[part]} {self.words(getattr(load, part), 'power')}"
            + (
                _(" and {getattr} as water").format(getattr=self.words(getattr(load, WATER_PARTS[part]), "power"))
                if part in WATER_PARTS
                else ""
            )
            for part in SENSIBLE_PARTS
        )
        rows = ", ".join(
            f"{words} {self.value_words(readings[name], kind)}"
            + (f" (clean: {self.value_words(healthy[name], kind)})" if healthy else "")
            for name, words, kind in LINES
        )
        return _("{summary} Load: {parts}; in all {total}. Readings: {rows}.").format(
            summary=self.summary(readings), parts=parts, total=self.words(load.total, "power"), rows=rows
        )

    def _bars(self, readings: Mapping[str, Any]) -> str:
        load = readings["load"]
        x, y, reach, row = BARS
        parts = {part: (getattr(load, part), _water(load, part)) for part in SENSIBLE_PARTS}
        highest = max(max(warm, 0.0) + max(water, 0.0) for warm, water in parts.values())
        top = next((top for top in TOPS if highest <= top), TOPS[-1])
        drawn = ""
        for place, (warm, water) in enumerate(parts.values()):
            at, left = y + row * place - 14, ZERO
            for heat, look in ((warm, {"fill": style.INK}), (water, {"fill": style.LIQUID, "stroke": style.INK})):
                if heat > LEAST_SHOWN:
                    wide = min(heat / top, 1.0) * reach
                    drawn += svg.box(left, at, wide, 16, **look)
                    left += wide
            drawn += svg.text(style.WIDTH - 20, at + 14, self._power(warm + water), anchor="end")
        bottom = y + row * len(SENSIBLE_PARTS)
        drawn += svg.line(x, bottom - 10, style.WIDTH - 20, bottom - 10, stroke=style.INK)
        for place, (label, value) in enumerate((("sensible", load.sensible), ("latent", load.latent))):
            at = x + 226 * place
            drawn += svg.text(at, bottom + 36, f"{label} {self._power(value)}")
        drawn += svg.text(x, bottom + 12, "in all", bold=True)
        return drawn + svg.text(style.WIDTH - 20, bottom + 12, self.words(load.total, "power"), anchor="end", bold=True)

    def _power(self, value: float) -> str:
        """Heat in the first unit only: the bars have no room for two."""
        unit = "Btu/h" if self.system == "us" else "W"
        return f"{units.convert(value, 'power', unit):,.0f} {unit}".replace("-", "−")

    def _sketch(self, readings: Mapping[str, Any]) -> str:
        """Sun, people and the streams of air; what is more is drawn more."""
        load = readings["load"]
        drawn = svg.text(20, 52, f"outside {self._degrees('ambient', readings)}", size=style.TICK)
        sun = self.settings["sun"]
        if sun > 0.0:
            drawn += svg.circle(62, 96, 16, fill=style.PAPER, stroke=style.INK, stroke_width=style.THIN)
            rays = round(8 * sun)
            for ray in range(rays):
                start, end = svg.polar(62, 96, 20, 45.0 * ray), svg.polar(62, 96, 31, 45.0 * ray)
                drawn += svg.line(*start, *end, stroke=style.INK, stroke_width=style.LINE)
            width = 1.0 + 5.0 * sun
            drawn += _arrow((82, 120), (124, 168), width)
        for person in range(round(self.settings["occupants"])):
            x = 168 + 34 * person
            drawn += svg.circle(x, 246, 11, fill=style.METAL, stroke=style.INK)
            drawn += svg.path(
                [(x - 13, 312), (x - 11, 264), (x + 11, 264), (x + 13, 312)],
                closed=True,
                fill=style.METAL,
                stroke=style.INK,
            )
        drawn += _arrow((46, 286), (84, 286), 1.0 + 5.0 * min(load.engine / 1000.0, 1.0))
        fresh, blower = self.settings["fresh_air"], self.settings["blower"]
        if fresh > 0.0:
            drawn += _arrow((338, 84), (296, 84), 1.0 + 6.0 * fresh * blower)
            drawn += svg.text(344, 70, "fresh", size=style.TICK, anchor="end")
        if fresh < 1.0:
            drawn += _arrow((276, 156), (276, 116), 1.0 + 6.0 * (1.0 - fresh) * blower)
            drawn += svg.text(266, 150, "back", size=style.TICK, anchor="end")
        drawn += _arrow((176, 108), (176, 158), 1.0 + 6.0 * blower, style.LOW)
        drawn += svg.text(188, 150, "vent", size=style.TICK)
        drawn += svg.text(226, 192, f"vent {self._degrees('vent', readings)}", anchor="middle", bold=True)
        drawn += svg.text(226, 214, f"cab {self._degrees('cab', readings)}", anchor="middle", bold=True)
        if readings["condensate"] > 1e-6:
            drawn += svg.path([(154, 112), (150, 120), (158, 120)], closed=True, fill=style.LIQUID, stroke=style.INK)
            drawn += svg.circle(154, 121, 4, fill=style.LIQUID, stroke=style.INK)
        frost = readings["coil_frost"]
        words = _("coil: fins below freezing") if frost else "coil"
        return drawn + svg.text(226, 62, words, size=style.TICK, anchor="middle", bold=bool(frost))

    def _degrees(self, name: str, readings: Mapping[str, Any]) -> str:
        unit = "F" if self.system == "us" else "C"
        return f"{units.convert(readings[name], 'temperature', unit):.0f} {unit}".replace("-", "−")

    def _sheet(self, readings: Mapping[str, Any]) -> str:
        return self.compared(readings, LINES, top=SHEET_TOP, columns=COLUMNS)


def _latent(readings: Readings) -> float:
    """W of the coil's capacity that turn vapor into water."""
    return readings.capacity - readings.sensible_capacity


def _water(load: Any, part: str) -> float:
    return getattr(load, WATER_PARTS[part]) if part in WATER_PARTS else 0.0


def _cab() -> str:
    """Cab, glass, roof box with blower, coil and heater core, engine."""
    shell = [(84, FLOOR), (84, 250), (128, ROOF + 12), (128, ROOF), (320, ROOF), (320, FLOOR)]
    drawn = svg.path(shell, closed=True, fill=style.PAPER, stroke=style.INK, stroke_width=style.LINE)
    drawn += svg.line(84, 250, 128, ROOF + 12, stroke=style.LIQUID, stroke_width=7)
    drawn += svg.line(84, 250, 128, ROOF + 12, stroke=style.INK, stroke_width=style.HAIR)
    drawn += svg.box(132, 68, 166, 44, fill=style.PAPER, stroke=style.INK, stroke_width=style.THIN)
    for stripe in range(5):
        drawn += svg.line(212 + 7 * stripe, 72, 212 + 7 * stripe, 108, stroke=style.LOW, stroke_width=style.LINE)
    for stripe in range(2):
        drawn += svg.line(192 + 7 * stripe, 74, 192 + 7 * stripe, 106, stroke=style.HIGH, stroke_width=style.LINE)
    drawn += svg.circle(266, 90, 13, fill="none", stroke=style.INK, stroke_width=style.THIN)
    drawn += svg.line(266, 77, 266, 103, stroke=style.INK) + svg.line(253, 90, 279, 90, stroke=style.INK)
    drawn += svg.box(20, 258, 62, 72, fill=style.METAL, stroke=style.INK)
    drawn += svg.text(51, 346, "engine", size=style.TICK, anchor="middle")
    drawn += svg.line(20, FLOOR, 340, FLOOR, stroke=style.INK, stroke_width=style.LINE)
    return drawn


def _arrow(start: tuple[float, float], end: tuple[float, float], width: float, color: str = style.INK) -> str:
    """A straight arrow."""
    (x1, y1), (x2, y2) = start, end
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    along, across = ((x2 - x1) / length, (y2 - y1) / length), (-(y2 - y1) / length, (x2 - x1) / length)
    half = 3.0 + 0.8 * width
    neck = x2 - 9 * along[0], y2 - 9 * along[1]
    head = [
        (x2, y2),
        (neck[0] + half * across[0], neck[1] + half * across[1]),
        (neck[0] - half * across[0], neck[1] - half * across[1]),
    ]
    drawn = svg.line(x1, y1, *neck, stroke=color, stroke_width=width)
    return drawn + svg.path(head, closed=True, fill=color)
