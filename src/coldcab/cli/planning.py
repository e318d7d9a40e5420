"""``coldcab plan``: from a job's file, or from questions, to the page."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from coldcab.cli.plain_errors import say
from coldcab.job import QUESTIONS, Job, JobError, Plan, as_toml, plan, read_job, with_changes
from coldcab.learner import LearnerError, read, write_whole
from coldcab.words import _

Ask = Callable[[str], str]


def run(file: Path, *, new: bool, changes: list[str], as_json: bool, units: str | None, ask: Ask = input) -> None:
    """Make the plan and write ``<name>.html`` and ``<name>.pdf`` beside the job's file.

    Raises
    ------
    JobError
        If the file cannot be read, would be overwritten, or something in it cannot be used.
    """
    system = units or _own_units()
    if system not in ("us", "si"):
        raise JobError(_("The units are us or si, not {system!r}.").format(system=system[:20]))
    if new:
        if file.exists():
            raise JobError(_("{file} is there already; take another name, or plan it without --new.").format(file=file))
        write_whole(file.absolute(), as_toml(asked(ask), every=True).encode())
        say(_("Written: {file}. Change it with any text editor.").format(file=file))
    job = with_changes(read_job(file), changes)
    made = plan(job)
    if as_json:
        print(json.dumps(made.as_data(), indent=1, ensure_ascii=False))
        return
    for path in write_pages(made, file, system):
        say(f"Written: {path}")
    tell(made, system)


def _own_units() -> str:
    try:
        return read().units
    except LearnerError:
        return "us"


def asked(ask: Ask) -> Job:
    """Ask every question that matters; an empty answer leaves it open, and one that cannot be read is asked again."""
    say(_("Every answer is optional: press Enter to leave it open. Units are free, such as 95 F or 35 C."))
    job = Job()
    for question in QUESTIONS.values():
        if not question.asked:
            continue
        choices = f" [{', '.join(question.choices)}]" if question.choices else ""
        while True:
            try:
                answer = ask(f"{question.words}{choices} e.g. {question.example}: ")
            except EOFError:
                return job
            try:
                job = job.having(question.key, answer)
                break
            except JobError as error:
                say(str(error))
    return job


def write_pages(made: Plan, file: Path, system: str) -> tuple[Path, Path]:
    """Write the page as HTML and as PDF beside ``file``; each is the old one or the new one, never half of it."""
    from coldcab.job.page import html
    from coldcab.job.paper import pdf

    page, paper = file.absolute().with_suffix(".html"), file.absolute().with_suffix(".pdf")
    write_whole(page, html(made, system).encode())
    write_whole(paper, pdf(made, system))
    return page, paper


def tell(made: Plan, system: str) -> None:
    """Say the few figures that matter at once, and what does not go together."""
    from coldcab.job.plan import key_figures

    for said in made.contradictions:
        say(_("Look again: {said}").format(said=said))
    if made.finding is not None:
        say(_("As found: {verdict}").format(verdict=made.finding.verdict))
    say(made.route.why)
    for label, words in key_figures(made, system).items():
        say(f"{label}: {words}")
    if made.as_left is not None:
        say(_("As left: {words}").format(words=made.as_left.words))
