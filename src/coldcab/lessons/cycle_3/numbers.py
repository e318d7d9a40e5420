"""Cases of lesson cycle-3: the air of the day, a coil, and a cab with its heat."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from coldcab import air, units
from coldcab.machine import cab as cab_room
from coldcab.machine.fleet import FLEET as MACHINES
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import FLEET, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _


@dataclass(frozen=True)
class AirCase:
    """What a learner measures in the yard and reads on the data sheet; numbers as the instruments show them."""

    unit: Unit
    altitude_feet: float
    outside_dry_fahrenheit: float
    outside_wet_fahrenheit: float
    coil_dry_fahrenheit: float
    coil_humidity: float
    surface_fahrenheit: float
    bypass: float
    airflow_cfm: float
    inside_fahrenheit: float
    inside_humidity: float
    fresh_cfm: float
    walls: float  # Btu/h for each F
    sun: float  # Btu/h, as are the next four
    engine: float
    driver_heat: float
    driver_water: float
    blower: float

    @cached_property
    def atmosphere(self) -> float:
        """Air pressure of the yard in Pa."""
        return air.atmospheric_pressure(units.from_unit(self.altitude_feet, "length", "ft"))

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""

        def fahrenheit(value: float) -> str:
            return shown(f"{value:g} F", "temperature")

        def heat(value: float) -> str:
            return shown(f"{value:,.0f} Btu/h", "power")

        per_kelvin = units.from_unit(self.walls, "power", "Btu/h") * 1.8
        return [
            ("machine", self.unit.name),
            ("altitude of the yard", shown(f"{self.altitude_feet:,.0f} ft", "length")),
            ("air outside, dry bulb", fahrenheit(self.outside_dry_fahrenheit)),
            ("air outside, wet bulb", fahrenheit(self.outside_wet_fahrenheit)),
            (
                "air before the coil",
                _("{temperature}, relative humidity {humidity:.0%}").format(
                    temperature=fahrenheit(self.coil_dry_fahrenheit), humidity=self.coil_humidity
                ),
            ),
            ("coil surface", fahrenheit(self.surface_fahrenheit)),
            ("air that passes the coil untouched", f"{self.bypass:.0%}"),
            ("air flow before the coil", shown(f"{self.airflow_cfm:g} cfm", "volume flow")),
            (
                "cab as wanted",
                _("{temperature}, relative humidity {humidity:.0%}").format(
                    temperature=fahrenheit(self.inside_fahrenheit), humidity=self.inside_humidity
                ),
            ),
            ("fresh air from outside, gaps included", shown(f"{self.fresh_cfm:g} cfm", "volume flow")),
            (
                "walls and glass",
                _("{walls:.0f} Btu/h ({metric:.0f} W/K in metric) for each F between outside and cab").format(
                    walls=self.walls, metric=per_kelvin
                ),
            ),
            ("sun through the glass", heat(self.sun)),
            ("engine wall", heat(self.engine)),
            (
                "driver",
                _("{heat} of heat, {moisture} of moisture").format(
                    heat=heat(self.driver_heat), moisture=heat(self.driver_water)
                ),
            ),
            ("blower motor", heat(self.blower)),
        ]


def draw_case(term: str, learner: str, *, assignment: str = "cycle-3") -> AirCase:
    """Return the numbers of one learner: a humid hot day high enough for the altitude to show.

    The ranges keep latent heat, bypass and altitude large enough to be told from a reading's doubt.
    """
    draw = Draw(assignment, term, learner)
    unit = draw.pick("unit", FLEET)
    machine = MACHINES[unit.number]
    altitude = draw.number("altitude", 3500, 6500, 100)
    pressure = air.atmospheric_pressure(units.from_unit(altitude, "length", "ft"))
    dry = draw.number("outside", 94, 101, 1)
    damp = air.moist_air(_kelvin(dry), pressure, relative_humidity=draw.number("outside humidity", 0.42, 0.56, 0.01))
    sky = draw.number("sky", 0.75, 1.0, 0.05)

    def btu(watt: float) -> float:
        return float(round(units.convert(watt, "power", "Btu/h"), -1))

    inside = draw.number("inside", 74, 77, 1)
    return AirCase(
        unit=unit,
        altitude_feet=altitude,
        outside_dry_fahrenheit=dry,
        outside_wet_fahrenheit=float(round(units.convert(damp.wet_bulb, "temperature", "F"))),
        coil_dry_fahrenheit=draw.number("before the coil", 80, 90, 1),
        coil_humidity=draw.number("humidity before the coil", 0.34, 0.44, 0.01),
        surface_fahrenheit=draw.number("surface", 37, 42, 1),
        bypass=draw.number("bypass", 0.12, 0.20, 0.01),
        airflow_cfm=draw.number("air flow", 200, 320, 5),
        inside_fahrenheit=inside,
        inside_humidity=0.45,
        fresh_cfm=draw.number("fresh air", 55, 80, 5),
        walls=float(round(units.convert(machine.cab.conductance, "power", "Btu/h") / 1.8)),
        sun=btu(machine.cab.solar * sky),
        engine=btu(machine.cab.engine_conductance * (cab_room.ENGINE_WALL - _kelvin(inside))),
        driver_heat=btu(cab_room.OCCUPANT_HEAT),
        driver_water=btu(cab_room.OCCUPANT_WATER * cab_room.EVAPORATION_HEAT),
        blower=btu(machine.evaporator.blower.power),
    )


def _kelvin(fahrenheit: float) -> float:
    return units.from_unit(fahrenheit, "temperature", "F")
