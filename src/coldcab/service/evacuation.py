"""Vacuum for the day, pump-down through hose and core, and the water that must boil away.

Water leaves a circuit because the vacuum lets it boil, not because time passes: the gauge must go below the pressure
at which water boils at the coldest spot of the machine, and stay there until the last of it is gone. Time series come
from `coldcab.machine.transients`; here are the numbers that a technician decides with. The rise test afterwards is in
`coldcab.service.rise_test`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coldcab.air.saturation import TRIPLE_POINT, log_saturation, solve_rising
from coldcab.machine.transients.evacuation import (
    AIR_MOLAR_MASS,
    AIR_VISCOSITY,
    CORE,
)
from coldcab.quantities import GAS_CONSTANT, MICRON, STANDARD_ATMOSPHERE, Limit, Value, plain
from coldcab.service.checks import ServiceError, checked, together
from coldcab.words import _

CAUTIONS = (
    _(
        "A vacuum pump is for air and water vapor: recover the refrigerant first, and never pump "
        "refrigerant into the open."
    ),
    _(
        "Never pump a circuit that holds flammable vapor or solvent with a pump that is not "
        "rated for it: its oil and its motor can set the vapor alight."
    ),
    _("Never run the compressor in a vacuum: it has no oil feed and no cooling, and it seizes."),
    _("Close the valve to the pump before you stop it, else its oil is drawn into the circuit."),
    _("The manual of the machine and of the pump, and the law where you work, come first."),
)
LIMITS_OF_METHOD = (
    _(
        "Water that is dissolved in oil comes out over hours, and a desiccant keeps it; the times "
        "here are for free water alone."
    ),
    _("A gauge at the pump shows the pump. Read at the far end, with the pump shut off."),
    _("A wet filter-drier is replaced, not dried: no shop vacuum empties a desiccant."),
)
DEEP_TARGET = 500.0 * MICRON
"""Pa absolute, 500 micron: common practice, no source. It is below the vapor pressure of ice at -24 C."""

BRISK = 10.0
"""K: the water should boil this much below the temperature of the machine, so that heat flows to it; invented."""

TEMPERATURE = Limit("temperature", 248.15, 333.15, "C")
MARGIN = Limit("temperature difference", 0.0, 40.0)
PRESSURE = Limit("pressure", 0.1, 1.2e5)
ATMOSPHERE = Limit("pressure", 5e4, 1.1e5, "kPa")
VOLUME = Limit("volume", 1e-5, 1e4, "L")
SPEED = Limit("volume flow", 1e-6, 1e2, "L/min")
ULTIMATE = Limit("pressure difference", 0.0, 2e3, "Pa")
LENGTH = Limit("length", 0.0, 20.0)
DIAMETER = Limit("length", 1e-3, 0.1, "mm")


def boiling_temperature(pressure: Value) -> Value:
    """Temperature at which water boils, or ice sublimes, under an absolute pressure.

    Parameters
    ----------
    pressure : Pa absolute, 0.1 to 120,000; number or array.

    Returns
    -------
    K, same shape; below the triple point (611 Pa, 0.01 C) it is ice that goes straight into vapor.

    Raises
    ------
    ServiceError.

    Source: Hyland and Wexler (1983), as in ASHRAE (2017) chapter 1, equations 5 and 6, turned round.
    """
    wanted = np.log(np.asarray(checked("pressure", pressure, PRESSURE), dtype=float))
    low, high = np.full(wanted.shape, 180.0), np.full(wanted.shape, 380.0)

    def above(kelvin: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        value, slope = log_saturation(kelvin)
        return value - wanted, slope

    return plain(solve_rising(above, low, high))


def boiling_pressure(temperature: Value) -> Value:
    """Pa absolute below which water boils at a temperature (K, -25 to 60 C); ice below 0.01 C. Source as above."""
    kelvin = np.asarray(checked("temperature", temperature, TEMPERATURE), dtype=float)
    return plain(np.exp(log_saturation(kelvin)[0]))


@dataclass(frozen=True)
class RequiredVacuum:
    """What the gauges must show today; Pa, and K."""

    boils_below: Value  # Pa absolute at which water at the coldest spot just begins to boil
    brisk_below: Value  # Pa absolute at which it boils `BRISK` K (or the margin given) below that temperature
    gauge_vacuum: Value  # Pa below the atmosphere that a vacuum gauge must show for `brisk_below`
    deepest_gauge: Value  # Pa: what a vacuum gauge shows here for no pressure at all
    frozen: bool | NDArray[np.bool_]  # True where the water would be ice at `brisk_below`, so that it sublimes slowly


def required_vacuum(
    temperature: Value, *, atmosphere: Value = STANDARD_ATMOSPHERE, margin: Value = BRISK
) -> RequiredVacuum:
    """How deep a vacuum must be today for water to boil, and what a vacuum gauge then shows at this altitude.

    Parameters
    ----------
    temperature : K of the coldest part of the circuit, -25 to 60 C; number or array.
    atmosphere : Pa around the gauge, 50,000 to 110,000 (`air.atmospheric_pressure(altitude)`).
    margin : K by which the boiling point should lie below that temperature, 0 to 40.

    Returns
    -------
    `RequiredVacuum`. A gauge that counts inches from the local air pressure shows less at altitude for the same
    absolute pressure: 29.9 inHg of it exists only near the sea. A micron gauge counts from nothing and needs no
    correction.

    Raises
    ------
    ServiceError.
    """
    kelvin, air, less = together(
        temperature=checked("temperature", temperature, TEMPERATURE),
        atmosphere=checked("atmosphere", atmosphere, ATMOSPHERE),
        margin=checked("margin", margin, MARGIN),
    )
    brisk = np.exp(log_saturation(kelvin - less)[0])
    frozen = kelvin - less <= TRIPLE_POINT
    return RequiredVacuum(
        plain(np.exp(log_saturation(kelvin)[0])),
        plain(brisk),
        plain(air - brisk),
        plain(air),
        bool(frozen) if frozen.ndim == 0 else frozen,
    )


def pump_down_time(
    volume: Value, pump_speed: Value, start_pressure: Value, end_pressure: Value, *, ultimate_pressure: Value = 0.0
) -> Value:
    """s to pump a dry, tight volume from one pressure to another at a steady speed.

    Parameters
    ----------
    volume : m3, 1e-5 to 1e4. pump_speed : m3/s that really reaches the volume.
    start_pressure, end_pressure, ultimate_pressure : Pa absolute, falling in this order.

    Returns
    -------
    s, in the common shape of the arguments; infinite where the end is not above the ultimate pressure.

    Raises
    ------
    ServiceError.

    t = V / S ln((p0 - pu) / (p1 - pu)): isothermal gas, textbook. One time constant V / S leaves 1/e of the pressure.
    """
    volume, speed, start, end, ultimate = together(
        volume=checked("volume", volume, VOLUME),
        pump_speed=checked("pump speed", pump_speed, SPEED),
        start_pressure=checked("start pressure", start_pressure, PRESSURE),
        end_pressure=checked("end pressure", end_pressure, PRESSURE),
        ultimate_pressure=checked("ultimate pressure", ultimate_pressure, ULTIMATE),
    )
    if np.any(end > start) or np.any(start <= ultimate):
        raise ServiceError(
            _("the end pressure must be below the start pressure, and that above the pump's ultimate one.")
        )
    reached = end > ultimate
    ratio = (start - ultimate) / np.where(reached, end - ultimate, 1.0)
    return plain(np.where(reached, volume / speed * np.log(ratio), math.inf))


def conductance(
    pressure: Value, *, length: Value, diameter: Value, core: bool = False, temperature: Value = 293.15
) -> Value:
    """m3/s that a hose, and a valve core if it is left in, lets through for air at a pressure at its machine's end.

    Parameters
    ----------
    pressure : Pa absolute in the circuit, 0.1 to 120,000; the far end counts as far lower.
    length, diameter : m, above 0 to 20 and 0.001 to 0.1. core : a valve core sits in the port. temperature : K.

    Returns
    -------
    m3/s at that pressure, in the common shape.

    Raises
    ------
    ServiceError.

    Viscous part pi d^4 p / (256 mu L) (Hagen and Poiseuille, mean pressure p / 2), molecular part pi d^3 v / (12 L),
    v = sqrt(8 R T / (pi M)) (Knudsen), added; hose and core in series: textbook, from memory. A core counts as a tube
    of 1.8 mm and 8 mm (invented size).
    """
    pressure, length, diameter, kelvin = together(
        pressure=checked("pressure", pressure, PRESSURE),
        length=checked("hose length", length, LENGTH),
        diameter=checked("hose diameter", diameter, DIAMETER),
        temperature=checked("temperature", temperature, TEMPERATURE),
    )
    thin, wide = length / diameter**4, length / diameter**3
    if core:
        thin, wide = thin + CORE[0] / CORE[1] ** 4, wide + CORE[0] / CORE[1] ** 3
    if np.any(thin <= 0.0):
        raise ServiceError(_("a hose of no length has no resistance; give a length above 0 or leave the hose out."))
    speed = np.sqrt(8.0 * GAS_CONSTANT * kelvin / (math.pi * AIR_MOLAR_MASS))
    return plain(math.pi * pressure / (256.0 * AIR_VISCOSITY * thin) + math.pi * speed / (12.0 * wide))
