"""Reference solution of the graded sheet cycle-3: the keys of practice, and those of the lines that only it has."""

from functools import lru_cache

from coldcab.assess.forms.cycle_3 import FORM
from coldcab.assess.practice.cycle_3 import KEYS
from coldcab.scenario.cycle_3 import AirCase

from coldcab import units
from coldcab.assess.items import Key, Tolerance, WrongIdea


def btu(number: float) -> float:
    """Btu/h as W."""
    return units.from_unit(number, "power", "Btu/h")


@lru_cache(maxsize=4096)
def fresh(case: AirCase) -> tuple[float, float, float]:
    """Heat of the fresh air in W: all of it, the sensible part, and that of the outside air alone."""
    inside, outside = case.inside, case.outside
    whole = case.fresh_flow * (outside.enthalpy - inside.enthalpy)
    latent = case.fresh_flow * (outside.humidity_ratio - inside.humidity_ratio) * LATENT_HEAT
    return whole, whole - latent, case.fresh_flow * outside.enthalpy


LATENT_HEAT = 2546e3  # J/kg, vapor at 24 C; it only parts what a wrong idea leaves out


def without_fresh(case: AirCase) -> float:
    """Everything that warms the cab but the fresh air, W."""
    walls = case.walls * (case.outside_dry_fahrenheit - case.inside_fahrenheit)
    return btu(walls + case.sun + case.engine + case.driver_heat + case.driver_water + case.blower)


def load(case: AirCase) -> float:
    """All that the coil must carry, W."""
    return without_fresh(case) + fresh(case)[0]


def fresh_air_load() -> Key:
    """Heat that the fresh air brings, water included."""
    return Key(
        answer=lambda case: fresh(case)[0],
        tolerance=Tolerance("two enthalpies, each read to 0.2 Btu/lb of some 15 between them", relative=0.035),
        ideas=(
            WrongIdea(
                "latent heat forgotten",
                lambda case: fresh(case)[1],
                "You took only the temperatures. The water that comes in with the air must be condensed, which takes "
                "heat too.",
                credit=0.5,
            ),
            WrongIdea(
                "inside air left out",
                lambda case: fresh(case)[2],
                "You took all of the outside air's enthalpy. As much air leaves the cab; take the difference.",
            ),
            WrongIdea(
                "minutes for hours",
                lambda case: fresh(case)[0] / 60,
                "cfm counts a minute and Btu/h an hour: multiply by 60.",
                credit=0.5,
            ),
        ),
    )


def cab_load() -> Key:
    """Everything that the coil must carry away."""
    return Key(
        answer=load,
        tolerance=Tolerance("the doubt of the fresh air load, and sums rounded to 100 Btu/h", relative=0.013),
        ideas=(
            WrongIdea(
                "latent heat forgotten",
                lambda case: load(case) - (fresh(case)[0] - fresh(case)[1]) - btu(case.driver_water),
                "You added only what warms the air. The moisture of driver and fresh air becomes water at the coil, "
                "and that takes heat too.",
                credit=0.5,
            ),
            WrongIdea(
                "sun left out",
                lambda case: load(case) - btu(case.sun),
                "The sun is missing. Through the glass it is the largest part of all.",
            ),
            WrongIdea(
                "fresh air left out",
                without_fresh,
                "The fresh air is missing. It comes in hot and damp and must be cooled and dried.",
                credit=0.5,
            ),
        ),
    )


def condenser_half_blocked() -> Key:
    """The condenser gives its heat to less air, so it must become hotter."""
    return Key(
        answer=lambda case: "high side rises",
        ideas=(
            WrongIdea(
                "a blocked condenser taken for low charge",
                lambda case: "low side falls",
                "The condenser gives off the same heat to less air, so it must get hotter: that shows on the high "
                "gauge. The low side hardly moves.",
            ),
            WrongIdea(
                "condenser taken for evaporator",
                lambda case: "water from the coil rises",
                "Water forms at the evaporator. The condenser is the part that gives the heat off.",
            ),
        ),
    )


def blower_turned_up() -> Key:
    """More air takes more heat from the coil, but leaves warmer."""
    return Key(
        answer=lambda case: "more heat taken and vents warmer",
        ideas=(
            WrongIdea(
                "more air, colder air",
                lambda case: "more heat taken and vents colder",
                "More air spends less time at the fins, so each pound is cooled less and the vents get warmer.",
                credit=0.5,
            ),
            WrongIdea(
                "cooling grows with the fan without limit",
                lambda case: "twice the heat taken",
                "Twice the air does not take twice the heat. The coil and the compressor set the limit.",
            ),
        ),
    )


ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "fresh air load": fresh_air_load(),
        "cab load": cab_load(),
        "condenser half blocked": condenser_half_blocked(),
        "blower turned up": blower_turned_up(),
    }
)
