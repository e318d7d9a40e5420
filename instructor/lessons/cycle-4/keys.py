"""Answers and wrong ideas of lesson cycle-4: superheat, subcooling, the valve's three forces, the sight glass."""

from __future__ import annotations

from functools import lru_cache, partial

from coldcab import refrigerants
from coldcab.assess.keys import Key, Tolerance, WrongIdea, absolute, kelvin
from coldcab.lessons.cycle_4.lines import CLOSES, OPENS, STAYS
from coldcab.lessons.cycle_4.numbers import DISTURBANCES, ValveCase
from coldcab.quantities import FAHRENHEIT_DEGREE, PSI
from coldcab.quantities import STANDARD_ATMOSPHERE as SEA_LEVEL

MOVE_AFTER = dict(zip(DISTURBANCES, (OPENS, OPENS, OPENS, OPENS, CLOSES, CLOSES, CLOSES, CLOSES, STAYS), strict=True))
"""What the valve does after each disturbance: it follows from the three forces."""

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


def bulb_pressure() -> Key:
    """Saturation pressure of the bulb's charge at the temperature of the line under it."""
    return Key(
        answer=bulb,
        tolerance=Tolerance("a clip is read to a degree, which is 0.9 psi in the bulb", absolute=1.2 * PSI),
        ideas=(
            WrongIdea(
                "evaporator pressure taken for the bulb's",
                lambda case: absolute(coil_outlet_psig(case), case.atmosphere),
                "That is the pressure in the coil. The bulb is closed: its own temperature sets its pressure.",
            ),
            WrongIdea(
                "bulb thought at the compressor",
                lambda case: bulb(case, kelvin(case.compressor_fahrenheit)),
                "You took the temperature at the compressor. The bulb is strapped to the coil's outlet.",
            ),
            WrongIdea(
                "absolute number called gauge",
                lambda case: bulb(case) + case.atmosphere,
                "The number is right but the unit says gauge, so it reads too high by the air pressure. Write psia "
                "for absolute.",
                credit=0.5,
            ),
        ),
    )


def valve_after(place: int) -> Key:
    """Which way the valve moves after the disturbance at a place of the case."""

    def answer(case: ValveCase) -> str:
        return MOVE_AFTER[case.disturbances[place]]

    return Key(
        answer=answer,
        ideas=(
            WrongIdea(
                "closes where it opens",
                lambda case: CLOSES if answer(case) == OPENS else None,
                "The bulb gets warmer, or the coil's pressure falls, against the same spring. That is more force to "
                "open than to close.",
            ),
            WrongIdea(
                "opens where it closes",
                lambda case: OPENS if answer(case) == CLOSES else None,
                "Look at the bar that grew: evaporator or spring press harder, or the bulb presses less. That closes.",
            ),
            WrongIdea(
                "the valve thought to keep its place",
                lambda case: STAYS if answer(case) != STAYS else None,
                "One of the three forces has changed, so the pin moves until they balance again.",
            ),
            WrongIdea(
                "the valve thought to feel the charge",
                lambda case: OPENS if answer(case) == STAYS else None,
                "With a clear glass the valve already gets whole liquid. More charge fills the receiver and changes "
                "none of the three forces.",
            ),
        ),
    )


def bulb_off_the_pipe() -> Key:
    """A bulb in the warm bay opens the valve, and liquid takes the superheat away."""
    return Key(
        answer=lambda case: "superheat falls",
        ideas=(
            WrongIdea(
                "a warm bulb means more superheat",
                lambda case: "superheat rises",
                "The bulb is warm, the suction line is not. The valve opens, liquid floods the coil and the line's "
                "superheat goes.",
            ),
            WrongIdea(
                "the bulb thought to be only a thermometer",
                lambda case: "readings stay",
                "The bulb does more than read: its pressure opens the valve.",
            ),
        ),
    )


def clear_glass() -> Key:
    """A glass shows its own place, and no more."""
    return Key(
        answer=lambda case: "no vapor at the glass",
        ideas=(
            WrongIdea(
                "a clear glass proves a full charge",
                lambda case: "the charge is right",
                "A machine with far too much in it shows a clear glass too, and so does one that is a little short.",
            ),
            WrongIdea(
                "the glass thought to see the valve",
                lambda case: "no vapor at the valve",
                "The glass shows its own place only. Behind it a kink, a long line or a warm bay can still make vapor.",
                credit=0.5,
            ),
        ),
    )


def spring() -> Key:
    """What is left of the bulb's pressure when the evaporator's is taken away, at the coil's outlet."""
    return Key(
        answer=lambda case: bulb(case) - absolute(coil_outlet_psig(case), case.atmosphere),
        tolerance=Tolerance("two pressures, each known to about 1 psi", absolute=1.6 * PSI),
        ideas=(
            WrongIdea(
                "hose loss left out",
                lambda case: bulb(case) - absolute(case.low_side_psig, case.atmosphere),
                "You took the gauge at the compressor. The equaliser feels the coil's outlet, which is higher by the "
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


def bubbles_and_high_superheat() -> Key:
    """A starved valve: the charge is short, and no setting of the valve makes up for it."""
    return Key(
        answer=lambda case: "find the leak and weigh",
        ideas=(
            WrongIdea(
                "turning the stem to fix low charge",
                lambda case: "turn the stem out",
                "The valve is open already and gets vapor for liquid. A softer spring cannot make liquid, and it "
                "floods the coil once the charge is right.",
            ),
            WrongIdea(
                "filling by the glass",
                lambda case: "fill until it clears",
                "A clear glass is not a measure of charge, and the leak is still there. Find it, recover, and charge "
                "by weight.",
                credit=0.5,
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "superheat at the coil": superheat(),
    "subcooling before the valve": subcooling(),
    "bulb pressure": bulb_pressure(),
    "valve after A": valve_after(0),
    "valve after B": valve_after(1),
    "bulb off the pipe": bulb_off_the_pipe(),
    "clear glass": clear_glass(),
}

KEYS = PRACTICE | {
    "spring": spring(),
    "valve after C": valve_after(2),
    "valve after D": valve_after(3),
    "bubbles and high superheat": bubbles_and_high_superheat(),
}

EARLIER = {
    "pressure": lambda case: partial(absolute, atmosphere=case.atmosphere),
    "coil_outlet_psig": coil_outlet_psig,
}
"""What cases said themselves in release 0.2, for keys of that time."""
