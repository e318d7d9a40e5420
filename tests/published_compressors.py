"""Two published efficiency curves of automotive compressors on R-134a, in the form that a `Compressor` takes.

Coefficients as read in an open library of building models (AixLib, RWTH Aachen); the first one's volumetric form was
put right there: the clearance factor multiplies the bracket of density ratio, as physics asks (inference, not read).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from coldcab.machine.compressor import THOUSAND_RPM
from coldcab.machine.ops import Value

POUND_PER_CUBIC_FOOT = 0.0624279606  # of 1 kg/m3


@dataclass(frozen=True)
class DarrCrawford:
    """169 cm3 reciprocating compressor, R-134a: Darr and Crawford (1992), ACRC TR-14, University of Illinois.

    ``clearance`` of the tested machine is not known; 0.05 is assumed.
    """

    clearance: float = 0.05
    uses_density_ratio = True

    def volumetric(self, ops: Any, speed: Value, ratio: Value, squeeze: Value) -> Value:
        """(0.8889 - 1.0025e-4 n) (1 - C (rho_2s / rho_1 - 1)), n in rpm; ``squeeze`` is the bracket."""
        return (0.8889 - 1.0025e-4 * 60.0 * speed) * (1.0 - self.clearance * squeeze)

    def isentropic(self, ops: Any, speed: Value, ratio: Value, suction_density: Value) -> Value:
        """0.8405 - 4.8711e-5 n - 0.1105 / rho_1, n in rpm, rho_1 in lb/ft3."""
        density = suction_density * POUND_PER_CUBIC_FOOT
        return 0.8405 - 4.8711e-5 * 60.0 * speed - 0.1105 / density


@dataclass(frozen=True)
class Li:
    """170 cm3 reciprocating compressor, R-134a: Li (2013), Applied Thermal Engineering 50(1), 318.

    The paper's curve is volumetric; isentropic efficiency is taken from `DarrCrawford`.
    """

    kappa: float = 1.11

    def volumetric(self, ops: Any, speed: Value, ratio: Value, squeeze: Value) -> Value:
        """(0.779 - 0.036 r^(1/kappa)) (1.223 - 0.206 s - 0.017 s^2), s = n / 2000 rpm."""
        s = speed / (2.0 * THOUSAND_RPM)
        return (0.779 - 0.036 * ratio ** (1.0 / self.kappa)) * (1.223 - 0.206 * s - 0.017 * s * s)

    def isentropic(self, ops: Any, speed: Value, ratio: Value, suction_density: Value) -> Value:
        """As Darr and Crawford."""
        return DarrCrawford().isentropic(ops, speed, ratio, suction_density)
