"""Rinsing a circuit: how far each rinse dilutes, how the solvent gets out again, and what must not be rinsed.

What a failed compressor leaves behind goes where the flow takes it: metal and scorched oil collect in the condenser's
inlet, in screens and in the drier. A rinse only reaches what it flows through; whatever it leaves behind, the next one
dilutes; and the last solvent must be out before oil and refrigerant go in.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np

from coldcab.quantities import GAS_CONSTANT, STANDARD_ATMOSPHERE, Limit, Value, plain
from coldcab.service.checks import ServiceError, checked, number, together

CAUTIONS = (
    "Read the solvent's safety data sheet first: gloves, goggles, moving air, no flame and no spark.",
    "Never blow solvent out with oxygen or shop air: solvent vapor and air can burn, and shop air brings water and "
    "oil. Use dry nitrogen through a regulator, at a low pressure, into a closed catch bottle.",
    "Solvent that stays thins the oil, swells seals and boils in the evaporator: weigh or measure what came out again.",
    "Caught solvent is hazardous waste; law and data sheet say where it goes.",
    "The manual of the machine and the law where you work come first.",
)
TARGET = 0.05
"""Share of the old oil that may stay, and a stricter 0.01: common practice, from memory, no source."""

STRICT_TARGET = 0.01

VOLUME = Limit("volume", 0.0, 0.1, "mL")
SOLVENT_VOLUME = Limit("volume", 0.0, 1.0, "L")
SHARE = Limit("share", 0.0, 1.0, "%")
RINSES = Limit("count", 0.0, 200.0, "rinses")
PATHS = Limit("count", 1.0, 200.0, "paths")
RESISTANCE = Limit("count", 1.0, 1e6, "times")
TEMPERATURE = Limit("temperature", 253.15, 353.15, "C")
BOILING = Limit("temperature", 270.0, 500.0, "C")
VAPOR_PRESSURE = Limit("pressure difference", 1.0, 1e5, "kPa")
MOLAR_MASS = Limit("molar mass", 0.015, 0.5, "g/mol")
MASS = Limit("mass", 0.0, 10.0, "g")
FLOW = Limit("volume flow", 1e-7, 0.1, "L/min")
AMBIENT_PRESSURE = Limit("pressure", 5e4, 2e6, "kPa absolute")
WARMING = Limit("conductance", 0.0, 1e4, "W/K")
MOST_RINSES = 200
NITROGEN_HEAT = 29.12  # J/(mol K), cp of nitrogen at room temperature (usual figure, from memory)


def residual(rinses: Value, *, carry_over: Value, solvent: Value, held: Value | None = None, mixing: Value = 1.0):
    """Share of what was inside that is still there after a number of rinses.

    Parameters
    ----------
    rinses : number of rinses, each with fresh solvent, 0 to 200; number or array.
    carry_over : m3 of liquid that stays inside after draining and blowing out, 0 to 1e-4 and more (100 mL).
    solvent : m3 in each rinse.
    held : m3 of old oil before the first rinse; as much as the carry-over if left out.
    mixing : share of the solvent that really mixes with what is inside, 0 to 1.

    Returns
    -------
    Share 0 to 1, in the common shape.

    Raises
    ------
    ServiceError.

    Each rinse leaves carry_over / (inside + mixing * solvent) of what was there: a mass balance, the same as for
    washing by decantation or repeated extraction (textbook). Well mixed at best: oil in a dead end does not follow.
    """
    count, stays, fresh, share = together(
        rinses=checked("rinses", rinses, RINSES),
        carry_over=checked("carry over", carry_over, VOLUME),
        solvent=checked("solvent", solvent, SOLVENT_VOLUME),
        mixing=checked("mixing", mixing, SHARE),
    )
    before = stays if held is None else np.asarray(checked("held", held, VOLUME), dtype=float)
    if np.any(count != np.floor(count)):
        raise ServiceError("rinses must be a whole number.")
    first, later = before + share * fresh, stays + share * fresh
    if np.any((first <= 0.0) | (later <= 0.0)):
        raise ServiceError("nothing is inside and nothing comes in; give a carry over or solvent above 0.")
    # What drains cannot be less than nothing: a part that holds less than the carry over keeps all of it.
    after_first = np.minimum(stays / first, 1.0)
    return plain(np.where(count > 0, after_first * (stays / later) ** np.maximum(count - 1.0, 0.0), 1.0))


def rinses_needed(
    target: float, *, carry_over: float, solvent: float, held: float | None = None, mixing: float = 1.0
) -> int:
    """The fewest rinses after which no more than the target share is left; arguments as for `residual`.

    Raises ServiceError where 200 rinses do not reach it.
    """
    target = number("target", target, Limit("share", 1e-9, 1.0, "%"))
    left = residual(
        np.arange(MOST_RINSES + 1.0),
        carry_over=number("carry over", carry_over, VOLUME),
        solvent=number("solvent", solvent, SOLVENT_VOLUME),
        held=held,
        mixing=number("mixing", mixing, SHARE),
    )
    reached = np.flatnonzero(left <= target * (1.0 + 1e-12))
    if not reached.size:
        raise ServiceError(
            f"{MOST_RINSES} rinses leave {100 * left[-1]:.3g} %, more than the {100 * target:.3g} % wanted; take more "
            "solvent for each, blow out better, or replace the part."
        )
    return int(reached[0])


def path_share(paths: Value, resistance: Value) -> Value:
    """Share of the flow that goes through one clogged path of a part that has several side by side.

    Parameters
    ----------
    paths : number of paths in parallel, 1 to 200. resistance : how many times that of a clean path the pressure drop
        of the clogged one is at the same flow, 1 or more.

    Returns
    -------
    Share of the whole flow, in the common shape: (1/sqrt(k)) / (n - 1 + 1/sqrt(k)), turbulent flow with the same
    pressure drop across all paths (textbook). With one path everything goes through the dirt: that is why a serpentine
    can be rinsed and a parallel-flow condenser cannot.

    Raises
    ------
    ServiceError.
    """
    number_of, times = together(
        paths=checked("paths", paths, PATHS), resistance=checked("resistance", resistance, RESISTANCE)
    )
    clogged = 1.0 / np.sqrt(times)
    return plain(clogged / (number_of - 1.0 + clogged))


@dataclass(frozen=True)
class Solvent:
    """A rinsing liquid as its safety data sheet describes it.

    ``boiling_temperature`` K at 101,325 Pa; ``vapor_pressure`` Pa at ``at_temperature`` K; ``density`` kg/m3.
    """

    name: str
    molar_mass: float  # kg/mol
    boiling_temperature: float
    vapor_pressure: float
    at_temperature: float
    density: float
    flammable: bool
    source: str

    def __post_init__(self) -> None:
        number("molar mass", self.molar_mass, MOLAR_MASS)
        number("boiling temperature", self.boiling_temperature, BOILING)
        number("vapor pressure", self.vapor_pressure, VAPOR_PRESSURE)
        number("at temperature", self.at_temperature, TEMPERATURE)
        number("density", self.density, Limit("density", 300.0, 3000.0))
        if self.boiling_temperature <= self.at_temperature:
            raise ServiceError("a solvent's boiling temperature must be above that of its vapor pressure.")

    @property
    def heat_of_evaporation(self) -> float:
        """J/kg, from the slope between the two points (Clausius and Clapeyron, textbook); 5 to 10 % at most off."""
        steep = math.log(STANDARD_ATMOSPHERE / self.vapor_pressure) / (
            1.0 / self.at_temperature - 1.0 / self.boiling_temperature
        )
        return steep * GAS_CONSTANT / self.molar_mass

    def pressure(self, temperature: Value) -> Value:
        """Pa of its vapor at a temperature (K, -20 to 80 C), on the line through the two points."""
        kelvin = np.asarray(checked("temperature", temperature, TEMPERATURE), dtype=float)
        steep = self.heat_of_evaporation * self.molar_mass / GAS_CONSTANT
        return plain(STANDARD_ATMOSPHERE * np.exp(steep * (1.0 / self.boiling_temperature - 1.0 / kelvin)))


HEPTANE = Solvent("n-heptane", 0.10020, 371.57, 4.73e3, 293.15, 684.0, True, "usual handbook figures, from memory")
WATER = Solvent("water", 0.018015, 373.12, 2339.0, 293.15, 998.0, False, "IAPWS-IF97 saturation line, two points")
EXAMPLE_SOLVENT = Solvent("rinsing liquid of the examples", 0.130, 355.0, 8.0e3, 293.15, 1250.0, False, "invented")


@dataclass(frozen=True)
class Evaporation:
    """Solvent leaving with a flow of dry gas."""

    solvent_temperature: Value  # K, colder than the part because evaporating takes heat
    rate: Value  # kg/s at best, the gas leaving saturated
    time: Value  # s for all of it at that rate
    gas: Value  # kg of nitrogen that passes in that time


def blow_dry(
    solvent: Solvent,
    mass: Value,
    *,
    gas_flow: Value,
    temperature: Value = 293.15,
    pressure: Value = STANDARD_ATMOSPHERE,
    approach: Value = 1.0,
    warming: Value = 0.5,
) -> Evaporation:
    """The least time in which dry nitrogen carries the rest of a solvent away.

    Parameters
    ----------
    solvent : `Solvent`. mass : kg left inside, 0 to 10.
    gas_flow : m3/s of dry gas, measured at 15 C and 101,325 Pa. temperature : K of part and gas, -20 to 80 C.
    pressure : Pa absolute inside. approach : how near to saturation the gas leaves, 0 to 1.
    warming : W/K from part and room to the solvent; invented.

    Returns
    -------
    `Evaporation`; times in the common shape. A lower limit: the last film lies in dead ends and under oil.

    Raises
    ------
    ServiceError.

    n = gas moles a second; vapor n a p_s / (p - p_s) with p_s of the solvent's own temperature; that from
    (n c_p + UA)(T - T_s) = rate * L (textbook, as for a wet bulb).
    """
    if not isinstance(solvent, Solvent):
        raise ServiceError("solvent must be a Solvent, such as rinse.EXAMPLE_SOLVENT.")
    left, flow, kelvin, inside, near, supply = together(
        mass=checked("mass", mass, MASS),
        gas_flow=checked("gas flow", gas_flow, FLOW),
        temperature=checked("temperature", temperature, TEMPERATURE),
        pressure=checked("pressure", pressure, AMBIENT_PRESSURE),
        approach=checked("approach", approach, Limit("share", 0.01, 1.0, "%")),
        warming=checked("warming", warming, WARMING),
    )
    moles = flow * STANDARD_ATMOSPHERE / (GAS_CONSTANT * 288.15)
    latent = solvent.heat_of_evaporation
    steep = latent * solvent.molar_mass / GAS_CONSTANT

    def rate(at: np.ndarray) -> np.ndarray:
        vapor = near * STANDARD_ATMOSPHERE * np.exp(steep * (1.0 / solvent.boiling_temperature - 1.0 / at))
        share = vapor / np.maximum(inside - vapor, 1.0)
        return moles * share * solvent.molar_mass

    low, high = np.full(kelvin.shape, 150.0), kelvin.copy()
    if np.any(solvent.pressure(kelvin) >= inside):
        raise ServiceError(f"{solvent.name} boils at this temperature and pressure; no gas is needed to carry it.")
    for _ in range(60):  # the need for heat rises and its supply falls with the solvent's temperature
        middle = 0.5 * (low + high)
        cold = rate(middle) * latent < (moles * NITROGEN_HEAT + supply) * (kelvin - middle)
        low, high = np.where(cold, middle, low), np.where(cold, high, middle)
    at = 0.5 * (low + high)
    carried = rate(at)
    time = left / carried
    return Evaporation(plain(at), plain(carried), plain(time), plain(time * moles * 0.0280134))


YES, NO, REPLACE, WITH_CARE = "may be rinsed", "must not be rinsed", "replace it", "with care"


@dataclass(frozen=True)
class PartRule:
    """Whether a part may be rinsed, and why."""

    part: str
    answer: str  # one of YES, NO, REPLACE, WITH_CARE
    reason: str
    source: str = "common practice, no source"


def _rule(part: str, answer: str, reason: str) -> PartRule:
    return PartRule(part, answer, reason)


PARTS: Mapping[str, PartRule] = MappingProxyType(
    {
        rule.part: rule
        for rule in (
            _rule("serpentine condenser", YES, "It has one path, so all of the solvent goes past the dirt."),
            _rule(
                "parallel-flow condenser",
                REPLACE,
                "Its many paths lie side by side; solvent takes the open ones and leaves the clogged ones as they are.",
            ),
            _rule("tube and fin evaporator", WITH_CARE, "It has few paths; rinse against the flow and drain it well."),
            _rule(
                "plate evaporator",
                WITH_CARE,
                "Its plates lie side by side and hold liquid at the bottom; after metal chips it is replaced.",
            ),
            _rule("metal line", YES, "It is one open path that can be seen through."),
            _rule(
                "hose",
                WITH_CARE,
                "It may be rinsed if it is sound, with a liquid that its rubber bears; one with a muffler or a filter "
                "is replaced.",
            ),
            _rule("receiver-drier", REPLACE, "Its desiccant and its filter keep solvent and dirt and give them back."),
            _rule("accumulator", REPLACE, "Its desiccant, its oil hole and its bottom keep solvent and dirt."),
            _rule(
                "expansion valve",
                NO,
                "Its narrow seat and its screen catch dirt; take it out, look, and replace it where in doubt.",
            ),
            _rule("orifice tube", REPLACE, "Its screen has caught the dirt."),
            _rule(
                "compressor",
                NO,
                "Solvent washes the oil off its bearings, stays in its crankcase and thins the new oil. Drain it "
                "instead and measure what comes out.",
            ),
            _rule("muffler", REPLACE, "Its chamber holds dirt and liquid that no flow reaches."),
            _rule("in-line filter", REPLACE, "It is there to hold the dirt."),
            _rule("service valve core", REPLACE, "Its seal swells in solvent; take it out before the rinse."),
        )
    }
)
"""What may be rinsed and what not."""


def part_rule(part: Any) -> PartRule:
    """The rule for a part; `ServiceError` with the list of parts for an unknown one."""
    found = PARTS.get(part.strip().lower()) if isinstance(part, str) else None
    if found is None:
        raise ServiceError(f"{str(part)[:40]!r} is not a part of the list; it has {', '.join(PARTS)}.")
    return found
