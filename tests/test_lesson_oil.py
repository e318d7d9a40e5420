"""Lessons oil-1 and oil-2: one learner's answers worked again from formulas, without the oil room."""

import math

import pytest

from coldcab import lessons, worked
from coldcab.oil.samples import sample_named
from material import GRADED as REFERENCE

FLUID_OUNCE = 29.5735295625e-6  # m3, exact by definition


def answers(sheet, learner):
    case = sheet.case("2026-autumn", learner)
    return case, {item.label: item.answer(case) for item in sheet.items}


def double_log(viscosity):
    return math.log(math.log(viscosity * 1e6 + 0.7))


@pytest.mark.parametrize("learner", ["birch", "ash", "rowan"])
def test_oil_1_by_hand(learner):
    case, found = answers(REFERENCE["oil-1"], learner)
    # ASTM D341 and D7152: straight lines and sums of the double logarithm with the constant 0.7.
    (t1, v1), (t2, v2) = sample_named(case.running_oil).points
    kelvin = (case.running_fahrenheit + 459.67) / 1.8
    along = math.log(kelvin / t1) / math.log(t2 / t1)
    index = double_log(v1) + along * (double_log(v2) - double_log(v1))
    assert found["viscosity when running"] * 1e6 == pytest.approx(math.exp(math.exp(index)) - 0.7, rel=1e-9)
    thin, thick = (float(name.split()[1]) * 1e-6 for name in (case.thin_oil, case.thick_oil))
    share = case.thick_ounces / (case.thin_ounces + case.thick_ounces)
    index = (1 - share) * double_log(thin) + share * double_log(thick)
    assert found["viscosity of the blend"] * 1e6 == pytest.approx(math.exp(math.exp(index)) - 0.7, rel=1e-9)
    kilograms = case.weighed_ounces * FLUID_OUNCE * {"PAG": 987.0, "POE": 978.0}[case.weighed_oil]  # as shown
    assert found["oil on the scale"] == pytest.approx(kilograms, rel=1e-9)
    left = case.clinging_ounces
    for _ in range(case.rinses):
        left *= case.clinging_ounces / (case.clinging_ounces + case.rinse_ounces)
    assert found["mineral oil share"] == pytest.approx(left / case.total_ounces, rel=1e-9)
    # Balance and time constant are those that coldcab.oil.moisture states, from memory.
    balance, hours = {"PAG": (20e-3, 100.0), "POE": (2.5e-3, 40.0)}[case.can_oil]
    ends = balance * case.can_humidity
    content = ends - (ends - 50e-6) * math.exp(-case.can_hours / (hours * case.can_inches * 25.4 / 50))
    assert found["times the moisture limit"] == pytest.approx(content / 50e-6, rel=1e-9)


@pytest.mark.parametrize("learner", ["birch", "ash", "rowan"])
def test_oil_2_by_hand(learner):
    case, found = answers(REFERENCE["oil-2"], learner)
    ounces = {label: value / FLUID_OUNCE for label, value in found.items() if not isinstance(value, str)}
    assert ounces["oil to add, job A"] == pytest.approx(case.leaked + case.in_gas + case.in_drier)
    assert ounces["doubt of that amount"] == pytest.approx(math.hypot(*case.doubts))
    widest = case.doubts.index(max(case.doubts))
    assert found["line with most doubt"] == ("leak", "gas", "drier")[widest]
    left = case.swap_gas + case.swap_drained + case.swap_drier
    assert ounces["oil to drain, job B"] == pytest.approx(case.swap_shipping - left)
    added = case.required - case.rebuild_shipping - case.rebuild_residue
    assert ounces["oil to add, job C"] == pytest.approx(added)
    dry = (60 + 30 + 22.5 + 3 * 10) * 1e-6 / FLUID_OUNCE  # rule S6: common practice, no source
    assert ounces["compressor part, job C"] == pytest.approx(added - dry)
    ratio = case.required * FLUID_OUNCE * 987.0 / (case.refrigerant_pounds * 0.45359237)
    assert found["oil to refrigerant"] == pytest.approx(ratio)
    sizes = {
        "shipping oil left out": case.books_shipping,
        "old drier left out": case.books_drier,
        "a line entered twice": case.books_gas,
    }
    assert ounces["gap in the books"] == pytest.approx(sizes[found["mistake in the books"]])


def test_practice_leaves_lines_to_the_graded_sheet():
    for name in ("oil-1", "oil-2"):
        graded = {item.label for item in REFERENCE[name].items}
        practiced = {item.label for item in lessons.PRACTICE[f"practice-{name}"].items}
        assert practiced < graded
        assert 2 <= len(graded - practiced) <= 4


def test_worked_examples_say_what_their_sources_print():
    # W1, W2, B1 of viscosity_examples.csv; ASTM D2270's example; JCGM 100:2008, H.1.
    printed = worked.published_viscosities().text
    for row in printed.splitlines():
        if row.startswith("32 cSt"):
            assert row.split()[-4:] == ["8.5", "cSt", "8.5", "cSt"]
        elif row.startswith("404 cSt"):
            assert row.split()[-4:] == ["132.1", "cSt", "132.1", "cSt"]
        elif row.startswith("73.3 cSt"):
            assert row.split()[-2:] == ["92", "92"]
        elif row.startswith("blend"):
            assert row.split()[-4:] == ["39.23", "cSt", "39.23", "cSt"]
    assert len(printed.splitlines()) == 7
    assert "32 nm printed  31.7 nm, this course" in worked.combined_doubt().text
