"""Hands for the tests of the class: making classes, filling in sheets, and reading the gradebook."""

from __future__ import annotations

import atexit
import json
import os
import shutil
import subprocess
import sys
import tempfile
import zipfile
from functools import cache
from pathlib import Path

from coldcab.classroom import ClassFolder, demo, forms, material, releasing
from coldcab.classroom.roster import Learner, write_roster

MATERIAL = Path(__file__).parents[1] / "instructor"
SHEETS = ("cycle-1", "cycle-2")
"""The sheets that most tests of the class use; that every sheet can be marked is shown by the model answers of each."""

REFERENCE = {name: material.key(MATERIAL, name) for name in SHEETS}
ENVIRONMENT = os.environ | {"PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"}


@cache
def _released() -> Path:
    place = Path(tempfile.mkdtemp(prefix="coldcab-class-"))
    atexit.register(shutil.rmtree, place, ignore_errors=True)
    write_roster(place / "roster.csv", demo.ROSTER)
    folder = ClassFolder.create(place / "class", demo.TERM, roster=place / "roster.csv", material=MATERIAL)
    releasing.release(folder, ("cycle-1",))
    return folder.path


def small_class(path: Path) -> ClassFolder:
    """Return a class of the demo's twelve learners with cycle-1 released and nothing handed in."""
    return ClassFolder.open(shutil.copytree(_released(), path))


def large_class(path: Path, count: int, *, material: Path = MATERIAL, gradebook: str = "") -> ClassFolder:
    """Return a class of ``count`` learners, cycle-1 released and handed in by everybody in eight ways."""
    path.mkdir()
    write_roster(path / "roster.csv", tuple(Learner(f"learner-{number:04d}") for number in range(count)))
    folder = ClassFolder.create(
        path / "class", "bench", roster=path / "roster.csv", material=material, gradebook=gradebook
    )
    releasing.release(folder, ("cycle-1",))
    fill_inbox(folder)
    return folder


def fill_inbox(folder: ClassFolder) -> None:
    """Let everybody hand in cycle-1, in eight ways, with words of their own."""
    hands = [demo.right, demo.metric, demo.partly, *(demo.idea(number) for number in range(4)), demo.wrong_unit]
    for number, learner in enumerate(folder.learners()):
        words = f"Learner {number} says: weigh it." if number % 3 else ""
        put(folder, learner.id, filled(folder, learner.id, hands[number % len(hands)], words))


def put(folder, learner, text, name="cycle-1", file=None):
    """Put a file into the inbox of a learner."""
    place = folder.inbox / learner / name
    place.mkdir(parents=True, exist_ok=True)
    target = place / (file or f"{name}.ipynb")
    target.write_bytes(text if isinstance(text, bytes) else text.encode())
    return target


def filled(folder, learner, words=demo.right, said="", name="cycle-1"):
    """Return the form of a sheet, filled in with the learner's own numbers."""
    case = REFERENCE[name].case(folder.term, learner)
    return demo.filled_notebook(forms.form_of(folder, name), REFERENCE[name], case, words, said)


def points(name="cycle-1"):
    """Return the points of all lines of a sheet."""
    return sum(item.points for item in REFERENCE[name].items)


def by_learner(outcomes):
    """Return outcomes by the learner's id."""
    return {outcome.learner.id: outcome for outcome in outcomes}


def book_of(folder, name="cycle-1"):
    """Return all that the gradebook says of a sheet, without the random names of its rows."""
    from nbgrader.api import Gradebook

    def grade(row):
        return row.score, row.auto_score, row.manual_score, row.needs_manual_grade

    found = {}
    with Gradebook(folder.gradebook_url) as gradebook:
        for each in gradebook.assignment_submissions(name):
            for notebook in each.notebooks:
                found |= {(each.student.id, "grade", row.name): grade(row) for row in notebook.grades}
                found |= {
                    (each.student.id, "comment", row.name): (row.auto_comment, row.manual_comment)
                    for row in notebook.comments
                }
    return found


def by_hand(folder, learner, score, words="", name="cycle-1"):
    """Give points and a comment to a written answer, as a person does in formgrader."""
    from nbgrader.api import Gradebook

    with Gradebook(folder.gradebook_url) as gradebook:
        grade = gradebook.find_grade(f"{name}-written", name, name, learner)
        grade.manual_score, grade.needs_manual_grade = score, False
        gradebook.find_comment(f"{name}-written", name, name, learner).manual_comment = words
        gradebook.db.commit()


def zipped(path, files, *, when=(2026, 10, 1, 12, 0, 0)):
    """Write a zip of names and contents."""
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in files:
            archive.writestr(zipfile.ZipInfo(name, when), data)
    return path


def run_class(folder, *words, **more):
    """Run ``coldcab class …`` in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "coldcab", "class", *words, "--folder", str(folder.path)],
        capture_output=True, text=True, env=ENVIRONMENT | {"COLUMNS": "200"}, check=False, **more,
    )  # fmt: skip


def risky_work(tasks):
    """Return what was done; one task ends its process, one raises."""
    for task in tasks:
        if task == "kill":
            os._exit(9)
        if task == "raise":
            raise RuntimeError("no")
    return [f"done {task}" for task in tasks]


def rows(folder):
    """How many submissions there are, counted without asking for one a learner."""
    from nbgrader.api import SubmittedAssignment
    from sqlalchemy import create_engine, func, select

    engine = create_engine(folder.gradebook_url)
    with engine.connect() as connection:
        count = connection.execute(select(func.count()).select_from(SubmittedAssignment.__table__)).scalar()
    engine.dispose()
    return count


COMMANDS = """
import json, sys
from jupyter_core.application import NoStart
from nbgrader.apps import NbGraderApp
for words in json.loads(sys.argv[1]):
    app = NbGraderApp.instance()
    app.initialize(words)
    try:
        app.start()
    except NoStart:  # how a command that was named ends
        pass
    (app.subapp or app).clear_instance()
"""


def run_nbgrader(path, *commands):
    """Run some of nbgrader's own commands, each a line of words, in the class folder; all in one process."""
    lines = json.dumps([command.split() for command in commands])
    done = subprocess.run(
        [sys.executable, "-c", COMMANDS, lines], cwd=path, capture_output=True, text=True, env=ENVIRONMENT, check=False
    )
    assert done.returncode == 0, done.stderr
    return done
