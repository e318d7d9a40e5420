"""Answers and wrong ideas of lesson retrofit-4: cans and hose, the charge curve, what the readings say afterwards."""

from __future__ import annotations

import math
from functools import lru_cache

from coldcab import refrigerants, units
from coldcab.assess.keys import Key, Tolerance, WrongIdea, absolute, apart, kelvin
from coldcab.lessons.retrofit_4.charge_curves import Row
from coldcab.lessons.retrofit_4.lines import BOTH_SIDES, HIGH_ONLY, LIQUID, LOW_ONLY, NO_AIR, RIGHT_CHARGE
from coldcab.lessons.retrofit_4.numbers import CAN_CUBIC_INCHES, CAN_OUNCES, HOSE_INCHES, ChargingCase
from coldcab.service import acceptance
from coldcab.service.acceptance import ACCEPT, ADD, LOOK_ON, TAKE_OUT
from coldcab.service.cans import CanPlan, can_heel, can_plan, hose_contents

OUNCE = units.from_unit(1.0, "mass", "oz")
CAN = CAN_OUNCES * OUNCE
CAN_VOLUME = units.from_unit(CAN_CUBIC_INCHES, "volume", "cu in")
HOSE_DIAMETER = units.from_unit(HOSE_INCHES, "length", "in")
REFRIGERANT = "R-134a"
FLAT_PSI = 3.0
"""Rows whose head is at most so much above that of the first clear row belong to the plateau."""

STEP_TOLERANCE = Tolerance("both ends are rows of the table, so only the arithmetic can differ", absolute=1.0 * OUNCE)
LAST_CAN_WIDTH = 0.2 * OUNCE


def _hose_length(case: ChargingCase) -> float:
    return units.from_unit(case.hose_feet, "length", "ft")


@lru_cache(maxsize=4096)
def heel(case: ChargingCase) -> float:
    """Vapor in an emptied can, kg."""
    return can_heel(
        REFRIGERANT,
        pressure=absolute(case.low_side_psig, case.atmosphere),
        temperature=kelvin(case.can_fahrenheit),
        volume=CAN_VOLUME,
    )


@lru_cache(maxsize=4096)
def hose(case: ChargingCase) -> float:
    """Liquid in the hose, kg."""
    return hose_contents(
        REFRIGERANT, length=_hose_length(case), temperature=kelvin(case.can_fahrenheit), diameter=HOSE_DIAMETER
    )


@lru_cache(maxsize=4096)
def plan(case: ChargingCase) -> CanPlan:
    """Cans for the charge that is wanted."""
    return can_plan(case.charge_ounces * OUNCE, contents=CAN, heel=heel(case), hose=hose(case))


def _density(case: ChargingCase, pressure: float) -> float:
    return refrigerants.state(REFRIGERANT, pressure=pressure, temperature=kelvin(case.can_fahrenheit)).density


def plateau(case: ChargingCase) -> tuple[Row, Row, Row]:
    """The first clear row, the last row of the plateau, and the row after it."""
    rows = case.curve
    clear = next(row for row in rows if row.glass == "clear")
    flat = [row for row in rows if row.ounces >= clear.ounces and row.high_psig <= clear.high_psig + FLAT_PSI]
    after = rows[rows.index(flat[-1]) + 1]
    return clear, flat[-1], after


def middle(case: ChargingCase) -> float:
    """Charge half way along the plateau, kg."""
    clear, full, _ = plateau(case)
    return 0.5 * (clear.ounces + full.ounces) * OUNCE


def starting_charge() -> Key:
    """0.90 times the R-12 charge, less a quarter pound."""
    return Key(
        answer=lambda case: (0.90 * case.specification_ounces - 4.0) * OUNCE,
        tolerance=Tolerance("a scale is read to half an ounce", absolute=0.5 * OUNCE),
        ideas=(
            WrongIdea(
                "same charge as before",
                lambda case: case.specification_ounces * OUNCE,
                "That is the old R-12 charge. R-134a is lighter as a liquid, so the same mass overfills the receiver.",
            ),
            WrongIdea(
                "quarter pound left out",
                lambda case: 0.90 * case.specification_ounces * OUNCE,
                "You took 90 % and stopped. The rule goes on: take off a quarter of a pound, which is 4 oz.",
                credit=0.5,
            ),
            WrongIdea(
                "a whole pound off",
                lambda case: (0.90 * case.specification_ounces - 16.0) * OUNCE,
                "You took off a whole pound. The rule takes off a quarter of one, which is 4 oz.",
                credit=0.5,
            ),
        ),
    )


def heel_key() -> Key:
    """Room in the can times the density of the vapor that is left."""
    return Key(
        answer=heel,
        tolerance=Tolerance(
            "1 psi on the gauge and the second decimal of an ounce", absolute=0.012 * OUNCE, relative=0.06
        ),
        ideas=(
            WrongIdea(
                "empty is empty",
                lambda case: 0.0,
                "An emptied can still holds vapor at the pressure of the low side. Its room is never empty.",
            ),
            WrongIdea(
                "gauge taken for absolute",
                lambda case: CAN_VOLUME * _density(case, units.from_unit(case.low_side_psig, "pressure", "psia")),
                "You looked up the gauge reading as if it were absolute. Add the air pressure of the yard first.",
                credit=0.5,
            ),
            WrongIdea(
                "vapor at the can's saturation",
                lambda case: (
                    CAN_VOLUME
                    * refrigerants.saturation(REFRIGERANT, temperature=kelvin(case.can_fahrenheit)).vapor_density
                ),
                "You took saturated vapor at the can's temperature. With no liquid left the pressure is that of the "
                "low side, and the vapor is thinner.",
                credit=0.5,
            ),
        ),
    )


def hose_key() -> Key:
    """Bore times length times the density of the liquid."""
    return Key(
        answer=hose,
        tolerance=Tolerance(
            "a scale shows tenths of an ounce, and people round to them", absolute=0.06 * OUNCE, relative=0.03
        ),
        ideas=(
            WrongIdea(
                "hose thought empty",
                lambda case: 0.0,
                "The hose stands full of liquid between can and machine. That liquid has left the can and has not "
                "reached the circuit.",
            ),
            WrongIdea(
                "vapor in the hose",
                lambda case: (
                    hose(case)
                    * refrigerants.saturation(REFRIGERANT, temperature=kelvin(case.can_fahrenheit)).vapor_density
                    / refrigerants.saturation(REFRIGERANT, temperature=kelvin(case.can_fahrenheit)).liquid_density
                ),
                "You took the density of vapor. This hose is full of liquid, which is far denser.",
            ),
            WrongIdea(
                "width taken for half the width",
                lambda case: 4.0 * hose(case),
                "Your area is four times too large: 3/16 in is the whole width. The radius is half of it.",
                credit=0.5,
            ),
        ),
    )


def _full_cans(case: ChargingCase) -> int:
    """Cans by who counts them as full and the hose as empty."""
    return math.ceil(case.charge_ounces / CAN_OUNCES - 1e-9)


def number_of_cans() -> Key:
    """Charge and hose over what a can really gives, rounded up."""
    return Key(
        answer=lambda case: float(plan(case).cans),
        tolerance=Tolerance("cans are counted", absolute=0.01),
        ideas=(
            WrongIdea(
                "cans counted as full",
                lambda case: None if _full_cans(case) == plan(case).cans else float(_full_cans(case)),
                "You counted the cans as full and the hose as empty. Each can keeps its vapor, and the hose must be "
                "filled as well.",
                credit=0.5,
            ),
            WrongIdea(
                "rounded down",
                lambda case: None if _full_cans(case) != plan(case).cans else plan(case).cans - 1.0,
                "You rounded down. The last can is opened even if little of it is needed.",
            ),
            WrongIdea(
                "one more to be safe",
                lambda case: plan(case).cans + 1.0,
                "That is one can more than the charge takes. Weigh, and leave the last one shut.",
            ),
        ),
    )


def _last_can_without(case: ChargingCase, *, with_heel: bool, with_hose: bool) -> float:
    return can_plan(
        case.charge_ounces * OUNCE,
        contents=CAN,
        heel=heel(case) if with_heel else 0.0,
        hose=hose(case) if with_hose else 0.0,
    ).from_last


def last_can() -> Key:
    """What the last can has to lose on the scale."""

    def right(case: ChargingCase) -> float:
        return plan(case).from_last

    def full(case: ChargingCase) -> float:
        return _last_can_without(case, with_heel=False, with_hose=False)

    def no_hose(case: ChargingCase) -> float:
        return _last_can_without(case, with_heel=True, with_hose=False)

    return Key(
        answer=right,
        tolerance=Tolerance("a scale is read to a quarter of an ounce", absolute=LAST_CAN_WIDTH),
        ideas=(
            WrongIdea(
                "cans counted as full",
                lambda case: apart(full(case), right(case), width=LAST_CAN_WIDTH),
                "You counted the cans as full and the hose as empty. Add what the hose keeps, and take off what each "
                "emptied can keeps.",
                credit=0.5,
            ),
            WrongIdea(
                "hose forgotten",
                lambda case: apart(no_hose(case), right(case), full(case), width=LAST_CAN_WIDTH),
                "You forgot the hose. What fills it has left the cans, too.",
                credit=0.5,
            ),
            WrongIdea(
                "what stays in the last can",
                lambda case: apart(CAN - right(case), right(case), full(case), no_hose(case), width=LAST_CAN_WIDTH),
                "That is what stays in the last can. The scale shows what has left it.",
                credit=0.5,
            ),
        ),
    )


def charge_from_the_curve() -> Key:
    """Half way between the clear glass and the full receiver."""
    width = STEP_TOLERANCE.absolute

    def clear(case: ChargingCase) -> float:
        return plateau(case)[0].ounces * OUNCE

    def full(case: ChargingCase) -> float:
        return plateau(case)[1].ounces * OUNCE

    return Key(
        answer=middle,
        tolerance=STEP_TOLERANCE,
        ideas=(
            WrongIdea(
                "stop at the clear glass",
                clear,
                "That is where the glass clears. It is the least that works today: the first leak or a hotter day "
                "brings the bubbles back.",
            ),
            WrongIdea(
                "clear glass and one more can",
                lambda case: apart(clear(case) + CAN, middle(case), full(case), width=width),
                "You took the clear glass and one more can. The can knows nothing of this receiver; read both ends of "
                "its plateau.",
                credit=0.25,
            ),
            WrongIdea(
                "fill until the head rises",
                full,
                "That fills the receiver to its top. Nothing is left for a hotter day; the head rises with the next "
                "ounces.",
            ),
        ),
    )


def reserve() -> Key:
    """What may leak from the middle of the plateau before the glass bubbles."""
    return Key(
        answer=lambda case: middle(case) - plateau(case)[0].ounces * OUNCE,
        tolerance=STEP_TOLERANCE,
        ideas=(
            WrongIdea(
                "whole plateau",
                lambda case: (plateau(case)[1].ounces - plateau(case)[0].ounces) * OUNCE,
                "That is the whole plateau. From its middle only half of it lies below you.",
                credit=0.5,
            ),
            WrongIdea(
                "counted from empty",
                middle,
                "That is the charge itself. Bubbles come long before the machine is empty: at the first clear row.",
            ),
        ),
    )


@lru_cache(maxsize=4096)
def verdict(case: ChargingCase) -> acceptance.Verdict:
    """The readings after charging against their bands; the bands' order is that of the case."""
    names = ("low_gauge", "high_gauge", "vent", "superheat_measured", "subcooling_measured")
    lines = tuple(
        acceptance.Band("today", name, name, "", 0.5 * (low + high), low, high)
        for name, (low, high) in zip(names, case.bands, strict=True)
    )
    run = acceptance.Run("today", 25.0, lines, "clear", "running")
    return acceptance.judge(run, dict(zip(names, case.readings, strict=True)))


def next_step(case: ChargingCase) -> str:
    """What to do next with the charged machine."""
    short = case.weighed_ounces < case.charge_ounces
    return acceptance.next_step(verdict(case), case.glass, weight_short=short)


def lacks_liquid(case: ChargingCase) -> bool:
    """Whether too little liquid reaches the valve."""
    return case.glass != "clear"


def decision() -> Key:
    """Accept, add, take out, or look for another fault."""
    return Key(
        answer=next_step,
        ideas=(
            WrongIdea(
                "gauge pair alone",
                lambda case: ACCEPT if next_step(case) in (TAKE_OUT, LOOK_ON) and not lacks_liquid(case) else None,
                "Both gauges lie in their bands, and that is not enough. Go through every line of the table.",
            ),
            WrongIdea(
                "warm vent means low charge",
                lambda case: ADD if next_step(case) == LOOK_ON and not lacks_liquid(case) else None,
                "Warm air alone does not ask for refrigerant. Superheat and glass are healthy, so liquid is not what "
                "is missing.",
            ),
            WrongIdea(
                "bubbles mean low charge",
                lambda case: ADD if next_step(case) == LOOK_ON and lacks_liquid(case) else None,
                "The full weight is in. Liquid is not missing; something holds it back before the glass, and more "
                "would be too much.",
            ),
            WrongIdea(
                "one more for good measure",
                lambda case: ADD if next_step(case) == ACCEPT else None,
                "Every line lies in its band and the weight is right. More would only cost head pressure.",
            ),
            WrongIdea(
                "more against every trouble",
                lambda case: ADD if next_step(case) == TAKE_OUT else None,
                "Liquid stands back into the condenser already: subcooling is above its band. More makes it worse.",
            ),
            WrongIdea(
                "bubbles mean another fault",
                lambda case: LOOK_ON if next_step(case) == ADD else None,
                "The scale is still short of the target, and bubbles, high superheat and a low low side say the same: "
                "liquid is missing.",
            ),
        ),
    )


def clear_glass() -> Key:
    """What a clear glass proves."""
    return Key(
        answer=lambda case: LIQUID,
        ideas=(
            WrongIdea(
                "a clear glass proves the charge",
                lambda case: RIGHT_CHARGE,
                "Look at your curve: the glass is clear in many rows, from the first clear one to far too much.",
            ),
            WrongIdea(
                "a clear glass proves the purity",
                lambda case: NO_AIR,
                "Air collects in the condenser, not in the glass. The glass only shows whether liquid comes by.",
            ),
        ),
    )


def open_valve() -> Key:
    """Which valve may be open while the engine runs."""
    return Key(
        answer=lambda case: LOW_ONLY,
        ideas=(
            WrongIdea(
                "high side while running",
                lambda case: HIGH_ONLY,
                "With the engine running the high side pushes hot gas back into the can. The can may burst.",
            ),
            WrongIdea(
                "both fill faster",
                lambda case: BOTH_SIDES,
                "With both open the high side pushes through to the low side and into the can. The can may burst.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "starting charge": starting_charge(),
    "heel in a can": heel_key(),
    "liquid in the hose": hose_key(),
    "number of cans": number_of_cans(),
    "last can lighter by": last_can(),
    "charge from the curve": charge_from_the_curve(),
    "clear glass proves": clear_glass(),
}

KEYS = PRACTICE | {
    "reserve before bubbles": reserve(),
    "next step": decision(),
    "valve open while running": open_valve(),
}
