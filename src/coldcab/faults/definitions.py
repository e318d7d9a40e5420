"""What an entry of the catalogue holds, and how the severity of a fault becomes a physical number.

Severity runs from 0 (healthy) to 1 (the worst that still leaves something to measure). How a number follows from it:

- "straight": healthy + (worst - healthy) severity;
- "closing": the free area of a passage is 1 / (1 + k severity). A pressure loss goes with 1 / area^2, so a factor on a
  resistance K is (1 + k severity)^2. Most of an area can close before anything shows, and this law spends little of the
  lever there;
- "early": healthy + (worst - healthy) sqrt(severity), for what hides at first (a charge that the receiver makes up for,
  a valve that cannot close below the opening it needs);
- "at once": the worst value for any severity above 0 (a clutch engages or it does not).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from coldcab.machine import Machine
from coldcab.machine.effects import HEALTHY as HEALTHY_EFFECTS
from coldcab.machine.ops import Value
from coldcab.quantities import ColdcabError


class FaultError(ColdcabError):
    """A fault, reading or price that cannot be used; the message is one plain sentence."""


@dataclass(frozen=True)
class Change:
    """How one field of `Effects` follows from severity: to ``worst`` by the law ``form`` (see the module).

    ``exponent`` of the severity before the law, so that half of it is half of what is seen.
    """

    field: str
    worst: float
    form: str = "straight"
    exponent: float = 1.0

    def value(self, severity: Value) -> Value:
        """The field's value for a severity (number or array), healthy at 0."""
        healthy, worst = getattr(HEALTHY_EFFECTS, self.field), self.worst
        if self.exponent != 1.0:
            severity = severity**self.exponent
        if self.form == "closing":
            if healthy == 0.0:  # share that is closed
                return 1.0 - 1.0 / (1.0 + (1.0 / (1.0 - worst) - 1.0) * severity)
            if worst < 1.0:  # share that is free
                return 1.0 / (1.0 + (1.0 / worst - 1.0) * severity)
            return (1.0 + (math.sqrt(worst) - 1.0) * severity) ** 2  # factor on a resistance
        if self.form == "early":
            return healthy + (worst - healthy) * severity**0.5
        if self.form == "at once":
            return np.where(severity > 0.0, worst, healthy)[()]
        return healthy + (worst - healthy) * severity


@dataclass(frozen=True)
class Entry:
    """One fault of the catalogue.

    ``meaning`` says what it does, ``changes`` which `Effects` it sets, ``base_rate`` how usual it is (relative, see
    BASE_RATE_MARK), ``test`` how to settle it, ``group`` the faults that no gauge and no thermometer tells from it,
    ``caution`` where the test or the fault can hurt. ``only`` lists the refrigerants it is modelled for, ``valve`` the
    kind of valve that can have it: "bulb", "block" or, left empty, both.
    """

    name: str
    meaning: str
    changes: tuple[Change, ...]
    base_rate: float
    test: str
    group: str
    caution: str = ""
    only: tuple[str, ...] | None = None
    valve: str = ""

    def effects(self, severity: Value) -> dict[str, Value]:
        """Values of the fields it changes at a severity (number or array) from 0 to 1."""
        return {change.field: change.value(severity) for change in self.changes}

    def fits(self, refrigerant: str, machine: Machine) -> bool:
        """True if that machine can have this fault with that refrigerant: no bulb is lost where there is none."""
        kind = "block" if machine.valve.block else "bulb"
        return (self.only is None or refrigerant in self.only) and self.valve in ("", kind)


REFRIGERANT = (
    "Recover the refrigerant before you open the circuit; never vent it. Wear goggles and gloves. Follow the machine's "
    "manual, local law and certified practice."
)
BELT = "Keep hands, sleeves and leads away from belts and fan. Park, brake and chock the machine first."
HOT = "Coolant hoses and the discharge line burn. Wear gloves."
LIVE = "Take the leads off with the key off. A jumped switch protects nothing: never leave one in place."
