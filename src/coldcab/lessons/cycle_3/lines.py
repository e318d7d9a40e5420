"""The graded form of lesson cycle-3."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.cycle_3.numbers import draw_case

FORM = Assignment(
    name="cycle-3",
    title="The air side",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "dew point",
            "What is the dew point of the air outside?",
            "temperature",
            "68 F",
            points=2,
            hint="Set the altitude and the dry bulb on the chart, move the humidity until the wet bulb agrees, then "
            "go straight left to the outer curve.",
        ),
        Item(
            "humidity ratio",
            "How much water does the air outside hold?",
            "humidity ratio",
            "104 grains/lb",
            points=2,
            hint="Set the yard's altitude first. Read it on the right of the chart, straight across from the state.",
        ),
        Item(
            "vent temperature",
            "The heater is shut. How cold is the air that leaves the coil?",
            "temperature",
            "46 F",
            points=2,
            hint="Part of the air passes untouched, so the air leaves warmer than the surface.",
        ),
        Item(
            "heat taken by the coil",
            "How much heat does the coil take from its air, all in all?",
            "power",
            "18,000 Btu/h",
            points=2,
            hint="Dry air that flows, times the difference of the two enthalpies; the chart adds it up.",
        ),
        Item(
            "latent share",
            "Which share of that heat makes water?",
            "fraction",
            "34 %",
            points=2,
            hint="Latent heat over all of the heat.",
        ),
        Item(
            "condensate rate",
            "How much water runs off the coil?",
            "mass flow",
            "6.1 lb/h",
            points=2,
            hint="Dry air that flows, times the difference of the two humidity ratios; 7,000 grains make a pound.",
        ),
        Item(
            "fresh air load",
            "How much heat does the fresh air bring into the cab, water included?",
            "power",
            "3,100 Btu/h",
            points=2,
            hint="Pounds of dry air an hour, times the enthalpy outside minus the enthalpy wanted inside.",
        ),
        Item(
            "cab load",
            "How much heat must the coil carry away to hold the cab as wanted?",
            "power",
            "15,000 Btu/h",
            points=2,
            hint="Add walls, sun, engine, driver with moisture, blower and fresh air.",
        ),
        Item(
            "filter half blocked",
            "The cab filter is half blocked. What do the vents and the cab do?",
            CHOICE,
            "both warmer",
            points=1,
            choices=("both warmer", "vents colder and cab warmer", "both colder"),
            hint="Move the filter lever of the cab and read both lines of the table.",
        ),
        Item(
            "condenser half blocked",
            "Chaff blocks half of the condenser. Which reading changes most?",
            CHOICE,
            "low side falls",
            points=1,
            choices=("low side falls", "water from the coil rises", "high side rises"),
            hint="Ask which part gives its heat to that air.",
        ),
        Item(
            "blower turned up",
            "On a hot day with fresh air the blower goes from half to full. What comes out of it?",
            CHOICE,
            "twice the heat taken",
            points=1,
            choices=("twice the heat taken", "more heat taken and vents colder", "more heat taken and vents warmer"),
            hint="Open the fresh air of the cab, then move the blower and read the vents and the heat taken.",
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "dew point",
    "humidity ratio",
    "vent temperature",
    "heat taken by the coil",
    "latent share",
    "condensate rate",
    "filter half blocked",
)
