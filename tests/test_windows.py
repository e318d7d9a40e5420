"""What can be known of Windows from another computer: names that it can hold, paths that are not too long, no shell."""

from pathlib import Path, PureWindowsPath

import pytest

from coldcab import lessons
from coldcab.cli import server, settings
from coldcab.desk import hand_in
from coldcab.learner import Learner

ROOT = Path(__file__).parents[1]
HOME = PureWindowsPath(r"C:\Users\Somebody With A Long Name\coldcab-course")
FORBIDDEN = set('<>:"|?*\\')
LONGEST = 259
"""Characters of a path that old programs of Windows take (MAX_PATH less its final zero; from memory)."""


def names():
    """Every file that a learner's folder gets, as a path below it."""
    course = ROOT / "course"
    yield from (path.relative_to(course).as_posix() for path in course.rglob("*") if path.is_file())
    yield from (f".coldcab/lab/{place}" for place in settings._PLACES.values())
    yield from (f".coldcab/progress/{place}.json" for place in ("clinic/p217", "learning/last", "practice/cycle-1"))
    for sheet in lessons.FORMS:
        yield f"hand-in/{hand_in.name_of(sheet, 'x' * 64)}"
        yield f"hand-in/earlier/{Path(hand_in.name_of(sheet, 'x' * 64)).stem} earlier 1.ipynb"


@pytest.mark.parametrize("name", sorted({name for name in names() if "/." not in name.replace("/.ipynb", "")}))
def test_windows_can_hold_the_name(name):
    path = HOME / name
    assert not path.is_reserved()
    assert len(str(path)) <= LONGEST
    for part in PureWindowsPath(name).parts:
        assert not set(part) & FORBIDDEN
        assert part == part.rstrip(". ")


@pytest.mark.parametrize("who", ["con", "aux", "com1", "nul.x"])
def test_a_copy_handed_in_is_never_called_like_a_device(who):
    assert not (HOME / "hand-in" / hand_in.name_of("cycle-1", Learner(who).id)).is_reserved()


def test_no_program_is_started_through_a_shell():
    for path in (ROOT / "src").rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        assert "shell=True" not in text, path
        assert "os.system(" not in text, path


def test_the_server_is_started_with_a_list_of_words(tmp_path):
    course = tmp_path / "coldcab course"
    command = server._command(course, 8888)
    assert f"--ServerApp.root_dir={course}" in command
    assert all("\n" not in word for word in command)
