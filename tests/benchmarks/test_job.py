"""Are the planner's bands honest? Shares over many simulated jobs, printed."""

from __future__ import annotations

import subprocess
import sys
import time
from io import BytesIO
from pathlib import Path

from pypdf import PdfReader

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldcab import job
from coldcab.job import paper
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


def test_time_of_a_plan() -> None:
    for path in EXAMPLES:
        start = time.perf_counter()
        assert job.plan(job.read_job(path)).sections
        print(f"\n{path.stem}: planned in {time.perf_counter() - start:.2f} s", end="")


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
