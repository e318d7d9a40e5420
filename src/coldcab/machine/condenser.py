"""The condenser pass by pass, in three zones with moving boundaries, and the air that its fan brings."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property, reduce
from operator import add
from typing import NamedTuple

from coldcab.machine.compressor import Side
from coldcab.machine.fluid import Fluid, convection, latent_slope
from coldcab.machine.ops import Arithmetic, Value
from coldcab.machine.passes import LIQUID_PART, VAPOR_PART, Duty, Film, Pass, drops, layout, zones
from coldcab.machine.receiver import ReceiverDrier
from coldcab.machine.setting import Setting
from coldcab.quantities import AIR_GAS_CONSTANT

AIR_HEAT = 1006.0  # J/(kg K)
AIR_EXPONENT = 0.55  # of the air-side coefficient with the flow [typical of louvred fins, from memory]
# Air left in the circuit gathers here and hinders condensing: share of the coefficient 1 / (1 + 6 y), y its share of
# the pressure [from memory: a few per cent of gas cost a fifth to a third of the coefficient].
GAS_HINDRANCE = 6.0
VAPOR_SHARE = 0.75  # of the condenser's volume, where air can be
GAS_ROUNDING = 0.01  # quality over which the end of condensing is rounded where only gas is left
LARGEST_DROP = 0.95  # of the pressure, on the way into the receiver; only a search comes near
FLASH_ROUNDING = 0.002  # quality over which flashing on that way sets in
LAYERED = 3e3  # J/kg of subcooling that a layered receiver lets stand beside some gas [invented]
MIXING = 0.1  # share of the subcooling over which gas in the receiver ends it
# Units of the receiver coordinate per DRYING_BAND (K) by which a receiver boils colder than the air can condense.
DRYING, DRYING_BAND = 0.5, 0.5
# Hot gas conducts less than saturated gas: share of its film per cube of the reduced pressure, for gas 10 to 30 K above
# saturation (by CoolProp 8.0.0 up to 75 C; R-12 and R-134a within 2 %, R-1234yf within 10 %).
HOT_GAS_HINDRANCE = 0.7
SUBCOOLING_RATE = 3.0  # exponent of subcooling per unit of the receiver coordinate above 1
# Temperature of the gas in the condenser, K above ambient, for the partial pressure of air; 10 K more is 3 % of it.
GAS_WARMTH = 15.0


@dataclass(frozen=True)
class Fan:
    """Condenser fan: ``flow`` m3/s at ``rated_speed`` engine rev/s; ``driven`` is the share that follows the engine.

    A fan moves a volume (fan laws, textbook), so thin air at altitude means less mass. The share is [invented].
    """

    flow: float
    driven: float = 0.5
    rated_speed: float = 25.0

    def volume_flow(self, engine_speed: Value, factor: Value) -> Value:
        """m3/s at an engine speed (rev/s); ``factor`` is the fan's own (slipping belt, weak motor)."""
        return self.flow * factor * (1.0 - self.driven + self.driven * engine_speed / self.rated_speed)


@dataclass(frozen=True)
class Condenser:
    """Tubes and fins.

    ``passes``: parallel tubes of each pass in the order of flow (one path of one tube: (1,)); ``pass_length`` m of one
    tube in one pass; ``diameter`` m inside; ``air_conductance`` W/K of all fins at ``rated_air`` kg/s;
    ``resistance`` K in dp = K m^2 v for the whole way; ``fan``; ``own_recirculation`` share of its warm air that even
    a healthy machine draws in again. The zones of gas, condensing and liquid are laid into the passes where they lie
    (`passes`).
    """

    passes: tuple[int, ...]
    pass_length: float
    diameter: float
    air_conductance: float
    rated_air: float
    resistance: float
    fan: Fan
    own_recirculation: float = 0.03

    @cached_property
    def length(self) -> float:
        """m of tube in all."""
        return self.pass_length * sum(self.passes)

    @cached_property
    def volume(self) -> float:
        """m3 inside."""
        return self.length * math.pi / 4 * self.diameter**2

    @cached_property
    def inner_area(self) -> float:
        """m2 wetted by refrigerant."""
        return self.length * math.pi * self.diameter

    @cached_property
    def way(self) -> tuple[Pass, ...]:
        """The passes in the order of flow."""
        return layout(self.passes, self.diameter, self.inner_area, self.resistance)

    def reject(
        self, ops: Arithmetic, fluid: Fluid, receiver: ReceiverDrier, inlet: Inlet, setting: Setting, z: Value
    ) -> Condensing:
        """Condense gas from ``inlet`` down to what the receiver coordinate ``z`` asks for at the outlet.

        Each strip of air is fresh and the refrigerant runs along it (one fluid mixed): heat per share of face area is
        eps m_a cp (T - T_a), eps = 1 - exp(-UA / (m_a cp)), so the zones have closed areas and the balance is exact.
        The three shares of area must sum to 1; the solver sees to it.
        Condensing: Shah (1979), Int. J. Heat Mass Transfer 22, 547, at four qualities. Single phase: Dittus and Boelter
        (1930).
        """
        saturated = self._partial_pressure(ops, fluid, receiver, inlet, setting, z)
        line = saturated.side.line
        latent = line.vapor_enthalpy - line.liquid_enthalpy
        above = ops.positive(inlet.enthalpy - line.vapor_enthalpy, 200.0)
        below = inlet.enthalpy - line.vapor_enthalpy - above
        quality = receiver.outlet_quality(ops, z)
        drained = _shares(ops, quality, latent, below)
        # Warm air drawn in again; the heat of subcooling is left out of this share.
        stream = setting.condenser_air * AIR_HEAT
        warmed = setting.recirculated * inlet.flow * (above + drained.condensed - drained.overheat) / stream
        face = setting.ambient + warmed
        entry_drop, received = _into_receiver(ops, fluid, receiver, saturated, inlet.flow, quality, setting)
        outlet = _outlet(ops, fluid, receiver, saturated, received, face, quality, z)
        shares = _shares(ops, outlet.quality, latent, below)
        areas = self._areas(ops, fluid, saturated, inlet, face, outlet, shares, above, 1.0 + below / latent, setting)
        mass = self._mass(saturated.side, outlet, areas)
        heat = inlet.flow * (inlet.enthalpy - outlet.enthalpy)
        return Condensing(
            side=saturated.side,
            received=received,
            entry_drop=entry_drop,
            total_pressure=saturated.total_pressure,
            air_pressure=saturated.air_pressure,
            temperature=saturated.temperature,
            face_temperature=face,
            air_out=face + heat / stream,
            enthalpy=outlet.enthalpy,
            liquid_temperature=outlet.liquid_temperature,
            liquid_volume=outlet.liquid_volume,
            quality=outlet.quality,
            gas_area=areas.gas,
            tube_area=areas.tube,
            cooling_area=areas.cooling,
            heat=heat,
            level=outlet.level,
            mass=mass,
        )

    def _partial_pressure(
        self, ops: Arithmetic, fluid: Fluid, receiver: ReceiverDrier, inlet: Inlet, setting: Setting, z: Value
    ) -> Saturated:
        """Dalton: the refrigerant condenses at what air leaves it of the pressure."""
        vapor_volume = inlet.side.line.vapor_pressure_volume / inlet.side.pressure
        lost = self._drops(ops, fluid, receiver, inlet, vapor_volume, setting, z)
        drop = reduce(add, lost)
        total = ops.exp(inlet.log_pressure - drop / inlet.side.pressure)
        room = VAPOR_SHARE * self.volume + inlet.hose_volume + receiver.room * (1.02 - receiver.level(ops, z))
        air_pressure = setting.air_mass * AIR_GAS_CONSTANT * (setting.ambient + GAS_WARMTH) / room
        pressure = ops.positive(total - air_pressure, 0.05 * inlet.side.pressure)
        log_pressure = ops.log(pressure)
        line = fluid.table.saturation(log_pressure)
        slope = latent_slope(pressure, line)
        temperature = line.temperature + 0.5 * drop * slope
        local: list[Value] = []
        behind = 0.0
        for one in reversed(lost):
            local.append(line.temperature + (behind + 0.5 * one) * slope)
            behind = behind + one
        return Saturated(Side(pressure, log_pressure, line), total, air_pressure, slope, temperature, local[::-1])

    def _drops(
        self,
        ops: Arithmetic,
        fluid: Fluid,
        receiver: ReceiverDrier,
        inlet: Inlet,
        vapor_volume: Value,
        setting: Setting,
        z: Value,
    ) -> list[Value]:
        """Pressure lost in each pass; the liquid that stands in the last ones costs next to none.

        How much of the face that takes is estimated with the film of the last pass.
        """
        stream = setting.condenser_air * AIR_HEAT
        film = inlet.flow**0.8 * convection(ops, fluid.liquid_transport, inlet.side.line.temperature)
        inner = self.way[-1].film * film
        effectiveness = 1.0 - ops.exp(-1.0 / ((1.0 / setting.condenser_conductance + 1.0 / inner) * stream))
        depth = _depth(receiver, receiver.level(ops, z), receiver.overfill(ops, z))
        standing = inlet.flow * fluid.liquid_heat * depth / (effectiveness * stream)
        quality = receiver.outlet_quality(ops, z)
        return drops(ops, self.way, inlet.flow, vapor_volume, quality, standing)

    def _areas(
        self,
        ops: Arithmetic,
        fluid: Fluid,
        saturated: Saturated,
        inlet: Inlet,
        face: Value,
        outlet: Outlet,
        shares: Shares,
        above: Value,
        quality_in: Value,
        setting: Setting,
    ) -> Areas:
        """What the three zones need of the face: gas, condensing, cooling of the liquid."""
        side, condensing = saturated.side, saturated.temperature
        stream = setting.condenser_air * AIR_HEAT
        resistance = 1.0 / setting.condenser_conductance

        turbulent = inlet.flow**0.8
        liquid = convection(ops, fluid.liquid_transport, side.line.temperature)
        vapor = convection(ops, fluid.vapor_transport, side.line.temperature)
        reduced = side.pressure / fluid.critical_pressure
        hindered = 1.0 + GAS_HINDRANCE * saturated.air_pressure / (side.pressure + saturated.air_pressure)

        difference = ops.positive(condensing - face, 0.3)
        hot_span = ops.positive(inlet.temperature - condensing, 0.2)
        heat_capacity = above / hot_span
        gas_end = ops.positive(condensing + shares.overheat / heat_capacity - face, 0.3)
        pressure, line = side.pressure, side.line
        vapor_density, liquid_density = pressure / line.vapor_pressure_volume, 1.0 / line.liquid_volume
        enhanced = reduced**-0.38
        film = Film(
            turbulent * vapor * (1.0 - HOT_GAS_HINDRANCE * reduced * reduced * reduced),
            turbulent * convection(ops, fluid.liquid_transport, 0.5 * (line.temperature + outlet.liquid_temperature)),
            tuple(
                turbulent * liquid * (one + other * enhanced) / hindered
                for one, other in zip(LIQUID_PART, VAPOR_PART, strict=True)
            ),
        )
        latent = line.vapor_enthalpy - line.liquid_enthalpy
        # Gas gives off more heat per kelvin the nearer it is to condensing: two halves, each with its own mean.
        half = 0.5 * (above - shares.overheat)
        enthalpy = line.vapor_enthalpy + shares.overheat + half
        halfway, halfway_volume, _ = fluid.table.vapor(side.log_pressure, enthalpy, line)
        between = ops.positive(halfway - face, 0.3)
        upper = ops.positive(inlet.temperature - face - between, 0.1)
        lower = ops.positive(between - gas_end, 0.1)
        gas_cooling = half * (ops.log(1.0 + upper / between) / upper + ops.log(1.0 + lower / gas_end) / lower)
        laid = zones(
            ops,
            self.way,
            film,
            [ops.positive(one - face, 0.3) for one in saturated.local],
            resistance,
            stream,
            Duty(
                gas=inlet.flow / stream * gas_cooling,
                rate=inlet.flow * latent / stream,
                quality_in=quality_in,
                quality_out=shares.quality,
                cooling=inlet.flow * outlet.cooled / (stream * difference) * outlet.depth / (1.0 - outlet.left),
            ),
            liquid_density,
            vapor_density,
        )
        return Areas(*laid, laid.gas / halfway_volume)

    def _mass(self, side: Side, outlet: Outlet, areas: Areas) -> Value:
        """kg of refrigerant in the three zones."""
        liquid_density = 1.0 / side.line.liquid_volume
        # Mean of the cooling zone, its temperature falling exponentially towards the air's.
        nearer = (1.0 - (1.0 - outlet.left) / outlet.depth) / (1.0 - outlet.left)
        cool_density = liquid_density + (1.0 / outlet.liquid_volume - liquid_density) * nearer
        return self.volume * (areas.gas_mass + areas.tube_mass + areas.cooling * cool_density)


def _shares(ops: Arithmetic, quality: Value, latent: Value, below: Value) -> Shares:
    """What is condensed down to an outlet quality; with next to no charge gas leaves superheated: a quality above 1."""
    beyond = ops.positive(quality - 1.0, GAS_ROUNDING)
    two_phase = quality - beyond
    return Shares(two_phase, beyond * latent, latent * (1.0 - two_phase) + below)


def _into_receiver(
    ops: Arithmetic,
    fluid: Fluid,
    receiver: ReceiverDrier,
    saturated: Saturated,
    flow: Value,
    quality: Value,
    setting: Setting,
) -> tuple[Value, Side]:
    """Pressure lost on the way into the receiver, and the receiver's own side.

    The receiver is in balance at its own pressure: what enters is saturated there (subcooled when it is full, mixed
    with gas when it is drained). Liquid backs up into the condenser until it is cold enough for that.
    """
    pressure, line = saturated.side.pressure, saturated.side.line
    latent = line.vapor_enthalpy - line.liquid_enthalpy
    entry = receiver.inlet_resistance * setting.receiver_inlet * flow * flow
    vapor_volume = line.vapor_pressure_volume / pressure
    flashing = ops.positive(
        quality - entry * line.liquid_volume * fluid.liquid_heat * saturated.slope / latent, FLASH_ROUNDING
    )
    drop = entry * (line.liquid_volume + flashing * (vapor_volume - line.liquid_volume))
    share = drop / (LARGEST_DROP * pressure)
    received = pressure - drop / (1.0 + share**8) ** 0.125
    log_received = ops.log(received)
    return drop, Side(received, log_received, fluid.table.saturation(log_received))


def _depth(receiver: ReceiverDrier, level: Value, overfill: Value) -> Value:
    """Transfer units of the liquid's cooling; the square reaches a condenser that is all but full of liquid."""
    return receiver.stratification * level + SUBCOOLING_RATE * overfill * (1.0 + overfill * overfill) + 1e-4


def _outlet(
    ops: Arithmetic,
    fluid: Fluid,
    receiver: ReceiverDrier,
    saturated: Saturated,
    received: Side,
    face: Value,
    quality: Value,
    z: Value,
) -> Outlet:
    """How far the liquid is cooled, and what leaves the condenser."""
    log_pressure, line = saturated.side.log_pressure, saturated.side.line
    spread = ops.positive(line.temperature - face, 0.3)
    spread_received = ops.positive(received.line.temperature - face, 0.3)
    # A receiver whose pressure is below what the air can condense against boils dry.
    level = receiver.level(ops, z - DRYING * ops.softplus((face - received.line.temperature) / DRYING_BAND + 2.0))
    overfill = receiver.overfill(ops, z)
    depth = _depth(receiver, level, overfill)
    coldest_left = ops.exp(-depth) * spread_received / spread
    coldest = fluid.table.liquid_enthalpy(log_pressure, line.temperature - spread * (1.0 - coldest_left), line)
    cooled = line.liquid_enthalpy - coldest
    flash = quality * (received.line.vapor_enthalpy - received.line.liquid_enthalpy)
    # Gas in the receiver means less cooling of the liquid that enters it, and none if it is much; the corner of
    # max(1 - x, 0) is rounded and its value at 0 is 1.
    beyond = flash / (cooled + LAYERED) - 1.0
    subcooled = (ops.sqrt(beyond * beyond + MIXING**2) - beyond) / (1.0 + math.sqrt(1.0 + MIXING**2))
    left = 1.0 - subcooled + subcooled * coldest_left
    cooled = cooled * subcooled
    liquid = line.liquid_enthalpy - cooled
    enthalpy = coldest + flash
    return Outlet(
        left=left,
        depth=-ops.log(left),
        cooled=cooled,
        liquid_temperature=line.temperature - spread * (1.0 - left),
        liquid_volume=fluid.table.liquid(log_pressure, liquid, line)[1],
        enthalpy=enthalpy,
        quality=(enthalpy - liquid) / (line.vapor_enthalpy - line.liquid_enthalpy),
        level=level,
    )


class Saturated(NamedTuple):
    """Where the refrigerant condenses."""

    side: Side  # of the refrigerant alone
    total_pressure: Value  # with air
    air_pressure: Value
    slope: Value  # K/Pa of the saturation line
    temperature: Value  # mean, of condensing
    local: list[Value]  # the same of each pass


class Shares(NamedTuple):
    """What happens to a kilogram down to some outlet quality."""

    quality: Value  # at the end of condensing
    overheat: Value  # J/kg above saturated gas that are left
    condensed: Value  # J/kg given off in condensing


class Outlet(NamedTuple):
    """The cooling zone and what leaves it."""

    left: Value  # of the temperature difference to the air
    depth: Value  # transfer units: -ln of that
    cooled: Value  # J/kg
    liquid_temperature: Value
    liquid_volume: Value
    enthalpy: Value
    quality: Value
    level: Value  # of the receiver


class Areas(NamedTuple):
    """Shares of the face."""

    gas: Value
    tube: Value
    cooling: Value
    tube_mass: Value  # kg in the second per m3 of the whole condenser
    gas_mass: Value  # and in the first


class Inlet(NamedTuple):
    """Gas at the condenser's inlet."""

    side: Side  # discharge side, for its saturation line
    log_pressure: Value
    enthalpy: Value
    temperature: Value
    flow: Value
    hose_volume: float


class Condensing(NamedTuple):
    """Results of `Condenser.reject`; areas are shares of the face."""

    side: Side  # of the refrigerant alone at the condenser's outlet
    received: Side  # and in the receiver
    entry_drop: Value  # Pa lost between the two
    total_pressure: Value  # with air
    air_pressure: Value
    temperature: Value  # mean, of condensing
    face_temperature: Value  # of the air that enters
    air_out: Value
    enthalpy: Value
    liquid_temperature: Value
    liquid_volume: Value
    quality: Value
    gas_area: Value
    tube_area: Value
    cooling_area: Value
    heat: Value
    level: Value
    mass: Value
