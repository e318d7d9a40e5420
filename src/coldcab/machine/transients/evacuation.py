"""Pumping a circuit down, with air, water and a leak in it; and what the vacuum does once the pump is shut off."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from coldcab.air.saturation import log_saturation, log_saturation_of
from coldcab.machine.conditions import MachineError
from coldcab.machine.ops import ARRAYS, FLOATS, Arithmetic, Value
from coldcab.machine.transients.checks import checked, number, together, whole
from coldcab.machine.transients.stiff import integrate, integrate_one
from coldcab.quantities import GAS_CONSTANT

AIR_MOLAR_MASS, WATER_MOLAR_MASS = 0.0289647, 0.01801528  # kg/mol
WATER_GAS_CONSTANT = GAS_CONSTANT / WATER_MOLAR_MASS
AIR_VISCOSITY, WATER_VISCOSITY = 1.83e-5, 0.97e-5  # Pa s at 22 C [from memory, the usual figures]
TRIPLE_POINT = 273.16  # K, where the enthalpies of water here are zero for the liquid
# J/(kg K) of water, ice and vapour; J/kg of melting and of evaporation at the triple point [from memory, usual
# figures].
WATER_HEAT, ICE_HEAT, VAPOR_HEAT = 4200.0, 2080.0, 1860.0
MELTING, EVAPORATION = 333.6e3, 2500.9e3
# What is left of a puddle below this spreads over less and less area [invented].
LAST_WATER = 5e-5  # kg
# kg/(s Pa) per pascal that the vapour pressure of the water is above that in the gas, and W/K from the walls to the
# water [invented, so that 5 g in an ordinary circuit take about half an hour at 20 C as in the design study].
BOILING, WARMING = 4e-9, 0.8
# The same after pumping: water left then lies under oil and in corners, and comes out over minutes [invented].
SLOW_BOILING = 2e-10
# A valve core left in the port counts as a short tube of this length and diameter, m [invented].
CORE = (8e-3, 1.8e-3)
THINNEST, DENSEST = -60.0, 14.0  # ln of the air's pressure, Pa, between which it is followed: nothing, and 12 bar
COLDEST_WATER = 180.0  # K; below it ice has no vapour pressure worth counting


@dataclass(frozen=True)
class Vacuum:
    """Pressures over ``time`` (s); with arrays of cases the last axes are those of the cases."""

    time: np.ndarray
    pressure: np.ndarray  # Pa absolute, air and water vapour together
    air_pressure: np.ndarray
    vapor_pressure: np.ndarray
    water: np.ndarray  # kg of liquid or ice left
    water_temperature: np.ndarray  # K of it (of the last trace once it is gone)
    ice: np.ndarray  # share of the water that is frozen

    def time_to(self, pressure: float) -> Value:
        """s until the pressure (Pa absolute) is first reached from above; infinite where it is not."""
        flat = self.pressure.reshape(self.time.size, -1)
        found = np.array([_first_below(self.time, column, pressure) for column in flat.T])
        found = found.reshape(self.pressure.shape[1:])
        return float(found) if found.ndim == 0 else found


def evacuation(
    volume: Value,
    *,
    pump_speed: Value,
    ultimate_pressure: Value = 3.0,
    hose_length: Value = 0.0,
    hose_diameter: Value = 6e-3,
    core: bool = False,
    water: Value = 0.0,
    temperature: Value = 293.15,
    leak: Value = 0.0,
    start_pressure: Value = 101325.0,
    start_relative_humidity: Value = 0.0,
    atmosphere: Value = 101325.0,
    boiling: Value = BOILING,
    warming: Value = WARMING,
    duration: float = 1800.0,
    samples: int = 361,
    tolerance: float = 1e-5,
) -> Vacuum:
    """Pressure, water and ice in a closed volume on a vacuum pump. All but the last three take numbers or arrays.

    Parameters
    ----------
    volume : m3, 1e-5 to 1e4.
    pump_speed : m3/s at the pump, 1e-6 to 100. ultimate_pressure : Pa that the pump cannot go below, 0 to 2000.
    hose_length, hose_diameter : m, 0 (no hose) to 20 and 0.001 to 0.1. core : a valve core is left in the port.
    water : kg of liquid water in the circuit, 0 to 1. temperature : K of the walls, 274 to 353.15.
    leak : Pa m3/s of air from the atmosphere into vacuum, 0 to 1000.
    start_pressure : Pa, 1 to 110000. start_relative_humidity : of the gas at the start, 0 to 1.
    boiling : kg/(s Pa), 1e-12 to 1e-3. warming : W/K from the walls to the water, 0 to 1e6.
    duration : s, 1 to 1e6. samples : lines of the series. tolerance : of a step, 1e-8 to 1e-2; 1e-3 draws the same.

    Returns
    -------
    `Vacuum`.

    Raises
    ------
    MachineError.

    Equations (isothermal gas): V dp/dt = -S (p2 - p_ult) + leak + R_w T dm/dt; at the pump's end of the hose
    (a/2)(p^2 - p2^2) + b (p - p2) = S (p2 - p_ult), a quadratic for p2, with a = pi d^4 / (128 mu L) (viscous,
    Hagen and Poiseuille) and b = pi d^3 v / (12 L), v = sqrt(8 R T / (pi M)) (molecular, Knudsen): textbook, from
    memory; Knudsen's dip of some 5 % between the two and the short turbulent start are left out. Hose and core in
    series: 1/a and 1/b add, right at either end. Air and vapour leave by their shares; mu and b by mole fraction.
    Leak: a laminar capillary, q (1 - (p/p_atm)^2). Water: dm/dt = -k (p_sat - p_w) while some is left, p_sat of the
    water's own temperature (Hyland and Wexler 1983, over ice below the triple point); the water cools by
    evaporating, is warmed by the walls and freezes at 611 Pa. Sizes of k and of the warming [invented].
    Left out: water dissolved in oil or bound by the desiccant (hours, not minutes), refrigerant that boils off oil.
    """
    pump = checked("pump_speed", pump_speed), checked("ultimate_pressure", ultimate_pressure)
    length, diameter = checked("hose_length", hose_length), checked("hose_diameter", hose_diameter)
    humid = checked("start_relative_humidity", start_relative_humidity)
    walls = _walls(volume, temperature, water, leak, atmosphere, boiling, warming)
    start = checked("vacuum", start_pressure, "start pressure")
    shape, (speed, ultimate, length, diameter, humid, start, *rest) = together(
        *pump, length, diameter, humid, start, *walls
    )
    vapor = humid * np.exp(log_saturation(rest[1])[0])
    if np.any(vapor >= start):
        raise MachineError("the gas cannot be so humid at so low a start pressure; lower the relative humidity.")
    # Resistances of hose and core: what 1/a and 1/b are proportional to.
    thin, wide = length / diameter**4, length / diameter**3
    if core:
        thin, wide = thin + CORE[0] / CORE[1] ** 4, wide + CORE[0] / CORE[1] ** 3
    pumped = speed, ultimate, thin, wide
    return _followed(shape, rest, start - vapor, vapor, pumped, duration, samples, number("tolerance", tolerance))


def vacuum_rise(
    volume: Value,
    *,
    start_pressure: Value,
    leak: Value = 0.0,
    water: Value = 0.0,
    temperature: Value = 293.15,
    atmosphere: Value = 101325.0,
    boiling: Value = SLOW_BOILING,
    warming: Value = WARMING,
    duration: float = 1200.0,
    samples: int = 241,
    tolerance: float = 1e-5,
) -> Vacuum:
    """What the gauge does after the pump is shut off: arguments, equations and errors as for `evacuation`.

    The gas at the start is dry, and water comes out more slowly (``SLOW_BOILING``). A leak draws a straight line,
    dp/dt = q / V; water bends towards its saturation pressure (2339 Pa at 20 C) and stays there; both together bend
    and go on; a tight dry circuit stays.
    """
    walls = _walls(volume, temperature, water, leak, atmosphere, boiling, warming)
    start = checked("vacuum", start_pressure, "start pressure")
    shape, (start, *rest) = together(start, *walls)
    return _followed(shape, rest, start, np.zeros_like(start), None, duration, samples, tolerance)


TIGHT, LEAK, MOISTURE, BOTH = "tight", "leak", "moisture", "moisture and a leak"
STEADY_SHARE = 0.75  # of the early rate that the late one must keep to count as a straight line
SPENT_SHARE = 0.05  # and below which the rise has come to rest


def rise_pattern(time: np.ndarray, pressure: np.ndarray, *, resolution: float = 10.0) -> str:
    """What the bend of a rise says: "tight", "leak", "moisture" or "moisture and a leak".

    ``time`` (s) and ``pressure`` (Pa) of one rise, at least eight readings; ``resolution`` Pa that the gauge resolves.
    The slope of the last quarter is compared with that of the first: a leak keeps it, water loses it. The limits are
    [invented]; a rise that was watched too short, or little water with a big leak, can deceive.
    """
    time, pressure = np.asarray(time, dtype=float), np.asarray(pressure, dtype=float)
    if time.ndim != 1 or time.shape != pressure.shape or time.size < 8 or not np.all(np.diff(time) > 0.0):
        raise MachineError("give at least eight rising times and as many pressures of one rise.")
    if not np.all(np.isfinite(pressure)):
        raise MachineError("the pressures must be plain numbers, none of them missing.")
    if pressure[-1] - pressure[0] < 3.0 * resolution:
        return TIGHT
    quarter = (time[-1] - time[0]) / 4.0
    marks = np.interp([time[0], time[0] + quarter, time[-1] - quarter, time[-1]], time, pressure)
    early, late = marks[1] - marks[0], marks[3] - marks[2]
    if late > STEADY_SHARE * early:
        return LEAK
    return MOISTURE if late < SPENT_SHARE * early or late < resolution else BOTH


def _walls(
    volume: Value, temperature: Value, water: Value, leak: Value, atmosphere: Value, boiling: Value, warming: Value
) -> tuple[Value, ...]:
    return (
        checked("volume", volume),
        checked("wall_temperature", temperature, "temperature"),
        checked("water", water),
        checked("leak", leak),
        checked("atmosphere", atmosphere),
        checked("boiling", boiling),
        checked("warming", warming),
    )


def _followed(
    shape: tuple[int, ...],
    walls: list[np.ndarray],
    air: np.ndarray,
    vapor: np.ndarray,
    pump: tuple[np.ndarray, ...] | None,
    duration: float,
    samples: int,
    tolerance: float = 1e-5,
) -> Vacuum:
    """States: ln of the air's pressure (it falls over decades), vapour's pressure, water, its enthalpy per kg."""
    duration, samples = number("duration", duration), whole("samples", samples)
    temperature, water = walls[1], walls[2]
    start = np.array([np.log(air), vapor, water, WATER_HEAT * (temperature - TRIPLE_POINT)])
    times = np.linspace(0.0, duration, samples)
    # Allowed errors of a step are 1e-5 of these: 1e-4 Pa of vapour, a microgram of water, 1 J/kg.
    scale = [1.0, 10.0, 1e-4, 1e5]
    if start.shape[1] == 1:
        one = [float(value[0]) for value in walls]
        alone = None if pump is None else tuple(float(value[0]) for value in pump)
        rates = _rates(FLOATS, log_saturation_of, *one, pump=alone)
        states = integrate_one(rates, start[:, 0].tolist(), times.tolist(), scale, tolerance=tolerance)
        log_air, vapor, water, enthalpy = (column.reshape(times.size, *shape) for column in states.T)
    else:
        many = _rates(ARRAYS, lambda kelvin: log_saturation(kelvin)[0], *walls, pump=pump)
        path = integrate(lambda y: np.array(many(y)), start, times, np.array(scale), tolerance=tolerance)
        log_air, vapor, water, enthalpy = (path.states[:, k].reshape(times.size, *shape) for k in range(4))
    # The last traces swing about zero within the tolerance of the integration.
    vapor, water = np.maximum(vapor, 0.0), np.maximum(water, 0.0)
    air = np.exp(np.maximum(log_air, THINNEST))
    return Vacuum(times, air + vapor, air, vapor, water, water_temperature(enthalpy), ice_share(enthalpy))


def water_temperature(enthalpy: Value) -> Value:
    """K of water or ice at an enthalpy (J/kg, 0 for liquid at the triple point); between the two it freezes."""
    return _water_temperature(ARRAYS, enthalpy)


def _water_temperature(ops: Arithmetic, enthalpy: Value) -> Value:
    return TRIPLE_POINT + ops.maximum(enthalpy, 0.0) / WATER_HEAT + ops.minimum(enthalpy + MELTING, 0.0) / ICE_HEAT


def ice_share(enthalpy: Value) -> Value:
    """Share that is ice."""
    return np.clip(-enthalpy / MELTING, 0.0, 1.0)


def _rates(
    ops: Arithmetic,
    log_saturated: Callable[[Value], Value],
    volume: Value,
    temperature: Value,
    water: Value,
    leak: Value,
    atmosphere: Value,
    boiling: Value,
    warming: Value,
    *,
    pump: tuple[Value, ...] | None,
) -> Callable[[Value], list[Value]]:
    """The equations of `evacuation` for one case or for arrays (cases,)."""
    air_speed, water_speed = (
        ops.sqrt(8.0 * GAS_CONSTANT * temperature / (math.pi * molar)) for molar in (AIR_MOLAR_MASS, WATER_MOLAR_MASS)
    )

    def pumped(total: Value, share: Value) -> Value:
        """Pa m3/s through hose and pump; ``share`` of vapour in the gas."""
        assert pump is not None
        speed, ultimate, thin, wide = pump
        viscosity = AIR_VISCOSITY + share * (WATER_VISCOSITY - AIR_VISCOSITY)
        molecular = (1.0 - share) * air_speed + share * water_speed
        # Multiplied through by the resistances, so that no hose needs no case of its own.
        a = math.pi / (128.0 * viscosity) * wide
        b = math.pi * molecular / 12.0 * thin
        c = thin * wide * speed
        # a/2 p2^2 + (b + c) p2 - (a/2 p^2 + b p + c p_ult) = 0, the root written without cancellation.
        right = 0.5 * a * total * total + b * total + c * ultimate
        half = b + c
        root = half + ops.sqrt(half * half + 2.0 * a * right)
        ratio = ops.where(root > 0.0, 2.0 * right / ops.where(root > 0.0, root, 1.0), total)
        return speed * (ratio - ultimate)

    def rates(y: Value) -> list[Value]:
        log_air, vapor, left, enthalpy = y
        air = ops.exp(ops.minimum(ops.maximum(log_air, THINNEST), DENSEST))
        wet = ops.maximum(vapor, 0.0)
        total = air + wet
        share = wet / total
        out = pumped(total, share) if pump else ops.spread(0.0, total)
        kelvin = _water_temperature(ops, enthalpy)
        saturated = ops.exp(log_saturated(ops.maximum(kelvin, COLDEST_WATER)))
        drive = boiling * (saturated - vapor)
        boiled = drive * (left / (abs(left) + LAST_WATER))
        leaving = EVAPORATION + VAPOR_HEAT * (kelvin - TRIPLE_POINT)
        heat = warming * (temperature - kelvin) - drive * (leaving - enthalpy)
        entering = leak * (1.0 - (total / atmosphere) ** 2)
        return [
            entering / (volume * air) - out / (volume * total),
            (boiled * WATER_GAS_CONSTANT * temperature - share * out) / volume,
            -boiled,
            ops.where(water > 0.0, heat / (abs(left) + LAST_WATER), 0.0 * heat),
        ]

    return rates


def _first_below(time: np.ndarray, pressure: np.ndarray, level: float) -> float:
    below = np.flatnonzero(pressure <= level)
    if not below.size:
        return math.inf
    k = below[0]
    if k == 0:
        return float(time[0])
    # Straight in the logarithm, as a pump-down is.
    a, b = math.log(pressure[k - 1]), math.log(max(pressure[k], 1e-300))
    return float(time[k - 1] + (time[k] - time[k - 1]) * (a - math.log(level)) / (a - b))
