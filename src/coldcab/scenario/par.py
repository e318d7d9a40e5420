"""Par: the minutes of a careful technician on a case, to play against.

The reference player always takes the measurement that should tell most in a minute (`faults.next_measurement`), until
the cause is sure. It was played once for every case (``python -m coldcab.make par``). Only its minutes are stored,
rounded up to whole steps; for graded tickets these are so wide that par names no cause.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files
from typing import Any

from coldcab.faults import Posterior, measurements, next_measurement
from coldcab.faults.observables import Observed

SURE = 0.85
"""Probability from which a cause counts as found."""

STEP = 5.0
"""Minutes to which par is rounded up."""

GRADED = (20.0, 30.0)
"""Par of a graded ticket is rounded up to one of these."""

LONGEST = 15
"""Measurements after which the reference player gives up."""

Ask = Callable[[Mapping[str, Observed]], Posterior]
"""What readings say of a machine."""


@dataclass(frozen=True)
class Player:
    """The reference player at one machine on one day.

    ``prices`` are minutes by measurement; ``possible`` says whether the machine lets one be taken; ``shares`` are the
    probabilities of what has to be told apart.
    """

    ask: Ask
    prices: Mapping[str, float]
    possible: Callable[[str], bool]
    shares: Callable[[Posterior], Mapping[str, float]]
    _begun: dict[tuple[Any, ...], tuple[Posterior, str | None]] = field(default_factory=dict, repr=False)

    def path(
        self,
        everything: Mapping[str, Observed],
        cause: str,
        *,
        first: tuple[str, ...] = (),
    ) -> tuple[tuple[str, ...], bool]:
        """Return what is measured, in its order, and whether the cause was sure at the end.

        Parameters
        ----------
        everything
            All that could be observed on the machine, SI.
        cause
            What it has, by its name in ``shares``. Who is sure of another one still has to confirm it and finds
            that it is not: so the player goes on.
        first
            Measurements that are taken in any case.
        """
        path = first
        while True:
            now, following = self._looked(path, everything)
            sure = bool(path) and self.shares(now)[cause] >= SURE
            if sure or following is None or len(path) == LONGEST:
                return path, sure
            path += (following,)

    def _looked(self, path: tuple[str, ...], everything: Mapping[str, Observed]) -> tuple[Posterior, str | None]:
        """What is known after a path, and what to measure next; the first steps are the same for many machines."""
        seen = {name: everything[name] for one in path for name in measurements[one].gives}
        key = (path, *seen.values())
        if key not in self._begun:
            now = self.ask(seen)
            offered = next_measurement(now, taken=path, prices=self.prices)
            best = next((one for one in offered if self.possible(one.measurement.name)), None)
            found = now, best.measurement.name if best and best.bits >= NOTHING else None
            if len(path) > ALIKE:
                return found
            self._begun[key] = found
        return self._begun[key]


NOTHING = 0.01
"""Bits below which a measurement tells nothing."""

ALIKE = 1
"""Measurements up to which it is worth keeping what follows."""


def rounded_up(minutes: float, *, graded: bool = False) -> float:
    """Return minutes as par says them; of a graded ticket the widest step stands for all that is more."""
    if graded:
        return next((step for step in GRADED if minutes <= step), GRADED[-1])
    return STEP * math.ceil(minutes / STEP)


@lru_cache(maxsize=1)
def _stored() -> dict[str, Any]:
    import numpy as np

    with files("coldcab.scenario").joinpath("par.npz").open("rb") as stream:
        return dict(np.load(stream))


def of_ticket(number: str) -> float | None:
    """Return par for a ticket of the clinic, by its number as `clinic.ticket` gives it; None where there is none."""
    row = _stored()["practice" if number.startswith("P") else "graded"]
    return float(row[int(number.removeprefix("P")) - 1]) or None


def of_complaint(number: int, unit: int, fahrenheit: float) -> float | None:
    """Return par for a page of the complaint book on a machine's day; None where there is none."""
    stored = _stored()
    place = stored["units"].tolist().index(unit), stored["days"].tolist().index(fahrenheit), number - 1
    return float(stored["complaints"][place]) or None
