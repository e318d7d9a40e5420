"""Arithmetic of `ops` on plain Python floats; a module, because that is the quickest thing to look a name up in."""

from __future__ import annotations

from math import exp, hypot, log, log1p, sqrt

__all__ = ["exp", "log", "maximum", "minimum", "positive", "select", "softplus", "spread", "sqrt", "where"]

maximum = max
minimum = min


def positive(x: float, width: float) -> float:
    """max(x, 0) with its corner rounded over ``width``."""
    return 0.5 * (x + hypot(x, width))


def softplus(x: float) -> float:
    """ln(1 + e^x)."""
    return x + log1p(exp(-x)) if x > 0 else log1p(exp(x))


def where(condition: bool, yes: float, no: float) -> float:
    """One of two."""
    return yes if condition else no


def select(conditions: list[bool], choices: list[object], default: object) -> object:
    """The choice of the first condition that holds."""
    return next((choice for condition, choice in zip(conditions, choices, strict=True) if condition), default)


def spread(x: float, pattern: float) -> float:
    """One number as it is."""
    return x
