"""Cells that an instructor added and that must be run: only on request, and only where the system can confine them.

The course's own sheets need none of this: they are read, never run. A cell of an instructor's own (a test of a
learner's program, say) runs in a copy of the clean notebook, in a process that sees no network, no home, no class
folder and no other process, with limits on time, memory and disk. What such a cell says is a proposal: a program that
runs in the same kernel could have said it, so these points wait until a person has looked.
"""

from __future__ import annotations

import json
import math
import shutil
import subprocess
import sys
import sysconfig
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from coldcab.classroom import intake, records
from coldcab.classroom.autograder import MarkingPackage, autograder_of, read_alone, run_state
from coldcab.classroom.folder import ClassError, ClassFolder
from coldcab.classroom.inbox import look
from coldcab.classroom.submission_files import read_plain_file
from coldcab.classroom.submissions import HandIn

SECONDS = 120
"""For one notebook, kernel and all."""

MEMORY = 4 * 1024**3
"""Bytes of address space; NumPy alone reserves one or two of these four thousand million."""

LARGEST = 50 * 1024**2
"""Bytes that one file may grow to."""

ROOM = "/own-sheet"
"""Where a notebook lies behind the walls; no folder of this computer is called so."""

_RUNNER = """
import nbformat
from nbclient import NotebookClient
book = nbformat.read("/own-sheet/sheet.ipynb", as_version=4)
for cell in book.cells:
    if cell.cell_type == "code" and cell.source.startswith(("%%answers", "%check", "%sheet", "%load_ext")):
        cell.source = ""
NotebookClient(book, timeout=60, allow_errors=True, kernel_name="python3").execute()
nbformat.write(book, "/own-sheet/done.ipynb")
"""


def why_not() -> str:
    """Return why nothing can be confined here, or nothing if it can."""
    program = shutil.which("bwrap")
    if sys.platform != "linux" or program is None:
        return "bubblewrap is not installed here (it is for Linux; Debian's package is bubblewrap)"
    tried = subprocess.run([program, *_walls(), "true"], capture_output=True, text=True, timeout=30, check=False)
    return "" if tried.returncode == 0 else f"bubblewrap cannot build its walls here ({tried.stderr.strip()[:200]})"


def _walls() -> list[str]:
    """What bubblewrap is told: nothing of this computer but programs, read-only, and a place of one's own."""
    walls = ["--unshare-all", "--die-with-parent", "--new-session", "--clearenv"]
    # First the empty places: this Python may itself lie below one of them.
    walls += ["--tmpfs", "/tmp", "--dev", "/dev", "--proc", "/proc", "--dir", "/home/nobody"]
    seen = {"/usr", "/bin", "/lib", "/lib64", "/sbin"}
    for place in sorted(seen):
        walls += ["--ro-bind-try", place, place]
    own = (sys.prefix, sys.base_prefix, sysconfig.get_path("stdlib"), str(Path(__file__).parents[2]))
    for place in sorted({str(Path(each).resolve()) for each in own} | {sys.prefix}):
        walls += ["--ro-bind", place, place]
    walls += ["--setenv", "HOME", "/home/nobody", "--setenv", "PATH", f"{sys.prefix}/bin:/usr/bin:/bin"]
    return [*walls, "--setenv", "PYTHONDONTWRITEBYTECODE", "1"]


def _limits() -> None:
    import resource

    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_FSIZE, (LARGEST, LARGEST))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    # As the administrator this limit does not hold; the fresh process space ends with its first process all the same.
    resource.setrlimit(resource.RLIMIT_NPROC, (256, 256))


def run_class(folder: ClassFolder, name: str, progress: Callable[[str], None] = lambda text: None) -> int:
    """Run the instructor's own cells of every submission that has not been run yet; return how many were.

    Raises
    ------
    ClassError
        If the sheet has no such cells, or nothing can be confined here; nothing is run then.
    """
    package = MarkingPackage.of(folder, name)
    autograder = autograder_of(package)
    cells = [intake.grade_id(cell) for cell in autograder.form["cells"] if intake.needs_running(cell)]
    if not cells:
        raise ClassError(f"{name} has no cells that must be run; leave out --run-cells.")
    if reason := why_not():
        raise ClassError(f"Cells are not run: {reason}. Give their points by hand: coldcab class desk.")
    count = 0
    for learner in folder.learners():
        found = look(folder, name, learner)
        if not isinstance(found, HandIn):
            continue
        try:
            book, _ = read_alone(package, found)
        except intake.NotGradable:
            continue
        state = run_state(package, book)
        if records.read_run(folder, name, learner.id)[0] != state:
            records.write_run(folder, name, learner.id, state, run_notebook(book, cells))
            count += 1
        progress(learner.id)
    return count


def run_notebook(book: dict[str, Any], cells: list[str]) -> dict[str, tuple[float, str]]:
    """Run a clean notebook behind walls; return points and words by the name of the cell.

    A cell that could not be run, or whose notebook did not come back, has no points and says why.
    """
    most = {intake.grade_id(cell): float(cell["metadata"]["nbgrader"].get("points", 0)) for cell in book["cells"]}
    with tempfile.TemporaryDirectory(prefix="coldcab-run-") as place:
        Path(place, "sheet.ipynb").write_text(json.dumps(book), encoding="utf-8")
        command = [str(shutil.which("bwrap")), *_walls(), "--bind", place, ROOM, "--chdir", ROOM]
        said = ""
        try:
            done = subprocess.run(
                [*command, sys.executable, "-c", _RUNNER], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL, timeout=SECONDS, preexec_fn=_limits, check=False, env={},
            )  # fmt: skip
            said = "" if done.returncode == 0 else "the notebook did not run to its end"
        except subprocess.TimeoutExpired:
            said = f"the notebook ran longer than {SECONDS} seconds"
        try:
            ran = intake.parse_notebook(read_plain_file(Path(place, "done.ipynb")))
        except intake.NotGradable as error:
            return dict.fromkeys(cells, (0.0, said or f"nothing came back ({error})"))
    outputs = {intake.grade_id(cell): cell.get("outputs", []) for cell in ran}
    return {cell: _points(outputs.get(cell, []), most[cell]) for cell in cells}


def _points(outputs: Any, most: float) -> tuple[float, str]:
    """Return points as nbgrader counts them: none after an error, else the number that was printed, else all."""
    for output in outputs if isinstance(outputs, list) else []:
        if not isinstance(output, dict):
            continue
        if output.get("output_type") == "error":
            return 0.0, f"{output.get('ename', 'error')}: {output.get('evalue', '')}"[:200]
        if output.get("output_type") == "execute_result":
            text = output.get("data", {}).get("text/plain", "") if isinstance(output.get("data"), dict) else ""
            try:
                value = float("".join(text))
            except (ValueError, TypeError):
                continue
            if math.isfinite(value):
                return min(max(value, 0.0), most), ""
    return most, ""
