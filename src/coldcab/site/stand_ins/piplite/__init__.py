"""Stands in for the kernel's installer."""

from piplite.piplite import install  # type: ignore[import-not-found]

__all__ = ["install"]
