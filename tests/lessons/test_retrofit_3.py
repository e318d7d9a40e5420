"""Lesson retrofit-3: the numbers in its sentences, its sheet worked out by another way, its example against print."""

import re
from functools import cache

import pytest
from CoolProp.CoolProp import PropsSI

from coldcab import assess, instruments, lessons, refrigerants, worked
from coldcab.machine import Conditions
from coldcab.machine.fleet import FLEET
from coldcab.machine.simulate import CHARGE_TEMPERATURE
from coldcab.scenario.fleet import CONVERTED
from coldcab.service import comparison, label, law, warming
from lesson_rows import fahrenheit as kelvin
from lesson_rows import takes
from material import GRADED, keys_of

POUND, OUNCE, PSI, SEA_LEVEL = 0.45359237, 0.028349523125, 6894.757293168, 101_325.0
INSTRUMENTS_SWITCH = keys_of("retrofit-3").INSTRUMENTS_SWITCH
LEARNER = ("2026-autumn", "birch")


def gap(fahrenheit):
    """Pressure of R-134a above that of R-12, Pa."""
    warm = kelvin(fahrenheit)
    return refrigerants.saturation_pressure("R-134a", warm) - refrigerants.saturation_pressure("R-12", warm)


@cache
def runs():
    return [
        comparison.side_by_side(machine, Conditions(ambient=warm + 273.15, inlet_temperature=warm + 273.15))
        for machine in (FLEET[unit.number] for unit in CONVERTED)
        for warm in (30, 35, 40)
    ]


def switch_moves():
    """Setting of the same coil temperature, 20 to 32 psig."""
    moved = [psig - comparison.same_temperature(psig * PSI, old="R-12", new="R-134a") / PSI for psig in (20, 26, 32)]
    return all(1.5 < one < 3.5 for one in moved)


def first_at_the_switch():
    """A day on which R-12 still runs and R-134a does not."""
    made = instruments.two_refrigerants(machine=31, ambient=115, blocked=50, system="us").readings
    return (made["old"]["status"], made["new"]["status"]) == ("running", "high-pressure cut-out")


def much_the_same():
    """Low side within 3 psi, cooling within 5 %, vent within 2 F, discharge cooler, on the day that is shown."""
    made = instruments.two_refrigerants(machine=31, system="us").readings
    low = abs(made["new"]["low_gauge"] - made["old"]["low_gauge"])
    cooler = made["new"]["discharge_line"] < made["old"]["discharge_line"]
    return low < 3 * PSI and abs(made["ratios"]["capacity"] - 1) < 0.05 and abs(made["vent_rise"]) < 2 / 1.8 and cooler


def stands_at(fahrenheit):
    """Whether the bench of the page starts on such a day."""
    return abs(instruments.two_refrigerants(machine=31).settings["ambient"] - kelvin(fahrenheit)) < 0.01


SAID = [
    ("the combine on a day of 95 F (35 C)", lambda: stands_at(95) and abs(kelvin(95) - 308.15) < 0.01),
    ("Move the low side below to 28 psig", lambda: takes(instruments.gauge_pair, low=28)),
    ("Go to 115 F", lambda: takes(instruments.two_refrigerants, machine=31, ambient=115, blocked=50)),
    ("At 115 F a condenser half blocked is enough", first_at_the_switch),
    ("by the densities at 113 F", lambda: abs(CHARGE_TEMPERATURE - kelvin(113)) < 0.01),
    # Myhre and others, IPCC 2013, table 8.A.1, 100 years, from memory; over 20 years R-134a stands at 3,710.
    ("IPCC assessment reports, 100 years", lambda: warming.warming_potential("R-134a") == 1300),
    ("The two lines cross near 62 F (17 C).", lambda: gap(61) < 0 < gap(63)),
    ("The low side hardly moves. The high side rises.", much_the_same),
    ("it is wrong for R-134a, by 2 or 3 psi", switch_moves),
    (
        "takes up about a fifth more heat",
        lambda: all(0.15 < one.ratio("capacity") / one.ratio("mass_flow") - 1 < 0.27 for one in runs()),
    ),
    ("about 15 % fewer pounds an hour", lambda: all(0.12 < 1 - one.ratio("mass_flow") < 0.20 for one in runs())),
    (
        "On this course's machines it rises by 5 to 11 %, most on the hottest days.",
        lambda: all(0.045 < one.ratio("high_pressure") - 1 < 0.115 for one in runs()),
    ),
    (
        "A head that was measured rose by 4 to 8 %.",
        lambda: "+4 to +8 %" in worked.measured_conversion().text,
    ),
    (
        "the head rose by 4 to 8 %. On the invented machines it is up to some 3 points more on the hottest day.",
        lambda: "+4 to +8 %       +5 to +11 %" in worked.measured_conversion().text,
    ),
    ("Find a day on which R-12 still runs and R-134a does not.", first_at_the_switch),
    ("Take the densities at 113 F (45 C)", lambda: abs(CHARGE_TEMPERATURE - kelvin(113)) < 0.01),
    ("80 to 90 % of the old charge", lambda: law.fact("S3").value.startswith("80-90")),
    ("or 90 % less a quarter of a pound", lambda: law.fact("S4").value == "0.90 x R-12 charge - 0.25 lb"),
    ("sky blue for R-134a, from memory", lambda: label.COLORS["R-134a"] == "sky blue"),
]


@pytest.fixture(scope="module")
def sheet():
    return lessons.case("retrofit-3", *LEARNER), GRADED["retrofit-3"]


def test_answers_by_hand(sheet):
    """Charge and switch from CoolProp directly, leaks with the AR5 potentials as printed by the IPCC (from memory)."""
    case, form = sheet
    old, new = (PropsSI("D", "T", 318.15, "Q", 0, name) for name in ("R12", "R134a"))
    assert form.item("starting charge").answer(case) == pytest.approx(case.charge_lb * POUND * new / old, rel=3e-4)
    boiling = PropsSI("T", "P", case.low_switch_psig * PSI + SEA_LEVEL, "Q", 1, "R12")
    setting = PropsSI("P", "T", boiling, "Q", 1, "R134a")
    assert form.item("new low-pressure setting").answer(case) == pytest.approx(setting, rel=3e-4)
    potential = {"R-12": 10_200, "R-134a": 1_300}[case.leaking_refrigerant]
    cost = sum(case.added_oz) * OUNCE * potential
    assert form.item("CO2 equivalent of the leaks").answer(case) == pytest.approx(cost, rel=1e-9)


@pytest.mark.parametrize("number", range(12))
def test_the_instrument_gives_what_the_sheet_wants(number):
    """What a learner reads off the instrument, as it shows it, is marked right."""
    case = lessons.case("retrofit-3", "t", f"learner-{number}")
    form = GRADED["retrofit-3"]
    told = instruments.two_refrigerants(
        machine=case.unit.number, ambient=case.ambient_fahrenheit, engine_speed=case.engine_rpm, system="us"
    ).description()
    high = re.search(r"high side: R-12 [\d.]+ psig, R-134a ([\d.]+) psig", told)[1]
    share = re.search(r"cooling capacity: .*? change ([+-][\d.]+ %)", told)[1]
    assert assess.mark(form.item("high side with R-134a"), f"{high} psig", case).status == "right"
    assert assess.mark(form.item("change in cooling capacity"), share, case).status == "right"
    margin = f"{case.cutout_psig - float(high):.1f} psi"
    assert assess.mark(form.item("margin to the cut-out"), margin, case).status == "right"


def test_the_instruments_own_switch():
    """The wrong idea of the margin names the fleet's switch: 26 bar above the air are 377 psi."""
    assert {round(machine.switches.high_cutout / PSI) for machine in FLEET.values()} == {round(INSTRUMENTS_SWITCH)}


def test_measured_conversion():
    """Jetter and Delafield (1997): head +4 to +8 %; ours overlaps it, with the 3 points above that the text admits."""
    text = worked.measured_conversion().text
    printed, own = re.search(r"discharge pressure, R-134a +(\S+ to \S+) % +(\S+ to \S+) %", text).groups()
    assert printed == "+4 to +8"
    low, high = (float(one) for one in own.split(" to "))
    assert 4 <= low <= 8
    assert high <= 8 + 3


def test_the_draft_names_what_the_law_wants():
    """Blank is only what the law's list asks for, and the draft leaves nothing of that list out."""
    wanted = {field.name for field in label.FIELDS if field.always}
    for number in range(20):
        case = lessons.case("retrofit-3", "t", f"learner-{number}")
        written = dict(entry.split(": ") for entry in case.draft.split("; "))
        assert written.keys() == wanted
        blank = [name for name, state in written.items() if state == "blank"]
        assert blank in ([], [GRADED["retrofit-3"].item("missing on the label").answer(case)])
