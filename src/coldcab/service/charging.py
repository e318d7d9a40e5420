"""How much refrigerant a circuit wants, and where it starts.

A charge starts from one rule and ends at a measured check. The rule, 80 % of the R-12 charge, is common practice,
recalled from memory; the ratio of liquid densities, which says what to expect in the end, is physics; the charge curve
is worked out from the machine itself. What a can or a hose keeps is in `cans`, the table to accept a charge by in
`acceptance`.

Caution: the scale goes first, the valve towards the high side stays shut while the engine runs (the can would be put
under the head's pressure and can burst), goggles and gloves on, no liquid into the low side of a running machine. The
equipment's own manual and the law where you work come first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldcab import refrigerants
from coldcab.machine import Conditions, Machine, Readings, charge_range, nominal_charge
from coldcab.machine.effects import Faults
from coldcab.machine.readings import NO_STEADY_STATE
from coldcab.machine.receiver import GLASS
from coldcab.machine.simulate import Batch, simulate_batches
from coldcab.quantities import Limit, Value, plain
from coldcab.service.checks import ServiceError, checked, number, together
from coldcab.words import _

KILOGRAM = Limit("mass", 0.3, 9.07)  # what counts as a cab's system: up to 20 lb (40 CFR 82.152, "MVAC-like appliance")
LIQUID_TEMPERATURE = Limit("temperature", 243.15, 338.15, "C")

RECEIVER_TEMPERATURE = 318.15  # K, a usual temperature of the liquid in a receiver
SHARES = (0.80, 0.90)  # of the R-12 charge: common practice, from memory; some guides say 0.85 to 0.95
"""The course starts at the first of these, always; the second only bounds what rules of thumb ask for."""

PLATEAU = 0.95  # of the capacity with the proper charge: here the plateau begins
CLEAR = GLASS[0][0]  # vapour share of the volume in the glass below which it looks clear
FULL = 0.98  # level at which the receiver counts as full
HEAD_RISE = 1.10  # of the absolute head pressure with the proper charge
POINTS = Limit("count", 12, 400, "points")
SPAN = (0.12, 1.65)  # of the proper charge: from next to nothing to a head that stops the clutch


@dataclass(frozen=True)
class StartingCharge:
    """Charges for a machine that was built for another refrigerant, kg.

    ``start`` is where to stop and read: low, for more goes in easily and nothing comes out without a recovery machine.
    ``by_density`` is what to expect in the end, ``high`` the most that either asks for.
    """

    specification: Value  # of the old refrigerant
    density_ratio: Value  # liquid of the new one over liquid of the old one
    by_density: Value  # the same volume of liquid
    by_share: tuple[Value, Value]  # SHARES of the specification

    @property
    def start(self) -> Value:
        """kg to weigh in before the first reading: the first of SHARES, by density where there is no such rule."""
        return plain(np.fmin(self.by_density, self.by_share[0]))

    @property
    def high(self) -> Value:
        """kg, the most that density or a rule of thumb asks for."""
        return plain(np.fmax(self.by_density, self.by_share[1]))


def starting_charge(
    specification: Value, *, original: str = "R-12", refrigerant: str = "R-134a", temperature: Value | None = None
) -> StartingCharge:
    """Where to start when a machine changes its refrigerant.

    Parameters
    ----------
    specification : kg of the original refrigerant on the data sheet, 0.3 to 9.07; number or array.
    original, refrigerant : designations. The rule of thumb is that for R-12 to R-134a; for other pairs it is NaN.
    temperature : K of the liquid in the receiver, 243 to 338; left out, 318.15 (45 C).

    Returns
    -------
    `StartingCharge`.

    Raises
    ------
    ServiceError : out of range. RangeError, UnknownRefrigerant : from the property tables.

    Source
    ------
    Same volume of liquid: first principles. 80 to 90 % of the R-12 charge: common practice, from memory.
    """
    specification = checked("specification", specification, KILOGRAM)
    temperature = checked(
        "temperature", RECEIVER_TEMPERATURE if temperature is None else temperature, LIQUID_TEMPERATURE
    )
    new, old = (
        refrigerants.saturation(name, temperature=temperature).liquid_density for name in (refrigerant, original)
    )
    specification, ratio = together(specification=specification, temperature=new / old)
    usual = (refrigerants.resolve(original), refrigerants.resolve(refrigerant)) == ("R-12", "R-134a")
    rules = specification if usual else specification * np.nan
    return StartingCharge(
        plain(specification),
        plain(ratio),
        plain(specification * ratio),
        (plain(SHARES[0] * rules), plain(SHARES[1] * rules)),
    )


@dataclass(frozen=True)
class Marks:
    """Places on a charge curve, kg; NaN where the curve does not reach them."""

    plateau_begins: float  # capacity first reaches PLATEAU of that with the proper charge
    glass_clears: float  # the last bubble goes
    receiver_full: float
    head_rises: float  # absolute head pressure HEAD_RISE of that with the proper charge

    @property
    def middle(self) -> float:
        """kg half way between the clear glass and the full receiver: as far from one trouble as from the other."""
        return 0.5 * (self.glass_clears + self.receiver_full)

    @property
    def reserve(self) -> float:
        """kg that may leak from the middle before the glass bubbles."""
        return self.middle - self.glass_clears


@dataclass(frozen=True)
class ChargeCurve:
    """What a machine shows at each charge on one day; arrays over ``charge`` (kg)."""

    charge: np.ndarray
    readings: Readings
    marks: Marks


def charge_curve(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    points: int = 90,
    faults: Faults = (),
) -> ChargeCurve:
    """The machine's own charge curve, from next to nothing to a head that stops the clutch.

    Parameters
    ----------
    machine, conditions, refrigerant, faults : as for `coldcab.machine.simulate`, numbers.
    points : how many charges, 12 to 400.

    Returns
    -------
    `ChargeCurve`; charges without a steady state are left out.

    Raises
    ------
    ServiceError, MachineError, UnknownRefrigerant.

    Limits
    ------
    Those of the machine model: its void fraction leaves 10 to 20 % of the condenser's charge open, so the marks of a
    real machine are found with the scale and the readings.
    """
    batch = curve_batch(machine, conditions, refrigerant, int(number("points", points, POINTS)), faults)
    return curve_of(batch, simulate_batches((batch,))[0])


def curve_batch(
    machine: Machine, conditions: Conditions, refrigerant: str, points: int = 90, faults: Faults = ()
) -> Batch:
    """The machine at the charges of its curve; arguments as for `charge_curve`."""
    proper = nominal_charge(machine, refrigerant)
    least, most = charge_range(machine, refrigerant)
    charges = np.linspace(max(least, SPAN[0] * proper), min(most, SPAN[1] * proper), points)
    return Batch(machine, conditions, refrigerant, charges, faults)


def curve_of(batch: Batch, found: Readings) -> ChargeCurve:
    """The charge curve of a `curve_batch` from its readings.

    Raises
    ------
    ServiceError : no charge with a steady state.
    """
    charges = batch.charge
    good = np.flatnonzero(found.status != NO_STEADY_STATE)
    if not good.size:
        raise ServiceError(_("the machine finds no steady state at any charge on this day; choose milder conditions."))
    found, charges = found[good], charges[good]
    marks = curve_marks(
        charges,
        capacity=np.asarray(found.capacity),
        glass_void=np.asarray(found.glass_void),
        level=np.asarray(found.level),
        high_pressure=np.asarray(found.high_pressure),
        proper=nominal_charge(batch.machine, batch.refrigerant),
    )
    return ChargeCurve(charges, found, marks)


def curve_marks(
    charge: np.ndarray,
    *,
    capacity: np.ndarray,
    glass_void: np.ndarray,
    level: np.ndarray,
    high_pressure: np.ndarray,
    proper: float,
) -> Marks:
    """Where a charge curve turns.

    Parameters
    ----------
    charge : kg, rising, (n,).
    capacity : W; glass_void : vapour share of the volume in the glass; level : of the receiver, 0 to 1;
    high_pressure : Pa absolute; all (n,).
    proper : kg that counts as the proper charge, within the curve.

    Returns
    -------
    `Marks`, straight lines between the points.

    Raises
    ------
    ServiceError : charges that do not rise, or a proper charge outside them.
    """
    charge = np.asarray(charge, dtype=float)
    if charge.ndim != 1 or charge.size < 2 or not np.all(np.diff(charge) > 0.0):
        raise ServiceError(_("charge must be a list of at least two masses in kg, each larger than the one before."))
    proper = number("proper charge", proper, Limit("mass", charge[0], charge[-1]))
    capacity, glass_void, level, head = (
        np.asarray(values, dtype=float) for values in (capacity, glass_void, level, high_pressure)
    )
    head_then = float(np.interp(proper, charge, head))
    return Marks(
        _first_reached(charge, capacity, PLATEAU * float(np.interp(proper, charge, capacity))),
        _last_left(charge, np.nan_to_num(glass_void, nan=1.0), CLEAR),
        _first_reached(charge, np.nan_to_num(level), FULL),
        _first_reached(charge, np.where(charge < proper, head_then, head), HEAD_RISE * head_then),
    )


def _first_reached(charge: np.ndarray, values: np.ndarray, goal: float) -> float:
    """Charge at which ``values`` first come up to ``goal``."""
    reached = np.flatnonzero(values >= goal)
    if not reached.size:
        return float("nan")
    return _between(charge, values, int(reached[0]), goal)


def _last_left(charge: np.ndarray, values: np.ndarray, goal: float) -> float:
    """Charge from which ``values`` stay below ``goal``."""
    above = np.flatnonzero(values >= goal)
    place = int(above[-1]) + 1 if above.size else 0
    if place == charge.size:
        return float("nan")
    return _between(charge, values, place, goal)


def _between(charge: np.ndarray, values: np.ndarray, place: int, goal: float) -> float:
    if place == 0:
        return float(charge[0])
    before, after = values[place - 1], values[place]
    return float(charge[place - 1] + (goal - before) / (after - before) * (charge[place] - charge[place - 1]))
