"""Reference solution of the graded sheet retrofit-2: the keys of practice, and those of the lines that only it has."""

from functools import lru_cache

from coldcab.assess.forms.retrofit_2 import FORM
from coldcab.assess.ideas_tightness import rise
from coldcab.assess.practice.retrofit_2 import KEYS
from coldcab.scenario.retrofit_2 import TightnessCase

from coldcab import units
from coldcab.assess.items import Key, Tolerance, WrongIdea
from coldcab.service import drying, rinse

USUAL_HOSE = "3/16 in bore, 6 ft"  # as the instrument stands at the start
USUAL = units.from_unit(70.0, "temperature", "F")
ROOM = 100e3  # Pa, any yard: the first minute of a pump-down does not change the drying


@lru_cache(maxsize=512)
def _dry_after(water: float, temperature: float, hose: str, cores: bool) -> float:
    """s until dry; infinite where an hour and a half is too short."""
    return float(drying.shop_drying(water, temperature, hose=hose, cores=cores, atmosphere=ROOM).dry_after)


@lru_cache(maxsize=16)
def _air_out(hose: str, cores: bool) -> float:
    """s until a dry machine is at 500 micron."""
    return float(drying.shop_drying(0.0, USUAL, hose=hose, cores=cores, atmosphere=ROOM).target_after)


def _finite(seconds: float) -> float | None:
    return seconds if seconds < float("inf") else None


def _wrong_hose(case: TightnessCase) -> float | None:
    if case.hose == USUAL_HOSE:
        return None
    return _finite(_dry_after(case.water, case.drying_temperature, USUAL_HOSE, True))


def part_that_may_be_rinsed() -> Key:
    """The one part on the bench with a single open path."""

    def picked(*parts: str):
        return lambda case: next((part for part in case.parts if part in parts), None)

    return Key(
        answer=lambda case: next(part for part in case.parts if rinse.part_rule(part).answer == rinse.YES),
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
        answer=lambda case: _dry_after(case.water, case.drying_temperature, case.hose, case.cores),
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
                lambda case: _dry_after(case.water, USUAL, case.hose, case.cores),
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


ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "part that may be rinsed": part_that_may_be_rinsed(),
        "test gas": test_gas(),
        "time to dry": time_to_dry(),
        "third rise": rise(2),
    }
)
