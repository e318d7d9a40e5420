"""Numbers in the sentences of lesson faults-1."""

from functools import cache

from coldcab import instruments
from coldcab.service import clutch


@cache
def circuit(**settings):
    return instruments.clutch_circuit(system="us", **settings)


def current(**settings):
    return circuit(**settings).readings["circuit"].current


def heat(**settings):
    return circuit(**settings).readings["circuit"].coil_heat


def stays_out():
    """F from which on a worn gap is too wide, between two steps of the slider."""
    worn = {"gap": 0.050, "battery": 12.4}
    return next(f for f in range(70, 300, 5) if not circuit(coil_temperature=f, **worn).readings["engaged"])


SAID = [
    ("the battery stands at 13.8 V", lambda: circuit().settings["battery"] == 13.8),
    ("(234.5 + hot) ÷ (234.5 + cold)", lambda: abs(clutch.COPPER_ZERO - 273.15 + 234.5) < 1e-9),
    (
        "It falls by about a quarter",
        lambda: abs(1 - current(coil_temperature=230) / current(coil_temperature=68) - 0.25) < 0.03,
    ),
    ("the coil goes from 68 F to 230 F", lambda: current(coil_temperature=230) < current(coil_temperature=68)),
    (
        "about 0.1 V at a connection and 0.3 V at switch contacts. More than 1 V in all",
        lambda: {link.usual_drop for link in clutch.LINKS} == {0.1, 0.3} and clutch.MOST_IN_ALL == 1.0,
    ),
    (
        "The gap is worn to 0.050 in here",
        lambda: circuit(gap=0.020, battery=12.4, coil_temperature=300).readings["engaged"],
    ),
    ("Three amperes do", lambda: abs(current() - 3.0) < 0.5),
    (
        "a tenth of the turns is lost: 224 W. That much heat appears in a place made for forty watts",
        lambda: round(3 * 746 * (2000 - 1800) / 2000) == 224 and abs(circuit().readings["circuit"].coil_heat - 40) < 8,
    ),
    ("From about 180 F on the plate stays out", lambda: 170 < stays_out() <= 185),
    ("So 68 F is 20 C", lambda: (68 - 32) / 1.8 == 20),
    (
        "the head goes on climbing, here until the relief valve blows off",
        lambda: (
            circuit(
                charge=150, fault="condenser blocked", severity=100, ambient=120, bridge="high-pressure switch"
            ).readings["status"]
            == "relief"
        ),
    ),
    (
        "Bring the **charge** down to 6 %",
        lambda: circuit(charge=6).readings["switches"][0].state != "closed",
    ),
    (
        "outside air 120 F, then **charge** 150 %",
        lambda: (
            circuit(charge=150, fault="condenser blocked", severity=100, ambient=120).readings["status"]
            == "high-pressure cut-out"
        ),
    ),
    (
        "half the turns with twice the current make the same magnet. But the heat nearly doubles",
        lambda: (
            1.85 < current(shorted=50) / current() < 2.0
            and 0.95 < 0.5 * current(shorted=50) / current() < 1.0  # ampere-turns
            and 1.75 < heat(shorted=50) / heat() < 2.0
            and circuit(shorted=50).readings["margin"] < circuit().readings["margin"]
        ),
    ),
]
