"""The shop's memory: the job files of a folder, the machines they speak of, and what one job leaves for the next."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from coldcab.job import oil_books
from coldcab.job.description import Job, JobError, read_job
from coldcab.job.model import refrigerant_of
from coldcab.job.questions import QUESTIONS
from coldcab.words import _

STAYS = ("machine.", "tools.", "prices.")
"""What holds from one job to the next of the same machine and shop."""

PEOPLE = ("job.technician", "job.company")
HEADS = ("date", "machine", "job", "complaint", "replaced", "refrigerant", "charge on its sheet", "as left", "file")
LAST_TIME = _("{date}: {what}.")


@dataclass(frozen=True)
class Entry:
    """One job file of a folder: where it lies, what it says, or why it cannot be read."""

    file: Path
    job: Job
    problem: str = ""

    @property
    def date(self) -> str:
        """The day of the work as it was written, or nothing."""
        return str(self.job.get("job.date", ""))

    @property
    def machine(self) -> str:
        """The shop's name of the machine, or nothing."""
        return str(self.job.get("machine.name", ""))


def entries(folder: Path) -> tuple[Entry, ...]:
    """Return the jobs that lie in a folder, the oldest first; one that cannot be read says why.

    Raises
    ------
    JobError
        If there is no such folder.
    """
    if not folder.is_dir():
        raise JobError(_("There is no folder {folder}; jobs lie where their files were made.").format(folder=folder))
    found = []
    for file in sorted(folder.glob("*.toml")):
        try:
            found.append(Entry(file, read_job(file)))
        except JobError as error:
            found.append(Entry(file, Job(), str(error)))
    return tuple(sorted(found, key=lambda one: (one.date, one.file.name)))


def last_job(jobs: Sequence[Entry], machine: str) -> Entry | None:
    """Return the youngest job of a machine, by the shop's name of it; None where there is none."""
    wanted = " ".join(machine.lower().split())
    fitting = [one for one in jobs if one.machine and " ".join(one.machine.lower().split()) == wanted]
    return fitting[-1] if fitting else None


def next_job(earlier: Job) -> Job:
    """Return what the last job of a machine leaves for its next: the machine as it is now, people, tools, prices.

    What was put in last time is inside now: its refrigerant, and its oil where new oil went in.
    """
    job = Job()
    for key, text in earlier.texts.items():
        if key.startswith(STAYS) or key in PEOPLE:
            job = job.having(key, text)
    now = refrigerant_of(earlier)
    if earlier.known("work.refrigerant"):
        job = job.having("work.inside", now).having("work.refrigerant", now)
    oil = oil_books.new_oil(earlier)
    if earlier.known("work.new_oil") and oil in QUESTIONS["machine.oil_type"].choices:
        job = job.having("machine.oil_type", oil)
    return job


def last_time(entry: Entry) -> str:
    """Return in a sentence what was done at a machine's last job."""
    job = entry.job
    said = [str(job.get("work.complaint", _("a job")))]
    if job["work.replaced"]:
        said.append(_("replaced {parts}").format(parts=", ".join(job["work.replaced"])))
    if job["work.findings"]:
        said.append(", ".join(job["work.findings"]))
    said += _as_left(job)
    return LAST_TIME.format(date=entry.date or entry.file.stem, what="; ".join(said))


def _as_left(job: Job) -> list[str]:
    left = [
        f"{QUESTIONS[key].name.replace('_', ' ')} {text}"
        for key, text in job.texts.items()
        if key.startswith("as_left.")
    ]
    return [_("left at {readings}").format(readings=", ".join(left[:4]))] if left else []


def rows(jobs: Sequence[Entry]) -> list[tuple[str, ...]]:
    """Return a line for each job, under `HEADS`."""
    found = []
    for one in jobs:
        job = one.job
        what = one.problem or str(job.get("job.name", ""))
        left = "; ".join(_as_left(job))
        replaced = ", ".join(job["work.replaced"] or ())
        now = refrigerant_of(job) if job.known("work.refrigerant") or job.known("machine.original_refrigerant") else ""
        found.append(
            (one.date, one.machine, what, str(job.get("work.complaint", "")), replaced, now,
             job.texts.get("machine.charge", ""), left, one.file.name)
        )  # fmt: skip
    return found


def as_csv(jobs: Sequence[Entry]) -> str:
    """Return the jobs as CSV with a line of headings; nothing in it acts in a spreadsheet."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(HEADS)
    table.writerows([tuple(_harmless(cell) for cell in row) for row in rows(jobs)])
    return text.getvalue()


def _harmless(text: str) -> str:
    return f"'{text}" if text.lstrip()[:1] in ("=", "+", "-", "@") else text
