"""The invented fleet of the growers' co-operative: no real machine stands behind any number here."""

from __future__ import annotations

from dataclasses import dataclass


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


FLEET: tuple[Unit, ...] = (
    Unit(7, "wheel loader", 164e-6, 1.30, "R-12", 1.25),
    Unit(12, "orchard sprayer", 108e-6, 1.40, "R-12", 0.90),
    Unit(18, "motor grader", 155e-6, 1.25, "R-12", 1.45),
    Unit(26, "forage harvester", 178e-6, 1.20, "R-12", 1.70),
    Unit(31, "combine", 170e-6, 1.35, "R-12", 1.55),
    Unit(44, "road sweeper", 125e-6, 1.50, "R-12", 1.10),
)
