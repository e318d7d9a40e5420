"""What a worker gets of one learner, and what it gives back."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.assess import Mark
from coldcab.classroom.marker import Numbers, Typed

Run = tuple[tuple[str, float, str], ...]
"""Results of the instructor's own cells when they were run: name of the cell, points, and words."""


@dataclass(frozen=True)
class HandIn:
    """What one learner handed in and when (as nbgrader writes it); results of the instructor's own cells, if any."""

    learner: str
    data: bytes
    time: str
    run: Run = ()
    run_of: str = ""


@dataclass(frozen=True)
class Result:
    """Result of marking one submission: a ``problem`` if it cannot be marked, else all that is to be written.

    ``words`` and ``file`` are fingerprints of the written answers and of all typed ones.
    """

    learner: str
    time: str
    problem: str = ""
    remarks: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    numbers: Numbers | None = None
    typed: Typed | None = None
    clean: str = ""
    marked: str = ""
    scores: tuple[tuple[str, float | None], ...] = ()
    untouched: tuple[str, ...] = ()
    words: tuple[tuple[str, str], ...] = ()
    run: Run = ()
    file: str = ""

    @property
    def to_confirm(self) -> tuple[str, ...]:
        """Return the cells whose points come from a run."""
        return tuple(cell for cell, _, _ in self.run)
