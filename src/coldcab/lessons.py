"""The lessons in their order, and a room's page for each: loaded by the lesson's name when it is first asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from pathlib import Path
from typing import Any

LESSONS = (
    *("cycle-1", "cycle-2", "cycle-3", "cycle-4"),
    *("retrofit-1", "retrofit-2", "retrofit-3", "retrofit-4"),
    *("oil-1", "oil-2"),
    *("faults-1", "faults-2", "faults-3", "faults-4"),
    "capstone",
)


class Pages(Mapping[str, Any]):
    """What the modules of a package define for each lesson, by the lesson's name; a module is ``cycle_1`` for cycle-1.

    Parameters
    ----------
    package
        Name of the package that holds one module a lesson.
    attribute
        What each module defines.
    prefix
        Put before the lesson's name in the mapping's names.
    """

    def __init__(self, package: str, attribute: str, *, prefix: str = "") -> None:
        self._package, self._attribute = package, attribute
        folder = Path(__file__).parent.joinpath(*package.split(".")[1:])
        self._modules = {
            prefix + lesson: lesson.replace("-", "_")
            for lesson in LESSONS
            if (folder / f"{lesson.replace('-', '_')}.py").is_file()
        }
        self._loaded: dict[str, Any] = {}

    def __getitem__(self, name: str) -> Any:
        if name not in self._loaded:
            module = import_module(f"{self._package}.{self._modules[name]}")
            self._loaded[name] = getattr(module, self._attribute)
        return self._loaded[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._modules)

    def __len__(self) -> int:
        return len(self._modules)

    def __contains__(self, name: object) -> bool:
        return name in self._modules
