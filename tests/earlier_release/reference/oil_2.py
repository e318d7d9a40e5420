"""Reference solution of the graded sheet oil-2: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.oil_2 import FORM
from coldcab.assess.ideas_ledger import leaked_books
from coldcab.assess.practice.oil_2 import KEYS
from coldcab.scenario.oil_2 import LINES, cubic_metres

from coldcab.assess.items import Key, Tolerance, WrongIdea

WORDS = dict(zip(("lost at the leak", "came out with the gas", "poured out of the old drier"), LINES, strict=True))


def line_with_most_doubt() -> Key:
    """The line whose uncertainty is widest."""

    def right(case) -> str:
        return WORDS[leaked_books(case).doubt[0].what]

    def largest_amount(case) -> str | None:
        amounts = dict(zip(LINES, (case.leaked, case.in_gas, case.in_drier), strict=True))
        found = max(amounts, key=amounts.get)
        return None if found == right(case) else found

    def smallest_amount(case) -> str | None:
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


def mistake_in_the_books() -> Key:
    """Which line is missing or doubled."""

    def wrong_way(case) -> str:
        return "shipping oil left out" if case.mistake == "old drier left out" else "old drier left out"

    return Key(
        answer=lambda case: case.mistake,
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


ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "line with most doubt": line_with_most_doubt(),
        "gap in the books": gap_in_the_books(),
        "mistake in the books": mistake_in_the_books(),
    }
)
