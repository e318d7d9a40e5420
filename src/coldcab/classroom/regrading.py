"""Answering a learner who asked for another look: the points stay, or a person gives others."""

from __future__ import annotations

import json

from coldcab.classroom import intake
from coldcab.classroom.folder import ClassError, ClassFolder, Learner, environment_on_path
from coldcab.classroom.forms import form_of
from coldcab.classroom.gradebook import sheet_book
from coldcab.classroom.second_looks import CHANGED, KEPT, WORDS, answer, asked_line


def cells_of(folder: ClassFolder, name: str) -> dict[str, str]:
    """Return the graded cell of each line of a sheet, and that of the answer in the learner's own words."""
    cells = form_of(folder, name)["cells"]
    written = [intake.grade_id(cell) for cell in cells if intake.is_written(cell)]
    return intake.lines_checked(cells) | ({WORDS: written[0]} if written else {})


def words_of(folder: ClassFolder, name: str, learner: Learner) -> tuple[str, str]:
    """Return the points of an answer in a learner's own words, and the words as they were taken in; else nothing."""
    cell = cells_of(folder, name).get(WORDS, "")
    with environment_on_path(), sheet_book(folder, name) as book:
        entry = book.entries().get(learner.id)
    points = entry.points.get(cell) if entry is not None else None
    if points is None:
        return "", ""
    book_of = json.loads((folder.submitted / learner.id / name / f"{name}.ipynb").read_text(encoding="utf-8"))
    said = next(("".join(each["source"]) for each in book_of["cells"] if intake.grade_id(each) == cell), "")
    return "waits" if points.waits else f"{points.score:g} of {points.out_of:g} points", said


def give_answer(folder: ClassFolder, name: str, learner: Learner, line: str, points: float | None, words: str) -> str:
    """Answer what a learner asked about a line, with other ``points`` or, without, as it is; say what became of it.

    Raises
    ------
    ClassError
        If the learner has not asked, nothing has been marked, or the line has not so many points.
    """
    label = asked_line(folder, name, learner.id, line)
    if points is None:
        answer(folder, name, learner.id, label, KEPT, words)
        return f"{label}: the points stay."
    cell = cells_of(folder, name)[label]
    with environment_on_path(), sheet_book(folder, name) as book:
        entry = book.entries().get(learner.id)
        there = entry.points.get(cell) if entry is not None else None
        if there is None:
            raise ClassError(f"Nothing of {learner.id} has been marked on {name}; grade it first.")
        if not 0 <= points <= there.out_of:
            raise ClassError(f"{label} has {there.out_of:g} points; give 0 to {there.out_of:g}, not {points:g}.")
        if points != there.score or there.waits:
            book.give(learner.id, cell, points)
    same = points == there.score
    answer(folder, name, learner.id, label, KEPT if same else CHANGED, words)
    return (
        f"{label}: the points stay."
        if same
        else f"{label}: {there.score:g} before, {points:g} of {there.out_of:g} now."
    )
