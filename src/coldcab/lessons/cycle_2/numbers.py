"""Cases of lesson cycle-2: one running machine, four readings, its compressor's data."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import air, refrigerants, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _


@dataclass(frozen=True)
class LoopCase:
    """A running machine as four readings and a data sheet describe it; numbers as the instruments show them."""

    unit: Unit
    refrigerant: str
    altitude_feet: float
    low_side_psig: float
    high_side_psig: float
    suction_line_fahrenheit: float
    liquid_line_fahrenheit: float
    engine_rpm: float
    isentropic_efficiency: float
    volumetric_efficiency: float

    @property
    def atmosphere(self) -> float:
        """Air pressure of the yard in Pa."""
        return air.atmospheric_pressure(units.from_unit(self.altitude_feet, "length", "ft"))

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        displacement = self.unit.displacement * 1e6
        return [
            ("machine", self.unit.name),
            ("refrigerant", self.refrigerant),
            ("altitude of the yard", shown(f"{self.altitude_feet:,.0f} ft", "length")),
            ("low side", shown(f"{self.low_side_psig:g} psig", "pressure")),
            ("high side", shown(f"{self.high_side_psig:g} psig", "pressure")),
            ("suction line at the compressor", shown(f"{self.suction_line_fahrenheit:g} F", "temperature")),
            ("liquid line before the valve", shown(f"{self.liquid_line_fahrenheit:g} F", "temperature")),
            ("engine", f"{self.engine_rpm:,.0f} rpm"),
            (
                "pulley ratio",
                _("compressor turns {ratio:.2f} times for each engine turn").format(ratio=self.unit.pulley_ratio),
            ),
            (
                "compressor displacement",
                _("{cubic_inches:.2f} cu in ({cubic_centimeters:.0f} cm3) a turn").format(
                    cubic_inches=displacement / 16.387064, cubic_centimeters=displacement
                ),
            ),
            ("isentropic efficiency", f"{self.isentropic_efficiency:.0%}"),
            ("volumetric efficiency", f"{self.volumetric_efficiency:.0%}"),
        ]


def draw_case(term: str, learner: str, *, assignment: str = "cycle-2") -> LoopCase:
    """Return the numbers of one learner: a healthy machine on a hot day, so that every reading is plausible."""
    draw = Draw(assignment, term, learner)
    altitude = draw.number("altitude", 500, 6000, 100)
    atmosphere = air.atmospheric_pressure(units.from_unit(altitude, "length", "ft"))
    refrigerant = draw.pick("refrigerant", ("R-12", "R-134a"))
    low = draw.number("low side", 28, 38, 1)
    high = draw.number("high side", 165, 210, 5)

    def saturation(gauge: float) -> float:
        pressure = units.from_unit(gauge, "pressure", "psig", atmosphere=atmosphere)
        return units.convert(refrigerants.saturation_temperature(refrigerant, pressure), "temperature", "F")

    return LoopCase(
        unit=draw.pick("unit", CONVERTED),
        refrigerant=refrigerant,
        altitude_feet=altitude,
        low_side_psig=low,
        high_side_psig=high,
        suction_line_fahrenheit=float(round(saturation(low) + draw.number("superheat", 16, 26, 1))),
        liquid_line_fahrenheit=float(round(saturation(high) - draw.number("subcooling", 9, 18, 1))),
        engine_rpm=draw.number("engine", 1200, 2200, 50),
        isentropic_efficiency=draw.number("isentropic efficiency", 0.60, 0.66, 0.01),
        volumetric_efficiency=draw.number("volumetric efficiency", 0.66, 0.80, 0.01),
    )
