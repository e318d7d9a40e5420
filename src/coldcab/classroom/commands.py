"""``coldcab class …``: the instructor's evening."""

from __future__ import annotations

import signal
import sys
import threading
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table

from coldcab.classroom.folder import ClassError, ClassFolder
from coldcab.classroom.settings import set_due
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
    zone: Annotated[str, typer.Option(help="Time zone of the class, for example Europe/Vienna.")] = "UTC",
    gradebook: Annotated[str, typer.Option(help="URL of a database; by default a file in the folder.")] = "",
    course: Annotated[str, typer.Option(help="nbgrader's name of the course, where its exchange is used.")] = "",
    material: Annotated[Path | None, typer.Option(help="The folder instructor of the course.")] = None,
) -> None:
    """Make a class folder."""
    made = ClassFolder.create(
        folder, term, roster=roster, material=material or teaching_material(), zone=zone, gradebook=gradebook,
        course=course,
    )  # fmt: skip
    _say(f"Made {made.path} for the term {made.term} with {len(made.learners())} learners.")
    _say("Next, in that folder: coldcab class release.")


@app.command()
@plainly
def demo(
    folder: Annotated[Path, typer.Argument(help="The class folder to make.")],
    material: Annotated[Path | None, typer.Option(help="The folder instructor of the course.")] = None,
) -> None:
    """Make a class of twelve invented learners with their sheets filled in, to try things on."""
    from coldcab.classroom.demo import make_demo_class

    made = make_demo_class(folder, material or teaching_material())
    _say(f"Made {made.path}: {len(made.learners())} invented learners, sheets in the inbox.")
    _say("Next, in that folder: coldcab class grade.")


@app.command()
@plainly
def release(
    names: Names = None,
    folder: FolderOption = Path(),
    due: Annotated[str, typer.Option(help="When it is due, for example '2026-10-08 18:00'.")] = "",
    hand_out: Annotated[bool, typer.Option("--hand-out", help="Make a zip for each learner, too.")] = False,
    exchange: Annotated[bool, typer.Option("--exchange", help="Put it into nbgrader's exchange, too.")] = False,
) -> None:
    """Make the blank forms for learners; again after a correction, then grade again."""
    from coldcab.classroom.releasing import release as make
    from coldcab.classroom.releasing import release_to_exchange

    place = ClassFolder.open(folder)
    chosen = place.choose(tuple(names or ()), place.assignments(), "Its notebook belongs in source/NAME/NAME.ipynb.")
    for name in chosen if due else ():
        set_due(place.path, name, due)
    for name in make(place, chosen, progress=_say):
        moment = place.settings.due_time(name)
        said = f", due {moment:%Y-%m-%d %H:%M} ({place.settings.zone})" if moment else ""
        _say(f"{name}{said}: give learners {place.form_file(name)}")
    if hand_out:
        from coldcab.classroom.handing_out import hand_out as pack

        packed = pack(place, chosen)
        _say(f"{len(packed)} zips, one a learner, in {place.path / 'hand-out'}")
    for name in chosen if exchange else ():
        release_to_exchange(place, name)
        _say(f"{name} is in the exchange; learners find it under Assignments.")


@app.command()
@plainly
def collect(
    paths: Annotated[list[Path] | None, typer.Argument(metavar="[PATH]...", help="Folders, zips, notebooks.")] = None,
    sheet: Annotated[str, typer.Option(help="Which sheet it is, where the files do not say.")] = "",
    names: Annotated[Path | None, typer.Option(help="CSV with file,id for files that fit nobody.")] = None,
    exchange: Annotated[bool, typer.Option("--exchange", help="Collect from nbgrader's exchange.")] = False,
    folder: FolderOption = Path(),
) -> None:
    """Put what learners sent into the inbox: zips of a platform, folders, single notebooks."""
    from coldcab.classroom import collecting

    place = ClassFolder.open(folder)
    if not paths and not exchange:
        raise ClassError("Name what to collect: folders, zips or notebooks, or --exchange.")
    done: list[collecting.HandedIn] = []
    with _stoppable("What was put into the inbox stays there"), _Bar("collecting", None) as bar:
        if exchange:
            chosen = (sheet,) if sheet else place.released()
            for name in chosen:
                done += collecting.collect_exchange(place, name, bar.step)
        if paths:
            done += collecting.collect(place, paths, sheet=sheet, names=names, progress=bar.step)
    counts = Counter(each.status for each in done)
    for each in done:
        if each.status == collecting.LEFT:
            whose = f"{each.learner}: " if each.learner else ""
            _say(f"left: {each.shown}: {whose}{each.reason}")
    parts = ", ".join(f"{counts[what]} {what}" for what in (collecting.NEW, collecting.SAME, collecting.OLDER)
                      if counts[what])  # fmt: skip
    _say(f"{parts or 'nothing'} in the inbox; {counts[collecting.LEFT]} left for you.")
    _say("Next: coldcab class check.")


@app.command("check")
@plainly
def check_(names: Names = None, folder: FolderOption = Path()) -> None:
    """Show who is missing, unreadable, late, or has the same as somebody else; nothing is written."""
    from coldcab.classroom.checking import check
    from coldcab.classroom.reporting import how_long

    place = ClassFolder.open(folder)
    for name in place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release."):
        found = check(place, name)
        rows = []
        for each in found:
            outcome = each.outcome
            said = [outcome.reason] if outcome.reason else []
            said += [f"{how_long(each.seconds_late)} late"] if each.seconds_late else []
            said += [f"the same as {', '.join(each.same_as)}"] if each.same_as else []
            said += outcome.remarks[:2]
            if said or outcome.status not in ("graded", "to grade"):
                rows.append((outcome.learner.id, outcome.status, "; ".join(said)))
        _table(f"{name}: to see to", ("learner", "status", "remarks"), rows)
        counts = Counter(each.outcome.status for each in found)
        _say(f"{name}: {', '.join(f'{count} {status}' for status, count in sorted(counts.items()))}.")


@app.command()
@plainly
def grade(
    names: Names = None,
    folder: FolderOption = Path(),
    again: Annotated[bool, typer.Option("--again", help="Mark everything afresh; points by hand stay.")] = False,
    pages: Annotated[bool, typer.Option(help="Write feedback pages, too.")] = True,
    workers: Annotated[int, typer.Option(help="Processes that mark at the same time.")] = 1,
    scheduler: Annotated[str, typer.Option(help="Address of a dask scheduler whose workers mark.")] = "",
    run_cells: Annotated[bool, typer.Option("--run-cells", help="Run cells you added, confined.")] = False,
) -> None:
    """Read what is in the inbox, mark it, and write feedback pages."""
    from coldcab.classroom.grading import grade_class
    from coldcab.classroom.spreading import Spread

    place, spread = ClassFolder.open(folder), Spread(workers, scheduler)
    for name in place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release."):
        with _stoppable("What was marked stays marked"), _Bar(name, len(place.learners())) as bar:
            if run_cells:
                from coldcab.classroom.confined import run_class

                run_class(place, name)
            outcomes = grade_class(place, name, again=again, pages=pages, progress=bar.step, spread=spread)
        _table(
            name,
            ("learner", "points", "status", "remarks"),
            [_row(each) for each in outcomes if _is_shown(each, outcomes)],
        )
        counts = Counter(each.status for each in outcomes)
        _say(f"{name}: {', '.join(f'{count} {status}' for status, count in sorted(counts.items()))}.")
        reading = sum(outcome.to_read for outcome in outcomes)
        if reading:
            _say(f"{reading} written answers wait for your points: coldcab class desk.")


FEW = 40
"""Learners up to whom everybody stands in the table; above, only those who need a look."""


def _is_shown(outcome: Any, outcomes: Sequence[Any]) -> bool:
    return len(outcomes) <= FEW or bool(outcome.reason or outcome.fits or outcome.status == "missing")


def _row(outcome: Any) -> tuple[str, str, str, str]:
    points = "" if outcome.score is None else f"{outcome.score:g} of {outcome.out_of:g}"
    said = [outcome.reason] if outcome.reason else []
    if outcome.fits:
        said.append(f"the numbers fit {outcome.fits}, not this learner")
    if outcome.unread:
        said.append("nothing on it could be read")
    if outcome.to_read:
        said.append("written: waiting")
    said += outcome.remarks[:2]
    return outcome.learner.id, points, outcome.status, "; ".join(said)


@app.command()
@plainly
def feedback(
    names: Names = None,
    folder: FolderOption = Path(),
    packed: Annotated[bool, typer.Option("--zip", help="Pack the pages of each sheet into one zip.")] = False,
    exchange: Annotated[bool, typer.Option("--exchange", help="Give them out through nbgrader's exchange.")] = False,
    workers: Annotated[int, typer.Option(help="Processes that write pages at the same time.")] = 1,
) -> None:
    """Write the feedback pages as the gradebook stands now, with your points and comments."""
    from coldcab.classroom.grading import write_pages
    from coldcab.classroom.handing_out import feedback_zip
    from coldcab.classroom.releasing import feedback_to_exchange
    from coldcab.classroom.spreading import Spread

    place = ClassFolder.open(folder)
    for name in place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release."):
        with _stoppable("Pages that were written stay"), _Bar(name, len(place.learners())) as bar:
            made = write_pages(place, name, progress=bar.step, spread=Spread(workers))
        _say(f"{name}: {made} pages written, the others were as they should be; see {place.feedback}.")
        if packed:
            file, count = feedback_zip(place, name)
            _say(f"{name}: {count} pages in {file}")
        if exchange:
            feedback_to_exchange(place, name)
            _say(f"{name}: learners find their pages under Assignments.")


@app.command()
@plainly
def report(names: Names = None, folder: FolderOption = Path()) -> None:
    """Write report/index.html, report/report.ipynb and report/scores.csv."""
    from coldcab.classroom.reporting import write_report

    place = ClassFolder.open(folder)
    chosen = place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release.")
    for file in write_report(place, chosen):
        _say(str(file))


@app.command()
@plainly
def export(
    names: Names = None,
    folder: FolderOption = Path(),
    to: Annotated[Path, typer.Option(help="The CSV file to write.")] = Path("grades.csv"),
    unfinished: Annotated[bool, typer.Option("--unfinished", help="Scores whose written answer waits, too.")] = False,
) -> None:
    """Write one line a learner and one column a sheet, as CSV to upload to a platform's gradebook."""
    from coldcab.classroom.exporting import upload_table
    from coldcab.classroom.folder import write_file
    from coldcab.classroom.grading import survey

    place = ClassFolder.open(folder)
    chosen = place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release.")
    text, left_out = upload_table(
        place.learners(), [(name, survey(place, name)) for name in chosen], unfinished=unfinished
    )
    write_file(to if to.is_absolute() else place.path / to, text.encode())
    for line in left_out:
        _say(f"no score: {line}")
    _say(f"{to if to.is_absolute() else place.path / to}: {len(left_out)} cells are empty; that is no zero.")


@app.command()
@plainly
def desk(
    folder: FolderOption = Path(),
    port: Annotated[int, typer.Option(help="The first port to try.")] = 8898,
    browser: Annotated[bool, typer.Option(help="Show the desk in the browser.")] = True,
) -> None:
    """Open formgrader in JupyterLab with the class and the rubrics; Ctrl-C closes it."""
    from coldcab.classroom.desk import open_desk
    from coldcab.cli.server import free_port

    open_desk(ClassFolder.open(folder), port=free_port(port), show=browser, say=_say)


def _say(text: str) -> None:
    console.print(text, markup=False, soft_wrap=True)


def _table(title: str, heading: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    from rich.text import Text

    if not rows:
        return
    table = Table(title=title, title_justify="left")
    for word in heading:
        table.add_column(word, overflow="fold")
    for row in rows:
        # Nothing in a file may speak to the terminal.
        table.add_row(*(Text("".join(sign for sign in cell if sign.isprintable())) for cell in row))
    console.print(table)


class _Bar:
    """Progress on the screen: how many are done, how fast, and how long it will still take."""

    def __init__(self, title: str, total: int | None) -> None:
        columns = [TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn()]
        self._progress = Progress(
            *columns, TextColumn("{task.fields[who]}", markup=False), console=console, transient=True
        )
        self._task = self._progress.add_task(title, total=total, who="")

    def __enter__(self) -> _Bar:
        self._progress.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._progress.stop()

    def step(self, who: str) -> None:
        """Show that one more is done."""
        shown = "".join(sign for sign in who if sign.isprintable())[-40:]
        self._progress.update(self._task, advance=1, who=shown)


@contextmanager
def _stoppable(said: str) -> Iterator[None]:
    """Let Ctrl-C, and a polite end from outside, stop a run in an orderly way."""

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGTERM, stop) if threading.current_thread() is threading.main_thread() else None
    try:
        yield
    except KeyboardInterrupt:
        _say(f"Stopped. {said}; the same command goes on from there.")
        raise typer.Exit(130) from None
    finally:
        if before is not None:
            signal.signal(signal.SIGTERM, before)
