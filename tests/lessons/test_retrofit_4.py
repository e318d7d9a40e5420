"""Numbers in the sentences of lesson retrofit-4."""

from functools import cache

from coldcab import instruments, refrigerants, units
from coldcab.lessons.retrofit_4 import worked as retrofit_4
from coldcab.service import cans, charging

OUNCE = units.from_unit(1.0, "mass", "oz")


def fahrenheit(number):
    return units.from_unit(number, "temperature", "F")


@cache
def bench(**settings):
    return instruments.charging_bench(system="us", **settings)


def feed_limit():
    """Ounces a minute that the suction gas of Unit 31 boils off."""
    seen = bench(weighed=46).readings
    superheat = seen["suction_line_at_compressor"] - seen["low_saturation_temperature"]
    limit = charging.liquid_feed_limit(
        "R-134a",
        suction_flow=seen["mass_flow"],
        superheat=superheat,
        pressure=seen["low_pressure"],
        can_temperature=298.15,
    )
    return 60 * limit / OUNCE


def chilled():
    """F of what is left when a tenth was drawn at once from 77 F."""
    left = cans.can_temperature("R-134a", drawn_share=0.1, start_temperature=fahrenheit(77.0))
    return units.convert(left, "temperature", "F")


def one_more_can(unit):
    """Where the clear glass and a can land on the plateau of a unit: 0 is its lower end, 1 its upper."""
    marks = bench(machine=unit).curve.marks
    return 12 * OUNCE / (marks.receiver_full - marks.glass_clears)


def low_side_gauge():
    return units.convert(bench(weighed=46).readings["low_gauge"], "pressure difference", "psi")


def cold_can_above_low_side():
    """psi that a can of 40 F stands above the low side."""
    can = units.convert(refrigerants.saturation_pressure("R-134a", fahrenheit(40.0)), "pressure", "psig")
    return can - low_side_gauge()


def heads(column):
    rows = [row.split() for row in retrofit_4.plateau_measured().text.splitlines()[2:]]
    return [float(row[column]) for row in rows]


SAID = [
    ("Only 12 oz are in it", lambda: bench(weighed=12).readings["glass"] == "streaks"),
    (
        "29 oz are in the machine on a mild day, 75 F, and the glass is clear",
        lambda: (
            bench(weighed=29, ambient=75).readings["glass"] == "clear"
            and bench(weighed=29, ambient=95).readings["glass"] == "bubbles"
        ),
    ),
    ("boil off about 7 oz a minute", lambda: 6.0 < feed_limit() < 8.0),
    ("A tenth drawn at once from 77 F leaves the rest near 52 F", lambda: abs(chilled() - 52.0) < 1.0),
    (
        "On a small machine one more can goes well past the middle, on a large one it stops well short of it",
        lambda: one_more_can(12) > 0.6 and one_more_can(31) < 0.4,
    ),
    ("a low side, about 33 psig", lambda: abs(low_side_gauge() - 33.0) < 3.0),
    ("At 40 F the can stands hardly above the low side", lambda: 0.0 < cold_can_above_low_side() < 8.0),
    (
        "Both heads are flat where the charge changes by a fifth",
        lambda: max(heads(2)) - min(heads(2)) <= 5.0 and max(heads(6)) - min(heads(6)) < 2.0,
    ),
    (
        "By density.** The same volume of liquid. This is physics, and it gives the middle of the plateau again",
        lambda: abs(bench().right_charge - bench().curve.marks.middle) < 3 * OUNCE,
    ),
    ("0.90 times the R-12 charge, less a quarter pound", lambda: charging.RULE == (0.90, 0.25 * charging.POUND)),
    ("80 to 90 %", lambda: charging.SHARES == (0.80, 0.90)),
]
