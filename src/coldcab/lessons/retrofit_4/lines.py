"""The graded form of lesson retrofit-4."""

from coldcab.assess.items import CHOICE, LIST, Assignment, Item
from coldcab.lessons.retrofit_4.numbers import FEW, LETTERS, draw_case
from coldcab.service.acceptance import ACCEPT, ADD, LOOK_ON, TAKE_OUT

CAN_ROWS = (
    "altitude",
    "r 12 charge",
    "r 134a wanted",
    "small can",
    "room inside",
    "low side and can",
    "can and hose",
    "hose full",
)

FORM = Assignment(
    name="retrofit-4",
    title="Charging",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "starting charge",
            "With how much R-134a do you start, by the shop's rule, before the first reading?",
            "mass",
            "33.5 oz",
            points=1,
            rows=CAN_ROWS,
            hint="The shop starts low: 80 % of the R-12 on the data sheet.",
        ),
        Item(
            "heel in a can",
            "How much vapor stays in a can that has given all it gives?",
            "mass",
            "0.15 oz",
            points=1,
            rows=CAN_ROWS,
            hint="Room in the can times the density of vapor at the low side's absolute pressure and the can's "
            "temperature. 1,728 cu in make a cubic foot.",
        ),
        Item(
            "liquid in the hose",
            "How much liquid does the full hose keep?",
            "mass",
            "1.40 oz",
            points=1,
            rows=CAN_ROWS,
            hint="Area of the bore times length times the density of saturated liquid at the hose's temperature.",
        ),
        Item(
            "number of cans",
            "How many cans must be opened for the charge that is wanted?",
            "ratio",
            "4",
            points=1,
            rows=CAN_ROWS,
            hint="Charge and hose together, over what a full can really gives. Then the next whole number up.",
        ),
        Item(
            "last can lighter by",
            "By how much must the last can get lighter on the scale?",
            "mass",
            "6.50 oz",
            points=1,
            rows=CAN_ROWS,
            hint="Charge and hose, less what all the cans before have given.",
        ),
        Item(
            "charge from the curve",
            "Find the first row of the curve with a clear glass, and the last row whose head is at most 3 psi higher. "
            "Half way between these two the charge belongs. How much is that?",
            "mass",
            "41 oz",
            points=2,
            rows=("the curve", "curve"),
            hint="Find both rows. The middle is as far from bubbles as from a rising head.",
        ),
        Item(
            "reserve before bubbles",
            "From that charge down to the first clear row: how much may leak before the glass bubbles?",
            "mass",
            "11 oz",
            points=1,
            rows=("the curve", "curve"),
            hint="From the charge down to the first clear row.",
        ),
        Item(
            "next step",
            "The machine is charged by weight. What is in, and its readings beside the bands of the day, stand in the "
            "numbers. What now?",
            CHOICE,
            ACCEPT,
            points=2,
            rows=("after charging",),
            choices=(ACCEPT, ADD, TAKE_OUT, LOOK_ON),
            hint="Go line by line, the weight too. Subcooling tells of too much. Superheat and glass tell of too "
            "little liquid at the valve, and the scale says whether it is in the machine.",
        ),
        Item(
            "machines accepted",
            "Which of machines charged A to F do you accept as they are? Letters, with commas.",
            LIST,
            "A",
            points=3,
            choices=FEW,
            hint="Weight right and every line inside its band: then accept. A glass is a help, not a must.",
        ),
        Item(
            "true of the glass",
            "Which of sayings glass A to F are true? Letters, with commas.",
            LIST,
            "A",
            points=2,
            choices=FEW,
            hint="A glass shows what passes here and now. Count the clear rows of your curve. Bubbles with the full "
            "weight in are not a missing charge.",
        ),
        Item(
            "R-1234yf to weigh in",
            "The R-1234yf machine: how much do you weigh in after the repair?",
            "mass",
            "28 oz",
            points=2,
            hint="What is inside after recovery and vacuum? What does the label say?",
        ),
        Item(
            "wrong lines of the log",
            "Another shop wrote log A to H. Which lines are wrong? Letters, with commas.",
            LIST,
            "A",
            points=3,
            choices=LETTERS,
            hint="Ask of each line: weight, air, liquid in the compressor, the right gas, the next technician.",
        ),
        Item(
            "can may burst",
            "In one of moments A to F a can may burst. In which?",
            CHOICE,
            "B",
            points=2,
            choices=FEW,
            hint="Where is the pressure higher than in the can, and is the way open?",
            safety=True,
        ),
    ),
)

PRACTICE = FORM.practice(
    20,
    "starting charge",
    "heel in a can",
    "number of cans",
    "last can lighter by",
    "charge from the curve",
    "next step",
    "machines accepted",
    "true of the glass",
    "R-1234yf to weigh in",
    "wrong lines of the log",
    "can may burst",
)
