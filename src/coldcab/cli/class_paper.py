"""``coldcab class paper`` and ``coldcab class enter``: a sheet on paper, out and back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coldcab.classroom.folder import ClassError, ClassFolder
from coldcab.classroom.screen import say
from coldcab.cli.plain_errors import plainly

if TYPE_CHECKING:
    from coldcab.assess import Item
    from coldcab.classroom.roster import Learner

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
    labels, items = sheets.boxes(place, name), sheets.items(place, name)
    typed: dict[str, dict[str, str]] = {}
    say("One line a box, Enter for an empty one; of a choice its beginning is enough.")
    say(
        "< goes back one box, and in place of a code into the sheet before. A sheet counts when its last line is typed."
    )
    while code := _asked("code"):
        try:
            who = sheets.owner_of(place, name, code) if code != BACK else _last(place, typed)
        except ClassError as error:
            say(str(error))
            continue
        if sheets.is_there(place, name, who) and not over and who.id not in typed:
            say(f"{who.id} has handed in already; to write over it, give the command with --over.")
            continue
        say(who.id if who.name == who.id else f"{who.id} {who.name}")
        before = typed.pop(who.id, {})
        answers = _typed(labels, items, before, len(labels) - 1 if code == BACK else 0)
        sheets.enter(place, name, who, answers)
        typed[who.id] = answers
    say(f"{len(typed)} {'sheet' if len(typed) == 1 else 'sheets'} typed in. Next: coldcab class grade {name}.")


BACK = "<"
"""What is typed to go back."""


def _last(place: ClassFolder, typed: Mapping[str, object]) -> Learner:
    """Return whose sheet was typed in last."""
    if not typed:
        raise ClassError("No sheet has been typed in before this one; type the code in its box.")
    who = next(reversed(list(typed)))
    return next(learner for learner in place.learners() if learner.id == who)


def _asked(words: str, before: str = "") -> str:
    """Ask for a line; Enter keeps what stood there before, and a blank empties it."""
    return str(typer.prompt(words, default=before, show_default=bool(before))).strip()


def _typed(labels: Sequence[str], items: Mapping[str, Item], before: Mapping[str, str], place: int) -> dict[str, str]:
    """Ask for one line a box from one place on, and return what was typed; ``before`` is what stands there already."""
    answers = dict(before)
    while place < len(labels):
        label = labels[place]
        said = _asked(f"{place + 1}/{len(labels)} {label}", answers.get(label, ""))
        if said == BACK:
            place = max(0, place - 1)
            continue
        answers[label] = said
        place += 1
        if label in items:
            _tell(items[label], said)
    return answers


def _tell(item: Item, said: str) -> None:
    """Say which choice was read where a part of it was typed, and what cannot be read; it stays as it was typed."""
    from coldcab.assess import fold, read_answer

    reading = read_answer(item, said)
    if reading.problem:
        say(f"    cannot be read as it stands: {reading.problem}")
    elif item.choices and reading.value is not None and fold(str(reading.value)) != fold(said):
        say(f"    read as {reading.value}")


@plainly
def record(a4: A4Option = None, folder: FolderOption = Path()) -> None:
    """Write a competency record for each learner, to print and sign: what was shown, how and when."""
    from coldcab.classroom.competency_record import write_record_pages
    from coldcab.classroom.printing import size_of

    place = ClassFolder.open(folder)
    file, count = write_record_pages(place, size_of(place, a4))
    say(f"{count} records in {file}; print it, sign what you have seen.")
    say(f"Their figures: {file.with_suffix('.csv')}")
