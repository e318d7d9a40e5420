"""The graded form of lesson oil-2."""

from coldcab.assess.items import CHOICE, LIST, Assignment, Item
from coldcab.lessons.oil_2.numbers import ENTRIES, LETTERS, LINES, NOTED, draw_case

NOTHING = "nothing"
A_LEAK = "a leak"
NONE = "none"

FORM = Assignment(
    name="oil-2",
    title="The oil ledger",
    minutes=40,
    draw=draw_case,
    items=(
        Item(
            "oil to add, job A",
            "How much oil must go in after the seal leak?",
            "volume",
            "3.4 fl oz",
            points=2,
            hint="Only what left must go back: all five lines of job A.",
        ),
        Item(
            "least sure line, job A",
            "Which line of job A makes that amount least sure?",
            CHOICE,
            LINES[1],
            points=2,
            choices=LINES,
            hint="The line with the widest plus or minus, whatever its amount.",
        ),
        Item(
            "oil to drain, job B",
            "How much oil must be drained from the new compressor before it goes on?",
            "volume",
            "2.1 fl oz",
            points=2,
            hint="What it brings, less all that left: gas, old compressor, old drier.",
        ),
        Item(
            "oil to add, job C",
            "How much oil must go in after the rebuild?",
            "volume",
            "6.4 fl oz",
            points=2,
            hint="The data sheet's amount, less what the new compressor brings, less what stayed on the walls.",
        ),
        Item(
            "compressor part, job C",
            "How much of that goes into the compressor, when each dry part gets what it usually holds?",
            "volume",
            "1.7 fl oz",
            points=1,
            hint="Take off what evaporator, condenser, drier, liquid line and hoses usually hold. The rest goes there.",
        ),
        Item(
            "oil to refrigerant",
            "What is the ratio of oil to refrigerant, by weight, on the data sheet?",
            "ratio",
            "0.21",
            points=1,
            rows=("oil on its data sheet", "refrigerant on its data sheet"),
            hint="Turn fluid ounces of oil into ounces by weight first: volume times density.",
        ),
        Item(
            "repairs with the whole amount",
            "After which repairs does the whole amount go in, less what a new part brings? Letters, or none.",
            LIST,
            "A",
            points=3,
            choices=(*LETTERS, NONE),
            hint="Only where no old oil is left inside. Otherwise only what left goes back.",
        ),
        Item(
            "books that balance",
            "Which of the six counts agree with their books? Letters, with commas, or none.",
            LIST,
            "A",
            points=3,
            choices=(*LETTERS, NONE),
            hint="A gap that is smaller than the plus or minus is no gap.",
        ),
        Item(
            "wrong lines of the clerk",
            "Which lines of the clerk's books are wrong? Letters, with commas.",
            LIST,
            "A",
            points=3,
            rows=("the shop s notes", "clerk s line"),
            choices=ENTRIES,
            hint="Hold each line against the shop's notes: the amount and the sign. What leaves has a minus.",
        ),
        Item(
            "missing in the clerk's books",
            "Which line do the clerk's books miss altogether?",
            CHOICE,
            NOTED[1],
            points=2,
            rows=("the shop s notes", "clerk s line"),
            choices=(*NOTED, A_LEAK, NOTHING),
            hint="Go through the shop's notes one by one and look for each in the books.",
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "oil to add, job A",
    "least sure line, job A",
    "oil to drain, job B",
    "oil to add, job C",
    "repairs with the whole amount",
    "books that balance",
    "wrong lines of the clerk",
    "missing in the clerk's books",
    unasked=("oil on its data sheet", "refrigerant on its data sheet"),
)
