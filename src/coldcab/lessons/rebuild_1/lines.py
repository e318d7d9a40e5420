"""The graded form of lesson rebuild-1."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.rebuild_1.numbers import LETTERS, draw_case
from coldcab.service.compressor_swap import DEATHS

LEADS_TO = (
    "air gets in",
    "pumps backward",
    "too much oil",
    "a ring leaks",
    "a reed breaks",
    "bearing wears out",
    "liquid comes back",
    "vapor at valve",
)

FORM = Assignment(
    name="rebuild-1",
    title="The compressor comes out and the new one goes in",
    minutes=40,
    draw=draw_case,
    items=(
        Item(
            "cause of death",
            "Why did the old compressor die?",
            CHOICE,
            DEATHS[1].name,
            points=2,
            choices=tuple(one.name for one in DEATHS),
            hint="Take all four signs together; one of them alone fits several causes.",
        ),
        Item(
            "work beside it",
            "Which work must go with the new compressor, so that it does not die the same way?",
            CHOICE,
            DEATHS[2].work,
            points=2,
            choices=tuple(one.work for one in DEATHS),
            hint="What killed the old one is still in the machine. Which work takes that away?",
        ),
        Item(
            "offset allowed",
            "How far may the pulley stand out of line over this free span?",
            "length",
            "0.11 in",
            hint="A sixteenth of an inch for each foot of span.",
        ),
        Item(
            "times too tight",
            "How many times the wanted tension has this belt?",
            "ratio",
            "1.4",
            points=2,
            hint="Tension is push times span over four times what it gives. Then divide by the wanted one.",
        ),
        Item(
            "bearing life left",
            "Which share of its life does the pulley bearing have at that tension?",
            "fraction",
            "35 %",
            points=2,
            hint="The load is as many times too high as the tension; life falls with its third power.",
        ),
        Item(
            "oil into the new compressor",
            "How much oil goes into the new compressor of the other job, which is empty now?",
            "volume",
            "3.6 fl oz",
            points=2,
            hint="What left goes back: with the old compressor, with the gas, with the old drier.",
        ),
        Item(
            "ring squeeze",
            "By which share is the O-ring pressed flat in its closed joint?",
            "fraction",
            "22 %",
            hint="What is pressed away, over the cord as it was.",
        ),
        Item(
            "ring that fits",
            "Which ring on the bench belongs into the joint of the manual?",
            CHOICE,
            "C",
            points=2,
            choices=LETTERS[:6],
            hint="Size, cord, rubber and state must all be right.",
        ),
        Item(
            "wrong line of the log",
            "Which line of the other shop's log is wrong?",
            CHOICE,
            "E",
            points=2,
            choices=LETTERS,
            hint="Go through the job in its order and ask of each line what it leads to.",
        ),
        Item(
            "what it leads to",
            "What does that wrong line lead to?",
            CHOICE,
            LEADS_TO[2],
            points=2,
            choices=LEADS_TO,
            hint="Try that mistake on the swap bench: at the start and after a week. Caps: see the order of opening.",
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "cause of death",
    "work beside it",
    "offset allowed",
    "times too tight",
    "oil into the new compressor",
    "ring squeeze",
    "ring that fits",
    "wrong line of the log",
    "what it leads to",
)
