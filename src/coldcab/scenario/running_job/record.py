"""The way through a running job so far, its record with what came of each choice, and the owner's copy."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.machine import Readings
from coldcab.scenario.draw import Draw
from coldcab.scenario.running_job import facts
from coldcab.scenario.running_job.facts import Job, JobError, State, ounces
from coldcab.scenario.running_job.steps import STEPS
from coldcab.scenario.running_job.way import Step, Way, is_sound, said
from coldcab.words import _


@dataclass(frozen=True)
class Done:
    """A step that was taken: the way, the state before and after it, and what showed at once."""

    step: Step
    way: Way
    before: State
    after: State
    seen: str


@dataclass(frozen=True)
class Progress:
    """A job with the steps taken so far, and the step that is asked next; None at the end."""

    job: Job
    done: tuple[Done, ...]
    state: State
    next: Step | None

    @property
    def question(self) -> str:
        """The question that is asked now; empty at the end."""
        return said(self.next.question, self.job, self.state) if self.next else ""


def follow(one: Job, path: tuple[int, ...] = ()) -> Progress:
    """Return the job after some choices.

    Parameters
    ----------
    one
        The facts.
    path
        Number of the way at each step that was asked, 0 for the first way.

    Raises
    ------
    JobError
        A step has no such way, or the job was over before.
    """
    done: list[Done] = []
    state, left = facts.begin(one), list(path)
    for step in STEPS:
        if not step.asked(one, state):
            continue
        if not left:
            return Progress(one, tuple(done), state, step)
        number = left.pop(0)
        if not 0 <= number < len(step.ways):
            raise JobError(
                _("{step} has {count} ways; there is no way {number}.").format(
                    step=step.name.capitalize(), count=len(step.ways), number=number + 1
                )
            )
        way = step.ways[number]
        after = way.act(one, state)
        done.append(Done(step, way, state, after, said(way.seen, one, after)))
        state = after
    if left:
        raise JobError(_("the job is over after {count} steps; undo one or begin anew.").format(count=len(done)))
    return Progress(one, tuple(done), state, None)


def order_of_ways(one: Job, step: Step) -> tuple[int, ...]:
    """Return the numbers of a step's ways in the order in which this job shows them."""
    return Draw("ways", str(one.unit.number), step.name).order("ways", tuple(range(len(step.ways))))


@dataclass(frozen=True)
class Line:
    """One line of the record: the step, what was done, what came of it, and whether a good shop does it so."""

    step: str
    done: str
    came: str
    sound: bool


def record(progress: Progress) -> tuple[Line, ...]:
    """Return the record of all steps taken, with what came of each by the present state."""
    one, final = progress.job, progress.state
    return tuple(
        Line(
            taken.step.name,
            taken.way.words,
            said(taken.way.came, one, final) or taken.seen,
            is_sound(taken.way, one, taken.before),
        )
        for taken in progress.done
    )


def readings_now(progress: Progress) -> tuple[Readings, Readings | None]:
    """Return what the gauges show now and what the healthy machine shows: as found, then as left once it is charged."""
    if progress.state.charge > 0.0:
        return facts.as_left(progress.job, progress.state), facts.right_as_left(progress.job)
    return facts.as_found(progress.job), None


def owners_copy(progress: Progress) -> tuple[str, ...]:
    """Return the owner's copy of a finished job: short true sentences, from what was done and what is inside."""
    one, state = progress.job, progress.state
    paid = facts.bill(state)
    said_so = [
        _("Your machine had lost refrigerant at the {place}.").format(place=one.leak)
        if state.aimed == one.leak
        else _("Your machine had lost refrigerant. We do not know where."),
        _("That place is repaired and was tested.")
        if state.leaks == 0.0
        else _("It still leaks, about {ounces:.0f} oz a year.").format(ounces=state.leaks / 28.35),
    ]
    if one.debris:
        said_so.append(
            _("The compressor was worn and is new. Some of its metal is still inside and can harm the new one.")
            if state.debris > 0.05
            else _("The compressor was worn and is new. Its metal is out.")
        )
    if one.converts:
        said_so.append(_("It now runs on {name} and must never get R-12 again.").format(name=state.refrigerant))
    said_so.append(_("It holds {ounces:.0f} oz of refrigerant.").format(ounces=ounces(state.charge)))
    if state.vented > 0.0:
        said_so.append(_("{ounces:.1f} oz went into the air in our shop.").format(ounces=ounces(state.vented)))
    said_so.append(_("You pay {dollars:,.0f} dollars.").format(dollars=paid.owner))
    said_so.append(
        _("On the next hot days it will not cool as it should. Bring it back before that.")
        if facts.comes_back(one, state)
        else _("Call us when it cools less, before it is empty.")
    )
    return tuple(said_so)
