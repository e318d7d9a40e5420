"""Lesson cycle-1: the numbers in its sentences, what its cases and lists hold, its tables against print."""

import re

import pytest
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS97

from coldcab import air, instruments, lessons, refrigerants, units, worked
from coldcab.lessons.cycle_1 import numbers
from coldcab.lessons.cycle_1.worked import tank_rows
from coldcab.service import law
from lesson_rows import fahrenheit, saturation_fahrenheit, tables_within, takes
from material import COMMON_PRACTICE, GRADED, keys_of


def _air(feet, unit="psia"):
    return units.convert(air.atmospheric_pressure(units.from_unit(feet, "length", "ft")), "pressure", unit)


def _rings_agree():
    """Gauge reading at sea level where both rings show the same temperature, as that temperature."""
    readings = range(20, 120)
    nearest = min(
        readings, key=lambda psig: abs(saturation_fahrenheit("R-12", psig) - saturation_fahrenheit("R-134a", psig))
    )
    return saturation_fahrenheit("R-12", nearest)


def _allowances():
    """psi that the law's table stands above saturation, row by row."""
    return [limit - saturated for _, limit, saturated in tank_rows()]


def _parked_psig(name, temperature):
    """Gauge of a parked machine with liquid in it, at sea level."""
    pressure = refrigerants.saturation_pressure(name, fahrenheit(temperature))
    return units.convert(pressure, "pressure", "psig", atmosphere=101_325.0)


SAID = [
    ("reads 60 psig and says", lambda: 50 < saturation_fahrenheit("R-134a", 60) < 75),  # the engine is cold
    (
        "the gauge shows 30 psig at sea level. What is the absolute pressure? Is it more, the same or less in a yard "
        "at 6,000 ft?",
        lambda: takes(instruments.pressure_and_temperature, gauge=30, altitude=6000),
    ),
    ("about 14.7 psi (101 kPa)", lambda: round(_air(0), 1) == 14.7 and round(_air(0, "kPa")) == 101),
    (
        "about half a psi for every thousand feet",
        lambda: all(0.4 < _air(h) - _air(h + 1000) < 0.6 for h in range(0, 9000, 1000)),
    ),
    ("20 inHg of vacuum leaves 9.9 inHg at sea level", lambda: round(_air(0, "inHg absolute") - 20, 1) == 9.9),
    ("about 4 inHg at 6,000 ft", lambda: round(_air(6000, "inHg absolute") - 20) == 4),
    ("Around 65 F both rings almost agree", lambda: abs(_rings_agree() - 65) < 5),
    (
        "boils at 212 F only at sea-level pressure",
        lambda: abs(IAPWS97(P=0.101325, x=0).T - fahrenheit(212)) < 0.05,
    ),
    (
        "the pipe feels hot, 105 F, at 200 psig of R-134a",  # and holds subcooled liquid, as the page goes on
        lambda: saturation_fahrenheit("R-134a", 200) > 105 + 10,
    ),
    ("can be off by about 2 F", lambda: abs(keys_of("cycle-1").OFF_BY - 2 / 1.8) < 1e-9),
    ("holds a full charge of R-134a at 90 F", lambda: takes(instruments.container, temperature=90)),
    ("stands for 12 hours at 65 F or above", lambda: law.fact("V15").value == "65 F / 12 h"),
    ("lies 9 to 13 psi above saturation", lambda: 9 < min(_allowances()) < 10 and 12 < max(_allowances()) < 13),
    (
        "parked at 90 F, 106 against 104 psig at sea level",
        lambda: [round(_parked_psig(name, 90)) for name in ("R-1234yf", "R-134a")] == [106, 104],
    ),
    ("can be off by about 3 psi here", lambda: numbers.NEAR_TABLE == 3.0),
    ("can be off by 3 psi there", lambda: numbers.NEAR_TABLE == 3.0),
    ("2 F (1.1 K) on a pipe and 3 psi (21 kPa) on a parked machine", COMMON_PRACTICE),
    ("tables within 0.01 % of it", lambda: tables_within(1e-4)),
    (
        "At low pressures R-134a is warmer",
        lambda: saturation_fahrenheit("R-134a", 20) > saturation_fahrenheit("R-12", 20) + 2,
    ),
    (
        "at high pressures it is cooler",
        lambda: saturation_fahrenheit("R-134a", 200) < saturation_fahrenheit("R-12", 200) - 2,
    ),
]


CASES = [lessons.case("cycle-1", "term", f"learner-{number}") for number in range(200)]
PSI = 6894.757293168
COOLPROP = {"R-12": "R12", "R-134a": "R134a", "R-1234yf": "R1234yf"}


def _saturation(point, case):
    return PropsSI("T", "P", case.atmosphere + point.gauge_psig * PSI, "Q", 1, COOLPROP[point.refrigerant])


def test_points_of_a_line_are_clear():
    """Each is saturated within rounding (0.5 F = 0.28 K), or at least 4 K away; all three states are there."""
    for case in CASES:
        away = [fahrenheit(point.temperature_fahrenheit) - _saturation(point, case) for point in case.points]
        assert all(abs(one) < 0.4 or abs(one) > 4 for one in away)
        assert min(away) < -4 < 4 < max(away)
        assert any(abs(one) < 0.4 for one in away)


def test_points_with_liquid_alone_by_another_library():
    item = GRADED["cycle-1"].item("points with liquid alone")
    for case in CASES[:60]:
        liquid = [
            letter
            for letter, point in zip("ABCDEFGH", case.points, strict=True)
            if fahrenheit(point.temperature_fahrenheit) < _saturation(point, case) - 1.2
        ]
        assert item.answer(case) == ", ".join(liquid)


def test_parked_machines_by_another_library():
    """Below the table no liquid, above it something else, by CoolProp; every sheet has all three kinds."""
    sheet = GRADED["cycle-1"]
    for case in CASES[:60]:
        away = [
            machine.psig
            - (
                PropsSI("P", "T", fahrenheit(machine.fahrenheit), "Q", 1, COOLPROP[machine.refrigerant])
                - case.atmosphere
            )
            / PSI
            for machine in case.parked
        ]
        below, above = (
            [letter for letter, one in zip("ABCDEFGH", away, strict=True) if sign * one > 3] for sign in (-1, 1)
        )
        assert sheet.item("machines without liquid").answer(case) == ", ".join(below) != ""
        assert sheet.item("machines to identify first").answer(case) == ", ".join(above) != ""
        assert any(abs(one) < 2 for one in away)
        assert all(machine.psig > 3 for machine in case.parked)


def test_what_the_sentences_say_holds():
    """Container, atmosphere and tables bear out the true ones that have a number."""
    full, less = (instruments.container(system="us", temperature=90, charge=charge) for charge in (100, 60))
    assert less.readings["gauge"] == pytest.approx(full.readings["gauge"])
    assert abs(_parked_psig("R-1234yf", 90) - _parked_psig("R-134a", 90)) < 3.0  # what gauge and thermometer are off by
    assert fahrenheit(70) > IAPWS97(P=2e-3, x=0).T  # 15 torr: a cool shop


def test_unsafe_work_is_named():
    wrong = [pair[1] for pair in numbers.WORK]
    item = GRADED["cycle-1"].item("work to stop")
    assert item.safety
    for case in CASES:
        letters = [letter for letter, words in zip("ABCDEFGH", case.work, strict=True) if words in wrong]
        assert item.answer(case) == ", ".join(letters)
        assert 2 <= len(letters) <= 4


def test_three_parked_machines_by_hand():
    text = worked.parked_step_by_step().text
    # 5,000 ft: 12.23 psi; CoolProp: R-12 at 78 F 95.8, R-134a at 74 F 91.8, R-1234yf at 86 F 113.7 psia.
    for name, temperature, psia in (("R12", 78, 95.8), ("R134a", 74, 91.8), ("R1234yf", 86, 113.7)):
        assert PropsSI("P", "T", fahrenheit(temperature), "Q", 1, name) / PSI == pytest.approx(psia, abs=0.06)
        assert f"{psia} − 12.23 = {psia - 12.23:.1f} psig" in text


def test_lines_show_what_the_case_holds():
    case = lessons.case("cycle-1", "term", "ash")
    text = dict(case.lines())
    assert text["altitude of the yard"].startswith(f"{case.altitude_feet:,.0f} ft (")
    assert f"{case.cylinder_psig:g} psig" in text["cylinder in the shade since last night"]
    assert all(point.place in text[f"point {one}"] for one, point in zip("ABCDEFGH", case.points, strict=True))


def test_the_laws_table_lies_above_saturation():
    # 40 CFR 82 Subpart B Appendix A, section 5.4, Table 1 (2015): the allowance for air is 8 to 14 psi in every row.
    rows = worked.tank_pressure_table(every=1).text.splitlines()[2:]
    allowances = [float(re.search(r"([\d.]+) psi$", row).group(1)) for row in rows]
    assert len(allowances) == 25
    assert all(8 <= allowance <= 14 for allowance in allowances)


def test_air_pressure_table_agrees_with_the_standard_atmosphere():
    # ISO 2533 / US Standard Atmosphere 1976: 101 325 Pa at sea level; 69.682 kPa at 3048 m (10 000 ft), from memory.
    text = worked.air_pressure_table().text
    assert re.search(r"^0 ft +14\.70 psi +29\.92 inHg +101\.3 kPa$", text, re.M)
    assert re.search(r"^10,000 ft +10\.11 psi +20\.58 inHg +69\.7 kPa$", text, re.M)
