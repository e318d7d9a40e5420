"""Cases of lesson faults-1: a clutch circuit under load, a clutch that dropped out, a clutch that is blamed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from coldcab import units
from coldcab.machine.switches import Switches
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import FLEET, Unit
from coldcab.scenario.showing import shown
from coldcab.service.clutch import LINKS, Circuit, Coil, Link
from coldcab.words import _

PARTS = tuple(link.name for link in LINKS)
"""Parts of the clutch's circuit in their order; all but the last stand on the coil's feed side."""
SECOND_MACHINES = ("high", "low", "fins", "none")
THIRD_MACHINES = ("stiff", "debris", "shorted", "open", "switch", "voltage", "sound")
UNDER_LOAD = {"shorted": 13.1, "open": 13.8, "switch": 0.0}
"""V at the third machine's coil: shorted turns load the wires more, an open coil not at all, and no current passes an
open switch, which stands before the coil."""


@dataclass(frozen=True)
class ClutchCase:
    """What meter, gauges and hands find; numbers as the instruments show them."""

    unit: Unit
    cold_ohm: float  # of the coil at 68 F
    hot_fahrenheit: float
    battery: float  # V, engine running
    behind: tuple[float, ...]  # V against the battery's minus behind each part of the feed side, in their order
    coil_ground: float  # V there at the coil's ground terminal
    low_psig: float  # of the second machine, when its clutch dropped out
    high_psig: float
    fins_fahrenheit: float
    turns_freely: bool  # the third machine's hub
    debris: bool
    found_ohm: float  # infinite where the coil is open
    found_volts: float
    switch_open: bool
    faces_burnt: bool
    pulley_rpm: float
    hub_rpm: float
    belt_horsepower: float

    @property
    def atmosphere(self) -> float:
        """Air pressure around the gauges in Pa: no answer depends on it."""
        return units.STANDARD_ATMOSPHERE

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        found = [
            ("first machine", self.unit.name),
            ("coil at 68 F (20 C), lead off", _("{resistance:.1f} ohm").format(resistance=self.cold_ohm)),
            ("coil at work", shown(f"{self.hot_fahrenheit:g} F", "temperature")),
            ("battery plus, engine running, clutch on", f"{self.battery:.2f} V"),
        ]
        found += [(f"behind the {part}", f"{volts:.2f} V") for part, volts in zip(PARTS, self.behind, strict=False)]
        found += [("coil, ground terminal", f"{self.coil_ground:.2f} V"), ("battery minus", "0.00 V")]
        set_points = Switches()
        low, high = (
            units.convert(one, "pressure difference", "psi") for one in (set_points.low_cutout, set_points.high_cutout)
        )
        fins = units.convert(set_points.thermostat, "temperature", "F")
        found += [
            (
                "second machine, clutch just out",
                _("{pressure} low side").format(pressure=shown(f"{self.low_psig:g} psig", "pressure")),
            ),
            ("second machine, high side", shown(f"{self.high_psig:g} psig", "pressure")),
            ("second machine, fins", shown(f"{self.fins_fahrenheit:g} F", "temperature")),
            ("low-pressure switch opens below", shown(f"{low:.1f} psig", "pressure")),
            ("high-pressure switch opens above", shown(f"{high:.0f} psig", "pressure")),
            ("thermostat opens below", shown(f"{fins:.0f} F", "temperature")),
        ]
        resistance = (
            _("{found:.1f} ohm at 68 F; the manual says 3.6 ohm") if math.isfinite(self.found_ohm) else _("open")
        )
        switch = _("low-pressure switch open, machine empty") if self.switch_open else _("all closed")
        found += [
            (
                "third machine, hub by hand, key off",
                _("turns freely") if self.turns_freely else _("does not turn freely"),
            ),
            ("third machine, oil at the drier", _("metal flakes") if self.debris else _("clean")),
            ("third machine, coil with the lead off", resistance.format(found=self.found_ohm)),
            ("third machine, coil under load", _("{voltage:.1f} V of 13.8 V").format(voltage=self.found_volts)),
            ("third machine, switches", switch),
            ("third machine, clutch faces", _("blue and scored") if self.faces_burnt else _("sound")),
            (
                "fourth machine, pulley and hub",
                _("{pulley:,.0f} rpm and {hub:,.0f} rpm").format(pulley=self.pulley_rpm, hub=self.hub_rpm),
            ),
            ("fourth machine, power of the belt", f"{self.belt_horsepower:.1f} hp"),
        ]
        return found


def draw_case(term: str, learner: str, *, assignment: str = "faults-1") -> ClutchCase:
    """Return the numbers of one learner."""
    draw = Draw(assignment, term, learner)
    cold, hot = draw.number("coil", 3.2, 4.2, 0.1), draw.number("hot", 170, 250, 5)
    battery = draw.number("battery", 13.4, 14.2, 0.1)
    bad = draw.pick("bad part", PARTS)
    links = tuple(Link(link.name, draw.number(f"sound {link.name}", 0.006, 0.020, 0.002), link.side) for link in LINKS)
    state = Circuit(links, Coil(resistance=cold)).state(
        source=battery,
        coil_temperature=units.from_unit(hot, "temperature", "F"),
        added={bad: draw.number("grown", 0.7, 2.2, 0.1)},
    )
    low, high, fins = {
        "high": (draw.number("low", 40, 55, 1), draw.number("high", 380, 400, 5), draw.number("fins", 50, 60, 1)),
        "low": (draw.number("low", 2, 6, 1), draw.number("high", 70, 110, 5), draw.number("fins", 45, 60, 1)),
        "fins": (draw.number("low", 20, 26, 1), draw.number("high", 130, 165, 5), draw.number("fins", 29, 31, 1)),
        "none": (draw.number("low", 14, 20, 1), draw.number("high", 250, 330, 5), draw.number("fins", 40, 50, 1)),
    }[draw.pick("second machine", SECOND_MACHINES)]
    third = draw.pick("third machine", THIRD_MACHINES)
    ohm = {"shorted": draw.number("shorted coil", 2.0, 2.6, 0.1), "open": math.inf}
    volts = UNDER_LOAD | {"voltage": draw.number("weak coil", 8.5, 10.5, 0.1)}
    pulley = draw.number("pulley", 1800, 2800, 50)
    return ClutchCase(
        unit=draw.pick("unit", FLEET),
        cold_ohm=cold,
        hot_fahrenheit=hot,
        battery=battery,
        behind=tuple(round(float(one.after), 2) for one in state.drops[:-1]),
        coil_ground=round(float(state.drops[-1].before), 2),
        low_psig=low,
        high_psig=high,
        fins_fahrenheit=fins,
        turns_freely=third != "stiff",
        debris=third == "debris",
        found_ohm=ohm.get(third, 3.6),
        found_volts=volts.get(third, 13.4),
        switch_open=third == "switch",
        faces_burnt=third in ("stiff", "debris"),
        pulley_rpm=pulley,
        hub_rpm=round(pulley * (1.0 - draw.number("slip", 0.15, 0.35, 0.01)), -1),
        belt_horsepower=draw.number("power", 2.4, 4.0, 0.1),
    )
