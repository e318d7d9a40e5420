"""Faults: what can go wrong, what each does to every reading, and what readings say of the fault.

``Fault("drier restricted", 0.7)`` goes into ``simulate(..., faults=(...,))``. `signs` works out which way each reading
moves. `build_atlas` runs a machine with every fault at the weather of the day;
`Atlas.posterior` (or `diagnose`, which does both) turns any set of readings into probabilities, and `next_measurement`
says what to measure next. `observe` deals out all that could be measured on a machine, hands-on tests included.

Base rates and prices in minutes are assumptions (BASE_RATE_MARK, PRICE_MARK). The probabilities hold for the invented
machines, one fault at a time; a real machine has more ways to surprise.
"""

from __future__ import annotations

from collections.abc import Mapping

from coldcab.faults.atlas import Atlas, Posterior, build_atlas
from coldcab.faults.catalogue import (
    BASE_RATE_MARK,
    HEALTHY,
    SEVERITY_RANGE,
    Change,
    Entry,
    Fault,
    FaultError,
    catalogue,
    entry,
    faults_for,
    group,
)
from coldcab.faults.confirming import Confirmation, confirmations
from coldcab.faults.evidence import Suggestion, next_measurement
from coldcab.faults.observables import (
    COMPONENT_TESTS,
    HANDS_ON,
    PRICE_MARK,
    READ_OFF,
    Measurement,
    Observable,
    measurements,
    observables,
)
from coldcab.faults.observing import observe
from coldcab.faults.signs import QUANTITIES, Quantity, Sign, SignTable, signs
from coldcab.faults.stationary import Beside, undercharge_beside_stationary
from coldcab.machine import Conditions, Machine, Readings
from coldcab.refrigerants import resolve

__all__ = [
    "BASE_RATE_MARK",
    "COMPONENT_TESTS",
    "HANDS_ON",
    "HEALTHY",
    "PRICE_MARK",
    "QUANTITIES",
    "READ_OFF",
    "SEVERITY_RANGE",
    "Atlas",
    "Beside",
    "Change",
    "Confirmation",
    "Entry",
    "Fault",
    "FaultError",
    "Measurement",
    "Observable",
    "Posterior",
    "Quantity",
    "Sign",
    "SignTable",
    "Suggestion",
    "build_atlas",
    "catalogue",
    "confirmations",
    "diagnose",
    "entry",
    "faults_for",
    "group",
    "measurements",
    "next_measurement",
    "observables",
    "observe",
    "signs",
    "undercharge_beside_stationary",
]


def diagnose(
    readings: Readings | Mapping[str, object],
    *,
    machine: Machine,
    conditions: Conditions,
    refrigerant: str,
    charge: float,
    tests: Mapping[str, object] | None = None,
    prior: str | Mapping[str, float] = "usual",
    atlas: Atlas | None = None,
) -> Posterior:
    """Probabilities of healthy and of every fault from any set of readings.

    Parameters
    ----------
    readings : `Readings` of one run, or a mapping of names in `observables` to SI values (gauges in Pa gauge, K, looks
        as words); None, NaN or missing is not measured.
    machine, conditions, refrigerant : as for `coldcab.machine.simulate`.
    charge : kg, the right charge of the data sheet (`coldcab.machine.nominal_charge`), not what is in the machine.
    tests : results of hands-on tests (HANDS_ON), by name; they may also stand in ``readings``.
    prior : "usual" (base rates of the catalogue), "flat", or a mapping of names to relative numbers.
    atlas : one from `build_atlas`; left out, it is built at these conditions (about two seconds).

    Raises
    ------
    FaultError : an unknown name or a value that cannot be read. MachineError : a machine out of range.
    """
    if atlas is None:
        atlas = build_atlas(machine, conditions, refrigerant=refrigerant, charge=charge)
    elif (atlas.machine, atlas.conditions, atlas.charge) != (machine, conditions, float(charge)) or (
        atlas.refrigerant != resolve(refrigerant)
    ):
        raise FaultError(
            "The atlas was built for another machine, weather, refrigerant or charge; build one for this machine."
        )
    return atlas.posterior(readings, tests=tests, prior=prior)
