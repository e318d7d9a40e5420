"""Several kinds of machine and refrigerant in one batch: sizes and tables become arrays, an entry for each circuit.

A step of the search costs Python as much for ten circuits as for hundreds, so kinds of a few hundred circuits each are
solved in a fraction of the time when they go together. The equations and their results are those of each kind alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np

from coldcab.machine.fluid import Fluid
from coldcab.machine.layout import Machine
from coldcab.machine.ops import Value
from coldcab.machine.passes import Pass
from coldcab.machine.setting import Setting
from coldcab.refrigerants import FluidTable
from coldcab.refrigerants.grid import PressureScale
from coldcab.refrigerants.splines import Curve, Surface


class Kind(NamedTuple):
    """A machine, what circulates in it, and what fills the bulb of its valve."""

    machine: Machine
    fluid: Fluid
    bulb: Fluid

    def at(self, setting: Setting) -> Kind:
        """The kind of all circuits of a setting: itself."""
        return self


class Kinds:
    """Several kinds, which the circuits of a setting name by their number (`Setting.kind`)."""

    def __init__(self, kinds: Sequence[Kind]):
        self.kinds = tuple(kinds)
        self._machine = _stacked([one.machine for one in kinds])
        self._fluids = _Fluids([one.fluid for one in kinds])
        self._bulbs = _Fluids([one.bulb for one in kinds])
        self._last: tuple[Value, Kind] | None = None

    def at(self, setting: Setting) -> Kind:
        """The kind of each circuit of a setting, in arrays."""
        if self._last is None or self._last[0] is not setting.kind:
            number = np.asarray(setting.kind, dtype=int)
            kind = Kind(_picked(self._machine, number), self._fluids.at(number), self._bulbs.at(number))
            self._last = setting.kind, kind
        return self._last[1]


class _Fluids:
    """Fluids of several kinds."""

    def __init__(self, fluids: Sequence[Fluid]):
        self._own = tuple(dict.fromkeys(fluids))
        self._number = np.array([self._own.index(one) for one in fluids])
        if len(self._own) > 1:
            self._tables = _Tables([one.table for one in self._own])
            self._rest = [np.array(rows) for rows in zip(*(one[2:] for one in self._own), strict=True)]

    def at(self, kinds: np.ndarray) -> Fluid:
        if len(self._own) == 1:
            return self._own[0]
        number = self._number[kinds]
        # Coefficients stand in rows, a fluid each.
        rest: list[Any] = [tuple(rows[number].T) if rows.ndim == 2 else rows[number] for rows in self._rest]
        return Fluid("several", self._tables.at(number), *rest)


NUMBERS = (
    "critical_pressure",
    "lowest_pressure",
    "highest_pressure",
    "coldest",
    "warmest",
    "liquid_edge",
    "vapor_edge",
    "_temperature_step",
)


class _Tables:
    """Property tables laid end to end."""

    def __init__(self, tables: Sequence[FluidTable]):
        self.tables = tables
        self.numbers = {name: np.array([getattr(one, name) for one in tables]) for name in NUMBERS}
        self.scales = {
            name: np.array([getattr(one._scale, name) for one in tables]) for name in ("top", "start", "length")
        }
        self.line = _EndToEnd([one._line for one in tables])
        self.log_pressure = _EndToEnd([one._log_pressure for one in tables])
        self.surfaces: dict[str, _EndToEnd] = {}

    def surface(self, name: str) -> _EndToEnd:
        """All tables' surfaces of that name."""
        if name not in self.surfaces:
            self.surfaces[name] = _EndToEnd([one._surface(name) for one in self.tables])
        return self.surfaces[name]

    def at(self, number: np.ndarray) -> FluidTable:
        """The table of each place."""
        return _TableOfEach(self, number)


class _TableOfEach(FluidTable):
    """A `FluidTable` whose places belong to different fluids, an array of them."""

    def __init__(self, together: _Tables, number: np.ndarray) -> None:
        self._together, self._number = together, number
        vars(self).update({name: values[number] for name, values in together.numbers.items()})
        self._scale = PressureScale.__new__(PressureScale)
        vars(self._scale).update({name: values[number] for name, values in together.scales.items()})
        self._line = together.line.at(number)
        self._log_pressure = together.log_pressure.at(number)
        self._surfaces = {}

    def _surface(self, name: str) -> Surface:
        surface = self._surfaces.get(name)
        if surface is None:
            surface = self._surfaces[name] = self._together.surface(name).at(self._number)
        return surface


class _EndToEnd:
    """Curves, or surfaces, with all their cells in one row."""

    def __init__(self, pieces: Sequence[Any]):
        self.sort = Curve if isinstance(pieces[0], Curve) else Surface
        self.coefficients = np.concatenate([one.coefficients for one in pieces], axis=-1)
        counts = [one.coefficients.shape[-1] for one in pieces]
        self.firsts = np.cumsum([0, *counts[:-1]])
        sizes = [one.cells if self.sort is Curve else one.shape for one in pieces]
        self.alike = len(set(sizes)) == 1
        self.sizes = np.array(sizes).T

    def at(self, number: np.ndarray) -> Any:
        """The curve or surface of each place, by its number."""
        part = object.__new__(self.sort)
        own = self.sizes[..., 0].tolist() if self.alike else self.sizes[..., number]
        size = {"cells": own} if self.sort is Curve else {"shape": tuple(own)}
        vars(part).update(coefficients=self.coefficients, first=self.firsts[number], **size)
        return part


# Machines


class _Stack(NamedTuple):
    """Parts of one class that differ."""

    part: type
    values: dict[str, Any]


def _stacked(parts: Sequence[Any]) -> Any:
    """Machines, or parts of them, with arrays of their numbers, one for each kind; what is alike stays as it is."""
    one = parts[0]
    if all(other is one or (type(other) is type(one) and other == one) for other in parts):
        return one
    if is_dataclass(one):
        remembered = [name for name, value in vars(type(one)).items() if isinstance(value, cached_property)]
        names = [*(field.name for field in fields(one)), *remembered]
        return _Stack(type(one), {name: _stacked([getattr(part, name) for part in parts]) for name in names})
    if isinstance(one, tuple) and isinstance(one[0], Pass):
        return [_Stack(Pass, values) for values in _ways(parts)]
    return np.array(parts) if isinstance(one, int | float) else one  # names are of no use in an equation


def _picked(stacked: Any, number: np.ndarray) -> Any:
    """The same for each circuit, by the number of its kind."""
    if isinstance(stacked, np.ndarray):
        return stacked[number]
    if isinstance(stacked, list):
        return tuple(_picked(one, number) for one in stacked)
    if not isinstance(stacked, _Stack):
        return stacked
    values = {name: _picked(value, number) for name, value in stacked.values.items()}
    if stacked.part is Pass:
        return Pass(**values)
    # With its fields come what its cached properties would work out of them.
    part: Any = object.__new__(stacked.part)
    vars(part).update(values)
    return part


def _ways(ways: Sequence[tuple[Pass, ...]]) -> list[dict[str, np.ndarray]]:
    """Condensers pass by pass, all ending together: one of fewer passes begins with some that have no face."""
    longest = max(map(len, ways))
    padded = [(*(way[0]._replace(share=0.0, start=0.0, resistance=0.0),) * (longest - len(way)), *way) for way in ways]
    return [
        dict(zip(Pass._fields, map(np.array, zip(*level, strict=True)), strict=True))
        for level in zip(*padded, strict=True)
    ]
