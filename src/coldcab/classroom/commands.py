"""``coldcab class …``: the instructor's evening."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import Progress
from rich.table import Table

from coldcab.classroom.folder import ClassError, ClassFolder
from coldcab.cli import plainly

# jsonschema, which nbgrader loads, compiles a grammar of international web addresses if it can: 0.8 s for nothing.
sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]

app = typer.Typer(
    help="A class: forms out, sheets in, marks, feedback and a report.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
console = Console(highlight=False)

FolderOption = Annotated[Path, typer.Option("--folder", help="The class folder; by default the current one.")]
Names = Annotated[list[str] | None, typer.Argument(metavar="[SHEET]...", help="Sheets, by default all.")]


def teaching_material() -> Path:
    """Return the folder ``instructor`` of the checkout that coldcab runs from.

    Raises
    ------
    ClassError
        If coldcab does not run from a checkout.
    """
    folder = Path(__file__).parents[3] / "instructor"
    if not (folder / "reference").is_dir():
        raise ClassError("The teaching material is not part of what learners install; name it with --material.")
    return folder


@app.command()
@plainly
def new(
    folder: Annotated[Path, typer.Argument(help="The class folder to make.")],
    term: Annotated[str, typer.Option(help="Part of every learner's numbers, for example 2026-autumn.")],
    roster: Annotated[Path | None, typer.Option(help="CSV with the columns id,first_name,last_name,email.")] = None,
    material: Annotated[Path | None, typer.Option(help="The folder instructor of the course.")] = None,
) -> None:
    """Make a class folder."""
    made = ClassFolder.create(folder, term, roster=roster, material=material or teaching_material())
    console.print(f"Made {made.path} for the term {made.term} with {len(made.learners())} learners.", markup=False)
    console.print("Next: coldcab class release, in that folder.", markup=False)


@app.command()
@plainly
def demo(folder: Annotated[Path, typer.Argument(help="The class folder to make.")]) -> None:
    """Make a class of twelve invented learners with their sheets filled in, to try things on."""
    from coldcab.classroom.demo import make_demo_class

    made = make_demo_class(folder, teaching_material())
    console.print(f"Made {made.path}: {len(made.learners())} invented learners, sheets in the inbox.", markup=False)
    console.print("Next: coldcab class grade, in that folder.", markup=False)


@app.command()
@plainly
def release(names: Names = None, folder: FolderOption = Path()) -> None:
    """Make the blank forms for learners."""
    from coldcab.classroom.releasing import release as make

    place = ClassFolder.open(folder)
    for name in make(place, tuple(names or ())):
        console.print(f"{name}: give learners {place.form_file(name)}", markup=False, soft_wrap=True)


@app.command()
@plainly
def grade(
    names: Names = None,
    folder: FolderOption = Path(),
    again: Annotated[bool, typer.Option("--again", help="Mark everything afresh; points by hand stay.")] = False,
    pages: Annotated[bool, typer.Option(help="Write feedback pages, too.")] = True,
) -> None:
    """Read what is in the inbox, mark it, and write feedback pages."""
    from coldcab.classroom.grading import grade_class

    place = ClassFolder.open(folder)
    for name in place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release."):
        try:
            with Progress(console=console, transient=True) as bar:
                task = bar.add_task(name, total=len(place.learners()))
                outcomes = grade_class(
                    place,
                    name,
                    again=again,
                    pages=pages,
                    progress=lambda who, bar=bar, task=task: bar.update(task, advance=1),
                )
        except KeyboardInterrupt:
            console.print("Stopped. What was marked stays marked; the same command goes on from there.", markup=False)
            raise typer.Exit(130) from None
        console.print(_table(name, outcomes))
        reading = sum(outcome.to_read for outcome in outcomes)
        if reading:
            console.print(f"{reading} written answers wait for your points in formgrader.", markup=False)


def _table(name: str, outcomes: tuple) -> Table:
    from rich.text import Text

    table = Table(title=name, title_justify="left")
    for heading in ("learner", "points", "status", "remarks"):
        table.add_column(heading, overflow="fold")
    for outcome in outcomes:
        points = "" if outcome.score is None else f"{outcome.score:g} of {outcome.out_of:g}"
        said = [outcome.reason] if outcome.reason else []
        if outcome.fits:
            said.append(f"the numbers fit {outcome.fits}, not this learner")
        if outcome.to_read:
            said.append("written answer to read")
        said += outcome.remarks[:2]
        cells = (outcome.learner.id, points, outcome.status, "; ".join(said))
        table.add_row(*(Text(cell) for cell in cells))
    return table


@app.command()
@plainly
def report(names: Names = None, folder: FolderOption = Path()) -> None:
    """Write report/index.html and report/scores.csv."""
    from coldcab.classroom.reporting import write_report

    place = ClassFolder.open(folder)
    chosen = place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release.")
    for file in write_report(place, chosen):
        console.print(str(file), markup=False, soft_wrap=True)
