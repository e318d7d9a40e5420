"""Faults of the machines of the yard: as bad as manuals print them at severity 1, and fitting the kind of valve.

Entries of `catalogue` with other worst values, held to fault_gauges.csv by the tests; half the severity is about half
of the change of the reading that marks the fault, for which the exponents are chosen [invented].
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from coldcab.faults.catalogue import catalogue, checked_severity, combine
from coldcab.faults.definitions import Change, Entry, FaultError
from coldcab.machine import Effects, Machine
from coldcab.machine.effects import HEALTHY

BULB, BLOCK = "bulb", "block"

# A worn compressor pumps a fifth and lets gas back: it does not pull the low side down and does not build a head. A
# valve stuck open has its pin lifted out of the seat: it passes twice what it does fully open. 17 % of the charge are
# what a gross leak leaves.
WORST: dict[str, tuple[Change, ...]] = {
    "charge low": (Change("charge", 0.17, "early"),),
    "foreign refrigerant": (Change("foreign_share", 0.5, exponent=1.5),),
    "condenser blocked": (Change("condenser_air", 0.22, "closing"),),
    "condenser fan slow": (Change("fan", 0.25, "closing"),),
    "hot air recirculated": (Change("recirculation", 0.58, exponent=0.65),),
    "worn compressor": (Change("volumetric", 0.16, exponent=0.8), Change("leak_area", 2.85e-6, exponent=0.8)),
    "clutch or belt slipping": (Change("slip", 0.85, exponent=0.75),),
    "drier inlet blocked": (Change("receiver_inlet", 10000.0, "closing", 0.4),),
    "drier restricted": (Change("drier", 280.0, "closing"),),
    "valve screen plugged": (Change("screen", 0.02, "closing", 1.9),),
    "valve stuck shut": (Change("valve_maximum", 0.0, exponent=0.85),),
    "moisture freezing": (Change("ice", 0.96, exponent=0.85),),
    "bulb charge lost": (Change("bulb_charge", 0.3),),
    "valve stuck open": (Change("valve_minimum", 1.0, exponent=0.4), Change("valve_capacity", 2.2, exponent=0.8)),
    "bulb loose or bare": (Change("bulb_contact_loss", 0.3, exponent=2.6),),
    "evaporator oil-logged": (Change("oil", 3.0, exponent=0.4), Change("boiling", 0.25, exponent=0.4)),
}

HEAD_CHARGE_LOST = Entry(
    "valve head charge lost",
    "The charge in the block valve's head has leaked. With little pressure on the diaphragm the valve hardly opens.",
    (Change("bulb_charge", 0.3),),
    1.5,
    "Warm the head of the valve in the hand. A head that is empty does not answer; the valve is replaced whole.",
    "valve shut",
    valve=BLOCK,
)
OF_THE_BULB = {"bulb charge lost": BULB, "bulb loose or bare": BULB}

yard_catalogue: MappingProxyType[str, Entry] = MappingProxyType(
    {
        name: replace(entry, changes=WORST.get(name, entry.changes), valve=OF_THE_BULB.get(name, entry.valve))
        for name, entry in catalogue.items()
    }
    | {HEAD_CHARGE_LOST.name: HEAD_CHARGE_LOST}
)
"""Every fault of the yard by its name."""


def kind_of_valve(machine: Machine) -> str:
    """The kind of valve by which faults are chosen: "bulb" or "block"."""
    return BLOCK if machine.valve.block else BULB


def faults_for(machine: Machine, refrigerant: str) -> tuple[Entry, ...]:
    """The entries that a machine can have with a refrigerant: no bulb is lost where there is none."""
    kind = kind_of_valve(machine)
    return tuple(one for one in yard_catalogue.values() if one.fits(refrigerant) and one.valve in ("", kind))


def effects_in_the_yard(name: str, severity: float = 1.0, effects: Effects = HEALTHY) -> Effects:
    """Effects of a fault of the yard at a severity from 0 to 1 on top of others. Raises `FaultError`."""
    if name not in yard_catalogue:
        raise FaultError(f"There is no fault named {name[:60]!r} in the yard; choose a name of yard_catalogue.")
    changes = yard_catalogue[name].effects(checked_severity(severity))
    return combine(effects, {field: float(value) for field, value in changes.items()})
