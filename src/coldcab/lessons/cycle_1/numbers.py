"""Cases of lesson cycle-1: a yard at altitude, a gauge, points on lines, a cylinder and parked machines."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import air, refrigerants, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _

LETTERS = ("A", "B", "C", "D", "E", "F", "G", "H")
REFRIGERANTS = ("R-12", "R-134a", "R-1234yf")
"""What the machines of the yard hold: old ones, converted and newer ones, the newest."""

NEAR_TABLE = 3.0  # psi that gauge and thermometer can be off by together, on a parked machine

STATEMENTS = (
    (_("two ounces leak out, liquid is left, same temperature: the gauge shows the same"),
     _("two ounces leak out, liquid is left, same temperature: the gauge shows less")),
    (_("the same gauge reading higher up: less absolute pressure"),
     _("the same gauge reading higher up: the same absolute pressure")),
    (_("parked, the gauge agrees with the table: some liquid is left"),
     _("parked, the gauge agrees with the table: the machine is full")),
    (_("a hot pipe can be full of liquid, with no vapor in it"), _("a hot pipe always holds vapor")),
    (_("air in a cylinder adds its pressure to the refrigerant's"),
     _("air in a cylinder: the gauge shows the higher one of the two")),
    (_("parked at 90 F, no shop gauge tells R-1234yf from R-134a for sure"),
     _("parked at 90 F, a shop gauge tells R-1234yf from R-134a for sure")),
    (_("in a deep vacuum water boils in a cool shop"), _("in a vacuum too, water boils only near 212 F")),
    (_("parked, the gauge below the table: no liquid is left"),
     _("parked, the gauge at half the table: half of the charge is left")),
)  # fmt: skip
"""Sentences about pressure and temperature: as it is, and as many think."""

WORK = (
    (_("cylinder left in the shade until it has the air's temperature"),
     _("cylinder warmed with a torch to get the rest out")),
    (_("hoses connected with glasses and gloves on, engine off"),
     _("hoses connected bare-handed, engine running")),
    (_("gas not known: identifier first"), _("gas not known: a little let out to smell it")),
    (_("the rest of the charge recovered before the fitting is opened"),
     _("the rest of the charge let out in the pit through a cracked fitting")),
    (_("R-1234yf machine: no flame and no sparks near it, fan on"),
     _("R-1234yf machine: brazing goes on beside the open hose")),
    (_("fitting opened after both gauges stay at zero"),
     _("fitting opened slowly at 70 psig, a rag around it")),
    (_("cylinder filled by the scale, room left for the liquid to grow"),
     _("cylinder filled until no more goes in, then put in the truck")),
    (_("liquid in an eye: washed with water at once, then to a doctor"),
     _("liquid in an eye: rubbed warm, then on with the work")),
)  # fmt: skip
"""Work with refrigerant: as it may be done, and so that somebody gets hurt."""


@dataclass(frozen=True)
class Point:
    """A place on a line where pressure (psig) and temperature (F) were read."""

    place: str
    refrigerant: str
    gauge_psig: float
    temperature_fahrenheit: float

    def text(self) -> str:
        """One row of the sheet."""
        return _("{refrigerant}, {place}: {pressure}, {temperature}").format(
            refrigerant=self.refrigerant,
            place=self.place,
            pressure=shown(f"{self.gauge_psig:g} psig", "pressure"),
            temperature=shown(f"{self.temperature_fahrenheit:g} F", "temperature"),
        )


@dataclass(frozen=True)
class Parked:
    """A machine that stood overnight: what it holds by its label, its temperature (F) and its gauge (psig)."""

    refrigerant: str
    fahrenheit: float
    psig: float

    def text(self) -> str:
        """One row of the sheet."""
        return _("{refrigerant}, {temperature}, gauge {pressure}").format(
            refrigerant=self.refrigerant,
            temperature=shown(f"{self.fahrenheit:g} F", "temperature"),
            pressure=shown(f"{self.psig:g} psig", "pressure"),
        )


@dataclass(frozen=True)
class PressureCase:
    """What a learner reads in the yard; numbers as the instruments show them."""

    unit: Unit
    altitude_feet: float
    low_side_psig: float
    high_side_psig: float
    vacuum_inches: float
    points: tuple[Point, ...]
    cylinder_refrigerant: str
    cylinder_fahrenheit: float
    cylinder_psig: float
    parked_refrigerant: str
    parked_fahrenheit: float
    parked_charge_left: float
    parked: tuple[Parked, ...]
    statements: tuple[str, ...]
    work: tuple[str, ...]

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
            *(
                (f"{name} {letter}", words)
                for name, rows in (
                    ("point", [point.text() for point in self.points]),
                    ("parked machine", [machine.text() for machine in self.parked]),
                    ("sentence", self.statements),
                    ("work", self.work),
                )
                for letter, words in zip(LETTERS, rows, strict=True)
            ),
        ]


# Where each state is met on a machine: the pressure side, and how many psi above (evaporator) or below (on the way from
# the compressor) the gauge of that side the flow leaves there.
_PLACES = {
    "superheated": (("suction line at the compressor", "low", 0), ("discharge line", "high", 0)),
    "saturated": (("halfway through the evaporator", "low", 2), ("halfway through the condenser", "high", -2)),
    "subcooled": (("liquid line before the valve", "high", -6), ("liquid line at the drier", "high", -4)),
}


def _point(draw: Draw, letter: str, state: str, gauges: dict[str, float], apart: int, atmosphere: float) -> Point:
    refrigerant = draw.pick(f"refrigerant {letter}", REFRIGERANTS)
    place, side, along = draw.pick(f"place {letter}", _PLACES[state])
    gauge = gauges[side] + along + apart
    pressure = units.from_unit(gauge, "pressure", "psig", atmosphere=atmosphere)
    saturation = units.convert(refrigerants.saturation_temperature(refrigerant, pressure), "temperature", "F")
    # A discharge line is far above saturation; other lines are 8 to 20 F away, more than a thermometer can be off by.
    span = {
        "superheated": (35, 60) if side == "high" else (9, 20),
        "subcooled": (-18, -8),
        "saturated": (0, 0),
    }
    away = draw.number(f"away {letter}", *span[state], 1) if state != "saturated" else 0
    return Point(place, refrigerant, gauge, float(round(saturation + away)))


def _table_psig(refrigerant: str, fahrenheit: float, atmosphere: float) -> float:
    pressure = refrigerants.saturation_pressure(refrigerant, units.from_unit(fahrenheit, "temperature", "F"))
    return float(units.convert(pressure, "pressure", "psig", atmosphere=atmosphere))


def _parked(draw: Draw, letter: str, state: str, atmosphere: float) -> Parked:
    """A machine with liquid, without any, or with air or another gas in it."""
    refrigerant = draw.pick(f"parked {letter}", REFRIGERANTS)
    fahrenheit = draw.number(f"parked temperature {letter}", 64, 104, 1)
    away = {"liquid": (-1, 1), "none": (-44, -14), "above": (12, 36)}[state]
    table = _table_psig(refrigerant, fahrenheit, atmosphere)
    return Parked(refrigerant, fahrenheit, float(round(table + draw.number(f"parked away {letter}", *away, 1))))


def draw_pairs(draw: Draw, name: str, pairs: tuple[tuple[str, str], ...], least: int, most: int) -> tuple[str, ...]:
    """Return each pair's first or second words, in an order of their own; ``least`` to ``most`` are second ones."""
    wrong = int(draw.number(f"{name} wrong", least, most, 1))
    chosen = set(draw.order(f"{name} which", tuple(range(len(pairs))))[:wrong])
    order = draw.order(f"{name} order", tuple(range(len(pairs))))
    return tuple(pairs[place][place in chosen] for place in order)


def _mixed(draw: Draw, name: str, kinds: tuple[str, ...]) -> tuple[str, ...]:
    """Eight of some kinds, each at least once, in an order of their own."""
    more = tuple(draw.pick(f"{name} {number}", kinds) for number in range(len(LETTERS) - len(kinds)))
    return draw.order(name, kinds + more)


def draw_case(term: str, learner: str, *, assignment: str = "cycle-1") -> PressureCase:
    """Return the numbers of one learner.

    Altitudes start at 6500 ft so that forgetting them shows on every instrument, and the ranges keep the known
    wrong ideas further apart than what the instruments can be off by.
    """
    draw = Draw(assignment, term, learner)
    altitude = draw.number("altitude", 6500, 9000, 100)
    atmosphere = air.atmospheric_pressure(units.from_unit(altitude, "length", "ft"))
    states = _mixed(draw, "states", ("superheated", "saturated", "subcooled"))
    cylinder_fahrenheit = draw.number("cylinder temperature", 92, 106, 1)
    table = refrigerants.saturation_pressure("R-134a", units.from_unit(cylinder_fahrenheit, "temperature", "F"))
    surplus = units.from_unit(draw.number("air", 22, 44, 1), "pressure difference", "psi")
    cylinder = units.convert(table + surplus, "pressure", "psig", atmosphere=atmosphere)
    gauges = {"low": draw.number("low side", 23, 33, 1), "high": draw.number("high side", 165, 265, 1)}
    apart = draw.order("apart", tuple(range(-4, 5)))  # psi; each its own, so that no two points read the same
    parked = _mixed(draw, "parked states", ("liquid", "none", "above"))
    return PressureCase(
        unit=draw.pick("unit", CONVERTED),
        altitude_feet=altitude,
        low_side_psig=gauges["low"],
        high_side_psig=gauges["high"],
        vacuum_inches=draw.number("vacuum", 12, 19, 0.5),
        points=tuple(
            _point(draw, letter, state, gauges, away, atmosphere)
            for letter, state, away in zip(LETTERS, states, apart[: len(LETTERS)], strict=True)
        ),
        cylinder_refrigerant="R-134a",
        cylinder_fahrenheit=cylinder_fahrenheit,
        cylinder_psig=float(round(cylinder)),
        parked_refrigerant=draw.pick("parked refrigerant", ("R-12", "R-134a")),
        parked_fahrenheit=draw.number("parked temperature", 88, 106, 1),
        parked_charge_left=draw.number("charge left", 0.35, 0.7, 0.05),
        parked=tuple(_parked(draw, letter, state, atmosphere) for letter, state in zip(LETTERS, parked, strict=True)),
        statements=draw_pairs(draw, "statements", STATEMENTS, 3, 5),
        work=draw_pairs(draw, "work", WORK, 2, 4),
    )
