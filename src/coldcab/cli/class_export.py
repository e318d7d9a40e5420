"""``coldcab class export``: scores as a table for a platform's gradebook, or filled into one that it exported."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from coldcab.classroom.folder import ClassError, ClassFolder
from coldcab.classroom.screen import say
from coldcab.cli.class_late import tell_out_of_date
from coldcab.cli.class_paper import FolderOption
from coldcab.cli.plain_errors import plainly


@plainly
def export(
    names: Annotated[list[str] | None, typer.Argument(metavar="[SHEET]...", help="Sheets, by default all.")] = None,
    folder: FolderOption = Path(),
    to: Annotated[Path, typer.Option(help="The CSV file to write.")] = Path("grades.csv"),
    into: Annotated[
        Path | None, typer.Option(help="Fill the scores into this table, exported by your platform.")
    ] = None,
    unfinished: Annotated[bool, typer.Option("--unfinished", help="Scores whose written answer waits, too.")] = False,
) -> None:
    """Write one line a learner and one column a sheet, as CSV to upload to a platform's gradebook."""
    from coldcab.classroom.competencies import competencies
    from coldcab.classroom.exporting import unknown_headings, unnamed, upload_table
    from coldcab.classroom.folder import write_file
    from coldcab.classroom.grading import survey

    place = ClassFolder.open(folder)
    chosen = place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release.")
    sheets, learners = [(name, survey(place, name)) for name in chosen], place.learners()
    upload, tasks, file = place.settings.upload, competencies(place.path), place.path / to
    if wrong := unknown_headings(upload, place.assignments(), tasks):
        raise ClassError(
            f"[upload.headings] names {', '.join(map(repr, wrong))}, which no upload has: it holds columns of "
            "roster.csv that stand in who, sheets, codes of lessons/competencies.csv, and safety."
        )
    how: dict[str, Any] = {"unfinished": unfinished, "upload": upload, "tasks": tasks, "most": _most(place, chosen)}
    text, left_out = upload_table(learners, sheets, **how)
    told = [] if into else unnamed(learners, upload)
    if into:
        text, told = _filled(into, place, sheets, how)
    write_file(file, text.encode())
    _tell_left_out(left_out)
    for one in told:
        say(f"look: {one}")
    _tell_suspicions(sheets)
    tell_out_of_date(place, chosen)
    if "sheets" not in upload.columns:
        say(f"{file}: {len(learners)} learners, {', '.join(upload.columns)}.")
        return
    count = len(learners) * len(chosen) - len(left_out)
    say(f"{file}: {count} scores{f'; {len(left_out)} cells are empty, and empty is no zero' if left_out else ''}.")


def _filled(
    into: Path, place: ClassFolder, sheets: Sequence[tuple[str, Sequence[Any]]], how: dict[str, Any]
) -> tuple[str, list[str]]:
    """Return the platform's table with the scores in it, and what a person should know."""
    from coldcab.classroom.exporting import upload_cells
    from coldcab.classroom.platform_table import fill, read_table

    filled = fill(read_table(into), place.learners(), upload_cells(sheets, **how), how["upload"])
    say(f"{filled.count} cells of {into} filled in; all others are as they were.")
    return filled.text, list(filled.said)


def _most(place: ClassFolder, names: Sequence[str]) -> dict[str, float]:
    """Return the points that can be had for each sheet, as its form says."""
    from coldcab.classroom import intake
    from coldcab.classroom.forms import form_of

    return {
        name: sum(float(cell["metadata"]["nbgrader"].get("points", 0)) for cell in form_of(place, name)["cells"]
                  if intake.is_graded(cell))
        for name in names
    }  # fmt: skip


def _tell_suspicions(sheets: Sequence[tuple[str, Sequence[Any]]]) -> None:
    from coldcab.classroom.copies import suspicions

    for name, outcomes in sheets:
        for each in outcomes:
            for why in suspicions(each):
                say(f"talk first: {each.learner.id}, {name}: {why}; the score is in the file")


FEW_NAMES = 8
"""Learners that are named where several have no score for one reason."""


def _tell_left_out(lines: Sequence[str]) -> None:
    """Say who has no score, together where it is for the same reason: in mid-term that is nearly everybody."""
    people: dict[str, list[str]] = {}
    for line in lines:
        who, _, why = line.partition(", ")
        people.setdefault(why, []).append(who)
    for why, all_ in people.items():
        more = f" and {len(all_) - FEW_NAMES} others" if len(all_) > FEW_NAMES else ""
        said = f"{why}: {', '.join(all_[:FEW_NAMES])}{more}" if len(all_) > 1 else f"{all_[0]}, {why}"
        say(f"no score: {said}")
