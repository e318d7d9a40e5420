"""Refrigerants: a catalogue and their properties. SI units, absolute pressure; see each function.

Enthalpy and entropy are 200 kJ/kg and 1 kJ/(kg K) for saturated liquid at 0 C (the IIR reference state).
"""

from .catalogue import Refrigerant, catalogue
from .container import Container, closed_container
from .fluid_table import FluidTable, SaturationLine
from .names import TABLES, UnknownRefrigerant, resolve
from .ranges import RangeError
from .saturation import Saturation, saturation, saturation_pressure, saturation_temperature, table
from .states import State, state, subcooled, superheated

__all__ = [
    "TABLES",
    "Container",
    "FluidTable",
    "RangeError",
    "Refrigerant",
    "Saturation",
    "SaturationLine",
    "State",
    "UnknownRefrigerant",
    "catalogue",
    "closed_container",
    "resolve",
    "saturation",
    "saturation_pressure",
    "saturation_temperature",
    "state",
    "subcooled",
    "superheated",
    "table",
]
