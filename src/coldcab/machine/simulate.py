"""From a machine, its conditions and its charge to what a technician reads."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from coldcab.machine import conditions as conditions_module
from coldcab.machine import effects as effects_module
from coldcab.machine.conditions import Conditions, MachineError, check
from coldcab.machine.effects import HEALTHY, Effects, Faults
from coldcab.machine.fallbacks import Solved, solve_by_fallbacks, solve_one_by_fallbacks
from coldcab.machine.fluid import Fluid, fluid_named
from coldcab.machine.kinds import Kind, Kinds
from coldcab.machine.layout import Machine
from coldcab.machine.model import evaluate
from coldcab.machine.ops import ARRAYS, FLOATS, Value
from coldcab.machine.outcome import harmless_point, readings_of
from coldcab.machine.preparation import prepare
from coldcab.machine.readings import Readings
from coldcab.machine.setting import Setting, as_arrays, select
from coldcab.machine.solver import COUNT, first_guess, solve_kinds, solve_one
from coldcab.machine.status import Case
from coldcab.quantities import Limit

CHUNK = 4000  # circuits solved at once: more cost memory and gain nothing
LEAST_CHARGE = 0.05  # kg
FULLEST = 0.65  # of the circuit's volume, filled with liquid at 55 C


def simulate(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    charge: float,
    faults: Faults = (),
    start: Readings | None = None,
) -> Readings:
    """Steady state of one machine.

    Parameters
    ----------
    machine, conditions : see `Machine` and `Conditions`.
    refrigerant : designation with a property table: R-12, R-134a, R-152a, R-1234yf.
    charge : kg, from 0.05 up to what fits with room for expansion.
    faults : a sequence of faults (each with ``apply(effects) -> Effects``) or one `Effects`.
    start : readings of a run nearby; makes the next one about twice as fast.

    Returns
    -------
    `Readings`; its status says when there is no plain steady state.

    Raises
    ------
    MachineError : a value out of range. UnknownRefrigerant : no such designation.
    """
    effects = effects_module.gather(faults)
    fluid = circulating_fluid(refrigerant, effects)
    bulb = fluid_named(machine.valve.bulb_fluid)
    conditions = _checked_conditions(conditions)
    effects = _checked_effects(effects)
    charge = _checked_charge(machine, fluid, charge, effects)
    # Numbers only here.
    for name, value in (*vars(conditions).items(), *vars(effects).items(), ("charge", charge)):
        if isinstance(value, np.ndarray):
            raise MachineError(f"{name.replace('_', ' ')} is an array; simulate takes numbers, simulate_many arrays.")
    setting = prepare(FLOATS, machine, fluid, conditions, effects, charge)
    guess = list(first_guess(FLOATS, machine, fluid, setting))
    point = None
    if start is not None and start.unknowns[0] == start.unknowns[0]:
        point, unknowns, _ = solve_one(machine, fluid, bulb, setting, list(start.unknowns))
    if point is None:
        point, unknowns, _ = solve_one(machine, fluid, bulb, setting, guess)
    if point is None:
        healthy = prepare(FLOATS, machine, fluid, conditions, HEALTHY, nominal_charge(machine, refrigerant))
        point, unknowns = solve_one_by_fallbacks(machine, fluid, bulb, setting, healthy, guess)
    case = Case(machine, fluid, conditions, effects, setting, refrigerant)
    if point is None:
        # The values are blanked; a point near the guess gives them their shape.
        return readings_of(FLOATS, case, harmless_point(case, bulb), (math.nan,) * COUNT, False)
    return readings_of(FLOATS, case, point, tuple(unknowns), True)


def simulate_many(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    charge: Value,
    faults: Faults = (),
    start: Readings | None = None,
) -> Readings:
    """Steady states of one machine in many conditions, charges and faults at once.

    Every field of ``conditions`` and of an `Effects` given as ``faults``, and ``charge``, may be a number or an array
    of one common length. ``inlet_temperature`` None is cab mode, NaN in an array marks the cab-mode runs in it.
    ``start``: readings of one run nearby, or of as many runs, one for each.
    Arguments, ranges and errors are those of `simulate`; the `Readings` hold arrays.
    """
    return simulate_batches((Batch(machine, conditions, refrigerant, charge, faults, start),))[0]


@dataclass(frozen=True)
class Batch:
    """The arguments of one `simulate_many`."""

    machine: Machine
    conditions: Conditions
    refrigerant: str
    charge: Value
    faults: Faults = ()
    start: Readings | None = None


def simulate_batches(batches: Sequence[Batch]) -> tuple[Readings, ...]:
    """What `simulate_many` gives for each of several batches, all solved together: quicker, if they are small.

    Arguments, ranges and errors are those of `simulate`. The batches may be of different machines and refrigerants.
    """
    circuits = [_circuits_of(batch) for batch in batches]
    every = [one for parts in circuits for one in parts]
    found: dict[int, Readings] = {}
    for some in _groups(every):
        sizes = [one.place.size for one in some]
        kinds, setting = _together(some, sizes)
        unknowns, done, _ = solve_kinds(kinds, setting, np.concatenate([one.first for one in some], axis=1))
        ends = np.cumsum(sizes)[:-1]
        for one, own, good in zip(some, np.split(unknowns, ends, axis=1), np.split(done, ends), strict=True):
            found[id(one)] = _finished(one, own.copy(), good.copy())
    return tuple(
        _joined([(one.place, found[id(one)]) for one in parts], sum(one.place.size for one in parts))
        for parts in circuits
    )


@dataclass(frozen=True)
class _Circuits:
    """Circuits of one kind, ready to be solved; ``place`` in their batch."""

    place: np.ndarray
    kind: Kind
    conditions: Conditions
    effects: Effects
    refrigerant: str
    setting: Setting
    guess: np.ndarray  # unknowns (7, n)
    first: np.ndarray  # the same: where the search starts


def _circuits_of(batch: Batch) -> list[_Circuits]:
    effects = effects_module.gather(batch.faults)
    conditions = _checked_conditions(batch.conditions)
    effects = _checked_effects(effects)
    # A list, not a mapping: the effects have a charge of their own.
    values = [*vars(conditions).values(), *vars(effects).values(), batch.charge]
    lengths = {np.shape(value) for value in values if np.ndim(value)}
    if len(lengths) > 1 or any(len(shape) > 1 for shape in lengths):
        raise MachineError(f"the arrays must have one common length; got shapes {sorted(lengths)}.")
    count = lengths.pop()[0] if lengths else 1
    if count == 0:
        raise MachineError("the arrays are empty; give at least one run.")
    shares = np.broadcast_to(np.asarray(effects.foreign_share, dtype=float), (count,))
    rounded = np.round(shares, SHARE_DIGITS)
    parts = []
    for share in np.unique(rounded):
        chosen = np.flatnonzero(rounded == share)
        for first in range(0, chosen.size, CHUNK):
            place = chosen[first : first + CHUNK]
            several = replace(_some(effects, place), foreign_share=float(share))
            near = _start(batch.start, place, count)
            parts.append(_prepared(batch, place, _some(conditions, place), several, _pick(batch.charge, place), near))
    return parts


def _prepared(
    batch: Batch, place: np.ndarray, conditions: Conditions, effects: Effects, charge: Value, start: np.ndarray | None
) -> _Circuits:
    machine = batch.machine
    fluid = circulating_fluid(batch.refrigerant, effects)
    charge = _checked_charge(machine, fluid, charge, effects)
    setting = as_arrays(prepare(ARRAYS, machine, fluid, conditions, effects, charge), place.size)
    guess = np.array(first_guess(ARRAYS, machine, fluid, setting))
    first = guess if start is None else np.where(np.isfinite(start), start, guess)
    kind = Kind(machine, fluid, fluid_named(machine.valve.bulb_fluid))
    return _Circuits(place, kind, conditions, effects, batch.refrigerant, setting, guess, first)


def _groups(circuits: Iterable[_Circuits]) -> list[list[_Circuits]]:
    """In groups that are solved at once."""
    groups: list[list[_Circuits]] = []
    size = CHUNK
    for one in circuits:
        if size + one.place.size > CHUNK:
            groups.append([])
            size = 0
        groups[-1].append(one)
        size += one.place.size
    return groups


def _together(some: Sequence[_Circuits], sizes: Sequence[int]) -> tuple[Kind | Kinds, Setting]:
    if len(some) == 1:
        return some[0].kind, some[0].setting
    setting = Setting(*map(np.concatenate, zip(*(one.setting for one in some), strict=True)))
    if all(one.kind == some[0].kind for one in some):
        return some[0].kind, setting
    number = np.repeat(np.arange(float(len(some))), sizes)
    return Kinds([one.kind for one in some]), setting._replace(kind=number)


def _finished(some: _Circuits, unknowns: np.ndarray, done: np.ndarray) -> Readings:
    """Readings of searched circuits, after fallbacks for those that the search has not solved."""
    machine, fluid, bulb = some.kind
    setting, count = some.setting, some.place.size
    left = np.flatnonzero(~done)
    if left.size:
        healthy = prepare(ARRAYS, machine, fluid, some.conditions, HEALTHY, nominal_charge(machine, some.refrigerant))
        healthy = select(as_arrays(healthy, count), left)
        part = select(setting, left)
        near = Solved(select(setting, done), unknowns[:, done])
        unknowns[:, left], done[left] = solve_by_fallbacks(
            machine, fluid, bulb, part, healthy, some.guess[:, left], near
        )
    with np.errstate(all="ignore"):
        point = evaluate(ARRAYS, machine, fluid, bulb, setting, unknowns)
        case = Case(machine, fluid, some.conditions, some.effects, setting, some.refrigerant)
        return readings_of(ARRAYS, case, point, unknowns, done)


def _start(start: Readings | None, place: np.ndarray, count: int) -> np.ndarray | None:
    """Unknowns (7, n) to start from, NaN where there are none."""
    if start is None:
        return None
    unknowns = np.asarray(start.unknowns, dtype=float)
    if unknowns.ndim == 1:
        return np.repeat(unknowns[:, None], place.size, axis=1)
    if unknowns.shape[1] != count:
        raise MachineError(f"the start holds {unknowns.shape[1]} runs, not {count}; give one run or as many.")
    return unknowns[:, place]


def nominal_charge(machine: Machine, refrigerant: str) -> float:
    """kg of another refrigerant that fill the receiver as its own charge does: by liquid densities at 45 C."""
    own, other = (fluid_named(name).table for name in (machine.refrigerant, refrigerant))
    own_volume, other_volume = (
        table.saturation(table.log_pressure(CHARGE_TEMPERATURE)).liquid_volume for table in (own, other)
    )
    return float(machine.charge * own_volume / other_volume)


CHARGE_TEMPERATURE = 318.15  # K, a usual temperature of the liquid in the receiver
SHARE_DIGITS = 2  # foreign refrigerant is counted in whole percent


def circulating_fluid(refrigerant: str, effects: Effects) -> Fluid:
    """The fluid that really circulates."""
    share = effects.foreign_share
    if np.ndim(share) or share == 0.0:
        return fluid_named(refrigerant)
    from coldcab.machine.blend import blend

    return blend(refrigerant, float(share))


def _checked_conditions(conditions: Conditions) -> Conditions:
    if not isinstance(conditions, Conditions):
        raise MachineError(f"conditions must be a Conditions, not {type(conditions).__name__}.")
    values = {}
    for name, limit in conditions_module.LIMITS.items():
        value = getattr(conditions, name)
        if name == "inlet_temperature":
            if value is None:
                continue
            if isinstance(value, np.ndarray) and value.ndim:
                check(name, value[~np.isnan(value)], limit)
                values[name] = value.astype(float)
                continue
        values[name] = check(name, value, limit)
    return replace(conditions, **values)


def _checked_effects(effects: Effects) -> Effects:
    values = {
        name: check(name, getattr(effects, name), Limit("", low, high))
        for name, (low, high) in effects_module.LIMITS.items()
    }
    return replace(effects, **values)


def charge_range(machine: Machine, refrigerant: str) -> tuple[float, float]:
    """kg: the least and the most refrigerant that a machine can be run with."""
    return _charge_range(machine, fluid_named(refrigerant))


def _charge_range(machine: Machine, fluid: Fluid) -> tuple[float, float]:
    hot = fluid.table.saturation(fluid.table.log_pressure(328.15))
    return LEAST_CHARGE, FULLEST * machine.volume / hot.liquid_volume


def _checked_charge(machine: Machine, fluid: Fluid, charge: Value, effects: Effects) -> Value:
    limit = Limit("mass", *_charge_range(machine, fluid), "kg")
    where = f" of {fluid.name} in {machine.name}"
    charge = check("charge", charge, limit, where)
    check("charge with its fault", charge * effects.charge, limit, where)
    return charge


def _pick(value: Any, place: np.ndarray) -> Any:
    return np.asarray(value, dtype=float)[place] if np.ndim(value) else value


def _some(values: Any, place: np.ndarray) -> Any:
    return replace(values, **{name: _pick(value, place) for name, value in vars(values).items()})


def _joined(parts: list[tuple[np.ndarray, Readings]], count: int) -> Readings:
    """Readings of all chunks in the order that was asked for."""
    order = np.concatenate([place for place, _ in parts])
    back = np.empty(count, int)
    back[order] = np.arange(count)
    values: dict[str, Any] = {}
    for field in fields(Readings):
        pieces = [getattr(found, field.name) for _, found in parts]
        values[field.name] = _join(pieces, [place.size for place, _ in parts], back)
    return Readings(**values)


def _join(pieces: list[Any], sizes: list[int], back: np.ndarray) -> Any:
    first = pieces[0]
    if isinstance(first, dict):
        return {key: _join([piece[key] for piece in pieces], sizes, back) for key in first}
    if isinstance(first, tuple):
        return tuple(_join([piece[k] for piece in pieces], sizes, back) for k in range(len(first)))
    if isinstance(first, str):
        return first
    if first.ndim == 2:
        return np.concatenate(pieces, axis=1)[:, back]
    return np.concatenate([np.broadcast_to(p, (n,)) for p, n in zip(pieces, sizes, strict=True)])[back]
