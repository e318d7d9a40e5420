"""Numbers in the sentences of lesson oil-1."""

from coldcab import oil, units
from coldcab.oil.moisture import HOUR, USUAL_LIMIT
from coldcab.oil.samples import SAMPLES

FLUID_OUNCE = units.from_unit(1.0, "volume", "fl oz")
OUNCE = units.from_unit(1.0, "mass", "oz")
THIN, THICK = (SAMPLES[name].points[0][1] for name in ("PAG 46", "PAG 150"))
BLEND = oil.blend_viscosity((THIN, THICK), (0.5, 0.5))
WATER = 998.2  # kg/m3 at 20 C (IAPWS formulation 1995, from memory)

SAID = [
    (
        "from 10 % below its number to 10 % above",
        # ISO 3448:1992, table 1: VG 46 is 41.4 to 50.6.
        lambda: [round(limit * 1e7) for limit in oil.grade_limits(46)] == [414, 506],
    ),
    ("comes out at 80 cSt", lambda: round(BLEND * 1e6) == 80),
    ("the mean would be 98 cSt", lambda: round((THIN + THICK) / 2 * 1e6) == 98),
    (
        "lies between VG 68 and VG 100",
        lambda: oil.grade_of(BLEND) is None and oil.grade_limits(68)[1] < BLEND < oil.grade_limits(100)[0],
    ),
    ("50 parts of water in a million", lambda: abs(USUAL_LIMIT - 50e-6) < 1e-12),
    (
        "two times over, or twenty times",
        # Within the stated factor of two of twenty, and far from two.
        lambda: 10 < oil.moisture_content("PAG", 24 * HOUR, depth=0.1016) / USUAL_LIMIT < 40,
    ),
    (
        "less than 5 % mineral oil in a changed circuit, some makers for less than 1 %",
        lambda: (oil.RESIDUE_LIMIT, oil.STRINGENT_RESIDUE_LIMIT) == (0.05, 0.01),
    ),
    ("weighs 1.04 ounces for each fluid ounce", lambda: round(FLUID_OUNCE * WATER / OUNCE, 2) == 1.04),
    ("lie 3 % apart", lambda: round(100 * (oil.mass(FLUID_OUNCE, "PAG") / OUNCE - 1)) == 3),
    ("mineral oil 5 % the other way", lambda: round(100 * (1 - oil.mass(FLUID_OUNCE, "mineral oil") / OUNCE)) == 5),
]
