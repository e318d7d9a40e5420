"""Answers and wrong ideas of lesson rebuild-1: cause, belt, oil, ring and another shop's log."""

from __future__ import annotations

from coldcab import units
from coldcab.assess.keys import Key, Tolerance, WrongIdea, apart
from coldcab.lessons.rebuild_1.lines import LEADS_TO
from coldcab.lessons.rebuild_1.numbers import LETTERS, LOG, SwapCase
from coldcab.quantities import INCH, POUND_FORCE
from coldcab.service import compressor_swap
from coldcab.service.compressor_swap import DEATHS, Death


def _fluid_ounces(number: float) -> float:
    return units.from_unit(number, "volume", "fl oz")


def death(case: SwapCase) -> Death:
    """The one cause whose four signs are all there."""
    said = "; ".join(case.signs)
    (found,) = (
        one
        for one in DEATHS
        if {f"oil {one.oil}", f"debris: {one.debris}", f"clutch face {one.clutch}", f"hub {one.hub}"}
        == set(said.split("; "))
    )
    return found


def _unless(right, name: str):
    return lambda case: None if right(case) == name else name


def _cause(case: SwapCase) -> str:
    return death(case).name


def _work(case: SwapCase) -> str:
    return death(case).work


def cause_of_death() -> Key:
    """Four signs as one line."""
    shared = {"clutch": "the clutch's face alone", "hub": "the hub alone"}

    def alone(sign: str):
        def result(case: SwapCase) -> str | None:
            found = death(case)
            for one in DEATHS:
                if one is not found and getattr(one, sign) == getattr(found, sign):
                    return one.name
            return None

        return result

    def by_hub(case: SwapCase) -> str | None:
        by_clutch, name = alone("clutch")(case), alone("hub")(case)
        return None if name == by_clutch else name

    return Key(
        answer=_cause,
        ideas=(
            WrongIdea(
                shared["clutch"],
                alone("clutch"),
                "That goes by the clutch's face alone. Another cause leaves the same face; oil and debris tell them "
                "apart.",
            ),
            WrongIdea(
                shared["hub"],
                by_hub,
                "That goes by the hub alone. Another cause leaves it turning the same way; look at oil and debris.",
            ),
        ),
    )


def work_beside_it() -> Key:
    """What follows from the cause."""
    return Key(
        answer=_work,
        ideas=(
            WrongIdea(
                "always a flush",
                _unless(_work, DEATHS[7].work),
                "A flush takes old oil away, not what killed this compressor. Take the four signs again.",
            ),
            WrongIdea(
                "always clean the metal out",
                _unless(_work, DEATHS[6].work),
                "These signs do not speak of metal worn off with age. Ask what is still in the machine that killed it.",
            ),
        ),
    )


def offset_allowed() -> Key:
    """A sixteenth of an inch a foot."""

    def right(case: SwapCase) -> float:
        return float(compressor_swap.line_offset_allowed(case.span_inches * INCH))

    width = 0.006 * INCH

    return Key(
        answer=right,
        tolerance=Tolerance("a straightedge and a feeler are read to a hundredth of an inch", absolute=width),
        ideas=(
            WrongIdea(
                "a sixteenth whatever the span",
                lambda case: apart(INCH / 16.0, right(case), 0.5 * right(case), 2.0 * right(case), width=width),
                "A sixteenth of an inch is for one foot of span. Take it in proportion to your span.",
            ),
            WrongIdea(
                "an eighth a foot",
                lambda case: 2.0 * right(case),
                "That is an eighth of an inch a foot, twice what a belt bears.",
            ),
        ),
    )


def tightness(case: SwapCase) -> float:
    """Tension over the wanted one."""
    tension = compressor_swap.belt_tension(
        case.push_pounds * POUND_FORCE, case.span_inches * INCH, case.bend_inches * INCH
    )
    return float(tension) / (case.wanted_pounds * POUND_FORCE)


def times_too_tight() -> Key:
    """Tension from a push."""
    return Key(
        answer=tightness,
        tolerance=Tolerance("the bend is read to a hundredth of an inch; people round on the way", relative=0.02),
        ideas=(
            WrongIdea(
                "one side of the push only",
                lambda case: 2.0 * tightness(case),
                "Twice too much: two halves of the span hold the push, and each is half as long. Divide by four.",
                credit=0.25,
            ),
            WrongIdea(
                "push times span over the bend",
                lambda case: 4.0 * tightness(case),
                "Four times too much: the two halves of the span share the push. Divide by four times the bend.",
                credit=0.25,
            ),
        ),
    )


def bearing_life_left() -> Key:
    """Third power of the load."""
    return Key(
        answer=lambda case: float(compressor_swap.bearing_life(tightness(case))),
        tolerance=Tolerance("three times the rounding of the tension", relative=0.07),
        ideas=(
            WrongIdea(
                "life by the load itself",
                lambda case: 1.0 / tightness(case),
                "Life does not fall in proportion. It falls with the third power of the load.",
                credit=0.25,
            ),
            WrongIdea(
                "second power",
                lambda case: 1.0 / tightness(case) ** 2,
                "That is the second power of the load; a ball bearing goes by the third.",
                credit=0.25,
            ),
        ),
    )


def oil_into_the_new_compressor() -> Key:
    """What left goes back."""

    def right(case: SwapCase) -> float:
        return compressor_swap.oil_to_pour(*map(_fluid_ounces, (case.drained, case.gas, case.drier)))

    return Key(
        answer=right,
        tolerance=Tolerance("cups are read to 0.1 fl oz", absolute=_fluid_ounces(0.12)),
        ideas=(
            WrongIdea(
                "the oil of the box put back",
                lambda case: _fluid_ounces(case.brought),
                "That is what the box held. It was meant for an empty circuit; most of yours still has its oil.",
            ),
            WrongIdea(
                "only what the old one gave",
                lambda case: _fluid_ounces(case.drained),
                "The gas and the old drier took oil with them too. Add those.",
                credit=0.5,
            ),
            WrongIdea(
                "the box and what left",
                lambda case: right(case) + _fluid_ounces(case.brought),
                "You counted the oil of the box on top of what left. It was poured out: it is not inside.",
            ),
        ),
    )


def ring_squeeze() -> Key:
    """What is pressed away over the cord."""

    def right(case: SwapCase) -> float:
        return float(compressor_swap.ring_squeeze(case.cord_inches * INCH, case.room_inches * INCH))

    width = 0.006

    return Key(
        answer=right,
        tolerance=Tolerance("a caliper reads to half a thousandth of an inch", absolute=width),
        ideas=(
            WrongIdea(
                "what is left taken for the squeeze",
                lambda case: apart(1.0 - right(case), right(case), width=width),
                "That is what is left of the cord. The squeeze is what is pressed away.",
                credit=0.25,
            ),
            WrongIdea(
                "over the room",
                lambda case: apart(
                    case.cord_inches / case.room_inches - 1.0, right(case), 1.0 - right(case), width=width
                ),
                "You divided by the room. The squeeze is counted over the cord as it was.",
                credit=0.25,
            ),
        ),
    )


def _letter(case: SwapCase, test) -> str | None:
    return next((letter for letter, words in zip(LETTERS, case.rings, strict=False) if test(words)), None)


def _sized(case: SwapCase, cord: float) -> str:
    return f"inside {case.joint_inside:.3f} in, cord {cord:.3f} in, "


def ring_that_fits() -> Key:
    """All four properties at once."""
    return Key(
        answer=lambda case: _letter(case, lambda words: words == _sized(case, case.joint_cord) + "HNBR, new") or "",
        ideas=(
            WrongIdea(
                "a thicker ring is tighter",
                lambda case: _letter(case, lambda words: words.startswith(_sized(case, case.joint_cord + 0.020))),
                "A thicker cord is cut as the joint closes. It holds today and leaks tomorrow.",
            ),
            WrongIdea(
                "any rubber of that size",
                lambda case: _letter(case, lambda words: "not known" in words),
                "Size alone is not enough: rubber of unknown kind may swell or harden in this refrigerant and oil.",
            ),
            WrongIdea(
                "the old ring again",
                lambda case: _letter(case, lambda words: "old one" in words),
                "A used ring has kept the flat shape of its old seat. It no longer presses.",
            ),
        ),
    )


def wrong_place(case: SwapCase) -> int:
    """Which line of the log is wrong, from 0."""
    return next(place for place, (line, pair) in enumerate(zip(case.log, LOG, strict=True)) if line == pair[1])


def wrong_line_of_the_log() -> Key:
    """The one line that leads somewhere bad."""

    def instead(letter: str):
        return lambda case: None if LETTERS[wrong_place(case)] == letter else letter

    return Key(
        answer=lambda case: LETTERS[wrong_place(case)],
        ideas=(
            WrongIdea(
                "hub by hand is no use",
                instead("E"),
                "Turning the hub by hand is right: it clears oil out of the cylinders before the engine turns it.",
            ),
            WrongIdea(
                "the drier goes in early",
                instead("H"),
                "The drier last, arrow to the valve, is right: it stays closed to the air as long as it can.",
            ),
        ),
    )


def what_it_leads_to() -> Key:
    """The consequence of the wrong line."""

    def right(case: SwapCase) -> str:
        return LEADS_TO[wrong_place(case)]

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "everything ends in a leak",
                _unless(right, LEADS_TO[3]),
                "No ring is hurt by that line. Try it on the swap bench: at the start and after a week.",
            ),
            WrongIdea(
                "everything brings too much oil",
                _unless(right, LEADS_TO[2]),
                "That line does not touch the amount of oil. Try it on the swap bench: at the start and after a week.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "cause of death": cause_of_death(),
    "work beside it": work_beside_it(),
    "offset allowed": offset_allowed(),
    "times too tight": times_too_tight(),
    "oil into the new compressor": oil_into_the_new_compressor(),
    "ring squeeze": ring_squeeze(),
    "ring that fits": ring_that_fits(),
    "wrong line of the log": wrong_line_of_the_log(),
    "what it leads to": what_it_leads_to(),
}

KEYS = PRACTICE | {
    "bearing life left": bearing_life_left(),
}
