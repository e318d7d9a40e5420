"""Lesson cycle-2: the numbers in its sentences, machines that are plausible, its examples against print and hand."""

import re

import pytest

from coldcab import instruments, lessons, refrigerants, worked
from lesson_rows import fahrenheit, tables_within, takes


def _older_book():
    """Per cent that this course lies above heat and work of the book with the older tables."""
    text = worked.textbook_cycles().text
    rows = text[text.index("Moran") : text.index("Cengel")].splitlines()
    return [float(re.search(r"([+-][\d.]+)%", row)[1]) for row in rows if "kW" in row]


SAID = [
    (
        "saturated liquid at 32 F (0 C) is set to 200 kJ/kg",
        lambda: (
            abs(refrigerants.saturation("R-134a", temperature=273.15).liquid_enthalpy - 200e3) < 50
            and abs(fahrenheit(32) - 273.15) < 1e-9
        ),
    ),
    (
        "the condensing temperature rises from 120 F to 150 F",
        lambda: takes(instruments.ph_chart, condensing=120) and takes(instruments.ph_chart, condensing=150),
    ),
    (
        "The chart stands at 120 F. Read the table below it, then go to 150 F",
        lambda: abs(instruments.ph_chart(condensing=120).settings["condensing"] - fahrenheit(120)) < 1e-6,
    ),
    (
        "They differ by 0.6 to 0.8 % in enthalpy differences",
        lambda: len(_older_book()) == 4 and (min(_older_book()), max(_older_book())) == (0.6, 0.8),
    ),
    ("tables within 0.01 % of it", lambda: tables_within(1e-4)),
]


@pytest.mark.parametrize("number", range(200))
def test_machines_are_plausible(number):
    case = lessons.case("cycle-2", "term", f"learner-{number}")
    low, high = (case.atmosphere + psig * 6894.757293168 for psig in (case.low_side_psig, case.high_side_psig))
    suction, liquid = fahrenheit(case.suction_line_fahrenheit), fahrenheit(case.liquid_line_fahrenheit)
    superheat = suction - refrigerants.saturation_temperature(case.refrigerant, low)
    subcooling = refrigerants.saturation_temperature(case.refrigerant, high) - liquid
    # Rounding a thermometer to 1 F moves both by at most 0.3 K.
    assert 8.5 < superheat < 14.8
    assert 4.7 < subcooling < 10.3
    assert 2.5 < high / low < 6.5


def test_textbook_cycles_lie_within_what_two_generations_of_tables_differ():
    # The two generations of R-134a tables differ by 0.6 to 0.8 % in enthalpy differences (head of cycle_problems).
    text = worked.textbook_cycles().text
    apart = [float(value) for value in re.findall(r"([+-][\d.]+)%$", text, re.M)]
    assert len(apart) == 11
    assert all(abs(value) <= 0.8 for value in apart)


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
