"""What an undercharge costs stationary units, beside our machines: information, for the circuits differ.

The rooftop units behind the published factors have no receiver; every gram that leaks out is missing at once. A
receiver makes up for it until it is nearly empty. Nothing here is tuned towards them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from coldcab import air, published
from coldcab.faults.catalogue import FaultError
from coldcab.machine import Conditions, Effects, Machine, simulate_many
from coldcab.quantities import FREEZING

INLET = 26.7 + FREEZING  # K, dry bulb of the usual rating of stationary units (80 F; from memory)


@dataclass(frozen=True)
class Beside:
    """Factors on healthy capacity and power with a share ``missing`` of the charge, in air of ``ambient`` K."""

    missing: float
    ambient: float
    stationary_capacity: float
    stationary_power: float
    capacity: float
    power: float


def undercharge_beside_stationary(machine: Machine, *, refrigerant: str, charge: float) -> list[Beside]:
    """Our factors at the missing charge, wet bulb and air temperature of each published row.

    Parameters
    ----------
    machine, refrigerant, charge : as for `coldcab.machine.simulate`; ``charge`` is the right one.

    Raises
    ------
    FaultError : no steady state. MachineError : a machine out of range.

    Source
    ------
    Polynomials of an open library of rooftop faults (rtu_fault_factors.csv, whose head names it), from laboratory data.
    """
    rows = [row for row in published.rows("rtu_fault_factors") if row["fault"] == "undercharge"]
    missing = np.array([float(row["level"]) for row in rows])
    ambient = np.array([float(row["T_cond_air_C"]) + FREEZING for row in rows])
    wet = np.array([float(row["T_wb_evap_C"]) + FREEZING for row in rows])
    pressure = float(air.atmospheric_pressure(0.0))
    humidity = air.relative_humidity(INLET, air.humidity_ratio_from_wet_bulb(INLET, wet, pressure), pressure)
    # The thermostat held closed: else it would hide what the circuit lost.
    own: dict[str, Any] = {"refrigerant": refrigerant, "charge": charge}
    day = Conditions(ambient=ambient, inlet_temperature=np.full(len(rows), INLET), inlet_relative_humidity=humidity)
    well, ill = (
        simulate_many(machine, day, faults=Effects(charge=1.0 - share, thermostat=-50.0), **own)
        for share in (np.zeros(len(rows)), missing)
    )
    if not (np.all(well.solved) and np.all(ill.solved)):
        raise FaultError("The machine finds no steady state at the conditions of the published rows.")
    return [
        Beside(
            float(missing[k]),
            float(ambient[k]),
            float(row["capacity_factor"]),
            float(row["power_factor"]),
            float(ill.capacity[k] / well.capacity[k]),
            float(ill.power[k] / well.power[k]),
        )
        for k, row in enumerate(rows)
    ]
