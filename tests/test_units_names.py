"""Every unit by the name it is told under, its size, and other words people type for it."""

import pytest

from coldcab import units
from coldcab.units import UnitError, parse

# Exact by definition: inch, pound, US gallon, standard gravity, IT calorie and Btu, standard atmosphere, Julian year.
INCH, POUND, GALLON, BTU, YEAR = 0.0254, 0.45359237, 231 * 0.0254**3, 1055.05585262, 31557600.0
FOOT, OUNCE, GRAIN, PINT, CALORIE = 12 * INCH, POUND / 16, POUND / 7000, GALLON / 8, 4186.8
TORR = 101325 / 760
PSI = POUND * 9.80665 / INCH**2

SIZES = {
    "mass": {
        "lb": (POUND, "lbs, lbm, pound, pounds, LBS."),
        "oz": (OUNCE, "ounce, ounces, ozs, oz (av)"),
        "g": (1e-3, "gm, gms, gram, grams, gramme, grammes"),
        "kg": (1.0, "kgs, kilo, kilos, kilogram, kilograms"),
        "mg": (1e-6, "milligram, milligrams"),
        "grains": (GRAIN, "grain, gr"),
    },
    "volume": {
        "fl oz": (GALLON / 128, "floz, fl. oz., fluid ounce, fluid ounces, US fl oz, fluid oz, oz fl, fl ozs"),
        "mL": (1e-6, "ml, milliliter, milliliters, millilitre, millilitres"),
        "cc": (1e-6, "ccs, cm3, cu cm, cubic cm, cubic centimeters, cubic centimetres"),
        "L": (1e-3, "l, lt, ltr, liter, liters, litre, litres"),
        "cu in": (INCH**3, "in3, cubic in, cubic inch, cubic inches, cu inch, cu inches"),
        "cu ft": (FOOT**3, "ft3, cubic ft, cubic foot, cubic feet, cu feet"),
        "m3": (1.0, "cu m, cubic meter, cubic meters, cubic metre, cubic metres"),
        "gal": (GALLON, "gallon, gallons, gals, US gal"),
        "qt": (GALLON / 4, "quart, quarts, qts"),
        "pt": (PINT, "pint, pints, pts"),
    },
    "length": {
        "in": (INCH, 'inch, inches, ins, "'),
        "ft": (FOOT, "foot, feet, '"),
        "mi": (5280 * FOOT, "mile, miles"),
        "mm": (1e-3, "millimeter, millimeters, millimetre, millimetres"),
        "cm": (1e-2, "centimeter, centimeters, centimetre, centimetres"),
        "m": (1.0, "meter, meters, metre, metres"),
        "km": (1e3, "kilometer, kilometers, kilometre, kilometres"),
        "um": (1e-6, "μm, micrometer, micrometers, micrometre, micrometres"),
    },
    "power": {
        "Btu/h": (BTU / 3600, "btu/hr, btuh, btu/hour, btus/h, Btu per hour"),
        "Btu/min": (BTU / 60, "btu/minute, btus/min, btus/minute"),
        "tons of refrigeration": (12000 * BTU / 3600, "ton of refrigeration, tons, ton, TR, RT"),
        "W": (1.0, "watt, watts"),
        "kW": (1e3, "kilowatt, kilowatts"),
        "MW": (1e6, "megawatt, megawatts"),
        "mW": (1e-3, "milliwatt, milliwatts"),
        "hp": (550 * FOOT * POUND * 9.80665, "horsepower, bhp"),
        "kcal/h": (CALORIE / 3600, "kcal/hr, kcal/hour"),
    },
    "specific energy": {
        "Btu/lb": (BTU / POUND, "btu/lbm, btu/pound, btus/lb, Btu per pound"),
        "kJ/kg": (1e3, "kilojoules/kilogram, kilojoules/kg"),
        "J/kg": (1.0, "joules/kilogram"),
        "J/g": (1e3, "joules/gram"),
        "MJ/kg": (1e6, ""),
        "kcal/kg": (CALORIE, ""),
    },
    "mass flow": {
        "lb/h": (POUND / 3600, "lb/hr, lb/hour, lbs/h, lbs/hr, lbs/hour, lbm/h, pounds/hour, pound per hour"),
        "lb/min": (POUND / 60, "lb/minute, lbs/min, lbs/minute, lbm/min, pounds/minute, pounds/min"),
        "lb/s": (POUND, "lb/sec, lbs/s, lbs/sec"),
        "oz/min": (OUNCE / 60, "oz/minute, ounces/minute"),
        "oz/year": (OUNCE / YEAR, "oz/yr, oz/y, ounces per year"),
        "g/s": (1e-3, "g/sec, grams/second, grams/s"),
        "g/min": (1e-3 / 60, "g/minute, grams/minute, grams/min"),
        "g/h": (1e-3 / 3600, "g/hr, g/hour, grams/hour"),
        "g/year": (1e-3 / YEAR, "g/yr, g/y, g/a, grams/year"),
        "kg/s": (1.0, "kg/sec"),
        "kg/min": (1 / 60, "kg/minute"),
        "kg/h": (1 / 3600, "kg/hr, kg/hour"),
    },
    "volume flow": {
        "cfm": (FOOT**3 / 60, "ft3/min, cu ft/min, cubic feet/minute, cubic ft/min"),
        "cu ft/h": (FOOT**3 / 3600, "cfh, ft3/h, ft3/hr, cu ft/hr, cubic feet per hour"),
        "gpm": (GALLON / 60, "gal/min, gallons/minute"),
        "m3/h": (1 / 3600, "m3/hr, m3/hour, cubic meters/hour"),
        "m3/min": (1 / 60, "m3/minute"),
        "m3/s": (1.0, "m3/sec"),
        "L/min": (1e-3 / 60, "lpm, l/minute, liters/minute"),
        "L/s": (1e-3, "l/sec, lps, liters/second"),
        "mL/s": (1e-6, "cc/s, cm3/s"),
        "mL/min": (1e-6 / 60, "cc/min, cm3/min"),
    },
    "rotational speed": {
        "rpm": (1 / 60, "r/min, rev/min, revs/min, revolutions/minute"),
        "rev/s": (1.0, "rps, r/s, revs/s, revolutions/second"),
    },
    "fraction": {"%": (0.01, "percent, per cent, pct")},
    "density": {
        "lb/cu ft": (POUND / FOOT**3, "lb/ft3, lbs/ft3, lbs/cu ft, lb/cubic foot"),
        "lb/gal": (POUND / GALLON, "lbs/gal"),
        "kg/m3": (1.0, "kg/cubic meter"),
        "kg/L": (1e3, "kg/liter"),
        "g/cm3": (1e3, "g/cc"),
        "g/mL": (1e3, ""),
        "g/L": (1.0, "g/liter"),
    },
    "specific volume": {
        "cu ft/lb": (FOOT**3 / POUND, "ft3/lb, ft3/lbm, cu ft/lbm, cubic feet per pound"),
        "m3/kg": (1.0, "cubic meters/kilogram"),
        "L/kg": (1e-3, "l/kg, dm3/kg"),
        "cm3/g": (1e-3, "cc/g"),
    },
    "electric current": {"A": (1.0, "amp, amps, ampere, amperes"), "mA": (1e-3, "milliamp, milliamps")},
    "voltage": {"V": (1.0, "volt, volts, VDC"), "mV": (1e-3, "millivolt, millivolts"), "kV": (1e3, "kilovolt")},
    "resistance": {
        "ohm": (1.0, "ohms, Ω"),
        "kohm": (1e3, "kohms, kΩ, kiloohm, kilohm"),
        "Mohm": (1e6, "Mohms, MΩ, megohm, megohms"),
        "mohm": (1e-3, "mohms, mΩ, milliohm"),
    },
    "time": {
        "s": (1.0, "sec, secs, second, seconds"),
        "ms": (1e-3, "millisecond, milliseconds"),
        "min": (60.0, "mins, minute, minutes"),
        "h": (3600.0, "hr, hrs, hour, hours"),
        "days": (86400.0, "day, d"),
        "years": (YEAR, "year, yr, yrs, y"),
    },
    "kinematic viscosity": {
        "cSt": (1e-6, "centistoke, centistokes"),
        "mm2/s": (1e-6, "sq mm/s"),
        "m2/s": (1.0, "sq m/s"),
        "St": (1e-4, "stoke, stokes"),
    },
    "humidity ratio": {
        "grains/lb": (1 / 7000, "gr/lb, grain/lb, grains per pound"),
        "g/kg": (1e-3, "grams/kilogram"),
        "kg/kg": (1.0, ""),
        "lb/lb": (1.0, "lbs/lb"),
    },
    "energy": {
        "Btu": (BTU, "btus"),
        "J": (1.0, "joule, joules"),
        "kJ": (1e3, "kilojoule, kilojoules"),
        "MJ": (1e6, "megajoule, megajoules"),
        "mJ": (1e-3, "millijoule, millijoules"),
        "Wh": (3600.0, "watt hour, watt hours"),
        "kWh": (3.6e6, "kilowatt hour, kilowatt hours"),
        "kcal": (CALORIE, "kilocalorie, kilocalories"),
    },
    "pressure difference": {
        "psi difference": (PSI, "psi, psid, psi diff, psi delta, lb/in2, lb/sq in, pounds per square inch"),
        "inHg difference": (25.4 * TORR, "inHg, inches of mercury, inch Hg diff"),
        "mmHg difference": (TORR, "mmHg, mm of Hg"),
        "inH2O difference": (249.08891, "inH2O, in. w.c., inches of water"),
        "kg/cm2 difference": (98066.5, "kg/cm2, kgf/cm2, kp/cm2"),
        "bar difference": (1e5, "bar, bars, bar difference"),
        "mbar difference": (100.0, "mbar, millibar"),
        "Pa difference": (1.0, "Pa, pascal"),
        "hPa difference": (100.0, "hPa, hectopascal"),
        "kPa difference": (1e3, "kPa, kilopascal"),
        "MPa difference": (1e6, "MPa, megapascal, Megapascals"),
        "atm difference": (101325.0, "atm, atmospheres"),
        "micron difference": (TORR / 1000, "micron, microns, mtorr, micron difference"),
        "torr difference": (TORR, "torr, torrs"),
    },
    "temperature difference": {
        "F difference": (1 / 1.8, "F, degF, deg F diff, Fahrenheit, F delta, °F of superheat, F subcooling"),
        "C difference": (1.0, "C, degC, Celsius difference, centigrade, °C superheat, C of subcooling"),
        "K difference": (1.0, "K, kelvin, kelvins"),
        "R difference": (1 / 1.8, "R, Rankine, deg R"),
    },
}
ROWS = [
    (kind, name, size, [name, *filter(None, words.split(", "))])
    for kind, rows in SIZES.items()
    for name, (size, words) in rows.items()
]


@pytest.mark.parametrize(("kind", "name", "size", "words"), ROWS, ids=[f"{row[0]} in {row[1]}" for row in ROWS])
def test_names_sizes_and_other_words(kind, name, size, words):
    # Factors here are exact, but for water and mercury columns; pint's have at least seven digits.
    for word in words:
        found = parse(f"2 {word}", kind)
        assert (found.kind, found.unit) == (kind, name)
        assert found.value == pytest.approx(2 * size, rel=1e-6)


@pytest.mark.parametrize(
    ("typed", "name", "value"),
    [
        ("10 psig", "psig", 101325 + 10 * PSI),
        ("10 psi gage", "psig", 101325 + 10 * PSI),
        ("10 psia", "psia", 10 * PSI),
        ("10 psi absolute", "psia", 10 * PSI),
        ("2 psi vac", "psi vacuum", 101325 - 2 * PSI),
        ("12 inHg v", "inHg vacuum", 101325 - 12 * 25.4 * TORR),
        ("12 inHg of vacuum", "inHg vacuum", 101325 - 12 * 25.4 * TORR),
        ("12 inHg a", "inHg absolute", 12 * 25.4 * TORR),
        ("12 inHg gauge", "inHg gauge", 101325 + 12 * 25.4 * TORR),
        ("30 cmHg vac", "cmHg vacuum", 101325 - 300 * TORR),
        ("2 kg/cm2 g", "kg/cm2 gauge", 101325 + 2 * 98066.5),
        ("3 bar", "bar absolute", 3e5),
        ("3 barg", "bar gauge", 101325 + 3e5),
        ("0.3 bar vacuum", "bar vacuum", 101325 - 3e4),
        ("500 micron", "micron", 0.5 * TORR),
        ("500 microns vacuum", "micron", 0.5 * TORR),
        ("500 mtorr abs", "micron", 0.5 * TORR),
        ("3 torr", "torr", 3 * TORR),
        ("2 atm", "atm absolute", 202650.0),
        ("900 hPa", "hPa absolute", 9e4),
        ("50 F", "F", 283.15),
        ("10 deg C", "C", 283.15),
        ("283 kelvin", "K", 283.0),
        ("509.67 R", "R", 283.15),
    ],
)
def test_readings_say_what_they_count_from(typed, name, value):
    found = parse(typed)
    assert found.unit == name
    assert found.value == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize("bare", ["psi", "inHg", "mmHg", "cmHg", "inH2O", "kg/cm2"])
def test_words_that_leave_it_open_are_refused(bare):
    with pytest.raises(UnitError, match=f"^{bare} does not say"):
        parse(f"3 {bare}", "pressure")
    if bare not in ("psi", "inHg"):
        with pytest.raises(UnitError, match=f"counts from; write {bare} gauge or {bare} abs"):
            parse(f"3 {bare}")


@pytest.mark.parametrize(("inside", "outside"), [(20_000, 19_999), (120_000, 120_001)])
def test_air_pressures_around_a_gauge(inside, outside):
    """Wider than ISO 2533 from -1000 m (113.9 kPa) to 11000 m (22.6 kPa)."""
    for pressure in (inside, float(inside)):
        assert parse("0 psig", atmosphere=pressure).value == inside
        assert units.convert(inside, "pressure", "psig", atmosphere=[pressure]) == pytest.approx([0.0])
    for pressure in (outside, float(outside), [float(inside), float(outside)]):
        with pytest.raises(UnitError, match=r"it must be an absolute air pressure from 20000 to 120000 Pa\."):
            units.convert(1e5, "pressure", "psig", atmosphere=pressure)
