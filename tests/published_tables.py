"""Published tables: what lessons show lies in the package, what only tests compare with in tests/published."""

from importlib.resources import files
from pathlib import Path

from coldcab import published

FOLDERS = (Path(__file__).parent / "published", files(published))


def text_of(name: str) -> str:
    """The whole text of a table, its head with the source included."""
    (place,) = (folder / f"{name}.csv" for folder in FOLDERS if (folder / f"{name}.csv").is_file())
    return place.read_text(encoding="utf-8")


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table, as printed in the source."""
    return published.rows_of(text_of(name))


def by_id(name: str) -> dict[str, dict[str, str]]:
    """The same, found by their column ``id``."""
    return {row["id"]: row for row in rows(name)}


def header(name: str) -> str:
    """The head of a table: its source, and how it was read."""
    return "\n".join(line for line in text_of(name).splitlines() if line.startswith("#"))
