"""Answers and wrong ideas of lesson retrofit-1, about cylinders, scales, air, identifiers and law."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from coldcab import refrigerants, units
from coldcab.assess.keys import Key, Tolerance, WrongIdea, celsius_called_fahrenheit, kelvin
from coldcab.lessons.retrofit_1.lines import BLEED, NOT_VALID, RECYCLE, SEND_AWAY, STOP, TOO_MUCH, WITHIN
from coldcab.lessons.retrofit_1.numbers import REFRIGERANTS, RecoveryCase, pounds
from coldcab.quantities import FAHRENHEIT_DEGREE
from coldcab.service import identification, law, recovery
from coldcab.service.checks import ServiceError

SETTLING_HOURS = 12.0  # h, and 65 F: service procedure 5.1, fact V15
SETTLING_FAHRENHEIT = 65.0
TENTH_POUND = pounds(0.1)
FILLING_TEMPERATURE = kelvin(70.0)


@dataclass(frozen=True)
class Ruling:
    """The answer to a case of law, where the law says so, and what is said to someone who decides the other way."""

    answer: str
    citation: str
    feedback: str


def _rulings() -> dict[str, Ruling]:
    text = Path(__file__).with_name("rulings.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return {row["case"]: Ruling(row["answer"], _citation(row), row["feedback"]) for row in rows}


def _citation(row: dict[str, str]) -> str:
    return "; ".join(filter(None, (row["source"], law.cite(*row["facts"].split()))))


RULINGS = _rulings()


def net_mass(case: RecoveryCase, scale: float) -> float:
    """kg of refrigerant where the scale shows so many lb."""
    return pounds(scale) - pounds(case.tare_lb)


def other_refrigerant(case: RecoveryCase) -> str:
    """The refrigerant that is not in this cylinder."""
    return next(name for name in REFRIGERANTS if name != case.refrigerant)


@lru_cache(maxsize=4096)
def allowed_masses(case: RecoveryCase) -> tuple[float, float]:
    """Net kg allowed by volume (80 % at 70 F) and by the gross weight rating (60 %)."""
    fill = recovery.allowed_fill(
        case.refrigerant,
        water_capacity=pounds(case.water_capacity_lb),
        tare=pounds(case.tare_lb),
        gross_rating=pounds(case.rating_lb),
    )
    return tuple(
        next(limit.mass for limit in fill.limits if limit.rule.startswith(start)) for start in ("liquid fills", "60 %")
    )


def gravity(refrigerant: str, temperature: float) -> float:
    """Liquid density over that of water at 60 F."""
    return float(refrigerants.saturation(refrigerant, temperature=temperature).liquid_density) / recovery.WATER_60F


def allowed_net_mass() -> Key:
    """Net mass by the law's volume rule: liquid in 80 % of the space at 70 F."""
    return Key(
        answer=lambda case: allowed_masses(case)[0],
        tolerance=Tolerance(
            "specific gravity from the table to 0.01, and the 77 F form of the rule, which gives 1 % less",
            relative=0.012,
        ),
        ideas=(
            WrongIdea(
                "water for refrigerant",
                lambda case: 0.80 * pounds(case.water_capacity_lb),
                "You filled 80 % with water. WC is the weight of water it would hold. Multiply by the specific "
                "gravity of the refrigerant.",
                credit=0.5,
            ),
            WrongIdea(
                "80 % of the gross weight",
                lambda case: 0.80 * pounds(case.rating_lb),
                "You took 80 % of the gross weight rating. The 80 % belong to the space inside: WC times specific "
                "gravity.",
            ),
            WrongIdea(
                "filled to the brim",
                lambda case: allowed_masses(case)[0] / 0.80,
                "You filled the whole space. Liquid swells as it warms, so at 70 F one fifth stays free.",
            ),
            WrongIdea(
                "the other refrigerant's weight",
                lambda case: (
                    0.80 * pounds(case.water_capacity_lb) * gravity(other_refrigerant(case), FILLING_TEMPERATURE)
                ),
                "You took the specific gravity of the other refrigerant. Look in the column of this one.",
                credit=0.5,
            ),
        ),
    )


def stop_mark() -> Key:
    """What the scale shows at the strictest of the law's two rules."""
    return Key(
        answer=lambda case: pounds(case.tare_lb) + min(allowed_masses(case)),
        tolerance=Tolerance("the net mass to 1 %, and the scale to 0.1 lb", absolute=2.5 * TENTH_POUND, relative=0.007),
        ideas=(
            WrongIdea(
                "tare forgotten",
                lambda case: min(allowed_masses(case)),
                "That is the refrigerant alone. The scale carries the cylinder too: add the tare weight TW.",
                credit=0.5,
            ),
            WrongIdea(
                "the looser rule taken",
                lambda case: pounds(case.tare_lb) + max(allowed_masses(case)),
                "You stopped at the looser of the two rules. Work both out; the smaller mass counts.",
                credit=0.5,
            ),
            WrongIdea(
                "an old heel counted as nothing",
                lambda case: pounds(case.before_lb) + min(allowed_masses(case)),
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
        mass=net_mass(case, case.warm_scale_lb),
        water_capacity=pounds(case.water_capacity_lb),
        temperature=kelvin(case.warm_fahrenheit),
    )
    return float(found.liquid_share)


def warm_fill() -> Key:
    """Share of the space that is liquid at the higher temperature."""

    def inside(case: RecoveryCase) -> float:
        return net_mass(case, case.warm_scale_lb)

    return Key(
        answer=warm_level,
        tolerance=Tolerance(
            "specific gravity to 0.01, and the vapor's own weight of 1 to 2 % left out", relative=0.022
        ),
        ideas=(
            WrongIdea(
                "liquid does not swell",
                lambda case: (
                    inside(case) / pounds(case.water_capacity_lb) / gravity(case.refrigerant, FILLING_TEMPERATURE)
                ),
                "That is the share at 70 F. The same liquid takes more space when it is warm: use its specific gravity "
                "there.",
                credit=0.5,
            ),
            WrongIdea(
                "water for refrigerant",
                lambda case: inside(case) / pounds(case.water_capacity_lb),
                "You divided by the weight of water. Divide by WC times the specific gravity at that temperature.",
            ),
            WrongIdea(
                "the cylinder's steel counted",
                lambda case: (
                    pounds(case.warm_scale_lb)
                    / pounds(case.water_capacity_lb)
                    / gravity(case.refrigerant, kelvin(case.warm_fahrenheit))
                ),
                "You took the whole weight on the scale. Take off the tare first.",
                credit=0.5,
            ),
        ),
    )


@lru_cache(maxsize=8192)
def full_temperature(case: RecoveryCase, refrigerant: str) -> float | None:
    """Temperature at which the overfilled twin is liquid-full, in K; None where that refrigerant never could be."""
    mass = net_mass(case, case.overfilled_scale_lb)
    try:
        found = recovery.liquid_full_temperature(refrigerant, mass=mass, water_capacity=pounds(case.water_capacity_lb))
    except ServiceError:
        return None
    return float(found) if found < 400.0 else None


def liquid_full() -> Key:
    """Temperature at which the liquid fills the overfilled cylinder."""

    return Key(
        answer=lambda case: full_temperature(case, case.refrigerant),
        tolerance=Tolerance(
            "0.1 lb on the scale is 2 F here, and the table is read between its rows",
            absolute=4.0 * FAHRENHEIT_DEGREE,
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
                lambda case: full_temperature(case, other_refrigerant(case)),
                "You used the other refrigerant's column. Look for the same specific gravity in this one's.",
                credit=0.5,
            ),
            WrongIdea(
                "Celsius called Fahrenheit",
                lambda case: celsius_called_fahrenheit(full_temperature(case, case.refrigerant)),
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
        tolerance=Tolerance(
            "the difference of two shown weights; half a division of 0.1 lb", absolute=0.5 * TENTH_POUND
        ),
        ideas=(
            WrongIdea(
                "tare for the reading before",
                lambda case: net_mass(case, case.after_lb),
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
    warmth = kelvin(case.check_fahrenheit)
    gauge = units.from_unit(case.check_psig, "pressure difference", "psi")
    return WITHIN if recovery.air_check("R-12", temperature=warmth, gauge=gauge).passes else TOO_MUCH


def _air_answer(case: RecoveryCase) -> str:
    if case.check_hours < SETTLING_HOURS or case.check_fahrenheit < SETTLING_FAHRENHEIT:
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


def _next_step(case: RecoveryCase) -> str:
    found = _finding(case)
    if found.name == identification.BURNS:
        return STOP
    if not found.may_recycle_here:
        return SEND_AWAY
    return BLEED if found.air else RECYCLE


def after_identifier() -> Key:
    """What the identifier's reading permits."""

    def when(answer: str, written: str):
        return lambda case: written if _next_step(case) == answer else None

    return Key(
        answer=_next_step,
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


def law_case(number: int) -> Key:
    """May it be done? For the case with this number on the sheet; one wrong idea for each case that can stand there."""

    def wrong(name: str):
        def result(case: RecoveryCase) -> str | None:
            if case.law_cases[number - 1] != name:
                return None
            return "no" if RULINGS[name].answer == "yes" else "yes"

        return result

    return Key(
        answer=lambda case: RULINGS[case.law_cases[number - 1]].answer,
        ideas=tuple(
            WrongIdea(f"{name}: decided the other way", wrong(name), ruling.feedback)
            for name, ruling in RULINGS.items()
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
