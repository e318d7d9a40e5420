"""The graded form of lesson retrofit-4."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.retrofit_4.numbers import draw_case
from coldcab.service.acceptance import ACCEPT, ADD, LOOK_ON, TAKE_OUT

LIQUID, RIGHT_CHARGE, NO_AIR = "liquid reaches the glass", "the charge is right", "no air is inside"
LOW_ONLY, HIGH_ONLY, BOTH_SIDES = "low side only", "high side only", "both sides"

FORM = Assignment(
    name="retrofit-4",
    title="Charging",
    minutes=40,
    draw=draw_case,
    items=(
        Item(
            "starting charge",
            "The shop's rule starts at 0.90 times the R-12 charge, less a quarter pound. How much R-134a is that?",
            "mass",
            "33.5 oz",
            points=1,
            hint="A quarter of a pound is 4 oz. First the share, then take it off.",
        ),
        Item(
            "heel in a can",
            "How much vapor stays in a can that has given all it gives?",
            "mass",
            "0.15 oz",
            points=2,
            hint="Room in the can times the density of vapor at the low side's absolute pressure and the can's "
            "temperature. 1,728 cu in make a cubic foot.",
        ),
        Item(
            "liquid in the hose",
            "How much liquid does the full hose keep?",
            "mass",
            "1.40 oz",
            points=2,
            hint="Area of the bore times length times the density of saturated liquid at the hose's temperature.",
        ),
        Item(
            "number of cans",
            "How many cans must be opened for the charge that is wanted?",
            "ratio",
            "4",
            points=1,
            hint="Charge and hose together, over what a full can really gives. Then the next whole number up.",
        ),
        Item(
            "last can lighter by",
            "By how much must the last can get lighter on the scale?",
            "mass",
            "6.50 oz",
            points=2,
            hint="Charge and hose, less what all the cans before have given.",
        ),
        Item(
            "charge from the curve",
            "Where on the curve does the charge belong: half way between the first clear row and the last row whose "
            "head is at most 3 psi higher?",
            "mass",
            "41 oz",
            points=2,
            hint="Find both rows. The middle is as far from bubbles as from a rising head.",
        ),
        Item(
            "reserve before bubbles",
            "From that charge, how much may leak before the glass bubbles?",
            "mass",
            "11 oz",
            points=2,
            hint="From the charge down to the first clear row.",
        ),
        Item(
            "next step",
            "The machine is charged by weight. What is in, and its readings beside the bands of the day, stand in the "
            "numbers. What now?",
            CHOICE,
            ACCEPT,
            points=2,
            choices=(ACCEPT, ADD, TAKE_OUT, LOOK_ON),
            hint="Go line by line, the weight too. Subcooling tells of too much. Superheat and glass tell of too "
            "little liquid at the valve, and the scale says whether it is in the machine.",
        ),
        Item(
            "clear glass proves",
            "What does a clear sight glass prove?",
            CHOICE,
            NO_AIR,
            points=1,
            choices=(RIGHT_CHARGE, LIQUID, NO_AIR),
            hint="Count the clear rows of your curve.",
        ),
        Item(
            "valve open while running",
            "The engine runs and a can hangs on the hose. Which valve may be open?",
            CHOICE,
            HIGH_ONLY,
            points=1,
            choices=(HIGH_ONLY, LOW_ONLY, BOTH_SIDES),
            hint="Think where the pressure is higher: in the can or on that side.",
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "starting charge",
    "heel in a can",
    "liquid in the hose",
    "number of cans",
    "last can lighter by",
    "charge from the curve",
    "clear glass proves",
)
