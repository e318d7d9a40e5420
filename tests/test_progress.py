"""What a learner's copy remembers: whole files, only in a copy, and never a broken page."""

import json
import os
import sys
from pathlib import Path

import pytest

from coldcab import learner, progress
from coldcab.course import copy_course
from coldcab.course import folder as lessons_folder


@pytest.fixture
def copy(monkeypatch, tmp_path):
    """A learner's copy, seen from one of its lessons."""
    for name in (learner.FOLDER_VARIABLE, progress.MARKING_VARIABLE):
        monkeypatch.delenv(name, raising=False)
    source = tmp_path / "lessons"
    (source / "cycle").mkdir(parents=True)
    (source / "start-here.ipynb").write_text("{}")
    (source / "cycle" / "1.ipynb").write_text("{}")
    copy_course(tmp_path / "mine", source)
    monkeypatch.chdir(tmp_path / "mine" / "cycle")
    return tmp_path / "mine"


def file_of(copy, place):
    return copy / ".coldcab" / "progress" / f"{place}.json"


@pytest.mark.parametrize("value", [{"a": [1, 2.5, None, True, "ü"]}, [], "x", 0, False])
def test_what_is_kept_comes_back(copy, value, monkeypatch):
    assert progress.kept("practice/cycle-1") is None
    assert progress.keep("practice/cycle-1", value)
    monkeypatch.chdir(copy)  # from any folder of the copy
    assert progress.kept("practice/cycle-1") == value
    assert [path.name for path in file_of(copy, "practice/cycle-1").parent.iterdir()] == ["cycle-1.json"]


def test_none_forgets(copy):
    progress.keep("clinic/217", ["glass"])
    assert progress.keep("clinic/217", None)
    assert progress.kept("clinic/217") is None
    assert progress.keep("clinic/218", None)  # also what was never there
    assert not file_of(copy, "clinic/218").exists()


def test_no_copy_no_keeping(monkeypatch, tmp_path):
    monkeypatch.delenv(learner.FOLDER_VARIABLE, raising=False)
    monkeypatch.chdir(tmp_path)
    assert not progress.keep("x", 1)
    assert progress.kept("x") is None
    assert list(tmp_path.iterdir()) == []
    assert progress.folder(lessons_folder() / "cycle") is None  # the course's own folder is no copy


def test_a_named_folder_is_taken(monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv(learner.FOLDER_VARIABLE, str(tmp_path / "named"))
    assert progress.keep("x", 1)
    assert file_of(tmp_path / "named", "x").is_file()


def test_nothing_is_kept_while_a_collected_sheet_is_marked(copy, monkeypatch):
    monkeypatch.setenv(progress.MARKING_VARIABLE, "somewhere")
    assert not progress.keep("x", 1)
    monkeypatch.delenv(progress.MARKING_VARIABLE)
    assert progress.kept("x") is None


@pytest.mark.parametrize(
    "place", ["", "/x", "../x", "a/../b", "a//b", "a/b/c/d", ".x", "a\\b", "A", "a b", "a\n", "x" * 65, "a/"]
)
def test_a_name_that_is_no_place(copy, place):
    assert not progress.keep(place, 1)
    assert progress.kept(place) is None
    assert not (copy / ".coldcab" / "progress").exists()


def too_deep():
    value = []
    for _ in range(200_000):
        value = [value]
    return value


@pytest.mark.parametrize(
    "value", [object(), {1, 2}, float("nan"), float("inf"), "x" * progress.LARGEST, too_deep()], ids=range(6)
)
def test_what_cannot_be_kept_leaves_the_old(copy, value):
    progress.keep("x", "old")
    assert not progress.keep("x", value)
    assert progress.kept("x") == "old"


@pytest.mark.parametrize("data", [b"", b"{", b"\xff\xfe", b"[" * 100_000, b" " * (progress.LARGEST + 1)], ids=range(5))
def test_a_bad_file_is_set_aside(copy, data):
    progress.keep("x", "old")
    for number in (1, 2):
        file_of(copy, "x").write_bytes(data)
        assert progress.kept("x") is None
        assert (file_of(copy, "x").with_name(f"x.json.unread-{number}")).read_bytes() == data
    file_of(copy, "x").write_bytes(data)
    assert progress.keep("x", "new")  # also by who writes without having looked
    assert (file_of(copy, "x").with_name("x.json.unread-3")).read_bytes() == data
    assert progress.kept("x") == "new"


def test_a_folder_in_the_way(copy):
    file_of(copy, "x").mkdir(parents=True)
    assert progress.kept("x") is None
    assert not progress.keep("x", 1)
    (copy / ".coldcab" / "progress" / "y").write_text("a file")
    assert progress.kept("y/z") is None
    assert not progress.keep("y/z", 1)


def test_a_write_that_fails_leaves_the_old(copy, monkeypatch):
    progress.keep("x", "old")

    def full(*__):
        raise OSError("no space left")

    monkeypatch.setattr(os, "replace", full)
    assert not progress.keep("x", "new")
    monkeypatch.undo()
    monkeypatch.chdir(copy)
    assert progress.kept("x") == "old"
    assert [path.name for path in file_of(copy, "x").parent.iterdir()] == ["x.json"]


def test_a_current_folder_that_is_gone(copy, monkeypatch):
    def gone():
        raise FileNotFoundError

    monkeypatch.setattr(Path, "cwd", gone)
    assert progress.kept("x") is None
    assert not progress.keep("x", 1)


def test_in_a_browser_the_folder_of_the_lessons_is_the_learners(monkeypatch, tmp_path):
    monkeypatch.delenv(learner.FOLDER_VARIABLE, raising=False)
    monkeypatch.setattr(sys, "platform", "emscripten")
    (tmp_path / "start-here.ipynb").write_text("{}")
    (tmp_path / "cycle").mkdir()
    monkeypatch.chdir(tmp_path / "cycle")
    assert progress.keep("x", 1)
    assert json.loads(file_of(tmp_path, "x").read_text()) == 1
