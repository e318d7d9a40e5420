"""The graded form of lesson cycle-2."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.cycle_2.numbers import draw_case

FORM = Assignment(
    name="cycle-2",
    title="The loop on the p-h chart",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "compression ratio",
            "What is the compression ratio?",
            "ratio",
            "5.2",
            points=2,
            hint="Absolute discharge pressure over absolute suction pressure.",
        ),
        Item(
            "refrigerating effect",
            "How much heat does each pound of refrigerant take up in the evaporator?",
            "specific energy",
            "61.5 Btu/lb",
            points=2,
            hint="Enthalpy leaving the evaporator minus enthalpy entering it; the valve changes no enthalpy.",
        ),
        Item(
            "compressor work",
            "How much work does the compressor put into each pound?",
            "specific energy",
            "21.0 Btu/lb",
            points=2,
            hint="Ideal work first, at constant entropy; the real compressor needs more.",
        ),
        Item(
            "cooling COP",
            "What is the coefficient of performance for cooling?",
            "ratio",
            "2.6",
            points=2,
            hint="What you want over what you pay: refrigerating effect over work.",
        ),
        Item(
            "discharge temperature",
            "What is the temperature at the compressor's outlet?",
            "temperature",
            "165 F",
            points=2,
            hint="Add the real work to the inlet enthalpy, then look up the temperature at the high pressure.",
        ),
        Item(
            "mass flow",
            "How much refrigerant goes round?",
            "mass flow",
            "310 lb/h",
            points=2,
            hint="Swept volume a second, times volumetric efficiency, times density at the compressor's inlet.",
        ),
        Item(
            "cooling capacity",
            "How much heat does the evaporator take up?",
            "power",
            "19,000 Btu/h",
            points=2,
            hint="Mass flow times refrigerating effect.",
        ),
        Item(
            "compressor power",
            "How much power goes into the refrigerant?",
            "power",
            "2.1 hp",
            points=2,
            hint="Mass flow times the real work.",
        ),
        Item(
            "heat rejected",
            "How much heat must the condenser get rid of?",
            "power",
            "25,000 Btu/h",
            points=2,
            hint="Close the balance: what comes in at the evaporator and at the compressor leaves here.",
        ),
        Item(
            "capacity on a hotter day",
            "The day gets hotter and the high side rises; all else stays. What does the cooling capacity do?",
            CHOICE,
            "it rises",
            points=1,
            choices=("it rises", "it stays the same", "it falls"),
            hint="Raise the condensing temperature on the chart and watch the refrigerating effect.",
        ),
    ),
)

PRACTICE = FORM.practice(
    15,
    "compression ratio",
    "refrigerating effect",
    "compressor work",
    "cooling COP",
    "discharge temperature",
    "mass flow",
    "cooling capacity",
)
