"""The invented fleet of the growers' co-operative: no real machine stands behind any number here."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.machine.fleet import FLEET as MACHINES


@dataclass(frozen=True)
class Unit:
    """One machine of the shop, as its invented data sheet describes it.

    ``displacement`` is the compressor's swept volume in m3 per revolution, ``pulley_ratio`` compressor turns per
    engine turn, ``charge`` the original charge in kg of ``original_refrigerant``.
    """

    number: int
    machine: str
    displacement: float
    pulley_ratio: float
    original_refrigerant: str
    charge: float

    @property
    def name(self) -> str:
        """What the shop calls it, for example "Unit 31, the combine"."""
        return f"Unit {self.number}, the {self.machine}"


FLEET: tuple[Unit, ...] = tuple(
    Unit(
        number,
        machine.name.partition(", the ")[2],
        machine.compressor.displacement,
        machine.compressor.pulley_ratio,
        machine.refrigerant,
        machine.charge,
    )
    for number, machine in MACHINES.items()
)
"""What the data sheets say of the machines in `coldcab.machine.fleet`, where each number is written."""

CONVERTED: tuple[Unit, ...] = tuple(unit for unit in FLEET if unit.original_refrigerant == "R-12")
"""Built for R-12; changed to R-134a since, or about to be."""

ON_R134A: tuple[Unit, ...] = tuple(unit for unit in FLEET if unit.original_refrigerant in ("R-12", "R-134a"))
"""What can stand in the shop with R-134a in it."""
