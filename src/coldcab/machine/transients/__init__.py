"""What happens over time: seven transients of a machine and of the work on it.

=====================  ================================================================================================
`pull_down`            a soaked cab cools down; the circuit follows
`clutch_cycling`       pressure switches and thermostat cycle the clutch; `cycle_times` in closed form
`evacuation`           a pump against air, water and a leak
`vacuum_rise`          what the vacuum does afterwards; `rise_pattern` reads its bend
`pressure_test`        dry nitrogen under changing temperature
`recovery`             refrigerant drawn off as vapour, and the pressure that comes back
`equalization`         both sides drift together after the stop
=====================  ================================================================================================

Each gives a frozen series with arrays over ``time`` in s. SI units, absolute pressures, K. Wrong input raises
`MachineError` with one plain sentence; ranges are `checks.LIMITS`. The sizes marked [invented] belong to the invented
machines: signs, shapes and order of magnitude are what the tests check.
"""

from coldcab.machine.cab import Storage
from coldcab.machine.transients.checks import LIMITS
from coldcab.machine.transients.clutch_cycling import ClutchCycling, clutch_cycling
from coldcab.machine.transients.equalization import Equalization, equalization
from coldcab.machine.transients.evacuation import Vacuum, evacuation, rise_pattern, vacuum_rise
from coldcab.machine.transients.pressure_test import PressureTest, pressure_test
from coldcab.machine.transients.pull_down import PullDown, pull_down
from coldcab.machine.transients.recovery import Recovery, recovery
from coldcab.machine.transients.switching import cycle_times
from coldcab.quantities import MICRON

__all__ = [
    "LIMITS",
    "MICRON",
    "ClutchCycling",
    "Equalization",
    "PressureTest",
    "PullDown",
    "Recovery",
    "Storage",
    "Vacuum",
    "clutch_cycling",
    "cycle_times",
    "equalization",
    "evacuation",
    "pressure_test",
    "pull_down",
    "recovery",
    "rise_pattern",
    "vacuum_rise",
]
