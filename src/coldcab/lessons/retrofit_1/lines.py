"""The graded form of lesson retrofit-1."""

from coldcab.assess.items import CHOICE, LIST, Assignment, Item
from coldcab.lessons.retrofit_1.numbers import LETTERS, REASON_LETTERS, draw_case


def _law(number: int) -> Item:
    return Item(
        f"case {number}",
        f"Case {number} above: may this be done, and why? Write the letter of the reason.",
        CHOICE,
        "F",
        choices=REASON_LETTERS,
        hint="Which of the four thoughts behind the law does it touch? Then look for the reason, yes or no.",
    )


FORM = Assignment(
    name="retrofit-1",
    title="Law, identity and recovery",
    minutes=45,
    draw=draw_case,
    items=(
        Item(
            "allowed net mass",
            "How much refrigerant may the cylinder hold by the rule of 80 %, counted at 77 F (25 C)?",
            "mass",
            "25.4 lb",
            rows=("water capacity", "tare", "gross"),
            hint="0.80 times WC times the specific gravity of this refrigerant at 77 F.",
        ),
        Item(
            "stop mark",
            "At which reading of the scale must you stop?",
            "mass",
            "41.2 lb",
            points=2,
            rows=("water capacity", "tare", "gross"),
            hint="Work out 80 % of the space and 60 % of the rating, take the smaller, add the tare.",
        ),
        Item(
            "level in the warm truck",
            "Other jobs filled the cylinder further. Now it stands in the warm truck. What share of its space "
            "is liquid?",
            "fraction",
            "91 %",
            rows=("scale in the truck", "inside the truck"),
            hint="Net mass is the scale in the truck less the tare. Divide it by WC times the specific gravity there.",
        ),
        Item(
            "liquid-full temperature",
            "The overfilled twin has the same stamps. At which temperature does liquid fill it?",
            "temperature",
            "104 F",
            points=2,
            rows=("scale overfilled",),
            hint="There the net mass equals WC times the specific gravity; find that row.",
        ),
        Item(
            "mass recovered",
            "How much came out of the machine?",
            "mass",
            "2.6 lb",
            rows=("scale before", "scale after"),
            hint="Scale after less scale before. Tenths of a pound are not ounces.",
        ),
        Item(
            "containers to bleed",
            "Which containers hold too much air, by a check that counts? Letters, with commas.",
            LIST,
            "A",
            points=2,
            choices=LETTERS,
            hint="First ask whether the check counts, then compare the gauge with the printed limit.",
        ),
        Item(
            "samples to recycle here",
            "The shop recycles R-12 and R-134a. Which samples may go into its machines? Letters, with commas.",
            LIST,
            "A",
            points=2,
            choices=LETTERS,
            hint="98 % of one refrigerant, a machine for it, no sealant. Air can be bled off.",
        ),
        Item(
            "stop at once",
            "In which scenes do you stop the work at once? Letters, with commas.",
            LIST,
            "A",
            points=3,
            choices=LETTERS,
            safety=True,
            hint="Who could be burned, frozen, poisoned or hit, and by what? Read the caution again.",
        ),
        Item(
            "who may open it",
            "Who of these may open the R-134a circuit of an off-road cab (United States)? Letters, with commas.",
            LIST,
            "A",
            points=2,
            rows=("person",),
            choices=LETTERS,
            hint="Certificate of section 609 or of 608 Type II, and approved equipment: both.",
        ),
        _law(1),
        _law(2),
        _law(3),
        _law(4),
    ),
)

PRACTICE = FORM.practice(
    20,
    "allowed net mass",
    "level in the warm truck",
    "mass recovered",
    "containers to bleed",
    "samples to recycle here",
    "stop at once",
    "who may open it",
    "case 1",
    "case 2",
    unasked=("scale, overfilled twin", "case 3", "case 4"),
)
