"""Answers and wrong ideas of lesson retrofit-3: requests, the converted machine, its switch, parts, hookups, label."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

from coldcab import units
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea, apart, kelvin
from coldcab.faults import Fault
from coldcab.lessons.retrofit_3.lines import AS_IT_IS, FLAMMABLE, GROUNDS, NOT_EVEN, ONCE_CLEAN, OZONE
from coldcab.lessons.retrofit_3.numbers import FEW, FIELDS, LEFT, LETTERS, SEVEN, THREADS, ConversionCase, same_coil
from coldcab.lessons.retrofit_3.wordings import GROUNDED, HOOKUPS, MOMENTS, PARTS, REQUESTS, SHOWN
from coldcab.machine import Conditions
from coldcab.machine.fleet import FLEET
from coldcab.quantities import PSI
from coldcab.quantities import STANDARD_ATMOSPHERE as SEA_LEVEL
from coldcab.scenario.showing import shown
from coldcab.service import charging, comparison, warming

READ_OFF = Tolerance("read from the instrument, which shows 0.1 psi; the day may be set 1 F off", absolute=3.0 * PSI)


def both_refrigerants(case: ConversionCase, *, clean: bool = False) -> comparison.Comparison:
    """The machine of one case with both refrigerants, on the day that the instrument shows at its start otherwise."""
    blocked = 0.0 if clean else case.blocked_percent
    return _both_refrigerants(case.unit.number, case.ambient_fahrenheit, case.engine_rpm, blocked)


@lru_cache(maxsize=8192)
def _both_refrigerants(number: int, fahrenheit: float, rpm: float, blocked: float) -> comparison.Comparison:
    day = Conditions(
        ambient=kelvin(fahrenheit),
        relative_humidity=0.40,
        engine_speed=rpm / 60.0,
        inlet_temperature=kelvin(fahrenheit),
        inlet_relative_humidity=0.40,
    )
    faults = (Fault("condenser blocked", blocked / 100.0),) if blocked else ()
    return comparison.side_by_side(FLEET[number], day, faults=faults)


def _gauge(value: float) -> float:
    """Absolute pressure of a reading above the air at sea level, where this shop lies."""
    return value + SEA_LEVEL


def letters(texts: tuple[str, ...], wanted: Callable[[str], bool], choices: tuple[str, ...]) -> str:
    """Letters of the texts that are wanted, as a list's value."""
    return listed([letter for letter, text in zip(choices, texts, strict=False) if wanted(text)], choices)


def other(value: str, *taken: str | None) -> str | None:
    """The list, or None where it is empty or another's."""
    return None if not value or value in taken else value


DONE = {REQUESTS[place] for place in (0, 2, 5, 7, 9)}
CLIMATE = {REQUESTS[place] for place in (3, 4)}
PRICE = {REQUESTS[place] for place in (1, 6, 8)}


def may_be_done() -> Key:
    """What is listed, with all of the old refrigerant out."""

    def of(case: ConversionCase, *groups: set[str]) -> str:
        return letters(case.requests, lambda text: any(text in group for group in groups), FEW)

    def right(case: ConversionCase) -> str:
        return of(case, DONE)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "cheaper gas will do",
                lambda case: other(of(case, DONE, PRICE), right(case)),
                "Price opens no list. R-1234yf machines stay on R-1234yf, and nothing goes on top of R-12.",
            ),
            WrongIdea(
                "better for the climate is allowed",
                lambda case: other(of(case, DONE, CLIMATE), right(case), of(case, DONE, PRICE)),
                "R-1234yf and propane burn. They are for machines designed for them; R-134a in between changes "
                "nothing.",
            ),
            WrongIdea(
                "R-12 may no longer be used",
                lambda case: other(
                    letters(case.requests, lambda text: text in DONE and text != REQUESTS[2], FEW), right(case)
                ),
                "An R-12 machine may stay on R-12 while recycled or reclaimed gas lasts. Nobody must convert it.",
                credit=0.5,
            ),
        ),
    )


def ground_for_refusing() -> Key:
    """The rule that this request breaks."""

    def right(case: ConversionCase) -> str:
        return GROUNDS[GROUNDED.index(case.refused)]

    def instead(ground: str):
        return lambda case: None if right(case) == ground else ground

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "everything else burns",
                instead(GROUNDS[1]),
                "Nothing in this request burns like bottle gas. Look for the rule that its own words break.",
            ),
            WrongIdea(
                "the label settles it",
                instead(GROUNDS[7]),
                "A label alone would not make this right. Look for the rule that the owner's words break.",
            ),
        ),
    )


def high_side() -> Key:
    """High-side gauge with R-134a, condenser as found."""
    width = READ_OFF.absolute

    def right(case: ConversionCase) -> float:
        return _gauge(both_refrigerants(case).new.high_gauge)

    def old(case: ConversionCase) -> float:
        return _gauge(both_refrigerants(case).old.high_gauge)

    def clean(case: ConversionCase) -> float:
        return _gauge(both_refrigerants(case, clean=True).new.high_gauge)

    return Key(
        answer=right,
        tolerance=READ_OFF,
        ideas=(
            WrongIdea(
                "same pressures as before",
                lambda case: apart(old(case), right(case), width=width),
                "That is the reading with R-12. With R-134a the head is higher; the old pair of pressures no longer "
                "means healthy.",
            ),
            WrongIdea(
                "condenser thought clean",
                lambda case: apart(clean(case), right(case), old(case), width=width),
                "That is with a clean condenser. Yours is blocked as the sheet says.",
                credit=0.5,
            ),
        ),
    )


def cutout(case: ConversionCase) -> float:
    """Cut-out of the sheet, Pa above the air."""
    return case.cutout_psig * PSI


def margin_left(case: ConversionCase, *, clean: bool) -> float:
    """Pa between the high side with R-134a and the cut-out of the sheet."""
    return cutout(case) - both_refrigerants(case, clean=clean).new.high_gauge


def margin() -> Key:
    """What a clean condenser leaves."""
    width = READ_OFF.absolute

    def right(case: ConversionCase) -> float:
        return margin_left(case, clean=True)

    def of_instrument(case: ConversionCase) -> float | None:
        found = both_refrigerants(case, clean=True)
        return apart(found.margin, right(case), width=width)

    def old(case: ConversionCase) -> float:
        return cutout(case) - both_refrigerants(case, clean=True).old.high_gauge

    return Key(
        answer=right,
        tolerance=READ_OFF,
        ideas=(
            WrongIdea(
                "margin of R-12",
                lambda case: apart(old(case), right(case), of_instrument(case) or right(case), width=width),
                "That is what R-12 leaves. R-134a stands higher on the same day.",
            ),
            WrongIdea(
                "the instrument's own switch",
                of_instrument,
                "You took the switch of the instrument. This machine gets the cut-out that your sheet names.",
                credit=0.5,
            ),
        ),
    )


def hottest_day() -> Key:
    """Whether 20 psi are left as found, or only after cleaning."""

    def verdict(case: ConversionCase, wanted: float = LEFT, refrigerant: str = "new") -> str:
        for clean, words in ((False, AS_IT_IS), (True, ONCE_CLEAN)):
            run = getattr(both_refrigerants(case, clean=clean), refrigerant)
            if cutout(case) - run.high_gauge >= wanted * PSI:
                return words
        return NOT_EVEN

    def unlike(case: ConversionCase, found: str, *taken: str | None) -> str | None:
        return None if found in (verdict(case), *taken) else found

    def by_old(case: ConversionCase) -> str | None:
        return unlike(case, verdict(case, refrigerant="old"))

    return Key(
        answer=verdict,
        ideas=(
            WrongIdea(
                "judged by R-12",
                by_old,
                "With R-12 that holds. R-134a stands higher on the same day: take the thick needle.",
            ),
            WrongIdea(
                "any margin is enough",
                lambda case: unlike(case, verdict(case, 0.0), by_old(case)),
                "Something is left, but less than 20 psi. A hotter day or a little chaff uses that up.",
                credit=0.25,
            ),
            WrongIdea(
                "the old machine cannot do it",
                lambda case: unlike(case, NOT_EVEN, by_old(case)),
                "Set the condenser to clean and look again: then more than 20 psi are left.",
            ),
        ),
    )


def _true(case: ConversionCase, text: str) -> bool:
    """Whether the instrument shows a sentence to be true, condenser as found."""
    found = both_refrigerants(case)
    number = next((float(one) for one in re.findall(r"least (\d+) psi", text)), 0.0)
    template = text.replace(f"least {number:g} psi", "least {psi:g} psi")
    return (
        found.new.charge < found.old.charge,
        found.high_rise >= number * PSI,
        abs(found.new.low_gauge - found.old.low_gauge) <= 3.0 * PSI,
        found.new.discharge_line > found.old.discharge_line,
        found.vent_rise >= 2.0 / 1.8,
        abs(found.ratio("capacity") - 1.0) <= 0.05,
        found.margin >= number * PSI,
        found.ratio("power") > 1.0,
        found.new.status == "high-pressure cut-out",
        found.ratio("compression_ratio") < 1.0,
    )[SHOWN.index(template)]


def instrument_shows() -> Key:
    """Sentence by sentence against the column of changes."""

    def right(case: ConversionCase) -> str:
        return letters(case.seen, lambda text: _true(case, text), SEVEN)

    def with_one(case: ConversionCase, place: int, *, hold: bool) -> str | None:
        def wanted(text: str) -> bool:
            return hold if text == SHOWN[place] else _true(case, text)

        return other(letters(case.seen, wanted, SEVEN), right(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "higher head, hotter discharge",
                lambda case: with_one(case, 3, hold=True),
                "Read the line of the discharge line. R-134a leaves the compressor cooler than R-12, although the "
                "head is higher.",
                credit=0.5,
            ),
            WrongIdea(
                "R-134a cools much less",
                lambda case: with_one(case, 5, hold=False),
                "Read the line of the cooling capacity: the change stays within 5 %. Nobody feels that in the cab.",
                credit=0.5,
            ),
        ),
    )


def _data_sheet(case: ConversionCase) -> float:
    return units.from_unit(case.charge_lb, "mass", "lb")


def starting_charge() -> Key:
    """80 % of the old charge."""
    return Key(
        answer=lambda case: float(charging.starting_charge(_data_sheet(case)).start),
        tolerance=Tolerance("a scale is read to half an ounce", relative=0.01),
        ideas=(
            WrongIdea(
                "same charge as before",
                _data_sheet,
                "That is the R-12 charge. R-134a is the lighter liquid: the same weight overfills the machine.",
            ),
            WrongIdea(
                "the end taken for the start",
                lambda case: float(charging.starting_charge(_data_sheet(case)).by_density),
                "That is what to expect in the end. Start lower: more goes in easily, and to take some out you need "
                "the recovery machine.",
                credit=0.5,
            ),
        ),
    )


def charge_to_expect() -> Key:
    """The same volume of liquid."""

    def right(case: ConversionCase) -> float:
        return float(charging.starting_charge(_data_sheet(case)).by_density)

    return Key(
        answer=right,
        tolerance=Tolerance("densities from the table, rounded to a quarter of a percent", relative=0.01),
        ideas=(
            WrongIdea(
                "same charge as before",
                _data_sheet,
                "That is the R-12 charge. The same space holds less weight of the lighter liquid.",
            ),
            WrongIdea(
                "the start taken for the end",
                lambda case: float(charging.starting_charge(_data_sheet(case)).start),
                "That is where you start. The receiver filled as before holds more; go by the densities.",
                credit=0.5,
            ),
        ),
    )


def new_switch_rating() -> Key:
    """Rating of the cycling switch for the same coil temperature."""

    def converted(case: ConversionCase) -> float:
        return same_coil(case.low_switch_psig) * PSI

    return Key(
        answer=lambda case: _gauge(converted(case)),
        tolerance=Tolerance("a table or a gauge is read to half a psi", absolute=0.7 * PSI),
        ideas=(
            WrongIdea(
                "rating left as it was",
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
        ),
    )


def _sealed(psig: float, way: str, thread: str) -> str:
    return f"sealed, opens at {shown(f'{psig:g} psig', 'pressure')} as the pressure {way}, {thread}"


def switch_to_fit() -> Key:
    """Rating, direction and thread at once."""

    def letter(case: ConversionCase, words: str) -> str | None:
        return next((one for one, text in zip(FEW, case.switches, strict=True) if text == words), None)

    def rated(case: ConversionCase) -> int:
        return round(same_coil(case.low_switch_psig))

    def elsewhere(case: ConversionCase) -> str | None:
        return next(
            (
                found
                for thread in THREADS
                if thread != case.thread and (found := letter(case, _sealed(rated(case), "falls", thread)))
            ),
            None,
        )

    return Key(
        answer=lambda case: letter(case, _sealed(rated(case), "falls", case.thread)) or "",
        ideas=(
            WrongIdea(
                "the same switch again",
                lambda case: letter(case, _sealed(case.low_switch_psig, "falls", case.thread)),
                "That is the R-12 rating. With R-134a it opens while the coil is still warm.",
            ),
            WrongIdea(
                "R-134a means higher pressure",
                lambda case: letter(case, _sealed(2 * case.low_switch_psig - rated(case), "falls", case.thread)),
                "At the head R-134a is higher. At a cold coil it is lower, so the rating goes down.",
            ),
            WrongIdea(
                "lower is colder is better",
                lambda case: letter(case, _sealed(rated(case) - 8, "falls", case.thread)),
                "At that pressure the coil is far below freezing. It ices up, and no air gets through.",
            ),
            WrongIdea(
                "any switch of that rating",
                lambda case: letter(case, _sealed(rated(case), "rises", case.thread)),
                "That one opens when the pressure rises. The cycling switch must open when it falls.",
            ),
            WrongIdea(
                "thread not looked at",
                elsewhere,
                "Rating and direction are right, but it does not screw into this port. No adapters.",
                credit=0.5,
            ),
        ),
    )


MUST_CHANGE = {pair[place not in (1, 4, 6)] for place, pair in enumerate(PARTS)}
BY_LAW = {PARTS[4][0], PARTS[6][0]}


def must_change() -> Key:
    """What R-134a, its oil, its pressure or the law do not allow to stay."""

    def of(case: ConversionCase, wanted: Callable[[str], bool]) -> str:
        return letters(case.parts, wanted, LETTERS)

    def right(case: ConversionCase) -> str:
        return of(case, lambda text: text in MUST_CHANGE)

    def law_only(case: ConversionCase) -> str | None:
        return other(of(case, lambda text: text in BY_LAW), right(case))

    def no_oil(case: ConversionCase) -> str | None:
        found = of(case, lambda text: text in MUST_CHANGE and text != PARTS[1][0])
        return other(found, right(case), law_only(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "what the law asks is enough",
                law_only,
                "That makes it legal, not lasting. Go on: oil, drier, seals, hoses, switch, compressor.",
                credit=0.25,
            ),
            WrongIdea(
                "mineral oil will do",
                no_oil,
                "Mineral oil does not come back with R-134a. It stays in the evaporator, and the compressor runs dry.",
                credit=0.25,
            ),
            WrongIdea(
                "everything new",
                lambda case: other(", ".join(LETTERS), right(case)),
                "Some of these are right already. The owner pays for parts that need it, not for all.",
            ),
        ),
    )


FITS = {HOOKUPS[place] for place in (0, 2, 4, 6, 8)}
ADAPTED = {HOOKUPS[place] for place in (1, 3, 5, 9)}


def hookups() -> Key:
    """One refrigerant, one set of fittings."""

    def right(case: ConversionCase) -> str:
        return letters(case.hookups, lambda text: text in FITS, FEW)

    def adapted(case: ConversionCase) -> str | None:
        return other(letters(case.hookups, lambda text: text in FITS | ADAPTED, FEW), right(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "what can be screwed on may be screwed on",
                adapted,
                "The fittings differ so that refrigerants stay apart. Adapters, swapped fittings and forced threads "
                "defeat that.",
            ),
            WrongIdea(
                "a cap is enough",
                lambda case: other(
                    letters(case.hookups, lambda text: text in FITS or text == HOOKUPS[7], FEW), right(case)
                ),
                "A cap comes off by hand. An unused R-12 port is made unusable for good.",
                credit=0.5,
            ),
        ),
    )


def label() -> Key:
    """What the draft of the label still lacks."""
    choices = (*FIELDS, OZONE, FLAMMABLE)

    def blanks(case: ConversionCase) -> list[str]:
        return [name for name in FIELDS if f"{name}: blank" in case.draft]

    def right(case: ConversionCase) -> str:
        return listed(blanks(case), choices)

    def no_oil(case: ConversionCase) -> str | None:
        return other(listed([one for one in blanks(case) if not one.startswith("lubricant")], choices), right(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "ozone depleter on R-134a",
                lambda case: listed([*blanks(case), OZONE], choices),
                "R-134a holds no chlorine, so it does not harm the ozone layer. Those words belong on R-12 and on "
                "blends with R-22.",
                credit=0.5,
            ),
            WrongIdea(
                "R-134a called flammable",
                lambda case: listed([*blanks(case), FLAMMABLE], choices),
                "R-134a is A1: it does not burn. Those words belong on R-1234yf, R-152a and hydrocarbons.",
                credit=0.5,
            ),
            WrongIdea(
                "the oil is nobody's business",
                no_oil,
                "The next one to open it must know the oil: type, maker and amount stand on the label.",
                credit=0.5,
            ),
        ),
    )


CAUTIOUS, ODD = MOMENTS[1][0], MOMENTS[1][4]


def somebody_gets_hurt() -> Key:
    """The one moment of six in which pressure, flame or burning gas is loose."""

    def letter(case: ConversionCase, texts: tuple[str, ...]) -> str | None:
        return next((one for one, text in zip(FEW, case.moments, strict=True) if text in texts), None)

    return Key(
        answer=lambda case: letter(case, MOMENTS[0]) or "",
        ideas=(
            WrongIdea(
                "any pressure is dangerous",
                lambda case: letter(case, (CAUTIOUS,)),
                "Dry nitrogen through a regulator, below the lowest rating, is how it is done. Look for the moment "
                "without that control.",
            ),
            WrongIdea(
                "R-1234yf cannot be handled",
                lambda case: letter(case, (ODD,)),
                "With equipment made for it, in moving air, mildly flammable gas is handled safely.",
            ),
            WrongIdea(
                "warming is always wrong",
                lambda case: letter(case, (MOMENTS[1][1],)),
                "Water that a hand can bear is the right way to warm a cylinder. A flame is not.",
            ),
        ),
    )


def leak_cost() -> Key:
    """CO2 equivalent of the refrigerant that was added, by the fifth assessment report."""

    def total(case: ConversionCase) -> float:
        return units.from_unit(sum(case.added_oz), "mass", "oz")

    def potential(case: ConversionCase, *, swapped: bool = False) -> float:
        name = case.leaking_refrigerant
        return warming.warming_potential({"R-12": "R-134a", "R-134a": "R-12"}[name] if swapped else name)

    return Key(
        answer=lambda case: total(case) * potential(case),
        tolerance=Tolerance("the masses are shown to the ounce; the sum is exact to rounding", relative=0.02),
        ideas=(
            WrongIdea(
                "the other refrigerant's potential",
                lambda case: total(case) * potential(case, swapped=True),
                "You took the warming potential of the other refrigerant. They differ by a factor of nearly eight.",
                credit=0.5,
            ),
            WrongIdea(
                "last visit only",
                lambda case: units.from_unit(case.added_oz[-1], "mass", "oz") * potential(case),
                "You counted the last visit only. Everything that was added had leaked: add up all visits.",
                credit=0.5,
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "may be done": may_be_done(),
    "ground for refusing": ground_for_refusing(),
    "hottest day": hottest_day(),
    "instrument shows": instrument_shows(),
    "starting charge": starting_charge(),
    "new switch rating": new_switch_rating(),
    "switch to fit": switch_to_fit(),
    "must change": must_change(),
    "hookups that may be": hookups(),
    "missing on the label": label(),
    "somebody gets hurt": somebody_gets_hurt(),
}

KEYS = PRACTICE | {
    "high side as found": high_side(),
    "margin once clean": margin(),
    "charge to expect": charge_to_expect(),
    "CO2 equivalent of the leaks": leak_cost(),
}
