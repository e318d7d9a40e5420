"""The page of functions: what the docstrings of the calculating rooms say."""

from __future__ import annotations

from pathlib import Path

ROOMS = (
    "quantities",
    "units",
    "air",
    "refrigerants",
    "cycle",
    "oil",
    "machine",
    "faults",
    "service",
    "published",
    "job",
)


def write(target: Path) -> None:
    """Write the pages of the rooms that calculate to ``target``."""
    import pdoc

    pdoc.render.configure(docformat="numpy", search=False, show_source=False)
    names = [f"coldcab.{room}" for room in ROOMS]
    pdoc.pdoc(*names, output_directory=target)
