"""The instructor's side: a class folder that nbgrader understands, and grading that runs nobody's code."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from coldcab.classroom.configuration import configure
    from coldcab.classroom.folder import ClassError, ClassFolder, Learner

__all__ = ["ClassError", "ClassFolder", "Learner", "configure"]

_HOMES = {"configure": "configuration", "ClassError": "folder", "ClassFolder": "folder", "Learner": "folder"}


def __getattr__(name: str) -> Any:
    # A process that reads hand-ins imports parts of this room and needs none of these.
    from importlib import import_module

    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
