"""Answers and wrong ideas of lesson cycle-1, about pressure and saturation."""

from __future__ import annotations

from collections.abc import Callable

from coldcab import refrigerants, units
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea, absolute, celsius_called_fahrenheit, kelvin
from coldcab.lessons.cycle_1 import numbers
from coldcab.lessons.cycle_1.lines import STATES
from coldcab.lessons.cycle_1.numbers import LETTERS, Parked, Point, PressureCase
from coldcab.quantities import FAHRENHEIT_DEGREE, INCH_OF_MERCURY, PSI
from coldcab.quantities import STANDARD_ATMOSPHERE as SEA_LEVEL

GaugeReading = Callable[[PressureCase], float]
"""Picks a gauge reading in psig out of a case."""

SUPERHEATED, SATURATED, SUBCOOLED = STATES

OFF_BY = 2.0 * FAHRENHEIT_DEGREE
"""What a pipe thermometer and a gauge cannot tell apart from saturation, in K."""


def pressure(case: PressureCase, gauge_psig: float) -> float:
    """Absolute pressure in Pa of a gauge reading taken in this yard."""
    return absolute(gauge_psig, case.atmosphere)


def sea_level(gauge_psig: float) -> float:
    """Absolute pressure of someone who adds the air pressure of sea level."""
    return absolute(gauge_psig, SEA_LEVEL)


def as_absolute(gauge_psig: float) -> float:
    """Absolute pressure of someone who takes the gauge's number for it."""
    return units.from_unit(gauge_psig, "pressure", "psia")


def absolute_pressure(reading: GaugeReading) -> Key:
    """Absolute pressure of a gauge reading above the air's pressure."""
    return Key(
        answer=lambda case: pressure(case, reading(case)),
        tolerance=Tolerance(
            "a shop gauge is read to half a division of 1 psi; the sea-level slip is at least 2 psi away",
            absolute=0.8 * PSI,
        ),
        ideas=(
            WrongIdea(
                "gauge taken for absolute",
                lambda case: as_absolute(reading(case)),
                "That is the gauge's own number. A gauge counts from the air pressure around it, so the air "
                "pressure must be added.",
            ),
            WrongIdea(
                "sea-level air pressure at altitude",
                lambda case: sea_level(reading(case)),
                "You added 14.7 psi, the air pressure at sea level. This yard lies higher; use the air pressure of "
                "its altitude.",
                credit=0.5,
            ),
            WrongIdea(
                "air pressure subtracted",
                lambda case: as_absolute(reading(case)) - case.atmosphere,
                "You took the air pressure away. The gauge already leaves it out; going to absolute you add it.",
            ),
            WrongIdea(
                "absolute number called gauge",
                lambda case: pressure(case, reading(case)) + case.atmosphere,
                "The number is right but the unit says gauge, so it reads too high by the air pressure. Write psia "
                "for absolute.",
                credit=0.5,
            ),
        ),
    )


def absolute_pressure_in_vacuum(inches: GaugeReading) -> Key:
    """Absolute pressure of a compound gauge's vacuum reading in inHg."""

    def below(air_pressure: float, reading: float) -> float:
        return air_pressure - reading * INCH_OF_MERCURY

    return Key(
        answer=lambda case: below(case.atmosphere, inches(case)),
        tolerance=Tolerance(
            "a compound gauge is read to about half an inch of mercury", absolute=0.6 * INCH_OF_MERCURY
        ),
        ideas=(
            WrongIdea(
                "vacuum added",
                lambda case: below(case.atmosphere, -inches(case)),
                "You added the vacuum. Vacuum counts downwards from the air pressure, so it is taken away.",
            ),
            WrongIdea(
                "sea-level air pressure at altitude",
                lambda case: below(SEA_LEVEL, inches(case)),
                "You counted down from 29.92 inHg, the air pressure at sea level. Up here the air presses less, so "
                "less is left.",
                credit=0.5,
            ),
            WrongIdea(
                "vacuum taken for absolute",
                lambda case: inches(case) * INCH_OF_MERCURY,
                "That is the vacuum reading itself. It says how far below the air pressure you are, not how much is "
                "left.",
            ),
        ),
    )


def saturation_temperature(name: str, other: str, reading: GaugeReading, *, tolerance: float, altitude: bool) -> Key:
    """Saturation temperature of ``name`` at a gauge reading.

    ``tolerance`` in F degrees; ``altitude`` says whether the sea-level slip is wide enough to be seen there.
    """

    def at(pascal: float, refrigerant: str = name) -> float:
        return refrigerants.saturation_temperature(refrigerant, pascal)

    ideas = [
        WrongIdea(
            "the other refrigerant's scale",
            lambda case: at(pressure(case, reading(case)), other),
            f"That is the saturation temperature of {other} at this pressure. The same pressure means another "
            f"temperature in {name}; read its own scale.",
        ),
        WrongIdea(
            "gauge taken for absolute",
            lambda case: at(as_absolute(reading(case))),
            "You went into the table with the gauge reading. The table wants absolute pressure: add the air "
            "pressure of the yard first.",
        ),
        WrongIdea(
            "F and C mixed",
            lambda case: celsius_called_fahrenheit(at(pressure(case, reading(case)))),
            "The number is right in degrees Celsius, but it says F. Write the unit that belongs to the number.",
            credit=0.5,
        ),
    ]
    if altitude:
        ideas.append(
            WrongIdea(
                "sea-level air pressure at altitude",
                lambda case: at(sea_level(reading(case))),
                "You added 14.7 psi. This yard lies higher, the air presses less, and the temperature comes out lower.",
                credit=0.5,
            )
        )
    return Key(
        answer=lambda case: at(pressure(case, reading(case))),
        tolerance=Tolerance(
            "half a division of the gauge (0.5 psi) moves the temperature by about this much",
            absolute=tolerance * FAHRENHEIT_DEGREE,
        ),
        ideas=tuple(ideas),
    )


def over_saturation(case: PressureCase, point: Point, name: str | None = None) -> float:
    """K by which a line is warmer than saturation of its own refrigerant, or of ``name``, at its pressure."""
    saturation = refrigerants.saturation_temperature(name or point.refrigerant, pressure(case, point.gauge_psig))
    return kelvin(point.temperature_fahrenheit) - saturation


def line_state(place: int) -> Key:
    """State of what is in a line, from pressure and temperature read at the same place."""

    def surplus(case: PressureCase) -> float:
        return over_saturation(case, case.points[place])

    def state(case: PressureCase) -> str:
        away = surplus(case)
        return SATURATED if abs(away) <= OFF_BY else SUPERHEATED if away > 0 else SUBCOOLED

    def felt(case: PressureCase) -> str | None:
        """What someone says who goes by the hand: hot is superheated, cold is subcooled."""
        felt_state = SUPERHEATED if case.points[place].temperature_fahrenheit > 85 else SUBCOOLED
        return felt_state if felt_state != state(case) else None

    def opposite(case: PressureCase) -> str | None:
        found = {SUPERHEATED: SUBCOOLED, SUBCOOLED: SUPERHEATED}.get(state(case))
        # Where the hand leads to the same answer, the hand is the likelier reason.
        return found if found != felt(case) else None

    return Key(
        answer=state,
        ideas=(
            WrongIdea(
                "judged by the hand",
                felt,
                "Hot to the hand is not superheated and cold is not subcooled. Only the distance from the "
                "saturation temperature at that place counts.",
            ),
            WrongIdea(
                "superheat and subcooling swapped",
                opposite,
                "The other way round: above the saturation temperature is superheated vapor, below it is subcooled "
                "liquid.",
            ),
            WrongIdea(
                "a mixture everywhere",
                lambda case: SATURATED if state(case) != SATURATED else None,
                "The line is several degrees away from saturation here, so only one of vapor or liquid is in it.",
            ),
        ),
    )


def cylinder_table(case: PressureCase, name: str | None = None) -> float:
    """The table's pressure at the cylinder's temperature in Pa, for its own refrigerant or for ``name``."""
    return refrigerants.saturation_pressure(name or case.cylinder_refrigerant, kelvin(case.cylinder_fahrenheit))


def _other(name: str) -> str:
    return "R-12" if name == "R-134a" else "R-134a"


def air_pressure() -> Key:
    """Partial pressure of air in a cylinder that has stood long enough: total minus table (Dalton)."""
    return Key(
        answer=lambda case: pressure(case, case.cylinder_psig) - cylinder_table(case),
        tolerance=Tolerance(
            "the gauge is read to 0.5 psi and the sea-level slip is at least 2.2 psi away", absolute=1.0 * PSI
        ),
        ideas=(
            WrongIdea(
                "gauge against an absolute table",
                lambda case: as_absolute(case.cylinder_psig) - cylinder_table(case),
                "You took an absolute table value from a gauge reading. Bring the gauge to absolute first, or most "
                "of the air stays hidden.",
            ),
            WrongIdea(
                "sea-level air pressure at altitude",
                lambda case: sea_level(case.cylinder_psig) - cylinder_table(case),
                "You added 14.7 psi to the gauge. At this altitude the air presses less; you find more air than "
                "there is.",
                credit=0.5,
            ),
            WrongIdea(
                "the other refrigerant's table",
                lambda case: (
                    pressure(case, case.cylinder_psig) - cylinder_table(case, _other(case.cylinder_refrigerant))
                ),
                "You compared with the other refrigerant's table. Read the label on the cylinder, then its own table.",
            ),
        ),
    )


def standing_pressure() -> Key:
    """Gauge reading of a parked machine that still holds liquid: the table's pressure at its temperature."""

    def table(case: PressureCase, name: str | None = None) -> float:
        return refrigerants.saturation_pressure(name or case.parked_refrigerant, kelvin(case.parked_fahrenheit))

    def in_proportion(case: PressureCase) -> tuple[float, float]:
        left = case.parked_charge_left
        return left * table(case), case.atmosphere + left * (table(case) - case.atmosphere)

    return Key(
        answer=table,
        tolerance=Tolerance("half a gauge division and half a degree of the thermometer", absolute=1.1 * PSI),
        ideas=(
            WrongIdea(
                "pressure falls with the charge",
                in_proportion,
                "You let the pressure fall with the charge. While liquid remains, temperature alone sets the "
                "pressure; what leaked is replaced by liquid that boils.",
            ),
            WrongIdea(
                "the other refrigerant's table",
                lambda case: table(case, _other(case.parked_refrigerant)),
                "That is the other refrigerant's pressure at this temperature.",
            ),
            WrongIdea(
                "absolute number called gauge",
                lambda case: table(case) + case.atmosphere,
                "That is the table's absolute pressure. A gauge leaves the air pressure out; take it away.",
                credit=0.5,
            ),
            WrongIdea(
                "gauge number with an absolute unit",
                lambda case: table(case) - case.atmosphere,
                "The number is a gauge's, but the unit says absolute: kPa and bar alone, and psia, do. Write psig, or "
                "add the word gauge.",
                credit=0.5,
            ),
            WrongIdea(
                "sea-level air pressure at altitude",
                lambda case: table(case) - SEA_LEVEL + case.atmosphere,
                "You took 14.7 psi away. At this altitude a gauge leaves out less, so it shows more.",
                credit=0.5,
            ),
        ),
    )


def air_share() -> Key:
    """Share of air in the gas above the liquid, by volume (Dalton, Amagat)."""

    def share(total: float, table: float) -> float:
        return (total - table) / total

    return Key(
        answer=lambda case: share(pressure(case, case.cylinder_psig), cylinder_table(case)),
        tolerance=Tolerance("1 psi off in the air pressure is about 0.7 points of the share", absolute=0.01),
        ideas=(
            WrongIdea(
                "compared with the refrigerant, not the total",
                lambda case: pressure(case, case.cylinder_psig) / cylinder_table(case) - 1,
                "You divided by the refrigerant's pressure. The share is out of everything that is there, so divide "
                "by the total absolute pressure.",
                credit=0.5,
            ),
            WrongIdea(
                "gauge against an absolute table",
                lambda case: share(as_absolute(case.cylinder_psig), cylinder_table(case)),
                "You used the gauge reading as the total. Shares are made of absolute pressures only.",
            ),
        ),
    )


def letters(rows: tuple, test: Callable[..., bool]) -> str:
    """Letters of the rows for which the test holds, as a list line writes them."""
    return listed((letter for letter, row in zip(LETTERS, rows, strict=True) if test(row)), LETTERS)


def different(value: str, *others: str | None) -> str | None:
    """The value, or None where it is empty or one of the others."""
    return None if not value or value in others else value


def points_with_liquid_alone() -> Key:
    """Points clearly cooler than saturation."""

    def right(case: PressureCase) -> str:
        return letters(case.points, lambda point: over_saturation(case, point) < -OFF_BY)

    def cool(case: PressureCase) -> str | None:
        return different(letters(case.points, lambda point: point.temperature_fahrenheit < 85), right(case))

    def swapped(case: PressureCase) -> str | None:
        found = letters(case.points, lambda point: over_saturation(case, point) > OFF_BY)
        return different(found, right(case), cool(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "cold pipes hold liquid",
                cool,
                "You went by the hand. A cold suction line holds vapor and a hot line before the valve holds liquid; "
                "only the distance from saturation counts.",
            ),
            WrongIdea(
                "superheat and subcooling swapped",
                swapped,
                "These are the points warmer than saturation: vapor. Liquid alone is cooler than saturation.",
            ),
        ),
    )


def over_table(case: PressureCase, machine: Parked, name: str | None = None) -> float:
    """psi by which a parked machine's gauge stands above the table at its temperature, in this yard."""
    table = refrigerants.saturation_pressure(name or machine.refrigerant, kelvin(machine.fahrenheit))
    return (pressure(case, machine.psig) - table) / PSI


def parked_machines(test: Callable[[float], bool], by_number: Callable[[float], bool], words: tuple[str, str]) -> Key:
    """A list of parked machines by how far they stand from the table; ``words`` are the feedback of the two ideas."""

    def right(case: PressureCase) -> str:
        return letters(case.parked, lambda machine: test(over_table(case, machine)))

    def number_alone(case: PressureCase) -> str | None:
        return different(letters(case.parked, lambda machine: by_number(machine.psig)), right(case))

    def one_table(case: PressureCase) -> str | None:
        found = letters(case.parked, lambda machine: test(over_table(case, machine, "R-134a")))
        return different(found, right(case), number_alone(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea("the gauge's number alone", number_alone, words[0]),
            WrongIdea("one table for all", one_table, words[1]),
        ),
    )


def machines_without_liquid() -> Key:
    """Gauges below the table."""
    return parked_machines(
        lambda away: away < -numbers.NEAR_TABLE,
        lambda psig: psig < 70.0,
        (
            "You went by the gauge's number. A cool machine with liquid shows a low number too; the table at its own "
            "temperature decides.",
            "You used the table of R-134a for all. R-12 stands lower and R-1234yf stands higher than that on most "
            "days; use each one's own.",
        ),
    )


def machines_to_identify_first() -> Key:
    """Gauges above the table."""
    return parked_machines(
        lambda away: away > numbers.NEAR_TABLE,
        lambda psig: psig > 110.0,
        (
            "You went by the gauge's number. A hot machine shows a high number with nothing wrong; the table at its "
            "own temperature decides.",
            "You used the table of R-134a for all. R-12 stands lower and R-1234yf stands higher than that on most "
            "days; use each one's own.",
        ),
    )


def holds(words: str) -> bool:
    """Whether a sentence is one of the true ones."""
    return words in {pair[0] for pair in numbers.STATEMENTS}


def sentences_that_hold() -> Key:
    """True sentences about pressure and temperature."""

    def but(place: int) -> Callable[[PressureCase], str]:
        pair = numbers.STATEMENTS[place]
        return lambda case: letters(case.statements, lambda words: holds(words) != (words in pair))

    return Key(
        answer=lambda case: letters(case.statements, holds),
        ideas=(
            WrongIdea(
                "pressure falls with the charge",
                but(0),
                "All right but for the leak. Some liquid boils off and fills the room that was left, until the "
                "pressure is back at the table's value.",
                credit=0.5,
            ),
            WrongIdea(
                "the table's pressure means full",
                but(2),
                "All right but for the gauge that agrees with the table. It shows that some liquid is left, and "
                "nothing about how much.",
                credit=0.5,
            ),
            WrongIdea(
                "hot is vapor",
                but(3),
                "All right but for the hot pipe. The line before the valve is hot and full of liquid, because its "
                "pressure is high.",
                credit=0.5,
            ),
        ),
    )


def dangerous(words: str) -> bool:
    """Whether work is done so that somebody gets hurt."""
    return words in {pair[1] for pair in numbers.WORK}


def work_to_stop() -> Key:
    """Work that hurts somebody."""

    def overlooked(*places: int) -> Callable[[PressureCase], str | None]:
        bad = {numbers.WORK[place][1] for place in places}

        def found(case: PressureCase) -> str | None:
            seen = letters(case.work, lambda words: dangerous(words) and words not in bad)
            return different(seen, letters(case.work, dangerous))

        return found

    def unless(one: Callable[[PressureCase], str | None], *others: Callable[[PressureCase], str | None]):
        return lambda case: None if one(case) in [other(case) for other in others] else one(case)

    cold, burst = overlooked(1, 5, 7), overlooked(0, 6)
    breath = overlooked(2, 3, 4)
    return Key(
        answer=lambda case: letters(case.work, dangerous),
        ideas=(
            WrongIdea(
                "a little liquid does no harm",
                cold,
                "You let liquid reach skin or eyes. It boils there at once and freezes what it touches.",
            ),
            WrongIdea(
                "a cylinder holds",
                unless(burst, cold),
                "You let a cylinder be heated or filled full. Liquid that has no room to grow bursts it.",
            ),
            WrongIdea(
                "gas goes away by itself",
                unless(breath, cold, burst),
                "You let gas out where people breathe or where it burns. It fills a pit, and a flame turns it into "
                "poison. Letting it out is against the law as well.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "absolute pressure": absolute_pressure(lambda case: case.low_side_psig),
    "absolute pressure during evacuation": absolute_pressure_in_vacuum(lambda case: case.vacuum_inches),
    "R-12 saturation temperature": saturation_temperature(
        "R-12", "R-134a", lambda case: case.low_side_psig, tolerance=1.2, altitude=True
    ),
    "state at A": line_state(0),
    "state at B": line_state(1),
    "points with liquid alone": points_with_liquid_alone(),
    "machines without liquid": machines_without_liquid(),
    "machines to identify first": machines_to_identify_first(),
    "air pressure in the cylinder": air_pressure(),
    "sentences that hold": sentences_that_hold(),
    "work to stop": work_to_stop(),
}

KEYS = PRACTICE | {
    "R-1234yf saturation temperature": saturation_temperature(
        "R-1234yf", "R-12", lambda case: case.high_side_psig, tolerance=1.2, altitude=False
    ),
    "air share of the gas": air_share(),
    "standing pressure": standing_pressure(),
}
