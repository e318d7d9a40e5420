"""``coldcab class extend``: one learner has more time than the class."""

from __future__ import annotations

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
    from coldcab.classroom.gradebook import sheet_book

    place = ClassFolder.open(folder)
    place.choose((name,), place.released(), "Release it first: coldcab class release.")
    if bool(until) == back:
        raise ClassError("Say until when, with --until and a time, or take it back with --back.")
    who = find_learner(place, learner)
    moment = set_extension(place.path, name, who.id, until)
    if back:
        with sheet_book(place, name) as book:
            book.set_extensions({who.id: None})
        say(f"{who.id} has the time of the class again. Next: coldcab class grade {name}.")
        return
    say(f"{who.id} may hand in {name} until {moment:%Y-%m-%d %H:%M} ({place.settings.zone}).")
    say(f"If it is in already: coldcab class grade {name} works out anew what is taken off.")
