"""Lesson cycle-1: the numbers in its sentences, what its cases hold, its tables against print."""

import re

import pytest
from iapws import IAPWS97

from coldcab import air, instruments, lessons, refrigerants, units, worked
from coldcab.lessons.cycle_1.worked import tank_rows
from coldcab.service import law
from lesson_rows import fahrenheit, saturation_fahrenheit, tables_within, takes
from material import keys_of


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
    ("can be off by about 2 F", lambda: abs(keys_of("cycle-1").DOUBT - 2 / 1.8) < 1e-9),
    ("is full of R-134a at 90 F", lambda: takes(instruments.container, temperature=90)),
    ("stands for 12 hours at 65 F or above", lambda: law.fact("V15").value == "65 F / 12 h"),
    ("lies 9 to 13 psi above saturation", lambda: 9 < min(_allowances()) < 10 and 12 < max(_allowances()) < 13),
    ("tables within 0.01 % of it", lambda: tables_within(1e-4)),
    (
        "at low pressures R-134a is warmer",
        lambda: saturation_fahrenheit("R-134a", 20) > saturation_fahrenheit("R-12", 20) + 2,
    ),
    (
        "at high pressures it is cooler",
        lambda: saturation_fahrenheit("R-134a", 200) < saturation_fahrenheit("R-12", 200) - 2,
    ),
]


@pytest.mark.parametrize("number", range(200))
def test_points_of_a_line_are_clear(number):
    case = lessons.case("cycle-1", "term", f"learner-{number}")
    away = sorted(
        fahrenheit(point.temperature_fahrenheit)
        - refrigerants.saturation_temperature("R-134a", case.atmosphere + point.gauge_psig * 6894.757293168)
        for point in case.points
    )
    # One of each: subcooled, saturated within rounding (0.5 F = 0.28 K), superheated.
    assert away[0] < -4
    assert abs(away[1]) < 0.3
    assert away[2] > 4


def test_lines_show_what_the_case_holds():
    case = lessons.case("cycle-1", "term", "ash")
    text = dict(case.lines())
    assert text["altitude of the yard"].startswith(f"{case.altitude_feet:,.0f} ft (")
    assert f"{case.cylinder_psig:g} psig" in text["cylinder in the shade since last night"]
    assert all(point.place in text[f"point {letter}"] for letter, point in zip("ABC", case.points, strict=True))


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
