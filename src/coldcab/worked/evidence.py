"""Worked examples of lessons faults-3 and faults-4: base rates and evidence, and printed symptoms."""

from __future__ import annotations

from coldcab import published, units
from coldcab.faults import signs
from coldcab.faults.bayes import updated
from coldcab.machine import Conditions, nominal_charge
from coldcab.machine.fleet import COMBINE
from coldcab.scenario.evidence import SIGN_WORDS, TABLES
from coldcab.worked.example import Example, table


def published_evidence() -> Example:
    """Two published problems on base rates: the printed answer, what most people guess, and the course's own."""
    body = []
    for row in published.rows("bayes_examples"):
        rate = float(row["base_rate"])
        shown = [float(row[name]) / 100 for name in ("shown_by_it", "shown_by_others")]
        ours = 100 * updated((rate, 100 - rate), shown)[0]
        body.append(
            (
                row["suspect"],
                f"{rate:g} %",
                row["evidence"],
                f"{row['shown_by_it']} % / {row['shown_by_others']} %",
                f"{row['usual_guess']} %",
                f"{row['answer']} %",
                f"{ours:.1f} %",
            )
        )
    head = ("asked", "base rate", "evidence", "if so / if not", "most people say", "printed answer", "this course")
    return table(head, body, "How probable is it, once the evidence is in?")


def by_hand(rates: tuple[int, int, int] = (26, 8, 6)) -> Example:
    """Bayes' rule in a table for three suspects of the shop, step by step; ``rates`` are counts in the shop's book."""
    one = TABLES[0]
    product = [rate * share for rate, share in zip(rates, one.shares(0), strict=True)]
    after = updated(rates, one.shares(0))
    body = [
        (
            suspect,
            str(rate),
            f"{100 * share:.0f} %",
            f"{each:.1f}",
            f"{each:.1f} / {sum(product):.1f} = {100 * chance:.1f} %",
        )
        for suspect, rate, share, each, chance in zip(one.suspects, rates, one.shares(0), product, after, strict=True)
    ]
    head = ("suspect", f"of the last {sum(rates)}", "shows the reading", "product", "now")
    return table(head, body, f"The reading: {SIGN_WORDS[one.signs[0]]}")


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
