"""The graded form of lesson cycle-1."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.cycle_1.numbers import draw_case

STATES = ("superheated", "saturated", "subcooled")

FORM = Assignment(
    name="cycle-1",
    title="Pressure and temperature",
    minutes=35,
    draw=draw_case,
    items=(
        Item(
            "absolute pressure",
            "What is the absolute pressure at the gauge in the low side?",
            "pressure",
            "29.5 psia",
            points=2,
            hint="Find the air pressure of the yard's altitude first. A gauge counts from there.",
        ),
        Item(
            "absolute pressure during evacuation",
            "What absolute pressure does the compound gauge mean?",
            "pressure",
            "9.5 inHg abs",
            points=2,
            hint="A vacuum gauge counts down from the air pressure of the day. Work in one unit, inHg.",
        ),
        Item(
            "R-12 saturation temperature",
            "Suppose the low side holds R-12. What is the saturation temperature at the reading?",
            "temperature",
            "15 F",
            points=2,
            hint="Absolute pressure first, then the saturation table of R-12.",
        ),
        Item(
            "R-134a saturation temperature",
            "Suppose the high side holds R-134a. What is the saturation temperature at the reading?",
            "temperature",
            "130 F",
            points=2,
            hint="Absolute pressure first, then the saturation table of R-134a.",
        ),
        *(
            Item(
                f"state at {letter}",
                f"What is in the line at point {letter}?",
                CHOICE,
                "saturated",
                points=1,
                choices=STATES,
                hint="Take that place's gauge to absolute with this yard's air pressure, look up saturation, compare.",
            )
            for letter in "ABC"
        ),
        Item(
            "air pressure in the cylinder",
            "How much pressure in the cylinder comes from air?",
            "pressure difference",
            "18 psi",
            points=2,
            hint="Take the table's pressure at the cylinder's temperature from what is really in it, both absolute.",
        ),
        Item(
            "air share of the gas",
            "What share of the gas above the liquid is air, by volume?",
            "fraction",
            "12 %",
            points=2,
            hint="The share of the gas is the share of the pressure (Dalton), absolute over absolute.",
        ),
        Item(
            "standing pressure",
            "What should the gauge on the parked machine show?",
            "pressure",
            "105 psig",
            points=2,
            hint="While liquid remains, the table alone decides. Then say it as a gauge at this altitude.",
        ),
        Item(
            "pressure after a further leak",
            "Two ounces more leak out at the same temperature; liquid is still left. What does the gauge do?",
            CHOICE,
            "it falls in proportion",
            points=1,
            choices=("it falls a little", "it stays the same", "it falls in proportion"),
            hint="Some liquid boils off and fills the room that was left. Try it on the container instrument.",
        ),
    ),
)

PRACTICE = FORM.practice(
    12,
    "absolute pressure",
    "absolute pressure during evacuation",
    "R-12 saturation temperature",
    "state at A",
    "state at B",
    "state at C",
    "air pressure in the cylinder",
    "standing pressure",
)
