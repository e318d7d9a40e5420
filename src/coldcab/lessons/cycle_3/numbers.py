"""Cases of lesson cycle-3: the air of the day, a coil, a cab with its heat, and a yard of cabs to sort."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from coldcab import air, units
from coldcab.lessons.cycle_3 import yard
from coldcab.lessons.cycle_3.yard import LETTERS, CabReadings, SprayJob
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
    flap_cab_fahrenheit: float
    flap_before_fahrenheit: float
    heater_flow: float  # lb/h of dry air
    heater_before_fahrenheit: float
    heater_behind_fahrenheit: float
    heater_vent_fahrenheit: float
    drain_cab_pascal: float
    drain_box_pascal: float
    lift: CabReadings
    cabs: tuple[CabReadings, ...]
    statements: tuple[str, ...]
    work: tuple[str, ...]
    spray: tuple[SprayJob, ...]

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
            ("air that misses the fins", f"{self.bypass:.0%}"),
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
                _("{walls:.0f} Btu/h for each F ({metric:.0f} W/K) between outside and cab").format(
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
            *self._one_place_each(),
            *self._yard(),
        ]

    def _one_place_each(self) -> list[tuple[str, str]]:
        """Three cabs with one place to work out each."""

        def fahrenheit(value: float) -> str:
            return shown(f"{value:g} F", "temperature")

        return [
            (
                "flap of another cab, set to recirculate",
                _("cab {cab}, before the coil {before}, outside as above").format(
                    cab=fahrenheit(self.flap_cab_fahrenheit), before=fahrenheit(self.flap_before_fahrenheit)
                ),
            ),
            (
                "heater of another cab, set to cold",
                _("before the coil {before}, behind it {behind}, vents {vent}; dry air {flow}").format(
                    before=fahrenheit(self.heater_before_fahrenheit),
                    behind=fahrenheit(self.heater_behind_fahrenheit),
                    vent=fahrenheit(self.heater_vent_fahrenheit),
                    flow=shown(f"{self.heater_flow:,.0f} lb/h", "mass flow"),
                ),
            ),
            (
                "drain of another cab",
                _("cab {cab:.0f} Pa above the air outside; box at the drain {box:.0f} Pa below the cab").format(
                    cab=self.drain_cab_pascal, box=self.drain_box_pascal
                ),
            ),
        ]

    def _yard(self) -> list[tuple[str, str]]:
        """The cab on the lift, the cabs of the yard, sentences, work and spray jobs."""
        legend = _(
            "air in the cab / before the coil / behind it / at the vents; heater hoses before / behind the valve; "
            "speed at the vents, of the manual's; cab over the air outside. All set to cold and recirculate"
        )
        found = [("how the cabs are written", legend), ("cab on the lift", self.lift.text())]
        tables = (
            ("cab", [one.text() for one in self.cabs]),
            ("sentence", list(self.statements)),
            ("work", list(self.work)),
            ("job", [one.text() for one in self.spray]),
        )
        return found + [
            (f"{name} {letter}", words) for name, rows in tables for letter, words in zip(LETTERS, rows, strict=True)
        ]


def draw_case(term: str, learner: str, *, assignment: str = "cycle-3") -> AirCase:
    """Return the numbers of one learner: a humid hot day high enough for the altitude to show.

    The ranges keep latent heat, bypass and altitude large enough to be told from what a reading can be off by.
    """
    draw = Draw(assignment, term, learner)
    unit = draw.pick("unit", FLEET)
    machine = MACHINES[unit.number]
    altitude = draw.number("altitude", 3500, 6500, 100)
    pressure = air.atmospheric_pressure(units.from_unit(altitude, "length", "ft"))
    dry = draw.number("outside", 92, 104, 1)
    damp = air.moist_air(_kelvin(dry), pressure, relative_humidity=draw.number("outside humidity", 0.38, 0.60, 0.01))
    sky = draw.number("sky", 0.75, 1.0, 0.05)

    def btu(watt: float) -> float:
        return float(round(units.convert(watt, "power", "Btu/h"), -1))

    inside = draw.number("inside", 72, 79, 1)
    return AirCase(
        unit=unit,
        altitude_feet=altitude,
        outside_dry_fahrenheit=dry,
        outside_wet_fahrenheit=float(round(units.convert(damp.wet_bulb, "temperature", "F"))),
        coil_dry_fahrenheit=draw.number("before the coil", 78, 94, 1),
        coil_humidity=draw.number("humidity before the coil", 0.34, 0.50, 0.01),
        surface_fahrenheit=draw.number("surface", 34, 46, 1),
        bypass=draw.number("bypass", 0.10, 0.24, 0.01),
        airflow_cfm=draw.number("air flow", 160, 340, 5),
        inside_fahrenheit=inside,
        inside_humidity=0.45,
        fresh_cfm=draw.number("fresh air", 55, 95, 5),
        walls=float(round(units.convert(machine.cab.conductance, "power", "Btu/h") / 1.8)),
        sun=btu(machine.cab.solar * sky),
        engine=btu(machine.cab.engine_conductance * (cab_room.ENGINE_WALL - _kelvin(inside))),
        driver_heat=btu(cab_room.OCCUPANT_HEAT),
        driver_water=btu(cab_room.OCCUPANT_WATER * cab_room.EVAPORATION_HEAT),
        blower=btu(machine.evaporator.blower.power),
        **_one_place_each(draw, dry),
        lift=yard.draw_cab(draw, "lift", draw.pick("lift", tuple(yard.RANGES)), dry),
        cabs=yard.draw_cabs(draw, dry),
        statements=yard.draw_pairs(draw, "statements", yard.STATEMENTS, 3, 5),
        work=yard.draw_pairs(draw, "work", yard.WORK, 2, 4),
        spray=yard.draw_spray_jobs(draw),
    )


def _one_place_each(draw: Draw, outside: float) -> dict[str, float]:
    """A flap, a heater and a drain, each with what its line needs."""
    cab = draw.number("flap cab", 74, 82, 1)
    share = draw.number("flap share", 0.15, 0.80, 0.01)
    before = draw.number("heater before", 80, 92, 1)
    behind = before - draw.number("heater drop", 26, 36, 1)
    return {
        "flap_cab_fahrenheit": cab,
        "flap_before_fahrenheit": float(round(cab + share * (outside - cab))),
        "heater_flow": draw.number("heater flow", 700, 1500, 10),
        "heater_before_fahrenheit": before,
        "heater_behind_fahrenheit": behind,
        "heater_vent_fahrenheit": behind + draw.number("heater rise", 6, 22, 1),
        "drain_cab_pascal": draw.number("drain cab", 25, 70, 1),
        "drain_box_pascal": draw.number("drain box", 160, 420, 5),
    }


def _kelvin(fahrenheit: float) -> float:
    return units.from_unit(fahrenheit, "temperature", "F")
