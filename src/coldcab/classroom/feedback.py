"""Feedback pages in the class folder: written where they are not as the gradebook says."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from coldcab.classroom import late, records
from coldcab.classroom.folder import ClassError, ClassFolder, environment_on_path, own_folder, write_file
from coldcab.classroom.gradebook import Entry, sheet_book
from coldcab.classroom.nbgrader_process import quiet
from coldcab.classroom.page_notes import SheetNotes, refused_now
from coldcab.classroom.pages import PageJob, pages
from coldcab.classroom.refused_pages import REFUSED, refused_page
from coldcab.classroom.spreading import Crew, Spread, crew

Progress = Callable[[str], None]


def write_pages(
    folder: ClassFolder,
    name: str,
    *,
    progress: Progress = lambda text: None,
    spread: Spread = Spread(),  # noqa: B008 - it cannot change
) -> int:
    """Write the feedback pages as the gradebook stands now; return how many were not as they should be."""
    with environment_on_path(), quiet(), crew(spread) as team, sheet_book(folder, name) as book:
        return make_pages(folder, name, team, late.with_time(folder, book), refused_now(folder, name), progress)


def make_pages(
    folder: ClassFolder,
    name: str,
    team: Crew,
    entries: dict[str, Entry],
    refused: Mapping[str, str],
    progress: Progress = lambda text: None,
) -> int:
    """Write the feedback page of everybody who has been marked, where it is not as it should be; return how many.

    Who has no marks because the file could not be read, ``refused``, gets a page that says why and what to do.
    """
    states: dict[str, str] = {}
    made = _refused_pages(folder, name, {who: why for who, why in refused.items() if who not in entries})
    notes = SheetNotes(folder, name)

    def jobs() -> Iterator[PageJob]:
        for learner in folder.learners():
            progress(learner.id)
            marked = folder.autograded / learner.id / name / f"{name}.ipynb"
            if learner.id not in entries or not marked.is_file() or folder.blocked(learner, name):
                continue
            said = notes.of(learner.id, refused.get(learner.id, ""))
            job = PageJob(name, learner.id, marked.read_text(encoding="utf-8"), entries[learner.id], said)
            page = folder.feedback / learner.id / name / f"{name}.html"
            if not page.is_file() or records.page_state(folder, name, learner.id) != job.state:
                states[learner.id] = job.state
                yield job

    def failed(job: PageJob, error: Exception) -> str:
        raise ClassError(f"The feedback page of {job.learner} could not be made: {error}") from error

    todo = jobs()
    waiting: list[str] = []

    def watched() -> Iterator[PageJob]:
        for job in todo:
            waiting.append(job.learner)
            yield job

    for html in team.run(pages, watched(), failed):
        learner = waiting.pop(0)
        place = own_folder(folder.path, "feedback", learner, name)
        for small in ("timestamp.txt", "submission_secret.txt"):
            source = folder.submitted / learner / name / small
            if source.is_file() and not source.is_symlink():
                write_file(place / small, source.read_bytes())
        write_file(place / f"{name}.html", html.encode())
        records.write_page_state(folder, name, learner, states.pop(learner))
        made += 1
    return made


def _refused_pages(folder: ClassFolder, name: str, refused: Mapping[str, str]) -> int:
    """Write the pages of files that could not be marked, and take away those that are no longer true."""
    made = 0
    for learner in folder.learners():
        page = folder.feedback / learner.id / name / f"{name}.html"
        before = records.page_state(folder, name, learner.id)
        if folder.blocked(learner, name):
            continue
        if learner.id in refused:
            html, state = refused_page(name, learner.id, refused[learner.id])
            if before != state or not page.is_file():
                write_file(own_folder(folder.path, "feedback", learner.id, name) / page.name, html.encode())
                records.write_page_state(folder, name, learner.id, state)
                made += 1
        elif before.startswith(REFUSED) and page.is_file():
            page.unlink()
            records.write_page_state(folder, name, learner.id, "")
    return made
