"""Units: what people type, what must be refused, and the way back into words."""

import json
import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from coldcab import units
from coldcab.units import KINDS, UnitError, conversion, convert, from_unit, generate, parse, show
from coldcab.units.conversion import scale_and_offset
from coldcab.units.table import WORDS

ATMOSPHERE = 101325.0  # Pa, ISO 2533:1975
PSI = 6894.757  # Pa
INCH_OF_MERCURY = 3386.389  # Pa
POUND = 0.45359237  # kg, exact
OUNCE = POUND / 16


# --- published factors --------------------------------------------------------------------------------------

# NIST Special Publication 811 (2008), appendix B.8, seven digits printed, from memory. Table values without a
# name of their own there follow from two of them.
FACTORS = [
    ("pressure difference", "psi", 6.894757e3),
    ("pressure difference", "inHg", 3.386389e3),
    ("pressure difference", "mmHg", 1.333224e2),
    ("pressure difference", "micron", 1.333224e-1),
    ("pressure difference", "inH2O", 2.490889e2),
    ("pressure difference", "kgf/cm2", 9.80665e4),
    ("pressure difference", "bar", 1e5),
    ("pressure difference", "atm", 1.01325e5),
    ("temperature difference", "F", 1 / 1.8),
    ("temperature difference", "C", 1.0),
    ("mass", "lb", 4.535924e-1),
    ("mass", "oz", 2.834952e-2),
    ("mass", "grains", 6.479891e-5),
    ("volume", "fl oz", 2.957353e-5),
    ("volume", "gal", 3.785412e-3),
    ("volume", "qt", 9.463529e-4),
    ("volume", "pt", 4.731765e-4),
    ("volume", "cu in", 1.638706e-5),
    ("volume", "cu ft", 2.831685e-2),
    ("length", "in", 2.54e-2),
    ("length", "ft", 3.048e-1),
    ("length", "mi", 1.609344e3),
    ("power", "Btu/h", 2.930711e-1),
    ("power", "tons of refrigeration", 3.516853e3),
    ("power", "hp", 7.456999e2),
    ("energy", "Btu", 1.055056e3),
    ("energy", "kWh", 3.6e6),
    ("energy", "kcal", 4.1868e3),
    ("specific energy", "Btu/lb", 2.326e3),
    ("mass flow", "lb/h", 1.259979e-4),
    ("mass flow", "lb/min", 7.559873e-3),
    ("volume flow", "cfm", 4.719474e-4),
    ("volume flow", "gpm", 6.309020e-5),
    ("rotational speed", "rpm", 1 / 60),
    ("density", "lb/cu ft", 1.601846e1),
    ("specific volume", "cu ft/lb", 6.242796e-2),
    ("kinematic viscosity", "cSt", 1e-6),
    ("humidity ratio", "grains/lb", 1 / 7000),
    ("fraction", "%", 1e-2),
]


@pytest.mark.parametrize(("kind", "unit", "factor"), FACTORS)
def test_published_factors(kind, unit, factor):
    """Seven printed digits: half of the last one is at most 5e-7 of the value."""
    assert from_unit(1.0, kind, unit) == pytest.approx(factor, rel=5e-7)
    assert convert(factor, kind, unit) == pytest.approx(1.0, rel=5e-7)


# --- what people type ---------------------------------------------------------------------------------------

READ = [
    ("about 31 psig", "pressure", ATMOSPHERE + 31 * PSI),
    ("approx. 31 psig", "pressure", ATMOSPHERE + 31 * PSI),
    ("~ 31 psig", "pressure", ATMOSPHERE + 31 * PSI),
    ("31.0 psig (315 kPa absolute)", "pressure", ATMOSPHERE + 31 * PSI),
    ("36.0 F (2.2 C)", "temperature", (36 + 459.67) / 1.8),
    ("2 lb 4.0 oz (1.02 kg)", "mass", 36 * OUNCE),
    ("3,000 g (6.6 lb)", "mass", 3.0),
    ("39 % (0.39)", "fraction", 0.39),
    # pressures
    ("31 psig", "pressure", ATMOSPHERE + 31 * PSI),
    ("31 PSIG", "pressure", ATMOSPHERE + 31 * PSI),
    ("31psig", "pressure", ATMOSPHERE + 31 * PSI),
    ("  31   psi  gauge ", "pressure", ATMOSPHERE + 31 * PSI),
    ("31 psi(g)", "pressure", ATMOSPHERE + 31 * PSI),
    ("31 lb/in2 gage", "pressure", ATMOSPHERE + 31 * PSI),
    ("+31 psig.", "pressure", ATMOSPHERE + 31 * PSI),
    ("-5 psig", "pressure", ATMOSPHERE - 5 * PSI),
    ("45 psia", "pressure", 45 * PSI),
    ("45 psi absolute", "pressure", 45 * PSI),
    ("2.1 bar", "pressure", 2.1e5),
    ("2.1 bar abs", "pressure", 2.1e5),
    ("2.1 bar(a)", "pressure", 2.1e5),
    ("2.1 bar gauge", "pressure", ATMOSPHERE + 2.1e5),
    ("2.1 barg", "pressure", ATMOSPHERE + 2.1e5),
    ("310 kPa", "pressure", 310e3),
    ("200 kPa gauge", "pressure", ATMOSPHERE + 200e3),
    ("0.31 MPa", "pressure", 310e3),
    ("0.31 MPa gauge", "pressure", ATMOSPHERE + 310e3),
    ("950 Pa", "pressure", 950.0),
    ("500 mbar", "pressure", 50e3),
    ("-12 inHg", "pressure", ATMOSPHERE - 12 * INCH_OF_MERCURY),
    ("\N{MINUS SIGN}12 inHg", "pressure", ATMOSPHERE - 12 * INCH_OF_MERCURY),
    ("\N{EN DASH} 12 in. Hg", "pressure", ATMOSPHERE - 12 * INCH_OF_MERCURY),
    ("12 in Hg vac", "pressure", ATMOSPHERE - 12 * INCH_OF_MERCURY),
    ("-12 inHg vac", "pressure", ATMOSPHERE - 12 * INCH_OF_MERCURY),
    ("12 inches of mercury vacuum", "pressure", ATMOSPHERE - 12 * INCH_OF_MERCURY),
    ("28.5 inHg vac", "pressure", ATMOSPHERE - 28.5 * INCH_OF_MERCURY),
    ("12 inHg abs", "pressure", 12 * INCH_OF_MERCURY),
    ("500 micron", "pressure", 0.5 * 133.3224),
    ("500 microns", "pressure", 0.5 * 133.3224),
    ("5 psi difference", "pressure difference", 5 * PSI),
    # temperatures
    ("36 F", "temperature", (36 + 459.67) / 1.8),
    ("36 degF", "temperature", (36 + 459.67) / 1.8),
    ("36 °F", "temperature", (36 + 459.67) / 1.8),
    ("36°f", "temperature", (36 + 459.67) / 1.8),
    ("36 \N{MASCULINE ORDINAL INDICATOR}F", "temperature", (36 + 459.67) / 1.8),
    ("36 \N{DEGREE FAHRENHEIT}", "temperature", (36 + 459.67) / 1.8),
    ("36 degrees Fahrenheit", "temperature", (36 + 459.67) / 1.8),
    ("2 C", "temperature", 275.15),
    ("-5 °C", "temperature", 268.15),
    ("275 K", "temperature", 275.0),
    ("10 F difference", "temperature difference", 10 / 1.8),
    ("10 F diff", "temperature difference", 10 / 1.8),
    ("10 °F of superheat", "temperature difference", 10 / 1.8),
    ("6 C difference", "temperature difference", 6.0),
    # masses, volumes, lengths, times
    ("2 lb 4 oz", "mass", 36 * OUNCE),
    ("2 lb, 4 oz", "mass", 36 * OUNCE),
    ("2lb4oz", "mass", 36 * OUNCE),
    ("2 pounds and 4 1/2 ounces", "mass", 36.5 * OUNCE),
    ("-2 lb 4 oz", "mass", -36 * OUNCE),
    ("60 oz", "mass", 60 * OUNCE),
    ("850 g", "mass", 0.85),
    ("8.5 fl oz", "volume", 8.5 * 2.957353e-5),
    ("8.5 fl. oz.", "volume", 8.5 * 2.957353e-5),
    ("250 mL", "volume", 250e-6),
    ("250 ML", "volume", 250e-6),
    ("250 cc", "volume", 250e-6),
    ("10 cu in", "volume", 1.638706e-4),
    ("0.4 m\N{SUPERSCRIPT THREE}", "volume", 0.4),
    ("1 1/2 in", "length", 0.0381),
    ("1-1/2 in", "length", 0.0381),
    ("1\N{VULGAR FRACTION ONE HALF} in", "length", 0.0381),
    ("\N{VULGAR FRACTION ONE HALF} in", "length", 0.0127),
    ("3/4 in", "length", 0.01905),
    ("3/4\N{DOUBLE PRIME}", "length", 0.01905),
    ("5 ft 3 in", "length", 1.6002),
    ("5' 3\"", "length", 1.6002),
    ("6,200 ft", "length", 1889.76),
    ("1 h 20 min", "time", 4800.0),
    # powers, flows and the rest
    ("12,500 Btu/h", "power", 12500 * 2.930711e-1),
    ("12,500 Btu per hour", "power", 12500 * 2.930711e-1),
    ("12 500 BTUH", "power", 12500 * 2.930711e-1),
    ("1.5 x 10^3 W", "power", 1500.0),
    ("1.5\N{MULTIPLICATION SIGN}10\N{SUPERSCRIPT THREE} W", "power", 1500.0),
    ("3.66 kW", "power", 3660.0),
    ("1.2 tons of refrigeration", "power", 1.2 * 3.516853e3),
    ("2 MW", "power", 2e6),
    ("2 mW", "power", 2e-3),
    ("95 lb/h", "mass flow", 95 * 1.259979e-4),
    ("1.6 lb/min", "mass flow", 1.6 * 7.559873e-3),
    ("43 g/s", "mass flow", 0.043),
    ("250 cfm", "volume flow", 250 * 4.719474e-4),
    ("62.5 Btu/lb", "specific energy", 62.5 * 2326),
    ("145 kJ/kg", "specific energy", 145e3),
    ("74 grains/lb", "humidity ratio", 74 / 7000),
    ("1800 rpm", "rotational speed", 30.0),
    ("46 %", "fraction", 0.46),
    ("46 per cent", "fraction", 0.46),
    ("4.6", "ratio", 4.6),
    ("1.5e3", "ratio", 1500.0),
    (".5", "ratio", 0.5),
    ("4.6 to 1", "ratio", 4.6),
    ("4.6:1", "ratio", 4.6),
    ("4.6 TO 1", "ratio", 4.6),
    ("3 : 2", "ratio", 1.5),
    ("3.8 ohm", "resistance", 3.8),
    ("3.8 \N{OHM SIGN}", "resistance", 3.8),
    ("12 k\N{GREEK CAPITAL LETTER OMEGA}", "resistance", 12e3),
    ("2 MΩ", "resistance", 2e6),
    ("2 mΩ", "resistance", 2e-3),
    ("12.6 V", "voltage", 12.6),
    ("3.5 A", "electric current", 3.5),
    ("46 cSt", "kinematic viscosity", 46e-6),
    ("78 lb/ft3", "density", 78 * 1.601846e1),
    ("0.9 ft3/lb", "specific volume", 0.9 * 6.242796e-2),
    # other keyboards
    ("\uff13\uff11 psig", "pressure", ATMOSPHERE + 31 * PSI),  # full-width digits
    ("\uff13\uff11 \uff50\uff53\uff49\uff47", "pressure", ATMOSPHERE + 31 * PSI),
    ("31\N{NO-BREAK SPACE}psig", "pressure", ATMOSPHERE + 31 * PSI),
    ("31\N{ZERO WIDTH SPACE} psig", "pressure", ATMOSPHERE + 31 * PSI),
    ("\N{ARABIC-INDIC DIGIT THREE}\N{ARABIC-INDIC DIGIT ONE} psig", "pressure", ATMOSPHERE + 31 * PSI),
]


@pytest.mark.parametrize(("text", "kind", "value"), READ)
def test_read(text, kind, value):
    """Expected values from the seven-digit factors above, so 1e-6 (of the atmosphere where it takes part)."""
    coarse = 1e-6 * ATMOSPHERE if kind == "pressure" else 0.0
    for quantity in (parse(text), parse(text, kind)):
        assert quantity.kind == kind
        assert quantity.value == pytest.approx(value, rel=1e-6, abs=coarse)
        assert type(quantity.value) is float
        assert quantity.text == " ".join(quantity.text.split())


def test_the_line_decides_where_a_word_has_two_meanings():
    assert parse("10 F").kind == "temperature"
    assert parse("10 F", "temperature difference").value == pytest.approx(10 / 1.8)
    assert parse("10 K", "temperature difference").value == 10.0
    assert parse("5 psi", "pressure difference").value == pytest.approx(5 * PSI, rel=1e-6)
    assert parse("34 kPa", "pressure difference").value == pytest.approx(34e3)
    assert parse("0.46", "fraction").value == 0.46
    assert parse("1 200 kPa").value == pytest.approx(1.2e6)


def test_unit_that_was_read_is_told():
    assert parse("31 PSIG").unit == "psig"
    assert parse("2 lb 4 oz").unit == "lb oz"
    assert parse("4.6").unit == ""


def test_gauge_readings_depend_on_the_atmosphere():
    high = 84_000.0
    assert parse("31 psig", atmosphere=high).value == pytest.approx(high + 31 * PSI, rel=1e-6)
    assert parse("20 inHg vac", atmosphere=high).value == pytest.approx(high - 20 * INCH_OF_MERCURY, rel=1e-6)
    assert parse("45 psia", atmosphere=high).value == parse("45 psia").value
    with pytest.raises(UnitError, match=r"the deepest vacuum here is 24\.80 inHg vacuum"):
        parse("28.5 inHg vac", atmosphere=high)
    for end, away in zip(units.ATMOSPHERE_RANGE, (-math.inf, math.inf), strict=True):
        assert parse("1 bar gauge", atmosphere=end).value == pytest.approx(end + 1e5)
        for outside in (math.nextafter(end, away), math.nan, "high", None, [ATMOSPHERE, ATMOSPHERE]):
            with pytest.raises(UnitError, match="atmosphere is"):
                parse("1 bar gauge", atmosphere=outside)


# --- what is refused ----------------------------------------------------------------------------------------

REFUSED = [
    ("31 psi", "pressure", "write psig for a gauge reading or psia"),
    ("31 psi", None, "write psig for a gauge reading or psia"),
    ("-3 psi", None, "write psig for a gauge reading or psia"),
    ("12 inHg", "pressure", "inHg does not say vacuum or absolute"),
    ("12 mmHg", "pressure", "mmHg does not say"),
    ("12", "pressure", "12 has no unit; this line wants a pressure, for example 31 psig."),
    ("36 F", "pressure", "that is a temperature; this line wants a pressure, for example 31 psig."),
    ("10 F difference", "temperature", "that is a temperature difference; this line wants a temperature"),
    ("4.6:1", "pressure", "that is a ratio; this line wants a pressure"),
    ("45 psia", "pressure difference", "this line wants a difference of two: write plain psi"),
    ("8 oz", "volume", "for fluid ounces write fl oz"),
    ("8 fl oz", "mass", "for ounces by weight write oz"),
    ("46", "fraction", "for per cent write 46 %"),
    ("-0.1", "fraction", "not a fraction from 0 to 1"),
    ("31 psgi", None, "did you mean psig?"),
    ("31 psgi", "pressure", "did you mean psig?"),
    ("36 Farenheit", "temperature", "did you mean F?"),
    ("250 mLs", "volume", "did you mean mL?"),
    ("6 degrees", "temperature difference", "degrees of which scale? Write F or C"),
    ("12 furlongs", "length", "furlongs is not a unit known here; this line wants a length"),
    ("0.3 mPa", "pressure", "for megapascal write MPa"),
    ("12 mpa", None, "for megapascal write MPa"),
    ("12 MV", "voltage", "MV is not a unit known here"),
    ("3,66 kW", "power", "write decimals with a point"),
    ("1.234,5 kW", "power", "write decimals with a point"),
    ("1,23,456 kW", "power", "write decimals with a point"),
    ("12'500 W", "power", "write decimals with a point"),
    ("1.2.3 kW", "power", "write decimals with a point"),
    ("30 inHg vac", "pressure", "30 inHg vac is below absolute zero; the deepest vacuum here is 29.92"),
    ("-20 psig", "pressure", "-20 psig is below absolute zero; the lowest possible here is -14.69 psig"),
    ("-1 bar", "pressure", "below absolute zero; the lowest possible here is 0.00 bar absolute"),
    ("-460 F", "temperature", "the lowest possible here is -459.67 F"),
    ("-1 K", "temperature", "below absolute zero"),
    ("-3 ohm", "resistance", "below zero"),
    ("-1 h 20 min", "time", "below zero"),
    ("", "pressure", "nothing is written here; this line wants a pressure"),
    (" \t\n", None, "nothing is written here"),
    ("psig", "pressure", "does not start with a number"),
    ("about psig", "pressure", "does not start with a number"),
    ("about about 31 psig", "pressure", "does not start with a number"),
    ("46 F (12 C)", "temperature", "the two values in 46 F (12 C) differ"),
    ("46 F (8 kPa)", "temperature", "that is a pressure"),
    ("46 F (8)", "temperature", "8 has no unit"),
    ("46 F (8 C) (8 C)", "temperature", "more than one value"),
    ("nan psig", "pressure", "does not start with a number"),
    ("inf", None, "does not start with a number"),
    ("-inf psig", None, "does not start with a number"),
    ("1e999 psig", None, "far outside"),
    ("1e-999 psig", None, "far outside"),
    ("1e13 W", None, "far outside"),
    ("1e-13 W", None, "far outside"),
    ("9" * 100 + " psig", None, "too many digits"),
    ("9" * 400, None, "too long"),
    ("1e" + "9" * 50, None, "too many digits"),
    ("x" * 10_000, "mass", "too long"),
    ("30-35 psig", "pressure", "write one value"),
    ("30 to 35 psig", "pressure", "write one value"),
    ("31 \N{PLUS-MINUS SIGN} 1 psig", "pressure", "write one value"),
    ("2**9999", None, "write one value"),
    ("10\N{SUPERSCRIPT TWO}", None, "write one value"),
    ("31 psig 5", None, "more than one value"),
    ("31 psig 32 psig", "pressure", "more than one value"),
    ("4 oz 2 lb", "mass", "more than one value"),
    ("2 lb 3 lb", "mass", "more than one value"),
    ("2 lb 4 F", "mass", "that is a temperature"),
    ("2 lb 4", "mass", "the last number in 2 lb 4 has no unit"),
    ("1/0 in", None, "divides by zero"),
    ("4.6 to 0", None, "divides by zero"),
    ("__import__('os')", None, "does not start with a number"),
    ("<script>alert(1)</script>", "pressure", "does not start with a number"),
    ("12 <b>psig</b>", "pressure", "is not a unit known here"),
    ("31\x00 psig", "pressure", "is not a unit known here"),
    ("31 \udcff", "pressure", "is not a unit known here"),
]


def is_one_plain_sentence(message):
    assert message.isprintable(), "no control characters, no line ends"
    assert message.endswith(".")
    assert not set(message) & set("<>&`"), "nothing that a page could take for code"
    assert len(message) <= 220


@pytest.mark.parametrize(("text", "kind", "words"), REFUSED)
def test_refused_by_one_plain_sentence(text, kind, words):
    with pytest.raises(UnitError) as error:
        parse(text, kind)
    assert words in str(error.value)
    is_one_plain_sentence(str(error.value))
    assert text[:41] not in str(error.value) or len(text) <= 40


@pytest.mark.parametrize(
    ("inside", "outside", "words"),
    [
        ("31 psig".ljust(120), "31 psig".ljust(121), "too long"),
        ("0." + "1" * 22, "0." + "1" * 23, "too many digits"),
        ("1e12 W", "1.1e12 W", "far outside"),
        ("-1e12 psi difference", "-1.1e12 psi difference", "far outside"),
        ("1e-12 W", "0.9e-12 W", "far outside"),
        ("0 W", "1e-400 W", "far outside"),
        ("1", "1.0001", "not a fraction from 0 to 1"),
        ("0", "-0.0001", "not a fraction from 0 to 1"),
        ("100 oz", "100 oz 1", "has no unit"),
        ("1 h 59 min 3 s", "1 h 3 s 59 min", "more than one value"),
        ("46.0 F (7.8 C)", "46.0 F (7.6 C)", "differ"),
        ("46 F (7 C)", "46 F (6 C)", "differ"),  # 7.8 C, to a step of either
        ("49 F (9 C)", "49 F (12 C)", "differ"),
        ("0 % (0)", "0 % (2)", "not a fraction"),
    ],
)
def test_the_last_that_is_read_and_the_first_that_is_not(inside, outside, words):
    kind = "fraction" if "fraction" in words else None
    parse(inside, kind)
    with pytest.raises(UnitError) as error:
        parse(outside, kind)
    assert words in str(error.value)


@pytest.mark.parametrize("text", [None, 12, 3.5, b"31 psig", ["31 psig"]])
def test_only_text_is_read(text):
    with pytest.raises(UnitError, match="must be text") as error:
        parse(text, "pressure")
    is_one_plain_sentence(str(error.value))


def test_unknown_kind_and_system():
    for call in (lambda: parse("31 psig", "presure"), lambda: show(1.0, "presure"), lambda: parse("1", [])):
        with pytest.raises(UnitError, match="is not a kind of quantity"):
            call()
    with pytest.raises(UnitError, match="it must be us or si"):
        show(1.0, "pressure", system="metric")
    for value in ("warm", None, [1.0, 2.0], 1j):
        with pytest.raises(UnitError, match="must be one number"):
            show(value, "pressure")


LETTERS = sorted({letter for word in WORDS for letter in word} | set("0123456789 .,/-+:()'\"°e"))
kinds = st.sampled_from([None, *KINDS])


@given(st.one_of(st.text(), st.text(LETTERS, max_size=30)), kinds)
@example("\N{ARABIC LIGATURE SALLALLAHOU ALAYHE WASALLAM}" * 100, "mass")
@example("1 " * 60, None)
@example("1 lb " * 20, None)
@example("9,999" * 24, None)
def test_anything_typed_is_read_or_refused(text, kind):
    """Never another error, never a value that is not a finite number, never below absolute zero."""
    try:
        quantity = parse(text, kind)
    except UnitError as error:
        is_one_plain_sentence(str(error))
        return
    assert math.isfinite(quantity.value)
    assert kind in (None, quantity.kind)
    assert quantity.kind in KINDS
    if quantity.kind in ("pressure", "temperature"):
        assert quantity.value >= 0.0
    assert show(quantity.value, quantity.kind) != "no value"


def number_as_typed(value):
    return st.sampled_from([f"{value}", f"{value:g}", f"{value:,.3f}", f"{value:e}"])


@given(st.integers(0, 10**6).map(lambda n: n / 100).flatmap(number_as_typed), st.sampled_from(sorted(WORDS)))
def test_every_word_of_the_table_is_read(number, word):
    """The kept words themselves are ones that people can type; a bare psi or inHg has to be refused."""
    for unit in WORDS[word]:
        if unit.reference == "unsaid":
            with pytest.raises(UnitError, match="does not say"):
                parse(f"{number} {word}", unit.kind)
            continue
        # No vacuum is deeper than the atmosphere, so these words take a small number.
        text = f"0.001 {word}" if unit.reference == "vacuum" else f"{number} {word}"
        assert parse(text, unit.kind).unit == unit.name


# --- the table itself ---------------------------------------------------------------------------------------


def test_table_of_units_is_sound():
    """Every word means at most one unit of a kind; pint knows every unit and gives it a size."""
    seen = set()
    for word, found in WORDS.items():
        assert len({unit.kind for unit in found}) == len(found), word
        seen.update(found)
    for unit in seen:
        scale, offset = scale_and_offset(unit)
        assert scale > 0.0
        assert (offset != 0.0) == (unit.kind == "temperature" and unit.name in ("F", "C"))
        assert unit.kind in KINDS
    assert {unit.kind for unit in seen} | {"ratio"} == set(KINDS)


def test_examples_in_the_kinds_are_read():
    for kind, description in KINDS.items():
        text = description.partition(", for example ")[2]
        assert parse(text, kind).kind == kind


# --- numbers and arrays -------------------------------------------------------------------------------------

NAMED = sorted({(unit.kind, unit.name) for found in WORDS.values() for unit in found if unit.reference != "unsaid"})


@given(st.sampled_from(NAMED), st.floats(0.0, 29.0), st.floats(100e3, 110e3))
def test_convert_and_from_unit_go_there_and_back(named, number, atmosphere):
    kind, name = named
    if name.endswith("vacuum"):  # as a share of the deepest one there can be
        number *= convert(0.0, kind, name, atmosphere=atmosphere) / 30.0
    value = from_unit(number, kind, name, atmosphere=atmosphere)
    assert type(value) is float
    # 1e-9 of an atmosphere is what rounding leaves of a reading taken from a difference.
    back = convert(value, kind, name, atmosphere=atmosphere)
    assert back == pytest.approx(
        number, rel=1e-9, abs=1e-9 * abs(convert(0.0, kind, name, atmosphere=atmosphere)) + 1e-9
    )
    assert parse(f"{number:.6f} {name}", kind, atmosphere=atmosphere).value == pytest.approx(
        from_unit(round(number, 6), kind, name, atmosphere=atmosphere), rel=1e-9
    )


def test_arrays():
    gauge = np.array([[0.0, 10.0], [31.0, 250.0]])
    values = from_unit(gauge, "pressure", "psig")
    assert values == pytest.approx(ATMOSPHERE + gauge * PSI, rel=1e-6)
    assert convert(values, "pressure", "psig") == pytest.approx(gauge)
    assert convert([273.15, 373.15], "temperature", "F") == pytest.approx([32.0, 212.0])
    high = np.array([84_000.0, ATMOSPHERE])
    assert convert(ATMOSPHERE, "pressure", "psig", atmosphere=high) == pytest.approx(
        (ATMOSPHERE - high) / PSI, rel=1e-6
    )
    assert math.isnan(convert(math.nan, "mass", "lb"))
    assert convert(0.46, "fraction", "") == 0.46


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: convert(1e5, "pressure", "psi"), "does not say gauge or absolute"),
        (lambda: convert(1e5, "pressure", "inHg"), "does not say vacuum or absolute"),
        (lambda: convert(1e5, "pressure", "lb"), "that is a mass"),
        (lambda: convert(1e5, "pressure", ""), "is not a unit known here"),
        (lambda: convert(1e5, "pressure", 3), "unit must be a short text"),
        (lambda: convert("much", "pressure", "psig"), "value must be a number"),
        (lambda: from_unit([0.0, -20.0], "pressure", "psig"), "below absolute zero"),
        (lambda: from_unit(-300.0, "temperature", "C"), "below absolute zero"),
        (lambda: convert(1e5, "pressure", "psig", atmosphere=1.0), "atmosphere is 1"),
    ],
)
def test_numbers_refused(call, words):
    with pytest.raises(UnitError) as error:
        call()
    assert words in str(error.value)
    is_one_plain_sentence(str(error.value))


# --- writing ------------------------------------------------------------------------------------------------

SHOWN = [
    # Values by the factors at the top of this file; digits as in the docstring of `show`.
    (ATMOSPHERE + 31 * PSI, "pressure", "31.0 psig (315 kPa absolute)"),
    (ATMOSPHERE, "pressure", "0.0 psig (101 kPa absolute)"),
    (ATMOSPHERE - 12 * INCH_OF_MERCURY, "pressure", "12.0 inHg vacuum (60.7 kPa absolute)"),
    (66.661, "pressure", "500 micron (66.7 Pa absolute)"),
    (0.0, "pressure", "0.00 micron (0.00 Pa absolute)"),
    # A vacuum gauge's micron below 1000 Pa, a dial's inHg from there.
    (999.0, "pressure", "7,493 micron (999 Pa absolute)"),
    (1000.0, "pressure", "29.6 inHg vacuum (1.00 kPa absolute)"),
    (1250.0, "pressure", "29.6 inHg vacuum (1.25 kPa absolute)"),
    # A dial shows tenths: what would be 0.0 psig is not told as a vacuum.
    (ATMOSPHERE - 0.04 * PSI, "pressure", "0.0 psig (101 kPa absolute)"),
    (ATMOSPHERE - 0.06 * PSI, "pressure", "0.1 inHg vacuum (101 kPa absolute)"),
    (ATMOSPHERE - 0.15 * PSI, "pressure", "0.3 inHg vacuum (100 kPa absolute)"),
    (1.7e6, "pressure", "231.9 psig (1,700 kPa absolute)"),
    (5 * PSI, "pressure difference", "5.0 psi (34.5 kPa)"),
    ((36 + 459.67) / 1.8, "temperature", "36.0 F (2.2 C)"),
    (273.149, "temperature", "32.0 F (0.0 C)"),
    (10 / 1.8, "temperature difference", "10.0 F (5.6 K)"),
    (36 * OUNCE, "mass", "2 lb 4.0 oz (1.02 kg)"),
    (-36 * OUNCE, "mass", "-2 lb 4.0 oz (-1.02 kg)"),
    (15.96 * OUNCE + POUND, "mass", "2 lb 0.0 oz (906 g)"),
    (3 * OUNCE, "mass", "3.0 oz (85.0 g)"),
    (8.5 * 2.957353e-5, "volume", "8.5 fl oz (251 mL)"),
    (0.0381, "length", "1.50 in (38.1 mm)"),
    (1609.344, "length", "5,280 ft (1,609 m)"),
    (3663.4, "power", "12,500 Btu/h (3.66 kW)"),
    (145e3, "specific energy", "62.3 Btu/lb (145 kJ/kg)"),
    (0.012, "mass flow", "95.2 lb/h (12.0 g/s)"),
    (0.05 / 31557600, "mass flow", "1.76 oz/year (50.0 g/year)"),
    (0.1, "volume flow", "212 cfm (360 m3/h)"),
    (30.0, "rotational speed", "1,800 rpm"),
    (4.6, "ratio", "4.60"),
    (0.46, "fraction", "46.0 %"),
    (3.5, "electric current", "3.50 A"),
    (12.6, "voltage", "12.6 V"),
    (3.8, "resistance", "3.80 ohm"),
    (1200.0, "time", "20.0 min"),
    (46e-6, "kinematic viscosity", "46.0 cSt"),
    (0.0106, "humidity ratio", "74.2 grains/lb (10.6 g/kg)"),
    (1250.0, "density", "78.0 lb/cu ft (1,250 kg/m3)"),
    (0.056, "specific volume", "0.897 cu ft/lb (0.0560 m3/kg)"),
    (500e3, "energy", "474 Btu (500 kJ)"),
    (math.nan, "pressure", "no value"),
    (math.inf, "mass", "no value"),
    # Where a unit gives way to the next, on both sides.
    (999.0, "pressure difference", "0.145 psi (999 Pa)"),
    (1000.0, "pressure difference", "0.145 psi (1.00 kPa)"),
    (0.45, "mass", "15.9 oz (450 g)"),
    (0.4536, "mass", "1 lb 0.0 oz (454 g)"),
    (0.999, "mass", "2 lb 3.2 oz (999 g)"),
    (1.0, "mass", "2 lb 3.3 oz (1.00 kg)"),
    (0.00099, "volume", "33.5 fl oz (990 mL)"),
    (0.00101, "volume", "34.2 fl oz (1.01 L)"),
    (0.0199, "volume", "673 fl oz (19.9 L)"),
    (0.02, "volume", "0.706 cu ft (20.0 L)"),
    (0.99, "volume", "35.0 cu ft (990 L)"),
    (1.0, "volume", "35.3 cu ft (1.00 m3)"),
    (0.99, "length", "39.0 in (990 mm)"),
    (1.0, "length", "3.28 ft (1.00 m)"),
    (999.0, "power", "3,409 Btu/h (999 W)"),
    (1000.0, "power", "3,412 Btu/h (1.00 kW)"),
    (9.9e-8, "mass flow", "110 oz/year (3,124 g/year)"),
    (1e-7, "mass flow", "0.000794 lb/h (0.000100 g/s)"),
    (0.99, "electric current", "990 mA"),
    (1.0, "electric current", "1.00 A"),
    (0.99, "voltage", "990 mV"),
    (1.0, "voltage", "1.00 V"),
    (9990.0, "resistance", "9,990 ohm"),
    (1e4, "resistance", "10.0 kohm"),
    (999e3, "resistance", "999 kohm"),
    (1e6, "resistance", "1.00 Mohm"),
    (119.0, "time", "119 s"),
    (120.0, "time", "2.00 min"),
    (7140.0, "time", "119 min"),
    (7200.0, "time", "2.00 h"),
    (171360.0, "time", "47.6 h"),
    (172800.0, "time", "2.00 days"),
    (999e3, "energy", "947 Btu (999 kJ)"),
    (1e6, "energy", "948 Btu (1.00 MJ)"),
    # The sign changes no unit; nothing is nothing; at most nine decimals.
    (-0.5, "mass", "-1 lb 1.6 oz (-500 g)"),
    (-1500.0, "power", "-5,118 Btu/h (-1.50 kW)"),
    (0.0, "mass", "0.0 oz (0.00 g)"),
    (OUNCE / 2, "mass", "0.500 oz (14.2 g)"),
    (1e-12, "length", "0.000000000 in (0.000000001 mm)"),
    (-1e-9 / 1.8, "temperature difference", "0.0 F (0.0 K)"),
]


@pytest.mark.parametrize(("value", "kind", "words"), SHOWN)
def test_shown(value, kind, words):
    assert show(value, kind) == words
    assert show(np.float64(value), kind, system="us") == words


def test_every_kind_is_shown():
    assert {kind for _, kind, _ in SHOWN} == set(KINDS)


def test_si_comes_first_on_request():
    assert show(ATMOSPHERE + 31 * PSI, "pressure", system="si") == "315 kPa absolute (31.0 psig)"
    assert show(30.0, "rotational speed", system="si") == "1,800 rpm"


def test_shown_gauge_depends_on_the_atmosphere():
    assert show(84_000.0, "pressure", atmosphere=84_000.0) == "0.0 psig (84.0 kPa absolute)"
    assert show(84_000.0, "pressure") == "5.1 inHg vacuum (84.0 kPa absolute)"


@given(kinds.filter(bool), st.floats(1e-3, 1e4), st.sampled_from(["us", "si"]))
def test_what_is_shown_can_be_typed(kind, value, system):
    """Three figures or tenths of the unit are kept: 0.5 %, or 0.05 of the smallest unit."""
    if kind == "temperature":
        value += 200.0
    first = show(value, kind, system=system).split(" (")[0]
    # A whole step of the last digit in SI: 0.1 psi, 0.1 inHg, 0.1 F, 0.1 oz, 0.1 fl oz.
    step = {"pressure": 690.0, "pressure difference": 690.0, "mass": 0.0029, "volume": 3e-6, "fraction": 1e-3}
    coarse = step.get(kind, 0.1 if kind.startswith("temperature") else 1e-9)
    assert parse(first, kind).value == pytest.approx(value, rel=5.1e-3, abs=coarse)


# --- lightness ----------------------------------------------------------------------------------------------


# --- what pint says ------------------------------------------------------------------------------------------


def test_the_stored_factors_are_what_pint_says_and_none_is_missing():
    stored = json.loads((Path(conversion.__file__).with_name(conversion.FACTORS)).read_text(encoding="utf-8"))
    assert stored == json.loads(generate.text())
    assert all(unit.expression in stored[unit.kind] for unit in generate.all_units())


def test_a_reading_does_not_wait_for_pint():
    program = "import sys, coldcab.units as u; u.parse('31 psig', 'pressure'); print('pint' in sys.modules)"
    said = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "False"
