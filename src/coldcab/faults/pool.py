"""A pool of sick and healthy machines for a clinic: what each shows, and what it has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from coldcab.faults.atlas import FOREIGN_STEPS, inside_ranges, scattered_effects
from coldcab.faults.catalogue import Fault, FaultError, catalogue, combine, entry
from coldcab.faults.observables import NUMBERS, observables, run_all, scattered
from coldcab.machine import Conditions, Machine, Readings, nominal_charge, read, simulate
from coldcab.refrigerants import resolve

SEVERITIES = (0.4, 1.0)
SHARES = (0.1, 0.7, 0.2)  # healthy, one fault, two faults
LARGEST = 5000
ROUNDS = 5  # draws after which a pool that is still not full is given up


@dataclass(frozen=True)
class Patient:
    """One machine of a pool.

    ``readings`` as the shop's instruments show them in one run; ``observed`` all that could be measured, hands-on tests
    included, by name (`observables`), with its scatter; ``causes`` what it has: nothing, one fault or two.
    """

    machine: Machine
    conditions: Conditions
    refrigerant: str
    right_charge: float
    readings: Readings
    observed: dict[str, Any]
    causes: tuple[Fault, ...]


def pool(
    count: int,
    machines: Sequence[Machine],
    conditions: Sequence[Conditions],
    *,
    refrigerant: str,
    seed: int = 0,
    names: Sequence[str] | None = None,
    shares: tuple[float, float, float] = SHARES,
    severities: tuple[float, float] = SEVERITIES,
) -> list[Patient]:
    """Machines drawn at random, each with the scatter that healthy machines have among themselves; 300 in seconds.

    Parameters
    ----------
    count : how many, 1 to 5000. machines, conditions : each patient gets one of each.
    refrigerant : in all of them, at each machine's right charge. seed : the same gives the same pool.
    names : faults that are dealt out, by default all that the refrigerant can have; two in one machine are never of
        one group. shares : of healthy machines, of those with one fault and with two. severities : lowest and highest.

    Raises
    ------
    FaultError : a count, share or name that cannot be used, or conditions in which machines find no steady state.
    MachineError : a machine out of range.
    """
    if not isinstance(count, int) or isinstance(count, bool) or not 1 <= count <= LARGEST:
        raise FaultError(f"A pool holds 1 to {LARGEST} machines, not {str(count)[:20]}.")
    if not machines or not conditions:
        raise FaultError("A pool needs at least one machine and one set of conditions.")
    if len(shares) != 3 or min(shares) < 0.0 or sum(shares) <= 0.0:
        raise FaultError("Shares are three numbers from 0 up: healthy, one fault, two faults; not all of them 0.")
    low, high = (Fault("charge low", severity).severity for severity in severities)
    refrigerant = resolve(refrigerant)
    fitting = [name for name, one in catalogue.items() if one.fits(refrigerant)]
    own = fitting if names is None else [entry(name).name for name in names]
    if not set(own) <= set(fitting):
        raise FaultError(f"{refrigerant} cannot have {sorted(set(own) - set(fitting))[0]!r}; leave that fault out.")
    if shares[2] > 0.0 and len({entry(name).group for name in own}) < 2:
        raise FaultError("Two faults in one machine need names of at least two groups.")

    random = np.random.Generator(np.random.Philox(seed))
    found: list[Patient] = []
    for number in range(ROUNDS):
        missing = count - len(found)
        kinds = random.choice(3, missing, p=np.array(shares) / sum(shares))
        causes = [_causes(random, int(kind), own, (low, high)) for kind in kinds]
        pairs = random.integers(0, len(machines) * len(conditions), missing)
        for pair in np.unique(pairs):
            machine, day = machines[pair // len(conditions)], conditions[pair % len(conditions)]
            some = [causes[place] for place in np.flatnonzero(pairs == pair)]
            found += _run(random, machine, day, refrigerant, some, seed + 1000 * number + int(pair))
        if len(found) == count:
            return [found[place] for place in random.permutation(count)]
    raise FaultError("Too many machines find no steady state at these conditions; choose milder weather.")


def _causes(
    random: np.random.Generator, kind: int, names: list[str], severities: tuple[float, float]
) -> tuple[Fault, ...]:
    chosen: list[Fault] = []
    while len(chosen) < kind:
        fault = Fault(names[random.integers(len(names))], float(random.uniform(*severities)))
        if fault.name == "foreign refrigerant":  # each share is a fluid of its own
            fault = Fault(fault.name, max(round(fault.severity * FOREIGN_STEPS), 1) / FOREIGN_STEPS)
        if all(fault.entry.group != other.entry.group for other in chosen):
            chosen.append(fault)
    return tuple(chosen)


def _run(
    random: np.random.Generator,
    machine: Machine,
    conditions: Conditions,
    refrigerant: str,
    causes: list[tuple[Fault, ...]],
    seed: int,
) -> list[Patient]:
    """The machines with these causes, but for those that find no steady state."""
    count, charge = len(causes), nominal_charge(machine, refrigerant)
    effects = scattered_effects(random, count)
    for position in range(2):
        for name in {faults[position].name for faults in causes if len(faults) > position}:
            severities = np.array(
                [
                    faults[position].severity if len(faults) > position and faults[position].name == name else 0.0
                    for faults in causes
                ]
            )
            effects = combine(effects, entry(name).effects(severities))
    effects = inside_ranges(effects, machine, refrigerant, charge)
    near = simulate(machine, conditions, refrigerant=refrigerant, charge=charge)
    base, seen = run_all(machine, conditions, refrigerant, charge, effects, count, near if near.solved else None)
    shown = read(base, seed=seed)
    noisy = scattered(seen, random)
    good = base.solved & np.all([np.isfinite(seen[name]) for name in NUMBERS], axis=0)
    return [
        Patient(
            machine,
            conditions,
            refrigerant,
            charge,
            shown[int(place)],
            {name: noisy[name][place].item() for name in observables},
            causes[place],
        )
        for place in np.flatnonzero(good)
    ]
