"""Keys of a class that was made with release 0.2 or before: ``reference/cycle_1.py`` and its like.

Those files took most of what they say from modules that learners had as well. That now lies in the teaching material,
so such a key is loaded with the old names standing for the new places, in a class folder that is otherwise left alone.
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import Any

from coldcab.assess import Assignment
from coldcab.lessons import module_name
from coldcab.lessons.keys import keys_module, module_of

_IDEAS = {
    "cycle-1": "pressure",
    "cycle-2": "loop",
    "cycle-3": "air",
    "cycle-4": "valve",
    "retrofit-1": "recovery",
    "retrofit-2": "tightness",
    "retrofit-3": "conversion",
    "retrofit-4": "charging",
    "oil-1": "oil",
    "oil-2": "ledger",
    "capstone": "rebuild",
    "faults-1": "clutch",
    "faults-2": "signs",
    "faults-3": "evidence",
    "faults-4": "clinic",
}
"""What the old module of each lesson's answers and ideas was called."""


def load(file: Path, lesson: str, keys: Path) -> Assignment | None:
    """Return what a key file of an earlier release defines as ``ASSIGNMENT``.

    Parameters
    ----------
    file
        The file, with the tables that it reads beside it.
    lesson
        The lesson that its sheet belongs to.
    keys
        Folder of that lesson in the present teaching material.
    """
    present = keys_module(keys)
    with _old_names(lesson, present):
        found = getattr(module_of(file, f"coldcab_reference_{file.stem}"), "ASSIGNMENT", None)
    if not isinstance(found, Assignment):
        return None
    draw, moved = found.draw, getattr(present, "EARLIER", {})
    return replace(found, draw=lambda *names, **more: EarlierCase(draw(*names, **more), moved))


class EarlierCase:
    """A case with what cases of that release also said themselves; ``EARLIER`` of the present keys works it out."""

    def __init__(self, case: Any, moved: Mapping[str, Callable[[Any], Any]]) -> None:
        self._case, self._moved = case, moved

    def __getattr__(self, name: str) -> Any:
        return self._moved[name](self._case) if name in self._moved else getattr(self._case, name)


@contextmanager
def _old_names(lesson: str, keys: ModuleType) -> Iterator[None]:
    short = module_name(lesson)
    numbers, lines = (importlib.import_module(f"coldcab.lessons.{short}.{part}") for part in ("numbers", "lines"))
    names: dict[str, ModuleType] = {
        "coldcab.assess.forms": _module("forms", **{short: lines}),
        f"coldcab.assess.forms.{short}": lines,
        "coldcab.assess.practice": _module("practice"),
        f"coldcab.assess.practice.{short}": _module(short, KEYS=keys.PRACTICE),
        f"coldcab.assess.ideas_{_IDEAS[lesson]}": keys,
        f"coldcab.scenario.{short}": numbers,
    }
    if hasattr(keys, "parse_causes"):
        names["coldcab.scenario.clinic"] = _module("clinic", read_causes=keys.parse_causes)
    before = {name: sys.modules.get(name) for name in names}
    sys.modules.update(names)
    try:
        yield
    finally:
        for name, module in before.items():
            if module is None:
                del sys.modules[name]
            else:
                sys.modules[name] = module


def _module(name: str, **content: Any) -> ModuleType:
    made = ModuleType(name)
    vars(made).update(content)
    return made
