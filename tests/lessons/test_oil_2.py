"""Numbers in the sentences of lesson oil-2."""

import published_tables
from coldcab import instruments, oil, units
from coldcab.instruments.oil_ledger import GUESSED, MEASURED

FLUID_OUNCE = units.from_unit(1.0, "volume", "fl oz")


def rule(name):
    return published_tables.by_id("retrofit_rules")[name]


def swap():
    given = {"drained": "2.6 fl oz", "brought": "5 fl oz", "recovered": "0.4 fl oz", "drier": "0.9 fl oz"}
    return instruments.oil_ledger(system="us", **given).readings["ledger"]


SAID = [
    ("The circuit lost 3.9 fl oz", lambda: round(swap().sum_of("out").volume / FLUID_OUNCE, 1) == 3.9),
    ("with 1.1 fl oz too much", lambda: round(-swap().to_add.volume / FLUID_OUNCE, 1) == 1.1),
    ("good to 0.1 fl oz", lambda: MEASURED == 0.1),
    ("hardly good to 1 fl oz", lambda: GUESSED == 1.0),
    (
        "the books say 8.6 fl oz",
        lambda: round(instruments.oil_ledger(system="us").readings["after"] / FLUID_OUNCE, 1) == 8.6,
    ),
    ("0.25 + 0.09 + 0.01 = 0.35, and its root is 0.59", lambda: round((0.5**2 + 0.3**2 + 0.1**2) ** 0.5, 2) == 0.59),
    ("Simply added it would be 0.9 fl oz", lambda: round(0.5 + 0.3 + 0.1, 1) == 0.9),
    ("8.24 oz of oil to 32 oz of refrigerant is 0.26", lambda: round(8.24 / 32, 2) == 0.26),
    (
        # Rule V21: 40 CFR 82 Subpart B, Appendices C 7.6 and A 7.7, edition of 2015, read.
        "20 mL (0.7 fl oz) on R-134a machines and 30 mL (1.0 fl oz) on R-12 machines",
        lambda: (
            rule("V21")["value"] == "20 / 30"
            and rule("V21")["unit"] == "ml"
            and [round(ml * 1e-6 / FLUID_OUNCE, 1) for ml in (20, 30)] == [0.7, 1.0]
        ),
    ),
    (
        "expands by less than 1 % between a cool and a warm shop",
        # 15 and 25 C
        lambda: oil.density("PAG", 288.15) / oil.density("PAG", 298.15) < 1.01,
    ),
]
