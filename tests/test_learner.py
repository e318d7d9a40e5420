"""Who is at the desk: the file, the rules for ids, and the search for the folder."""

import json
import os
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldcab import learner
from coldcab.learner import FILE_NAME, Learner, LearnerError, NotEnrolled


@pytest.fixture(autouse=True)
def nobody(monkeypatch, tmp_path):
    """Run each test as if on a computer where nobody is enrolled."""
    monkeypatch.delenv(learner.FOLDER_VARIABLE, raising=False)
    monkeypatch.delenv(learner.HUB_VARIABLE, raising=False)
    monkeypatch.chdir(tmp_path)


@pytest.mark.parametrize(
    ("written", "kept"),
    [
        ("ana", "ana"),
        ("  ana ", "ana"),
        ("A.b_c-9", "A.b_c-9"),
        ("x" * 64, "x" * 64),
        ("１２", "12"),  # full-width digits, as some keyboards type them
        ("7", "7"),
    ],
)
def test_good_ids(written, kept):
    assert Learner(written).id == kept


@pytest.mark.parametrize(
    "written",
    ["", " ", "x" * 65, "a b", "a/b", "..", ".", ".hidden", "-option", "end.", "José", "a\nb", "a\0b", "a+b"],
)
@pytest.mark.parametrize("place", ["id", "term"])
def test_bad_names_are_refused_in_one_sentence(written, place):
    fields = {"id": "ana", "term": "open"} | {place: written}
    with pytest.raises(LearnerError) as caught:
        Learner(**fields)
    assert_one_sentence(str(caught.value))
    assert place in str(caught.value)


@pytest.mark.parametrize("units", ["", "US", "metric", None, 3, []])
def test_bad_units_are_refused(units):
    with pytest.raises(LearnerError, match="'us' or 'si'"):
        Learner("ana", units=units)


@given(st.text(max_size=80))
def test_any_text_is_an_id_that_can_be_a_folder_or_refused(text):
    try:
        name = Learner(text).id
    except LearnerError as error:
        assert_one_sentence(str(error))
    else:
        assert re.fullmatch(r"[A-Za-z0-9._-]{1,64}", name)
        assert os.path.basename(name) == name
        assert Learner(name).id == name


def test_written_and_read_again(tmp_path):
    who = Learner("ana", "fall-2026", "si")
    path = learner.write(who, tmp_path / "course")
    assert path == tmp_path / "course" / FILE_NAME
    assert learner.read(tmp_path / "course") == who
    assert [entry.name for entry in path.parent.iterdir()] == [FILE_NAME]


def test_found_from_a_lesson_upward(tmp_path, monkeypatch):
    learner.write(Learner("ana"), tmp_path)
    lesson = tmp_path / "cycle" / "deeper"
    lesson.mkdir(parents=True)
    assert learner.read(lesson).id == "ana"
    monkeypatch.chdir(lesson)
    assert learner.read().id == "ana"


def test_the_variable_names_the_folder(tmp_path, monkeypatch):
    learner.write(Learner("here"), tmp_path)
    learner.write(Learner("there"), tmp_path / "other")
    monkeypatch.setenv(learner.FOLDER_VARIABLE, str(tmp_path / "other"))
    assert learner.read().id == "there"


def test_on_a_hub_the_user_name_is_the_id_until_there_is_a_file(tmp_path, monkeypatch):
    monkeypatch.setenv(learner.HUB_VARIABLE, "hub-user")
    assert learner.read() == Learner("hub-user")
    learner.write(Learner("ana"), tmp_path)
    assert learner.read().id == "ana"


def test_a_hub_name_that_is_no_id_is_refused(monkeypatch):
    monkeypatch.setenv(learner.HUB_VARIABLE, "ana@school")
    with pytest.raises(LearnerError, match="ana@school"):
        learner.read()


def test_nobody_enrolled_says_what_to_do():
    with pytest.raises(NotEnrolled, match="coldcab enroll"):
        learner.read()
    assert learner.units() == "us"


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b"{}",
        b'{"id": 3}',
        b'{"id": "a/b"}',
        b'{"id": "ana", "units": []}',
        b'{"id": "ana", "term": ""}',
        b"\xff\xfe",
        b"[" * 100_000,
    ],
)
def test_an_invalid_file_is_one_sentence(tmp_path, content):
    (tmp_path / FILE_NAME).write_bytes(content)
    with pytest.raises(LearnerError) as caught:
        learner.read()
    assert_one_sentence(str(caught.value).replace(str(tmp_path / FILE_NAME), "FILE"))
    assert "coldcab enroll" in str(caught.value)
    assert learner.units() == "us"


def test_what_a_later_version_adds_to_the_file_is_ignored(tmp_path):
    (tmp_path / FILE_NAME).write_text(json.dumps({"id": "ana", "shoe size": 44}))
    assert learner.read() == Learner("ana")


def test_a_failed_write_leaves_the_old_file(tmp_path, monkeypatch):
    learner.write(Learner("ana"), tmp_path)

    def full_disk(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full_disk)
    with pytest.raises(OSError, match="No space"):
        learner.write(Learner("ben"), tmp_path)
    assert learner.read().id == "ana"
    assert [entry.name for entry in tmp_path.iterdir()] == [FILE_NAME]


def assert_one_sentence(text):
    assert text.endswith(".")
    assert "\n" not in text
    # What was typed stands in the sentence and may hold anything.
    assert ". " not in re.sub(r"(id|term) .* cannot be used", "cannot be used", text)
