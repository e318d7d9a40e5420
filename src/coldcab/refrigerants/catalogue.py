"""What the course says about each refrigerant, every figure with its source and mark.

Marks: "read" (the source was open when the figure was written), "from memory" (to be checked before anything
depends on it), "common practice, no source".
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

__all__ = ["Refrigerant", "catalogue"]


@dataclass(frozen=True)
class Refrigerant:
    """One refrigerant; SI units. ``sources`` names source and mark of every field."""

    designation: str
    chemical_name: str
    formula: str
    molar_mass: float  # kg/mol
    critical_temperature: float  # K
    critical_pressure: float  # Pa absolute
    critical_density: float  # kg/m3
    normal_boiling_point: float  # K, at 101325 Pa
    safety_class: str  # ASHRAE Standard 34
    ozone_depletion_potential: float  # R-11 = 1
    global_warming_potential: Mapping[str, float]  # over 100 years, CO2 = 1, by IPCC assessment report
    oils: tuple[str, ...]
    sources: Mapping[str, str]


NAMES = "IUPAC name and formula behind the ASHRAE Standard 34 designation, from memory"
ENGINE = "CoolProp 8.0.0, equation of state of {}, read"
SAFETY = "ASHRAE Standard 34 class as given in CoolProp 8.0.0 fluid metadata, read"
WARMING = "IPCC assessment reports, 100 years, in the open data package globalwarmingpotentials 0.13.2, read"
WARMING_1234YF = "AR4: 4, CoolProp 8.0.0 fluid metadata, read; AR5: printed as below 1, AR6: 0.501, both from memory"
CHLORINE = "Montreal Protocol, Annex A group I / 40 CFR 82 subpart A appendix A, from memory"
CHLORINE_C = "Montreal Protocol, Annex C group I, from memory"
NO_CHLORINE = "0 since it holds neither chlorine nor bromine, from memory"
OILS = "common practice, no source; the equipment's manual decides"

MINERAL = ("mineral oil",)
SYNTHETIC = ("polyalkylene glycol (PAG)", "polyol ester (POE)")


def _entry(
    *, equation: str, warming: Mapping[str, float], sources: Mapping[str, str] | None = None, **values: Any
) -> Refrigerant:
    """One refrigerant with the usual sources, except where its own are given."""
    engine = ENGINE.format(equation)
    usual = {
        "chemical_name": NAMES,
        "formula": NAMES,
        "molar_mass": engine,
        "critical_temperature": engine,
        "critical_pressure": engine,
        "critical_density": engine,
        "normal_boiling_point": engine,
        "safety_class": SAFETY,
        "ozone_depletion_potential": NO_CHLORINE,
        "global_warming_potential": WARMING,
        "oils": OILS,
    }
    return Refrigerant(
        **values,
        global_warming_potential=MappingProxyType(dict(warming)),
        sources=MappingProxyType(usual | dict(sources or {})),
    )


_ENTRIES = (
    _entry(
        designation="R-12",
        chemical_name="dichlorodifluoromethane",
        formula="CCl2F2",
        molar_mass=0.120913,
        critical_temperature=385.12,
        critical_pressure=4136166.0,
        critical_density=565.0,
        normal_boiling_point=243.398,
        safety_class="A1",
        ozone_depletion_potential=1.0,
        oils=MINERAL,
        equation="Marx, Pruss and Wagner 1992",
        warming={"AR4": 10900, "AR5": 10200, "AR6": 12500},
        sources={"ozone_depletion_potential": CHLORINE},
    ),
    _entry(
        designation="R-134a",
        chemical_name="1,1,1,2-tetrafluoroethane",
        formula="CH2FCF3",
        molar_mass=0.102032,
        critical_temperature=374.212,
        critical_pressure=4059276.0,
        critical_density=511.945,
        normal_boiling_point=247.076,
        safety_class="A1",
        ozone_depletion_potential=0.0,
        oils=SYNTHETIC,
        equation="Tillner-Roth and Baehr 1994",
        warming={"AR4": 1430, "AR5": 1300, "AR6": 1530},
    ),
    _entry(
        designation="R-152a",
        chemical_name="1,1-difluoroethane",
        formula="CH3CHF2",
        molar_mass=0.066051,
        critical_temperature=386.411,
        critical_pressure=4516750.0,
        critical_density=368.0,
        normal_boiling_point=249.128,
        safety_class="A2",
        ozone_depletion_potential=0.0,
        oils=SYNTHETIC,
        equation="Outcalt and McLinden 1996",
        warming={"AR4": 124, "AR5": 138, "AR6": 164},
    ),
    _entry(
        designation="R-1234yf",
        chemical_name="2,3,3,3-tetrafluoroprop-1-ene",
        formula="CF3CF=CH2",
        molar_mass=0.1140416,
        critical_temperature=367.85,
        critical_pressure=3384374.0,
        critical_density=476.694,
        normal_boiling_point=243.692,
        safety_class="A2L",
        ozone_depletion_potential=0.0,
        oils=SYNTHETIC,
        equation="Lemmon and Akasaka 2022",
        warming={"AR4": 4, "AR5": 1, "AR6": 0.501},
        sources={"global_warming_potential": WARMING_1234YF},
    ),
    _entry(
        designation="R-22",
        chemical_name="chlorodifluoromethane",
        formula="CHClF2",
        molar_mass=0.086468,
        critical_temperature=369.295,
        critical_pressure=4990000.0,
        critical_density=523.842,
        normal_boiling_point=232.34,
        safety_class="A1",
        ozone_depletion_potential=0.055,
        oils=("mineral oil", "alkylbenzene"),
        equation="Kamei, Beyerlein and Jacobsen 1995",
        warming={"AR4": 1810, "AR5": 1760, "AR6": 1960},
        sources={"ozone_depletion_potential": CHLORINE_C},
    ),
)

catalogue: Mapping[str, Refrigerant] = MappingProxyType({entry.designation: entry for entry in _ENTRIES})
