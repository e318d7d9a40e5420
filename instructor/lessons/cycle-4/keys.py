"""Answers and wrong ideas of lesson cycle-4: superheat, subcooling, three forces, whose fault it is, what hurts."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache

from coldcab import refrigerants
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea, absolute, kelvin
from coldcab.lessons.cycle_4.numbers import (
    CHANGES,
    FINDINGS,
    GLASS,
    HAPPENINGS,
    MACHINES,
    PLAN,
    STATEMENTS,
    STEPS,
    ValveCase,
)
from coldcab.quantities import FAHRENHEIT_DEGREE, PSI
from coldcab.quantities import STANDARD_ATMOSPHERE as SEA_LEVEL

OPENS, CLOSES, STAYS = (frozenset(group) for group in HAPPENINGS)
BULB, SHORT, VALVE, STEM, OTHER = (frozenset(group) for group in FINDINGS)
STANDS, FULL, BEHIND, FILL = (frozenset(group) for group in GLASS)
HURTS = frozenset(wrong for _right, wrong in PLAN)

CLIPS = "a gauge is read to half a psi, which is half a degree, and a clip to another half"


def coil_outlet_psig(case: ValveCase) -> float:
    """What a gauge at the coil's outlet would show."""
    return case.low_side_psig + case.hose_loss_psi


@lru_cache(maxsize=4096)
def saturations(case: ValveCase) -> dict[str, float]:
    """Saturation temperatures of one case, K, by where the pressure is taken; kept, several lines ask for them."""

    def at(gauge: float, atmosphere: float = case.atmosphere) -> float:
        return refrigerants.saturation_temperature(case.refrigerant, absolute(gauge, atmosphere))

    return {
        "coil": at(coil_outlet_psig(case)),
        "compressor": at(case.low_side_psig),
        "coil at sea level": at(coil_outlet_psig(case), SEA_LEVEL),
        "high": at(case.high_side_psig),
        "valve": at(case.high_side_psig - case.liquid_loss_psi),
    }


def _superheat(case: ValveCase) -> float:
    return kelvin(case.coil_outlet_fahrenheit) - saturations(case)["coil"]


def _subcooling(case: ValveCase) -> float:
    return saturations(case)["valve"] - kelvin(case.liquid_line_fahrenheit)


def superheat() -> Key:
    """Superheat at the coil's outlet, with the pressure of that place."""
    return Key(
        answer=_superheat,
        tolerance=Tolerance(CLIPS, absolute=1.0 * FAHRENHEIT_DEGREE),
        ideas=(
            WrongIdea(
                "hose loss left out",
                lambda case: kelvin(case.coil_outlet_fahrenheit) - saturations(case)["compressor"],
                "You took the gauge at the compressor for the pressure at the coil. The hose loses pressure on the "
                "way, so add that first.",
                credit=0.5,
            ),
            WrongIdea(
                "superheat taken at the compressor",
                lambda case: kelvin(case.compressor_fahrenheit) - saturations(case)["compressor"],
                "That is the superheat at the compressor. The engine bay has warmed the line; the bulb sits at the "
                "coil's outlet.",
            ),
            WrongIdea(
                "wrong side's saturation",
                lambda case: (
                    saturations(case)["high"] - kelvin(case.coil_outlet_fahrenheit),
                    kelvin(case.coil_outlet_fahrenheit) - saturations(case)["high"],
                ),
                "You used the saturation temperature of the high side. The suction line belongs to the low gauge.",
            ),
            WrongIdea(
                "superheat and subcooling swapped",
                _subcooling,
                "That is the subcooling. Superheat belongs to the suction line, subcooling to the liquid line.",
            ),
            WrongIdea(
                "sea-level scale at altitude",
                lambda case: kelvin(case.coil_outlet_fahrenheit) - saturations(case)["coil at sea level"],
                "You read a scale made for sea level. Up here the same gauge reading is less absolute pressure, so "
                "saturation is colder.",
                credit=0.5,
            ),
        ),
    )


def subcooling() -> Key:
    """Subcooling where the valve takes the liquid."""
    return Key(
        answer=_subcooling,
        tolerance=Tolerance(CLIPS, absolute=0.9 * FAHRENHEIT_DEGREE),
        ideas=(
            WrongIdea(
                "line loss left out",
                lambda case: saturations(case)["high"] - kelvin(case.liquid_line_fahrenheit),
                "You took the gauge at the compressor for the pressure before the valve. Condenser, drier and line "
                "lose some; take that away first.",
                credit=0.5,
            ),
            WrongIdea(
                "superheat and subcooling swapped",
                _superheat,
                "That is the superheat. Subcooling belongs to the liquid line and the high side.",
            ),
            WrongIdea(
                "wrong side's saturation",
                lambda case: (
                    kelvin(case.liquid_line_fahrenheit) - saturations(case)["coil"],
                    kelvin(case.liquid_line_fahrenheit) - saturations(case)["compressor"],
                ),
                "You used the saturation temperature of the low side. The liquid line belongs to the high gauge.",
            ),
            WrongIdea(
                "sign turned round",
                lambda case: -_subcooling(case),
                "The sign is turned round. Subcooling is how far the liquid is below saturation: saturation minus "
                "line.",
                credit=0.5,
            ),
        ),
    )


def bulb(case: ValveCase, temperature: float | None = None) -> float:
    """Pressure in the bulb, Pa absolute, at the line's temperature or at another, K."""
    at = kelvin(case.coil_outlet_fahrenheit) if temperature is None else temperature
    return refrigerants.saturation_pressure(case.refrigerant, at)


def spring() -> Key:
    """What is left of the bulb's pressure when the evaporator's is taken away, at the coil's outlet."""
    return Key(
        answer=lambda case: bulb(case) - absolute(coil_outlet_psig(case), case.atmosphere),
        tolerance=Tolerance("two pressures, each known to about 1 psi", absolute=1.6 * PSI),
        ideas=(
            WrongIdea(
                "hose loss left out",
                lambda case: bulb(case) - absolute(case.low_side_psig, case.atmosphere),
                "You took the gauge at the compressor. The equalizer feels the coil's outlet, which is higher by the "
                "loss of the hose.",
                credit=0.5,
            ),
            WrongIdea(
                "evaporator left out",
                lambda case: (bulb(case) - case.atmosphere, bulb(case)),
                "You set the spring against the bulb alone. The evaporator closes too, and it takes the larger part.",
            ),
            WrongIdea(
                "evaporator counted as opening",
                lambda case: bulb(case) + absolute(coil_outlet_psig(case), case.atmosphere) - 2 * case.atmosphere,
                "You added the evaporator to the bulb. It presses from below and closes.",
            ),
        ),
    )


def block_outlet(case: ValveCase, name: str, loss: float | None = None) -> float:
    """Superheat behind a block valve in K, by a refrigerant's own saturation and a loss of the hose in psi."""
    lost = case.block_hose_psi if loss is None else loss
    pressure = absolute(case.block_low_psig + lost, case.atmosphere)
    return kelvin(case.block_outlet_fahrenheit) - refrigerants.saturation_temperature(name, pressure)


def superheat_behind_the_block() -> Key:
    """Superheat of the gas that passes the sensing element."""

    def own(case: ValveCase) -> str:
        return case.block_unit.original_refrigerant

    return Key(
        answer=lambda case: block_outlet(case, own(case)),
        tolerance=Tolerance(CLIPS, absolute=1.0 * FAHRENHEIT_DEGREE),
        ideas=(
            WrongIdea(
                "hose loss left out",
                lambda case: block_outlet(case, own(case), 0.0),
                "You took the gauge at the compressor for the pressure at the block. Add what the hose loses.",
                credit=0.5,
            ),
            WrongIdea(
                "R-134a's scale for R-1234yf",
                lambda case: block_outlet(case, "R-134a") if own(case) == "R-1234yf" else None,
                "You read R-134a's scale. This machine has R-1234yf, which boils colder at the same pressure.",
            ),
            WrongIdea(
                "hose loss taken away",
                lambda case: block_outlet(case, own(case), -case.block_hose_psi),
                "The pressure falls on the way to the compressor. At the block it is higher: add the loss.",
            ),
        ),
    )


def letters(shown: Iterable[str], wanted: Iterable[str], choices: tuple[str, ...]) -> str:
    """Letters of the texts that are wanted, as a list's value."""
    wanted = frozenset(wanted)
    return listed([letter for letter, text in zip(choices, shown, strict=True) if text in wanted], choices)


def other(value: str, *taken: str) -> str | None:
    """The list, or None where it is empty or another's."""
    return None if not value or value in taken else value


def picked(
    shown: Callable[[ValveCase], tuple[str, ...]],
    choices: tuple[str, ...],
    right: frozenset[str],
    *ideas: tuple[str, frozenset[str], str, float],
) -> Key:
    """A list's key: the texts that are right, and for each idea what its holder would pick, feedback and credit."""

    def told(case: ValveCase, place: int) -> str | None:
        before = [letters(shown(case), group, choices) for _name, group, _feedback, _credit in ideas[:place]]
        mine = letters(shown(case), ideas[place][1], choices)
        return other(mine, letters(shown(case), right, choices), *before)

    return Key(
        answer=lambda case: letters(shown(case), right, choices),
        ideas=tuple(
            WrongIdea(name, lambda case, place=place: told(case, place), feedback, credit)
            for place, (name, _group, feedback, credit) in enumerate(ideas)
        ),
    )


def _with(group: frozenset[str], *words: str) -> frozenset[str]:
    return frozenset(text for text in group if any(word in text for word in words))


LOST_CHARGE = _with(CLOSES, "loses its charge", "its head leaks away")
MORE_CHARGE = _with(STAYS, "a little more refrigerant")
LESS_LIQUID = _with(OPENS, "kinked", "refrigerant leaks away")
LOW_SUPERHEAT = _with(VALVE, "superheat 0 F") | _with(STEM, "4 F", "5 F") | _with(OTHER, "superheat 3", "superheat 4")
HIGH_SUPERHEAT = (VALVE - _with(VALVE, "superheat 0 F")) | _with(OTHER, "superheat 29")
NO_GLASS = _with(SHORT, "no glass")


def valve_opens() -> Key:
    """Changes after which what opens is more than what closes."""
    return picked(
        lambda case: case.changes,
        CHANGES,
        OPENS,
        (
            "opens and closes turned round",
            CLOSES,
            "That is turned round. A warmer bulb or head presses harder on the diaphragm and pushes the pin open.",
            0.0,
        ),
        (
            "a valve without charge stands open",
            OPENS | LOST_CHARGE,
            "A bulb or head that has lost its charge pushes less. Such a valve closes.",
            0.25,
        ),
        (
            "less liquid closes the valve",
            OPENS - LESS_LIQUID,
            "Less liquid leaves the end of the coil warmer. The valve feels that, and opens to get more.",
            0.25,
        ),
        (
            "the valve thought to feel the charge",
            OPENS | MORE_CHARGE,
            "With nothing but liquid before the valve, more charge changes none of the three forces.",
            0.25,
        ),
    )


def valve_closes() -> Key:
    """Changes after which what closes is more than what opens."""
    return picked(
        lambda case: case.changes,
        CHANGES,
        CLOSES,
        (
            "opens and closes turned round",
            OPENS,
            "That is turned round. What cools the bulb, takes its charge or presses the spring closes.",
            0.0,
        ),
        (
            "a valve without charge stands open",
            CLOSES - LOST_CHARGE,
            "A bulb or head that has lost its charge pushes less, so evaporator and spring close the valve.",
            0.25,
        ),
        (
            "less liquid closes the valve",
            CLOSES | LESS_LIQUID,
            "Less liquid leaves the end of the coil warmer. The valve opens to get more.",
            0.25,
        ),
    )


def bulb_first() -> Key:
    """A bulb that feels the bay floods the coil."""
    return picked(
        lambda case: case.findings,
        MACHINES,
        BULB,
        (
            "every low superheat is the bulb",
            BULB | LOW_SUPERHEAT,
            "Low superheat has other causes: little air, a valve stuck open, a stem set too far out, a machine that "
            "has just started. Where the bulb is right, or where there is none, look there.",
            0.25,
        ),
        (
            "a loose bulb raises superheat",
            HIGH_SUPERHEAT | SHORT,
            "A bulb that feels the bay opens the valve, so superheat falls. High superheat is not the bulb's place.",
            0.0,
        ),
        (
            "only a bulb that hangs free counts",
            _with(BULB, "hangs off"),
            "A bare bulb, a loose strap or the wrong pipe misleads the valve as well.",
            0.25,
        ),
    )


def leak_and_scale_first() -> Key:
    """High superheat, and a glass that foams or a charge that nobody knows."""
    return picked(
        lambda case: case.findings,
        MACHINES,
        SHORT,
        (
            "every high superheat is low charge",
            SHORT | HIGH_SUPERHEAT,
            "Where the charge was weighed in, liquid is there. The valve, its screen or the place of the clip explains "
            "the superheat.",
            0.25,
        ),
        (
            "no glass, no verdict",
            SHORT - NO_GLASS,
            "Without a glass the scale says it. Much superheat and a charge that nobody knows: recover and weigh.",
            0.25,
        ),
        (
            "a starved machine needs another valve",
            VALVE,
            "There the charge was weighed in, and yet the valve passes the wrong amount. They are not short of charge.",
            0.0,
        ),
    )


def valve_to_blame() -> Key:
    """All else right, and superheat far off."""
    return picked(
        lambda case: case.findings,
        MACHINES,
        VALVE,
        (
            "high superheat condemns the valve",
            VALVE | SHORT,
            "With too little charge a good valve starves as well. Find the leak and weigh before you blame it.",
            0.25,
        ),
        (
            "flooding condemns the valve",
            VALVE | BULB,
            "A bulb that is bare, loose or on the wrong pipe floods a good valve. Put the bulb right first.",
            0.25,
        ),
        (
            "any superheat beside the manual condemns the valve",
            VALVE | STEM,
            "A few degrees beside the manual, with all else right, is a setting and not a broken valve.",
            0.25,
        ),
    )


def stem_may_be_turned() -> Key:
    """All else right, steady, and the manual gives superheat and turns."""
    return picked(
        lambda case: case.findings,
        MACHINES,
        STEM,
        (
            "any wrong superheat is set at the stem",
            STEM | SHORT | BULB,
            "Charge and bulb come first. A stem that makes up for them is wrong as soon as they are right.",
            0.0,
        ),
        (
            "a block valve is set as well",
            STEM | _with(OTHER, "a screw can be seen"),
            "A block valve is not adjusted on the machine. Its screw was set by its maker.",
            0.25,
        ),
        (
            "a valve that does not answer is set",
            STEM | VALVE,
            "A valve that lost its charge, sticks or has debris at its inlet is not set: it is cleaned or replaced.",
            0.0,
        ),
        (
            "the stem is only turned in",
            _with(STEM, "steady superheat 4 F", "steady 5 F"),
            "High superheat may be set as well, when charge, bulb and air are right and the manual gives the turns.",
            0.25,
        ),
    )


def what_the_glass_proves() -> Key:
    """A glass shows its own place, and no more."""
    return picked(
        lambda case: case.statements,
        STATEMENTS,
        STANDS,
        (
            "a clear glass proves a full charge",
            STANDS | FULL,
            "A machine with far too much in it shows a clear glass too, so does one a little short, and so does one "
            "that is empty.",
            0.25,
        ),
        (
            "the glass thought to see the valve",
            STANDS | BEHIND,
            "The glass shows its own place only. Behind it a kink, a long line or a warm bay can still make vapor.",
            0.25,
        ),
        (
            "filled or turned until it looks right",
            STANDS | FILL,
            "Neither glass nor sweat is a measure of charge, and the leak is still there. Find it and weigh.",
            0.25,
        ),
    )


def step_that_hurts() -> Key:
    """The one step that is not done so."""

    def right(case: ValveCase) -> str:
        return letters(case.plan, HURTS, STEPS)

    def fears(place: int) -> Callable[[ValveCase], str | None]:
        return lambda case: other(letters(case.plan, {PLAN[place][0]}, STEPS), right(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "no hand near a running machine",
                fears(1),
                "Warming bulb or head by hand is the usual test. Sleeves and leads stay clear of belt and fan.",
            ),
            WrongIdea(
                "nitrogen feared",
                fears(4),
                "Dry nitrogen through a regulator, up to the lowest plate, is the safe test gas. Air is not.",
            ),
            WrongIdea(
                "a flooded machine must not be stopped",
                fears(2),
                "Stop it at once. Liquid breaks the compressor's valves; metal and hot oil can come out.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "superheat at the coil": superheat(),
    "superheat behind the block": superheat_behind_the_block(),
    "valve opens": valve_opens(),
    "valve closes": valve_closes(),
    "bulb first": bulb_first(),
    "leak and scale first": leak_and_scale_first(),
    "valve to blame": valve_to_blame(),
    "stem may be turned": stem_may_be_turned(),
    "what the glass proves": what_the_glass_proves(),
    "step that hurts": step_that_hurts(),
}

KEYS = PRACTICE | {
    "subcooling before the valve": subcooling(),
    "spring": spring(),
}
