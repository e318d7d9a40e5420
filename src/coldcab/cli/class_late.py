"""``coldcab class extend``: one learner has more time than the class."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from coldcab.classroom.folder import ClassError, ClassFolder
from coldcab.classroom.screen import say
from coldcab.classroom.settings import set_extension
from coldcab.cli.class_paper import FolderOption
from coldcab.cli.plain_errors import plainly


@plainly
def extend(
    name: Annotated[str, typer.Argument(metavar="SHEET", help="The sheet.")],
    learner: Annotated[str, typer.Argument(metavar="LEARNER", help="An id of the roster, or a name.")],
    until: Annotated[str, typer.Option(help="Until when, for example '2026-10-12 18:00'.")] = "",
    back: Annotated[bool, typer.Option("--back", help="Take it back: the time of the class counts.")] = False,
    folder: FolderOption = Path(),
) -> None:
    """Give one learner more time for a sheet; what was taken off for being late is worked out anew."""
    from coldcab.classroom.explaining import find_learner

    place = ClassFolder.open(folder)
    place.choose((name,), place.released(), "Release it first: coldcab class release.")
    if bool(until) == back:
        raise ClassError("Say until when, with --until and a time, or take it back with --back.")
    who = find_learner(place, learner)
    moment = set_extension(place.path, name, who.id, until)
    zone = place.settings.zone
    if back:
        say(f"{who.id} has the time of the class again: {moment:%Y-%m-%d %H:%M} ({zone}).")
    else:
        say(f"{who.id} may hand in {name} until {moment:%Y-%m-%d %H:%M} ({zone}).")
    before, now = _taken_off(place, name, who.id, back=back)
    if before != now:
        say(f"Taken off for being late: {before:g} points before, {now:g} now.")
        say(f"Next: coldcab class feedback {name} --zip.")


def tell_out_of_date(place: ClassFolder, names: Sequence[str]) -> None:
    """Say on which sheets it has to be worked out anew what being late costs."""
    from coldcab.classroom.late import out_of_date

    for name in out_of_date(place, names):
        say(f"look: points or times of {name} have changed since late points were taken off. First: "
            f"coldcab class feedback {name}, then this again.")  # fmt: skip


def _taken_off(place: ClassFolder, name: str, learner: str, *, back: bool) -> tuple[float, float]:
    """Work out anew what being late costs; return what it cost this learner before, and what it costs now."""
    from coldcab.classroom.folder import environment_on_path
    from coldcab.classroom.gradebook import sheet_book
    from coldcab.classroom.late import with_time
    from coldcab.classroom.nbgrader_process import quiet

    with environment_on_path(), quiet(), sheet_book(place, name) as book:
        before = book.entries().get(learner)
        if back:
            book.set_extensions({learner: None})
        now = with_time(place, book).get(learner)
    return before.penalty if before else 0.0, now.penalty if now else 0.0
