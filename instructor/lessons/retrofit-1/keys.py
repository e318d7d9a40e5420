"""Answers and wrong ideas of lesson retrofit-1, about cylinders, scales, air, identifiers and law."""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from coldcab import refrigerants
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea, apart, celsius_called_fahrenheit, kelvin
from coldcab.lessons.retrofit_1.numbers import (
    LETTERS,
    ORDINARY_MACHINES,
    PEOPLE,
    REASON_LETTERS,
    REASONS,
    REFRIGERANTS,
    SCENES,
    Container,
    RecoveryCase,
    Sample,
    pounds,
)
from coldcab.quantities import FAHRENHEIT_DEGREE, PSI, STANDARD_ATMOSPHERE
from coldcab.service import identification, law, recovery
from coldcab.service.checks import ServiceError

SETTLING_HOURS = 12.0  # h, and 65 F: service procedure 5.1, fact V15
SETTLING_FAHRENHEIT = 65.0
TENTH_POUND = pounds(0.1)
FILLING_TEMPERATURE = kelvin(77.0)
FULL_WIDTH = 3.0 * FAHRENHEIT_DEGREE


@dataclass(frozen=True)
class Ruling:
    """The reason that decides a case of law, where the law says so, and what is said to who decides the other way."""

    reason: str  # one of REASONS
    citation: str
    feedback: str


def _rulings() -> dict[str, Ruling]:
    text = Path(__file__).with_name("rulings.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return {row["case"]: Ruling(row["reason"], _citation(row), row["feedback"]) for row in rows}


def _citation(row: dict[str, str]) -> str:
    return "; ".join(filter(None, (row["source"], law.cite(*row["facts"].split()))))


RULINGS = _rulings()


def net_mass(case: RecoveryCase, scale: float) -> float:
    """kg of refrigerant where the scale shows so many lb."""
    return pounds(scale) - pounds(case.tare_lb)


def other_refrigerant(case: RecoveryCase) -> str:
    """The column beside the right one."""
    return REFRIGERANTS[(REFRIGERANTS.index(case.refrigerant) + 1) % len(REFRIGERANTS)]


@lru_cache(maxsize=4096)
def allowed_masses(case: RecoveryCase) -> tuple[float, float]:
    """Net kg allowed by volume (80 %, counted at 77 F) and by the gross weight rating (60 %)."""
    fill = recovery.allowed_fill(
        case.refrigerant,
        water_capacity=pounds(case.water_capacity_lb),
        tare=pounds(case.tare_lb),
        gross_rating=pounds(case.rating_lb),
    )
    return tuple(
        next(limit.mass for limit in fill.limits if limit.rule.startswith(start)) for start in ("0.80 x", "60 %")
    )


def gravity(refrigerant: str, temperature: float) -> float:
    """Liquid density over that of water at 60 F."""
    return float(refrigerants.saturation(refrigerant, temperature=temperature).liquid_density) / recovery.WATER_60F


def allowed_net_mass() -> Key:
    """Net mass by the rule of 80 %, with the specific gravity at 77 F."""
    return Key(
        answer=lambda case: allowed_masses(case)[0],
        tolerance=Tolerance(
            "specific gravity from the table to 0.01; at 70 F, as the law counts, it is 1 % more",
            relative=0.012,
        ),
        ideas=(
            WrongIdea(
                "water for refrigerant",
                lambda case: 0.80 * pounds(case.water_capacity_lb),
                "You filled 80 % with water. WC is the weight of water it would hold. Multiply by the specific "
                "gravity of the refrigerant.",
                credit=0.25,
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
                "You filled the whole space. Liquid swells as it warms, so one fifth stays free.",
            ),
            WrongIdea(
                "the other refrigerant's weight",
                lambda case: (
                    0.80 * pounds(case.water_capacity_lb) * gravity(other_refrigerant(case), FILLING_TEMPERATURE)
                ),
                "You took the specific gravity of the other refrigerant. Look in the column of this one.",
                credit=0.25,
            ),
        ),
    )


def stop_mark() -> Key:
    """What the scale shows at the stricter of the two rules."""
    return Key(
        answer=lambda case: pounds(case.tare_lb) + min(allowed_masses(case)),
        tolerance=Tolerance("the net mass to 1 %, and the scale to 0.1 lb", absolute=2.5 * TENTH_POUND, relative=0.007),
        ideas=(
            WrongIdea(
                "tare forgotten",
                lambda case: min(allowed_masses(case)),
                "That is the refrigerant alone. The scale carries the cylinder too: add the tare weight TW.",
                credit=0.25,
            ),
            WrongIdea(
                "the looser rule taken",
                lambda case: pounds(case.tare_lb) + max(allowed_masses(case)),
                "You stopped at the looser of the two rules. Work both out; the smaller mass counts.",
                credit=0.25,
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
    """Share of the space that is liquid in the warm truck, the vapor's own weight left out as the lesson does."""
    space = pounds(case.water_capacity_lb) * gravity(case.refrigerant, kelvin(case.warm_fahrenheit))
    return net_mass(case, case.warm_scale_lb) / space


def warm_fill() -> Key:
    """Share of the space that is liquid at the higher temperature."""

    def inside(case: RecoveryCase) -> float:
        return net_mass(case, case.warm_scale_lb)

    return Key(
        answer=warm_level,
        tolerance=Tolerance(
            "specific gravity from the nearest row, or the vapor's own weight of 1 to 2 % counted", relative=0.022
        ),
        ideas=(
            WrongIdea(
                "liquid does not swell",
                lambda case: (
                    inside(case) / pounds(case.water_capacity_lb) / gravity(case.refrigerant, FILLING_TEMPERATURE)
                ),
                "That is the share at 77 F. The same liquid takes more space when it is warm: use its specific gravity "
                "there.",
                credit=0.25,
            ),
            WrongIdea(
                "water for refrigerant",
                lambda case: apart(
                    inside(case) / pounds(case.water_capacity_lb),  # liquid R-1234yf weighs as much as water when warm
                    warm_level(case),
                    inside(case) / pounds(case.water_capacity_lb) / gravity(case.refrigerant, FILLING_TEMPERATURE),
                    width=0.02,
                ),
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
                credit=0.25,
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

    def right(case: RecoveryCase) -> float:
        return full_temperature(case, case.refrigerant)

    def other_column(case: RecoveryCase) -> float | None:
        found = full_temperature(case, other_refrigerant(case))
        others = right(case), recovery.TRANSPORT_TEMPERATURE, celsius_called_fahrenheit(right(case))
        return found and apart(found, *others, width=FULL_WIDTH)

    return Key(
        answer=right,
        tolerance=Tolerance(
            "half a digit of the scale is 1 F here, and the table is read between its rows",
            absolute=FULL_WIDTH,
        ),
        ideas=(
            WrongIdea(
                "131 F for every cylinder",
                lambda case: apart(recovery.TRANSPORT_TEMPERATURE, right(case), width=FULL_WIDTH),
                "131 F is where a cylinder filled for transport may just not be full yet. This one holds more: find "
                "where net mass = WC x specific gravity.",
            ),
            WrongIdea(
                "the other refrigerant's weight",
                other_column,
                "You used the other refrigerant's column. Look for the same specific gravity in this one's.",
                credit=0.25,
            ),
            WrongIdea(
                "Celsius called Fahrenheit",
                lambda case: celsius_called_fahrenheit(right(case)),
                "The number is right in Celsius, but the unit says F. Write C, or convert it.",
                credit=0.25,
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
                credit=0.25,
            ),
            WrongIdea(
                "tenths read as ounces",
                _as_ounces,
                "You read tenths of a pound as ounces. 31.8 lb is 31 lb 12.8 oz; subtract the decimals first.",
                credit=0.25,
            ),
            WrongIdea(
                "scale after taken as it is",
                lambda case: pounds(case.after_lb),
                "That is cylinder and all. What came out of the machine is the difference of the two readings.",
            ),
        ),
    )


def _letters(wanted: Callable[[object], bool], shown: tuple) -> str:
    """Letters of what is wanted, as a list's value."""
    return listed([letter for letter, one in zip(LETTERS, shown, strict=True) if wanted(one)], LETTERS)


def _other(value: str, *taken: str) -> str | None:
    """The list, or None where it is empty or another's."""
    return None if not value or value in taken else value


def limit_psi(one: Container) -> float:
    """Printed limit at the container's temperature, psi."""
    return float(recovery.table_limit("R-12", kelvin(one.fahrenheit))) / PSI


def pure_psi(one: Container) -> float:
    """Gauge of R-12 alone at that temperature, psi."""
    return float(refrigerants.saturation_pressure("R-12", kelvin(one.fahrenheit)) - STANDARD_ATMOSPHERE) / PSI


def settled(one: Container) -> bool:
    """Whether the check counts."""
    return one.hours >= SETTLING_HOURS and one.fahrenheit >= SETTLING_FAHRENHEIT and one.shade


def containers_to_bleed() -> Key:
    """Containers above the limit whose check counts."""

    def of(case: RecoveryCase, wanted: Callable[[Container], bool]) -> str:
        return _letters(wanted, case.containers)

    def right(case: RecoveryCase) -> str:
        return of(case, lambda one: settled(one) and one.psig >= limit_psi(one))

    def above_pure(case: RecoveryCase) -> str | None:
        return _other(of(case, lambda one: settled(one) and one.psig > pure_psi(one) + 2.0), right(case))

    def unsettled(case: RecoveryCase) -> str | None:
        return _other(of(case, lambda one: one.psig >= limit_psi(one)), right(case))

    def below(case: RecoveryCase) -> str | None:
        return _other(of(case, lambda one: settled(one) and one.psig < limit_psi(one)), right(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "any pressure above saturation is too much",
                above_pure,
                "The printed limit stands 9 to 13 psi above pure R-12. A little air is allowed; compare with the "
                "limit.",
            ),
            WrongIdea(
                "no time to settle",
                unsettled,
                "One of them has not stood 12 hours at 65 F or more, out of the sun. Its check does not count yet.",
            ),
            WrongIdea(
                "limit taken for the least pressure",
                below,
                "The limit is the most that the gauge may show. Above it there is too much air.",
            ),
        ),
    )


def may_recycle(one: Sample, *, sealant: bool = True, air: bool = True) -> bool:
    """Whether a sample may go into the recycling machine for R-12 or for R-134a."""
    if one.sealant and sealant:
        return False
    shares = {name: share for name, share in one.shares if name in identification.PARTS}
    found = identification.identify(shares)
    return found.may_recycle_here and found.refrigerant in ORDINARY_MACHINES and (air or not found.air)


def samples_to_recycle() -> Key:
    """Samples that the shop's two machines may take."""

    def of(case: RecoveryCase, wanted: Callable[[Sample], bool]) -> str:
        return _letters(wanted, case.samples)

    def right(case: RecoveryCase) -> str:
        return of(case, may_recycle)

    def more(wanted: Callable[[Sample], bool]) -> Callable[[RecoveryCase], str | None]:
        return lambda case: _other(of(case, lambda one: may_recycle(one) or wanted(one)), right(case))

    def has(*names: str) -> Callable[[Sample], bool]:
        return lambda one: any(name in names for name, share in one.shares if share > 1 - identification.PURE)

    def mixed(one: Sample) -> bool:
        return not one.sealant and {name for name, share in one.shares if share > 0.02} == set(ORDINARY_MACHINES)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "sealant overlooked",
                more(lambda one: one.sealant),
                "Sealant hardens in the machine's valves and hoses. That gas goes into a cylinder for spoiled gas.",
            ),
            WrongIdea(
                "a mixture recycled",
                more(mixed),
                "Below 98 % of one refrigerant it is a mixture. It would spoil the machine and its clean stock.",
            ),
            WrongIdea(
                "what burns in an ordinary machine",
                more(has("hydrocarbon", "R-1234yf")),
                "One of these burns. An ordinary machine makes sparks; R-1234yf too needs a machine made for it.",
            ),
            WrongIdea(
                "air taken for a foreign refrigerant",
                lambda case: _other(of(case, lambda one: may_recycle(one, air=False)), right(case)),
                "Air is no foreign refrigerant. That sample may be recycled, and its air bled off.",
            ),
        ),
    )


DANGER = set(SCENES[:8])
EXHAUST, FIRE, CYLINDERS = {SCENES[0]}, {SCENES[2], SCENES[3], SCENES[5]}, {SCENES[1], SCENES[4], SCENES[7]}


def stop_at_once() -> Key:
    """Scenes in which somebody is about to get hurt."""

    def without(*dangers: set[str]) -> Callable[[RecoveryCase], str | None]:
        def result(case: RecoveryCase) -> str | None:
            left = DANGER - set().union(*dangers)
            return _other(_letters(lambda text: text in left, case.scenes), right(case))

        return result

    def right(case: RecoveryCase) -> str:
        return _letters(lambda text: text in DANGER, case.scenes)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "exhaust is only a smell",
                without(EXHAUST),
                "Exhaust in a closed bay kills: its carbon monoxide has no smell. Lead it outside, or stop the engine.",
            ),
            WrongIdea(
                "fire forgotten",
                without(FIRE),
                "One of these can burn or make poison: a torch on a circuit, sparks, or gas that burns in an ordinary "
                "machine.",
            ),
            WrongIdea(
                "a cylinder forgives",
                without(CYLINDERS),
                "A cylinder above its mark, past its test or made to be thrown away can burst. Stop filling it.",
            ),
            WrongIdea(
                "stop everything",
                lambda case: _other(", ".join(LETTERS), right(case)),
                "Some of these are done right: air, glasses, the right machine, room in the cylinder.",
            ),
        ),
    )


MAY_OPEN = set(PEOPLE[:4])


def who_may_open() -> Key:
    """Certificate and equipment, both."""

    def with_more(*texts: str) -> Callable[[RecoveryCase], str | None]:
        return lambda case: _other(_letters(lambda text: text in MAY_OPEN | set(texts), case.people), right(case))

    def right(case: RecoveryCase) -> str:
        return _letters(lambda text: text in MAY_OPEN, case.people)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "without pay the law looks away",
                with_more(PEOPLE[4]),
                "For an off-road cab the law says nobody, paid or not. Only for road vehicles does it speak of pay.",
            ),
            WrongIdea(
                "the certificate is enough",
                with_more(PEOPLE[5], PEOPLE[9]),
                "Certificate and approved recovery equipment: the law asks for both.",
            ),
            WrongIdea(
                "experience or any certificate will do",
                with_more(PEOPLE[6], PEOPLE[7], PEOPLE[8]),
                "It takes section 609, or Type II of section 608, in the hand of the one who works.",
            ),
            WrongIdea(
                "section 609 is for cars only",
                lambda case: _other(_letters(lambda text: text == PEOPLE[1], case.people), right(case)),
                "For an off-road cab either certificate serves: section 609, or Type II of section 608.",
            ),
        ),
    )


def law_case(number: int) -> Key:
    """The reason that decides the case with this number on the sheet."""

    def reason(case: RecoveryCase) -> str:
        return RULINGS[case.law_cases[number - 1]].reason

    def letter(case: RecoveryCase, name: str) -> str:
        return REASON_LETTERS[case.reasons.index(name)]

    def verdict(name: str) -> str:
        return REASONS[name].split(":")[0]

    def other_way(name: str):
        def result(case: RecoveryCase) -> tuple[str, ...] | None:
            if case.law_cases[number - 1] != name:
                return None
            return tuple(letter(case, one) for one in REASONS if verdict(one) != verdict(reason(case)))

        return result

    def other_reason(case: RecoveryCase) -> tuple[str, ...]:
        right = reason(case)
        return tuple(letter(case, one) for one in REASONS if verdict(one) == verdict(right) and one != right)

    return Key(
        answer=lambda case: letter(case, reason(case)),
        ideas=(
            WrongIdea(
                "right verdict, another rule",
                other_reason,
                "Yes or no is right, but another rule decides this one. Ask what exactly would happen.",
            ),
            *(
                WrongIdea(f"{name}: decided the other way", other_way(name), ruling.feedback)
                for name, ruling in RULINGS.items()
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "allowed net mass": allowed_net_mass(),
    "level in the warm truck": warm_fill(),
    "mass recovered": mass_recovered(),
    "containers to bleed": containers_to_bleed(),
    "samples to recycle here": samples_to_recycle(),
    "stop at once": stop_at_once(),
    "who may open it": who_may_open(),
    "case 1": law_case(1),
    "case 2": law_case(2),
}

KEYS = PRACTICE | {
    "stop mark": stop_mark(),
    "liquid-full temperature": liquid_full(),
    "case 3": law_case(3),
    "case 4": law_case(4),
}
