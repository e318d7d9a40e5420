"""The bench: one machine of the fleet, a lever for its faults, and every instrument on it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab import refrigerants
from coldcab.faults import QUANTITIES, catalogue, observe
from coldcab.instruments.controls import Choice, Switch, gauge_words
from coldcab.instruments.drawing import circuit, glass, style, svg, thermometers
from coldcab.instruments.drawing.dial import HEADS, manifold
from coldcab.instruments.drawing.rows import ROW, rows
from coldcab.instruments.hands_on import NO_BULB, NO_TEST, TESTS, can_be_done, outcome
from coldcab.instruments.machine_view import AVERAGED, CONTROLS, MACHINES, NO_VALUE, STATUS, MachineView
from coldcab.machine.readings import LOW_PRESSURE, OFF, RUNNING, THERMOSTAT, read
from coldcab.words import _

RADIUS = 132.0
SIDES = ("low", "high")
ALONE = {
    "low": _("Low side {gauge}; {refrigerant} saturated at {at}."),
    "high": _("High side {gauge}; {refrigerant} saturated at {at}."),
}
BESIDE_HEALTHY = {
    "low": _("Low side {gauge}, the healthy machine {healthy}; {refrigerant} saturated at {at}."),
    "high": _("High side {gauge}, the healthy machine {healthy}; {refrigerant} saturated at {at}."),
}
CIRCUIT_TOP = 372.0
THERMOMETERS_TOP = CIRCUIT_TOP + circuit.HEIGHT + 18
SHEET_TOP = THERMOMETERS_TOP + thermometers.HEIGHT + 44
COLUMNS = (20.0, 318.0, 580.0)

# Name in the readings, words, kind of unit, what counts as a change (SI).
WORKED_OUT = (
    ("superheat_measured", _("superheat, by gauge and clip"), "temperature difference"),
    ("superheat", _("superheat as it truly is"), "temperature difference"),
    ("subcooling_measured", _("subcooling, by gauge and clip"), "temperature difference"),
    ("subcooling", _("subcooling as it truly is"), "temperature difference"),
    ("clutch_duty", _("clutch engaged, share of time"), "share"),
    ("capacity", "cooling capacity", "power"),
    ("power", _("power at the belt"), "belt power"),
    ("condensate", _("water from the coil"), "water"),
    ("standing_pressure", _("both gauges after a night's rest"), "gauge"),
)
BY_HAND = Choice("by_hand", "try by hand", (NO_TEST, *TESTS), NO_TEST)
SHOP_INSTRUMENTS = Switch("shop_instruments", _("instruments as in a shop, not exact"), False, folded=True)
SCATTER_SEED = 1  # one set of instruments: their errors stay as they are while the machine is moved
BY_HAND_HEIGHT = 88
RESOLVED = {name: QUANTITIES[name].resolved for name, *__ in WORKED_OUT}


class Bench(MachineView):
    """One machine with its faults and all instruments; thin needles and open marks show the healthy machine.

    Settings: `machine` (name, or the shop's number), `refrigerant`, `fault` and `second_fault` (names of
    `coldcab.faults.catalogue`, or "none"), `severity` and `second_severity` (%), `charge` (% of the right charge, or a
    weight such as "2 lb 4 oz"), `engine_speed` (rpm), `ambient` (F), `blower` (%), `humidity` (%), `altitude` (ft),
    `doors`, `by_hand` (one of `hands_on.TESTS`, or "none"), `shop_instruments` (True: scattered and rounded as gauges
    and clips in a shop are). Readings as `MachineView`, and `by_hand`, the outcome of the test in words.
    """

    title = "The bench"
    height = int(SHEET_TOP + ROW * (len(WORKED_OUT) - 1) + 16) + BY_HAND_HEIGHT
    controls = (*CONTROLS.values(), BY_HAND, SHOP_INSTRUMENTS)
    word_lines = 4
    words_above = True
    two_steps = True
    stamp = (420.0, 140.0)
    face_settings = ("machine", "refrigerant")
    dials = manifold(152.0, 688.0, 142.0, RADIUS)

    def in_use(self, control: Any) -> bool:
        return self._given is None if control in (BY_HAND, SHOP_INSTRUMENTS) else super().in_use(control)

    def offered(self, control: Choice) -> tuple[str, ...]:
        if control is not BY_HAND:
            return super().offered(control)
        machine, chosen = MACHINES[self.setting("machine")], self._settings["by_hand"]
        return tuple(test for test in control.options if test in (NO_TEST, chosen) or can_be_done(TESTS[test], machine))

    def calculate(self) -> dict[str, Any]:
        found = super().calculate()
        if self._given is not None:
            return {**found, "by_hand": ""}
        if self._settings["shop_instruments"]:
            found |= vars(read(self._run, seed=SCATTER_SEED))
        return {**found, "by_hand": self._by_hand()}

    def _by_hand(self) -> str:
        """What the chosen test shows on this machine."""
        test = self._settings["by_hand"]
        if test == NO_TEST:
            return ""
        if not self.resting:
            return _("The outcome of the test follows.")
        if not can_be_done(TESTS[test], MACHINES[self.setting("machine")]):
            return NO_BULB
        seen = observe(
            MACHINES[self.setting("machine")],
            self.conditions,
            refrigerant=self.setting("refrigerant"),
            charge=self.setting("charge") * self.right_charge,
            faults=self.effects,
            noise=self._settings["shop_instruments"],
            seed=SCATTER_SEED,
        )
        return outcome(test, seen, self.system, self.words)

    def face(self) -> str:
        drawn = (
            self._gauge_faces()
            + _moved(circuit.still(self.block), CIRCUIT_TOP)
            + _moved(thermometers.still(self.system), THERMOMETERS_TOP)
        )
        for y in (CIRCUIT_TOP - 8, THERMOMETERS_TOP - 10, SHEET_TOP - 46):
            drawn += svg.line(20, y, style.WIDTH - 20, y, stroke=style.RULE)
        heads = ("worked out", "now", "healthy, same day")
        return drawn + "".join(
            svg.text(x, SHEET_TOP - ROW, head, size=style.TICK, color=style.SOFT)
            for x, head in zip(COLUMNS, heads, strict=False)
        )

    def _gauge_faces(self) -> str:
        """Both gauges without needles, and what stands below the glass between them."""
        us = self.system == "us"
        drawn = glass.ANIMATION
        for side, gauge in self.dials.items():
            drawn += gauge.face(self.system, (self._refrigerant(),))
            drawn += svg.text(gauge.x, gauge.y + 96, "psig" if us else "kPa", size=style.TICK, anchor="middle")
            if us and side == "low":
                drawn += svg.text(gauge.x, gauge.y + 114, "inHg vac", size=style.TICK, anchor="middle")
            drawn += svg.text(gauge.x - 132, 302, HEADS[side], bold=True, color=gauge.color, size=style.TICK)
        words, y = (_("no sight glass"), 120) if self.block else ("sight glass", 190)
        return drawn + svg.text(420, y, words, size=style.TICK, anchor="middle", color=style.SOFT)

    def standing(self) -> str:
        return _moved(circuit.standing(self.block), CIRCUIT_TOP)

    def moving(self, readings: Mapping[str, Any]) -> str:
        return (
            self._gauges(readings)
            + self._middle(readings)
            + _moved(circuit.moving(readings, self.system, self.block), CIRCUIT_TOP)
            + _moved(thermometers.moving(readings, self.system), THERMOMETERS_TOP)
            + self._sheet(readings)
            + self._hand(readings)
        )

    def summary(self, readings: Mapping[str, Any]) -> str:
        status = readings["status"]
        said = f"{status.capitalize()}. {STATUS[status]}"
        if status == OFF:
            said += f" Why: {readings['reason']}."
        if status in AVERAGED:
            said += _(" The readings are means over its cycle.")
        for fault in self.faults if self._given is None else ():
            if fault.severity:
                said += f" {fault.name.capitalize()}: {catalogue[fault.name].meaning}"
        return said

    def details(self, readings: Mapping[str, Any]) -> str:
        healthy = readings["healthy"]
        said = [self.summary(readings)]
        for side in SIDES:
            name = f"{side}_gauge"
            said.append(
                (BESIDE_HEALTHY if healthy else ALONE)[side].format(
                    gauge=gauge_words(readings[name], self.system),
                    healthy=gauge_words(healthy[name], self.system) if healthy else "",
                    refrigerant=readings["refrigerant"],
                    at=self.words(self._saturation(readings, side), "temperature"),
                )
            )
        if readings["status"] == LOW_PRESSURE:
            said.append(_("The low needle swings: {swing}.").format(swing=" to ".join(self._swing(readings))))
        said.append(self.glass_words(readings))
        said.append(circuit.states_in_words(readings))
        said.append(thermometers.in_words(readings, self.system))
        worked_out = ", ".join(f"{words} {self._in_words(readings, name, kind)}" for name, words, kind in WORKED_OUT)
        said.append(_("Worked out: {worked_out}.").format(worked_out=worked_out))
        said.append(_("In the circuit: {charge}.").format(charge=self.words(readings["charge"], "mass")))
        if readings["by_hand"]:
            said.append(readings["by_hand"])
        return " ".join(said)

    def _refrigerant(self) -> str:
        return self._given.refrigerant if self._given is not None else self.setting("refrigerant")

    def _gauges(self, readings: Mapping[str, Any]) -> str:
        healthy, name = readings["healthy"], self._refrigerant()
        sign, drawn = style.REFRIGERANT[name], ""
        for side in SIDES:
            dial, gauge = self.dials[side], readings[f"{side}_gauge"]
            drawn += dial.pointer(0, name, gauge + readings["atmosphere"])
            if side == "low" and readings["status"] == LOW_PRESSURE:
                first, last = (dial.angle(one) for one in readings["low_gauge_swing"])
                drawn += svg.arc(dial.x, dial.y, 0.93 * RADIUS, first, last, stroke=style.LOW, stroke_width=7)
            if healthy:
                drawn += dial.ghost(healthy[f"{side}_gauge"])
            drawn += dial.needle(gauge)
            left = dial.x - 132
            drawn += svg.text(left + 104, 303, gauge_words(gauge, self.system), bold=True)
            drawn += svg.marker(sign.shape, left + 6, 321, 5, fill=sign.color)
            saturated = self.words(self._saturation(readings, side), "temperature")
            drawn += svg.text(left + 20, 326, f"saturated at {saturated}", size=style.TICK)
            if healthy:
                ghost = f"healthy: {gauge_words(healthy[f'{side}_gauge'], self.system)}"
                drawn += svg.line(left, 344, left + 14, 344, stroke=style.SOFT, stroke_width=2, stroke_dasharray="6 4")
                drawn += svg.text(left + 20, 349, ghost, size=style.TICK, color=style.SOFT)
        return drawn

    def _glass(self, readings: Mapping[str, Any]) -> str:
        """The sight glass, where the machine has one, and how it runs, between the gauges."""
        look, status, drawn = readings["glass"], readings["status"], ""
        if not self.block:
            drawn += glass.look(420, 96, 62, look, readings["glass_void"])
            drawn += svg.text(420, 212, glass.SHORT[look], size=style.STRONG, anchor="middle", bold=True)
        wide = max(svg.text_width(status, style.BODY) + 24, 120)
        alarm = status not in (RUNNING, THERMOSTAT)
        drawn += svg.box(
            420 - wide / 2, 229, wide, 27, rx=13, fill=style.INK if alarm else style.PAPER, stroke=style.INK
        )
        return drawn + svg.text(420, 248, status, anchor="middle", bold=True, color=style.PAPER if alarm else style.INK)

    def _middle(self, readings: Mapping[str, Any]) -> str:
        """Sight glass, status, clutch and charge, between the gauges."""
        drawn = self._glass(readings)
        if self._given is None:
            share = readings["charge"] / self.right_charge
            words = f"charge {self.words(readings['charge'], 'mass')}"
            drawn += svg.text(420, 281, words, size=style.TICK, anchor="middle")
            drawn += svg.text(
                420,
                301,
                _("{share:.0f} % of the right one").format(share=100 * share),
                size=style.TICK,
                anchor="middle",
            )
        if readings["coil_frost"]:
            drawn += svg.text(420, 323, "fins below freezing", size=style.TICK, anchor="middle", bold=True)
        if readings["status"] == LOW_PRESSURE:
            words = "needle swings", " to ".join(self._swing(readings))
            drawn += "".join(
                svg.text(420, 331 + 18 * row, line, size=style.TICK, anchor="middle") for row, line in enumerate(words)
            )
        return drawn

    def _sheet(self, readings: Mapping[str, Any]) -> str:
        healthy, lines, arrows = readings["healthy"], [], ""
        for number, (name, words, kind) in enumerate(WORKED_OUT):
            now = self._in_words(readings, name, kind)
            lines.append((words, now, self._in_words(healthy, name, kind) if healthy else ""))
            change = readings[name] - healthy[name] if healthy and NO_VALUE not in lines[-1] else 0.0
            if abs(change) > RESOLVED[name]:
                way = "up" if change > 0 else "down"
                arrows += thermometers.arrow(COLUMNS[1] - 18, SHEET_TOP + ROW * number - 5, way)
        return rows(SHEET_TOP, COLUMNS, lines) + arrows

    def _hand(self, readings: Mapping[str, Any]) -> str:
        top = self.height - BY_HAND_HEIGHT
        drawn = svg.line(20, top, style.WIDTH - 20, top, stroke=style.RULE)
        said = readings["by_hand"] or _("Nothing is being tried by hand. Choose a test above.")
        return drawn + svg.paragraph(20, top + 24, said, style.WIDTH - 40)

    def _in_words(self, readings: Mapping[str, Any], name: str, kind: str) -> str:
        if readings["status"] == OFF and kind == "temperature difference":
            return NO_VALUE
        return self.value_words(readings[name], kind)

    def _saturation(self, readings: Mapping[str, Any], side: str) -> float:
        """Saturation temperature of what a gauge shows, at this altitude, K; NaN above the table."""
        try:
            absolute = readings[f"{side}_gauge"] + readings["atmosphere"]
            return float(refrigerants.saturation_temperature(self._refrigerant(), absolute))
        except ValueError:
            return float("nan")

    def _swing(self, readings: Mapping[str, Any]) -> tuple[str, str]:
        """What the low gauge swings between; a unit that both share is said once."""
        low, high = (gauge_words(one, self.system) for one in readings["low_gauge_swing"])
        (number, unit), shared = low.split(" ", 1), high.split(" ", 1)[1]
        return (number if unit == shared else low), high


def _moved(drawn: str, down: float) -> str:
    return svg.group(drawn, transform=f"translate(0 {svg.number(down)})")
