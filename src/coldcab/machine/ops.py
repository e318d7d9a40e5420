"""Arithmetic for one number or for arrays: the same equations are written once and run on either.

`FLOATS` works on plain Python floats (fast for one machine), `ARRAYS` on NumPy arrays (fast for thousands).
"""

from __future__ import annotations

import math
from math import hypot
from types import SimpleNamespace

import numpy as np

Value = float | np.ndarray

# Larger arguments would overflow; no physical exponent here comes near. (On floats the error itself is caught.)
LARGEST_EXPONENT = 60.0


def _positive(x: float, width: float) -> float:
    return 0.5 * (x + hypot(x, width))


def _softplus(x: float) -> float:
    return x + math.log1p(math.exp(-x)) if x > 0 else math.log1p(math.exp(x))


def _exp_array(x: np.ndarray) -> np.ndarray:
    return np.exp(np.minimum(x, LARGEST_EXPONENT))


def _positive_array(x: np.ndarray, width: float) -> np.ndarray:
    return 0.5 * (x + np.sqrt(x * x + width * width))


def _softplus_array(x: np.ndarray) -> np.ndarray:
    return np.maximum(x, 0.0) + np.log1p(np.exp(-np.abs(x)))


def _where(condition: bool, yes: float, no: float) -> float:
    return yes if condition else no


def _select(conditions: list[bool], choices: list, default: object) -> object:
    return next((choice for condition, choice in zip(conditions, choices, strict=True) if condition), default)


def _select_array(conditions: list[np.ndarray], choices: list, default: object) -> np.ndarray:
    return np.select(np.broadcast_arrays(*conditions), choices, default)


FLOATS = SimpleNamespace(
    exp=math.exp,
    log=math.log,
    sqrt=math.sqrt,
    maximum=max,
    minimum=min,
    positive=_positive,
    softplus=_softplus,
    where=_where,
    select=_select,
)
"""``positive(x, width)`` is max(x, 0) with its corner rounded over ``width``; ``softplus(x)`` is ln(1 + e^x)."""

ARRAYS = SimpleNamespace(
    exp=_exp_array,
    log=np.log,
    sqrt=np.sqrt,
    maximum=np.maximum,
    minimum=np.minimum,
    positive=_positive_array,
    softplus=_softplus_array,
    where=np.where,
    select=_select_array,
)
