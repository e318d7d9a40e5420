"""The circuit of a running machine."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab.instruments.controls import gauge_words
from coldcab.instruments.drawing import circuit, glass
from coldcab.instruments.machine_view import STATUS, MachineView, pick
from coldcab.words import _


class CircuitDrawing(MachineView):
    """The circuit of a running machine, with what is in its lines and how warm they are.

    Readings as `MachineView`.
    """

    title = "The circuit"
    height = int(circuit.HEIGHT)
    word_lines = 4
    stamp = (300.0, 200.0)
    face_settings = ("machine",)
    controls = pick("machine", "refrigerant", "fault", "severity", "charge", "engine_speed", "ambient", "blower")

    def face(self) -> str:
        return glass.ANIMATION + circuit.still(self.block)

    def moving(self, readings: Mapping[str, Any]) -> str:
        return circuit.moving(readings, self.system, self.block)

    def standing(self) -> str:
        return circuit.standing(self.block)

    def summary(self, readings: Mapping[str, Any]) -> str:
        low, high = (gauge_words(readings[f"{side}_gauge"], self.system) for side in ("low", "high"))
        status = _("{status}: low side {low}, high side {high}, {glass}.").format(
            status=readings["status"].capitalize(),
            low=low,
            high=high,
            glass=_("no sight glass") if self.block else _("glass {look}").format(look=readings["glass"]),
        )
        return f"{status} {STATUS[readings['status']]}"

    def details(self, readings: Mapping[str, Any]) -> str:
        temperatures = circuit.temperatures_in_words(readings, self.system)
        return f"{self.summary(readings)} {circuit.states_in_words(readings)} {temperatures} {self.day_words(readings)}"
