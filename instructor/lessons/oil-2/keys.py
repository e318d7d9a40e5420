"""Answers and wrong ideas about the oil ledger: what left, what a new part brings, what goes where, how sure it is."""

from __future__ import annotations

from functools import lru_cache

from coldcab import oil, units
from coldcab.assess.keys import Key, Tolerance, WrongIdea
from coldcab.lessons.oil_2.numbers import LINES, LedgerCase, cubic_metres, moved_oil

CUP = Tolerance("a measuring cup is read to 0.1 fl oz", absolute=cubic_metres(0.11))
HOSES = ("discharge hose", "liquid line", "suction hose")
DRY = ("evaporator", "condenser", "receiver-drier", *HOSES)
LINE_OF = dict(zip(("lost at the leak", "came out with the gas", "poured out of the old drier"), LINES, strict=True))
"""Job A's lines in the books, and what the sheet calls them."""
LEFT_OUT = {2: "old drier left out", 3: "shipping oil left out"}
"""What it is called when a line is missing in the books, by its place in honest ones."""


@lru_cache(maxsize=4096)
def leaked_books(case: LedgerCase) -> oil.Ledger:
    """The books of job A."""
    books = oil.Ledger("PAG", required=cubic_metres(case.required))
    books = books.enter("in", "data sheet", cubic_metres(case.required))
    amounts = (case.leaked, case.in_gas, case.in_drier)
    for what, amount, doubt in zip(LINE_OF, amounts, case.doubts, strict=True):
        books = books.enter("out", what, cubic_metres(amount), cubic_metres(doubt))
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
    """Oil to put back after a seal leak and a new drier."""
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
                "old drier forgotten",
                lambda case: cubic_metres(case.leaked + case.in_gas),
                "The old drier took oil along. Count what was poured out of it.",
                credit=0.5,
            ),
            WrongIdea(
                "oil in the gas forgotten",
                lambda case: cubic_metres(case.leaked + case.in_drier),
                "Oil leaves with the recovered gas, too. The recovery machine's bottle shows how much.",
                credit=0.5,
            ),
            WrongIdea(
                "what stays taken for what is missing",
                lambda case: leaked_books(case).total_after.volume,
                "That is what stays inside. What is missing is the rest of the data sheet's amount.",
            ),
        ),
    )


def doubt_after_leak() -> Key:
    """Combined uncertainty of three independent lines."""
    return Key(
        answer=lambda case: leaked_books(case).to_add.uncertainty,
        tolerance=Tolerance("the root is rounded to a hundredth", absolute=cubic_metres(0.03)),
        ideas=(
            WrongIdea(
                "doubts added up",
                lambda case: cubic_metres(sum(case.doubts)),
                "You added the doubts. They will hardly all go the same way: square, add, take the root.",
                credit=0.5,
            ),
            WrongIdea(
                "largest doubt only",
                lambda case: cubic_metres(max(case.doubts)),
                "You took the largest doubt alone. The others add to it, though little.",
                credit=0.5,
            ),
            WrongIdea(
                "mean of the doubts",
                lambda case: cubic_metres(sum(case.doubts) / 3),
                "You took the mean. A sum of three amounts is less sure than each of them.",
            ),
            WrongIdea(
                "root forgotten",
                lambda case: cubic_metres(sum(doubt**2 for doubt in case.doubts)),
                "You stopped at the sum of the squares. Take its root.",
                credit=0.5,
            ),
        ),
    )


def line_with_most_doubt() -> Key:
    """The line whose uncertainty is widest."""

    def right(case: LedgerCase) -> str:
        return LINE_OF[leaked_books(case).doubt[0].what]

    def largest_amount(case: LedgerCase) -> str | None:
        amounts = dict(zip(LINES, (case.leaked, case.in_gas, case.in_drier), strict=True))
        found = max(amounts, key=amounts.get)
        return None if found == right(case) else found

    def smallest_amount(case: LedgerCase) -> str | None:
        amounts = dict(zip(LINES, (case.leaked, case.in_gas, case.in_drier), strict=True))
        found = min(amounts, key=amounts.get)
        return None if found in (right(case), largest_amount(case)) else found

    return Key(
        answer=right,
        ideas=(
            WrongIdea(
                "largest amount, largest doubt",
                largest_amount,
                "You took the line with the largest amount. The doubt is the number behind the ±, whatever the amount.",
            ),
            WrongIdea(
                "smallest amount, largest doubt",
                smallest_amount,
                "A small amount is not in doubt for being small. Look at the number behind the ±.",
            ),
        ),
    )


def drain_after_swap() -> Key:
    """Oil to drain from the new compressor before it goes on."""
    return Key(
        answer=lambda case: -swap_books(case).to_add.volume,
        tolerance=CUP,
        ideas=(
            WrongIdea(
                "only the old compressor's oil put back",
                lambda case: cubic_metres(case.swap_shipping - case.swap_drained),
                "You left in what the old compressor held. Oil also left with the gas and with the drier.",
                credit=0.5,
            ),
            WrongIdea(
                "drained with a minus",
                lambda case: swap_books(case).to_add.volume,
                "The amount is right. The line asks how much to drain, so write it without the minus.",
                credit=0.5,
            ),
            WrongIdea(
                "shipping oil ignored",
                lambda case: cubic_metres(case.swap_gas + case.swap_drained + case.swap_drier),
                "That is all the oil that left. The new compressor brings more than that; drain the difference.",
            ),
            WrongIdea(
                "old drier forgotten",
                lambda case: cubic_metres(case.swap_shipping - case.swap_drained - case.swap_gas),
                "The old drier took oil along. Leave that much more in the new compressor.",
                credit=0.5,
            ),
            WrongIdea(
                "drained amount guessed as half the charge",
                lambda case: (
                    cubic_metres(case.swap_shipping - case.swap_gas - case.swap_drier - case.required / 2)
                    if case.swap_shipping - case.swap_gas - case.swap_drier - case.required / 2 > 0
                    else None
                ),
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
                "ratio upside down",
                lambda case: charge(case) / (cubic_metres(case.required) * case.density),
                "That is refrigerant over oil. Oil comes first here.",
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


def gap_in_the_books() -> Key:
    """How far the clerk's books are from the count."""

    return Key(
        answer=lambda case: cubic_metres(abs(case.books_after - case.counted)),
        tolerance=Tolerance("the count is good to 0.1 fl oz", absolute=cubic_metres(0.06)),
        ideas=(
            WrongIdea(
                "gap with its sign",
                lambda case: cubic_metres(-abs(case.books_after - case.counted)),
                "The size is right. The line asks only how far apart they are, without a sign.",
                credit=0.5,
            ),
            WrongIdea(
                "compared with the data sheet",
                lambda case: cubic_metres(abs(case.books_after - case.required)),
                "You compared the books with the data sheet. The gap lies between the books and the count.",
            ),
            WrongIdea(
                "count compared with the data sheet",
                lambda case: cubic_metres(abs(case.counted - case.required)),
                "You compared the count with the data sheet. The gap lies between the books and the count.",
            ),
            WrongIdea(
                "count taken for the gap",
                lambda case: cubic_metres(case.counted),
                "That is what was counted. The gap is its difference from what the books say is inside.",
            ),
        ),
    )


def mistake(case: LedgerCase) -> str:
    """What sets the clerk's books apart from the shop's notes."""
    moved = moved_oil(case.books_gas, case.books_drained, case.books_drier, case.books_shipping, case.books_added)
    if len(set(case.entered)) < len(case.entered):
        return "a line entered twice"
    return next((LEFT_OUT[place] for place, line in enumerate(moved) if line not in case.entered), "a leak")


def mistake_in_the_books() -> Key:
    """Which line is missing or doubled."""

    def wrong_way(case: LedgerCase) -> str:
        return "shipping oil left out" if mistake(case) == "old drier left out" else "old drier left out"

    return Key(
        answer=mistake,
        ideas=(
            WrongIdea(
                "every gap blamed on a leak",
                lambda case: "a leak",
                "The notes explain the gap without a leak. Compare books and notes before you blame the machine.",
            ),
            WrongIdea(
                "gap read the wrong way round",
                wrong_way,
                "Look at the sign: oil that came and was not entered makes the books too low, oil that left too high.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "oil to add, job A": add_after_leak(),
    "doubt of that amount": doubt_after_leak(),
    "oil to drain, job B": drain_after_swap(),
    "oil to add, job C": add_after_rebuild(),
    "compressor part, job C": compressor_share(),
    "oil to refrigerant": oil_to_refrigerant(),
}

KEYS = PRACTICE | {
    "line with most doubt": line_with_most_doubt(),
    "gap in the books": gap_in_the_books(),
    "mistake in the books": mistake_in_the_books(),
}

EARLIER = {"mistake": mistake}
"""What cases said themselves in release 0.2, for keys of that time."""
