"""Looking into folders and zip files that came from elsewhere: notebooks are read as data, nothing is unpacked."""

from __future__ import annotations

import os
import re
import stat
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from io import BytesIO
from pathlib import Path

from coldcab.classroom.intake import LARGEST_FILE, NotGradable, plain, read_plain_file
from coldcab.classroom.settings import ClassError

MOST_FILES = 20_000
"""Files that one folder or zip may hold; a class of 500 hands in about 1000."""

MOST_BYTES = 2_000_000_000
"""Bytes that one zip may unfold to, altogether."""

DEEPEST_ZIP = 3
"""Zips within zips: a platform packs each learner's files, and some learners pack theirs again."""

NO_NOTEBOOK = "it is not a notebook; ask for the file that ends in .ipynb"
"""The problem of other files. They are found, too: one may be all that somebody handed in."""

_ENDING = re.compile(r"\.ipynb(\.txt|\.json|\.html?)?$", re.IGNORECASE)

_NOISE = ("__MACOSX", ".DS_Store", ".ipynb_checkpoints", "Thumbs.db", "desktop.ini")


@dataclass(frozen=True)
class Found:
    """A file that was found: the names on the way to it, its bytes or why it has none, and when it was written."""

    names: tuple[str, ...]
    data: bytes
    problem: str
    moment: datetime

    @property
    def shown(self) -> str:
        """Return the way to the notebook as it can be shown."""
        return " / ".join(plain(name) for name in self.names)


class _Budget:
    """What may still be unfolded of one zip, however many zips are in it."""

    def __init__(self, zone: tzinfo) -> None:
        self.files, self.bytes, self.zone = MOST_FILES, MOST_BYTES, zone

    def take(self, size: int) -> None:
        self.files -= 1
        self.bytes -= size
        if self.files < 0 or self.bytes < 0:
            raise ClassError(
                f"There are more than {MOST_FILES:,} files or {MOST_BYTES / 1e9:.0f} GB in one upload; "
                "take it apart, then collect the parts."
            )


def notebooks_in(path: Path, zone: tzinfo = UTC) -> Iterator[Found]:
    """Yield every notebook in a folder, a zip file, or the file itself; other files as such, unread.

    Links are not followed, names never become paths, and a zip that unfolds to more than it should is given up. The
    names begin with that of ``path``; ``zone`` is that of the times in a zip, which names none.

    Raises
    ------
    ClassError
        If there is nothing at ``path``, or it is no folder, zip or notebook.
    """
    path = Path(path)
    if path.is_symlink() or not path.exists():
        raise ClassError(f"There is no folder, zip or notebook at {path}; name what the platform gave you.")
    budget = _Budget(zone)
    if path.is_dir():
        yield from _in_folder(path, (path.resolve().name,), budget)
    elif path.suffix.lower() == ".zip":
        try:
            with zipfile.ZipFile(path) as archive:
                yield from _in_zip(archive, (path.name,), budget, 1)
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
            raise ClassError(f"{path} is no zip file that can be read ({error}); download it again.") from None
    elif _is_notebook(path.name):
        yield _plain(path, (path.name,))
    else:
        raise ClassError(f"{path} is no folder, zip or notebook; name what the platform gave you.")


def _in_folder(folder: Path, names: tuple[str, ...], budget: _Budget) -> Iterator[Found]:
    for entry in sorted(os.scandir(folder), key=lambda entry: entry.name):
        way = (*names, entry.name)
        if _is_noise(entry.name):
            continue
        budget.take(0)
        if entry.is_symlink():
            if _is_notebook(entry.name):
                yield Found(way, b"", "the file is a link to another place", datetime.now(UTC))
        elif entry.is_dir(follow_symlinks=False):
            yield from _in_folder(Path(entry.path), way, budget)
        elif _is_notebook(entry.name):
            yield _plain(Path(entry.path), way)
        elif entry.name.lower().endswith(".zip") and entry.is_file(follow_symlinks=False):
            try:
                with zipfile.ZipFile(entry.path) as archive:
                    yield from _in_zip(archive, way, budget, 1)
            except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError):
                yield Found(way, b"", "the zip cannot be read", datetime.now(UTC))
        elif entry.is_file(follow_symlinks=False):
            yield Found(way, b"", NO_NOTEBOOK, datetime.fromtimestamp(entry.stat().st_mtime, UTC))


def _plain(path: Path, names: tuple[str, ...]) -> Found:
    moment = datetime.fromtimestamp(path.lstat().st_mtime, UTC)
    try:
        return Found(names, read_plain_file(path), "", moment)
    except NotGradable as error:
        return Found(names, b"", str(error), moment)


def _in_zip(archive: zipfile.ZipFile, names: tuple[str, ...], budget: _Budget, depth: int) -> Iterator[Found]:
    for entry in archive.infolist():
        parts = tuple(part for part in entry.filename.replace("\\", "/").split("/") if part not in ("", ".", ".."))
        if entry.is_dir() or not parts or any(map(_is_noise, parts)):
            continue
        way, moment = (*names, *parts), _zip_time(entry, budget.zone)
        inner = parts[-1].lower().endswith(".zip") and depth < DEEPEST_ZIP
        if not inner and not _is_notebook(parts[-1]):
            budget.take(0)
            yield Found(way, b"", NO_NOTEBOOK, moment)
            continue
        if stat.S_ISLNK(entry.external_attr >> 16):
            yield Found(way, b"", "the file is a link to another place", moment)
            continue
        most = LARGEST_FILE * (20 if inner else 1)
        try:
            data = _read(archive, entry, most)
        except NotGradable as error:
            yield Found(way, b"", str(error), moment)
            continue
        budget.take(len(data))
        if not inner:
            yield Found(way, data, "" if data else "the file is empty", moment)
            continue
        try:
            with zipfile.ZipFile(BytesIO(data)) as within:
                yield from _in_zip(within, way, budget, depth + 1)
        except (zipfile.BadZipFile, ValueError, NotImplementedError):
            yield Found(way, b"", "the zip cannot be read", moment)


def _read(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, most: int) -> bytes:
    """Return the bytes of an entry, counting what really comes: what a zip says of itself may be a lie."""
    if entry.flag_bits & 1:
        raise NotGradable("the file is locked with a password")
    try:
        with archive.open(entry) as stream:
            data = stream.read(most + 1)
    except (zipfile.BadZipFile, zlib.error, OSError, EOFError, ValueError, RuntimeError, NotImplementedError):
        raise NotGradable("the file in the zip is damaged") from None
    if len(data) > most:
        raise NotGradable(f"the file unfolds to more than {most / 1e6:.0f} MB")
    return data


def _zip_time(entry: zipfile.ZipInfo, zone: tzinfo) -> datetime:
    try:
        return datetime(*entry.date_time, tzinfo=zone)
    except ValueError:
        return datetime(1980, 1, 1, tzinfo=zone)


def _is_notebook(name: str) -> bool:
    # Platforms, mail programs and browsers put an ending of their own behind it.
    return bool(_ENDING.search(name)) and not name.startswith("._")


def _is_noise(name: str) -> bool:
    return name in _NOISE or name.startswith("._")
