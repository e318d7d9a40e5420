"""The graded form of lesson retrofit-2."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.retrofit_2.numbers import draw_case

KINDS_OF_RISE = ("tight", "leak", "moisture", "moisture and a leak")
RISE_HINT = "Look at the steps between the readings: equal, shrinking to nothing, or shrinking to a steady step?"

FORM = Assignment(
    name="retrofit-2",
    title="Clean, tight and dry",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "rinses needed",
            "How many rinses leave no more of the old oil than may stay?",
            "ratio",
            "6",
            points=2,
            hint="Each rinse leaves what stays inside, over all that was inside. Multiply, and count whole rinses.",
        ),
        Item(
            "part that may be rinsed",
            "Which of the four parts on the bench may be rinsed?",
            CHOICE,
            "accumulator",
            choices=(
                "serpentine condenser",
                "metal line",
                "parallel-flow condenser",
                "receiver-drier",
                "accumulator",
                "compressor",
            ),
            hint="A rinse reaches what it flows through; it must also come out again.",
        ),
        Item(
            "test gas",
            "What do you put the circuit under pressure with?",
            CHOICE,
            "shop air",
            choices=("shop air", "dry nitrogen", "oxygen"),
            hint="It must not burn, must not feed a fire, and must bring no water.",
        ),
        Item(
            "gauge of a tight circuit",
            "What would the gauge show in the morning if the circuit were tight?",
            "pressure",
            "152.3 psig",
            points=2,
            hint="Absolute pressure and absolute temperature keep their ratio. Then go back to the gauge.",
        ),
        Item(
            "fall not explained",
            "How much of the fall overnight does the temperature not explain?",
            "pressure difference",
            "2.5 psi",
            points=2,
            hint="From what a tight circuit would show to what the gauge shows.",
        ),
        Item(
            "water boils below",
            "Below which absolute pressure does water boil in the machine on the pump, at its temperature?",
            "pressure",
            "12,000 micron",
            points=2,
            hint="Look it up at the machine's temperature; between two rows go in proportion.",
        ),
        Item(
            "pressure in the machine",
            "What is the absolute pressure in the machine on the pump?",
            "pressure",
            "1.7 inHg abs",
            points=2,
            hint="A vacuum gauge counts down from the air pressure of its own place.",
        ),
        Item(
            "time to dry",
            "How long until the free water of the wet machine is gone?",
            "time",
            "55 min",
            points=2,
            hint="Set the pump-down to your machine and move the minutes until the water is gone.",
        ),
        Item("first rise", "What does the first rise say?", CHOICE, "leak", choices=KINDS_OF_RISE, hint=RISE_HINT),
        Item("second rise", "What does the second rise say?", CHOICE, "leak", choices=KINDS_OF_RISE, hint=RISE_HINT),
        Item("third rise", "What does the third rise say?", CHOICE, "leak", choices=KINDS_OF_RISE, hint=RISE_HINT),
    ),
)

PRACTICE = FORM.practice(
    15,
    "rinses needed",
    "gauge of a tight circuit",
    "fall not explained",
    "water boils below",
    "pressure in the machine",
    "first rise",
    "second rise",
)
