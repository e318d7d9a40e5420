"""The graded form of lesson oil-2."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.oil_2.numbers import draw_case

FORM = Assignment(
    name="oil-2",
    title="The oil ledger",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "oil to add, job A",
            "How much oil must go in after the seal leak?",
            "volume",
            "3.4 fl oz",
            points=2,
            hint="Only what left must go back: at the leak, with the gas, with the old drier.",
        ),
        Item(
            "doubt of that amount",
            "How uncertain is that amount, either way?",
            "volume",
            "0.75 fl oz",
            points=2,
            hint="Independent doubts add up as the root of the sum of their squares.",
        ),
        Item(
            "line with most doubt",
            "Which line of job A carries most of the doubt?",
            CHOICE,
            "gas",
            points=1,
            choices=("leak", "gas", "drier"),
            hint="The line with the widest uncertainty, whatever its amount.",
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
            points=2,
            hint="Take off what evaporator, condenser, drier, liquid line and hoses usually hold; the rest goes there.",
        ),
        Item(
            "oil to refrigerant",
            "What is the ratio of oil to refrigerant, by weight, on the data sheet?",
            "ratio",
            "0.21",
            points=2,
            hint="Turn fluid ounces of oil into ounces by weight first: volume times density.",
        ),
        Item(
            "gap in the books",
            "How far are the clerk's books from what was counted, without a sign?",
            "volume",
            "1.4 fl oz",
            points=2,
            hint="The difference between the amount the books say is inside and the amount that was counted.",
        ),
        Item(
            "mistake in the books",
            "Which mistake did the clerk make?",
            CHOICE,
            "a leak",
            points=1,
            choices=("shipping oil left out", "old drier left out", "a line entered twice", "a leak"),
            hint="Compare the books with the shop's notes, line by line; the gap has the size of the mistake.",
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "oil to add, job A",
    "doubt of that amount",
    "oil to drain, job B",
    "oil to add, job C",
    "compressor part, job C",
    "oil to refrigerant",
)
