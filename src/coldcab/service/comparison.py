"""One machine, two refrigerants, the same day: pressures, capacity and vent side by side, and what margin is left."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import refrigerants
from coldcab.machine import Conditions, Machine, Readings, nominal_charge, simulate
from coldcab.machine.effects import Faults
from coldcab.quantities import STANDARD_ATMOSPHERE, Limit
from coldcab.service.checks import ServiceError, number
from coldcab.service.recovery import ATMOSPHERE
from coldcab.words import _

GAUGE = Limit("gauge pressure", -95_000.0, 4.0e6, _("Pa above the air"))
SHARES = ("capacity", "power", "cop", "mass_flow", "high_pressure", "low_pressure", "compression_ratio")


@dataclass(frozen=True)
class Comparison:
    """The same hardware with the old and with the new refrigerant, each with its own right charge."""

    old: Readings
    new: Readings
    high_cutout: float  # Pa above the air at which the high-pressure switch stops the clutch

    def ratio(self, name: str) -> float:
        """New over old for one of `SHARES`."""
        if name not in SHARES:
            raise ServiceError(
                _("{value!r} has no ratio; there is one of {shares}.").format(
                    value=str(name)[:30], shares=", ".join(SHARES)
                )
            )
        return float(getattr(self.new, name)) / float(getattr(self.old, name))

    @property
    def high_rise(self) -> float:
        """Pa by which the high gauge stands higher with the new refrigerant."""
        return float(self.new.high_gauge - self.old.high_gauge)

    @property
    def vent_rise(self) -> float:
        """K by which the vent is warmer."""
        return float(self.new.vent - self.old.vent)

    @property
    def margin(self) -> float:
        """Pa left to the high-pressure switch with the new refrigerant."""
        return float(self.high_cutout - self.new.high_gauge)


def side_by_side(
    machine: Machine,
    conditions: Conditions,
    *,
    old: str = "R-12",
    new: str = "R-134a",
    faults: Faults = (),
    start: Comparison | None = None,
) -> Comparison:
    """Run one machine with two refrigerants on one day, nothing else changed; ``faults`` as for `machine.simulate`.

    Each has the charge that fills the receiver alike (`machine.nominal_charge`); the valve keeps its old bulb.
    ``start`` is a comparison nearby and makes it quicker. Raises MachineError, UnknownRefrigerant, and ServiceError
    where one of the two finds no steady state.
    """
    runs = []
    for name, before in ((old, start.old if start else None), (new, start.new if start else None)):
        charge = nominal_charge(machine, name)
        run = simulate(machine, conditions, refrigerant=name, charge=charge, faults=faults, start=before)
        if not run.solved:
            raise ServiceError(
                _("with {name} the machine comes to no steady state, because {reason}.").format(
                    name=name, reason=run.reason
                )
            )
        runs.append(run)
    first, second = runs
    return Comparison(first, second, machine.switches.high_cutout)


def same_temperature(gauge: float, *, old: str, new: str, atmosphere: float = STANDARD_ATMOSPHERE) -> float:
    """Gauge pressure at which ``new`` boils at the temperature at which ``old`` boils at ``gauge``; Pa above the air.

    For a low-pressure switch that stands for a coil temperature. Raises ServiceError, refrigerants.RangeError.
    """
    reading, around = number("gauge", gauge, GAUGE), number("atmosphere", atmosphere, ATMOSPHERE)
    if reading + around <= 0.0:
        raise ServiceError(_("no gauge can show a vacuum deeper than the air pressure on the spot."))
    boiling = refrigerants.saturation_temperature(old, reading + around)
    return float(refrigerants.saturation_pressure(new, boiling)) - around
