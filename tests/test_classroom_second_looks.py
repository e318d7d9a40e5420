"""Asking for another look at a line, and the page for a file that could not be marked."""

import re
from html import escape
from urllib.parse import unquote

import nbformat
import pytest
from typer.testing import CliRunner

from classes import by_learner, filled, put, small_class, zipped
from coldcab import course, lessons
from coldcab.classroom import (
    collecting,
    demo,
    feedback,
    grading,
    page_notes,
    passages,
    preprocessors,
    refused_pages,
    reporting,
    second_looks,
)
from coldcab.classroom.intake import NotGradable
from coldcab.cli.class_commands import app

SHEET = "cycle-1"
PLAIN = "sheet: cycle-1\nline: state at A\nwhy: The table <b>says</b> otherwise.\n"


def run(folder, *words):
    return " ".join(CliRunner().invoke(app, [*words, "--folder", str(folder.path)]).output.split())


def page_of(folder, learner):
    return (folder.feedback / learner / SHEET / f"{SHEET}.html").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def graded(tmp_path_factory):
    """Two sheets, one with an idea on every line, and a file that is cut off."""
    folder = small_class(tmp_path_factory.mktemp("looks") / "class")
    put(folder, "ash", filled(folder, "ash"))
    put(folder, "cedar", filled(folder, "cedar", demo.idea(0), "Pressure is fine."))
    put(folder, "elm", filled(folder, "elm")[:900])
    grading.grade_class(folder, SHEET)
    return folder


@pytest.mark.parametrize(
    ("text", "sheet", "asked"),
    [
        (PLAIN, "cycle-1", [("state at A", "The table <b>says</b> otherwise.")]),
        ("line: a\nwhy: one\ntwo\n\nline: b\nreason = three", "", [("a", "one two"), ("b", "three")]),
        ('[[request]]\nsheet = "cycle-1"\nline = "a"\nwhy = "one"\n', "cycle-1", [("a", "one")]),
        ("\ufeffLINE: a\r\nWhy: one\r\n", "", [("a", "one")]),
        ("line: a\r\nwhy: zwölf\r\n".encode("utf-16"), "", [("a", "zwölf")]),
    ],
)
def test_a_request_is_plain_words(text, sheet, asked):
    found = second_looks.read_text(text if isinstance(text, bytes) else text.encode())
    assert (found[0], [(each.line, each.why) for each in found[1]]) == (sheet, asked)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "it names no line"),
        (b"why: because", "it names no line"),
        (b"line: state at A", "it gives no reason for “state at A”"),
        (b"\xff\xfe\x00" * 50, "it names no line"),
        (b"line: a\nwhy: " + b"x" * 30_000, "at most 20,000 bytes"),
    ],
)
def test_what_asks_for_nothing_says_why(data, says):
    with pytest.raises(NotGradable, match=re.escape(says)):
        second_looks.read_text(data)


def test_a_request_is_collected_answered_and_told(graded, tmp_path):
    upload = tmp_path / "upload.zip"
    zipped(upload, [
        ("cedar/regrade_cycle-1_cedar.txt", PLAIN + "line: words\nwhy: I said more."),
        ("ash_second look.txt", "line: nonsense of mine\nwhy: so"),
        ("someone/regrade.txt", PLAIN),
        ("elm/regrade_cycle-1_elm.docx", "PK"),
    ])  # fmt: skip
    first, again = (collecting.collect(graded, [upload]) for _ in range(2))
    said = {each.learner: (each.status, each.reason) for each in first}
    assert said["cedar"][0] == collecting.ASKED
    assert said["ash"] == (collecting.LEFT, "it names no sheet of this class; write  sheet: ...")
    assert said[""][0] == collecting.LEFT
    assert said["elm"] == (collecting.LEFT, second_looks.AS_TEXT)
    assert [each.status for each in again if each.learner == "cedar"] == [collecting.SAME]
    assert "“nonsense" in _with_sheet(graded, tmp_path)

    shown = run(graded, "requests")
    assert "cedar Cedar Invented, cycle-1, state at A: 0 of 1 points" in shown
    assert "read:" in shown
    assert "right:" in shown
    assert "cedar Cedar Invented, cycle-1, words: waits" in shown
    assert "words: Pressure is fine." in shown
    assert "2 requests waiting." in shown
    about = ("answer", SHEET, "cedar", "state at A")
    assert "has 1 points; give 0 to 1, not 7" in run(graded, *about, "--points", "7")
    assert "Say what shall be" in run(graded, *about)
    assert "has not asked about" in run(graded, "answer", SHEET, "cedar", "work to stop", "--keep")
    before = by_learner(grading.survey(graded, SHEET))["cedar"].score
    assert "0 before, 1 of 1 now" in run(
        graded, "answer", SHEET, "cedar", "state at A", "--points", "1", "--say", "True."
    )
    assert by_learner(grading.survey(graded, SHEET))["cedar"].score == before + 1
    assert "1 request waits for another look" in run(graded, "check", SHEET)

    feedback.write_pages(graded, SHEET)
    page = page_of(graded, "cedar")
    assert "&lt;b&gt;says&lt;/b&gt;" in page
    assert "<b>says" not in page
    assert "Your instructor: changed.</strong> True." in page
    assert "Your instructor has yet to answer." in page
    report = reporting.write_report(graded, (SHEET,))[0].read_text(encoding="utf-8")
    assert "Asked for another look" in report
    assert "changed: True." in report


def test_a_request_about_nothing_says_so(tmp_path):
    folder = small_class(tmp_path / "class")
    second_looks.add(folder, SHEET, "ash", [second_looks.Request(each, "Why?") for each in ("state at A", "words")], "")
    shown = run(folder, "requests")
    assert "ash Ash Invented, cycle-1, state at A: nothing has been marked" in shown
    assert "ash Ash Invented, cycle-1, words: nothing has been marked" in shown


def test_the_page_has_a_file_that_needs_only_reasons(graded):
    """What the page of cedar offers names every line that is not right, and asks for nothing until a reason stands."""
    page = page_of(graded, "cedar")
    link = re.search(r'download="regrade_cycle-1_cedar.txt" href="data:text/plain;charset=utf-8,([^"]*)"', page)
    text = unquote(link[1])
    wrong = [mark.label for mark in by_learner(grading.survey(graded, SHEET))["cedar"].marks if mark.status != "right"]
    assert re.findall("line: (.*)", text) == [*wrong, second_looks.WORDS]
    with pytest.raises(NotGradable, match="it gives no reason for"):
        second_looks.read_text(text.encode())
    written = text.replace(f"line: {wrong[1]}\nwhy: ", f"line: {wrong[1]}\nwhy: So it stands there.")
    sheet, asked = second_looks.read_text(written.encode())
    assert (sheet, [(each.line, each.why) for each in asked]) == (SHEET, [(wrong[1], "So it stands there.")])


def test_a_later_request_leaves_earlier_answers_as_they_were(tmp_path):
    folder, asked = small_class(tmp_path / "class"), ("state at A",)
    for why, words in (("first", "No."), ("second", "Yes."), ("", "Yes, surely.")):
        if why:
            second_looks.add(folder, SHEET, "ash", [second_looks.Request(*asked, why)], "2026-10-08")
        second_looks.answer(folder, SHEET, "ash", *asked, second_looks.KEPT, words)
    found = second_looks.requests_of(folder, SHEET, "ash")
    assert [(each.why, each.words) for each in found] == [("first", "No."), ("second", "Yes, surely.")]


def _with_sheet(folder, place):
    file = place / "ash_second look.txt"
    file.write_text("sheet: cycle-1\nline: nonsense of mine\nwhy: so", encoding="utf-8")
    return collecting.collect(folder, [file])[0].reason


def test_a_right_line_says_how_and_another_where_to_read_again(graded):
    """The way is the hint of the form, the passage one of the lesson: nothing of anybody's key."""
    hints = {item.label: item.hint for item in lessons.FORMS[SHEET].items}
    right, wrong = page_of(graded, "ash"), page_of(graded, "cedar")
    assert all(escape(hint) in right for hint in hints.values())
    assert right.count("How to get there:") == len(hints)
    assert "Read again:" not in right
    headings = {each.heading for each in passages.passages(passages.lesson_of(SHEET, course.folder()))}
    told = re.findall(r"Read again: (.*?)\.</p>", wrong)
    assert len(told) > len(hints) / 2
    assert {name for each in told for name in re.findall("“(.*?)”", each)} <= headings
    for page in (right, wrong):
        assert "Hand in again:" in page
        assert "regrade_cycle-1_" in page


def test_nbgraders_own_feedback_is_told_the_same(graded):
    book = nbformat.read(graded.autograded / "cedar" / SHEET / f"{SHEET}.ipynb", 4)
    where = {"assignment": SHEET, "notebook": SHEET, "student": "cedar", "db_url": graded.gradebook_url}
    preprocessors.GradesAndStates(folder=str(graded.path)).preprocess(book, {"nbgrader": where})
    assert where["notes"] == page_notes.SheetNotes(graded, SHEET).of("cedar")
    assert where["notes"].asked_about("state at A")[0].answer == second_looks.CHANGED
    changed = [cell.source for cell in book.cells if cell.metadata.nbgrader.get("changed")]
    assert changed == ["%check state at A"]


def test_a_file_that_could_not_be_marked_has_a_page_until_it_can(graded):
    page = page_of(graded, "elm")
    assert "not a notebook, or it is cut off" in page
    assert "this is no zero" in page
    assert "Give that file in the same place" in page
    assert "<script" not in page
    put(graded, "elm", filled(graded, "elm"))
    grading.grade_class(graded, SHEET)
    assert "could not be marked" not in page_of(graded, "elm")
    put(graded, "elm", "gone")
    grading.grade_class(graded, SHEET)
    assert "A later file of yours could not be marked: the file is not a notebook" in page_of(graded, "elm")


def test_a_page_goes_when_what_it_says_is_no_longer_so(graded):
    file = put(graded, "fir", "nothing")
    grading.grade_class(graded, SHEET)
    assert "could not be marked" in page_of(graded, "fir")
    file.unlink()
    file.parent.rmdir()
    grading.grade_class(graded, SHEET)
    assert not (graded.feedback / "fir" / SHEET / f"{SHEET}.html").exists()


@pytest.mark.parametrize(
    ("reason", "says"),
    [
        ("this is the sheet cycle-2, not cycle-1", "You handed in another sheet"),
        ("the file unfolds to more than 5 MB", "Clear Outputs"),
        ("a key of cycle-1 stumbles over an answer (1)", "no fault of your file"),
        ("something new", "press Ctrl+S"),
    ],
)
def test_each_reason_comes_with_what_to_do(reason, says):
    assert says in refused_pages.advice(SHEET, reason)
