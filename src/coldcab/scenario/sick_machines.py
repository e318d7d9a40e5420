"""Machines of the shop with a fault, as instruments show them: what the lessons on faults draw their readings from."""

from __future__ import annotations

from functools import lru_cache

from coldcab import units
from coldcab.faults import Fault
from coldcab.machine import Conditions, Readings, nominal_charge, simulate
from coldcab.machine.fleet import FLEET
from coldcab.scenario.showing import shown
from coldcab.words import _

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


Noted = tuple[tuple[str, float | str], ...]
"""Some readings as somebody notes them down: names of `Readings`, whole psig and degrees F, looks in words."""

_SENTENCES = {
    "low_gauge": _("low side {reading}"),
    "high_gauge": _("high side {reading}"),
    "suction_line_at_evaporator": _("suction line at the evaporator {reading}"),
    "suction_line_at_compressor": _("suction line at the compressor {reading}"),
    "evaporator_inlet": _("line behind the valve {reading}"),
    "discharge_line": _("discharge line {reading}"),
    "drier_in": _("into the drier {reading}"),
    "drier_out": _("out of the drier {reading}"),
    "liquid_line": _("liquid line {reading}"),
    "condenser_air_in": _("air at the condenser's face {reading}"),
    "condenser_air_out": _("air behind it {reading}"),
    "vent": _("vent {reading}"),
    "return_air": _("air to the coil {reading}"),
    "standing_pressure": _("after a night's rest {reading}"),
    "glass": _("glass {reading}"),
}
_GAUGES = ("low_gauge", "high_gauge", "standing_pressure")


def note(readings: Readings, *names: str) -> Noted:
    """Return some readings, rounded as the instruments show them."""

    def one(name: str) -> float | str:
        value = getattr(readings, name)
        if name == "glass":
            return str(value)
        return psig(value) if name in _GAUGES else fahrenheit(value)

    return tuple((name, one(name)) for name in names)


def in_words(noted: Noted) -> str:
    """Return noted readings in words: "low side 31 psig (214 kPa gauge), …"."""

    def reading(name: str, value: float | str) -> str:
        if isinstance(value, str):
            return value
        return shown(f"{value:g} psig", "pressure") if name in _GAUGES else shown(f"{value:g} F", "temperature")

    return ", ".join(_SENTENCES[name].format(reading=reading(name, value)) for name, value in noted)
