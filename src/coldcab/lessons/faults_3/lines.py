"""The graded form of lesson faults-3."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.faults_3.evidence import SUSPECTS
from coldcab.lessons.faults_3.numbers import LETTERS, draw_case

_SITUATION = "Cross out what reads the same with both suspects. Of what is left take the one with the fewest minutes."


_READINGS = ("machine m", "last 40", "first reading", "second reading")
"""Numbers of machine M, by how their names begin."""


def _situation(number: int) -> Item:
    return Item(
        f"situation {number}",
        f"Situation {number}: which of the six tells the two suspects apart at the least time?",
        CHOICE,
        "A",
        points=2,
        choices=tuple(LETTERS),
        hint=_SITUATION,
    )


def _decision(letter: str) -> Item:
    return Item(
        f"decision {letter}",
        f"Machine {letter}: stop here and repair, or go on and test, and why? Take the decision with its reason.",
        CHOICE,
        "A",
        points=2,
        choices=tuple(LETTERS),
        hint="Compare the test's minutes with those wasted on average without it. What opens the circuit is tested.",
    )


FORM = Assignment(
    name="faults-3",
    title="Evidence",
    minutes=50,
    draw=draw_case,
    items=(
        *(_situation(number) for number in (1, 2, 3, 4)),
        Item(
            "after the first reading",
            "Machine M: how probable is the suspect asked for after the first reading?",
            "fraction",
            "37 %",
            points=2,
            rows=_READINGS,
            hint="Number in the book times share, for each suspect. Then divide the one asked for by the sum.",
        ),
        Item(
            "after both readings",
            "Machine M: how probable is it after both readings? Take them as independent.",
            "fraction",
            "37 %",
            points=2,
            rows=_READINGS,
            hint="Number in the book times both shares, for each suspect. Then divide the one asked for by the sum.",
        ),
        Item(
            "most likely now",
            "Machine M: which suspect is the most probable after both readings?",
            CHOICE,
            SUSPECTS[0],
            choices=SUSPECTS,
            rows=_READINGS,
            hint="The largest of the three products wins.",
        ),
        Item(
            "a further reading",
            "Machine M: what does the further reading do to the probability of the suspect asked for, and why?",
            CHOICE,
            "A",
            points=2,
            choices=tuple(LETTERS),
            rows=(*_READINGS, "a further one", "further"),
            hint="Only evidence of a new kind counts. Multiply the products by it: does its part of the sum grow?",
        ),
        Item(
            "wasted on average",
            "Machine P: how many minutes of repair are wasted on average if you repair without the test?",
            "time",
            "25 min",
            points=2,
            hint="Chance that it is something else, times the minutes of the repair.",
        ),
        _decision("P"),
        _decision("Q"),
    ),
)

PRACTICE = FORM.practice(
    30,
    "situation 1",
    "situation 2",
    "situation 3",
    "situation 4",
    "after the first reading",
    "after both readings",
    "most likely now",
    "a further reading",
    "wasted on average",
    "decision P",
)
