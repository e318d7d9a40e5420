"""Worked example of lesson faults-4: symptoms that public manuals print."""

from __future__ import annotations

from coldcab import published, units
from coldcab.faults import signs
from coldcab.lessons.example import Example, example_table
from coldcab.machine import Conditions, nominal_charge
from coldcab.machine.fleet import COMBINE
from coldcab.words import _

# Rows of the public manuals, and the fault of the course that means the same: by source and finding.
MANUAL_ROWS = {
    ("B", _("compressor reed valve or head gasket")): "worn compressor",
    ("B", _("low charge or leak")): "charge low",
    ("C", "low charge"): "charge low",
    ("C", "overcharge"): "charge high",
    ("A", _("receiver-drier outlet blocked")): "drier restricted",
    ("A", _("evaporator blocked (refrigerant side)")): "evaporator blocked inside",
    ("A", "suction hose restricted"): "suction hose collapsed",
}

PRINTED_SIGNS = {"unusually high": "+", "unusually low": "-", "high": "+", "low": "-", "normal": "0"}
WAYS = {"+": _("high"), "-": _("low"), "0": _("normal")}

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
        agree = all(PRINTED_SIGNS[word] == sign for word, sign in zip(printed, ours, strict=True) if word)
        body.append(
            (
                row["finding"],
                *(word or _("not said") for word in printed),
                fault,
                *(WAYS[sign] for sign in ours),
                _("yes") if agree else _("no"),
            )
        )
    sides = (_("low side"), _("high side"))
    head = (_("printed finding"), *sides, _("this course"), *sides, _("agree"))
    return example_table(
        head, body, _("Printed symptoms and the combine's own, R-134a at 95 F (35 C), fault at its worst")
    )
