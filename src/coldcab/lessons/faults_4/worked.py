"""Worked example of lesson faults-4: symptoms that public manuals print."""

from __future__ import annotations

from coldcab import published, units
from coldcab.faults import signs
from coldcab.lessons.example import Example, table
from coldcab.machine import Conditions, nominal_charge
from coldcab.machine.fleet import COMBINE

# Rows of the public manuals, and the fault of the course that means the same: by source and finding.
MANUAL_ROWS = {
    ("B", "compressor reed valve or head gasket"): "worn compressor",
    ("B", "low charge or leak"): "charge low",
    ("C", "low charge"): "charge low",
    ("C", "overcharge"): "charge high",
    ("A", "receiver-drier outlet blocked"): "drier restricted",
    ("A", "evaporator blocked (refrigerant side)"): "evaporator blocked inside",
    ("A", "suction hose restricted"): "suction hose collapsed",
}


_PRINTED = {"unusually high": "+", "unusually low": "-", "high": "+", "low": "-", "normal": "0"}


_WAY = {"+": "high", "-": "low", "0": "normal"}


SEVERE = 1.0
"""Severity of the faults: a manual describes what is plain."""


def manual_symptoms() -> Example:
    """Gauges that public service manuals print, beside those of the combine with the same fault."""
    charge = nominal_charge(COMBINE, "R-134a")
    day = Conditions(inlet_temperature=units.from_unit(95.0, "temperature", "F"))
    computed = signs(COMBINE, day, refrigerant="R-134a", charge=charge, severity=SEVERE)
    body = []
    for row in published.rows("army_vehicle_ac_symptoms"):
        fault = MANUAL_ROWS.get((row["source"], row["finding"]))
        if fault is None:
            continue
        ours = [computed[fault][name].sign for name in ("low_gauge", "high_gauge")]
        printed = [row["low_side"], row["high_side"]]
        agree = all(_PRINTED[word] == sign for word, sign in zip(printed, ours, strict=True) if word)
        body.append(
            (
                row["finding"],
                *(word or "not said" for word in printed),
                fault,
                *(_WAY[sign] for sign in ours),
                "yes" if agree else "no",
            )
        )
    head = ("printed finding", "low side", "high side", "this course", "low side", "high side", "agree")
    return table(head, body, "Printed symptoms and the combine's own, R-134a at 95 F (35 C), fault at its worst")
