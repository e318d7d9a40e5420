"""The graded form of lesson retrofit-1."""

from coldcab.assess.items import CHOICE, Assignment, Item
from coldcab.lessons.retrofit_1.numbers import draw_case

YES_NO = ("yes", "no")

WITHIN, TOO_MUCH, NOT_VALID = "within the limit", "too much air", "test not valid"
AIR_CHOICES = (WITHIN, TOO_MUCH, NOT_VALID)
RECYCLE, BLEED, SEND_AWAY, STOP = (
    "recover and recycle",
    "recycle and bleed off the air",
    "separate cylinder, send away",
    "stop and call a specialist",
)
NEXT_CHOICES = (RECYCLE, BLEED, SEND_AWAY, STOP)


def _law(number: int) -> Item:
    return Item(
        f"case {number}",
        f"Case {number} above: may this be done?",
        CHOICE,
        "no",
        choices=YES_NO,
        hint="Ask what the law wants to prevent: venting, mixing, or work without training and equipment.",
    )


FORM = Assignment(
    name="retrofit-1",
    title="Law, identity and recovery",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "allowed net mass",
            "How much refrigerant may the cylinder hold by the rule of 80 % of its space at 70 F?",
            "mass",
            "25.4 lb",
            points=2,
            hint="0.80 times WC times the specific gravity of this refrigerant at 70 F.",
        ),
        Item(
            "stop mark",
            "At which reading of the scale must you stop, by the stricter of the law's two rules?",
            "mass",
            "41.2 lb",
            points=2,
            hint="Work out 80 % of the space and 60 % of the rating, take the smaller, add the tare.",
        ),
        Item(
            "level in the warm truck",
            "Later the cylinder stands in the warm truck. What share of its space is liquid?",
            "fraction",
            "91 %",
            points=2,
            hint="Net mass over WC times the specific gravity at the truck's temperature.",
        ),
        Item(
            "liquid-full temperature",
            "The overfilled twin has the same stamps. At which temperature does liquid fill it?",
            "temperature",
            "104 F",
            points=2,
            hint="There the net mass equals WC times the specific gravity; find that row.",
        ),
        Item(
            "mass recovered",
            "How much came out of the machine?",
            "mass",
            "2.6 lb",
            points=2,
            hint="Scale after less scale before. Tenths of a pound are not ounces.",
        ),
        Item(
            "air in the container",
            "What does the check of the R-12 container say?",
            CHOICE,
            "within the limit",
            points=2,
            choices=AIR_CHOICES,
            hint="First ask whether the test counts, then compare the gauge with the printed limit.",
        ),
        Item(
            "after the identifier",
            "What does the identifier's reading permit?",
            CHOICE,
            "recover and recycle",
            points=2,
            choices=NEXT_CHOICES,
            hint="Is one refrigerant at 98 % or more? Is there air? Does anything burn?",
        ),
        _law(1),
        _law(2),
        _law(3),
        _law(4),
    ),
)

PRACTICE = FORM.practice(
    15,
    "allowed net mass",
    "level in the warm truck",
    "mass recovered",
    "air in the container",
    "after the identifier",
    "case 1",
    "case 2",
)
