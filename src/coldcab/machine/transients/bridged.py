"""The circuit with its switches bridged, worked out for a range of air at the coil and of the compressor's flow."""

from __future__ import annotations

import bisect
import math
from typing import NamedTuple

import numpy as np

from coldcab.machine.at_rest import standing_pressure
from coldcab.machine.conditions import Conditions
from coldcab.machine.effects import Effects
from coldcab.machine.evaporator import AIR_HEAT
from coldcab.machine.fluid import Fluid, fluid_named
from coldcab.machine.layout import Machine
from coldcab.machine.model import HUMIDITY_SCALE, evaluate
from coldcab.machine.ops import ARRAYS, FLOATS
from coldcab.machine.preparation import prepare
from coldcab.machine.readings import Readings
from coldcab.machine.setting import Setting, as_arrays, select
from coldcab.machine.simulate import circulating_fluid
from coldcab.machine.solver import first_guess, solve_many

SPACING = 2.0  # K between two temperatures of the air
SHARES = (1.0, 0.9, 0.8, 0.68, 0.55, 0.42, 0.3, 0.2, 0.12)  # of the compressor's full flow
STEP_OF_SHARES = 0.12  # a usual one of these, which counts as far as ``SPACING`` when a neighbour is looked for
TRIES = 3  # from solved neighbours, for points of the grid that the first starts do not solve
JUMPERED = {"low_switch": -2e5, "thermostat": -50.0, "high_switch": 5e5}
# A coil that boils over this share counts as wet: an engaged compressor then cools as much as it can pump. In a drier
# one the valve's flow is the limit, whatever the compressor could do [invented].
WET_SHARE = 0.7
WARMER = 1e-6  # K from one share to the next, at least, for fins that still say which share it is


class Strayed(Exception):
    """The air at the coil has left the grid."""


class Running(NamedTuple):
    """What an engaged compressor tends to, at one temperature of air and fins."""

    low: float  # Pa
    cooling: float  # K, D of `clutch_cycling`
    head: float  # Pa
    share: float  # of the way from the air's temperature to the fins' that the air goes


class Row(NamedTuple):
    """The circuit at one temperature of the air, by its fins from the coldest (full flow) to the warmest."""

    fins: list[float]  # K
    low: list[float]  # Pa
    cooling: list[float]  # K
    head: float  # Pa
    share: float

    def at(self, fins: float) -> Running:
        """Straight between the fins that were worked out; beyond them what the last one has."""
        last = len(self.fins) - 1
        k = min(max(bisect.bisect_right(self.fins, fins) - 1, 0), max(last - 1, 0))
        other = min(k + 1, last)
        span = self.fins[other] - self.fins[k]
        t = min(max((fins - self.fins[k]) / span, 0.0), 1.0) if span else 0.0
        low = self.low[k] + t * (self.low[other] - self.low[k])
        cooling = self.cooling[k] + t * (self.cooling[other] - self.cooling[k])
        return Running(low, cooling, self.head, self.share)


class Circuit(NamedTuple):
    """The circuit with its switches bridged, and what else stays fixed."""

    fluid: Fluid
    setting: Setting  # with the switches as they are
    air: list[float]  # K of the air before the coil, evenly spaced
    rows: list[Row]
    standing: float  # Pa of the machine at rest
    warming: float  # K by the blower

    @property
    def coldest_fins(self) -> float:
        """K of the fins with the compressor running throughout at the mean air."""
        return self.rows[len(self.rows) // 2].fins[0]

    def running(self, air: float, fins: float) -> Running:
        """Straight between two rows; raises `Strayed` beyond the last."""
        if len(self.rows) == 1:
            return self.rows[0].at(fins)
        place = (air - self.air[0]) / (self.air[1] - self.air[0])
        last = len(self.air) - 1
        if not 0.0 <= place <= last:
            raise Strayed
        k = min(int(place), last - 1)
        t, here, there = place - k, self.rows[k].at(fins), self.rows[k + 1].at(fins)
        return Running(*(a + t * (b - a) for a, b in zip(here, there, strict=True)))

    def rest_pressure(self, fins: float) -> float:
        """Pa towards which both sides tend at rest."""
        warmest = self.fluid.table.warmest - 1.0
        return min(math.exp(self.fluid.table.log_pressure(min(fins, warmest))), self.standing)


def bridged_circuit(
    machine: Machine,
    conditions: Conditions,
    refrigerant: str,
    charge: float,
    effects: Effects,
    mean: Readings,
    reach: float,
) -> Circuit | None:
    """The circuit on a grid, ``reach`` K about the mean air (0: only the bench's); None where it has no balance."""
    fluid = circulating_fluid(refrigerant, effects)
    setting = prepare(FLOATS, machine, fluid, conditions, effects, charge)
    if setting.bench:
        air, humidity, warming = np.array([setting.inlet_temperature]), setting.inlet_humidity, 0.0
    else:
        air = mean.return_air + np.linspace(-reach, reach, 2 * round(reach / SPACING) + 1)
        fresh = setting.fresh_air
        humidity = fresh * setting.humidity + (1.0 - fresh) * mean.unknowns[5] * HUMIDITY_SCALE
        warming = setting.blower_power / (setting.coil_air * AIR_HEAT)
    inlet, flow = (grid.ravel() for grid in np.meshgrid(air, SHARES, indexing="ij"))
    bridged = prepare(FLOATS, machine, fluid, conditions, effects.changed(**JUMPERED), charge)
    bridged = bridged._replace(
        bench=1.0,
        fresh_air=0.0,
        inlet_temperature=inlet,
        inlet_humidity=humidity,
        volumetric=flow * effects.volumetric,
    )
    rows = _rows(machine, fluid, as_arrays(bridged, inlet.size), mean, air, flow)
    if rows is None:
        return None
    standing = standing_pressure(FLOATS, fluid, setting.charge, machine.volume, setting.ambient, setting.air_mass)
    return Circuit(fluid, setting, air.tolist(), rows, standing, warming)


def _rows(
    machine: Machine, fluid: Fluid, bridged: Setting, mean: Readings, air: np.ndarray, flow: np.ndarray
) -> list[Row] | None:
    """A row for each temperature of the air; None if one of them has no balance at all."""
    bulb = fluid_named(machine.valve.bulb_fluid)
    unknowns, done = _solved(machine, fluid, bulb, bridged, mean, flow)
    shape = air.size, len(SHARES)
    solved = done.reshape(shape)
    if not solved.any(axis=1).all():
        return None
    with np.errstate(all="ignore"):
        point = evaluate(ARRAYS, machine, fluid, bulb, bridged, unknowns)
    fins, low, head, out, boiling = (
        value.reshape(shape)
        for value in (
            point.cab_air.fins,
            point.low.pressure,
            point.high.pressure,
            point.cab_air.coil_out,
            point.cooling.share,
        )
    )
    wetness = np.clip(boiling / WET_SHARE, 0.0, 1.0)
    # The first solved one has full flow, or the fullest with a balance below the table's end.
    firsts = np.argmax(solved, axis=1)
    rows = []
    for k, (warm, first) in enumerate(zip(air, firsts, strict=True)):
        warmer = np.diff(fins[k, first:], prepend=-np.inf) > WARMER
        last = first + int(np.argmin(np.append(solved[k, first:] & warmer, False)))
        some, wet = fins[k, first:last], wetness[k, first:last]
        pumped = (warm - some) / np.array(SHARES[first:last])
        rows.append(
            Row(
                some.tolist(),
                low[k, first:last].tolist(),
                (wet * pumped + (1.0 - wet) * (warm - some[0])).tolist(),
                float(head[k, first]),
                float((warm - out[k, first]) / (warm - some[0])),
            )
        )
    return rows


def _solved(
    machine: Machine, fluid: Fluid, bulb: Fluid, bridged: Setting, mean: Readings, flow: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Unknowns (7, n) and success, from the usual start, then from the mean state, then from solved neighbours."""
    unknowns, done, _ = solve_many(
        machine, fluid, bulb, bridged, np.array(first_guess(ARRAYS, machine, fluid, bridged))
    )

    def again(left: np.ndarray, start: np.ndarray, limit: int) -> None:
        unknowns[:, left], done[left], _ = solve_many(machine, fluid, bulb, select(bridged, left), start, limit)

    left = np.flatnonzero(~done)
    if left.size:
        again(left, np.repeat(np.array(mean.unknowns)[:, None], left.size, axis=1), 40)
    inlet = bridged.inlet_temperature
    for _ in range(TRIES):
        left, known = np.flatnonzero(~done), np.flatnonzero(done)
        if not left.size or not known.size:
            break
        apart = np.abs(inlet[left, None] - inlet[known]) / SPACING
        apart += np.abs(flow[left, None] - flow[known]) / STEP_OF_SHARES
        again(left, unknowns[:, known[np.argmin(apart, axis=1)]], 25)
    return unknowns, done
