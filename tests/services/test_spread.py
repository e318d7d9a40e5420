"""Many learners, with real servers: workers of a dask scheduler, PostgreSQL, two graders at once; same scores."""

import json
import shutil
import subprocess
import sys
import time

import pytest

import postgres
from classes import (
    ENVIRONMENT,
    book_of,
    by_hand,
    by_learner,
    filled,
    large_class,
    points,
    put,
    rows,
    run_class,
    run_nbgrader,
    small_class,
)
from coldcab.classroom import ClassFolder, grading, releasing

SHEET = "cycle-1"
COUNT = 16


@pytest.fixture(scope="module")
def start(tmp_path_factory):
    """A class of some learners, everybody handed in, nobody graded."""
    return large_class(tmp_path_factory.mktemp("spread") / "start", COUNT)


@pytest.fixture(scope="module")
def alone(start, tmp_path_factory):
    """The gradebook as one process on SQLite makes it."""
    folder = copy(start, tmp_path_factory.mktemp("alone") / "class")
    grading.grade_class(folder, SHEET)
    return book_of(folder), pages(folder)


def copy(folder, path):
    return ClassFolder.open(shutil.copytree(folder.path, path))


def pages(folder):
    return {
        str(path.relative_to(folder.feedback)): path.read_bytes() for path in sorted(folder.feedback.rglob("*.html"))
    }


def test_workers_of_a_dask_scheduler_give_the_same_and_need_no_class_folder(start, alone, tmp_path):
    pytest.importorskip("distributed", reason="dask.distributed is not installed; pip install 'coldcab[spread]'")
    folder = copy(start, tmp_path / "class")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    program = [sys.executable, "-m", "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", "0",
               "--no-dashboard", "--scheduler-file", str(elsewhere / "scheduler.json")]  # fmt: skip
    worker = [sys.executable, "-m", "distributed.cli.dask_worker", "--nthreads", "1", "--no-dashboard",
              "--scheduler-file", str(elsewhere / "scheduler.json"), "--local-directory", str(elsewhere)]  # fmt: skip
    quiet = {"cwd": elsewhere, "env": ENVIRONMENT, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    running = [subprocess.Popen(program, **quiet), subprocess.Popen(worker, **quiet)]
    try:
        address = wait_for_address(elsewhere / "scheduler.json")
        done = run_class(folder, "grade", SHEET, "--scheduler", address, timeout=120)
    finally:
        for process in reversed(running):
            process.terminate()
        for process in running:
            process.wait(20)
    assert done.returncode == 0, done.stderr + done.stdout
    assert (book_of(folder), pages(folder)) == alone


def wait_for_address(file):
    for _ in range(300):
        if file.is_file() and file.stat().st_size:
            return json.loads(file.read_text())["address"]
        time.sleep(0.1)
    raise AssertionError("the scheduler did not start")


# Two graders at once.


def together(folder, *more):
    """Let two graders begin at the same time; both must end well."""
    command = [sys.executable, "-m", "coldcab", "class", "grade", SHEET, "--folder", str(folder.path), *more]
    both = [
        subprocess.Popen(command, env=ENVIRONMENT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        for _ in range(2)
    ]
    for process in both:
        said = process.communicate(timeout=120)[0]
        assert process.returncode == 0, said


def test_two_graders_at_once_lose_and_double_nothing(start, alone, tmp_path):
    folder = copy(start, tmp_path / "class")
    together(folder)
    assert book_of(folder) == alone[0]
    assert rows(folder) == COUNT


# PostgreSQL.


@pytest.fixture(scope="module")
def database_server():
    if postgres.programs() is None:
        pytest.skip("no PostgreSQL server here; Debian's package is postgresql, and .ci/run installs it")
    with postgres.server() as url:
        yield url


@pytest.fixture
def on_postgres(start, database_server, tmp_path, request):
    """The same class with its gradebook on PostgreSQL."""
    url = postgres.new_database(database_server, f"class-{abs(hash(request.node.name))}")
    folder = copy(start, tmp_path / "class")
    (folder.path / "gradebook.db").unlink()
    (folder.path / "class.toml").write_text(f'term = "{folder.term}"\ngradebook = "{url}"\n')
    releasing.release(folder, (SHEET,))
    return folder


def test_a_gradebook_on_postgresql_has_the_same(on_postgres, alone):
    grading.grade_class(on_postgres, SHEET)
    assert not (on_postgres.path / "gradebook.db").exists()
    assert (book_of(on_postgres), pages(on_postgres)) == alone
    by_hand(on_postgres, "learner-0001", 3, "Good.")
    again = by_learner(grading.grade_class(on_postgres, SHEET, again=True))
    assert again["learner-0001"].score == points() + 3


def test_two_graders_at_once_on_postgresql_lose_and_double_nothing(on_postgres, alone):
    together(on_postgres, "--workers", "2")
    assert book_of(on_postgres) == alone[0]
    assert rows(on_postgres) == COUNT


def test_nbgraders_own_autograde_gives_the_same_on_postgresql(on_postgres, alone, tmp_path):
    for who in ("learner-0000", "learner-0003"):
        place = on_postgres.submitted / who / SHEET
        place.mkdir(parents=True)
        shutil.copy(on_postgres.inbox / who / SHEET / "cycle-1.ipynb", place)
    run_nbgrader(on_postgres.path, f"autograde {SHEET}")
    found = book_of(on_postgres)
    assert {who for who, _, _ in found} == {"learner-0000", "learner-0003"}
    assert all(alone[0][key][:2] == value[:2] for key, value in found.items())


def test_a_database_that_does_not_answer_gets_one_sentence(tmp_path):
    folder = small_class(tmp_path / "class")
    put(folder, "ash", filled(folder, "ash"))
    url = "postgresql://nobody@127.0.0.1:9/none"
    done = run_class(
        folder,
        "grade",
        SHEET,
    )
    assert done.returncode == 0
    (folder.path / "class.toml").write_text(f'term = "{folder.term}"\ngradebook = "{url}"\n')
    done = run_class(folder, "grade", SHEET)
    assert done.returncode == 1
    assert "The gradebook does not answer" in " ".join(done.stderr.split())
    assert "Traceback" not in done.stderr
