"""A learner's own copy of the course: it grows with new lessons and never loses what a learner wrote.

A manifest in the learner's folder remembers, for each file, what was delivered. A file in which the learner wrote
nothing takes the new version's place; beside one with the learner's work the new version gets a name of its own.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from coldcab.learner import DELIVERED, STATE_FOLDER, write_whole
from coldcab.quantities import ColdcabError
from coldcab.words import _

FOLDER_VARIABLE = "COLDCAB_FOLDER"


class CourseError(ColdcabError):
    """Why the course cannot be found, copied or re-made, in one plain sentence."""


@dataclass(frozen=True)
class Copied:
    """What ``copy_course`` did; paths relative to the learner's folder.

    ``added`` is new, ``refreshed`` was replaced by a newer version because nothing was written in it, ``kept``
    is as it was, and ``beside`` pairs a file that holds the learner's work with its newer version's name.
    """

    added: tuple[Path, ...] = ()
    refreshed: tuple[Path, ...] = ()
    kept: tuple[Path, ...] = ()
    beside: tuple[tuple[Path, Path], ...] = ()


@dataclass(frozen=True)
class _Fingerprint:
    """``whole`` changes with every byte, ``work`` only with what a person writes: not with a notebook's outputs."""

    whole: str
    work: str


def folder() -> Path:
    """Return the folder of the lessons as delivered: in the package, or beside it in a checkout."""
    package = Path(__file__).resolve().parents[1]
    for place in (package / "_course", package.parents[1] / "course"):
        if place.is_dir():
            return place
    raise CourseError(_("The lessons are missing from this installation; install coldcab again."))


def default_folder() -> Path:
    """Return where a learner's copy lies unless told otherwise: COLDCAB_FOLDER, or ``~/coldcab-course``."""
    named = os.environ.get(FOLDER_VARIABLE)
    return Path(named or "~/coldcab-course").expanduser().absolute()


def copy_course(target: Path | str, source: Path | str | None = None) -> Copied:
    """Copy the lessons to ``target`` and say what was added, refreshed or kept.

    Safe to repeat at any time: a learner's work is never overwritten, and a file is never half-written.

    Parameters
    ----------
    target : path
        The learner's folder; made if missing.
    source : path, optional
        The folder of lessons; by default the one of this installation.

    Raises
    ------
    CourseError
        If ``target`` is no folder, cannot be written, or is the folder of the lessons itself.
    """
    source = Path(source) if source is not None else folder()
    target = Path(target).expanduser().absolute()
    real_source, real_target = source.resolve(), target.resolve()
    if real_target == real_source or real_source in real_target.parents:
        raise CourseError(
            _("{target} is the course's own folder; name another folder for the learner's copy.").format(target=target)
        )
    try:
        target.mkdir(parents=True, exist_ok=True)
        return _copy(source, target)
    except (FileExistsError, NotADirectoryError):
        raise CourseError(
            _("{target} cannot hold the course, a file is in its way; name another folder.").format(target=target)
        ) from None
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise CourseError(
            _("The course cannot be copied to {target} ({reason}); name another folder.").format(
                target=target, reason=reason
            )
        ) from None


def _copy(source: Path, target: Path) -> Copied:
    delivered = _read_manifest(target)
    added, refreshed, kept, beside = [], [], [], []
    try:
        for path in _files(source):
            data = (source / path).read_bytes()
            new = _fingerprint(path, data)
            old = delivered.get(path.as_posix())
            mine = target / path
            if not mine.exists():
                _put(mine, data)
                added.append(path)
            else:
                here = _fingerprint(path, mine.read_bytes())
                if here.whole == new.whole or (old is not None and old.whole == new.whole):
                    kept.append(path)
                elif old is not None and here.work == old.work:
                    _put(mine, data)
                    refreshed.append(path)
                elif here.work == new.work or (old is not None and old.work == new.work):
                    # Only stored outputs differ; the learner's own copy makes them when it runs.
                    kept.append(path)
                else:
                    other = _name_beside(path, target, delivered)
                    _put(target / other, data)
                    delivered[other.as_posix()] = new
                    beside.append((path, other))
            delivered[path.as_posix()] = new
    finally:
        # Also after an interruption, so that what was delivered so far is known the next time.
        _write_manifest(target, delivered)
    return Copied(tuple(added), tuple(refreshed), tuple(kept), tuple(beside))


def _files(source: Path) -> Iterator[Path]:
    """Yield the course's files relative to ``source``, in order; nothing hidden, no links, no Python caches."""
    for path in sorted(source.rglob("*")):
        relative = path.relative_to(source)
        if any(part.startswith(".") or part == "__pycache__" for part in relative.parts):
            continue
        if path.is_file() and not path.is_symlink():
            yield relative


def _name_beside(path: Path, target: Path, delivered: dict[str, _Fingerprint]) -> Path:
    """Return a clear name for the new version of ``path``: one that is free, or that nobody wrote in."""
    number = 1
    while True:
        ending = " (new version)" if number == 1 else f" (new version {number})"
        other = path.with_name(f"{path.stem}{ending}{path.suffix}")
        old = delivered.get(other.as_posix())
        place = target / other
        if not place.exists():
            return other
        if old is not None and _fingerprint(other, place.read_bytes()).work == old.work:
            return other
        number += 1


def _put(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, data)


def _fingerprint(path: Path, data: bytes) -> _Fingerprint:
    whole = hashlib.sha256(data).hexdigest()
    work = whole
    if path.suffix == ".ipynb":
        try:
            cells = [(cell["cell_type"], "".join(cell["source"])) for cell in json.loads(data)["cells"]]
            work = hashlib.sha256(json.dumps(cells).encode()).hexdigest()
        except (ValueError, KeyError, TypeError, RecursionError):
            pass  # not a notebook any more: whatever it is, the learner wrote it
    return _Fingerprint(whole, work)


def _read_manifest(target: Path) -> dict[str, _Fingerprint]:
    path = target / STATE_FOLDER / DELIVERED
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
        return {name: _Fingerprint(entry["whole"], entry["work"]) for name, entry in content.items()}
    except FileNotFoundError:
        return {}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        # Without a manifest every file that differs counts as the learner's work: more files, nothing lost.
        return {}


def _write_manifest(target: Path, delivered: dict[str, _Fingerprint]) -> None:
    content = {name: {"whole": entry.whole, "work": entry.work} for name, entry in sorted(delivered.items())}
    _put(target / STATE_FOLDER / DELIVERED, (json.dumps(content, indent=1) + "\n").encode())
