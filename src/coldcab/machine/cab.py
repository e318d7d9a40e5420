"""The cab: what warms it, and the heater valve."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.air import MoistAir
from coldcab.machine.ops import Arithmetic, Value
from coldcab.machine.setting import Setting
from coldcab.quantities import AIR_GAS_CONSTANT, FREEZING

INFILTRATION = 0.006  # kg/s of outside air through doors and floor [invented]
OCCUPANT_HEAT = 80.0  # W of sensible heat of one person driving [from memory, the usual figure of ASHRAE Fundamentals]
OCCUPANT_WATER = 2.2e-5  # kg/s of one person driving [from memory, likewise]
COOLANT_TEMPERATURE = 361.15  # K, thermostat of a warm engine [typical]
ENGINE_WALL = 363.15  # K, beside the cab [invented]
FULL_SUN = 1000.0  # W/m2, the usual round figure of clear weather
# Moist air: ASHRAE Fundamentals (2017) chapter 1, equation 30.
DRY_AIR_HEAT = 1006.0  # J/(kg K)
VAPOR_HEAT = 1860.0  # J/(kg K)
EVAPORATION_HEAT = 2.501e6  # J/kg at 0 C


@dataclass(frozen=True)
class Storage:
    """What stores heat and moisture in a cab: its air, and seats, trim and glass as one mass. All [invented].

    ``volume`` m3 of air, ``mass_capacity`` J/K, ``mass_conductance`` W/K from the mass to the air,
    ``sun_on_mass`` share of the sun that lands on the mass first.
    """

    volume: float = 3.0
    mass_capacity: float = 55e3
    mass_conductance: float = 85.0
    sun_on_mass: float = 1.0

    def air(self, pressure: float) -> float:
        """kg of air in the cab, taken at 25 C."""
        return self.volume * pressure / (AIR_GAS_CONSTANT * 298.15)


@dataclass(frozen=True)
class Cab:
    """``conductance`` W/K of walls and glass, ``solar`` W taken in at 1000 W/m2, ``engine_conductance`` W/K to a warm
    engine wall, ``heater_conductance`` W/K of the heater core, ``storage`` of heat and moisture."""

    conductance: float = 55.0
    solar: float = 1300.0
    engine_conductance: float = 14.0
    heater_conductance: float = 220.0
    storage: Storage = Storage()

    def heat(self, ambient: Value, inside: Value, setting: Setting, heat_capacity: Value) -> Value:
        """W that flow into the cab from outside, sun, people and the engine."""
        walls = (self.conductance + INFILTRATION * heat_capacity) * (ambient - inside)
        sun = self.solar * setting.sun / FULL_SUN
        return walls + sun + OCCUPANT_HEAT * setting.occupants + self.engine_conductance * (ENGINE_WALL - inside)

    def water(self, ambient: Value, inside: Value, setting: Setting) -> Value:
        """kg/s of water vapour that enter; arguments are humidity ratios."""
        return INFILTRATION * (ambient - inside) + OCCUPANT_WATER * setting.occupants

    def heater(self, ops: Arithmetic, air: Value, stream: Value, setting: Setting) -> Value:
        """K by which a heater valve that does not close warms the air; ``stream`` is its m cp in W/K."""
        conductance = setting.heater_leak * self.heater_conductance
        return (1.0 - ops.exp(-conductance / stream)) * (COOLANT_TEMPERATURE - air)


@dataclass(frozen=True)
class CabLoad:
    """What warms a cab and makes it moist, by where it comes from; W, below zero where it cools.

    ``walls`` and glass, ``sun``, ``engine`` wall, ``occupants``, ``leaks`` of air through doors and floor, ``fresh``
    air that the blower draws in, ``blower`` and ``heater`` warm the cab. ``occupants_water``, ``leaks_water`` and
    ``fresh_water`` are the heat that it takes to turn their vapour into water.
    """

    sun: Value
    walls: Value
    engine: Value
    occupants: Value
    leaks: Value
    fresh: Value
    blower: Value
    heater: Value
    occupants_water: Value
    leaks_water: Value
    fresh_water: Value

    @property
    def sensible(self) -> Value:
        """W that warm the air."""
        return (
            self.sun + self.walls + self.engine + self.occupants + self.leaks + self.fresh + self.blower + self.heater
        )

    @property
    def latent(self) -> Value:
        """W bound in vapour."""
        return self.occupants_water + self.leaks_water + self.fresh_water

    @property
    def total(self) -> Value:
        """W that a coil must take to hold the cab as it is."""
        return self.sensible + self.latent


def cab_load(
    cab: Cab,
    outside: MoistAir,
    inside: MoistAir,
    *,
    sun: float = FULL_SUN,
    occupants: float = 1.0,
    fresh_air_flow: float = 0.0,
    blower_power: float = 0.0,
    heater: float = 0.0,
) -> CabLoad:
    """The load that the coil carries while the cab stays at the state ``inside``.

    Parameters
    ----------
    cab : the cab.
    outside, inside : the air, as scalars.
    sun : W/m2. occupants : people.
    fresh_air_flow : kg/s of dry air that the blower draws from outside; as much leaves the cab.
    blower_power, heater : W that blower and heater core give to the air behind or before the coil.

    Returns
    -------
    CabLoad; its ``sensible`` part is the balance that `Cab.heat` solves, with blower, fresh air and heater added.

    Source
    ------
    Steady balances of energy and water. Vapour counts with the latent heat at the temperature inside, 2501 kJ/kg +
    1.86 kJ/(kg K) t: ASHRAE Fundamentals (2017) chapter 1, equation 30.
    """
    ratio = inside.humidity_ratio
    warmer = outside.dry_bulb - inside.dry_bulb
    capacity = DRY_AIR_HEAT + VAPOR_HEAT * ratio
    latent = EVAPORATION_HEAT + VAPOR_HEAT * (inside.dry_bulb - FREEZING)
    wetter = outside.humidity_ratio - ratio
    return CabLoad(
        sun=cab.solar * sun / FULL_SUN,
        walls=cab.conductance * warmer,
        engine=cab.engine_conductance * (ENGINE_WALL - inside.dry_bulb),
        occupants=OCCUPANT_HEAT * occupants,
        leaks=INFILTRATION * capacity * warmer,
        fresh=fresh_air_flow * capacity * warmer,
        blower=blower_power,
        heater=heater,
        occupants_water=OCCUPANT_WATER * occupants * latent,
        leaks_water=INFILTRATION * wetter * latent,
        fresh_water=fresh_air_flow * wetter * latent,
    )
