"""Cases of lesson retrofit-1: a cylinder and its stamps, a scale, a container to check, an identifier, cases of law."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import refrigerants, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.service import recovery
from coldcab.words import _

REFRIGERANTS = ("R-12", "R-134a")
SAMPLES = ("pure", "air", "mixture", "flammable")
QUESTIONS = {
    "vent": _(
        "Unit 40 holds a little R-12 and must be opened. The hose is too short for the recovery machine. May the "
        "rest be let out in the open air?"
    ),
    "empty": _("The gauge on Unit 40 shows 0 psig, so the owner calls it empty. May it be opened without recovery?"),
    "top off": _("Unit 12 runs on R-12 and is low. The shop has R-134a only. May it be topped up with that?"),
    "own refrigerant back": _(
        "R-12 was recovered from Unit 31 an hour ago. May it go straight back into the same machine, not recycled?"
    ),
    "recycled back": _(
        "R-12 from Unit 31 went through the shop's approved recycling machine. May it go back into Unit 31?"
    ),
    "adapter": _("The R-134a hose does not fit the R-12 port of Unit 44. May an adapter be put between for an hour?"),
    "unlocked port": _(
        "New R-134a fittings were screwed onto the R-12 ports of Unit 7, with neither thread lock nor latch. May "
        "it leave the shop so?"
    ),
    "vehicle certificate": _(
        "A technician of the section-609 program is to open the cab air conditioner of the combine, Unit 31. The "
        "compressor is belt-driven, the charge is 3.4 lb of R-12. May she?"
    ),
    "no equipment": _(
        "A neighbor asks the shop to open his loader's circuit at a field. The shop owns no approved recovery "
        "machine. May it take the job?"
    ),
    "hydrocarbon": _("A customer brings a hydrocarbon mixture sold for old R-12 cabs. May it go into his loader?"),
    "disposable can": _(
        "Recycled R-12 is to be stored in the empty throw-away cylinder in which new R-12 came. May it?"
    ),
    "same refrigerant": _(
        "The leak of Unit 18 is repaired and tested. It still holds R-134a, and its label says R-134a. May R-134a"
        " be added?"
    ),
    "small can": _(
        "A farmer without a certificate wants a small can of R-12 for his old loader. May the shop sell it to him?"
    ),
}
"""Short invented cases of law: may this be done?"""
_ONE_OF = ("recycled back", "vehicle certificate", "same refrigerant")
_THREE_OF = tuple(name for name in QUESTIONS if name not in _ONE_OF)
"""Each learner gets one case of the first kind and three of the second, in an order of their own."""


@dataclass(frozen=True)
class RecoveryCase:
    """One job of recovery: weights in lb, temperatures in F, pressures in psig, as the instruments show them."""

    unit: Unit
    refrigerant: str
    water_capacity_lb: float
    tare_lb: float
    rating_lb: float
    before_lb: float
    after_lb: float
    warm_scale_lb: float
    warm_fahrenheit: float
    overfilled_scale_lb: float
    check_fahrenheit: float
    check_hours: float
    check_psig: float
    sample: tuple[tuple[str, float], ...]
    law_cases: tuple[str, ...]  # names of QUESTIONS

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        read = ", ".join(f"{name} {100 * share:.1f} %" for name, share in self.sample)
        return [
            ("machine", f"{self.unit.name}, {self.refrigerant}"),
            ("water capacity WC", weight(self.water_capacity_lb)),
            ("tare weight TW", weight(self.tare_lb)),
            ("gross weight rating", weight(self.rating_lb)),
            ("scale before recovery", weight(self.before_lb)),
            ("scale after recovery", weight(self.after_lb)),
            ("scale, in the truck", weight(self.warm_scale_lb)),
            ("inside the truck", shown(f"{self.warm_fahrenheit:g} F", "temperature")),
            ("scale, overfilled twin", weight(self.overfilled_scale_lb)),
            ("R-12 container, air", shown(f"{self.check_fahrenheit:g} F", "temperature")),
            ("R-12 container, stood", _("{hours:g} h in the shade").format(hours=self.check_hours)),
            ("R-12 container, gauge", shown(f"{self.check_psig:g} psig", "pressure")),
            ("identifier", read),
            *((f"case {number}", QUESTIONS[name]) for number, name in enumerate(self.law_cases, 1)),
        ]


def pounds(number: float) -> float:
    """kg of a number of pounds."""
    return units.from_unit(number, "mass", "lb")


def weight(number: float) -> str:
    """A weight as the scale or the stamp shows it, metric beside."""
    return shown(f"{number:.1f} lb", "mass", decimals=2)


def draw_case(term: str, learner: str, *, assignment: str = "retrofit-1") -> RecoveryCase:
    """Return the numbers of one learner.

    The two rules of the law are drawn well apart, so that taking the wrong one shows, and neither always wins.
    """
    draw = Draw(assignment, term, learner)
    unit, refrigerant = draw.pick("unit", CONVERTED), draw.pick("refrigerant", REFRIGERANTS)
    capacity = draw.number("water capacity", 24.0, 50.0, 0.2)
    tare = round(0.45 * capacity + draw.number("tare", 2.0, 5.0, 0.1), 1)
    gravity = _gravity(refrigerant, 70.0)
    share = draw.pick("rule", (draw.number("strict", 0.84, 0.90, 0.01), draw.number("loose", 1.08, 1.20, 0.01)))
    rating = float(round(0.80 * capacity * gravity * share / 0.60))
    before = round(tare + capacity * draw.number("heel", 0.030, 0.045, 0.001), 1)
    charge = units.convert(unit.charge, "mass", "lb")
    warm = draw.number("truck", 116.0, 140.0, 2.0)
    level = draw.number("level", 0.70, 0.78, 0.01)
    full = draw.number("full", 88.0, 114.0, 1.0)
    valid = draw.pick("valid", (True, True, True, False))
    warmth = draw.number("check", 66.0, 98.0, 1.0)
    limit = units.convert(
        recovery.table_limit("R-12", units.from_unit(warmth, "temperature", "F")), "pressure difference", "psi"
    )
    # Far enough from the limit that a row too high or too low in the table does not matter.
    gauge = round(limit) + draw.pick("gauge", (-6.0, -5.0, -4.0, 5.0, 6.0, 8.0, 10.0))
    return RecoveryCase(
        unit=unit,
        refrigerant=refrigerant,
        water_capacity_lb=capacity,
        tare_lb=tare,
        rating_lb=rating,
        before_lb=before,
        after_lb=round(before + charge * draw.number("recovered", 0.60, 0.94, 0.01), 1),
        warm_scale_lb=round(tare + level * capacity * gravity, 1),
        warm_fahrenheit=warm,
        overfilled_scale_lb=round(tare + capacity * _gravity(refrigerant, full), 1),
        check_fahrenheit=warmth,
        check_hours=draw.number("hours", 13.0, 20.0, 1.0) if valid else draw.number("hours", 2.0, 6.0, 1.0),
        check_psig=gauge,
        sample=_sample(draw),
        law_cases=_law_cases(draw),
    )


def _gravity(refrigerant: str, fahrenheit: float) -> float:
    """Weight of a pound of water capacity's worth of liquid."""
    kelvin = units.from_unit(fahrenheit, "temperature", "F")
    return float(refrigerants.saturation(refrigerant, temperature=kelvin).liquid_density) / recovery.WATER_60F


def _sample(draw: Draw) -> tuple[tuple[str, float], ...]:
    """What the identifier shows: shares by mass that leave no doubt about the finding."""
    kind = draw.pick("sample", SAMPLES)
    first, second = draw.order("first", REFRIGERANTS)
    small = draw.number("small", 0.002, 0.010, 0.001)
    if kind == "pure":
        return (first, 1 - small), (second, small)
    if kind == "air":
        air = draw.number("air", 0.04, 0.12, 0.01)
        return (first, round(1 - air, 3)), ("air", air)
    other = draw.number("other", 0.06, 0.40, 0.01)
    return (first, round(1 - other, 3)), (second if kind == "mixture" else "hydrocarbon", other)


def _law_cases(draw: Draw) -> tuple[str, ...]:
    return draw.order("cases", (draw.pick("permitted", _ONE_OF), *draw.order("forbidden", _THREE_OF)[:3]))
