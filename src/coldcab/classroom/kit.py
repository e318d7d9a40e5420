"""All that is needed to read and mark the sheets of one assignment, in one piece that can travel to a worker.

A worker gets the kit and the bytes that came in, and gives back what is to be written. It opens no file of the
class and no gradebook, so it may be a process here or a computer elsewhere, and nothing is written twice.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

from coldcab.assess import Mark
from coldcab.classroom import intake, material
from coldcab.classroom.folder import ClassFolder
from coldcab.classroom.marker import Marker, Numbers, Typed
from coldcab.classroom.releasing import earlier_texts, form_of


@dataclass(frozen=True)
class Kit:
    """Form, keys and term of one assignment of a class, and its version: whatever else decides a score."""

    name: str
    term: str
    form: str
    keys: tuple[tuple[str, bytes], ...]
    earlier: tuple[tuple[str, tuple[str, ...]], ...]
    version: str

    @classmethod
    def of(cls, folder: ClassFolder, name: str) -> Kit:
        """Return the kit of one released assignment.

        Raises
        ------
        ClassError
            If it has not been released or has no key.
        """
        import coldcab

        form_of(folder, name)
        form = folder.form_file(name).read_text(encoding="utf-8")
        keys = tuple((inside, file.read_bytes()) for inside, file in material.key_files(folder.path, name))
        earlier = tuple((cell, tuple(texts)) for cell, texts in sorted(earlier_texts(folder, name).items()))
        # What came earlier decides a remark at most, never a score.
        digest = hashlib.sha256(json.dumps([name, folder.term, form, coldcab.__version__]).encode())
        for file, content in keys:
            digest.update(file.encode() + content)
        return cls(name, folder.term, form, keys, earlier, digest.hexdigest())


Run = tuple[tuple[str, float, str], ...]
"""What cells of an instructor's own gave when they were run: name of the cell, points, and words."""


@dataclass(frozen=True)
class HandIn:
    """What one learner handed in, and when, as nbgrader writes it; and what came of it when it was run, if it was."""

    learner: str
    data: bytes
    time: str
    run: Run = ()
    run_of: str = ""


@dataclass(frozen=True)
class Result:
    """What came of one submission: a ``problem`` if it cannot be marked, else all that is to be written."""

    learner: str
    time: str
    problem: str = ""
    remarks: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    numbers: Numbers | None = None
    typed: Typed | None = None
    clean: str = ""
    marked: str = ""
    scores: tuple[tuple[str, float | None], ...] = ()
    untouched: tuple[str, ...] = ()
    words: tuple[tuple[str, str], ...] = ()
    run: Run = ()

    @property
    def to_confirm(self) -> tuple[str, ...]:
        """Return the cells whose points come from a run."""
        return tuple(cell for cell, _, _ in self.run)


class Bench:
    """A kit unpacked: where submissions are read and marked."""

    def __init__(self, kit: Kit) -> None:
        self.kit = kit
        self.form = json.loads(kit.form)
        self.earlier = {cell: frozenset(texts) for cell, texts in kit.earlier}
        self.marker = Marker(material.load_key(kit.name, kit.keys), kit.term)

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
        cells = intake.parse_notebook(hand_in.data)
        submission = intake.read_submission(cells, self.form["cells"], self.kit.name, self.earlier)
        return intake.fill_form(self.form, submission.texts), submission

    def result(self, hand_in: HandIn) -> Result:
        """Read and mark one submission; a bad one is named, never raised."""
        from coldcab.classroom import steps

        learner, time = hand_in.learner, hand_in.time
        try:
            book, submission = self.read(hand_in)
        except intake.NotGradable as error:
            return Result(learner, time, str(error))
        sheet = self.marker.sheet(book)
        try:
            marked = self.marker.mark(sheet, learner)
        except (ValueError, ArithmeticError) as error:
            # A key that stumbles over one answer must not stop the class; the learner loses nothing by it.
            return Result(learner, time, f"a key of {self.kit.name} stumbles over an answer ({error})")
        clean = _text_of(book)
        # What another hand-in gave when it was run says nothing of this one.
        run = hand_in.run if hand_in.run and hand_in.run_of == run_state(self.kit, book) else ()
        case = self.marker.assignment.case(self.kit.term, learner)
        node = steps.marked_notebook(clean, marked.marks, self.marker.labels, case, run)
        scores, untouched = steps.scores_of(node)
        steps.make_harmless(node)
        words = {name: fingerprint(submission.texts.get(name, "")) for name in self._written if name not in untouched}
        return Result(
            learner,
            time,
            remarks=tuple(dict.fromkeys((*submission.remarks, *sheet.problems))),
            marks=marked.marks,
            numbers=marked.numbers,
            typed=marked.typed,
            clean=clean,
            marked=steps.notebook_text(node),
            scores=tuple(scores.items()),
            untouched=tuple(untouched),
            words=tuple(words.items()),
            run=run,
        )


def fingerprint(words: str) -> str:
    """Return the length and the fingerprint of a written answer; spaces and capitals make no difference."""
    plain = " ".join(words.casefold().split())
    return f"{len(plain)} {hashlib.sha256(plain.encode()).hexdigest()[:16]}"


def run_state(kit: Kit, book: dict[str, Any]) -> str:
    """Return the fingerprint of what is run: the clean notebook, and the version of form and keys."""
    return hashlib.sha256((kit.version + _text_of(book)).encode()).hexdigest()


def _text_of(book: dict[str, Any]) -> str:
    return json.dumps(book, ensure_ascii=False, sort_keys=True) + "\n"


@lru_cache(maxsize=4)
def bench_of(kit: Kit) -> Bench:
    """Return the unpacked kit; a process unpacks each once."""
    return Bench(kit)


def results(kit: Kit, hand_ins: Iterable[HandIn]) -> list[Result]:
    """Read and mark some submissions: what a worker does."""
    bench = bench_of(kit)
    return [bench.result(hand_in) for hand_in in hand_ins]
