"""A property table that remembers its cells as plain numbers: the scalar path reads each many times.

The arithmetic is that of `coldcab.refrigerants`; only the way from the arrays to floats is shorter. Arrays go the way
they always go.
"""

from __future__ import annotations

from math import asinh, exp, floor, log
from typing import Any, NamedTuple

from coldcab.machine.ops import Value
from coldcab.refrigerants import FluidTable, SaturationLine
from coldcab.refrigerants.fluid_table import LIQUID_BEND, VAPOR_BEND
from coldcab.refrigerants.splines import Curve, Surface

Line = SaturationLine | None


class FloatCurve(Curve):
    """A `Curve` whose cells are turned into floats once."""

    def __init__(self, curve: Curve):
        vars(self).update(vars(curve))
        self.remembered = self.coefficients.transpose(2, 1, 0).tolist()  # cell, function, power
        self.flat = [[one for function in cell for one in function] for cell in self.remembered]
        self.last = self.cells - 1

    def line(self, share: float) -> FloatLine:
        """The saturation line at a ``share`` of the way; written out, because it is read seven times an evaluation."""
        place = share * self.cells
        number = floor(place)
        if not 0 <= number <= self.last:
            number = 0 if number < 0 else self.last
        t = place - number
        # fmt: off
        (a0, b0, c0, d0, a1, b1, c1, d1, a2, b2, c2, d2, a3, b3, c3, d3, a4, b4, c4, d4,
         a5, b5, c5, d5, a6, b6, c6, d6, a7, b7, c7, d7, a8, b8, c8, d8, a9, b9, c9, d9) = self.flat[number]
        # fmt: on
        return tuple.__new__(
            FloatLine,
            (
                a0 + t * (b0 + t * (c0 + t * d0)),
                a1 + t * (b1 + t * (c1 + t * d1)),
                a2 + t * (b2 + t * (c2 + t * d2)),
                a3 + t * (b3 + t * (c3 + t * d3)),
                a4 + t * (b4 + t * (c4 + t * d4)),
                a5 + t * (b5 + t * (c5 + t * d5)),
                a6 + t * (b6 + t * (c6 + t * d6)),
                a7 + t * (b7 + t * (c7 + t * d7)),
                a8 + t * (b8 + t * (c8 + t * d8)),
                a9 + t * (b9 + t * (c9 + t * d9)),
                share,
            ),
        )

    def scalar(self, place: float) -> list[float]:
        """All functions at one place."""
        number = floor(place)
        if not 0 <= number <= self.last:
            number = 0 if number < 0 else self.last
        t = place - number
        return [a + t * (b + t * (c + t * d)) for a, b, c, d in self.remembered[number]]


class FloatSurface(Surface):
    """A `Surface` whose cells are turned into floats when first met."""

    def __init__(self, surface: Surface):
        vars(self).update(vars(surface))
        self.remembered: dict[int, list[list[float]]] = {}

    def cell(self, number: int) -> list[list[float]]:
        """Coefficients of a cell by function, remembered from now on."""
        found: list[list[float]] = self.coefficients[:, :, number].T.tolist()
        self.remembered[number] = found
        return found


class FloatLine(NamedTuple):
    """A `SaturationLine` that knows its own place along the pressure, 0 to 1: all surfaces ask for it."""

    temperature: float
    liquid_volume: float
    vapor_pressure_volume: float
    liquid_enthalpy: float
    vapor_enthalpy: float
    liquid_entropy: float
    vapor_entropy: float
    vapor_enthalpy_span: float
    vapor_entropy_span: float
    liquid_enthalpy_span: float
    place: float


class FloatTable(FluidTable):
    """A `FluidTable` made of quick curves and surfaces."""

    def __init__(self, table: FluidTable):
        vars(self).update(vars(table))
        self._line: FloatCurve = FloatCurve(self._line)
        self._log_pressure = FloatCurve(self._log_pressure)
        self._surfaces = {}
        scale = self._scale
        self._float_scale = scale.top, scale.start, 1.0 / scale.length
        self._float_surfaces: dict[str, tuple[Any, ...]] = {}

    def _surface(self, name: str) -> Any:
        surface = self._surfaces.get(name)
        if surface is None:
            surface = self._surfaces[name] = FloatSurface(super()._surface(name))
        return surface

    def _known(self, name: str, bend: tuple[float, float]) -> tuple[Any, ...]:
        surface = self._surface(name)
        rows, columns = surface.shape
        found = self._float_surfaces[name] = (
            surface.remembered.get, surface.cell, rows, columns, rows - 1, columns - 1, bend[1], columns / bend[0],
        )  # fmt: skip
        return found

    def _first(self, name: str, place: float, share: float, bend: tuple[float, float]) -> Value:
        """The first function of a surface at one place."""
        get, make, rows, columns, last_row, last_column, steepness, spread = self._float_surfaces.get(
            name
        ) or self._known(name, bend)
        first = place * rows
        second = asinh(share * steepness) * spread
        row, column = int(first), int(second)
        if not (0.0 <= first < rows and 0.0 <= second < columns):
            row, column = min(max(floor(first), 0), last_row), min(max(floor(second), 0), last_column)
        s, t = first - row, second - column
        number = row * columns + column
        a0, a1, a2, a3, b0, b1, b2, b3, c0, c1, c2, c3, d0, d1, d2, d3 = (get(number) or make(number))[0]
        return (
            a0
            + t * (a1 + t * (a2 + t * a3))
            + s
            * (
                b0
                + t * (b1 + t * (b2 + t * b3))
                + s * (c0 + t * (c1 + t * (c2 + t * c3)) + s * (d0 + t * (d1 + t * (d2 + t * d3))))
            )
        )

    def _all(self, name: str, place: float, share: float, bend: tuple[float, float]) -> list[float]:
        """All functions of a surface at one place."""
        get, make, rows, columns, last_row, last_column, steepness, spread = self._float_surfaces.get(
            name
        ) or self._known(name, bend)
        first = place * rows
        second = asinh(share * steepness) * spread
        row, column = int(first), int(second)
        if not (0.0 <= first < rows and 0.0 <= second < columns):
            row, column = min(max(floor(first), 0), last_row), min(max(floor(second), 0), last_column)
        s, t = first - row, second - column
        number = row * columns + column
        return [
            a0
            + t * (a1 + t * (a2 + t * a3))
            + s
            * (
                b0
                + t * (b1 + t * (b2 + t * b3))
                + s * (c0 + t * (c1 + t * (c2 + t * c3)) + s * (d0 + t * (d1 + t * (d2 + t * d3))))
            )
            for a0, a1, a2, a3, b0, b1, b2, b3, c0, c1, c2, c3, d0, d1, d2, d3 in get(number) or make(number)
        ]

    def saturation(self, log_pressure: Value) -> Value:
        """All saturation functions at once; a `FloatLine` for a float, as the methods below need it then."""
        if isinstance(log_pressure, float):
            top, start, rate = self._float_scale
            return self._line.line((-log(top - log_pressure) - start) * rate)
        return super().saturation(log_pressure)

    def vapor(self, log_pressure: Value, enthalpy: Value, line: Line = None) -> tuple[Value, Value, Value]:
        """Temperature, specific volume and entropy of vapour at ln p and enthalpy."""
        if not isinstance(enthalpy, float) or not isinstance(line, FloatLine):
            return super().vapor(log_pressure, enthalpy, line)
        share = (enthalpy - line.vapor_enthalpy) / line.vapor_enthalpy_span
        dt, dpv, ds = self._all("vapor", line.place, share, VAPOR_BEND)
        return line.temperature + dt, (line.vapor_pressure_volume + dpv) * exp(-log_pressure), line.vapor_entropy + ds

    def vapor_enthalpy(self, log_pressure: Value, temperature: Value, line: Line = None) -> Value:
        """Enthalpy of vapour at ln p and temperature."""
        if not isinstance(temperature, float) or not isinstance(line, FloatLine):
            return super().vapor_enthalpy(log_pressure, temperature, line)
        share = (temperature - line.temperature) / (self.vapor_edge - line.temperature)
        return line.vapor_enthalpy + self._first("vapor_by_temperature", line.place, share, VAPOR_BEND)

    def vapor_enthalpy_by_entropy(self, log_pressure: Value, entropy: Value, line: Line = None) -> Value:
        """Enthalpy of vapour at ln p and entropy."""
        if not isinstance(entropy, float) or not isinstance(line, FloatLine):
            return super().vapor_enthalpy_by_entropy(log_pressure, entropy, line)
        share = (entropy - line.vapor_entropy) / line.vapor_entropy_span
        return line.vapor_enthalpy + self._first("vapor_by_entropy", line.place, share, VAPOR_BEND)

    def liquid(self, log_pressure: Value, enthalpy: Value, line: Line = None) -> tuple[Value, Value, Value]:
        """Temperature, specific volume and entropy of liquid at ln p and enthalpy."""
        if not isinstance(enthalpy, float) or not isinstance(line, FloatLine):
            return super().liquid(log_pressure, enthalpy, line)
        share = (line.liquid_enthalpy - enthalpy) / line.liquid_enthalpy_span
        dt, dv, ds = self._all("liquid", line.place, share, LIQUID_BEND)
        return line.temperature + dt, line.liquid_volume + dv, line.liquid_entropy + ds

    def liquid_enthalpy(self, log_pressure: Value, temperature: Value, line: Line = None) -> Value:
        """Enthalpy of liquid at ln p and temperature."""
        if not isinstance(temperature, float) or not isinstance(line, FloatLine):
            return super().liquid_enthalpy(log_pressure, temperature, line)
        share = (line.temperature - temperature) / (line.temperature - self.liquid_edge)
        return line.liquid_enthalpy + self._first("liquid_by_temperature", line.place, share, LIQUID_BEND)
