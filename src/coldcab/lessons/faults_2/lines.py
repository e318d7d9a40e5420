"""The graded form of lesson faults-2."""

from coldcab.assess.items import CHOICE, LIST, Assignment, Item
from coldcab.lessons.faults_2.numbers import HEAD_CULPRITS, LETTERS, LOW_SIDE_CULPRITS, draw_case

LESS_IS_NONE = (
    "Less than the instruments can be off by is no change: about 1 psi low, 4 psi high, 3 F warmer or colder, also "
    "for superheat and subcooling by gauge and clamp-on thermometer."
)


def _signs(number: int) -> Item:
    return Item(
        f"signs of fault {number}",
        f"Fault {number}: which of the ten signs does it make, against the healthy machine of the day? Letters, with "
        "commas.",
        LIST,
        "A, C",
        points=3,
        choices=tuple(LETTERS),
        hint=f"Go through all ten. Set the fault to 80 % on the bench and look for arrows. {LESS_IS_NONE}",
    )


def _complaint(letter: str) -> Item:
    return Item(
        f"complaint {letter}",
        f"Complaint {letter}: is it the circuit or the cab, and why? Take the reason that its readings give.",
        CHOICE,
        "A",
        points=2,
        choices=tuple(LETTERS[:7]),
        hint="Compare gauges and lines with the healthy machine first, then the air at the vent.",
    )


FORM = Assignment(
    name="faults-2",
    title="Signatures",
    minutes=60,
    draw=draw_case,
    items=(
        _signs(1),
        _signs(2),
        Item(
            "worst drier",
            "Six machines, A to F, have a restricted drier. Which drier is the worst?",
            CHOICE,
            "A",
            points=2,
            choices=tuple(LETTERS[:6]),
            hint="A restriction makes a step in temperature. Compare the steps, not the words of the owners.",
        ),
        Item(
            "high side above healthy",
            "The machine with the blocked condenser: by how much is its high side above the healthy one's?",
            "pressure difference",
            "42 psi",
            points=2,
            rows=("machine with the blocked condenser",),
            hint="Put the healthy machine on the bench: same unit, same day, same speed. Then take the difference.",
        ),
        _complaint("D"),
        _complaint("E"),
        Item(
            "low side suspect",
            "Machine F: which fault do its readings fit?",
            CHOICE,
            "charge low",
            points=2,
            choices=LOW_SIDE_CULPRITS,
            hint="Go along the liquid: glass, drier, line, valve, coil, hose. Where does it turn cold too early?",
        ),
        Item(
            "high side suspect",
            "Machine G: which fault do its readings fit?",
            CHOICE,
            "air in the circuit",
            points=2,
            choices=HEAD_CULPRITS,
            hint="Look at the air at the face, the air behind, the night's rest, then at the line into the drier.",
        ),
        Item(
            "suspects left",
            "Machine H: which of the eight suspects, each at 80 %, make all the signs that were read? Letters, with "
            "commas.",
            LIST,
            "A, C",
            points=3,
            choices=tuple(LETTERS[:8]),
            hint="Strike out a suspect as soon as one sign speaks against it. What is left stays, even if it is five.",
        ),
        Item(
            "reading that separates",
            "Machine K: which reading shows the two suspects apart?",
            CHOICE,
            "A",
            points=2,
            choices=tuple(LETTERS[:6]),
            hint="Set one suspect on the bench at 80 %, then the other. One of the six readings differs.",
        ),
        Item(
            "sentences that hold",
            "Which sentences may stand on a work order, because the readings in them say so? Letters, with commas.",
            LIST,
            "A, C",
            points=3,
            choices=tuple(LETTERS[:8]),
            hint="A sentence holds if it names no more than its readings show, beside the healthy machine of the day.",
        ),
        Item(
            "engine off first",
            "For which of the six does the engine have to be off, or go off at once? Letters, with commas.",
            LIST,
            "A, C",
            points=2,
            rows=("step",),
            choices=tuple(LETTERS[:6]),
            safety=True,
            hint="Hands near belt, fan or hot line; a head that climbs on; gas that escapes; liquid that comes back.",
        ),
    ),
)

PRACTICE = FORM.practice(
    25,
    "signs of fault 1",
    "signs of fault 2",
    "worst drier",
    "complaint D",
    "complaint E",
    "low side suspect",
    "high side suspect",
    "suspects left",
    "reading that separates",
    "sentences that hold",
    "engine off first",
    unasked=("machine with the blocked condenser",),
)
