"""The graded form of lesson faults-4."""

from coldcab.assess.items import LIST, Assignment, Item
from coldcab.lessons.faults_4.numbers import draw_case
from coldcab.scenario.clinic import BUDGET, CAUSES, PRICES

MEASUREMENTS = tuple(PRICES)
FEELING, OLD_PART = "the cab feels cold", "the old part looks bad"
"""Two things that are said to prove a repair, and do not."""
PROOF_CHOICES = (
    FEELING,
    "air at the face like the shade",
    "air behind the condenser normal",
    "both gauges normal at two speeds",
    "fan at its proper speed",
    "full air flow at the vents",
    "hub as fast as the pulley",
    "no step over the drier",
    "nothing to repair",
    "pinching the hose changes nothing",
    "standing pressure fits the table",
    "subcooling normal with the right charge",
    "superheat normal with a clear glass",
    "superheat normal with the bulb wrapped",
    "tight with the right charge",
    OLD_PART,
)


def _machine(number: int, *, gauge: bool) -> tuple[Item, ...]:
    name = f"machine {number}"
    high = Item(
        f"{name}, high side",
        f"{name.capitalize()}: how far is its high side above the healthy one? Write a minus if it is below.",
        "pressure difference",
        "17 psi",
        hint="The desk shows both gauges beside those of the healthy machine. Take the difference.",
    )
    return (
        Item(
            f"{name}, cause",
            f"{name.capitalize()}: what is wrong with it? One cause, two with a comma between them, or healthy.",
            LIST,
            CAUSES[0],
            points=3,
            choices=CAUSES,
            hint="Compare each reading with the healthy machine of the same day. What does your cause not explain?",
        ),
        Item(
            f"{name}, measurements",
            f"{name.capitalize()}: what did you measure? All of it, with commas; at most {BUDGET:g} minutes.",
            LIST,
            "gauges, shade",
            points=2,
            choices=MEASUREMENTS,
            hint="The desk writes the list for you. It must include what shows this cause and no other.",
        ),
        *((high,) if gauge else ()),
        Item(
            f"{name}, proof",
            f"{name.capitalize()}: what would prove the repair? One for each cause.",
            LIST,
            "the cab feels cold",
            choices=PROOF_CHOICES,
            hint="The reading that showed the fault must be back at the healthy machine's value.",
        ),
    )


FORM = Assignment(
    name="faults-4",
    title="Clinic",
    minutes=60,
    draw=draw_case,
    items=(*_machine(1, gauge=True), *_machine(2, gauge=True), *_machine(3, gauge=False)),
)

PRACTICE = FORM.practice(
    30,
    "machine 1, cause",
    "machine 1, measurements",
    "machine 1, high side",
    "machine 1, proof",
    "machine 2, cause",
    "machine 2, measurements",
    "machine 2, high side",
    "machine 2, proof",
    "machine 3, cause",
)
