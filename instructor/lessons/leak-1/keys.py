"""Answers and wrong ideas of lesson leak-1: a leak in numbers, what each method can see, what proves a leak."""

from __future__ import annotations

import math
from collections.abc import Callable

from coldcab import units
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea
from coldcab.lessons.leak_1.numbers import FINDINGS, MACHINES, NOTES, SPOTS, LeakCase
from coldcab.quantities import OUNCE, PSI
from coldcab.service import leaks

AIR_PSI = 14.696
MILLILITERS_A_GRAM = 236.0  # R-134a as a gas at 68 F and sea level, as the lesson says
SEEN_GRAMS = 0.05
YEAR_DAYS = 365.0


def grams_a_year(grams: float) -> float:
    """kg/s as the unit g/year means it."""
    return float(units.from_unit(grams, "mass flow", "g/year"))


def days(number: float) -> float:
    """Days in s."""
    return number * 86400.0


def leak_in_a_year() -> Key:
    """What is gone, brought to a year."""

    def ounces(number: float) -> float:
        return float(units.from_unit(number, "mass flow", "oz/year"))

    def lost(case: LeakCase) -> float:
        return case.charged_ounces - case.found_ounces

    return Key(
        answer=yearly_loss,
        tolerance=Tolerance("weights and months as written", relative=0.02),
        ideas=(
            WrongIdea(
                "loss not brought to a year",
                lambda case: ounces(lost(case)),
                "That is what left in these months. A year has twelve.",
                credit=0.5,
            ),
            WrongIdea(
                "loss taken by the month",
                lambda case: ounces(lost(case) / case.months),
                "That is the loss in one month. The line asks for a year.",
                credit=0.5,
            ),
            WrongIdea(
                "what was left taken for lost",
                lambda case: _clear(ounces(case.found_ounces / case.months * 12.0), yearly_loss(case)),
                "What you recovered is what stayed. Lost is the difference from what was charged.",
            ),
        ),
    )


def yearly_loss(case: LeakCase) -> float:
    """The yearly loss in kg/s."""
    lost = (case.charged_ounces - case.found_ounces) / case.months * 12.0
    return float(units.from_unit(lost, "mass flow", "oz/year"))


def _clear(value: float, *others: float, share: float = 0.08) -> float | None:
    """The value, or None where it lies near another."""
    return None if any(abs(value - other) <= share * abs(other) for other in others) else value


def highest_test_pressure() -> Key:
    """The lowest plate; the manual never lifts it."""

    def gauge(psig: float) -> float:
        return float(units.from_unit(psig, "pressure", "psig"))

    return Key(
        answer=lambda case: gauge(min(case.ratings_psig)),
        tolerance=Tolerance("a plate is read exactly", absolute=1.0 * PSI),
        ideas=(
            WrongIdea(
                "the manual's test pressure above the plate",
                lambda case: gauge(case.manual_psig),
                "One plate of this circuit stands below that. A part was exchanged, or the page is another machine's: "
                "the weakest part decides.",
            ),
            WrongIdea(
                "the strongest part",
                lambda case: gauge(max(case.ratings_psig)),
                "That would burst the weakest part. The lowest plate decides.",
            ),
            WrongIdea(
                "the mean of the plates",
                lambda case: gauge(sum(case.ratings_psig) / len(case.ratings_psig)),
                "Parts do not share a pressure out. The lowest plate decides.",
            ),
        ),
    )


def fall_not_explained() -> Key:
    """Corrected evening pressure less the morning's."""

    def expected(case: LeakCase, zero: float = 459.67, air: float = AIR_PSI) -> float:
        ratio = (case.morning_fahrenheit + zero) / (case.evening_fahrenheit + zero)
        return (case.evening_psig + air) * ratio - air

    return Key(
        answer=lambda case: (expected(case) - case.morning_psig) * PSI,
        tolerance=Tolerance("air pressure and absolute zero rounded", absolute=0.2 * PSI),
        ideas=(
            WrongIdea(
                "the whole fall called a leak",
                lambda case: (case.evening_psig - case.morning_psig) * PSI,
                "Most of that is the cold night. Correct the evening's pressure for the temperature first.",
            ),
            WrongIdea(
                "gauge instead of absolute pressure",
                lambda case: (expected(case, air=0.0) - case.morning_psig) * PSI,
                "You corrected the gauge reading. Add the air's 14.7 psi first and take it off at the end.",
                credit=0.5,
            ),
            WrongIdea(
                "degrees F as they are",
                lambda case: (expected(case, zero=0.0) - case.morning_psig) * PSI,
                "Temperatures count from absolute zero here: add 459.7 to degrees F, 273.1 to degrees C.",
            ),
        ),
    )


def smallest_leak_seen() -> Key:
    """Volume times what the readings can be off by, brought to a year."""

    def flow(case: LeakCase, hours_in_a_year: float = 8760.0, liters: float | None = None) -> float:
        volume = case.volume_liters if liters is None else liters
        per_second = volume * 1e-3 * case.doubt_psi * PSI / (case.hours * 3600.0)
        return float(leaks.mass_flow(per_second, "nitrogen", 293.15)) * hours_in_a_year / 8760.0

    return Key(
        answer=flow,
        tolerance=Tolerance("0.08 g is rounded", relative=0.03),
        ideas=(
            WrongIdea(
                "hours taken for days",
                lambda case: flow(case, 365.0),
                "You divided by hours and multiplied by days. A year has 8,760 h.",
                credit=0.5,
            ),
            WrongIdea(
                "loss of the test taken for a year's",
                lambda case: flow(case, case.hours),
                "That may leave during the test alone. Bring it to a year.",
                credit=0.5,
            ),
            WrongIdea(
                "volume forgotten",
                lambda case: flow(case, liters=1.0),
                "0.08 g is for one liter. A larger circuit hides more behind the same psi.",
                credit=0.5,
            ),
        ),
    )


def time_for_one_bubble() -> Key:
    """Volume of the ball over the gas that leaves in a second."""

    def seconds(case: LeakCase, diameter: float | None = None) -> float:
        wide = case.bubble_millimeters if diameter is None else diameter
        milliliters = math.pi / 6.0 * (wide / 10.0) ** 3
        return milliliters / (case.bubble_grams_a_year * MILLILITERS_A_GRAM / (YEAR_DAYS * 86400.0))

    return Key(
        answer=seconds,
        tolerance=Tolerance("the gas's volume is rounded", relative=0.05),
        ideas=(
            WrongIdea(
                "diameter taken for the radius",
                lambda case: seconds(case, 2.0 * case.bubble_millimeters),
                "That is a bubble twice as wide. The ball's volume is 0.52 × diameter cubed.",
                credit=0.5,
            ),
            WrongIdea(
                "a cube for a ball",
                lambda case: seconds(case) * 6.0 / math.pi,
                "That is a cube. A ball holds 0.52 of it.",
                credit=0.5,
            ),
            WrongIdea(
                "grams taken for milliliters",
                lambda case: seconds(case) * MILLILITERS_A_GRAM,
                "Gas is light: each gram makes 236 mL.",
            ),
        ),
    )


def leak_the_air_pretends() -> Key:
    """Background times what the probe draws."""

    def grams(case: LeakCase) -> float:
        return case.ppm * case.suction_milliliters * 525600e-6 / MILLILITERS_A_GRAM

    return Key(
        answer=lambda case: grams_a_year(grams(case)),
        tolerance=Tolerance("0.0022 is rounded", relative=0.03),
        ideas=(
            WrongIdea(
                "milliliters of gas taken for grams",
                lambda case: grams_a_year(grams(case) * MILLILITERS_A_GRAM),
                "That is the volume in mL. 236 mL of this gas weigh 1 g.",
                credit=0.5,
            ),
            WrongIdea(
                "ppm taken for per cent",
                lambda case: grams_a_year(grams(case) * 1e4),
                "A ppm is a millionth, not a hundredth.",
            ),
            WrongIdea(
                "minutes taken for hours",
                lambda case: grams_a_year(grams(case) / 60.0),
                "The probe draws that much every minute, not every hour.",
                credit=0.5,
            ),
        ),
    )


def letters(wanted: Callable[[int], bool], choices: tuple[str, ...]) -> str:
    """Letters whose place is wanted, as a list's value."""
    return listed([letter for place, letter in enumerate(choices) if wanted(place)], choices)


def other(value: str, *taken: str) -> str | None:
    """The list, or None where it is empty or another's."""
    return None if not value or value in taken else value


def spots_that_alarm() -> Key:
    """Leak times share against the class."""

    def caught(case: LeakCase) -> str:
        return letters(
            lambda place: (
                case.spots[place].grams_a_year * case.spots[place].caught_percent / 100.0 >= case.detector_class
            ),
            SPOTS,
        )

    def leaking(case: LeakCase) -> str:
        return letters(lambda place: case.spots[place].grams_a_year >= case.detector_class, SPOTS)

    def silent(case: LeakCase) -> str | None:
        return other(letters(lambda place: SPOTS[place] not in caught(case), SPOTS), caught(case), leaking(case))

    return Key(
        answer=caught,
        ideas=(
            WrongIdea(
                "distance and draft forgotten",
                lambda case: other(leaking(case), caught(case)),
                "You compared the leak with the class. The detector only gets what its tip catches.",
            ),
            WrongIdea(
                "every leak alarms",
                lambda case: other(", ".join(SPOTS), caught(case), leaking(case)),
                "A detector has a class. Below that it stays silent.",
            ),
            WrongIdea(
                "silent spots listed",
                silent,
                "Those stay silent. The line asks where it alarms.",
            ),
        ),
    )


def wait_for_the_dye() -> Key:
    """Days until 0.05 g of oil has left."""

    def wait(case: LeakCase) -> float:
        return SEEN_GRAMS / (case.oil_percent / 100.0 * case.dye_grams_a_year) * YEAR_DAYS

    return Key(
        answer=lambda case: days(wait(case)),
        tolerance=Tolerance("days are rounded", relative=0.03, absolute=days(0.3)),
        ideas=(
            WrongIdea(
                "oil taken for all that leaves",
                lambda case: days(wait(case) * case.oil_percent / 100.0) if wait(case) > 4.0 else None,
                "Most of what leaves is refrigerant. Only the oil carries dye.",
            ),
            WrongIdea(
                "weeks taken for days",
                lambda case: days(wait(case) / 7.0),
                "That number is in weeks.",
                credit=0.5,
            ),
        ),
    )


def days_until_short() -> Key:
    """The spare charge over the leak."""

    def until(case: LeakCase, ounces: float) -> float:
        return days(ounces * OUNCE * 1e3 / case.left_grams_a_year * YEAR_DAYS)

    return Key(
        answer=lambda case: until(case, case.full_ounces - case.least_ounces),
        tolerance=Tolerance("ounces and days are rounded", relative=0.02),
        ideas=(
            WrongIdea(
                "until it is empty",
                lambda case: until(case, case.full_ounces),
                "Then nothing would be left. It cools badly long before.",
            ),
            WrongIdea(
                "least charge taken for the spare one",
                lambda case: until(case, case.least_ounces),
                "That much must stay inside. What may leave is the difference from the full charge.",
            ),
        ),
    )


def first_method() -> Key:
    """The largest chance for each minute."""

    def best(case: LeakCase) -> str:
        return max(zip(MACHINES, case.methods, strict=True), key=lambda pair: pair[1].percent / pair[1].minutes)[0]

    def surest(case: LeakCase) -> str | None:
        found = max(zip(MACHINES, case.methods, strict=True), key=lambda pair: pair[1].percent)[0]
        return other(found, best(case))

    def quickest(case: LeakCase) -> str | None:
        found = min(zip(MACHINES, case.methods, strict=True), key=lambda pair: pair[1].minutes)[0]
        return other(found, best(case), surest(case) or "")

    return Key(
        answer=best,
        ideas=(
            WrongIdea("surest first", surest, "The surest may take all afternoon. Divide its chance by its minutes."),
            WrongIdea(
                "quickest first", quickest, "Quick, but does it find anything? Divide its chance by its minutes."
            ),
        ),
    )


PROOF = {NOTES[place] for place in (2, 3, 5, 6, 11, 12)}
WOLF = {NOTES[place] for place in (4, 8, 10)}
OPEN_NOW = {FINDINGS[place] for place in (0, 1, 2, 3, 4)}
FOUL = {FINDINGS[place] for place in (5,)}
HUNCH = {FINDINGS[place] for place in (6, 9)}


def notes_that_prove() -> Key:
    """Notes that prove a leak."""

    def of(case: LeakCase, *groups: set[str]) -> str:
        return letters(lambda place: any(case.notes[place] in group for group in groups), SPOTS)

    def right(case: LeakCase) -> str:
        return of(case, PROOF)

    def weather(case: LeakCase) -> str | None:
        found = letters(lambda place: case.notes[place] in PROOF | {NOTES[7]}, SPOTS)
        return other(found, right(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "oil and smell believed",
                lambda case: other(of(case, PROOF, WOLF), right(case)),
                "Oil runs and air drifts. A smell, an oil film, an alarm in dirty air only say where to look.",
            ),
            WrongIdea(
                "a fall without its temperature",
                weather,
                "A cold night alone does that. Without both temperatures the fall proves nothing.",
                credit=0.5,
            ),
            WrongIdea(
                "everything counts",
                lambda case: other(", ".join(SPOTS), right(case), of(case, PROOF, WOLF)),
                "Some of these show nothing at all: no pressure, no time for the dye, wind, or a can on top.",
            ),
        ),
    )


def dash_opened_now() -> Key:
    """Machines whose findings point behind the dash."""

    def of(case: LeakCase, *groups: set[str]) -> str:
        return letters(lambda place: any(case.findings[place] in group for group in groups), MACHINES)

    def right(case: LeakCase) -> str:
        return of(case, OPEN_NOW)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "an alarm in dirty air believed",
                lambda case: other(of(case, OPEN_NOW, FOUL), right(case)),
                "The detector alarms in the bay's own air. Air the bay and go round again before you open anything.",
            ),
            WrongIdea(
                "what was not found elsewhere must be the coil",
                lambda case: other(of(case, OPEN_NOW, HUNCH), right(case)),
                "A hunch, or silence on an empty circuit, points nowhere. Give it pressure; search in the open first.",
            ),
            WrongIdea(
                "every machine opened",
                lambda case: other(
                    ", ".join(MACHINES), right(case), of(case, OPEN_NOW, FOUL), of(case, OPEN_NOW, HUNCH)
                ),
                "Not all of them: for some, cheaper searches come first, and one is repaired already.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "leak in a year": leak_in_a_year(),
    "highest test pressure": highest_test_pressure(),
    "fall not explained": fall_not_explained(),
    "smallest leak seen": smallest_leak_seen(),
    "time for one bubble": time_for_one_bubble(),
    "leak the air pretends": leak_the_air_pretends(),
    "spots that alarm": spots_that_alarm(),
    "wait for the dye": wait_for_the_dye(),
    "first method": first_method(),
    "notes that prove a leak": notes_that_prove(),
    "dash opened now": dash_opened_now(),
}

KEYS = PRACTICE | {
    "days until short": days_until_short(),
}
