"""What a machine would show: run once for its readings, again for each hands-on test, with an instrument's scatter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeAlias

import numpy as np

from coldcab.faults.observables import (
    FROST_ERROR,
    GLASS_ERROR,
    GLASS_LOOKS,
    SPEED_STEP,
    WARMED_BULB,
    Observed,
    observables,
    read_off,
)
from coldcab.machine import Conditions, Effects, Machine, Readings
from coldcab.machine.conditions import LIMITS as CONDITION_LIMITS
from coldcab.machine.effects import HEALTHY, Faults, gather
from coldcab.machine.simulate import Batch, simulate_batches
from coldcab.machine.solver import COUNT


def other_speed(conditions: Conditions) -> float:
    """rev/s of the engine in the speed test: 1.6 times as fast, or slower by that ratio where that is too fast."""
    highest = CONDITION_LIMITS["engine_speed"].high
    faster = conditions.engine_speed * SPEED_STEP
    return float(faster if faster <= highest else conditions.engine_speed / SPEED_STEP)


@dataclass(frozen=True)
class Lot:
    """Machines of one kind that are to be run: ``effects`` and ``conditions`` hold numbers or arrays of ``count``.

    ``start`` may be readings of the healthy machine, ``other`` is the engine's other speed in rev/s (`other_speed`).
    """

    machine: Machine
    conditions: Conditions
    refrigerant: str
    charge: float
    effects: Effects
    count: int
    start: Readings | None
    other: float

    def batch(self) -> Batch:
        """What is to be simulated."""
        many = replace(self.effects, charge=_column(self.effects, "charge", self.count))  # arrays even of one
        return Batch(self.machine, self.conditions, self.refrigerant, self.charge, many, self.start)


@dataclass(frozen=True)
class Runs:
    """A lot as it was run once, what every hands-on test on it starts from: ``base`` holds the readings."""

    lot: Lot
    base: Readings

    def seen(self) -> dict[str, np.ndarray]:
        """Every observable that needs no further run, without scatter; tests of one part alone among them."""
        switches, effects = self.lot.machine.switches, self.lot.effects
        direct = {
            "fan_share": effects.fan,
            "foreign_share": effects.foreign_share,
            "thermostat_opens_at": switches.thermostat + effects.thermostat,
            "high_switch_opens_at": switches.high_cutout + effects.high_switch,
            "low_switch_opens_at": switches.low_cutout + effects.low_switch,
        }
        spread = {
            name: np.broadcast_to(np.asarray(value, dtype=float), (self.lot.count,)).copy()
            for name, value in direct.items()
        }
        return read_off(self.base) | spread

    def changes(self, tests: Trials, size: int, after: Readings) -> dict[str, np.ndarray]:
        """What each test has changed at the ``size`` machines that were chosen, from its readings ``after``."""
        seen: dict[str, np.ndarray] = {}
        first = 0
        for one in tests:
            last = first + one.places.size
            for reading in ("low_gauge", "high_gauge", "vent"):
                if f"{reading}_{one.name}" in observables:
                    change = np.zeros(size)
                    change[one.among] = getattr(after, reading)[first:last] - getattr(self.base, reading)[one.places]
                    seen[f"{reading}_{one.name}"] = change
            first = last
        return seen

    def tests(self, some: np.ndarray) -> Trials:
        """Each hands-on test, made where it can change anything at some of the machines (their numbers)."""
        lot = self.lot

        def where(name: str) -> np.ndarray:
            found: np.ndarray = np.flatnonzero(_column(lot.effects, name, lot.count)[some] > 0)
            return found

        return tuple(
            Trial(name, among, some[among], changes)
            for name, among, changes in (
                ("other_speed", np.arange(some.size), {"engine_speed": lot.other}),
                ("bulb_warmed", np.arange(some.size), {"bulb_contact_loss": WARMED_BULB}),
                ("bulb_reseated", where("bulb_contact_loss"), {"bulb_contact_loss": 0.0}),
                ("valve_warmed", where("ice"), {"ice": 0.0}),
                ("heater_pinched", where("heater_leak"), {"heater_leak": 0.0}),
            )
        )

    def batch(self, tests: Trials, moved: np.ndarray) -> Batch:
        """All tests in one batch, each from the machine as it was found, moved by (7, tests) as the healthy one is."""
        lot, order = self.lot, np.concatenate([one.places for one in tests])
        found = self.base[order]
        if lot.start is not None:
            alike = found.status == lot.start.status
            sizes = [one.places.size for one in tests]
            found = replace(found, unknowns=found.unknowns + alike * np.repeat(moved, sizes, axis=1))
        conditions, effects = (_stacked(values, tests, lot.count) for values in (lot.conditions, lot.effects))
        return Batch(lot.machine, conditions, lot.refrigerant, lot.charge, effects, found)


@dataclass(frozen=True)
class Trial:
    """A hands-on test, a second run with ``changes``: at which machines, and where they stand ``among`` the chosen."""

    name: str
    among: np.ndarray
    places: np.ndarray
    changes: dict[str, float]


Trials: TypeAlias = tuple[Trial, ...]


def _column(values: Any, name: str, count: int) -> np.ndarray:
    return np.broadcast_to(np.asarray(getattr(values, name), dtype=float), (count,))


def _stacked(values: Any, tests: Trials, count: int) -> Any:
    """Conditions or effects of all tests, one after the other; what never varies stays a number."""
    found = {}
    for name, value in vars(values).items():
        if value is not None and (np.ndim(value) or any(name in one.changes for one in tests)):
            whole = _column(values, name, count)
            found[name] = np.concatenate(
                [
                    np.full(one.places.size, one.changes[name]) if name in one.changes else whole[one.places]
                    for one in tests
                ]
            )
    return replace(values, **found)


def run_lots(lots: Sequence[Lot]) -> list[Runs]:
    """Run several lots once, all in one go."""
    return [Runs(*pair) for pair in zip(lots, simulate_batches([one.batch() for one in lots]), strict=True)]


def tested(runs: Sequence[Runs], chosen: Sequence[np.ndarray]) -> list[dict[str, np.ndarray]]:
    """What the hands-on tests change at the ``chosen`` machines of each lot (their numbers), without scatter.

    A test is a second run; it is made only where it can change anything, and all go in one batch.
    """
    tests = [one.tests(some) for one, some in zip(runs, chosen, strict=True)]
    moved = _moved_if_healthy([one.lot for one in runs], tests)
    batches = [one.batch(own, move) for one, own, move in zip(runs, tests, moved, strict=True)]
    after = simulate_batches(batches)
    return [
        one.changes(own, some.size, readings)
        for one, own, some, readings in zip(runs, tests, chosen, after, strict=True)
    ]


def _moved_if_healthy(lots: Sequence[Lot], tests: Sequence[Trials]) -> list[np.ndarray]:
    """By lot, how far each test moves the unknowns of the healthy machine (7, tests); 0 if it is not known."""
    moved = [np.zeros((COUNT, len(own))) for own in tests]
    known = [number for number, lot in enumerate(lots) if lot.start is not None]
    after = simulate_batches([_on_the_healthy(lots[number], tests[number]) for number in known])
    for number, readings in zip(known, after, strict=True):
        start: Any = lots[number].start
        change = readings.unknowns - np.array(start.unknowns)[:, None]
        moved[number] = np.where(readings.solved, change, 0.0)
    return moved


def _on_the_healthy(lot: Lot, tests: Trials) -> Batch:
    """The tests on the healthy machine in the middle of the lot's conditions."""
    usual = {name: float(np.median(value)) for name, value in vars(lot.conditions).items() if value is not None}
    weather = {name: np.array([one.changes.get(name, value) for one in tests]) for name, value in usual.items()}
    done = {
        name: np.array([one.changes.get(name, getattr(HEALTHY, name)) for one in tests])
        for name in {name for one in tests for name in one.changes if name not in usual}
    }
    conditions = replace(lot.conditions, **weather)
    return Batch(lot.machine, conditions, lot.refrigerant, lot.charge, replace(HEALTHY, **done), lot.start)


def run_all(
    machine: Machine,
    conditions: Conditions,
    refrigerant: str,
    charge: float,
    effects: Effects,
    count: int,
    start: Readings | None = None,
    other: float | None = None,
) -> tuple[Readings, dict[str, np.ndarray]]:
    """Readings of ``count`` runs, and every observable without scatter as arrays.

    ``start`` may be readings of the healthy machine, ``other`` the engine's other speed in rev/s (`other_speed` if
    left out).
    """
    speed = other_speed(conditions) if other is None else other
    runs = run_lots([Lot(machine, conditions, refrigerant, charge, effects, count, start, speed)])
    return runs[0].base, runs[0].seen() | tested(runs, [np.arange(count)])[0]


def scattered(seen: dict[str, np.ndarray], random: np.random.Generator) -> dict[str, np.ndarray]:
    """The same observables as instruments and eyes give them."""
    found: dict[str, np.ndarray] = {}
    for name, one in observables.items():
        value = seen[name]
        if name == "glass":
            wrong = random.random(len(value)) < GLASS_ERROR
            found[name] = np.where(wrong & (value != "still"), random.choice(GLASS_LOOKS[:4], len(value)), value)
        elif name == "coil_frost":
            found[name] = value ^ (random.random(len(value)) < FROST_ERROR)
        else:
            found[name] = value + one.scatter * random.standard_normal(len(value))
    return found


def observe(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    charge: float,
    faults: Faults = (),
    noise: bool = True,
    seed: int = 0,
) -> dict[str, Observed]:
    """Everything that could be measured on one machine, hands-on tests included: what a bench or a clinic deals out.

    Arguments as for `coldcab.machine.simulate`; ``noise`` adds the scatter of `observables`, the same for the same
    ``seed``. Result: name -> SI value or look. Values that do not exist (no steady state) are NaN.
    """
    effects = gather(faults)
    _, seen = run_all(machine, conditions, refrigerant, charge, effects, 1)
    if noise:
        seen = scattered(seen, np.random.Generator(np.random.Philox(seed)))
    return {name: np.asarray(seen[name])[0].item() for name in observables}
