"""An expansion valve on its own: three forces, moved by hand."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from coldcab import refrigerants, units
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Control, Slider, altitude_slider, gauge_slider, gauge_words
from coldcab.instruments.drawing import style, svg, valve_section
from coldcab.instruments.drawing.rows import ROW, rows
from coldcab.machine import Effects
from coldcab.machine.fleet import FLEET
from coldcab.machine.valve import BULB_MOUNTINGS, ExpansionValve
from coldcab.machine.valve_forces import ValveForces, static_superheat, valve_forces
from coldcab.words import _

VALVE = FLEET[31].valve  # the combine's; its springs and sizes are invented
SPRING = units.convert(VALVE.spring, "pressure difference", "psi")
INTERNAL, EXTERNAL = "internal", "external"
BULB_VALVE, BLOCK_VALVE = VALVES = _("bulb valve"), _("block valve")
NOT_OF_A_BLOCK = ("bulb", "equalizer", "coil_drop")
"""Settings that a block valve has no use for: it has no bulb to strap, and feels both pressures behind the coil."""
SHUT, FULL = 0.03, 0.97  # openings taken as closed and as fully open
SHEET_TOP = valve_section.HEIGHT + 34
COLUMNS = (20.0, 318.0)


class ValveByHand(Instrument):
    """The three forces at an expansion valve, and where they leave its pin.

    Settings: `valve` (bulb valve or block valve), `line` (suction line at the bulb, or the gas in a block valve, F),
    `low_side` (gauge at the coil's outlet), `spring` (psi), `bulb` (how it is mounted), `bulb_charge` (what it is
    filled with), `lost` (% of that charge), `refrigerant`, `equalizer` (internal or external) and `coil_drop` (pressure
    lost in the coil, psi); in the drawer `surroundings` (F, the air around the bulb) and `altitude` (ft). A block valve
    leaves `bulb`, `equalizer` and `coil_drop` out of use.
    Readings (SI): `forces` (`coldcab.machine.valve_forces.ValveForces`), `superheat`, `saturation`,
    `static_superheat` (NaN where the bulb's charge cannot open the valve).
    """

    title = _("The three forces at the valve")
    height = int(SHEET_TOP + 6 * ROW)
    word_lines = 4
    stamp = (640.0, 250.0)
    drawer = _("Air around the bulb, altitude")
    face_settings = ("valve",)
    controls = (
        Choice("valve", "valve", VALVES, BULB_VALVE),
        Slider("line", _("line at the bulb"), "temperature", 0.0, 90.0, 0.5, 45.0, "F", "C", 0.2),
        gauge_slider("low_side", _("low side at the coil"), -14.0, 70.0, 30.0),
        Slider("spring", "spring", "pressure difference", 1.0, 20.0, 0.1, SPRING, "psi", "kPa", 1.0),
        Choice("bulb", "bulb", tuple(BULB_MOUNTINGS), next(iter(BULB_MOUNTINGS))),
        Choice("refrigerant", "refrigerant", ("R-134a", "R-12", "R-1234yf"), "R-134a"),
        Choice("bulb_charge", _("bulb or head filled with"), ("R-134a", "R-12"), "R-134a"),
        Slider("lost", _("of that charge lost"), "fraction", 0.0, 80.0, 2.0, 0.0, "%", "%", 2.0, 0),
        Choice("equalizer", "equalizer", (INTERNAL, EXTERNAL), INTERNAL),
        Slider("coil_drop", _("loss in the coil"), "pressure difference", 0.0, 15.0, 0.1, 1.0, "psi", "kPa", 1.0),
        Slider(
            "surroundings", _("air around the bulb"), "temperature", 32.0, 160.0, 1.0, 115.0, "F", "C", 0.5, 1, True
        ),
        replace(altitude_slider(), folded=True),
    )

    def in_use(self, control: Control) -> bool:
        return not (self.block and control.name in NOT_OF_A_BLOCK)

    @property
    def block(self) -> bool:
        """Whether a block valve is drawn."""
        return self.settings["valve"] == BLOCK_VALVE

    @property
    def _valve(self) -> ExpansionValve:
        given = self.settings
        if self.block:
            return replace(FLEET[58].valve, bulb_fluid=given["bulb_charge"])
        return replace(VALVE, bulb_fluid=given["bulb_charge"], external=given["equalizer"] == EXTERNAL)

    def calculate(self) -> dict[str, Any]:
        given = self.settings
        outlet = self.gauge_to_absolute(given["low_side"])
        valve = self._valve
        effects = Effects(
            bulb_contact_loss=0.0 if self.block else BULB_MOUNTINGS[given["bulb"]],
            valve_spring=given["spring"] - valve.spring,
            bulb_charge=1.0 - given["lost"],
        )
        saturation = float(refrigerants.saturation_temperature(given["refrigerant"], outlet))
        forces = valve_forces(
            valve,
            line_temperature=given["line"],
            surroundings=given["surroundings"],
            outlet_pressure=outlet,
            coil_drop=given["coil_drop"],
            effects=effects,
        )
        closes = outlet + given["spring"] + (0.0 if valve.equalized_at_outlet else given["coil_drop"])
        # What is left of the charge must balance all of that: as if the spring were so much stronger.
        needed = closes / (1.0 - given["lost"]) - outlet - valve.spring
        return {
            "forces": forces,
            "superheat": given["line"] - saturation,
            "saturation": saturation,
            "static_superheat": static_superheat(
                valve, given["refrigerant"], outlet, effects.changed(valve_spring=needed)
            ),
        }

    def face(self) -> str:
        return svg.text(style.MARGIN, 28, "Thermostatic expansion valve", bold=True) + valve_section.still(self.block)

    def moving(self, readings: Mapping[str, Any]) -> str:
        forces, valve = readings["forces"], self._valve
        drawn = valve_section.moving(forces, valve, self.settings["bulb"])
        drawn += valve_section.bars(
            forces, valve.bulb_fluid, bar_words(forces, self.atmosphere, self.system, self._opens)
        )
        return drawn + rows(SHEET_TOP, COLUMNS, self._lines(readings))

    def summary(self, readings: Mapping[str, Any]) -> str:
        forces, superheat = readings["forces"], readings["superheat"]
        if superheat < 0.0:
            return _(
                "The suction line is {superheat} colder than saturation: that cannot stay so, because "
                "liquid in the line would be at saturation. Check both readings."
            ).format(superheat=self.words(-superheat, "temperature difference"))
        bulb, below = (
            gauge_words(one - self.atmosphere, self.system)
            for one in (forces.bulb_pressure, forces.evaporator_pressure)
        )
        spring = self.words(forces.spring, "pressure difference")
        said = _("Superheat {superheat}. The {part} opens with {bulb}; the ").format(
            superheat=self.words(superheat, "temperature difference"), part=self._opens, bulb=bulb
        )
        said += _("evaporator with {below} and the spring with {spring} close. {opening}").format(
            below=below, spring=spring, opening=pin_words(forces.opening)
        )
        opens = readings["static_superheat"]
        if math.isnan(opens):
            return _("{said} Its charge cannot open the valve at this low side: it stays shut.").format(said=said)
        return _("{said} It begins to open at {opens} of superheat.").format(
            said=said, opens=self.words(opens, "temperature difference")
        )

    @property
    def _opens(self) -> str:
        """What pushes the pin open."""
        return "head" if self.block else "bulb"

    def details(self, readings: Mapping[str, Any]) -> str:
        rows = ", ".join(f"{label} {shown}" for label, shown in self._lines(readings))
        return f"{self.summary(readings)} {rows[:1].upper()}{rows[1:]}."

    def _lines(self, readings: Mapping[str, Any]) -> list[tuple[str, str]]:
        forces = readings["forces"]
        opens = readings["static_superheat"]
        return [
            (f"saturation of {self.settings['refrigerant']}", self.words(readings["saturation"], "temperature")),
            (_("superheat at the coil's outlet"), self.words(readings["superheat"], "temperature difference")),
            (_("the {part} feels").format(part=self._opens), self.words(forces.bulb_temperature, "temperature")),
            (
                _("the valve begins to open at"),
                _("no superheat: charge used up")
                if math.isnan(opens)
                else f"{self.words(opens, 'temperature difference')} of superheat",
            ),
            (_("left to lift the pin"), self.words(forces.lifting, "pressure difference")),
            ("valve open", f"{100 * min(max(forces.opening, 0.0), 1.0):.0f} %"),
        ]


def bar_words(forces: ValveForces, atmosphere: float, system: str, opens: str = "bulb") -> tuple[str, str, str, str]:
    """Bulb (or what ``opens`` instead), evaporator, spring and what is left, in words for the bars."""
    bulb, below = (gauge_words(one - atmosphere, system) for one in (forces.bulb_pressure, forces.evaporator_pressure))
    unit, decimals = ("psi", 1) if system == "us" else ("kPa", 0)
    spring, left = (
        f"{units.convert(one, 'pressure difference', unit):.{decimals}f} {unit}"
        for one in (forces.spring, forces.lifting)
    )
    left = (
        _("{left} left to open").format(left=left)
        if forces.lifting > 0
        else _("{left} short of opening").format(left=left.replace("-", ""))
    )
    return f"{opens} {bulb}", f"evaporator {below}", f"spring {spring}", left


def pin_words(opening: float) -> str:
    """Where the pin stands, in a sentence."""
    if opening < SHUT:
        return _("The valve is shut.")
    if opening > FULL:
        return _("The valve stands fully open.")
    return _("The valve stands {opening:.0f} % open.").format(opening=100 * opening)
