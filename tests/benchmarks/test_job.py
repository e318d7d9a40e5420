"""Are the planner's bands honest, and how long does it take? Shares over many simulated jobs and times, printed."""

from __future__ import annotations

import resource
import subprocess
import sys
import time
from io import BytesIO
from pathlib import Path

from pypdf import PdfReader

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldcab import job
from coldcab.job import QUESTIONS, paper
from coldcab.job.form import JobForm
from test_job import EXAMPLES, correct_work_and_faults

JOBS = 500


def test_bands_of_many_jobs() -> None:
    """In 500 jobs with some facts left out: as-left readings of correct work, and the ten commonest faults at 0.9."""
    inside, caught = correct_work_and_faults(JOBS, 5)
    print(f"\nall as-left readings of correct work inside: {inside:.1%} of {JOBS} jobs")
    for name, share in sorted(caught.items(), key=lambda one: -one[1]):
        print(f"  {name:28s} outside some band: {share:.1%}")
    assert inside >= 0.90
    assert sum(share >= 0.85 for share in caught.values()) >= 8


def processor_time(*command: str) -> float:
    """Seconds of the processor that a command takes, from its start to its end."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *command], check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def test_time_of_a_plan(tmp_path: Path) -> None:
    """``coldcab plan FILE`` with page and PDF, beside the import of CoolProp in the same minute."""
    for path in EXAMPLES:
        file = tmp_path / path.name
        file.write_bytes(path.read_bytes())
        unit = processor_time("-c", "import CoolProp")
        took = processor_time("-c", "import sys; from coldcab.cli import main; sys.exit(main())", "plan", str(file))
        assert file.with_suffix(".pdf").exists()
        ranked = "ranked and planned" if "[found]" in path.read_text(encoding="utf-8") else "planned"
        print(f"\n{path.stem}: {ranked} in {took:.2f} s, {took / unit:.2f} times the import of CoolProp", end="")


def test_time_of_a_page_on_paper() -> None:
    """Processor time of typst for a card with its reasons, beside that of importing CoolProp in a new Python."""
    first, *others = (job.plan(job.read_job(path)) for path in EXAMPLES[:4])
    paper.pdf(first)  # the first one reads the typefaces; what is set once is remembered, so each job is set once
    start = time.process_time()
    papers = [paper.pdf(made) for made in others]
    took = time.process_time() - start
    sides = sum(len(PdfReader(BytesIO(one)).pages) for one in papers)
    asked = "import time; start = time.process_time(); import CoolProp.CoolProp; print(time.process_time() - start)"
    measure = float(subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True).stdout)
    print(f"\ncards and reasons, {sides} sides: {took / sides:.3f} s a side")
    print(f"{took / sides / measure:.3f} of importing CoolProp")
    assert took / sides < measure, "a study took 0.15 to 0.29 s a side"


def test_time_of_the_form() -> None:
    """An answer is read at once; a plan made again after one more reading takes up what stays."""
    form = JobForm(next(path for path in EXAMPLES if path.stem == "chaff"), system="us")
    start = time.process_time()
    assert form.widget.children
    print(f"\nthe form is built in {time.process_time() - start:.2f} s", end="")
    longest = 0.0
    for question in QUESTIONS.values():
        start = time.process_time()
        form.answer(question.key, form.job.texts.get(question.key, ""))
        longest = max(longest, time.process_time() - start)
    print(f", takes an answer in at most {1e3 * longest:.1f} ms", end="")
    for words in ("first", "again after one more reading"):
        start = time.process_time()
        assert form.work_out().startswith("<!DOCTYPE")
        took = time.process_time() - start
        print(f", plans {words} in {took:.2f} s", end="")
        form.answer("found.fast_idle_low_side", "35 psig")
    assert took < 1.0
