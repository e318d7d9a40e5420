"""The graded form of lesson oil-1."""

from coldcab.assess.items import CHOICE, LIST, Assignment, Item
from coldcab.lessons.oil_1.numbers import LETTERS, TINS, draw_case
from coldcab.oil.shelf import DRIVE, DYE, GRADE, REFRIGERANT, STATE, TYPE

NO_TIN = "none"
NOTHING = "nothing wrong"
FAULTS = (TYPE, GRADE, REFRIGERANT, DRIVE, DYE, STATE, NOTHING)
TIN_HINT = "Ask the six questions of every tin: type, grade, refrigerant, drive, dye, state. If no tin passes, none."

FORM = Assignment(
    name="oil-1",
    title="Choosing oil",
    minutes=40,
    draw=draw_case,
    items=(
        *(
            Item(
                f"tin for job {number}",
                f"Which tin goes into the compressor of job {number}?",
                CHOICE,
                "B",
                points=2,
                choices=(*TINS, NO_TIN),
                hint=TIN_HINT,
            )
            for number in (1, 2, 3)
        ),
        Item(
            "tin for the electric one",
            "Which tin goes into the electric compressor?",
            CHOICE,
            "B",
            points=3,
            choices=(*TINS, NO_TIN),
            hint="Only the tin that is made for electric compressors, in the type and grade of the plate, and dry.",
            safety=True,
        ),
        Item(
            "tins to hand in",
            "Which tins go to the used oil because of how they were kept? Letters, with commas, or none.",
            LIST,
            "A",
            points=3,
            choices=(*TINS, NO_TIN),
            hint="Sealed, or opened for today's job and capped between pours, stays. All else goes.",
        ),
        *(
            Item(
                f"fault of order {number}",
                f"The parts counter sends order {number}. What is wrong with it?",
                CHOICE,
                GRADE,
                points=2,
                choices=FAULTS,
                hint="Hold tin against plate, question by question. At most one thing is wrong.",
            )
            for number in (1, 2)
        ),
        Item(
            "boxes whose oil stays",
            "Which boxes bring oil that may go back in once it is measured? Letters, with commas, or none.",
            LIST,
            "A",
            points=3,
            choices=(*LETTERS, NO_TIN),
            hint="The paper in the box must name the oil, and it must be the oil of the plate, kept closed.",
        ),
        Item(
            "machines to flush first",
            "Which machines need a flush, new parts or the maker's procedure before fresh oil goes in? Letters, with "
            "commas.",
            LIST,
            "A",
            points=3,
            choices=LETTERS,
            hint="Ask what is in there now. Wrong, unknown or dirty oil comes out first. Dye may stay.",
        ),
        Item(
            "wishes to refuse",
            "Which wishes do you refuse? Letters, with commas.",
            LIST,
            "A",
            points=3,
            choices=LETTERS,
            hint="Ask of each: does plate or manual allow it, and do you know what is inside?",
        ),
        Item(
            "times the moisture limit",
            "How many times 50 ppm of water does the oil in the open tin hold?",
            "ratio",
            "24.5",
            points=2,
            hint="Set oil, hours, humidity and depth on the open tin. Divide its water by 50 ppm.",
        ),
        Item(
            "mineral oil left",
            "What share of all the oil in the filled circuit is mineral oil?",
            "fraction",
            "4.2 %",
            points=2,
            rows=("a changed machine",),
            hint="Mineral oil is only a share of what clings. Compare that with all the oil in the circuit.",
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "tin for job 1",
    "tin for job 2",
    "tin for the electric one",
    "tins to hand in",
    "fault of order 1",
    "boxes whose oil stays",
    "machines to flush first",
    "wishes to refuse",
    "times the moisture limit",
    "mineral oil left",
    unasked=("job 3", "order 2"),
)
