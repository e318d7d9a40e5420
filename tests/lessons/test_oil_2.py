"""Lesson oil-2: numbers in its sentences, and answers worked again by hand, without the oil room."""

import math

import pytest

import published_tables
from coldcab import instruments, oil, units, worked
from coldcab.instruments.oil_ledger import GUESSED, MEASURED
from material import GRADED

FLUID_OUNCE = units.from_unit(1.0, "volume", "fl oz")


def rule(name):
    return published_tables.by_id("retrofit_rules")[name]


def swap():
    given = {"drained": "2.6 fl oz", "brought": "5 fl oz", "recovered": "0.4 fl oz", "drier": "0.9 fl oz"}
    return instruments.oil_ledger(system="us", **given).readings["ledger"]


def after_a_full_charge():
    given = {"recovered": 0.0, "leaked": 0.0, "added": "8 fl oz"}
    return instruments.oil_ledger(system="us", job="seal leak, drier changed", **given).readings["ledger"]


def counted(amount):
    return instruments.oil_ledger(system="us", check=True, counted=amount).readings


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
    (
        # Grams by milliliters are kilograms by liters; the fluid ounce is exact by definition.
        "0.987 kg/L at 68 F (20 C), which is also 0.987 g/mL: 8 fl oz are 236.6 mL",
        lambda: abs(oil.density("PAG", 293.15) - 987.0) < 2.0 and round(8 * FLUID_OUNCE * 1e6, 1) == 236.6,
    ),
    ("Times 0.987 that is 233.5 g", lambda: round(236.6 * 0.987, 1) == 233.5),
    ("One ounce is 28.35 g, so the scale shows 8.24 oz", lambda: round(233.5 / 28.35, 2) == 8.24),
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
    (
        "**put in** to 8 fl oz",
        # Then the deficit of the seal leak becomes nearly the whole charge too much.
        lambda: 0.8 * 8 < -after_a_full_charge().to_add.volume / FLUID_OUNCE < 8,
    ),
    (
        "comes with 5 fl oz inside. The old one gave 2.6 fl oz when drained",
        lambda: round(swap().sum_of("out").volume / FLUID_OUNCE - 0.4 - 0.9, 1) == 2.6,
    ),
    ("was brought 5 fl oz", lambda: round(swap().sum_of("added").volume / FLUID_OUNCE, 1) == 5.0),
    ("for ± 0.5, ± 0.3 and ± 0.1 fl oz", lambda: [round(x * x, 2) for x in (0.5, 0.3, 0.1)] == [0.25, 0.09, 0.01]),
    ("its root is 0.59 fl oz", lambda: round(math.hypot(0.5, 0.3, 0.1), 2) == 0.59),
    ("6.5 fl oz are found", lambda: not counted("6.5 fl oz")["balances"]),
    ("bring **found inside** to 6.5 fl oz", lambda: counted("8.4 fl oz")["balances"]),
]

OUNCE_OF_VOLUME = 29.5735295625e-6  # m3, exact by definition


@pytest.mark.parametrize("learner", ["birch", "ash", "rowan"])
def test_answers_by_hand(learner):
    case = GRADED["oil-2"].case("2026-autumn", learner)
    found = {item.label: item.answer(case) for item in GRADED["oil-2"].items}
    ounces = {label: value / OUNCE_OF_VOLUME for label, value in found.items() if not isinstance(value, str)}
    assert ounces["oil to add, job A"] == pytest.approx(case.leaked + case.in_gas + case.in_drier)
    assert ounces["doubt of that amount"] == pytest.approx(math.hypot(*case.doubts))
    widest = case.doubts.index(max(case.doubts))
    assert found["line with most doubt"] == ("leak", "gas", "drier")[widest]
    left = case.swap_gas + case.swap_drained + case.swap_drier
    assert ounces["oil to drain, job B"] == pytest.approx(case.swap_shipping - left)
    added = case.required - case.rebuild_shipping - case.rebuild_residue
    assert ounces["oil to add, job C"] == pytest.approx(added)
    dry = (60 + 30 + 22.5 + 3 * 10) * 1e-6 / OUNCE_OF_VOLUME  # rule S6: common practice, no source
    assert ounces["compressor part, job C"] == pytest.approx(added - dry)
    ratio = case.required * OUNCE_OF_VOLUME * 987.0 / (case.refrigerant_pounds * 0.45359237)
    assert found["oil to refrigerant"] == pytest.approx(ratio)
    sizes = {
        "shipping oil left out": case.books_shipping,
        "old drier left out": case.books_drier,
        "a line entered twice": case.books_gas,
    }
    assert ounces["gap in the books"] == pytest.approx(sizes[found["mistake in the books"]])


def test_the_worked_example_says_what_its_source_prints():
    # JCGM 100:2008, H.1.
    assert "32 nm printed  31.7 nm, this course" in worked.combined_doubt().text
