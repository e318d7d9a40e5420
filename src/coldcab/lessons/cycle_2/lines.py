"""The graded form of lesson cycle-2."""

from coldcab.assess.items import CHOICE, LIST, Assignment, Item
from coldcab.lessons.cycle_2.numbers import COMPRESSORS, LOOPS, QUOTES, STEPS, draw_case

STARVED, CONDENSER, FULL, COMPRESSOR, FLOODED, AIR, DAY = LEGS = (
    "evaporator starves",
    "condenser rejects badly",
    "too much inside",
    "compressor worn",
    "evaporator floods",
    "little air in the cab",
    "only a hotter day",
)


def _leg(letter: str) -> Item:
    return Item(
        f"loop {letter}",
        f"Loop {letter} beside the healthy one: what does the chart say?",
        CHOICE,
        LEGS[LOOPS.index(letter)],
        points=2,
        choices=LEGS,
        hint="Superheat first. Then subcooling, condensing less outside air, evaporating, and superheat again.",
    )


FIRST_ROWS = ("altitude", "low side", "high side", "suction line", "liquid line", "outside air")

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
            rows=FIRST_ROWS,
            hint="Absolute discharge pressure over absolute suction pressure.",
        ),
        Item(
            "heat for each pound",
            "How much heat does each pound take up in the evaporator, the refrigerating effect?",
            "specific energy",
            "61.5 Btu/lb",
            points=2,
            rows=FIRST_ROWS,
            hint="Enthalpy leaving the evaporator minus enthalpy entering it; the valve changes no enthalpy.",
        ),
        Item(
            "discharge temperature",
            "How hot is the discharge of a good compressor here, by the chart?",
            "temperature",
            "165 F",
            points=2,
            rows=FIRST_ROWS,
            hint="Set the chart to both saturation temperatures and to the superheat at the compressor; 65 %.",
        ),
        Item(
            "head to expect",
            "What should the high gauge show this afternoon, if nothing is wrong?",
            "pressure",
            "245 psig",
            points=2,
            rows=FIRST_ROWS,
            hint="Condensing stays as far above the outside air. Then back from temperature to gauge, in your yard.",
        ),
        Item(
            "lost to the heat",
            "Another afternoon: which share of the heat for each pound is lost?",
            "fraction",
            "12 %",
            points=2,
            hint="Same suction, so only the liquid line's enthalpy has moved. Loss over what it was.",
        ),
        Item(
            "worn compressors",
            "Compressors A to E: which are worn by the shop's rule? Letters, with commas.",
            LIST,
            "A",
            points=3,
            choices=COMPRESSORS,
            hint="Set the chart to each, with its own refrigerant. More than 20 F hotter than the chart is worn.",
        ),
        Item(
            "liquid comes back",
            "Compressors A to E: to which does liquid come back by the shop's rule?",
            LIST,
            "A",
            points=2,
            choices=COMPRESSORS,
            hint="No superheat, and a discharge no hotter than condensing.",
        ),
        *map(_leg, LOOPS),
        Item(
            "quotes to refuse",
            "Quotes A to F: which does the chart refuse?",
            LIST,
            "A",
            points=3,
            choices=QUOTES,
            hint="Is it the day? Is it the other refrigerant? Does it add before anybody has weighed?",
        ),
        Item(
            "step that hurts",
            "Steps A to F: which one can hurt somebody?",
            CHOICE,
            "A",
            points=2,
            choices=STEPS,
            hint="Hot metal, a hose under pressure, belt and fan, a bridged switch, a flame.",
            safety=True,
        ),
    ),
)

PRACTICE = FORM.practice(
    20,
    "compression ratio",
    "heat for each pound",
    "discharge temperature",
    "lost to the heat",
    "worn compressors",
    "liquid comes back",
    "loop A",
    "loop B",
    "quotes to refuse",
    "step that hurts",
    unasked=("loop C",),
)
