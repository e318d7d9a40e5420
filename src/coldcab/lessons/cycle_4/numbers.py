"""Cases of lesson cycle-4: a running machine with its valve, and four things that happen to it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from coldcab import air, refrigerants, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import FLEET, Unit
from coldcab.scenario.showing import shown

OPENS, CLOSES, STAYS = "it opens", "it closes", "it stays"


@dataclass(frozen=True)
class Disturbance:
    """Something that happens to a running machine, and what its expansion valve does next.

    ``conditions`` and ``effects`` say the same to `coldcab.machine`, as names and values of `Conditions` and of
    `Effects`. They are how the answer is checked; the answer itself follows from the three forces.
    """

    words: str
    answer: str
    conditions: tuple[tuple[str, float], ...] = ()
    effects: tuple[tuple[str, float], ...] = ()


def _happens(words: str, answer: str, *, conditions: dict | None = None, effects: dict | None = None) -> Disturbance:
    return Disturbance(words, answer, tuple((conditions or {}).items()), tuple((effects or {}).items()))


DISTURBANCES = (
    _happens("the cab blower is turned from medium to high", OPENS, conditions={"blower": 1.0}),
    _happens("a door is opened and hot air reaches the coil", OPENS, conditions={"inlet_temperature": 306.15}),
    _happens("the bulb slips off the pipe into the warm bay", OPENS, effects={"bulb_contact_loss": 0.9}),
    _happens("the liquid line is kinked, so less reaches the coil", OPENS, effects={"liquid_line": 60.0}),
    _happens("the cab filter clogs", CLOSES, conditions={"blower": 0.5}),
    _happens("the bulb loses its charge through a crack", CLOSES, effects={"bulb_charge": 0.5}),
    _happens("the stem is turned in, which presses the spring", CLOSES, effects={"valve_spring": 0.3e5}),
    _happens("the engine falls to idle and the low side rises", CLOSES, conditions={"engine_speed": 13.0}),
    _happens("a little more charge goes in; the glass was clear before", STAYS, effects={"charge": 1.1}),
)
"""What can happen; each learner meets four of them."""


@dataclass(frozen=True)
class ValveCase:
    """Readings of a running machine; numbers as the instruments show them."""

    unit: Unit
    refrigerant: str
    altitude_feet: float
    low_side_psig: float
    hose_loss_psi: float
    coil_outlet_fahrenheit: float
    compressor_fahrenheit: float
    high_side_psig: float
    liquid_loss_psi: float
    liquid_line_fahrenheit: float
    happening: tuple[Disturbance, Disturbance, Disturbance, Disturbance]

    @cached_property
    def atmosphere(self) -> float:
        """Air pressure of the yard in Pa."""
        return air.atmospheric_pressure(units.from_unit(self.altitude_feet, "length", "ft"))

    def pressure(self, gauge_psig: float, atmosphere: float | None = None) -> float:
        """Absolute pressure in Pa of a gauge reading taken in this yard, or somewhere else."""
        around = self.atmosphere if atmosphere is None else atmosphere
        return units.from_unit(gauge_psig, "pressure", "psig", atmosphere=around)

    @property
    def coil_outlet_psig(self) -> float:
        """What a gauge at the coil's outlet would show."""
        return self.low_side_psig + self.hose_loss_psi

    @property
    def valve_inlet_psig(self) -> float:
        """What a gauge before the valve would show."""
        return self.high_side_psig - self.liquid_loss_psi

    @property
    def coil_outlet_temperature(self) -> float:
        """The suction line at the bulb in K."""
        return units.from_unit(self.coil_outlet_fahrenheit, "temperature", "F")

    @property
    def compressor_temperature(self) -> float:
        """The suction line at the compressor in K."""
        return units.from_unit(self.compressor_fahrenheit, "temperature", "F")

    @property
    def liquid_line_temperature(self) -> float:
        """The liquid line before the valve in K."""
        return units.from_unit(self.liquid_line_fahrenheit, "temperature", "F")

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""

        def fahrenheit(value: float) -> str:
            return shown(f"{value:g} F", "temperature")

        return [
            ("machine", f"{self.unit.name}, {self.refrigerant}; the bulb holds the same refrigerant"),
            ("altitude of the yard", shown(f"{self.altitude_feet:,.0f} ft", "length")),
            ("low side, gauge at the compressor", shown(f"{self.low_side_psig:g} psig", "pressure")),
            ("lost in the suction hose", shown(f"{self.hose_loss_psi:g} psi difference", "pressure difference")),
            ("suction line at the coil's outlet, beside the bulb", fahrenheit(self.coil_outlet_fahrenheit)),
            ("suction line at the compressor", fahrenheit(self.compressor_fahrenheit)),
            ("high side, gauge at the compressor", shown(f"{self.high_side_psig:g} psig", "pressure")),
            (
                "lost between that gauge and the valve",
                shown(f"{self.liquid_loss_psi:g} psi difference", "pressure difference"),
            ),
            ("liquid line before the valve", fahrenheit(self.liquid_line_fahrenheit)),
            ("equaliser of the valve", "external, from the coil's outlet; bulb clean, strapped and wrapped"),
            *((f"disturbance {letter}", one.words) for letter, one in zip("ABCD", self.happening, strict=True)),
        ]


APART = 3.0
"""F by which superheat and subcooling of one machine differ at least."""


def draw_case(term: str, learner: str, *, assignment: str = "cycle-4") -> ValveCase:
    """Return the numbers of one learner: a healthy machine with long hoses, high enough for the altitude to show."""
    draw = Draw(assignment, term, learner)
    altitude = draw.number("altitude", 4500, 7500, 100)
    atmosphere = air.atmospheric_pressure(units.from_unit(altitude, "length", "ft"))
    refrigerant = draw.pick("refrigerant", ("R-12", "R-134a"))
    low, high = draw.number("low side", 24, 32, 1), draw.number("high side", 170, 215, 5)
    hose, liquid = draw.number("hose", 4, 6, 0.5), draw.number("liquid", 7, 10, 0.5)

    def saturation(gauge: float) -> float:
        pressure = units.from_unit(gauge, "pressure", "psig", atmosphere=atmosphere)
        return units.convert(refrigerants.saturation_temperature(refrigerant, pressure), "temperature", "F")

    superheat, subcooling = draw.number("superheat", 8, 20, 0.5), draw.number("subcooling", 4, 15, 0.5)
    if abs(superheat - subcooling) < APART:  # who swaps the two must not be right by chance
        subcooling += 2 * APART if subcooling >= superheat else -2 * APART
    if subcooling < 2:
        subcooling += 4 * APART
    coil = float(round(saturation(low + hose) + superheat))
    return ValveCase(
        unit=draw.pick("unit", FLEET),
        refrigerant=refrigerant,
        altitude_feet=altitude,
        low_side_psig=low,
        hose_loss_psi=hose,
        coil_outlet_fahrenheit=coil,
        compressor_fahrenheit=coil + draw.number("warming", 7, 14, 1),
        high_side_psig=high,
        liquid_loss_psi=liquid,
        liquid_line_fahrenheit=float(round(saturation(high - liquid) - subcooling)),
        happening=draw.order("disturbances", DISTURBANCES)[:4],
    )
