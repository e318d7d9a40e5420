"""Answers and wrong ideas of lesson oil-1: which tin, what is wrong with an order, what must come out first."""

from __future__ import annotations

from collections.abc import Callable

from coldcab import oil, units
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea
from coldcab.lessons.oil_1.lines import NO_TIN, NOTHING
from coldcab.lessons.oil_1.numbers import BOXES, INSIDE, LETTERS, TINS, WISHES, OilCase
from coldcab.oil import Plate, Tin, fit_to_use, objections
from coldcab.oil.moisture import HOUR, USUAL_LIMIT
from coldcab.oil.shelf import (
    DRIVE,
    DYE,
    GRADE,
    IN_SPRING,
    LAST_WEEK,
    REFRIGERANT,
    STATE,
    TODAY,
    TYPE,
    UNIVERSAL,
)

Asked = Callable[[OilCase], Plate]

OPENED = "an opened tin is still good"


def first_tin(case: OilCase, wanted: Callable[[Tin], bool]) -> str | None:
    """Letter of the first tin that is wanted."""
    return next((letter for letter, tin in zip(TINS, case.tins, strict=True) if wanted(tin)), None)


def right_tin(case: OilCase, plate: Plate) -> str:
    """Letter of the tin that nothing stands against, or none."""
    return first_tin(case, lambda tin: not objections(plate, tin)) or NO_TIN


def only(asked: Asked, *against: str) -> Callable[[OilCase], str | None]:
    """The first tin with just these things against it."""
    return lambda case: first_tin(case, lambda tin: objections(asked(case), tin) == against)


def tin_key(asked: Asked) -> Key:
    """A tin for a machine with a belt."""

    def same_number(case: OilCase) -> str | None:
        def wanted(tin: Tin) -> bool:
            against = objections(asked(case), tin)
            return TYPE in against and GRADE not in against and fit_to_use(tin)

        return first_tin(case, wanted)

    return Key(
        answer=lambda case: right_tin(case, asked(case)),
        ideas=(
            WrongIdea(
                "the number decides",
                same_number,
                "The number is right, the oil is another one. ISO 46 says how thick, not what it is made of.",
            ),
            WrongIdea(
                "the refrigerant on the label does not matter",
                only(asked, REFRIGERANT),
                "Type and grade are right, but the label does not name this machine's refrigerant.",
            ),
            WrongIdea(
                OPENED,
                only(asked, STATE),
                "Type and grade fit, but look at how that tin was kept. Nobody knows how much water is in it.",
            ),
            WrongIdea(
                "a grade that is near enough",
                only(asked, GRADE),
                "That is the right type in another grade. The plate's grade belongs to this compressor.",
            ),
            WrongIdea(
                "dye does no harm",
                only(asked, DYE),
                "There is dye in that tin, and this manual does not allow it.",
            ),
            WrongIdea(
                "one oil for everything",
                lambda case: first_tin(case, lambda tin: tin.oil == UNIVERSAL),
                "That label names no type and no grade. You would not know what is inside afterwards.",
            ),
        ),
    )


def electric_plate(case: OilCase) -> Plate:
    """What the electric compressor asks for."""
    return case.electric.plate


def tin_for_the_electric_one() -> Key:
    """The tin that somebody's safety hangs on."""

    def a_pag(case: OilCase) -> str | None:
        gas = case.electric.plate.refrigerant
        return first_tin(
            case, lambda tin: tin.oil == "PAG" and gas in tin.refrigerants and fit_to_use(tin) and not tin.dye
        )

    return Key(
        answer=lambda case: right_tin(case, case.electric.plate),
        ideas=(
            WrongIdea(
                "any ester of that grade",
                only(electric_plate, DRIVE),
                "That ester is not made for electric compressors. Nobody promises that it does not conduct: "
                "the housing may come under high voltage.",
            ),
            WrongIdea(
                "PAG as in every other machine",
                a_pag,
                "Never PAG in an electric compressor. It conducts, and the housing may come under high voltage.",
            ),
            WrongIdea(
                OPENED,
                only(electric_plate, STATE),
                "That tin did not stay closed. Water in the oil spoils the insulation. Order a sealed one.",
            ),
            WrongIdea(
                "one oil for everything",
                lambda case: first_tin(case, lambda tin: tin.oil == UNIVERSAL),
                "That label promises nothing about high voltage. The housing may come under it.",
            ),
        ),
    )


def letters(wanted: Callable[[int], bool], choices: tuple[str, ...]) -> str:
    """Letters whose place is wanted, as a list's value."""
    return listed([letter for place, letter in enumerate(choices) if wanted(place)], choices)


def other(value: str, *taken: str) -> str | None:
    """The list, or None where it is empty or another's."""
    return None if not value or value in taken else value


def tins_to_hand_in() -> Key:
    """Tins that were not kept dry."""

    def kept(case: OilCase, wanted: Callable[[str], bool]) -> str:
        return letters(lambda place: wanted(case.tins[place].state), TINS)

    def right(case: OilCase) -> str:
        return letters(lambda place: not fit_to_use(case.tins[place]), TINS) or NO_TIN

    def capped(case: OilCase) -> str:
        return kept(case, lambda state: not _fit(state) and state not in (LAST_WEEK, IN_SPRING))

    def all_open(case: OilCase) -> str:
        return kept(case, lambda state: not _fit(state) or state == TODAY)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "capped again is dry again",
                lambda case: other(capped(case), right(case)),
                "A tin that was opened days ago took its water before the cap went on. It does not come out again.",
            ),
            WrongIdea(
                "once open, always gone",
                lambda case: other(all_open(case), right(case), capped(case)),
                "Twenty minutes, capped between pours, is the job itself. That tin may be used up today.",
            ),
            WrongIdea(
                "wrong oil is old oil",
                lambda case: other(
                    letters(lambda place: not fit_to_use(case.tins[place]) or case.tins[place].oil == UNIVERSAL, TINS),
                    right(case),
                    capped(case),
                    all_open(case),
                ),
                "You listed a tin for what it is. The line asks how the tins were kept.",
            ),
        ),
    )


def _fit(state: str) -> bool:
    return fit_to_use(Tin("PAG", 46, (), state))


def fault_of_order(number: int) -> Key:
    """The one thing that is wrong with an order."""

    def right(case: OilCase) -> str:
        order = case.orders[number - 1]
        return (*objections(order.waiting.plate, order.tin), NOTHING)[0]

    def unless(name: str) -> Callable[[OilCase], str | None]:
        return lambda case: None if right(case) == name else name

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "type and number look right",
                unless(NOTHING),
                "Something does not go with the plate. Read label, drive, dye and cap too, not only the number.",
            ),
            WrongIdea(
                "an unusual name is the wrong type",
                unless(TYPE),
                "The type on the tin is the type on the plate. Go on with the other questions.",
            ),
            WrongIdea(
                "the label is never good enough",
                unless(REFRIGERANT),
                "The label does name this machine's refrigerant. Go on with the other questions.",
            ),
        ),
    )


STAY = {BOXES[place] for place in (0, 4, 7, 9, 11)}
SAME_NUMBER = {BOXES[place] for place in (5, 6)}
UNNAMED = {BOXES[place] for place in (3,)}


def boxes_whose_oil_stays() -> Key:
    """New compressors whose oil is the plate's."""

    def of(case: OilCase, *groups: set[str]) -> str:
        return letters(lambda place: any(case.boxes[place] in group for group in groups), LETTERS)

    def right(case: OilCase) -> str:
        return of(case, STAY) or NO_TIN

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "the number on the paper is enough",
                lambda case: other(of(case, STAY, SAME_NUMBER), right(case)),
                "One of these has the right number, but the wrong refrigerant or ports that stood open.",
            ),
            WrongIdea(
                "what looks clean is right",
                lambda case: other(of(case, STAY, UNNAMED), right(case), of(case, STAY, SAME_NUMBER)),
                "Clean is no name. Oil that nobody names is poured out.",
            ),
            WrongIdea(
                "what comes in the box belongs in",
                lambda case: other(
                    ", ".join(LETTERS), right(case), of(case, STAY, SAME_NUMBER), of(case, STAY, UNNAMED)
                ),
                "Some of these papers name another oil, or none. The plate of the machine decides.",
            ),
        ),
    )


FLUSH = {INSIDE[place] for place in (1, 3, 4, 5, 6, 8, 11)}
LOOKS_CLEAR = {INSIDE[place] for place in (5, 11)}
HARMLESS = {INSIDE[place] for place in (2, 7)}


def machines_to_flush_first() -> Key:
    """Machines with wrong, unknown or dirty oil inside."""

    def of(case: OilCase, group: set[str]) -> str:
        return letters(lambda place: case.inside[place] in group, LETTERS)

    def right(case: OilCase) -> str:
        return of(case, FLUSH)

    def by_the_eye(case: OilCase) -> str:
        return of(case, FLUSH - LOOKS_CLEAR)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "clear oil is right oil",
                lambda case: other(by_the_eye(case), right(case)),
                "Oil can be clear and still be the wrong one. What was put in counts, not only what you see.",
            ),
            WrongIdea(
                "dye or a trace asks for a flush",
                lambda case: other(of(case, FLUSH | HARMLESS), right(case), by_the_eye(case)),
                "Dye that is named, or a trace within the maker's limit, may stay. A flush has its own risks.",
            ),
            WrongIdea(
                "always flush",
                lambda case: other(", ".join(LETTERS), right(case), by_the_eye(case), of(case, FLUSH | HARMLESS)),
                "Some of these hold the right oil, known and clean. Only what left goes back there.",
            ),
        ),
    )


REFUSE = {WISHES[place] for place in (0, 1, 2, 3, 4, 5, 6)}
SMALL = {WISHES[place] for place in (0, 2)}
UNUSUAL = {WISHES[place] for place in (7, 8)}


def wishes_to_refuse() -> Key:
    """Wishes that plate, manual or safety forbid."""

    def of(case: OilCase, group: set[str]) -> str:
        return letters(lambda place: case.wishes[place] in group, LETTERS)

    def right(case: OilCase) -> str:
        return of(case, REFUSE)

    def mild(case: OilCase) -> str:
        return of(case, REFUSE - SMALL)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "a little does no harm",
                lambda case: other(mild(case), right(case)),
                "A little is enough: of PAG on a high-voltage motor, and of oil beyond the plate's amount.",
            ),
            WrongIdea(
                "another name is another oil",
                lambda case: other(of(case, REFUSE | UNUSUAL), right(case), mild(case)),
                "A maker's note stands above the old plate, and a plate without a name asks for type, grade and "
                "refrigerant only.",
            ),
            WrongIdea(
                "refuse everything",
                lambda case: other(", ".join(LETTERS), right(case), mild(case), of(case, REFUSE | UNUSUAL)),
                "Some of these are good practice. Ask plate and manual, wish by wish.",
            ),
        ),
    )


def content(case: OilCase, *, kind: str | None = None, humidity: float | None = None) -> float:
    """Water in the open tin, kg/kg."""
    return oil.moisture_content(
        case.can_oil if kind is None else kind,
        case.can_hours * HOUR,
        relative_humidity=case.can_humidity if humidity is None else humidity,
        depth=units.from_unit(case.can_inches, "length", "in"),
    )


def times_the_moisture_limit() -> Key:
    """Water in an open tin against 50 ppm."""
    return Key(
        answer=lambda case: content(case) / USUAL_LIMIT,
        tolerance=Tolerance("the instrument shows three figures", relative=0.015),
        ideas=(
            WrongIdea(
                "one oil is as thirsty as the other",
                lambda case: content(case, kind="POE" if case.can_oil == "PAG" else "PAG") / USUAL_LIMIT,
                "That is the curve of the other oil. PAG draws far more water than ester; set the oil of this tin.",
            ),
            WrongIdea(
                "an open tin is soaked at once",
                lambda case: oil.HYGROSCOPY[case.can_oil].saturation * case.can_humidity / USUAL_LIMIT,
                "That is where it would end after weeks. Read the curve at the hours on the sheet.",
            ),
            WrongIdea(
                "the shop's air does not matter",
                lambda case: content(case, humidity=1.0) / USUAL_LIMIT,
                "That is for soaking wet air. Set the humidity of the shop.",
                credit=0.5,
            ),
        ),
    )


def mineral_oil_left() -> Key:
    """Share of mineral oil in the filled circuit."""

    def share(case: OilCase) -> float:
        return case.clinging_ounces * case.clinging_share / case.total_ounces

    return Key(
        answer=share,
        tolerance=Tolerance("the share is rounded to a tenth of a percent", relative=0.02, absolute=0.0006),
        ideas=(
            WrongIdea(
                "what clings judged for the circuit",
                lambda case: case.clinging_share,
                "That is the share in what clings. The new oil thins it: compare with all the oil in the circuit.",
            ),
            WrongIdea(
                "all that clings is mineral oil",
                lambda case: case.clinging_ounces / case.total_ounces,
                "Only a share of what clings is mineral oil. The rest came with the flush.",
                credit=0.25,
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "tin for job 1": tin_key(lambda case: case.jobs[0].plate),
    "tin for job 2": tin_key(lambda case: case.jobs[1].plate),
    "tin for the electric one": tin_for_the_electric_one(),
    "tins to hand in": tins_to_hand_in(),
    "fault of order 1": fault_of_order(1),
    "boxes whose oil stays": boxes_whose_oil_stays(),
    "machines to flush first": machines_to_flush_first(),
    "wishes to refuse": wishes_to_refuse(),
    "times the moisture limit": times_the_moisture_limit(),
    "mineral oil left": mineral_oil_left(),
}

KEYS = PRACTICE | {
    "tin for job 3": tin_key(lambda case: case.jobs[2].plate),
    "fault of order 2": fault_of_order(2),
}
