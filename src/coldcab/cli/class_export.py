"""``coldcab class export``: scores as a table for a platform's gradebook, or filled into one that it exported."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from coldcab.classroom.folder import ClassError, ClassFolder, Learner
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
    sheets: Sheets = [(name, survey(place, name)) for name in chosen]
    learners = place.learners()
    upload, tasks, file = place.settings.upload, competencies(place.path), place.path / to
    if wrong := unknown_headings(upload, place.assignments(), tasks):
        raise ClassError(
            f"[upload.headings] names {', '.join(map(repr, wrong))}, which no upload has: it holds columns of "
            "roster.csv that stand in who, sheets, codes of lessons/competencies.csv, and safety."
        )
    how: dict[str, Any] = {"unfinished": unfinished, "upload": upload, "tasks": tasks, "most": _most(place, chosen)}
    if into:
        text, count, sheets = _filled(into, learners, sheets, how)
    made, left_out = upload_table(learners, sheets, **how)
    if not into:
        text, count = made, len(learners) * len(sheets) - len(left_out)
        for one in unnamed(learners, upload):
            say(f"look: {one}")
    write_file(file, text.encode())
    _tell_left_out(left_out)
    _tell_suspicions(sheets)
    tell_out_of_date(place, [name for name, _ in sheets])
    empty = f"; {len(left_out)} cells have no score, and none is no zero" if left_out else ""
    if into:
        say(f"{file}: {into} with {count} cells filled in; all others are as they were{empty}.")
    elif "sheets" in upload.columns:
        say(f"{file}: {count} scores{empty}.")
    else:
        say(f"{file}: {len(learners)} learners, {', '.join(upload.columns)}.")


Sheets = Sequence[tuple[str, Sequence[Any]]]
"""Sheets with what became of each learner's."""


def _filled(into: Path, learners: Sequence[Learner], sheets: Sheets, how: dict[str, Any]) -> tuple[str, int, Sheets]:
    """Return the platform's table with the scores in it, their count, and the sheets that have a column there."""
    from coldcab.classroom.exporting import sheet_heading, upload_cells
    from coldcab.classroom.platform_table import fill, read_table

    filled = fill(read_table(into), learners, upload_cells(sheets, **how), how["upload"])
    for one in filled.said:
        say(f"look: {one}.")
    there = [(name, outcomes) for name, outcomes in sheets
             if sheet_heading(name, how["most"][name], how["upload"]) in filled.columns]  # fmt: skip
    return filled.text, filled.count, there


def _most(place: ClassFolder, names: Sequence[str]) -> dict[str, float]:
    """Return the points that can be had for each sheet, as its form says."""
    from coldcab.classroom import intake
    from coldcab.classroom.forms import form_of

    return {
        name: sum(float(cell["metadata"]["nbgrader"].get("points", 0)) for cell in form_of(place, name)["cells"]
                  if intake.is_graded(cell))
        for name in names
    }  # fmt: skip


def _tell_suspicions(sheets: Sheets) -> None:
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
