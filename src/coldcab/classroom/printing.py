"""What a class prints: its report, feedback, records to sign and sheets to fill in, as tagged PDF files.

Report and feedback are printed from the pages that stand in the class folder, word for word. What learners wrote comes
to the paper as data.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from coldcab import paper
from coldcab.classroom.folder import ClassError, ClassFolder, own_folder, write_file
from coldcab.classroom.pages import TEMPLATES
from coldcab.classroom.roster import Learner
from coldcab.paper.markup import blocks
from coldcab.words import _

LETTER = ("America/", "Canada/", "US/", "UTC")
"""Time zones of classes that print on letter paper, unless they say otherwise; all others print on A4."""


def size_of(folder: ClassFolder, a4: bool | None = None) -> str:
    """The size of a class's paper: as it was said, else as it is usual in its time zone."""
    if a4 is None:
        a4 = not folder.settings.zone.startswith(LETTER)
    return "a4" if a4 else "letter"


@cache
def _template(name: str) -> str:
    return (TEMPLATES / "paper" / f"{name}.typ").read_text(encoding="utf-8")


def write_pdf(folder: ClassFolder, file: Path, template: str, contents: paper.Contents, size: str) -> Path:
    """Write a PDF file into the class folder from a template of ours; return it."""
    made = paper.pdf(_template(template), contents, size)
    own_folder(folder.path, *file.relative_to(folder.path).parts[:-1])
    write_file(file, made)
    return file


def called(learner: Learner) -> str:
    """A learner's name and id, as they stand in the foot of a page."""
    return learner.id if learner.name == learner.id else f"{learner.name} · {learner.id}"


def print_report(folder: ClassFolder, page: Path, size: str) -> Path:
    """Write ``report.pdf`` beside the report's page, and ``term.pdf`` with the term's curves; return the first."""
    term = page.with_name("term.html")
    if term.is_file():
        print_page(folder, term, _("Over the term, {term}").format(term=folder.term), term.with_suffix(".pdf"), size)
    title = _("Class report, {term}").format(term=folder.term)
    return print_page(folder, page, title, page.with_name("report.pdf"), size)


def print_page(folder: ClassFolder, page: Path, title: str, file: Path, size: str) -> Path:
    """Write a page of ours as a PDF file; return it."""
    contents = {"title": title, "blocks": blocks(page.read_text(encoding="utf-8"))}
    return write_pdf(folder, file, "report", contents, size)


def print_feedback(folder: ClassFolder, name: str, size: str) -> tuple[Path, int]:
    """Write all feedback pages of a sheet into one file to print; return it and how many there are.

    Raises
    ------
    ClassError
        If there are none.
    """
    people = []
    for learner in folder.learners():
        page = folder.feedback / learner.id / name / f"{name}.html"
        if page.is_file() and not page.is_symlink() and not folder.blocked(learner, name):
            people.append({"name": called(learner), "blocks": blocks(page.read_text(encoding="utf-8"))})
    if not people:
        raise ClassError(f"{name}: there are no feedback pages to print. First: coldcab class grade {name}.")
    contents = {"title": _("Feedback, {sheet}").format(sheet=name), "sheet": name, "people": people}
    return write_pdf(folder, folder.path / "paper" / f"feedback-{name}.pdf", "feedback", contents, size), len(people)
