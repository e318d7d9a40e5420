"""Worked examples: a published answer beside the one of the course, and how far apart they are.

One module a unit; an example is found by its name alone: ``worked.textbook_cycles()``.
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import Any

_UNITS = sorted(path.stem for path in Path(__file__).parent.glob("[a-z]*.py") if path.stem != "example")


def __getattr__(name: str) -> Any:
    """Look an example up in the modules of the units."""
    if not name.startswith("_"):
        for unit in _UNITS:
            module = import_module(f"{__name__}.{unit}")
            if hasattr(module, name):
                return getattr(module, name)
    raise AttributeError(f"coldcab.worked has no example {name!r}.")
