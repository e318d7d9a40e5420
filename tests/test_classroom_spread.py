"""Many learners: several processes, workers elsewhere, a gradebook on PostgreSQL, two graders at once; same scores."""

import shutil

import pytest

from classes import book_of, by_learner, large_class, points, risky_work, rows, run_class
from coldcab.classroom import ClassError, ClassFolder, gradebook, grading, spreading
from coldcab.classroom.spreading import Spread

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


def test_two_processes_give_the_same(start, alone, tmp_path):
    folder = copy(start, tmp_path / "class")
    done = run_class(folder, "grade", SHEET, "--workers", "2")
    assert done.returncode == 0, done.stderr
    assert (book_of(folder), pages(folder)) == alone


def test_a_scheduler_that_is_not_there_gets_one_sentence(monkeypatch):
    pytest.importorskip("distributed", reason="dask.distributed is not installed; pip install 'coldcab[spread]'")
    monkeypatch.setattr(spreading, "PATIENCE", "1s")
    with (
        pytest.raises(ClassError, match=r"No dask scheduler answers at tcp://127\.0\.0\.1:9"),
        spreading.crew(Spread(1, "tcp://127.0.0.1:9")),
    ):
        pass


@pytest.mark.parametrize("workers", [0, -1, 1000])
def test_a_wrong_number_of_workers_is_named(workers):
    with pytest.raises(ClassError, match=f"{workers} workers cannot be used"):
        Spread(workers)


# One submission that brings its worker down.


@pytest.mark.parametrize("workers", [1, 2])
def test_one_bad_piece_harms_no_other_and_the_order_stays(workers):
    tasks = [f"{number}" for number in range(20)]
    tasks[7] = "raise"
    if workers > 1:
        tasks[11] = "kill"
    with spreading.crew(Spread(workers)) as team:
        found = list(team.run(risky_work, tasks, lambda task, error: f"failed {task}"))
    assert found == [f"{'failed' if task in ('raise', 'kill') else 'done'} {task}" for task in tasks]


def test_a_grader_who_comes_in_between_is_met_again(start, tmp_path, monkeypatch):
    """The same submission is written by another program after it was found missing: nothing is doubled."""
    folder = copy(start, tmp_path / "class")
    stock = gradebook.SheetBook._write
    meddled = []

    def write(self, connection, submission):
        if not meddled:
            meddled.append(submission.learner)
            with gradebook.sheet_book(folder, SHEET) as other:
                other.write([submission])
                other_again = gradebook.SheetBook._write
                assert other_again is write
            raise gradebook_error()
        return stock(self, connection, submission)

    monkeypatch.setattr(gradebook.SheetBook, "_write", write)
    found = by_learner(grading.grade_class(folder, SHEET))
    assert rows(folder) == COUNT
    assert found["learner-0000"].score == points()


def gradebook_error():
    from sqlalchemy.exc import IntegrityError

    return IntegrityError("INSERT", {}, Exception("UNIQUE constraint failed"))
