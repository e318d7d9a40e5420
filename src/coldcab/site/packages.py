"""What the browser's Python imports beside numpy, in one file: IPython, widgets, the learner's part of the course.

One file instead of twenty, since each look-up costs a phone on a slow line a second. Nothing of the instructor's is in
it: no classroom, no command line, no key.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator, Mapping
from importlib import metadata
from pathlib import Path

from coldcab.course import folder as course_folder
from coldcab.site.runtime import Release, SiteError
from coldcab.words import _

PACKAGE = Path(__file__).resolve().parents[1]

# From this computer's own Python, so that the widgets fit the extensions that draw them. Pure Python is enough of each.
FROM_HERE = ("ipywidgets", "comm", "anywidget", "psygnal", "typing_extensions", "jinja2", "markupsafe")
# The kernel asks for these by name; what is needed of them is in the one file, and the rest nobody misses.
EMPTY = ("micropip", "piplite", "ipykernel", "comm", "pyodide-kernel", "jedi", "ipython")
OWN = "coldcab-site"

# Of the hundreds of languages that can be colored, the kernel writes in one.
_NEVER_SHOWN = ("IPython/sphinxext/", "IPython/testing/plugin/", "psygnal/testing.py")
_LEXERS = ("__init__.py", "_mapping.py", "python.py", "special.py")

_NOT_RUN = re.compile(
    r"""
    # Of Python's library, what serves mail, old networks, other processes, or the making of programs.
    (aifc|cgi|cgitb|chunk|compileall|crypt|distutils|doctest|ensurepip|filecmp|fileinput|ftplib|idlelib|imaplib|imghdr
    |lib2to3|mailbox|mailcap|modulefinder|multiprocessing|netrc|nntplib|pipes|poplib|pyclbr|pydoc_data|smtplib|sndhdr
    |sunau|tabnanny|telnetlib|test|tkinter|trace|turtledemo|unittest|uu|venv|wave|wsgiref|xdrlib|xmlrpc|zipapp)(/|\.py$)
    | ctypes/macholib/ | xml/(etree|sax)/
    # Character sets from before Unicode, but those that archives and spreadsheets still use.
    | encodings/(big5|cp(?!437\.|1252\.)|euc|gb|hp_|hz|iso(?!8859_1\.)|johab|koi|kz|mac_|palmos|ptcp|shift|tis)
    | numpy/(_pyinstaller|distutils|doc|f2py|fft|testing)/
    | (.*/)?tests/ | .*\.(pyi|pxd|h|c|a)$
    """,
    re.VERBOSE,
)

_ROOMS_OF_OTHERS = ("classroom/", "cli/", "make/", "site/", "paper/typeface/")
_FILES_OF_OTHERS = (
    "__main__.py",
    "lessons/keys.py",
    "course/remaking.py",
    "course/pictures.py",
    "course/prompt_connection.py",
    "machine/generate_blend.py",
    "refrigerants/generate.py",
    "units/generate.py",
)
_FOR_THE_BROWSER = "site/in_browser.py"


def learners_files(package: Path = PACKAGE) -> dict[str, bytes]:
    """Return the learner's part of the package: each file's content by its path from the package's parent."""
    found = {}
    for path in sorted(package.rglob("*")):
        name = path.relative_to(package).as_posix()
        if not path.is_file() or "__pycache__" in path.parts or path.name.startswith("."):
            continue
        theirs = name.startswith((*_ROOMS_OF_OTHERS, "_course/")) or name in _FILES_OF_OTHERS
        if not theirs or name == _FOR_THE_BROWSER:
            found[f"coldcab/{name}"] = path.read_bytes()
    found["coldcab/site/__init__.py"] = b'"""The course in a browser."""\n'
    return found | _beside_the_pages()


def _beside_the_pages() -> dict[str, bytes]:
    """What lies in the course's folder and is no page, such as the planner's jobs."""
    source = course_folder()
    paths = (path for path in source.rglob("*") if path.is_file() and path.suffix not in (".ipynb", ".pyc"))
    names = {path: path.relative_to(source) for path in sorted(paths)}
    return {
        f"coldcab/_course/{name.as_posix()}": path.read_bytes()
        for path, name in names.items()
        if not any(part.startswith(".") for part in name.parts)
    }


def one_file(wanted: Release, runtime: Mapping[str, bytes], mocks: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the files of everything but numpy, by their paths.

    Parameters
    ----------
    wanted, runtime
        The release and its files, whose pure Python packages are taken.
    mocks
        The kernel's own packages, as wheels.
    """
    files: dict[str, bytes] = {}
    for name, wheel in [*((name, runtime[name]) for name in wanted.wheels if "none-any" in name), *mocks.items()]:
        files |= _unpacked(name, wheel)
    for name in FROM_HERE:
        files |= dict(_installed(name))
    return files | learners_files() | _stand_ins()


def _stand_ins() -> dict[str, bytes]:
    """Small modules in the place of large ones, and what IPython reads when it starts."""
    root = PACKAGE / "site" / "stand_ins"
    found = (path for path in root.rglob("*.py") if "__pycache__" not in path.parts)
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in sorted(found)}


def _unpacked(name: str, wheel: bytes) -> dict[str, bytes]:
    return {one: data for one, data in unzipped(wheel).items() if not _left_out(one)}


def unzipped(archive: bytes) -> dict[str, bytes]:
    """Return the files of an archive by their paths."""
    with zipfile.ZipFile(io.BytesIO(archive)) as opened:
        return {one: opened.read(one) for one in opened.namelist() if not one.endswith("/")}


def that_runs(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return what lessons can run of Python's own library or of numpy; tests and parts for others stay behind."""
    return {name: data for name, data in files.items() if not _NOT_RUN.match(name)}


def _left_out(name: str) -> bool:
    parts = name.split("/")
    return (
        (name.startswith("pygments/lexers/") and parts[-1] not in _LEXERS)
        or name.startswith(_NEVER_SHOWN)
        or name.endswith((".so", ".pyd", ".pyc", ".pyi", ".js", ".map", ".dist-info/RECORD"))
        or any(part in ("tests", "__pycache__") or part.endswith(".data") for part in parts[:-1])
        or parts[0] in ("..", "")
    )


def _installed(name: str) -> Iterator[tuple[str, bytes]]:
    """Yield the files of an installed distribution, compiled parts and tests aside."""
    try:
        found = metadata.distribution(name).files or []
    except metadata.PackageNotFoundError:
        raise SiteError(
            _("The site needs the package {name}: run  pip install 'coldcab[site]'").format(name=name)
        ) from None
    for path in found:
        if not _left_out(path.as_posix()):
            yield path.as_posix(), path.read_binary()


def zipped(files: Mapping[str, bytes]) -> bytes:
    """Return an archive with ``files``, the same bytes whenever it is made of the same."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for path, data in sorted(files.items()):
            archive.writestr(zipfile.ZipInfo(path), data, zipfile.ZIP_DEFLATED, 9)
    return stream.getvalue()
