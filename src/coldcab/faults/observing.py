"""What a machine would show: run once for its readings, again for each hands-on test, with an instrument's scatter."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

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
from coldcab.machine import Conditions, Effects, Machine, Readings, simulate, simulate_many
from coldcab.machine.conditions import LIMITS as CONDITION_LIMITS
from coldcab.machine.effects import Faults, gather


def other_speed(conditions: Conditions) -> float:
    """rev/s of the engine in the speed test: 1.6 times as fast, or slower by that ratio where that is too fast."""
    highest = CONDITION_LIMITS["engine_speed"].high
    faster = conditions.engine_speed * SPEED_STEP
    return float(faster if faster <= highest else conditions.engine_speed / SPEED_STEP)


@dataclass(frozen=True)
class Runs:
    """Machines of one kind as they were run once: what every hands-on test on them starts from.

    ``effects`` and ``conditions`` hold numbers or arrays as long as ``base``, the readings. ``start`` may be readings
    of the healthy machine, ``other`` is the engine's other speed in rev/s.
    """

    machine: Machine
    conditions: Conditions
    refrigerant: str
    charge: float
    effects: Effects
    base: Readings
    start: Readings | None
    other: float

    @property
    def count(self) -> int:
        """How many machines."""
        return int(np.size(self.base.status))

    def seen(self) -> dict[str, np.ndarray]:
        """Every observable that needs no further run, without scatter; tests of one part alone among them."""
        switches, effects = self.machine.switches, self.effects
        direct = {
            "fan_share": effects.fan,
            "foreign_share": effects.foreign_share,
            "thermostat_opens_at": switches.thermostat + effects.thermostat,
            "high_switch_opens_at": switches.high_cutout + effects.high_switch,
            "low_switch_opens_at": switches.low_cutout + effects.low_switch,
        }
        spread = {
            name: np.broadcast_to(np.asarray(value, dtype=float), (self.count,)).copy()
            for name, value in direct.items()
        }
        return read_off(self.base) | spread

    def tested(self, some: np.ndarray) -> dict[str, np.ndarray]:
        """What the hands-on tests change at some of the machines (their numbers), without scatter.

        A test is a second run; it is made only where it can change anything, and all go in one batch.
        """
        runs = [(name, some[places], changes) for name, places, changes in self._tests(some)]
        order = np.concatenate([place for _, place, _ in runs])
        own: dict[str, Any] = {"refrigerant": self.refrigerant, "charge": self.charge}
        found = self.base[order]
        if self.start is not None:
            # Tests start from the machine as it was found, moved by what the test does to the healthy one.
            moved = [
                _moved(self.machine, self.conditions, changes, self.start, own)
                if place.size
                else np.zeros(len(found.unknowns))
                for _, place, changes in runs
            ]
            sizes = [place.size for _, place, _ in runs]
            alike = found.status == self.start.status
            found = replace(found, unknowns=found.unknowns + alike * np.repeat(np.array(moved), sizes, axis=0).T)
        conditions, effects = (_stacked(values, runs, self.count) for values in (self.conditions, self.effects))
        tests = simulate_many(self.machine, conditions, faults=effects, start=found, **own)
        seen: dict[str, np.ndarray] = {}
        first = 0
        where = np.zeros(self.count, dtype=int)
        where[some] = np.arange(some.size)
        for name, place, _ in runs:
            last = first + place.size
            for reading in ("low_gauge", "high_gauge", "vent"):
                if f"{reading}_{name}" in observables:
                    change = np.zeros(some.size)
                    change[where[place]] = getattr(tests, reading)[first:last] - getattr(self.base, reading)[place]
                    seen[f"{reading}_{name}"] = change
            first = last
        return seen

    def _tests(self, some: np.ndarray) -> tuple[tuple[str, np.ndarray, dict[str, float]], ...]:
        """Each hands-on test: its name, at which of ``some`` it is made, and what it changes."""
        everywhere = np.arange(some.size)

        def where(name: str) -> np.ndarray:
            found: np.ndarray = np.flatnonzero(_column(self.effects, name, self.count)[some] > 0)
            return found

        return (
            ("other_speed", everywhere, {"engine_speed": self.other}),
            ("bulb_warmed", everywhere, {"bulb_contact_loss": WARMED_BULB}),
            ("bulb_reseated", where("bulb_contact_loss"), {"bulb_contact_loss": 0.0}),
            ("valve_warmed", where("ice"), {"ice": 0.0}),
            ("heater_pinched", where("heater_leak"), {"heater_leak": 0.0}),
        )


def _column(values: Any, name: str, count: int) -> np.ndarray:
    return np.broadcast_to(np.asarray(getattr(values, name), dtype=float), (count,))


def _stacked(values: Any, runs: Iterable[tuple[str, np.ndarray, dict[str, float]]], count: int) -> Any:
    """Conditions or effects of all tests, one after the other; what never varies stays a number."""
    found = {}
    for name, value in vars(values).items():
        if value is not None and (np.ndim(value) or any(name in changes for _, _, changes in runs)):
            whole = _column(values, name, count)
            found[name] = np.concatenate(
                [np.full(place.size, changes[name]) if name in changes else whole[place] for _, place, changes in runs]
            )
    return replace(values, **found)


def run_once(
    machine: Machine,
    conditions: Conditions,
    refrigerant: str,
    charge: float,
    effects: Effects,
    count: int,
    start: Readings | None = None,
    other: float | None = None,
    first: Readings | None = None,
) -> Runs:
    """Run ``count`` machines of one kind.

    ``start`` and ``other`` as for `run_all`; ``first`` may hold a start for each machine, as its ``unknowns``.
    """
    many = replace(effects, charge=_column(effects, "charge", count))  # arrays even of one
    near = start if first is None else first
    base = simulate_many(machine, conditions, refrigerant=refrigerant, charge=charge, faults=many, start=near)
    speed = other_speed(conditions) if other is None else other
    return Runs(machine, conditions, refrigerant, charge, effects, base, start, speed)


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
    runs = run_once(machine, conditions, refrigerant, charge, effects, count, start, other)
    return runs.base, runs.seen() | runs.tested(np.arange(count))


def _moved(
    machine: Machine, conditions: Conditions, changes: dict[str, float], healthy: Readings, own: dict[str, Any]
) -> np.ndarray:
    """How far a test moves the unknowns of the healthy machine in the middle of these conditions; 0 if not at all."""
    usual = {name: float(np.median(value)) for name, value in vars(conditions).items() if value is not None}
    weather = replace(conditions, **(usual | {name: changes[name] for name in changes if name in usual}))
    effects = Effects(**{name: value for name, value in changes.items() if name not in usual})
    there = simulate(machine, weather, faults=effects, start=healthy, **own)
    return np.array(there.unknowns) - healthy.unknowns if there.solved else np.zeros(len(healthy.unknowns))


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
