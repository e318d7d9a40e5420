"""Cases of lesson faults-4: three tickets of the clinic."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.assess.items import PRACTICE_PREFIX
from coldcab.scenario import clinic
from coldcab.scenario.draw import Draw
from coldcab.words import _


@dataclass(frozen=True)
class ClinicCase:
    """Three machines by their tickets."""

    tickets: tuple[str, str, str]

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [
            *(
                (
                    f"machine {number}",
                    _("ticket {number}: {words}").format(number=name, words=clinic.ticket(name).words),
                )
                for number, name in enumerate(self.tickets, 1)
            ),
            (
                "engine",
                _("{speed:,.0f} rpm, sea level, 40 % humidity; all stood in the shop overnight").format(
                    speed=clinic.RPM
                ),
            ),
            ("budget", _("{budget:g} minutes for each machine").format(budget=clinic.BUDGET)),
        ]


def draw_case(term: str, learner: str, *, assignment: str = "faults-4") -> ClinicCase:
    """Return the tickets of one learner: one from each rack of a tray, in an order of their own.

    What is in a rack is not known here: a tray may hold any number of healthy machines, of single faults and of two.
    """
    draw = Draw(assignment, term, learner)
    tray = draw.pick("tray", clinic.trays(assignment.startswith(PRACTICE_PREFIX)))
    tickets = [draw.pick(f"rack {number}", rack) for number, rack in enumerate(tray)]
    return ClinicCase(draw.order("order", tickets))
