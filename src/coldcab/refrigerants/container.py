"""A closed container: a parked machine, a cylinder, with or without air in it."""

from dataclasses import dataclass

import numpy as np

from coldcab.quantities import AIR_GAS_CONSTANT, Array, Limit, Value, show

from .exact import exact
from .fluid_table import FluidTable
from .names import resolve
from .ranges import FINITE, RangeError, checked
from .saturation import flat, saturation, table_or_none

__all__ = ["Container", "closed_container"]

MASS_RANGE = Limit("mass", 0.0, 1e6)
RANGES = {
    "temperature": FINITE["temperature"],  # its fluid says more
    "mass": MASS_RANGE,
    "volume": Limit("volume", 1e-9, 1e6),
    "air_mass": MASS_RANGE,
}


@dataclass(frozen=True)
class Container:
    """What stands in a closed container at one temperature, SI units, pressures absolute."""

    pressure: Value  # Pa, what an absolute gauge shows
    refrigerant_pressure: Value  # Pa
    air_pressure: Value  # Pa
    liquid_fraction: Value  # share of the refrigerant's mass that is liquid
    liquid_level: Value  # share of the container's volume filled with liquid
    saturation_pressure: Value  # Pa, of the refrigerant at this temperature (NaN above its critical point)


def closed_container(name: str, temperature: Value, *, mass: Value, volume: Value, air_mass: Value = 0.0) -> Container:
    """Pressure in a closed container that holds refrigerant and perhaps air (Dalton's law).

    Parameters
    ----------
    name : designation, such as "R-134a"
    temperature : K
    mass, air_mass : kg of refrigerant and of air, 0 or more
    volume : m3 inside, above 0

    Numbers, or arrays that broadcast. While liquid is left, the refrigerant has its saturation pressure
    whatever its mass; air fills the room above the liquid as an ideal gas and adds its pressure. The small
    effect of air on boiling and air dissolved in the liquid are left out.

    Raises UnknownRefrigerant; RangeError, also when the liquid would fill the container: its pressure then
    rises by 5 to 7 bar with every kelvin and can burst it (dp/dT at constant density of the five catalogued
    liquids at 20 C, CoolProp 8.0.0).
    """
    fluid, designation = table_or_none(name), resolve(name)
    given = {"temperature": temperature, "mass": mass, "volume": volume, "air_mass": air_mass}
    given = {key: checked(key, value, RANGES[key]) for key, value in given.items()}
    single = all(isinstance(value, float) for value in given.values())
    shape, (temperature, mass, volume, air_mass) = flat(**given)
    liquid_density, vapor_density, boiling_pressure = _line(designation, fluid, temperature)

    density = mass / volume
    with np.errstate(invalid="ignore"):
        full = density >= liquid_density
    if full.any():
        place = int(np.flatnonzero(full)[0])
        most = float(liquid_density[place] * volume[place])
        warmth = show(float(temperature[place]), "temperature")
        raise RangeError(
            f"{mass[place]:.4g} kg of {designation} do not fit in {volume[place]:.4g} m3 at {warmth}: "
            f"liquid fills it at {most:.4g} kg, and a container full of liquid can burst with the next "
            "degree of warming; reduce the mass or enlarge the volume."
        )
    with np.errstate(invalid="ignore"):
        wet = density > vapor_density
    vapor_share = np.ones_like(density)
    liquid, vapor = 1 / liquid_density[wet], 1 / vapor_density[wet]
    vapor_share[wet] = (1 / density[wet] - liquid) / (vapor - liquid)
    liquid_fraction = 1 - vapor_share
    liquid_level = np.where(wet, liquid_fraction * density / np.where(wet, liquid_density, 1), 0.0)
    refrigerant_pressure = np.where(wet, boiling_pressure, 0.0)
    dry = ~wet & (density > 0)
    if dry.any():
        refrigerant_pressure[dry] = _gas_pressure(designation, fluid, temperature[dry], density[dry])
    air_pressure = air_mass * AIR_GAS_CONSTANT * temperature / (volume * (1 - liquid_level))
    columns = (
        refrigerant_pressure + air_pressure,
        refrigerant_pressure,
        air_pressure,
        liquid_fraction,
        liquid_level,
        boiling_pressure,
    )
    return Container(*(float(column[0]) if single else column.reshape(shape) for column in columns))


def _line(designation: str, fluid: FluidTable | None, temperature: Array) -> tuple[Array, ...]:
    """Saturated densities and pressure; NaN above the critical temperature, where no liquid is possible."""
    if fluid:
        limits, coldest = fluid.limits, fluid.coldest
    else:
        engine = exact(designation)
        if engine.blend:
            raise RangeError(
                f"{designation} is a blend; a closed container is worked out for single refrigerants only."
            )
        limits, coldest = engine.limits, engine.limits.lowest_temperature
    critical, hottest = limits.critical_temperature, limits.highest_temperature
    checked("temperature", temperature, Limit("temperature", coldest, hottest), f" of {designation}")
    columns = np.full((3, temperature.size), np.nan)
    below = temperature < critical
    if below.any():
        line = saturation(designation, temperature=temperature[below])
        columns[:, below] = line.liquid_density, line.vapor_density, line.pressure
    return tuple(columns)


def _gas_pressure(designation: str, fluid: FluidTable | None, temperature: Array, density: Array) -> Array:
    """Pressure of vapour at a temperature and density."""
    if fluid is None:
        return np.array([_exact_pressure(designation, t, d) for t, d in zip(temperature, density, strict=True)])
    lowest = np.log(fluid.lowest_pressure)
    highest = np.where(
        temperature < fluid.warmest,
        fluid.log_pressure(np.minimum(temperature, fluid.warmest)),
        np.log(fluid.highest_pressure),
    )
    highest = np.maximum(highest, lowest)

    def log_volume(x: Array) -> Array:
        line = fluid.saturation(x)
        warm = np.maximum(temperature, line.temperature)
        return np.log(fluid.vapor(x, fluid.vapor_enthalpy(x, warm, line), line)[1])

    # Thin gas: compressibility is linear in pressure below the table (virial equation, second term only).
    ideal = fluid.gas_constant * temperature
    at_lowest = np.exp(log_volume(np.full_like(temperature, lowest)) + lowest)
    thin_pressure = density * ideal / (1 - density * (at_lowest - ideal) / fluid.lowest_pressure)
    thin = thin_pressure < fluid.lowest_pressure
    # Elsewhere secant steps on ln v + ln rho = 0, nearly a straight line of slope -1 or steeper in ln p.
    log_density = np.log(np.where(thin, 1.0, density))
    x = np.clip(np.log(np.where(thin, 1.0, thin_pressure)), lowest, highest)
    before = log_volume(x) + log_density
    previous, x = x, np.clip(x + before, lowest, highest)
    for _ in range(12):
        after = log_volume(x) + log_density
        step = x - previous
        moved = np.abs(step) > 1e-12
        slope = np.where(moved, (after - before) / np.where(moved, step, 1.0), -1.0)
        previous, before, x = x, after, np.clip(x - after / np.minimum(slope, -0.2), lowest, highest)
    pressure: Array = np.where(thin, thin_pressure, np.exp(x))
    # Hotter than the table's saturation line and denser than its highest pressure: CoolProp.
    beyond = np.flatnonzero((temperature > fluid.warmest) & (x >= highest))
    for place in beyond:
        pressure[place] = _exact_pressure(designation, temperature[place], density[place])
    return pressure


def _exact_pressure(designation: str, temperature: float, density: float) -> float:
    return exact(designation).state({"temperature": float(temperature), "density": float(density)})[0]
