"""The shop's oil shelf and six machines that wait for oil: invented, like all of the shop."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from coldcab.oil import Plate, Tin
from coldcab.oil.shelf import DUSTY, LAST_WEEK, LOOSE, TODAY, UNIVERSAL
from coldcab.words import _


@dataclass(frozen=True)
class Waiting:
    """A machine that waits for oil: what it is, and what plate and manual ask for."""

    machine: str
    compressor: str
    plate: Plate
    note: str = ""

    @property
    def words(self) -> str:
        """The machine and its plate in one line."""
        dye = "" if self.plate.dye_allowed else _("; manual: no dye")
        return _("{machine}, {compressor}: {refrigerant}, {oil} ISO {grade}{dye}{note}").format(
            machine=self.machine,
            compressor=self.compressor,
            refrigerant=self.plate.refrigerant,
            oil=self.plate.oil,
            grade=self.plate.grade,
            dye=dye,
            note=self.note,
        )


MACHINES = (
    Waiting(_("the loader"), _("belt-driven piston compressor"), Plate("PAG", 46, "R-134a")),
    Waiting(_("the baler tractor"), _("belt-driven vane compressor"), Plate("PAG", 100, "R-134a", dye_allowed=False)),
    Waiting(_("the new sprayer"), _("belt-driven piston compressor"), Plate("PAG", 46, "R-1234yf")),
    Waiting(
        _("the old combine"),
        _("belt-driven piston compressor"),
        Plate("POE", 100, "R-134a"),
        _(" (maker's note on changing it from R-12)"),
    ),
    Waiting(_("the museum tractor"), _("belt-driven piston compressor"), Plate("mineral oil", 100, "R-12")),
    Waiting(
        _("the electric yard loader"),
        _("electric scroll compressor"),
        Plate("POE", 68, "R-134a", electric=True, dye_allowed=False),
    ),
)
"""Machines of customers, each with the plate of its compressor."""

SHELF = MappingProxyType(
    {
        "A": Tin("PAG", 46, ("R-134a",)),
        "B": Tin("PAG", 46, ("R-134a", "R-1234yf"), TODAY),
        "C": Tin("PAG", 100, ("R-134a",), LAST_WEEK),
        "D": Tin("PAG", 100, ("R-134a",), DUSTY, dye=True),
        "E": Tin("POE", 100, ("R-134a",)),
        "F": Tin("POE", 68, ("R-134a",)),
        "G": Tin("mineral oil", 100, ("R-12",), LOOSE),
        "H": Tin(UNIVERSAL, None, ("R-12", "R-134a", "R-1234yf")),
        "I": Tin("POE", 68, ("R-134a", "R-1234yf"), electric=True),
        "K": Tin("PAG", 150, ("R-134a",)),
    }
)
"""Ten tins by their letter."""
