"""Arithmetic for one number or for arrays: the same equations are written once and run on either.

`FLOATS` works on plain Python floats (fast for one machine), `ARRAYS` on NumPy arrays (fast for thousands),
`residual_code.SymbolArithmetic` on symbols.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol, TypeAlias, cast

import numpy as np
from numpy.typing import NDArray

from coldcab.machine import arrays, floats

__all__ = ["ARRAYS", "FLOATS", "Arithmetic", "Array", "Truth", "Value"]

Array: TypeAlias = NDArray[np.float64]
# A float, an array or a symbol: what comes out of an equation is of the kind that went in, which no union can say, so a
# type checker takes it as it comes.
Value: TypeAlias = Any
Truth: TypeAlias = Any  # the same for a condition


class Arithmetic(Protocol):
    """What the equations ask of their numbers beyond + - * / and **; in one run all values are of one kind."""

    def exp(self, x: Value) -> Value:
        """e^x."""

    def log(self, x: Value) -> Value:
        """ln x."""

    def sqrt(self, x: Value) -> Value:
        """Square root."""

    def maximum(self, x: Value, y: Value) -> Value:
        """The larger one."""

    def minimum(self, x: Value, y: Value) -> Value:
        """The smaller one."""

    def positive(self, x: Value, width: Value) -> Value:
        """max(x, 0) with its corner rounded over ``width``."""

    def softplus(self, x: Value) -> Value:
        """ln(1 + e^x)."""

    def where(self, condition: Truth, yes: Value, no: Value) -> Value:
        """``yes`` where the condition holds, else ``no``."""

    def select(self, conditions: Sequence[Truth], choices: Sequence[Value], default: Value) -> Value:
        """The choice of the first condition that holds."""

    def spread(self, x: Value, pattern: Value) -> Value:
        """The same value for every place of ``pattern``."""


FLOATS = cast(Arithmetic, floats)
ARRAYS = cast(Arithmetic, arrays)
