"""Oil: viscosity, grades and blends, what is left after rinsing, what mixes with what, and the ledger.

Inside this room everything is SI: kinematic viscosity in m2/s, volume in m3, temperature in K, pressure absolute
in Pa. Whatever lies outside a range, or cannot be, raises `OilError` with one plain sentence.
"""

from coldcab.oil.blending import METHODS, blend_viscosity, blending_number
from coldcab.oil.checks import OilError
from coldcab.oil.compatibility import (
    DESICCANTS,
    SEALS,
    Finding,
    desiccant_and_refrigerant,
    matrix,
    oil_and_refrigerant,
    oil_and_seal,
    seal_and_refrigerant,
)
from coldcab.oil.distribution import RETAINED, Placement, Proposal, Retained, propose
from coldcab.oil.ledger import WHOLE_CIRCUIT, Amount, Entry, Ledger
from coldcab.oil.moisture import HYGROSCOPY, moisture_content
from coldcab.oil.properties import OILS, Oil, density, mass, oil_named, volume
from coldcab.oil.residue import (
    RESIDUE_LIMIT,
    STRINGENT_RESIDUE_LIMIT,
    residual_after_rinses,
    residual_share,
    rinse_factor,
    rinses_needed,
)
from coldcab.oil.shelf import OBJECTIONS, Plate, Tin, fit_to_use, objections
from coldcab.oil.solution import bubble_point_rise, local_oil_fraction
from coldcab.oil.viscosity import (
    ISO_GRADES,
    ViscosityLine,
    grade_limits,
    grade_of,
    kinematic_viscosity,
    viscosity_index,
    viscosity_line,
)

__all__ = [
    "DESICCANTS",
    "HYGROSCOPY",
    "ISO_GRADES",
    "METHODS",
    "OBJECTIONS",
    "OILS",
    "RESIDUE_LIMIT",
    "RETAINED",
    "SEALS",
    "STRINGENT_RESIDUE_LIMIT",
    "WHOLE_CIRCUIT",
    "Amount",
    "Entry",
    "Finding",
    "Ledger",
    "Oil",
    "OilError",
    "Placement",
    "Plate",
    "Proposal",
    "Retained",
    "Tin",
    "ViscosityLine",
    "blend_viscosity",
    "blending_number",
    "bubble_point_rise",
    "density",
    "desiccant_and_refrigerant",
    "fit_to_use",
    "grade_limits",
    "grade_of",
    "kinematic_viscosity",
    "local_oil_fraction",
    "mass",
    "matrix",
    "moisture_content",
    "objections",
    "oil_and_refrigerant",
    "oil_and_seal",
    "oil_named",
    "propose",
    "residual_after_rinses",
    "residual_share",
    "rinse_factor",
    "rinses_needed",
    "seal_and_refrigerant",
    "viscosity_index",
    "viscosity_line",
    "volume",
]
