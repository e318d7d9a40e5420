"""Worked examples: what a lesson shows beside a published answer."""

import re

import pytest

from coldcab import published, worked


def test_the_laws_table_lies_above_saturation():
    # 40 CFR 82 Subpart B Appendix A, section 5.4, Table 1 (2015): the allowance for air is 8 to 14 psi in every row.
    rows = worked.tank_pressure_table(every=1).text.splitlines()[2:]
    allowances = [float(re.search(r"([\d.]+) psi$", row).group(1)) for row in rows]
    assert len(allowances) == 25
    assert all(8 <= allowance <= 14 for allowance in allowances)


def test_textbook_cycles_lie_within_what_two_generations_of_tables_differ():
    # The two generations of R-134a tables differ by 0.6 to 0.8 % in enthalpy differences (head of cycle_problems).
    text = worked.textbook_cycles().text
    apart = [float(value) for value in re.findall(r"([+-][\d.]+)%$", text, re.M)]
    assert len(apart) == 11
    assert all(abs(value) <= 0.8 for value in apart)


def test_air_pressure_table_agrees_with_the_standard_atmosphere():
    # ISO 2533 / US Standard Atmosphere 1976: 101 325 Pa at sea level; 69.682 kPa at 3048 m (10 000 ft), from memory.
    text = worked.air_pressure_table().text
    assert re.search(r"^0 ft +14\.70 psi +29\.92 inHg +101\.3 kPa$", text, re.M)
    assert re.search(r"^10,000 ft +10\.11 psi +20\.58 inHg +69\.7 kPa$", text, re.M)


@pytest.mark.parametrize("example", [worked.tank_pressure_chart, worked.tank_pressure_table, worked.textbook_cycles])
def test_every_example_has_a_text_alternative(example):
    bundle = example()._repr_mimebundle_()
    assert len(bundle["text/plain"]) > 80
    assert bundle.get("image/png", b"").startswith(b"\x89PNG") or "<table" in bundle["text/html"]


def test_a_chart_is_drawn_the_same_twice():
    assert worked.tank_pressure_chart().png == worked.tank_pressure_chart().png


def test_published_rows_are_the_printed_ones():
    assert published.rows("ncg_r12")[0]["limit_psig"] == "74"
    with pytest.raises(FileNotFoundError):
        published.rows("nothing")


def test_the_stepwise_machine_adds_up():
    # Each step is worked again from the printed figures of the rows above it, as a learner does with a calculator.
    rows = {re.split(r" {2,}", row)[0]: row for row in worked.one_machine_step_by_step().text.splitlines()[2:]}

    def last(name, pattern):
        return float(re.findall(pattern, rows[name])[-1].replace(",", ""))

    def btu(name):
        return last(name, r"([\d.]+) Btu/lb")

    assert abs(btu("refrigerating effect") - (btu("enthalpy at 1") - btu("enthalpy at 3"))) < 0.06
    assert abs(btu("real work") - btu("ideal work") / 0.62) < 0.1
    flow = last("mass flow", r"(\d+) lb/h")
    swept = last("swept volume", r"([\d,]+) cu ft")
    assert abs(flow - swept * 0.72 * last("mass flow", r"([\d.]+) lb/cu ft")) < 1
    assert abs(last("cooling capacity", r"([\d,]+) Btu/h") / (flow * btu("refrigerating effect")) - 1) < 2e-3
    assert abs(last("compressor power", r"([\d.]+) hp") - flow * btu("real work") / 2545) < 0.02


@pytest.mark.parametrize(
    ("cell", "first"),
    [
        ("65.1 Btu/lb (151 kJ/kg)", "151 kJ/kg (65.1 Btu/lb)"),
        ("-4.2 F (-2.3 K)", "-2.3 K (-4.2 F)"),
        ("19,720 Btu/h (5.78 kW)", "5.78 kW (19,720 Btu/h)"),
        ("44.2 psia", "44.2 psia"),
        ("Moran (2010) example 10.1", "Moran (2010) example 10.1"),
        ("reader: 44.2 psia and 56 F", "reader: 44.2 psia and 56 F"),
    ],
)
def test_tables_obey_the_switch_of_units(monkeypatch, cell, first):
    from coldcab.lessons.example import table

    assert cell in table(("what",), [(cell,)], "shown").text
    monkeypatch.setattr("coldcab.learner.units", lambda: "si")
    assert first in table(("what",), [(cell,)], "shown").text
