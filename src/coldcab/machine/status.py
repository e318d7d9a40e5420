"""What state a solved circuit is in: who cycles its clutch, and why it is no plain steady state."""

from __future__ import annotations

import math
from typing import NamedTuple

from coldcab.machine import readings as words
from coldcab.machine.conditions import Conditions
from coldcab.machine.effects import Effects
from coldcab.machine.fluid import Fluid
from coldcab.machine.layout import Machine
from coldcab.machine.model import Point
from coldcab.machine.ops import Arithmetic, Truth, Value
from coldcab.machine.setting import Setting
from coldcab.machine.switches import resting_time

WET = 0.003  # mass share of liquid in the suction gas that counts as flood-back
DUTY_STEADY = 0.97  # a duty above this is no cycling
RELIEF_SEEN = 1e-3  # kg
OVERFULL_SHARE = 0.42  # of the circuit's volume filled with liquid, above which this is the likely reason


class Case(NamedTuple):
    """What one solution belongs to."""

    machine: Machine
    fluid: Fluid
    conditions: Conditions
    effects: Effects
    setting: Setting
    refrigerant: str


class Clutch(NamedTuple):
    """The clutch and the switches that cycle it."""

    by_high: Truth  # cycled by the high-pressure switch
    by_low: Truth
    by_fins: Truth
    duty: Value  # share of the time
    on: Value  # s
    off: Value
    cutout: Value  # of the low-pressure switch, Pa gauge
    cutin: Value
    low_rest: Value  # Pa gauge that the low side reaches at rest
    start_again: Value  # K of the fins at which the thermostat closes


class Finding(NamedTuple):
    """One way of not just running."""

    holds: Truth
    status: str
    reason: str


def clutch_of(ops: Arithmetic, case: Case, point: Point, standing: Value) -> Clutch:
    """How the switches cycle the clutch; ``standing`` Pa absolute in the circuit at rest."""
    setting, switches, table = case.setting, case.machine.switches, case.fluid.table
    air = point.coil_in.temperature
    cutout, cutin = switches.low_cutout + case.effects.low_switch, switches.low_cutin + case.effects.low_switch
    saturated_rest = ops.exp(table.log_pressure(ops.minimum(air, table.warmest - 1.0))) - setting.pressure
    low_rest = ops.minimum(saturated_rest, standing - setting.pressure)
    by_high, by_low, by_fins = (one < DUTY_STEADY for one in point.duties)
    duty = point.duties[0] * point.duties[1] * point.duties[2]
    cycling = by_low | by_fins
    cut_out = setting.thermostat - switches.lift
    start_again = cut_out + switches.thermostat_span
    off = ops.where(
        by_low,
        resting_time(ops, low_rest, cutout, cutin, switches.suction_rise),
        resting_time(ops, air, cut_out, start_again, switches.fin_rise),
    )
    off = ops.where(cycling, off, ops.where(by_high, math.nan, 0.0))
    on = ops.where(cycling, off * duty / ops.maximum(1.0 - duty, 1e-6), ops.where(by_high, math.nan, math.inf))
    return Clutch(by_high, by_low, by_fins, duty, on, off, cutout, cutin, low_rest, start_again)


def findings(case: Case, point: Point, clutch: Clutch, standing: Value, unsolved: Truth) -> tuple[Finding, ...]:
    """Everything that can keep a circuit from just running, the gravest first."""
    setting = case.setting
    liquid = setting.charge * point.condensing.side.line.liquid_volume
    overfull = liquid > OVERFULL_SHARE * case.machine.volume
    return (
        Finding(case.effects.clutch < 0.5, words.OFF, "the clutch does not engage"),
        Finding(
            setting.high_cutout < standing,
            words.OFF,
            "the standing pressure is above the cut-out of the high-pressure switch",
        ),
        Finding(
            unsolved & overfull,
            words.NO_STEADY_STATE,
            "so much liquid is in the circuit that it fills condenser and evaporator; no steady flow was found",
        ),
        Finding(unsolved, words.NO_STEADY_STATE, "no balance of flow, heat and charge was found for this combination"),
        Finding(
            clutch.by_low & (clutch.low_rest < clutch.cutin),
            words.OFF,
            "the standing pressure is below the cut-in of the low-pressure switch",
        ),
        Finding(
            clutch.by_fins & (point.coil_in.temperature < clutch.start_again),
            words.OFF,
            "the air at the fins is colder than the cut-in of the thermostat",
        ),
        Finding(point.relieved > RELIEF_SEEN, words.RELIEF, "the relief valve has blown off refrigerant"),
        Finding(clutch.by_high, words.HIGH_PRESSURE, "the high-pressure switch cycles the clutch"),
        Finding(clutch.by_low, words.LOW_PRESSURE, "the low-pressure switch cycles the clutch"),
        Finding(point.compression.wetness > WET, words.FLOOD_BACK, "liquid reaches the compressor"),
        Finding(clutch.by_fins, words.THERMOSTAT, "the thermostat cycles the clutch"),
    )
