"""The air of a cab on its way: filters, blower, coil, heater core, duct, vents, and out through the gaps.

The small functions stand alone; `cab_air` puts them together into a steady cab. Sizes of the cab are those of one
invented machine, see `CabShell` and `AirBox`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from coldcab.air import moist
from coldcab.air.checks import SHARE_RANGE, AirError, within
from coldcab.air.processes import coil, mix
from coldcab.air.state import MoistAir
from coldcab.quantities import GRAVITY, MOST, Limit, Value, plain

DISCHARGE = 0.6
"""Share of the gap that the jet of air fills: sharp-edged openings [textbooks of fluid mechanics, from memory]."""
WATER_DENSITY = 1000.0  # kg/m3, cold water to a few thousandths
DRY_AIR_HEAT, VAPOR_HEAT, EVAPORATION_HEAT = 1006.0, 1860.0, 2.501e6  # ASHRAE (2017) chapter 1, equation 30

LONGEST = 120  # steps; some 15 are usual

ABOVE_ZERO = Limit("amount", 1e-9, MOST)
ZERO_OR_MORE = Limit("amount", 0.0, MOST)


def outside_share(mixed: float, inside: float, outside: float) -> float:
    """Share of outside air in the air before the coil, from three thermometers.

    Parameters
    ----------
    mixed, inside, outside : dry bulb before the coil, in the cab and outside, K; outside and inside differ.

    Returns
    -------
    0 to 1. Heat of moisture left out, which is under 1 % of the share in any cab.

    Raises
    ------
    AirError : inside and outside are equal, so no thermometer can tell the streams apart.

    Source
    ------
    ASHRAE (2017) chapter 1, "Adiabatic mixing of two moist airstreams", with one heat capacity for both.
    """
    if abs(outside - inside) < 1e-6:
        raise AirError("the air outside is as warm as the cab; measure on a day, or at an hour, when they differ.")
    return (mixed - inside) / (outside - inside)


def gap_pressure(flow: Value, area: Value, density: float = 1.2) -> Value:
    """Pressure that a flow of air holds in a cab whose gaps have this area, Pa above the air outside.

    Parameters
    ----------
    flow : m3/s that must leave through the gaps, zero or more.
    area : of all gaps together, m2, above zero.
    density : of the air, kg/m3, above zero.

    Returns
    -------
    Pa. Twice the flow holds four times the pressure; twice the gaps a quarter of it.

    Raises
    ------
    AirError : a number out of range.

    Source
    ------
    Bernoulli's equation for a sharp-edged opening, as in ASHRAE Fundamentals, chapter on infiltration (from memory).
    """
    moved = within("flow", flow, ZERO_OR_MORE)
    gaps = within("area", area, ABOVE_ZERO)
    mass = within("density", density, ABOVE_ZERO)
    return plain(0.5 * mass * (moved / (DISCHARGE * gaps)) ** 2)


def gap_area(flow: Value, pressure: Value, density: float = 1.2) -> Value:
    """Area of all gaps together in m2, from the flow (m3/s) and the pressure (Pa) that it holds; see `gap_pressure`.

    Raises
    ------
    AirError : a number out of range; the pressure must be above zero.
    """
    moved = within("flow", flow, ZERO_OR_MORE)
    held = within("pressure", pressure, ABOVE_ZERO)
    mass = within("density", density, ABOVE_ZERO)
    return plain(moved / (DISCHARGE * (2.0 * held / mass) ** 0.5))


def water_column(pressure: Value) -> Value:
    """Height of water in m that a pressure (Pa, zero or more) holds up: what a drain must overcome to run.

    Raises
    ------
    AirError : a pressure below zero; give the suction without its sign.

    Source
    ------
    Hydrostatics: pressure over density and gravity.
    """
    return plain(within("pressure", pressure, ZERO_OR_MORE) / (WATER_DENSITY * GRAVITY))


def resistance_of_blocked(blocked: Value) -> Value:
    """How many times the clean pressure loss a filter has, if this share (0 to below 1) of its area is closed.

    Source
    ------
    The same air through less area goes faster, and turbulent loss rises with the square of the speed (textbooks of
    fluid mechanics, from memory).
    """
    return plain((1.0 - within("blocked", blocked, Limit("share", 0.0, 0.99))) ** -2)


def duct_loss_share(vents: float, blower: float) -> float:
    """Share of the blower's air that never reaches the vents, from two flows in the same unit.

    Raises
    ------
    AirError : no flow at the blower, or more at the vents than the blower moves.
    """
    if not 0.0 <= vents <= blower or blower <= 0.0:
        raise AirError("the vents cannot blow more than the blower moves; measure both flows again.")
    return 1.0 - vents / blower


def exchanger_share(conductance: float, first: float, second: float) -> float:
    """Share of the greatest possible heat that a heat exchanger in counterflow moves.

    Parameters
    ----------
    conductance : W/K. first, second : heat capacity flows of the streams, W/K, zero or more.

    Returns
    -------
    0 to 1; 1 where a stream stands still.

    Source
    ------
    Effectiveness and number of transfer units, textbooks of heat transfer, from memory.
    """
    least, most = sorted((first, second))
    if least <= 0.0:
        return 1.0
    ratio, units = least / most, conductance / least
    if ratio > 0.999:
        return units / (1.0 + units)
    fading = math.exp(-units * (1.0 - ratio))
    return (1.0 - fading) / (1.0 - ratio * fading)


@dataclass(frozen=True)
class CabShell:
    """What warms the cab from outside: ``conductance`` W/K to the air outside, ``warm_conductance`` W/K to a wall of
    ``warm_wall`` K, ``gains`` W of sun and people, ``water`` kg/s of their breath."""

    conductance: float
    warm_conductance: float
    warm_wall: float
    gains: float
    water: float


@dataclass(frozen=True)
class AirBox:
    """Sizes of the box in the roof, clean and at full blower. All [invented].

    ``flow`` m3/s of the blower, ``shut_off`` Pa that it holds against a closed box, ``filter_loss``, ``coil_loss``
    and ``duct_loss`` Pa, ``vent_area`` m2 of all vents; ``bypass`` share of air that misses the fins; ``surface`` K of
    a coil without load and ``surface_rise`` K for each W; ``coolant_stream`` W/K of an open heater valve,
    ``heater_conductance`` W/K, ``coolant`` K; ``pressurizer`` m3/s of fresh air through a clean filter, and
    ``fresh_filter_part``, the share of that path's loss that its filter makes; ``relief`` Pa at which a flap in the
    cab's wall opens. The heat of the blower's motor is left out.
    """

    flow: float = 0.17
    shut_off: float = 600.0
    filter_loss: float = 60.0
    coil_loss: float = 80.0
    duct_loss: float = 100.0
    vent_area: float = 0.028
    bypass: float = 0.16
    surface: float = 273.65
    surface_rise: float = 1.2e-3
    coolant_stream: float = 200.0
    heater_conductance: float = 220.0
    coolant: float = 361.15
    pressurizer: float = 0.022
    fresh_filter_part: float = 0.5
    relief: float = 100.0


@dataclass(frozen=True)
class CabLevers:
    """What may be in order or not, each 0 to 1 but ``gaps`` (m2).

    ``blower`` and ``pressurizer`` speed; ``flap``, the share of the blower's air that slips in past it, and past the
    filter; ``cabin_filter`` and ``fresh_filter`` blocked; ``heater`` valve open; ``duct``, the share of the cold air
    that is lost to the open.
    """

    blower: float = 1.0
    pressurizer: float = 1.0
    flap: float = 0.0
    cabin_filter: float = 0.0
    fresh_filter: float = 0.0
    heater: float = 0.0
    duct: float = 0.0
    gaps: float = 38e-4

    def __post_init__(self) -> None:
        for name in ("blower", "pressurizer", "flap", "cabin_filter", "fresh_filter", "heater", "duct"):
            within(name, getattr(self, name), SHARE_RANGE)
        within("gaps", self.gaps, ABOVE_ZERO)


@dataclass(frozen=True)
class CabAir:
    """What thermometers, a pressure gauge and an air speed meter show in a steady cab; SI.

    ``cab``, ``before_coil``, ``behind_coil``, ``vent`` air; ``hose_in``, ``hose_out`` of the heater core, K;
    ``pressure`` of the cab, Pa over outside, below zero where it draws in dust; ``box_suction`` Pa under outside at
    the drain; ``blower_flow``, ``fresh_flow`` (filtered), ``unfiltered_flow`` through the gaps, m3/s; ``vent_speed``
    m/s; ``capacity``, ``heater_heat`` W; ``condensate`` kg/s.
    """

    cab: MoistAir
    before_coil: MoistAir
    behind_coil: MoistAir
    vent: float
    hose_in: float
    hose_out: float
    pressure: float
    box_suction: float
    blower_flow: float
    fresh_flow: float
    unfiltered_flow: float
    vent_speed: float
    capacity: float
    heater_heat: float
    condensate: float


def blower_flow(box: AirBox, levers: CabLevers) -> float:
    """m3/s of the blower behind its filter: where its pressure, falling with the square of the flow, meets the loss.

    Source
    ------
    Affinity of fans (flow with speed, pressure with its square), textbooks, from memory.
    """
    clean = box.filter_loss + box.coil_loss + box.duct_loss
    more = box.filter_loss * (resistance_of_blocked(min(levers.cabin_filter, 0.95)) - 1.0)
    return float(box.flow * levers.blower * (box.shut_off / (box.shut_off + more)) ** 0.5) if clean else 0.0


def fresh_flow(box: AirBox, levers: CabLevers) -> float:
    """m3/s of filtered fresh air that the pressurizer brings."""
    part = box.fresh_filter_part
    loss = 1.0 - part + part * resistance_of_blocked(min(levers.fresh_filter, 0.95))
    return float(box.pressurizer * levers.pressurizer / loss**0.5)


def cab_air(shell: CabShell, outside: MoistAir, levers: CabLevers, box: AirBox | None = None) -> CabAir:
    """The steady state of a shut cab: its air changes until as much heat and water leaves as comes in.

    Parameters
    ----------
    shell : what warms the cab. outside : air outside, scalars. levers : what is in order and what not.
    box : sizes of the blower's box; those of the invented machine if left out.

    Returns
    -------
    CabAir.

    Raises
    ------
    AirError : a lever out of range, or a cab so hot or damp that moist air is not covered.

    Source
    ------
    Balances of air, heat and water around the cab. The circuit is taken as in order: its coil gets warmer by
    ``surface_rise`` for each watt that it takes, a straight line [invented].
    """
    box = box or AirBox()
    moved = blower_flow(box, levers)
    fresh = min(fresh_flow(box, levers), moved)
    open_air = min(fresh + levers.flap * moved, moved)  # through pressurizer and flap
    density = float(outside.density)
    left_over = open_air - levers.duct * moved  # what must leave through the gaps; below zero it comes in there
    held = float(gap_pressure(abs(left_over), levers.gaps, density))
    pressure = min(held, box.relief) if left_over >= 0.0 else -held

    hot, damp = float(outside.dry_bulb), float(outside.humidity_ratio)
    dry, ratio, surface = hot, damp, box.surface
    for _step in range(LONGEST):
        here = _through(box, levers, outside, MoistAir(dry, ratio, outside.pressure), (moved, open_air, surface))
        to_cab, gaps = (1.0 - levers.duct) * here.mass, max(-left_over, 0.0) * density
        carried = (to_cab + gaps) * (DRY_AIR_HEAT + VAPOR_HEAT * ratio)
        flows = shell.conductance + shell.warm_conductance + carried
        warm = to_cab * here.vent + gaps * hot
        heat = shell.conductance * hot + shell.warm_conductance * shell.warm_wall + shell.gains
        next_dry = (heat + carried * warm / (to_cab + gaps)) / flows
        water = to_cab * float(here.behind.humidity_ratio) + gaps * damp + shell.water
        next_ratio, next_surface = water / (to_cab + gaps), box.surface + box.surface_rise * here.capacity
        moves = (abs(next_dry - dry), 1e3 * abs(next_ratio - ratio), abs(next_surface - surface))
        dry, surface = next_dry, surface + 0.8 * (next_surface - surface)
        most = float(moist.saturated_ratio(np.asarray(dry), np.asarray(outside.pressure))[0])
        ratio = min(ratio + 0.9 * (next_ratio - ratio), most)  # what is more runs down the glass
        if max(moves) < 1e-4:
            break
    return CabAir(
        cab=MoistAir(dry, ratio, outside.pressure),
        before_coil=here.before,
        behind_coil=here.behind,
        vent=here.vent,
        hose_in=here.hoses[0],
        hose_out=here.hoses[1],
        pressure=pressure,
        box_suction=_box_suction(box, levers, moved) - pressure,
        blower_flow=moved,
        fresh_flow=fresh,
        unfiltered_flow=max(-left_over, 0.0) + (open_air - fresh),
        vent_speed=(1.0 - levers.duct) * moved / box.vent_area,
        capacity=here.capacity,
        heater_heat=here.heater,
        condensate=here.condensate,
    )


@dataclass(frozen=True)
class _Way:
    """The air on one pass through the box; ``mass`` kg/s of dry air."""

    mass: float
    before: MoistAir
    behind: MoistAir
    vent: float
    hoses: tuple[float, float]
    heater: float
    capacity: float
    condensate: float


def _through(
    box: AirBox, levers: CabLevers, outside: MoistAir, cab: MoistAir, state: tuple[float, float, float]
) -> _Way:
    moved, open_air, surface = state
    before = mix(outside, open_air / outside.specific_volume, cab, (moved - open_air) / cab.specific_volume)
    mass = float(before.dry_air_flow)
    # Slower air stays longer at the fins: heat transfer with the power 0.6 of the speed, so transfer units with -0.4.
    bypass = box.bypass ** ((box.flow / moved) ** 0.4)
    cooled = coil(before.air, mass, surface_temperature=surface, bypass_factor=bypass)
    behind = cooled.leaving
    cold = float(behind.dry_bulb)
    stream = mass * (DRY_AIR_HEAT + VAPOR_HEAT * float(behind.humidity_ratio))
    coolant = levers.heater * box.coolant_stream
    share = exchanger_share(box.heater_conductance, stream, coolant) if coolant else 0.0
    heater = share * min(stream, coolant) * (box.coolant - cold)
    hoses = (box.coolant, box.coolant - heater / coolant) if coolant else (float(cab.dry_bulb), float(cab.dry_bulb))
    return _Way(
        mass=mass,
        before=before.air,
        behind=behind,
        vent=cold + heater / stream,
        hoses=hoses,
        heater=heater,
        capacity=float(cooled.total_heat),
        condensate=float(cooled.condensate_rate),
    )


def _box_suction(box: AirBox, levers: CabLevers, moved: float) -> float:
    """Pa that the box behind filter and coil lies under the cab: there the drain begins."""
    filter_loss = box.filter_loss * float(resistance_of_blocked(min(levers.cabin_filter, 0.95)))
    return (filter_loss + box.coil_loss) * (moved / box.flow) ** 2
