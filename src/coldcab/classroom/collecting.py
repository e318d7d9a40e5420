"""From what learners sent to the inbox: whose file is it, of which sheet, and which of several counts.

Whose a file is, its names say (``file_owner.py``), never the notebook itself. What fits nobody, or several, is named
and left for a person to decide.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo

from coldcab.classroom import intake, second_looks, submission_files
from coldcab.classroom.archives import NO_NOTEBOOK, Found, Shares, notebooks_in
from coldcab.classroom.file_owner import OwnerFinder, comparable, read_names, sign_of
from coldcab.classroom.folder import ClassError, ClassFolder, own_folder, write_file
from coldcab.classroom.forms import form_of
from coldcab.classroom.guarded import guarded
from coldcab.classroom.settings import in_utc
from coldcab.lessons import LESSONS

NEW, SAME, OLDER, LEFT, UNUSED, ASKED = "new", "as before", "older", "left", "not here", "asked"

_TIMES = (
    (re.compile(r"(20\d\d)-(\d\d)-(\d\d)[T_ -](\d\d)[-:.]?(\d\d)[-:.]?(\d\d)?"), (0, 1, 2, 3, 4, 5)),
    (re.compile(r"(?<!\d)(20\d\d)(\d\d)(\d\d)[T_-]?(\d\d)(\d\d)(\d\d)?(?!\d)"), (0, 1, 2, 3, 4, 5)),
)
"""How platforms write the time of an upload into its name."""

_WORDED = re.compile(r"([A-Z][a-z]{2})[a-z]* (\d{1,2}), (20\d\d) (\d{1,2})[.:]?(\d\d) ?([AP]M)", re.IGNORECASE)
_MONTHS = "jan feb mar apr may jun jul aug sep oct nov dec".split()  # noqa: SIM905 - it reads as a calendar


@dataclass(frozen=True)
class HandedIn:
    """One file and what became of it: new, as before, older, asked (for another look), or left (with the reason).

    Not here: the list of names speaks of it, but it did not come. ``sign`` is that of its content (``sign_of``).
    """

    file: str
    status: str
    learner: str = ""
    sheet: str = ""
    reason: str = ""
    sign: str = ""


@dataclass(frozen=True)
class _Candidate:
    found: Found
    learner: str
    sheet: str
    extras: dict[str, bytes] = field(default_factory=dict)


def collect(
    folder: ClassFolder,
    paths: Sequence[Path],
    *,
    sheet: str = "",
    names: Path | None = None,
    progress: Callable[[str], None] = lambda text: None,
) -> tuple[HandedIn, ...]:
    """Put what lies in folders and zip files into the inbox.

    The same upload can be collected again and again, and a newer one over it: only what is newer takes the place of
    what is there. Stopped half-way, the next run does the rest.

    Parameters
    ----------
    folder
        The class.
    paths
        Folders, zip files or notebooks.
    sheet
        Which sheet it is, where neither content nor name says so.
    names
        CSV with the columns ``file,id`` for uploads that fit nobody; ``file`` is the name, the way to it as it is
        shown, or a part of either.
    progress
        Is told the name of every notebook.

    Raises
    ------
    ClassError
        If a path cannot be read or nothing has been released.
    """
    sheets = folder.choose((sheet,) if sheet else (), folder.released(), "Release it first: coldcab class release.")
    every, zone = folder.released(), ZoneInfo(folder.settings.zone)
    reader = _SheetReader(folder, every)
    owners = OwnerFinder(folder.learners(), read_names(names) if names else (), every)
    shares = Shares(lambda names: owners.owner_of(names)[0])
    candidates, done, asked = [], [], []
    others: dict[str, Found] = {}
    signs: dict[str, str] = {}
    for path in paths:
        for found in notebooks_in(path, zone, shares):
            progress(found.way)
            signs[found.way] = sign_of(found.data)
            who, why = owners.owner_of(found.names, signs[found.way])
            if found.problem == NO_NOTEBOOK and second_looks.is_document(found.names[-1]):
                done.append(HandedIn(found.way, LEFT, who, reason=second_looks.AS_TEXT))
                continue
            if found.problem == NO_NOTEBOOK:
                others |= {who: found} if who else {}
                continue
            if not who:
                done.append(HandedIn(found.way, LEFT, reason=why))
                continue
            found = _with_time(found, zone, _outer(found.names, owners))
            if second_looks.is_request_file(found.names[-1]):
                asked.append(_asked(folder, found, who, every))
                continue
            which = reader.which(found) or (sheets[0] if len(sheets) == 1 else "")
            if not which:
                done.append(HandedIn(found.way, LEFT, who, reason="no sheet of this class; name it with --sheet"))
            elif which not in every:
                done.append(HandedIn(found.way, LEFT, who, which, f"{which} has not been released in this class"))
            elif sheet and which != sheet:
                done.append(HandedIn(found.way, LEFT, who, which, f"this is {which}, not {sheet}"))
            else:
                candidates.append(_Candidate(found, who, which))
    came = {each.learner for each in candidates} | {each.learner for each in done}
    for who, found in others.items():
        # Beside a notebook other files are no matter; alone they are what somebody meant to hand in.
        which = reader.which(found) or (sheets[0] if len(sheets) == 1 else _nearly_all(candidates))
        if who in came or (sheet and which != sheet):
            continue
        if which:
            candidates.append(_Candidate(found, who, which))
        else:
            done.append(HandedIn(found.way, LEFT, who, reason=found.problem))
    done += [HandedIn(part, UNUSED, who) for part, who in owners.unused]
    came_of_it = (*done, *asked, *_place_all(folder, candidates))
    return tuple(replace(each, sign=signs.get(each.file, "")) for each in came_of_it)


NEARLY = 0.8
"""Share of an upload that must be one sheet before a photograph in it is taken for that sheet."""


def _nearly_all(candidates: Sequence[_Candidate]) -> str:
    """Return the sheet that nearly all notebooks of an upload are, or nothing."""
    counts = Counter(each.sheet for each in candidates)
    name, count = counts.most_common(1)[0] if counts else ("", 0)
    return name if count >= NEARLY * len(candidates) else ""


def _asked(folder: ClassFolder, found: Found, who: str, sheets: Sequence[str]) -> HandedIn:
    """Keep what a learner asks to be looked at again."""
    if found.problem:
        return HandedIn(found.way, LEFT, who, reason=found.problem)
    try:
        said, wanted = second_looks.read_text(found.data)
        way = f" {comparable(' '.join((said, *found.names)))} "
        sheet = next((name for name in sheets if name.lower() == said.lower()), "") or max(
            (name for name in sheets if f" {comparable(name)} " in way), key=len, default=""
        )
        if not sheet:
            return HandedIn(found.way, LEFT, who, reason="it names no sheet of this class; write  sheet: ...")
        wanted = second_looks.with_labels(wanted, second_looks.labels_of(folder, sheet))
        new = second_looks.add(folder, sheet, who, wanted, in_utc(found.moment))
    except intake.NotGradable as error:
        return HandedIn(found.way, LEFT, who, reason=f"a request for another look, but {error}")
    return HandedIn(found.way, ASKED if new else SAME, who, sheet)


def collect_exchange(
    folder: ClassFolder, sheet: str, progress: Callable[[str], None] = lambda text: None
) -> tuple[HandedIn, ...]:
    """Put what learners submitted through nbgrader's exchange into the inbox; the latest of each counts.

    Raises
    ------
    ClassError
        If the settings name no course, or the exchange is not there.
    """
    settings = folder.settings
    if not settings.course:
        raise ClassError('The exchange needs the name of the course; write  course = "..."  into class.toml.')
    folder.choose((sheet,), folder.released(), "Release it first: coldcab class release.")
    inbound = exchange_root(folder) / settings.course / "inbound"
    if not inbound.is_dir():
        raise ClassError(f"There is no exchange at {inbound}; release the sheet through it first, or see class.toml.")
    known = {learner.id for learner in folder.learners()}
    shares = Shares(lambda names: names[1].partition("+")[0])
    candidates, done = [], []
    # The newest first: whoever submits without end loses what is old.
    for entry in sorted(inbound.iterdir(), reverse=True):
        parts = entry.name.rsplit("+", 3) if entry.name.count("+") >= 3 else entry.name.rsplit("+", 2)
        if len(parts) < 3 or parts[1] != sheet:
            continue
        who, shown = parts[0], submission_files.showable_name(entry.name)
        progress(shown)
        owner = _owner(entry)
        if who not in known:
            done.append(HandedIn(shown, LEFT, reason="this id is not on the roster"))
        elif entry.is_symlink() or not entry.is_dir():
            done.append(HandedIn(shown, LEFT, who, sheet, "it is a link or a file, not a folder"))
        elif owner != who and owner in known:
            done.append(HandedIn(shown, LEFT, who, sheet, f"it says {who}, but it belongs to {owner}"))
        elif (over := shares.refuses((inbound.name, entry.name), datetime.now(UTC))) is not None:
            done += [HandedIn(shown, LEFT, who, sheet, each.problem) for each in over]
        else:
            new = _submitted(entry, who, sheet)
            shares.take((inbound.name, entry.name), sum(len(each.found.data) for each in new))
            candidates += new
    return (*done, *_place_all(folder, candidates))


def exchange_root(folder: ClassFolder) -> Path:
    """Return where nbgrader's exchange lies."""
    return Path(folder.settings.exchange or "/usr/local/share/nbgrader/exchange")


def _owner(entry: Path) -> str:
    try:
        return entry.owner()
    except (KeyError, OSError, NotImplementedError, ValueError):
        return ""


def _submitted(entry: Path, who: str, sheet: str) -> list[_Candidate]:
    """Return the notebook of one submission in the exchange, with nbgrader's two small files."""
    extras = {}
    for name in ("timestamp.txt", "submission_secret.txt"):
        try:
            extras[name] = submission_files.read_plain_file(entry / name)[:200]
        except intake.NotGradable:
            continue
    file = entry / f"{sheet}.ipynb"
    if not os.path.lexists(file):
        return []
    names, time = (entry.name, file.name), datetime.now(UTC)
    try:
        time = datetime.strptime(submission_files.time_of(file), "%Y-%m-%d %H:%M:%S UTC").replace(tzinfo=UTC)
        found = Found(names, submission_files.read_plain_file(file), "", time)
    except intake.NotGradable as error:
        found = Found(names, b"", str(error), time)
    return [_Candidate(found, who, sheet, extras)]


def _place_all(folder: ClassFolder, candidates: list[_Candidate]) -> list[HandedIn]:
    """Let the latest of each learner's attempts count; two of the same time with different content are for a person."""
    groups: dict[tuple[str, str], list[_Candidate]] = defaultdict(list)
    for candidate in candidates:
        groups[candidate.learner, candidate.sheet].append(candidate)
    done = []
    for (who, which), group in sorted(groups.items()):
        group.sort(key=lambda each: each.found.moment)
        # What cannot be read takes no place from what can, whichever came last; each reason is told once.
        broken = list({each.found.problem: each for each in group if each.found.problem}.values())
        group = [each for each in group if not each.found.problem]
        done += [_leave(folder, each, each.found.problem) for each in broken]
        if not group:
            continue
        last = group[-1]
        rivals = [each for each in group if each.found.moment == last.found.moment]
        digests = {hashlib.sha256(each.found.data).digest() for each in rivals}
        older = [each for each in group if each.found.moment != last.found.moment]
        done += [HandedIn(each.found.way, OLDER, who, which, "a later one counts") for each in older]
        if len(digests) > 1:
            why = f"{len(rivals)} of the same time and with different content; keep the one that counts"
            done += [_leave(folder, each, why) for each in rivals]
            continue
        done += [HandedIn(each.found.way, SAME, who, which, "the same file twice") for each in rivals[1:]]
        done.append(_place(folder, rivals[0]))
    return done


def _leave(folder: ClassFolder, candidate: _Candidate, why: str) -> HandedIn:
    """Leave a file where it is and say why; where no notebook lies in the inbox, grading says so too."""
    found, who, which = candidate.found, candidate.learner, candidate.sheet
    try:
        place = own_folder(folder.path, "inbox", who, which)
        if not submission_files.notebooks_in(place):
            write_file(place / submission_files.PROBLEM, why.encode())
    except ClassError as error:
        why = str(error)
    return HandedIn(found.way, LEFT, who, which, why)


def _place(folder: ClassFolder, candidate: _Candidate) -> HandedIn:
    found, who, which = candidate.found, candidate.learner, candidate.sheet
    try:
        place = own_folder(folder.path, "inbox", who, which)
        there = None
        if submission_files.notebooks_in(place):
            there = submission_files.find_notebook(folder.inbox, who, which)
    except ClassError as error:
        return HandedIn(found.way, LEFT, who, which, str(error))
    except intake.NotGradable as error:
        return HandedIn(found.way, LEFT, who, which, f"in the inbox {error}")
    time = in_utc(found.moment)
    if there is not None:
        before = _time_in_inbox(there)
        if before > time:
            return HandedIn(found.way, OLDER, who, which, "a later one is in the inbox")
        if before == time and there.read_bytes() == found.data:
            return HandedIn(found.way, SAME, who, which)
    # The notebook comes last: where a run stopped in between, times are equal, content is not, and it is done again.
    stale = {"timestamp.txt", "submission_secret.txt", submission_files.PROBLEM} - set(candidate.extras)
    for name in stale:
        (place / name).unlink(missing_ok=True)
    for name, data in candidate.extras.items():
        write_file(place / name, data)
    target = there or place / f"{which}.ipynb"
    write_file(target, found.data, moment=found.moment.timestamp())
    return HandedIn(found.way, NEW, who, which)


def _time_in_inbox(file: Path) -> str:
    try:
        return submission_files.time_of(file)
    except intake.NotGradable:
        return ""  # of no age: whatever comes now counts


class _SheetReader:
    """Knows the forms of the class, and so which of them a notebook is."""

    def __init__(self, folder: ClassFolder, names: Iterable[str]) -> None:
        self._cells = {
            name: {intake.grade_id(cell) for cell in form_of(folder, name)["cells"]} - {""} for name in names
        }

    def which(self, found: Found) -> str:
        """Return the sheet by its content, else by the name of the file; else nothing.

        It may be one that this class has not released: that is no file of the one which it has.
        """
        try:
            with guarded() as process:
                there = process.call(intake.names_in, found.data) if found.data else frozenset()
        except Exception:
            there = frozenset()  # grading names it with the reason
        count, best = max(((len(there & cells), name) for name, cells in self._cells.items()), default=(0, ""))
        if count:
            return best
        if other := next((name for name in LESSONS if any(cell.startswith(f"{name}-answers") for cell in there)), ""):
            return other
        way = comparable(" ".join(found.names))
        named = [name for name in self._cells if f" {comparable(name)} " in f" {way} "]
        return max(named, key=len) if named else ""


def _outer(names: Sequence[str], owners: OwnerFinder) -> int:
    """Return how many names a platform may have written: all, or those up to a zip that is one learner's."""
    for number, name in enumerate(names[1:], 2):
        if name.lower().endswith(".zip") and owners.owner_of(names[:number])[0]:
            return number
    return len(names)


def _with_time(found: Found, zone: tzinfo, outer: int) -> Found:
    """Take the time of the upload from the names, the outermost first, where a platform wrote it; else of the file.

    Names within a learner's own zip are the learner's to choose: they tell no time.
    """
    for name in found.names[:outer]:
        if moment := time_in(name, zone):
            return Found(found.names, found.data, found.problem, moment)
    return found


def time_in(name: str, zone: tzinfo = UTC) -> datetime | None:
    """Return the moment that the name of an upload tells, in the time zone of the class, or None."""
    for pattern, order in _TIMES:
        if match := pattern.search(name):
            numbers = [int(match.groups()[place] or 0) for place in order]
            try:
                return datetime(*numbers, tzinfo=zone)  # type: ignore[misc]
            except ValueError:
                continue
    if match := _WORDED.search(name):
        month, day, year, hour, minute, half = match.groups()
        if month.lower() in _MONTHS and 1 <= int(hour) <= 12:
            hour_of_day = int(hour) % 12 + (12 if half.upper() == "PM" else 0)
            try:
                return datetime(int(year), _MONTHS.index(month.lower()) + 1, int(day), hour_of_day, int(minute),
                                tzinfo=zone)  # fmt: skip
            except ValueError:
                return None
    return None
