"""After the clutch lets go: both sides drift together through the valve, and past a worn compressor's reeds."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from coldcab.machine import readings as words
from coldcab.machine.compressor import DISCHARGE_COEFFICIENT
from coldcab.machine.conditions import Conditions, MachineError
from coldcab.machine.effects import Faults, gather
from coldcab.machine.fluid import Fluid, fluid_named
from coldcab.machine.layout import Machine
from coldcab.machine.ops import ARRAYS, FLOATS, Value
from coldcab.machine.preparation import prepare
from coldcab.machine.setting import Setting
from coldcab.machine.simulate import circulating_fluid, simulate
from coldcab.machine.transients.checks import number, whole
from coldcab.machine.transients.stiff import Rates, integrate
from coldcab.machine.transients.vessel import Contents, contents
from coldcab.quantities import AIR_GAS_CONSTANT

# With fan and blower still, this share of the air-side conductance is left (natural convection); metal of condenser and
# coil in J/K per W/K of that conductance. All [invented, typical].
STILL_AIR = 0.04
CONDENSER_METAL, COIL_METAL = 4.5, 9.0  # s
HEALTHY_LEAK = 0.02e-6  # m2 past rings and reeds of a sound compressor [invented]
EQUAL = 0.2e5  # Pa between the sides that a pair of gauges hardly shows
CORNER = 1e3  # Pa below which the square root of the flow laws is rounded
FULLEST = 0.97  # of the high side's volume, filled with liquid, up to which the equations hold
LEAST_ROOM = 0.02  # of a side's volume, that air is given in any case
LAST_LIQUID = 0.01  # kg of liquid in the high side of which as much gas as liquid goes to the valve [invented]

HIGH_PARTS = ("discharge hose", "condenser", "receiver-drier", "liquid line")
LOW_PARTS = ("compressor", "evaporator", "suction hose")


@dataclass(frozen=True)
class Equalization:
    """Both sides over ``time`` (s) from the stop."""

    time: np.ndarray
    high_pressure: np.ndarray  # Pa absolute, air included
    low_pressure: np.ndarray
    high_mass: np.ndarray  # kg of refrigerant
    low_mass: np.ndarray
    high_temperature: np.ndarray  # K of refrigerant and metal
    low_temperature: np.ndarray
    valve_flow: np.ndarray  # kg/s, towards the low side
    leak_flow: np.ndarray  # kg/s past the compressor
    equal_within: float  # Pa
    status: str  # of the machine before the stop, as in `Readings`

    @property
    def time_to_equal(self) -> float:
        """s until the sides stay within ``equal_within`` of each other; infinite if they do not, NaN without values."""
        if np.isnan(self.high_pressure[0]):
            return math.nan
        apart = np.abs(self.high_pressure - self.low_pressure) > self.equal_within
        if not apart.any():
            return 0.0
        if apart[-1]:
            return math.inf
        k = int(np.flatnonzero(apart)[-1])
        here, there = (abs(self.high_pressure[j] - self.low_pressure[j]) for j in (k, k + 1))
        share = (here - self.equal_within) / (here - there)
        return float(self.time[k] + share * (self.time[k + 1] - self.time[k]))


def equalization(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    charge: float,
    faults: Faults = (),
    equal_within: float = EQUAL,
    duration: float = 1800.0,
    samples: int = 301,
) -> Equalization:
    """Pressures after the engine is stopped, fan and blower still.

    Parameters
    ----------
    machine, conditions, refrigerant, charge, faults : as for `simulate`, numbers. A worn compressor is ``leak_area``,
        a valve that does not close ``valve_minimum``.
    equal_within : Pa, 1e3 to 2e5. duration : s, 1 to 1e6. samples : lines of the series.

    Returns
    -------
    `Equalization`. A machine that was off is equal from the start; one without a steady state gives NaN.

    Raises
    ------
    MachineError, also when the high side is full of liquid; UnknownRefrigerant.

    Equations: two vessels (`vessel`), each at one temperature with its metal. Masses and pressures are those of the
    running machine. Flow through the valve as `ExpansionValve.drop` has it, liquid first, its opening by the force
    balance with the bulb as warm as the coil (it closes, but for the bleed); past the compressor
    m = C A sqrt(2 rho dp) of gas, A the fault's ``leak_area`` and a little that a sound one has [invented]. Heat:
    C dT/dt = UA (T_air - T) + m (h_in - dU/dm), C with the metal; sides warm or cool towards the air around them by
    natural convection, textbook forms, sizes [invented]. Air in the circuit starts in the high side and leaves with
    the gas. Left out: oil that gives off refrigerant, and heat from the hot compressor.
    """
    equal_within, duration = number("equal_within", equal_within), number("duration", duration)
    samples = whole("samples", samples)
    effects = gather(faults)
    before = simulate(machine, conditions, refrigerant=refrigerant, charge=charge, faults=effects)
    times = np.linspace(0.0, duration, samples)
    if not before.solved or before.status == words.OFF:
        rest = np.full(samples, before.low_pressure if before.solved else math.nan)
        nothing, still = np.zeros(samples), np.full(samples, before.ambient)
        return Equalization(
            times, rest, rest, nothing * math.nan, nothing * math.nan, still, still, nothing, nothing, equal_within,
            str(before.status),
        )  # fmt: skip
    fluid = circulating_fluid(refrigerant, effects)
    setting = prepare(FLOATS, machine, fluid, conditions, effects, charge)
    sides = _Sides(machine, fluid, setting, before.ambient, before.return_air)
    masses = [sum(before.masses[part] for part in parts) for parts in (HIGH_PARTS, LOW_PARTS)]
    air = setting.air_mass
    warm = sides.temperature(0, masses[0], before.high_pressure, air)
    cold = sides.temperature(1, masses[1], before.low_pressure, 0.0)
    liquid_density = float(contents(fluid, masses[0], sides.volumes[0], warm).liquid_density)
    if masses[0] > FULLEST * liquid_density * sides.volumes[0]:
        raise MachineError(
            f"{masses[0]:.3g} kg fill the high side with liquid, whose pressure these equations cannot follow; "
            "choose less charge."
        )
    start = np.array([masses[0], masses[1], warm, cold, air])[:, None]
    path = integrate(sides.rates(), start, times, np.array([1e-2, 1e-2, 10.0, 10.0, 1e-4]))
    high_mass, low_mass, high_temperature, low_temperature, _ = path.states[:, :, 0].T
    high, low, high_pressure, low_pressure = sides.state(path.states[:, :, 0].T)
    valve, leak = sides.flows(high, low, high_pressure, low_pressure, low_temperature)
    return Equalization(
        times, high_pressure, low_pressure, high_mass, low_mass, high_temperature, low_temperature, valve, leak,
        equal_within, str(before.status),
    )  # fmt: skip


class _Sides:
    """The two vessels and what connects them."""

    def __init__(self, machine: Machine, fluid: Fluid, setting: Setting, ambient: float, coil_air: float) -> None:
        self.machine, self.fluid, self.setting = machine, fluid, setting
        self.bulb = fluid_named(machine.valve.bulb_fluid)
        condenser, evaporator = machine.condenser, machine.evaporator
        self.volumes = (
            machine.discharge_hose.volume + condenser.volume + machine.receiver.room + machine.liquid_line.volume,
            machine.compressor.volume + evaporator.volume + machine.suction_hose.volume,
        )
        self.metal = condenser.air_conductance * CONDENSER_METAL, evaporator.air_conductance * COIL_METAL
        self.conductance = condenser.air_conductance * STILL_AIR, evaporator.air_conductance * STILL_AIR
        self.around = ambient, coil_air
        self.leak_area = HEALTHY_LEAK + setting.leak_area

    def temperature(self, side: int, mass: float, pressure: float, air: float) -> float:
        """K at which so much refrigerant (and air) has this pressure; by halving, the pressure rises with it."""
        low, high = 215.0, self.fluid.table.warmest - 0.5
        volume = self.volumes[side]
        for _ in range(60):
            middle = 0.5 * (low + high)
            found = contents(self.fluid, mass, volume, middle)
            total = float(found.pressure + _air_pressure(found, volume, middle, air))
            low, high = (middle, high) if total < pressure else (low, middle)
        return float(high)

    def state(self, y: np.ndarray) -> tuple[Contents, Contents, np.ndarray, np.ndarray]:
        """Contents and pressures (with air) of the high and the low side."""
        mass, temperature = y[0:2], y[2:4]
        volume = np.reshape(self.volumes, (2,) + (1,) * (y.ndim - 1))
        both = contents(self.fluid, mass, volume, temperature)
        air = np.stack([y[4], self.setting.air_mass - y[4]])
        pressure = both.pressure + _air_pressure(both, volume, temperature, air)
        high, low = (Contents(*(value[side] for value in both)) for side in (0, 1))
        return high, low, *pressure

    def flows(
        self, high: Contents, low: Contents, high_pressure: Value, low_pressure: Value, coil: Value
    ) -> tuple[Value, Value]:
        """kg/s through the valve and past the compressor; negative where the low side is the higher one."""
        valve, drop = self.machine.valve, high_pressure - low_pressure
        bulb_pressure = valve.bulb_pressure(ARRAYS, self.bulb, coil, self.setting.ambient, self.setting)
        opening = valve.opening(ARRAYS, bulb_pressure, low_pressure, self.setting)
        # By volume what reaches the valve is liquid until the high side runs out of it.
        forward = drop > 0.0
        liquid = np.where(forward, _liquid_share(high), 0.0)
        gas_density = np.where(forward, high.vapor_density, low.vapor_density)
        volume = liquid / high.liquid_density + (1.0 - liquid) / gas_density
        at_one = valve.drop(ARRAYS, opening, 1.0, volume, 1.0 / high.liquid_density, 0.0, self.setting)
        # sqrt(dp), straight through zero.
        root = drop / (drop * drop + CORNER * CORNER) ** 0.25
        leak = DISCHARGE_COEFFICIENT * self.leak_area * np.sqrt(2.0 * gas_density) * root
        return root / np.sqrt(at_one), leak

    def rates(self) -> Rates:
        """The equations of `equalization`; states kg high, kg low, K high, K low, kg of air in the high side."""

        def rates(y: np.ndarray) -> np.ndarray:
            high, low, high_pressure, low_pressure = self.state(y)
            valve, leak = self.flows(high, low, high_pressure, low_pressure, y[3])
            liquid = _liquid_share(high)
            carried = np.where(
                valve > 0.0,
                liquid * high.liquid_enthalpy + (1.0 - liquid) * high.vapor_enthalpy,
                low.vapor_enthalpy,
            )
            gas = np.where(leak > 0.0, high.vapor_enthalpy, low.vapor_enthalpy)
            flow, enthalpy = valve + leak, valve * carried + leak * gas
            heat_high = self.conductance[0] * (self.around[0] - y[2]) - (enthalpy - flow * high.marginal_energy)
            heat_low = self.conductance[1] * (self.around[1] - y[3]) + (enthalpy - flow * low.marginal_energy)
            # Air goes with the gas, by its share of it.
            with_gas = leak + np.where(valve > 0.0, (1.0 - liquid) * valve, valve)
            high_gas, low_gas = high.vapor_density * self.volumes[0], low.vapor_density * self.volumes[1]
            air = np.where(
                with_gas > 0.0,
                y[4] / (high_gas + y[4]),
                (self.setting.air_mass - y[4]) / (low_gas + self.setting.air_mass - y[4]),
            )
            return np.array(
                [
                    -flow,
                    flow,
                    heat_high / (self.metal[0] + high.heat_capacity),
                    heat_low / (self.metal[1] + low.heat_capacity),
                    -with_gas * air,
                ]
            )

        return rates


def _air_pressure(found: Contents, volume: Value, temperature: Value, air: Value) -> Value:
    """Pa of so many kg of air in the room that the liquid leaves."""
    room = volume - found.liquid / found.liquid_density
    return air * AIR_GAS_CONSTANT * temperature / np.maximum(room, LEAST_ROOM * volume)


def _liquid_share(high: Contents) -> np.ndarray:
    """Mass share of liquid in what goes to the valve: nearly 1 until the last of it."""
    return high.liquid**2 / (high.liquid**2 + LAST_LIQUID**2)
