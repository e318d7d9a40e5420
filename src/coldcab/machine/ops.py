"""Arithmetic for one number or for arrays: the same equations are written once and run on either.

`FLOATS` works on plain Python floats (fast for one machine), `ARRAYS` on NumPy arrays (fast for thousands). Both have
exp, log, sqrt, maximum, minimum, where and select; ``positive(x, width)`` is max(x, 0) with its corner rounded over
``width``, ``softplus(x)`` is ln(1 + e^x).
"""

from __future__ import annotations

import numpy as np

from coldcab.machine import arrays as ARRAYS
from coldcab.machine import floats as FLOATS

__all__ = ["ARRAYS", "FLOATS", "Value"]

Value = float | np.ndarray
