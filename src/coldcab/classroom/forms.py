"""The forms that were released, and what their cells said in earlier releases."""

from __future__ import annotations

import json
from typing import Any

from coldcab.classroom import intake
from coldcab.classroom.folder import ClassError, ClassFolder, own_folder
from coldcab.learner import write_whole

EARLIER = "earlier-forms.json"


def form_of(folder: ClassFolder, name: str) -> dict[str, Any]:
    """Return the released form of an assignment.

    Raises
    ------
    ClassError
        If it has not been released.
    """
    file = folder.form_file(name)
    if not file.is_file():
        raise ClassError(f"{name} has not been released in this class; run: coldcab class release {name}")
    return json.loads(file.read_text(encoding="utf-8"))


def remember_form(folder: ClassFolder, name: str) -> None:
    """Keep the fingerprints of the form that a new one is about to replace; learners may still have the old one."""
    if not folder.form_file(name).is_file():
        return
    known = earlier_texts(folder, name)
    for cell in form_of(folder, name)["cells"]:
        if cell_name := intake.grade_id(cell):
            known.setdefault(cell_name, set()).add(intake.cell_fingerprint("".join(cell["source"])))
    file = own_folder(folder.path, "records", name) / EARLIER
    write_whole(file, json.dumps({cell: sorted(texts) for cell, texts in sorted(known.items())}).encode())


def earlier_texts(folder: ClassFolder, name: str) -> dict[str, set[str]]:
    """Return the fingerprints of what the cells of a form said in earlier releases."""
    try:
        found = json.loads((folder.records / name / EARLIER).read_text(encoding="utf-8"))
        return {cell: set(texts) for cell, texts in found.items()}
    except (OSError, ValueError, AttributeError, TypeError):
        return {}
