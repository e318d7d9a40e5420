"""Handing in: the named copy of a graded sheet in the folder ``hand-in``, and what to say about it.

The copy is the saved file byte for byte, under a name that a class can tell apart: ``retrofit-4_s07.ipynb``. An older
copy with other answers is moved to ``hand-in/earlier`` and never overwritten.
"""

from __future__ import annotations

import json
import os
import re
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from coldcab import assess, learner, lessons, progress
from coldcab.learner import write_whole
from coldcab.quantities import ColdcabError
from coldcab.scenario.showing import in_order
from coldcab.words import _

FOLDER = "hand-in"
EARLIER = "earlier"
STUB = "*Write your answer here.*"
"""What a released form has where the written answer belongs."""
LARGEST_SHEET = 4_000_000
"""Bytes of a sheet that is looked into; a filled one has some 60,000."""
WRITTEN = _("in your own words")

_OPENS = re.compile(r"^%sheet +([a-z0-9-]+)", re.MULTILINE)


class HandInError(ColdcabError):
    """Why a sheet cannot be handed in, in one plain sentence."""


@dataclass(frozen=True)
class Filled:
    """What stands on a sheet: its form, the answers by label, whether the written answer is there."""

    form: assess.Assignment
    answers: dict[str, str]
    written: bool

    @property
    def blank(self) -> tuple[str, ...]:
        """Lines that hold nothing, the written answer last."""
        empty = [item.label for item in self.form.items if not self.answers.get(item.label, "").strip()]
        return (*empty, *(() if self.written else (WRITTEN,)))


@dataclass(frozen=True)
class HandedIn:
    """What came of handing in: title, sentences, the lines that are blank or unread, what comes next, the copy's place.

    ``path`` is the copy as seen from the sheet's own folder, with forward slashes.
    """

    title: str
    said: tuple[str, ...]
    blank: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    next: str = ""
    name: str = ""
    path: str = ""

    def _repr_json_(self) -> dict[str, Any]:
        return asdict(self)


def name_of(sheet: str, who: str) -> str:
    """Return the name of the copy: ``retrofit-4_s07.ipynb``."""
    return f"{sheet}_{who}.ipynb"


def read_sheet(file: Path) -> Filled:
    """Return what stands on a graded sheet.

    Raises
    ------
    HandInError
        If the file cannot be read or is no graded sheet of the course.
    """
    try:
        if file.stat().st_size > LARGEST_SHEET:
            raise HandInError(_("{name} is too large to be a sheet of this course.").format(name=file.name))
        cells = [
            (cell["cell_type"], "".join(cell["source"]), str(cell.get("id", "")))
            for cell in json.loads(file.read_bytes())["cells"]
        ]
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        if isinstance(error, HandInError):
            raise
        raise HandInError(_("{name} cannot be read; save it and try again.").format(name=file.name)) from None
    names = [found[1] for kind, text, _name in cells if kind == "code" and (found := _OPENS.search(text))]
    if not names or names[0] not in lessons.FORMS:
        raise HandInError(_("{name} is no graded sheet of this course.").format(name=file.name))
    form = lessons.FORMS[names[0]]
    return Filled(form, _answers(cells, form), _is_written(cells, form))


def _answers(cells: list[tuple[str, str, str]], form: assess.Assignment) -> dict[str, str]:
    labels, found = [item.label for item in form.items], {}
    for kind, text, _name in cells:
        if kind == "code" and text.lstrip().startswith(assess.MAGIC):
            found.update({label: said for label, said in assess.parse_sheet(text, labels).answers.items() if said})
    return found


def _is_written(cells: list[tuple[str, str, str]], form: assess.Assignment) -> bool:
    own = [text.strip() for kind, text, name in cells if kind == "markdown" and name == f"{form.name}-written"]
    return any(text not in ("", STUB) for text in own)


def hand_in(file: Path | str) -> HandedIn:
    """Make the named copy of a saved graded sheet and say where it lies, what is open and what comes next.

    Parameters
    ----------
    file
        The sheet, which has been saved already: in the current folder, or as seen from the learner's folder.

    Returns
    -------
    HandedIn
        Also where it could not be done, with the reason as its sentence: a page shows it, nothing is raised.
    """
    file = _found(Path(file))
    try:
        filled, who = read_sheet(file), learner.read()
        place = _home(file) / FOLDER / name_of(filled.form.name, who.id)
        earlier = _put(place, file.read_bytes())
    except learner.NotEnrolled:
        return _refused(_("The course does not know your id yet. Press “Start this lesson”, type your id and save it."))
    except ColdcabError as problem:
        return _refused(str(problem))
    except OSError as problem:
        return _refused(
            _("The copy could not be written ({reason}). Save the sheet and give this file to your instructor: {file}")
            .format(reason=problem.strerror or type(problem).__name__, file=file.absolute())
        )  # fmt: skip
    return _handed_in(filled, who, place, earlier, file.absolute().parent)


def _found(file: Path) -> Path:
    here, home = Path.cwd() / file.name, progress.folder()
    return here if here.is_file() or home is None else home / file


def _refused(reason: str) -> HandedIn:
    return HandedIn(_("Not handed in"), (reason,))


def _home(file: Path) -> Path:
    start = file.absolute().parent
    above = (folder for folder in (start, *start.parents) if (folder / progress.START).is_file())
    return progress.folder() or learner.find() or next(above, start)


def _put(place: Path, data: bytes) -> Path | None:
    """Write the copy; return where an older one with other content went."""
    place.parent.mkdir(parents=True, exist_ok=True)
    earlier = _free_name(place) if place.exists() and place.read_bytes() != data else None
    if earlier is not None:
        earlier.parent.mkdir(exist_ok=True)
        moment = place.stat()
        write_whole(earlier, place.read_bytes())
        os.utime(earlier, ns=(moment.st_atime_ns, moment.st_mtime_ns))  # a class sees which one is older
    write_whole(place, data)
    return earlier


def _free_name(place: Path) -> Path:
    # No time in the name: a class would take it for the time of the upload.
    number = 1
    while (name := place.parent / EARLIER / f"{place.stem} earlier {number}{place.suffix}").exists():
        number += 1
    return name


def _handed_in(filled: Filled, who: learner.Learner, place: Path, earlier: Path | None, seen_from: Path) -> HandedIn:
    said = [_("Your sheet is saved. Its copy {name} lies in {folder}.").format(name=place.name, folder=place.parent)]
    if earlier is not None:
        said.append(
            _("The copy that lay there before is now {name}.").format(name=f"{FOLDER}/{EARLIER}/{earlier.name}")
        )
    blank, unread = filled.blank, unreadable(filled, who)
    if not blank and not unread:
        said.append(_("Every line can be read, and the written answer is there."))
    what_next = _(
        "Next: give this one file to your instructor, the way your class does it. After the grading you get a page "
        "that says what was right and why. Until then you may change answers and press Hand in again; the latest "
        "copy counts."
    )
    return HandedIn(
        *(_title(blank, len(unread)), tuple(said), blank, unread),
        next=what_next,
        name=place.name,
        path=_seen(place, seen_from),
    )


def _title(blank: tuple[str, ...], unread: int) -> str:
    """Return the heading: that it is handed in, and what is still open."""
    lines = sum(label != WRITTEN for label in blank)
    still = []
    if lines:
        still.append(_("1 line is blank") if lines == 1 else _("{count} lines are blank").format(count=lines))
    if unread:
        still.append(_("1 line is not read") if unread == 1 else _("{count} lines are not read").format(count=unread))
    if WRITTEN in blank:
        still.append(_("the written answer is missing"))
    if not still:
        return _("Handed in: the copy is made")
    *before, last = still
    last = _("{before} and {last}").format(before=", ".join(before), last=last) if before else last
    return _("Handed in, but {open}").format(open=last)


def _seen(place: Path, start: Path) -> str:
    try:
        return Path(os.path.relpath(place, start)).as_posix()
    except ValueError:  # another drive
        return ""


def unreadable(filled: Filled, who: learner.Learner) -> tuple[str, ...]:
    """Return the lines whose answer cannot be read or is asked back, each with the reason."""
    case = filled.form.case(who.term, who.id)
    written = [(item, filled.answers.get(item.label, "").strip()) for item in filled.form.items]
    readings = [(item.label, assess.read_answer(item, text, case)) for item, text in written if text]
    hindered = ((label, reading.problem or reading.question) for label, reading in readings)
    return tuple(f"{label}: {in_order(reason)}" for label, reason in hindered if reason)
