"""What faults do to the parts, as plain physical numbers. The catalogue of faults is written on top of this."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from typing import Protocol

from coldcab.machine.ops import Value


@dataclass(frozen=True)
class Effects:
    """Multipliers and offsets that the parts understand; the defaults are a healthy machine.

    Every field takes a number or, in `simulate_many`, an array. ``LIMITS`` holds each field's range.
    """

    charge: Value = 1.0  # factor on the charge that was asked for
    air_mass: Value = 0.0  # kg of air left in the circuit
    foreign_share: Value = 0.0  # mass share of R-12 in R-134a
    condenser_air: Value = 1.0  # factor on the condenser's air flow (blocked fins)
    fan: Value = 1.0  # factor on the fan's own flow (slipping belt, weak motor)
    recirculation: Value = 0.0  # share of warm condenser air drawn in again, on top of the machine's own
    condenser_conductance: Value = 1.0  # factor on the air-side conductance of the condenser
    volumetric: Value = 1.0  # factor on the compressor's volumetric efficiency
    leak_area: Value = 0.0  # m2 past reeds and rings, discharge to suction
    slip: Value = 0.0  # share of turns lost by belt or clutch
    clutch: Value = 1.0  # 1 engaged, 0 never engages (open coil, thermostat or switch stuck open)
    screen: Value = 1.0  # factor on the free area of the valve's inlet screen
    ice: Value = 0.0  # share of the valve's port closed by ice
    valve_minimum: Value = 0.0  # the valve opens no less than this (stuck open)
    valve_maximum: Value = 1.0  # nor more than this (stuck shut)
    valve_capacity: Value = 1.0  # factor on the valve's area (wrong orifice, scatter)
    valve_spring: Value = 0.0  # Pa, added to the spring (misadjusted superheat)
    bulb_contact_loss: Value = 0.0  # share of the surroundings in the bulb's temperature, on top of the healthy
    bulb_charge: Value = 1.0  # factor on the bulb's pressure (lost charge)
    receiver_inlet: Value = 1.0  # factor on the resistance between condenser and receiver (drier's inlet blocked)
    drier: Value = 1.0  # factor on the resistance of the drier
    suction: Value = 1.0  # factor on the resistance of the suction hose
    discharge: Value = 1.0  # factor on the resistance of the discharge hose
    liquid_line: Value = 1.0  # factor on the resistance of the liquid line
    blower: Value = 1.0  # factor on the blower's air flow
    evaporator_conductance: Value = 1.0  # factor on the air-side conductance of the evaporator
    evaporator_passage: Value = 1.0  # factor on the resistance of the evaporator's tubes (blocked inside)
    boiling: Value = 1.0  # factor on the boiling coefficient (oil that lies in the coil)
    oil: Value = 1.0  # factor on the oil in the circuit, and so on the oil that travels with the refrigerant
    heater_leak: Value = 0.0  # share of the heater core's conductance that a leaking heater valve leaves at work
    high_switch: Value = 0.0  # Pa, added to the high-pressure switch's set point
    low_switch: Value = 0.0  # Pa, added to both set points of the low-pressure switch
    thermostat: Value = 0.0  # K, added to the thermostat's set point; -50 is one that never opens

    def changed(self, **values: Value) -> Effects:
        """A copy with some fields replaced."""
        return replace(self, **values)


LIMITS: dict[str, tuple[float, float]] = {
    "charge": (0.0, 3.0),
    "air_mass": (0.0, 0.02),
    "foreign_share": (0.0, 0.5),
    "condenser_air": (0.1, 2.0),
    "fan": (0.1, 2.0),
    "recirculation": (0.0, 0.6),
    "condenser_conductance": (0.2, 2.0),
    "volumetric": (0.05, 1.2),
    "leak_area": (0.0, 6e-6),
    "slip": (0.0, 0.9),
    "clutch": (0.0, 1.0),
    "screen": (0.01, 2.0),
    "ice": (0.0, 0.99),
    "valve_minimum": (0.0, 1.0),
    "valve_maximum": (0.0, 1.0),
    "valve_capacity": (0.3, 3.0),
    "valve_spring": (-1e5, 2e5),
    "bulb_contact_loss": (0.0, 0.9),
    "bulb_charge": (0.05, 1.2),
    "receiver_inlet": (0.5, 15000.0),
    "drier": (0.5, 300.0),
    "suction": (0.5, 50.0),
    "discharge": (0.5, 50.0),
    "liquid_line": (0.5, 100.0),
    "blower": (0.1, 1.5),
    "evaporator_conductance": (0.2, 2.0),
    "evaporator_passage": (0.5, 100.0),
    "boiling": (0.05, 2.0),
    "oil": (0.0, 5.0),
    "heater_leak": (0.0, 1.0),
    "high_switch": (-25e5, 5e5),
    "low_switch": (-2e5, 3e5),
    "thermostat": (-50.0, 30.0),
}
"""Range of each field: wider than any fault of the catalogue, and as far as the equations were tried."""

HEALTHY = Effects()
NAMES = tuple(field.name for field in fields(Effects))


class Applied(Protocol):
    """What changes a machine: it turns effects into effects."""

    def apply(self, effects: Effects) -> Effects:
        """The effects given, with its own added."""
        ...


Faults = Effects | Iterable[Applied]
"""What `simulate` takes: effects, or a sequence of faults."""


def gather(faults: Faults) -> Effects:
    """Effects of one `Effects`, or of a sequence of faults: each has ``apply(effects) -> Effects``."""
    if isinstance(faults, Effects):
        return faults
    effects = HEALTHY
    for fault in faults:
        if isinstance(fault, Effects):
            raise ValueError("give a single Effects, or a sequence of faults, not a sequence of Effects.")
        effects = fault.apply(effects)
    return effects
