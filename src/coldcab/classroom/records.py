"""What was found in each submission, one small file each: what makes a run go on where it stopped, and the report.

A record is written last, after the gradebook. Where it is missing or belongs to something older, the submission is
marked again, which changes nothing that was right.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from sys import intern
from typing import Any

from coldcab.assess import Mark
from coldcab.classroom.autograder import MarkingPackage
from coldcab.classroom.folder import ClassFolder, own_folder, write_file
from coldcab.classroom.marker import Numbers, Typed
from coldcab.classroom.submissions import HandIn, Result, Run

GRADED, PAGES, RUNS, REFUSED = "graded", "pages", "runs", "refused"
OWNERS = "owners.json"


@dataclass(frozen=True)
class Record:
    """What was found in one submission when it was marked.

    ``state`` says of what, and with which form and keys; ``size`` is that of the marked notebook.
    """

    state: str
    size: int
    remarks: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    numbers: Numbers | None = None
    typed: Typed | None = None
    words: tuple[tuple[str, str], ...] = ()
    file: str = ""

    @classmethod
    def of(cls, state: str, result: Result) -> Record:
        """Return the record of a result."""
        size = len(result.marked.encode())
        return cls(state, size, result.remarks, result.marks, result.numbers, result.typed, result.words, result.file)


def state_of(package: MarkingPackage, hand_in: HandIn) -> str:
    """Return the fingerprint of all that decides what becomes of a submission."""
    digest = hashlib.sha256(hand_in.data)
    digest.update(f"\n{package.version}\n{hand_in.learner}\n{hand_in.time}".encode())
    if hand_in.run:
        digest.update(repr((hand_in.run_of, hand_in.run)).encode())
    return digest.hexdigest()


def read_record(folder: ClassFolder, name: str, learner: str) -> Record | None:
    """Return the record of a learner, or None if there is none that can be read."""
    try:
        found = json.loads(_file(folder, name, GRADED, f"{learner}.json").read_text(encoding="utf-8"))
        typed = found["typed"]
        return Record(
            found["state"],
            found["size"],
            tuple(found["remarks"]),
            tuple(_mark(each) for each in found["marks"]),
            Numbers(**_with_tuples(found["numbers"])),
            Typed(**_with_tuples(typed)) if typed else None,
            tuple((cell, words) for cell, words in found["words"]),
            found.get("file", ""),
        )
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _with_tuples(found: dict[str, Any]) -> dict[str, Any]:
    return {key: tuple(value) if isinstance(value, list) else value for key, value in found.items()}


def _mark(found: dict[str, Any]) -> Mark:
    """Build a mark; what is the same for many learners is kept once, since a class may have thousands."""
    shared = {key: intern(found[key]) for key in ("label", "status", "feedback")}
    idea = intern(found["idea"]) if found["idea"] else None
    return Mark(**{**found, **shared, "idea": idea})


def write_record(folder: ClassFolder, name: str, learner: str, record: Record) -> None:
    """Write the record of a learner."""
    file = own_folder(folder.path, "records", name, GRADED) / f"{learner}.json"
    # dataclasses.asdict copies every piece, which takes longer than marking a sheet does.
    plain = record.__dict__ | {
        "marks": [mark.__dict__ for mark in record.marks],
        "numbers": record.numbers.__dict__ if record.numbers else None,
        "typed": record.typed.__dict__ if record.typed else None,
    }
    write_file(file, json.dumps(plain, ensure_ascii=False).encode())


def set_aside(folder: ClassFolder, name: str, learner: str, record: Record) -> None:
    """Let a record speak of nothing before something else is written; its words stay, for points by hand hang on them.

    Otherwise a run that dies in between, and a learner who then hands in the old file again, would look done.
    """
    write_record(folder, name, learner, replace(record, state=""))


def read_run(folder: ClassFolder, name: str, learner: str) -> tuple[str, Run]:
    """Return in which notebook the instructor's own cells were run last, and their results; nothing twice if never."""
    try:
        found = json.loads(_file(folder, name, RUNS, f"{learner}.json").read_text(encoding="utf-8"))
        cells = tuple((cell, float(points), str(said)) for cell, (points, said) in sorted(found["cells"].items()))
        return str(found["state"]), cells
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return "", ()


def write_run(folder: ClassFolder, name: str, learner: str, state: str, cells: Mapping[str, tuple[float, str]]) -> None:
    """Write down the results of the instructor's own cells."""
    file = own_folder(folder.path, "records", name, RUNS) / f"{learner}.json"
    write_file(file, json.dumps({"state": state, "cells": cells}).encode())


def refusal(folder: ClassFolder, name: str, learner: str, state: str) -> str:
    """Return why the submission of this state could not be marked, where that was found before; else nothing."""
    try:
        found = json.loads(_file(folder, name, REFUSED, f"{learner}.json").read_text(encoding="utf-8"))
        return str(found["reason"]) if found["state"] == state else ""
    except (OSError, ValueError, KeyError, TypeError):
        return ""


def write_refusal(folder: ClassFolder, name: str, learner: str, state: str, reason: str) -> None:
    """Write down why a submission could not be marked, so that nobody has to find it again; without reason, forget."""
    file = _file(folder, name, REFUSED, f"{learner}.json")
    if reason:
        own_folder(folder.path, "records", name, REFUSED)
        write_file(file, json.dumps({"state": state, "reason": reason}).encode())
    else:
        file.unlink(missing_ok=True)


def owners_state(version: str, roster: Iterable[str], marked: Mapping[str, Any]) -> str:
    """Return the fingerprint of all that decides whose numbers the sheets of a class fit."""
    parts = [version, list(roster), sorted((who, repr(found)) for who, found in marked.items())]
    return hashlib.sha256(json.dumps(parts).encode()).hexdigest()


def read_owners(folder: ClassFolder, name: str, state: str) -> dict[str, str] | None:
    """Return whose numbers the sheets fit, where that was found for this state; else None."""
    try:
        found = json.loads((folder.records / name / OWNERS).read_text(encoding="utf-8"))
        return dict(found["owners"]) if found["state"] == state else None
    except (OSError, ValueError, KeyError, TypeError):
        return None


def write_owners(folder: ClassFolder, name: str, state: str, owners: Mapping[str, str]) -> None:
    """Write down whose numbers the sheets of a class fit."""
    file = own_folder(folder.path, "records", name) / OWNERS
    write_file(file, json.dumps({"state": state, "owners": owners}).encode())


def page_state(folder: ClassFolder, name: str, learner: str) -> str:
    """Return the fingerprint of the page that was written last for a learner, or nothing."""
    try:
        return _file(folder, name, PAGES, f"{learner}.txt").read_text(encoding="utf-8")
    except (OSError, ValueError):
        return ""


def write_page_state(folder: ClassFolder, name: str, learner: str, state: str) -> None:
    """Write down which page a learner has."""
    write_file(own_folder(folder.path, "records", name, PAGES) / f"{learner}.txt", state.encode())


def _file(folder: ClassFolder, name: str, kind: str, file: str) -> Path:
    return folder.records / name / kind / file
