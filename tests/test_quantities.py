"""Constants agree with what people may type, one tree of errors, declared ranges and their sentences."""

import ast
import importlib
import math
import re
from pathlib import Path

import numpy as np
import pytest

from coldcab import quantities, units
from coldcab.quantities import ABOVE_ZERO, MOST, Check, ColdcabError, Limit

SOURCE = Path(quantities.__file__).parent


class RoomError(ColdcabError):
    """The error of a made-up room."""


check = Check(RoomError)
SHOP = Limit("temperature", 273.15, 323.15, "C")


@pytest.mark.parametrize(
    ("constant", "kind", "unit"),
    [
        (quantities.PSI, "pressure difference", "psi"),
        (quantities.INCH_OF_MERCURY, "pressure difference", "inHg"),
        (quantities.MILLIMETER_OF_MERCURY, "pressure difference", "mmHg"),
        (quantities.FAHRENHEIT_DEGREE, "temperature difference", "F"),
        (quantities.POUND, "mass", "lb"),
        (quantities.OUNCE, "mass", "oz"),
        (quantities.FOOT, "length", "ft"),
        (quantities.SQUARE_MILLIMETER, "kinematic viscosity", "cSt"),
    ],
)
def test_constants_are_the_units_that_people_type(constant, kind, unit):
    assert constant == pytest.approx(units.from_unit(1.0, kind, unit), rel=1e-15)


def test_constants_follow_from_their_definitions():
    """Pound and inch of 1959, standard gravity; R over the molar mass of dry air, 28.9655 g/mol (CIPM-2007)."""
    assert pytest.approx(0.45359237 * 9.80665 / 0.0254**2, rel=1e-15) == quantities.PSI
    assert pytest.approx(25.4 * quantities.MILLIMETER_OF_MERCURY, rel=1e-15) == quantities.INCH_OF_MERCURY
    assert pytest.approx(quantities.MILLIMETER_OF_MERCURY / 1e3, rel=1e-15) == quantities.MICRON
    assert round(quantities.GAS_CONSTANT / 28.9655e-3, 2) == quantities.AIR_GAS_CONSTANT
    assert units.from_unit(-quantities.FAHRENHEIT_ZERO, "temperature", "F") == 0.0 * quantities.FAHRENHEIT_DEGREE


def test_every_error_of_ours_is_in_the_one_tree():
    """Each class called ...Error or Not... inherits from the base and stands in its picture."""
    found = {}
    # What stands in for a library in a browser has that library's errors.
    for path in (path for path in SOURCE.rglob("*.py") if "stand_ins" not in path.parts):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and (node.name.endswith("Error") or re.match("Not[A-Z]", node.name)):
                found[node.name] = ".".join(["coldcab", *path.relative_to(SOURCE).with_suffix("").parts])
    assert len(found) > 12
    for name, module in found.items():
        one = getattr(importlib.import_module(module), name)
        assert issubclass(one, ColdcabError), name
        assert name in (ColdcabError.__doc__ or ""), name


def test_both_ends_are_allowed_and_one_step_outside_is_not():
    for end, away in zip(SHOP.ends, (-math.inf, math.inf), strict=True):
        assert check.value("air", end, SHOP) == end
        for outside in (math.nextafter(end, away), away, math.nan):
            for given in (outside, [300.0, outside]):
                with pytest.raises(RoomError, match=r"^air .*0 C to 50 C"):
                    check.value("air", given, SHOP)


def test_numbers_stay_numbers_and_arrays_arrays():
    assert type(check.value("air", 300, SHOP)) is float
    assert type(check.value("air", np.array(300.0), SHOP)) is float
    assert check.array("air", 300, SHOP).shape == ()
    assert check.value("air", [[300, 301]], SHOP).shape == (1, 2)
    one, two = check.together(one=1.0, two=np.zeros((2, 3)))
    assert one.shape == two.shape == (2, 3)


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (
            lambda: check.value("warm_side", 90.25, Limit("temperature", 250.0, 330.0)),
            "warm side 90.25 K (-182.9 C, -297.2 F) is outside the range 250 K (-23.1 C, -9.7 F) to "
            "330 K (56.9 C, 134.3 F); did you mean 90.25 F = 305.51 K?",
        ),
        (
            lambda: check.value("pressure", -2e4, Limit("pressure", 1e3, 1e6, "kPa absolute"), " of R-12"),
            "pressure -20 kPa absolute is outside the range 1 kPa absolute to 1000 kPa absolute of R-12; add the "
            "pressure of the air (101325 Pa at sea level) to a gauge reading.",
        ),
        (
            lambda: check.value("fill", 60, Limit("share", 0.0, 0.8)),
            "fill 60 is outside the range 0 to 0.8; did you mean 60 % = 0.6?",
        ),
        (
            lambda: check.value("flow", 0.0, Limit("mass flow", ABOVE_ZERO, MOST)),
            "flow 0 kg/s is outside the range above 0; give a value in it.",
        ),
        (
            lambda: check.value("ratio", 0.5, Limit("ratio", 1.0, MOST, words="swap the two sides")),
            "ratio 0.5 is outside the range 1 or more; swap the two sides.",
        ),
        (lambda: check.number("air", [1.0, 2.0]), "air must be one number, not an array of 2; give a single number."),
        (lambda: check.value("air", "23 C", SHOP), "air must be a bare number in K, or an array of them; got '23 C'."),
        (lambda: check.value("air", True), "air must be a bare number in SI units, or an array of them; got 'True'."),
        (lambda: check.value("air", math.nan), "air is NaN (not a number); give a number in SI units."),
        (lambda: check.value("air", math.inf), "air is infinite; give a number in SI units."),
        (
            lambda: check.together(first_one=[1.0, 2.0], other=[1.0, 2.0, 3.0]),
            "the arrays have shapes that do not fit together: first one (2,), other (3,).",
        ),
    ],
)
def test_what_is_refused_gets_one_sentence(call, sentence):
    with pytest.raises(RoomError) as refusal:
        call()
    assert str(refusal.value) == sentence
