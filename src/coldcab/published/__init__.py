"""Published values that lessons show beside the course's own; each file names its source in its head."""

from __future__ import annotations

import csv
from importlib.resources import files


def rows(name: str) -> list[dict[str, str]]:
    """Return the rows of ``name`` (``"ncg_r12"``, ``"water_sat"``) as printed in the source.

    Raises
    ------
    FileNotFoundError
        If the package holds no such table.
    """
    return rows_of(files(__package__).joinpath(f"{name}.csv").read_text(encoding="utf-8"))


def rows_of(text: str) -> list[dict[str, str]]:
    """Return the rows of a table's text: lines that start with ``#`` are its head, the next one names the columns."""
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
