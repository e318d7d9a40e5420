"""The graded form of lesson cycle-1."""

from coldcab.assess.items import CHOICE, LIST, Assignment, Item
from coldcab.lessons.cycle_1.numbers import LETTERS, draw_case

STATES = ("superheated", "saturated", "subcooled")

FORM = Assignment(
    name="cycle-1",
    title="Pressure and temperature",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "absolute pressure",
            "What is the absolute pressure at the gauge in the low side?",
            "pressure",
            "29.5 psia",
            points=2,
            hint="Find the air pressure of the yard's altitude first. A gauge counts from there.",
        ),
        Item(
            "absolute pressure during evacuation",
            "What absolute pressure does the compound gauge mean?",
            "pressure",
            "9.5 inHg abs",
            rows=("compound gauge",),
            hint="A vacuum gauge counts down from the air pressure of the day. Work in one unit, inHg.",
        ),
        Item(
            "R-12 saturation temperature",
            "Suppose the low side holds R-12. What is the saturation temperature at the reading?",
            "temperature",
            "15 F",
            rows=("gauge in the low side",),
            hint="Absolute pressure first, then the saturation table of R-12.",
        ),
        Item(
            "R-1234yf saturation temperature",
            "Suppose the high side holds R-1234yf. What is the saturation temperature at the reading?",
            "temperature",
            "130 F",
            rows=("gauge in the high side",),
            hint="Absolute pressure first, then the saturation table of R-1234yf.",
        ),
        *(
            Item(
                f"state at {letter}",
                f"What is in the line at point {letter}?",
                CHOICE,
                "saturated",
                points=1,
                choices=STATES,
                hint="Take that place's gauge to absolute with this yard's air pressure, look up saturation, compare.",
            )
            for letter in "AB"
        ),
        Item(
            "points with liquid alone",
            "At which points is nothing but liquid in the line? Letters, with commas.",
            LIST,
            "C",
            points=2,
            choices=LETTERS,
            hint="Liquid alone is cooler than saturation at its own pressure, however hot the pipe is.",
        ),
        Item(
            "machines without liquid",
            "Which parked machines have no liquid left? Letters, with commas.",
            LIST,
            "B",
            points=2,
            choices=LETTERS,
            hint="Each has its own table. Compare its gauge with the table at its temperature, in this yard.",
        ),
        Item(
            "machines to identify first",
            "Which parked machines hold air or another gas for sure? Letters, with commas.",
            LIST,
            "D",
            points=2,
            choices=LETTERS,
            hint="Above its own table stands what does not belong there.",
        ),
        Item(
            "standing pressure",
            "What should the gauge on the parked machine show?",
            "pressure",
            "105 psig",
            points=2,
            hint="While liquid remains, the table alone decides. Then say it as a gauge at this altitude.",
        ),
        Item(
            "air pressure in the cylinder",
            "How much pressure in the cylinder comes from air?",
            "pressure difference",
            "18 psi",
            rows=("cylinder",),
            hint="Take the table's pressure at the cylinder's temperature from what is really in it, both absolute.",
        ),
        Item(
            "air share of the gas",
            "What share of the gas above the liquid is air, by volume?",
            "fraction",
            "12 %",
            rows=("cylinder",),
            hint="The share of the gas is the share of the pressure (Dalton), absolute over absolute.",
        ),
        Item(
            "sentences that hold",
            "Which of the sentences are true? Letters, with commas.",
            LIST,
            "A, E",
            points=3,
            choices=LETTERS,
            hint="Each of them can be tried on an instrument of the lesson.",
        ),
        Item(
            "work to stop",
            "Which work must be stopped before somebody is hurt? Letters, with commas.",
            LIST,
            "B",
            points=3,
            choices=LETTERS,
            hint="Ask of each: what bursts, what freezes or burns, and what is breathed in?",
            safety=True,
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "absolute pressure",
    "absolute pressure during evacuation",
    "R-12 saturation temperature",
    "state at A",
    "state at B",
    "points with liquid alone",
    "machines without liquid",
    "machines to identify first",
    "air pressure in the cylinder",
    "sentences that hold",
    "work to stop",
    unasked=("gauge in the high side", "parked machine, engine cold"),
)
