"""Loading the instructor's keys. They live in a folder of their own that learners do not have."""

from __future__ import annotations

import importlib.util
from pathlib import Path

from coldcab.assess.items import Assignment


def load_reference(folder: str | Path) -> dict[str, Assignment]:
    """Read the reference solution: every ``*.py`` file in ``folder`` that defines ``ASSIGNMENT``.

    Returns
    -------
    dict
        Assignments with keys, by name.

    Raises
    ------
    ValueError
        If the folder is missing, empty, or a file in it defines no keyed assignment.
    """
    folder = Path(folder)
    files = sorted(folder.glob("*.py")) if folder.is_dir() else []
    if not files:
        raise ValueError(
            f"There is no reference solution in {folder}; copy the folder reference of the instructor's material there."
        )
    found: dict[str, Assignment] = {}
    for file in files:
        spec = importlib.util.spec_from_file_location(f"coldcab_reference_{file.stem}", file)
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        assignment = getattr(module, "ASSIGNMENT", None)
        if not isinstance(assignment, Assignment) or not assignment.keyed:
            raise ValueError(f"{file.name} in {folder} defines no ASSIGNMENT with a key on every line.")
        found[assignment.name] = assignment
    return found
