"""Numbers in the sentences of lesson faults-4."""

import re

from coldcab import units, worked
from coldcab.faults import HEALTHY
from coldcab.scenario import clinic
from material import keys_of

CAUSES = keys_of("faults-4").read_causes("practice_causes.csv")

PSI = units.from_unit(1.0, "pressure difference", "psi")


def _widest(name, unit):
    """How far healthy practice machines lie from the healthy machine of their day, at most."""
    found = [
        abs(clinic.ticket(number).seen[name] - clinic.ticket(number).healthy[name]) / unit
        for number, causes in CAUSES.items()
        if causes == (HEALTHY,)
    ]
    return max(found)


def _p21():
    one = clinic.ticket("P21")
    return abs(one.seen["low_gauge"] - one.healthy["low_gauge"]) < 3 * PSI and (
        one.seen["high_gauge"] > one.healthy["high_gauge"] + 15 * PSI
    )


def _p25():
    one = clinic.ticket("P25")
    return one.seen["glass"] == "foam" and one.seen["low_gauge"] < one.healthy["low_gauge"] - 6 * PSI


def _rows():
    return worked.manual_symptoms().text.splitlines()[2:]


SAID = [
    ("the budget is 30 for each machine", lambda: clinic.BUDGET == 30),
    ("The low side is where it should be, the high side is not", _p21),
    (
        "The blocked condenser had hidden what the low charge does to the head",
        lambda: CAUSES["P21"] == ("condenser blocked", "charge low"),
    ),
    (
        "**glass** and the **drier**, one minute and four",
        lambda: (clinic.PRICES["glass"], clinic.PRICES["drier"]) == (1, 4),
    ),
    (
        "about 3 psi on the low side, 14 psi on the high side and 4 F at the vent",
        lambda: (
            1.5 < _widest("low_gauge", PSI) < 3.6
            and 9 < _widest("high_gauge", PSI) < 14.5
            and 2.5 < _widest("vent", 5 / 9) < 4.5
        ),
    ),
    ("*P25* has foam in the glass and a low low side", _p25),
    (
        "Sixteen of the forty-eight practice tickets are healthy",
        lambda: list(CAUSES.values()).count((HEALTHY,)) == 16 and len(CAUSES) == 48,
    ),
    (
        "Six of the seven agree.",
        lambda: [row.rsplit(None, 1)[1] for row in _rows()].count("yes") == 6 and len(_rows()) == 7,
    ),
    ("low charge: low side normal", lambda: any(re.match(r"low charge +normal +low ", row) for row in _rows())),
    (
        "in five of the seven the combine's low side is low",
        lambda: sum(bool(re.search(r" {2,}low {2,}(?:low|normal|high) {2,}(?:yes|no)$", row)) for row in _rows()) == 5,
    ),
    ("within 30 minutes", lambda: clinic.BUDGET == 30),
]
