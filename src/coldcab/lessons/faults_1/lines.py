"""The graded form of lesson faults-1."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.faults_1.numbers import PARTS, draw_case
from coldcab.service.controls import CLUTCH, COMPRESSOR, FIN_SWITCH, HIGH_SWITCH, LOW_SWITCH, NEITHER

NO_SWITCH = "none of them"
NOTHING, THE_SWITCH, THE_CIRCUIT = "nothing", "the switch", "the refrigerant circuit"

FORM = Assignment(
    name="faults-1",
    title="The clutch and the controls",
    minutes=40,
    draw=draw_case,
    items=(
        Item(
            "coil resistance hot",
            "First machine: what resistance has the coil at work?",
            "resistance",
            "4.6 ohm",
            points=2,
            hint="Copper: cold ohms times (234.5 + hot) over (234.5 + cold), both in degrees C.",
        ),
        Item(
            "current cold",
            "What current would the coil draw at 68 F with the full battery voltage across it?",
            "electric current",
            "3.8 A",
            points=1,
            hint="Ohm's law with the cold coil and the battery.",
        ),
        Item(
            "current hot",
            "What current flows at work?",
            "electric current",
            "2.5 A",
            points=2,
            hint="The voltage between the coil's own two terminals over its hot resistance.",
        ),
        Item(
            "voltage lost",
            "How much of the battery's voltage does the coil not get?",
            "voltage",
            "1.90 V",
            points=1,
            hint="Battery less what stands between the coil's two terminals.",
        ),
        Item(
            "part that takes it",
            "Which part takes most of it?",
            CHOICE,
            "thermostat",
            points=1,
            choices=PARTS,
            hint="Go along the readings until one is much lower than the one before. Do not stop at the coil.",
        ),
        Item(
            "voltage across it",
            "What would a meter show across that part?",
            "voltage",
            "1.62 V",
            points=1,
            hint="The reading before it less the reading behind it.",
        ),
        Item(
            "its resistance",
            "How much resistance has that part?",
            "resistance",
            "0.65 ohm",
            points=2,
            hint="The voltage across it over the current that flows.",
        ),
        Item(
            "switch that opened",
            "Second machine: which switch dropped the clutch out?",
            CHOICE,
            LOW_SWITCH,
            points=2,
            choices=(LOW_SWITCH, HIGH_SWITCH, FIN_SWITCH, NO_SWITCH),
            hint="Compare each reading with its own set point.",
        ),
        Item(
            "what to replace",
            "Third machine: what do you replace?",
            CHOICE,
            NEITHER,
            points=2,
            choices=(CLUTCH, COMPRESSOR, NEITHER),
            hint="Compressor first, then switches and voltage, then the coil.",
        ),
        Item(
            "heat of slipping",
            "Fourth machine: how much heat does the slipping clutch make?",
            "power",
            "600 W",
            points=1,
            hint="The share of the turns that is lost, times the power of the belt.",
        ),
        Item(
            "wire across repairs",
            "The high-pressure switch opened at its set point. You put a wire across it and the cab gets cold. What "
            "have you repaired?",
            CHOICE,
            THE_SWITCH,
            points=1,
            choices=(THE_SWITCH, NOTHING, THE_CIRCUIT),
            hint="Ask what drove the head to the set point.",
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "coil resistance hot",
    "current hot",
    "voltage lost",
    "part that takes it",
    "voltage across it",
    "its resistance",
    "switch that opened",
)
