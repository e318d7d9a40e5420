"""The blank forms that come with the course: made by releasing the teaching material in a class of its own."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

from coldcab.classroom.folder import OPEN_TERM, ClassFolder
from coldcab.classroom.forms import form_of
from coldcab.classroom.releasing import release


def forms(material: Path, names: tuple[str, ...] = ()) -> dict[str, dict[str, Any]]:
    """Return the forms named, or all, by their names."""
    with tempfile.TemporaryDirectory() as place:
        folder = ClassFolder.create(Path(place) / "class", OPEN_TERM, roster=None, material=material)
        return {name: form_of(folder, name) for name in release(folder, names)}
