"""Answers and wrong ideas about cylinders, scales, air, identifiers and law, from one job of recovery."""

from __future__ import annotations

from functools import lru_cache

from coldcab import refrigerants, units
from coldcab.assess.keys import Key, Tolerance, WrongIdea
from coldcab.lessons.retrofit_1.lines import BLEED, NOT_VALID, RECYCLE, SEND_AWAY, STOP, TOO_MUCH, WITHIN
from coldcab.lessons.retrofit_1.numbers import RecoveryCase, pounds
from coldcab.service import cases, identification, recovery
from coldcab.service.checks import ServiceError

STAND = 12.0  # h, and 65 F: service procedure 5.1, fact V15
COOLEST = 65.0
TENTH = pounds(0.1)


@lru_cache(maxsize=4096)
def rules(case: RecoveryCase) -> tuple[float, float]:
    """Net kg allowed by volume (80 % at 70 F) and by the gross weight rating (60 %)."""
    fill = recovery.allowed_fill(
        case.refrigerant, water_capacity=case.water_capacity, tare=case.tare, gross_rating=case.rating
    )
    return tuple(
        next(limit.mass for limit in fill.limits if limit.rule.startswith(start)) for start in ("liquid fills", "60 %")
    )


def gravity(refrigerant: str, temperature: float) -> float:
    """Liquid density over that of water at 60 F."""
    return float(refrigerants.saturation(refrigerant, temperature=temperature).liquid_density) / recovery.WATER_60F


COOL = units.from_unit(70.0, "temperature", "F")


def allowed_net_mass() -> Key:
    """Net mass by the law's volume rule: liquid in 80 % of the space at 70 F."""
    return Key(
        answer=lambda case: rules(case)[0],
        tolerance=Tolerance(
            "specific gravity from the table to 0.01, and the 77 F form of the rule, which gives 1 % less",
            relative=0.012,
        ),
        ideas=(
            WrongIdea(
                "water for refrigerant",
                lambda case: 0.80 * case.water_capacity,
                "You filled 80 % with water. WC is the weight of water it would hold. Multiply by the specific "
                "gravity of the refrigerant.",
                credit=0.5,
            ),
            WrongIdea(
                "80 % of the gross weight",
                lambda case: 0.80 * case.rating,
                "You took 80 % of the gross weight rating. The 80 % belong to the space inside: WC times specific "
                "gravity.",
            ),
            WrongIdea(
                "filled to the brim",
                lambda case: rules(case)[0] / 0.80,
                "You filled the whole space. Liquid swells as it warms, so at 70 F one fifth stays free.",
            ),
            WrongIdea(
                "the other refrigerant's weight",
                lambda case: 0.80 * case.water_capacity * gravity(case.other, COOL),
                "You took the specific gravity of the other refrigerant. Look in the column of this one.",
                credit=0.5,
            ),
        ),
    )


def stop_mark() -> Key:
    """What the scale shows at the strictest of the law's two rules."""
    return Key(
        answer=lambda case: case.tare + min(rules(case)),
        tolerance=Tolerance("the net mass to 1 %, and the scale to 0.1 lb", absolute=2.5 * TENTH, relative=0.007),
        ideas=(
            WrongIdea(
                "tare forgotten",
                lambda case: min(rules(case)),
                "That is the refrigerant alone. The scale carries the cylinder too: add the tare weight TW.",
                credit=0.5,
            ),
            WrongIdea(
                "the looser rule taken",
                lambda case: case.tare + max(rules(case)),
                "You stopped at the looser of the two rules. Work both out; the smaller mass counts.",
                credit=0.5,
            ),
            WrongIdea(
                "an old heel counted as nothing",
                lambda case: pounds(case.before_lb) + min(rules(case)),
                "You added the limit to what the scale showed before. There was refrigerant inside already; start from "
                "the tare.",
            ),
        ),
    )


@lru_cache(maxsize=4096)
def warm_level(case: RecoveryCase) -> float:
    """Share of the space that is liquid in the warm truck."""
    found = recovery.fill_state(
        case.refrigerant,
        mass=pounds(case.warm_scale_lb) - case.tare,
        water_capacity=case.water_capacity,
        temperature=case.warm_temperature,
    )
    return float(found.liquid_share)


def warm_fill() -> Key:
    """Share of the space that is liquid at the higher temperature."""

    def net(case: RecoveryCase) -> float:
        return pounds(case.warm_scale_lb) - case.tare

    return Key(
        answer=warm_level,
        tolerance=Tolerance(
            "specific gravity to 0.01, and the vapor's own weight of 1 to 2 % left out", relative=0.022
        ),
        ideas=(
            WrongIdea(
                "liquid does not swell",
                lambda case: net(case) / case.water_capacity / gravity(case.refrigerant, COOL),
                "That is the share at 70 F. The same liquid takes more space when it is warm: use its specific gravity "
                "there.",
                credit=0.5,
            ),
            WrongIdea(
                "water for refrigerant",
                lambda case: net(case) / case.water_capacity,
                "You divided by the weight of water. Divide by WC times the specific gravity at that temperature.",
            ),
            WrongIdea(
                "the cylinder's steel counted",
                lambda case: (
                    pounds(case.warm_scale_lb) / case.water_capacity / gravity(case.refrigerant, case.warm_temperature)
                ),
                "You took the whole weight on the scale. Take off the tare first.",
                credit=0.5,
            ),
        ),
    )


@lru_cache(maxsize=8192)
def full_temperature(case: RecoveryCase, refrigerant: str) -> float | None:
    """Temperature at which the overfilled twin is liquid-full, in K; None where that refrigerant never could be."""
    mass = pounds(case.overfilled_scale_lb) - case.tare
    try:
        found = recovery.liquid_full_temperature(refrigerant, mass=mass, water_capacity=case.water_capacity)
    except ServiceError:
        return None
    return float(found) if found < 400.0 else None


def liquid_full() -> Key:
    """Temperature at which the liquid fills the overfilled cylinder."""

    def celsius_number(case: RecoveryCase) -> float:
        right = full_temperature(case, case.refrigerant)
        return units.from_unit(units.convert(right, "temperature", "C"), "temperature", "F")

    return Key(
        answer=lambda case: full_temperature(case, case.refrigerant),
        tolerance=Tolerance(
            "0.1 lb on the scale is 2 F here, and the table is read between its rows",
            absolute=units.from_unit(4.0, "temperature difference", "F"),
        ),
        ideas=(
            WrongIdea(
                "131 F for every cylinder",
                lambda case: recovery.TRANSPORT_TEMPERATURE,
                "131 F is where a cylinder filled for transport may just not be full yet. This one holds more: find "
                "where net mass = WC x specific gravity.",
            ),
            WrongIdea(
                "the other refrigerant's weight",
                lambda case: full_temperature(case, case.other),
                "You used the other refrigerant's column. Look for the same specific gravity in this one's.",
                credit=0.5,
            ),
            WrongIdea(
                "Celsius called Fahrenheit",
                celsius_number,
                "The number is right in Celsius, but the unit says F. Write C, or convert it.",
                credit=0.5,
            ),
        ),
    )


def _tenths(number: float) -> int:
    """The tenths of a weight such as 31.8."""
    return round(10 * number) % 10


def _as_ounces(case: RecoveryCase) -> float | None:
    """Mass of someone who reads 31.8 lb as 31 lb 8 oz; None where that makes no difference to see."""
    if abs(_tenths(case.after_lb) - _tenths(case.before_lb)) < 2:
        return None
    whole, ounces = (
        int(case.after_lb) - int(case.before_lb),
        _tenths(case.after_lb) - _tenths(case.before_lb),
    )
    return pounds(whole + ounces / 16)


def mass_recovered() -> Key:
    """Scale after less scale before."""
    return Key(
        answer=lambda case: pounds(case.after_lb) - pounds(case.before_lb),
        tolerance=Tolerance("the difference of two shown weights; half a division of 0.1 lb", absolute=0.5 * TENTH),
        ideas=(
            WrongIdea(
                "tare for the reading before",
                lambda case: pounds(case.after_lb) - case.tare,
                "You took off the tare. Some refrigerant was inside before; take off what the scale showed before.",
                credit=0.5,
            ),
            WrongIdea(
                "tenths read as ounces",
                _as_ounces,
                "You read tenths of a pound as ounces. 31.8 lb is 31 lb 12.8 oz; subtract the decimals first.",
                credit=0.5,
            ),
            WrongIdea(
                "scale after taken as it is",
                lambda case: pounds(case.after_lb),
                "That is cylinder and all. What came out of the machine is the difference of the two readings.",
            ),
        ),
    )


def _table_says(case: RecoveryCase) -> str:
    warmth = units.from_unit(case.check_fahrenheit, "temperature", "F")
    gauge = units.from_unit(case.check_psig, "pressure difference", "psi")
    return WITHIN if recovery.air_check("R-12", temperature=warmth, gauge=gauge).passes else TOO_MUCH


def _air_answer(case: RecoveryCase) -> str:
    if case.check_hours < STAND or case.check_fahrenheit < COOLEST:
        return NOT_VALID
    return _table_says(case)


def air_in_container() -> Key:
    """Whether the container's air is within the law's limit."""
    return Key(
        answer=_air_answer,
        ideas=(
            WrongIdea(
                "any pressure above saturation is too much",
                lambda case: TOO_MUCH if _air_answer(case) == WITHIN else None,
                "The printed limit stands 9 to 13 psi above pure R-12. A little air is allowed; compare with the "
                "limit.",
            ),
            WrongIdea(
                "limit taken for the least pressure",
                lambda case: WITHIN if _air_answer(case) == TOO_MUCH else None,
                "The gauge shows more than the limit for this temperature. The limit is the most it may show.",
            ),
            WrongIdea(
                "no time to settle",
                lambda case: _table_says(case) if _air_answer(case) == NOT_VALID else None,
                "It has not stood long enough. Only after 12 hours at 65 F or more, out of the sun, has the liquid the "
                "temperature of the air.",
            ),
            WrongIdea(
                "a valid test thrown away",
                lambda case: NOT_VALID if _air_answer(case) != NOT_VALID else None,
                "Twelve hours at 65 F or more, in the shade: the test counts. Read the limit beside the temperature.",
            ),
        ),
    )


@lru_cache(maxsize=4096)
def _finding(case: RecoveryCase) -> identification.Finding:
    return identification.identify(dict(case.sample))


def _next(case: RecoveryCase) -> str:
    found = _finding(case)
    if found.name == identification.BURNS:
        return STOP
    if not found.may_recycle_here:
        return SEND_AWAY
    return BLEED if found.air else RECYCLE


def after_identifier() -> Key:
    """What the identifier's reading permits."""

    def when(answer: str, written: str):
        return lambda case: written if _next(case) == answer else None

    return Key(
        answer=_next,
        ideas=(
            WrongIdea(
                "a mixture recycled",
                when(SEND_AWAY, RECYCLE),
                "Below 98 % of one refrigerant it is a mixture. It would spoil the shop's machine and its clean stock.",
            ),
            WrongIdea(
                "air taken for a foreign refrigerant",
                when(BLEED, SEND_AWAY),
                "That is air, not another refrigerant. Recycle it and bleed the air off; nothing need be sent away.",
                credit=0.5,
            ),
            WrongIdea(
                "air overlooked",
                when(BLEED, RECYCLE),
                "Look at the air. It raises the head pressure of every machine that gets this charge; bleed it off.",
                credit=0.5,
            ),
            WrongIdea(
                "hydrocarbon treated like a mixture",
                when(STOP, SEND_AWAY),
                "Hydrocarbon burns. An ordinary recovery machine can set it alight; do not connect it at all.",
            ),
            WrongIdea(
                "a trace taken for a mixture",
                when(RECYCLE, SEND_AWAY),
                "At least 98 % of it is one refrigerant: the identifier calls that pure. It may be recycled here.",
            ),
        ),
    )


FEEDBACK = {
    "vent": "Not even a little. Let nothing out on purpose; use a longer hose or call who has one.",
    "empty": "0 psig is the pressure of the air, not of nothing. The machine is full of gas: recover it first.",
    "top off": "That makes a mixture, and it is against the law. Recover all R-12 first, then decide on a retrofit.",
    "own refrigerant back": "Recovered is not recycled. Even its own machine may get it back only after recycling.",
    "recycled back": "It may. Recycled by approved equipment, it may go into motor vehicles and off-road cabs.",
    "adapter": "Not for a minute. Fittings differ so that refrigerants cannot meet; an adapter defeats that.",
    "unlocked port": "A fitting that can be unscrewed is no conversion. It needs thread lock or a latch.",
    "vehicle certificate": "She may. Belt-driven, under 20 lb, not R-22, in an off-road cab: this program covers it.",
    "no equipment": "Whoever opens such a machine must have approved equipment. Without it, no such job.",
    "hydrocarbon": "Hydrocarbons are unacceptable in place of R-12: highly flammable, with the driver beside the coil.",
    "disposable can": "A throw-away cylinder may never be refilled: it can burst. Use an approved recovery cylinder.",
    "same refrigerant": "It may. Leak repaired, the same refrigerant, its own label: nothing stands against it.",
    "small can": "R-12 in containers under 20 lb goes to certified technicians only.",
}
"""What is said to someone who decides a case the wrong way."""


def law_case(number: int) -> Key:
    """May it be done? For the case with this number on the sheet; one wrong idea for each case that can stand there."""

    def wrong(name: str):
        def result(case: RecoveryCase) -> str | None:
            asked = case.law_cases[number - 1]
            return None if asked.name != name else "no" if asked.allowed else "yes"

        return result

    return Key(
        answer=lambda case: case.law_cases[number - 1].answer,
        ideas=tuple(
            WrongIdea(f"{one.name}: decided the other way", wrong(one.name), FEEDBACK[one.name])
            for one in cases.cases()
        ),
    )


PRACTICE: dict[str, Key] = {
    "allowed net mass": allowed_net_mass(),
    "level in the warm truck": warm_fill(),
    "mass recovered": mass_recovered(),
    "air in the container": air_in_container(),
    "after the identifier": after_identifier(),
    "case 1": law_case(1),
    "case 2": law_case(2),
}

KEYS = PRACTICE | {
    "stop mark": stop_mark(),
    "liquid-full temperature": liquid_full(),
    "case 3": law_case(3),
    "case 4": law_case(4),
}
