"""Leaks in numbers: what a hole lets out, and the smallest leak that each way of searching can find.

A leak is a flow of gas. Shops count it in grams a year, leak tests in Pa m3/s (pressure times volume a second, at the
temperature of the gas); the gas's molar mass stands between them. Long narrow ways leak by viscous laminar flow, short
holes like an orifice, which chokes at half the pressure or so. Every function takes and gives SI.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldcab.quantities import GAS_CONSTANT, STANDARD_ATMOSPHERE, Array, Limit, Value, plain
from coldcab.service.checks import ServiceError, checked, together
from coldcab.words import _

YEAR = 365.0 * 86400.0  # s; leak rates a year are counted in years of 365 days here

PRESSURE = Limit("pressure", 1.0e4, 50e5, "kPa absolute")
TEMPERATURE = Limit("temperature", 233.15, 353.15, "C")
DIAMETER = Limit("diameter", 1e-8, 2e-3, "mm")
LENGTH = Limit("length", 1e-5, 0.1, "mm")
LEAK = Limit("mass flow", 0.0, 1e-2)
THROUGHPUT = Limit("leak rate in Pa m3/s", 0.0, 1e4)
DISTANCE = Limit("distance", 0.0, 1.0, "mm")
DRAUGHT = Limit("draft in m/s", 0.0, 30.0)
SUCTION = Limit("suction of a probe in m3/s", 1e-8, 1e-4)
SHARE = Limit("share", 0.0, 1.0)
CHARGE = Limit("mass", 0.0, 100.0, "kg")
TIME = Limit("time", 0.0, 1e9, "days")


@dataclass(frozen=True)
class Gas:
    """A gas as a leak sees it: thin vapor near room temperature."""

    name: str
    molar_mass: float  # kg/mol
    viscosity: float  # Pa s at 20 C and low pressure
    heat_ratio: float  # cp / cv at 20 C and low pressure


GASES = {
    gas.name: gas
    for gas in (
        Gas("R-12", 0.12091, 11.7e-6, 1.14),
        Gas("R-134a", 0.10203, 11.5e-6, 1.12),
        Gas("R-1234yf", 0.11404, 11.9e-6, 1.10),
        Gas("nitrogen", 0.0280134, 17.6e-6, 1.40),
        Gas("nitrogen with 5 % hydrogen", 0.02671, 17.5e-6, 1.40),
    )
}
"""From memory; tests hold those that CoolProp knows beside it. 5 % hydrogen in nitrogen does not burn (ISO 10156, from
memory); its viscosity is nitrogen's within 1 %."""

SOAP_LIMIT = 1e-5
"""Pa m3/s, the smallest leak that shows as soap bubbles to a patient eye: about one bubble of 1 mm3 in 10 seconds, as a
leak-rate table of a non-destructive testing supplier's page prints it (read). A hurried search sees ten times more."""

CLASSES = (4.0, 7.0, 14.0)
"""g/yr: the settings that SAE J2791-2019 asks of a refrigerant detector (public abstract, read); SAE J2970 gives the
same three for tracer gas."""

STILL_AIR = 0.03
"""m/s: air that is called still in a shop moves about so much (common practice, no source)."""
PROBE_SUCTION = 3.3e-6
"""m3/s that a detector's tip draws, 200 mL/min (invented, of the usual size)."""


def gas(name: str) -> Gas:
    """Return a gas by its name, one of `GASES`.

    Raises
    ------
    ServiceError
        If there is none.
    """
    if name not in GASES:
        raise ServiceError(
            _("Leaks know no gas {name!r}; take one of {names}.").format(name=str(name)[:30], names=", ".join(GASES))
        )
    return GASES[name]


def laminar_flow(
    gas_name: str, diameter: Value, length: Value, *, inside: Value, outside: Value = STANDARD_ATMOSPHERE
) -> Value:
    """Pa m3/s through a long narrow round way: pi d^4 (p1^2 - p2^2) / (256 mu l).

    Parameters
    ----------
    gas_name : one of `GASES`. diameter : m, 1e-8 to 0.002. length : m, 1e-5 to 0.1.
    inside, outside : Pa absolute, 10,000 to 5,000,000; nothing flows where outside is the greater.

    Raises
    ------
    ServiceError.

    Source: Poiseuille's law for a gas that expands on its way, isothermal (textbook of vacuum technique).
    """
    one = gas(gas_name)
    d, l_, p1, p2 = together(
        diameter=checked("diameter", diameter, DIAMETER),
        length=checked("length", length, LENGTH),
        inside=checked("inside", inside, PRESSURE),
        outside=checked("outside", outside, PRESSURE),
    )
    return plain(np.pi * d**4 * np.maximum(p1**2 - p2**2, 0.0) / (256.0 * one.viscosity * l_))


def orifice_flow(
    gas_name: str, diameter: Value, *, inside: Value, outside: Value = STANDARD_ATMOSPHERE, temperature: Value = 293.15
) -> Value:
    """Pa m3/s through a short round hole, choked where the pressure outside is below the critical one.

    Parameters
    ----------
    As for `laminar_flow`; temperature : K of the gas inside, -40 to 80 C.

    Raises
    ------
    ServiceError.

    Source: isentropic nozzle of an ideal gas (textbook), discharge coefficient 1: no hole lets out more.
    """
    one = gas(gas_name)
    d, p1, p2, kelvin = together(
        diameter=checked("diameter", diameter, DIAMETER),
        inside=checked("inside", inside, PRESSURE),
        outside=checked("outside", outside, PRESSURE),
        temperature=checked("temperature", temperature, TEMPERATURE),
    )
    k = one.heat_ratio
    ratio = np.clip(p2 / p1, critical_ratio(gas_name), 1.0)
    shape = np.sqrt(2.0 * k / (k - 1.0) * (ratio ** (2.0 / k) - ratio ** ((k + 1.0) / k)))
    # Mass flow p1 A shape / sqrt(R T / M), times R T / M.
    return plain(p1 * 0.25 * np.pi * d**2 * shape * np.sqrt(GAS_CONSTANT * kelvin / one.molar_mass))


def critical_ratio(gas_name: str) -> float:
    """Outside over inside pressure below which a hole is choked; 0.53 for nitrogen (textbook)."""
    k = gas(gas_name).heat_ratio
    return float((2.0 / (k + 1.0)) ** (k / (k - 1.0)))


def leak_flow(
    gas_name: str,
    diameter: Value,
    length: Value,
    *,
    inside: Value,
    outside: Value = STANDARD_ATMOSPHERE,
    temperature: Value = 293.15,
) -> Value:
    """Pa m3/s through a hole of a wall: the lesser of `laminar_flow` and `orifice_flow`; arguments as there."""
    viscous = laminar_flow(gas_name, diameter, length, inside=inside, outside=outside)
    choked = orifice_flow(gas_name, diameter, inside=inside, outside=outside, temperature=temperature)
    return plain(np.minimum(viscous, choked))


def mass_flow(throughput: Value, gas_name: str, temperature: Value = 293.15) -> Value:
    """kg/s of a throughput in Pa m3/s: q M / (R T).

    ``temperature`` : K, -40 to 80 C. Raises ServiceError. Ideal gas (textbook).
    """
    flow, kelvin = together(
        throughput=checked("throughput", throughput, THROUGHPUT),
        temperature=checked("temperature", temperature, TEMPERATURE),
    )
    return plain(flow * gas(gas_name).molar_mass / (GAS_CONSTANT * kelvin))


def throughput(flow: Value, gas_name: str, temperature: Value = 293.15) -> Value:
    """Pa m3/s of a mass flow in kg/s, 0 to 0.01; the other way round of `mass_flow`."""
    kilograms, kelvin = together(
        flow=checked("flow", flow, LEAK), temperature=checked("temperature", temperature, TEMPERATURE)
    )
    return plain(kilograms * GAS_CONSTANT * kelvin / gas(gas_name).molar_mass)


def grams_a_year(flow: Value) -> Value:
    """g/yr of a mass flow in kg/s, with years of 365 days."""
    return plain(np.asarray(flow) * 1e3 * YEAR)


def from_grams_a_year(grams: Value) -> Value:
    """kg/s of g/yr, with years of 365 days."""
    return plain(np.asarray(grams) / (1e3 * YEAR))


def same_hole(flow: Value, gas_name: str, inside: Value, other: str, other_inside: Value) -> Value:
    """Pa m3/s through the same narrow way with another gas at another pressure inside; the air is outside both times.

    Parameters
    ----------
    flow : Pa m3/s with the first gas. gas_name, other : of `GASES`. inside, other_inside : Pa absolute above the air.

    Raises
    ------
    ServiceError.

    Laminar: in proportion to (p1^2 - p2^2) / mu (textbook; EN 1779 converts alike, from memory).
    """
    first, second, q = together(
        inside=checked("inside", inside, PRESSURE),
        other_inside=checked("other inside", other_inside, PRESSURE),
        flow=checked("flow", flow, THROUGHPUT),
    )
    drive = np.maximum(second**2 - STANDARD_ATMOSPHERE**2, 0.0) / np.maximum(first**2 - STANDARD_ATMOSPHERE**2, 1.0)
    return plain(q * drive * gas(gas_name).viscosity / gas(other).viscosity)


def bubble_time(flow: Value, gas_name: str, diameter: Value, temperature: Value = 293.15) -> Array | float:
    """s until a leak (kg/s, above 0) has blown one bubble of a diameter (m) at the pressure of the air.

    Raises ServiceError. The film's own pressure, some pascals, is nothing beside the air's.
    """
    volume = np.pi / 6.0 * np.asarray(checked("diameter", diameter, Limit("diameter", 1e-5, 0.1, "mm"))) ** 3
    q = np.asarray(throughput(flow, gas_name, temperature))
    if np.any(q <= 0.0):
        raise ServiceError(_("Without a leak no bubble grows; give a leak above 0."))
    return plain(volume * STANDARD_ATMOSPHERE / q)


def caught_share(distance: Value, draught: Value, suction: Value = PROBE_SUCTION) -> Value:
    """Share of a leak's gas that a detector's tip draws in.

    Parameters
    ----------
    distance : m from tip to leak, 0 to 1. draught : m/s of the air, 0 to 30; `STILL_AIR` is added, as no air stands
        still. suction : m3/s drawn by the tip, 1e-8 to 1e-4.

    Returns
    -------
    1 where the air flows into the tip faster than it is blown past, else less with the square of the distance.

    Raises
    ------
    ServiceError.

    Source: a point that draws air in from all sides, speed = suction / (4 pi r^2), textbook of fluid mechanics; that
    what passes beyond its reach is lost in proportion is the course's own assumption.
    """
    r, wind, drawn = together(
        distance=checked("distance", distance, DISTANCE),
        draught=checked("draft of air", draught, DRAUGHT),
        suction=checked("suction", suction, SUCTION),
    )
    reach_squared = drawn / (4.0 * np.pi * (wind + STILL_AIR))
    return plain(np.minimum(1.0, reach_squared / np.maximum(r, 1e-6) ** 2))


def background_flow(ppm: Value, gas_name: str, suction: Value = PROBE_SUCTION, temperature: Value = 293.15) -> Value:
    """kg/s of a gas that a tip draws in from air that holds ``ppm`` of it by volume: the leak it pretends.

    ``ppm`` 0 to 1,000,000; ``suction`` m3/s; ``temperature`` K. Raises ServiceError. Ideal gas at the air's pressure.
    """
    parts, drawn = together(
        ppm=checked("ppm", ppm, Limit("share of the air in ppm", 0.0, 1e6)),
        suction=checked("suction", suction, SUCTION),
    )
    return mass_flow(plain(parts * 1e-6 * drawn * STANDARD_ATMOSPHERE), gas_name, temperature)


OIL_IN_LEAK = 0.03
"""Oil, by weight, in what leaves a leak with the refrigerant (the usual circulating few per cent; common practice)."""
VISIBLE_DYE = 5e-5
"""kg of dyed oil that glows plainly under the lamp: about a drop (common practice, no source)."""


def dye_wait(flow: Value, *, oil_share: Value = OIL_IN_LEAK, visible: float = VISIBLE_DYE) -> Value:
    """s of running until enough dyed oil has left a leak (kg/s, above 0) to be seen.

    Parameters
    ----------
    flow : kg/s of refrigerant. oil_share : oil in what leaves, above 0 to 1. visible : kg of oil that is seen.

    Raises
    ------
    ServiceError.
    """
    leak, share = together(flow=checked("flow", flow, LEAK), oil_share=checked("oil share", oil_share, SHARE))
    if np.any(leak * share <= 0.0):
        raise ServiceError(_("Without a leak, or without oil in it, no dye ever shows; give both above 0."))
    return plain(visible / (share * leak))


def charge_left(charge: Value, flow: Value, time: Value) -> Value:
    """kg left of a charge (kg) after a steady leak (kg/s) has run for a time (s); never below 0.

    While liquid is left the pressure at rest, and so the leak, hardly changes; at the very end it slows. Raises
    ServiceError.
    """
    inside, leak, seconds = together(
        charge=checked("charge", charge, CHARGE), flow=checked("flow", flow, LEAK), time=checked("time", time, TIME)
    )
    return plain(np.maximum(inside - leak * seconds, 0.0))


def leak_from_top_up(charged: Value, found: Value, time: Value) -> Value:
    """kg/s that left, on average, between two weighings (kg) a time (s, above 0) apart. Raises ServiceError."""
    first, last, seconds = together(
        charged=checked("charged", charged, CHARGE),
        found=checked("found", found, CHARGE),
        time=checked("time", time, Limit("time", 1.0, 1e9, "days")),
    )
    return plain((first - last) / seconds)
