"""``coldcab class mend``: deciding about one line of a sheet after it is out."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from coldcab.classroom.folder import ClassError, ClassFolder
from coldcab.classroom.screen import print_table, say
from coldcab.cli.class_paper import FolderOption
from coldcab.cli.plain_errors import plainly


@plainly
def mend(
    name: Annotated[str, typer.Argument(metavar="SHEET", help="The sheet.")],
    line: Annotated[str, typer.Argument(metavar="LINE", help="The label of the line.")],
    accept: Annotated[str, typer.Option(help="An answer, or a wrong idea by its name, that counts too.")] = "",
    wider: Annotated[float, typer.Option(help="How many times as wide the tolerance shall be, such as 2.")] = 1.0,
    full: Annotated[bool, typer.Option("--drop", "--full", help="Drop the line: everybody gets its points.")] = False,
    back: Annotated[bool, typer.Option("--back", help="Take back what was decided about this line.")] = False,
    do: Annotated[bool, typer.Option("--do", help="Do it; without, only show who gains and who loses.")] = False,
    folder: FolderOption = Path(),
) -> None:
    """Mend the key of one line: see who gains and who loses, then do it."""
    from coldcab.classroom import material, mending
    from coldcab.classroom.folder import own_folder, write_file
    from coldcab.classroom.mend_preview import preview

    place = ClassFolder.open(folder)
    place.choose((name,), place.released(), "Release it first: coldcab class release.")
    if not (accept or wider != 1.0 or full or back):
        raise ClassError("Say what shall be: --accept ANSWER, --wider TIMES, --drop, or --back.")
    there = material.mends(place.path, name)
    key_of = material.key(place.path, name)
    label, mends = mending.decided(key_of, there, line, accept=accept, wider=wider, full=full)
    changes = preview(place, name, label, mends)
    who = {learner.id: learner.name for learner in place.learners()}
    rows = [
        (
            each.learner,
            who[each.learner],
            f"{each.before:g}",
            f"{each.after:g}",
            "by hand, stays" if each.by_hand else "",
        )
        for each in changes
        if each.before != each.after
    ]
    print_table(f"{name}, {label}", ("learner", "name", "points now", "then", ""), rows)
    counted = [each for each in changes if not each.by_hand]
    more, less = (sum(sign * (each.after - each.before) > 0 for each in counted) for sign in (1, -1))
    say(f"{more} gain, {less} lose, {len(changes) - more - less} as before.")
    if not do:
        say("Nothing has been changed. To do it, give the same command with --do.")
        return
    target = own_folder(place.path, material.LESSON_FOLDERS, name) / mending.MENDED
    write_file(target, mending.write_mends(mends).encode())
    say(f"Written to {target}. Next: coldcab class grade {name}.")
