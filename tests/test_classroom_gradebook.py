"""The gradebook, written and read directly: what a person gave stays, what nbgrader means by its tables holds."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
import sqlalchemy
from nbgrader.api import Course, Gradebook
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError, OperationalError

from classes import small_class
from coldcab.classroom import ClassError, ClassFolder, gradebook
from coldcab.classroom.gradebook import Entry, Points, Submission, enter_roster, sheet_book
from coldcab.classroom.roster import Learner, write_roster

SHEET = "cycle-1"
NOON = datetime(2026, 10, 8, 12)


@pytest.fixture(scope="module")
def released(tmp_path_factory):
    folder = small_class(tmp_path_factory.mktemp("gradebook") / "class")
    return folder, (folder.path / "gradebook.db").read_bytes()


@pytest.fixture
def folder(released):
    """A class whose sheet is out and whose gradebook knows of no submission."""
    place, data = released
    (place.path / "gradebook.db").write_bytes(data)
    return place


@pytest.fixture
def book(folder):
    with sheet_book(folder, SHEET) as opened:
        yield opened


@pytest.fixture
def cells(book):
    """Names of the graded cells: lines first, the written answer last."""
    (written,) = set(book.graded) & set(book.answered)
    return [*sorted(set(book.graded) - {written}), written]


def handed_in(cells, learner="ash", time=NOON, **more):
    scores = dict.fromkeys(cells[:-1], 1.0) | {cells[-1]: None}
    return Submission(learner, time, **({"scores": scores} | more))


def by_a_person(folder, cell, learner="ash", **given):
    with Gradebook(folder.gradebook_url) as opened:
        grade = opened.find_grade(cell, SHEET, SHEET, learner)
        for name, value in given.items():
            setattr(grade, name, value)
        opened.db.commit()


def of_submission(folder, learner="ash", **given):
    with Gradebook(folder.gradebook_url) as opened:
        submission = opened.find_submission(SHEET, learner)
        for name, value in given.items():
            setattr(submission.notebooks[0] if name == "late_submission_penalty" else submission, name, value)
        opened.db.commit()


def test_what_was_written_is_read_and_nbgrader_sees_the_same(folder, book, cells):
    book.write([handed_in(cells, untouched=[cells[-1]]), handed_in(cells, "birch")])
    assert book.learners() == {"ash", "birch"}
    entries = book.entries()
    ash = entries["ash"]
    assert ash.score == len(cells) - 1
    assert ash.time == "2026-10-08 12:00:00"
    assert (ash.points[cells[0]].waits, ash.points[cells[-1]].waits, ash.waits) == (False, True, True)
    assert not ash.points[cells[0]].by_hand
    assert ash.comments[cells[-1]] == "No response."
    assert entries["birch"].comments[cells[-1]] is None
    with Gradebook(folder.gradebook_url) as opened:
        stock = opened.find_submission(SHEET, "ash")
        assert (stock.score, stock.max_score, stock.needs_manual_grade) == (ash.score, ash.out_of, True)
        assert stock.timestamp == NOON


def test_points_of_a_kind_add_up():
    entry = Entry({"a": Points(2.0, 3.0, False), "b": Points(1.5, 2.0, False)}, penalty=0.5)
    assert (entry.score, entry.out_of, entry.waits) == (3.0, 5.0, False)


def test_a_later_hand_in_takes_the_place_of_the_earlier(book, cells):
    book.write([handed_in(cells, untouched=cells)])
    book.write([handed_in(cells, time=NOON + timedelta(hours=1), scores=dict.fromkeys(cells[:-1], 0.5))])
    ash = book.entries()["ash"]
    assert ash.score == 0.5 * (len(cells) - 1)
    assert ash.time == "2026-10-08 13:00:00"
    assert ash.comments[cells[-1]] is None
    assert len(book.entries()) == 1


def test_points_by_hand_count_and_wait_only_for_new_words(folder, book, cells):
    written = cells[-1]
    book.write([handed_in(cells)])
    by_a_person(folder, written, manual_score=3.0, needs_manual_grade=False)
    assert book.entries()["ash"].points[written].by_hand
    assert book.entries()["ash"].score == len(cells) - 1 + 3.0
    book.write([handed_in(cells, unchanged=[written])])
    assert not book.entries()["ash"].waits
    book.write([handed_in(cells)])
    assert book.entries()["ash"].points[written].waits
    # Once it waits, only a person ends that.
    book.write([handed_in(cells, unchanged=[written])])
    assert book.entries()["ash"].points[written].waits
    assert book.entries()["ash"].points[written].score == 3.0


def test_points_by_hand_on_a_line_are_looked_at_again_when_the_line_changes(folder, book, cells):
    line = cells[0]
    book.write([handed_in(cells)])
    by_a_person(folder, line, manual_score=0.0, needs_manual_grade=False)
    book.write([handed_in(cells)])
    assert book.entries()["ash"].points[line] == Points(
        0.0, book.entries()["ash"].points[line].out_of, False, True, 1.0
    )
    book.write([handed_in(cells, scores=dict.fromkeys(cells, 0.25))])
    assert book.entries()["ash"].points[line].waits


def test_points_of_a_run_count_and_wait(book, cells):
    book.write([handed_in(cells, to_confirm=[cells[0]])])
    points = book.entries()["ash"].points
    assert (points[cells[0]].score, points[cells[0]].waits, points[cells[1]].waits) == (1.0, True, False)


def test_extra_credit_is_added(folder, book, cells):
    book.write([handed_in(cells)])
    by_a_person(folder, cells[0], extra_credit=1.5)
    assert book.entries()["ash"].points[cells[0]].score == 2.5
    by_a_person(folder, cells[0], manual_score=0.5)
    assert book.entries()["ash"].points[cells[0]].score == 2.0
    assert book.entries()["ash"].score == len(cells) - 1 + 1.0


def test_extra_credit_for_what_is_not_yet_marked_waits_with_it(folder, book, cells):
    book.write([handed_in(cells)])
    by_a_person(folder, cells[-1], extra_credit=1.0)
    assert book.entries()["ash"].points[cells[-1]].score == 0.0


def test_an_extension_moves_the_due_time(folder, book, cells):
    book.write([handed_in(cells), handed_in(cells, "birch")])
    assert book.entries()["ash"].seconds_late == 0.0
    book.set_due(NOON - timedelta(hours=3))
    of_submission(folder, extension=timedelta(hours=2))
    assert book.entries()["ash"].seconds_late == 3600.0
    assert book.entries()["birch"].seconds_late == 3 * 3600.0
    of_submission(folder, extension=timedelta(hours=4))
    assert book.entries()["ash"].seconds_late == 0.0


def test_a_late_penalty_is_taken_off(folder, book, cells):
    book.write([handed_in(cells)])
    of_submission(folder, late_submission_penalty=2.0)
    assert book.entries()["ash"].score == len(cells) - 1 - 2.0


def test_what_a_person_says_goes_before_what_the_grader_says(folder, book, cells):
    book.write([handed_in(cells, untouched=cells)])
    with Gradebook(folder.gradebook_url) as opened:
        opened.find_comment(cells[-1], SHEET, SHEET, "ash").manual_comment = "See me."
        opened.db.commit()
    assert book.entries()["ash"].comments[cells[-1]] == "See me."
    book.write([handed_in(cells)])
    assert book.entries()["ash"].comments[cells[-1]] == "See me."


@pytest.mark.parametrize("due", [NOON, None])
def test_the_due_time_is_written_once_and_may_go(folder, book, due):
    book.set_due(NOON - timedelta(days=1))
    book.set_due(due)
    assert book.due == due
    with Gradebook(folder.gradebook_url) as opened:
        assert opened.find_assignment(SHEET).duedate == due
    with sheet_book(folder, SHEET) as again:
        assert again.due == due


def test_the_same_due_time_is_not_written_again(book, monkeypatch):
    book.set_due(NOON)
    monkeypatch.setattr(book, "engine", None)
    book.set_due(NOON)  # would need the engine
    assert book.due == NOON


@pytest.mark.parametrize("error", [IntegrityError, OperationalError])
def test_who_comes_second_tries_again_and_not_for_ever(book, cells, monkeypatch, error):
    stock, calls = book._write, []

    def write(connection, submission, fail):
        calls.append(submission.learner)
        if len(calls) <= fail:
            raise error("", {}, Exception("locked"))
        stock(connection, submission)

    monkeypatch.setattr(book, "_write", lambda *words: write(*words, fail=4))
    book.write(iter([handed_in(cells)]))
    assert calls == ["ash"] * 5
    assert book.learners() == {"ash"}
    calls.clear()
    monkeypatch.setattr(book, "_write", lambda *words: write(*words, fail=5))
    with pytest.raises(error):
        book.write([handed_in(cells)])


def test_all_or_none_are_written(book, cells):
    broken = replace(handed_in(cells, "birch"), time="no time")
    with pytest.raises(Exception, match="datetime"):
        book.write([handed_in(cells), broken])
    assert book.learners() == frozenset()


def test_another_program_is_waited_for(book):
    with book.engine.connect() as connection:
        assert connection.execute(text("PRAGMA busy_timeout")).scalar() == 1000 * gradebook.PATIENCE


def test_the_roster_is_entered_as_it_is_now_and_nothing_in_it_is_markup(tmp_path):
    folder = ClassFolder(tmp_path, "t")
    write_roster(folder.roster, (Learner("ash", "<b>A&sh</b>", "O'Tree", "a@example.invalid"), Learner("birch", "B")))
    enter_roster(folder)
    write_roster(folder.roster, (Learner("ash", "Ash", "O'Tree", "a@example.invalid"), Learner("cedar", "<i>")))
    enter_roster(folder)
    with Gradebook(folder.gradebook_url) as opened:
        names = {each.id: (each.first_name, each.last_name, each.email) for each in opened.students}
        assert [course.id for course in opened.db.query(Course)] == ["default_course"]
    assert names["ash"] == ("Ash", "O’Tree", "a@example.invalid")
    assert names["birch"][0] == "B"
    assert names["cedar"][0] == "‹i›"


@pytest.mark.parametrize("fail", [4, 5])
def test_who_enters_the_roster_second_tries_again(tmp_path, monkeypatch, fail):
    folder = ClassFolder(tmp_path, "t")
    write_roster(folder.roster, (Learner("ash"),))
    enter_roster(folder)
    write_roster(folder.roster, (Learner("ash"), Learner("birch")))
    stock, tries = sqlalchemy.insert, []

    def insert(table):
        tries.append(table)
        if len(tries) <= fail:
            raise IntegrityError("", {}, Exception("there"))
        return stock(table)

    monkeypatch.setattr(sqlalchemy, "insert", insert)
    if fail < gradebook.TRIES:
        enter_roster(folder)
    else:
        with pytest.raises(IntegrityError):
            enter_roster(folder)
    assert len(tries) == 5


@pytest.mark.parametrize(
    ("url", "says"),
    [
        ("no address", "The gradebook's address cannot be used .*; see class.toml"),
        ("sqlite:////nowhere/at/all/gradebook.db", "The gradebook does not answer .*unable to open database file"),
    ],
)
def test_a_gradebook_that_cannot_be_opened_gets_one_sentence(folder, monkeypatch, url, says):
    monkeypatch.setenv("COLDCAB_GRADEBOOK", url)
    with pytest.raises(ClassError, match=says), sheet_book(folder, SHEET):
        pass


def test_a_sheet_that_was_never_released_is_named(folder):
    with pytest.raises(ClassError, match="The gradebook does not know cycle-2; run: coldcab class release cycle-2"):
        sheet_book(folder, "cycle-2").__enter__()


def test_an_error_without_words_is_called_by_its_kind():
    assert gradebook._first_line(KeyError()) == "KeyError"
    assert gradebook._first_line(ValueError("one\ntwo")) == "one"


def test_our_tables_are_those_of_nbgrader():
    from nbgrader.api import Base

    from coldcab.classroom.gradebook_tables import TABLES

    for ours in TABLES:
        stock = Base.metadata.tables[ours.name]
        for column in ours.columns:
            assert type(column.type) is type(stock.columns[column.name].type) or isinstance(
                stock.columns[column.name].type, type(column.type)
            ), f"{ours.name}.{column.name}"
