"""Two published efficiency curves of automotive compressors on R-134a, in the form that a `Compressor` takes.

Coefficients stand once, in the head of compressor_r134a_efficiency.csv as they were read in an open library of building
models (AixLib, RWTH Aachen), and are taken from there. The first one's volumetric form was put right: the clearance
factor multiplies the bracket of density ratio, as physics asks (inference, not read).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import published_tables
from coldcab.machine.compressor import THOUSAND_RPM
from coldcab.machine.ops import Value

POUND_PER_CUBIC_FOOT = 0.0624279606  # of 1 kg/m3


def printed(name: str) -> list[float]:
    """The decimal numbers in the equations of ``name`` (DC, LI), in their order."""
    head = published_tables.header("compressor_r134a_efficiency")
    (line,) = (line for line in head.splitlines() if line.startswith(f"# {name}: "))
    return [float(text) for text in re.findall(r"\d+\.\d+(?:e-\d+)?", line)]


DARR_CRAWFORD = printed("DC")
LI = printed("LI")


@dataclass(frozen=True)
class DarrCrawford:
    """169 cm3 reciprocating compressor, R-134a: Darr and Crawford (1992), ACRC TR-14, University of Illinois.

    ``clearance`` of the tested machine is not known; 0.05 is assumed.
    """

    clearance: float = 0.05
    uses_density_ratio = True

    def volumetric(self, ops: Any, speed: Value, ratio: Value, squeeze: Value) -> Value:
        """(a - b n) (1 - C (rho_2s / rho_1 - 1)), n in rpm; ``squeeze`` is the bracket."""
        a, b = DARR_CRAWFORD[:2]
        return (a - b * 60.0 * speed) * (1.0 - self.clearance * squeeze)

    def isentropic(self, ops: Any, speed: Value, ratio: Value, suction_density: Value) -> Value:
        """a - b n - c / rho_1, n in rpm, rho_1 in lb/ft3."""
        a, b, c = DARR_CRAWFORD[2:]
        return a - b * 60.0 * speed - c / (suction_density * POUND_PER_CUBIC_FOOT)


@dataclass(frozen=True)
class Li:
    """170 cm3 reciprocating compressor, R-134a: Li (2013), Applied Thermal Engineering 50(1), 318.

    The paper's curve is volumetric; isentropic efficiency is taken from `DarrCrawford`.
    """

    kappa: float = 1.11

    def volumetric(self, ops: Any, speed: Value, ratio: Value, squeeze: Value) -> Value:
        """(a - b r^(1/kappa)) (c - d s - e s^2), s = n / 2000 rpm."""
        a, b, c, d, e = LI
        s = speed / (2.0 * THOUSAND_RPM)
        return (a - b * ratio ** (1.0 / self.kappa)) * (c - d * s - e * s * s)

    def isentropic(self, ops: Any, speed: Value, ratio: Value, suction_density: Value) -> Value:
        """As Darr and Crawford."""
        return DarrCrawford().isentropic(ops, speed, ratio, suction_density)
