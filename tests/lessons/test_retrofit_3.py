"""Numbers in the sentences of lesson retrofit-3."""

from functools import cache

from coldcab import instruments, refrigerants
from coldcab.machine import Conditions
from coldcab.machine.fleet import FLEET
from coldcab.machine.simulate import CHARGE_TEMPERATURE
from coldcab.service import comparison, label, law

PSI = 6894.757293168


def kelvin(fahrenheit):
    return (fahrenheit + 459.67) / 1.8


def gap(fahrenheit):
    """Pressure of R-134a above that of R-12, Pa."""
    warm = kelvin(fahrenheit)
    return refrigerants.saturation_pressure("R-134a", warm) - refrigerants.saturation_pressure("R-12", warm)


@cache
def runs():
    return [
        comparison.side_by_side(machine, Conditions(ambient=warm + 273.15, inlet_temperature=warm + 273.15))
        for machine in FLEET.values()
        for warm in (30, 35, 40)
    ]


def switch_moves():
    """Setting of the same coil temperature, 20 to 32 psig."""
    moved = [psig - comparison.same_temperature(psig * PSI, old="R-12", new="R-134a") / PSI for psig in (20, 26, 32)]
    return all(1.5 < one < 3.5 for one in moved)


def first_at_the_switch():
    """A day on which R-12 still runs and R-134a does not."""
    made = instruments.two_refrigerants(machine=31, ambient=120, blocked=95, engine_speed=1800, system="us").readings
    return (made["old"]["status"], made["new"]["status"]) == ("running", "high-pressure cut-out")


def much_the_same():
    """Low side within 3 psi, cooling within 5 %, vent within 2 F, discharge cooler, on the day that is shown."""
    made = instruments.two_refrigerants(machine=31, system="us").readings
    low = abs(made["new"]["low_gauge"] - made["old"]["low_gauge"])
    cooler = made["new"]["discharge_line"] < made["old"]["discharge_line"]
    return low < 3 * PSI and abs(made["ratios"]["capacity"] - 1) < 0.05 and abs(made["vent_rise"]) < 2 / 1.8 and cooler


SAID = [
    ("The two lines cross near 62 F (17 C).", lambda: gap(61) < 0 < gap(63)),
    ("The low side hardly moves. The high side rises.", much_the_same),
    ("it is wrong for R-134a, by 2 or 3 psi", switch_moves),
    (
        "takes up about a fifth more heat",
        lambda: all(0.15 < one.ratio("capacity") / one.ratio("mass_flow") - 1 < 0.27 for one in runs()),
    ),
    ("about 15 % fewer pounds an hour", lambda: all(0.12 < 1 - one.ratio("mass_flow") < 0.20 for one in runs())),
    ("Heads of 6 to 10 % more", lambda: all(0.055 < one.ratio("high_pressure") - 1 < 0.105 for one in runs())),
    ("Find a day on which R-12 still runs and R-134a does not.", first_at_the_switch),
    ("Take the densities at 113 F (45 C)", lambda: abs(CHARGE_TEMPERATURE - kelvin(113)) < 0.01),
    ("80 to 90 % of the old charge", lambda: law.fact("S3").value.startswith("80-90")),
    ("or 90 % less a quarter of a pound", lambda: law.fact("S4").value == "0.90 x R-12 charge - 0.25 lb"),
    ("sky blue for R-134a, from memory", lambda: label.COLORS["R-134a"] == "sky blue"),
]
