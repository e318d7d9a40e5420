"""The clinic: sick and healthy machines with tickets, and all that can be measured on them; what they have is not here.

The readings come from the machine model with the scatter of machines and instruments, stored once. The causes of the
graded tickets stay with the instructor; those of the practice tickets (their numbers begin with P) lie beside them.
Tickets lie in trays of three racks; from each rack of a tray a learner gets one. All machines are invented.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any

from coldcab.faults import HEALTHY, measurements, observables
from coldcab.faults.observables import GLASS_LOOKS, NUMBERS
from coldcab.machine.fleet import FLEET
from coldcab.scenario import par
from coldcab.scenario.showing import shown
from coldcab.scenario.sick_machines import REFRIGERANT
from coldcab.words import _

RPM = 1500.0
BUDGET = 30.0
"""Minutes for each machine; what is spent beyond costs points, and at three times as much none are left."""

PRICES = {name: one.minutes for name, one in measurements.items()} | {"standing pressure": 10.0}
"""Minutes of each measurement. The machines have stood in the shop overnight, so the standing pressure is at hand."""

CAUSES = (
    "hot air recirculated",
    "charge low",
    "drier restricted",
    "worn compressor",
    "air in the circuit",
    "condenser blocked",
    "low evaporator air",
    "clutch or belt slipping",
    "charge high",
    "heater valve leaking",
    "valve screen plugged",
    "condenser fan slow",
    "bulb loose or bare",
    HEALTHY,
)
"""What a machine of the clinic can have, one or two of them, or nothing."""

NEWEST = "R-1234yf"


def refrigerant_in(unit: int) -> str:
    """What is in a machine of the shop: R-1234yf where it was built for it, R-134a in all others."""
    return NEWEST if FLEET[unit].refrigerant == NEWEST else REFRIGERANT


@dataclass(frozen=True)
class Ticket:
    """One machine in the clinic: number, unit, day (F), its readings and those of the healthy machine that day (SI)."""

    number: str
    unit: int
    day: float
    complaint: str
    seen: dict[str, Any]
    healthy: dict[str, Any]

    @property
    def par(self) -> float | None:
        """Minutes to play against, see `par`; None where there are none."""
        return par.of_ticket(self.number)

    @property
    def words(self) -> str:
        """Machine, day and complaint as the sheet shows them."""
        return _("{machine}, {refrigerant}, {temperature}, doors open. {complaint}").format(
            machine=FLEET[self.unit].name,
            refrigerant=refrigerant_in(self.unit),
            temperature=shown(f"{self.day:g} F", "temperature"),
            complaint=self.complaint,
        )


COMPLAINTS = (
    _("“It does not cool.”"),
    _("“It was better last summer.”"),
    _("“My neighbor's is colder.”"),
    _("“It cools, but not in the afternoon.”"),
    _("“Somebody topped it up in spring.”"),
    _("“Have a look before the harvest.”"),
)


@lru_cache(maxsize=2)
def _stored(practice: bool) -> dict[str, Any]:
    import numpy as np

    name = "clinic_practice.npz" if practice else "clinic.npz"
    with files("coldcab.scenario").joinpath(name).open("rb") as stream:
        return dict(np.load(stream))


def trays(practice: bool) -> tuple[tuple[tuple[str, ...], ...], ...]:
    """Numbers of the tickets by tray and rack."""
    stored = _stored(practice)
    letter = "P" if practice else ""
    return tuple(
        tuple(tuple(f"{letter}{number}" for number in rack) for rack in tray) for tray in stored["trays"].tolist()
    )


@lru_cache(maxsize=4096)
def ticket(number: str) -> Ticket:
    """Return a machine by its ticket: "217", or "P7" for practice.

    Raises
    ------
    ValueError
        If there is no such ticket.
    """
    typed = number.strip().upper()
    practice = typed.startswith("P")
    stored = _stored(practice)
    digits = typed.removeprefix("P").strip()
    place = int(digits) - 1 if digits.isascii() and digits.isdigit() and len(digits) < 6 else -1
    if not 0 <= place < len(stored["unit"]):
        raise ValueError(
            _(
                "There is no ticket {typed}: P1 to P{practice} are for practice, 1 to {graded} stand on graded sheets."
            ).format(
                typed=number.strip()[:12] or _("without a number"),
                practice=len(_stored(True)["unit"]),
                graded=len(_stored(False)["unit"]),
            )
        )
    unit, day = int(stored["unit"][place]), float(stored["day"][place])
    known = next(
        row for row, (one, other) in enumerate(stored["healthy_of"].tolist()) if int(one) == unit and other == day
    )
    return Ticket(
        ("P" if practice else "") + str(place + 1),
        unit,
        day,
        COMPLAINTS[int(stored["complaint"][place])],
        _readings(stored, "", place),
        _readings(stored, "healthy_", known),
    )


def _readings(stored: dict[str, Any], prefix: str, place: int) -> dict[str, Any]:
    numbers = dict(zip(NUMBERS, stored[f"{prefix}numbers"][place].astype(float).tolist(), strict=True))
    glass, frost = GLASS_LOOKS[int(stored[f"{prefix}glass"][place])], bool(stored[f"{prefix}frost"][place])
    return {name: numbers.get(name, glass if name == "glass" else frost) for name in observables}
