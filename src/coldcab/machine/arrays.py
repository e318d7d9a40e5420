"""Arithmetic of `ops` on NumPy arrays."""

from __future__ import annotations

import numpy as np
from numpy import log, maximum, minimum, sqrt, where

__all__ = ["exp", "log", "maximum", "minimum", "positive", "select", "softplus", "spread", "sqrt", "where"]

# Larger arguments would overflow; no physical exponent here comes near. (On floats the error itself is caught.)
LARGEST_EXPONENT = 60.0


def exp(x: np.ndarray) -> np.ndarray:
    """e^x without overflow."""
    result: np.ndarray = np.exp(np.minimum(x, LARGEST_EXPONENT))
    return result


def positive(x: np.ndarray, width: float | np.ndarray) -> np.ndarray:
    """max(x, 0) with its corner rounded over ``width``."""
    result: np.ndarray = 0.5 * (x + np.sqrt(x * x + width * width))
    return result


def softplus(x: np.ndarray) -> np.ndarray:
    """ln(1 + e^x)."""
    result: np.ndarray = np.maximum(x, 0.0) + np.log1p(np.exp(-np.abs(x)))
    return result


def select(conditions: list[np.ndarray], choices: list[np.ndarray], default: float | np.ndarray) -> np.ndarray:
    """The choice of the first condition that holds, place by place."""
    result: np.ndarray = np.select(np.broadcast_arrays(*conditions), choices, default)
    return result


def spread(x: float | np.ndarray, pattern: np.ndarray) -> np.ndarray:
    """The same value for every place of ``pattern``."""
    return np.full_like(pattern, x)
