"""Answers and wrong ideas of the capstone, from the rooms that know each step."""

from __future__ import annotations

import math
from typing import Any

from coldcab import units
from coldcab.assess.keys import Key, Tolerance, WrongIdea
from coldcab.assess.reading import SEA_LEVEL
from coldcab.lessons.capstone.numbers import CAN_OUNCES, LABEL_FIELDS, LEFT, RebuildCase
from coldcab.quantities import INCH_OF_MERCURY, POUND, PSI
from coldcab.scenario import sick_machines
from coldcab.service import charging, evacuation, leak_test, recovery, rinse, warming

OUNCE = units.from_unit(1.0, "mass", "oz")
FLUID_OUNCE = units.from_unit(1.0, "volume", "fl oz")
ACTIONS = dict(zip(LEFT, ("hand it over", "look for lost charge", "look at the condenser's air"), strict=True))
LITTLE_AIR = 10.0
"""F by which little air gets hotter in the condenser than on the healthy machine."""


def _kelvin(fahrenheit: float) -> float:
    return units.from_unit(fahrenheit, "temperature", "F")


def _healthy(case: RebuildCase, refrigerant: str, *names: str) -> dict[str, Any]:
    """The healthy machine of the test day, as somebody notes it down (the service test is at sea level)."""
    readings = sick_machines.run(case.unit.number, case.ambient_fahrenheit, case.engine_rpm, refrigerant=refrigerant)
    return dict(sick_machines.note(readings, *names))


def found(case: RebuildCase) -> str:
    """What the machine had: liquid is missing, the low side is not pulled down, or what is left."""
    readings = dict(case.as_found)
    if readings["glass"] != "clear":
        return "charge low"
    risen = readings["low_gauge"] > _healthy(case, "R-12", "low_gauge")["low_gauge"]
    return "worn compressor" if risen else "valve screen plugged"


def left(case: RebuildCase) -> str:
    """What the machine still has, one of `LEFT`: by the glass and by how hot the condenser's air gets."""
    readings = dict(case.as_left)
    if readings["glass"] != "clear":
        return "charge low"
    face, behind = "condenser_air_in", "condenser_air_out"
    healthy = _healthy(case, "R-134a", face, behind)
    rise = (readings[behind] - readings[face]) - (healthy[behind] - healthy[face])
    return "condenser blocked" if rise > LITTLE_AIR else ""


def missing_field(case: RebuildCase) -> str:
    """The field that the label lacks."""
    return next(field for field in LABEL_FIELDS if field not in case.label)


def cause() -> Key:
    """Which fault the as-found readings fit."""
    return Key(
        answer=found,
        ideas=(
            WrongIdea(
                "not cold means low charge",
                lambda case: "charge low" if found(case) != "charge low" else None,
                "Low on gas? The glass is clear, so liquid stands before the valve. Look at superheat and at how far "
                "apart the two sides are.",
            ),
            WrongIdea(
                "a new compressor for everything",
                lambda case: "worn compressor" if found(case) != "worn compressor" else None,
                "A weak compressor lets the low side rise and the head fall: both come together. Here the low side "
                "is low.",
            ),
            WrongIdea(
                "the valve blamed for missing liquid",
                lambda case: "valve screen plugged" if found(case) != "valve screen plugged" else None,
                "Behind a plugged screen the low side is low, superheat high and the glass clear, all three. Here one "
                "of them is not so.",
            ),
        ),
    )


def condenser() -> Key:
    """Keep, rinse or replace: by debris and by its paths (`service.rinse`)."""

    def answer(case: RebuildCase) -> str:
        if not case.debris:
            return "keep it"
        name = {"parallel flow": "parallel-flow condenser", "serpentine": "serpentine condenser"}[case.condenser]
        return "replace it" if rinse.part_rule(name).answer == rinse.REPLACE else "rinse it"

    return Key(
        answer=answer,
        ideas=(
            WrongIdea(
                "rinsing cures every condenser",
                lambda case: "rinse it" if answer(case) != "rinse it" else None,
                "With many paths the solvent takes the open ones and leaves the debris. And where there is no debris, "
                "none can be rinsed out.",
            ),
            WrongIdea(
                "debris may stay",
                lambda case: "keep it" if case.debris else None,
                "What the old compressor shed would reach the new one. Debris must leave the circuit, with the part or "
                "out of it.",
            ),
            WrongIdea(
                "replace to be safe",
                lambda case: "replace it" if answer(case) != "replace it" else None,
                "That costs a part that was not hurt: one path can be rinsed clean, and without debris nothing speaks "
                "against it.",
                credit=0.5,
            ),
        ),
    )


def net_fill() -> Key:
    """Net mass that the cylinder may hold, by the strictest rule."""

    def fill(case: RebuildCase) -> recovery.AllowedFill:
        return recovery.allowed_fill("R-12", water_capacity=case.water_capacity_pounds * POUND)

    return Key(
        answer=lambda case: fill(case).mass,
        tolerance=Tolerance(
            "the two forms of the 80 % rule differ by 1 %; specific gravity read to 0.01", relative=0.015
        ),
        ideas=(
            WrongIdea(
                "water for refrigerant",
                lambda case: 0.8 * case.water_capacity_pounds * POUND,
                "You filled 80 % with water. Multiply by the specific gravity of the refrigerant.",
                credit=0.5,
            ),
            WrongIdea(
                "full to the brim",
                lambda case: fill(case).mass / 0.8,
                "That leaves no room. The liquid grows when it gets warm; only 80 % may be filled.",
            ),
            WrongIdea(
                "tare counted as contents",
                lambda case: fill(case).mass + case.tare_pounds * POUND,
                "That is the scale's reading with the cylinder on it. Net mass is without the cylinder.",
                credit=0.5,
            ),
        ),
    )


def carbon() -> Key:
    """CO2 equivalent of what leaked."""

    def of(ounces: float, name: str = "R-12") -> float:
        return float(warming.leak_cost(name, ounces * OUNCE).carbon_dioxide)

    return Key(
        answer=lambda case: of(case.sheet_charge_ounces - case.recovered_ounces),
        tolerance=Tolerance("scales read to half an ounce of some twenty", relative=0.03),
        ideas=(
            WrongIdea(
                "what was recovered",
                lambda case: of(case.recovered_ounces),
                "You took what was recovered: that is the part that did not leak.",
            ),
            WrongIdea(
                "the whole charge",
                lambda case: of(case.sheet_charge_ounces),
                "You took the whole charge. Some of it was still there and has been recovered.",
                credit=0.5,
            ),
            WrongIdea(
                "the other refrigerant's potential",
                lambda case: of(case.sheet_charge_ounces - case.recovered_ounces, "R-134a"),
                "That is the potential of R-134a. What leaked here was R-12, which warms far more.",
            ),
        ),
    )


def oil_to_add() -> Key:
    """What left, less what the new compressor brought: conservation of oil."""

    def with_parts(case: RebuildCase) -> float:
        return case.drained_fluid_ounces + case.drier_fluid_ounces + case.condenser_fluid_ounces

    def lost(case: RebuildCase) -> float:
        return with_parts(case) + case.rinsed_fluid_ounces

    return Key(
        answer=lambda case: (lost(case) - case.brought_fluid_ounces) * FLUID_OUNCE,
        tolerance=Tolerance(
            "measuring cups are read to a tenth of a fluid ounce, five times", absolute=0.16 * FLUID_OUNCE
        ),
        ideas=(
            WrongIdea(
                "shipping oil ignored",
                lambda case: lost(case) * FLUID_OUNCE,
                "You left out what the new compressor brought. It is inside already; take it off.",
                credit=0.5,
            ),
            WrongIdea(
                "full system charge",
                lambda case: (case.sheet_oil_fluid_ounces - case.brought_fluid_ounces) * FLUID_OUNCE,
                "That is the whole data sheet less what the new compressor brought. A little stayed on the walls; take "
                "it off as well.",
                credit=0.5,
            ),
            WrongIdea(
                "rinsed oil forgotten",
                lambda case: (with_parts(case) - case.brought_fluid_ounces) * FLUID_OUNCE,
                "You left out what was rinsed from the parts that stay. It is gone as well, and new oil takes its "
                "place.",
                credit=0.5,
            ),
            WrongIdea(
                "only the compressor counted",
                lambda case: (case.drained_fluid_ounces - case.brought_fluid_ounces) * FLUID_OUNCE,
                "You counted the compressor alone. Oil left with the drier, the condenser and the rinse, too.",
            ),
        ),
    )


def gauge_next_morning() -> Key:
    """Nitrogen at constant volume over a cool night."""

    def later(case: RebuildCase, around: float) -> float:
        start = case.test_psig * PSI + around
        return float(
            leak_test.corrected_pressure(start, _kelvin(case.evening_fahrenheit), _kelvin(case.morning_fahrenheit))
        )

    def by_gauge(case: RebuildCase) -> float:
        ratio = _kelvin(case.morning_fahrenheit) / _kelvin(case.evening_fahrenheit)
        return case.atmosphere + case.test_psig * PSI * ratio

    def by_degrees(case: RebuildCase) -> float:
        return case.atmosphere + case.test_psig * PSI * case.morning_fahrenheit / case.evening_fahrenheit

    return Key(
        answer=lambda case: later(case, case.atmosphere),
        tolerance=Tolerance("a gauge is read to half a psi", absolute=0.35 * PSI),
        ideas=(
            WrongIdea(
                "gauge taken for absolute",
                by_gauge,
                "You let the gauge's own number follow the temperature. Add the air pressure first, take it off at the "
                "end.",
                credit=0.5,
            ),
            WrongIdea(
                "degrees F as a ratio",
                by_degrees,
                "A ratio of degrees F means nothing: its zero is a convention. Use degrees from absolute zero.",
            ),
            WrongIdea(
                "any fall is a leak",
                lambda case: case.atmosphere + case.test_psig * PSI,
                "A tight circuit that cools shows less. It will not show last night's pressure.",
            ),
        ),
    )


def vacuum_to_boil() -> Key:
    """How far a vacuum gauge must go down here before water boils."""

    def needed(case: RebuildCase, around: float) -> float:
        return around - float(evacuation.boiling_pressure(_kelvin(case.ambient_fahrenheit)))

    return Key(
        answer=lambda case: needed(case, case.atmosphere),
        tolerance=Tolerance(
            "a compound gauge is read to a quarter of an inch of mercury", absolute=0.25 * INCH_OF_MERCURY
        ),
        ideas=(
            WrongIdea(
                "sea-level air pressure at altitude",
                lambda case: needed(case, SEA_LEVEL),
                "You counted from 29.92 inHg. In this yard the air presses less; no gauge here goes that far down.",
                credit=0.5,
            ),
            WrongIdea(
                "what is left taken for the vacuum",
                lambda case: case.atmosphere - needed(case, case.atmosphere),
                "That is the pressure that is left when water boils. The gauge counts from the air's pressure down.",
            ),
            WrongIdea(
                "pumped to nothing",
                lambda case: case.atmosphere,
                "That is no pressure at all. Water boils before that, at its vapor pressure for the day's temperature.",
            ),
        ),
    )


def _charge(case: RebuildCase) -> float:
    return float(charging.starting_charge(case.sheet_charge_ounces * OUNCE).by_density)


def charge_by_density() -> Key:
    """R-134a that fills the liquid volume of the R-12 charge."""

    def upside_down(case: RebuildCase) -> float:
        return (case.sheet_charge_ounces * OUNCE) ** 2 / _charge(case)

    return Key(
        answer=_charge,
        tolerance=Tolerance("densities read from tables to half a percent, scale to half an ounce", relative=0.02),
        ideas=(
            WrongIdea(
                "same charge as before",
                lambda case: case.sheet_charge_ounces * OUNCE,
                "That is the R-12 charge. R-134a is the lighter liquid; the same volume weighs less.",
            ),
            WrongIdea(
                "ratio upside down",
                upside_down,
                "You multiplied by the ratio the other way round. The new charge is smaller than the old one.",
            ),
            WrongIdea(
                "the rule of thumb",
                lambda case: 0.80 * case.sheet_charge_ounces * OUNCE,
                "80 % is a rule of thumb to start from. The line asks for the ratio of the liquid densities.",
                credit=0.5,
            ),
        ),
    )


def _cans(case: RebuildCase, *, heel: float | None = None, hose: float | None = None) -> tuple[int, float]:
    """Cans, and what the last one gives (oz), for one's own charge."""
    heel = case.heel_ounces if heel is None else heel
    hose = case.hose_ounces if hose is None else hose
    needed, usable = _charge(case) / OUNCE + hose, CAN_OUNCES - heel
    count = math.ceil(needed / usable - 1e-9)
    return count, needed - (count - 1) * usable


def cans_to_open() -> Key:
    """How many cans the charge takes."""
    return Key(
        answer=lambda case: float(_cans(case)[0]),
        tolerance=Tolerance("a count", absolute=0.01),
        ideas=(
            WrongIdea(
                "the last can forgotten",
                lambda case: float(_cans(case)[0] - 1),
                "So many are emptied. One more is opened for the rest.",
                credit=0.5,
            ),
            WrongIdea(
                "one for good measure",
                lambda case: float(_cans(case)[0] + 1),
                "Too many. Charge, hose and heels are covered with one can less.",
            ),
        ),
    )


def last_can() -> Key:
    """By how much the last can gets lighter."""

    def other(case: RebuildCase, **given: float) -> float | None:
        count, ounces = _cans(case, **given)
        return ounces * OUNCE if count == _cans(case)[0] else None

    return Key(
        answer=lambda case: _cans(case)[1] * OUNCE,
        tolerance=Tolerance("worked out to a tenth of an ounce, heels carried along", absolute=0.12 * OUNCE),
        ideas=(
            WrongIdea(
                "cans counted as full",
                lambda case: other(case, heel=0.0),
                "You let the cans before it give all they hold. Each keeps its heel, so the last one gives more.",
                credit=0.5,
            ),
            WrongIdea(
                "the hose forgotten",
                lambda case: other(case, hose=0.0),
                "The hose keeps some. It comes out of the last can on top of the charge.",
                credit=0.5,
            ),
        ),
    )


def acceptance() -> Key:
    """What to do with the machine as it was left."""

    def answer(case: RebuildCase) -> str:
        return ACTIONS[left(case)]

    return Key(
        answer=answer,
        ideas=(
            WrongIdea(
                "it cools, so it is right",
                lambda case: "hand it over" if left(case) else None,
                "It blows cold, but not as the healthy machine of this day. Compare gauges, vent and glass with it.",
            ),
            WrongIdea(
                "when in doubt, more refrigerant",
                lambda case: "look for lost charge" if left(case) != "charge low" else None,
                "The glass is clear and the low side is not starved. More refrigerant mends nothing here.",
            ),
            WrongIdea(
                "every head is too high",
                lambda case: "look at the condenser's air" if left(case) != "condenser blocked" else None,
                "The head is not above that of the healthy machine of this day. Hot days have high heads.",
            ),
        ),
    )


def missing_on_label() -> Key:
    """The field that the label lacks (40 CFR 82 Subpart G App. C/D 2a)."""

    def other(case: RebuildCase, place: int) -> str:
        return [field for field in LABEL_FIELDS if field in case.label][place]

    return Key(
        answer=missing_field,
        ideas=tuple(
            WrongIdea(
                f"a field that is there ({number})",
                lambda case, place=place: other(case, place),
                "That one stands on the label. Go through the six points of the regulation one by one.",
            )
            for place, number in enumerate(("first", "second", "third"))
        ),
    )


PRACTICE: dict[str, Key] = {
    "cause": cause(),
    "net fill allowed": net_fill(),
    "oil to add": oil_to_add(),
    "gauge next morning": gauge_next_morning(),
    "charge by density": charge_by_density(),
    "last can": last_can(),
    "acceptance": acceptance(),
}

KEYS = PRACTICE | {
    "condenser": condenser(),
    "CO2 equivalent of the leak": carbon(),
    "vacuum to boil water": vacuum_to_boil(),
    "cans to open": cans_to_open(),
    "missing on the label": missing_on_label(),
}
