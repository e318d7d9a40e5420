"""What a page's sheet and the instruments beside it tell each other.

The sheet tells its numbers and which practice lines were right; an instrument may write an answer into a line of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Protocol
from weakref import WeakSet

from coldcab.words import _


class Listener(Protocol):
    """An instrument that works on the machines of a sheet."""

    def sheet_opened(self, case: Any) -> None:
        """Take the numbers of the sheet."""
        ...

    def sheet_checked(self, case: Any, right: Mapping[str, bool]) -> None:
        """Take which lines of a practice sheet, by label, have just been right."""
        ...


Pen = Callable[[Any, Mapping[str, str]], str]
"""Writes answers, by label, into the sheet with some numbers; says why it could not, or nothing."""

NO_PEN = _("This page cannot write into its sheet. Copy the list from here.")

_listening: WeakSet[Any] = WeakSet()
_opened: list[Any] = []
_pens: list[Pen] = []


def listen(instrument: Listener) -> None:
    """Tell an instrument of everything to come, as long as it lives."""
    _listening.add(instrument)


def case() -> Any:
    """Return the numbers of the sheet that was opened last in this page; None before the first."""
    return _opened[-1] if _opened else None


def opened(numbers: Any) -> None:
    """Say that the numbers of a sheet are shown."""
    _opened[:] = [numbers]
    for one in list(_listening):
        one.sheet_opened(numbers)


def checked(numbers: Any, right: Mapping[str, bool]) -> None:
    """Say which lines of a practice sheet with these numbers were right when it was checked, by label."""
    for one in list(_listening):
        one.sheet_checked(numbers, right)


def lend(pen: Pen) -> None:
    """Take what writes into the sheets of this page."""
    _pens[:] = [pen]


def write(numbers: Any, answers: Mapping[str, str]) -> str:
    """Write answers behind their labels on the sheet with these numbers; return why it cannot be done, or nothing."""
    return _pens[0](numbers, answers) if _pens else NO_PEN
