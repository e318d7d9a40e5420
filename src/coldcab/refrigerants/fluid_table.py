"""One fluid's property table: fast and smooth, for solvers that evaluate thousands of states.

Everything is a function of ln p and one more quantity, SI units, absolute pressure, and accepts floats or
arrays of one shape. No range is checked here: beyond its edges a table goes on with the polynomial of the
last cell. Functions with checks are in saturation.py and states.py. Single-phase values are stored as
differences from the saturation line at the same pressure, so nothing is interpolated across its kink.

First and second derivatives are continuous inside each phase. Enthalpy by temperature and by entropy have
tables of their own that agree with the others to the accuracy which tests/test_refrigerants.py measures.
"""

import math
from collections.abc import Mapping
from importlib import resources
from typing import Any, NamedTuple

import numpy as np

from coldcab.quantities import GAS_CONSTANT, Array, Value

from . import grid
from .ranges import FluidLimits
from .splines import Curve, Surface


class SaturationLine(NamedTuple):
    """Saturated liquid and vapour at one pressure, then the spans of the grids to their edges."""

    temperature: Value
    liquid_volume: Value
    vapor_pressure_volume: Value  # p v of saturated vapour, J/kg
    liquid_enthalpy: Value
    vapor_enthalpy: Value
    liquid_entropy: Value
    vapor_entropy: Value
    vapor_enthalpy_span: Value
    vapor_entropy_span: Value
    liquid_enthalpy_span: Value


class FluidTable:
    """Properties of one fluid from its node table; see the module's head."""

    def __init__(self, designation: str):
        path = resources.files(__package__) / "tables" / f"{designation}.npz"
        with path.open("rb") as file, np.load(file) as data:
            self._load(data)

    def _load(self, data: Mapping[str, np.ndarray]) -> None:
        self.designation = str(data["designation"])
        self.coolprop_version = str(data["coolprop_version"])
        self.source = str(data["source"])
        self.molar_mass = float(data["molar_mass"])
        self.critical_temperature, self.critical_pressure, self.critical_density = data["critical"].tolist()
        self.limits = FluidLimits(*data["limits"].tolist())
        self.lowest_pressure, self.highest_pressure = data["pressure_range"].tolist()
        self.coldest, self.warmest = data["temperature_range"].tolist()
        self.liquid_edge, self.vapor_edge = data["edges"].tolist()
        self.gas_constant = GAS_CONSTANT / self.molar_mass  # J/(kg K)
        self._scale = grid.PressureScale(
            math.log(self.critical_pressure), math.log(self.lowest_pressure), math.log(self.highest_pressure)
        )
        self._line = Curve(data["saturation"])
        self._log_pressure = Curve(data["log_pressure"][None])
        self._temperature_step = (self.warmest - self.coldest) / self._log_pressure.cells
        self._nodes = {name: data[name] for name in SURFACES}
        self._surfaces: dict[str, Surface] = {}

    def _surface(self, name: str) -> Surface:
        """Surfaces are made when first asked for: most uses need few of them."""
        surface = self._surfaces.get(name)
        if surface is None:
            surface = self._surfaces[name] = Surface(self._nodes[name])
        return surface

    # The saturation line

    def log_pressure(self, temperature: Value) -> Value:
        """ln of the saturation pressure (Pa) at a temperature (K)."""
        place = (temperature - self.coldest) / self._temperature_step
        if isinstance(place, float):
            return self._log_pressure.scalar_one(0, place)
        return self._log_pressure.one(0, place)

    def saturation_temperature(self, log_pressure: Value) -> Value:
        """Saturation temperature (K)."""
        if isinstance(log_pressure, float):
            return self._line.scalar_one(0, self._scale.share_scalar(log_pressure) * self._line.cells)
        return self._line.one(0, self._scale.share(log_pressure) * self._line.cells)

    def saturation(self, log_pressure: Value) -> SaturationLine:
        """All saturation functions at once; hand the answer to the methods below to save the work."""
        if isinstance(log_pressure, float):
            return SaturationLine(*self._line.scalar(self._scale.share_scalar(log_pressure) * self._line.cells))
        return SaturationLine(*self._line(self._scale.share(log_pressure) * self._line.cells))

    # Superheated vapour

    def vapor(
        self, log_pressure: Value, enthalpy: Value, line: SaturationLine | None = None
    ) -> tuple[Value, Value, Value]:
        """Temperature (K), specific volume (m3/kg), entropy (J/(kg K)) of vapour at ln p and enthalpy (J/kg).

        A little below the vapour line (h < hg) it goes on smoothly, as a solver may need on its way.
        """
        line = line or self.saturation(log_pressure)
        share = (enthalpy - line.vapor_enthalpy) / line.vapor_enthalpy_span
        dt, dpv, ds = self._at("vapor", log_pressure, share, VAPOR_BEND)
        exp = math.exp if isinstance(log_pressure, float) else np.exp
        volume = (line.vapor_pressure_volume + dpv) * exp(-log_pressure)
        return line.temperature + dt, volume, line.vapor_entropy + ds

    def vapor_enthalpy(self, log_pressure: Value, temperature: Value, line: SaturationLine | None = None) -> Value:
        """Enthalpy (J/kg) of vapour at ln p and temperature (K)."""
        line = line or self.saturation(log_pressure)
        share = (temperature - line.temperature) / (self.vapor_edge - line.temperature)
        return line.vapor_enthalpy + self._at("vapor_by_temperature", log_pressure, share, VAPOR_BEND)[0]

    def vapor_enthalpy_by_entropy(
        self, log_pressure: Value, entropy: Value, line: SaturationLine | None = None
    ) -> Value:
        """Enthalpy (J/kg) of vapour at ln p and entropy (J/(kg K)): the end of an isentropic compression."""
        line = line or self.saturation(log_pressure)
        share = (entropy - line.vapor_entropy) / line.vapor_entropy_span
        return line.vapor_enthalpy + self._at("vapor_by_entropy", log_pressure, share, VAPOR_BEND)[0]

    # Subcooled liquid

    def liquid(
        self, log_pressure: Value, enthalpy: Value, line: SaturationLine | None = None
    ) -> tuple[Value, Value, Value]:
        """Temperature (K), specific volume (m3/kg), entropy (J/(kg K)) of liquid at ln p and enthalpy."""
        line = line or self.saturation(log_pressure)
        share = (line.liquid_enthalpy - enthalpy) / line.liquid_enthalpy_span
        dt, dv, ds = self._at("liquid", log_pressure, share, LIQUID_BEND)
        return line.temperature + dt, line.liquid_volume + dv, line.liquid_entropy + ds

    def liquid_enthalpy(self, log_pressure: Value, temperature: Value, line: SaturationLine | None = None) -> Value:
        """Enthalpy (J/kg) of liquid at ln p and temperature (K)."""
        line = line or self.saturation(log_pressure)
        share = (line.temperature - temperature) / (line.temperature - self.liquid_edge)
        return line.liquid_enthalpy + self._at("liquid_by_temperature", log_pressure, share, LIQUID_BEND)[0]

    # Any of the three

    def state(
        self, log_pressure: Value, enthalpy: Value, line: SaturationLine | None = None
    ) -> tuple[Value, Value, Value, Value]:
        """Temperature, specific volume, entropy and quality (NaN in one phase) at ln p and enthalpy.

        Values are continuous across the saturation lines; slopes jump there, as they do in nature.
        """
        line = line or self.saturation(log_pressure)
        if isinstance(log_pressure, float) and isinstance(enthalpy, float):
            if enthalpy > line.vapor_enthalpy:
                return *self.vapor(log_pressure, enthalpy, line), math.nan
            if enthalpy < line.liquid_enthalpy:
                return *self.liquid(log_pressure, enthalpy, line), math.nan
            vapor_volume = line.vapor_pressure_volume * math.exp(-log_pressure)
        else:
            vapor_volume = line.vapor_pressure_volume * np.exp(-log_pressure)
        quality = (enthalpy - line.liquid_enthalpy) / (line.vapor_enthalpy - line.liquid_enthalpy)
        temperature: Any = line.temperature + 0 * quality
        volume: Any = line.liquid_volume + quality * (vapor_volume - line.liquid_volume)
        entropy: Any = line.liquid_entropy + quality * (line.vapor_entropy - line.liquid_entropy)
        if isinstance(quality, float):
            return temperature, volume, entropy, quality
        log_pressure, enthalpy = np.broadcast_arrays(log_pressure, enthalpy)
        for inside, method in ((quality > 1, self.vapor), (quality < 0, self.liquid)):
            if inside.any():
                part = SaturationLine(*(np.broadcast_to(column, quality.shape)[inside] for column in line))
                temperature[inside], volume[inside], entropy[inside] = method(
                    log_pressure[inside], enthalpy[inside], part
                )
        quality = np.where((quality < 0) | (quality > 1), np.nan, quality)
        return temperature, volume, entropy, quality

    def _at(self, name: str, log_pressure: Value, share: Value, bend: tuple[float, float]) -> list[float] | Array:
        surface = self._surface(name)
        rows, columns = surface.shape
        if isinstance(share, float):
            first = self._scale.share_scalar(log_pressure) * rows  # type: ignore[arg-type]  # one number, as the share
            return surface.scalar(first, math.asinh(share * bend[1]) * (columns / bend[0]))
        first = self._scale.share(log_pressure) * rows  # type: ignore[arg-type]
        second = np.arcsinh(share * bend[1]) * (columns / bend[0])
        return surface(np.broadcast_to(first, second.shape), second)


VAPOR_BEND = grid.SUPERHEAT_BEND, grid.SUPERHEAT_STEEPNESS
LIQUID_BEND = grid.SUBCOOLING_BEND, grid.SUBCOOLING_STEEPNESS
SURFACES = ("vapor", "vapor_by_temperature", "vapor_by_entropy", "liquid", "liquid_by_temperature")
