"""The invented shop: its fleet, its sick machines, and the keyed draw of numbers."""

from __future__ import annotations

from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import FLEET, Unit
from coldcab.scenario.showing import shown

__all__ = ["FLEET", "Draw", "Unit", "shown"]
