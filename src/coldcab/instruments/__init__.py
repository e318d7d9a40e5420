"""Instruments: what a learner sees and moves. Presentation only; the physics comes from the rooms above.

Each instrument has `.widget` (built on first use), `.picture()` (SVG text of its present state),
`.description()` (a text alternative), `.set(name=value)` and `.readings`; shown as the last line of a notebook
cell it brings its widget, a static picture and its description along. Its file is called as it is called here; what
several draw lies in `drawing`.
"""

from __future__ import annotations

import sys
from importlib import import_module
from types import ModuleType
from typing import Any

from coldcab.words import _

_MEMBERS = {
    "gauge_pair": "GaugePair",
    "pressure_and_temperature": "PressureAndTemperature",
    "state_of_a_line": "StateOfALine",
    "container": "ClosedContainer",
    "ph_chart": "PressureEnthalpyChart",
    "property_reader": "PropertyReader",
    "bench": "Bench",
    "circuit_drawing": "CircuitDrawing",
    "sight_glass": "SightGlass",
    "thermometers": "Thermometers",
    "psychrometric_chart": "PsychrometricChart",
    "cab": "CabView",
    "cab_air_path": "CabAirPath",
    "valve_forces": "ValveByHand",
    "expansion_valve": "ValveAtWork",
    "recovery_cylinder": "RecoveryCylinder",
    "identifier": "Identifier",
    "two_refrigerants": "TwoRefrigerants",
    "charging_bench": "ChargingBench",
    "acceptance_table": "acceptance_table",
    "clutch_circuit": "ClutchCircuit",
    "viscosity_chart": "ViscosityChart",
    "oil_circulation": "OilCirculation",
    "oil_ledger": "OilLedger",
    "open_can": "OpenCan",
    "oil_shelf": "OilShelf",
    "pump_down": "PumpDown",
    "rise_test": "RiseTest",
    "nitrogen_test": "NitrogenTest",
    "leak_bench": "LeakBench",
    "suspects_board": "SuspectsBoard",
    "clinic_desk": "ClinicDesk",
    "swap_bench": "SwapBench",
    "over_time": "OverTime",
    "running_job": "RunningJob",
    "pressure_temperature_table": "pressure_temperature_table",
    "how_true": "how_true",
}
"""What each file holds under its own name: the class, or the function, that a notebook calls by the file's name."""

__all__ = [*_MEMBERS, "Instrument"]


class _Room(ModuleType):
    """Loading an instrument's file must not put the file in the instrument's place."""

    def __setattr__(self, name: str, value: object) -> None:
        if not (name in _MEMBERS and isinstance(value, ModuleType)):
            super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Room


def __getattr__(name: str) -> Any:
    """Load an instrument when it is first asked for."""
    if name not in __all__:
        raise AttributeError(
            _("coldcab.instruments has no {name!r}; it has {all}.").format(name=name, all=", ".join(__all__))
        )
    if name == "Instrument":
        return import_module(f"{__name__}.base").Instrument
    return getattr(import_module(f"{__name__}.{name}"), _MEMBERS[name])


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
