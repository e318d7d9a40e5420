"""The graded form of lesson faults-1."""

from coldcab.assess.items import CHOICE, LIST, Assignment, Item
from coldcab.lessons.faults_1.numbers import LETTERS, NO_PART, PAIR_LETTERS, PARTS, draw_case
from coldcab.words import _

LOW_WORKS, HIGH_WORKS, FINS_WORK = (
    _("low pressure, switch sound"),
    _("high pressure, switch sound"),
    _("cold fins, thermostat sound"),
)
BAD_SWITCH, BAD_THERMOSTAT, BAD_FAN = _("pressure switch bad"), _("thermostat bad"), _("fan contact bad")
COMPRESSOR_TOO, FIND_CAUSE, REPAIR_WIRING = (
    _("compressor and clutch"),
    _("find what opened the switch"),
    _("repair the wiring"),
)
NEW_CLUTCH, SET_GAP, LEAVE_IT = _("clutch alone"), _("set the air gap"), _("leave the clutch as it is")

FORM = Assignment(
    name="faults-1",
    title="Wires of today: the clutch and the controls",
    minutes=50,
    draw=draw_case,
    items=(
        Item(
            "coil resistance hot",
            "Machine A: what is the resistance of the clutch coil at work?",
            "resistance",
            "4.6 ohm",
            points=2,
            hint="Cold ohms times (390 + F hot) over (390 + F cold).",
        ),
        Item(
            "current hot",
            "Machine A: what current flows through the clutch coil?",
            "electric current",
            "2.5 A",
            points=2,
            hint="The voltage between the coil's own two terminals over its hot resistance.",
        ),
        Item(
            "voltage lost",
            "Machine A: how much of the battery's voltage does the coil not get?",
            "voltage",
            "1.90 V",
            points=1,
            rows=("machine a", "battery", "relay", "behind", "clutch feed", "clutch ground", "engine block"),
            hint="Feed side and ground side together.",
        ),
        Item(
            "part that takes it",
            "Machine A: which part drops more than it may?",
            CHOICE,
            PARTS[2],
            points=2,
            rows=("machine a", "battery", "relay", "behind", "clutch feed", "clutch ground", "engine block"),
            choices=(*PARTS, NO_PART),
            hint="Each part stands between two neighboring points. Go on past the coil to battery minus.",
        ),
        Item(
            "next points, machine B",
            "Machine B: which two points do you measure next?",
            CHOICE,
            "D",
            points=2,
            choices=PAIR_LETTERS,
            hint="Which circuit is it? Which parts are still suspects? Measure in the middle of them.",
        ),
        Item(
            "next points, machine C",
            "Machine C: which two points do you measure next?",
            CHOICE,
            "D",
            points=2,
            choices=PAIR_LETTERS,
            hint="Which circuit is it? Which parts are still suspects? Measure in the middle of them.",
        ),
        Item(
            "drops too high",
            "Which of the eight drops are too high? Letters, with commas.",
            LIST,
            "A, C",
            points=3,
            choices=LETTERS,
            hint="A connection may drop 0.1 V, switch contacts 0.3 V.",
        ),
        Item(
            "pressure by the sensor",
            "What pressure does the sensor report?",
            "pressure",
            "145 psig",
            points=2,
            rows=("pressure sensor",),
            hint="Signal over supply first. A tenth means 0 psig, and eight tenths are the whole range.",
        ),
        Item(
            "what is open and why",
            "Machine D: which finding is right?",
            CHOICE,
            LOW_WORKS,
            points=2,
            choices=(LOW_WORKS, HIGH_WORKS, FINS_WORK, BAD_SWITCH, BAD_THERMOSTAT, BAD_FAN),
            hint="Battery voltage stands across what is open. Should it be open at this reading?",
        ),
        Item(
            "what to do",
            "Machine E: what do you do?",
            CHOICE,
            NEW_CLUTCH,
            points=2,
            choices=(COMPRESSOR_TOO, FIND_CAUSE, REPAIR_WIRING, NEW_CLUTCH, SET_GAP, LEAVE_IT),
            hint="Compressor, switches, volts under load, coil corrected for temperature, gap. In this order.",
        ),
        Item(
            "notes that prove it",
            "Which notes prove what they say? Letters, with commas.",
            LIST,
            "A, C",
            points=3,
            choices=LETTERS,
            hint="Ask of each: was there current? Should the switch be open? What else gives the same reading?",
        ),
        Item(
            "plans to refuse",
            "Which plans do you refuse? Letters, with commas.",
            LIST,
            "A, C",
            points=3,
            choices=LETTERS,
            hint="Refuse what takes away a protection, and what brings hands near a belt that can turn.",
            safety=True,
        ),
    ),
)

PRACTICE = FORM.practice(
    20,
    "coil resistance hot",
    "current hot",
    "part that takes it",
    "next points, machine B",
    "next points, machine C",
    "drops too high",
    "pressure by the sensor",
    "what is open and why",
    "what to do",
    "notes that prove it",
    "plans to refuse",
)
