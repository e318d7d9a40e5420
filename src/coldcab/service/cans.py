"""Cans, cylinders and hoses: what leaves the can, what arrives in the circuit, what stays on the way.

The books: cans x contents = charge + what the hose keeps + what the cans keep.

Caution: warm a can only in water that the hand bears (at most 50 C, 120 F), never with a flame. Keep the valve towards
the high side shut while the engine runs. What hose and can keep is recovered, not vented; the law where you work rules.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldcab import refrigerants
from coldcab.quantities import FREEZING, OUNCE, Limit, Value, plain
from coldcab.service.checks import ServiceError, checked, number, together
from coldcab.words import _

MASS = Limit("mass", 0.0, 100.0)
CAN_MASS = Limit("mass", 0.05, 60.0)
CAN_TEMPERATURE = Limit("temperature", 233.15, 325.15, "C")
CAN_VOLUME = Limit("volume", 5e-5, 0.06, "L")
LENGTH = Limit("length", 0.0, 20.0)
DIAMETER = Limit("length", 1e-3, 0.03, "mm")
CANS = 1000  # more cans than this are a slip of the pen

SMALL_CAN = 12 * OUNCE  # kg, 12 oz: the usual small can (trade practice)
SMALL_CAN_VOLUME = 0.36e-3  # m3 inside a small can [invented: 12 oz of R-134a fill about four fifths of it at 25 C]
HOSE_DIAMETER = 4.8e-3  # m inside a usual charging hose of 3/16 inch (common practice, no source)
ROUNDING = 1e-9  # of a can: a charge that comes out even does not need one more


def can_heel(
    refrigerant: str, *, pressure: Value, temperature: Value, volume: Value = SMALL_CAN_VOLUME
) -> float | np.ndarray:
    """Vapour that stays in a can when it has no more pressure than the circuit.

    Parameters
    ----------
    refrigerant : designation.
    pressure : Pa absolute, of can and circuit at the end.
    temperature : K of the can at the end, 233 to 325.
    volume : m3 inside the can, 5e-5 to 0.06.
    Numbers or arrays of one shape.

    Returns
    -------
    kg of vapour.

    Raises
    ------
    ServiceError : also when the can is so cold that liquid is left in it: then it has not been emptied.
    RangeError, UnknownRefrigerant.

    Source
    ------
    m = V rho(p, T), the density from the property tables (CoolProp).
    """
    temperature = checked("temperature", temperature, CAN_TEMPERATURE)
    volume = checked("volume", volume, CAN_VOLUME)
    boiling = refrigerants.saturation_pressure(refrigerant, temperature)
    pressure, temperature, volume, boiling = together(
        pressure=pressure, temperature=temperature, volume=volume, boiling=boiling
    )
    wet = pressure >= boiling
    if wet.any():
        one = float(boiling[wet].flat[0]) if boiling.ndim else float(boiling)
        raise ServiceError(
            _(
                "liquid {refrigerant} is left in the can: at its temperature it boils only below "
                "{one:.0f} kPa absolute, so it gives nothing to a circuit at this pressure; warm it with "
                "water of at most 50 C, or wait for a lower suction pressure."
            ).format(refrigerant=refrigerants.resolve(refrigerant), one=one / 1000.0)
        )
    density = refrigerants.state(refrigerant, pressure=pressure, temperature=temperature).density
    return plain(np.asarray(volume * density))


def hose_contents(
    refrigerant: str,
    *,
    length: Value,
    temperature: Value,
    pressure: Value | None = None,
    diameter: Value = HOSE_DIAMETER,
) -> float | np.ndarray:
    """Refrigerant that a hose keeps.

    Parameters
    ----------
    refrigerant : designation.
    length : m, 0 to 20.
    temperature : K, 233 to 325.
    pressure : Pa absolute of vapour in it, below saturation; left out, the hose is full of liquid.
    diameter : m inside, 0.001 to 0.03.
    Numbers or arrays of one shape.

    Returns
    -------
    kg.

    Raises
    ------
    ServiceError, RangeError, UnknownRefrigerant.

    Source
    ------
    Volume of a cylinder times density.
    """
    length = checked("length", length, LENGTH)
    diameter = checked("diameter", diameter, DIAMETER)
    temperature = checked("temperature", temperature, CAN_TEMPERATURE)
    if pressure is None:
        density = refrigerants.saturation(refrigerant, temperature=temperature).liquid_density
    else:
        together(pressure=pressure, temperature=temperature)
        if np.any(np.asarray(pressure) >= refrigerants.saturation_pressure(refrigerant, temperature)):
            raise ServiceError(
                _("at this pressure and temperature the hose holds liquid, not vapour; leave the pressure out.")
            )
        density = refrigerants.state(refrigerant, pressure=pressure, temperature=temperature).density
    length, diameter, density = together(length=length, diameter=diameter, density=density)
    return plain(np.pi / 4 * diameter**2 * length * density)


@dataclass(frozen=True)
class CanPlan:
    """Cans for a charge; masses in kg."""

    charge: Value  # wanted in the circuit
    hose: Value  # stays in the hose
    heel: Value  # stays in each can that is emptied
    contents: float  # of a full can
    cans: int | np.ndarray  # to open, the last one included
    from_last: Value  # by which the last can gets lighter on the scale

    @property
    def usable(self) -> Value:
        """kg that a full can gives."""
        return self.contents - self.heel

    @property
    def left_in_last(self) -> Value:
        """kg in the last can when the valve is shut."""
        return self.contents - self.from_last

    @property
    def lost(self) -> Value:
        """kg that are bought and do not reach the circuit: heels, hose, and what the last can keeps."""
        return self.cans * self.contents - self.charge


def can_plan(charge: Value, *, contents: float = SMALL_CAN, heel: Value = 0.0, hose: Value = 0.0) -> CanPlan:
    """How many cans a charge takes, and where the last one stops.

    Parameters
    ----------
    charge : kg wanted in the circuit, 0 to 100.
    contents : kg in a full can, 0.05 to 60.
    heel : kg that stay in each emptied can (`can_heel`).
    hose : kg that stay in the hose (`hose_contents`).
    Numbers or arrays of one shape; ``contents`` a number.

    Returns
    -------
    `CanPlan`. A charge that comes out even empties its last can.

    Raises
    ------
    ServiceError : out of range, or a heel as large as the can.

    Source
    ------
    Conservation of mass.
    """
    charge, heel, hose = (
        checked(name, value, MASS) for name, value in (("charge", charge), ("heel", heel), ("hose", hose))
    )
    contents = number("contents", contents, CAN_MASS)
    charge, heel, hose = together(charge=charge, heel=heel, hose=hose)
    usable = contents - heel
    if np.any(usable <= 0.0):
        raise ServiceError(
            _(
                "a heel of {heel:.3g} kg is as much as the whole can of {contents:.3g} kg; check "
                "pressure, temperature and volume of the can."
            ).format(heel=float(np.max(heel)), contents=contents)
        )
    needed = charge + hose
    count = np.ceil(needed / usable - ROUNDING)
    if np.any(count > CANS):
        raise ServiceError(
            _("this charge would take more than {cans} cans; check charge and contents, both in kg.").format(cans=CANS)
        )
    last = np.minimum(needed - np.maximum(count - 1.0, 0.0) * usable, usable)
    whole = count.astype(int)
    return CanPlan(
        plain(charge), plain(hose), plain(heel), contents, int(whole) if whole.ndim == 0 else whole, plain(last)
    )


def can_temperature(
    refrigerant: str, *, drawn_share: Value, start_temperature: float, lowest_temperature: float = CAN_TEMPERATURE.low
) -> float | np.ndarray:
    """How cold an upright can gets when vapour is drawn off faster than heat reaches it.

    Parameters
    ----------
    refrigerant : designation.
    drawn_share : share of the liquid that has left as vapour, 0 to 0.99; number or array.
    start_temperature : K, 233 to 325.
    lowest_temperature : K at which the path is cut, 233 or more: below it the answer is an error.

    Returns
    -------
    K. The can's own metal, the heat that leaks in and the vapour above the liquid are left out, so a real can stays
    warmer.

    Raises
    ------
    ServiceError, RangeError, UnknownRefrigerant.

    Source
    ------
    First law for the liquid, m dh_f = h_fg dm, so ln(m / m0) = integral of dh_f / h_fg along the saturation line.
    """
    share = checked("drawn_share", drawn_share, Limit("share", 0.0, 0.99))
    start = number("start_temperature", start_temperature, CAN_TEMPERATURE)
    lowest = number("lowest_temperature", lowest_temperature, CAN_TEMPERATURE)
    path = np.linspace(start, lowest, 400)
    line = refrigerants.saturation(refrigerant, temperature=path)
    # Trapezoids of dh_f / h_fg from the start down the line; falling, so the logarithm falls too.
    heat = 1.0 / np.asarray(line.latent_heat)
    steps = np.diff(line.liquid_enthalpy) * 0.5 * (heat[1:] + heat[:-1])
    logarithm = np.concatenate([[0.0], np.cumsum(steps)])
    left = np.log1p(-np.asarray(share))
    if np.any(left < logarithm[-1]):
        raise ServiceError(
            _(
                "drawing off that much vapour would chill the can below {lowest:.0f} C; the can has long "
                "stopped giving by then, so warm it with water of at most 50 C."
            ).format(lowest=lowest - FREEZING)
        )
    return plain(np.interp(-left, -logarithm, path))
