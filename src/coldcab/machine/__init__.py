"""The machine: a complete off-road cab air conditioner, steady state with charge inventory, what faults do.

``simulate(machine, conditions, refrigerant=..., charge=...)`` gives `Readings`, what a technician reads; many runs at
once go through ``simulate_many``, whose conditions, charge and effects may be arrays. The parts and their equations
are one file each; `model` puts them together, `solver` finds the seven unknowns, `status` says what state that is,
`outcome` turns all into readings, `fleet` holds the invented machines, labelled by `charge_determination`.
SI units, absolute pressures, K; gauges are in Pa above the atmosphere on the spot.

Sources are named at each equation: authors and years where published ("from memory" where the paper was not at hand),
"[invented]" where a number was chosen for these machines.

What faults do enters as one `Effects`, or as a sequence of faults, each with ``apply(effects) -> Effects``. Its fields,
healthy value and meaning:

=======================  =======  ======================================================================================
charge                   1        factor on the charge
air_mass                 0        kg of air left in the circuit
foreign_share            0        mass share of R-12 in R-134a, to 0.5 in whole percent
condenser_air            1        factor on the condenser's air (blocked fins)
fan                      1        factor on the fan's flow (belt, motor)
recirculation            0        share of warm condenser air drawn in again, added to the machine's own
condenser_conductance    1        factor on the condenser's air-side conductance (scatter, fins combed flat)
volumetric               1        factor on the volumetric efficiency (worn rings)
leak_area                0        m2 past the reeds, discharge to suction
slip                     0        share of turns lost by belt or clutch
clutch                   1        0: never engages
screen                   1        factor on the free area of the valve's inlet screen
ice                      0        share of the valve's port closed by ice
valve_minimum            0        least opening (stuck open)
valve_maximum            1        greatest opening (stuck shut)
valve_capacity           1        factor on the valve's area (scatter, wrong orifice)
valve_spring             0        Pa added to the spring (misadjusted superheat)
bulb_contact_loss        0        share of the engine bay's temperature in the bulb's, added to the healthy 0.01
bulb_charge              1        factor on the bulb's pressure (lost charge)
drier, suction,          1        factors on the resistance K of dp = K m^2 v of the drier, the suction hose, the
discharge, liquid_line            discharge hose and the liquid line
receiver_inlet,          1        the same of the way into the receiver-drier and of the evaporator's tubes (blocked
evaporator_passage                inside)
blower                   1        factor on the cab blower's air
evaporator_conductance   1        factor on the evaporator's air-side conductance
boiling                  1        factor on the boiling coefficient (oil that lies in the coil)
oil                      1        factor on the oil in the circuit and on its share in what flows (`circulating_oil`)
heater_leak              0        share of the heater core at work behind a valve that does not close
high_switch              0        Pa added to the high-pressure switch's set point
low_switch               0        Pa added to both set points of the low-pressure switch (-2e5: jumpered)
thermostat               0        K added to the thermostat's set point (-50: never opens)
=======================  =======  ======================================================================================

Ranges: `effects.LIMITS`, `conditions.LIMITS`, `charge_range`. Hands-on tests are second runs: a bulb re-seated is
``bulb_contact_loss=0``, a heater hose pinched ``heater_leak=0``, a bulb warmed ``bulb_contact_loss=0.6``.

Limits of the model: the evaporator in one lumped pass, air spread evenly, no hunting of the valve, ice only as a closed
port, oil as a stated approximation, efficiencies of an invented map, void model uncertain by 10 to 20 % of the
condenser's charge, blend pressures from CoolProp's unchecked binary model. Signs, ratios and shapes are what the tests
check.
"""

from coldcab.machine.at_rest import standing_pressure
from coldcab.machine.conditions import Conditions, MachineError
from coldcab.machine.effects import Effects
from coldcab.machine.layout import Machine
from coldcab.machine.readings import Readings, read
from coldcab.machine.simulate import charge_range, nominal_charge, simulate, simulate_many

__all__ = [
    "Conditions",
    "Effects",
    "Machine",
    "MachineError",
    "Readings",
    "charge_range",
    "nominal_charge",
    "read",
    "simulate",
    "simulate_many",
    "standing_pressure",
]
