"""The graded form of lesson retrofit-2."""

from coldcab.assess.items import LIST, Assignment, Item
from coldcab.lessons.retrofit_2.numbers import LETTERS, RISE_LETTERS, draw_case

RISE_HINT = "Look at the steps between the readings: equal, shrinking to nothing, or shrinking to a steady step?"

FORM = Assignment(
    name="retrofit-2",
    title="Clean, tight and dry",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "old oil left",
            "Which share of the old oil is still inside after the last flush?",
            "fraction",
            "2.4 %",
            rows=("flush",),
            hint="Each flush leaves what stays inside, over all that was inside. Multiply the shares.",
        ),
        Item(
            "parts to flush",
            "The compressor shed metal. Which parts on the bench are flushed, not replaced? Letters, with commas.",
            LIST,
            "A",
            points=2,
            choices=LETTERS,
            hint="A flush reaches what it flows through; it must also come out again.",
        ),
        Item(
            "stop at once",
            "In which scenes do you stop the work at once? Letters, with commas.",
            LIST,
            "A",
            points=3,
            choices=LETTERS,
            safety=True,
            hint="What could burst, burn, explode, choke somebody or ruin the compressor? Read the caution again.",
        ),
        Item(
            "gauge of a tight circuit",
            "What would the gauge show in the morning if the circuit were tight?",
            "pressure",
            "152.3 psig",
            rows=("nitrogen in",),
            hint="Absolute pressure and absolute temperature keep their ratio. Then go back to the gauge.",
        ),
        Item(
            "fall not explained",
            "How much of the fall overnight does the temperature not explain?",
            "pressure difference",
            "2.5 psi",
            rows=("nitrogen in",),
            hint="From what a tight circuit would show to what the gauge shows.",
        ),
        Item(
            "water boils below",
            "Below which absolute pressure does water boil in the machine on the pump, at its temperature?",
            "pressure",
            "12,000 micron",
            rows=("on the pump",),
            hint="Look it up at the machine's temperature; between two rows go in proportion.",
        ),
        Item(
            "pressure in the machine",
            "What is the absolute pressure in the machine on the pump?",
            "pressure",
            "1.7 inHg abs",
            rows=("on the pump",),
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
        Item(
            "rises that leak",
            "Which rises show a leak, alone or with water? Letters, with commas.",
            LIST,
            "A",
            points=2,
            choices=RISE_LETTERS,
            hint=RISE_HINT,
        ),
        Item(
            "rises that are wet",
            "Which rises show water, alone or with a leak? Letters, with commas.",
            LIST,
            "A",
            points=2,
            choices=RISE_LETTERS,
            hint=RISE_HINT,
        ),
        Item(
            "ready to charge",
            "After which notes may the machine be charged? The drier is new unless the note says otherwise. "
            "Letters, with "
            "commas.",
            LIST,
            "A",
            points=2,
            choices=LETTERS,
            hint="Only a micron gauge, away from the pump and with its valve shut, proves tight and dry.",
        ),
    ),
)

PRACTICE = FORM.practice(
    20,
    "old oil left",
    "parts to flush",
    "stop at once",
    "gauge of a tight circuit",
    "fall not explained",
    "water boils below",
    "pressure in the machine",
    "rises that leak",
    "rises that are wet",
    "ready to charge",
    unasked=("wet machine",),
)
