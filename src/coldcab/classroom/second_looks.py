"""Second looks: a learner asks in a small text file for another look at a line, a person answers.

What a learner hands in is plain words: ``sheet: cycle-1``, then for each line ``line:`` with its label and ``why:``.
It is collected like a notebook, waits in ``requests/<sheet>/<learner>.json`` of the class, and the answer stands on
the learner's feedback page.
"""

from __future__ import annotations

import difflib
import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from coldcab.assess import fold
from coldcab.assess.sheet import clean
from coldcab.classroom import intake
from coldcab.classroom.folder import ClassError, ClassFolder, own_folder, write_file
from coldcab.classroom.forms import form_of

REQUESTS = "requests"
"""The folder of the class in which they wait."""

WORDS = "words"
"""What the answer in the learner's own words is called in a request."""

_OWN_WORDS = ("words", "written", "own words", "written answer", "in your own words")

KEPT, CHANGED = "kept", "changed"

LONGEST_FILE = 20_000
"""Bytes of a file with requests that are read."""

LONGEST_WHY = 1000
"""Characters of a reason that are kept."""

MOST = 20
"""Requests of one learner for one sheet that are kept."""

_NAME = re.compile(r"(?:regrade|second.?look).*\.(?:txt|text|toml|md)(?:\.txt)?$", re.IGNORECASE)
_AS_DOCUMENT = re.compile(r"(?:regrade|second.?look).*\.(?:docx?|odt|rtf|pages|pdf)$", re.IGNORECASE)

AS_TEXT = "a request for another look, but as a document; ask for it as plain text, in a file that ends in .txt"
"""What is wrong with a request that a word processor wrote."""

_ENTRY = re.compile(r"\s*[-*]*\s*(sheet|line|why|reason)\s*[:=]\s*(.*)", re.IGNORECASE)


@dataclass(frozen=True)
class Request:
    """A learner asks for another look at a line; ``answer`` is kept or changed, and nothing while it waits."""

    line: str
    why: str
    came: str = ""
    answer: str = ""
    words: str = ""

    @property
    def waits(self) -> bool:
        """Whether nobody has answered yet."""
        return not self.answer


def is_request_file(name: str) -> bool:
    """Whether a file is called as one with requests is: ``regrade_cycle-1_s07.txt``."""
    return bool(_NAME.search(name)) and not name.startswith("._")


def is_document(name: str) -> bool:
    """Whether a file is called as a request is, but was written by a word processor."""
    return bool(_AS_DOCUMENT.search(name)) and not name.startswith(("._", "~$"))


def file_name(sheet: str, learner: str) -> str:
    """Return how a learner may call the file."""
    return f"regrade_{sheet}_{learner}.txt"


def request_text(sheet: str, lines: Iterable[str]) -> str:
    """Return a file with these lines, and with the answer in the learner's own words, without a reason yet."""
    return "\n".join([f"sheet: {sheet}", "", *(f"line: {line}\nwhy: \n" for line in (*lines, WORDS))])


def read_text(data: bytes) -> tuple[str, tuple[Request, ...]]:
    """Return the sheet that a file names, or nothing, and what it asks for.

    Raises
    ------
    intake.NotGradable
        If it is too long, or asks for nothing. Lines without a reason are passed over where others have one.
    """
    if len(data) > LONGEST_FILE:
        raise intake.NotGradable(f"a request has at most {LONGEST_FILE:,} bytes, and this file has more")
    sheet, found, last = "", [], ""
    # Some editors write plain text in UTF-16.
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    for raw in data.decode(encoding, errors="replace").splitlines():
        match = _ENTRY.match(clean(raw))
        if match is None:
            if last == "why" and found and raw.strip(" \t\"'[]") and not raw.lstrip().startswith("["):
                found[-1][1] += f" {clean(raw).strip()}"
            continue
        last, said = match[1].lower().replace("reason", "why"), match[2].strip().strip("\"'").strip()
        if last == "sheet":
            sheet = said[:80]
        elif last == "line":
            found.append([said[:200], ""])
        elif found:
            found[-1][1] = f"{found[-1][1]} {said}".strip()
    asked = tuple(Request(line, why[:LONGEST_WHY].strip()) for line, why in found if line)
    if not asked:
        raise intake.NotGradable("it names no line; write  line: ...  and  why: ...  each on a line of its own")
    if not (with_reasons := tuple(each for each in asked if each.why)):
        raise intake.NotGradable(f"it gives no reason for “{asked[0].line[:60]}”; write  why: ...  below it")
    return sheet, with_reasons[:MOST]


def labels_of(folder: ClassFolder, sheet: str) -> tuple[str, ...]:
    """Return what can be asked about: the lines of a sheet, and its answer in the learner's own words."""
    cells = form_of(folder, sheet)["cells"]
    return (*intake.lines_checked(cells), *([WORDS] if any(map(intake.is_written, cells)) else []))


def with_labels(asked: Iterable[Request], labels: Sequence[str]) -> tuple[Request, ...]:
    """Return the requests with the sheet's own labels.

    Raises
    ------
    intake.NotGradable
        If one names no line of the sheet.
    """
    known = {fold(label): label for label in labels} | (
        dict.fromkeys(map(fold, _OWN_WORDS), WORDS) if WORDS in labels else {}
    )
    found = []
    for each in asked:
        wanted = fold(each.line)
        near = [wanted] if wanted in known else difflib.get_close_matches(wanted, known, 1, 0.8)
        if not near:
            raise intake.NotGradable(f"there is no line “{each.line[:60]}” on this sheet")
        found.append(replace(each, line=known[near[0]]))
    return tuple(found)


def requests_of(folder: ClassFolder, sheet: str, learner: str) -> tuple[Request, ...]:
    """Return what a learner has asked about a sheet, in the order in which it came."""
    try:
        text = (folder.path / REQUESTS / sheet / f"{learner}.json").read_text(encoding="utf-8")
        return tuple(Request(**{key: str(value) for key, value in each.items()}) for each in json.loads(text))
    except (OSError, ValueError, TypeError, AttributeError):
        return ()


def all_requests(folder: ClassFolder, sheet: str) -> dict[str, tuple[Request, ...]]:
    """Return what the class has asked about a sheet, by learner."""
    if not (folder.path / REQUESTS / sheet).is_dir():
        return {}
    found = {learner.id: requests_of(folder, sheet, learner.id) for learner in folder.learners()}
    return {who: asked for who, asked in found.items() if asked}


def add(folder: ClassFolder, sheet: str, learner: str, asked: Iterable[Request], came: str) -> int:
    """Keep what is new; return how much that is. The same words about the same line are asked once.

    Raises
    ------
    intake.NotGradable
        If there are too many already.
    """
    there = requests_of(folder, sheet, learner)
    known = {(each.line, each.why) for each in there}
    new = [replace(each, came=came) for each in dict.fromkeys(asked) if (each.line, each.why) not in known]
    if len(there) + len(new) > MOST:
        raise intake.NotGradable(f"there are {len(there)} requests about {sheet} already, and {MOST} are the most")
    if new:
        _write(folder, sheet, learner, (*there, *new))
    return len(new)


def asked_line(folder: ClassFolder, sheet: str, learner: str, line: str) -> str:
    """Return the label of a line that a learner has asked about.

    Raises
    ------
    ClassError
        If the learner has not asked about it.
    """
    there = requests_of(folder, sheet, learner)
    try:
        return with_labels((Request(line, ""),), [each.line for each in there])[0].line
    except intake.NotGradable:
        lines = ", ".join(sorted({each.line for each in there})) or "nothing"
        raise ClassError(f"{learner} has not asked about {line!r} of {sheet}; asked was about: {lines}.") from None


def answer(folder: ClassFolder, sheet: str, learner: str, label: str, answer: str, words: str) -> None:
    """Answer what a learner has asked about a line and waits; where nothing waits, the last answer is another now."""
    there = requests_of(folder, sheet, learner)
    mine = [number for number, each in enumerate(there) if each.line == label]
    meant = [number for number in mine if there[number].waits] or mine[-1:]
    done = (replace(each, answer=answer, words=words) if number in meant else each for number, each in enumerate(there))
    _write(folder, sheet, learner, tuple(done))


def _write(folder: ClassFolder, sheet: str, learner: str, asked: Sequence[Request]) -> None:
    file: Path = own_folder(folder.path, REQUESTS, sheet) / f"{learner}.json"
    write_file(file, (json.dumps([asdict(each) for each in asked], indent=1, ensure_ascii=False) + "\n").encode())
