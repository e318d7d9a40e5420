"""The graded form of lesson oil-1."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.oil_1.numbers import draw_case

VERDICTS = ("suitable", "with care", "not suitable")
GRADES = ("VG 32", "VG 46", "VG 68", "VG 100", "VG 150", "no grade")

FORM = Assignment(
    name="oil-1",
    title="Choosing oil",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "viscosity when running",
            "How thick is the oil in the compressor at its running temperature?",
            "kinematic viscosity",
            "24.5 cSt",
            points=2,
            hint="Set the oil and its temperature on the viscosity chart; the line is not straight in degrees.",
        ),
        Item(
            "viscosity of the blend",
            "How thick is the blend on the shelf at 40 C (104 F)?",
            "kinematic viscosity",
            "61.0 cSt",
            points=2,
            hint="Work out the share of the thicker oil by volume, then set the blend on the viscosity chart.",
        ),
        Item(
            "grade of the blend",
            "Which ISO grade does that blend have?",
            CHOICE,
            "VG 68",
            points=1,
            choices=GRADES,
            hint="A grade reaches from 10 % below its number to 10 % above; between two grades there is a gap.",
        ),
        Item(
            "oil on the scale",
            "How much must the scale show for the oil to weigh out?",
            "mass",
            "8.20 oz",
            points=2,
            hint="Volume times density; one fluid ounce of water weighs 1.043 ounces, and oil is lighter than water.",
        ),
        Item(
            "mineral oil share",
            "What share of the oil in the filled circuit is mineral oil?",
            "fraction",
            "4.2 %",
            points=2,
            hint="Each rinse leaves clinging over clinging plus rinse; what is left counts against the whole circuit.",
        ),
        Item(
            "size of that residue",
            "How large is that residue?",
            CHOICE,
            "over 5 %",
            points=1,
            choices=("under 1 %", "from 1 % to 5 %", "over 5 %"),
            hint="Compare the share in the filled circuit with the two limits of common practice.",
        ),
        Item(
            "times the moisture limit",
            "How many times the usual limit of 50 ppm does the oil in the open can hold?",
            "ratio",
            "24.5",
            points=2,
            hint="Read the water content on the open can, then divide it by 50 ppm.",
        ),
        Item(
            "verdict on the oil",
            "Does this oil go with this refrigerant?",
            CHOICE,
            "with care",
            points=1,
            choices=VERDICTS,
            hint="Look the pair up in the table of oils and refrigerants.",
        ),
        Item(
            "verdict on the drier",
            "Does this drying agent go with this refrigerant?",
            CHOICE,
            "with care",
            points=1,
            choices=VERDICTS,
            hint="Look the pair up in the table of drying agents.",
        ),
        Item(
            "effect of more oil",
            "The owner gets his wish. What does the evaporator do then?",
            CHOICE,
            "cools the same",
            points=1,
            choices=("cools better", "cools the same", "cools worse"),
            hint="Raise the oil on the instrument and watch the evaporator's cooling.",
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "viscosity when running",
    "viscosity of the blend",
    "oil on the scale",
    "mineral oil share",
    "times the moisture limit",
    "verdict on the oil",
)
