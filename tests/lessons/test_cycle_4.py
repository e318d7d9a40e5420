"""Numbers in the sentences of lesson cycle-4."""

import re
from functools import lru_cache

from coldcab import instruments, refrigerants, units, worked

LIFTED = "lifted off the pipe"


@lru_cache(maxsize=64)
def _work(**levers):
    return instruments.expansion_valve(system="us", ambient=85, **levers).readings


def _superheat(name="superheat", **levers):
    return units.convert(_work(**levers)[name], "temperature difference", "F")


def _opening(**levers):
    return instruments.valve_forces(**{"line": 46, **levers}).readings["forces"].opening


def _apart():
    return [float(value) for value in re.findall(r"([+-][\d.]+)\sK$", worked.superheat_by_two_tables().text, re.M)]


def _bulbs_differ():
    kelvin = units.from_unit(45, "temperature", "F")
    r12, r134a = (refrigerants.saturation_pressure(name, kelvin) for name in ("R-12", "R-134a"))
    return abs(units.convert(r12 - r134a, "pressure difference", "psi"))


SAID = [
    ("At 45 F the two press within 2 psi of each other", lambda: _bulbs_differ() < 2),
    (
        "Cases 1 and 2 close it. So does the loss in case 3 with the internal equaliser, but not with the external one",
        lambda: (
            max(_opening(low_side=33), _opening(spring=8), _opening(coil_drop=4)) < _opening()
            and _opening(coil_drop=4, equaliser="external") >= _opening()
        ),
    ),
    (
        "In the fourth the valve stays shut, although superheat is large",
        lambda: (
            _opening(line=88, low_side=55) < 0.05
            and instruments.valve_forces(line=88, low_side=55).readings["superheat"] > 10
        ),
    ),
    ("takes away about 8 F of superheat", lambda: abs(_superheat() - _superheat(bulb="strapped, left bare") - 8) < 0.7),
    (
        "The coil floods and superheat goes to nothing",
        lambda: (
            _work(bulb="lifted off the pipe")["status"] == "flood-back" and _superheat(bulb="lifted off the pipe") < 1
        ),
    ),
    (
        "The glass is clear at 60 % and still clear at 170 %",
        lambda: (
            {_work(charge=charge)["glass"] for charge in (60, 100, 170)} == {"clear"}
            and _work(charge=45)["glass"] != "clear"
        ),
    ),
    (
        "the glass stays clear while most of the room before the valve is filled with vapor",
        lambda: _work(kink=60)["glass"] == "clear" and _work(kink=60)["inlet_void"] > 0.5,
    ),
    (
        "lowers superheat by about 3 F and brings next to no capacity",
        lambda: (
            abs(_superheat(charge=35) - _superheat(charge=35, spring=-4) - 3) < 0.7
            and _work(charge=35, spring=-4)["capacity"] < 1.02 * _work(charge=35)["capacity"]
        ),
    ),
    ("The valve was nearly open already", lambda: _work(charge=35)["opening"] > 0.85),
    (
        "it reads about 30 F, at the coil it is about 9 F",
        lambda: abs(_superheat("superheat_measured", hose=60) - 30) < 1 and abs(_superheat(hose=60) - 9) < 0.7,
    ),
    ("Both agree within 0.1 K (0.2 F)", lambda: len(_apart()) == 6 and max(map(abs, _apart())) <= 0.1),
]
