"""The error of properties, its checks, and where a fluid's equation of state ends."""

from __future__ import annotations

from typing import NamedTuple

from coldcab.quantities import Check, ColdcabError, Limit, Value, any_finite

__all__ = ["RangeError"]


class RangeError(ColdcabError):
    """A value outside the range that is known, or a pair of values that does not fix a state."""


ROUNDING = 1e-12  # -103.3 + 273.15 is a hair below 169.85
PROPERTIES = ("pressure", "temperature", "density", "enthalpy", "entropy", "quality")
FINITE = {quantity: any_finite(quantity) for quantity in PROPERTIES}
"""The limit of a property whose range its fluid has yet to say."""
QUALITY_RANGE = Limit("quality", 0.0, 1.0)
DENSITY_RANGE = Limit("density", 1e-9, 1e5)
LOWEST_PRESSURE = 1e-3  # Pa, thinner than any vacuum pump of the trade leaves

_checks = Check(RangeError)
checked, together = _checks.value, _checks.together


def given_property(argument: str, value: object) -> Value:
    """A property as a finite float or an array of them."""
    return checked(argument, value, FINITE[argument])


class FluidLimits(NamedTuple):
    """Where one fluid's equation of state and its saturation line end, SI units."""

    lowest_temperature: float
    critical_temperature: float
    highest_temperature: float
    lowest_saturation_pressure: float
    critical_pressure: float
    highest_pressure: float

    def check(self, designation: str, given: dict[str, float]) -> None:
        """A sentence for the first of two given properties that lies outside."""
        saturated = "quality" in given
        where = f" of {designation}" + (" at saturation" if saturated else "")
        hottest = self.critical_temperature if saturated else self.highest_temperature
        lowest = self.lowest_saturation_pressure if saturated else LOWEST_PRESSURE
        highest = self.critical_pressure if saturated else self.highest_pressure
        limits = {
            "temperature": Limit("temperature", self.lowest_temperature, hottest),
            "pressure": Limit("pressure", lowest, highest),
            "density": DENSITY_RANGE,
            "quality": QUALITY_RANGE,
        }
        for argument, value in given.items():
            limit = limits.get(argument)
            if limit and not limit.low * (1 - ROUNDING) <= value <= limit.high * (1 + ROUNDING):
                raise RangeError(limit.refusal(argument, value, where))
