"""The learner's desk: what is remembered of each answer, where one stands, what is asked again, and handing in."""

import json
import os
import re
import shutil
from dataclasses import replace
from datetime import date, timedelta
from html.parser import HTMLParser
from pathlib import Path

import pytest

from classes import filled, small_class
from coldcab import learner, lessons, progress
from coldcab.assess import Mark, mark_by_card
from coldcab.classroom import collecting
from coldcab.desk import can_do, page, record, state
from coldcab.desk.cover import ALT, Cover
from coldcab.desk.hand_in import EARLIER, STUB, hand_in
from coldcab.desk.repeat import Question, Repeat

DAY = date(2026, 11, 30)
COURSE = Path(__file__).parents[1] / "course"


@pytest.fixture
def copy(monkeypatch, tmp_path):
    """A learner's folder with one graded sheet and the first page; Sam is enrolled."""
    for name in (progress.MARKING_VARIABLE, learner.FOLDER_VARIABLE, learner.HUB_VARIABLE):
        monkeypatch.delenv(name, raising=False)
    sheet = tmp_path / "graded" / "cycle-1"
    sheet.mkdir(parents=True)
    shutil.copy(COURSE / "graded" / "cycle-1" / "cycle-1.ipynb", sheet)
    (tmp_path / ".coldcab").mkdir()
    (tmp_path / ".coldcab" / "delivered.json").write_text("{}")
    (tmp_path / "start-here.ipynb").write_text("{}")
    learner.write(learner.Learner("s07"), tmp_path)
    monkeypatch.chdir(sheet)
    return tmp_path


def mark(status, label="state at A", idea=None):
    return Mark(label, status, 0.0, 1.0, "read", idea, f"said to {idea}" if idea else "", False)


def after(*answers):
    """What is known of a line after answers, each (day, number, status, idea)."""
    known = None
    for day, number, status, *idea in answers:
        known = record.answer(known, mark(status, idea=idea[0] if idea else None), number, DAY + timedelta(days=day))
    return known


# What is remembered ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("answers", "box", "due"),
    [
        ([(0, 1, "right")], 1, 1),
        ([(0, 1, "right"), (0, 2, "right")], 1, 1),  # twice on one evening is once
        ([(0, 1, "right"), (1, 2, "right")], 2, 4),
        ([(0, 1, "right"), (1, 2, "right"), (4, 3, "right"), (11, 4, "right"), (25, 5, "right")], 5, 55),
        (
            [(0, 1, "right"), (1, 2, "right"), (4, 3, "right"), (11, 4, "right"), (25, 5, "right"), (60, 6, "right")],
            5,
            90,
        ),
        ([(0, 1, "right"), (1, 2, "right"), (2, 3, "wrong")], 1, 3),
        ([(0, 1, "wrong"), (0, 1, "right")], 1, 1),
        ([(0, 1, "right"), (9, 2, "right")], 2, 12),  # late is no loss
    ],
)
def test_a_line_comes_back_after_1_3_7_14_30_days(answers, box, due):
    known = after(*answers)
    assert (known.box, known.due) == (box, DAY + timedelta(days=due))


def test_an_idea_is_mended_by_other_numbers_only():
    shown = after((0, 1, "idea", "upside down"))
    assert shown.ideas["upside down"].said == "said to upside down"
    assert not after((0, 1, "idea", "upside down"), (0, 1, "right")).ideas["upside down"].mended
    mended = after((0, 1, "idea", "upside down"), (0, 1, "right"), (1, 2, "right"))
    assert mended.ideas["upside down"].mended == "2026-12-01"
    again = after((0, 1, "idea", "upside down"), (1, 2, "right"), (2, 3, "idea", "upside down"))
    assert not again.ideas["upside down"].mended
    other = after((0, 1, "idea", "upside down"), (1, 2, "idea", "inside out"))
    assert not any(idea.mended for idea in other.ideas.values())


def test_answers_are_kept_and_read_back(copy):
    record.marked("practice-cycle-1", 3, [mark("right"), mark("blank", "state at B"), mark("unreadable", "x")], DAY)
    record.marked("practice-cycle-1", 4, [mark("idea", "state at B", "judged by the hand")], DAY)
    known = record.lines("cycle-1")
    assert {label: (line.status, line.number, line.day) for label, line in known.items()} == {
        "state at A": ("right", 3, "2026-11-30"),
        "state at B": ("idea", 4, "2026-11-30"),
    }
    assert set(known["state at B"].ideas) == {"judged by the hand"}


@pytest.mark.parametrize(
    "row",
    [
        3,
        {},
        {"status": "right"},
        {"status": "happy", "number": 1, "day": "2026-11-30", "box": 1, "since": "2026-11-30", "ideas": {}},
        {"status": "right", "number": 1, "day": "yesterday", "box": 1, "since": "2026-11-30", "ideas": {}},
        {"status": "right", "number": 1, "day": "2026-11-30", "box": 6, "since": "2026-11-30", "ideas": {}},
        {"status": "right", "number": 1, "day": "2026-11-30", "box": 5, "since": "9999-12-31", "ideas": {}},
        {"status": "right", "number": 1, "day": "2026-11-30", "box": "a", "since": "2026-11-30", "ideas": {}},
        {"status": "right", "number": 1, "day": "2026-11-30", "box": 1, "since": "2026-11-30", "ideas": [1]},
    ],
)
def test_what_lies_in_a_file_is_not_trusted(copy, row):
    good = {"status": "right", "number": 1, "day": "2026-11-30", "box": 1, "since": "2026-11-30", "ideas": {}}
    progress.keep("learning/cycle-1", {"lines": {"state at A": row, "state at B": good}})
    assert set(record.lines("cycle-1")) == {"state at B"}
    for broken in (row, {"lines": row}, [row]):
        progress.keep("learning/cycle-1", broken)
        progress.keep("learning/last", broken)
        assert record.lines("cycle-1") == {}
        assert state.look(DAY).last is None


# Where a learner stands -----------------------------------------------------------------------------------------------


class Links(HTMLParser):
    """Collects where the links of a page lead."""

    def __init__(self, html):
        super().__init__()
        self.found = []
        self.feed(html)

    def handle_starttag(self, tag, attributes):
        if tag == "a":
            self.found.append(dict(attributes)["href"])


def test_the_desk_of_a_new_learner(copy):
    now = state.look(DAY)
    assert not now.known
    assert (now.due, now.next_due, now.mistakes) == ((), None, ())
    assert Links(page.greeting(now)).found == [lessons.LESSONS["cycle-1"]]


def test_who_has_no_id_is_led_to_the_fields(copy):
    (copy / learner.FILE_NAME).unlink(missing_ok=True)
    assert Links(page.greeting(state.look(DAY))).found[1:] == ["start-here.ipynb#Your-id,-and-your-units"]


def test_the_desk_of_a_returning_learner(copy):
    record.opened("cycle-1", "lesson", DAY)
    shown = [mark("right", item.label) for item in lessons.PRACTICE["practice-cycle-1"].items]
    shown[0] = mark("idea", "absolute pressure", "gauge taken for absolute")
    record.marked("practice-cycle-1", 1, shown, DAY)
    now = state.look(DAY)
    first = now.of("cycle-1")
    assert (first.practiced, first.practice, first.filled, first.done) == (10, 11, 0, False)
    assert [(one.label, one.passage.heading) for one in now.mistakes] == [
        ("absolute pressure", "Why: gauge, absolute, vacuum")
    ]
    assert (now.due, now.next_due) == ((), DAY + timedelta(days=1))
    assert len(state.look(DAY + timedelta(days=1)).due) == state.AT_ONE_GO
    html = page.desk_page(now)
    assert "Welcome back, s07" in html
    assert "10 of 11 practice lines right" in html
    assert Links(page.greeting(now)).found == [lessons.LESSONS["cycle-1"]]
    assert f"{lessons.LESSONS['cycle-1']}#Why:-gauge,-absolute,-vacuum" in Links(html).found
    # The lesson is through, the sheet is next; after that the next lesson.
    record.marked("practice-cycle-1", 2, [mark("right", "absolute pressure")], DAY)
    assert Links(page.greeting(state.look(DAY))).found == ["graded/cycle-1/cycle-1.ipynb"]
    assert state.look(DAY).mistakes == ()
    hand_in("cycle-1.ipynb")
    assert state.look(DAY).of("cycle-1").done
    assert Links(page.greeting(state.look(DAY))).found == [lessons.LESSONS["cycle-2"]]


def test_every_link_of_the_desk_leads_to_a_page_and_a_heading(copy):
    for name in lessons.LESSONS:
        shown = [mark("idea", item.label, "an idea") for item in lessons.PRACTICE[f"practice-{name}"].items]
        record.marked(f"practice-{name}", 1, shown, DAY)
    links = set(Links(page.desk_page(state.look(DAY)) + page.blank_map()).found)
    headings = {}
    for link in links:
        name, _sign, heading = link.partition("#")
        cells = json.loads((COURSE / name).read_text(encoding="utf-8"))["cells"]
        text = "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")
        headings[name] = {line.lstrip("# ").replace(" ", "-") for line in text.splitlines() if line.startswith("#")}
        assert not heading or heading in headings[name], link
    assert set(lessons.LESSONS.values()) <= {link.partition("#")[0] for link in links}


def test_nothing_stands_on_a_desk_that_is_nobodys(monkeypatch):
    monkeypatch.chdir(COURSE)
    record.opened("cycle-1", "lesson")
    now = state.look(DAY)
    assert (now.known, now.kept) == (False, False)


def test_what_stands_on_a_sheet_is_counted(copy):
    fill(copy, {"absolute pressure": "33 psia", "state at A": " "}, written="Because.")
    assert state.look(DAY).of("cycle-1").filled == 2
    (copy / "graded" / "cycle-1" / "cycle-1.ipynb").write_text("{")
    assert state.look(DAY).of("cycle-1").filled == 0


def test_the_picture_has_words():
    bundle = Cover()._repr_mimebundle_()
    assert bundle["text/plain"] == ALT
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', bundle["text/html"])]
    assert sizes
    assert min(sizes) * 287 / 840 >= 11  # pixels on a phone 390 wide, where the picture has 287


# What I can do --------------------------------------------------------------------------------------------------------


def test_outcomes_stand_on_practice_lines():
    for one in can_do.outcomes():
        labels = {item.label for item in lessons.PRACTICE[f"practice-{one.lesson}"].items}
        assert set(one.lines) <= labels, one.words
    lines = {(one.lesson, label) for one in can_do.outcomes() for label in one.lines}
    every = {(name, item.label) for name in lessons.LESSONS for item in lessons.PRACTICE[f"practice-{name}"].items}
    assert lines == every, "every practice line shows something"


def test_an_outcome_is_shown_by_all_its_lines():
    one = can_do.Outcome("cycle-1", "do it", ("a", "b"))
    right, wrong = after((0, 1, "right")), after((0, 1, "wrong"))
    states = ({}, {"a": right}, {"a": right, "b": wrong}, {"a": right, "b": right})
    assert [one.standing(known) for known in states] == ["open", "begun", "begun", "shown"]
    assert not one.kept({"a": right, "b": right})
    late = replace(right, box=can_do.KEPT)
    assert one.kept({"a": late, "b": late})


def test_the_page_of_what_i_can_do(copy):
    items = lessons.PRACTICE["practice-cycle-2"].items
    record.marked("practice-cycle-2", 1, [mark("right", item.label) for item in items], DAY)
    html = page.can_do_page(state.look(DAY), DAY)
    own = sum(one.lesson == "cycle-2" for one in can_do.outcomes())
    assert f"{own} of {len(can_do.outcomes())} shown in practice, 2026-11-30" in html
    assert html.count("● shown") == own


# Repeating ------------------------------------------------------------------------------------------------------------


def test_a_line_is_asked_with_other_numbers_and_the_answer_is_kept(copy):
    record.marked("practice-cycle-1", 1, [mark("wrong", "absolute pressure")], DAY)
    one = Question("cycle-1", "absolute pressure")
    assert one.number != 1
    assert one.item.prompt in one.html()
    assert all(value in one.html() for _label, value in one.case.lines() if "“" not in value and "'" not in value)
    right = f"{one.card.right / 6894.757:.1f} psia"
    assert one.answer(right, DAY + timedelta(days=1)).status == "right"
    assert record.lines("cycle-1")["absolute pressure"].box == 2
    assert Question("cycle-1", "absolute pressure").number not in (1, one.number)


def test_the_lines_are_asked_one_by_one(copy):
    record.marked("practice-cycle-1", 1, [mark("wrong", "state at A"), mark("wrong", "points with liquid alone")], DAY)
    done = []
    repeat = Repeat((("cycle-1", "state at A"), ("cycle-1", "points with liquid alone")), done=lambda: done.append(1))
    repeat._check()
    assert "Not filled in" in repeat._said.value
    assert repeat._next.layout.display == "none"
    repeat._field.value = repeat.question.card.right
    repeat._check()
    assert "Right" in repeat._said.value
    repeat._go_on()
    repeat._field.value = "A" if repeat.question.card.right != "A" else "B"
    repeat._check()
    assert "Look again" in repeat._said.value
    repeat._go_on()
    assert done == [1]
    assert "1 of 2 right" in repeat.box.children[0].value


def test_every_practice_line_can_be_asked_again(copy):
    for name in lessons.LESSONS:
        for item in lessons.PRACTICE[f"practice-{name}"].items[:1]:
            one = Question(name, item.label)
            assert mark_by_card(one.item, "", one.card, one.case).status == "blank"
            assert one.html()


# Handing in -----------------------------------------------------------------------------------------------------------


def fill(copy, answers, written=""):
    """Write answers into the sheet as a learner does."""
    file = copy / "graded" / "cycle-1" / "cycle-1.ipynb"
    book = json.loads(file.read_text(encoding="utf-8"))
    for cell in book["cells"]:
        text = "".join(cell["source"])
        if text.startswith("%%answers"):
            rows = [(line.partition(":")[0], line) for line in text.split("\n")]
            cell["source"] = "\n".join(f"{head}: {answers[head]}" if head in answers else line for head, line in rows)
        if text.strip() == STUB and written:
            cell["source"] = written
    file.write_text(json.dumps(book), encoding="utf-8")
    return file


def test_the_copy_is_named_and_what_is_open_is_said(copy):
    file = fill(copy, {"absolute pressure": "33 psia", "state at A": "perhaps"})
    done = hand_in("cycle-1.ipynb")
    made = copy / "hand-in" / "cycle-1_s07.ipynb"
    assert made.read_bytes() == file.read_bytes()
    assert (done.name, done.path) == ("cycle-1_s07.ipynb", "../../hand-in/cycle-1_s07.ipynb")
    assert str(made.parent) in done.said[0]
    assert len(done.blank) == len(lessons.FORMS["cycle-1"].items) - 2 + 1
    assert "in your own words" in done.blank
    assert [line.partition(":")[0] for line in done.unread] == ["state at A"]
    assert (
        done.title
        == f"Handed in, but {len(done.blank) - 1} lines are blank, 1 line is not read and the written answer is missing"
    )
    assert "instructor" in done.next
    assert not any("instructor" in said for said in done.said)


def test_what_is_asked_back_is_said_before_the_copy_goes(copy):
    fill(copy, {"standing pressure": "700 kPa"}, "Because.")
    assert ["gauge or absolute?" in line for line in hand_in("cycle-1.ipynb").unread] == [True]


def test_a_newer_copy_keeps_the_older_one_apart(copy):
    place = copy / "hand-in"
    hand_in("cycle-1.ipynb")
    hand_in("cycle-1.ipynb")
    assert [each.name for each in place.iterdir()] == ["cycle-1_s07.ipynb"]  # nothing new was written
    first = (place / "cycle-1_s07.ipynb").read_bytes()
    os.utime(place / "cycle-1_s07.ipynb", (1_000_000_000, 1_000_000_000))
    fill(copy, {"absolute pressure": "33 psia"})
    done = hand_in("cycle-1.ipynb")
    fill(copy, {"absolute pressure": "34 psia"})
    hand_in("cycle-1.ipynb")
    older = sorted((place / EARLIER).iterdir())
    assert [each.name for each in older] == ["cycle-1_s07 earlier 1.ipynb", "cycle-1_s07 earlier 2.ipynb"]
    assert older[0].read_bytes() == first
    assert older[0].stat().st_mtime == 1_000_000_000  # a class sees which one is older
    assert older[0].name in done.said[1]


def test_the_sheet_is_found_from_the_learners_folder_too(copy, monkeypatch):
    monkeypatch.chdir(copy)
    assert hand_in("graded/cycle-1/cycle-1.ipynb").path == "../../hand-in/cycle-1_s07.ipynb"


def test_a_whole_sheet_is_said_to_be_whole(copy):
    form = lessons.FORMS["cycle-1"]
    fill(copy, {item.label: item.choices[0] if item.choices else item.example for item in form.items}, "Because.")
    done = hand_in("cycle-1.ipynb")
    assert (done.title, done.blank, done.unread) == ("Handed in: the copy is made", (), ())
    assert "Every line can be read" in done.said[1]


@pytest.mark.parametrize(
    ("changed", "written", "open_ones"),
    [
        ({"state at A": "perhaps"}, "Because.", "1 line is not read"),
        ({"state at A": ""}, "Because.", "1 line is blank"),
        ({"state at A": "perhaps", "absolute pressure": "high"}, "Because.", "2 lines are not read"),
        ({"state at A": "perhaps", "absolute pressure": ""}, "Because.", "1 line is blank and 1 line is not read"),
        ({}, STUB, "the written answer is missing"),
    ],
)
def test_the_heading_says_what_is_open(copy, changed, written, open_ones):
    form = lessons.FORMS["cycle-1"]
    whole = {item.label: item.choices[0] if item.choices else item.example for item in form.items}
    fill(copy, whole | changed, written)
    assert hand_in("cycle-1.ipynb").title == f"Handed in, but {open_ones}"


@pytest.mark.parametrize("text", ["", "{", "[]", '{"cells": [1]}', '{"cells": []}', "[" * 50_000])
def test_what_is_no_sheet_is_not_handed_in(copy, text):
    (copy / "graded" / "cycle-1" / "other.ipynb").write_text(text)
    done = hand_in("other.ipynb")
    assert done.title == "Not handed in"
    assert len(done.said) == 1
    assert not (copy / "hand-in").exists()


def test_without_an_id_nothing_is_made(copy):
    (copy / learner.FILE_NAME).unlink()
    done = hand_in("cycle-1.ipynb")
    assert (done.title, done.name) == ("Not handed in", "")
    assert "type your id" in done.said[0]


def test_a_folder_that_cannot_be_written_is_said(copy):
    (copy / "hand-in").write_text("a file in the way")
    done = hand_in("cycle-1.ipynb")
    assert done.title == "Not handed in"
    assert "give this file to your instructor" in done.said[0]


def test_a_class_collects_the_copies_as_they_are(copy, tmp_path_factory):
    """Handed in twice: the class takes the folder as it lies there and says which copy is older."""
    folder = small_class(tmp_path_factory.mktemp("class") / "class")
    learner.write(learner.Learner("ash", folder.term), copy)
    file = copy / "graded" / "cycle-1" / "cycle-1.ipynb"
    file.write_text(filled(folder, "ash", lambda *__: ""), encoding="utf-8")
    hand_in("cycle-1.ipynb")
    os.utime(copy / "hand-in" / "cycle-1_ash.ipynb", (1_700_000_000, 1_700_000_000))
    file.write_text(filled(folder, "ash"), encoding="utf-8")
    assert hand_in("cycle-1.ipynb").unread == ()
    done = collecting.collect(folder, [copy / "hand-in"])
    assert {each.file.rsplit(" / ", 1)[-1]: (each.status, each.learner, each.sheet) for each in done} == {
        "cycle-1_ash.ipynb": (collecting.NEW, "ash", "cycle-1"),
        "cycle-1_ash earlier 1.ipynb": (collecting.OLDER, "ash", "cycle-1"),
    }
    assert (folder.inbox / "ash" / "cycle-1" / "cycle-1.ipynb").read_bytes() == file.read_bytes()
