"""Reading and marking the sheets of one assignment; ``coldcab class grade`` and nbgrader's own steps do it this way.

A worker gets a package (form, keys, term) and the bytes that came in, and gives back what is to be written. It opens
no file of the class and no gradebook, so it may be a process here or a computer elsewhere; nothing is written twice.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any

import coldcab
from coldcab.assess import Sheet
from coldcab.classroom import intake, material
from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.forms import earlier_texts, form_of
from coldcab.classroom.guarded import OverBudget, guarded
from coldcab.classroom.submissions import HandIn, Result, Run

if TYPE_CHECKING:
    from nbformat.notebooknode import NotebookNode

    from coldcab.classroom.marker import Marked, Marker


@dataclass(frozen=True)
class MarkingPackage:
    """Form, keys and term of one assignment of a class, and its version: whatever else decides a score or its words.

    ``units`` come first in what is said beside the marks.
    """

    name: str
    term: str
    form: str
    keys: tuple[tuple[str, bytes], ...]
    earlier: tuple[tuple[str, tuple[str, ...]], ...]
    version: str
    units: str = "us"

    @classmethod
    def of(cls, folder: ClassFolder, name: str) -> MarkingPackage:
        """Return the package of one released assignment.

        Raises
        ------
        ClassError
            If it has not been released or has no key.
        """
        form_of(folder, name)
        form = folder.form_file(name).read_text(encoding="utf-8")
        keys = tuple((inside, file.read_bytes()) for inside, file in material.key_files(folder.path, name))
        earlier = tuple((cell, tuple(texts)) for cell, texts in sorted(earlier_texts(folder, name).items()))
        # What came earlier decides a remark at most, never a score.
        digest = hashlib.sha256(json.dumps([name, folder.term, form, coldcab.__version__]).encode())
        for file, content in keys:
            digest.update(file.encode() + content)
        if folder.units != "us":
            digest.update(folder.units.encode())
        return cls(name, folder.term, form, keys, earlier, digest.hexdigest(), folder.units)

    @property
    def lines_checked(self) -> dict[str, str]:
        """The labels of the form's lines and the names of the cells that check them."""
        return intake.lines_checked(json.loads(self.form)["cells"])


class Autograder:
    """Reads and marks the submissions of one assignment."""

    def __init__(self, package: MarkingPackage) -> None:
        self.package = package
        self.form = json.loads(package.form)
        self.earlier = {cell: frozenset(texts) for cell, texts in package.earlier}

    @cached_property
    def marker(self) -> Marker:
        """The keys at work; whoever only reads does not wait for them."""
        from coldcab.classroom.marker import Marker

        keys = self.package.keys
        return Marker(material.load_key(self.package.name, keys), self.package.term, material.mends_in(keys))

    @property
    def labels(self) -> list[str]:
        """Return the labels of the lines that the form checks."""
        return list(intake.lines_checked(self.form["cells"]))

    @cached_property
    def _written(self) -> list[str]:
        cells = self.form["cells"]
        return [intake.grade_id(cell) for cell in cells if intake.is_written(cell) or intake.is_program(cell)]

    def read(self, hand_in: HandIn) -> tuple[dict[str, Any], intake.Submission]:
        """Return the clean notebook of a submission and what was read.

        Raises
        ------
        intake.NotGradable
            If it cannot be read.
        """
        return self.clean(intake.parse_notebook(hand_in.data))

    def clean(self, cells: list[dict[str, Any]]) -> tuple[dict[str, Any], intake.Submission]:
        """Return the class's own form with the words of these cells in it, and what was read of them.

        Raises
        ------
        intake.NotGradable
            If it cannot be read.
        """
        submission = intake.read_submission(cells, self.form["cells"], self.package.name, self.earlier)
        return intake.fill_form(self.form, submission.texts), submission

    def mark(self, book: NotebookNode, learner: str) -> None:
        """Mark a clean notebook with the learner's own numbers, and write score and feedback into its outputs."""
        self._write(book, self.marker.mark(self.marker.sheet(book), learner))

    def _write(self, book: NotebookNode, marked: Marked, run: Run = ()) -> None:
        from coldcab.classroom.marked_notebook import put_marks

        put_marks(book, marked.marks, self.marker.labels, marked.case, run, self.package.units)

    def result(self, hand_in: HandIn) -> Result:
        """Read and mark one submission; a bad one is named, never raised."""
        import nbformat  # on need, like marked_notebook: seconds that a command which marks nothing should not wait

        from coldcab.classroom.marked_notebook import make_harmless, notebook_text, scores_of

        learner, time = hand_in.learner, hand_in.time
        try:
            clean, submission = self.read(hand_in)
        except intake.NotGradable as error:
            return Result(learner, time, str(error))
        sheet = self.marker.sheet(clean)
        try:
            marked = self.marker.mark(sheet, learner)
        except (ValueError, ArithmeticError) as error:
            # A key that stumbles over one answer must not stop the class; the learner loses nothing by it.
            return Result(learner, time, f"a key of {self.package.name} stumbles over an answer ({error})")
        # The results of another hand-in say nothing of this one.
        run = hand_in.run if hand_in.run and hand_in.run_of == run_state(self.package, clean) else ()
        text = _text_of(clean)
        book = nbformat.from_dict(json.loads(text))
        self._write(book, marked, run)
        scores, untouched = scores_of(book)
        make_harmless(book)
        words = {
            name: words_fingerprint(submission.texts.get(name, "")) for name in self._written if name not in untouched
        }
        return Result(
            learner,
            time,
            remarks=tuple(dict.fromkeys((*submission.remarks, *sheet.problems))),
            marks=marked.marks,
            numbers=marked.numbers,
            typed=marked.typed,
            clean=text,
            marked=notebook_text(book),
            scores=tuple(scores.items()),
            untouched=tuple(untouched),
            words=tuple(words.items()),
            run=run,
            file=answers_fingerprint(sheet, self.marker.labels),
        )


def words_fingerprint(words: str) -> str:
    """Return the length and the fingerprint of a written answer; spaces and capitals make no difference."""
    plain = " ".join(words.casefold().split())
    return f"{len(plain)} {hashlib.sha256(plain.encode()).hexdigest()[:16]}"


NUMBERS_OF_ONES_OWN = 3
"""Typed numbers from which on a whole sheet cannot be the same by chance."""

DIFFERENT_ANSWERS = 5
"""Different answers from which on the same holds for a sheet of choices; who writes A on each line has one."""


def answers_fingerprint(sheet: Sheet, labels: Sequence[str]) -> str:
    """Return the fingerprint of what was typed; nothing where too little was to be anybody's own."""
    filled = sorted(f"{label}: {answer}" for label, answer in sheet.answers.items() if answer)
    numbers = sum(any(map(str.isdigit, answer)) for answer in sheet.answers.values())
    different = len({answer.casefold() for answer in sheet.answers.values() if answer})
    own = len(filled) > len(labels) / 2 and (numbers >= NUMBERS_OF_ONES_OWN or different >= DIFFERENT_ANSWERS)
    return words_fingerprint("\n".join(filled)) if own else ""


def run_state(package: MarkingPackage, book: dict[str, Any]) -> str:
    """Return the fingerprint of what is run: the clean notebook, and the version of form and keys."""
    return hashlib.sha256((package.version + _text_of(book)).encode()).hexdigest()


def _text_of(book: dict[str, Any]) -> str:
    return json.dumps(book, ensure_ascii=False, sort_keys=True) + "\n"


@lru_cache(maxsize=4)
def autograder_of(package: MarkingPackage) -> Autograder:
    """Return what marks with a package; a process unpacks each once."""
    return Autograder(package)


def mark_all(package: MarkingPackage, hand_ins: Iterable[HandIn]) -> list[Result]:
    """Read and mark some submissions: what a worker does."""
    autograder = autograder_of(package)
    return [autograder.result(hand_in) for hand_in in hand_ins]


def read_alone(package: MarkingPackage, hand_in: HandIn) -> tuple[dict[str, Any], intake.Submission]:
    """Read one submission in a process that is ended where it takes too much; as ``Autograder.read``.

    Raises
    ------
    intake.NotGradable
        If it cannot be read.
    """
    try:
        with guarded() as process:
            found: tuple[dict[str, Any], intake.Submission] = process.call(_read, package, hand_in)
            return found
    except OverBudget as error:
        raise intake.NotGradable(over_budget(error)) from None


def _read(package: MarkingPackage, hand_in: HandIn) -> tuple[dict[str, Any], intake.Submission]:
    return autograder_of(package).read(hand_in)


def over_budget(error: OverBudget) -> str:
    """Return what is said of a submission whose reading was broken off."""
    return f"the file cannot be read: {error}; ask for the sheet in a fresh form"
