"""The graded form of lesson faults-2."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.faults_2.numbers import HEAD_CULPRITS, LOW_SIDE_CULPRITS, draw_case

WAYS = ("stays the same", "falls", "rises")
_DOUBT = "Less than the instrument's doubt counts as staying: about 1 psi low, 4 psi high, 3 F."


def _way(label: str, prompt: str) -> Item:
    return Item(
        label, prompt, CHOICE, "stays the same", choices=WAYS, hint=f"Set the fault to 80 % on the bench. {_DOUBT}"
    )


FORM = Assignment(
    name="faults-2",
    title="Signatures",
    minutes=50,
    draw=draw_case,
    items=(
        _way("fault 1, low side", "Fault 1: what does the low side do, against the healthy machine of the day?"),
        _way("fault 1, high side", "Fault 1: what does the high side do?"),
        _way("fault 1, superheat", "Fault 1: what does the superheat by gauge and clip do?"),
        _way("fault 2, low side", "Fault 2: what does the low side do?"),
        _way("fault 2, high side", "Fault 2: what does the high side do?"),
        _way("fault 2, vent air", "Fault 2: what does the air at the vent do?"),
        Item(
            "high side above healthy",
            "The machine with the blocked condenser: by how much is its high side above the healthy one's?",
            "pressure difference",
            "42 psi",
            points=2,
            hint="Put the healthy machine on the bench: same unit, same day, same speed. Then take the difference.",
        ),
        Item(
            "worst drier",
            "Machines A, B and C all have a restricted drier. Whose is the worst?",
            CHOICE,
            "A",
            points=2,
            choices=("A", "B", "C"),
            hint="A restriction makes a step in temperature. Compare the steps, not the words of the owners.",
        ),
        Item(
            "complaint D",
            "Complaint D: is it the circuit or the cab?",
            CHOICE,
            "the cab",
            points=2,
            choices=("the circuit", "the cab"),
            hint="Compare gauges and lines with the healthy machine first, then the air through the coil.",
        ),
        Item(
            "complaint E",
            "Complaint E: is it the circuit or the cab?",
            CHOICE,
            "the circuit",
            points=2,
            choices=("the circuit", "the cab"),
            hint="Compare gauges and lines with the healthy machine first, then the air through the coil.",
        ),
        Item(
            "low side suspect",
            "Machine F: which fault do its readings fit?",
            CHOICE,
            "charge low",
            points=2,
            choices=LOW_SIDE_CULPRITS,
            hint="All three make the low side low. Look at the glass and at both ends of the drier together.",
        ),
        Item(
            "high side suspect",
            "Machine G: which fault do its readings fit?",
            CHOICE,
            "air in the circuit",
            points=2,
            choices=HEAD_CULPRITS,
            hint="All four make the head high. One warms the air at the face, one the air behind, one stays overnight.",
        ),
    ),
)

PRACTICE = FORM.practice(
    20,
    "fault 1, low side",
    "fault 1, high side",
    "fault 1, superheat",
    "high side above healthy",
    "worst drier",
    "complaint D",
    "low side suspect",
)
