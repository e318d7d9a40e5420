"""The graded form of the capstone: one job, its lines in the job's order."""

from coldcab.assess.items import CHOICE, LIST, Assignment, Item
from coldcab.lessons.capstone.numbers import LETTERS, SIX, draw_case
from coldcab.lessons.capstone.texts import CAUSES

NEXT = (
    "charge it",
    "nitrogen and soap",
    "pump on, warm it",
    "check pump and hoses",
    "test one more night",
    "fit a micron gauge",
)
LEAVES = (
    "hand it over",
    "add refrigerant",
    "take refrigerant out",
    "pump out and recharge",
    "clear condenser fins",
    "clean valve screen",
)

FORM = Assignment(
    name="capstone",
    title="Rebuild",
    minutes=75,
    draw=draw_case,
    items=(
        Item(
            "line that hurts", "Which line of the plan can hurt somebody?", CHOICE, "C", points=2, choices=LETTERS,
            hint="Ask of each line: what gives way, burns, moves or poisons if it goes wrong?", safety=True,
        ),
        Item(
            "recovery unit", "Which recovery unit takes out what the identifier shows?", CHOICE, "B", points=2,
            rows=("identifier", "unit"), choices=SIX, hint="One refrigerant or a mixture? And does any of it burn?",
            safety=True,
        ),
        Item(
            "cause", "As found: which fault do the readings fit?", CHOICE, CAUSES[0], points=2,
            rows=("as found", "healthy one same day"), choices=CAUSES,
            hint="Put each reading beside the healthy machine of the same day, the night's rest too.",
        ),
        Item(
            "leak for the quote", "Which place goes on the quote as the leak?", CHOICE, "D", points=2, choices=SIX,
            hint="Proof comes again when you repeat it, and nothing else explains it.",
        ),
        Item(
            "parts that go", "Which of parts A to H must be replaced? Letters, with commas.", LIST, "A, D", points=3,
            choices=LETTERS, hint="What is broken, what cannot be cleaned, and what has taken up the shop's air?",
        ),
        Item(
            "parts to flush", "Which of parts A to H are flushed and stay? Letters, with commas.", LIST, "B, F",
            points=3, choices=LETTERS,
            hint="An open path, sound, with metal or the wrong oil in it. Never a drier, never a valve.",
        ),
        Item(
            "oil to add", "How much oil must still go in, so that the data sheet's total is inside?", "volume",
            "3.5 fl oz", points=3, rows=("oil",),
            hint="Data sheet, less what stayed on the walls, less what the new compressor brought.",
        ),
        Item(
            "test pressure", "What is the highest nitrogen pressure for this circuit?", "pressure", "200 psig",
            points=2,
            rows=("plates",), hint="All parts feel the same pressure. Which plate gives in first?", safety=True,
        ),
        Item(
            "after the pump", "Night and pump are over. What do you do next?", CHOICE, NEXT[0], points=3,
            rows=("nitrogen", "pump"), choices=NEXT,
            hint="First the night: does the cold explain the fall? Then the micron readings: line, plateau, or none?",
        ),
        Item(
            "scale at the stop", "What does the scale show when you stop to take the first readings?", "mass", "360 oz",
            points=2,
            rows=("charge", "scale"),
            hint="Cylinder, less the charge to start with, less what stays in the hose. A conversion starts at 80 %.",
        ),
        Item(
            "as left", "The machine as left: what do you do?", CHOICE, LEAVES[1], points=3,
            rows=("as left", "healthy one charged"), choices=LEAVES,
            hint="Beside the healthy machine: the night's rest first, then glass, then the condenser's air.",
        ),
        Item(
            "label lines to redo", "Which label lines must be written again? Brackets stand for what is written out "
            "there. Letters, with commas.", LIST, "B, C",
            points=3, choices=LETTERS, hint="A stranger must be able to service it from the label alone.",
        ),
        Item(
            "sentence to strike", "Which sentence do you strike from the owner's copy?", CHOICE, "A", points=2,
            choices=SIX, hint="What does nobody know, and what would harm him if he believed it?",
        ),
    ),
)  # fmt: skip

PRACTICE = FORM.practice(
    40,
    "line that hurts",
    "recovery unit",
    "cause",
    "leak for the quote",
    "parts that go",
    "parts to flush",
    "oil to add",
    "after the pump",
    "as left",
    "label lines to redo",
    "sentence to strike",
    unasked=("plates", "charge", "scale"),
)
