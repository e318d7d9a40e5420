"""``coldcab plan``: from a job's file, or from questions, to the page."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

from rich.markup import escape

from coldcab.cli.plain_errors import say
from coldcab.job import QUESTIONS, Job, JobError, Plan, Question, as_toml, plan, read_job, with_changes
from coldcab.job.route import opened
from coldcab.job.shop import HEADS, as_csv, entries, last_job, last_time, next_job, rows
from coldcab.learner import LearnerError, read, write_whole
from coldcab.units import KINDS, in_order
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
        job = asked(ask, system, file.absolute().parent)
        write_whole(file.absolute(), as_toml(job, every=True, system=system).encode())
        say(_("Written: {file}. Change it with any text editor.").format(file=file))
    job = with_changes(read_job(file), changes)
    made = plan(job, earlier=earlier_of(file, job))
    if as_json:
        print(json.dumps(made.as_data(), indent=1, ensure_ascii=False))
        return
    for path in write_pages(made, file, system):
        say(f"Written: {path}")
    tell(made, system)


def earlier_of(file: Path, job: Job) -> str:
    """What was done at the same machine before this job, in a sentence; nothing where no file of the folder says."""
    name = job.get("machine.name", "")
    if not name:
        return ""
    before = [one for one in entries(file.absolute().parent) if one.file.name != file.name]
    last = last_job(before, name)
    return last_time(last) if last else ""


def _own_units() -> str:
    try:
        return read().units
    except LearnerError:
        return "us"


ORDER = ("job", "machine", "weather", "found", "work", "parts", "tools")
"""Sections in the order of asking: what ails it comes before what is done about it."""

ONCE_OPENED = (
    "machine.condenser",
    "machine.hoses",
    "machine.seals",
    "machine.high_cutout",
    "machine.oil",
    "machine.oil_type",
    "job.technician",
    "job.company",
)
"""What matters only where the circuit is opened."""

METRIC = {
    "temperature": "C",
    "temperature difference": "K",
    "pressure": "kPa gauge",
    "pressure difference": "kPa",
    "volume": "mL",
    "length": "m",
    "volume flow": "m3/h",
    "fraction": "%",
    "ratio": "",
}
"""What a bare number means in a shop with metric units first; masses follow the example: ounces become grams."""

MORE_READ = _("Anything else read as found? Its name, such as bulb warmed, or Enter for no: ")
NO_SUCH_READING = _("These can be told: {names}.")

BARE = re.compile(r"[-+]?[0-9]+(?:[.,][0-9]+)?")


def shop_unit(question: Question, system: str) -> str:
    """The unit that a bare number has in this shop: the last of the example's, or its metric neighbor."""
    if question.kind not in KINDS or question.kind == "ratio":
        return ""
    trade = question.example.rpartition(" ")[2] if " fl oz" not in question.example else "fl oz"
    if system == "us":
        return "cu in" if question.example.endswith("cu in") else trade
    return ("g" if trade == "oz" else "kg") if question.kind == "mass" else METRIC.get(question.kind, "")


def worth_asking(question: Question, job: Job) -> bool:
    """Whether an answer can still matter, after what was said."""
    key, replaced = question.key, job["work.replaced"] or ()
    if not question.asked or job.known(key):
        return False
    if key in ("work.new_oil", "work.brought", "work.drained"):
        return "compressor" in replaced
    if key == "work.rinsed":
        return bool(replaced)
    return opened(job) if _place(question) in ("parts", "tools") else True


def _place(question: Question) -> str:
    return "parts" if question.key in ONCE_OPENED else question.section


def asked(ask: Ask, system: str = "us", folder: Path | None = None) -> Job:
    """Ask what matters; an empty answer leaves it open, and one that cannot be read is asked again.

    Parameters
    ----------
    ask : puts a question and returns the answer.
    system : whose units a bare number has.
    folder : with earlier jobs; the last one of the same machine fills what it knows.
    """
    say(_("Every answer is optional: press Enter to leave it open, and Ctrl+D to plan with what there is."))
    job, before = Job(), entries(folder) if folder is not None and folder.is_dir() else ()
    for section in ORDER:
        for question in QUESTIONS.values():
            if _place(question) != section or not worth_asking(question, job):
                continue
            try:
                job = _answered(ask, question, job, system)
            except EOFError:
                return job
            if question.key == "machine.name" and (last := last_job(before, job.get("machine.name", ""))):
                say(_("Last time, {last}").format(last=last_time(last)))
                known = next_job(last.job)
                for key, text in known.texts.items():
                    job = job if job.known(key) else job.having(key, text)
        if section == "found" and job.known("found.fast_idle_low_side"):
            try:
                job = _more_read(ask, job, system)
            except EOFError:
                return job
    return job


def _more_read(ask: Ask, job: Job, system: str) -> Job:
    """Take readings as found that few jobs have, such as what a plan asked for, by their name in the job's file."""
    names = [one.name for one in QUESTIONS.values() if one.section == "found" and not one.asked]
    while name := ask(MORE_READ).strip().lower().replace(" ", "_"):
        if name not in names:
            say(NO_SUCH_READING.format(names=", ".join(names)))
            continue
        job = _answered(ask, QUESTIONS[f"found.{name}"], job, system)
    return job


def _answered(ask: Ask, question: Question, job: Job, system: str) -> Job:
    unit = shop_unit(question, system)
    choices = f" [{', '.join(question.choices)}]" if question.choices else ""
    hint = _(" (a bare number is {unit})").format(unit=unit) if unit else ""
    while True:
        answer = ask(f"{question.words}{choices} e.g. {question.example_in(system)}{hint}: ").strip()
        if unit and BARE.fullmatch(answer):
            answer = f"{answer} {'psig' if unit == 'psi' and question.kind == 'pressure' else unit}"
        try:
            return job.having(question.key, answer)
        except JobError as error:
            said = str(error).removeprefix(f"{question.key}: ").removeprefix(f"{question.key} ")
            say(in_order(f"{said[:1].upper()}{said[1:]}", system))


def list_jobs(folder: Path) -> None:
    """Show the jobs of a folder as a table, and write them as ``jobs.csv`` beside them.

    Raises
    ------
    JobError
        If there is no such folder.
    """
    from rich.console import Console
    from rich.table import Table

    jobs = entries(folder)
    if not jobs:
        say(_("No job lies in {folder}; make one with  coldcab plan --new unit-12.toml").format(folder=folder))
        return
    table = Table(*HEADS)
    for row in rows(jobs):
        table.add_row(*(escape(cell) for cell in row))
    Console().print(table)
    file = folder / "jobs.csv"
    write_whole(file.absolute(), as_csv(jobs).encode())
    say(_("Written: {file}").format(file=file))


def write_pages(made: Plan, file: Path, system: str) -> tuple[Path, ...]:
    """Write the page as HTML and as PDF beside ``file``; each is the old one or the new one, never half of it.

    Where no paper can be made, the page alone, and a sentence says how it is printed.
    """
    from coldcab import paper
    from coldcab.job.page import html
    from coldcab.job.paper import pdf

    page, card = file.absolute().with_suffix(".html"), file.absolute().with_suffix(".pdf")
    write_whole(page, html(made, system).encode())
    if not paper.is_there():
        say(paper.NO_TYPST)
        return (page,)
    write_whole(card, pdf(made, system))
    return page, card


def tell(made: Plan, system: str) -> None:
    """Say the few figures that matter at once, and what does not go together."""
    from coldcab.job.plan import key_figures

    for said in made.contradictions:
        say(in_order(_("Look again: {said}").format(said=said), system))
    if made.finding is not None:
        say(in_order(_("As found: {verdict}").format(verdict=made.finding.verdict), system))
    say(in_order(made.route.why, system))
    for label, words in key_figures(made, system).items():
        say(f"{label}: {words}")
    if made.as_left is not None:
        say(in_order(_("As left: {words}").format(words=made.as_left.words), system))
