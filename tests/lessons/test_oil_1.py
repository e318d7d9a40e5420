"""Numbers in the sentences of lesson oil-1."""

from coldcab import instruments, oil, units
from coldcab.oil.moisture import HOUR, USUAL_LIMIT
from coldcab.oil.samples import SAMPLES

FLUID_OUNCE = units.from_unit(1.0, "volume", "fl oz")
OUNCE = units.from_unit(1.0, "mass", "oz")
THIN, THICK = (SAMPLES[name].points[0][1] for name in ("PAG 46", "PAG 150"))
BLEND = oil.blend_viscosity((THIN, THICK), (0.5, 0.5))
WATER = 998.2  # kg/m3 at 20 C (IAPWS formulation 1995, from memory)


def lost(**settings):
    """Share of unit 31's cooling that this much oil takes, from the lesson's own instrument."""
    return -instruments.oil_circulation(**settings).readings["change"]


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
    ("1 fl oz in 4 fl oz is 25 %", lambda: 1 / 4 == 0.25),
    ("twice the oil costs under 1 %", lambda: 0.0 < lost(oil="200 %") < 0.01),
    (
        "it is 4 to 5 %; at 100 %, the worst case, a quarter",
        lambda: 0.04 < lost(lying="50 %") < 0.05 and 0.22 < lost(lying="100 %") < 0.28,
    ),
    ("some twenty times over", lambda: 18 < oil.moisture_content("PAG", 24 * HOUR, depth=0.1016) / USUAL_LIMIT < 26),
    ("1.5 ÷ 6.0 = 25 %", lambda: 1.5 / (1.5 + 4.5) == 0.25),
    ("25 % of 25 %, or 6.25 %", lambda: 0.25**2 == 0.0625),
    ("0.094 fl oz of mineral oil", lambda: round(1.5 * 0.0625, 3) == 0.094),
    ("In a circuit of 8 fl oz it is 1.2 %", lambda: round(100 * 1.5 * 0.0625 / 8.0, 1) == 1.2),
    ("0.987 kg/L", lambda: abs(oil.density("PAG") - 987.0) < 2.0),
    ("236.6 mL", lambda: round(8 * FLUID_OUNCE * 1e6, 1) == 236.6),
    ("233.5 g", lambda: round(236.6 * 0.987, 1) == 233.5),
    ("the scale shows 8.24 oz", lambda: round(233.5 / 28.35, 2) == 8.24 and abs(OUNCE - 28.35e-3) < 1e-6),
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
