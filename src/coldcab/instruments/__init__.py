"""Instruments: what a learner sees and moves. Presentation only; the physics comes from the rooms above.

Each instrument has `.widget` (built on first use), `.picture()` (SVG text of its present state),
`.description()` (a text alternative), `.set(name=value)` and `.readings`; shown as the last line of a notebook
cell it brings its widget, a static picture and its description along.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

_WHERE = {
    "gauge_pair": ("gauges", "GaugePair"),
    "pressure_and_temperature": ("tank_gauge", "PressureAndTemperature"),
    "state_of_a_line": ("line", "StateOfALine"),
    "container": ("cylinder", "ClosedContainer"),
    "ph_chart": ("chart", "PressureEnthalpyChart"),
    "property_reader": ("reader", "PropertyReader"),
    "bench": ("workbench", "Bench"),
    "circuit_drawing": ("circuit", "CircuitDrawing"),
    "sight_glass": ("glass", "SightGlass"),
    "thermometers": ("clips", "Thermometers"),
    "psychrometric_chart": ("psychrometric", "PsychrometricChart"),
    "cab": ("cab_view", "CabView"),
    "valve_forces": ("valve", "ValveByHand"),
    "expansion_valve": ("valve_at_work", "ValveAtWork"),
    "recovery_cylinder": ("cylinder_on_scale", "RecoveryCylinder"),
    "identifier": ("sampler", "Identifier"),
    "two_refrigerants": ("side_by_side", "TwoRefrigerants"),
    "charging_bench": ("charging", "ChargingBench"),
    "acceptance_table": ("acceptance", "acceptance_table"),
    "clutch_circuit": ("clutch", "ClutchCircuit"),
    "viscosity_chart": ("viscosity", "ViscosityChart"),
    "oil_circulation": ("circulation_view", "OilCirculation"),
    "oil_ledger": ("ledger_view", "OilLedger"),
    "open_can": ("can_view", "OpenCan"),
    "pump_down": ("vacuum_pump", "PumpDown"),
    "rise_test": ("rising_vacuum", "RiseTest"),
    "nitrogen_test": ("nitrogen", "NitrogenTest"),
    "suspects_board": ("suspects", "SuspectsBoard"),
    "clinic_desk": ("clinic_view", "ClinicDesk"),
    "pressure_temperature_table": ("tables", "pressure_temperature_table"),
    "Instrument": ("base", "Instrument"),
}

__all__ = list(_WHERE)


def __getattr__(name: str) -> Any:
    """Load an instrument when it is first asked for."""
    if name not in _WHERE:
        raise AttributeError(f"coldcab.instruments has no {name!r}; it has {', '.join(_WHERE)}.")
    module, member = _WHERE[name]
    return getattr(import_module(f"{__name__}.{module}"), member)


def __dir__() -> list[str]:
    return sorted([*globals(), *_WHERE])
