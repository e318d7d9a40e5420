"""The catalogue of faults: what each does to the machine, how usual it is, and the test that settles it.

The entries are in one file for each part of the circuit; `definitions` says how severity becomes a number. At severity
1 a fault is as bad as manuals print it (the tests hold it to fault_gauges.csv); half the severity is about half of the
change of the reading that marks the fault, for which the exponents are chosen [invented]. Base rates are relative
numbers of complaints, an ASSUMPTION: no survey of such machines was found. Replace them by a shop's own.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import SupportsFloat

import numpy as np

from coldcab.faults import charge_faults, control_faults, high_side_faults, low_side_faults
from coldcab.faults.definitions import Change, Entry, FaultError
from coldcab.machine import Effects, Machine
from coldcab.machine.effects import HEALTHY as HEALTHY_EFFECTS
from coldcab.quantities import Value

__all__ = [
    "BASE_RATE_MARK",
    "HEALTHY",
    "HEALTHY_RATE",
    "SEVERITY_RANGE",
    "Change",
    "Entry",
    "Fault",
    "FaultError",
    "catalogue",
    "checked_severity",
    "combine",
    "entry",
    "faults_for",
    "group",
]

HEALTHY = "healthy"
BASE_RATE_MARK = "assumption: no survey of such machines was found; use the shop's own records when it has them"
SEVERITY_RANGE = (0.0, 1.0)

_PARTS = (charge_faults, high_side_faults, low_side_faults, control_faults)

catalogue: MappingProxyType[str, Entry] = MappingProxyType({one.name: one for part in _PARTS for one in part.ENTRIES})
"""Every fault by its name."""


def faults_for(machine: Machine, refrigerant: str) -> tuple[str, ...]:
    """Names of the faults that a machine can have with a refrigerant (a designation)."""
    return tuple(name for name, one in catalogue.items() if one.fits(refrigerant, machine))


HEALTHY_RATE = 6.0
"""Relative number of complaints with nothing wrong in the circuit (assumption): sun, doors, a hot day."""


def entry(name: object) -> Entry:
    """The catalogue's entry. Raises `FaultError`, naming the nearest, if there is none."""
    if isinstance(name, str):
        found = catalogue.get(name.strip().lower())
        if found:
            return found
        near = difflib.get_close_matches(name.lower(), catalogue, n=1, cutoff=0.0)
        if near:
            raise FaultError(f"There is no fault named {name[:60]!r}; the nearest is {near[0]!r}.")
    raise FaultError(f"A fault is named by a text such as 'charge low', not {str(name)[:40]!r}.")


def group(name: str) -> str:
    """The group of a fault: those that no gauge and no thermometer tells apart. "healthy" is its own."""
    return HEALTHY if name == HEALTHY else entry(name).group


SHARES = ("foreign_share", "recirculation", "slip", "ice", "bulb_contact_loss", "heater_leak")


def combine(effects: Effects, changes: Mapping[str, Value]) -> Effects:
    """Effects with a fault's changes on top: factors multiply, offsets add, shares leave (1 - a)(1 - b)."""
    values: dict[str, Value] = {}
    for field, value in changes.items():
        before = getattr(effects, field)
        if field in SHARES:
            values[field] = 1.0 - (1.0 - before) * (1.0 - value) if np.any(before) else value
        elif field == "valve_minimum":
            values[field] = np.maximum(before, value)[()]
        elif getattr(HEALTHY_EFFECTS, field) == 1.0:
            values[field] = before * value
        else:
            values[field] = before + value
    return effects.changed(**values)


@dataclass(frozen=True)
class Fault:
    """A fault of the catalogue at a severity from 0 (healthy) to 1.

    ``simulate(..., faults=(Fault("drier restricted", 0.7),))`` runs a machine with it. Raises `FaultError`.
    """

    name: str
    severity: float = 1.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "name", entry(self.name).name)
        object.__setattr__(self, "severity", checked_severity(self.severity))

    @property
    def entry(self) -> Entry:
        """Its entry in the catalogue."""
        return catalogue[self.name]

    def apply(self, effects: Effects) -> Effects:
        """The effects with this fault on top of them."""
        changes = {field: float(value) for field, value in self.entry.effects(self.severity).items()}
        return combine(effects, changes)


def checked_severity(severity: object) -> float:
    """A severity as a float from 0 to 1, else `FaultError`."""
    low, high = SEVERITY_RANGE
    try:
        if isinstance(severity, str | bytes | bool) or not isinstance(severity, SupportsFloat):
            raise TypeError
        number = float(severity)
    except (TypeError, ValueError, OverflowError):
        raise FaultError(f"Severity must be a number from 0 to 1, not {str(severity)[:40]!r}.") from None
    if not low <= number <= high:
        raise FaultError(f"Severity {number:g} is outside the range 0 (healthy) to 1 (worst); choose a value in it.")
    return number
