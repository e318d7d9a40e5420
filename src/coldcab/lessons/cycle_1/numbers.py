"""Cases of lesson cycle-1: a yard at altitude, a gauge, a line, a cylinder and a parked machine."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import air, refrigerants, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _


@dataclass(frozen=True)
class Point:
    """A place on a line where pressure (psig) and temperature (F) were read."""

    place: str
    gauge_psig: float
    temperature_fahrenheit: float


@dataclass(frozen=True)
class PressureCase:
    """What a learner reads in the yard; numbers as the instruments show them."""

    unit: Unit
    altitude_feet: float
    low_side_psig: float
    high_side_psig: float
    vacuum_inches: float
    points: tuple[Point, Point, Point]
    cylinder_refrigerant: str
    cylinder_fahrenheit: float
    cylinder_psig: float
    parked_refrigerant: str
    parked_fahrenheit: float
    parked_charge_left: float

    @property
    def atmosphere(self) -> float:
        """Air pressure of the yard in Pa."""
        return air.atmospheric_pressure(units.from_unit(self.altitude_feet, "length", "ft"))

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        found = [
            ("machine", self.unit.name),
            ("altitude of the yard", shown(f"{self.altitude_feet:,.0f} ft", "length")),
            ("gauge in the low side", shown(f"{self.low_side_psig:g} psig", "pressure")),
            ("gauge in the high side", shown(f"{self.high_side_psig:g} psig", "pressure")),
            ("compound gauge during evacuation", f"{self.vacuum_inches:g} inHg vacuum"),
        ]
        for letter, point in zip("ABC", self.points, strict=True):
            pressure = shown(f"{point.gauge_psig:g} psig", "pressure")
            temperature = shown(f"{point.temperature_fahrenheit:g} F", "temperature")
            found.append((f"point {letter}", f"{point.place}: {pressure}, {temperature}, R-134a"))
        return [
            *found,
            (
                "cylinder in the shade since last night",
                _("labeled {refrigerant}, {temperature}, gauge {pressure}").format(
                    refrigerant=self.cylinder_refrigerant,
                    temperature=shown(f"{self.cylinder_fahrenheit:g} F", "temperature"),
                    pressure=shown(f"{self.cylinder_psig:g} psig", "pressure"),
                ),
            ),
            (
                "parked machine, engine cold",
                _(
                    "{refrigerant}, everything at {temperature}, about {left:.0%} of the charge left, liquid still in "
                    "it"
                ).format(
                    refrigerant=self.parked_refrigerant,
                    temperature=shown(f"{self.parked_fahrenheit:g} F", "temperature"),
                    left=self.parked_charge_left,
                ),
            ),
        ]


# Where each state is met on a machine: the pressure side, and how many psi above (evaporator) or below (on the way from
# the compressor) the gauge of that side the flow leaves there.
_PLACES = {
    "superheated": (("suction line at the compressor", "low", 0), ("discharge line", "high", 0)),
    "saturated": (("halfway through the evaporator", "low", 2), ("halfway through the condenser", "high", -2)),
    "subcooled": (("liquid line before the valve", "high", -6), ("liquid line at the drier", "high", -4)),
}


def _point(draw: Draw, letter: str, state: str, gauges: dict[str, float], atmosphere: float) -> Point:
    place, side, along = draw.pick(f"place {letter}", _PLACES[state])
    gauge = gauges[side] + along
    pressure = units.from_unit(gauge, "pressure", "psig", atmosphere=atmosphere)
    saturation = units.convert(refrigerants.saturation_temperature("R-134a", pressure), "temperature", "F")
    # A discharge line is far above saturation; the other lines are 8 to 20 F away, more than a thermometer's doubt.
    span = {
        "superheated": (35, 60) if side == "high" else (9, 20),
        "subcooled": (-18, -8),
        "saturated": (0, 0),
    }
    away = draw.number(f"away {letter}", *span[state], 1) if state != "saturated" else 0
    return Point(place, gauge, float(round(saturation + away)))


def draw_case(term: str, learner: str, *, assignment: str = "cycle-1") -> PressureCase:
    """Return the numbers of one learner.

    Altitudes start at 6500 ft so that forgetting them shows on every instrument, and the ranges keep the known
    wrong ideas further apart than the instruments' doubt.
    """
    draw = Draw(assignment, term, learner)
    altitude = draw.number("altitude", 6500, 9000, 100)
    atmosphere = air.atmospheric_pressure(units.from_unit(altitude, "length", "ft"))
    states = draw.order("states", ("superheated", "saturated", "subcooled"))
    cylinder_fahrenheit = draw.number("cylinder temperature", 92, 106, 1)
    table = refrigerants.saturation_pressure("R-134a", units.from_unit(cylinder_fahrenheit, "temperature", "F"))
    surplus = units.from_unit(draw.number("air", 22, 36, 1), "pressure difference", "psi")
    cylinder = units.convert(table + surplus, "pressure", "psig", atmosphere=atmosphere)
    gauges = {"low": draw.number("low side", 23, 31, 1), "high": draw.number("high side", 185, 245, 1)}
    return PressureCase(
        unit=draw.pick("unit", CONVERTED),
        altitude_feet=altitude,
        low_side_psig=gauges["low"],
        high_side_psig=gauges["high"],
        vacuum_inches=draw.number("vacuum", 14, 18, 0.5),
        points=tuple(
            _point(draw, letter, state, gauges, atmosphere) for letter, state in zip("ABC", states, strict=True)
        ),
        cylinder_refrigerant="R-134a",
        cylinder_fahrenheit=cylinder_fahrenheit,
        cylinder_psig=float(round(cylinder)),
        parked_refrigerant=draw.pick("parked refrigerant", ("R-12", "R-134a")),
        parked_fahrenheit=draw.number("parked temperature", 92, 104, 1),
        parked_charge_left=draw.number("charge left", 0.35, 0.7, 0.05),
    )
