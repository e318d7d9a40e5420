"""Cooling down a cab that has stood in the sun."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from coldcab.machine import cab as cab_part
from coldcab.machine import readings as words
from coldcab.machine.cab import FULL_SUN, Cab, Storage
from coldcab.machine.conditions import Conditions, MachineError
from coldcab.machine.effects import Faults, gather
from coldcab.machine.evaporator import AIR_HEAT
from coldcab.machine.layout import Machine
from coldcab.machine.model import CAB_SCALE, HUMIDITY_SCALE
from coldcab.machine.ops import FLOATS, Value
from coldcab.machine.preparation import prepare
from coldcab.machine.readings import Readings
from coldcab.machine.setting import Setting
from coldcab.machine.simulate import circulating_fluid, simulate
from coldcab.machine.transients.checks import number

FIRST_STEP, LONGEST_STEP, LENGTHENING = 0.4, 20.0, 1.12  # s, s, from step to step
GLANCE = 0.02  # s, after which the first line of the series is taken; shorter ones drown the balance in rounding
WARMEST_BENCH, BENCH_HUMIDITY = 333.15, 0.15  # K and relative humidity of a first try on the bench
SHORTENINGS = 4  # tries with ever shorter steps where the circuit has no balance at once


@dataclass(frozen=True)
class StoringCab(Cab):
    """A cab whose balances hold the storage of one implicit time step, so that one solution is one step.

    Storage of a state y with capacity C over a step is ``rate (anchor - y)``, rate = a C and anchor from the states
    before, as the difference formula says. The mass is eliminated: it is linear in the cab's temperature.
    """

    air_rate: float = 0.0  # W/K
    air_anchor: float = 0.0  # K
    mass_rate: float = 0.0
    mass_anchor: float = 0.0
    mass_conductance: float = 0.0
    sun_on_mass: float = 0.0
    water_rate: float = 0.0  # kg/s
    water_anchor: float = 0.0

    def mass(self, inside: Value, sun: Value) -> Value:
        """K of the mass at the end of the step."""
        sun = self.solar * sun / FULL_SUN * self.sun_on_mass
        given = self.mass_rate * self.mass_anchor + self.mass_conductance * inside + sun
        return given / (self.mass_rate + self.mass_conductance)

    def heat(self, ambient: Value, inside: Value, setting: Setting, heat_capacity: Value) -> Value:
        """W into the air, what the air and the mass give up included."""
        steady = super().heat(ambient, inside, setting, heat_capacity)
        landed = self.solar * setting.sun / FULL_SUN * self.sun_on_mass
        from_mass = self.mass_conductance * (self.mass(inside, setting.sun) - inside)
        return steady - landed + from_mass + self.air_rate * (self.air_anchor - inside)

    def water(self, ambient: Value, inside: Value, setting: Setting) -> Value:
        """kg/s of water vapour, what the air gives up included."""
        return super().water(ambient, inside, setting) + self.water_rate * (self.water_anchor - inside)


@dataclass(frozen=True)
class PullDown:
    """A pull-down; every array runs over ``time``."""

    time: np.ndarray  # s since the start
    cab: np.ndarray  # K
    mass: np.ndarray  # K of seats, trim and glass
    humidity: np.ndarray  # kg/kg in the cab
    vent: np.ndarray  # K
    low_gauge: np.ndarray  # Pa above the atmosphere
    high_gauge: np.ndarray
    clutch_duty: np.ndarray
    status: np.ndarray  # as in `Readings`
    readings: Readings  # all instruments, arrays over the time

    def at(self, time: Value) -> Value:
        """Cab temperature (K) at a time (s) between the first and the last."""
        low, high = self.time[0], self.time[-1]
        if not np.all((np.asarray(time) >= low) & (np.asarray(time) <= high)):
            raise MachineError(f"the pull-down runs from {low:g} to {high:g} s; choose a time in it.")
        found = np.interp(time, self.time, self.cab)
        return float(found) if np.ndim(time) == 0 else found

    def time_to(self, temperature: float) -> float:
        """s until the cab is at or below a temperature (K); infinite if it never is."""
        below = np.flatnonzero(self.cab <= temperature)
        if not below.size:
            return math.inf
        k = below[0]
        if k == 0:
            return 0.0
        hot, cold = self.cab[k - 1], self.cab[k]
        return float(self.time[k - 1] + (self.time[k] - self.time[k - 1]) * (hot - temperature) / (hot - cold))


def pull_down(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    charge: float,
    faults: Faults = (),
    soak: float = 333.15,
    soak_humidity: float | None = None,
    duration: float = 2400.0,
    storage: Storage | None = None,
) -> PullDown:
    """Cab, mass and circuit from the moment a soaked cab's air conditioner starts.

    Parameters
    ----------
    machine, conditions, refrigerant, charge, faults : as for `simulate`, numbers, cab mode.
    soak : K of air and mass at the start, 5 to 75 C.
    soak_humidity : kg/kg at the start, 0 to 0.06; left out, that of the ambient air.
    duration : s, 10 to 14400.
    storage : what stores heat and moisture; left out, the cab's own.

    Returns
    -------
    `PullDown`. With the clutch off the cab follows without cooling. From a moment without a steady state of the
    circuit on, all is NaN and the status says so.

    Raises
    ------
    MachineError, UnknownRefrigerant.

    Equations: C_a dT/dt = m cp (T_vent - T) + UA_m (T_m - T) + walls, people, engine; C_m dT_m/dt = UA_m (T - T_m)
    + sun; M dw/dt likewise. Heat balances, textbook; capacities [invented]. Second-order backward differences with
    growing steps (Gear 1971, from memory; variable-step form from memory), all implicit: the circuit, quasi-steady,
    and the cab are one solution per step. Left out: the first half minute in which the circuit itself comes to
    speed, water held by seats and ice on the coil.
    """
    if not isinstance(conditions, Conditions) or conditions.inlet_temperature is not None:
        raise MachineError("a pull-down needs Conditions in cab mode: leave inlet temperature out.")
    soak = number("soak", soak)
    duration = number("running_duration", duration, "duration")
    storage = storage or machine.cab.storage

    def run(cab: Cab, near: Readings | None) -> Readings:
        return simulate(
            replace(machine, cab=cab), conditions, refrigerant=refrigerant, charge=charge, faults=faults, start=near
        )

    def implicit_step(step: _Step, near: Readings | None) -> tuple[StoringCab, Readings]:
        cab = step.cab(machine.cab, storage, air)
        return cab, run(cab, near)

    # The first call also checks every argument.
    first = run(machine.cab, None)
    effects = gather(faults)
    setting = prepare(FLOATS, machine, circulating_fluid(refrigerant, effects), conditions, effects, charge)
    humidity = setting.humidity if soak_humidity is None else number("soak_humidity", soak_humidity)
    air = storage.air(setting.pressure)
    states, rows, times = [(soak, soak, humidity)], [], [0.0]
    cab, found = implicit_step(_Step.euler(GLANCE, states[0]), _soaked(first, soak, humidity))
    if not found.solved:
        # From the circuit on a bench with the warmest air that `simulate` takes.
        bench = replace(conditions, inlet_temperature=min(soak, WARMEST_BENCH), inlet_relative_humidity=BENCH_HUMIDITY)
        near = simulate(machine, bench, refrigerant=refrigerant, charge=charge, faults=faults)
        cab, found = implicit_step(_Step.euler(GLANCE, states[0]), _soaked(near, soak, humidity))
    rows.append(replace(found, cab=soak) if found.solved else found)
    step, before = FIRST_STEP, 0.0
    while times[-1] < duration - 1e-9 and found.solved:
        left = duration - times[-1]
        # The last two steps share what is left.
        step = left if step >= left else 0.5 * left if step > 0.5 * left else step
        for _ in range(SHORTENINGS):
            formula = _Step.second(step, before, states[-1], states[-2]) if before else _Step.euler(step, states[-1])
            near = rows[-1]
            if len(rows) > 2:
                # Straight on from the last two solutions.
                ahead = step / before
                guess = [b + ahead * (b - a) for a, b in zip(rows[-2].unknowns, rows[-1].unknowns, strict=True)]
                near = replace(near, unknowns=tuple(guess))
            cab, found = implicit_step(formula, near)
            if found.solved:
                break
            step *= 0.4
        times.append(times[-1] + step)
        inside = found.cab
        rested = found.status == words.OFF
        water = _uncooled_humidity(cab, setting) if rested else found.unknowns[5] * HUMIDITY_SCALE
        states.append((inside, cab.mass(inside, setting.sun), water))
        rows.append(found)
        before, step = step, min(step * LENGTHENING, LONGEST_STEP)
    readings = stacked(rows)
    inside, mass, water = np.array(states).T
    return PullDown(
        np.array(times), inside, mass, water, readings.vent, readings.low_gauge, readings.high_gauge,
        readings.clutch_duty, np.asarray(readings.status), readings,
    )  # fmt: skip


@dataclass(frozen=True)
class _Step:
    """A difference formula: dy/dt = rate (y - anchor) at the end of the step, one anchor for each state."""

    rate: float  # 1/s
    anchors: tuple[float, ...]

    @staticmethod
    def euler(step: float, last: tuple[float, ...]) -> _Step:
        return _Step(1.0 / step, last)

    @staticmethod
    def second(step: float, before: float, last: tuple[float, ...], previous: tuple[float, ...]) -> _Step:
        """Backward differences of second order for steps of unequal length."""
        r = step / before
        rate = (1.0 + 2.0 * r) / (1.0 + r)
        anchors = tuple(((1.0 + r) * b - r * r / (1.0 + r) * a) / rate for a, b in zip(previous, last, strict=True))
        return _Step(rate / step, anchors)

    def cab(self, cab: Cab, storage: Storage, air: float) -> StoringCab:
        return StoringCab(
            **vars(cab),
            air_rate=self.rate * air * AIR_HEAT,
            air_anchor=self.anchors[0],
            mass_rate=self.rate * storage.mass_capacity,
            mass_anchor=self.anchors[1],
            mass_conductance=storage.mass_conductance,
            sun_on_mass=storage.sun_on_mass,
            water_rate=self.rate * air,
            water_anchor=self.anchors[2],
        )


def _uncooled_humidity(cab: StoringCab, setting: Setting) -> float:
    """kg/kg at the end of a step in which the coil takes no water: the balance is a straight line."""
    fresh = setting.coil_air * setting.fresh_air
    gained = cab.water(setting.humidity, 0.0, setting) + fresh * setting.humidity
    return float(gained / (cab_part.INFILTRATION + cab.water_rate + fresh))


def _soaked(near: Readings, soak: float, humidity: float) -> Readings | None:
    """A start for the first line: a solved circuit, the cab as it was soaked."""
    if not near.solved:
        return None
    unknowns = list(near.unknowns)
    unknowns[4:6] = soak / CAB_SCALE, humidity / HUMIDITY_SCALE
    return replace(near, unknowns=tuple(unknowns))


def stacked(rows: list[Readings]) -> Readings:
    """Readings of many moments as one with arrays over the time."""
    values: dict[str, Any] = {}
    for field in fields(Readings):
        pieces = [getattr(row, field.name) for row in rows]
        first = pieces[0]
        if field.name == "refrigerant":
            values[field.name] = first
        elif field.name == "unknowns":
            values[field.name] = np.array(pieces, dtype=float).T
        elif isinstance(first, dict):
            values[field.name] = {key: np.array([piece[key] for piece in pieces]) for key in first}
        elif isinstance(first, tuple):
            values[field.name] = tuple(np.array(column) for column in zip(*pieces, strict=True))
        else:
            values[field.name] = np.array(pieces)
    return Readings(**values)
