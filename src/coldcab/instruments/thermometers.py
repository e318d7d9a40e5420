"""Eleven thermometers on a running machine."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldcab.instruments.drawing import thermometers
from coldcab.instruments.machine_view import MachineView, pick
from coldcab.words import _

DIFFERENT = _("Clearly different: {names}.")


class Thermometers(MachineView):
    """Eleven thermometers on a running machine, with marks for the healthy one on the same day.

    Readings as `MachineView`.
    """

    title = "Thermometers"
    height = int(thermometers.HEIGHT)
    word_lines = 4
    stamp = (450.0, 130.0)
    controls = pick("machine", "refrigerant", "fault", "severity", "charge", "engine_speed", "ambient", "blower")

    def face(self) -> str:
        return thermometers.still(self.system)

    def moving(self, readings: Mapping[str, Any]) -> str:
        return thermometers.moving(readings, self.system)

    def summary(self, readings: Mapping[str, Any]) -> str:
        healthy = readings["healthy"]
        moved = [
            thermometers.FULL_NAMES[name]
            for name, *__ in thermometers.PLACES
            if thermometers.changed(readings, healthy, name)
        ]
        sentences = [self.day_words(readings)]
        if healthy:
            differ = DIFFERENT.format(names=", ".join(moved)) if moved else _("No thermometer differs clearly.")
            sentences = [_("The open marks are the healthy machine on the same day."), differ, *sentences]
        return " ".join(sentences)

    def details(self, readings: Mapping[str, Any]) -> str:
        return f"{thermometers.in_words(readings, self.system)} {self.day_words(readings)}"
