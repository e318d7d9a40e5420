"""Lesson oil-2: numbers in its sentences, and answers worked again by hand, without the oil room."""

import math
import re

import pytest

import published_tables
from coldcab import instruments, oil, units
from coldcab.instruments.oil_ledger import GUESSED, MEASURED
from coldcab.lessons.oil_2.numbers import JOBS
from material import GRADED

SHEET = GRADED["oil-2"]
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
    (
        # Grams by milliliters are kilograms by liters; the fluid ounce is exact by definition.
        "0.987 kg/L at 68 F (20 C), which is also 0.987 g/mL: 8 fl oz (236.6 mL)",
        lambda: abs(oil.density("PAG", 293.15) - 987.0) < 2.0 and round(8 * FLUID_OUNCE * 1e6, 1) == 236.6,
    ),
    ("weigh 0.987 times that, 233.5 g", lambda: round(236.6 * 0.987, 1) == 233.5),
    ("One ounce is 28.35 g, so the scale shows 8.24 oz (233.5 g)", lambda: round(233.5 / 28.35, 2) == 8.24),
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
    ("0.4 fl oz judged from a stain is less sure than 4 fl oz out of a cup", lambda: GUESSED > MEASURED),
    (
        "3.4 fl oz go back, and that can be off by 0.77 fl oz",
        lambda: round(1.4 + 0.6 + 0.9 + 0.3 + 0.2, 1) == 3.4 and round(math.hypot(0.7, 0.2, 0.1, 0.1, 0.2), 2) == 0.77,
    ),
    ("books 7.4 ± 0.5 fl oz, counted 7.1 fl oz, agree", lambda: 7.4 - 7.1 < 0.5),
    (
        "9.0 fl oz on the data sheet, the new compressor brings 2.5 fl oz, 0.5 fl oz clings. So 6.0 fl oz go in",
        lambda: 9.0 - 2.5 - 0.5 == 6.0,
    ),
    (
        # Rule S6: common practice, no source.
        "60, 30, 22.5 and three times 10 mL. That is 4.8 fl oz (142.5 mL). The last 1.2 fl oz",
        lambda: 60 + 30 + 22.5 + 30 == 142.5 and round(142.5e-6 / FLUID_OUNCE, 1) == 4.8 and round(6.0 - 4.8, 1) == 1.2,
    ),
    ("6.5 fl oz are found", lambda: not counted("6.5 fl oz")["balances"]),
    ("bring **found inside** to 6.5 fl oz", lambda: counted("8.4 fl oz")["balances"]),
]

OUNCE_OF_VOLUME = 29.5735295625e-6  # m3, exact by definition


@pytest.mark.parametrize("learner", ["birch", "ash", "rowan"])
def test_answers_by_hand(learner):
    case = SHEET.case("2026-autumn", learner)
    found = {item.label: item.answer(case) for item in SHEET.items}
    ounces = {label: value / OUNCE_OF_VOLUME for label, value in found.items() if not isinstance(value, str)}
    assert ounces["oil to add, job A"] == pytest.approx(sum(case.left))
    widest = case.plus_or_minus.index(max(case.plus_or_minus))
    assert found["least sure line, job A"] == ("leak", "gas", "drier", "hose", "floor")[widest]
    left = case.swap_gas + case.swap_drained + case.swap_drier
    assert ounces["oil to drain, job B"] == pytest.approx(case.swap_shipping - left)
    added = case.required - case.rebuild_shipping - case.rebuild_residue
    assert ounces["oil to add, job C"] == pytest.approx(added)
    dry = (60 + 30 + 22.5 + 3 * 10) * 1e-6 / OUNCE_OF_VOLUME  # rule S6: common practice, no source
    assert ounces["compressor part, job C"] == pytest.approx(added - dry)
    ratio = case.required * OUNCE_OF_VOLUME * 987.0 / (case.refrigerant_pounds * 0.45359237)
    assert found["oil to refrigerant"] == pytest.approx(ratio)


@pytest.mark.parametrize("learner", [f"reader-{number}" for number in range(40)])
def test_books_by_what_a_learner_reads(learner):
    case = SHEET.case("2026-autumn", learner)
    rows = dict(case.lines())
    found = {item.label: item.answer(case) for item in SHEET.items}
    agree = []
    for letter in "ABCDEF":
        books, off, counted = map(float, re.findall(r"\d+\.\d", rows[f"count {letter}"]))
        assert abs(abs(books - counted) - off) > 0.04, "no gap lies on the edge"
        agree += [letter] if abs(books - counted) < off else []
    assert found["books that balance"] == (", ".join(agree) or "none")
    notes = [float(one) for one in re.findall(r"\d+\.\d", rows["the shop's notes"])]
    words = dict(zip(("gas", "old compressor", "old drier", "new compressor", "cup"), notes, strict=True))
    wrong, seen = [], set()
    for letter in "ABCDE":
        said = rows.get(f"clerk's line {letter}")
        if said is None:
            continue
        name = next(name for name in words if name in said)
        sign = 1 if name in ("new compressor", "cup") else -1
        amount = float(re.search(r"[+−]\d+\.\d", said)[0].replace("−", "-"))
        wrong += [] if amount == pytest.approx(sign * words[name]) else [letter]
        seen.add(name)
    assert found["wrong lines of the clerk"] == ", ".join(wrong)
    missing = set(words) - seen
    assert found["missing in the clerk's books"] == (missing.pop() if missing else "nothing")


def test_jobs_with_the_whole_amount_are_those_without_old_oil():
    (item,) = (one for one in SHEET.items if one.label == "repairs with the whole amount")
    whole = set()
    for number in range(200):
        case = SHEET.case("2026-autumn", f"reader-{number}")
        letters = item.answer(case).split(", ")
        whole |= {job for letter, job in zip("ABCDEF", case.jobs, strict=True) if letter in letters}
    emptied = ("every part", "all parts flushed", "evaporator and lines flushed")
    assert whole == {job for job in JOBS if any(words in job for words in emptied)}


def test_plus_or_minus_combines_as_a_printed_example_does():
    """JCGM 100:2008, H.1: a length in nm here stands for a volume in mL; printed to two figures."""
    rows = published_tables.rows("uncertainty_example")
    books = oil.Ledger("PAG")
    for row in rows[:-1]:
        books = books.enter("in", row["component"], 100e-6, float(row["uncertainty_nm"]) * 1e-6)
    assert round(books.total_after.uncertainty * 1e6) == float(rows[-1]["uncertainty_nm"]) == 32
