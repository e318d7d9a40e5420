"""Answers and wrong ideas of lesson cycle-2: the chart's numbers, compressors, sick loops, quotes, what hurts."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache

from coldcab import cycle, refrigerants
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea, absolute, apart, celsius_called_fahrenheit, kelvin
from coldcab.lessons.cycle_2.lines import AIR, COMPRESSOR, CONDENSER, DAY, FLOODED, FULL, STARVED
from coldcab.lessons.cycle_2.numbers import (
    COMPRESSORS,
    GOOD_EFFICIENCY,
    OFFERS,
    PLAN,
    QUOTES,
    STEPS,
    Compressor,
    LoopCase,
    SickLoop,
    expected_discharge,
)
from coldcab.quantities import FAHRENHEIT_DEGREE, PSI

TABLE_TOLERANCE = Tolerance("sliders go by 1 F and gauges by 1 psi; both stay under 1.5 % of the heat", relative=0.015)
RULE = 20.0
"""F above the chart from which a compressor is worn by the shop's rule."""
DRY = 4.0
"""F of superheat from which nobody calls it none."""
CLIP = 5.0
"""F above condensing up to which a discharge counts as no hotter: clip and gauge together."""

HOT_DAY, OTHER_GAS, MORE_HELPS, SOUND = (frozenset(group) for group in OFFERS)
REFUSED = HOT_DAY | OTHER_GAS | MORE_HELPS
HURTS = frozenset(wrong for _right, wrong in PLAN)


@dataclass(frozen=True)
class Loop:
    """Pressures (Pa), enthalpies (J/kg) and temperatures (K) of one learner's machine."""

    low_pressure: float
    high_pressure: float
    inlet_enthalpy: float
    discharge_enthalpy: float
    discharge_temperature: float
    ideal_discharge_temperature: float
    liquid_enthalpy: float
    saturated_liquid_enthalpy: float
    condensing_temperature: float
    hot_liquid_enthalpy: float
    hot_saturated_enthalpy: float

    @property
    def effect(self) -> float:
        """Refrigerating effect in J/kg."""
        return self.inlet_enthalpy - self.liquid_enthalpy


@lru_cache(maxsize=4096)
def loop(case: LoopCase) -> Loop:
    """Return the corners of the cycle of one case; kept, because every item and idea asks for it again."""
    low, high = (absolute(gauge, case.atmosphere) for gauge in (case.low_side_psig, case.high_side_psig))
    condensing = refrigerants.saturation_temperature(case.refrigerant, high)
    evaporating = refrigerants.saturation_temperature(case.refrigerant, low)
    real = cycle.vapor_compression(
        case.refrigerant,
        evaporating_pressure=low,
        condensing_pressure=high,
        superheat=kelvin(case.suction_line_fahrenheit) - evaporating,
        subcooling=condensing - kelvin(case.liquid_line_fahrenheit),
        isentropic_efficiency=GOOD_EFFICIENCY,
    )
    hot = refrigerants.saturation(case.refrigerant, temperature=kelvin(case.hot_condensing_fahrenheit))
    hot_liquid = refrigerants.state(
        case.refrigerant, pressure=hot.pressure, temperature=kelvin(case.hot_liquid_fahrenheit)
    )
    inlet, discharge, liquid, _ = real.states
    return Loop(
        low_pressure=low,
        high_pressure=high,
        inlet_enthalpy=inlet.enthalpy,
        discharge_enthalpy=discharge.enthalpy,
        discharge_temperature=real.discharge_temperature,
        ideal_discharge_temperature=real.isentropic_discharge_temperature,
        liquid_enthalpy=liquid.enthalpy,
        saturated_liquid_enthalpy=refrigerants.saturation(case.refrigerant, pressure=high).liquid_enthalpy,
        condensing_temperature=condensing,
        hot_liquid_enthalpy=hot_liquid.enthalpy,
        hot_saturated_enthalpy=hot.liquid_enthalpy,
    )


def compression_ratio() -> Key:
    """Absolute discharge pressure over absolute suction pressure."""
    return Key(
        answer=lambda case: loop(case).high_pressure / loop(case).low_pressure,
        tolerance=Tolerance("1 psi on the low gauge is 2 % of the ratio", relative=0.02),
        ideas=(
            WrongIdea(
                "ratio of gauge pressures",
                lambda case: case.high_side_psig / case.low_side_psig,
                "You divided gauge readings. A ratio needs absolute pressures; with gauges it comes out far too big.",
            ),
            WrongIdea(
                "difference taken for a ratio",
                lambda case: (case.high_side_psig - case.low_side_psig) * PSI / loop(case).low_pressure,
                "You took how far the pressure was raised. The ratio is the whole discharge pressure over the suction "
                "pressure, both absolute.",
            ),
        ),
    )


def heat_for_each_pound() -> Key:
    """Enthalpy gained in the evaporator by each kilogram."""
    return Key(
        answer=lambda case: loop(case).effect,
        tolerance=TABLE_TOLERANCE,
        ideas=(
            WrongIdea(
                "across the compressor",
                lambda case: loop(case).discharge_enthalpy - loop(case).inlet_enthalpy,
                "That is the enthalpy rise in the compressor. The cold is made in the evaporator: from after the "
                "valve to the compressor's inlet.",
            ),
            WrongIdea(
                "across the condenser",
                lambda case: loop(case).discharge_enthalpy - loop(case).liquid_enthalpy,
                "That is the enthalpy drop in the condenser. It holds the compressor's work as well.",
            ),
            WrongIdea(
                "subcooling left out",
                lambda case: apart(
                    loop(case).inlet_enthalpy - loop(case).saturated_liquid_enthalpy,
                    loop(case).effect,
                    width=0.015 * loop(case).effect,
                ),
                "You took saturated liquid at the high pressure. The liquid line is colder than that; use its own "
                "temperature.",
                credit=0.5,
            ),
        ),
    )


def discharge_temperature() -> Key:
    """What a good compressor's discharge should be."""
    return Key(
        answer=lambda case: loop(case).discharge_temperature,
        tolerance=Tolerance("sliders go by 1 F, and 1 F of each moves it by 1 F or so", absolute=3 * FAHRENHEIT_DEGREE),
        ideas=(
            WrongIdea(
                "ideal discharge taken for real",
                lambda case: loop(case).ideal_discharge_temperature,
                "That is a compressor without any loss. A good real one has 65 %: its extra work stays in the vapor "
                "and makes it hotter.",
                credit=0.5,
            ),
            WrongIdea(
                "condensing temperature taken for discharge",
                lambda case: loop(case).condensing_temperature,
                "That is the saturation temperature in the condenser. Vapor leaves the compressor well above it.",
            ),
            WrongIdea(
                "F and C mixed",
                lambda case: celsius_called_fahrenheit(loop(case).discharge_temperature),
                "The number is right in degrees Celsius, but it says F.",
                credit=0.5,
            ),
        ),
    )


def head_to_expect() -> Key:
    """Condensing as far above the outside air as before."""

    def hotter(case: LoopCase) -> float:
        return (case.hot_outside_fahrenheit - case.outside_fahrenheit) * FAHRENHEIT_DEGREE

    def right(case: LoopCase) -> float:
        return refrigerants.saturation_pressure(case.refrigerant, loop(case).condensing_temperature + hotter(case))

    def unlike(case: LoopCase, psig: float) -> float | None:
        return apart(absolute(psig, case.atmosphere), right(case), width=4.0 * PSI)

    def by_degrees(case: LoopCase) -> float | None:
        return unlike(case, case.high_side_psig + case.hot_outside_fahrenheit - case.outside_fahrenheit)

    def in_proportion(case: LoopCase) -> float | None:
        value = unlike(case, case.high_side_psig * case.hot_outside_fahrenheit / case.outside_fahrenheit)
        taken = by_degrees(case)
        return value if value is None or taken is None else apart(value, taken, width=4.0 * PSI)

    return Key(
        answer=right,
        tolerance=Tolerance("1 F of condensing is 3 psi", absolute=4.0 * PSI),
        ideas=(
            WrongIdea(
                "a psi for each degree",
                by_degrees,
                "You added a psi for each degree. Near these temperatures a degree is worth about 3 psi: go through "
                "the saturation scale.",
            ),
            WrongIdea(
                "pressure in proportion to degrees F",
                in_proportion,
                "Pressure does not grow in proportion to degrees F. Add the degrees to the condensing temperature and "
                "go back through the saturation scale.",
            ),
            WrongIdea(
                "the same head on any day",
                lambda case: loop(case).high_pressure,
                "That is the head of the cooler day. The condenser must stay as far above the air, so it rises.",
            ),
        ),
    )


def lost_to_the_heat() -> Key:
    """Share of the refrigerating effect that warmer liquid costs."""

    def share(case: LoopCase, liquid: float) -> float:
        return (liquid - loop(case).liquid_enthalpy) / loop(case).effect

    def by_condensing(case: LoopCase) -> float | None:
        return apart(
            share(case, loop(case).hot_saturated_enthalpy), share(case, loop(case).hot_liquid_enthalpy), width=0.008
        )

    def by_new(case: LoopCase) -> float | None:
        right = share(case, loop(case).hot_liquid_enthalpy)
        new = right / (1.0 - right)
        others = [value for value in (right, by_condensing(case)) if value is not None]
        return apart(new, *others, width=0.008)

    return Key(
        answer=lambda case: share(case, loop(case).hot_liquid_enthalpy),
        tolerance=Tolerance("two liquid lines, each to 1 F, are 0.8 % of the heat", absolute=0.008),
        ideas=(
            WrongIdea(
                "condensing temperature taken for the liquid's",
                by_condensing,
                "You took the condensing temperature. The liquid line is colder than that; its own temperature counts.",
                credit=0.25,
            ),
            WrongIdea(
                "loss over what is left",
                by_new,
                "You divided by what is left this afternoon. The loss is a share of what it was.",
                credit=0.5,
            ),
            WrongIdea(
                "what is left taken for the loss",
                lambda case: 1.0 - share(case, loop(case).hot_liquid_enthalpy),
                "That is what is left. Lost is the rest.",
                credit=0.5,
            ),
        ),
    )


def letters(wanted: Iterable[bool], choices: tuple[str, ...]) -> str:
    """Letters whose place is wanted, as a list's value."""
    return listed([letter for letter, here in zip(choices, wanted, strict=True) if here], choices)


def other(value: str | None, *taken: str | None) -> str | None:
    """The list, or None where it is empty or another's."""
    return None if not value or value in taken else value


def off_the_chart(one: Compressor, refrigerant: str = "", superheat: float | None = None) -> float:
    """How much hotter the discharge is than the chart says, F; by another refrigerant or superheat if given."""
    warm = one.superheat if superheat is None else superheat
    return one.discharge - expected_discharge(refrigerant or one.refrigerant, one.evaporating, one.condensing, warm)


@lru_cache(maxsize=4096)
def verdicts(case: LoopCase) -> dict[str, str]:
    """Letters of the compressors by the rule, and by what people take for it."""

    def where(test: Callable[[Compressor], bool]) -> str:
        return letters((test(one) for one in case.compressors), COMPRESSORS)

    return {
        "worn": where(lambda one: off_the_chart(one) > RULE),
        "wet": where(lambda one: one.superheat < DRY and one.discharge <= one.condensing + CLIP),
        "over 200": where(lambda one: one.discharge > 200.0),
        "under 150": where(lambda one: one.discharge < 150.0),
        "worn by R-134a": where(lambda one: off_the_chart(one, "R-134a") > RULE),
        "cooler than R-134a": where(lambda one: off_the_chart(one, "R-134a") < -RULE),
        "worn without superheat": where(lambda one: off_the_chart(one, superheat=0.0) > RULE),
    }


def _told(right: str, *ideas: str) -> tuple[Callable[[LoopCase], str | None], ...]:
    """For each idea what its holder writes, where it is neither right nor another idea's."""

    def at(place: int) -> Callable[[LoopCase], str | None]:
        def result(case: LoopCase) -> str | None:
            found = verdicts(case)
            return other(found[ideas[place]], found[right], *(found[name] for name in ideas[:place]))

        return result

    return tuple(at(place) for place in range(len(ideas)))


def worn_compressors() -> Key:
    """More than the rule above the chart."""
    limit, one_gas, cold = _told("worn", "over 200", "worn by R-134a", "worn without superheat")
    return Key(
        answer=lambda case: verdicts(case)["worn"],
        ideas=(
            WrongIdea(
                "one limit for all",
                limit,
                "You took one limit, 200 F. What is hot depends on refrigerant, day and superheat: ask the chart.",
                credit=0.25,
            ),
            WrongIdea(
                "R-134a's figures for all",
                one_gas,
                "You set the chart to R-134a for all. R-12 runs hotter and R-1234yf much cooler at the same "
                "temperatures.",
                credit=0.25,
            ),
            WrongIdea(
                "superheat left out",
                cold,
                "You left the superheat at nothing. Gas that comes in warmer goes out warmer, by about as much.",
                credit=0.25,
            ),
        ),
    )


def liquid_comes_back() -> Key:
    """No superheat, and no hotter than condensing: wet gas has the temperature of saturation."""
    turned, limit, one_gas = _told("wet", "worn", "under 150", "cooler than R-134a")
    return Key(
        answer=lambda case: verdicts(case)["wet"],
        ideas=(
            WrongIdea(
                "a worn compressor thought to run cool",
                turned,
                "Those run hotter than the chart: the same gas goes round inside and is heated again. Liquid cools.",
            ),
            WrongIdea(
                "one limit for all",
                limit,
                "You took one limit, 150 F. R-1234yf may be good down there. Look at superheat, and compare with "
                "condensing.",
                credit=0.25,
            ),
            WrongIdea(
                "R-134a's figures for all",
                one_gas,
                "You set the chart to R-134a for all. R-1234yf runs much cooler at the same temperatures.",
                credit=0.25,
            ),
        ),
    )


def leg(sick: SickLoop, healthy: SickLoop) -> str:
    """What a loop says beside the healthy one: the lesson's order of looking."""
    air = (sick.condensing - sick.outside) - (healthy.condensing - healthy.outside)
    if sick.superheat < DRY:
        return FLOODED
    if sick.subcooling > 15.0:
        return FULL
    if air > 14.0:
        return CONDENSER
    if sick.evaporating > healthy.evaporating + 8.0 and air < -8.0:
        return COMPRESSOR
    if sick.superheat > healthy.superheat + 20.0:
        return STARVED
    if air < -6.0 and sick.evaporating < healthy.evaporating:
        return AIR
    return DAY


def loop_leg(place: int) -> Key:
    """Which leg of a loop is sick."""

    def right(case: LoopCase) -> str:
        return leg(case.loops[place], case.healthy)

    def thought(name: str, *instead_of: str) -> Callable[[LoopCase], str | None]:
        return lambda case: name if right(case) in instead_of else None

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "high head always means too much inside",
                thought(FULL, CONDENSER, DAY),
                "Too much refrigerant backs up as liquid: subcooling is large. Here it is not. Compare condensing "
                "with the outside air.",
            ),
            WrongIdea(
                "a low side that is low means low charge",
                thought(STARVED, AIR),
                "With too little liquid superheat climbs. Here it did not: the air brings too little heat.",
            ),
            WrongIdea(
                "high head condemns the condenser",
                thought(CONDENSER, FULL),
                "The condenser has no room left: it is full of liquid, and subcooling shows it. Recover and weigh.",
            ),
            WrongIdea(
                "a low head means low charge",
                thought(STARVED, COMPRESSOR, FLOODED),
                "With too little charge evaporating falls and superheat climbs. Look at both again.",
            ),
            WrongIdea(
                "high superheat condemns the compressor",
                thought(COMPRESSOR, STARVED),
                "A worn compressor lets the low side rise. Here it fell: too little liquid comes through the valve.",
            ),
        ),
    )


def quotes_to_refuse() -> Key:
    """Quotes that the chart speaks against."""

    def of(case: LoopCase, group: frozenset[str]) -> str:
        return letters((text in group for text in case.quotes), QUOTES)

    groups = (REFUSED - HOT_DAY, REFUSED - OTHER_GAS, REFUSED - MORE_HELPS)

    def told(place: int) -> Callable[[LoopCase], str | None]:
        return lambda case: other(
            of(case, groups[place]), of(case, REFUSED), *(of(case, group) for group in groups[:place])
        )

    return Key(
        answer=lambda case: of(case, REFUSED),
        ideas=(
            WrongIdea(
                "a hot day taken for a fault",
                told(0),
                "You let a repair pass that the day explains. Compare with what this day should give.",
                credit=0.25,
            ),
            WrongIdea(
                "one refrigerant's figures for another",
                told(1),
                "You let a figure of another refrigerant pass. Each has its own head and its own discharge.",
                credit=0.25,
            ),
            WrongIdea(
                "more helps",
                told(2),
                "You let more pressure or more refrigerant pass as a cure. Neither was asked by the chart or a scale.",
                credit=0.25,
            ),
        ),
    )


def step_that_hurts() -> Key:
    """The one step that is not done so."""

    def right(case: LoopCase) -> str:
        return letters((text in HURTS for text in case.plan), STEPS)

    def fears(place: int) -> Callable[[LoopCase], str | None]:
        return lambda case: other(letters((text == PLAN[place][0] for text in case.plan), STEPS), right(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "a climbing head must be read to the end",
                fears(3),
                "To stop is right. The switch is there because hoses burst; look for the reason with the engine off.",
            ),
            WrongIdea(
                "R-1234yf thought not to be read at all",
                fears(5),
                "It may be read with its own gauges, plenty of air and no flames. Another step hurts somebody.",
            ),
            WrongIdea(
                "hoses off before the pressures meet",
                fears(1),
                "To wait is right: with both gauges level the high side has come down. Another step hurts somebody.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "compression ratio": compression_ratio(),
    "heat for each pound": heat_for_each_pound(),
    "discharge temperature": discharge_temperature(),
    "lost to the heat": lost_to_the_heat(),
    "worn compressors": worn_compressors(),
    "liquid comes back": liquid_comes_back(),
    "loop A": loop_leg(0),
    "loop B": loop_leg(1),
    "quotes to refuse": quotes_to_refuse(),
    "step that hurts": step_that_hurts(),
}

KEYS = PRACTICE | {
    "head to expect": head_to_expect(),
    "loop C": loop_leg(2),
}
