"""The house: each room knows only the rooms above it, and nothing heavy is loaded before it is needed."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import coldcab

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "coldcab"
ROOMS = (
    "words", "quantities", "paper", "units", "published", "learner", "progress", "air", "refrigerants", "cycle",
    "oil", "machine", "faults", "service", "scenario", "assess", "instruments", "course", "job", "lessons",
    "worked", "placement", "desk", "answering", "practicing", "notebook", "classroom", "make", "site", "cli",
    "__init__", "__main__",
)  # fmt: skip
FILES = sorted(path for path in PACKAGE.rglob("*.py"))


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported(path: Path) -> set[str]:
    """Rooms that a file imports, also within functions."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "coldcab":
            parts = node.module.split(".")
            found |= {parts[1]} if len(parts) > 1 else {alias.name for alias in node.names}
        elif isinstance(node, ast.Import):
            found |= {alias.name.split(".")[1] for alias in node.names if alias.name.startswith("coldcab.")}
    return found & set(ROOMS)


def test_every_file_lies_in_a_room():
    assert {room_of(path) for path in FILES} == set(ROOMS)


@pytest.mark.parametrize("room", ROOMS)
def test_no_room_imports_downward(room):
    below = ROOMS[ROOMS.index(room) + 1 :]
    wrong = {
        f"{path.relative_to(PACKAGE)} imports {name}"
        for path in FILES
        if room_of(path) == room
        for name in imported(path) & set(below)
    }
    assert wrong == set()


NOTEBOOK_HALF = ("intake", "submissions", "marker", "marked_notebook", "autograder", "forms", "material", "folder")
"""Files of the classroom that read and mark notebooks; they know nothing of nbgrader's database."""


def name_of(path: Path) -> str:
    return ".".join(path.relative_to(PACKAGE).with_suffix("").parts).removesuffix(".__init__")


def needed(path: Path, names: set[str]) -> set[str]:
    """Files of the package that a file imports, also within functions, where an import may hide a circle."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and f"{node.module}.".startswith("coldcab."):
            module = str(node.module).removeprefix("coldcab").removeprefix(".")
            inside = {f"{module}.{alias.name}".removeprefix(".") for alias in node.names}
            found |= inside & names or {module}
        elif isinstance(node, ast.Import):
            found |= {alias.name.removeprefix("coldcab.") for alias in node.names if alias.name.startswith("coldcab.")}
    return (found & names) - {name_of(path)}


def reached(name: str, graph: dict[str, set[str]]) -> set[str]:
    """Everything that a file imports, at first or at tenth hand."""
    seen: set[str] = set()
    left = [name]
    while left:
        left += (new := graph[left.pop()] - seen)
        seen |= new
    return seen


@pytest.fixture(scope="module")
def graph():
    names = {name_of(path) for path in FILES}
    return {name_of(path): needed(path, names) for path in FILES}


def test_no_file_imports_itself_by_way_of_others(graph):
    all_reached = {name: reached(name, graph) for name in graph}
    circles = {
        tuple(sorted(other for other in all_reached[name] if name in all_reached[other]))
        for name in graph
        if name in all_reached[name]
    }
    assert circles == set()


def test_the_notebook_half_of_the_classroom_knows_no_database(graph):
    text = {name_of(path): path.read_text(encoding="utf-8") for path in FILES}
    for name in NOTEBOOK_HALF:
        for other in {f"classroom.{name}"} | reached(f"classroom.{name}", graph):
            assert "nbgrader.api" not in text[other], f"{name} by way of {other}"
            assert "sqlalchemy" not in text[other], f"{name} by way of {other}"


def test_scipy_and_the_testers_libraries_stay_in_the_tests():
    for path in FILES:
        if path.name.startswith("generate"):
            continue  # run by a developer to make a table, with the test dependencies at hand
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            for name in names:
                assert name.split(".")[0] not in {"scipy", "teqp", "tespy", "iapws", "psychrolib", "pytest"}, path


@pytest.mark.parametrize("room", ["coldcab", "coldcab.machine", "coldcab.oil", "coldcab.assess", "coldcab.service.law"])
def test_what_is_heavy_waits(room):
    code = (
        f"import sys, {room}; "
        "print([name for name in ('CoolProp', 'matplotlib', 'ipywidgets', 'nbgrader') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def public_functions(body: list[ast.stmt], outside: str = "") -> Iterator[tuple[str, ast.FunctionDef]]:
    """Functions and methods that others may call, with operators and the making of objects."""
    for node in body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield from public_functions(node.body, f"{node.name}.")
        elif isinstance(node, ast.FunctionDef) and (not node.name.startswith("_") or node.name.startswith("__")):
            yield f"{outside}{node.name}", node


def test_public_functions_say_what_they_take_and_give():
    """No signature in the rooms before `assess` holds a bare Any; a name that says what is meant may stand for it."""
    strict = ROOMS[: ROOMS.index("assess")]
    bare = {
        f"{name_of(path)}: {name}"
        for path in FILES
        if room_of(path) in strict
        for name, function in public_functions(ast.parse(path.read_text(encoding="utf-8")).body)
        for part in (function.args, function.returns)
        if part is not None
        for node in ast.walk(part)
        if isinstance(node, ast.Name) and node.id == "Any"
    }
    assert bare == set()


def test_version_and_changelog_agree():
    changelog = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    newest = re.search(r"^## (.*)$", changelog, re.MULTILINE)
    assert newest is not None
    assert re.fullmatch(rf"{re.escape(coldcab.__version__)}, \d{{4}}-\d\d-\d\d", newest[1])


def test_files_are_of_a_size_that_can_be_read():
    # About 400 lines; a table of rows (fleet, units, faults) may be somewhat longer.
    long = {str(path.relative_to(PACKAGE)): n for path in FILES if (n := len(path.read_text().splitlines())) > 460}
    assert long == {}
