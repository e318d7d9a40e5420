"""Answers and wrong ideas about the oil ledger: what left, what a new part brings, what goes where, what balances."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

from coldcab import oil, units
from coldcab.assess.items import listed
from coldcab.assess.keys import Key, Tolerance, WrongIdea, apart
from coldcab.lessons.oil_2.lines import A_LEAK, NONE, NOTHING
from coldcab.lessons.oil_2.numbers import (
    ENTERED_AS,
    ENTRIES,
    JOBS,
    LEFT_BY,
    LETTERS,
    LINES,
    NOTED,
    SIGNS,
    LedgerCase,
    cubic_metres,
)

WIDTH = cubic_metres(0.11)
CUP = Tolerance("a measuring cup is read to 0.1 fl oz", absolute=WIDTH)
HOSES = ("discharge hose", "liquid line", "suction hose")
DRY = ("evaporator", "condenser", "receiver-drier", *HOSES)


def ounces_apart(value: float, *others: float) -> float | None:
    """Fluid ounces in m3, or None where a cup could not tell them from others."""
    return apart(cubic_metres(value), *map(cubic_metres, others), width=WIDTH)


@lru_cache(maxsize=4096)
def leaked_books(case: LedgerCase) -> oil.Ledger:
    """The books of job A."""
    books = oil.Ledger("PAG", required=cubic_metres(case.required))
    books = books.enter("in", "data sheet", cubic_metres(case.required))
    for what, amount, off in zip(LEFT_BY, case.left, case.plus_or_minus, strict=True):
        books = books.enter("out", what, cubic_metres(amount), cubic_metres(off))
    return books


@lru_cache(maxsize=4096)
def swap_books(case: LedgerCase) -> oil.Ledger:
    """The books of job B with the new compressor as it came."""
    books = oil.Ledger("PAG", required=cubic_metres(case.required))
    books = books.enter("in", "data sheet", cubic_metres(case.required))
    books = books.enter("out", "came out with the gas", cubic_metres(case.swap_gas))
    books = books.replaced("compressor", cubic_metres(case.swap_drained), cubic_metres(case.swap_shipping))
    return books.replaced("receiver-drier", cubic_metres(case.swap_drier), 0.0)


@lru_cache(maxsize=4096)
def rebuild_books(case: LedgerCase) -> oil.Ledger:
    """The books of job C before oil goes in."""
    books = oil.Ledger("PAG", required=cubic_metres(case.required))
    books = books.enter("in", "left on the walls", cubic_metres(case.rebuild_residue))
    return books.enter("added", "came with the new compressor", cubic_metres(case.rebuild_shipping), part="compressor")


def usual(*parts: str) -> float:
    """What parts usually hold together, m3."""
    return sum(oil.RETAINED[part].usual for part in parts)


def add_after_leak() -> Key:
    """Oil to put back after a seal leak, a new drier and a new hose."""

    def without(case: LedgerCase, *lines: str) -> float:
        return math.fsum(amount for line, amount in zip(LINES, case.left, strict=True) if line not in lines)

    def gone(case: LedgerCase) -> float:
        return without(case)

    return Key(
        answer=lambda case: leaked_books(case).to_add.volume,
        tolerance=CUP,
        ideas=(
            WrongIdea(
                "full charge after a single part",
                lambda case: cubic_metres(case.required),
                "That is the oil of the whole circuit. Most of it is still inside: put back only what left.",
            ),
            WrongIdea(
                "what a replaced part held does not count",
                lambda case: ounces_apart(without(case, "drier", "hose"), gone(case), case.required - gone(case)),
                "The old drier and the old hose took oil along. Count what was poured out of them.",
                credit=0.5,
            ),
            WrongIdea(
                "only the leak is a loss",
                lambda case: ounces_apart(
                    case.left[0], gone(case), without(case, "drier", "hose"), case.required - gone(case)
                ),
                "Oil also left with the gas, with the old parts and onto the floor. Add all the lines.",
            ),
            WrongIdea(
                "what stays taken for what is missing",
                lambda case: ounces_apart(case.required - gone(case), gone(case)),
                "That is what stays inside. What is missing is the rest of the data sheet's amount.",
            ),
        ),
    )


def least_sure_line() -> Key:
    """The line whose plus or minus is widest."""

    def right(case: LedgerCase) -> str:
        return LINES[LEFT_BY.index(leaked_books(case).doubt[0].what)]

    def largest_amount(case: LedgerCase) -> str | None:
        found = LINES[case.left.index(max(case.left))]
        return None if found == right(case) else found

    def smallest_amount(case: LedgerCase) -> str | None:
        found = LINES[case.left.index(min(case.left))]
        return None if found in (right(case), largest_amount(case)) else found

    def always_the_leak(case: LedgerCase) -> str | None:
        return None if "leak" in (right(case), largest_amount(case), smallest_amount(case)) else "leak"

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "largest amount, least sure",
                largest_amount,
                "That is the line with the largest amount. Look at the number behind the ±, whatever the amount.",
            ),
            WrongIdea(
                "smallest amount, least sure",
                smallest_amount,
                "A small amount is not unsure for being small. Look at the number behind the ±.",
            ),
            WrongIdea(
                "a leak is always the least sure",
                always_the_leak,
                "Often it is. Here another line has the wider ±.",
            ),
        ),
    )


def drain_after_swap() -> Key:
    """Oil to drain from the new compressor before it goes on."""

    def without_gas_and_drier(case: LedgerCase) -> float:
        return case.swap_shipping - case.swap_drained

    def all_that_left(case: LedgerCase) -> float:
        return case.swap_gas + case.swap_drained + case.swap_drier

    def without_drier(case: LedgerCase) -> float:
        return case.swap_shipping - case.swap_drained - case.swap_gas

    def right(case: LedgerCase) -> float:
        return case.swap_shipping - all_that_left(case)

    def half_a_charge(case: LedgerCase) -> float | None:
        guessed = case.swap_shipping - case.swap_gas - case.swap_drier - case.required / 2
        taken = (right(case), without_gas_and_drier(case), all_that_left(case), without_drier(case))
        return ounces_apart(guessed, *taken) if guessed > 0.0 else None

    return Key(
        answer=lambda case: -swap_books(case).to_add.volume,
        tolerance=CUP,
        ideas=(
            WrongIdea(
                "only the old compressor's oil put back",
                lambda case: ounces_apart(without_gas_and_drier(case), right(case)),
                "You left in what the old compressor held. Oil also left with the gas and with the drier.",
                credit=0.5,
            ),
            WrongIdea(
                "shipping oil ignored",
                lambda case: ounces_apart(all_that_left(case), right(case), without_gas_and_drier(case)),
                "That is all the oil that left. The new compressor brings more than that; drain the difference.",
            ),
            WrongIdea(
                "old drier forgotten",
                lambda case: ounces_apart(
                    without_drier(case), right(case), without_gas_and_drier(case), all_that_left(case)
                ),
                "The old drier took oil along. Leave that much more in the new compressor.",
                credit=0.5,
            ),
            WrongIdea(
                "drained amount guessed as half the charge",
                half_a_charge,
                "You guessed that the old compressor held half the charge. It was drained and measured; use that.",
            ),
        ),
    )


def add_after_rebuild() -> Key:
    """Oil to put in after everything was flushed or replaced."""
    return Key(
        answer=lambda case: rebuild_books(case).to_add.volume,
        tolerance=CUP,
        ideas=(
            WrongIdea(
                "shipping oil ignored",
                lambda case: cubic_metres(case.required - case.rebuild_residue),
                "The new compressor brings oil. Take it off, or the circuit gets too much.",
            ),
            WrongIdea(
                "flushed parts thought to hold their oil",
                lambda case: rebuild_books(case).to_add.volume - usual("evaporator", "condenser"),
                "Evaporator and condenser were flushed. They hold nothing but what stayed on the walls.",
            ),
            WrongIdea(
                "residue forgotten",
                lambda case: cubic_metres(case.required - case.rebuild_shipping),
                "Some oil stayed on the walls. Take it off.",
                credit=0.5,
            ),
            WrongIdea(
                "full charge on top",
                lambda case: cubic_metres(case.required),
                "That is the whole circuit's oil, on top of what is inside already.",
            ),
        ),
    )


@lru_cache(maxsize=4096)
def rest(case: LedgerCase) -> float:
    """What goes into the compressor of job C, m3."""
    return rebuild_books(case).proposal(DRY).volume("compressor")


def compressor_share() -> Key:
    """What is left for the compressor when each dry part has got its usual amount."""

    return Key(
        answer=rest,
        tolerance=Tolerance("each of the amounts is read to 0.1 fl oz", absolute=cubic_metres(0.15)),
        ideas=(
            WrongIdea(
                "all into the compressor",
                lambda case: rebuild_books(case).to_add.volume,
                "You put all of it into the compressor. Dry parts would soak it up, and until then it has too much.",
            ),
            WrongIdea(
                "hoses forgotten",
                lambda case: rest(case) + usual(*HOSES),
                "The liquid line and the two hoses hold oil, too. Take their usual amounts off.",
                credit=0.5,
            ),
            WrongIdea(
                "drier forgotten",
                lambda case: rest(case) + usual("receiver-drier"),
                "The new drier soaks up oil, too. Take its usual amount off.",
                credit=0.5,
            ),
            WrongIdea(
                "shipping oil counted in",
                lambda case: rest(case) + cubic_metres(case.rebuild_shipping),
                "That is all the oil in the compressor. The question is how much you pour in on top.",
                credit=0.5,
            ),
        ),
    )


def oil_to_refrigerant() -> Key:
    """Oil over refrigerant by weight."""

    def charge(case: LedgerCase) -> float:
        return units.from_unit(case.refrigerant_pounds, "mass", "lb")

    return Key(
        answer=lambda case: cubic_metres(case.required) * case.density / charge(case),
        tolerance=Tolerance("three figures of density and charge", relative=0.012),
        ideas=(
            WrongIdea(
                "fluid ounces taken for ounces",
                lambda case: units.from_unit(case.required, "mass", "oz") / charge(case),
                "You divided fluid ounces by ounces. Turn the oil into a weight first: volume times density.",
                credit=0.5,
            ),
            WrongIdea(
                "share of both together",
                lambda case: (
                    cubic_metres(case.required)
                    * case.density
                    / (charge(case) + cubic_metres(case.required) * case.density)
                ),
                "You divided by oil and refrigerant together. The ratio is oil over refrigerant alone.",
                credit=0.5,
            ),
        ),
    )


def letters(wanted: Callable[[int], bool], choices: tuple[str, ...]) -> str:
    """Letters whose place is wanted, as a list's value."""
    return listed([letter for place, letter in enumerate(choices) if wanted(place)], choices)


def other(value: str, *taken: str | None) -> str | None:
    """The list, or None where it is empty or another's."""
    return None if not value or value in taken else value


WHOLE = {JOBS[place] for place in (3, 5, 6, 9, 11)}
COMPRESSOR = {JOBS[place] for place in (2, 10)}
PART_FLUSHED = {JOBS[place] for place in (8,)}


def jobs_with_the_whole_amount() -> Key:
    """Jobs after which no old oil is inside."""

    def of(case: LedgerCase, *groups: set[str]) -> str:
        return letters(lambda place: any(case.jobs[place] in group for group in groups), LETTERS)

    def right(case: LedgerCase) -> str:
        return of(case, WHOLE) or NONE

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "a compressor takes a whole charge",
                lambda case: other(of(case, WHOLE, COMPRESSOR), right(case)),
                "With a compressor alone, coils, hoses and drier keep their oil. Only what left goes back.",
            ),
            WrongIdea(
                "one flushed part, whole amount",
                lambda case: other(of(case, WHOLE, PART_FLUSHED), right(case), of(case, WHOLE, COMPRESSOR)),
                "One part was flushed. The others still hold their oil.",
            ),
            WrongIdea(
                "the whole amount after any repair",
                lambda case: other(
                    ", ".join(LETTERS), right(case), of(case, WHOLE, COMPRESSOR), of(case, WHOLE, PART_FLUSHED)
                ),
                "After most of these nearly all the old oil is still inside. A whole amount on top is far too much.",
            ),
        ),
    )


def books_that_balance() -> Key:
    """Counts whose gap is inside the plus or minus."""

    def gap(case: LedgerCase, place: int) -> float:
        return round(abs(case.counts[place].books - case.counts[place].counted), 6)

    def right(case: LedgerCase) -> str:
        return letters(lambda place: gap(case, place) <= case.counts[place].plus_or_minus, LETTERS) or NONE

    def exact(case: LedgerCase) -> str | None:
        return other(letters(lambda place: gap(case, place) <= 0.1, LETTERS), right(case))

    def near(case: LedgerCase) -> str | None:
        return other(letters(lambda place: gap(case, place) <= 1.0, LETTERS), right(case), exact(case))

    def more_is_fine(case: LedgerCase) -> str | None:
        found = letters(
            lambda place: (
                gap(case, place) <= case.counts[place].plus_or_minus
                or case.counts[place].counted > case.counts[place].books
            ),
            LETTERS,
        )
        return other(found, right(case), exact(case), near(case))

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "any gap is a mistake",
                exact,
                "You kept only the counts that hit their books. A gap inside the ± proves no mistake.",
            ),
            WrongIdea(
                "an ounce is near enough",
                near,
                "An ounce may be far outside the ±. Compare each gap with its own ±.",
            ),
            WrongIdea(
                "more than expected does not matter",
                more_is_fine,
                "A count that is too high is a mistake as well: something came in that nobody wrote down.",
            ),
        ),
    )


def wrong_lines_of_the_clerk() -> Key:
    """Lines whose amount or sign differs from the notes."""

    def noted(case: LedgerCase, place: int) -> float:
        what = ENTERED_AS.index(case.entered[place][0])
        return SIGNS[what] * case.noted[what]

    def of(case: LedgerCase, wanted: Callable[[float, float], bool]) -> str:
        return letters(
            lambda place: place < len(case.entered) and wanted(case.entered[place][1], noted(case, place)), ENTRIES
        )

    def right(case: LedgerCase) -> str:
        return of(case, lambda entered, wanted: abs(entered - wanted) > 0.05)

    def amounts(case: LedgerCase) -> str:
        return of(case, lambda entered, wanted: abs(abs(entered) - abs(wanted)) > 0.05)

    def with_a_minus(case: LedgerCase) -> str:
        return of(case, lambda entered, wanted: entered < 0.0)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "the sign does not matter",
                lambda case: other(amounts(case), right(case)),
                "Look at the signs too. Oil that left has a minus; oil that came in has a plus.",
                credit=0.25,
            ),
            WrongIdea(
                "a minus is a mistake",
                lambda case: other(with_a_minus(case), right(case), amounts(case)),
                "A minus is right where oil left. Hold each line against the shop's notes.",
            ),
        ),
    )


def missing_in_the_books() -> Key:
    """The note that has no line."""

    def right(case: LedgerCase) -> str:
        names = {what for what, _amount in case.entered}
        return next((name for name, what in zip(NOTED, ENTERED_AS, strict=True) if what not in names), NOTHING)

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "every gap blamed on a leak",
                lambda case: A_LEAK,
                "The notes tell of no leak. Compare books and notes before you blame the machine.",
            ),
            WrongIdea(
                "shipping oil is always forgotten",
                lambda case: None if right(case) == "new compressor" else "new compressor",
                "It often is. Here the new compressor's oil stands in the books.",
            ),
            WrongIdea(
                "a drier holds nothing to speak of",
                lambda case: None if right(case) == "old drier" else "old drier",
                "The old drier stands in these books. Go through the notes one by one.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "oil to add, job A": add_after_leak(),
    "least sure line, job A": least_sure_line(),
    "oil to drain, job B": drain_after_swap(),
    "oil to add, job C": add_after_rebuild(),
    "repairs with the whole amount": jobs_with_the_whole_amount(),
    "books that balance": books_that_balance(),
    "wrong lines of the clerk": wrong_lines_of_the_clerk(),
    "missing in the clerk's books": missing_in_the_books(),
}

KEYS = PRACTICE | {
    "compressor part, job C": compressor_share(),
    "oil to refrigerant": oil_to_refrigerant(),
}
