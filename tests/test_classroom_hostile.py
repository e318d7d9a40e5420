"""The hostile corpus, graded as one class: no point that was not earned, nothing outside, nobody else harmed."""

import csv
import hashlib
import io
import itertools
import json
import os
import re
import resource
import subprocess
import sys
import time
from pathlib import Path

import pytest

from classes import ENVIRONMENT, MATERIAL, by_learner, filled, points, zipped
from coldcab.assess import mark
from coldcab.classroom import (
    ClassError,
    ClassFolder,
    archives,
    collecting,
    demo,
    exporting,
    grading,
    guarded,
    inbox,
    material,
    releasing,
    reporting,
)
from coldcab.classroom.roster import Learner, write_roster
from hostile import make
from hostile.make import COPIED, CORPUS, EARNED, MISSING, REFUSED, SHEET, ZERO
from hostile.tables import ZIPS

SLOWEST = 3.0
"""Seconds of the processor that one submission may take; an honest one takes 0.03."""


@pytest.fixture(scope="module")
def graded(tmp_path_factory):
    """The corpus in one class, made as by hand and graded by a process that is watched: class, who is who, outcomes,
    what was seen."""
    path = tmp_path_factory.mktemp("hostile") / "all"
    made = subprocess.run(
        [sys.executable, make.__file__, str(path)], env=os.environ, capture_output=True, text=True, check=False
    )
    assert made.returncode == 0, made.stderr
    assert f"{len(CORPUS)} submissions in" in made.stdout
    folder, who = ClassFolder.open(path / "class"), make.learners()
    before = outside(path)
    (path / "room").mkdir()
    done = subprocess.run(
        [sys.executable, "-B", str(Path(make.__file__).with_name("watched.py")), str(folder.path), str(path / "room")],
        env=ENVIRONMENT | {"TMPDIR": str(path / "room")}, capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    (path / "room").rmdir()
    assert outside(path) == before
    return folder, who, by_learner(grading.survey(folder, SHEET)), json.loads(done.stdout.splitlines()[-1])


def outside(path):
    """What lies beside the class folder, with its content."""
    return {
        str(file): hashlib.sha256(file.read_bytes()).hexdigest()
        for file in sorted(path.rglob("*"))
        if path / "class" not in file.parents and file.is_file()
    }


def earned(folder, learner):
    """What the honest part of a submission gives: the lines that were filled in with the right answer."""
    key = material.key(folder.path, SHEET)
    case = key.case(folder.term, learner)
    return sum(item.points for item in key.items if demo.partly(item, case))


def by_chance(folder, learner):
    """What the numbers of somebody else give: two learners may have drawn nearly the same on a line."""
    key = material.key(folder.path, SHEET)
    own = key.case(folder.term, learner)
    model = learner == f"h{list(CORPUS).index('the model answers'):03d}"
    other = key.case("open", "reference") if model else key.case(folder.term, "honest")
    lines = [item for item in key.items if item.kind != "choice"]
    return sum(mark(item, demo.right(item, other), own).points for item in lines)


def test_the_corpus_is_as_large_as_it_should_be():
    assert len(CORPUS) + len(ZIPS) >= 250
    assert len({hostile.expected for hostile in CORPUS.values()}) == 5


@pytest.mark.parametrize("name", CORPUS)
def test_no_submission_gets_what_it_has_not_earned(graded, name):
    folder, who, outcomes, _ = graded
    outcome, expected = outcomes[who[name]], CORPUS[name].expected
    if expected in (REFUSED, MISSING):
        assert (outcome.status, outcome.score) == (expected, None)
        assert outcome.reason or outcome.remarks
    else:
        assert outcome.status == "graded", outcome.reason
        learner = who[name]
        assert outcome.score == {EARNED: earned, ZERO: lambda *_: 0, COPIED: by_chance}[expected](folder, learner)
    # Never a zero for what could not be read, and never more than the sheet gives.
    assert outcome.score is None or 0 <= outcome.score < points()


def test_nothing_was_run_read_or_written_outside(graded):
    _, _, _, watched = graded
    assert watched["outside"] == []


def test_the_watch_can_see(tmp_path):
    """A watch that never reports would prove nothing."""
    source = Path(make.__file__).with_name("watched.py").read_text()
    before, after = source.split("from coldcab.classroom import")
    act = (
        "from coldcab.classroom.guarded import guarded\n"
        "if not READER:\n    watching = True\n    open(FOLDER.parent / 'x', 'w').close()\n    import subprocess\n"
        "    subprocess.run(['true'])\n    watching = False\n"
        "    with guarded() as process:\n        process.call(os.mkdir, str(FOLDER.parent / 'y'))\n"
        "    print(json.dumps(done + SEEN.read_text().splitlines()))\n"
    )
    (tmp_path / "w.py").write_text(before + act)
    (tmp_path / "class").mkdir()
    said = subprocess.run(
        [sys.executable, str(tmp_path / "w.py"), str(tmp_path / "class"), str(tmp_path / "class")],
        capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    assert "open" in said
    assert "subprocess.Popen" in said
    assert f"os.mkdir {tmp_path / 'y'}" in said
    assert after


def test_the_honest_ones_are_not_harmed(graded):
    folder, _, outcomes, _ = graded
    assert (outcomes["honest"].score, outcomes["last"].score) == (points(), points())
    assert outcomes["honest"].fits == ""
    assert (folder.feedback / "last" / SHEET / "cycle-1.html").is_file()


def test_whose_numbers_were_copied_is_told(graded):
    _, who, outcomes, _ = graded
    assert outcomes[who["the sheet of another learner"]].fits == "honest"
    assert outcomes[who["the model answers"]].fits == "reference (the model answers)"


def test_nobody_keeps_the_class_waiting(graded):
    folder, who, _, _ = graded
    from coldcab.classroom.autograder import MarkingPackage, autograder_of
    from coldcab.classroom.submissions import HandIn

    bench = autograder_of(MarkingPackage.of(folder, SHEET))
    # Answers are short, and the phrases of the tables cost what each of them costs.
    odd = {name: learner for name, learner in who.items() if not name.startswith(("a choice denied", "a number that"))}
    for name, learner in odd.items():
        began = time.process_time()
        found = inbox.look(folder, SHEET, next(each for each in folder.learners() if each.id == learner))
        if isinstance(found, HandIn):
            bench.result(found)
        assert time.process_time() - began < SLOWEST, name


def pages(folder):
    return [reporting.write_report(folder, (SHEET,))[0], *folder.feedback.rglob("*.html")]


def test_pages_execute_nothing(graded):
    folder, _, _, _ = graded
    for page in pages(folder):
        text = page.read_text()
        assert "default-src 'none'" in text
        tags = re.findall(r"<[a-zA-Z][^>]*>", text)
        for tag in tags:
            assert not re.match(r"<(script|iframe|object|embed|form|base|link)\b", tag, re.IGNORECASE), tag
            assert not re.search(r"\son\w+\s*=", re.sub(r'"[^"]*"', '""', tag)), tag
            assert "javascript:" not in tag
        assert len([tag for tag in tags if tag.startswith("<meta")]) == 3
        assert len([tag for tag in tags if tag.startswith("<style")]) == 1


def test_marked_notebooks_hold_nothing_that_acts_in_formgrader(graded):
    folder, _, _, _ = graded
    form = json.loads(folder.form_file(SHEET).read_text())
    ours = {"".join(cell["source"]) for cell in form["cells"]}
    count = 0
    for file in folder.autograded.rglob("*.ipynb"):
        for cell in json.loads(file.read_text())["cells"]:
            text = "".join(cell["source"])
            if cell["cell_type"] == "markdown" and text not in ours:
                assert not set("<>[]$`") & set(text) or "&lt;" in text or "&amp;" in text or not re.search(r"<\w", text)
            for output in cell.get("outputs", ()):
                assert set(output["data"]) <= {"text/plain", "text/html"}
                html = "".join(output["data"].get("text/html", ""))
                assert not re.search(r"<(script|img|svg|iframe)", html)
            count += 1
    assert count > 1000


def test_tables_calculate_nothing(graded):
    folder, _, _, _ = graded
    _, scores, _ = reporting.write_report(folder, (SHEET,))
    text, _ = exporting.upload_table(folder.learners(), [(SHEET, grading.survey(folder, SHEET))])
    for table in (scores.read_text(), text):
        for row in csv.reader(io.StringIO(table)):
            assert not [cell for cell in row if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]


def test_secrets_are_nowhere(graded):
    folder, _, _, _ = graded
    for part in ("submitted", "autograded", "feedback", "records", "report"):
        for file in (folder.path / part).rglob("*"):
            assert not file.is_file() or b"SECRET" not in file.read_bytes()


# Zips.


@pytest.fixture(scope="module")
def collected(tmp_path_factory):
    """One platform's upload in which every learner but two packed a zip of the table; what became of each, and how long
    it took until the next was told."""
    path = tmp_path_factory.mktemp("zips")
    who = {name: f"z{number:02d}" for number, name in enumerate(ZIPS)}
    write_roster(path / "roster.csv", (Learner("honest"), *map(Learner, who.values()), Learner("last")))
    folder = ClassFolder.create(path / "class", "bad", roster=path / "roster.csv", material=MATERIAL)
    releasing.release(folder, (SHEET,))
    files = [("honest_1_/cycle-1.ipynb", filled(folder, "honest"))]
    files += [(f"{who[name]}_1_/mine.zip", ZIPS[name][0](filled(folder, who[name]).encode())) for name in ZIPS]
    files += [("last_1_/cycle-1.ipynb", filled(folder, "last"))]
    upload = zipped(path / "upload.zip", files)
    moments = [time.perf_counter()]
    done = collecting.collect(folder, [upload], sheet=SHEET, progress=lambda way: moments.append(time.perf_counter()))
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return folder, who, done, max(after - before for before, after in itertools.pairwise(moments)), memory


@pytest.mark.parametrize("name", ZIPS)
def test_a_zip_harms_nobody_and_is_named(collected, name):
    folder, who, done, _, _ = collected
    about = [each for each in done if each.learner == who[name]]
    if said := ZIPS[name][1]:
        assert all(each.status in ("left", "as before", "asked") for each in about), about
        assert any(said in each.reason for each in about) or (said == "not a notebook" and not about), about
    else:
        assert "new" in {each.status for each in about} or about[0].reason, about
    assert not [file for file in folder.path.parent.rglob("*evil*") if folder.inbox not in file.parents]


def test_beside_hostile_zips_the_honest_are_collected_soon(collected):
    _, _, done, longest, memory = collected
    assert {each.learner for each in done if each.status == "new"} >= {"honest", "last"}
    assert longest < 10
    print(f"the longest wait for one zip: {longest:.1f} s; at most {memory:.0f} MB")


def test_an_upload_that_holds_too_much_names_whose_it_is(tmp_path, monkeypatch):
    monkeypatch.setattr("coldcab.classroom.archives.MOST_FILES", 50)
    upload = zipped(tmp_path / "up.zip", [(f"Ash_1_/{n}.txt", "") for n in range(60)] + [("Birch_2_/a.ipynb", "{}")])
    with pytest.raises(ClassError, match="most of it in Ash_1_; take that out"):
        list(archives.notebooks_in(upload))


# The budget.


def test_what_takes_too_much_is_ended_and_the_next_is_done(monkeypatch):
    assert guarded.SECONDS == 8.0
    monkeypatch.setattr(guarded, "SECONDS", 1.0)
    with guarded.guarded() as process:
        assert process.call(len, b"abc") == 3
        with pytest.raises(guarded.OverBudget, match="more than 1 seconds of processor time"):
            process.call(re.match, "(a*)*b", "a" * 40)
        with pytest.raises(guarded.OverBudget, match="more than 350 MB of memory"):
            process.call(bytes, 1_000_000_000)
        with pytest.raises(guarded.OverBudget, match=r"died \(3\)"):
            process.call(os._exit, 3)
        with pytest.raises(ZeroDivisionError):
            process.call(divmod, 1, 0)
        monkeypatch.setattr(guarded, "PATIENCE", 0.5)
        with pytest.raises(guarded.OverBudget, match="longer than 0 seconds"):
            process.call(time.sleep, 30)
        monkeypatch.undo()
        assert process.call(len, b"abc") == 3


def test_one_process_reads_a_whole_class():
    with guarded.guarded() as process:
        first = process.call(os.getpid)
    with guarded.guarded() as process:
        assert process.call(os.getpid) == first != os.getpid()
