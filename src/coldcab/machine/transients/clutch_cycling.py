"""A clutch that a switch cycles: pressures, fins and cab between cut-out and cut-in."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from coldcab.machine import readings as words
from coldcab.machine.cab import FULL_SUN, Storage
from coldcab.machine.conditions import Conditions, MachineError
from coldcab.machine.effects import Faults, gather
from coldcab.machine.evaporator import AIR_HEAT
from coldcab.machine.layout import Machine
from coldcab.machine.ops import FLOATS
from coldcab.machine.readings import Readings
from coldcab.machine.setting import Setting
from coldcab.machine.simulate import simulate
from coldcab.machine.transients.bridged import Circuit, Strayed, bridged_circuit
from coldcab.machine.transients.checks import number
from coldcab.machine.transients.switching import Threshold, follow, means

# Time constants in s: of the low side and the head with the clutch engaged, of the head at rest. The low side's and the
# fins' at rest are the machine's own (`Switches`). All [invented]: gauges settle within seconds, heads in a minute.
SUCTION_FALL, HEAD_RISE, HEAD_FALL = 4.0, 12.0, 60.0
HEAD_SPAN = 6e5  # Pa by which the high-pressure switch closes again below its cut-out [invented, typical]
# K on either side of the mean air at the coil where the circuit is worked out; the wider one if the cab strays so far.
REACHES = (8.0, 32.0)
TOO_FAR = f"the air at the coil strays more than {REACHES[-1]:g} K from its mean; choose milder conditions."

LOW_SWITCH, THERMOSTAT, HIGH_SWITCH = "low-pressure switch", "thermostat", "high-pressure switch"
STATUS_OF = {LOW_SWITCH: words.LOW_PRESSURE, THERMOSTAT: words.THERMOSTAT, HIGH_SWITCH: words.HIGH_PRESSURE}


@dataclass(frozen=True)
class ClutchCycling:
    """Some minutes of a cycling clutch; arrays over ``time``, one line every half second and at every switching."""

    status: str  # as in `Readings`: what cycles the clutch, "running" if nothing does, "off", "no steady state"
    time: np.ndarray  # s
    engaged: np.ndarray  # bool, from this line on
    low_pressure: np.ndarray  # Pa absolute
    high_pressure: np.ndarray
    fins: np.ndarray  # K, where the thermostat feels
    coil_air: np.ndarray  # K before the coil
    vent: np.ndarray
    cab: np.ndarray
    on_times: np.ndarray  # s of each complete spell engaged
    off_times: np.ndarray  # s of each complete rest
    opened_by: tuple[str, ...]  # the switch that ended each spell engaged, the first included
    on: float  # s, mean of the later half of the cycles; infinite without cycling, 0 at rest
    off: float
    duty: float  # share of the time

    @property
    def period(self) -> float:
        """s of one cycle; infinite without cycling."""
        return self.on + self.off


def clutch_cycling(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    charge: float,
    faults: Faults = (),
    duration: float = 900.0,
    storage: Storage | None = None,
) -> ClutchCycling:
    """How the switches cycle the clutch: on and off times, duty, swing of gauges, fins, vent and cab.

    Parameters
    ----------
    machine, conditions, refrigerant, charge, faults : as for `simulate`, numbers; cab or bench mode.
    duration : s, 10 to 14400.
    storage : what stores heat in the cab.

    Starts with the clutch just engaged: the mean state of `simulate` in the cab, both sides at rest.

    Returns
    -------
    `ClutchCycling`.

    Raises
    ------
    MachineError, also when the air at the coil strays far from its mean; UnknownRefrigerant.

    Equations [form from the design study of this model, constants invented]. The circuit, its switches bridged, is
    solved on a grid of air temperatures and shares f of the compressor's flow; each solution has fins at T_f and
    takes up f times what the compressor moves while engaged, so D = (T_air - T_f) / f is the cooling of an engaged
    compressor at those fins, in kelvins of the air's way to the fins (a starved coil's D is that of the running
    circuit: its valve is the limit). Then
    engaged: dT_f/dt = ((T_air - T_f) - D) / tau_fins; at rest: dT_f/dt = (T_air - T_f) / tau_fins.
    Low side engaged: towards the pressure that belongs to the fins on that grid; head: towards the running circuit's.
    At rest both tend towards the saturation pressure of the fins, the coldest place, at most the standing pressure.
    Air leaves the coil by a constant bypass of the fins; cab and mass as in `pull_down`, humidity held. In the limit
    of a narrow thermostat the duty is that of `simulate`. Classical Runge and Kutta steps, each switching found to a
    microsecond. Left out: condensate that dries off while the clutch rests.
    """
    duration = number("running_duration", duration, "duration")
    effects = gather(faults)
    mean = simulate(machine, conditions, refrigerant=refrigerant, charge=charge, faults=effects)
    if not mean.solved or mean.status == words.OFF:
        return _nothing_moves(mean, duration)
    for reach in REACHES:
        circuit = bridged_circuit(machine, conditions, refrigerant, charge, effects, mean, reach)
        if circuit is None:
            return _nothing_moves(replace(mean, status=words.NO_STEADY_STATE), duration)
        try:
            return _cycled(machine, circuit, mean, storage or machine.cab.storage, duration)
        except Strayed:
            continue
    raise MachineError(TOO_FAR)


def _cycled(machine: Machine, circuit: Circuit, mean: Readings, storage: Storage, duration: float) -> ClutchCycling:
    setting = circuit.setting
    rates, outputs = _equations(machine, circuit, storage)
    warm_fins = setting.thermostat - machine.switches.lift + machine.switches.thermostat_span + 0.1
    start = [
        circuit.rest_pressure(mean.return_air),
        circuit.standing,
        min(max(warm_fins, circuit.coldest_fins), mean.return_air),
        mean.cab,
        mean.cab + _sun_on_mass(machine, setting, storage) / storage.mass_conductance,
    ]
    found = follow(rates, start, _thresholds(machine, setting), duration)
    coil_air, vent = np.array([outputs(y) for y in found.states]).T
    low, high, fins, cab, _ = np.array(found.states).T
    on, off, duty = means(found)
    return ClutchCycling(
        STATUS_OF[found.opened_by[-1]] if found.opened_by else words.RUNNING,
        np.array(found.times), np.array(found.engaged), low, high, fins, coil_air, vent, cab,
        np.array(found.on_times), np.array(found.off_times), tuple(found.opened_by), on, off, duty,
    )  # fmt: skip


def _sun_on_mass(machine: Machine, setting: Setting, storage: Storage) -> float:
    """W."""
    return float(machine.cab.solar * setting.sun / FULL_SUN * storage.sun_on_mass)


def _equations(
    machine: Machine, circuit: Circuit, storage: Storage
) -> tuple[Callable[[list[float], bool], list[float]], Callable[[list[float]], tuple[float, float]]]:
    """Rates of change of [low, high, fins, cab, mass], and (air before the coil, vent)."""
    setting, cab, switches = circuit.setting, machine.cab, machine.switches
    stream = setting.coil_air * AIR_HEAT
    capacity = storage.air(setting.pressure) * AIR_HEAT
    sun = _sun_on_mass(machine, setting, storage)
    outside, bench = setting.fresh_air, bool(setting.bench)

    def before_coil(inside: float) -> float:
        if bench:
            return float(setting.inlet_temperature)
        return float(outside * setting.ambient + (1.0 - outside) * inside + circuit.warming)

    def behind_coil(air: float, fins: float, share: float) -> float:
        coil_out = air - share * (air - fins)
        return float(coil_out + cab.heater(FLOATS, coil_out, stream, setting))

    def rates(y: list[float], engaged: bool) -> list[float]:
        low, high, fins, inside, mass = y
        air = before_coil(inside)
        run = circuit.running(air, fins)
        if engaged:
            goals, times = (run.low, run.head), (SUCTION_FALL, HEAD_RISE)
        else:
            rest = circuit.rest_pressure(fins)
            goals, times = (rest, rest), (switches.suction_rise, HEAD_FALL)
        first = (
            (goals[0] - low) / times[0],
            (goals[1] - high) / times[1],
            (air - fins - (run.cooling if engaged else 0.0)) / switches.fin_rise,
        )
        if bench:
            return [*first, 0.0, 0.0]
        exchanged = storage.mass_conductance * (mass - inside)
        gained = cab.heat(setting.ambient, inside, setting, AIR_HEAT) - sun + exchanged
        gained -= stream * (inside - behind_coil(air, fins, run.share))
        return [*first, gained / capacity, (sun - exchanged) / storage.mass_capacity]

    def outputs(y: list[float]) -> tuple[float, float]:
        air = before_coil(y[3])
        return air, behind_coil(air, y[2], circuit.running(air, y[2]).share)

    return rates, outputs


def _thresholds(machine: Machine, setting: Setting) -> tuple[Threshold, ...]:
    switches = machine.switches
    cold = setting.thermostat - switches.lift
    cut_in = setting.low_cutout + switches.low_cutin - switches.low_cutout
    return (
        Threshold(LOW_SWITCH, 0, setting.low_cutout, cut_in),
        Threshold(THERMOSTAT, 2, cold, cold + switches.thermostat_span),
        Threshold(HIGH_SWITCH, 1, setting.high_cutout, setting.high_cutout - HEAD_SPAN),
    )


def _nothing_moves(mean: Readings, duration: float) -> ClutchCycling:
    """Two lines for a machine at rest, or NaN for one without a steady state."""
    off = mean.status == words.OFF
    time = np.array([0.0, duration])

    def both(value: float) -> np.ndarray:
        return np.full(2, value if off else math.nan)

    none = np.empty(0)
    return ClutchCycling(
        str(mean.status), time, np.zeros(2, bool), both(mean.low_pressure), both(mean.high_pressure),
        both(mean.return_air), both(mean.return_air), both(mean.vent), both(mean.cab), none, none, (),
        0.0 if off else math.nan, math.inf if off else math.nan, 0.0 if off else math.nan,
    )  # fmt: skip
