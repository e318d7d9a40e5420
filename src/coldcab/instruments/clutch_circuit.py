"""The clutch's wiring at the meter: a control circuit, a relay, a load circuit, and two leads to put down.

Every voltage comes from `service.clutch_wiring`; here it is only drawn and said.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Control, Slider, Switch, gauge_slider, gauge_words
from coldcab.instruments.drawing import style, svg
from coldcab.service import clutch_wiring as wiring
from coldcab.service.clutch import MOST_IN_ALL, fuse_answer
from coldcab.service.clutch_wiring import CONTROLLER, MINUS, PLUS, UNKNOWN, Probed, Wiring
from coldcab.words import _

FUSE = 7.5  # A, of the load circuit [invented]
EVERY_POINT = (
    PLUS, *wiring.SWITCH_POINTS, "controller ground", *wiring.SENSOR_POINTS, *wiring.LOAD_POINTS, MINUS,
)  # fmt: skip
LETTER = {name: "ABCDEFGHIJKLMNOPQR"[place] for place, name in enumerate(EVERY_POINT)}
LABELS = {f"{LETTER[name]} {name}": name for name in EVERY_POINT}
ENGAGED, WEAK, OUT = "engaged", _("current flows, but the plate stays out"), _("not engaged")

PLUS_X, MINUS_X, CONTROL_Y, LOAD_Y = 46.0, 794.0, 120.0, 276.0
STEP = (MINUS_X - PLUS_X) / 7
WIDE, HIGH = 62.0, 40.0
RELAY_COIL, CLUTCH_COIL = "relay coil", "clutch coil"
LOAD_PARTS = (
    "load fuse", "relay contacts", "feed wire", "clutch connector", CLUTCH_COIL, "clutch ground wire", "ground strap",
)  # fmt: skip
SWITCH_PARTS = (
    "key switch", "control fuse", "A/C switch", "thermostat", "pressure switch", RELAY_COIL, "cab ground",
)  # fmt: skip
CONTROLLER_PARTS = ("key switch", "control fuse", RELAY_COIL, "controller output", "cab ground")
CONTROLLER_COLUMNS = (0.5, 1.5, 2.7, 4.5, 6.5)
CONTACTS = ("key switch", "A/C switch", "thermostat", "pressure switch", "relay contacts", "controller output")
FUSES = ("control fuse", "load fuse")
SENSOR_Y, PANEL_Y, BATTERY_Y = 52.0, 404.0, 374.0


class ClutchCircuit(Instrument):
    """A clutch that is blamed, wired as machines are: the learner chooses the machine, the fault and the two points.

    Settings: `battery` ("12 V", "24 V"); `control` (how the pressure is watched: a switch of one, two or three
    functions, or sensor and controller); `fault` (one by name, or unknown ones); `key`; `asked` (blower and A/C
    switch on); `pressure` (psig in the liquid line); `red`, `black` (where the leads are); `every_voltage` (each
    point against battery minus, where the fault is known); `fins` (F at the thermostat's feeler), `coil_temperature`
    (F), `gap` (in), `suppression` (over the clutch coil). Readings: `probed` (`Probed`), `meter` (V), `current` (A,
    clamp meter on the clutch wire), `fuse` (words), `status`.
    """

    title = "The clutch circuit"
    height = 604
    word_lines = 3
    words_above = True
    stamp = (420.0, 470.0)
    drawer = _("Fins, coil, air gap and diode")
    face_settings = ("control",)
    controls = (
        Choice("red", "red lead on", tuple(LABELS), f"{LETTER[PLUS]} {PLUS}"),
        Choice("black", "black lead on", tuple(LABELS), f"{LETTER[MINUS]} {MINUS}"),
        Choice("fault", "fault", (*wiring.BY_NAME, *UNKNOWN), wiring.NO_FAULT.name),
        Choice("key", "key", (wiring.KEY_OFF, wiring.KEY_ON, wiring.RUNNING), wiring.RUNNING),
        Choice("battery", "battery", tuple(wiring.SYSTEMS), "12 V"),
        Choice("control", "pressure watched by", wiring.CONTROLS, wiring.TWO),
        gauge_slider("pressure", "liquid line", 0.0, 450.0, 150.0),
        Switch("asked", "blower and A/C switch on", True),
        Switch("every_voltage", "show every voltage", False),
        Slider("fins", "fins at the feeler", "temperature", 20.0, 90.0, 1.0, 50.0, "F", "C", 0.5, folded=True),
        Slider("coil_temperature", "clutch coil", "temperature", 0.0, 300.0, 5.0, 140.0, "F", "C", 2.0, folded=True),
        Slider("gap", "air gap", "length", 0.01, 0.08, 0.001, 0.02, "in", "mm", 0.02, 3, folded=True),
        Choice("suppression", "over the clutch coil",
               (wiring.DIODE, wiring.RESISTOR, wiring.NO_SUPPRESSION, wiring.SHORTED_DIODE), wiring.DIODE, folded=True),
    )  # fmt: skip

    def in_use(self, control: Control) -> bool:
        return control.name != "every_voltage" or not self._unknown

    def offered(self, control: Choice) -> tuple[str, ...]:
        if control.name not in ("red", "black"):
            return control.options
        there = wiring.points(self._settings["control"])
        chosen = self._settings[control.name]
        return tuple(label for label, name in LABELS.items() if name in there or label == chosen)

    @property
    def _unknown(self) -> bool:
        return self._settings["fault"] in UNKNOWN

    def calculate(self) -> dict[str, Any]:
        chosen = self._settings
        names = ("control", "fault", "key", "asked", "pressure", "fins", "coil_temperature", "gap")
        probed = wiring.probe(
            Wiring(chosen["battery"], suppression=chosen["suppression"], **{name: chosen[name] for name in names})
        )
        red, black = LABELS[chosen["red"]], LABELS[chosen["black"]]
        for lead, point in (("red", red), ("black", black)):
            if point not in probed.volts:
                raise ValueError(
                    _("this wiring has no point {point!r}; move the {lead} lead.").format(point=point, lead=lead)
                )
        current = float(probed.load.current)
        status = ENGAGED if probed.engaged else WEAK if current > 0.05 else OUT
        shorted = chosen["suppression"] == wiring.SHORTED_DIODE and probed.relay_closed
        return {
            "probed": probed,
            "meter": probed.across(red, black),
            "current": current,
            "fuse": _("opens at once") if shorted else fuse_answer(current, FUSE),
            "status": status,
        }

    # Drawing -------------------------------------------------------------------------------------------------

    def _places(self) -> dict[str, tuple[float, float]]:
        """Middle of each part."""
        found = {name: (PLUS_X + STEP * (place + 0.5), LOAD_Y) for place, name in enumerate(LOAD_PARTS)}
        if self._settings["control"] == CONTROLLER:
            columns = zip(CONTROLLER_PARTS, CONTROLLER_COLUMNS, strict=True)
            return found | {name: (PLUS_X + STEP * column, CONTROL_Y) for name, column in columns}
        return found | {name: (PLUS_X + STEP * (place + 0.5), CONTROL_Y) for place, name in enumerate(SWITCH_PARTS)}

    def _spots(self) -> dict[str, tuple[float, float]]:
        """Where each point that a lead can touch lies on the drawing."""
        places = self._places()
        found = {PLUS: (PLUS_X, LOAD_Y + 60.0), MINUS: (MINUS_X, LOAD_Y + 60.0)}
        controller = self._settings["control"] == CONTROLLER
        parts, names = (
            (CONTROLLER_PARTS, wiring.CONTROLLER_POINTS) if controller else (SWITCH_PARTS, wiring.SWITCH_POINTS)
        )
        for order, between in ((parts, names), (LOAD_PARTS, wiring.LOAD_POINTS)):
            for place, name in enumerate(between):
                (left, y), (right, _y) = places[order[place]], places[order[place + 1]]
                found[name] = ((left + right) / 2, y)
        if controller:
            x = places["controller output"][0]
            found |= {name: (x + 46.0 * (place - 1), SENSOR_Y + 30) for place, name in enumerate(wiring.SENSOR_POINTS)}
        return found

    def face(self) -> str:
        places = self._places()
        drawn = svg.path(
            [(PLUS_X, CONTROL_Y), (PLUS_X, BATTERY_Y), (396.0, BATTERY_Y)], stroke=style.INK, stroke_width=style.LINE
        )
        drawn += svg.path(
            [(MINUS_X, CONTROL_Y), (MINUS_X, BATTERY_Y), (444.0, BATTERY_Y)], stroke=style.INK, stroke_width=style.LINE
        )
        for y in (CONTROL_Y, LOAD_Y):
            drawn += svg.line(PLUS_X, y, MINUS_X, y, stroke=style.INK, stroke_width=style.LINE)
        for x, half, thick in ((396, 18, 3), (412, 9, 6), (428, 18, 3), (444, 9, 6)):
            drawn += svg.line(x, BATTERY_Y - half, x, BATTERY_Y + half, stroke=style.INK, stroke_width=thick)
        drawn += svg.text(376, BATTERY_Y - 10, "+", size=style.STRONG, bold=True, anchor="middle")
        drawn += svg.text(464, BATTERY_Y - 10, "−", size=style.STRONG, bold=True, anchor="middle")
        drawn += svg.text(PLUS_X, 30, _("Control circuit: works the relay"), size=style.TICK, bold=True)
        drawn += svg.text(
            places["relay contacts"][0] + 14,
            LOAD_Y - 66,
            _("Load circuit: feeds the clutch"),
            size=style.TICK,
            bold=True,
        )
        (x1, y1), (x2, y2) = places[RELAY_COIL], places["relay contacts"]
        link = [(x1, y1 + HIGH / 2 + 42), (x1, 192.0), (x2, 192.0), (x2, y2 - HIGH / 2)]
        drawn += svg.path(link, stroke=style.SOFT, stroke_width=style.THIN, stroke_dasharray="5 5")
        if self._settings["control"] == CONTROLLER:
            x, y = places["controller output"]
            drawn += svg.box(x - 80, SENSOR_Y - 34, 160, 28, rx=4, fill=style.PAPER, stroke=style.INK)
            drawn += svg.text(x, SENSOR_Y - 15, _("pressure sensor"), size=style.TICK, anchor="middle")
            for side in (-46.0, 0.0, 46.0):
                drawn += svg.line(x + side, SENSOR_Y - 6, x + side, y - HIGH / 2, stroke=style.INK)
        return drawn

    def moving(self, readings: Mapping[str, Any]) -> str:
        probed, spots = readings["probed"], self._spots()
        opened = set(probed.stopped_by) | (set() if probed.relay_closed else {"relay contacts"})
        drawn = "".join(_part(name, x, y, name in opened) for name, (x, y) in self._places().items())
        drawn += "".join(self._point(name, *spot, probed) for name, spot in spots.items())
        return drawn + self._suppression() + self._leads(spots) + self._meter(readings) + self._panel_words(readings)

    def standing(self) -> str:
        return "".join(_part(name, x, y, False) for name, (x, y) in self._places().items())

    def _point(self, name: str, x: float, y: float, probed: Probed) -> str:
        drawn = svg.circle(x, y, 11, fill=style.PAPER, stroke=style.INK, stroke_width=style.THIN)
        drawn += svg.text(x, y + 5, LETTER[name], size=style.TICK, anchor="middle", bold=True)
        if self._settings["every_voltage"] and not self._unknown and name not in (PLUS, MINUS):
            volts = probed.volts[name]
            drawn += svg.text(x, y - 17, _reads(volts), size=style.TICK, anchor="middle", halo=True)
        return drawn

    def _leads(self, spots: Mapping[str, tuple[float, float]]) -> str:
        drawn = ""
        for lead, color in (("red", style.HIGH), ("black", style.INK)):
            name = LABELS[self._settings[lead]]
            x, y = spots[name]
            drawn += svg.circle(x, y, 15, fill="none", stroke=color, stroke_width=style.HEAVY)
            if name in wiring.SENSOR_POINTS:
                continue  # no room; the meter says it
            side = {PLUS: 24.0, MINUS: -24.0}.get(name, 0.0)
            place = "start" if side > 0 else "end" if side < 0 else "middle"
            down = 5.0 if side else -34.0
            drawn += svg.text(
                x + side, y + down, lead, size=style.TICK, anchor=place, color=color, bold=True, halo=True
            )
        return drawn

    def _suppression(self) -> str:
        """What lies over the clutch coil: the diode's band on the feed side."""
        part, (x, y) = self._settings["suppression"], self._places()[CLUTCH_COIL]
        if part == wiring.NO_SUPPRESSION:
            return ""
        top = y - HIGH / 2 - 20
        drawn = svg.path([(x - 24, y - HIGH / 2), (x - 24, top), (x + 24, top), (x + 24, y - HIGH / 2)],
                         stroke=style.INK, stroke_width=style.THIN)  # fmt: skip
        if part == wiring.RESISTOR:
            return drawn + svg.box(x - 14, top - 6, 28, 12, fill=style.PAPER, stroke=style.INK)
        drawn += svg.path([(x + 8, top - 8), (x + 8, top + 8), (x - 8, top)], closed=True, fill=style.INK)
        return drawn + svg.line(x - 8, top - 9, x - 8, top + 9, stroke=style.INK, stroke_width=style.LINE)

    def _meter(self, readings: Mapping[str, Any]) -> str:
        y = PANEL_Y
        drawn = svg.box(20, y, 250, 108, rx=6, fill=style.PAPER, stroke=style.INK, stroke_width=style.LINE)
        drawn += svg.text(34, y + 24, _("red {point}").format(point=self._settings["red"]), size=style.TICK)
        drawn += svg.text(34, y + 44, _("black {point}").format(point=self._settings["black"]), size=style.TICK)
        volts = _reads(readings["meter"])
        return drawn + svg.text(256, y + 90, volts, size=style.NUMBER, anchor="end", bold=True)

    def _rows(self, readings: Mapping[str, Any]) -> list[tuple[str, str]]:
        probed, chosen = readings["probed"], self._settings
        let_go = probed.turn_off
        gap = next(one for one in self.controls if one.name == "gap")
        rows = [
            (_("battery"), f"{chosen['battery']}, {chosen['key']}"),
            (_("relay"), _("closed") if probed.relay_closed else _("open")),
            (_("clutch"), readings["status"]),
            (_("clamp meter, clutch wire"), f"{readings['current']:.2f} A"),
            (_("load fuse, {rating:g} A").format(rating=FUSE), readings["fuse"]),
            (_("liquid line; fins"), f"{gauge_words(chosen['pressure'], self.system)}; {self._short(chosen['fins'])}"),
            (
                _("clutch coil; air gap"),
                f"{self._short(chosen['coil_temperature'])}; {gap.words(chosen['gap'], self.system)}",
            ),
            (
                _("over the coil: {part}").format(part=chosen["suppression"]),
                _("lets go with {voltage}").format(
                    voltage=_("hundreds of volts") if let_go is None else f"{let_go:.1f} V"
                ),
            ),
        ]
        if chosen["control"] in (wiring.THREE, CONTROLLER):
            rows.append((_("condenser fan asked for"), _("yes") if probed.fan else _("no")))
        return rows

    def _short(self, temperature: float) -> str:
        return self.words(temperature, "temperature").split(" (")[0]

    def _panel_words(self, readings: Mapping[str, Any]) -> str:
        drawn = ""
        for row, (words, value) in enumerate(self._rows(readings)):
            y = PANEL_Y + 14 + 21.5 * row
            drawn += svg.text(292, y, words, size=style.TICK, color=style.SOFT)
            drawn += svg.text(500, y, value, size=style.TICK, bold=True)
        return f'<g data-table="2">{drawn}</g>'

    # Saying --------------------------------------------------------------------------------------------------

    def _advice(self, readings: Mapping[str, Any]) -> str:
        """What the state says to who is looking, without naming the fault."""
        probed = readings["probed"]
        if probed.stopped_by:
            return _("Open as it should be: {parts}.").format(parts=", ".join(probed.stopped_by))
        if readings["current"] < 0.05:
            if probed.relay_closed:
                return _("The relay is closed and no current flows through the clutch. A drop test proves nothing now.")
            return _("The relay has not closed. Look in the control circuit.")
        lost = float(probed.load.feed_drop + probed.load.ground_drop)
        if lost > MOST_IN_ALL:
            return _("The clutch carries current, so drops can be measured. It gets less voltage than it should.")
        return _("The clutch carries current, so drops can be measured.")

    def summary(self, readings: Mapping[str, Any]) -> str:
        return _("Red on {red}, black on {black}: {volts}. Clutch {status}, {current:.2f} A. {advice}").format(
            red=self._settings["red"],
            black=self._settings["black"],
            volts=_reads(readings["meter"]),
            status=readings["status"],
            current=readings["current"],
            advice=self._advice(readings),
        )

    def details(self, readings: Mapping[str, Any]) -> str:
        said = [self.summary(readings)]
        said += [f"{words[:1].upper()}{words[1:]}: {value}." for words, value in self._rows(readings)]
        if self._settings["every_voltage"] and not self._unknown:
            volts = (
                f"{LETTER[name]} {name} {_reads(value)}"
                for name, value in readings["probed"].volts.items()
                if name not in (PLUS, MINUS)
            )
            said.append(_("Against battery minus: {volts}.").format(volts=", ".join(volts)))
        return " ".join(said)

    def caution(self) -> str:
        if self._settings["key"] == wiring.RUNNING:
            return _(
                "Engine running: leads tied clear of belt and fan, hands off. Key off before you move a lead there."
            )
        if self._settings["key"] == wiring.KEY_ON:
            return _("Key on: the clutch may jump in, and the engine may be cranked. No hand near the belt.")
        return ""


def _reads(volts: float | None) -> str:
    """A voltage as a meter shows it; a point that hangs free shows nothing."""
    return "0.00 V" if volts is None or abs(volts) < 0.005 else f"{volts:.2f} V"


def _part(name: str, x: float, y: float, opened: bool) -> str:
    """A part on the wire with its symbol, and its name below."""
    wide = 170.0 if name == "controller output" else WIDE
    drawn = svg.box(x - wide / 2, y - HIGH / 2, wide, HIGH, rx=5, fill=style.PAPER, stroke=style.INK)
    if name in (RELAY_COIL, CLUTCH_COIL):
        turns = "".join(f" a5 6 0 0 1 10 0 a2 3 0 0 1 {back} 0" for back in ("-3", "-3", "-3", "0"))
        drawn += svg.element(
            "path", d=f"M{svg.number(x - 16)} {svg.number(y + 4)}{turns}", fill="none", stroke=style.INK
        )
    elif name in CONTACTS:
        arm = (x + 18, y - 13) if opened else (x + 20, y)
        drawn += svg.line(x - 20, y, *arm, stroke=style.INK, stroke_width=style.LINE)
        drawn += "".join(svg.circle(x + side, y, 3.5, fill=style.INK) for side in (-20, 20))
    elif name in FUSES:
        drawn += svg.box(x - 18, y - 7, 36, 14, fill="none", stroke=style.INK)
        drawn += svg.line(x - 18, y, x + 18, y, stroke=style.INK)
    else:
        drawn += svg.line(x - wide / 2, y, x + wide / 2, y, stroke=style.INK, stroke_width=style.LINE)
    for row, line in enumerate(svg.wrap(name, 96.0, style.TICK)):
        drawn += svg.text(x, y + HIGH / 2 + 17 + 16 * row, line, size=style.TICK, anchor="middle", halo=True)
    return drawn
