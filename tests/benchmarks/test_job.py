"""Are the planner's bands honest? Shares over many simulated jobs, printed."""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldcab import job
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
