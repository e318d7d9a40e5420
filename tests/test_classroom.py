"""The class, whole: forms out, sheets in, marks, feedback, report; and what bad files and bad people hand in."""

import csv
import io
import json
import os
import re
import shutil
from functools import cache
from html import unescape
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from classes import run_nbgrader
from coldcab.assess import WORDS, Sheet
from coldcab.assess import mark as mark_answer
from coldcab.classroom import (
    ClassError,
    ClassFolder,
    demo,
    exporting,
    forms,
    gradebook,
    grading,
    inbox,
    intake,
    marked_notebook,
    marker,
    material,
    releasing,
    reporting,
)
from coldcab.classroom.sheets import source_text
from coldcab.classroom.spreading import Spread
from coldcab.cli.class_commands import app
from coldcab.lessons import LESSONS

MATERIAL = Path(__file__).parents[1] / "instructor"
SHEETS = ("cycle-1", "cycle-2")
"""The sheets of the demo class here; that every sheet can be marked is shown by the model answers of each."""

REFERENCE = {name: material.key(MATERIAL, name) for name in SHEETS}
RUNNER = CliRunner()
HERE = Spread(guarded=False)
"""Marking in this very process, where a test can put a stumbling block."""


def scores(folder, name):
    """Every score of an assignment as the gradebook has it: learner and cell to points."""
    from nbgrader.api import Gradebook

    with Gradebook(folder.gradebook_url) as gradebook:
        return {
            (each.student.id, grade.name): (grade.score, grade.auto_score)
            for each in gradebook.assignment_submissions(name)
            for notebook in each.notebooks
            for grade in notebook.grades
        }


@pytest.fixture(scope="session")
def graded(tmp_path_factory):
    """The demo class, graded; outcomes by sheet."""
    folder = demo.make_demo_class(tmp_path_factory.mktemp("class") / "demo", MATERIAL, SHEETS)
    outcomes = {name: grading.grade_class(folder, name) for name in folder.released()}
    return folder, outcomes


@pytest.fixture(scope="session")
def released(tmp_path_factory):
    """A class with cycle-1 released and nothing handed in."""
    folder = tmp_path_factory.mktemp("released") / "class"
    roster = folder.with_name("roster.csv")
    demo.write_roster(roster, demo.ROSTER)
    place = ClassFolder.create(folder, demo.TERM, roster=roster, material=MATERIAL)
    releasing.release(place, ("cycle-1",))
    return place


@pytest.fixture
def small(released, tmp_path):
    """A copy of that class, for spoiling."""
    return ClassFolder.open(shutil.copytree(released.path, tmp_path / "class"))


def seen(page):
    """The words of a page, whatever became of line breaks in its source."""
    text = re.sub(r"<(style|title)>.*?</\\1>", "", page.read_text(), flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", text)).split())


def by_learner(outcomes):
    return {outcome.learner.id: outcome for outcome in outcomes}


def put(folder, learner, text, name="cycle-1", file=None):
    place = folder.inbox / learner / name
    place.mkdir(parents=True, exist_ok=True)
    target = place / (file or f"{name}.ipynb")
    target.write_bytes(text if isinstance(text, bytes) else text.encode())
    return target


def filled(folder, learner, words=demo.right, said="", name="cycle-1"):
    case = REFERENCE[name].case(folder.term, learner)
    return demo.filled_notebook(forms.form_of(folder, name), REFERENCE[name], case, words, said)


def points(name):
    return sum(item.points for item in REFERENCE[name].items)


# The whole way.


@pytest.mark.parametrize("name", SHEETS)
def test_everyone_of_the_demo_class_gets_what_they_earned(graded, name):
    folder, outcomes = graded
    found = by_learner(outcomes[name])
    for learner in ("ash", "birch"):
        assert found[learner].score == points(name)
    for learner in ("larch", "maple", "oak"):
        assert found[learner].score == 0
        assert found[learner].status == "graded"
    for learner, words in demo.HANDS.items():
        outcome = found[learner]
        if outcome.status != "graded":
            continue
        case = REFERENCE[name].case(folder.term, demo.COPIED.get(learner, learner))
        own = REFERENCE[name].case(folder.term, learner)
        for item, mark in zip(REFERENCE[name].items, outcome.marks, strict=True):
            # The truth, worked out from what this person was made to write.
            expected = mark_answer(item, words(item, case), own)
            assert (mark.points, mark.idea) == (expected.points, expected.idea)
        assert outcome.score == sum(mark.points for mark in outcome.marks)


def test_the_wrong_ideas_of_both_sheets_are_in_the_class(graded):
    _, outcomes = graded
    for name in SHEETS:
        assignment = REFERENCE[name]
        seen = {(mark.label, mark.idea) for outcome in outcomes[name] for mark in outcome.marks if mark.idea}
        missing = {
            (item.label, idea.name)
            for item in assignment.items
            for number, idea in enumerate(item.ideas[:4])
            if idea.results(assignment.case(demo.TERM, ("cedar", "elm", "fir", "hazel")[number]))
        } - seen
        assert not missing


def test_missing_and_unreadable_are_not_zeros(graded):
    folder, outcomes = graded
    found = by_learner(outcomes["cycle-2"])
    assert found["willow"].status == "missing"
    assert found["rowan"].status == "not gradable"
    assert "cut off" in found["rowan"].reason
    who = {learner for learner, _ in scores(folder, "cycle-2")}
    assert who == {"ash", "birch", "cedar", "elm", "fir", "hazel", "larch", "maple", "oak", "pine"}


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_with_somebody_elses_numbers_is_named(graded, name):
    found = by_learner(graded[1][name])
    assert {learner: outcome.fits for learner, outcome in found.items() if outcome.fits} == {"pine": "ash"}


def test_the_model_answers_handed_in_are_named(small):
    case = REFERENCE["cycle-1"].case("open", "reference")
    put(small, "ash", demo.filled_notebook(forms.form_of(small, "cycle-1"), REFERENCE["cycle-1"], case, demo.right))
    assert "model answers" in by_learner(grading.grade_class(small, "cycle-1"))["ash"].fits


SOME = ("ash", "cedar", "larch", "oak", "rowan")
"""Whose sheet is right, full of ideas, in wrong units, no sheet at all, and filled in partly: see `demo.HANDS`."""


def test_nbgraders_own_commands_give_the_same_scores(graded, tmp_path):
    folder, _ = graded
    other = ClassFolder(tmp_path / "class", folder.term)
    shutil.copytree(folder.path, other.path)
    (other.path / "gradebook.db").unlink()
    shutil.rmtree(other.autograded)
    shutil.rmtree(other.feedback)
    for file in [*other.submitted.iterdir()]:
        if file.name not in SOME:
            shutil.rmtree(file)
    run_nbgrader(
        other.path, "generate_assignment cycle-1 --force", "autograde cycle-1", "generate_feedback cycle-1", "export"
    )
    there = {place: score for place, score in scores(folder, "cycle-1").items() if place[0] in SOME}
    assert scores(other, "cycle-1") == there
    page = "feedback/cedar/cycle-1/cycle-1.html"
    assert seen(other.path / page) == seen(folder.path / page)
    marked = "autograded/cedar/cycle-1/cycle-1.ipynb"
    assert json.loads((other.path / marked).read_text()) == json.loads((folder.path / marked).read_text())
    with open(other.path / "grades.csv", newline="") as file:
        exported = {
            row["student_id"]: float(row["score"] or 0)
            for row in csv.DictReader(file)
            if row["assignment"] == "cycle-1"
        }
    assert exported["ash"] == points("cycle-1")


@pytest.fixture(scope="session")
def every_sheet(tmp_path_factory):
    """A class for the term and the learner of the model answers, nothing released."""
    place = tmp_path_factory.mktemp("every")
    (place / "roster.csv").write_text("id\nreference\nempty\n")
    return ClassFolder.create(place / "class", "open", roster=place / "roster.csv", material=MATERIAL)


@pytest.mark.parametrize("name", LESSONS)
def test_the_solved_source_scores_full_and_the_empty_form_nothing(every_sheet, name):
    place = every_sheet
    releasing.release(place, (name,))
    put(place, "reference", source_text(MATERIAL / "lessons" / name, name), name)
    put(place, "empty", place.form_file(name).read_text(), name)
    found = by_learner(grading.grade_class(place, name))
    assert found["reference"].score == sum(item.points for item in material.key(place.path, name).items)
    assert found["empty"].score == 0
    assert not found["empty"].to_read, "an untouched written answer needs no reading"


def test_a_second_run_marks_only_what_is_new_and_keeps_points_by_hand(small):
    from nbgrader.api import Gradebook

    put(small, "ash", filled(small, "ash", said="It is not empty; weigh it."))
    put(small, "birch", filled(small, "birch"))
    assert by_learner(grading.grade_class(small, "cycle-1"))["ash"].to_read
    with Gradebook(small.gradebook_url) as gradebook:
        grade = gradebook.find_grade("cycle-1-written", "cycle-1", "cycle-1", "ash")
        grade.manual_score, grade.needs_manual_grade = 3, False
        gradebook.find_comment("cycle-1-written", "cycle-1", "cycle-1", "ash").manual_comment = "Good <b>words</b>."
        gradebook.db.commit()
    put(small, "cedar", filled(small, "cedar"))
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert [found[who].status for who in ("ash", "birch", "cedar")] == ["unchanged", "unchanged", "graded"]
    assert found["ash"].score == points("cycle-1") + 3
    page = (small.feedback / "ash" / "cycle-1" / "cycle-1.html").read_text()
    assert "3 of 4 points" in page
    assert "Good &lt;b&gt;words&lt;/b&gt;." in page
    again = by_learner(grading.grade_class(small, "cycle-1", again=True))
    assert again["ash"].score == points("cycle-1") + 3


def test_a_run_stopped_half_way_is_finished_by_the_next(small, monkeypatch):
    for learner in ("ash", "birch", "cedar"):
        put(small, learner, filled(small, learner))

    def stop(who):
        if who == "birch":
            raise KeyboardInterrupt

    monkeypatch.setattr(grading, "TOGETHER", 1)
    with pytest.raises(KeyboardInterrupt):
        grading.grade_class(small, "cycle-1", progress=stop)
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert [found[who].status for who in ("ash", "birch", "cedar")] == ["unchanged", "unchanged", "graded"]
    assert found["cedar"].score == points("cycle-1")


def test_a_failed_marking_leaves_no_zero_and_takes_no_points_by_hand(small, monkeypatch):
    from nbgrader.api import Gradebook

    put(small, "ash", filled(small, "ash", said="Weigh it."))
    grading.grade_class(small, "cycle-1")
    with Gradebook(small.gradebook_url) as gradebook:
        gradebook.find_grade("cycle-1-written", "cycle-1", "cycle-1", "ash").manual_score = 4
        gradebook.db.commit()
    put(small, "ash", filled(small, "ash", demo.partly, said="Weigh it well."))
    put(small, "birch", filled(small, "birch"))
    with monkeypatch.context() as broken:
        broken.setattr(marked_notebook, "put_marks", lambda *_: 1 / 0)
        found = by_learner(grading.grade_class(small, "cycle-1", spread=HERE))
    assert (found["ash"].status, found["birch"].status) == ("not gradable", "not gradable")
    assert "reading it went wrong (ZeroDivisionError" in found["birch"].reason
    there = scores(small, "cycle-1")
    assert {learner for learner, _ in there} == {"ash"}
    assert there["ash", "cycle-1-written"][0] == 4
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert found["birch"].score == points("cycle-1")
    assert 4 < found["ash"].score < points("cycle-1")


def test_stopping_within_a_submission_leaves_no_zero(small, monkeypatch):
    def stop(*_):
        raise KeyboardInterrupt

    put(small, "ash", filled(small, "ash"))
    with monkeypatch.context() as stopped:
        stopped.setattr(gradebook.SheetBook, "_write_comments", stop)
        said = RUNNER.invoke(app, ["grade", "cycle-1", "--folder", str(small.path)])
    assert said.exit_code == 130
    assert "What was marked stays marked" in " ".join(said.output.split())
    assert scores(small, "cycle-1") == {}


def test_the_engine_of_a_run_is_not_left_in_nbgrader(small):
    from nbgrader import api

    before = api.create_engine
    put(small, "ash", filled(small, "ash"))
    grading.grade_class(small, "cycle-1")
    assert api.create_engine is before


def test_what_nbgrader_collected_is_graded_too(small):
    from nbgrader.api import Gradebook

    place = small.submitted / "ash" / "cycle-1"
    place.mkdir(parents=True)
    (place / "cycle-1.ipynb").write_text(filled(small, "ash"))
    (place / "timestamp.txt").write_text("2026-09-05 18:30:00.123456 UTC")
    assert by_learner(grading.grade_class(small, "cycle-1"))["ash"].score == points("cycle-1")
    with Gradebook(small.gradebook_url) as gradebook:
        assert f"{gradebook.find_submission('cycle-1', 'ash').timestamp}" == "2026-09-05 18:30:00"
    assert by_learner(grading.survey(small, "cycle-1"))["ash"].status == "graded"


@pytest.mark.parametrize("end", ["\r", "\r\n", "\u2028", "\v"])
def test_lines_may_end_as_another_program_ends_them(small, end):
    book = json.loads(filled(small, "ash"))
    for cell in book["cells"]:
        cell["source"] = "".join(cell["source"]).replace("\n", end)
    put(small, "ash", json.dumps(book))
    assert by_learner(grading.grade_class(small, "cycle-1"))["ash"].score == points("cycle-1")


@pytest.mark.parametrize("way", ["cycle-1/homework.IPYNB", "CYCLE-1.IPYNB"])
def test_a_name_in_capitals_is_a_name(small, way):
    file = small.inbox / "ash" / way
    file.parent.mkdir(parents=True)
    file.write_text(filled(small, "ash"))
    assert by_learner(grading.grade_class(small, "cycle-1"))["ash"].score == points("cycle-1")


def test_the_time_of_the_file_is_the_time_of_handing_in(small):
    os.utime(put(small, "ash", filled(small, "ash")), (1_700_000_000, 1_700_000_000))
    grading.grade_class(small, "cycle-1")
    # 1.7e9 s after 1970 in UTC.
    assert (small.submitted / "ash" / "cycle-1" / "timestamp.txt").read_text() == "2023-11-14 22:13:20 UTC"


HONEST_BUT_WRONG = {
    # Unlucky ways to fill in a sheet with one's own numbers; none of them is somebody else's sheet.
    "first idea": demo.idea(0),
    "second idea": demo.idea(1),
    "third idea": demo.idea(2),
    "fourth idea": demo.idea(3),
}


HONEST_CLASS = tuple(f"learner-{number:02d}" for number in range(30))


@cache
def honest_judge(name):
    """One for all hands: it keeps the numbers of the class."""
    return marker.Marker(REFERENCE[name], "honest")


def owner_of(name, learner, source, words):
    """Whose sheet that of a learner is taken for, who filled in the numbers of ``source`` with such a hand."""
    judge = honest_judge(name)
    case = judge.assignment.case("honest", source)
    marked = judge.mark(Sheet({item.label: words(item, case) for item in judge.assignment.items}), learner)
    return judge.owners({learner: (marked.numbers, marked.typed)}, list(HONEST_CLASS)).get(learner, "")


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("hand", HONEST_BUT_WRONG)
def test_no_honest_sheet_is_taken_for_somebody_elses(name, hand):
    taken = {owner_of(name, learner, learner, HONEST_BUT_WRONG[hand]) for learner in HONEST_CLASS}
    assert taken == {""}


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_filled_in_with_a_neighbours_numbers_is_named(name):
    pairs = zip(HONEST_CLASS, (HONEST_CLASS[-1], *HONEST_CLASS), strict=False)
    copied = [owner_of(name, learner, source, demo.right) == source for learner, source in pairs]
    # Two of thirty may have drawn nearly the same numbers; then nothing can be told.
    assert sum(copied) >= 28


# Forms.


def test_a_corrected_form_can_be_released_again_and_is_marked_afresh(small):
    put(small, "ash", filled(small, "ash"))
    grading.grade_class(small, "cycle-1")
    source = small.path / "source" / "cycle-1" / "cycle-1.ipynb"
    source.write_text(source.read_text().replace("Gauge, absolute, vacuum", "Gauge, absolute and vacuum"))
    releasing.release(small, ("cycle-1",))
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert (found["ash"].status, found["ash"].score) == ("graded", points("cycle-1"))
    assert "absolute and vacuum" in (small.feedback / "ash" / "cycle-1" / "cycle-1.html").read_text()


def test_a_form_that_cannot_be_made_leaves_the_old_one(small, monkeypatch):
    put(small, "ash", filled(small, "ash"))
    grading.grade_class(small, "cycle-1")
    before = small.form_file("cycle-1").read_text()
    source = small.path / "source" / "cycle-1" / "cycle-1.ipynb"
    text = source.read_text()
    source.write_text(spoil(text, lambda cells: remove(cells, "cycle-1-tools")))
    with pytest.raises(ClassError, match="handed in already"):
        releasing.release(small, ("cycle-1",))
    points_changed = spoil(
        text, lambda cells: find(cells, "cycle-1-state-at-a")["metadata"]["nbgrader"].update(points=7)
    )
    source.write_text(points_changed)
    with pytest.raises(ClassError, match="'state at A': the key gives 1 points, the notebook 7 points"):
        releasing.release(small, ("cycle-1",))
    source.write_text(spoil(text, lambda cells: remove(cells, "cycle-1-state-at-a")))
    with pytest.raises(ClassError, match="no such line"):
        releasing.release(small, ("cycle-1",))
    source.write_text(text)
    monkeypatch.setattr("coldcab.classroom.preprocessors.BlankAnswers.preprocess_cell", lambda *_: 1 / 0)
    with pytest.raises(ClassError, match="could not be made: ZeroDivisionError"):
        releasing.release(small, ("cycle-1",))
    assert small.form_file("cycle-1").read_text() == before
    assert [entry.name for entry in small.release.iterdir()] == ["cycle-1"]


@pytest.mark.parametrize("name", SHEETS)
def test_a_form_holds_no_answer_and_names_the_term(graded, name):
    folder, _ = graded
    form = folder.form_file(name).read_text()
    source = json.loads(source_text(MATERIAL / "lessons" / name, name))
    for cell in source["cells"]:
        if intake.is_answer(cell):
            for line in "".join(cell["source"]).split("\n")[1:]:
                label, _, answer = line.partition(": ")
                assert answer
                assert json.dumps(f"{label}: {answer}")[1:-1] not in form
        if intake.is_written(cell):
            assert "".join(cell["source"]).split("\n")[2] not in form
    assert f"%sheet {name} --term {demo.TERM}" in form
    cells = json.loads(form)["cells"]
    for item in REFERENCE[name].items:
        (cell,) = [each for each in cells if "".join(each["source"]) == f"%check {item.label}"]
        about = cell["metadata"]["nbgrader"]
        assert (about["grade"], about["solution"], about["locked"]) == (True, False, True)
        assert about["points"] == item.points
        assert about["grade_id"] == f"{name}-{'-'.join(item.label.lower().split())}"


# Bad files.


def spoil(form_text, change):
    book = json.loads(form_text)
    change(book["cells"])
    return json.dumps(book)


def remove(cells, name):
    cells[:] = [cell for cell in cells if intake.grade_id(cell) != name]


def find(cells, name):
    return next(cell for cell in cells if intake.grade_id(cell) == name)


def double(cells, name, source=None):
    extra = json.loads(json.dumps(find(cells, name)))
    if source is not None:
        extra["source"] = source
    cells.append(extra)


NOT_GRADABLE = {
    "empty file": (lambda text: b"", "the file is empty"),
    "not JSON": (lambda text: b"Dear teacher, here is my sheet.", "not a notebook, or it is cut off"),
    "cut off": (lambda text: text[: len(text) // 2], "not a notebook, or it is cut off"),
    "other JSON": (lambda text: '{"a": [1, 2]}', "JSON, but not a notebook"),
    "a list": (lambda text: "[1, 2, 3]", "JSON, but not a notebook"),
    "cells of the wrong kind": (lambda text: '{"cells": ["x"]}', "JSON, but not a notebook"),
    "not UTF-8": (lambda text: b'{"cells": "\xff\xfe"}', "not UTF-8"),
    "UTF-16": (lambda text: text.encode("utf-16"), "not UTF-8"),
    "fifty megabytes": (lambda text: b" " * 50_000_000, "the file has 50 MB"),
    "a million brackets": (lambda text: b"[" * 1_000_000, "nested too deeply"),
    "no answer cell": (lambda text: spoil(text, lambda cells: cells.clear()), "no answer cell of cycle-1"),
    "missing answer cell": (
        lambda text: spoil(text, lambda cells: remove(cells, "cycle-1-answers-2")),
        "the answer cell cycle-1-answers-2 is missing",
    ),
    "missing written answer": (
        lambda text: spoil(text, lambda cells: remove(cells, "cycle-1-written")),
        "the written answer cycle-1-written is missing",
    ),
    "doubled with other answers": (
        lambda text: spoil(
            text, lambda cells: double(cells, "cycle-1-answers-1", "%%answers cycle-1\nabsolute pressure: 1 psia")
        ),
        "cycle-1-answers-1 is there 2 times with different answers",
    ),
    "a novel": (
        lambda text: spoil(text, lambda cells: find(cells, "cycle-1-written").update(source="x" * 100_000)),
        "has 100,000 characters",
    ),
}


@pytest.mark.parametrize("kind", NOT_GRADABLE)
def test_a_bad_file_is_named_and_the_class_is_graded(small, kind):
    make, reason = NOT_GRADABLE[kind]
    put(small, "ash", make(filled(small, "ash")))
    put(small, "birch", filled(small, "birch"))
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert (found["ash"].status, found["birch"].status) == ("not gradable", "graded")
    assert reason in found["ash"].reason
    assert {learner for learner, _ in scores(small, "cycle-1")} == {"birch"}
    assert found["birch"].score == points("cycle-1")


def test_the_wrong_sheet_is_named(small):
    releasing.release(small, ("cycle-2",))
    put(small, "ash", filled(small, "ash", name="cycle-2"))
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert found["ash"].reason == "this is the sheet cycle-2, not cycle-1"


HARMLESS = {
    "an edited grading cell": (
        lambda cells: find(cells, "cycle-1-absolute-pressure").update(source="2.0"),
        "was changed; the class's own was used",
    ),
    "forged points": (
        lambda cells: find(cells, "cycle-1-absolute-pressure")["metadata"]["nbgrader"].update(points=99),
        "",
    ),
    "a doubled grading cell": (lambda cells: double(cells, "cycle-1-absolute-pressure"), ""),
    "a missing grading cell": (lambda cells: remove(cells, "cycle-1-absolute-pressure"), ""),
    "an answer cell twice": (
        lambda cells: double(cells, "cycle-1-answers-1"),
        "is there 2 times, with the same answers",
    ),
    "an answer cell that lost its name": (
        lambda cells: find(cells, "cycle-1-answers-1").update(metadata={}),
        "was known by its place in the form",
    ),
    "an answer cell copied by hand": (
        lambda cells: find(cells, "cycle-1-answers-1").update(metadata={}, id="elsewhere"),
        "was known by its labels",
    ),
    "a written answer that lost its name": (
        lambda cells: find(cells, "cycle-1-written").update(metadata={}),
        "was known by its place in the form",
    ),
    "an empty copy of an answer cell": (
        lambda cells: double(cells, "cycle-1-answers-1", "%%answers cycle-1\nabsolute pressure: "),
        "",
    ),
    "a traceback in colours": (
        lambda cells: cells.append(
            {
                "cell_type": "code",
                "metadata": {},
                "source": "oops",
                "execution_count": 1,
                "outputs": [
                    {
                        "output_type": "error",
                        "ename": "NameError",
                        "evalue": "oops",
                        "traceback": ["\x1b[0;31mNameError\x1b[0m \x1b[1;32mline\x1b[0m"] * 60,
                    }
                ],
            }
        ),
        "",
    ),
    "another schema": (
        lambda cells: [cell["metadata"]["nbgrader"].update(schema_version=9) for cell in cells],
        "",
    ),
    "a cell of evil": (
        lambda cells: cells.insert(
            0,
            {
                "cell_type": "code",
                "metadata": {},
                "source": "open('evil.txt', 'w').write('x')\nimport os; os._exit(1)",
                "outputs": [],
                "execution_count": None,
            },
        ),
        "",
    ),
    "forged outputs": (
        lambda cells: [
            cell.update(
                outputs=[
                    {"output_type": "execute_result", "data": {"text/plain": "2"}, "metadata": {}, "execution_count": 1}
                ]
            )
            for cell in cells
            if cell["cell_type"] == "code"
        ],
        "",
    ),
}


@pytest.mark.parametrize("kind", HARMLESS)
def test_tampering_changes_no_score(small, kind):
    change, remark = HARMLESS[kind]
    put(small, "ash", spoil(filled(small, "ash", demo.partly), change))
    put(small, "birch", filled(small, "birch", demo.partly))
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert found["ash"].status == "graded"
    assert 0 < found["ash"].score == found["birch"].score < points("cycle-1")
    assert remark in " ".join(found["ash"].remarks)
    assert not list(small.path.rglob("evil.txt"))


def test_the_form_that_came_with_the_course_is_no_changed_form(small):
    term = f" --term {demo.TERM}"
    text = filled(small, "ash")
    assert term in text
    put(small, "ash", text.replace(term, ""))
    found = by_learner(grading.grade_class(small, "cycle-1"))["ash"]
    assert (found.score, found.remarks) == (points("cycle-1"), ())


def test_links_are_refused_and_nothing_outside_is_read(small, tmp_path):
    secret = tmp_path / "secret.ipynb"
    secret.write_text(filled(small, "ash", said="SECRET WORDS"))
    (small.inbox / "ash" / "cycle-1").mkdir(parents=True)
    (small.inbox / "ash" / "cycle-1" / "cycle-1.ipynb").symlink_to(secret)
    (small.inbox / "birch").mkdir()
    (small.inbox / "birch" / "cycle-1").symlink_to(secret.parent, target_is_directory=True)
    (small.inbox / "cedar").symlink_to(secret.parent, target_is_directory=True)
    os.mkfifo(small.inbox / "elm.fifo")
    (small.inbox / "elm" / "cycle-1").mkdir(parents=True)
    os.mkfifo(small.inbox / "elm" / "cycle-1" / "cycle-1.ipynb")
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert [found[who].status for who in ("ash", "birch", "cedar", "elm")] == ["not gradable"] * 4
    assert "link" in found["ash"].reason
    assert "link" in found["birch"].reason
    assert "link" in found["cedar"].reason
    assert "not a plain file" in found["elm"].reason
    assert not any("SECRET" in file.read_text(errors="ignore") for file in small.path.rglob("*.html"))
    assert not list(small.submitted.rglob("*.ipynb"))


@pytest.mark.parametrize("part", ["submitted", "autograded", "feedback"])
def test_a_link_in_the_way_of_writing_is_named(small, tmp_path, part):
    outside = tmp_path / "outside"
    outside.mkdir()
    put(small, "ash", filled(small, "ash"))
    put(small, "birch", filled(small, "birch"))
    (small.path / part / "ash").symlink_to(outside, target_is_directory=True)
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert (found["ash"].status, found["birch"].status) == ("not gradable", "graded")
    assert f"{part}/ash is a link" in found["ash"].reason
    assert not list(outside.iterdir())


def test_files_in_the_wrong_place_are_named(small):
    put(small, "ash", filled(small, "ash")).rename(small.inbox / "ash" / "cycle-1 (1).ipynb")
    (small.inbox / "ash" / "cycle-1").rmdir()
    (small.inbox / "birch").write_text(filled(small, "birch"))
    (small.inbox / "cedar").mkdir()
    (small.inbox / "cedar" / "cycle-1").write_text(filled(small, "cedar"))
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert found["ash"].status == "missing"
    assert "put it into ash/cycle-1/" in found["ash"].remarks[0]
    assert "is a file; make a folder" in found["birch"].reason
    assert "without the ending .ipynb" in found["cedar"].reason


def test_names_that_no_terminal_and_no_page_should_see_are_cleaned(small):
    os.mkdir(os.fsencode(small.inbox) + b"/\x1b[31mred\xff<b>")
    stranger = grading.grade_class(small, "cycle-1")[-1]
    assert stranger.learner.id == "[31mred<b>"
    report, *_ = reporting.write_report(small, ("cycle-1",))
    assert "[31mred&lt;b&gt;" in report.read_text()


def test_two_notebooks_and_an_empty_folder_are_named(small):
    put(small, "ash", filled(small, "ash"))
    put(small, "ash", filled(small, "ash"), file="copy.ipynb")
    (small.inbox / "birch" / "cycle-1").mkdir(parents=True)
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert "there are 2 notebooks" in found["ash"].reason
    assert "holds no notebook" in found["birch"].reason


def test_an_unknown_learner_is_named(small):
    put(small, "nobody", filled(small, "ash"))
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert "not on the roster" in found["nobody"].reason
    assert scores(small, "cycle-1") == {}


def test_a_broken_replacement_keeps_the_score_and_says_so(small):
    put(small, "ash", filled(small, "ash"))
    grading.grade_class(small, "cycle-1")
    put(small, "ash", b"")
    found = by_learner(grading.grade_class(small, "cycle-1"))
    assert found["ash"].status == "not gradable"
    assert found["ash"].score == points("cycle-1")
    assert "handed in before" in " ".join(found["ash"].remarks)


@settings(max_examples=150)
@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(max_size=20),
        lambda inner: (
            st.lists(inner, max_size=4)
            | st.dictionaries(
                st.sampled_from(["cells", "source", "metadata", "nbgrader", "grade_id", "cell_type"]), inner, max_size=4
            )
        ),
        max_leaves=20,
    )
)
def test_any_json_is_read_or_refused(content):
    form = json.loads((MATERIAL.parent / "course" / "graded" / "cycle-1" / "cycle-1.ipynb").read_text())
    # A notebook without the form's answer cells is never gradable, whatever else is in it.
    with pytest.raises(intake.NotGradable):
        intake.read_submission(intake.parse_notebook(json.dumps(content).encode()), form["cells"], "cycle-1")


# Pages.

HOSTILE = (
    "<script>window.caught=1</script> <img src=x onerror='window.caught=1'> [x](javascript:window.caught=1) "
    "![y](http://example.invalid/z.png) <svg onload=window.caught=1> $$\\href{javascript:window.caught=1}{z}$$ "
    "`</pre><b>`"
)


def test_markup_acts_on_no_page(small):
    put(small, "ash", filled(small, "ash", lambda item, case: HOSTILE[:100], said=HOSTILE))
    (small.path / "roster.csv").write_text("id,first_name\nash,<script>window.caught=1</script>\n")
    grading.grade_class(small, "cycle-1")
    report, *_ = reporting.write_report(small, ("cycle-1",))
    marked = small.autograded / "ash" / "cycle-1" / "cycle-1.ipynb"
    written = next(
        cell for cell in json.loads(marked.read_text())["cells"] if intake.grade_id(cell) == "cycle-1-written"
    )
    assert not set("<>[]") & set("".join(written["source"]))
    for page in (report, small.feedback / "ash" / "cycle-1" / "cycle-1.html"):
        text = page.read_text()
        for bad in ("<script", "<img", "<svg onload", 'javascript:window.caught=1"', 'href="javascript'):
            assert bad not in text
        assert "default-src 'none'" in text


@given(st.text(max_size=200))
def test_plain_words_never_hold_markup(text):
    assert not set("<>[]$\\`") & set(text.translate(marked_notebook._ACTING))


def test_pages_ask_for_nothing_from_elsewhere(graded):
    folder, _ = graded
    report, *_ = reporting.write_report(folder, folder.released())
    for page in (report, *folder.feedback.rglob("*.html")):
        text = page.read_text()
        assert "http" not in text.replace('http-equiv="', "")
        assert "<script" not in text


def test_feedback_gives_no_target_away(graded):
    folder, _ = graded
    for name in SHEETS:
        assignment = REFERENCE[name]
        page = (folder.feedback / "larch" / name / f"{name}.html").read_text()
        case = assignment.case(folder.term, "larch")
        for item in assignment.items:
            if item.kind not in WORDS:
                assert demo.right(item, case) not in page


def test_a_mistyped_label_is_said_on_the_page(small):
    text = filled(small, "ash").replace("absolute pressure: ", "absolut presure: ", 1)
    put(small, "ash", text)
    assert "absolut presure" in " ".join(by_learner(grading.grade_class(small, "cycle-1"))["ash"].remarks)
    page = (small.feedback / "ash" / "cycle-1" / "cycle-1.html").read_text()
    assert "this sheet has no line “absolut presure”; did you mean “absolute pressure”?" in page


def test_the_report_has_the_points_of_every_line(small):
    from nbgrader.api import Gradebook

    put(small, "ash", filled(small, "ash", said="Weigh it."))
    put(small, "birch", filled(small, "birch", demo.idea(0)))
    grading.grade_class(small, "cycle-1")
    with Gradebook(small.gradebook_url) as gradebook:
        gradebook.find_grade("cycle-1-state-at-a", "cycle-1", "cycle-1", "birch").manual_score = 0.5
        gradebook.db.commit()
    sheet = reporting.report_on(small, "cycle-1")
    items = REFERENCE["cycle-1"].items
    assert sheet.columns == (*(item.label for item in items), "words")
    assert sheet.scores["ash"] == (*(reporting.Cell(item.points) for item in items), reporting.Cell(None))
    by_label = dict(zip(sheet.columns, sheet.scores["birch"], strict=True))
    assert by_label["state at A"] == reporting.Cell(0.5, "✎")
    assert set(sheet.scores) == {"ash", "birch"}
    (held,) = [idea for idea in sheet.ideas if idea.name == "judged by the hand"]
    assert held.learners == ("birch",), "one learner counts once, on however many lines the idea shows"
    assert len(held.lines) > 1


def test_the_report_says_what_an_instructor_needs(graded):
    folder, _ = graded
    report, table, _ = reporting.write_report(folder, folder.released())
    text = report.read_text()
    for words in (
        "Not gradable",
        "rowan",
        "Missing:",
        "willow",
        "Numbers of somebody else",
        "Ideas the class has not got",
    ):
        assert words in text
    with open(table, newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 24
    assert (
        next(row for row in rows if row["id"] == "ash" and row["sheet"] == "cycle-1")["score"]
        == f"{points('cycle-1'):g}"
    )


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1"])
def test_a_spreadsheet_calculates_nothing(text):
    assert exporting.harmless(text) == f"'{text}"
    assert exporting.harmless("ash") == "ash"
    assert exporting.harmless("") == ""


# Commands.


def test_the_commands_do_the_evening(tmp_path):
    folder = str(tmp_path / "class")
    roster = tmp_path / "roster.csv"
    roster.write_text("id,first_name,last_name,email\nash,A,B,a@example.invalid\n")
    said = RUNNER.invoke(app, ["new", folder, "--term", "2026-autumn", "--roster", str(roster)])
    assert said.exit_code == 0, said.output
    assert RUNNER.invoke(app, ["release", "cycle-1", "--folder", folder]).exit_code == 0
    place = ClassFolder.open(folder)
    put(place, "ash", filled(place, "ash"))
    said = RUNNER.invoke(app, ["grade", "--folder", folder])
    assert said.exit_code == 0, said.output
    assert f"{points('cycle-1'):g} of {points('cycle-1') + 4:g}" in said.output
    assert RUNNER.invoke(app, ["report", "--folder", folder]).exit_code == 0
    assert (place.report / "index.html").is_file()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["grade"], "is not a class folder"),
        (["new", "{here}", "--term", "../x"], "cannot be used as term"),
        (["new", "{here}/full", "--term", "t"], "is in use"),
        (["new", "{here}/a", "--term", "t", "--roster", "{here}/none.csv"], "There is no roster at"),
        (["new", "{here}/b", "--term", "t", "--roster", "{here}/bad.csv"], "needs a heading line"),
        (["new", "{here}/c", "--term", "t", "--roster", "{here}/evil.csv"], "cannot be used as learner id"),
        (["new", "{here}/f", "--term", "con"], "Windows keeps this name"),
        (["new", "{here}/g", "--term", "t", "--roster", "{here}/device.csv"], "'aux.txt' cannot be used as learner id"),
        (["new", "{here}/d", "--term", "t", "--roster", "{here}/twice.csv"], "give each learner an id of their own"),
        (["new", "{here}/e", "--term", "t", "--material", "{here}/full"], "has no nbgrader_config.py"),
    ],
)
def test_mistakes_get_one_sentence(tmp_path, monkeypatch, words, says):
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "x").write_text("")
    (tmp_path / "bad.csv").write_text("name\nash\n")
    (tmp_path / "evil.csv").write_text("id\n../../etc\n")
    (tmp_path / "device.csv").write_text("id\naux.txt\n")
    (tmp_path / "twice.csv").write_text("id\nash\nASH\n")
    monkeypatch.chdir(tmp_path)
    said = RUNNER.invoke(app, [word.format(here=tmp_path) for word in words])
    assert said.exit_code == 1
    text = " ".join(said.output.split())
    assert says in text
    assert "Traceback" not in text


def test_grading_before_release_is_answered(tmp_path):
    ClassFolder.create(tmp_path / "class", "t", roster=None, material=MATERIAL)
    said = RUNNER.invoke(app, ["grade", "--folder", str(tmp_path / "class")])
    assert said.exit_code == 1
    assert "Release it first" in " ".join(said.output.split())


def test_a_key_that_stumbles_over_one_answer_does_not_stop_the_class(small, monkeypatch):
    stock = marker.Marker.mark

    def mark(self, sheet, learner):
        if learner == "ash":
            raise ValueError("no such state")
        return stock(self, sheet, learner)

    monkeypatch.setattr(marker.Marker, "mark", mark)
    put(small, "ash", filled(small, "ash"))
    put(small, "birch", filled(small, "birch"))
    found = by_learner(grading.grade_class(small, "cycle-1", spread=HERE))
    assert (found["ash"].status, found["birch"].status) == ("not gradable", "graded")
    assert "no such state" in found["ash"].reason


# What people ask nbgrader for.


def test_everybody_is_counted_while_a_run_goes_on(small):
    put(small, "ash", filled(small, "ash"))
    put(small, "birch", b"")
    seen = []
    grading.grade_class(small, "cycle-1", progress=seen.append)
    assert sorted(seen) == sorted(learner.id for learner in demo.ROSTER)


def test_progress_is_on_the_screen(monkeypatch):
    from rich.console import Console

    from coldcab.classroom import screen

    terminal = Console(force_terminal=True, width=100, file=io.StringIO())
    monkeypatch.setattr(screen, "console", terminal)
    with screen.Bar("cycle-1", 3) as bar:
        bar.step("ash")
        bar.step("\x1b[31mbirch")
    shown = terminal.file.getvalue()
    assert "2/3" in shown
    assert "\x1b[31mbirch" not in shown


def test_a_page_gives_part_of_the_points_and_the_reason(graded):
    folder, outcomes = graded
    found = by_learner(outcomes["cycle-1"])
    held = [(learner, mark) for learner, outcome in found.items() for mark in outcome.marks
            if mark.status == "idea" and 0 < mark.points < mark.out_of]  # fmt: skip
    assert held
    for learner, mark in held:
        words = seen(folder.feedback / learner / "cycle-1" / "cycle-1.html")
        assert f"{mark.label}: look again, {mark.points:g} of {mark.out_of:g} points." in words
        assert " ".join(mark.feedback.split()) in words


def test_large_classes_show_in_the_table_who_needs_a_look():
    from coldcab.cli.class_commands import FEW, _is_shown

    good, bad = (inbox.Outcome(demo.ROSTER[0], "graded", score=1.0, reason=reason) for reason in ("", "it is cut off"))
    assert _is_shown(good, [good] * FEW)
    assert not _is_shown(good, [good] * (FEW + 1))
    assert _is_shown(bad, [good] * (FEW + 1))
