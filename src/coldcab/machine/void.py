"""How much of a tube is vapour where liquid and vapour flow together: it decides how much refrigerant a coil holds.

Of ten published models Baroczy's is among those nearest to measured charge: Rice, ASHRAE Transactions 93(1), paper
3035 (1987), abstract; also an HVAC&R Research study of unitary machines, 9(1), 2003, abstract. Zivi's has a closed
mean; with the slip enlarged by the factor below it gives Baroczy's mean within the few per cent that the tests measure,
so the evaporator uses it. The condenser, whose quality does not fall evenly, takes Baroczy's place by place.
"""

from __future__ import annotations

from coldcab.machine.ops import Arithmetic, Value

EVAPORATOR_SLIP = 1.75  # times Zivi's slip, to meet Baroczy at evaporating pressures
LEAST_QUALITY = 1e-6  # and as far below 1: where a search may end up outside


def mean_void(ops: Arithmetic, low: Value, high: Value, density_ratio: Value, factor: float) -> Value:
    """Mean vapour share of the volume from quality ``low`` to ``high``, the quality rising evenly along the tube.

    ``density_ratio`` is vapour over liquid density. Void x / (c + (1 - c) x), c = factor * ratio^(2/3): Zivi (1964),
    J. Heat Transfer 86, 247 (slip (rho_l/rho_g)^(1/3)). The integral is closed.
    """
    c = factor * density_ratio ** (2.0 / 3.0)
    rest = 1.0 - c
    span = ops.maximum(high - low, 1e-4)
    return 1.0 / rest - c / (rest * rest * span) * ops.log((c + rest * (low + span)) / (c + rest * low))


def baroczy_void(ops: Arithmetic, quality: Value, density_ratio: Value) -> Value:
    """Local vapour share after Baroczy (1966), Chem. Eng. Prog. Symp. Ser. 62(65), 232; the form is from memory.

    1 / (1 + ((1 - x) / x)^0.74 r^0.65 v^0.13), r the ``density_ratio`` vapour over liquid, v the viscosity ratio
    liquid over vapour, for which 2 r^-0.6 stands: R-12 and R-134a from 45 to 75 C within 6 %, R-1234yf within 25 % by
    CoolProp 8.0.0, which is 3 % of v^0.13.
    """
    x = ops.minimum(ops.maximum(quality, LEAST_QUALITY), 1.0 - LEAST_QUALITY)
    return 1.0 / (1.0 + ((1.0 - x) / x) ** 0.74 * (2.0**0.13 * density_ratio**0.572))
