"""Machines of the shop with a fault, as instruments show them: what the lessons on faults draw their readings from."""

from __future__ import annotations

from functools import lru_cache

from coldcab import units
from coldcab.faults import Fault
from coldcab.machine import Conditions, Readings, nominal_charge, simulate
from coldcab.machine.fleet import FLEET
from coldcab.scenario.showing import shown

REFRIGERANT = "R-134a"
HUMIDITY = 0.40
"""Relative humidity of the day; doors and windows stand open, so the coil is given the day's own air."""


def day(ambient_fahrenheit: float, engine_rpm: float) -> Conditions:
    """Return the conditions of a service test with open doors, at sea level."""
    ambient = units.from_unit(ambient_fahrenheit, "temperature", "F")
    return Conditions(
        ambient=ambient,
        relative_humidity=HUMIDITY,
        engine_speed=units.from_unit(engine_rpm, "rotational speed", "rpm"),
        inlet_temperature=ambient,
        inlet_relative_humidity=HUMIDITY,
    )


@lru_cache(maxsize=8192)
def run(
    unit: int,
    ambient_fahrenheit: float,
    engine_rpm: float,
    fault: str = "",
    severity: float = 0.0,
    refrigerant: str = REFRIGERANT,
) -> Readings:
    """Return what a machine of the shop shows with its right charge, healthy or with one fault.

    Parameters
    ----------
    unit
        The machine's number in the shop.
    ambient_fahrenheit, engine_rpm
        The day and the engine.
    fault, severity
        A name of `coldcab.faults.catalogue` and its severity, 0 to 1; none by default.
    refrigerant
        What it runs on.
    """
    machine = FLEET[unit]
    return simulate(
        machine,
        day(ambient_fahrenheit, engine_rpm),
        refrigerant=refrigerant,
        charge=nominal_charge(machine, refrigerant),
        faults=(Fault(fault, severity),) if fault else (),
    )


def psig(pressure: float) -> float:
    """Return a gauge pressure in Pa as a shop gauge shows it: whole psig."""
    return float(round(units.convert(pressure, "pressure difference", "psi")))


def fahrenheit(temperature: float) -> float:
    """Return a temperature in K as a clip thermometer shows it: whole degrees F."""
    return float(round(units.convert(temperature, "temperature", "F")))


_WORDS = {
    "low_gauge": "low side",
    "high_gauge": "high side",
    "suction_line_at_evaporator": "suction line at the evaporator",
    "drier_in": "into the drier",
    "drier_out": "out of the drier",
    "liquid_line": "liquid line",
    "condenser_air_in": "air at the condenser's face",
    "condenser_air_out": "air behind it",
    "vent": "vent",
    "return_air": "air to the coil",
    "standing_pressure": "after a night's rest",
}


def told(readings: Readings, *names: str) -> str:
    """Return some readings in words, rounded as the instruments show them: "low side 31 psig (214 kPa gauge), …"."""
    parts = []
    for name in names:
        value = getattr(readings, name)
        if name == "glass":
            parts.append(f"glass {value}")
        elif name in ("low_gauge", "high_gauge", "standing_pressure"):
            parts.append(f"{_WORDS[name]} {shown(f'{psig(value):g} psig', 'pressure')}")
        else:
            parts.append(f"{_WORDS[name]} {shown(f'{fahrenheit(value):g} F', 'temperature')}")
    return ", ".join(parts)
