"""Collect, grade and feedback, killed without mercy at random moments; the rerun ends like an undisturbed run."""

import os
import random
import shutil
import signal
import subprocess
import sys
import time
import zipfile

import pytest

from classes import ENVIRONMENT, book_of, by_hand, large_class, run_class
from coldcab.classroom import ClassFolder, grading

SHEET = "cycle-1"
COUNT = 40
KILLS = 20
SEED = 20260908


@pytest.fixture(scope="module")
def start(tmp_path_factory):
    """A class, an upload with everybody's sheets, and an empty inbox."""
    place = tmp_path_factory.mktemp("killed")
    folder = large_class(place / "start", COUNT)
    with zipfile.ZipFile(place / "upload.zip", "w") as archive:
        for learner in folder.learners():
            text = (folder.inbox / learner.id / SHEET / "cycle-1.ipynb").read_text()
            archive.writestr(zipfile.ZipInfo(f"{learner.id}/cycle-1.ipynb", (2026, 10, 1, 12, 0, 0)), text)
    shutil.rmtree(folder.inbox)
    folder.inbox.mkdir()
    return folder, place / "upload.zip"


STEPS = {"collect": ("collect", "{upload}"), "grade": ("grade", SHEET), "feedback": ("feedback", SHEET)}


def run(folder, upload, step):
    done = run_class(folder, *(word.format(upload=upload) for word in STEPS[step]))
    assert done.returncode == 0, done.stderr + done.stdout


def everything(folder):
    files = {
        str(path.relative_to(folder.path)): path.read_bytes()
        for part in ("inbox", "submitted", "autograded", "feedback")
        for path in sorted((folder.path / part).rglob("*"))
        if path.is_file() and path.suffix != ".part"
    }
    return book_of(folder), files


def points_by_hand(folder):
    for number, learner in enumerate(folder.learners()):
        if number % 3:
            by_hand(folder, learner.id, number % 5, f"Comment {number}.")


def copy(folder, path):
    return ClassFolder.open(shutil.copytree(folder.path, path))


def test_twenty_kills_change_nothing(start, tmp_path):
    first, upload = start
    whole = copy(first, tmp_path / "whole")
    took = {}
    for step in STEPS:
        if step == "feedback":
            points_by_hand(whole)
        began = time.monotonic()
        run(whole, upload, step)
        took[step] = time.monotonic() - began
    folder, draw, hits = copy(first, tmp_path / "killed"), random.Random(SEED), 0
    for number, step in enumerate(STEPS):
        if step == "feedback":
            points_by_hand(folder)
        for _ in range(KILLS // 3 + (number < KILLS % 3)):
            hits += killed_after(
                folder, draw.uniform(0.3, 1.0) * took[step], [w.format(upload=upload) for w in STEPS[step]]
            )
        run(folder, upload, step)
    print(f"\n{KILLS} kills, {hits} of them in the middle of work (seed {SEED}).")
    assert everything(folder) == everything(whole)
    # What is done stays done, so each run after a kill has less left to do; on a busy computer many end by themselves.
    assert hits >= KILLS / 4, "kills should hit a running command"
    assert {outcome.status for outcome in grading.survey(folder, SHEET)} == {"graded"}


def killed_after(folder, wait, words):
    """Start a command, kill it after ``wait`` seconds, and return whether it still ran."""
    process = subprocess.Popen(
        [sys.executable, "-m", "coldcab", "class", *words, "--folder", str(folder.path)],
        env=ENVIRONMENT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
    )  # fmt: skip
    time.sleep(wait)
    running = process.poll() is None
    if running:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
    return running
