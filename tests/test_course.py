"""The lessons as files: a learner's copy loses nothing, and re-making changes nothing but outputs."""

import base64
import itertools
import json
import os
import re
from pathlib import Path

import nbformat
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import course
from coldcab.course import Copied, CourseError, copy_course, copying
from coldcab.course.pictures import Painter
from coldcab.course.remaking import remake, set_cell_ids
from coldcab.course.saved_instruments import ASLEEP, WIDGET_STATE, WIDGET_VIEW, drop_live_instruments

ONE = Path("unit/1-first.ipynb")
BESIDE = Path("unit/1-first (new version).ipynb")
BESIDE_2 = Path("unit/1-first (new version 2).ipynb")


def notebook(*cells, minor=5, **metadata):
    """Return a notebook as bytes; a cell is a string (code) or a dictionary."""
    full = []
    for number, cell in enumerate(cells):
        entry = {"source": cell} if isinstance(cell, str) else dict(cell)
        base = {"cell_type": "code", "metadata": {}}
        if entry.get("cell_type", "code") == "code":
            base |= {"outputs": [], "execution_count": None}
        if minor >= 5:
            base["id"] = f"cell-{number}"
        full.append(base | entry)
    content = {"cells": full, "metadata": metadata, "nbformat": 4, "nbformat_minor": minor}
    return json.dumps(content, indent=1).encode()


def put(root, path, data):
    place = Path(root) / path
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_bytes(data)
    return place


@pytest.fixture
def lessons(tmp_path):
    root = tmp_path / "lessons"
    put(root, "start-here.ipynb", notebook("1 + 1"))
    put(root, ONE, notebook("answer: "))
    put(root, "unit/table.csv", b"a,b\n")
    put(root, "unit/.ipynb_checkpoints/1-first.ipynb", b"old")
    put(root, "__pycache__/x.pyc", b"old")
    return root


@pytest.fixture
def mine(tmp_path):
    return tmp_path / "mine"


def visible(folder):
    return {
        path.relative_to(folder)
        for path in folder.rglob("*")
        if path.is_file() and not any(part.startswith(".") for part in path.relative_to(folder).parts)
    }


def test_the_course_of_this_installation_is_found():
    assert (course.folder() / "start-here.ipynb").is_file()


def test_first_copy_has_everything_but_what_tools_left(lessons, mine):
    copied = copy_course(mine, lessons)
    assert set(copied.added) == visible(mine) == {Path("start-here.ipynb"), ONE, Path("unit/table.csv")}
    assert copied == Copied(added=copied.added)
    for path in copied.added:
        assert (mine / path).read_bytes() == (lessons / path).read_bytes()


def test_again_changes_nothing(lessons, mine):
    copy_course(mine, lessons)
    before = {path: path.read_bytes() for path in mine.rglob("*") if path.is_file()}
    copied = copy_course(mine, lessons)
    assert copied == Copied(kept=copied.kept)
    assert len(copied.kept) == 3
    assert {path: path.read_bytes() for path in mine.rglob("*") if path.is_file()} == before


def test_a_new_lesson_arrives_and_a_deleted_one_returns(lessons, mine):
    copy_course(mine, lessons)
    (mine / ONE).unlink()
    put(lessons, "unit/2-second.ipynb", notebook("2"))
    assert set(copy_course(mine, lessons).added) == {ONE, Path("unit/2-second.ipynb")}


def test_an_untouched_lesson_is_refreshed(lessons, mine):
    copy_course(mine, lessons)
    put(lessons, ONE, notebook("better: "))
    assert copy_course(mine, lessons).refreshed == (ONE,)
    assert (mine / ONE).read_bytes() == (lessons / ONE).read_bytes()


def test_a_lesson_that_was_only_run_is_refreshed(lessons, mine):
    copy_course(mine, lessons)
    stream = {"output_type": "stream", "name": "stdout", "text": "seen"}
    put(mine, ONE, notebook({"source": ["answer: "], "outputs": [stream], "execution_count": 4}))
    put(lessons, ONE, notebook("better: "))
    assert copy_course(mine, lessons).refreshed == (ONE,)


def test_a_lesson_with_work_is_kept_and_the_new_version_lies_beside(lessons, mine):
    copy_course(mine, lessons)
    work = notebook("answer: 31 psig")
    put(mine, ONE, work)
    put(lessons, ONE, notebook("better: "))
    copied = copy_course(mine, lessons)
    assert copied.beside == ((ONE, BESIDE),)
    assert (mine / ONE).read_bytes() == work
    assert (mine / BESIDE).read_bytes() == (lessons / ONE).read_bytes()
    # Said once, not at every opening.
    assert not copy_course(mine, lessons).beside


def test_the_next_version_replaces_an_untouched_one_beside_only(lessons, mine):
    copy_course(mine, lessons)
    put(mine, ONE, notebook("answer: mine"))
    put(lessons, ONE, notebook("second: "))
    copy_course(mine, lessons)
    put(lessons, ONE, notebook("third: "))
    assert copy_course(mine, lessons).beside == ((ONE, BESIDE),)
    assert b"third" in (mine / BESIDE).read_bytes()
    work = put(mine, BESIDE, notebook("third: mine too")).read_bytes()
    put(lessons, ONE, notebook("fourth: "))
    assert copy_course(mine, lessons).beside == ((ONE, BESIDE_2),)
    assert (mine / BESIDE).read_bytes() == work
    assert b"fourth" in (mine / BESIDE_2).read_bytes()


def test_work_stays_alone_when_only_stored_outputs_of_the_lesson_change(lessons, mine):
    copy_course(mine, lessons)
    work = put(mine, ONE, notebook("answer: mine")).read_bytes()
    stream = {"output_type": "stream", "name": "stdout", "text": "new picture"}
    put(lessons, ONE, notebook({"source": "answer: ", "outputs": [stream]}))
    copied = copy_course(mine, lessons)
    assert ONE in copied.kept
    assert not copied.beside
    assert (mine / ONE).read_bytes() == work


@pytest.mark.parametrize("damage", [b"", b"{", b"[]", b'{"start-here.ipynb": 3}', b"\xff"])
def test_a_damaged_manifest_loses_no_work(lessons, mine, damage):
    copy_course(mine, lessons)
    work = put(mine, ONE, notebook("answer: mine")).read_bytes()
    put(mine, f"{course.STATE_FOLDER}/delivered.json", damage)
    put(lessons, ONE, notebook("better: "))
    assert copy_course(mine, lessons).beside == ((ONE, BESIDE),)
    assert (mine / ONE).read_bytes() == work


def test_a_broken_notebook_of_the_learner_counts_as_work(lessons, mine):
    copy_course(mine, lessons)
    put(mine, ONE, b"{ half a noteb")
    put(lessons, ONE, notebook("better: "))
    copy_course(mine, lessons)
    assert (mine / ONE).read_bytes() == b"{ half a noteb"


STEPS = st.tuples(
    st.sampled_from(["release", "write", "write beside"]),
    st.sampled_from(["answer: ", "answer: 1", "answer: 2", "other: "]),
)


@settings(max_examples=60, deadline=None)
@given(steps=st.lists(STEPS, max_size=8))
def test_whatever_happens_no_written_text_is_lost(tmp_path_factory, steps):
    root = tmp_path_factory.mktemp("steps")
    lessons, mine = root / "lessons", root / "mine"
    put(lessons, ONE, notebook("answer: "))
    copy_course(mine, lessons)
    released = {"answer: "}
    for what, text in steps:
        if what == "release":
            put(lessons, ONE, notebook(text))
            released.add(text)
        else:
            put(mine, ONE if what == "write" else BESIDE, notebook(text))
        before = {sources(mine / path)[0] for path in visible(mine)}
        copy_course(mine, lessons)
        after = {sources(mine / path)[0] for path in visible(mine)}
        # What was delivered word for word may give way to a newer version, nothing else may.
        assert before - released <= after


def test_an_interrupted_copy_is_finished_the_next_time(lessons, mine, monkeypatch):
    original, calls = copying.write_whole, itertools.count()

    def fails_on_the_second(path, data):
        if next(calls) == 1:
            raise KeyboardInterrupt
        original(path, data)

    monkeypatch.setattr(copying, "write_whole", fails_on_the_second)
    with pytest.raises(KeyboardInterrupt):
        copy_course(mine, lessons)
    monkeypatch.undo()
    copied = copy_course(mine, lessons)
    assert len(copied.kept) == 1
    assert len(copied.added) == 2
    assert visible(mine) == visible(lessons) - {Path("__pycache__/x.pyc")}


def test_a_file_in_the_way_is_one_sentence(lessons, tmp_path):
    in_the_way = put(tmp_path, "file", b"")
    with pytest.raises(CourseError, match="a file is in its way; name another folder"):
        copy_course(in_the_way, lessons)
    with pytest.raises(CourseError, match="name another folder"):
        copy_course(in_the_way / "below", lessons)


def test_the_lessons_own_folder_is_refused(lessons):
    for target in (lessons, lessons / "unit"):
        with pytest.raises(CourseError, match="the course's own folder"):
            copy_course(target, lessons)


# --- what is saved of an instrument -------------------------------------------------------------------------


def test_a_saved_page_keeps_pictures_not_live_instruments():
    view = {WIDGET_VIEW: {"model_id": "1"}}
    book = json.loads(notebook("a", "b", widgets={WIDGET_STATE: {"state": {}}}))
    book["cells"][0]["outputs"] = [
        {"output_type": "display_data", "data": {**view, "text/html": "<svg/>", "text/plain": "31 psig"}}
    ]
    book["cells"][1]["outputs"] = [
        {"output_type": "display_data", "data": {**view, "text/plain": "VBox(children=(...))"}},
        {"output_type": "stream", "name": "stdout", "text": "kept"},
    ]
    drop_live_instruments(model={"type": "notebook", "content": book}, path="x.ipynb", contents_manager=None)
    first, second = book["cells"]
    assert first["outputs"][0]["data"] == {"text/html": "<svg/>", "text/plain": "31 psig"}
    assert second["outputs"][0]["data"] == {"text/plain": ASLEEP}
    assert second["outputs"][1]["text"] == "kept"
    assert book["metadata"]["widgets"] == {}


@pytest.mark.parametrize("model", [None, {}, {"type": "file", "content": "x"}, {"type": "notebook"}])
def test_saving_anything_else_is_left_alone(model):
    before = json.dumps(model)
    drop_live_instruments(model=model)
    assert json.dumps(model) == before


# --- re-making ----------------------------------------------------------------------------------------------

DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><rect width="40" height="20"/></svg>'
SHOW = f"""from IPython.display import display
display({{"text/html": '<div>{DRAWING}</div>', "text/plain": "a black box"}}, raw=True)"""


class NoBrowser:
    """Stands for the headless browser where a test is not about pictures, and counts them."""

    pictures = 0

    def __enter__(self):
        return self

    def __exit__(self, *_):
        return None

    def png(self, html):
        NoBrowser.pictures += 1
        return base64.b64encode(f"picture {NoBrowser.pictures} of {html}".encode()).decode()


@pytest.fixture
def no_browser(monkeypatch):
    monkeypatch.setattr("coldcab.course.remaking.Painter", NoBrowser)
    NoBrowser.pictures = 0
    return NoBrowser


def outputs(path):
    return [cell["outputs"] for cell in json.loads(path.read_text())["cells"] if cell["cell_type"] == "code"]


def sources(path):
    return ["".join(cell["source"]) for cell in json.loads(path.read_text())["cells"]]


def test_remaking_twice_changes_no_byte_and_never_a_source(tmp_path, no_browser):
    text = {"cell_type": "markdown", "source": "# Why it cools\n\ntrailing spaces  \n\n"}
    odd = "x = 'é ° \\u2028'\nx  \n"
    book = put(tmp_path, "unit/one.ipynb", notebook(text, odd, SHOW, "print('out')", minor=4))
    before = sources(book)
    assert [made.changed for made in remake(root=tmp_path)] == [True]
    assert sources(book) == before
    nbformat.validate(nbformat.read(book, 4))
    first = book.read_bytes()
    assert [made.changed for made in remake(root=tmp_path)] == [False]
    assert book.read_bytes() == first
    content = json.loads(first)
    assert [cell["id"] for cell in content["cells"]][:2] == ["why-it-cools-trailing-spaces", "x-u2028-x"]
    assert content["metadata"] == {
        "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
    }
    (drawn,) = outputs(book)[1]
    assert set(drawn["data"]) == {"image/png", "text/plain"}
    assert "".join(drawn["data"]["text/plain"]) == "a black box"
    assert no_browser.pictures == 1, "a picture is made again only when its drawing has changed"


def test_a_changed_drawing_gets_a_new_picture(tmp_path, no_browser):
    book = put(tmp_path, "one.ipynb", notebook(SHOW))
    list(remake(root=tmp_path))
    old = outputs(book)
    put(tmp_path, "one.ipynb", book.read_bytes().replace(b'width=\\"40\\"', b'width=\\"50\\"'))
    list(remake(root=tmp_path))
    assert outputs(book) != old
    assert no_browser.pictures == 2


def test_a_live_instrument_is_stored_without_its_state(tmp_path, no_browser):
    cell = "import ipywidgets\nipywidgets.IntSlider()"
    book = put(tmp_path, "one.ipynb", notebook(cell))
    (made,) = remake(root=tmp_path)
    assert made.remarks == ("cell 1: a live instrument without a picture; its file shows only text",)
    (shown,) = outputs(book)[0]
    assert WIDGET_VIEW not in shown["data"]
    assert "widgets" not in json.loads(book.read_text())["metadata"]


def test_a_table_stays_text(tmp_path, no_browser):
    cell = """from IPython.display import display
view = {"model_id": "1", "version_major": 2, "version_minor": 0}
kind = "application/vnd.jupyter.widget-view+json"
display({kind: view, "text/html": "<table><tr><td>31 psig</table>", "text/plain": "31 psig"}, raw=True)"""
    book = put(tmp_path, "one.ipynb", notebook(cell))
    (made,) = remake(root=tmp_path)
    assert made.remarks == ()
    (shown,) = outputs(book)[0]
    assert set(shown["data"]) == {"text/html", "text/plain"}
    assert no_browser.pictures == 0


@pytest.mark.parametrize(
    ("cell", "sentence"),
    [
        ("1 / 0", "a cell fails: ZeroDivisionError"),
        ("import sys; print('oops', file=sys.stderr)", "writes to stderr: oops"),
        ("import socket; socket.create_connection(('192.0.2.1', 80), 1)", "must work without network"),
    ],
)
def test_a_lesson_that_fails_keeps_its_file(tmp_path, no_browser, cell, sentence):
    book = put(tmp_path, "one.ipynb", notebook(cell))
    before = book.read_bytes()
    with pytest.raises(CourseError, match=re.escape(sentence)):
        list(remake(root=tmp_path))
    assert book.read_bytes() == before


def test_nothing_of_this_machine_is_stored(tmp_path, no_browser, monkeypatch):
    monkeypatch.setenv("COLDCAB_LEARNER_FOLDER", str(tmp_path / "developer"))
    cell = (
        "import os, sys\nprint(os.getcwd(), sys.prefix, os.path.expanduser('~/x'))\n"
        "print(os.environ.get('COLDCAB_LEARNER_FOLDER'))\nobject()"
    )
    book = put(tmp_path, "unit/one.ipynb", notebook(cell))
    list(remake(root=tmp_path))
    printed, shown = outputs(book)[0]
    assert "".join(printed["text"]) == "course/unit python ~/x\nNone\n"
    assert "".join(shown["data"]["text/plain"]) == "<object>"


def test_ids_that_are_words_stay_and_random_ones_are_replaced():
    cells = [
        {"cell_type": "markdown", "source": "# A", "id": "kept"},
        {"cell_type": "markdown", "source": "# Why it is cold", "id": "0a1b2c3d"},
        {"cell_type": "markdown", "source": "# Why it is cold", "id": "0f8fad5b-d9cb-469f-a165-70867728950e"},
        {"cell_type": "code", "source": "", "id": "kept"},
        {"cell_type": "code", "source": "deadbeef"},
    ]
    set_cell_ids(cells)
    names = [cell["id"] for cell in cells]
    assert names == ["kept", "why-it-is-cold", "why-it-is-cold-2", "code-cell", "deadbeef-2"]
    set_cell_ids(cells)
    assert [cell["id"] for cell in cells] == names


def test_paths_outside_the_course_are_refused(tmp_path, no_browser):
    with pytest.raises(CourseError, match="is not a notebook below"):
        list(remake([tmp_path / "none.ipynb"], root=tmp_path))


def test_stored_notebooks_are_clean():
    """Every notebook of the course as it lies in the repository."""
    books = sorted(course.folder().rglob("*.ipynb"))
    assert books
    for book in books:
        text = book.read_text(encoding="utf-8")
        content = json.loads(text)
        assert content["metadata"].get("kernelspec", {}).get("name") == "python3", book.name
        assert "widgets" not in content["metadata"], book.name
        assert WIDGET_VIEW not in text, book.name
        assert str(Path.home()) + os.sep not in text, book.name
        names = [cell.get("id") for cell in content["cells"]]
        assert all(names), f"{book.name}: a cell without an id; re-make it"
        assert len(set(names)) == len(names), book.name
        for cell in content["cells"]:
            assert "execution" not in cell["metadata"], book.name
            for output in cell.get("outputs", []):
                assert output.get("name") != "stderr", book.name
                assert output["output_type"] != "error", book.name
                assert "<svg" not in "".join(output.get("data", {}).get("text/html", "")), book.name


def test_a_painter_without_a_browser_says_so(monkeypatch):
    monkeypatch.delenv("COLDCAB_BROWSER", raising=False)
    monkeypatch.setenv("PATH", "")
    with Painter() as painter, pytest.raises(CourseError, match="No Chromium was found"):
        painter.png(DRAWING)
