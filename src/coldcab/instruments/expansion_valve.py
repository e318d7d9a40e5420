"""The expansion valve of a running machine: bulb or charged head can fail, and glass and superheat answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from coldcab.faults import Fault
from coldcab.instruments.controls import Choice, Control, Slider
from coldcab.instruments.drawing import glass, style, svg, valve_section
from coldcab.instruments.drawing.rows import ROW
from coldcab.instruments.machine_view import MACHINES, STATUS, MachineView, pick
from coldcab.instruments.valve_forces import bar_words, pin_words
from coldcab.machine import Effects
from coldcab.machine.effects import gather
from coldcab.machine.readings import FLOOD_BACK, OFF
from coldcab.machine.valve import BULB_MOUNTINGS
from coldcab.machine.valve_forces import ValveForces, at_valve
from coldcab.words import _

SHEET_TOP = valve_section.HEIGHT + 54
COLUMNS = (20.0, 330.0, 590.0)
GLASS = (84.0, 244.0, 32.0)  # x, y, radius
HEAD_LOST = "valve head charge lost"  # what a block valve has instead of a bulb that comes loose
CLEAR = 0.03  # vapor share of the volume below which the liquid before the valve counts as whole

# Name in the readings, words, kind.
LINES = (
    ("superheat", _("superheat at the coil, as it is"), "superheat"),
    ("superheat_measured", _("gauge at compressor, clip at coil"), "superheat"),
    ("superheat_at_compressor", _("gauge and clip at the compressor"), "superheat"),
    ("subcooling_measured", _("subcooling, by gauge and clip"), "superheat"),
    ("low_gauge", "low side", "gauge"),
    ("high_gauge", "high side", "gauge"),
    ("suction_drop", _("pressure lost in the suction hose"), "pressure loss"),
    ("opening", "valve open", "share"),
    ("inlet_void", _("vapor at the valve, by volume"), "share"),
    ("vent", _("air at the vents"), "temperature"),
    ("capacity", "cooling capacity", "power"),
)


def _percent(name: str, label: str, folded: bool = False) -> Slider:
    return Slider(name, label, "fraction", 0.0, 100.0, 2.0, 0.0, "%", "%", 2.0, 0, folded)


class ValveAtWork(MachineView):
    """The valve of a machine of the fleet at work, with its bulb, its spring and the glass before it.

    Settings: `machine`, `bulb` (how it is mounted; a block valve has none), `head` (charge that the head of a block
    valve has lost, as a severity in %), `spring` (psi added by the stem), `charge` (% of the right one, or a weight),
    `kink` (liquid line closed behind the glass, %), `screen` (debris at the valve's inlet, as a severity in %), `hose`
    (suction hose closed, %), `ambient` (F), `blower` (%), `engine_speed` (rpm); in the drawer `refrigerant`,
    `humidity`, `altitude`, `doors`.
    Readings as `MachineView`, and `at_valve` (`coldcab.machine.valve_forces.AtValve`), `superheat_at_compressor`
    (gauge and clip both there, K), `suction_drop` (Pa), `inlet_void` (vapor share before the valve).
    """

    title = _("The valve at work")
    height = int(SHEET_TOP + len(LINES) * ROW + 2)
    word_lines = 5
    words_above = True
    face_settings = ("machine",)
    stamp = (640.0, 250.0)
    drawer = _("Refrigerant, humidity, altitude, doors")
    controls = (
        *pick("machine"),
        Choice("bulb", "bulb", tuple(BULB_MOUNTINGS), next(iter(BULB_MOUNTINGS))),
        Slider("spring", "stem turned in", "pressure difference", -4.0, 15.0, 0.2, 0.0, "psi", "kPa", 1.0),
        _percent("head", "charge of the head lost"),
        *pick("charge"),
        _percent("kink", "liquid line closed"),
        _percent("screen", "debris at the inlet"),
        _percent("hose", "suction hose closed"),
        *pick("ambient", "blower", "engine_speed"),
        replace(pick("refrigerant")[0], folded=True),
        *pick("humidity", "altitude", "doors"),
    )

    def in_use(self, control: Control) -> bool:
        fits = {"bulb": not self.block, "head": self.block}
        return fits.get(control.name, True) and super().in_use(control)

    @property
    def faults(self) -> tuple[Fault, ...]:
        kinked = Fault("liquid line kinked", self.settings["kink"])
        debris = Fault("valve screen plugged", self.settings["screen"])
        head = (Fault(HEAD_LOST, self.settings["head"]),) if self.block else ()
        return kinked, debris, Fault("suction hose collapsed", self.settings["hose"]), *head

    @property
    def effects(self) -> Effects:
        loose = 0.0 if self.block else BULB_MOUNTINGS[self.settings["bulb"]]
        return gather(self.faults).changed(bulb_contact_loss=loose, valve_spring=self.settings["spring"])

    def calculate(self) -> dict[str, Any]:
        readings = super().calculate()
        if readings["status"] == OFF:
            raise ValueError(
                _("the compressor stands still, because {reason}; move a lever back.").format(reason=readings["reason"])
            )
        machine, conditions = MACHINES[self.settings["machine"]], self.conditions
        found = at_valve(machine, conditions, self._run, self.effects)
        healthy = readings["healthy"]
        if healthy and healthy["status"] != OFF:
            healthy = {**healthy, **_more(healthy, at_valve(machine, conditions, self._healthy))}
        else:
            healthy = {}
        return {**readings, **_more(readings, found), "at_valve": found, "healthy": healthy}

    def face(self) -> str:
        drawn = glass.ANIMATION + svg.text(style.MARGIN, 28, _("Expansion valve of a running machine"), bold=True)
        drawn += valve_section.still(self.block)
        drawn += svg.text(20, 296, "glass, behind", size=style.TICK) + svg.text(20, 312, "the drier", size=style.TICK)
        heads = ("now", "healthy, same day")
        return drawn + "".join(
            svg.text(x, SHEET_TOP - ROW, head, size=style.TICK, color=style.SOFT)
            for x, head in zip(COLUMNS[1:], heads, strict=True)
        )

    def moving(self, readings: Mapping[str, Any]) -> str:
        valve, found = MACHINES[self.settings["machine"]].valve, readings["at_valve"]
        forces = found.forces
        drawn = valve_section.moving(forces, valve, self.settings["bulb"], found.inlet_void)
        drawn += valve_section.bars(forces, valve.bulb_fluid, self._bars(forces, readings))
        drawn += glass.look(*GLASS, readings["glass"], readings["glass_void"])
        if readings["status"] == FLOOD_BACK:
            start, apart = (34, 20) if self.block else (600, 34)
            drops = "".join(svg.circle(start + apart * n, 177 + 4 * (n % 3 - 1), 4) for n in range(7))
            drawn += svg.group(drops, fill=style.LIQUID, stroke=style.INK)
        return drawn + self.compared(readings, LINES, top=SHEET_TOP, columns=COLUMNS)

    def _bars(self, forces: ValveForces, readings: Mapping[str, Any]) -> tuple[str, str, str, str]:
        return bar_words(forces, readings["atmosphere"], self.system, "head" if self.block else "bulb")

    def summary(self, readings: Mapping[str, Any]) -> str:
        status, forces = readings["status"], readings["at_valve"].forces
        said = [f"{status.capitalize()}. {STATUS[status]}" if status == FLOOD_BACK else f"{status.capitalize()}."]
        feels = (
            _("The head feels {bulb_temperature} inside the valve. {opening} Superheat at the coil is {superheat}.")
            if self.block
            else _("The bulb feels {bulb_temperature}. {opening} Superheat at the coil is {superheat}.")
        )
        said.append(
            feels.format(
                bulb_temperature=self.words(forces.bulb_temperature, "temperature"),
                opening=pin_words(forces.opening),
                superheat=self.words(max(readings["superheat"], 0.0), "temperature difference"),
            )
        )
        look, before = readings["glass"], readings["inlet_void"]
        if look == "clear" and before > CLEAR:
            said.append(
                _(
                    "The glass is clear, yet {before:.0f} % of the volume that reaches the valve is vapor: "
                    "the glass shows its own place only."
                ).format(before=100 * before)
            )
        else:
            said.append(_("The glass: {short}.").format(short=glass.SHORT[look]))
        return " ".join(said)

    def details(self, readings: Mapping[str, Any]) -> str:
        healthy = readings["healthy"]
        rows = ", ".join(
            f"{words} {self.value_words(readings[name], kind)}"
            + (f" (healthy: {self.value_words(healthy[name], kind)})" if healthy else "")
            for name, words, kind in LINES
        )
        forces = ", ".join(self._bars(readings["at_valve"].forces, readings))
        return _("{summary} Forces: {forces}. Readings: {rows}.").format(
            summary=self.summary(readings), forces=forces, rows=rows
        )


def _more(readings: Mapping[str, Any], found: Any) -> dict[str, float]:
    """What the close-up adds to the readings."""
    return {
        "superheat_at_compressor": readings["suction_line_at_compressor"] - readings["low_saturation_temperature"],
        "suction_drop": found.suction_drop,
        "inlet_void": found.inlet_void,
    }
