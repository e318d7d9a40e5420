"""Answers and wrong ideas of lesson cycle-3, about moist air, a wet coil and a cab's load."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from coldcab import air, units
from coldcab.assess.keys import Key, Tolerance, WrongIdea, celsius_called_fahrenheit, kelvin
from coldcab.lessons.cycle_3.numbers import AirCase
from coldcab.quantities import FAHRENHEIT_DEGREE
from coldcab.quantities import STANDARD_ATMOSPHERE as SEA_LEVEL

GRAINS_A_POUND = 7000.0
LATENT_HEAT = 2546e3  # J/kg, vapor at 24 C; it only parts what a wrong idea leaves out
CHART = "the chart is read with the humidity set to a percent"


@lru_cache(maxsize=4096)
def outside_air(case: AirCase, pressure: float | None = None) -> air.MoistAir:
    """The air of the day, or what its two thermometers would mean if the air pressed with ``pressure`` Pa."""
    dry, wet = kelvin(case.outside_dry_fahrenheit), kelvin(case.outside_wet_fahrenheit)
    return air.moist_air(dry, case.atmosphere if pressure is None else pressure, wet_bulb=wet)


@lru_cache(maxsize=4096)
def inside_air(case: AirCase) -> air.MoistAir:
    """The air that the cab should have."""
    return air.moist_air(kelvin(case.inside_fahrenheit), case.atmosphere, relative_humidity=case.inside_humidity)


@lru_cache(maxsize=4096)
def air_before_coil(case: AirCase) -> air.MoistAir:
    """The air that the coil gets."""
    return air.moist_air(kelvin(case.coil_dry_fahrenheit), case.atmosphere, relative_humidity=case.coil_humidity)


def coil_flow(case: AirCase) -> float:
    """Dry air through the coil in kg/s."""
    return units.from_unit(case.airflow_cfm, "volume flow", "cfm") / air_before_coil(case).specific_volume


@lru_cache(maxsize=4096)
def coil(case: AirCase, bypass: float | None = None) -> air.CoilResult:
    """What the coil does to its air, or would do with another share of air that passes untouched."""
    return air.coil(
        air_before_coil(case),
        coil_flow(case),
        surface_temperature=kelvin(case.surface_fahrenheit),
        bypass_factor=case.bypass if bypass is None else bypass,
    )


@lru_cache(maxsize=4096)
def chart_readings(case: AirCase) -> dict[str, float]:
    """What the air outside is, and what it would be for who reads the chart wrong; kept, several lines ask for it."""
    state = outside_air(case)
    dry, wet = state.dry_bulb, state.wet_bulb
    scaled = kelvin(units.convert(dry, "temperature", "F") * state.relative_humidity)
    return {
        "dew point": state.dew_point,
        "wet bulb": wet,
        "scaled": scaled,
        "humidity ratio": state.humidity_ratio,
        "at sea level": outside_air(case, SEA_LEVEL).humidity_ratio,
        "at the wet bulb": air.humidity_ratio(wet, 1.0, state.pressure),
        "saturated": air.humidity_ratio(dry, 1.0, state.pressure),
    }


def dew_point() -> Key:
    """Temperature at which the air outside begins to shed water."""
    return Key(
        answer=lambda case: chart_readings(case)["dew point"],
        tolerance=Tolerance(f"{CHART}, which is 0.7 F of dew point", absolute=1.0 * FAHRENHEIT_DEGREE),
        ideas=(
            WrongIdea(
                "wet bulb taken for dew point",
                lambda case: chart_readings(case)["wet bulb"],
                "That is the wet bulb. It lies on the slanting line; the dew point lies straight left, at the same "
                "amount of water.",
            ),
            WrongIdea(
                "relative humidity times temperature",
                lambda case: chart_readings(case)["scaled"],
                "You multiplied the temperature by the relative humidity. A percent says how full the air is, not "
                "how warm it must become.",
            ),
            WrongIdea(
                "F and C mixed",
                lambda case: celsius_called_fahrenheit(chart_readings(case)["dew point"]),
                "The number is right in degrees Celsius, but it says F.",
                credit=0.5,
            ),
        ),
    )


def humidity_ratio() -> Key:
    """Water in the air outside, for each mass of dry air."""
    return Key(
        answer=lambda case: chart_readings(case)["humidity ratio"],
        tolerance=Tolerance(f"{CHART}, which is 2 % of the water", relative=0.025),
        ideas=(
            WrongIdea(
                "chart of sea level at altitude",
                lambda case: chart_readings(case)["at sea level"],
                "You read a chart for sea level. Thinner air holds more water for each pound; set the yard's altitude.",
                credit=0.5,
            ),
            WrongIdea(
                "straight across from the wet bulb",
                lambda case: chart_readings(case)["at the wet bulb"],
                "That is what air saturated at the wet bulb would hold. Follow the slanting line down to the dry bulb "
                "first, then go straight across.",
            ),
            WrongIdea(
                "air taken for full",
                lambda case: chart_readings(case)["saturated"],
                "That is what this air could hold at the most. Relative humidity says how much of it is there.",
            ),
        ),
    )


def vent_temperature() -> Key:
    """Dry bulb of the air behind the coil."""

    def turned_round(case: AirCase) -> float:
        before, surface = air_before_coil(case).dry_bulb, kelvin(case.surface_fahrenheit)
        return before - case.bypass * (before - surface)

    return Key(
        answer=lambda case: coil(case).leaving.dry_bulb,
        tolerance=Tolerance("a vent thermometer is read to 1 F", absolute=1.2 * FAHRENHEIT_DEGREE),
        ideas=(
            WrongIdea(
                "coil surface taken for the vent",
                lambda case: kelvin(case.surface_fahrenheit),
                "That is the coil's surface, near the refrigerant's temperature. The vent blows a mix of cold air and "
                "air that passed untouched, so it is warmer.",
            ),
            WrongIdea(
                "share turned round",
                turned_round,
                "You let only the small share touch the coil. It is the share that passes untouched.",
                credit=0.5,
            ),
            WrongIdea(
                "F and C mixed",
                lambda case: celsius_called_fahrenheit(coil(case).leaving.dry_bulb),
                "The number is right in degrees Celsius, but it says F.",
                credit=0.5,
            ),
        ),
    )


def heat_taken() -> Key:
    """All of the heat that the coil takes from its air."""
    return Key(
        answer=lambda case: coil(case).total_heat,
        tolerance=Tolerance("the chart's sliders step by 1 F, 1 % and 5 cfm", relative=0.025),
        ideas=(
            WrongIdea(
                "latent heat forgotten",
                lambda case: coil(case).sensible_heat,
                "That is only what cools the air. Turning vapor into water takes heat as well; the coil carries both.",
                credit=0.5,
            ),
            WrongIdea(
                "all of the air touches the coil",
                lambda case: coil(case, 0.0).total_heat,
                "You let all of the air touch the surface. Set the share that passes untouched.",
                credit=0.5,
            ),
            WrongIdea(
                "latent heat alone",
                lambda case: coil(case).latent_heat,
                "That is only what makes water. The coil also cools the air.",
            ),
        ),
    )


def latent_share() -> Key:
    """Latent heat over all of the heat."""
    return Key(
        answer=lambda case: coil(case).latent_heat / coil(case).total_heat,
        tolerance=Tolerance("a share is read to a percent or two", absolute=0.02),
        ideas=(
            WrongIdea(
                "sensible share for latent",
                lambda case: coil(case).sensible_heat / coil(case).total_heat,
                "That is the share that cools the air. Latent is the part that makes water.",
            ),
            WrongIdea(
                "latent over sensible",
                lambda case: coil(case).latent_heat / coil(case).sensible_heat,
                "You divided by the sensible heat. A share is a part of the whole: divide by all of the heat.",
                credit=0.5,
            ),
        ),
    )


def condensate_rate() -> Key:
    """Water that runs off the coil."""
    return Key(
        answer=lambda case: coil(case).condensate_rate,
        tolerance=Tolerance("two humidity ratios, each read to half a grain", relative=0.04),
        ideas=(
            WrongIdea(
                "all of the water in the air",
                lambda case: coil_flow(case) * air_before_coil(case).humidity_ratio,
                "You let the coil take all of the water. The air that leaves is cold but still nearly full; take the "
                "difference.",
            ),
            WrongIdea(
                "all of the air touches the coil",
                lambda case: coil(case, 0.0).condensate_rate,
                "You let all of the air touch the surface. Part of it passes with all of its water.",
                credit=0.5,
            ),
            WrongIdea(
                "grains taken for pounds",
                lambda case: GRAINS_A_POUND * coil(case).condensate_rate,
                "That many grains run off, not pounds. Divide by 7,000.",
                credit=0.5,
            ),
        ),
    )


def filter_half_blocked() -> Key:
    """What half of the air does: it leaves colder, and the cab gets less of it."""
    return Key(
        answer=lambda case: "vents colder and cab warmer",
        ideas=(
            WrongIdea(
                "cold vents mean a cold cab",
                lambda case: "both colder",
                "The little air that still flows does get colder. But there is too little of it to carry the cab's "
                "heat away.",
            ),
            WrongIdea(
                "less air, warmer air",
                lambda case: "both warmer",
                "Less air stays longer at the fins and leaves colder. Only the cab gets warmer.",
                credit=0.5,
            ),
        ),
    )


def btu(number: float) -> float:
    """Btu/h as W."""
    return units.from_unit(number, "power", "Btu/h")


def fresh_flow(case: AirCase) -> float:
    """Dry air drawn from outside in kg/s."""
    return units.from_unit(case.fresh_cfm, "volume flow", "cfm") / outside_air(case).specific_volume


class FreshAir(NamedTuple):
    """Heat of the fresh air in W: all of it, its sensible part, and what it holds counted from 0 C."""

    heat: float
    sensible: float
    of_outside_air: float


@lru_cache(maxsize=4096)
def fresh_air(case: AirCase) -> FreshAir:
    """What the fresh air brings."""
    inside, outside = inside_air(case), outside_air(case)
    flow = fresh_flow(case)
    whole = flow * (outside.enthalpy - inside.enthalpy)
    latent = flow * (outside.humidity_ratio - inside.humidity_ratio) * LATENT_HEAT
    return FreshAir(whole, whole - latent, flow * outside.enthalpy)


def load_without_fresh_air(case: AirCase) -> float:
    """Everything that warms the cab but the fresh air, W."""
    walls = case.walls * (case.outside_dry_fahrenheit - case.inside_fahrenheit)
    return btu(walls + case.sun + case.engine + case.driver_heat + case.driver_water + case.blower)


def whole_load(case: AirCase) -> float:
    """All that the coil must carry, W."""
    return load_without_fresh_air(case) + fresh_air(case).heat


def fresh_air_load() -> Key:
    """Heat that the fresh air brings, water included."""
    return Key(
        answer=lambda case: fresh_air(case).heat,
        tolerance=Tolerance("two enthalpies, each read to 0.2 Btu/lb of some 15 between them", relative=0.035),
        ideas=(
            WrongIdea(
                "latent heat forgotten",
                lambda case: fresh_air(case).sensible,
                "You took only the temperatures. The water that comes in with the air must be condensed, which takes "
                "heat too.",
                credit=0.5,
            ),
            WrongIdea(
                "inside air left out",
                lambda case: fresh_air(case).of_outside_air,
                "You took all of the outside air's enthalpy. As much air leaves the cab; take the difference.",
            ),
            WrongIdea(
                "minutes for hours",
                lambda case: fresh_air(case).heat / 60,
                "cfm counts a minute and Btu/h an hour: multiply by 60.",
                credit=0.5,
            ),
        ),
    )


def cab_load() -> Key:
    """Everything that the coil must carry away."""
    return Key(
        answer=whole_load,
        tolerance=Tolerance("the doubt of the fresh air load, and sums rounded to 100 Btu/h", relative=0.013),
        ideas=(
            WrongIdea(
                "latent heat forgotten",
                lambda case: (
                    whole_load(case) - (fresh_air(case).heat - fresh_air(case).sensible) - btu(case.driver_water)
                ),
                "You added only what warms the air. The moisture of driver and fresh air becomes water at the coil, "
                "and that takes heat too.",
                credit=0.5,
            ),
            WrongIdea(
                "sun left out",
                lambda case: whole_load(case) - btu(case.sun),
                "The sun is missing. Through the glass it is the largest part of all.",
            ),
            WrongIdea(
                "fresh air left out",
                load_without_fresh_air,
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


PRACTICE: dict[str, Key] = {
    "dew point": dew_point(),
    "humidity ratio": humidity_ratio(),
    "vent temperature": vent_temperature(),
    "heat taken by the coil": heat_taken(),
    "latent share": latent_share(),
    "condensate rate": condensate_rate(),
    "filter half blocked": filter_half_blocked(),
}

KEYS = PRACTICE | {
    "fresh air load": fresh_air_load(),
    "cab load": cab_load(),
    "condenser half blocked": condenser_half_blocked(),
    "blower turned up": blower_turned_up(),
}

EARLIER = {"outside": outside_air, "inside": inside_air, "fresh_flow": fresh_flow}
"""What cases said themselves in release 0.2, for keys of that time."""
