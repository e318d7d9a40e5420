"""``coldcab class paper`` and ``coldcab class enter``: a sheet on paper, out and back."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from coldcab.classroom.folder import ClassError, ClassFolder
from coldcab.classroom.screen import say
from coldcab.cli.plain_errors import plainly

A4Option = Annotated[
    bool | None, typer.Option("--a4/--letter", help="The size of the paper; by default as usual in the time zone.")
]
FolderOption = Annotated[Path, typer.Option("--folder", help="The class folder; by default the current one.")]


@plainly
def paper(
    name: Annotated[str, typer.Argument(metavar="SHEET", help="The sheet.")],
    a4: A4Option = None,
    folder: FolderOption = Path(),
) -> None:
    """Write each learner's own sheet to print: numbers, boxes, and a code that says whose it is."""
    from coldcab.classroom.paper import write_sheets
    from coldcab.classroom.printing import size_of

    place = ClassFolder.open(folder)
    place.choose((name,), place.released(), "Release it first: coldcab class release.")
    file, count = write_sheets(place, name, size_of(place, a4))
    say(f"{count} sheets in {file}; print it.")
    say(f"When they come back: coldcab class enter {name}.")


@plainly
def enter(
    name: Annotated[str, typer.Argument(metavar="SHEET", help="The sheet.")],
    over: Annotated[bool, typer.Option("--over", help="Write over what a learner handed in before.")] = False,
    folder: FolderOption = Path(),
) -> None:
    """Type in sheets that came back on paper: the code, then one line a box; an empty code ends."""
    from coldcab.classroom import paper as sheets

    place = ClassFolder.open(folder)
    place.choose((name,), place.released(), "Release it first: coldcab class release.")
    labels, count = sheets.boxes(place, name), 0
    say("One line a box, Enter for an empty one; < goes back one box. A sheet counts when its last line is typed.")
    while code := typer.prompt("code", default="", show_default=False).strip():
        try:
            who = sheets.owner_of(place, name, code)
        except ClassError as error:
            say(str(error))
            continue
        if sheets.is_there(place, name, who) and not over:
            say(f"{who.id} has handed in already; to write over it, give the command with --over.")
            continue
        say(who.id if who.name == who.id else f"{who.id} {who.name}")
        answers = _typed(labels)
        words = typer.prompt("written", default="", show_default=False) if sheets.has_words(place, name) else ""
        sheets.enter(place, name, who, answers, words)
        count += 1
    say(f"{count} sheets typed in. Next: coldcab class grade {name}.")


def _typed(labels: Sequence[str]) -> dict[str, str]:
    """Ask for one line a box, and return what was typed."""
    answers: dict[str, str] = {}
    place = 0
    while place < len(labels):
        said = typer.prompt(f"{place + 1}/{len(labels)} {labels[place]}", default="", show_default=False).strip()
        if said == "<":
            place = max(0, place - 1)
            continue
        answers[labels[place]] = said
        place += 1
    return answers


@plainly
def record(a4: A4Option = None, folder: FolderOption = Path()) -> None:
    """Write a competency record for each learner, to print and sign: what was shown, how and when."""
    from coldcab.classroom.competency_record import write_record_pages
    from coldcab.classroom.printing import size_of

    place = ClassFolder.open(folder)
    file, count = write_record_pages(place, size_of(place, a4))
    say(f"{count} records in {file}; print it, sign what you have seen.")
    say(f"Their figures: {file.with_suffix('.csv')}")
