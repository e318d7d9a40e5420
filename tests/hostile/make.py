"""Hostile and broken submissions: ``python tests/hostile/make.py FOLDER`` makes a class with all of them in its inbox.

Every submission starts from a sheet of the learner's own that is right on some lines and blank on the others. What it
has earned is what those lines give; nothing done to the file may add to that.
"""

from __future__ import annotations

import json
import os
import sys
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from classes import MATERIAL, REFERENCE, filled, put
from coldcab.classroom import ClassFolder, demo, forms, intake, releasing
from coldcab.classroom.roster import Learner, write_roster
from hostile import tables

SHEET = "cycle-1"
answers_1 = f"{SHEET}-answers-1"
EARNED, REFUSED, ZERO, MISSING, COPIED = "what it earned", "not gradable", "zero", "missing", "what fits by chance"
EVIL = "import os, socket, subprocess\nopen({canary!r}, 'w').write('x')\nsubprocess.run(['touch', {canary!r}])\n"
MARKUP = "<script>window.caught=1</script><img src=x onerror='window.caught=1'>[x](javascript:window.caught=1)"


@dataclass(frozen=True)
class Place:
    """Where a submission goes, and the honest text that it starts from."""

    folder: ClassFolder
    learner: str
    text: str
    canary: str

    def write(self, data: str | bytes) -> None:
        """Hand in a file."""
        put(self.folder, self.learner, data)

    @property
    def own(self) -> Path:
        """The learner's place in the inbox for this sheet."""
        place = self.folder.inbox / self.learner / SHEET
        place.mkdir(parents=True, exist_ok=True)
        return place


@dataclass(frozen=True)
class Hostile:
    """One submission: how it is made, and what may become of it."""

    make: Callable[[Place], None]
    expected: str = EARNED


CORPUS: dict[str, Hostile] = {}


def hostile(name: str, expected: str = EARNED) -> Callable[[Callable[[Place], None]], Callable[[Place], None]]:
    """Enter a submission into the corpus."""

    def enter(make: Callable[[Place], None]) -> Callable[[Place], None]:
        assert name not in CORPUS
        CORPUS[name] = Hostile(make, expected)
        return make

    return enter


def data(name: str, expected: str, make: Callable[[str], str | bytes]) -> None:
    """Enter a submission that is made of the honest text alone."""
    hostile(name, expected)(lambda place: place.write(make(place.text)))


def cells(name: str, expected: str, change: Callable[[list], object]) -> None:
    """Enter a submission whose cells were changed."""

    def make(text: str) -> str:
        book = json.loads(text)
        change(book["cells"])
        return json.dumps(book)

    data(name, expected, make)


def find(cells_: list, name: str) -> dict:
    return next(cell for cell in cells_ if intake.grade_id(cell) == name)


def remove(cells_: list, name: str) -> None:
    cells_[:] = [cell for cell in cells_ if intake.grade_id(cell) != name]


def answers(cells_: list) -> list[dict]:
    return [cell for cell in cells_ if intake.is_answer(cell)]


def code(source: str) -> dict:
    return {
        "cell_type": "code",
        "id": "extra",
        "metadata": {},
        "source": source,
        "outputs": [],
        "execution_count": None,
    }


def piled(text: str) -> str:
    """The text with a cell on top that is a letter under half a million accents in the wrong order."""
    book = json.loads(text)
    book["cells"].insert(0, code("a" + "\u0300\u0323" * 250_000))
    return json.dumps(book, ensure_ascii=False)


def each_answer(cells_: list, change: Callable[[str, str], str]) -> None:
    """Change every line of every answer cell: label and answer in, line out."""
    for cell in answers(cells_):
        head, *lines = "".join(cell["source"]).split("\n")
        cell["source"] = "\n".join([head, *(change(*line.split(":", 1)) for line in lines)])


# Not a notebook.

data("empty file", REFUSED, lambda text: b"")
data("a letter", REFUSED, lambda text: b"Dear teacher, I deserve full marks.")
data("cut off in the middle", REFUSED, lambda text: text[: len(text) // 2])
data("cut off at the last sign", REFUSED, lambda text: text.rstrip()[:-1])
data("another JSON", REFUSED, lambda text: '{"score": 22}')
data("a list", REFUSED, lambda text: "[1, 2, 3]")
data("a number", REFUSED, lambda text: "1e999")
data("null", REFUSED, lambda text: "null")
data("cells are words", REFUSED, lambda text: '{"cells": ["x", "y"]}')
data("cells are a dictionary", REFUSED, lambda text: '{"cells": {"0": 1}}')
data("sources are numbers", REFUSED, lambda text: '{"cells": [{"cell_type": "code", "source": 7, "metadata": []}]}')
data("not UTF-8", REFUSED, lambda text: b'{"cells": "\xff\xfe\xfa"}')
data("UTF-16", REFUSED, lambda text: text.encode("utf-16"))
data("zeros", REFUSED, lambda text: b"\0" * 100_000)
data("half a million brackets", REFUSED, lambda text: b"[" * 500_000)
data("deep dictionaries", REFUSED, lambda text: '{"a":' * 100_000 + "1" + "}" * 100_000)
data("a program called ipynb", REFUSED, lambda text: b"#!/bin/sh\nrm -rf ~\n")
data("a picture called ipynb", REFUSED, lambda text: b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40)
data("sixty megabytes", REFUSED, lambda text: text + " " * 60_000_000)
data("an enormous number", REFUSED, lambda text: '{"cells": [], "nbformat": ' + "9" * 100_000 + "}")
data("quotation marks without an end", REFUSED, lambda text: '{"cells":["' + '\\"' * 400_000)
data("a pile of accents", EARNED, piled)
data("a byte order mark", EARNED, lambda text: "\ufeff" + text)
data("doubled keys", EARNED, lambda text: text.replace('{\n "cells"', '{\n "cells": [],\n "cells"', 1))


@hostile("huge outputs")
def _(place: Place) -> None:
    book = json.loads(place.text)
    book["cells"][1]["outputs"] = [{"output_type": "stream", "name": "stdout", "text": "x" * 4_000_000}]
    place.write(json.dumps(book))


# Cells.

cells("all cells gone", REFUSED, lambda cells_: cells_.clear())
cells("an answer cell gone", REFUSED, lambda cells_: remove(cells_, "cycle-1-answers-2"))
cells("the written answer gone", REFUSED, lambda cells_: remove(cells_, "cycle-1-written"))
cells("a grading cell gone", EARNED, lambda cells_: remove(cells_, "cycle-1-absolute-pressure"))
cells("all grading cells gone", EARNED, lambda cells_: [
    remove(cells_, name) for name in [intake.grade_id(cell) for cell in cells_ if intake.is_graded(cell)]
    if name != "cycle-1-written"
])  # fmt: skip
cells("cells in reverse", EARNED, lambda cells_: cells_.reverse())
cells("every cell twice", EARNED, lambda cells_: cells_.extend(json.loads(json.dumps(cells_))))
cells("an answer cell twice, otherwise", REFUSED, lambda cells_: cells_.append(
    find(cells_, "cycle-1-answers-1") | {"source": "%%answers cycle-1\nabsolute pressure: 1 psia"}
))  # fmt: skip
cells("a grading cell that prints its points", EARNED, lambda cells_: find(
    cells_, "cycle-1-state-at-a").update(source="2.0"))  # fmt: skip
cells("more points in the metadata", EARNED, lambda cells_: [
    cell["metadata"]["nbgrader"].update(points=99) for cell in cells_ if intake.is_graded(cell)])  # fmt: skip
cells("grading cells made answers", EARNED, lambda cells_: [
    cell["metadata"]["nbgrader"].update(solution=True, locked=False) for cell in cells_ if intake.is_graded(cell)
])  # fmt: skip
cells("names of cells exchanged", EARNED, lambda cells_: [
    find(cells_, "cycle-1-absolute-pressure")["metadata"]["nbgrader"].update(grade_id="x"),
    find(cells_, "cycle-1-state-at-a")["metadata"]["nbgrader"].update(grade_id="cycle-1-absolute-pressure"),
])  # fmt: skip
cells("names that are paths", EARNED, lambda cells_: find(
    cells_, "cycle-1-state-at-a")["metadata"]["nbgrader"].update(grade_id="../../../../etc/passwd"))  # fmt: skip
cells("names that are no text", EARNED, lambda cells_: find(
    cells_, "cycle-1-state-at-a")["metadata"].update(nbgrader={"grade_id": ["x"]}))  # fmt: skip
cells("no metadata at all", EARNED, lambda cells_: [cell.update(metadata={}) for cell in cells_])
cells("metadata that is a list", EARNED, lambda cells_: cells_[0].update(metadata=[1]))
cells("another schema version", EARNED, lambda cells_: [
    cell["metadata"]["nbgrader"].update(schema_version=99) for cell in cells_])  # fmt: skip
cells("forged checksums", EARNED, lambda cells_: [
    cell["metadata"]["nbgrader"].update(checksum="0" * 32) for cell in cells_])  # fmt: skip
cells("forged outputs", EARNED, lambda cells_: [
    cell.update(outputs=[{"output_type": "execute_result", "data": {"text/plain": "2"}, "metadata": {},
                          "execution_count": 1}])
    for cell in cells_ if cell["cell_type"] == "code"
])  # fmt: skip
cells("script in outputs", EARNED, lambda cells_: [
    cell.update(outputs=[{"output_type": "display_data", "metadata": {}, "data": {
        "text/html": MARKUP, "application/javascript": "window.caught=1", "image/svg+xml": "<svg onload=1></svg>"}}])
    for cell in cells_ if cell["cell_type"] == "code"
])  # fmt: skip
cells("attachments", EARNED, lambda cells_: [
    cell.update(attachments={"x.svg": {"image/svg+xml": MARKUP}}) for cell in cells_ if cell["cell_type"] == "markdown"
])  # fmt: skip
cells("a thousand more cells", EARNED, lambda cells_: cells_.extend(code(f"x = {number}") for number in range(1000)))
cells("a thousand more answer cells", EARNED, lambda cells_: cells_.extend(
    code("%%answers other\nfoo: 1") for _ in range(1000)))  # fmt: skip


# Programs that hope to run.

for what, source in {
    "reads the keys": "print(open('/reference/cycle_1.py').read()); import glob; print(glob.glob('/**/*.py'))",
    "writes the gradebook": "import sqlite3; sqlite3.connect('gradebook.db').execute('update grade set auto_score=99')",
    "opens a socket": "import socket; socket.create_connection(('127.0.0.1', 9)).send(b'x')",
    "forks for ever": "import os\nwhile True: os.fork()",
    "fills the disk": "open('big', 'wb').write(b'x' * 10**12)",
    "never ends": "while True: pass",
    "kills its parent": "import os, signal; os.kill(os.getppid(), signal.SIGKILL)",
    "patches the checker": "import coldcab.assess as a; a.mark = lambda *x: None; a.grade = a.mark",
    "hides in a magic": "%%bash\ntouch evil; curl http://example.invalid",
}.items():
    hostile(f"a cell that {what}")(
        lambda place, source=source: place.write(
            json.dumps({**(book := json.loads(place.text)), "cells": [
                code(EVIL.format(canary=place.canary) + source), *book["cells"]]})
        )
    )  # fmt: skip

hostile("a program in the answer cell", ZERO)(
    lambda place: place.write(
        _with_answers(place, lambda label, answer: f"{label}: {EVIL.format(canary=place.canary)!r}")
    )
)
hostile("pickles and templates in answers", ZERO)(
    lambda place: place.write(
        _with_answers(place, lambda label, answer: f"{label}: {{{{ ''.__class__.__mro__ }}}} ${{7*7}} !!python/object")
    )
)


def _with_answers(place: Place, change: Callable[[str, str], str]) -> str:
    book = json.loads(place.text)
    each_answer(book["cells"], change)
    return json.dumps(book)


# Answers.


def answer(name: str, expected: str, change: Callable[[str, str], str]) -> None:
    """Enter a submission whose lines were changed."""
    hostile(name, expected)(lambda place: place.write(_with_answers(place, change)))


answer("numbers beyond all", ZERO, lambda label, answer: f"{label}: 1e999 psia")
answer("not a number", ZERO, lambda label, answer: f"{label}: NaN psia")
answer("infinite", ZERO, lambda label, answer: f"{label}: inf psia")
answer("a number of ten thousand digits", ZERO, lambda label, answer: f"{label}: {'9' * 1500}")
answer("sums to be worked out", ZERO, lambda label, answer: f"{label}: 20 psi + 14.7 psi")
answer(
    "every choice at once",
    ZERO,
    lambda label, answer: f"{label}: {' '.join(REFERENCE[SHEET].item(label).choices) or answer + ' 1 psia'}",
)
answer("answers in comments", ZERO, lambda label, answer: f"# {label}: {answer}")
answer("other labels with look-alike letters", ZERO, lambda label, answer: f"{label.replace('a', 'а')}: {answer}")
answer("digits of other scripts", ZERO, lambda label, answer: f"{label}: ٩٩٩ psia")
answer("full-width digits", EARNED, lambda label, answer: f"{label}:{answer.translate(_WIDE)}")
answer("signs without width", EARNED, lambda label, answer: f"{label}:{answer}\u200b\u2060")
answer("writing turned around", EARNED, lambda label, answer: f"\u202e{label}:{answer}\u202c")
answer("markup in answers", ZERO, lambda label, answer: f"{label}: {MARKUP[:110]}")
answer("formulas of a spreadsheet", ZERO, lambda label, answer: f"{label}: =cmd|' /C calc'!A0")
answer("two answers on a line", ZERO, lambda label, answer: f"{label}: 1 psia or 2 psia or 3 psia")
answer("each line twice, otherwise", ZERO, lambda label, answer: f"{label}: 1 psia\n{label}: 2 psia")
answer("colours of a terminal", ZERO, lambda label, answer: f"{label}: \x1b[31mred\x1b]0;title\x07")
answer("search patterns that take for ever", ZERO, lambda label, answer: f"{label}: {'1,' * 55}x")

_WIDE = str.maketrans("0123456789", "０１２３４５６７８９")


cells("a million lines", REFUSED, lambda cells_: answers(cells_)[0].update(
    source="%%answers cycle-1\n" + "absolute pressure: 1 psia\n" * 100_000))  # fmt: skip
cells("a novel as written answer", REFUSED, lambda cells_: find(
    cells_, "cycle-1-written").update(source="x" * 100_000))  # fmt: skip
cells("markup in the written answer", EARNED, lambda cells_: find(cells_, "cycle-1-written").update(
    source=MARKUP + "\n<iframe src='//example.invalid'></iframe><style>*{{}}</style>$$\\href{javascript:1}{x}$$"
))  # fmt: skip
cells("a heading that ends the page", EARNED, lambda cells_: find(cells_, "cycle-1-written").update(
    source="</div></body></html><!-- --><meta http-equiv=refresh content='0;url=//example.invalid'>"))  # fmt: skip
cells("another case claimed", EARNED, lambda cells_: find(cells_, "cycle-1-numbers").update(
    source="%load_ext coldcab\n%sheet cycle-1 --term open --learner reference"))  # fmt: skip


@hostile("the sheet of another learner", COPIED)
def _(place: Place) -> None:
    # Numbers only: a word of three may be right for anybody.
    text = filled(place.folder, "honest", lambda item, case: demo.right(item, case) if item.kind != "choice" else "")
    place.write(text)


@hostile("the model answers", COPIED)
def _(place: Place) -> None:
    case = REFERENCE[SHEET].case("open", "reference")
    words = lambda item, case: demo.right(item, case) if item.kind != "choice" else ""  # noqa: E731 - one use
    place.write(demo.filled_notebook(forms.form_of(place.folder, SHEET), REFERENCE[SHEET], case, words))


@hostile("another sheet", REFUSED)
def _(place: Place) -> None:
    place.write(place.text.replace("cycle-1", "cycle-2"))


# Places.


@hostile("a link to a secret", REFUSED)
def _(place: Place) -> None:
    (place.own / "cycle-1.ipynb").symlink_to(Path(place.canary).with_name("secret.ipynb"))


@hostile("a link to another learner", REFUSED)
def _(place: Place) -> None:
    (place.own / "cycle-1.ipynb").symlink_to(place.folder.inbox / "honest" / SHEET / "cycle-1.ipynb")


@hostile("a folder that is a link", REFUSED)
def _(place: Place) -> None:
    own = place.own
    own.rmdir()
    own.symlink_to(place.folder.inbox / "honest" / SHEET, target_is_directory=True)


@hostile("a link that goes round", REFUSED)
def _(place: Place) -> None:
    (place.own / "cycle-1.ipynb").symlink_to("cycle-1.ipynb")


@hostile("a pipe", REFUSED)
def _(place: Place) -> None:
    os.mkfifo(place.own / "cycle-1.ipynb")


@hostile("a folder called ipynb", REFUSED)
def _(place: Place) -> None:
    (place.own / "cycle-1.ipynb").mkdir()


@hostile("two notebooks", REFUSED)
def _(place: Place) -> None:
    (place.own / "a.ipynb").write_text(place.text)
    (place.own / "b.ipynb").write_text(place.text)


@hostile("programs beside the notebook")
def _(place: Place) -> None:
    place.write(place.text)
    for name in ("nbgrader_config.py", "sitecustomize.py", "numpy.py", "coldcab.py"):
        (place.own / name).write_text(EVIL.format(canary=place.canary))


@hostile("a time that is none")
def _(place: Place) -> None:
    place.write(place.text)
    (place.own / "timestamp.txt").write_text("9" * 10_000 + "\x00 ../../etc")


@hostile("a zip in the place of the notebook", REFUSED)
def _(place: Place) -> None:
    with zipfile.ZipFile(place.own / "cycle-1.ipynb", "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("../../../evil.ipynb", b" " * 10_000_000)


@hostile("an unreadable time and a name of markup", MISSING)
def _(place: Place) -> None:
    own = place.folder.inbox / place.learner
    own.mkdir()
    (own / "<img src=x onerror=window.caught=1>.ipynb").write_text(place.text)


@hostile("a thousand notebooks in the wrong place", MISSING)
def _(place: Place) -> None:
    own = place.folder.inbox / place.learner
    own.mkdir()
    for number in range(1000):
        (own / f"{number}.ipynb").touch()


@hostile("a file for a folder", REFUSED)
def _(place: Place) -> None:
    (place.folder.inbox / place.learner).write_text(place.text)


@hostile("a pipe for a folder", REFUSED)
def _(place: Place) -> None:
    os.mkfifo(place.folder.inbox / place.learner)


@hostile("a name that is no text")
def _(place: Place) -> None:
    Path(os.fsdecode(os.fsencode(place.own) + b"/\xff\n.ipynb")).write_text(place.text)


@hostile("a file with a hole of ten gigabytes", REFUSED)
def _(place: Place) -> None:
    with (place.own / "cycle-1.ipynb").open("wb") as file:
        file.truncate(10**10)


for what in ("timestamp.txt", "submission_secret.txt"):

    @hostile(f"a pipe called {what}")
    def _(place: Place, what: str = what) -> None:
        place.write(place.text)
        os.mkfifo(place.own / what)

    @hostile(f"a link called {what}")
    def _(place: Place, what: str = what) -> None:
        place.write(place.text)
        (place.own / what).symlink_to(Path(place.canary).with_name("secret.ipynb"))


@hostile("a reason that is a link", REFUSED)
def _(place: Place) -> None:
    (place.own / "problem.txt").symlink_to(Path(place.canary).with_name("secret.ipynb"))


@hostile("a time beyond all clocks", REFUSED)
def _(place: Place) -> None:
    place.write(place.text)
    os.utime(place.own / "cycle-1.ipynb", ns=(2**62, 2**62))


# Cells once more: each change is made to the answer cells, or to the written answer.


def first(cells_: list) -> dict:
    return answers(cells_)[0]


def exchanged(cells_: list, name: str) -> None:
    one, two = answers(cells_)[:2]
    ours, theirs = json.dumps(one[name]), json.dumps(two[name])
    one[name], two[name] = json.loads(theirs), json.loads(ours)


for what, change in {
    "answers in a text cell": lambda cells_: first(cells_).update(cell_type="markdown"),
    "answers in a cell of a kind in a list": lambda cells_: first(cells_).update(cell_type=["code"]),
    "answers letter by letter": lambda cells_: first(cells_).update(source=list("".join(first(cells_)["source"]))),
    "answers under another sheet's name": lambda cells_: first(cells_).update(
        source="".join(first(cells_)["source"]).replace(SHEET, "cycle-2", 1)
    ),
    "answers with another learner's name": lambda cells_: first(cells_).update(
        source="".join(first(cells_)["source"]).replace(SHEET, f"{SHEET} --learner honest --term open", 1)
    ),
    "answers below a page of markup": lambda cells_: first(cells_).update(
        source=f"%%html\n{MARKUP}\n" + "".join(first(cells_)["source"])
    ),
    "names of answer cells exchanged": lambda cells_: exchanged(cells_, "metadata"),
    "ids of answer cells exchanged": lambda cells_: exchanged(cells_, "id"),
    "checks made answers": lambda cells_: [
        cell.update(source="".join(first(cells_)["source"]))
        for cell in cells_ if "".join(cell["source"]).startswith("%check")
    ],
    "points that are no number": lambda cells_: [
        cell["metadata"]["nbgrader"].update(points=float("nan")) for cell in cells_ if intake.is_graded(cell)
    ],
    "outputs that are a number": lambda cells_: first(cells_).update(outputs=7, execution_count="<b>"),
}.items():  # fmt: skip
    cells(what, EARNED, change)

for what, source in {
    "a form": "<form action='//example.invalid'><input autofocus onfocus=alert(1)></form>"
    "<details open ontoggle=alert(1)>",
    "a table": "|a|b|\n|-|-|\n" + "|x|y|\n" * 3000,
    "bullets": "- " * 9000,
    "emphasis": "*a_ " * 4900,
    "spaces": "a" + " " * 19_000 + "b",
    "addresses": "http://a" + "(" * 9000 + ")" * 9000,
    "backslashes": "\\" * 19_000,
    "formulas": r"$$\def\a{\a\a}\a$$" * 500,
    "a template": "{{ ''.__class__ }}{% for x in range(10**9) %}x{% endfor %}",
}.items():
    cells(f"a written answer of {what}", EARNED, lambda cells_, source=source: find(
        cells_, f"{SHEET}-written").update(source=source))  # fmt: skip

cells("every cell under one name", REFUSED, lambda cells_: [
    cell["metadata"]["nbgrader"].update(grade_id=answers_1) for cell in cells_ if intake.grade_id(cell)])  # fmt: skip
cells("neither names nor ids", REFUSED, lambda cells_: [
    (cell.pop("id", None), cell.update(metadata={})) for cell in cells_])  # fmt: skip
cells("a sign that is eighteen signs", REFUSED, lambda cells_: find(
    cells_, f"{SHEET}-written").update(source="\ufdfa" * 19_000))  # fmt: skip

# Tables of tricks.

for name, made in tables.NO_NOTEBOOK.items():
    data(name, REFUSED, made)
for name, made in tables.STILL_READ.items():
    data(name, EARNED, made)
for name, source in tables.ODD_SOURCES.items():
    cells(f"a source that is {name}", EARNED, lambda cells_, source=source: cells_.insert(0, code(source)))


cells("thirty thousand empty cells", EARNED, lambda cells_: cells_.extend([code("")] * 30_000))
cells(
    "words that hold halves of signs",
    EARNED,
    lambda cells_: find(cells_, f"{SHEET}-written").update(source="It is \ud800 so, and \udfff so."),
)
cells(
    "a name that is half a sign",
    EARNED,
    lambda cells_: cells_.append(code("x = 1") | {"metadata": {"nbgrader": {"grade_id": "\ud800"}}}),
)
cells(
    "a name of three million signs",
    EARNED,
    lambda cells_: cells_.append(code("x = 1") | {"metadata": {"nbgrader": {"grade_id": "cycle-1-answers" * 200_000}}}),
)
cells(
    "ten thousand other answers",
    REFUSED,
    lambda cells_: cells_.extend(
        code(f"%%answers {SHEET}\nabsolute pressure: 1")
        | {"metadata": {"nbgrader": {"grade_id": f"{SHEET}-answers-1"}}}
        for _ in range(10_000)
    ),
)


NUMBERS = {item.kind for item in REFERENCE[SHEET].items} - {"choice", "list"}


def of_kind(wanted: bool, pattern: str) -> Callable[[str, str], str]:
    """Fill a pattern with what is right (and a choice that is wrong) on lines that are choices, or on numbers."""

    def change(label: str, answer: str) -> str:
        item = REFERENCE[SHEET].item(label)
        if not answer.strip() or item.kind not in (("choice",) if wanted else NUMBERS):
            return f"{label}:"
        if not wanted:
            number, _, unit = answer.strip().partition(" ")
            return f"{label}: {pattern.format(number, unit)}"
        wrong = next(choice for choice in item.choices if choice != answer.strip())
        return f"{label}: {pattern.format(right=answer.strip(), wrong=wrong)}"

    return change


for pattern in tables.DENIALS:
    answer(f"a choice denied: {pattern!r}", ZERO, of_kind(True, pattern))
for pattern in tables.ODD_NUMBERS:
    answer(f"a number that is none: {pattern}", ZERO, of_kind(False, pattern))


def lettered(pattern: str) -> Callable[[str, str], str]:
    """Fill a pattern with the right letters of each list that is answered in letters; nothing else is answered."""

    def change(label: str, answer: str) -> str:
        item = REFERENCE[SHEET].item(label)
        letters = item.kind == "list" and all(len(choice) == 1 for choice in item.choices)
        return f"{label}: {pattern.format(answer.strip())}" if letters and answer.strip() else f"{label}:"

    return change


for pattern in tables.LISTS:
    answer(f"a list that goes on: {pattern}", ZERO, lettered(pattern))


def stamped(said: str, file: str = "timestamp.txt") -> Callable[[Place], None]:
    """Hand in the honest sheet beside a time."""

    def make(place: Place) -> None:
        place.write(place.text)
        (place.own / file).write_text(said)

    return make


for said, believed in tables.TIMES.items():
    hostile(f"the time {said!r}", EARNED if believed else REFUSED)(stamped(said))


def learners() -> dict[str, str]:
    """Return who hands in each submission of the corpus."""
    return {name: f"h{number:03d}" for number, name in enumerate(CORPUS)}


def make_hostile_class(path: Path) -> tuple[ClassFolder, dict[str, str]]:
    """Make a class with one learner for every submission of the corpus; return it and learner by submission."""
    path.mkdir(parents=True)
    who = learners()
    names = [Learner(learner, f"={name}", MARKUP) for name, learner in who.items()]
    write_roster(path / "roster.csv", (Learner("honest", "Honest"), *names, Learner("last", "Last")))
    folder = ClassFolder.create(path / "class", "bad", roster=path / "roster.csv", material=MATERIAL)
    releasing.release(folder, (SHEET,))
    (path / "secret.ipynb").write_text(filled(folder, "honest", said="SECRET WORDS"))
    for learner in ("honest", "last"):
        put(folder, learner, filled(folder, learner))
    for name, learner in who.items():
        text = filled(folder, learner, demo.partly)
        CORPUS[name].make(Place(folder, learner, text, str(path / "canary")))
    return folder, who


if __name__ == "__main__":
    made, who_ = make_hostile_class(Path(sys.argv[1]))
    for name_, learner_ in who_.items():
        print(f"{learner_}  {CORPUS[name_].expected:14}  {name_}")
    print(f"{len(who_)} submissions in {made.inbox}")
