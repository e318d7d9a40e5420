"""Re-making what the notebooks store: each runs from the top in a fresh kernel, and only its outputs change.

The result is the same on every computer as far as that can be: no execution times, no paths of the machine that
made it, stable cell ids, no live instruments but their pictures, and a picture is made anew only when its
drawing has changed.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import sys
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coldcab import learner
from coldcab.course.copying import CourseError, folder
from coldcab.course.pictures import Painter
from coldcab.course.saved_instruments import WIDGET_STATE, WIDGET_VIEW
from coldcab.learner import write_whole

LONGEST_CELL = 120  # seconds
GRADED = "graded"  # the folder of the forms
KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
DRAWING = "drawing_sha256"  # in an output's metadata: of which drawing its PNG is the picture

# What the tools of the trade give to a cell without a name; a name made of words never looks like this.
_RANDOM_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){0,3}(-[0-9a-f]{12})?")
_WORDS_IN_ID = 5
# Sits before the first cell: a lesson must work on a laptop without network, so any other address is refused.
_NO_NETWORK = """
import socket as _socket

def _refuse(self, address, _connect=_socket.socket.connect):
    if self.family in (_socket.AF_INET, _socket.AF_INET6) and address[0] not in ("127.0.0.1", "::1", "localhost"):
        raise OSError(f"a lesson must work without network; it asked for {address[0]}")
    return _connect(self, address)

_socket.socket.connect = _refuse
"""


@dataclass(frozen=True)
class Remade:
    """What became of one notebook: whether its file changed, and what a developer should look at."""

    path: Path
    changed: bool
    remarks: tuple[str, ...] = ()


def remake(paths: Iterable[Path | str] = (), *, root: Path | str | None = None) -> Iterator[Remade]:
    """Run notebooks and store their outputs anew, one after the other.

    Parameters
    ----------
    paths : paths
        The notebooks, all of them below ``root``; by default every notebook there.
    root : path, optional
        The folder of the lessons; by default the one of this checkout. Lessons run in a copy of it.

    Yields
    ------
    Remade
        For each notebook, as soon as its file is written.

    Raises
    ------
    CourseError
        If a notebook is missing, a cell fails or writes to stderr; its file is then as it was.
    """
    root = (Path(root) if root is not None else folder()).resolve()
    books = [Path(path).resolve() for path in paths] or sorted(_notebooks(root))
    for book in books:
        if not book.is_file() or root not in book.parents:
            raise CourseError(f"{book} is not a notebook below {root}.")
    with tempfile.TemporaryDirectory(prefix="course-") as box, Painter() as painter:
        bench = Path(box).resolve()
        shutil.copytree(root, bench / "course", ignore=shutil.ignore_patterns(".*", "__pycache__"))
        for book in books:
            yield _remake_one(book, book.relative_to(root), bench, painter)


def drawing_of(data: dict[str, Any]) -> str | None:
    """Return the HTML of an output's drawing, for which a PNG is stored instead, or None if it has none.

    HTML without a drawing, a table say, stays as it is: text can be read aloud, searched and compared.
    """
    html = "".join(data.get("text/html", ""))
    return html if "<svg" in html else None


def _notebooks(root: Path) -> Iterator[Path]:
    for path in root.rglob("*.ipynb"):
        # A graded form stores no outputs: its numbers belong to whoever opens it.
        if not any(part.startswith(".") or part == GRADED for part in path.relative_to(root).parts):
            yield path


def _remake_one(book: Path, relative: Path, bench: Path, painter: Painter) -> Remade:
    import nbformat

    before = book.read_bytes()
    stored = nbformat.from_dict(_read(book, before))
    fresh = nbformat.from_dict(_read(book, before))
    _clean_metadata(fresh)
    set_cell_ids(fresh.cells)
    _execute(fresh, relative, bench)
    pictures = _known_pictures(stored.cells)
    remarks = []
    for number, cell in enumerate(fresh.cells, 1):
        if cell.cell_type != "code":
            continue
        cell.metadata.pop("execution", None)
        for output in cell.outputs:
            if output.output_type == "stream" and output.name == "stderr":
                raise CourseError(f"{relative}, cell {number} writes to stderr: {_first_line(output.text)}")
            _without_places(output, bench)
            if "data" in output:
                remarks += [f"cell {number}: {remark}" for remark in _store(output, pictures, painter)]
    after = (nbformat.writes(fresh, version=4).rstrip("\n") + "\n").encode()
    if after != before:
        write_whole(book, after)
    return Remade(book, after != before, tuple(remarks))


def _read(book: Path, data: bytes) -> dict[str, Any]:
    """Return a notebook as data, of the newest schema, its sources untouched."""
    import json

    try:
        content = json.loads(data)
        cells = content["cells"]
    except (ValueError, KeyError, TypeError):
        raise CourseError(f"{book} is not a notebook.") from None
    content["nbformat"], content["nbformat_minor"] = 4, 5
    for cell in cells:
        for key in ("source", "text"):
            if isinstance(cell.get(key), list):
                cell[key] = "".join(cell[key])
        if cell.get("cell_type") == "code":
            cell.setdefault("execution_count", None)
            cell.setdefault("outputs", [])
        cell.setdefault("metadata", {})
    return content


def _clean_metadata(book: Any) -> None:
    book.metadata.clear()
    book.metadata["kernelspec"] = dict(KERNEL)
    # Without the version of Python, which differs from one developer to the next.
    book.metadata["language_info"] = {"name": "python"}
    for cell in book.cells:
        for key in ("execution", "ExecuteTime", "collapsed", "scrolled", "trusted"):
            cell.metadata.pop(key, None)


def set_cell_ids(cells: list[Any]) -> None:
    """Give every cell without a proper id one made of its first words; ids that are there already stay.

    Random ids, as editors give them, count as none: two people who add the same cell get the same id.
    """
    taken: set[str] = set()
    missing = []
    for cell in cells:
        name = cell.get("id", "")
        if not name or name in taken or _RANDOM_ID.fullmatch(name):
            missing.append(cell)
        else:
            taken.add(name)
    for cell in missing:
        name = base = _words(cell["source"]) or f"{cell['cell_type']}-cell"
        number = 2
        while name in taken or _RANDOM_ID.fullmatch(name):
            name = f"{base}-{number}"
            number += 1
        cell["id"] = name
        taken.add(name)


def _words(source: str) -> str:
    # An id has 1 to 64 letters, digits, dashes and underscores.
    return "-".join(re.findall(r"[a-z0-9]+", source.lower())[:_WORDS_IN_ID])[:56].strip("-")


def _execute(book: Any, relative: Path, bench: Path) -> None:
    from nbclient import NotebookClient
    from nbclient.exceptions import CellExecutionError, CellTimeoutError, DeadKernelError

    for cell in book.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    startup = bench / "ipython" / "profile_default" / "startup"
    startup.mkdir(parents=True, exist_ok=True)
    (startup / "no_network.py").write_text(_NO_NETWORK, encoding="utf-8")
    client = NotebookClient(
        book,
        timeout=LONGEST_CELL,
        kernel_name=KERNEL["name"],
        record_timing=False,
        coalesce_streams=True,
        store_widget_state=False,
        resources={"metadata": {"path": str((bench / "course" / relative).parent)}},
    )
    try:
        client.execute(env=_environment(bench))
    except CellExecutionError as error:
        raise CourseError(f"{relative}, a cell fails: {error.ename}: {_first_line(error.evalue)}") from None
    except CellTimeoutError:
        raise CourseError(f"{relative}, a cell takes longer than {LONGEST_CELL} seconds.") from None
    except DeadKernelError:
        raise CourseError(f"{relative}, the kernel died.") from None
    book.metadata["language_info"] = {"name": "python"}


def _environment(bench: Path) -> dict[str, str]:
    """Return an environment that knows nobody: no developer's settings, no learner, nothing that varies."""
    dropped = (learner.FOLDER_VARIABLE, learner.HUB_VARIABLE, "PYTHONSTARTUP")
    kept = {name: value for name, value in os.environ.items() if name not in dropped}
    return kept | {
        "IPYTHONDIR": str(bench / "ipython"),
        "PYTHONHASHSEED": "0",
        "TZ": "UTC",
        "LC_ALL": "C.UTF-8",
    }


def _known_pictures(cells: list[Any]) -> dict[str, str]:
    """Return the PNGs that are stored already, by the fingerprint of their drawing."""
    known = {}
    for cell in cells:
        for output in cell.get("outputs", []):
            mark = output.get("metadata", {}).get(DRAWING)
            png = output.get("data", {}).get("image/png")
            if isinstance(mark, str) and png:
                known[mark] = "".join(png)
    return known


def _store(output: Any, pictures: dict[str, str], painter: Painter) -> list[str]:
    """Turn a live output into what the file keeps of it; return remarks for the developer."""
    data = output["data"]
    drawing = drawing_of(data)
    live = data.pop(WIDGET_VIEW, None) is not None
    data.pop(WIDGET_STATE, None)
    if drawing is None:
        bare = live and "text/html" not in data and "image/png" not in data
        return ["a live instrument without a picture; its file shows only text"] if bare else []
    mark = hashlib.sha256(drawing.encode()).hexdigest()
    del data["text/html"]
    data["image/png"] = pictures.get(mark) or painter.png(drawing)
    pictures[mark] = data["image/png"]
    output["metadata"] = {DRAWING: mark}
    return [] if "".join(data.get("text/plain", "")).strip() else ["a picture without a text alternative"]


def _without_places(output: Any, bench: Path) -> None:
    """Take the paths of this machine out of an output's text."""
    places = {str(bench / "course"): "course", str(bench): ".", sys.prefix: "python", str(Path.home()): "~"}

    def cleaned(text: Any) -> Any:
        if isinstance(text, list):
            return [cleaned(part) for part in text]
        if not isinstance(text, str):
            return text
        for place, word in places.items():
            if len(place) > 1:
                text = text.replace(place, word)
        return re.sub(r" at 0x[0-9a-f]{6,}", "", text)

    if "text" in output:
        output["text"] = cleaned(output["text"])
    for kind, value in output.get("data", {}).items():
        if kind.startswith("text/"):
            output["data"][kind] = cleaned(value)


def _first_line(text: str) -> str:
    return next(iter("".join(text).strip().splitlines()), "")
