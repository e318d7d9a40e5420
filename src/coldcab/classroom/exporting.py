"""Scores as CSV: all of them with remarks, or a table to upload to a platform's gradebook."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial

from coldcab.classroom.competencies import Competency, safe, shown
from coldcab.classroom.copies import suspicions
from coldcab.classroom.inbox import GRADED, NOT_GRADABLE, UNCHANGED, Outcome
from coldcab.classroom.roster import ROSTER_COLUMNS, Learner
from coldcab.classroom.settings import ClassError, Upload

_ACTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""What a spreadsheet may take for the beginning of a formula or a command, in full width too."""


def harmless(text: str) -> str:
    """Return ``text`` so that a spreadsheet shows it instead of calculating it."""
    plain = text.replace("\r", " ").replace("\n", " ")
    return f"'{plain}" if text.lstrip().startswith(_ACTS) or text.startswith(_ACTS) else plain


def scores_table(sheets: Iterable[tuple[str, Sequence[Outcome]]]) -> str:
    """Return one line for each learner and sheet as CSV."""
    rows = [("sheet", "id", "first_name", "last_name", "status", "score", "out_of", "written", "safety", "remark")]
    for name, outcomes in sheets:
        for outcome in outcomes:
            who = outcome.learner
            remark = outcome.reason or "; ".join(suspicions(outcome))
            numbers = ["" if value is None else f"{value:g}" for value in (outcome.score, outcome.out_of)]
            words = [harmless(word) for word in (name, who.id, who.first_name, who.last_name, outcome.status)]
            waits = "waiting" if outcome.to_read else ""
            rows.append((*words, *numbers, waits, harmless("; ".join(outcome.unsafe)), harmless(remark)))
    return _csv(rows)


def upload_table(
    learners: Sequence[Learner],
    sheets: Sequence[tuple[str, Sequence[Outcome]]],
    *,
    unfinished: bool = False,
    upload: Upload = Upload(),  # noqa: B008 - it cannot change
    tasks: Sequence[Competency] = (),
) -> tuple[str, list[str]]:
    """Return one line for each learner as CSV, and who has no score of a sheet for which reason.

    A score is given only where it is whole: an upload cannot say that a written answer waits, and an empty cell is no
    zero. ``unfinished`` gives what there is so far. ``upload`` says which columns there are and how they are called,
    ``tasks`` are those of the competency lists.

    Raises
    ------
    ClassError
        If the roster has no column that the upload is to name learners by.
    """
    by_sheet = {name: {each.learner.id: each for each in outcomes} for name, outcomes in sheets}
    made = _columns(by_sheet, upload, tasks, unfinished)
    rows: list[Sequence[str]] = [[*(upload.headings.get(name, name) for name in upload.who), *made]]
    for learner in learners:
        who = [harmless(_about(learner, name, learners)) for name in upload.who]
        rows.append([*who, *(column(learner.id) for column in made.values())])
    left_out = [
        f"{learner.id}, {name}: {why}"
        for learner in learners
        for name, outcomes in by_sheet.items()
        if "sheets" in upload.columns and (why := _why_not(outcomes.get(learner.id), unfinished))
    ]
    return _csv(rows, upload.separator), left_out


def _columns(
    by_sheet: Mapping[str, Mapping[str, Outcome]], upload: Upload, tasks: Sequence[Competency], unfinished: bool
) -> dict[str, Callable[[str], str]]:
    """Return the columns of scores: each heading, and what makes a cell of a learner's id."""
    found: dict[str, Callable[[str], str]] = {}
    for kind in upload.columns:
        if kind == "sheets":
            for name, outcomes in by_sheet.items():
                found[_heading(name, outcomes, upload)] = partial(_sheet_cell, outcomes, upload, unfinished)
        elif kind == "outcomes":
            for each in tasks:
                if set(each.sheets) & set(by_sheet):
                    found[upload.headings.get(each.code, each.name)] = partial(_outcome_cell, each, by_sheet, upload)
        else:
            found[upload.headings.get("safety", "safety lines (percent)")] = partial(_safety_cell, by_sheet)
    return found


def _heading(name: str, outcomes: Mapping[str, Outcome], upload: Upload) -> str:
    if name in upload.headings:
        return upload.headings[name]
    most = max((each.out_of or 0.0 for each in outcomes.values()), default=0.0)
    return f"{name} (percent)" if upload.scores == "percent" else f"{name} ({most:g} points)"


def _sheet_cell(outcomes: Mapping[str, Outcome], upload: Upload, unfinished: bool, learner: str) -> str:
    outcome = outcomes.get(learner)
    if outcome is None or outcome.score is None or _why_not(outcome, unfinished):
        return ""
    return _amount(outcome.score, outcome.out_of or 0.0, upload)


def _outcome_cell(
    competency: Competency, by_sheet: Mapping[str, Mapping[str, Outcome]], upload: Upload, learner: str
) -> str:
    found = shown(competency, learner, by_sheet)
    return "" if found is None else _amount(*found, upload)


def _safety_cell(by_sheet: Mapping[str, Mapping[str, Outcome]], learner: str) -> str:
    found = safe(learner, by_sheet)
    return "" if found is None else f"{100 * found[0] / found[1]:.4g}"


def _amount(score: float, out_of: float, upload: Upload) -> str:
    if upload.scores == "percent":
        return f"{100 * score / out_of:.4g}" if out_of else ""
    return f"{score:g}"


def _about(learner: Learner, name: str, learners: Sequence[Learner]) -> str:
    """Return what the roster says of a learner under a heading."""
    if name in (*ROSTER_COLUMNS, "name"):
        return str(getattr(learner, name))
    if not any(name == column for each in learners for column, _ in each.more):
        raise ClassError(
            f"The upload is to hold {name!r}, and roster.csv has no such column; add it, or see class.toml."
        )
    return dict(learner.more).get(name, "")


def _why_not(outcome: Outcome | None, unfinished: bool) -> str:
    if outcome is None or outcome.score is None:
        return outcome.status if outcome is not None else "missing"
    if outcome.to_read and not unfinished:
        return "the written answer waits"
    if outcome.status not in (GRADED, UNCHANGED, NOT_GRADABLE):
        return f"{outcome.status}; the score is of what was handed in before"
    if outcome.status == NOT_GRADABLE:
        return f"not gradable: {outcome.reason}"
    return ""


def _csv(rows: Iterable[Sequence[str]], separator: str = ",") -> str:
    text = io.StringIO()
    csv.writer(text, delimiter=separator, lineterminator="\n").writerows(rows)
    return text.getvalue()
