"""What ``coldcab doctor`` looks at: each thing, what was found, and how to get what is missing."""

from __future__ import annotations

import platform
import sys
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from coldcab.words import _

OLDEST_PYTHON = (3, 11)
PACKAGES = ("numpy", "CoolProp", "typst", "ipywidgets", "anywidget", "jupyterlab", "typer", "rich")


@dataclass(frozen=True)
class Finding:
    """One thing looked at. ``remedy`` says what to do where it is not good."""

    what: str
    found: str
    good: bool = True
    remedy: str = ""
    needed: bool = True


def examine(folder: Path) -> list[Finding]:
    """Return the findings for this Python and the learner's folder, in the order of use."""
    return [
        _python(),
        *(_package(name) for name in ("coldcab", *PACKAGES)),
        _kernel(),
        _lessons(),
        _copy(folder),
        _learner(folder),
        _browser(),
        _port(),
        _nbgrader(),
    ]


def show(findings: list[Finding]) -> None:
    """Print the findings as a table, then what to do."""
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    console = Console(highlight=False, soft_wrap=True)
    table = Table(box=None, pad_edge=False)
    for heading in ("", "what", "found"):
        table.add_column(heading, overflow="fold")
    for finding in findings:
        word = "ok" if finding.good else ("missing" if finding.needed else "not there")
        table.add_row(Text(word), Text(finding.what), Text(finding.found))
    console.print(table)
    for finding in findings:
        if not finding.good:
            console.print(f"{finding.what}: {finding.remedy}", markup=False)
    if all(finding.good or not finding.needed for finding in findings):
        console.print(_("Everything that the course needs is there."))


def _python() -> Finding:
    oldest = ".".join(map(str, OLDEST_PYTHON))
    return Finding(
        "Python",
        f"{platform.python_version()} in {sys.prefix}",
        sys.version_info >= OLDEST_PYTHON,
        _("install Python {oldest} or newer and coldcab in it.").format(oldest=oldest),
    )


def _package(name: str) -> Finding:
    try:
        return Finding(name, metadata.version(name))
    except metadata.PackageNotFoundError:
        return Finding(
            name, "not installed", False, _("run  {value} install {name}").format(value=_pip(), name=name.lower())
        )


def _kernel() -> Finding:
    remedy = _("run  {value} install --force-reinstall ipykernel").format(value=_pip())
    try:
        from jupyter_client.kernelspec import KernelSpecManager, NoSuchKernel

        KernelSpecManager().get_kernel_spec("python3")
    except (ImportError, NoSuchKernel):
        return Finding("Jupyter kernel", _("none for this Python"), False, remedy)
    return Finding("Jupyter kernel", "python3")


def _lessons() -> Finding:
    from coldcab import course

    try:
        place = course.folder()
    except course.CourseError as error:
        return Finding("lessons", "not found", False, str(error))
    number = sum(1 for path in place.rglob("*.ipynb") if ".ipynb_checkpoints" not in path.parts)
    return Finding(
        "lessons",
        _("{number} notebooks in {place}").format(number=number, place=place),
        number > 0,
        _("install coldcab again."),
    )


def _copy(folder: Path) -> Finding:
    there = (folder / "start-here.ipynb").is_file()
    return Finding(
        "your copy",
        str(folder) if there else _("none yet in {folder}").format(folder=folder),
        there,
        "run  coldcab open",
        needed=False,
    )


def _learner(folder: Path) -> Finding:
    from coldcab import learner

    try:
        who = learner.read(folder)
    except learner.NotEnrolled as error:
        return Finding("learner", "nobody enrolled", False, str(error), needed=False)
    except learner.LearnerError as error:
        return Finding("learner", "not readable", False, str(error))
    return Finding("learner", f"{who.id}, term {who.term}, {learner.UNITS[who.units]}")


def _browser() -> Finding:
    import webbrowser

    try:
        controller = webbrowser.get()
    except webbrowser.Error:
        return Finding(
            "browser",
            "none found",
            False,
            _("install one, or run  coldcab open --no-browser  and open the address that it prints."),
            needed=False,
        )
    return Finding("browser", getattr(controller, "name", "") or type(controller).__name__)


def _port() -> Finding:
    from coldcab.cli.server import FIRST_PORT, free_port
    from coldcab.course import CourseError

    try:
        return Finding("free port", str(free_port(FIRST_PORT)))
    except CourseError as error:
        return Finding("free port", "none", False, str(error))


def _nbgrader() -> Finding:
    try:
        return Finding("nbgrader", metadata.version("nbgrader"), needed=False)
    except metadata.PackageNotFoundError:
        remedy = _("only instructors need it: run  {value} install 'coldcab[teach]'").format(value=_pip())
        return Finding("nbgrader", "not installed", False, remedy, needed=False)


def _pip() -> str:
    return f"{sys.executable} -m pip"
