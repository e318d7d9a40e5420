"""The graded form of the capstone."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.capstone.numbers import FOUND, LABEL_FIELDS, draw_case

FORM = Assignment(
    name="capstone",
    title="Rebuild",
    minutes=90,
    draw=draw_case,
    items=(
        Item(
            "cause", "As found: which fault do the readings fit?", CHOICE, "charge low", points=3, choices=FOUND,
            hint="Both gauges, the superheat and the glass together, beside the healthy machine of the day.",
        ),
        Item(
            "condenser", "The condenser: what does the debris ask for? (Its old oil comes out anyway.)", CHOICE,
            "rinse it", points=2,
            choices=("keep it", "rinse it", "replace it"),
            hint="Is there debris? And has the condenser one path or many?",
        ),
        Item(
            "net fill allowed", "What net mass of R-12 may the cylinder hold at most?", "mass", "24 lb", points=3,
            hint="80 % of the water capacity, times the specific gravity of the refrigerant.",
        ),
        Item(
            "CO2 equivalent of the leak", "What has leaked: how much carbon dioxide does it equal (AR5)?", "mass",
            "12,000 lb", points=2, hint="Data sheet less what was recovered, times the potential of the refrigerant.",
        ),
        Item(
            "oil to add", "How much new oil must still go in, so that the data sheet's total is inside?", "volume",
            "3.5 fl oz", points=4,
            hint="Count what left, line by line, what stays on the walls, and what the new compressor brought.",
        ),
        Item(
            "gauge next morning", "If it is tight: what does the nitrogen gauge show next morning?", "pressure",
            "141 psig", points=3, hint="Absolute pressure follows absolute temperature. Then say it as a gauge again.",
        ),
        Item(
            "vacuum to boil water",
            "How far down must a vacuum gauge in this yard go before water at the test day's temperature just boils?",
            "pressure difference", "23.5 inHg", points=3,
            hint="This yard's air pressure less the vapor pressure of water at that temperature.",
        ),
        Item(
            "charge by density", "How much R-134a fills the same liquid volume as the R-12 charge (at 113 F)?", "mass",
            "30 oz", points=3, hint="The ratio of the liquid densities at one temperature.",
        ),
        Item(
            "cans to open", "How many cans must be opened for that charge?", "ratio", "4", points=2,
            hint="Each can keeps its heel, and the hose keeps its own.",
        ),
        Item(
            "last can", "By how much has the last can become lighter when you shut it?", "mass", "5.5 oz", points=2,
            hint="Charge and hose, less what the cans before it gave.",
        ),
        Item(
            "acceptance", "As left: what do you do?", CHOICE, "hand it over", points=3,
            choices=("hand it over", "look for lost charge", "look at the condenser's air"),
            hint="Put the healthy machine of the test day beside the readings: bench or planner.",
        ),
        Item(
            "missing on the label", "What does the label lack?", CHOICE, "date", points=2, choices=LABEL_FIELDS,
            hint="The regulation names six points: who, when, what and how much, which oil and how much, and warnings.",
        ),
    ),
)  # fmt: skip

PRACTICE = FORM.practice(
    40,
    "cause",
    "net fill allowed",
    "oil to add",
    "gauge next morning",
    "charge by density",
    "last can",
    "acceptance",
)
