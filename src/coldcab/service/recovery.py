"""Recovery: how much a cylinder may hold, what came out, how deep to go, and whether air is in a container.

SI units, absolute pressures; a gauge reading is a difference from the air pressure. What the law says comes from
`coldcab.service.law`, with its source and mark.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from coldcab import published, refrigerants
from coldcab.quantities import AIR_GAS_CONSTANT, FAHRENHEIT_ZERO, PSI, STANDARD_ATMOSPHERE, Limit, Value, plain
from coldcab.refrigerants.exact import exact
from coldcab.refrigerants.saturation import table_or_none
from coldcab.service import law
from coldcab.service.checks import ServiceError, checked, number, together
from coldcab.words import _

HAIR = 1e-3  # Pa of rounding on the way from psi: a reading that is the printed limit is not below it
WATER_60F, WATER_77F = 999.02, 997.05
"""kg/m3, water at 60 F (stamps on cylinders count with it) and at 77 F; IAPWS-95, checked in the tests."""

WATER_CAPACITY = Limit("mass", 0.2, 1000.0)
CYLINDER_WEIGHT = Limit("mass", 0.0, 1000.0)
MASS = Limit("mass", 0.0, 1000.0)
RESOLUTION = Limit("mass", 1e-6, 10.0)
AIR = Limit("mass", 0.0, 10.0)
ATMOSPHERE = Limit("pressure", 50_000.0, 120_000.0, "Pa")
GAUGE = Limit("gauge pressure", -STANDARD_ATMOSPHERE, 4.0e6, _("Pa above the air"))
PRESSURE = Limit("pressure", 10.0, 4.0e6)
VOLUME = Limit("volume", 1e-5, 1.0)

# 49 CFR 173.304a(a)(2), table, 2015 annual edition, read: filling density, per cent of the water capacity at 60 F.
FILLING_DENSITY = {"R-12": 1.19, "R-22": 1.05}
TRANSPORT_TEMPERATURE = 328.15  # K, 131 F: 49 CFR 173.304(b) and 173.304a: not liquid full at this temperature
TRANSPORT = _("49 CFR {section}, 2015 annual edition, read")
GUIDELINE = _("AHRI Guideline K, read as quoted in a trade journal")

# Published limits for air in a container: file, column, citation.
TABLES = {
    "R-12": (
        "ncg_r12",
        "limit_psig",
        _("40 CFR 82 Subpart B App. A, service procedure 5.4, Table 1, 2015 annual edition, read"),
    ),
    "R-134a": (
        "ncg_r134a",
        "limit_psig_memory",
        _("SAE J2211 as formerly in 40 CFR 82 Subpart B App. C, from memory: look it up before you rely on it"),
    ),
}


@dataclass(frozen=True)
class FillLimit:
    """One rule and the net mass it allows, kg."""

    mass: float
    rule: str
    citation: str


@dataclass(frozen=True)
class AllowedFill:
    """What a cylinder may hold: every rule, and the strictest of them."""

    limits: tuple[FillLimit, ...]
    tare: float  # kg

    @property
    def strictest(self) -> FillLimit:
        """The rule that allows least."""
        return min(self.limits, key=lambda limit: limit.mass)

    @property
    def mass(self) -> float:
        """Net kg of refrigerant allowed."""
        return self.strictest.mass

    @property
    def gross(self) -> float:
        """kg on the scale, cylinder included, at which to stop."""
        return self.mass + self.tare


@dataclass(frozen=True)
class FillState:
    """A cylinder at one temperature; numbers or arrays."""

    liquid_share: Value  # of the volume; 1 when it is liquid-full
    pressure: Value  # Pa absolute; NaN when liquid-full, for it then leaps with every kelvin
    full: bool | np.ndarray
    full_temperature: Value  # K at which the liquid fills it; infinite where that is hotter than the table goes


@dataclass(frozen=True)
class Weighed:
    """A mass from two readings of one scale, kg; ``uncertainty`` is the expanded one (k = 2, about 95 %)."""

    mass: float
    uncertainty: float


@dataclass(frozen=True)
class AirCheck:
    """Whether a container that holds liquid has too much air in it."""

    limit: float  # Pa above the air: the gauge must show less
    passes: bool
    saturation: float  # Pa absolute of the refrigerant alone
    excess: float  # Pa by which the gauge stands above that
    air_mass: float  # kg by Dalton's law; NaN where the contents are not given
    air_share: float  # kg of air per kg of refrigerant; NaN likewise
    verdict: str
    citation: str


def allowed_fill(
    refrigerant: str, *, water_capacity: float, tare: float = 0.0, gross_rating: float | None = None
) -> AllowedFill:
    """Net mass that a recovery cylinder may hold, by each rule; the strictest counts.

    Parameters
    ----------
    refrigerant : designation with a saturation line, such as "R-134a".
    water_capacity, tare : kg as stamped (WC and TW).
    gross_rating : kg, the gross weight that the container is rated for; without it that rule is left out.

    Returns
    -------
    `AllowedFill` with the rules that differ side by side.

    Raises
    ------
    ServiceError : a weight out of range, or a rating not above the tare. UnknownRefrigerant.

    Source
    ------
    40 CFR 82 Subpart B App. A (J1990 7.4 and service procedure 7.2), AHRI Guideline K, 49 CFR 173.304a. The law's
    "60 % of container gross weight rating" is read here as net refrigerant over rating.
    """
    capacity = number("water_capacity", water_capacity, WATER_CAPACITY)
    tare = number("tare", tare, CYLINDER_WEIGHT)
    volume = capacity / WATER_60F
    eighty, sixty = (law.fact(name) for name in ("V13", "V12"))
    share = eighty.number / 100.0
    cool, warm, hot = (
        float(refrigerants.saturation(refrigerant, temperature=kelvin).liquid_density)
        for kelvin in (294.26, 298.15, TRANSPORT_TEMPERATURE)
    )
    limits = [
        FillLimit(
            share * volume * cool,
            _("liquid fills {number:g} % of the volume at 70 F (21.1 C)").format(number=eighty.number),
            eighty.citation,
        ),
        FillLimit(
            share * capacity * warm / WATER_77F, _("0.80 x water capacity x specific gravity at 77 F (25 C)"), GUIDELINE
        ),
    ]
    if gross_rating is not None:
        rating = number("gross_rating", gross_rating, CYLINDER_WEIGHT)
        if rating <= tare:
            raise ServiceError(
                _(
                    "gross rating {rating:.4g} kg is not above the tare of {tare:.4g} kg; read both stamps again."
                ).format(rating=rating, tare=tare)
            )
        rule = _("{number:g} % of the container's gross weight rating").format(number=sixty.number)
        limits.append(FillLimit(sixty.number / 100.0 * rating, rule, sixty.citation))
    designation = refrigerants.resolve(refrigerant)
    if designation in FILLING_DENSITY:
        density = FILLING_DENSITY[designation]
        rule = _("filling density for transport, {density:.0f} % of the water capacity").format(density=100 * density)
        limits.append(FillLimit(density * capacity, rule, TRANSPORT.format(section="173.304a(a)(2)")))
    rule = _("not liquid full at 131 F (55 C), for transport")
    limits.append(FillLimit(volume * hot, rule, TRANSPORT.format(section="173.304(b) and 173.304a")))
    return AllowedFill(tuple(limits), tare)


def liquid_full_temperature(refrigerant: str, *, mass: Value, water_capacity: Value) -> Value:
    """Temperature (K) at which the liquid fills a cylinder; infinite where it does not up to `hottest_liquid`.

    ``mass`` and ``water_capacity`` in kg, numbers or arrays. Raises ServiceError, also where even the coldest liquid
    of the refrigerant's table would not fit.
    """
    mass, capacity = _contents(mass, water_capacity)
    density = mass * WATER_60F / capacity
    coldest, hottest = _liquid_ends(refrigerant)
    ends = [_liquid_density(refrigerant, np.array([kelvin]))[0] for kelvin in (coldest, hottest)]
    if (density > ends[0]).any():
        place = np.unravel_index(int(np.argmax(density)), density.shape)
        raise ServiceError(
            _(
                "{mass:.4g} kg of {refrigerant} cannot be in a cylinder of {capacity:.4g} kg water "
                "capacity; weigh it again, tare taken off."
            ).format(mass=mass[place], refrigerant=refrigerant, capacity=capacity[place])
        )
    low, high = np.full(density.shape, coldest), np.full(density.shape, hottest)
    for __ in range(50):  # halving 200 K fifty times leaves no doubt
        middle = 0.5 * (low + high)
        fits = _liquid_density(refrigerant, middle) > density
        low, high = np.where(fits, middle, low), np.where(fits, high, middle)
    return plain(np.where(density < ends[1], math.inf, 0.5 * (low + high)))


def fill_state(
    refrigerant: str, *, mass: Value, water_capacity: Value, temperature: Value, air_mass: Value = 0.0
) -> FillState:
    """Liquid level and pressure of a cylinder at a temperature; numbers or arrays that broadcast.

    ``mass``, ``air_mass`` and ``water_capacity`` in kg, ``temperature`` in K within the refrigerant's saturation table.
    The steel's own expansion (about 0.1 % of the volume over 30 K) is left out; liquid-full comes a little early.
    Raises ServiceError and refrigerants.RangeError.
    """
    mass, capacity = _contents(mass, water_capacity)
    air_mass = checked("air_mass", air_mass, AIR)
    temperature = checked(
        "temperature", temperature, Limit("temperature", *_liquid_ends(refrigerant)), f" of {refrigerant}"
    )
    mass, capacity, temperature, air_mass = together(
        mass=mass, water_capacity=capacity, temperature=temperature, air_mass=air_mass
    )
    volume = capacity / WATER_60F
    full = mass >= volume * _liquid_density(refrigerant, temperature)
    share, pressure = np.ones(full.shape), np.full(full.shape, math.nan)
    if not full.all():
        part = ~full
        inside = refrigerants.closed_container(
            refrigerant, temperature[part], mass=mass[part], volume=volume[part], air_mass=air_mass[part]
        )
        share[part], pressure[part] = inside.liquid_level, inside.pressure
    return FillState(
        plain(share),
        plain(pressure),
        bool(full) if full.ndim == 0 else full,
        liquid_full_temperature(refrigerant, mass=mass, water_capacity=capacity),
    )


def mass_recovered(before: float, after: float, *, resolution: float, error: float = 0.0) -> Weighed:
    """Mass from the scale before and after, with its uncertainty.

    Parameters
    ----------
    before, after : kg shown by the same scale.
    resolution : kg, the last digit's step.
    error : kg, the scale's stated largest error at one reading; 0 leaves it out.

    Raises ServiceError, also when the scale shows less after than before.

    Source: JCGM 100:2008 (GUM) 4.3.7, 5.1.2: rectangular distributions, the two readings taken as independent.
    """
    before, after = (number(name, value, MASS) for name, value in (("before", before), ("after", after)))
    step = number("resolution", resolution, RESOLUTION)
    error = number("error", error, Limit("mass", 0.0, 10.0))
    if after < before:
        raise ServiceError(
            _(
                "the scale shows {after:.6g} kg after and {before:.6g} kg before; recovery adds to the "
                "cylinder, so read the two the right way round."
            ).format(after=after, before=before)
        )
    standard = math.sqrt(2.0 * (step**2 / 12.0 + error**2 / 3.0))
    return Weighed(after - before, 2.0 * standard)


def gas_left(refrigerant: str, *, volume: Value, temperature: Value, pressure: Value) -> Value:
    """kg of refrigerant gas in ``volume`` (m3) at ``temperature`` (K) and absolute ``pressure`` (Pa).

    For a circuit that holds no liquid: one that lost its charge, or one after recovery. Numbers or arrays. Raises
    ServiceError; refrigerants.RangeError where the pressure is above saturation.
    """
    volume, pressure = checked("volume", volume, VOLUME), checked("pressure", pressure, PRESSURE)
    boiling = refrigerants.saturation_pressure(refrigerant, temperature)
    if np.any(np.asarray(pressure) > boiling):
        raise ServiceError(
            _(
                "at this temperature gas of {refrigerant} has at most its saturation pressure of "
                "{boiling:.1f} kPa absolute; above that liquid or air is inside."
            ).format(refrigerant=refrigerant, boiling=float(np.min(boiling)) / 1000.0)
        )
    return plain(
        np.asarray(volume) * refrigerants.state(refrigerant, pressure=pressure, temperature=temperature).density
    )


def table_limit(refrigerant: str, temperature: float) -> float:
    """Gauge pressure (Pa above the air) that a container must stay below, from the published table.

    Between two printed rows the straight line is taken and rounded down to a whole psi, never up. ``temperature`` in K.
    Raises ServiceError outside the table (it starts at 65 F) or for a refrigerant without one.
    """
    name = refrigerants.resolve(refrigerant)
    if name not in TABLES:
        raise ServiceError(
            _("no published table for {name}; there is one for {tables}.").format(
                name=name, tables=" and for ".join(TABLES)
            )
        )
    file, column, __ = TABLES[name]
    fahrenheit, limits = _printed(file, column)
    # Shown in F, for the table is printed in it.
    coldest, hottest = ((end + FAHRENHEIT_ZERO) / 1.8 for end in (fahrenheit[0], fahrenheit[-1]))
    limit = Limit("temperature", coldest, hottest, "F")
    if isinstance(temperature, float):  # a hair of rounding on the way from F
        temperature = next((end for end in limit.ends if abs(end - temperature) < 1e-6), temperature)
    kelvin = number("temperature", temperature, limit, " of the printed table")
    psi = np.interp(kelvin * 1.8 - FAHRENHEIT_ZERO, fahrenheit, limits)
    return math.floor(psi + 1e-6) * PSI


@lru_cache(maxsize=8)
def _printed(file: str, column: str) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Temperatures (F) and limits (psi) of a published table: a class asks for it thousands of times."""
    rows = published.rows(file)
    return tuple(float(row["temp_F"]) for row in rows), tuple(float(row[column]) for row in rows)


def air_check(
    refrigerant: str,
    *,
    temperature: float,
    gauge: float,
    atmosphere: float = STANDARD_ATMOSPHERE,
    mass: float | None = None,
    water_capacity: float | None = None,
) -> AirCheck:
    """Air in a container of recycled refrigerant: the published limit, and how much air by Dalton's law.

    Parameters
    ----------
    refrigerant : "R-12" or "R-134a", the two with a published table.
    temperature : K, of the air within 4 in of the container after 12 h at 65 F or more, out of the sun.
    gauge : Pa above the air, read on a gauge with marks of 1 psi.
    atmosphere : Pa around the gauge. The printed limits are gauge pressures for sea level, used as printed.
    mass, water_capacity : kg of refrigerant and the stamp WC; without them the amount of air is left out.

    Raises ServiceError and refrigerants.RangeError.

    Source: 40 CFR 82 Subpart B App. A, service procedure 5.1 to 5.7; Dalton's law; air as an ideal gas, none of it
    dissolved in the liquid.
    """
    gauge = number("gauge", gauge, GAUGE)
    around = number("atmosphere", atmosphere, ATMOSPHERE)
    limit = table_limit(refrigerant, temperature)
    kelvin, absolute = float(temperature), gauge + around
    boiling = float(refrigerants.saturation_pressure(refrigerant, kelvin))
    air, share, base = math.nan, math.nan, boiling
    if mass is not None and water_capacity is not None:
        kilograms, capacity = number("mass", mass, MASS), number("water_capacity", water_capacity, WATER_CAPACITY)
        volume = capacity / WATER_60F
        inside = refrigerants.closed_container(refrigerant, kelvin, mass=kilograms, volume=volume)
        base = float(inside.refrigerant_pressure)
        room = volume * (1.0 - float(inside.liquid_level))
        air = max(absolute - base, 0.0) * room / (AIR_GAS_CONSTANT * kelvin)
        share = air / kilograms if kilograms else math.nan
    passes = gauge < limit - HAIR
    if absolute < base - 2 * PSI:  # two marks of the gauge
        verdict = _(
            "below the table: no liquid is left, the container is colder than the air, or it is not what the tag says"
        )
    elif passes:
        verdict = _("below the printed limit: the limit for air is not exceeded")
    else:
        verdict = _(
            "at or above the printed limit: bleed vapor slowly from the top into the recovery machine, then check again"
        )
    return AirCheck(
        limit,
        passes,
        boiling,
        absolute - base,
        air,
        share,
        verdict,
        TABLES[refrigerants.resolve(refrigerant)][2],
    )


def _contents(mass: Value, water_capacity: Value) -> tuple[np.ndarray, ...]:
    return together(
        mass=checked("mass", mass, MASS), water_capacity=checked("water_capacity", water_capacity, WATER_CAPACITY)
    )


def hottest_liquid(refrigerant: str) -> float:
    """K up to which a liquid level is worked out, some way below the critical temperature."""
    return _liquid_ends(refrigerant)[1]


def _liquid_ends(refrigerant: str) -> tuple[float, float]:
    """K between which liquid and its density are known."""
    if (table := table_or_none(refrigerant)) is not None:
        return float(table.coldest), float(table.warmest)
    limits = exact(refrigerants.resolve(refrigerant)).limits
    return limits.lowest_temperature, limits.critical_temperature - 1.0  # K short of where liquid and gas are one


def _liquid_density(refrigerant: str, temperature: np.ndarray) -> np.ndarray:
    return np.asarray(refrigerants.saturation(refrigerant, temperature=temperature).liquid_density)
