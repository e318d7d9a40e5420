"""What a sheet shows while it is written, and which numbers a practice answer belongs to."""

from dataclasses import replace
from pathlib import Path

import pytest

from coldcab import answering, assess, learner, lessons, progress
from coldcab.answering import Written
from coldcab.assess.pointing import choices_there, rows_about

PRACTICE = lessons.PRACTICE["practice-cycle-1"]
CASE = lessons.practice_case(PRACTICE.name, 1)


@pytest.fixture
def copy(tmp_path, monkeypatch):
    """A learner's copy as the current folder."""
    monkeypatch.delenv(learner.FOLDER_VARIABLE, raising=False)
    monkeypatch.delenv(progress.MARKING_VARIABLE, raising=False)
    (tmp_path / learner.STATE_FOLDER).mkdir()
    (tmp_path / learner.STATE_FOLDER / learner.DELIVERED).write_text("{}", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def rows(text, case=CASE):
    return {row["label"]: row for row in answering.sheet_lines(PRACTICE, case, text)}


def test_a_line_says_how_it_is_read_and_what_may_be_chosen():
    found = rows("state at A: sat\nwork to stop: C, A\nabsolute pressure: 45 psia\nno such line: 3")
    assert list(found) == ["state at A", "work to stop", "absolute pressure"]  # as they stand in the cell
    state = found["state at A"]
    assert (state["chosen"], state["several"]) == (["saturated"], False)
    assert state["choices"] == ["superheated", "saturated", "subcooled"]
    assert (found["work to stop"]["chosen"], found["work to stop"]["several"]) == (["A", "C"], True)
    assert found["absolute pressure"]["read"] == "45 psia = 310 kPa absolute"


def test_a_number_is_silent_until_its_numbers_are_seen():
    assert rows("absolute pressure: 45", None)["absolute pressure"]["problem"] == ""
    assert "has no unit" in rows("absolute pressure: 45")["absolute pressure"]["problem"]


def test_an_answer_stays_with_the_numbers_that_it_was_written_for():
    first = answering.written_for({}, {"a": "1", "b": "2", "c": ""}, 1)
    assert first == {"a": Written("1", 1), "b": Written("2", 1)}
    assert answering.written_for(first, {"a": "1", "b": "3", "c": "4"}, 2) == {
        "a": Written("1", 1),
        "b": Written("3", 2),
        "c": Written("4", 2),
    }


def test_a_letter_without_a_row_is_not_offered():
    """The clerk's books have four lines or five."""
    sheet, found = lessons.FORMS["oil-2"], set()
    item = sheet.item("wrong lines of the clerk")
    for number in range(20):
        case = sheet.case("2026", f"s{number:02}")
        found.add(len(case.entered))
        assert choices_there(item, [name for name, _ in sheet.shown(case)]) == list("ABCDE")[: len(case.entered)]
    assert found == {4, 5}
    assert choices_there(item, []) == list("ABCDE")


def test_old_answers_are_judged_by_their_own_numbers():
    right = {number: lessons.deck(PRACTICE.name).card("state at B", number).right for number in (1, 2, 3, 4, 5, 6)}
    other = next(number for number in right if right[number] != right[1])
    answers = {"state at B": right[1]}
    written = answering.written_for({}, answers, 1)
    marks, shown, summary = answering.practice_rows(PRACTICE, other, answers, written)
    assert marks == []  # nothing was answered for these numbers
    ((status, label, __, said),) = shown
    assert (status, label) == ("earlier", "state at B")
    assert "right for practice 1" in said
    assert "practice 1" in summary


def test_an_old_answer_that_is_right_again_counts():
    right = {number: lessons.deck(PRACTICE.name).card("state at B", number).right for number in range(1, 20)}
    again = next(number for number in right if number > 1 and right[number] == right[1])
    answers = {"state at B": right[1]}
    written = answering.written_for({}, answers, 1)
    (mark,), __, __ = answering.practice_rows(PRACTICE, again, answers, written)
    assert mark.status == "right"
    assert written["state at B"].number == again


def test_number_and_answers_are_kept(copy: Path):
    assert answering.kept(PRACTICE.name) == (1, {})
    lines = {"state at A": Written("saturated", 2)}
    answering.keep(PRACTICE.name, 3, lines)
    assert answering.kept(PRACTICE.name) == (3, lines)


@pytest.mark.parametrize(
    "content",
    [
        "a word",
        {"number": 3},
        {"number": -1, "lines": {}},
        {"number": "3", "lines": {}},
        {"number": 10**9, "lines": {}},
        {"number": 3, "lines": {"a": {"answer": "1"}}},
        {"number": 3, "lines": ["a"]},
    ],
)
def test_what_was_kept_by_nobody_begins_anew(copy: Path, content):
    progress.keep("practice/cycle-1", content)
    assert answering.kept(PRACTICE.name) == (1, {})


def test_answers_to_other_numbers_are_kept(copy: Path):
    assert answering.kept_aside(PRACTICE.name) == {}
    answering.keep_aside(PRACTICE.name, {number: {"state at A": f"{number}"} for number in range(1, 50)})
    found = answering.kept_aside(PRACTICE.name)
    assert len(found) == answering.MOST_ASIDE
    assert found[49] == {"state at A": "49"}
    for content in ("a word", {"x": {"a": "1"}}, {"2": "a"}, {"0": {"a": "1"}, str(10**9): {"a": "1"}}):
        progress.keep("practice-aside/cycle-1", content)
        assert answering.kept_aside(PRACTICE.name) == {}


def test_a_pressure_that_is_asked_back_says_so_and_not_how_it_is_read():
    form, label = lessons.FORMS["capstone"], "test pressure"
    (line,) = answering.sheet_lines(form, CASE, f"{label}: 900 kPa")
    assert line["problem"].startswith("gauge or absolute?")
    assert line["read"] == ""
    (line,) = answering.sheet_lines(form, CASE, f"{label}: 900 kPa gauge")
    assert (line["problem"], line["read"][:13]) == ("", "900 kPa gauge")


# Which numbers a line is about ------------------------------------------------------------------------------------


def names(lesson, who="s07"):
    return [name for name, _value in lessons.FORMS[lesson].case("open", who).lines()]


@pytest.mark.parametrize(
    ("lesson", "label", "first", "last"),
    [
        ("capstone", "parts to flush", "part A", "part H"),
        ("capstone", "recovery unit", "identifier", "unit F"),
        ("capstone", "oil to add", "oil on the data sheet", "oil in the new compressor"),
        ("capstone", "sentence to strike", "sentence A", "sentence F"),
        ("cycle-1", "state at B", "point B", "point B"),
        ("cycle-4", "stem may be turned", "machine A", "machine H"),
        ("faults-2", "complaint D", "complaint D", "reason G"),
        ("faults-2", "engine off first", "step A", "step F"),
        ("faults-2", "low side suspect", "machine F", "machine F"),
        ("faults-3", "situation 2", "situation 2", "  2 F"),
        ("oil-2", "oil to drain, job B", "job B", "job B"),
        ("retrofit-4", "true of the glass", "glass A", "glass F"),
    ],
)
def test_a_line_knows_its_numbers(lesson, label, first, last):
    found = [names(lesson)[row] for row in rows_about(lessons.FORMS[lesson].item(label), names(lesson))]
    assert found[0].startswith(first)
    assert found[-1].startswith(last)


@pytest.mark.parametrize("lesson", lessons.FORMS)
def test_every_line_is_about_some_numbers_and_never_about_all(lesson):
    for who in ("s07", "birch", "oak"):
        all_names = names(lesson, who)
        for item in lessons.FORMS[lesson].items:
            assert 0 < len(rows_about(item, all_names)) <= max(len(all_names) / 2, 2), item.label
            for beginning in item.rows:  # none is left behind by a change of the sheet
                assert rows_about(replace(item, rows=(beginning,)), all_names), (item.label, beginning)


@pytest.mark.parametrize(
    "sheet", [one for one in lessons.PRACTICE.values() if one.unasked], ids=lambda sheet: sheet.name
)
def test_practice_shows_no_numbers_that_it_never_asks_about(sheet):
    case = lessons.practice_case(sheet.name, 1)
    shown, whole = [name for name, _value in sheet.shown(case)], [name for name, _value in case.lines()]
    assert set(whole) - set(shown) == {name for name in whole if name.startswith(sheet.unasked)}
    asked = {whole[row] for item in sheet.items for row in rows_about(item, whole)}
    assert asked <= set(shown)
    graded = lessons.FORMS[sheet.name.removeprefix(assess.PRACTICE_PREFIX)]
    assert graded.shown(case) == case.lines()


# The whole of a graded sheet --------------------------------------------------------------------------------------


def test_the_whole_sheet_is_told_from_all_its_parts():
    form = lessons.FORMS["oil-2"]
    text = (
        "%%answers oil-2\noil to add, job A: 3 fl oz\nleast sure line, job A: gas\n"
        "%%answers oil-2\noil to drain, job B: 2\noil to add, job C: 5 fl oz\n"
    )
    said = answering.whole_sheet(form, form.case("open", "s07"), text)
    assert said == (
        "Whole sheet: 3 of 10 lines can be read. Still blank: compressor part, job C, oil to refrigerant, "
        "repairs with the whole amount, books that balance, 2 more. Not read: oil to drain, job B."
    )
