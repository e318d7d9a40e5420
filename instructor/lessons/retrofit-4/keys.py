"""Answers and wrong ideas of lesson retrofit-4: cans and hose, the charge curve, what the readings say afterwards."""

from __future__ import annotations

import math
from functools import lru_cache

from coldcab import refrigerants, units
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea, absolute, apart, kelvin
from coldcab.lessons.retrofit_4.charge_curves import Row
from coldcab.lessons.retrofit_4.numbers import CAN_CUBIC_INCHES, CAN_OUNCES, FEW, HOSE_INCHES, LETTERS, ChargingCase
from coldcab.lessons.retrofit_4.wordings import CHARGED, GLASS, LOG, MOMENTS
from coldcab.service import acceptance, charging
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
    """80 % of the R-12 charge."""

    def whole(case: ChargingCase) -> float:
        return case.specification_ounces * OUNCE

    return Key(
        answer=lambda case: float(charging.starting_charge(whole(case)).start),
        tolerance=Tolerance("a scale is read to half an ounce", absolute=0.5 * OUNCE),
        ideas=(
            WrongIdea(
                "same charge as before",
                whole,
                "That is the old R-12 charge. R-134a is lighter as a liquid, so the same mass overfills the receiver.",
            ),
            WrongIdea(
                "the end taken for the start",
                lambda case: float(charging.starting_charge(whole(case)).by_density),
                "That is what to expect in the end, by the densities. Start lower: to take some out you need the "
                "recovery machine.",
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


def letters(texts: tuple[str, ...], wanted: set[str], choices: tuple[str, ...]) -> str:
    """Letters of the texts that are wanted, as a list's value."""
    return listed([letter for letter, text in zip(choices, texts, strict=False) if text in wanted], choices)


def other(value: str, *taken: str | None) -> str | None:
    """The list, or None where it is empty or another's."""
    return None if not value or value in taken else value


ACCEPTED = {CHARGED[place] for place in (0, 2, 4, 6, 8)}


def machines_accepted() -> Key:
    """Weight right and every reading inside its band."""

    def of(case: ChargingCase, wanted: set[str]) -> str:
        return letters(case.charged, wanted, FEW)

    def glass_believed(case: ChargingCase) -> str | None:
        return other(of(case, ACCEPTED | {CHARGED[1], CHARGED[7]}), of(case, ACCEPTED))

    def weight_believed(case: ChargingCase) -> str | None:
        found = of(case, ACCEPTED | {CHARGED[3], CHARGED[5], CHARGED[9]})
        return other(found, of(case, ACCEPTED), glass_believed(case))

    return Key(
        answer=lambda case: of(case, ACCEPTED),
        ideas=(
            WrongIdea(
                "a clear glass and good gauges are enough",
                glass_believed,
                "On the plateau glass and gauges look the same for a great many weights. Without the right weight "
                "nothing is accepted.",
            ),
            WrongIdea(
                "the right weight is enough",
                weight_believed,
                "The weight is right, but a reading lies outside its band. Find out why before you hand it over.",
            ),
            WrongIdea(
                "no glass, no verdict",
                lambda case: other(
                    of(case, ACCEPTED - {CHARGED[2], CHARGED[4]}),
                    of(case, ACCEPTED),
                    glass_believed(case),
                    weight_believed(case),
                ),
                "A machine without a glass is accepted by weight and readings, as any other.",
                credit=0.5,
            ),
        ),
    )


TRUE = {GLASS[place] for place in (0, 2, 4, 6, 8)}


def true_of_the_glass() -> Key:
    """Here and now, and nothing more."""

    def of(case: ChargingCase, wanted: set[str]) -> str:
        return letters(case.sayings, wanted, FEW)

    def proves(case: ChargingCase) -> str | None:
        return other(of(case, TRUE | {GLASS[1], GLASS[3], GLASS[5]}), of(case, TRUE))

    return Key(
        answer=lambda case: of(case, TRUE),
        ideas=(
            WrongIdea(
                "a clear glass proves the charge",
                proves,
                "Look at your curve: the glass is clear in many rows, from the first clear one to far too much. And "
                "air collects in the condenser, not in the glass.",
            ),
            WrongIdea(
                "bubbles and sweat ask for more",
                lambda case: other(of(case, TRUE | {GLASS[7], GLASS[9]}), of(case, TRUE), proves(case)),
                "Bubbles also come from a restriction, and a suction pipe sweats on any humid day. The scale says what "
                "is inside.",
            ),
        ),
    )


def weigh_in() -> Key:
    """An empty circuit takes the whole weight of its label."""
    return Key(
        answer=lambda case: case.label_ounces * OUNCE,
        tolerance=Tolerance("a scale is read to half an ounce", absolute=0.5 * OUNCE),
        ideas=(
            WrongIdea(
                "what had leaked",
                lambda case: apart(
                    (case.label_ounces - case.recovered_ounces) * OUNCE, case.label_ounces * OUNCE, width=0.5 * OUNCE
                ),
                "That is what had leaked. The rest was recovered, and the vacuum left nothing inside.",
            ),
            WrongIdea(
                "the rule for converted machines",
                lambda case: 0.80 * case.label_ounces * OUNCE,
                "80 % is where a converted machine starts. This one has a label for the gas that goes in.",
            ),
            WrongIdea(
                "what came out goes back",
                lambda case: (
                    case.recovered_ounces * OUNCE
                    if abs(case.recovered_ounces - (case.label_ounces - case.recovered_ounces)) > 1.5
                    else None
                ),
                "That came out of a machine that had leaked. It needs the whole weight of its label.",
            ),
        ),
    )


WRONG_LINES = {pair[place not in (1, 3, 7)] for place, pair in enumerate(LOG)}


def wrong_lines() -> Key:
    """What costs weight, air, a compressor, or the next technician's trust."""

    def of(case: ChargingCase, wanted: set[str]) -> str:
        return letters(case.log, wanted, LETTERS)

    def harmless(case: ChargingCase) -> str | None:
        return other(of(case, WRONG_LINES - {LOG[0][1], LOG[7][0], LOG[1][0]}), of(case, WRONG_LINES))

    return Key(
        answer=lambda case: of(case, WRONG_LINES),
        ideas=(
            WrongIdea(
                "what does not break the compressor is fine",
                harmless,
                "Look again at scale, hose and label. Without a weight nobody knows the charge, and nothing is vented.",
                credit=0.25,
            ),
            WrongIdea(
                "liquid never goes into the high side",
                lambda case: other(of(case, WRONG_LINES | {LOG[2][0]}), of(case, WRONG_LINES), harmless(case)),
                "Into the vacuum, with the engine off, liquid belongs in the high side, as the manual allows.",
                credit=0.25,
            ),
            WrongIdea(
                "liquid into a running machine is fine",
                lambda case: other(
                    of(case, WRONG_LINES - {LOG[2][1], LOG[4][1], LOG[3][0]}), of(case, WRONG_LINES), harmless(case)
                ),
                "Liquid does not compress. Never feed it to the low side of a running machine, and turn the hub first.",
            ),
        ),
    )


def can_may_burst() -> Key:
    """The one moment in which the running machine's high side can press into the can."""

    def letter(case: ChargingCase, texts: tuple[str, ...]) -> str | None:
        return next((one for one, text in zip(FEW, case.moments, strict=True) if text in texts), None)

    sound = MOMENTS[1]
    return Key(
        answer=lambda case: letter(case, MOMENTS[0]) or "",
        ideas=(
            WrongIdea(
                "the high side is never open to a can",
                lambda case: letter(case, sound[:1]),
                "With the engine off the high side holds vacuum: liquid flows in, nothing presses back. Look for an "
                "engine that runs.",
            ),
            WrongIdea(
                "no can on a running machine",
                lambda case: letter(case, sound[1:2]),
                "The low side of a running machine lies below the can. Vapor flows out of the can, nothing presses "
                "back.",
            ),
            WrongIdea(
                "warm water is the danger",
                lambda case: letter(case, sound[4:5]),
                "Water that a hand can bear does not burst a can. The high side of a running machine can.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "starting charge": starting_charge(),
    "heel in a can": heel_key(),
    "number of cans": number_of_cans(),
    "last can lighter by": last_can(),
    "charge from the curve": charge_from_the_curve(),
    "next step": decision(),
    "machines accepted": machines_accepted(),
    "true of the glass": true_of_the_glass(),
    "R-1234yf to weigh in": weigh_in(),
    "wrong lines of the log": wrong_lines(),
    "can may burst": can_may_burst(),
}

KEYS = PRACTICE | {
    "liquid in the hose": hose_key(),
    "reserve before bubbles": reserve(),
}
