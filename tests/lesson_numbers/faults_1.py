"""Numbers in the sentences of lesson faults-1."""

from functools import cache

from coldcab import instruments
from coldcab.service import clutch


@cache
def circuit(**settings):
    return instruments.clutch_circuit(system="us", **settings)


def current(**settings):
    return circuit(**settings).readings["circuit"].current


def falls_off():
    """F at which a worn gap lets go, between two steps of the slider."""
    worn = {"gap": 0.050, "battery": 12.4}
    return next(f for f in range(70, 300, 5) if not circuit(coil_temperature=f, **worn).readings["engaged"])


def slipping():
    """W between the faces when a fifth of the turns of Unit 31 is lost."""
    return 0.2 * circuit().readings["power"]


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
        lambda: 100 < falls_off() < 250 and circuit(gap=0.020, battery=12.4, coil_temperature=300).readings["engaged"],
    ),
    ("Three amperes do", lambda: abs(current() - 3.0) < 0.5),
    (
        "Hundreds of watts appear in a place made for forty",
        lambda: slipping() > 200 and abs(circuit().readings["circuit"].coil_heat - 40) < 8,
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
        "Shorted turns give more current and **less** pull",
        lambda: (
            current(shorted=50) > current() and circuit(shorted=50).readings["margin"] < circuit().readings["margin"]
        ),
    ),
]
