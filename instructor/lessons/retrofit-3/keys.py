"""Answers and wrong ideas of lesson retrofit-3: the converted machine, its parts, its label, its leaks."""

from __future__ import annotations

from functools import lru_cache
from itertools import product

from coldcab import refrigerants, units
from coldcab.assess.keys import Key, Tolerance, Value, WrongIdea, kelvin
from coldcab.lessons.retrofit_3.lines import HIGHER, LOWER, OZONE, SAME
from coldcab.lessons.retrofit_3.numbers import FIELDS, HIGH_SIDE, NOTHING, OILS_FOUND, ConversionCase, described
from coldcab.machine import Conditions
from coldcab.machine.fleet import FLEET
from coldcab.machine.simulate import CHARGE_TEMPERATURE
from coldcab.quantities import PSI
from coldcab.quantities import STANDARD_ATMOSPHERE as SEA_LEVEL
from coldcab.service import comparison, retrofit, warming

READ_OFF = Tolerance("read from the instrument, which shows 0.1 psi; the day may be set 1 F off", absolute=2.5 * PSI)
INSTRUMENTS_SWITCH = 377.0  # psig, of the fleet's machines


def both_refrigerants(case: ConversionCase) -> comparison.Comparison:
    """The machine of one case with both refrigerants, on the day that the instrument shows at its start otherwise."""
    return _both_refrigerants(case.unit.number, case.ambient_fahrenheit, case.engine_rpm)


@lru_cache(maxsize=4096)
def _both_refrigerants(number: int, ambient_fahrenheit: float, engine_rpm: float) -> comparison.Comparison:
    day = Conditions(
        ambient=kelvin(ambient_fahrenheit),
        relative_humidity=0.40,
        engine_speed=engine_rpm / 60.0,
        inlet_temperature=kelvin(ambient_fahrenheit),
        inlet_relative_humidity=0.40,
    )
    return comparison.side_by_side(FLEET[number], day)


def _gauge(value: float) -> float:
    """Absolute pressure of a reading above the air at sea level, where this shop lies."""
    return value + SEA_LEVEL


def high_side() -> Key:
    """High-side gauge with R-134a on the day."""
    return Key(
        answer=lambda case: _gauge(both_refrigerants(case).new.high_gauge),
        tolerance=READ_OFF,
        ideas=(
            WrongIdea(
                "same pressures as before",
                lambda case: _gauge(both_refrigerants(case).old.high_gauge),
                "That is the reading with R-12. With R-134a a healthy machine shows more at the head; the old pair of "
                "pressures no longer means healthy.",
            ),
            WrongIdea(
                "absolute called gauge",
                lambda case: _gauge(both_refrigerants(case).new.high_pressure),
                "You gave the absolute pressure and called it gauge. Take off the pressure of the air.",
                credit=0.5,
            ),
            WrongIdea(
                "pressure of the parked machine",
                lambda case: float(refrigerants.saturation_pressure("R-134a", kelvin(case.ambient_fahrenheit))),
                "That is what the parked machine shows. Running, the condenser must be warmer than the air to give off "
                "its heat.",
            ),
        ),
    )


def _low_side_change(case: ConversionCase) -> str:
    change = both_refrigerants(case).new.low_gauge - both_refrigerants(case).old.low_gauge
    return SAME if abs(change) < 3 * PSI else HIGHER if change > 0 else LOWER


def low_side() -> Key:
    """Low-side gauge with R-134a against R-12."""
    return Key(
        answer=_low_side_change,
        ideas=(
            WrongIdea(
                "another gas, another low side",
                lambda case: LOWER,
                "Look at both needles. Near the freezing point the two saturation lines lie close together, and the "
                "low side hardly moves.",
            ),
            WrongIdea(
                "low side rises with the head",
                lambda case: HIGHER,
                "Only the head rises clearly. The low side follows the boiling temperature, and the two lines lie "
                "close together there.",
            ),
        ),
    )


def capacity_change() -> Key:
    """Change of the cooling capacity, as a share of that with R-12."""

    def each_pound(case: ConversionCase) -> float:
        found = both_refrigerants(case)
        return found.ratio("capacity") / found.ratio("mass_flow") - 1

    return Key(
        answer=lambda case: both_refrigerants(case).ratio("capacity") - 1,
        tolerance=Tolerance("the instrument shows 0.1 %; the day may be set 1 F and 50 rpm off", absolute=0.006),
        ideas=(
            WrongIdea(
                "no change",
                lambda case: 0.0,
                "The two capacities are not equal on this day. Compare the two figures of the same machine.",
            ),
            WrongIdea(
                "change turned round",
                lambda case: 1 / both_refrigerants(case).ratio("capacity") - 1,
                "You compared R-12 with R-134a. The change counts from the old refrigerant to the new one.",
                credit=0.5,
            ),
            WrongIdea(
                "each pound taken for the whole",
                each_pound,
                "Each pound of R-134a takes up that much more, but fewer pounds go round. Capacity is the two "
                "together.",
            ),
            WrongIdea(
                "head taken for cooling",
                lambda case: both_refrigerants(case).ratio("high_pressure") - 1,
                "That is the rise of the head pressure. More head is not more cooling.",
            ),
        ),
    )


def _liquid_density(refrigerant: str) -> float:
    return float(refrigerants.saturation(refrigerant, temperature=CHARGE_TEMPERATURE).liquid_density)


def charge(case: ConversionCase) -> float:
    """Charge of R-12 on the data sheet in kg."""
    return units.from_unit(case.charge_lb, "mass", "lb")


def starting_charge() -> Key:
    """Charge of R-134a that fills the same space with liquid at 113 F."""

    def ratio() -> float:
        return _liquid_density("R-134a") / _liquid_density("R-12")

    return Key(
        answer=lambda case: charge(case) * ratio(),
        tolerance=Tolerance("densities from the table to 1 in 100", relative=0.015),
        ideas=(
            WrongIdea(
                "same charge as before",
                charge,
                "That is the charge of R-12. R-134a is lighter: the same weight would overfill the machine.",
            ),
            WrongIdea(
                "ratio upside down",
                lambda case: charge(case) / ratio(),
                "You divided the densities the wrong way round. R-134a is the lighter liquid, so the charge gets "
                "smaller.",
                credit=0.5,
            ),
            WrongIdea(
                "rule of thumb for the density rule",
                lambda case: 0.90 * charge(case) - units.from_unit(0.25, "mass", "lb"),
                "That is a rule of thumb of the trade. It is a safe first fill, but this line asks for the density "
                "rule.",
                credit=0.5,
            ),
        ),
    )


def margin() -> Key:
    """What is left to the cut-out with R-134a."""

    def cutout(case: ConversionCase) -> float:
        return case.cutout_psig * PSI

    return Key(
        answer=lambda case: cutout(case) - both_refrigerants(case).new.high_gauge,
        tolerance=READ_OFF,
        ideas=(
            WrongIdea(
                "margin of the old refrigerant",
                lambda case: cutout(case) - both_refrigerants(case).old.high_gauge,
                "You used the head with R-12. The new refrigerant stands higher and leaves less.",
            ),
            WrongIdea(
                "the instrument's own switch",
                lambda case: INSTRUMENTS_SWITCH * PSI - both_refrigerants(case).new.high_gauge,
                "You took the switch of the instrument. This machine gets the cut-out that your sheet names.",
                credit=0.5,
            ),
            WrongIdea(
                "absolute against gauge",
                lambda case: cutout(case) - both_refrigerants(case).new.high_pressure,
                "You took an absolute pressure from a gauge reading. Compare two gauge readings.",
                credit=0.5,
            ),
        ),
    )


def low_switch() -> Key:
    """Setting of the low-pressure switch for the same coil temperature."""

    def converted(case: ConversionCase) -> float:
        return comparison.same_temperature(case.low_switch_psig * PSI, old="R-12", new="R-134a")

    return Key(
        answer=lambda case: _gauge(converted(case)),
        tolerance=Tolerance("a table or a gauge is read to half a psi", absolute=0.7 * PSI),
        ideas=(
            WrongIdea(
                "setting left as it was",
                lambda case: _gauge(case.low_switch_psig * PSI),
                "Left as it is, the switch opens at a warmer coil. At the same boiling temperature R-134a shows less "
                "here.",
            ),
            WrongIdea(
                "difference added",
                lambda case: _gauge(2 * case.low_switch_psig * PSI - converted(case)),
                "The step is right, the direction is not: below about 60 F R-134a has the lower pressure.",
                credit=0.5,
            ),
            WrongIdea(
                "absolute called gauge",
                lambda case: _gauge(converted(case)) + SEA_LEVEL,
                "You gave the absolute pressure and called it gauge. Take off the pressure of the air.",
                credit=0.5,
            ),
        ),
    )


MACHINES = {
    described(one): one
    for one in (
        retrofit.OldMachine(hoses=hoses, hoses_sound=sound, oil=oil, relief_device=relief, high_cutout=cutout)
        for hoses, sound, oil, (relief, cutout) in product(retrofit.HOSES, (True, False), OILS_FOUND, HIGH_SIDE)
    )
}
"""Every machine that a sheet can speak of, by what it says."""


def old_machine(case: ConversionCase) -> retrofit.OldMachine:
    """The machine that the sheet describes."""
    return MACHINES[case.hoses, case.oil, case.high_side]


def _action(case: ConversionCase, part: str) -> str:
    return next(one.action for one in retrofit.decide_parts(old_machine(case)) if one.part == part)


def _when(condition, written: Value):
    return lambda case: written if condition(case) else None


def hoses() -> Key:
    """What to do with the hoses."""

    def answer(case: ConversionCase) -> str:
        return _action(case, "hoses")

    return Key(
        answer=answer,
        ideas=(
            WrongIdea(
                "only the fittings are needed",
                _when(lambda case: answer(case) != retrofit.KEEP, retrofit.KEEP),
                "Fittings are not all. Cracked hoses go; plain rubber or unknown hoses are judged by age, length and "
                "leaks.",
            ),
            WrongIdea(
                "barrier hoses by law",
                _when(lambda case: answer(case) == retrofit.INSPECT, retrofit.REPLACE),
                "The law asks for barrier hoses with blends that hold R-22, not with R-134a. Inspect first.",
                credit=0.5,
            ),
            WrongIdea(
                "sound barrier hoses thrown away",
                _when(lambda case: answer(case) == retrofit.KEEP, retrofit.REPLACE),
                "These are sound barrier hoses. They serve R-134a; spend the money elsewhere.",
            ),
            WrongIdea(
                "cracked hoses only looked at",
                _when(lambda case: answer(case) == retrofit.REPLACE, retrofit.INSPECT),
                "Cracked and oily at the crimps has been seen already. Such hoses leak with any refrigerant: replace.",
                credit=0.5,
            ),
        ),
    )


def oil() -> Key:
    """What to do with the oil."""

    def has(*names: str):
        return lambda case: old_machine(case).oil in names

    return Key(
        answer=lambda case: _action(case, "oil"),
        ideas=(
            WrongIdea(
                "mineral oil will do",
                _when(has("mineral"), retrofit.KEEP),
                "R-134a does not carry mineral oil. It would lie in the evaporator, and the compressor would run dry.",
            ),
            WrongIdea(
                "unknown oil trusted",
                _when(has("unknown"), retrofit.KEEP),
                "Nobody knows this oil. If it is mineral, R-134a will not bring it back to the compressor.",
            ),
            WrongIdea(
                "any synthetic oil is right",
                _when(has("POE"), retrofit.KEEP),
                "The type suits R-134a, but grade and amount belong to the compressor: check them first.",
                credit=0.5,
            ),
            WrongIdea(
                "suitable oil thrown away",
                _when(has("POE"), retrofit.REPLACE),
                "This type mixes with R-134a. Check grade and amount before you throw it away.",
                credit=0.5,
            ),
        ),
    )


def cutout() -> Key:
    """What to do about the high-pressure cut-out."""

    def answer(case: ConversionCase) -> str:
        return _action(case, "high-pressure cut-out")

    return Key(
        answer=answer,
        ideas=(
            WrongIdea(
                "relief device is enough",
                _when(
                    lambda case: old_machine(case).relief_device and not old_machine(case).high_cutout, retrofit.KEEP
                ),
                "A relief device vents refrigerant. The law wants the compressor stopped before that happens: fit a "
                "cut-out.",
            ),
            WrongIdea(
                "no relief device, no cut-out",
                _when(
                    lambda case: not old_machine(case).relief_device and not old_machine(case).high_cutout,
                    retrofit.KEEP,
                ),
                "One appendix waives it, the other does not, and without a relief device a hose gives way first: fit "
                "one.",
            ),
            WrongIdea(
                "what is there is right",
                _when(lambda case: old_machine(case).high_cutout, retrofit.KEEP),
                "It was set for R-12. Check that it stops the clutch before the relief device opens.",
                credit=0.5,
            ),
            WrongIdea(
                "a new part for a test",
                _when(lambda case: old_machine(case).high_cutout, retrofit.REPLACE),
                "Test it before you replace it: does it stop the clutch in time?",
                credit=0.5,
            ),
        ),
    )


def _missing(case: ConversionCase) -> str:
    return next((name for name in FIELDS if f"{name}: blank" in case.draft), NOTHING)


def label() -> Key:
    """What the draft of the label still lacks."""
    return Key(
        answer=_missing,
        ideas=(
            WrongIdea(
                "ozone depleter on R-134a",
                lambda case: OZONE,
                "R-134a holds no chlorine, so it does not harm the ozone layer. Those words belong on R-12 and on "
                "blends with R-22.",
            ),
            WrongIdea(
                "label thought complete",
                _when(lambda case: _missing(case) != NOTHING, NOTHING),
                "Go through the law's list once more: who and which company, when, what and how much, which oil, whose "
                "and how much.",
            ),
            WrongIdea(
                "a full label doubted",
                _when(lambda case: _missing(case) == NOTHING, "company"),
                "The company is written in. Go through the list: nothing is blank on this one.",
            ),
        ),
    )


def leak_cost() -> Key:
    """CO2 equivalent of the refrigerant that was added, by the fifth assessment report."""

    def total(case: ConversionCase) -> float:
        return units.from_unit(sum(case.added_oz), "mass", "oz")

    def potential(case: ConversionCase, *, other: bool = False) -> float:
        name = case.leaking_refrigerant
        return warming.warming_potential({"R-12": "R-134a", "R-134a": "R-12"}[name] if other else name)

    return Key(
        answer=lambda case: total(case) * potential(case),
        tolerance=Tolerance("the masses are shown to the ounce; the sum is exact to rounding", relative=0.02),
        ideas=(
            WrongIdea(
                "the other refrigerant's potential",
                lambda case: total(case) * potential(case, other=True),
                "You took the warming potential of the other refrigerant. They differ by a factor of nearly eight.",
                credit=0.5,
            ),
            WrongIdea(
                "last visit only",
                lambda case: units.from_unit(case.added_oz[-1], "mass", "oz") * potential(case),
                "You counted the last visit only. Everything that was added had leaked: add up all visits.",
                credit=0.5,
            ),
            WrongIdea(
                "pounds called kilograms",
                lambda case: units.convert(total(case), "mass", "lb") * potential(case),
                "The number is in pounds of CO2, but the unit says kilograms. A pound times the potential gives "
                "pounds.",
                credit=0.5,
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "high side with R-134a": high_side(),
    "change in cooling capacity": capacity_change(),
    "starting charge": starting_charge(),
    "new low-pressure setting": low_switch(),
    "hoses": hoses(),
    "oil": oil(),
    "CO2 equivalent of the leaks": leak_cost(),
}

KEYS = PRACTICE | {
    "low side against R-12": low_side(),
    "margin to the cut-out": margin(),
    "high-pressure cut-out": cutout(),
    "missing on the label": label(),
}
