"""What the sheet of a page tells the instruments beside it: its numbers, and which practice lines were right."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Protocol
from weakref import WeakSet


class Listener(Protocol):
    """An instrument that works on the machines of a sheet."""

    def sheet_opened(self, case: Any) -> None:
        """Take the numbers of the sheet."""
        ...

    def sheet_checked(self, case: Any, right: Mapping[str, bool]) -> None:
        """Take which lines of a practice sheet, by label, have just been right."""
        ...


_listening: WeakSet[Any] = WeakSet()
_opened: list[Any] = []


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
