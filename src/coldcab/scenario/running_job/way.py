"""What a step of the running job and a way to do it are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from coldcab.scenario.running_job.facts import Job, State

Words = str | Callable[[Job, State], str]
Sound = bool | Callable[[Job, State], bool]


@dataclass(frozen=True)
class Way:
    """One way to do a step.

    ``act`` gives the state after it; ``seen`` is what shows at once, worked out from the state after it; ``came`` is
    what came of it, worked out from the state at the end; ``sound`` says whether a good shop does it so.
    """

    words: str
    act: Callable[[Job, State], State]
    seen: Words
    came: Words
    sound: Sound = False


@dataclass(frozen=True)
class Step:
    """A question of the job; ``asked`` says whether it comes up."""

    name: str
    question: Words
    ways: tuple[Way, ...]
    asked: Callable[[Job, State], bool] = lambda _one, _state: True


def said(words: Words, one: Job, state: State) -> str:
    """Words that may depend on the job and its state."""
    return words if isinstance(words, str) else words(one, state)


def is_sound(way: Way, one: Job, before: State) -> bool:
    """Whether this way is sound on this machine, from the state before it."""
    return way.sound if isinstance(way.sound, bool) else way.sound(one, before)
