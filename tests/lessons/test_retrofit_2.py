"""Numbers in the sentences of lesson retrofit-2."""

from coldcab import air, units
from coldcab.service import leak_test


def _air(feet):
    pressure = air.atmospheric_pressure(units.from_unit(feet, "length", "ft"))
    return units.convert(pressure, "pressure", "inHg abs")


def _night(start, evening, morning):
    pressure = units.from_unit(start, "pressure", "psig")
    ends = [units.from_unit(one, "temperature", "F") for one in (evening, morning)]
    return start - units.convert(float(leak_test.corrected_pressure(pressure, *ends)), "pressure", "psig")


SAID = [
    ("One inch of mercury is 25,400 micron", lambda: abs(units.convert(3386.389, "pressure", "micron") - 25_400) < 1),
    (
        "a leak of 3 oz/year (85 g/year)",
        lambda: abs(3 * 28.3495 - 85) < 0.1,
    ),
    ("Degrees F count from absolute zero when you add 459.7", lambda: abs(273.15 * 1.8 - 32 - 459.7) < 0.05),
    ("even nothing at all reads far less than 29 inHg", lambda: _air(5000) < 26),
    ("A cool night alone takes several psi", lambda: 5 < _night(150, 90, 60) < 12),
]
