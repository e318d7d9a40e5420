"""Sample oils for the course: viscosities of the usual size for their type and grade.

Invented, and no can's data sheet: the label of the oil in hand decides. They were chosen so that the viscosity index
lies where such oils lie: naphthenic mineral oil near 30, esters from 110 to 130, PAG above 200 [from memory].
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from coldcab.oil.checks import OilError
from coldcab.quantities import FREEZING, SQUARE_MILLIMETER

Points = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Sample:
    """A sample oil: its type (a key of `properties.OILS`), ISO viscosity grade, and two points (K, m2/s)."""

    name: str
    oil: str
    grade: int
    points: Points


def _sample(name: str, oil: str, grade: int, at_40: float, at_100: float) -> Sample:
    points = (40.0 + FREEZING, at_40 * SQUARE_MILLIMETER), (100.0 + FREEZING, at_100 * SQUARE_MILLIMETER)
    return Sample(name, oil, grade, points)


_ENTRIES = (
    _sample("PAG 46", "PAG", 46, 46.0, 10.2),
    _sample("PAG 100", "PAG", 100, 100.0, 20.0),
    _sample("PAG 150", "PAG", 150, 150.0, 28.0),
    _sample("POE 32", "POE", 32, 32.0, 5.8),
    _sample("POE 68", "POE", 68, 68.0, 9.5),
    _sample("POE 100", "POE", 100, 100.0, 11.9),
    _sample("mineral 68", "mineral oil", 68, 68.0, 7.0),
    _sample("mineral 100", "mineral oil", 100, 100.0, 8.7),
)
SAMPLES = MappingProxyType({sample.name: sample for sample in _ENTRIES})
"""Sample oils by name."""


def sample_named(name: str) -> Sample:
    """The sample oil of a name, such as "PAG 46"; OilError for any other."""
    if name not in SAMPLES:
        raise OilError(f"{str(name)[:40]!r} is not a sample oil; there are {', '.join(SAMPLES)}.")
    return SAMPLES[name]
