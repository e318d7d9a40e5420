"""The clutch: its coil, its circuit, its pull, and the fuse before it.

A clutch coil is copper: hot it has more ohms, draws less current and pulls less. Whatever resistance stands before and
behind it takes voltage away under load only. `clutch_wiring` holds the relay and what works it; `controls` says which
switch of a running machine opened and why.

Caution: key off and belt clear of hands before a lead is taken off; a clutch engages without a warning. A slipping
clutch is hot enough to burn skin and the shaft seal. Never bridge a pressure switch to keep a machine running: for a
test, for seconds, with eyes on the gauges, and only as the equipment's manual allows.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from coldcab.quantities import FREEZING, Limit, Value, plain
from coldcab.service.checks import ServiceError, checked, number, together
from coldcab.words import _

# IEC 60028:1925 and NBS Handbook 100 (1966): annealed copper of standard conductivity has the coefficient 0.00393 per K
# at 20 C. A straight line with that slope reaches zero at -234.5 C, which is how winding temperatures are worked out.
COPPER_ZERO = FREEZING - 234.5  # K
REFERENCE = 293.15  # K, 20 C

TEMPERATURE = Limit("temperature", 233.15, 473.15, "C")
RESISTANCE = Limit("resistance", 1e-6, 1e6, "ohm")
LINK = Limit("resistance", 0.0, 1e6, "ohm")
VOLTAGE = Limit("voltage", 0.0, 60.0, "V")
CURRENT = Limit("current", 0.0, 1e3, "A")
GAP = Limit("length", 0.0, 5e-3, "mm")

PERMEABILITY = 4e-7 * math.pi  # V s/(A m), of air; exact to ten digits (CODATA 2018)


def coil_resistance(temperature: Value, *, resistance_at_20: Value) -> Value:
    """Resistance of a copper winding at a temperature.

    Parameters
    ----------
    temperature : K of the copper, 233 to 473.
    resistance_at_20 : ohm at 293.15 K (20 C), 1e-6 to 1e6.
    Numbers or arrays of one shape.

    Returns
    -------
    ohm.

    Raises
    ------
    ServiceError : out of range.

    Source
    ------
    R / R20 = (T - T0) / (293.15 - T0), T0 = 38.65 K (-234.5 C): NBS Handbook 100, Copper Wire Tables, 1966; slope
    0.00393 per K at 20 C, IEC 60028:1925.

    Example
    -------
    >>> round(coil_resistance(373.15, resistance_at_20=3.6), 2)
    4.73
    """
    temperature = checked("temperature", temperature, TEMPERATURE)
    resistance = checked("resistance_at_20", resistance_at_20, RESISTANCE)
    temperature, resistance = together(temperature=temperature, resistance=resistance)
    return plain(resistance * (temperature - COPPER_ZERO) / (REFERENCE - COPPER_ZERO))


def coil_temperature(resistance: Value, *, resistance_at_20: Value) -> Value:
    """Temperature of a copper winding from its resistance: the coil as its own thermometer.

    Parameters
    ----------
    resistance, resistance_at_20 : ohm now, and at 20 C, 1e-6 to 1e6; numbers or arrays of one shape.

    Returns
    -------
    K, the mean over the winding.

    Raises
    ------
    ServiceError : out of range, also when the answer lies outside 233 to 473 K: the coil is shorted or open, not cold
        or hot.

    Source
    ------
    As for `coil_resistance`.
    """
    resistance = checked("resistance", resistance, RESISTANCE)
    cold = checked("resistance_at_20", resistance_at_20, RESISTANCE)
    resistance, cold = together(resistance=resistance, cold=cold)
    found = COPPER_ZERO + resistance / cold * (REFERENCE - COPPER_ZERO)
    bad = (found < TEMPERATURE.low) | (found > TEMPERATURE.high)
    if bad.any():
        one = float(resistance[bad].flat[0]) if resistance.ndim else float(resistance)
        raise ServiceError(
            _(
                "no copper coil at work has {one:.4g} ohm by its temperature alone; look for shorted "
                "turns or a bad connection of the meter."
            ).format(one=one)
        )
    return plain(found)


@dataclass(frozen=True)
class Coil:
    """A clutch coil and the plate that it pulls; every size but copper's behaviour is [invented, typical].

    ``resistance`` ohm at 20 C; ``turns``; ``pole_area`` m2 of each of two pole faces; ``iron_gap`` m of air that has
    the reluctance of the iron and of the closed joint; ``saturation`` T; ``spring`` N that holds the plate off.
    """

    resistance: float = 3.6
    turns: float = 300.0
    pole_area: float = 1.4e-3
    iron_gap: float = 0.6e-3
    saturation: float = 1.4
    spring: float = 120.0

    def pull(self, current: Value, gap: Value) -> Value:
        """Force on the plate, N, from current (A, 0 to 1000) and air gap (m, 0 to 0.005).

        B = mu0 N I / (2 gap + iron gap), bent over near saturation; F = 2 B^2 A / (2 mu0), two faces in series.
        The force on one face is that of IEC 60050-221, 221-04-22 (magnetic pull). A stated approximation: one closed
        path of flux, no leakage, even gap.
        """
        current = checked("current", current, CURRENT)
        gap = checked("gap", gap, GAP)
        current, gap = together(current=current, gap=gap)
        straight = PERMEABILITY * self.turns * current / (2.0 * gap + self.iron_gap)
        field_density = straight / (1.0 + (straight / self.saturation) ** BEND) ** (1.0 / BEND)
        return plain(2.0 * magnetic_pull(field_density, self.pole_area))

    def pull_in_current(self, gap: Value) -> Value:
        """Current (A) whose pull equals the spring at an air gap (m); infinite where saturation forbids it."""
        gap = np.asarray(checked("gap", gap, GAP))
        wanted = math.sqrt(self.spring * PERMEABILITY / self.pole_area)
        share = (wanted / self.saturation) ** BEND
        if share >= 1.0:
            return plain(np.full(gap.shape, math.inf))
        straight = wanted / (1.0 - share) ** (1.0 / BEND)
        return plain(straight * (2.0 * gap + self.iron_gap) / (PERMEABILITY * self.turns))


BEND = 4.0  # sharpness of the bend towards saturation [invented]
USUAL_GAP = (0.4e-3, 0.8e-3)  # m, 0.016 to 0.031 in: common practice, no source; the compressor's manual rules


def magnetic_pull(flux_density: Value, area: float) -> Value:
    """Force (N) between two parallel pole faces of ``area`` (m2) at a flux density (T).

    Source: IEC 60050-221:1990, 221-04-22, F = B^2 A / (2 mu0), even field over the face. Numbers or arrays.
    """
    return plain(np.square(flux_density) * area / (2.0 * PERMEABILITY))


FEED, GROUND = "feed", "ground"


@dataclass(frozen=True)
class Link:
    """A piece of the circuit besides the coil: its name, resistance in ohm, and the side it is on."""

    name: str
    resistance: float
    side: str = FEED
    usual_drop: float = 0.1  # V at most, when it is sound


# Voltages at most across sound parts: 0.1 V at a connection, 0.3 V at switch contacts, 1 V in all. Recommendations of a
# standards body as a vehicle service manual quotes them (read there; the standard itself not seen). Resistances
# [invented, typical].
LINKS = (
    Link("load fuse", 0.010),
    Link("relay contacts", 0.015, usual_drop=0.3),
    Link("feed wire", 0.020),
    Link("clutch connector", 0.010),
    Link("clutch ground wire", 0.015, GROUND),
    Link("ground strap", 0.010, GROUND),
)
"""The load circuit: from the battery over the relay's contacts to the clutch coil, and back. What works the relay
stands in `clutch_wiring`."""
MOST_IN_ALL = 1.0  # V, feed and ground side together


@dataclass(frozen=True)
class Drop:
    """What a voltmeter finds across one link under load."""

    link: Link
    drop: Value  # V
    before: Value  # V against the battery's negative pole, on the side of the battery's positive pole
    after: Value


@dataclass(frozen=True)
class CircuitState:
    """The circuit under load."""

    current: Value  # A
    source: Value  # V
    coil_voltage: Value  # V between the coil's own terminals
    coil_resistance: Value  # ohm
    coil_heat: Value  # W
    coil_share: Value  # of its turns that are not shorted
    drops: tuple[Drop, ...]  # in order from the positive pole; the coil sits between feed and ground side

    @property
    def pulling_current(self) -> Value:
        """A that the coil with all its turns would need for the same pull: shorted turns pull nothing."""
        return self.current * self.coil_share

    @property
    def feed_drop(self) -> Value:
        """V lost before the coil."""
        return sum(one.drop for one in self.drops if one.link.side == FEED)

    @property
    def ground_drop(self) -> Value:
        """V lost behind the coil."""
        return sum(one.drop for one in self.drops if one.link.side == GROUND)

    @property
    def worst(self) -> Drop:
        """The link that takes most, beyond what it may; of one state, not of arrays."""
        return max(self.drops, key=lambda one: float(one.drop) / one.link.usual_drop)


@dataclass(frozen=True)
class Circuit:
    """A source, links in series, and the coil. ``resistances`` in ohm may be arrays."""

    links: tuple[Link, ...] = LINKS
    coil: Coil = field(default_factory=Coil)

    def state(
        self,
        *,
        source: Value,
        coil_temperature: Value = REFERENCE,
        added: dict[str, Value] | None = None,
        opened: Sequence[str] = (),
        coil_share: Value = 1.0,
    ) -> CircuitState:
        """Currents and voltages.

        Parameters
        ----------
        source : V at the battery posts under load, 0 to 60.
        coil_temperature : K of the winding, 233 to 473.
        added : ohm added to a link by name (corrosion, burnt contacts, a loose ground).
        opened : names of links that are open: no current, and the whole source stands across the first open one.
        coil_share : share of the turns that is not shorted, 0.01 to 1.
        Numbers or arrays of one shape.

        Returns
        -------
        `CircuitState`.

        Raises
        ------
        ServiceError : out of range, or a link that the circuit does not have.

        Source
        ------
        Ohm's and Kirchhoff's laws.
        """
        added = added or {}
        names = [link.name for link in self.links]
        for name in (*added, *opened):
            if name not in names:
                raise ServiceError(
                    _("the circuit has no part {name!r}; it has {names}.").format(name=name, names=", ".join(names))
                )
        share = checked("coil_share", coil_share, Limit("share", 0.01, 1.0))
        coil = coil_resistance(coil_temperature, resistance_at_20=self.coil.resistance) * share
        extra = {_(
"resistance added to {name}"
).format(name=name): checked(_(
"resistance added to {name}"
).format(name=name), value, LINK)
                 for name, value in added.items()}  # fmt: skip
        source, coil, *more = together(source=checked("source", source, VOLTAGE), coil_temperature=coil, **extra)
        by_name = dict(zip(added, more, strict=True))
        resistances = [link.resistance + by_name.get(link.name, 0.0) for link in self.links]
        current = source / (coil + sum(resistances))
        first_open = next((link.name for link in self.links if link.name in opened), None)
        if first_open:
            current = 0.0 * current
        drops, here = [], source
        coil_voltage = current * coil
        passed_coil = False
        for link, resistance in zip(self.links, resistances, strict=True):
            if link.side == GROUND and not passed_coil:
                here, passed_coil = here - coil_voltage, True
            drop = source + 0.0 * current if link.name == first_open else current * resistance
            drops.append(Drop(link, plain(drop), plain(here), plain(here - drop)))
            here = here - drop
        return CircuitState(
            plain(current),
            plain(source),
            plain(coil_voltage),
            plain(coil),
            plain(current * coil_voltage),
            share,
            tuple(drops),
        )

    def engages(self, state: CircuitState, gap: Value) -> bool | np.ndarray:
        """Whether the plate is drawn in across an air gap (m) with the current of ``state``."""
        current, least = together(current=state.pulling_current, gap=self.coil.pull_in_current(gap))
        found = current >= least
        return bool(found) if found.ndim == 0 else found


# Blade fuses (ISO 8820-3, from memory): carry 110 % of their rating for 100 h, open at 135 % within ten minutes, at
# 200 % within 5 s, at 350 % within half a second.
FUSE_STEPS = (
    (1.10, "carries it"),
    (1.35, _("may open after hours")),
    (2.00, _("opens within ten minutes")),
    (3.50, "opens within seconds"),
    (math.inf, "opens at once"),
)


def fuse_answer(current: float, rating: float) -> str:
    """What a blade fuse does with a current, in words.

    Parameters: ``current`` and ``rating`` in A, 0 to 1000, the rating above 0. A fuse that opens is a symptom: it
    names no cause. Source: ISO 8820-3, from memory. Raises ServiceError.
    """
    current, rating = number("current", current, CURRENT), number("rating", rating, CURRENT)
    if rating <= 0.0:
        raise ServiceError(_("rating of the fuse is 0 A; give the number printed on it."))
    return next(words for most, words in FUSE_STEPS if current <= most * rating)
