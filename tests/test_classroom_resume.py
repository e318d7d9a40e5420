"""A run that dies at any moment, and the next one that ends where an undisturbed run would have ended."""

import os
import shutil
import signal
import subprocess
import sys
import zipfile

import pytest

from classes import ENVIRONMENT, book_of, by_hand, by_learner, filled, put, small_class
from coldcab.classroom import ClassFolder, collecting, demo, feedback, gradebook, grading, releasing
from coldcab.classroom import folder as folders

STOCK = folders.write_file
SHEET = "cycle-1"
WHO = ("ash", "birch", "cedar", "elm")


class Killed(BaseException):
    """The end of a process, as far as one process can play it: nothing after it is written."""


def everything(folder):
    """All that a run leaves behind: the gradebook, marked sheets and pages."""
    files = {}
    for part in ("submitted", "autograded", "feedback"):
        place = folder.path / part
        files |= {str(path.relative_to(folder.path)): path.read_bytes()
                  for path in sorted(place.rglob("*")) if path.is_file() and path.suffix != ".part"}  # fmt: skip
    return book_of(folder), files


@pytest.fixture(scope="module")
def start(tmp_path_factory):
    """A class in the middle of its term: some graded before with points by hand, some new, one broken."""
    folder = small_class(tmp_path_factory.mktemp("resume") / "class")
    for number, who in enumerate(WHO):
        os.utime(put(folder, who, filled(folder, who, demo.idea(number), said="Weigh it.")), (1.7e9, 1.7e9))
    grading.grade_class(folder, SHEET)
    by_hand(folder, "ash", 3, "Good.")
    by_hand(folder, "birch", 2, "Half.")
    for who, said in (("ash", "Weigh it."), ("birch", "Weigh it twice."), ("fir", "Weigh it."), ("hazel", "")):
        os.utime(put(folder, who, filled(folder, who, said=said)), (1.7e9 + 60, 1.7e9 + 60))
    put(folder, "pine", b"broken")
    return folder


def copy(folder, path):
    return ClassFolder.open(shutil.copytree(folder.path, path))


@pytest.fixture(scope="module")
def undisturbed(start, tmp_path_factory):
    folder = copy(start, tmp_path_factory.mktemp("whole") / "class")
    grading.grade_class(folder, SHEET)
    return everything(folder)


def dying(monkeypatch, moment):
    """Let the process end at the given write, of a file or of the gradebook, before or after it is done."""
    left = [moment]

    def wrap(work):
        def write(*words, **more):
            left[0] -= 1
            if left[0] == 0 and moment % 2:
                raise Killed
            found = work(*words, **more)
            if left[0] == 0:
                raise Killed
            return found

        return write

    for place in (folders, grading, feedback, grading.records, collecting):
        monkeypatch.setattr(place, "write_file", wrap(STOCK))
    monkeypatch.setattr(gradebook.SheetBook, "write", wrap(gradebook.SheetBook.write))
    return left


@pytest.mark.parametrize("moment", range(1, 32, 3))
def test_a_run_that_dies_at_any_write_is_finished_by_the_next(start, undisturbed, tmp_path, monkeypatch, moment):
    folder = copy(start, tmp_path / "class")
    monkeypatch.setattr(grading, "TOGETHER", 2)
    with monkeypatch.context() as dead:
        left = dying(dead, moment)
        if left[0] > 0:
            try:
                grading.grade_class(folder, SHEET)
            except Killed:
                pass
            else:
                pytest.fail(f"the run was over before write {moment}; ask for fewer")
    found = by_learner(grading.grade_class(folder, SHEET))
    assert everything(folder) == undisturbed
    assert (found["ash"].to_read, found["birch"].to_read) == (False, True), "changed words are to be read again"


def test_collecting_that_dies_is_finished_by_the_next(tmp_path, monkeypatch):
    folder = small_class(tmp_path / "class")
    with zipfile.ZipFile(tmp_path / "upload.zip", "w") as archive:
        for who in WHO:
            archive.writestr(f"{who}/cycle-1.ipynb", filled(folder, who))
    with monkeypatch.context() as dead:
        dying(dead, 3)
        with pytest.raises(Killed):
            collecting.collect(folder, [tmp_path / "upload.zip"])
    done = collecting.collect(folder, [tmp_path / "upload.zip"])
    assert sorted(each.status for each in done) == [collecting.SAME] * 2 + [collecting.NEW] * 2
    assert all((folder.inbox / who / SHEET / "cycle-1.ipynb").read_text() == filled(folder, who) for who in WHO)


def test_a_polite_end_says_what_stays(start, tmp_path):
    folder = copy(start, tmp_path / "class")
    shutil.rmtree(folder.records)
    process = subprocess.Popen(
        [sys.executable, "-c", _SLOW, str(folder.path)], env=ENVIRONMENT, stdout=subprocess.PIPE, text=True
    )
    for line in process.stdout:
        if "ready" in line:
            process.send_signal(signal.SIGTERM)
            break
    said = process.stdout.read()
    process.wait(30)
    process.stdout.close()
    assert process.returncode == 130
    assert "the same command goes on from there" in " ".join(said.split())


_SLOW = """
import sys, time
from coldcab.classroom import grading
from coldcab.cli.class_commands import app
stock = grading.look
def look(*words):
    print("ready", flush=True)
    time.sleep(0.5)
    return stock(*words)
grading.look = look
app(["grade", "cycle-1", "--folder", sys.argv[1]])
"""


# Corrected forms and keys.


def test_a_corrected_key_regrades_and_keeps_what_a_person_gave(start, tmp_path):
    folder = copy(start, tmp_path / "class")
    grading.grade_class(folder, SHEET)
    key = folder.path / "lessons" / "cycle-1" / "keys.py"
    before = book_of(folder)
    # From now on "state at A" is right whatever anybody wrote there.
    key.write_text(key.read_text() + _GENEROUS)
    found = by_learner(grading.grade_class(folder, SHEET))
    assert {found[who].status for who in (*WHO, "fir", "hazel")} == {"graded"}
    after = book_of(folder)
    changed = {key for key in before if before[key] != after[key]}
    assert changed
    assert {name for _, _, name in changed} == {"cycle-1-state-at-a"}
    assert after["ash", "grade", "cycle-1-written"] == (3.0, None, 3.0, False), (
        "no second look where words are the same"
    )
    assert after["ash", "comment", "cycle-1-written"] == (None, "Good.")


_GENEROUS = """

from dataclasses import replace as _replace

_all = WrongIdea("anything", lambda case: STATES, "Fine.", 1.0)
KEYS = KEYS | {"state at A": _replace(KEYS["state at A"], ideas=(_all,))}
"""


def test_an_old_form_is_no_changed_form_after_a_correction(start, tmp_path):
    folder = copy(start, tmp_path / "class")
    old = filled(folder, "ash", said="Weigh it.")
    source = folder.path / "source" / SHEET / "cycle-1.ipynb"
    source.write_text(source.read_text().replace("Gauge, absolute, vacuum", "Gauge, absolute and vacuum"))
    releasing.release(folder, (SHEET,))
    put(folder, "ash", old)
    put(folder, "birch", old.replace("Gauge, absolute, vacuum", "What I say"))
    found = by_learner(grading.grade_class(folder, SHEET))
    assert found["ash"].remarks == ()
    assert "was changed" in " ".join(found["birch"].remarks)


def test_a_new_gradebook_is_filled_again(start, tmp_path):
    folder = copy(start, tmp_path / "class")
    first = by_learner(grading.grade_class(folder, SHEET))
    (folder.path / "gradebook.db").unlink()
    releasing.release(folder, (SHEET,))
    assert {outcome.status for outcome in grading.survey(folder, SHEET)} == {"to grade", "missing", "not gradable"}
    again = by_learner(grading.grade_class(folder, SHEET))
    assert {who: again[who].score for who in ("cedar", "elm", "fir")} == {
        who: first[who].score for who in ("cedar", "elm", "fir")
    }
