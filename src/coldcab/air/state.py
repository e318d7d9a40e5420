"""Moist air as one object."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from coldcab.air import moist
from coldcab.air.checks import AirError
from coldcab.quantities import STANDARD_ATMOSPHERE, Value, plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    Number = Value


@dataclass(frozen=True, eq=False)
class MoistAir:
    """Moist air: three numbers say everything else. `moist_air` makes one from other readings.

    Attributes
    ----------
    dry_bulb : K, within `DRY_BULB_RANGE`.
    humidity_ratio : kg of water vapour per kg of dry air.
    pressure : total pressure, Pa, within `PRESSURE_RANGE`.
        Scalars or arrays that broadcast together.

    Raises
    ------
    AirError : a number out of range, or more water than the air can hold.

    Example
    -------
    >>> round(MoistAir(298.15, 0.01).wet_bulb, 1)
    291.1
    """

    dry_bulb: Number
    humidity_ratio: Number
    pressure: Number = STANDARD_ATMOSPHERE

    def __post_init__(self) -> None:
        """Refuse what air cannot be; keep floats and arrays whatever was given."""
        moist.relative_humidity(self.dry_bulb, self.humidity_ratio, self.pressure)
        for name in ("dry_bulb", "humidity_ratio", "pressure"):
            object.__setattr__(self, name, plain(np.asarray(getattr(self, name), dtype=float)))

    @property
    def relative_humidity(self) -> Number:
        """Relative humidity, 0 to 1."""
        return moist.relative_humidity(self.dry_bulb, self.humidity_ratio, self.pressure)

    @property
    def wet_bulb(self) -> Number:
        """Thermodynamic wet bulb, K."""
        return moist.wet_bulb(self.dry_bulb, self.humidity_ratio, self.pressure)

    @property
    def dew_point(self) -> Number:
        """Dew point, K."""
        return moist.dew_point(self.humidity_ratio, self.pressure)

    @property
    def enthalpy(self) -> Number:
        """Enthalpy, J per kg of dry air, zero for dry air and liquid water at 0 C."""
        return moist.enthalpy(self.dry_bulb, self.humidity_ratio)

    @property
    def specific_volume(self) -> Number:
        """Volume, m3 per kg of dry air."""
        return moist.specific_volume(self.dry_bulb, self.humidity_ratio, self.pressure)

    @property
    def density(self) -> Number:
        """Density of air and vapour together, kg/m3."""
        return moist.density(self.dry_bulb, self.humidity_ratio, self.pressure)

    @property
    def vapor_pressure(self) -> Number:
        """Partial pressure of the water vapour, Pa."""
        return moist.vapor_pressure(self.humidity_ratio, self.pressure)


def moist_air(
    dry_bulb: ArrayLike,
    pressure: ArrayLike = STANDARD_ATMOSPHERE,
    *,
    relative_humidity: ArrayLike | None = None,
    wet_bulb: ArrayLike | None = None,
    dew_point: ArrayLike | None = None,
    humidity_ratio: ArrayLike | None = None,
) -> MoistAir:
    """Moist air from its dry bulb and one reading of its water.

    Parameters
    ----------
    dry_bulb : K, within `DRY_BULB_RANGE`.
    pressure : total pressure, Pa, within `PRESSURE_RANGE`.
    relative_humidity : 0 to 1, or
    wet_bulb : K, or
    dew_point : K, or
    humidity_ratio : kg/kg. Exactly one of the four; scalars or arrays that broadcast together.

    Returns
    -------
    MoistAir.

    Raises
    ------
    AirError : none or several of the four, a number out of range, or an impossible pair of readings.

    Example
    -------
    >>> round(moist_air(313.15, wet_bulb=293.15).relative_humidity, 2)
    0.14
    """
    readings = {
        "relative_humidity": relative_humidity,
        "wet_bulb": wet_bulb,
        "dew_point": dew_point,
        "humidity_ratio": humidity_ratio,
    }
    given = [name for name, value in readings.items() if value is not None]
    if len(given) != 1:
        raise AirError(f"moist air needs exactly one of {', '.join(readings)}; given: {' and '.join(given) or 'none'}.")
    if relative_humidity is not None:
        humidity_ratio = moist.humidity_ratio(dry_bulb, relative_humidity, pressure)
    elif wet_bulb is not None:
        humidity_ratio = moist.humidity_ratio_from_wet_bulb(dry_bulb, wet_bulb, pressure)
    elif dew_point is not None:
        if np.any(np.asarray(dew_point, dtype=float) > np.asarray(dry_bulb, dtype=float)):
            raise AirError("dew_point is above dry_bulb; air cannot hold that much water, so check both readings.")
        humidity_ratio = moist.humidity_ratio_from_dew_point(dew_point, pressure)
    return MoistAir(*(plain(np.asarray(one, dtype=float)) for one in (dry_bulb, humidity_ratio, pressure)))
