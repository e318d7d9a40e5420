"""Answers and wrong ideas of lesson retrofit-2: rinsing, the nitrogen test, the vacuum and the rise test."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from coldcab import units
from coldcab.assess.keys import Key, Tolerance, WrongIdea, absolute, kelvin
from coldcab.lessons.retrofit_2.numbers import READING_MINUTES, TightnessCase
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


def rinse_count(case: TightnessCase) -> int:
    """Fewest rinses that reach the target."""
    return rinse.rinses_needed(
        case.target_percent / 100.0,
        carry_over=_fluid_ounces(case.carry_over_fluid_ounces),
        solvent=_fluid_ounces(case.solvent_fluid_ounces),
        held=_fluid_ounces(case.held_fluid_ounces),
    )


def _halvings(case: TightnessCase) -> float:
    return float(math.ceil(math.log(100.0 / case.target_percent) / math.log(2.0)))


def rinses_needed() -> Key:
    """Rinses until the target is reached."""
    return Key(
        answer=lambda case: float(rinse_count(case)),
        tolerance=Tolerance("rinses are counted", absolute=0.2),
        ideas=(
            WrongIdea(
                "one rinse is enough",
                lambda case: 1.0,
                "One rinse leaves a share of the oil behind, because some liquid always stays inside. Dilute again.",
            ),
            WrongIdea(
                "rounded down",
                lambda case: float(rinse_count(case) - 1) if rinse_count(case) > 2 else None,
                "That is one rinse short: a little more than may stay is still inside. Round up.",
                credit=0.5,
            ),
            WrongIdea(
                "each rinse takes half",
                _halvings,
                "You let each rinse take half. It leaves what stays inside, over all that was inside before draining.",
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
            WrongIdea(
                "ratio upside down",
                lambda case: start_pressure(case) * kelvin(case.evening_fahrenheit) / kelvin(case.morning_fahrenheit),
                "The ratio is upside down: a colder circuit shows less, not more.",
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
                # Where nothing is left over, this is the whole fall: the idea above says it.
                lambda case: (
                    start_pressure(case) - tight_pressure(case)
                    if tight_pressure(case) - morning_pressure(case) > 1.5 * PSI
                    else None
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


def rise(place: int) -> Key:
    """What one of the rises says; ``place`` counts from 0."""

    def answer(case: TightnessCase) -> str:
        return _verdict(case.rises[place])

    def instead(name: str, *truths: str):
        return lambda case: name if answer(case) in truths else None

    return Key(
        answer=answer,
        ideas=(
            WrongIdea(
                "every rise is a leak",
                instead("leak", rise_test.TIGHT, rise_test.MOISTURE, rise_test.BOTH),
                "A leak rises in equal steps to the end. Compare the last steps with the first.",
            ),
            WrongIdea(
                "every rise is water",
                instead("moisture", rise_test.TIGHT, rise_test.LEAK, rise_test.BOTH),
                "Water bends the curve and then stays. Compare the last steps with the first.",
            ),
            WrongIdea(
                "a flat end means tight",
                instead("tight", rise_test.MOISTURE),
                "The end is flat, but on the way there it rose by thousands of micron. That was vapor of water.",
            ),
            WrongIdea(
                "only the end is looked at",
                instead("tight", rise_test.LEAK, rise_test.BOTH),
                "It still rises at the end. A tight circuit stays within the scatter of its gauge.",
            ),
            WrongIdea(
                "a bend seen where there is none",
                instead("moisture and a leak", rise_test.LEAK, rise_test.MOISTURE),
                "Only one of the two shows here: equal steps throughout, or steps that shrink to nothing.",
                credit=0.25,
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


def bench(case: TightnessCase) -> list[str]:
    """The parts on the bench."""
    return case.parts.split(", ")


def part_that_may_be_rinsed() -> Key:
    """The one part on the bench with a single open path."""

    def picked(*parts: str):
        return lambda case: next((part for part in bench(case) if part in parts), None)

    return Key(
        answer=lambda case: next(part for part in bench(case) if rinse.part_rule(part).answer == rinse.YES),
        ideas=(
            WrongIdea(
                "the compressor rinsed",
                picked("compressor"),
                "Solvent washes the oil off its bearings and stays in its crankcase. Drain it and measure instead.",
            ),
            WrongIdea(
                "the drier rinsed",
                picked("receiver-drier", "accumulator"),
                "Desiccant and filter keep solvent and dirt and give them back later. Replace it.",
            ),
            WrongIdea(
                "many paths rinsed",
                picked("parallel-flow condenser"),
                "Solvent takes the open paths and leaves the clogged ones as they are. Replace it.",
            ),
        ),
    )


def test_gas() -> Key:
    """What a circuit is put under pressure with."""
    return Key(
        answer=lambda case: "dry nitrogen",
        ideas=(
            WrongIdea(
                "compressed air as test gas",
                lambda case: "shop air",
                "Shop air brings water and oil, and air with refrigerant can burn under pressure. Use dry nitrogen.",
            ),
            WrongIdea(
                "oxygen as test gas",
                lambda case: "oxygen",
                "Oxygen and oil explode. Never. Use dry nitrogen through a regulator.",
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
    "rinses needed": rinses_needed(),
    "gauge of a tight circuit": gauge_of_a_tight_circuit(),
    "fall not explained": fall_not_explained(),
    "water boils below": water_boils_below(),
    "pressure in the machine": pressure_in_the_machine(),
    "first rise": rise(0),
    "second rise": rise(1),
}

KEYS = PRACTICE | {
    "part that may be rinsed": part_that_may_be_rinsed(),
    "test gas": test_gas(),
    "time to dry": time_to_dry(),
    "third rise": rise(2),
}

EARLIER = {
    "water": water,
    "drying_temperature": lambda case: kelvin(case.drying_fahrenheit),
    "parts": lambda case: tuple(bench(case)),
}
"""What cases said themselves in release 0.2, for keys of that time."""
