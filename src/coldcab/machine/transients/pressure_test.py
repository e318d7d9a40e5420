"""A circuit under dry nitrogen: what the weather does to the gauge, and what a leak does."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldcab.machine.conditions import MachineError
from coldcab.machine.ops import Value
from coldcab.machine.transients.checks import checked, number

NITROGEN = 296.80  # J/(kg K): molar gas constant (CODATA 2018) over 28.0134 g/mol


@dataclass(frozen=True)
class PressureTest:
    """A standing test over ``time``; arrays, a column for each leak if several were given."""

    time: np.ndarray  # s
    temperature: np.ndarray  # K of the gas
    pressure: np.ndarray  # Pa absolute
    gauge: np.ndarray  # Pa above the atmosphere
    expected: np.ndarray  # Pa absolute that a tight circuit would show at this temperature
    mass: np.ndarray  # kg of gas

    @property
    def loss(self) -> np.ndarray:
        """Pa that the weather does not explain."""
        lost: np.ndarray = self.expected - self.pressure
        return lost


def pressure_test(
    volume: float,
    *,
    pressure: float,
    time: ArrayLike,
    temperature: ArrayLike,
    leak: Value = 0.0,
    atmosphere: float = 101325.0,
    gas_constant: float = NITROGEN,
    real_gas: bool = False,
) -> PressureTest:
    """Pressure in a closed volume of dry nitrogen while its temperature changes and a leak bleeds it.

    Parameters
    ----------
    volume : m3, 1e-5 to 1e4.
    pressure : Pa absolute at the start, 1.2e5 to 50e5.
    time, temperature : s (rising) and K of the gas at these times, -40 to 80 C, straight in between; or one number
        each: the length of the test and a temperature that stays.
    leak : Pa m3/s that the same leak would let in from the atmosphere into vacuum, 0 to 1000; number or array.
    atmosphere : Pa. gas_constant : J/(kg K), nitrogen's if left out.
    real_gas : the compressibility of nitrogen from CoolProp (imported then) instead of the ideal gas.

    Returns
    -------
    `PressureTest`.

    Raises
    ------
    MachineError.

    Equations: m = p V / (R T) (ideal gas; the volume does not stretch). Leak: a laminar capillary, throughput
    q (p^2 - p_atm^2) / p_atm^2 (textbook, from memory; q the throughput from the atmosphere into vacuum), so a test
    at 15 bar drives over 200 times what a vacuum does through the same leak. Each stretch of time: half of the
    warming, the leak at constant temperature in closed form, the other half; second order in the temperature's
    change, exact where it rests.
    """
    volume, start = number("volume", volume), number("pressure", pressure)
    atmosphere, gas_constant = number("atmosphere", atmosphere), number("gas_constant", gas_constant)
    leak = checked("leak", leak)
    if np.ndim(leak) > 1:
        raise MachineError("leaks must be one number or one row of numbers.")
    times, kelvin = _weather(time, temperature)
    law = _RealGas() if real_gas else _IdealGas()
    if real_gas and gas_constant != NITROGEN:
        raise MachineError("a real gas is nitrogen: leave gas constant out, or ask for the ideal gas.")
    leaks = np.atleast_1d(np.asarray(leak, dtype=float))
    density = np.full(leaks.size, law.density(start, kelvin[0], gas_constant))
    tight = density[0]
    rows, masses = [np.full(leaks.size, start)], [density * volume]
    for k in range(1, times.size):
        span, middle = times[k] - times[k - 1], 0.5 * (kelvin[k] + kelvin[k - 1])
        before = law.pressure(density, middle, gas_constant)
        after = bled(before, span, leaks, volume, atmosphere)
        density = density * (after / before)
        rows.append(law.pressure(density, kelvin[k], gas_constant))
        masses.append(density * volume)
    expected = np.array([start, *(law.pressure(tight, t, gas_constant) for t in kelvin[1:])])
    pressures, mass = np.array(rows), np.array(masses)
    if np.ndim(leak) == 0:
        pressures, mass = pressures[:, 0], mass[:, 0]
    else:
        expected = np.repeat(expected[:, None], leaks.size, axis=1)
    return PressureTest(times, kelvin, pressures, pressures - atmosphere, expected, mass)


def bled(pressure: Value, span: float, leak: Value, volume: float, atmosphere: float) -> Value:
    """Pa after ``span`` s at constant temperature of a volume that leaks through a laminar capillary.

    V dp/dt = -q (p^2 - p_atm^2) / p_atm^2 has the closed solution x' = (x + t) / (1 + x t), x = p / p_atm,
    t = tanh(q span / (V p_atm)); it holds below the atmosphere too.
    """
    x, t = pressure / atmosphere, np.tanh(leak * span / (volume * atmosphere))
    return atmosphere * (x + t) / (1.0 + x * t)


def _weather(time: ArrayLike, temperature: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    kelvin = np.asarray(checked("temperature", temperature), dtype=float)
    if np.ndim(time) == 0:
        if kelvin.ndim:
            raise MachineError("give a time for every temperature.")
        return np.array([0.0, number("duration", time, "time")]), np.array([kelvin, kelvin])
    try:
        times = np.asarray(time, dtype=float)
    except (TypeError, ValueError):
        raise MachineError("times must be numbers in s.") from None
    if times.ndim != 1 or times.size < 2 or not np.all(np.isfinite(times)) or not np.all(np.diff(times) > 0.0):
        raise MachineError("times must be two or more rising numbers in s.")
    if kelvin.ndim == 0:
        kelvin = np.full(times.shape, kelvin)
    if kelvin.shape != times.shape:
        raise MachineError(f"{times.size} times but {kelvin.size} temperatures; give one for each.")
    return times, kelvin


class _IdealGas:
    """p = rho R T."""

    def density(self, pressure: Value, temperature: float, gas_constant: float) -> Value:
        return pressure / (gas_constant * temperature)

    def pressure(self, density: Value, temperature: float, gas_constant: float) -> Value:
        return density * gas_constant * temperature


class _RealGas:
    """Nitrogen after Span and others (2000), J. Phys. Chem. Ref. Data 29, 1361, as CoolProp has it."""

    def __init__(self) -> None:
        from CoolProp import CoolProp

        self._inputs = CoolProp.PT_INPUTS, CoolProp.DmassT_INPUTS
        self._fluid = CoolProp.AbstractState("HEOS", "Nitrogen")

    def density(self, pressure: float, temperature: float, gas_constant: float) -> float:
        self._fluid.update(self._inputs[0], float(pressure), float(temperature))
        return self._fluid.rhomass()

    def pressure(self, density: Value, temperature: float, gas_constant: float) -> Value:
        def one(value: float) -> float:
            self._fluid.update(self._inputs[1], float(value), float(temperature))
            return self._fluid.p()

        return np.array([one(value) for value in density]) if np.ndim(density) else one(density)
