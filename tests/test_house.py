"""The house: each room knows only the rooms above it, and nothing heavy is loaded before it is needed."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "src" / "coldcab"
ROOMS = (
    "quantities", "units", "published", "learner", "air", "refrigerants", "cycle", "oil", "machine", "faults",
    "service", "scenario", "assess", "instruments", "course", "job", "lessons", "worked", "placement", "notebook",
    "classroom", "make", "cli", "__init__", "__main__",
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
        if room_of(path) == room and path.name != "commands.py"  # the class's own command line, hung into cli
        for name in imported(path) & set(below)
    }
    assert wrong == set()


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


def test_files_are_of_a_size_that_can_be_read():
    # About 400 lines; a table of rows (fleet, units, faults) may be somewhat longer.
    long = {str(path.relative_to(PACKAGE)): n for path in FILES if (n := len(path.read_text().splitlines())) > 460}
    assert long == {}
