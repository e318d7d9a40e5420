"""``coldcab class …``: the instructor's evening."""

from __future__ import annotations

import shlex
import sys
from collections import Counter
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Any

import typer

from coldcab.classroom.folder import ClassError, ClassFolder
from coldcab.classroom.material import teaching_material
from coldcab.classroom.screen import Bar, ends_raise, print_table, say, stoppable
from coldcab.classroom.settings import set_due
from coldcab.cli.class_export import export
from coldcab.cli.class_late import extend, tell_out_of_date
from coldcab.cli.class_mend import mend
from coldcab.cli.class_paper import A4Option, FolderOption, enter, paper, record
from coldcab.cli.class_requests import answer, requests, tell_waiting
from coldcab.cli.plain_errors import plainly
from coldcab.units import in_order

# jsonschema, which nbgrader loads, compiles a grammar of international web addresses if it can: 0.8 s for nothing.
sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]

app = typer.Typer(
    help="A class: forms out, sheets in, marks, feedback and a report.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

Names = Annotated[list[str] | None, typer.Argument(metavar="[SHEET]...", help="Sheets, by default all.")]


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
    units: Annotated[str, typer.Option(help="Which units come first on all that is given out, us or si.")] = "us",
) -> None:
    """Make a class folder."""
    made = ClassFolder.create(
        folder, term, roster=roster, material=material or teaching_material(), zone=zone, gradebook=gradebook,
        course=course, units=units,
    )  # fmt: skip
    say(f"Made {made.path} for the term {made.term} with {len(made.learners())} learners.")
    say(f"Next: cd {shlex.quote(str(folder))}, then coldcab class release SHEET, for example cycle-1.")


@app.command()
@plainly
def demo(
    folder: Annotated[Path, typer.Argument(help="The class folder to make.")],
    names: Names = None,
    material: Annotated[Path | None, typer.Option(help="The folder instructor of the course.")] = None,
) -> None:
    """Make a class of twelve invented learners with their sheets filled in, to try things on."""
    from coldcab.classroom.demo import make_demo_class

    made = make_demo_class(folder, material or teaching_material(), tuple(names or ()))
    say(f"Made {made.path}: {len(made.learners())} invented learners, sheets in the inbox.")
    say(f"Next: cd {shlex.quote(str(folder))}, then coldcab class grade.")


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
    for name in make(place, chosen, progress=say):
        moment = place.settings.due_time(name)
        said = f", due {moment:%Y-%m-%d %H:%M} ({place.settings.zone})" if moment else ""
        say(f"{name}{said}: give learners {place.form_file(name)}")
        if moment and due and moment < datetime.now(UTC):
            say(f"That time is past: what comes in now is late. If it is wrong: coldcab class release {name} --due …")
    if hand_out:
        from coldcab.classroom.handing_out import hand_out as pack

        packed = pack(place, chosen)
        say(f"{len(packed)} zips, one a learner, in {place.path / 'hand-out'}")
    say("When sheets have come in: coldcab class collect UPLOAD.")
    for name in chosen if exchange else ():
        release_to_exchange(place, name)
        say(f"{name} is in the exchange; learners find it under Assignments.")


MOST_OF_ONE = 5
"""Files of one learner that were left and are named one by one; a zip may hold thousands."""


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
    from coldcab.classroom import collecting, file_owner

    place = ClassFolder.open(folder)
    if not paths and not exchange:
        raise ClassError("Name what to collect: folders, zips or notebooks, or --exchange.")
    done: list[collecting.HandedIn] = []
    with stoppable("What was put into the inbox stays there"), Bar("collecting", None) as bar:
        if exchange:
            chosen = (sheet,) if sheet else place.released()
            for name in chosen:
                done += collecting.collect_exchange(place, name, bar.step)
        if paths:
            done += collecting.collect(place, paths, sheet=sheet, names=names, progress=bar.step)
    if not done:
        raise ClassError("No notebook (.ipynb) was found there; name the zip or the folder that the platform gave you.")
    counts = Counter(each.status for each in done)
    became = {
        collecting.NEW: "new in the inbox",
        collecting.SAME: "there already",
        collecting.OLDER: "earlier attempts passed over",
        collecting.ASKED: "requests for another look",
    }
    left = [each for each in done if each.status == collecting.LEFT]
    who = {learner.id: f"{learner.id} ({learner.name})" for learner in place.learners()}
    shown: Counter[str] = Counter()
    for each in left:
        about = f"{who.get(each.learner, each.learner)}: " if each.learner else ""
        shown[each.learner] += 1
        if not each.learner or shown[each.learner] <= MOST_OF_ONE:
            say(f"left: {each.file}: {about}{each.reason}")
    for one, count in shown.items():
        if one and count > MOST_OF_ONE:
            say(f"left: {count - MOST_OF_ONE} more of {who.get(one, one)}")
    unused = [each.file for each in done if each.status == collecting.UNUSED]
    if unused:
        say(f"{names}: no file that came is called so ({len(unused)} of the list, the first: {unused[0]})")
    if counts[collecting.ASKED] == 1:
        became[collecting.ASKED] = "request for another look"
    parts = [f"{counts[status]} {said}" for status, said in became.items() if counts[status]]
    say(f"{', '.join(parts) or 'Nothing was put into the inbox'}; {counts[collecting.LEFT]} left for you.")
    owner_unclear = (file_owner.NOBODY, file_owner.SEVERAL)
    unclear = [
        file_owner.Named(each.file, remark=each.reason, sign=each.sign)
        for each in left
        if each.reason.startswith(owner_unclear)
    ]
    file = names or place.path / "names.csv"
    if unclear or file.is_file():
        settled = [file_owner.Named(each.file, each.learner, sign=each.sign) for each in done if each.learner]
        file_owner.write_names(file, unclear, settled)
    if unclear:
        say(f"Write whose they are into {file} (column id), then collect again with --names {file.name}")
    say("Next: coldcab class check.")


@app.command("check")
@plainly
def check_(names: Names = None, folder: FolderOption = Path()) -> None:
    """Show who is missing, unreadable, late, or has the same as somebody else; nothing is written."""
    from coldcab.classroom.checking import check
    from coldcab.classroom.copies import some
    from coldcab.classroom.needs import how_long

    place = ClassFolder.open(folder)
    for name in place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release."):
        found = check(place, name)
        rows = []
        for each in found:
            outcome = each.outcome
            said = [outcome.reason] if outcome.reason else []
            said += [f"{how_long(each.seconds_late)} late"] if each.seconds_late else []
            said += [f"the same as {some(each.same_as)}"] if each.same_as else []
            said += outcome.remarks[:2]
            if said or outcome.status not in ("graded", "to grade", "missing", "joined later"):
                rows.append((outcome.learner.id, _name(outcome.learner), outcome.status, "; ".join(said)))
        print_table(f"{name}: to see to", ("learner", "name", "status", "remarks"), rows)
        counts = _count(name, [each.outcome for each in found])
        if counts["to grade"]:
            say(f"Next: coldcab class grade {name}.")
    _tell_departed(place)
    tell_waiting(place, place.released())


@app.command()
@plainly
def grade(
    names: Names = None,
    folder: FolderOption = Path(),
    again: Annotated[bool, typer.Option("--again", help="Mark everything afresh; points by hand stay.")] = False,
    pages: Annotated[bool, typer.Option(help="Write feedback pages, too.")] = True,
    workers: Annotated[
        int | None, typer.Option(help="Processes that mark at the same time; by default up to 4.")
    ] = None,
    scheduler: Annotated[str, typer.Option(help="Address of a dask scheduler whose workers mark.")] = "",
    run_cells: Annotated[bool, typer.Option("--run-cells", help="Run cells you added, confined.")] = False,
) -> None:
    """Read what is in the inbox, mark it, and write feedback pages."""
    from coldcab.classroom.grading import grade_class
    from coldcab.classroom.spreading import Spread, few

    place, spread = ClassFolder.open(folder), Spread(few() if workers is None else workers, scheduler)
    for name in place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release."):
        with stoppable("What was marked stays marked"), Bar(name, len(place.learners())) as bar:
            if run_cells:
                from coldcab.classroom.confined import run_class

                run_class(place, name)
            outcomes = grade_class(place, name, again=again, pages=pages, progress=bar.step, spread=spread)
        print_table(
            name,
            ("learner", "name", "points", "status", "remarks"),
            [_row(each) for each in outcomes if _is_shown(each, outcomes)],
        )
        counts = _count(name, outcomes)
        if counts["not gradable"]:
            say("Not gradable is no zero: their pages say what was wrong. When files come: collect, grade again.")
        reading = sum(outcome.to_read for outcome in outcomes)
        if reading:
            said = "written answer waits" if reading == 1 else "written answers wait"
            say(f"{reading} {said} for your points. Next: coldcab class desk {name}.")
        elif counts["graded"] or counts["unchanged"]:
            say(f"Next: coldcab class feedback {name} --zip.")
    _tell_departed(place)
    tell_waiting(place, place.released())


FEW = 40
"""Learners up to whom everybody stands in the table; above, only those who need a look."""


def _is_shown(outcome: Any, outcomes: Sequence[Any]) -> bool:
    if outcome.status == "missing" and outcome.score is None and not outcome.remarks:
        return False  # they stand in a line of their own
    return len(outcomes) <= FEW or bool(outcome.reason or outcome.fits or outcome.copied or outcome.status == "missing")


def _tell_departed(place: ClassFolder) -> None:
    from coldcab.classroom.inbox import departed

    if gone := departed(place):
        say(f"No longer on the roster, left out: {', '.join(gone)}.")


def _name(learner: Any) -> str:
    return "" if learner.name == learner.id else learner.name


def _count(sheet: str, outcomes: Sequence[Any]) -> Counter[str]:
    """Say how many there are of each kind, and who is missing; return the counts."""
    missing = [f"{each.learner.id} {_name(each.learner)}".strip() for each in outcomes if each.status == "missing"]
    if missing:
        more = f" and {len(missing) - FEW} others" if len(missing) > FEW else ""
        everybody = len(missing) == len(outcomes)
        say(f"Nobody has handed in {sheet} yet." if everybody else f"Missing: {', '.join(missing[:FEW])}{more}.")
    counts = Counter(each.status for each in outcomes)
    say(f"{sheet}: {', '.join(f'{count} {status}' for status, count in sorted(counts.items()))}.")
    return counts


def _row(outcome: Any) -> tuple[str, str, str, str, str]:
    from coldcab.classroom.copies import suspicions
    from coldcab.classroom.needs import how_long

    points = "" if outcome.score is None else f"{outcome.score:g} of {outcome.out_of:g}"
    said = [outcome.reason] if outcome.reason else []
    said += suspicions(outcome)
    if outcome.unread:
        said.append("nothing on it could be read")
    elif outcome.blank:
        said.append("handed in empty")
    if outcome.seconds_late:
        said.append(f"{how_long(outcome.seconds_late)} late")
    if outcome.to_read:
        said.append("written: waiting")
    said += outcome.remarks[:2]
    return outcome.learner.id, _name(outcome.learner), points, outcome.status, "; ".join(said)


@app.command()
@plainly
def desk(
    name: Annotated[str, typer.Argument(metavar="[SHEET]", help="The sheet whose answers are to be read.")] = "",
    folder: FolderOption = Path(),
    port: Annotated[int, typer.Option(help="The first port to try.")] = 8898,
    browser: Annotated[bool, typer.Option(help="Show the desk in the browser.")] = True,
) -> None:
    """Open formgrader in JupyterLab with the class and the rubrics; Ctrl-C closes it."""
    from coldcab.classroom.formgrader import open_formgrader
    from coldcab.cli.server import free_port

    place = ClassFolder.open(folder)
    if name:
        place.choose((name,), place.released(), "Release it first: coldcab class release.")
    with ends_raise():
        open_formgrader(place, name, port=free_port(port), show=browser, say=say)


@app.command()
@plainly
def feedback(
    names: Names = None,
    folder: FolderOption = Path(),
    packed: Annotated[bool, typer.Option("--zip", help="Pack the pages of each sheet into one zip.")] = False,
    exchange: Annotated[bool, typer.Option("--exchange", help="Give them out through nbgrader's exchange.")] = False,
    workers: Annotated[int | None, typer.Option(help="Processes that write pages at once; by default up to 4.")] = None,
    to_print: Annotated[bool, typer.Option("--print", help="All pages of a sheet as one PDF file to print.")] = False,
    a4: A4Option = None,
) -> None:
    """Write the feedback pages as the gradebook stands now, with your points and comments."""
    from coldcab.classroom.feedback import write_pages
    from coldcab.classroom.handing_out import feedback_zip
    from coldcab.classroom.printing import print_feedback, size_of
    from coldcab.classroom.releasing import feedback_to_exchange
    from coldcab.classroom.spreading import Spread, few

    place = ClassFolder.open(folder)
    for name in place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release."):
        with stoppable("Pages that were written stay"), Bar(name, len(place.learners())) as bar:
            made = write_pages(place, name, progress=bar.step, spread=Spread(few() if workers is None else workers))
        pages = sum((place.feedback / each.id / name / f"{name}.html").is_file() for each in place.learners())
        say(
            f"{name}: {pages} pages in {place.feedback}, {made} of them new." if pages else
            f"{name}: there are no pages, because nothing has been marked. First: coldcab class grade {name}."
        )  # fmt: skip
        if packed:
            file, count = feedback_zip(place, name)
            say(f"{name}: {count} pages packed into {file}")
        if to_print and pages:
            file, count = print_feedback(place, name, size_of(place, a4))
            say(f"{name}: {count} pages to print in {file}; each learner's begin on a new leaf.")
        if exchange:
            feedback_to_exchange(place, name)
            say(f"{name}: learners find their pages under Assignments.")
    say("Next: coldcab class report.")


@app.command()
@plainly
def report(names: Names = None, a4: A4Option = None, folder: FolderOption = Path()) -> None:
    """Write report/index.html, report.pdf to print, report.ipynb and scores.csv."""
    from coldcab.classroom.printing import print_report, size_of
    from coldcab.classroom.reporting import write_report

    place = ClassFolder.open(folder)
    chosen = place.choose(tuple(names or ()), place.released(), "Release it first: coldcab class release.")
    page, scores, book = write_report(place, chosen)
    tell_out_of_date(place, chosen)
    say(f"the class at a glance: {page}")
    say(f"the same to print: {print_report(place, page, size_of(place, a4))}")
    say(f"scores: {scores}")
    say(f"a notebook to ask further: {book}")
    say("Open the page in your browser. Next: coldcab class export.")


app.command()(export)
app.command()(extend)
app.command()(mend)
app.command()(paper)
app.command()(enter)
app.command()(record)
app.command()(requests)
app.command()(answer)


@app.command()
@plainly
def key(
    name: Annotated[str, typer.Argument(metavar="SHEET", help="The sheet.")],
    learner: Annotated[str, typer.Argument(metavar="LEARNER", help="An id of the roster, or a name.")],
    folder: FolderOption = Path(),
) -> None:
    """Show what would be right for one learner's own numbers, what was read, and what it earned."""
    from coldcab.classroom.explaining import explain, find_learner
    from coldcab.classroom.grading import survey

    place = ClassFolder.open(folder)
    place.choose((name,), place.released(), "Release it first: coldcab class release.")
    who = find_learner(place, learner)
    numbers, lines = explain(place, name, who)
    say(f"{who.id} {_name(who)}".strip() + f", {name}. For you alone: it shows the answers.")
    for label, value in numbers:
        say(f"  {label}: {value}")
    for line in lines:
        mark = line.mark
        say("")
        say(f"{line.label}{f': {line.points}' if mark else ''}")
        say(f"  right: {line.right}{f' ({line.counts})' if line.counts else ''}")
        if mark is not None and mark.status != "right":
            if mark.read:
                say(f"  read:  {mark.read}")
            say(f"  why:   {in_order(mark.feedback, place.units)}")
    say("")
    for outcome in survey(place, name):
        if outcome.learner.id == who.id and outcome.fits:
            say(f"The answers fit the numbers of {outcome.fits}. Talk before you judge.")
    if not any(line.mark for line in lines):
        say("Nothing of this learner has been marked.")
