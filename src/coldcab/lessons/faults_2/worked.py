"""Worked examples of lesson faults-2: published signs of faults beside those of the combine."""

from __future__ import annotations

from coldcab import published, units
from coldcab.faults import QUANTITIES, signs
from coldcab.lessons.example import Example, example_table
from coldcab.machine import Conditions, nominal_charge
from coldcab.machine.fleet import COMBINE
from coldcab.words import _

WAYS = {"+": _("higher"), "-": _("lower"), "0": _("the same")}
REFRIGERANT = "R-134a"
UNDERCHARGED = 1.0
"""Severity at which the charge is plainly low, so that the receiver no longer makes up for it."""

# Names of the published rules, and the faults of the course that mean the same part of a circuit.
RULES = {
    "refrigerant_leakage": "charge low",
    "compressor_valve_leak": "worn compressor",
    "liquid_line_restriction": "liquid line kinked",
    "condenser_fouling": "condenser blocked",
    "evaporator_fouling": "low evaporator air",
}
RULE_COLUMNS = {
    "T_evap": "evaporating_temperature",
    "T_sh": "superheat",
    "T_cond": "condensing_temperature",
    "T_sc": "subcooling",
    "T_hg": "discharge_line",
    "dT_ca": "condenser_air_rise",
    "dT_ea": "coil_air_drop",
}


def _computed(severity: float):
    conditions = Conditions(inlet_temperature=units.from_unit(95.0, "temperature", "F"))
    charge = nominal_charge(COMBINE, REFRIGERANT)
    return signs(COMBINE, conditions, refrigerant=REFRIGERANT, charge=charge, severity=severity)


def undercharge_signs() -> Example:
    """A published checklist of an undercharged R-134a circuit with receiver and expansion valve, and the combine's."""
    computed = _computed(UNDERCHARGED)["charge low"]
    body = [
        (
            row["words"],
            WAYS[row["sign"]],
            WAYS[computed[row["quantity"]].sign],
            _("yes") if computed[row["quantity"]].sign == row["sign"] else _("no"),
        )
        for row in published.rows("undercharge_signs")
    ]
    head = (_("reading"), _("printed"), _("this course"), _("agree"))
    return example_table(head, body, _("R-134a, expansion valve, receiver: a plainly low charge against the right one"))


def rooftop_rules() -> Example:
    """Published rules for rooftop units beside the signs of the combine, where a receiver changes the physics."""
    computed = _computed(1.0)
    body = []
    for row in published.rows("fault_signature_rules"):
        fault = RULES[row["fault"]]
        cells = []
        for column, quantity in RULE_COLUMNS.items():
            ours = computed[fault][quantity].sign
            cells.append(row[column] if ours == row[column] else f"{row[column]} / {ours}")
        body.append((fault, *cells))
    head = (_("fault"), *(QUANTITIES[name].words for name in RULE_COLUMNS.values()))
    caption = _("Rule for a rooftop unit / the combine, where they differ (+ higher, - lower, 0 the same)")
    return example_table(head, body, caption)
