"""Cases of lesson cycle-4: a running machine with its valve, and four things that happen to it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from coldcab import air, refrigerants, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _

DISTURBANCES = (
    "the cab blower is turned from medium to high",
    "a door is opened and hot air reaches the coil",
    "the bulb slips off the pipe into the warm bay",
    "the liquid line is kinked, so less reaches the coil",
    "the cab filter clogs",
    "the bulb loses its charge through a crack",
    "the stem is turned in, which presses the spring",
    "the cab has cooled down, so cooler air reaches the coil",
    "a little more charge goes in; the glass was clear before",
)
"""What can happen to a running machine; each learner meets four of them."""


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
    disturbances: tuple[str, str, str, str]

    @cached_property
    def atmosphere(self) -> float:
        """Air pressure of the yard in Pa."""
        return air.atmospheric_pressure(units.from_unit(self.altitude_feet, "length", "ft"))

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""

        def fahrenheit(value: float) -> str:
            return shown(f"{value:g} F", "temperature")

        return [
            (
                "machine",
                _("{machine}, {refrigerant}; the bulb holds the same refrigerant").format(
                    machine=self.unit.name, refrigerant=self.refrigerant
                ),
            ),
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
            *((f"disturbance {letter}", words) for letter, words in zip("ABCD", self.disturbances, strict=True)),
        ]


LEAST_DIFFERENCE = 3.0
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
    if abs(superheat - subcooling) < LEAST_DIFFERENCE:  # who swaps the two must not be right by chance
        subcooling += 2 * LEAST_DIFFERENCE if subcooling >= superheat else -2 * LEAST_DIFFERENCE
    if subcooling < 2:
        subcooling += 4 * LEAST_DIFFERENCE
    coil = float(round(saturation(low + hose) + superheat))
    return ValveCase(
        unit=draw.pick("unit", CONVERTED),
        refrigerant=refrigerant,
        altitude_feet=altitude,
        low_side_psig=low,
        hose_loss_psi=hose,
        coil_outlet_fahrenheit=coil,
        compressor_fahrenheit=coil + draw.number("warming", 7, 14, 1),
        high_side_psig=high,
        liquid_loss_psi=liquid,
        liquid_line_fahrenheit=float(round(saturation(high - liquid) - subcooling)),
        disturbances=draw.order("disturbances", DISTURBANCES)[:4],
    )
