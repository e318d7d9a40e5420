"""``coldcab class requests`` and ``coldcab class answer``: learners who ask for another look at a line."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from coldcab.classroom.folder import ClassError, ClassFolder, Learner
from coldcab.classroom.screen import say
from coldcab.classroom.second_looks import Request, all_requests
from coldcab.cli.class_paper import FolderOption
from coldcab.cli.plain_errors import plainly


def waiting(place: ClassFolder, names: Sequence[str]) -> int:
    """Return how many requests of these sheets nobody has answered."""
    return sum(each.waits for name in names for asked in all_requests(place, name).values() for each in asked)


def tell_waiting(place: ClassFolder, names: Sequence[str]) -> None:
    """Say that requests wait, where some do."""
    if count := waiting(place, names):
        say(f"{count} {'request waits' if count == 1 else 'requests wait'} for another look: coldcab class requests.")


@plainly
def requests(
    names: Annotated[list[str] | None, typer.Argument(metavar="[SHEET]...", help="Sheets, by default all.")] = None,
    every: Annotated[bool, typer.Option("--all", help="Those that have been answered, too.")] = False,
    folder: FolderOption = Path(),
) -> None:
    """Show who asks for another look at a line, what was read there, and what is right."""
    place = ClassFolder.open(folder)
    count = 0
    for name in place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release."):
        asked = all_requests(place, name)
        for learner in place.learners():
            mine = [each for each in asked.get(learner.id, ()) if each.waits or every]
            if mine:
                _show(place, name, learner, mine)
                count += len(mine)
    say(f"{count} {'request' if count == 1 else 'requests'}{'' if every else ' waiting'}.")


def _show(place: ClassFolder, name: str, learner: Learner, asked: Sequence[Request]) -> None:
    from coldcab.classroom.explaining import explain
    from coldcab.classroom.regrading import words_of

    _, lines = explain(place, name, learner)
    by_label = {line.label: line for line in lines}
    for each in asked:
        line = by_label.get(each.line)
        points, words = words_of(place, name, learner) if line is None else (line.points, "")
        points = f": {points}" if points else ": nothing has been marked"
        who = learner.id if learner.name == learner.id else f"{learner.id} {learner.name}"
        say(f"{who}, {name}, {each.line}{points}")
        say(f"  why:    {each.why}")
        if line is not None:
            say(f"  right:  {line.right}{f' ({line.counts})' if line.counts else ''}")
            if line.mark is not None:
                say(f"  read:   {line.mark.read or line.mark.status}")
        if words:
            say(f"  words:  {' '.join(words.split())}")
        if each.waits:
            say(f'  answer: coldcab class answer {name} {learner.id} "{each.line}" --keep, or --points and a number')
        else:
            say(f"  {each.answer}: {each.words}")
        say("")


@plainly
def answer(
    name: Annotated[str, typer.Argument(metavar="SHEET", help="The sheet.")],
    learner: Annotated[str, typer.Argument(metavar="LEARNER", help="An id of the roster, or a name.")],
    line: Annotated[str, typer.Argument(metavar="LINE", help="The label of the line, or words.")],
    keep: Annotated[bool, typer.Option("--keep", help="The points stay.")] = False,
    points: Annotated[float | None, typer.Option(help="The points that the line has now.")] = None,
    words: Annotated[str, typer.Option("--say", help="What the learner is told.")] = "",
    folder: FolderOption = Path(),
) -> None:
    """Answer a learner who asked for another look: the points stay, or are others now."""
    from coldcab.classroom.explaining import find_learner
    from coldcab.classroom.regrading import give_answer

    place = ClassFolder.open(folder)
    place.choose((name,), place.released(), "Release it first: coldcab class release.")
    if keep == (points is not None):
        raise ClassError("Say what shall be: --keep, or --points and a number.")
    who = find_learner(place, learner)
    done = give_answer(place, name, who, line, points, words)
    say(f"{who.id}, {name}, {done}")
    say(f"The page tells it after: coldcab class feedback {name} --zip.")
    tell_waiting(place, place.released())
