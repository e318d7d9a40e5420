"""The sight glass of a running machine, large."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab.instruments.controls import Choice
from coldcab.instruments.drawing import glass, style, svg
from coldcab.instruments.hands_on import NO_GLASS
from coldcab.instruments.machine_view import MACHINES, MachineView, pick
from coldcab.machine.readings import OFF
from coldcab.words import _


class SightGlass(MachineView):
    """The sight glass of a running machine.

    Readings as `MachineView`; those it shows are `glass` (clear, bubbles, foam, streaks, or still at rest) and
    `glass_void` (vapor share of the volume that passes, 0 to 1).
    """

    title = "The sight glass"
    height = 300
    word_lines = 4
    stamp = (230.0, 150.0)
    controls = pick("machine", "refrigerant", "charge", "fault", "severity", "ambient")

    def offered(self, control: Choice) -> tuple[str, ...]:
        """Machines with a glass; one without stays in the list only where a page has set it."""
        given = super().offered(control)
        if control.name != "machine":
            return given
        return tuple(one for one in given if one == self.setting("machine") or not MACHINES[one].valve.block)

    def face(self) -> str:
        drawn = svg.line(20, 150, 440, 150, stroke=style.INK, stroke_width=64)
        drawn += svg.line(20, 150, 440, 150, stroke=style.METAL, stroke_width=60)
        return glass.ANIMATION + drawn + svg.text(style.MARGIN, 30, _("Sight glass in the liquid line"), bold=True)

    def moving(self, readings: Mapping[str, Any]) -> str:
        if self.block:
            return svg.paragraph(490, 124, NO_GLASS, 330)
        look, void = readings["glass"], readings["glass_void"]
        drawn = glass.look(230, 150, 96, look, void)
        drawn += svg.text(490, 92, glass.SHORT[look], size=style.NUMBER, bold=True)
        drawn += svg.paragraph(490, 124, glass.in_words(look, void), 330)
        if readings["status"] != OFF:
            x = 420
            drawn += svg.path([(x, 142), (x + 14, 150), (x, 158)], closed=True, fill=style.INK)
        return drawn

    def summary(self, readings: Mapping[str, Any]) -> str:
        return f"{self.glass_words(readings)} {self.day_words(readings)}"
