"""A circuit with free water on the vacuum pump, followed until that water is gone.

The equations and the invented sizes stand in `coldcab.machine.transients.evacuation`; water in oil and in the drier,
and how long the pump then still runs, in `coldcab.service.pumping`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from coldcab.machine.transients import Vacuum, evacuation
from coldcab.machine.transients.evacuation import BOILING, WARMING
from coldcab.quantities import STANDARD_ATMOSPHERE, Limit, Value, plain
from coldcab.service.checks import ServiceError, number
from coldcab.service.evacuation import DEEP_TARGET, PRESSURE
from coldcab.words import _

LONGEST = 12 * 3600.0  # s that `drying` follows

# The shop of the examples: the inside of an ordinary cab circuit, a pump and two hoses (all invented).
CIRCUIT_VOLUME = 3.4e-3  # m3
PUMP_SPEED = 3.0 * 0.3048**3 / 60.0  # m3/s, 3 cfm
PUMP_ULTIMATE = 3.0  # Pa, 22 micron
NO_HOSE = _("none, pump at the port")
HOSES = {  # length and bore, m; without a hose what is between port and pump
    NO_HOSE: (0.05, 0.02),
    "3/16 in bore, 6 ft": (1.83, 3 / 16 * 0.0254),
    "3/8 in bore, 6 ft": (1.83, 3 / 8 * 0.0254),
}
WATCHED = 90.0 * 60.0  # s


@dataclass(frozen=True)
class Drying:
    """A pump-down followed to its end."""

    series: Vacuum
    dry_after: Value  # s until the free water is gone, to a milligram or a thousandth of it; infinite where it is not
    target_after: Value  # s until the target is first reached; it may be reached while ice is still there
    coldest_water: Value  # K
    frozen: Value  # True where some of it froze

    @property
    def done_after(self) -> Value:
        """s until the circuit is dry and at the target."""
        return plain(np.maximum(self.dry_after, self.target_after))


def drying(
    volume: Value,
    *,
    pump_speed: Value,
    water: Value,
    temperature: Value,
    target: float = DEEP_TARGET,
    ultimate_pressure: Value = 3.0,
    hose_length: Value = 1.5,
    hose_diameter: Value = 5e-3,
    core: bool = False,
    atmosphere: Value = STANDARD_ATMOSPHERE,
    warming: Value = WARMING,
    boiling: Value = BOILING,
    duration: float = 3600.0,
    samples: int = 481,
    tolerance: float = 1e-5,
) -> Drying:
    """A wet circuit on the pump: when it is dry, when the gauge reaches the target, whether the water froze.

    Arguments as for `coldcab.machine.transients.evacuation`, which follows it (its equations, ranges and invented
    sizes stand there), and `target`, Pa absolute. Starts from dry air at the atmosphere. Raises MachineError or
    ServiceError.
    """
    target = number("target", target, PRESSURE)
    duration = number("duration", duration, Limit("time", 10.0, LONGEST, "min"))
    found = evacuation(
        volume,
        pump_speed=pump_speed,
        ultimate_pressure=ultimate_pressure,
        hose_length=hose_length,
        hose_diameter=hose_diameter,
        core=core,
        water=water,
        temperature=temperature,
        start_pressure=atmosphere,
        atmosphere=atmosphere,
        boiling=boiling,
        warming=warming,
        duration=duration,
        samples=samples,
        tolerance=tolerance,
    )
    left = np.maximum(1e-6, 1e-3 * found.water[0])
    wet = found.water > left
    after = wet.shape[0] - np.argmax(wet[::-1], axis=0)  # the first reading of a dry circuit
    there = np.minimum(after, found.time.size - 1)
    before, then = (np.take_along_axis(found.water, np.expand_dims(k, 0), 0)[0] for k in (there - 1, there))
    # Straight between the two readings: the last of the water goes at a steady rate.
    share = np.clip((before - left) / np.maximum(before - then, 1e-12), 0.0, 1.0)
    crossing = found.time[there - 1] + share * (found.time[there] - found.time[there - 1])
    dry = np.where(wet.any(axis=0), np.where(after < found.time.size, crossing, math.inf), 0.0)
    coldest = np.where(wet, found.water_temperature, np.inf).min(axis=0)
    coldest = np.where(np.isfinite(coldest), coldest, found.water_temperature[0])
    frozen = (found.ice * wet).max(axis=0) > 0.0
    return Drying(
        found,
        plain(dry),
        found.time_to(target),
        plain(coldest),
        bool(frozen) if np.ndim(frozen) == 0 else frozen,
    )


def shop_drying(
    water: float,
    temperature: float,
    *,
    hose: str,
    cores: bool,
    pump_speed: float = PUMP_SPEED,
    atmosphere: float = STANDARD_ATMOSPHERE,
    coarse: bool = False,
) -> Drying:
    """`drying` of an ordinary cab circuit with one of the shop's `HOSES`, for an hour and a half, as it is drawn.

    ``water`` kg, ``temperature`` K, ``pump_speed`` m3/s, ``atmosphere`` Pa. ``coarse`` is for a hand that still moves:
    a third of the steps, a tenth of the care. Raises ServiceError.
    """
    if hose not in HOSES:
        raise ServiceError(
            _("{value!r} is not a hose of this shop; it has {hoses}.").format(
                value=str(hose)[:30], hoses=", ".join(HOSES)
            )
        )
    length, bore = HOSES[hose]
    return drying(
        CIRCUIT_VOLUME,
        pump_speed=pump_speed,
        water=water,
        temperature=temperature,
        ultimate_pressure=PUMP_ULTIMATE,
        hose_length=length,
        hose_diameter=bore,
        core=cores,
        atmosphere=atmosphere,
        duration=WATCHED,
        samples=31 if coarse else 91,
        tolerance=1e-2 if coarse else 1e-3,
    )
