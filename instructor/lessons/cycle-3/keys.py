"""Answers and wrong ideas of lesson cycle-3: moist air, a wet coil, a cab's load, and where a cab loses its cold."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple

from coldcab import air, units
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea, apart, celsius_called_fahrenheit, kelvin
from coldcab.lessons.cycle_3 import yard
from coldcab.lessons.cycle_3.numbers import AirCase
from coldcab.lessons.cycle_3.yard import LETTERS, CabReadings, SprayJob
from coldcab.quantities import FAHRENHEIT_DEGREE, INCH
from coldcab.quantities import STANDARD_ATMOSPHERE as SEA_LEVEL

LATENT_HEAT = 2546e3  # J/kg, vapor at 24 C; it only separates what a wrong idea leaves out
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
        "at sea level": outside_air(case, SEA_LEVEL).dew_point,
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


def air_behind_the_coil() -> Key:
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


def water_at_the_drain() -> Key:
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


def cab_load() -> Key:
    """Everything that the coil must carry away."""
    return Key(
        answer=whole_load,
        tolerance=Tolerance("the fresh air load, and sums rounded to 100 Btu/h", relative=0.013),
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


BTU_PER_POUND = 0.24  # Btu/(lb F), dry air


def outside_air_past_the_flap() -> Key:
    """Share of outside air, from three thermometers."""

    def right(case: AirCase) -> float:
        return air.outside_share(case.flap_before_fahrenheit, case.flap_cab_fahrenheit, case.outside_dry_fahrenheit)

    width = 0.03

    return Key(
        answer=right,
        tolerance=Tolerance("three thermometers, each read to half a degree", absolute=width),
        ideas=(
            WrongIdea(
                "the share that comes back",
                lambda case: apart(1.0 - right(case), right(case), width=width),
                "That is the cab's own air on its way back. The outside air is the rest.",
                credit=0.5,
            ),
            WrongIdea(
                "each degree a percent",
                lambda case: apart(
                    (case.flap_before_fahrenheit - case.flap_cab_fahrenheit) / 100.0,
                    right(case),
                    1.0 - right(case),
                    width=width,
                ),
                "You took each degree for a percent. It depends on how many degrees lie between cab and outside.",
            ),
        ),
    )


def heat_from_the_heater() -> Key:
    """What the air gains behind the coil, as heat."""

    def heat(case: AirCase, degrees: float) -> float:
        return btu(case.heater_flow * BTU_PER_POUND * degrees)

    def right(case: AirCase) -> float:
        return heat(case, case.heater_vent_fahrenheit - case.heater_behind_fahrenheit)

    def unless_near(case: AirCase, value: float) -> float | None:
        return apart(value, right(case), width=0.05 * right(case))

    return Key(
        answer=right,
        tolerance=Tolerance("0.24 or 0.245 with its moisture, and people round on the way", relative=0.03),
        ideas=(
            WrongIdea(
                "what is left of the coil's work",
                lambda case: unless_near(case, heat(case, case.heater_before_fahrenheit - case.heater_vent_fahrenheit)),
                "That is what the vents still do for the cab. The heater's part is what the air gains between coil and "
                "vents.",
            ),
            WrongIdea(
                "what the coil took",
                lambda case: unless_near(
                    case, heat(case, case.heater_before_fahrenheit - case.heater_behind_fahrenheit)
                ),
                "That is what the coil took out. The heater puts part of it back behind the coil.",
            ),
        ),
    )


def water_held_up_in_the_drain() -> Key:
    """The box against the air outside, as a column of water."""

    def column(pascal: float) -> float:
        return float(air.water_column(pascal))

    return Key(
        answer=lambda case: column(case.drain_box_pascal - case.drain_cab_pascal),
        tolerance=Tolerance("the gauge is read to 2 Pa; people round on the way", absolute=0.02 * INCH, relative=0.02),
        ideas=(
            WrongIdea(
                "the box against the cab",
                lambda case: column(case.drain_box_pascal),
                "That is the box against the cab. The hose ends outside, and the cab lies above the air outside: take "
                "the cab's pressure away.",
                credit=0.5,
            ),
            WrongIdea(
                "the cab's pressure holds it up",
                lambda case: column(case.drain_cab_pascal),
                "The cab's pressure pushes the water out. What holds it up is the suction of the blower in the box.",
            ),
            WrongIdea(
                "both added",
                lambda case: column(case.drain_box_pascal + case.drain_cab_pascal),
                "You added the two. The cab stands above the air outside, the box below the cab: they work against "
                "each other.",
                credit=0.25,
            ),
        ),
    )


def in_order_up_to_the_vents(cab: CabReadings) -> bool:
    """Whether nothing warms the air before or behind the coil."""
    return cab.before - cab.cab < yard.OVER_CAB and cab.vent - cab.behind < yard.VENT_OVER_COIL


def heater_leaks(cab: CabReadings) -> bool:
    """Hot behind the valve, and the air gains heat behind the coil."""
    return cab.hose_core > yard.BEHIND_VALVE and cab.vent - cab.behind > yard.VENT_OVER_COIL


def flap_leaks(cab: CabReadings) -> bool:
    """The air before the coil is well above the cab's."""
    return cab.before - cab.cab > yard.OVER_CAB


def slow(cab: CabReadings) -> bool:
    """Less air at the vents than the manual wants."""
    return cab.speed < yard.LEAST_SPEED


def duct_leaks(cab: CabReadings) -> bool:
    """Little air at the vents, but the coil sees all of it: its drop is as usual."""
    return slow(cab) and cab.before - cab.behind <= yard.DROP[1]


def blocked(cab: CabReadings) -> bool:
    """Little air at the vents and at the coil, which takes more off it."""
    return slow(cab) and cab.before - cab.behind > yard.DROP[1]


def for_the_gauges(cab: CabReadings) -> bool:
    """Too small a drop across the coil, with the air flow right."""
    return cab.before - cab.behind < yard.DROP[0] and not slow(cab)


def unsealed(cab: CabReadings) -> bool:
    """Only the pressure is too low."""
    return cab.pascal < yard.LEAST_PRESSURE and not slow(cab)


TESTS = {
    "heater valve": heater_leaks,
    "flap": flap_leaks,
    "duct": duct_leaks,
    "filter or coil": blocked,
    "refrigerant circuit": for_the_gauges,
    "seals or pressurizer": unsealed,
}


def suspect(cab: CabReadings) -> str:
    """What is wrong with a cab by its readings."""
    found = [name for name, test in TESTS.items() if test(cab)]
    return found[0] if found else "nothing"


def warm_vents(cab: CabReadings) -> bool:
    """What a hand calls warm."""
    return cab.vent > 60.0


def hot_before_coil(cab: CabReadings) -> bool:
    """What looks hot without a look at the cab's own air."""
    return cab.before > 85.0


def hot_cab(cab: CabReadings) -> bool:
    """A cab that nobody likes to sit in."""
    return cab.cab > 79.0


def first_suspect() -> Key:
    """One cab, followed along its air."""

    def instead(name: str, *of: str) -> Callable[[AirCase], str | None]:
        return lambda case: name if suspect(case.lift) in of else None

    return Key(
        answer=lambda case: suspect(case.lift),
        ideas=(
            WrongIdea(
                "a cab that is not cold lacks refrigerant",
                instead("refrigerant circuit", "heater valve", "flap", "duct", "filter or coil"),
                "The coil takes as much off its air as it should, or more. The cold is lost before or behind it, so "
                "the gauges would find nothing.",
            ),
            WrongIdea(
                "little air is a blocked filter",
                instead("filter or coil", "duct"),
                "The coil takes no more off its air than usual, so it gets its air. The air is lost behind it, in the "
                "duct.",
            ),
            WrongIdea(
                "nothing is wrong",
                instead("nothing", "refrigerant circuit"),
                "One reading is out of what the page calls in order. Go along the air once more, number by number.",
            ),
        ),
    )


def letters(rows: tuple, test: Callable[..., bool]) -> str:
    """Letters of the rows for which the test holds, as a list line writes them."""
    return listed((letter for letter, row in zip(LETTERS, rows, strict=True) if test(row)), LETTERS)


Answer = Callable[[AirCase], str]


def different(value: str, *others: str | None) -> str | None:
    """The value, or None where it is empty or one of the others."""
    return None if not value or value in others else value


def sorted_cabs(test: Callable[[CabReadings], bool], *ideas: tuple[str, Callable[[CabReadings], bool], str]) -> Key:
    """A list of cabs; each idea is another test with its feedback, told where it leads to another list."""

    def right(case: AirCase) -> str:
        return letters(case.cabs, test)

    def result(place: int) -> Callable[[AirCase], str | None]:
        def found(case: AirCase) -> str | None:
            earlier = [letters(case.cabs, other) for _name, other, _words in ideas[:place]]
            return different(letters(case.cabs, ideas[place][1]), right(case), *earlier)

        return found

    return Key(
        answer=right,
        ideas=tuple(WrongIdea(name, result(place), words) for place, (name, _test, words) in enumerate(ideas)),
    )


def heater_valves_that_leak() -> Key:
    """Cabs whose valve lets coolant through."""
    return sorted_cabs(
        heater_leaks,
        (
            "the hose before the valve is hot",
            lambda cab: cab.hose_engine > yard.BEHIND_VALVE,
            "The hose before the valve is hot on every warm engine. Only the hose behind it tells whether the valve "
            "closes.",
        ),
        (
            "warm vents are the heater",
            warm_vents,
            "Warm vents have several causes. The heater only warms the air behind the coil, and its hose is hot there.",
        ),
    )


def flaps_that_leak() -> Key:
    """Cabs that get outside air on recirculation."""
    return sorted_cabs(
        flap_leaks,
        (
            "hot air before the coil",
            hot_before_coil,
            "A hot cab gives the coil hot air too. Compare with that cab's own air: only what is well above it came in "
            "from outside.",
        ),
        (
            "warm vents are the flap",
            warm_vents,
            "Warm vents have several causes. A flap shows before the coil, against the air in the cab.",
        ),
    )


def ducts_that_leak() -> Key:
    """Cabs whose cold air does not arrive."""
    return sorted_cabs(
        duct_leaks,
        (
            "every slow vent is a duct",
            slow,
            "One of them has little air at the coil as well: it takes more than 39 F off. That is a blocked filter or "
            "coil, not a duct.",
        ),
        (
            "a duct warms the air",
            lambda cab: cab.vent - cab.behind > yard.VENT_OVER_COIL,
            "That air gained heat behind the coil, and the hose is hot there: a heater valve. A duct that leaks loses "
            "air, not cold.",
        ),
    )


def cabs_for_the_gauges() -> Key:
    """Cabs whose coil does too little."""
    return sorted_cabs(
        for_the_gauges,
        (
            "warm vents go to the gauges",
            warm_vents,
            "Some of these coils do their whole work, and the air is warmed before or behind them. Compare the air "
            "before and behind each coil.",
        ),
        (
            "a hot cab goes to the gauges",
            hot_cab,
            "Most of these cabs lose their cold on the air side. Only a small drop across the coil points at the "
            "circuit.",
        ),
    )


def holds(words: str) -> bool:
    """Whether a sentence is one of the true ones."""
    return words in {pair[0] for pair in yard.STATEMENTS}


def without_opinion(place: int) -> Callable[[AirCase], str]:
    """The list of somebody who is right in all sentences but those of one pair."""
    return lambda case: letters(case.statements, lambda words: holds(words) != (words in yard.STATEMENTS[place]))


def sentences_that_hold() -> Key:
    """True sentences about a cab."""
    return Key(
        answer=lambda case: letters(case.statements, holds),
        ideas=(
            WrongIdea(
                "less air, warmer air",
                without_opinion(0),
                "All right but for the cabin filter. Less air stays longer at the fins and leaves colder; only the cab "
                "gets warmer.",
                credit=0.5,
            ),
            WrongIdea(
                "more air, colder air",
                without_opinion(2),
                "All right but for the blower. Each pound of air spends less time at the fins and leaves warmer; there "
                "is more of it, so the cab gets cooler.",
                credit=0.5,
            ),
            WrongIdea(
                "a humid day changes nothing",
                without_opinion(3),
                "All right but for the humid day. The coil makes water then, and less is left to cool the air.",
                credit=0.5,
            ),
        ),
    )


def dangerous(words: str) -> bool:
    """Whether work is done so that somebody gets hurt or ill."""
    return words in {pair[1] for pair in yard.WORK}


def overlooked(*places: int) -> Callable[[AirCase], str | None]:
    """The list of somebody who sees nothing wrong in some of the work."""
    bad = {yard.WORK[place][1] for place in places}

    def found(case: AirCase) -> str | None:
        right = letters(case.work, dangerous)
        return different(letters(case.work, lambda words: dangerous(words) and words not in bad), right)

    return found


def work_to_stop() -> Key:
    """Work that hurts somebody or makes them ill."""

    def unless(one: Callable[[AirCase], str | None], *others: Callable[[AirCase], str | None]):
        return lambda case: None if one(case) in [other(case) for other in others] else one(case)

    dust, falls = overlooked(0, 1), overlooked(2, 3)
    breath = overlooked(5, 6, 7)
    return Key(
        answer=lambda case: letters(case.work, dangerous),
        ideas=(
            WrongIdea(
                "dust in the air is part of the job",
                dust,
                "You let a filter be blown out where people breathe. Dust goes deep into the lungs, and spray residue "
                "is poison: a spray filter is replaced, never cleaned.",
            ),
            WrongIdea(
                "a hand on the bar is enough",
                unless(falls, dust),
                "You let somebody stand where he falls, or under what only oil holds up. A platform, and the safety "
                "stop, come first.",
            ),
            WrongIdea(
                "what does not smell does no harm",
                unless(breath, dust, falls),
                "You let somebody breathe exhaust, cleaner or spray residue. Outside, engine off, nobody in the cab, "
                "and wash where it is meant to be washed.",
            ),
        ),
    )


def category_too_low(job: SprayJob) -> bool:
    """Whether the cab keeps out less than the label warns of."""
    return job.against != yard.FUMIGANT and job.category < yard.NEEDS[job.against]


def hold_back(job: SprayJob) -> bool:
    """Whether the machine may not go out as it is."""
    return (
        job.against == yard.FUMIGANT
        or category_too_low(job)
        or job.hours > yard.FILTER_HOURS
        or job.months > yard.FILTER_MONTHS
        or job.pascal < yard.LEAST_PRESSURE
    )


def jobs_to_hold_back() -> Key:
    """Machines that may not go out."""

    def passing(*kinds: Callable[[SprayJob], bool]) -> Callable[[AirCase], str | None]:
        def found(case: AirCase) -> str | None:
            right = letters(case.spray, hold_back)
            let_go = letters(case.spray, lambda job: hold_back(job) and not any(kind(job) for kind in kinds))
            return different(let_go, right)

        return found

    low = passing(category_too_low)
    old = passing(lambda job: job.hours > yard.FILTER_HOURS or job.months > yard.FILTER_MONTHS)
    fumigant = passing(lambda job: job.against == yard.FUMIGANT)
    return Key(
        answer=lambda case: letters(case.spray, hold_back),
        ideas=(
            WrongIdea(
                "a new filter makes any cab fit",
                low,
                "You let a cab go out whose category is below what the label warns of. A cab of category 2 keeps dust "
                "out, 3 mist too, only 4 vapor as well.",
            ),
            WrongIdea(
                "the filter is good while it looks good",
                old,
                "You let an overdue filter go out. Carbon is used up by hours and by months in the package and in the "
                "machine, and nobody sees it.",
            ),
            WrongIdea(
                "category 4 is for everything",
                fumigant,
                "You let a cab go out for a fumigant. No category covers fumigants; the label says what protects there."
                "",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "dew point": dew_point(),
    "air behind the coil": air_behind_the_coil(),
    "heat taken by the coil": heat_taken(),
    "first suspect": first_suspect(),
    "heater valves that leak": heater_valves_that_leak(),
    "flaps that leak": flaps_that_leak(),
    "ducts that leak": ducts_that_leak(),
    "cabs for the gauges": cabs_for_the_gauges(),
    "sentences that hold": sentences_that_hold(),
    "work to stop": work_to_stop(),
    "jobs to hold back": jobs_to_hold_back(),
}

KEYS = PRACTICE | {
    "water at the drain": water_at_the_drain(),
    "cab load": cab_load(),
    "outside air past the flap": outside_air_past_the_flap(),
    "heat from the heater": heat_from_the_heater(),
    "water held up in the drain": water_held_up_in_the_drain(),
}
