"""Scores as CSV: all of them with remarks, or a table to upload to a platform's gradebook."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from coldcab.classroom.copies import suspicions
from coldcab.classroom.inbox import GRADED, NOT_GRADABLE, UNCHANGED, Outcome
from coldcab.classroom.roster import Learner

_ACTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""What a spreadsheet may take for the beginning of a formula or a command, in full width too."""


def harmless(text: str) -> str:
    """Return ``text`` so that a spreadsheet shows it instead of calculating it."""
    plain = text.replace("\r", " ").replace("\n", " ")
    return f"'{plain}" if text.lstrip().startswith(_ACTS) or text.startswith(_ACTS) else plain


def scores_table(sheets: Iterable[tuple[str, Sequence[Outcome]]]) -> str:
    """Return one line for each learner and sheet as CSV."""
    rows = [("sheet", "id", "first_name", "last_name", "status", "score", "out_of", "written", "remark")]
    for name, outcomes in sheets:
        for outcome in outcomes:
            who = outcome.learner
            remark = outcome.reason or "; ".join(suspicions(outcome))
            numbers = ["" if value is None else f"{value:g}" for value in (outcome.score, outcome.out_of)]
            words = [harmless(word) for word in (name, who.id, who.first_name, who.last_name, outcome.status)]
            waits = "waiting" if outcome.to_read else ""
            rows.append((*words, *numbers, waits, harmless(remark)))
    return _csv(rows)


def upload_table(
    learners: Sequence[Learner], sheets: Sequence[tuple[str, Sequence[Outcome]]], *, unfinished: bool = False
) -> tuple[str, list[str]]:
    """Return one line for each learner with a column for each sheet, as CSV, and who has no score for which reason.

    A score is given only where it is whole: an upload cannot say that a written answer waits, and an empty cell is no
    zero. ``unfinished`` gives what there is so far.
    """
    by_sheet = [(name, {each.learner.id: each for each in outcomes}) for name, outcomes in sheets]
    heading = ["id", "first_name", "last_name", "email"]
    for name, outcomes in by_sheet:
        most = max((each.out_of or 0.0 for each in outcomes.values()), default=0.0)
        heading.append(f"{name} ({most:g} points)")
    rows: list[Sequence[str]] = [heading]
    left_out = []
    for learner in learners:
        row = [harmless(word) for word in (learner.id, learner.first_name, learner.last_name, learner.email)]
        for name, outcomes in by_sheet:
            outcome = outcomes.get(learner.id)
            why = _why_not(outcome, unfinished)
            if why or outcome is None or outcome.score is None:
                left_out.append(f"{learner.id}, {name}: {why}")
                row.append("")
            else:
                row.append(f"{outcome.score:g}")
        rows.append(row)
    return _csv(rows), left_out


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


def _csv(rows: Iterable[Sequence[str]]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()
