"""Looking into folders and zip files that came from elsewhere: notebooks are read as data, nothing is unpacked.

A zip within what an instructor names may be one learner's work: it is read in a process that is ended when it takes
too much (``guarded``), and named with the reason.
"""

from __future__ import annotations

import os
import re
import stat
import struct
import tempfile
import zipfile
import zlib
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from io import BytesIO
from pathlib import Path

from coldcab.classroom.guarded import OverBudget, guarded
from coldcab.classroom.intake import NotGradable
from coldcab.classroom.second_looks import LONGEST_FILE as LONGEST_REQUEST
from coldcab.classroom.second_looks import is_request_file
from coldcab.classroom.settings import ClassError
from coldcab.classroom.submission_files import LARGEST_FILE, file_time, read_plain_file, showable_name

MOST_FILES = 20_000
"""Files that what an instructor names may hold; a class of 500 hands in about 1000."""

MOST_BYTES = 2_000_000_000
"""Bytes that it may unfold to, altogether."""

MOST_FILES_WITHIN = 2_000
"""Files that a zip within it may hold, however deep: it may be the work of one learner."""

MOST_BYTES_WITHIN = 50_000_000
"""Bytes that such a zip may unfold to."""

LARGEST_ZIP = 100_000_000
"""Bytes of such a zip itself; learners pack photographs."""

LOOSEST_ZIP = 5_000_000
"""Bytes of such a zip that may be packed however tightly; of a larger one ``TIGHTEST`` times what it takes are read."""

TIGHTEST = 20
"""How many times smaller packing makes a zip that is no trick: what is packed already hardly shrinks."""

DEEPEST_FOLDER = 50
"""Folders in folders that are looked into."""

LONGEST_NAME = 1000
"""Signs of a name in a zip that are looked at."""

_ENTRY = b"PK\x01\x02"
"""What stands before every name in a zip's list of files."""

_UNREADABLE = (
    *(zipfile.BadZipFile, zlib.error, struct.error),
    *(OSError, EOFError, LookupError, ValueError, RuntimeError, NotImplementedError, OverflowError),
)
"""What a reader of zips may raise over bytes that are none."""

DEEPEST_ZIP = 3
"""Zips within zips: a platform packs each learner's files, and some learners pack theirs again."""

NO_NOTEBOOK = "it is not a notebook; ask for the file that ends in .ipynb"
"""The problem of other files. They are found, too: one may be all that somebody handed in."""

LINK = "the file is a link to another place"
"""The problem of what points elsewhere; it is not followed."""

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
    def way(self) -> str:
        """Return the way to the notebook as it can be shown."""
        return " / ".join(showable_name(name) for name in self.names)


class _TooMuch(Exception):
    """More came out of a folder or zip than it may hold; what it may is the message."""


class Shares:
    """What each person's files may take of an upload, so that too much of one harms nobody else's.

    ``owner`` tells whose a way of names is, or nothing; what is nobody's has no share.
    """

    def __init__(self, owner: Callable[[Sequence[str]], str] = lambda names: "") -> None:
        self._owner = owner
        self._owners: dict[tuple[str, ...], str] = {}
        self._files: Counter[str] = Counter()
        self._bytes: Counter[str] = Counter()
        self._told: set[str] = set()

    def _whose(self, way: tuple[str, ...]) -> str:
        # The outermost name counts, and what lies in a person's folder need not be looked at again.
        for length in range(2, len(way) + 1):
            names = way[:length]
            if names not in self._owners:
                if len(self._owners) > MOST_FILES:
                    return ""
                self._owners[names] = self._owner(names)
            if who := self._owners[names]:
                return who
        return ""

    def take(self, way: tuple[str, ...], size: int) -> None:
        """Count the bytes of a file that was read."""
        if who := self._whose(way):
            self._bytes[who] += size

    def refuses(self, way: tuple[str, ...], moment: datetime) -> list[Found] | None:
        """Return None where one more file may be looked at; else what is said instead of it, once for each person."""
        who = self._whose(way)
        self._files[who] += 1
        if not who or (self._files[who] <= MOST_FILES_WITHIN and self._bytes[who] <= MOST_BYTES_WITHIN):
            return None
        if who in self._told:
            return []
        self._told.add(who)
        why = f"there are {_much(MOST_FILES_WITHIN, MOST_BYTES_WITHIN)} of this learner; ask for the sheet alone"
        return [Found(way, b"", why, moment)]


def _much(files: int, size: int) -> str:
    return f"more than {files:,} files or {size / 1e6:,.0f} MB"


class _Budget:
    """What may still be taken out of one folder or zip, however many zips are in it."""

    def __init__(
        self, zone: tzinfo, files: int, size: int, *, inner: bool = False, shares: Shares | None = None
    ) -> None:
        self.zone, self.most, self.inner = zone, _much(files, size), inner
        self.files, self.bytes, self.shares = files, size, shares

    def within(self) -> _Budget:
        """Return the budget of a zip in here: what is too much in it must harm nothing that lies beside it."""
        return self if self.inner else _Budget(self.zone, MOST_FILES_WITHIN, MOST_BYTES_WITHIN, inner=True)

    def take(self, size: int, way: tuple[str, ...] = (), files: int = 1) -> None:
        """Count one more file of so many bytes."""
        self.files -= files
        self.bytes -= size
        if self.files < 0 or self.bytes < 0:
            raise _TooMuch(self.most)
        if self.shares is not None:
            self.shares.take(way, size)

    def refuses(self, way: tuple[str, ...], moment: datetime) -> list[Found] | None:
        """Return None where one more file may be looked at, else what is said instead of it."""
        return None if self.shares is None else self.shares.refuses(way, moment)


def notebooks_in(path: Path, zone: tzinfo = UTC, shares: Shares | None = None) -> Iterator[Found]:
    """Yield every notebook in a folder, a zip file, or the file itself; other files as such, unread.

    Links are not followed, names never become paths, and a zip that unfolds to more than it should is given up. The
    names begin with that of ``path``; ``zone`` is that of the times in a zip, which names none;
    ``shares`` says what the files of each person may take.

    Raises
    ------
    ClassError
        If there is nothing at ``path``, or it is no folder, zip or notebook.
    """
    path = Path(path)
    if path.is_symlink() or not path.exists():
        raise ClassError(f"There is no folder, zip or notebook at {path}; name what the platform gave you.")
    budget = _Budget(zone, MOST_FILES, MOST_BYTES, shares=shares or Shares())
    try:
        if path.is_dir():
            yield from _in_folder(path, (path.resolve().name,), budget)
            return
        if path.suffix.lower() == ".zip":
            yield from _in_upload(path, budget)
            return
    except _TooMuch as error:
        where = f", most of it in {culprit}" if (culprit := _fullest(path)) else ""
        raise ClassError(
            f"{path} holds {error}{where}; take that out, or take it apart, then collect the rest."
        ) from None
    if not _is_read(path.name):
        raise ClassError(f"{path} is no folder, zip or notebook; name what the platform gave you.")
    yield _lone_file(path, (path.name,))


def _fullest(path: Path) -> str:
    """Return the folder in which most of an upload lies, where one holds more than half of it."""
    counts: Counter[str] = Counter()
    if path.is_dir():
        folders = [path]
        while folders and counts.total() < 2 * MOST_FILES:
            folder = folders.pop()
            with suppress(OSError), os.scandir(folder) as entries:
                for entry in entries:
                    counts[os.path.relpath(folder, path)] += 1
                    if entry.is_dir(follow_symlinks=False):
                        folders.append(Path(entry.path))
        return _more_than_half(counts)
    sizes: Counter[str] = Counter()
    with suppress(*_UNREADABLE), zipfile.ZipFile(path) as archive:
        for entry in archive.infolist():
            folder = entry.filename[:LONGEST_NAME].replace("\\", "/").rpartition("/")[0]
            counts[folder] += 1
            sizes[folder] += entry.file_size
    return _more_than_half(counts) or _more_than_half(sizes)


def _more_than_half(counts: Counter[str]) -> str:
    name, count = counts.most_common(1)[0] if counts else ("", 0)
    return showable_name(name) if name not in ("", ".") and count > sum(counts.values()) / 2 else ""


def _in_upload(path: Path, budget: _Budget) -> Iterator[Found]:
    try:
        with zipfile.ZipFile(path) as archive:
            yield from _in_zip(archive, (path.name,), budget, 1)
    except _UNREADABLE as error:
        raise ClassError(f"{path} is no zip file that can be read ({error}); download it again.") from None


def _in_folder(folder: Path, names: tuple[str, ...], budget: _Budget) -> Iterator[Found]:
    try:
        entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    except OSError as error:
        yield Found(names, b"", f"the folder cannot be opened ({error.strerror})", datetime.now(UTC))
        return
    for entry in entries:
        way = (*names, entry.name)
        if _is_noise(entry.name):
            continue
        is_folder = not entry.is_symlink() and entry.is_dir(follow_symlinks=False)
        if (said := budget.refuses(way, _file_time(Path(entry.path)))) is not None:
            yield from said
            continue
        budget.take(0)
        if entry.is_symlink():
            yield Found(way, b"", LINK, datetime.now(UTC))
        elif is_folder and len(way) > DEEPEST_FOLDER:
            why = f"there are more than {DEEPEST_FOLDER} folders in one another"
            yield Found(way[:DEEPEST_FOLDER], b"", why, datetime.now(UTC))
        elif is_folder:
            yield from _in_folder(Path(entry.path), way, budget)
        elif _is_read(entry.name):
            found = _lone_file(Path(entry.path), way)
            budget.take(len(found.data), way, files=0)
            yield found
        elif entry.name.lower().endswith(".zip") and entry.is_file(follow_symlinks=False):
            yield from _counted(_zip_in_folder(Path(entry.path), way, budget), budget)
        else:
            why = NO_NOTEBOOK if entry.is_file(follow_symlinks=False) else "it is not a plain file"
            yield Found(way, b"", why, _file_time(Path(entry.path)))


def _counted(found: list[Found], budget: _Budget) -> list[Found]:
    """Count what a zip of one person gave out."""
    if budget.shares is not None:
        for each in found:
            budget.shares.take(each.names, len(each.data))
    return found


def _lone_file(path: Path, names: tuple[str, ...]) -> Found:
    try:
        return Found(names, read_plain_file(path), "", _file_time(path))
    except NotGradable as error:
        return Found(names, b"", str(error), _file_time(path))


def _file_time(path: Path) -> datetime:
    return file_time(path) or datetime.now(UTC)


def _zip_in_folder(path: Path, way: tuple[str, ...], budget: _Budget) -> list[Found]:
    moment = _file_time(path)
    try:
        if path.stat().st_size <= LARGEST_ZIP:
            return _zip_apart(path, way, budget.within(), 1, moment)
        why = f"the zip is larger than {LARGEST_ZIP / 1e6:.0f} MB; if a whole class is in it, collect it by itself"
    except OSError:
        why = "the zip cannot be read"
    return [Found(way, b"", why, moment)]


def _zip_apart(file: Path, way: tuple[str, ...], own: _Budget, depth: int, moment: datetime) -> list[Found]:
    """Return what is in a zip that may be one learner's work, read where it harms nobody."""
    try:
        with guarded() as process:
            found: list[Found] = process.call(_zip_file, file, way, own, depth, moment)
            return found
    except OverBudget as error:
        return [Found(way, b"", f"the zip cannot be read: {error}", moment)]
    except Exception:
        # Nobody knows all that a reader of zips may stumble over; it must stop nobody else.
        return [Found(way, b"", "the zip cannot be read", moment)]


def _zip_file(file: Path, way: tuple[str, ...], own: _Budget, depth: int, moment: datetime) -> list[Found]:
    return _zip_within(file.read_bytes(), way, own, depth, moment)


def _unpacked_apart(data: bytes, way: tuple[str, ...], own: _Budget, depth: int, moment: datetime) -> list[Found]:
    with tempfile.TemporaryDirectory(prefix="coldcab-zip-") as place:
        file = Path(place, "one.zip")
        file.write_bytes(data)
        return _zip_apart(file, way, own, depth, moment)


def _zip_within(data: bytes, way: tuple[str, ...], budget: _Budget, depth: int, moment: datetime) -> list[Found]:
    """Return what is in a zip that lies in something else; if it holds too much, the zip itself with the reason."""
    try:
        if data.count(_ENTRY) > MOST_FILES_WITHIN:
            raise _TooMuch(budget.most)
        with zipfile.ZipFile(BytesIO(data)) as within:
            found = list(_in_zip(within, way, budget, depth))
            return found or [Found(way, b"", "there is no file in the zip", moment)]
    except _TooMuch as error:
        return [Found(way, b"", f"the zip holds {error}; if a whole class is in it, collect it by itself", moment)]
    except _UNREADABLE:
        return [Found(way, b"", "the zip cannot be read", moment)]


def _in_zip(archive: zipfile.ZipFile, names: tuple[str, ...], budget: _Budget, depth: int) -> Iterator[Found]:
    for entry in archive.infolist():
        name = entry.filename[:LONGEST_NAME].replace("\\", "/")
        parts = tuple(part for part in name.split("/") if part not in ("", ".", ".."))
        if not parts or entry.is_dir() or any(map(_is_noise, parts)):
            continue
        way, moment = (*names, *parts), _zip_time(entry, budget.zone)
        if (said := budget.refuses(way, moment)) is not None:
            yield from said
            continue
        inner = parts[-1].lower().endswith(".zip") and depth < DEEPEST_ZIP
        if not inner and not _is_read(parts[-1]):
            budget.take(0)
            yield Found(way, b"", NO_NOTEBOOK, moment)
            continue
        if stat.S_ISLNK(entry.external_attr >> 16):
            yield Found(way, b"", LINK, moment)
            continue
        try:
            data = _read(archive, entry, _largest_zip(entry, budget) if inner else _largest(parts[-1]))
        except NotGradable as error:
            budget.take(0)
            yield Found(way, b"", str(error), moment)
            continue
        if inner:
            budget.take(len(data))
            apart = _zip_within if budget.inner else _unpacked_apart
            yield from _counted(apart(data, way, budget.within(), depth + 1, moment), budget)
        else:
            budget.take(len(data), way)
            yield Found(way, data, "" if data else "the file is empty", moment)


def _largest_zip(entry: zipfile.ZipInfo, budget: _Budget) -> int:
    """Return how many bytes of a zip are read; within a budget of its own a tight one harms nobody."""
    return LARGEST_ZIP if budget.inner else min(LARGEST_ZIP, max(LOOSEST_ZIP, TIGHTEST * entry.compress_size))


def _read(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, most: int) -> bytes:
    """Return the bytes of an entry, counting what really comes: what a zip says of itself may be a lie."""
    if entry.flag_bits & 1:
        raise NotGradable("the file is locked with a password")
    if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise NotGradable("the file is packed in a way that only some programs know; pack it as a plain zip")
    try:
        with archive.open(entry) as stream:
            data = stream.read(most + 1)
    except _UNREADABLE:
        raise NotGradable("the file in the zip is damaged") from None
    if len(data) > most:
        shown = f"{most / 1e6:.0f} MB" if most >= 1e6 else f"{most:,} bytes"
        raise NotGradable(f"the file unfolds to more than {shown}")
    return data


def _zip_time(entry: zipfile.ZipInfo, zone: tzinfo) -> datetime:
    try:
        return datetime(*entry.date_time, tzinfo=zone)
    except ValueError:
        return datetime(1980, 1, 1, tzinfo=zone)


def _is_notebook(name: str) -> bool:
    # Platforms, mail programs and browsers put an ending of their own behind it.
    return bool(_ENDING.search(name)) and not name.startswith("._")


def _is_read(name: str) -> bool:
    return _is_notebook(name) or is_request_file(name)


def _largest(name: str) -> int:
    return LARGEST_FILE if _is_notebook(name) else LONGEST_REQUEST


def _is_noise(name: str) -> bool:
    return name in _NOISE or name.startswith("._")
