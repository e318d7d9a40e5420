"""The graded form of lesson cycle-4."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.cycle_4.numbers import draw_case

OPENS, CLOSES, STAYS = MOVES = ("it opens", "it closes", "it stays")


def _disturbance(letter: str) -> Item:
    return Item(
        f"valve after {letter}",
        f"Disturbance {letter}: what does the valve do first?",
        CHOICE,
        OPENS,
        points=1,
        choices=MOVES,
        hint="Ask which of the three forces has changed: bulb, evaporator or spring.",
    )


FORM = Assignment(
    name="cycle-4",
    title="The valve, superheat and subcooling",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "superheat at the coil",
            "How much superheat does the bulb find?",
            "temperature difference",
            "13.5 F",
            points=2,
            hint="Temperature beside the bulb minus saturation at the coil's own pressure, not at the compressor's.",
        ),
        Item(
            "subcooling before the valve",
            "How far is the liquid below saturation where the valve takes it?",
            "temperature difference",
            "5.0 F",
            points=2,
            hint="Saturation at the pressure before the valve minus the liquid line's temperature.",
        ),
        Item(
            "bulb pressure",
            "What pressure does the bulb put on the diaphragm?",
            "pressure",
            "44 psig",
            points=2,
            hint="The bulb holds liquid and vapor, so its temperature sets its pressure.",
        ),
        Item(
            "spring",
            "The valve stands still. How much of that pressure does the spring take?",
            "pressure difference",
            "9.5 psi",
            points=2,
            hint="What opens equals what closes: bulb = evaporator + spring, all at the coil's outlet.",
        ),
        *(_disturbance(letter) for letter in "ABCD"),
        Item(
            "bulb off the pipe",
            "The bulb hangs in the warm engine bay. What will you read?",
            CHOICE,
            "readings stay",
            points=1,
            choices=("superheat rises", "superheat falls", "readings stay"),
            hint="The bulb reports a line that is far too warm.",
        ),
        Item(
            "clear glass",
            "The glass behind the drier is clear. What does that prove?",
            CHOICE,
            "no vapor at the valve",
            points=1,
            choices=("the charge is right", "no vapor at the valve", "no vapor at the glass"),
            hint="Overfill the machine, then close the line behind the glass, and look at it both times.",
        ),
        Item(
            "bubbles and high superheat",
            "The glass bubbles and superheat is high. What comes next?",
            CHOICE,
            "turn the stem out",
            points=1,
            choices=("turn the stem out", "find the leak and weigh", "fill until it clears"),
            hint="Ask what the valve gets to work with.",
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "superheat at the coil",
    "subcooling before the valve",
    "bulb pressure",
    "valve after A",
    "valve after B",
    "bulb off the pipe",
    "clear glass",
)
