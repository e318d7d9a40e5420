"""Answers and wrong ideas of lesson retrofit-2: flushing, the nitrogen test, the vacuum and the rise test."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np

from coldcab import units
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea, absolute, apart, kelvin
from coldcab.lessons.retrofit_2.numbers import (
    LETTERS,
    NOTES,
    READING_MINUTES,
    READY,
    RISE_LETTERS,
    SCENES,
    STOPS,
    TightnessCase,
)
from coldcab.quantities import FREEZING, INCH_OF_MERCURY, PSI
from coldcab.quantities import STANDARD_ATMOSPHERE as SEA_LEVEL
from coldcab.service import drying, evacuation, leak_test, rinse, rise_test

MICRON = units.from_unit(1.0, "pressure", "micron")
GAUGE_DIGIT = 10.0 * MICRON  # of the micron gauge
USUAL_HOSE = "3/16 in bore, 6 ft"  # as the instrument stands at the start
USUAL_TEMPERATURE = kelvin(70.0)
ANY_YARD = 100e3  # Pa, any yard: the first minute of a pump-down does not change the drying


def _fluid_ounces(number: float) -> float:
    return units.from_unit(number, "volume", "fl oz")


def start_pressure(case: TightnessCase) -> float:
    """Absolute pressure in the evening in Pa."""
    return absolute(case.start_psig, case.atmosphere)


def morning_pressure(case: TightnessCase) -> float:
    """Absolute pressure in the morning in Pa."""
    return absolute(case.morning_psig, case.atmosphere)


def vacuum(case: TightnessCase) -> float:
    """Reading of the vacuum gauge in Pa below the air."""
    return units.from_unit(case.vacuum_inches, "pressure difference", "inHg")


def _letters(wanted: Callable[[Any], bool], shown: tuple, choices: tuple[str, ...] = LETTERS) -> str:
    """Letters of what is wanted, as a list's value."""
    return listed([letter for letter, one in zip(choices, shown, strict=True) if wanted(one)], choices)


def _other(value: str, *taken: str) -> str | None:
    """The list, or None where it is empty or another's."""
    return None if not value or value in taken else value


def old_oil_left() -> Key:
    """Share of the old oil after the last flush."""

    def left(case: TightnessCase, flushes: int) -> float:
        return float(
            rinse.residual(
                flushes,
                carry_over=_fluid_ounces(case.carry_over_fluid_ounces),
                solvent=_fluid_ounces(case.solvent_fluid_ounces),
                held=_fluid_ounces(case.held_fluid_ounces),
            )
        )

    def one_large(case: TightnessCase) -> float:
        whole = case.held_fluid_ounces + case.flushes * case.solvent_fluid_ounces
        return case.carry_over_fluid_ounces / whole

    return Key(
        answer=lambda case: left(case, case.flushes),
        tolerance=Tolerance("shares are rounded on the way, to a tenth of a per cent", relative=0.02, absolute=0.0006),
        ideas=(
            WrongIdea(
                "one flush is as good as several",
                lambda case: left(case, 1),
                "That is after the first flush. Some liquid stays inside every time, and the next flush dilutes it.",
            ),
            WrongIdea(
                "one large flush",
                one_large,
                "You poured all the solvent in at once. Small flushes one after the other take out more.",
            ),
            WrongIdea(
                "what drains is gone, what was fresh is clean",
                lambda case: case.carry_over_fluid_ounces / case.held_fluid_ounces,
                "That only counts what drains by itself. The solvent dilutes what stays; put it under the line.",
            ),
        ),
    )


@lru_cache(maxsize=8192)
def tight_pressure(case: TightnessCase) -> float:
    """Absolute pressure in the morning of a tight circuit, Pa."""
    return leak_test.corrected_pressure(
        start_pressure(case), kelvin(case.evening_fahrenheit), kelvin(case.morning_fahrenheit)
    )


def _gauge_ratio(case: TightnessCase) -> float:
    """The same, with the ratio taken of the gauge reading."""
    return (start_pressure(case) - case.atmosphere) * kelvin(case.morning_fahrenheit) / kelvin(
        case.evening_fahrenheit
    ) + case.atmosphere


def gauge_of_a_tight_circuit() -> Key:
    """Pressure of a closed volume at another temperature."""
    return Key(
        answer=tight_pressure,
        tolerance=Tolerance("people round to a whole psi, as the gauge is read", absolute=0.6 * PSI),
        ideas=(
            WrongIdea(
                "ratio of the gauge reading",
                _gauge_ratio,
                "You took the ratio of gauge readings. Add the air pressure first, take the ratio, then subtract it.",
                credit=0.5,
            ),
            WrongIdea(
                "degrees Fahrenheit in the ratio",
                lambda case: (
                    (start_pressure(case) - case.atmosphere) * case.morning_fahrenheit / case.evening_fahrenheit
                    + case.atmosphere,
                    start_pressure(case) * case.morning_fahrenheit / case.evening_fahrenheit,
                ),
                "The ratio needs absolute temperature: add 459.67 to degrees Fahrenheit first.",
            ),
            WrongIdea(
                "no change expected",
                lambda case: start_pressure(case),
                "A tight circuit does not keep its pressure: it follows its absolute temperature, and the night was "
                "cold.",
            ),
        ),
    )


def fall_not_explained() -> Key:
    """What the temperature does not explain."""
    return Key(
        answer=lambda case: tight_pressure(case) - morning_pressure(case),
        tolerance=Tolerance("the gauge is read to 1 psi, half of it either way", absolute=0.6 * PSI),
        ideas=(
            WrongIdea(
                "a cold night taken for a leak",
                lambda case: start_pressure(case) - morning_pressure(case),
                "That is the whole fall. Most of it is the cold night; take away what a tight circuit would lose too.",
            ),
            WrongIdea(
                "what the temperature explains",
                lambda case: apart(
                    start_pressure(case) - tight_pressure(case),
                    tight_pressure(case) - morning_pressure(case),
                    start_pressure(case) - morning_pressure(case),
                    width=0.6 * PSI,
                ),
                "That is the part which the temperature does explain. Wanted is the rest.",
                credit=0.25,
            ),
            WrongIdea(
                "ratio of the gauge reading",
                lambda case: _gauge_ratio(case) - morning_pressure(case),
                "The ratio was taken of gauge readings. Add the air pressure before the ratio.",
                credit=0.5,
            ),
        ),
    )


def water_boils_below() -> Key:
    """Saturation pressure of water at the machine's temperature."""
    return Key(
        answer=lambda case: evacuation.boiling_pressure(kelvin(case.pumping_fahrenheit)),
        tolerance=Tolerance("one degree Fahrenheit is 3.5 % of it", relative=0.035),
        ideas=(
            WrongIdea(
                "the target taken for the boiling point",
                lambda case: evacuation.DEEP_TARGET,
                "500 micron is where you want to end. Water boils far above that at this temperature.",
            ),
            WrongIdea(
                "water boils at 212 F",
                lambda case: SEA_LEVEL,
                "That is the pressure at which water boils at 212 F (100 C). In a cool machine it needs a vacuum.",
            ),
            WrongIdea(
                "at the boiling point of ice water",
                lambda case: evacuation.boiling_pressure(FREEZING),
                "That is the pressure at the freezing point. Look it up at the temperature of this machine.",
            ),
        ),
    )


def pressure_in_the_machine() -> Key:
    """Absolute pressure from a vacuum gauge at altitude."""
    return Key(
        answer=lambda case: case.atmosphere - vacuum(case),
        tolerance=Tolerance("a vacuum gauge is read to 0.1 inHg", absolute=0.15 * INCH_OF_MERCURY),
        ideas=(
            WrongIdea(
                "sea level taken for the yard",
                lambda case: SEA_LEVEL - vacuum(case),
                "You counted down from the air pressure at sea level. Up here the air presses less; count from that.",
                credit=0.25,
            ),
            WrongIdea(
                "the reading taken for absolute",
                lambda case: vacuum(case),
                "The gauge shows how far below the air it is. Take that away from the air pressure of the yard.",
            ),
            WrongIdea(
                "vacuum added",
                lambda case: case.atmosphere + vacuum(case),
                "You added the vacuum to the air pressure. It is below the air pressure: subtract.",
            ),
        ),
    )


@lru_cache(maxsize=8192)
def _verdict(readings: tuple[float, ...]) -> str:
    times = 60.0 * np.array(READING_MINUTES)
    found = rise_test.judge(times, np.array(readings) * MICRON, resolution=GAUGE_DIGIT, noise=GAUGE_DIGIT)
    return found.likeliest


def _rises(*verdicts: str) -> Callable[[TightnessCase], str]:
    return lambda case: _letters(lambda one: _verdict(one) in verdicts, case.rises, RISE_LETTERS)


_leaking, _wet = _rises(rise_test.LEAK, rise_test.BOTH), _rises(rise_test.MOISTURE, rise_test.BOTH)
_rising = _rises(rise_test.LEAK, rise_test.BOTH, rise_test.MOISTURE)


def rises_that_leak() -> Key:
    """Rises that go on in equal steps to the end."""
    only = _rises(rise_test.LEAK)
    return Key(
        answer=_leaking,
        ideas=(
            WrongIdea(
                "every rise is a leak",
                lambda case: _other(_rising(case), _leaking(case)),
                "A leak rises in equal steps to the end. One that flattens out was water.",
            ),
            WrongIdea(
                "a bend hides the leak",
                lambda case: _other(only(case), _leaking(case)),
                "One of them bends first and then still climbs in steady steps. That is water and a leak.",
            ),
            WrongIdea(
                "wet ones taken for leaks",
                lambda case: _other(_wet(case), _leaking(case), _rising(case), only(case)),
                "A bend is water. Look at the last steps: only where they stay equal does air come in.",
            ),
        ),
    )


def rises_that_are_wet() -> Key:
    """Rises whose steps shrink."""
    only = _rises(rise_test.MOISTURE)
    return Key(
        answer=_wet,
        ideas=(
            WrongIdea(
                "every rise is water",
                lambda case: _other(_rising(case), _wet(case)),
                "Water bends the curve. A straight line from the first step to the last is air alone.",
            ),
            WrongIdea(
                "a steady end hides the water",
                lambda case: _other(only(case), _wet(case)),
                "One of them starts with large steps that shrink, then climbs steadily. The large ones are water.",
            ),
            WrongIdea(
                "leaks taken for water",
                lambda case: _other(_leaking(case), _wet(case), _rising(case), only(case)),
                "Equal steps to the end are a leak. Water shows in steps that shrink.",
            ),
        ),
    )


def ready_to_charge() -> Key:
    """Notes that prove tight and dry."""

    def of(case: TightnessCase, *places: int) -> str:
        wanted = set(NOTES[:READY]) | {NOTES[place] for place in places}
        return _letters(lambda text: text in wanted, case.notes)

    return Key(
        answer=of,
        ideas=(
            WrongIdea(
                "the clock or the pump's gauge is enough",
                lambda case: _other(of(case, 3, 4, 7), of(case)),
                "A clock, a gauge at the running pump, a manifold gauge prove nothing. Shut the valve and watch.",
            ),
            WrongIdea(
                "a flat end means dry",
                lambda case: _other(of(case, 6, 9), of(case)),
                "It is flat, but thousands of micron up. That is vapor of water, or a pump that cannot go deeper.",
            ),
            WrongIdea(
                "the drier forgotten",
                lambda case: _other(of(case, 8), of(case)),
                "A drier that stood open holds its water through any vacuum and gives it back later. Replace it.",
            ),
        ),
    )


def water(case: TightnessCase) -> float:
    """Water in the wet machine in kg."""
    return units.from_unit(case.water_grams, "mass", "g")


@lru_cache(maxsize=512)
def _dry_after(water: float, temperature: float, hose: str, cores: bool) -> float:
    """s until dry; infinite where an hour and a half is too short."""
    return float(drying.shop_drying(water, temperature, hose=hose, cores=cores, atmosphere=ANY_YARD).dry_after)


@lru_cache(maxsize=16)
def _air_out(hose: str, cores: bool) -> float:
    """s until a dry machine is at 500 micron."""
    return float(drying.shop_drying(0.0, USUAL_TEMPERATURE, hose=hose, cores=cores, atmosphere=ANY_YARD).target_after)


def _finite(seconds: float) -> float | None:
    return seconds if seconds < float("inf") else None


def _wrong_hose(case: TightnessCase) -> float | None:
    if case.hose == USUAL_HOSE:
        return None
    return _finite(_dry_after(water(case), kelvin(case.drying_fahrenheit), USUAL_HOSE, True))


def parts_to_flush() -> Key:
    """Parts with an open path for the solvent."""

    def of(case: TightnessCase, *more: str) -> str:
        return _letters(
            lambda part: part in more or rinse.part_rule(part).answer in (rinse.YES, rinse.WITH_CARE), case.parts
        )

    return Key(
        answer=of,
        ideas=(
            WrongIdea(
                "the compressor flushed",
                lambda case: _other(of(case, "compressor", "expansion valve"), of(case)),
                "Solvent washes the oil off bearings and stays behind; a valve's seat and screen keep the dirt.",
            ),
            WrongIdea(
                "the drier flushed",
                lambda case: _other(of(case, "receiver-drier", "accumulator", "in-line filter", "muffler"), of(case)),
                "What has desiccant, a filter or a chamber keeps solvent and dirt and gives them back. Replace it.",
            ),
            WrongIdea(
                "many paths flushed",
                lambda case: _other(of(case, "parallel-flow condenser"), of(case)),
                "Solvent takes the open paths and leaves the clogged ones as they are. Replace it.",
            ),
            WrongIdea(
                "everything is replaced",
                lambda case: _other(
                    _letters(lambda part: rinse.part_rule(part).answer == rinse.YES, case.parts), of(case)
                ),
                "A sound hose and an evaporator with few paths may be flushed too, with care. Metal need not be thrown "
                "away.",
            ),
        ),
    )


DANGER = set(SCENES[:STOPS])
GAS, SOLVENT = set(SCENES[:5]) | {SCENES[8]}, {SCENES[6], SCENES[7]}


def stop_at_once() -> Key:
    """Scenes in which somebody is about to get hurt, or a compressor."""

    def right(case: TightnessCase) -> str:
        return _letters(lambda text: text in DANGER, case.scenes)

    def without(dangers: set[str]) -> Callable[[TightnessCase], str | None]:
        return lambda case: _other(_letters(lambda text: text in DANGER - dangers, case.scenes), right(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "gas is gas",
                without(GAS),
                "Bottle pressure, shop air, oxygen, nitrogen in a closed bay: it can burst, burn, explode or choke.",
            ),
            WrongIdea(
                "solvent is only a cleaner",
                without(SOLVENT),
                "Gasoline burns, and so does solvent vapor near what glows. Use a flush made for it, no flame.",
            ),
            WrongIdea(
                "the compressor may help the pump",
                without({SCENES[5]}),
                "Never run the compressor in a vacuum: no oil comes back, nothing cools it, and it can arc or seize.",
            ),
            WrongIdea(
                "stop everything",
                lambda case: _other(", ".join(LETTERS), right(case)),
                "Some of these are done right: regulator and relief valve, gauge at zero, goggles, clutch unplugged.",
            ),
        ),
    )


def time_to_dry() -> Key:
    """Pumping time of a wet machine."""
    return Key(
        answer=lambda case: _dry_after(water(case), kelvin(case.drying_fahrenheit), case.hose, case.cores),
        tolerance=Tolerance(
            "the instrument moves by whole minutes, and the last trace is hard to see",
            absolute=units.from_unit(2.0, "time", "min"),
        ),
        ideas=(
            WrongIdea(
                "thirty minutes is enough",
                lambda case: units.from_unit(30.0, "time", "min"),
                "Half an hour is a habit, not a measure. This much water at this temperature takes longer.",
            ),
            WrongIdea(
                "the air taken for the water",
                lambda case: _air_out(case.hose, case.cores),
                "That is how long the air takes in a dry machine. Water must boil away afterwards.",
            ),
            WrongIdea(
                "temperature left at 70 F",
                lambda case: _dry_after(water(case), USUAL_TEMPERATURE, case.hose, case.cores),
                "That is the time at 70 F (21 C). This machine is colder, and cold water boils away more slowly.",
                credit=0.5,
            ),
            WrongIdea(
                "the usual hose with its cores",
                _wrong_hose,
                "That is the time through the narrow hose with the cores left in. Set hose and cores as in your case.",
                credit=0.5,
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "old oil left": old_oil_left(),
    "parts to flush": parts_to_flush(),
    "stop at once": stop_at_once(),
    "gauge of a tight circuit": gauge_of_a_tight_circuit(),
    "fall not explained": fall_not_explained(),
    "water boils below": water_boils_below(),
    "pressure in the machine": pressure_in_the_machine(),
    "rises that leak": rises_that_leak(),
    "rises that are wet": rises_that_are_wet(),
    "ready to charge": ready_to_charge(),
}

KEYS = PRACTICE | {
    "time to dry": time_to_dry(),
}
