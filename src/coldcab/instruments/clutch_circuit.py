"""The clutch's circuit: a battery, switches, connections that can go bad, a coil, and a voltmeter.

Voltages come from `service.clutch`, the switches from `service.controls` at the pressures of a machine that runs.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab.faults import Fault
from coldcab.instruments.controls import Choice, Control, Slider, Switch, gauge_words
from coldcab.instruments.drawing import style, svg
from coldcab.instruments.machine_view import MACHINES, NO_FAULT, MachineView, pick
from coldcab.machine import Effects
from coldcab.machine.effects import LIMITS, gather
from coldcab.machine.readings import OFF, RELIEF
from coldcab.service import controls as switches
from coldcab.service.clutch import (
    LINKS,
    MOST_IN_ALL,
    Circuit,
    CircuitState,
    fuse_answer,
    shaft_torque,
    torque_margin,
)
from coldcab.service.controls import CYCLES, FIN_SWITCH, HIGH_SWITCH, LOW_SWITCH, OPEN, SwitchState
from coldcab.words import _

CIRCUIT = Circuit()
SECRETS = ("bad", "resistance", "second_bad", "second_resistance", "open_lead", "shorted", "every_voltage")
FUSE = 7.5  # A [invented]
NAMES = tuple(link.name for link in LINKS)
NONE, COIL, BATTERY, FEED_SIDE, GROUND_SIDE = "none", "coil", "battery", "whole feed side", "whole ground side"
COMMON_FAULTS = (
    NO_FAULT, "charge low", "charge high", "condenser blocked", "condenser fan slow", _("air in the circuit"),
    "low evaporator air", _("high-pressure switch opens early"), _("low-pressure switch opens early"),
    "thermostat opens early",
)  # fmt: skip
BRIDGES: Mapping[str, Mapping[str, float]] = {
    LOW_SWITCH: {"low_switch": LIMITS["low_switch"][0]},
    HIGH_SWITCH: {"high_switch": LIMITS["high_switch"][1]},
    FIN_SWITCH: {"thermostat": LIMITS["thermostat"][0]},
}
"""What a wire across a switch does: its set point goes as far away as the machine knows."""

# Middle of each part on the sheet: the feed runs right along the upper row and back along the second, to the coil.
COLUMNS, UPPER, LOWER, BOTTOM = (216.0, 384.0, 552.0, 720.0), 92.0, 222.0, 340.0
PLACES = dict(
    zip(
        (*NAMES[:-1], COIL, NAMES[-1]),
        (*((x, UPPER) for x in COLUMNS), *((x, LOWER) for x in reversed(COLUMNS)), (COLUMNS[0], BOTTOM)),
        strict=True,
    )
)
WIDE, HIGH = 142.0, 58.0
BATTERY_X = 60.0
TABLE_TOP = 440.0


class ClutchCircuit(MachineView):
    """A clutch that is blamed: its circuit under load, and the machine whose pressures move the switches.

    Parameters
    ----------
    hidden : True keeps to itself which parts are bad, so that the meter must find them.

    Settings: `machine`, `fault`, `severity`, `charge` (%), `ambient` (F); `battery` (V at the posts, engine running),
    `coil_temperature` (F), `gap` (in, between plate and pulley); `bad` (a part with a resistance that has grown) and
    `resistance` (ohm); `second_bad`, `second_resistance`; `open_lead` (a part that is open); `shorted` (% of turns);
    `bridge` (a switch with a wire across it); `meter` (where the voltmeter's leads are); `every_voltage` (True: a meter
    everywhere). Readings as `MachineView`, and `circuit` (`CircuitState`), `switches` (`SwitchState` each), `engaged`,
    `margin` (of the torque, below 1 it slips), `meter` (V).
    """

    title = "The clutch circuit"
    height = 630
    word_lines = 3
    words_above = True
    stamp = (420.0, 300.0)
    drawer = _("Coil, gap and a second bad part")
    controls = (
        Choice("meter", "voltmeter across", (BATTERY, COIL, FEED_SIDE, GROUND_SIDE, *NAMES), BATTERY),
        Choice("bad", "bad connection at", (NONE, *NAMES), NONE),
        Slider("resistance", "its added resistance", "resistance", 0.0, 6.0, 0.05, 1.0, "ohm", "ohm", 0.05, 2),
        Choice("fault", _("fault of the machine"), COMMON_FAULTS, NO_FAULT),
        *pick("severity", "charge", "ambient"),
        Slider("battery", "battery voltage", "voltage", 9.0, 15.0, 0.1, 13.8, "V", "V", 0.1, 1),
        Choice("bridge", "wire across a switch", (NONE, *BRIDGES), NONE),
        Switch("every_voltage", "show every voltage", False),
        Slider("coil_temperature", "coil temperature", "temperature", 0.0, 300.0, 5.0, 140.0, "F", "C", 2.0,
               folded=True),
        Slider("gap", "air gap", "length", 0.01, 0.08, 0.001, 0.02, "in", "mm", 0.02, 3, folded=True),
        Choice("second_bad", "second bad connection", (NONE, *NAMES), NONE, folded=True),
        Slider("second_resistance", "its added resistance", "resistance", 0.0, 6.0, 0.05, 1.0, "ohm", "ohm", 0.05, 2,
               folded=True),
        Choice("open_lead", _("part that is open"), (NONE, *NAMES), NONE, folded=True),
        Slider("shorted", _("turns of the coil shorted"), "fraction", 0.0, 80.0, 1.0, 0.0, "%", "%", 1.0, 0,
               folded=True),
        *pick("machine"),
    )  # fmt: skip

    def __init__(self, *, hidden: bool = False, **settings: Any) -> None:
        self._hidden = hidden
        super().__init__(**settings)

    def in_use(self, control: Control) -> bool:
        if self._hidden and control.name in SECRETS:
            return False
        levers = {"resistance": "bad", "second_resistance": "second_bad"}
        if control.name in levers:
            return self._settings[levers[control.name]] != NONE
        return super().in_use(control)

    @property
    def faults(self) -> tuple[Fault, ...]:
        name = self.setting("fault")
        return () if name == NO_FAULT else (Fault(name, self.setting("severity")),)

    @property
    def effects(self) -> Effects:
        effects = gather(self.faults)
        if self._settings["bridge"] != NONE:
            effects = effects.changed(**BRIDGES[self._settings["bridge"]])
        return effects if self._engages else effects.changed(clutch=0.0)

    @property
    def _engages(self) -> bool:
        """Whether the circuit draws the plate in when all switches of the machine are closed."""
        return bool(CIRCUIT.engages(self._under_load(()), self._settings["gap"]))

    def _under_load(self, opened: tuple[str, ...]) -> CircuitState:
        chosen, added = self._settings, {}
        for name, lever in (("bad", "resistance"), ("second_bad", "second_resistance")):
            if chosen[name] != NONE:
                added[chosen[name]] = added.get(chosen[name], 0.0) + chosen[lever]
        lead = chosen["open_lead"]
        return CIRCUIT.state(
            source=chosen["battery"],
            coil_temperature=chosen["coil_temperature"],
            added=added,
            opened=opened if lead == NONE else (lead, *opened),
            coil_share=1.0 - chosen["shorted"],
        )

    def calculate(self) -> dict[str, Any]:
        found = super().calculate()
        run = self._run
        states = switches.switch_states(MACHINES[self.setting("machine")], run, faults=self.effects)
        bridge = self._settings["bridge"]
        opened = tuple(one.name for one in states if one.state == OPEN and one.name != bridge)
        circuit = self._under_load(opened)
        engaged = bool(CIRCUIT.engages(circuit, self._settings["gap"])) and run.status != OFF
        margin = float("nan")
        if engaged and run.power > 0.0:
            pull = CIRCUIT.coil.pull(circuit.pulling_current, 0.0)
            margin = torque_margin(pull, shaft_torque(run.power, run.pulley_speed))
        return {
            **found,
            "circuit": circuit,
            "switches": states,
            "engaged": engaged,
            "margin": margin,
            "meter": self._metered(circuit),
            "fuse": fuse_answer(circuit.current, FUSE),
        }

    def _metered(self, circuit: CircuitState) -> float:
        place = self._settings["meter"]
        whole = {
            BATTERY: circuit.source,
            COIL: circuit.coil_voltage,
            FEED_SIDE: circuit.feed_drop,
            GROUND_SIDE: circuit.ground_drop,
        }
        if place in whole:
            return float(whole[place])
        return float(next(one.drop for one in circuit.drops if one.link.name == place))

    # Drawing -------------------------------------------------------------------------------------------------

    def face(self) -> str:
        left, right = COLUMNS[0], COLUMNS[-1]
        turn = right + WIDE / 2 + 22
        wire = [
            (BATTERY_X, 180), (BATTERY_X, UPPER), (turn, UPPER), (turn, LOWER), (left - WIDE / 2 - 22, LOWER),
            (left - WIDE / 2 - 22, BOTTOM - 52), (left, BOTTOM - 52), (left, BOTTOM), (BATTERY_X, BOTTOM),
            (BATTERY_X, 252),
        ]  # fmt: skip
        drawn = svg.path(wire, stroke=style.INK, stroke_width=style.LINE, stroke_linejoin="round")
        # The battery: two cells' plates, the longer one positive.
        for y, half, thick in ((186, 26, 3), (202, 15, 7), (230, 26, 3), (246, 15, 7)):
            drawn += svg.line(BATTERY_X - half, y, BATTERY_X + half, y, stroke=style.INK, stroke_width=thick)
        drawn += svg.line(BATTERY_X, 202, BATTERY_X, 230, stroke=style.INK, stroke_dasharray="3 4")
        drawn += svg.text(BATTERY_X + 32, 192, "+", size=style.STRONG, bold=True)
        drawn += svg.text(BATTERY_X + 32, 254, "−", size=style.STRONG, bold=True)
        drawn += svg.text(20, BOTTOM + 22, "battery", size=style.TICK)
        drawn += svg.line(20, TABLE_TOP - 36, style.WIDTH - 20, TABLE_TOP - 36, stroke=style.RULE)
        heads = ((20.0, "switch"), (190.0, "feels now"), (330.0, "opens"), (505.0, "closes again"), (655.0, "stands"))
        return drawn + "".join(
            svg.text(x, TABLE_TOP - 14, words, size=style.TICK, color=style.SOFT) for x, words in heads
        )

    def moving(self, readings: Mapping[str, Any]) -> str:
        circuit, states = readings["circuit"], {one.name: one for one in readings["switches"]}
        drops = {one.link.name: float(one.drop) for one in circuit.drops} | {COIL: float(circuit.coil_voltage)}
        drawn = "".join(self._part(name, drops[name], states.get(name)) for name in PLACES)
        return drawn + self._meter(readings) + self._clutch(readings) + self._table(readings)

    def standing(self) -> str:
        return ""

    def _part(self, name: str, drop: float, state: SwitchState | None) -> str:
        x, y = PLACES[name]
        chosen = self._settings
        dead = (name == chosen["open_lead"] and not self._hidden) or (
            state and state.state == OPEN and chosen["bridge"] != name
        )
        drawn = svg.box(
            x - WIDE / 2, y - HIGH / 2, WIDE, HIGH, rx=6, fill=style.PAPER, stroke=style.INK,
            stroke_width=style.LINE if name == COIL else style.THIN,
        )  # fmt: skip
        lines = _two_lines(name)
        top = y - 10 if name in CONTACTS or name == COIL else y + 5 - 8 * (len(lines) - 1)
        for row, line in enumerate(lines):
            drawn += svg.text(x, top + 17 * row, line, size=style.TICK, anchor="middle", bold=name == COIL)
        drawn += _sign(name, x, y + 17, dead)
        words, dark = "", False
        if dead:
            words, dark = "OPEN", True
        elif state and state.state == CYCLES:
            words, dark = "opens and closes", True
        elif state and chosen["bridge"] == name:
            words, dark = "wire across it", True
        if words:
            wide = svg.text_width(words, style.TICK) + 16
            drawn += svg.box(x - wide / 2, y - HIGH / 2 - 22, wide, 20, rx=10, fill=style.INK if dark else style.PAPER)
            drawn += svg.text(x, y - HIGH / 2 - 7, words, size=style.TICK, anchor="middle", color=style.PAPER)
        if chosen["every_voltage"]:
            drawn += svg.text(x, y + HIGH / 2 + 19, f"{drop:.2f} V", anchor="middle", bold=True)
        return drawn

    def _ends(self, place: str) -> tuple[tuple[float, float], tuple[float, float]]:
        """Where the meter's leads touch."""
        plus, minus = (BATTERY_X, UPPER + 30), (BATTERY_X, BOTTOM - 30)
        before, after = self._sides(COIL)
        if place == BATTERY:
            return plus, minus
        if place == FEED_SIDE:
            return plus, before
        return (after, minus) if place == GROUND_SIDE else self._sides(place)

    @staticmethod
    def _sides(name: str) -> tuple[tuple[float, float], tuple[float, float]]:
        x, y = PLACES[name]
        right, left = (x + WIDE / 2 + 10, y), (x - WIDE / 2 - 10, y)
        if name == NAMES[-1]:
            return (x, y - HIGH / 2 - 12), left
        return (left, right) if y == UPPER else (right, left)

    def _meter(self, readings: Mapping[str, Any]) -> str:
        x, y = 400.0, 340.0
        drawn = ""
        first, second = self._ends(self._settings["meter"])
        for (px, py), sign, color in ((first, "+", style.HIGH), (second, "−", style.INK)):
            drawn += svg.circle(px, py, 9, fill=style.PAPER, stroke=color, stroke_width=3)
            drawn += svg.text(px, py + 5, sign, size=style.TICK, anchor="middle", bold=True, color=color)
        drawn += svg.box(x - 98, y - 48, 196, 84, rx=6, fill=style.PAPER, stroke=style.INK, stroke_width=style.LINE)
        drawn += svg.text(x, y - 26, "voltmeter across", size=style.TICK, anchor="middle", color=style.SOFT)
        drawn += svg.text(x, y - 7, self._settings["meter"], size=style.TICK, anchor="middle")
        return drawn + svg.text(x, y + 25, _volts(readings["meter"]), size=style.NUMBER, anchor="middle", bold=True)

    def _clutch(self, readings: Mapping[str, Any]) -> str:
        circuit, x, y = readings["circuit"], 532.0, 300.0
        lines = (
            ("current", f"{circuit.current:.2f} A"),
            (f"{FUSE:g} A fuse", readings["fuse"]),
            (_("heat in the coil"), f"{circuit.coil_heat:.0f} W"),
            ("plate", self._plate(readings)),
        )
        drawn = ""
        for row, (words, value) in enumerate(lines):
            drawn += svg.text(x, y + 23 * row, words, size=style.TICK, color=style.SOFT)
            drawn += svg.text(x + 124, y + 23 * row, value, size=style.TICK, bold=True)
        return drawn

    @staticmethod
    def _plate(readings: Mapping[str, Any]) -> str:
        if not readings["engaged"]:
            return "not engaged"
        return "slips" if readings["margin"] < 1.0 else "engaged"

    def _table(self, readings: Mapping[str, Any]) -> str:
        drawn = ""
        for row, one in enumerate(readings["switches"]):
            y = TABLE_TOP + 14 + 25 * row
            sign = "above" if one.opens_above else "below"
            opens, closes = (self._felt(one, value) for value in (one.opens_at, one.closes_at))
            stands = "wire across it" if one.name == self._settings["bridge"] else one.state
            if stands == "wire across it":
                opens = closes = "never"
                sign = ""
            words = (one.name, self._felt(one, one.value), f"{sign} {opens}".strip(), f"at {closes}", stands)
            for x, part in zip((20.0, 190.0, 330.0, 505.0, 655.0), words, strict=True):
                drawn += svg.text(x, y, part.replace("at never", "never"), size=style.TICK, bold=x > 600)
            drawn += svg.line(20, y + 7, style.WIDTH - 20, y + 7, stroke=style.RULE)
        y = TABLE_TOP + 110
        pressures = ", ".join(f"{side} side {gauge_words(readings[f'{side}_gauge'], self.system)}" for side in LOW_HIGH)
        drawn += svg.text(20, y, f"Machine: {readings['status']}; {pressures}.", bold=True)
        return drawn + svg.paragraph(20, y + 28, self._advice(readings), style.WIDTH - 40, size=style.TICK)

    def _felt(self, one: SwitchState, value: float) -> str:
        if value != value:
            return "warm enough"
        if one.name == FIN_SWITCH:
            return self.words(value, "temperature").split(" (")[0]
        return gauge_words(value, self.system)

    # Saying --------------------------------------------------------------------------------------------------

    def _advice(self, readings: Mapping[str, Any]) -> str:
        """What stands still and why, without naming the bad connection: the meter finds that."""
        bridge = self._settings["bridge"]
        if bridge != NONE:
            return _(
                "A wire across the {bridge} takes away what protects {protects}. It mends nothing: use "
                "it for seconds, for a test, with eyes on the gauges, as the manual allows."
            ).format(bridge=bridge, protects=switches.PROTECTS[bridge])
        for one in readings["switches"]:
            if one.state in (OPEN, CYCLES):
                return _("The {name} protects {protects}. Find out what drove it past its set point.").format(
                    name=one.name, protects=one.protects
                )
        circuit = readings["circuit"]
        lost = float(circuit.feed_drop + circuit.ground_drop)
        if circuit.current > 0.0 and lost > MOST_IN_ALL:
            return _(
                "{lost:.1f} V are lost before and behind the coil. Follow the meter, feed side and ground side."
            ).format(lost=lost)
        if circuit.current == 0.0:
            return _(
                "No current: the circuit is open somewhere. The whole battery voltage stands across the open part."
            )
        if not readings["engaged"]:
            return _("Current flows, but too little to draw the plate across this gap.")
        return _("All switches are closed and little voltage is lost on the way.")

    def summary(self, readings: Mapping[str, Any]) -> str:
        circuit, status = readings["circuit"], readings["status"]
        meter = _("The voltmeter across {meter} shows {meter_2}.").format(
            meter=_with_the(self._settings["meter"]), meter_2=_volts(readings["meter"])
        )
        plate = {
            "engaged": _("The plate is drawn in and holds."),
            "slips": _("The plate is drawn in but slips: too little pull for this load, and the heat will ruin it."),
            "not engaged": _("The clutch is not engaged."),
        }[self._plate(readings)]
        said = _("{meter} {current:.2f} A flow through the coil. {plate} Machine: {status}.").format(
            meter=meter, current=circuit.current, plate=plate, status=status
        )
        if status == RELIEF:
            said += _(" The relief valve has blown off: on a real machine, stop and keep away.")
        return said

    def details(self, readings: Mapping[str, Any]) -> str:
        said = [self.summary(readings)]
        if self._settings["every_voltage"]:
            drops = [f"{one.link.name} {float(one.drop):.2f} V" for one in readings["circuit"].drops]
            said.append(
                _("Voltages: {drops}, coil {coil_voltage:.2f} V.").format(
                    drops=", ".join(drops), coil_voltage=readings["circuit"].coil_voltage
                )
            )
        for one in readings["switches"]:
            said.append(
                _("{name}: {one}, opens at {one_2}, closes again at {one_3}, {state}.").format(
                    name=one.name.capitalize(),
                    one=self._felt(one, one.value),
                    one_2=self._felt(one, one.opens_at),
                    one_3=self._felt(one, one.closes_at),
                    state=one.state,
                )
            )
        for side in LOW_HIGH:
            said.append(f"{side.capitalize()} side {gauge_words(readings[f'{side}_gauge'], self.system)}.")
        said.append(
            _("A {fuse:g} A fuse {fuse_2}. Heat in the coil {coil_heat:.0f} W.").format(
                fuse=FUSE, fuse_2=readings["fuse"], coil_heat=readings["circuit"].coil_heat
            )
        )
        said.append(self._advice(readings))
        return " ".join(said)


LOW_HIGH = ("low", "high")
CONTACTS = ("control switch", FIN_SWITCH, LOW_SWITCH, HIGH_SWITCH, "relay contacts")


def _sign(name: str, x: float, y: float, dead: bool) -> str:
    """A pair of contacts, open or closed, or the coil's turns, below the name."""
    if name == COIL:
        turns = "".join(f" a5 6 0 0 1 10 0 a2 3 0 0 1 {back} 0" for back in ("-3", "-3", "-3", "0"))
        return svg.element("path", d=f"M{svg.number(x - 16)} {svg.number(y)}{turns}", fill="none", stroke=style.INK)
    if name not in CONTACTS:
        return ""
    arm = (x + 18, y - 12) if dead else (x + 22, y)
    drawn = svg.line(x - 22, y, *arm, stroke=style.INK, stroke_width=style.LINE)
    return drawn + "".join(svg.circle(x + side, y, 3.5, fill=style.INK) for side in (-22, 22))


def _volts(value: float) -> str:
    return f"{value:.2f} V"


def _with_the(place: str) -> str:
    return place if place == NAMES[-1] else f"the {place}"


def _two_lines(name: str) -> tuple[str, ...]:
    words = name.split()
    if len(words) == 1 or svg.text_width(name, style.TICK) < WIDE:
        return (name,)
    middle = -(-len(words) // 2)
    return " ".join(words[:middle]), " ".join(words[middle:])
