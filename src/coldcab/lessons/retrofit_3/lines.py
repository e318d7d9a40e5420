"""The graded form of lesson retrofit-3."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.retrofit_3.numbers import FIELDS, NOTHING, draw_case
from coldcab.service.retrofit import ACTIONS

LOWER, SAME, HIGHER = "clearly lower", "about the same", "clearly higher"
LOW_CHOICES = (LOWER, SAME, HIGHER)
OZONE = "the words ozone depleter"
LABEL_CHOICES = (*FIELDS, OZONE, NOTHING)

FORM = Assignment(
    name="retrofit-3",
    title="From R-12 to R-134a",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "high side with R-134a",
            "Set the instrument to your machine and day. What does the high-side gauge show with R-134a?",
            "pressure",
            "215 psig",
            points=2,
            hint="Machine, outside air and engine speed as on your sheet; the thick needle is R-134a.",
        ),
        Item(
            "low side against R-12",
            "Compared with R-12 on the same day, the low side with R-134a is …",
            CHOICE,
            "clearly higher",
            points=1,
            choices=LOW_CHOICES,
            hint="Compare the two needles of the low side: is it more than a gauge can tell?",
        ),
        Item(
            "change in cooling capacity",
            "By what share does the cooling capacity change?",
            "fraction",
            "+3 %",
            points=2,
            hint="Counted from R-12; a loss has a minus.",
        ),
        Item(
            "margin to the cut-out",
            "How much is left between the high side with R-134a and the cut-out to be fitted?",
            "pressure difference",
            "95 psi",
            points=2,
            hint="Cut-out on your sheet less the gauge reading with R-134a on that day.",
        ),
        Item(
            "starting charge",
            "With how much R-134a do you start, by the densities of the two liquids at 113 F?",
            "mass",
            "2.9 lb",
            points=2,
            hint="Old charge times the density of R-134a over that of R-12.",
        ),
        Item(
            "new low-pressure setting",
            "At which gauge pressure should the low-pressure switch act with R-134a, for the same coil temperature?",
            "pressure",
            "24 psig",
            points=2,
            hint="Find the boiling temperature of R-12 at the old setting, then the pressure of R-134a there.",
        ),
        Item(
            "hoses",
            "What do you do with the hoses?",
            CHOICE,
            "inspect",
            points=1,
            choices=ACTIONS,
            hint="Sound or cracked first, then what they are made of.",
        ),
        Item(
            "oil",
            "What do you do with the oil?",
            CHOICE,
            "replace",
            points=1,
            choices=ACTIONS,
            hint="Will R-134a carry this oil back to the compressor?",
        ),
        Item(
            "high-pressure cut-out",
            "What do you do about the high-pressure cut-out?",
            CHOICE,
            "fit",
            points=1,
            choices=ACTIONS,
            hint="Is there one? Does it act before the relief device vents?",
        ),
        Item(
            "missing on the label",
            "What does the draft of the label still lack?",
            CHOICE,
            "nothing",
            points=1,
            choices=LABEL_CHOICES,
            hint="Go through the fields of the regulation one by one.",
        ),
        Item(
            "CO2 equivalent of the leaks",
            "How much CO2 equals the leaks of the other machine, by the fifth assessment report (AR5)?",
            "mass",
            "900 kg",
            points=2,
            hint="All that was added, in kg, times the AR5 warming potential of that refrigerant.",
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "high side with R-134a",
    "change in cooling capacity",
    "starting charge",
    "new low-pressure setting",
    "hoses",
    "oil",
    "CO2 equivalent of the leaks",
)
