"""An instructor's own cells: run only on request, only behind walls; refused with the reason elsewhere."""

import json
import shutil
import socket

import pytest

from classes import MATERIAL, book_of, by_learner, put, run_class
from coldcab.classroom import ClassError, ClassFolder, confined, demo, forms, grading, intake, releasing
from coldcab.classroom.roster import write_roster
from coldcab.classroom.sheets import source_text

SHEET = "cycle-1"
PROGRAM, TEST = "cycle-1-program", "cycle-1-program-test"

needs_walls = pytest.mark.skipif(
    bool(confined.why_not()), reason=f"{confined.why_not()}; .ci/run installs Debian's bubblewrap"
)


def own_cell(name, source, **about):
    about = {"grade": False, "solution": False, "locked": False, "task": False, "schema_version": 3} | about
    return {
        "cell_type": "code", "id": name, "metadata": {"nbgrader": about | {"grade_id": name}}, "source": source,
        "outputs": [], "execution_count": None,
    }  # fmt: skip


@pytest.fixture(scope="module")
def start(tmp_path_factory):
    """A class whose sheet has a program to write and a cell that tests it, for 3 points."""
    place = tmp_path_factory.mktemp("own")
    material = place / "material"
    shutil.copytree(MATERIAL, material)
    source = material / "source" / SHEET / "cycle-1.ipynb"
    source.parent.mkdir(parents=True)
    book = json.loads(source_text(material / "lessons" / SHEET, SHEET))
    book["cells"] += [
        own_cell(PROGRAM, "### BEGIN SOLUTION\ndef double(x):\n    return 2 * x\n### END SOLUTION", solution=True),
        own_cell(TEST, "assert double(2) == 4\n3.0", grade=True, locked=True, points=3),
    ]
    source.write_text(json.dumps(book))
    write_roster(place / "roster.csv", demo.ROSTER)
    folder = ClassFolder.create(place / "class", demo.TERM, roster=place / "roster.csv", material=material)
    releasing.release(folder, (SHEET,))
    return folder


@pytest.fixture
def folder(start, tmp_path):
    return ClassFolder.open(shutil.copytree(start.path, tmp_path / "class"))


def hand_in(folder, learner, program):
    book = forms.form_of(folder, SHEET)
    for cell in book["cells"]:
        if intake.grade_id(cell) == PROGRAM:
            cell["source"] = program
    put(folder, learner, json.dumps(book))


def test_without_the_request_nothing_is_run_and_the_points_wait(folder):
    hand_in(folder, "ash", "def double(x):\n    return 2 * x")
    found = by_learner(grading.grade_class(folder, SHEET))
    assert found["ash"].to_read
    assert book_of(folder)["ash", "grade", TEST] == (0, None, None, True)


def test_where_nothing_can_be_confined_it_is_refused_with_the_reason(folder, monkeypatch):
    monkeypatch.setattr(confined.shutil, "which", lambda name: None)
    hand_in(folder, "ash", "def double(x):\n    return 2 * x")
    with pytest.raises(ClassError, match="Cells are not run: bubblewrap is not installed"):
        confined.run_class(folder, SHEET)
    assert not (folder.records / SHEET / "runs").exists()


@needs_walls
def test_a_sheet_of_ours_has_nothing_to_run(tmp_path):
    from classes import small_class

    with pytest.raises(ClassError, match="has no cells that must be run"):
        confined.run_class(small_class(tmp_path / "class"), SHEET)


@needs_walls
def test_a_program_is_run_and_its_points_wait_for_a_person(folder):
    hand_in(folder, "ash", "def double(x):\n    return 2 * x")
    hand_in(folder, "birch", "def double(x):\n    return x")
    hand_in(folder, "cedar", "this is no program")
    done = run_class(folder, "grade", SHEET, "--run-cells")
    assert done.returncode == 0, done.stderr + done.stdout
    book = book_of(folder)
    assert book["ash", "grade", TEST] == (3, 3, None, True)
    assert book["birch", "grade", TEST] == (0, 0, None, True)
    assert book["cedar", "grade", TEST] == (0, 0, None, True)
    # The run of one hand-in says nothing of the next.
    hand_in(folder, "ash", "def double(x):\n    return x")
    grading.grade_class(folder, SHEET)
    assert book_of(folder)["ash", "grade", TEST] == (0, None, None, True)


@needs_walls
def test_walls_hold(folder, tmp_path):
    secret = tmp_path / "secret.txt"
    secret.write_text("SECRET")
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        listening.listen()
        port = listening.getsockname()[1]
        book = forms.form_of(folder, SHEET)
        for cell in book["cells"]:
            if intake.grade_id(cell) == PROGRAM:
                cell["source"] = _ESCAPE.format(
                    secret=str(secret), folder=str(folder.path), port=port, out=str(tmp_path / "out.txt")
                )
            if intake.grade_id(cell) == TEST:
                cell["source"] = "raise RuntimeError(' '.join(got) or 'walls hold')"
        (points, said) = confined.run_notebook(book, [TEST])[TEST]
    assert (points, said) == (0.0, "RuntimeError: walls hold")
    assert not (tmp_path / "out.txt").exists()
    assert not (folder.path / "evil.txt").exists()


_ESCAPE = """
import os, socket, tempfile
got = []
def attempt(what, work):
    try:
        work()
    except BaseException:
        return
    got.append(what)
attempt("read a secret", lambda: open({secret!r}).read())
attempt("read the class", lambda: os.listdir({folder!r}))
attempt("read the keys", lambda: open({folder!r} + "/reference/cycle_1.py").read())
attempt("read passwords", lambda: open("/etc/shadow").read())
attempt("write outside", lambda: open({out!r}, "w").write("x"))
attempt("write into the class", lambda: open({folder!r} + "/evil.txt", "w").write("x"))
attempt("write into python", lambda: open(os.__file__, "a").write("x"))
attempt("open a socket", lambda: socket.create_connection(("127.0.0.1", {port}), 2))
attempt("fill the disk", lambda: open(tempfile.gettempdir() + "/big", "wb").write(b"x" * (60 * 1024**2)))
attempt("take all memory", lambda: bytearray(8 * 1024**3))
if sum(entry.isdigit() for entry in os.listdir("/proc")) > 12:
    got.append("see other processes")
"""
