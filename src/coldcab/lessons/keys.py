"""Loading the instructor's keys. They lie in a folder of their own that learners do not have."""

from __future__ import annotations

import importlib.util
import sys
from dataclasses import replace
from pathlib import Path
from types import ModuleType

from coldcab.assess.items import PRACTICE_PREFIX, Assignment
from coldcab.lessons import FORMS, PRACTICE


def keyed(folder: Path, name: str) -> Assignment:
    """Return a graded or practice sheet with a key on each line.

    Parameters
    ----------
    folder
        The folder of the sheet's lesson in the teaching material; its ``keys.py`` defines ``KEYS`` for the graded
        sheet and ``PRACTICE`` for the practice sheet: a key by the label of its line.
    name
        The sheet: ``cycle-1`` or ``practice-cycle-1``.

    Raises
    ------
    ValueError
        If there are no keys, or they do not fit the lines.
    """
    practice = name.startswith(PRACTICE_PREFIX)
    form = (PRACTICE if practice else FORMS)[name]
    module = keys_module(folder)
    keys = getattr(module, "PRACTICE" if practice else "KEYS", None)
    if not isinstance(keys, dict):
        raise ValueError(f"keys.py in {folder} defines no {'PRACTICE' if practice else 'KEYS'}.")
    # A class may ask only some of the lines.
    form = getattr(module, "FORM", form) if not practice else form
    return replace(form).with_keys(keys)


def keys_module(folder: Path) -> ModuleType:
    """Return the module ``keys.py`` of a lesson's folder in the teaching material.

    Raises
    ------
    ValueError
        If there is none.
    """
    file = Path(folder) / "keys.py"
    if not file.is_file():
        raise ValueError(f"There are no keys in {folder}; copy the folder of this lesson from the teaching material.")
    return module_of(file, f"coldcab_keys_{Path(folder).name.replace('-', '_')}")


def module_of(file: Path, name: str) -> ModuleType:
    """Run a file and return it as a module of this name."""
    spec = importlib.util.spec_from_file_location(name, file)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module  # a dataclass looks its own module up
    spec.loader.exec_module(module)
    return module
