"""Numbers in the sentences of lesson retrofit-1."""

import math

from coldcab import instruments, refrigerants
from coldcab.refrigerants.exact import exact
from coldcab.service import depth, identification, law, recovery
from material import keys_of

PSI, POUND = 6894.757293168, 0.45359237


def kelvin(fahrenheit):
    return (fahrenheit + 459.67) / 1.8


def leap(name, fahrenheit):
    """Pressure rise of a liquid-full cylinder over one degree Fahrenheit, psi."""
    line = refrigerants.saturation(name, temperature=kelvin(fahrenheit))
    inside = {"temperature": kelvin(fahrenheit + 1), "density": line.liquid_density}
    return (exact(name).state(inside)[0] - line.pressure) / PSI


def cylinder(**settings):
    return instruments.recovery_cylinder(gross_rating="50 lb", system="us", **settings)


def five_more():
    """Scale 5 lb above the stop mark: liquid-full below 120 F, which a closed truck reaches in summer."""
    stop = cylinder().readings["gross"] / POUND
    return cylinder(scale=stop + 5).readings["full_temperature"] < kelvin(120)


def limit_is_never_full():
    full = [
        cylinder(refrigerant=name, scale=cylinder(refrigerant=name).readings["gross"] / POUND).readings
        for name in ("R-12", "R-134a")
    ]
    return all(one["full_temperature"] > kelvin(150) for one in full)


def is_mixture(share):
    return identification.identify({"R-12": 1 - share, "R-134a": share}).name == "mixture"


SAID = [
    ("**98 % or more of one refrigerant**", lambda: not is_mixture(0.019) and is_mixture(0.021)),
    ("**4 inHg vacuum** for a cab", lambda: abs(depth.required_depth(depth.OFF_ROAD).vacuum / 3386.389 - 4) < 0.05),
    (
        "The law wants 5 minutes, and a vacuum that stays steady for 2.",
        lambda: (law.fact("V3").number, law.fact("V4").number) == (5, 2),
    ),
    (
        "leaps by 35 to 55 psi with every degree Fahrenheit (4 to 7 bar a kelvin)",
        lambda: (
            all(33 < leap(name, warmth) < 56 for name in ("R-12", "R-134a") for warmth in (70, 100, 130))
            and 4 * 8.06 < 35 < 55 < 7 * 8.06  # 1 bar a kelvin is 14.504 / 1.8 = 8.06 psi a degree
        ),
    ),
    ("allowed net mass = 0.80 × WC", lambda: law.fact("V13").number == 80),
    ("at most 60 % of the container's **gross weight", lambda: law.fact("V12").number == 60),
    ("Filled to the limit, the liquid never reaches the top in any weather.", limit_is_never_full),
    ("Five pounds more, and a closed truck in summer is enough.", five_more),
    ("31.8 lb is 31 lb 12.8 oz", lambda: abs(0.8 * 16 - 12.8) < 1e-9),
    (
        "is good to about 0.08 lb",
        lambda: abs(recovery.mass_recovered(0, 1, resolution=0.1).uncertainty - 0.2 / math.sqrt(6)) < 1e-9,
    ),
    (
        "has stood for 12 hours at 65 F or more",
        lambda: (
            law.fact("V15").value == "65 F / 12 h"
            and (keys_of("retrofit-1").STAND, keys_of("retrofit-1").COOLEST) == (12, 65)
        ),
    ),
    ("within 4 in of it", lambda: "4 in" in law.fact("V16").value),
    ("The law wants three years of other records", lambda: law.fact("C3").number == 3),
    ("not liquid-full at 131 F", lambda: abs(recovery.TRANSPORT_TEMPERATURE - kelvin(131)) < 0.01),
    ("2 % hydrocarbon: common practice", lambda: identification.FLAMMABLE == 0.02),
]
