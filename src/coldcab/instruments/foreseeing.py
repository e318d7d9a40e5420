"""What comes next: while nothing is asked of the kernel, the next moves of the control that moved last are worked out.

A twin of the instrument makes the move; what it shows, and what of the drawing would change, is laid by. When the hand
makes that move, the instrument becomes its twin. The twin starts from where the instrument stands, as the instrument
itself would, so the readings are the same to the last digit. Anything else that happens throws it all away.
"""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from coldcab.instruments.canvas import Drawing, difference, drawn
from coldcab.instruments.changes import Change
from coldcab.instruments.controls import Choice, Control, Slider, Switch

PAUSE = 0.03  # s without a move before anything is foreseen
BREATH = 0.004  # s between two steps, in which a message comes through
FAR = 3  # steps that are foreseen in the direction of the move
WIDE = 6  # other options of a choice that are foreseen, the nearest first
SAME = 1e-6  # share of a slider's step below which two positions are one


@dataclass(frozen=True, slots=True)
class Step:
    """One move that may come: what it is, where it starts, and what it brings."""

    control: Control
    given: Any  # a slider's number as it is shown, an option, on or off
    start: Drawing
    twin: Any
    drawing: Drawing
    changes: list[Change] | None

    def is_it(self, control: Control, given: Any, start: Drawing) -> bool:
        """Whether this very move is made now."""
        if self.control is not control or self.start is not start:
            return False
        if isinstance(control, Slider):
            return abs(given - self.given) <= SAME * control.travel(self.twin.system)[2]
        return bool(given == self.given)


class Foresight:
    """The next moves of one instrument. One instrument of a kernel at a time has any laid by."""

    _latest: Foresight | None = None

    def __init__(self) -> None:
        self._steps: list[Step] = []
        self._work: Iterator[None] = iter(())
        self._soon: asyncio.TimerHandle | None = None
        self._number = 0.0  # where the slider that moved last stood before

    def take(self, control: Control, given: Any, now: Drawing) -> Step | None:
        """Return the step that is this move, if it was foreseen from what is shown ``now``; stop foreseeing."""
        self.rest()
        return next((step for step in self._steps if step.is_it(control, given, now)), None)

    def rest(self) -> None:
        """Foresee nothing more: a message has come."""
        if self._soon is not None:
            self._soon.cancel()
        self._soon, self._work = None, iter(())

    def forget(self) -> None:
        """Throw all away: what is shown was reached another way."""
        self.rest()
        self._keep([])

    def begin(
        self, instrument: Any, control: Control, given: Any, now: Drawing, *, before: float | None = None
    ) -> None:
        """Look ahead from what is shown ``now``, as soon as the kernel is at rest.

        Parameters
        ----------
        instrument : what has moved.
        control, given : the control and where it stands: a slider's number as it is shown, an option, on or off.
        before : where a slider stood before; left out, the direction of its last move holds.
        """
        other, Foresight._latest = Foresight._latest, self
        if other is not None and other is not self:
            other.forget()
        if not instrument.foresees(control):
            self.forget()
            return
        if before is not None:
            self._number = given - before
        self._keep([step for step in self._steps if step.start is now or _within(step, self._steps, now)])
        self._work = self._ahead(instrument, control, given, now)
        self._call(PAUSE)

    def _keep(self, steps: list[Step]) -> None:
        """Keep these steps. To free the others takes as long as a move itself: that waits until the move is out."""
        others, self._steps = self._steps, steps
        try:
            asyncio.get_running_loop().call_later(PAUSE, others.clear)
        except RuntimeError:  # no page behind it
            others.clear()

    def _call(self, after: float) -> None:
        try:
            self._soon = asyncio.get_running_loop().call_later(after, self._next)
        except RuntimeError:  # no page behind it
            self.rest()

    def _next(self) -> None:
        """One step, then breath."""
        self._soon = None
        for _step in self._work:
            self._call(BREATH)
            return

    def _ahead(self, instrument: Any, control: Control, given: Any, now: Drawing) -> Iterator[None]:
        """Work out the moves that are likely, one at a time."""
        if isinstance(control, Slider):
            step = control.travel(instrument.system)[2]
            stride = self._number or step
            start: tuple[Any, Drawing] | None = (instrument, now)
            for far in range(1, FAR + 1):
                start = start and self._foresee(start, control, given + far * stride)
                yield
                if far == 1:  # and back, and where a hand that was quick slows down
                    for number in (given - stride, given + (step if stride > 0.0 else -step)):
                        self._foresee((instrument, now), control, number)
                        yield
            return
        for option in _options(instrument, control, given):
            self._foresee((instrument, now), control, option)
            yield

    def _foresee(self, start: tuple[Any, Drawing], control: Control, given: Any) -> tuple[Any, Drawing] | None:
        """Return where this move leads, laid by for when it comes; None where it leads nowhere."""
        instrument, now = start
        if isinstance(control, Slider):
            low, high, step = control.travel(instrument.system)
            given = float(f"{low + round((given - low) / step) * step:.10g}")  # a whole step, as the slider says it
            if not low <= given <= high:
                return None
        known = next((step for step in self._steps if step.is_it(control, given, now)), None)
        if known is None:
            try:
                known = _step(instrument, control, given, now)
            except Exception:  # the move itself, should it come, shows what is wrong
                return None
            self._steps.append(known)
        return known.twin, known.drawing


def _step(instrument: Any, control: Control, given: Any, now: Drawing) -> Step:
    twin = instrument.twin()
    if isinstance(control, Slider):
        twin.place(control, control.from_number(given, twin.system))
    else:
        twin.accept(control, given)
    drawing = drawn(twin.html(), twin.kept_face())
    return Step(control, given, now, twin, drawing, difference(now, drawing))


def _within(step: Step, steps: list[Step], now: Drawing) -> bool:
    """Whether a step is on a way that starts ``now``."""
    before = next((one for one in steps if one.drawing is step.start), None)
    return before is not None and (before.start is now or _within(before, steps, now))


def _options(instrument: Any, control: Control, given: Any) -> list[Any]:
    """What else could be chosen, the nearest first."""
    if isinstance(control, Switch):
        return [not given]
    if not isinstance(control, Choice):
        return []
    offered = instrument.offered(control)
    here, many = offered.index(given) if given in offered else 0, len(offered)
    nearest = sorted(range(many), key=lambda place: min((place - here) % many, (here - place) % many))
    return [offered[place] for place in nearest[1 : WIDE + 1]]
