"""Who is at the desk: the learner's id, the term, and the units in which numbers are shown.

They lie in one small file, ``.coldcab.json``, in the learner's folder, beside the lessons. A notebook finds it
from its own folder upward.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
import unicodedata
import uuid
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path

from coldcab.quantities import ColdcabError
from coldcab.words import _

FILE_NAME = ".coldcab.json"
STATE_FOLDER = ".coldcab"
"""The course's own hidden folder in the learner's folder."""
DELIVERED = "delivered.json"
"""In it, what ``coldcab open`` has delivered: it tells a learner's copy from any other folder of lessons."""
FOLDER_VARIABLE = "COLDCAB_LEARNER_FOLDER"
HUB_VARIABLE = "JUPYTERHUB_USER"

DEFAULT_TERM = "open"
UNITS = {"us": _("US customary units first"), "si": "SI units first"}
LONGEST_NAME = 64

# What can be the name of a folder everywhere: no leading dot (hidden) or dash (an option), no final dot.
_NAME = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9._-]*[A-Za-z0-9_-])?")


class LearnerError(ColdcabError):
    """What is wrong with the learner's id, term or file, in one plain sentence."""


class NotEnrolled(LearnerError):
    """No learner is known in this folder."""


@dataclass(frozen=True)
class Learner:
    """One learner.

    Parameters
    ----------
    id : str
        The id that the instructor's class list has: 1 to 64 letters (A to Z), digits, dots, dashes, underscores.
        It is normalised (Unicode NFKC), so that full-width digits and the like become plain ones.
    term : str
        The term of the class, by the same rule; ``"open"`` for who learns alone.
    units : {"us", "si"}
        Which units come first.

    Raises
    ------
    LearnerError
        If one of the three does not fit its rule.
    """

    id: str
    term: str = DEFAULT_TERM
    units: str = "us"

    def __post_init__(self) -> None:
        object.__setattr__(self, "id", _name("learner's id", self.id))
        object.__setattr__(self, "term", _name("term", self.term))
        if not isinstance(self.units, str) or self.units not in UNITS:
            raise LearnerError(_("The units are 'us' or 'si', not {units!r}.").format(units=self.units))


def find(start: Path | str | None = None) -> Path | None:
    """Return the learner's folder: the first from ``start`` (default: the current folder) upward with a
    ``.coldcab.json``, or None. The variable COLDCAB_LEARNER_FOLDER names a folder instead of searching."""
    named = os.environ.get(FOLDER_VARIABLE)
    if named and start is None:
        return Path(named).expanduser()
    here = Path(start) if start is not None else Path.cwd()
    here = here.expanduser().absolute()
    return next((folder for folder in (here, *here.parents) if (folder / FILE_NAME).is_file()), None)


def read(start: Path | str | None = None) -> Learner:
    """Return the learner whose folder ``start`` is or lies in.

    Where no file is found, on a hub the hub's user name is the id.

    Raises
    ------
    NotEnrolled
        If there is neither a file nor a hub.
    LearnerError
        If the file, or the hub's user name, cannot be used.
    """
    folder = find(start)
    path = folder / FILE_NAME if folder is not None else None
    if path is not None and path.is_file():
        return _from_text(_text(path), path)
    hub_user = os.environ.get(HUB_VARIABLE)
    if hub_user:
        return Learner(hub_user)
    raise NotEnrolled(_("Nobody is enrolled here; run 'coldcab enroll ID' with the id from your instructor."))


def units(start: Path | str | None = None) -> str:
    """Return which units the learner wants first, ``"us"`` or ``"si"``; ``"us"`` where nobody is enrolled."""
    try:
        return read(start).units
    except LearnerError:
        return "us"


def write(learner: Learner, folder: Path | str) -> Path:
    """Write ``learner`` to ``folder`` and return the file's path. The file is never half-written."""
    path = Path(folder).expanduser() / FILE_NAME
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, (json.dumps(asdict(learner), indent=2) + "\n").encode())
    return path


told_of_files: list[Callable[[Path, bytes], None]] = []
"""Who hears of each file that was written; in a browser, where the page keeps the files."""


def write_whole(path: Path, data: bytes, *, sure: bool = True) -> None:
    """Write ``data`` to ``path`` in one step: the file is the old one or the new one, never half of it.

    ``sure`` waits until the disk has it; without, a power cut may bring the old one back, and a page need not wait.
    """
    part = path.with_name(f".{path.name}.{uuid.uuid4().hex}.part")
    try:
        with open(part, "xb") as stream:
            stream.write(data)
            stream.flush()
            if sure:
                os.fsync(stream.fileno())
        os.replace(part, path)
    finally:
        with contextlib.suppress(FileNotFoundError):
            part.unlink()
    for told in told_of_files:
        told(path, data)


def _name(what: str, text: object) -> str:
    if not isinstance(text, str):
        raise LearnerError(_("The {what} must be text, not {text!r}.").format(what=what, text=text))
    name = unicodedata.normalize("NFKC", text).strip()
    if len(name) > LONGEST_NAME or not _NAME.fullmatch(name):
        raise LearnerError(
            _(
                "The {what} {name} cannot be used; take 1 to {longest_name} letters (A to Z), digits, "
                "dots, dashes or underscores, with a letter or digit first and no dot at the end."
            ).format(what=what, name=_short(name), longest_name=LONGEST_NAME)
        )
    return name


def _short(name: str) -> str:
    return repr(name if len(name) <= 40 else name[:40] + "...")


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        raise LearnerError(_unreadable(path)) from None


def _from_text(text: str, path: Path) -> Learner:
    try:
        content = json.loads(text)
    except (ValueError, RecursionError):
        raise LearnerError(_unreadable(path)) from None
    known = Learner.__dataclass_fields__
    if not isinstance(content, dict) or "id" not in content:
        raise LearnerError(_unreadable(path))
    try:
        return Learner(**{key: value for key, value in content.items() if key in known})
    except LearnerError:
        raise LearnerError(_unreadable(path)) from None


def _unreadable(path: Path) -> str:
    return _("The file {path} does not say who is learning; run 'coldcab enroll ID' to write it again.").format(
        path=path
    )
