"""The forces at an expansion valve, on its own or in a machine that has been run."""

from __future__ import annotations

import math
from dataclasses import dataclass

from coldcab.machine.blend import blend
from coldcab.machine.conditions import Conditions, MachineError
from coldcab.machine.effects import HEALTHY, Effects, Faults, gather
from coldcab.machine.fluid import flashed_volume, fluid_named
from coldcab.machine.layout import Machine
from coldcab.machine.model import evaluate
from coldcab.machine.ops import FLOATS
from coldcab.machine.preparation import prepare
from coldcab.machine.readings import OFF, Readings
from coldcab.machine.valve import ExpansionValve


@dataclass(frozen=True)
class ValveForces:
    """The three pressures on the diaphragm of an expansion valve, and where they leave its pin.

    ``bulb_pressure`` opens; ``evaporator_pressure`` (where the equalizer takes it) and ``spring`` close: Pa absolute,
    the spring in Pa. ``bulb_temperature`` K, ``opening`` 0 to 1.
    """

    bulb_temperature: float
    bulb_pressure: float
    evaporator_pressure: float
    spring: float
    opening: float

    @property
    def lifting(self) -> float:
        """Pa that are left to lift the pin: bulb less evaporator less spring."""
        return self.bulb_pressure - self.evaporator_pressure - self.spring


@dataclass(frozen=True)
class AtValve:
    """What the expansion valve of a running machine feels and passes.

    ``forces`` on its diaphragm; ``outlet_pressure`` of the coil and ``inlet_pressure`` of the valve, Pa absolute;
    ``inlet_void``, the share of vapour in the volume that reaches the valve; ``suction_drop`` Pa from the coil's
    outlet to the compressor's port.
    """

    forces: ValveForces
    outlet_pressure: float
    inlet_pressure: float
    inlet_void: float
    suction_drop: float


def valve_forces(
    valve: ExpansionValve,
    *,
    line_temperature: float,
    surroundings: float,
    outlet_pressure: float,
    coil_drop: float = 0.0,
    effects: Effects = HEALTHY,
) -> ValveForces:
    """The balance of forces at a valve.

    Parameters
    ----------
    valve : the valve. line_temperature : K of the suction line at the bulb. surroundings : K around the bulb.
    outlet_pressure : Pa absolute at the coil's outlet. coil_drop : Pa lost in the coil, which a valve with an internal
        equalizer feels on top. effects : what is wrong with valve or bulb.

    Returns
    -------
    ValveForces, by `ExpansionValve.bulb_pressure` and `ExpansionValve.opening`.
    """
    bulb = fluid_named(valve.bulb_fluid)
    pressure = valve.bulb_pressure(FLOATS, bulb, line_temperature, surroundings, effects)
    sensed = outlet_pressure if valve.equalized_at_outlet else outlet_pressure + coil_drop
    loss = valve.share_of_surroundings(effects)
    return ValveForces(
        bulb_temperature=line_temperature + loss * (surroundings - line_temperature),
        bulb_pressure=pressure,
        evaporator_pressure=sensed,
        spring=valve.spring + effects.valve_spring,
        opening=valve.opening(FLOATS, pressure, sensed, effects),
    )


def static_superheat(
    valve: ExpansionValve, refrigerant: str, outlet_pressure: float, effects: Effects = HEALTHY
) -> float:
    """The superheat at which the bulb just balances evaporator and spring, K; above it the valve begins to open.

    Parameters
    ----------
    refrigerant : what boils in the coil. outlet_pressure : Pa absolute, felt by the equalizer.

    Returns
    -------
    K; NaN where the bulb's charge is exhausted before (above the maximum operating pressure the valve stays shut).
    """
    needed = outlet_pressure + valve.spring + effects.valve_spring
    bulb = fluid_named(valve.bulb_fluid).table
    temperature = bulb.saturation_temperature(math.log(needed))
    if needed > valve.charge_limit * (1.0 + 0.006 * (temperature - 283.15)):
        return math.nan
    return float(temperature - fluid_named(refrigerant).table.saturation_temperature(math.log(outlet_pressure)))


def at_valve(machine: Machine, conditions: Conditions, readings: Readings, faults: Faults = ()) -> AtValve:
    """The forces at the valve of one run.

    Parameters
    ----------
    machine, conditions, faults : those of the run. readings : what `coldcab.machine.simulate` gave for them.

    Returns
    -------
    AtValve, by the equations that the run itself has solved.

    Raises
    ------
    MachineError : a machine at rest, or a run without a steady state: no refrigerant flows through its valve.
    """
    if readings.status == OFF or not readings.solved:
        raise MachineError("the compressor stands still, so nothing flows through the valve; let it run.")
    effects = gather(faults)
    share = effects.foreign_share
    fluid = blend(readings.refrigerant, float(share)) if share else fluid_named(readings.refrigerant)
    setting = prepare(FLOATS, machine, fluid, conditions, effects, readings.charge / effects.charge)
    bulb = fluid_named(machine.valve.bulb_fluid)
    point = evaluate(FLOATS, machine, fluid, bulb, setting, readings.unknowns)
    inlet, outlet = point.liquid.valve_in, point.suction.evaporating.pressure
    liquid = point.condensing.liquid_volume
    _, _, void = flashed_volume(FLOATS, inlet.pressure, point.liquid.enthalpy, inlet.line, liquid)
    return AtValve(
        forces=valve_forces(
            machine.valve,
            line_temperature=point.expansion.line_temperature,
            surroundings=setting.bay,
            outlet_pressure=outlet,
            coil_drop=point.cooling.drop,
            effects=effects,
        ),
        outlet_pressure=outlet,
        inlet_pressure=inlet.pressure,
        inlet_void=void,
        suction_drop=outlet - point.low.pressure,
    )
