"""``coldcab …``: opening the course, enrolling, looking what is missing, and the instructor's class."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path
from typing import Annotated, Any

import typer

from coldcab.cli.plain_errors import plainly, say
from coldcab.words import _

# Before numpy is there, here and in the kernels of the lessons: threads of its linear algebra wait for each other by
# spinning, which on our small problems doubles the work and takes a core from the browser.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

app = typer.Typer(
    name="coldcab",
    help=_("A course on the air conditioning of off-road cabs."),
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

FolderOption = Annotated[
    Path | None,
    typer.Option(help=_("The learner's folder; COLDCAB_FOLDER, else coldcab-course in the home folder.")),
]


@app.command("open")
@plainly
def open_course(
    folder: FolderOption = None,
    port: Annotated[int, typer.Option(help="The first port to try; a busy one is passed over.")] = 8888,
    browser: Annotated[bool, typer.Option(help="Show the course in the browser.")] = True,
) -> None:
    """Open the course in JupyterLab; Ctrl-C closes it."""
    from coldcab import learner
    from coldcab.cli import server, settings
    from coldcab.course import copy_course, default_folder

    place = (folder or default_folder()).expanduser().absolute()
    first_port = server.free_port(port)
    tell_copied(copy_course(place), place)
    settings.write_settings(place)
    try:
        who = learner.read(place)
        say(_("Learner {id}, term {term}.").format(id=who.id, term=who.term))
    except learner.NotEnrolled:
        say(_("No learner's id yet. The first page asks for it; without one the lessons work as well."))
    except learner.LearnerError as error:
        say(str(error))
    already = server.running(place)
    if already is not None:
        say(_("The course is already open: {address}").format(address=already.address))
        show_page(already.address, browser)
        return
    say(_("Starting JupyterLab ..."))
    try:
        with server.started(place, first_port) as jupyter:
            say(_("The course is open: {address}").format(address=jupyter.address))
            say(_("Press Ctrl-C here to close it. What you save stays."))
            show_page(jupyter.address, browser)
            code = jupyter.process.wait()
    except KeyboardInterrupt:
        say("Closed.")
        return
    if code:
        say(
            _("JupyterLab stopped by itself; its messages are in {place}.").format(place=settings.log_file(place)),
            to_stderr=True,
        )
        raise typer.Exit(1)
    say("Closed.")


def tell_copied(copied: Any, place: Path) -> None:
    """Say in a line or two what became of the learner's copy."""
    if copied.added and not copied.kept and not copied.refreshed:
        say(_("The course was copied to {place}.").format(place=place))
    elif copied.added:
        say(_("New in {place}: {added}.").format(place=place, added=", ".join(map(str, copied.added))))
    if copied.refreshed:
        say(
            _("Newer versions of what you had not written in: {refreshed}.").format(
                refreshed=", ".join(map(str, copied.refreshed))
            )
        )
    for mine, other in copied.beside:
        say(
            _("Your {mine} was left as it is; the newer version lies beside it as {other}.").format(
                mine=mine, other=other
            )
        )


def show_page(address: str, wanted: bool) -> None:
    """Show ``address`` in the user's browser, if wanted and if there is one."""
    import webbrowser

    if wanted and not webbrowser.open(address):
        say(_("No browser could be started; open the address above in one."))


@app.command()
@plainly
def enroll(
    id: Annotated[str, typer.Argument(metavar="ID", help="The id that your instructor gave you.")],
    term: Annotated[str | None, typer.Option(help="The term of your class.")] = None,
    units: Annotated[str | None, typer.Option(help="Which units come first, us or si.")] = None,
    folder: FolderOption = None,
) -> None:
    """Say who is learning, so that the exercises have your own numbers."""
    from coldcab import learner
    from coldcab.course import default_folder

    place = (folder or learner.find() or default_folder()).expanduser().absolute()
    try:
        before = learner.read(place)
    except learner.LearnerError:
        before = None
    who = learner.Learner(
        id,
        term if term is not None else (before.term if before else learner.DEFAULT_TERM),
        units if units is not None else (before.units if before else "us"),
    )
    path = learner.write(who, place)
    say(
        _("Enrolled {id}, term {term}, {units} ({path}).").format(
            id=who.id, term=who.term, units=learner.UNITS[who.units], path=path
        )
    )
    if before is not None and (before.id, before.term) != (who.id, who.term):
        say(
            _("Before it was {id}, term {term}; graded exercises now have other numbers.").format(
                id=before.id, term=before.term
            )
        )


@app.command()
@plainly
def doctor(folder: FolderOption = None) -> None:
    """Look whether everything is there, and say how to get what is missing."""
    from coldcab.cli.doctor import examine, show
    from coldcab.course import default_folder

    findings = examine((folder or default_folder()).expanduser().absolute())
    show(findings)
    if any(finding.needed and not finding.good for finding in findings):
        raise typer.Exit(1)


@app.command("plan")
@plainly
def plan_job(
    file: Annotated[Path, typer.Argument(help="The job's file, such as unit-12.toml; a folder lists its jobs.")],
    new: Annotated[
        bool, typer.Option("--new", help="Ask for what matters, one question at a time, and write it.")
    ] = False,
    change: Annotated[
        list[str] | None, typer.Option("--set", metavar="KEY=VALUE", help="Change an entry: weather.ambient=95 F")
    ] = None,
    data: Annotated[bool, typer.Option("--json", help="Print the plan as JSON for other programs.")] = False,
    units: Annotated[str | None, typer.Option(help="Which units come first, us or si.")] = None,
) -> None:
    """Plan tonight's job: write a page to print (HTML and PDF) beside the job's file."""
    gc.disable()  # it is done in a second or two and leaves next to nothing to collect
    try:
        from coldcab.cli import planning

        if file.is_dir():
            planning.list_jobs(file)
        else:
            planning.run(file, new=new, changes=change or [], as_json=data, units=units)
    finally:
        gc.enable()


@app.command("site")
@plainly
def site_(
    folder: Annotated[
        Path | None, typer.Argument(help=_("The site's folder; coldcab-site in the home folder without it."))
    ] = None,
    serve: Annotated[
        bool, typer.Option("--serve", help="Give it out to this computer and to phones in the local network.")
    ] = False,
    runtime: Annotated[
        Path | None, typer.Option(help=_("A folder with a copy of Pyodide's release; else it is fetched."))
    ] = None,
    port: Annotated[int, typer.Option(help="The first port to try; a busy one is passed over.")] = 8800,
) -> None:
    """Write the course as a site that runs in any browser (needs the extra "site")."""
    from importlib.util import find_spec

    if find_spec("jupyterlite_core") is None:
        say(_("The site needs JupyterLite: run  pip install 'coldcab[site]'"), to_stderr=True)
        raise typer.Exit(1)
    from coldcab.cli import site_commands

    place = (folder or site_commands.default_folder()).expanduser().absolute()
    if serve:
        site_commands.serve(place, runtime, port)
    else:
        site_commands.write(place, runtime)


@app.command(
    "class",
    context_settings={"allow_extra_args": True, "ignore_unknown_options": True, "help_option_names": []},
    add_help_option=False,
)
@plainly
def class_(context: typer.Context) -> None:
    """The instructor's class: releasing, collecting, grading, reporting (needs the extra "teach")."""
    from importlib.util import find_spec

    if find_spec("nbgrader") is None:
        say(_("The commands for a class need nbgrader: run  pip install 'coldcab[teach]'"), to_stderr=True)
        raise typer.Exit(1)
    from coldcab.cli.class_commands import app as class_app

    class_app(args=context.args, prog_name="coldcab class")


def main() -> None:
    """Run the command line."""
    app()


if __name__ == "__main__":
    sys.exit(main())
