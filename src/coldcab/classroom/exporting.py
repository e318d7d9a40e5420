"""Scores as CSV: all of them with remarks, or a table to upload to a platform's gradebook."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial

from coldcab.classroom.competencies import Competency, Sheets, safe, shown
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
    rows = [("sheet", "id", "first_name", "last_name", "status", "score", "out_of", "taken_off", "written",
             "safety_right", "safety_lines", "safety", "remark")]  # fmt: skip
    for name, outcomes in sheets:
        for outcome in outcomes:
            who = outcome.learner
            remark = outcome.reason or "; ".join(suspicions(outcome))
            numbers = ["" if value is None else f"{value:g}" for value in (outcome.score, outcome.out_of)]
            late = f"{outcome.taken_off:g}" if outcome.taken_off else ""
            safety = map(str, outcome.safety or ("", ""))
            words = [harmless(word) for word in (name, who.id, who.first_name, who.last_name, outcome.status)]
            waits = "waiting" if outcome.to_read else ""
            rows.append((*words, *numbers, late, waits, *safety, harmless("; ".join(outcome.unsafe)), harmless(remark)))
    return table_text(rows)


_TWICE = "Two columns of the upload are called {heading!r}; give each its own in [upload.headings]."

NAMES = ("name", "first_name", "last_name")
"""What several people may have in common."""

Cells = dict[str, Callable[[str], str]]
"""Columns of scores: each heading, and what makes the cell of a learner's id."""


def upload_table(
    learners: Sequence[Learner],
    sheets: Sequence[tuple[str, Sequence[Outcome]]],
    *,
    unfinished: bool = False,
    upload: Upload = Upload(),  # noqa: B008 - it cannot change
    tasks: Sequence[Competency] = (),
    most: Mapping[str, float] | None = None,
) -> tuple[str, list[str]]:
    """Return one line for each learner as CSV, and who has no score of a sheet for which reason.

    A score is given only where it is whole: an upload cannot say that a written answer waits, and an empty cell is no
    zero. ``unfinished`` gives what there is so far. ``upload`` says which columns there are and how they are called,
    ``tasks`` are those of the competency lists, ``most`` the points that can be had for each sheet.

    Raises
    ------
    ClassError
        If the roster has no column that the upload is to name learners by, or two columns have one heading.
    """
    made = upload_cells(sheets, upload, tasks, unfinished=unfinished, most=most)
    rows: list[Sequence[str]] = [[*(heading_of(name, upload) for name in upload.who), *made]]
    if twice := next((name for name, count in Counter(rows[0]).items() if count > 1), ""):
        raise ClassError(_TWICE.format(heading=twice))
    for learner in learners:
        who = [harmless(about(learner, name, learners)) for name in upload.who]
        rows.append([*who, *(cell(learner.id) for cell in made.values())])
    by_sheet = _by_sheet(sheets) if "sheets" in upload.columns else {}
    left_out = [
        f"{learner.id}, {name}: {why}"
        for learner in learners
        for name, outcomes in by_sheet.items()
        if (why := _why_not(outcomes.get(learner.id), unfinished))
    ]
    return table_text(rows, upload.separator), left_out


def _by_sheet(sheets: Sequence[tuple[str, Sequence[Outcome]]]) -> Sheets:
    return {name: {each.learner.id: each for each in outcomes} for name, outcomes in sheets}


def upload_cells(
    sheets: Sequence[tuple[str, Sequence[Outcome]]],
    upload: Upload,
    tasks: Sequence[Competency] = (),
    *,
    unfinished: bool = False,
    most: Mapping[str, float] | None = None,
) -> Cells:
    """Return the columns of scores that an upload has.

    Raises
    ------
    ClassError
        If two have one heading.
    """
    by_sheet = _by_sheet(sheets)
    most = most or {name: max((each.out_of or 0.0 for each in outcomes), default=0.0) for name, outcomes in sheets}
    found: Cells = {}
    for heading, cell in _columns(by_sheet, upload, tasks, unfinished, most):
        if heading in found:
            raise ClassError(_TWICE.format(heading=heading))
        found[heading] = cell
    return found


def _columns(
    by_sheet: Sheets, upload: Upload, tasks: Sequence[Competency], unfinished: bool, most: Mapping[str, float]
) -> Iterator[tuple[str, Callable[[str], str]]]:
    for kind in upload.columns:
        if kind == "sheets":
            for name, outcomes in by_sheet.items():
                yield sheet_heading(name, most[name], upload), partial(_sheet_cell, outcomes, upload, unfinished)
        elif kind == "outcomes":
            for each in tasks:
                if mine := set(each.sheets) & set(by_sheet):
                    code = each.name if each.name in upload.headings else each.code
                    out_of = sum(most[name] for name in mine)
                    yield _named(code, each.name, out_of, upload), partial(_outcome_cell, each, by_sheet, upload)
        else:
            yield upload.headings.get("safety", "safety lines (percent)"), partial(_safety_cell, by_sheet, upload)


def sheet_heading(name: str, out_of: float, upload: Upload) -> str:
    """Return the heading of the column of a sheet with so many points."""
    return _named(name, name, out_of, upload)


def _named(name: str, plain: str, out_of: float, upload: Upload) -> str:
    """Return the heading that the class gave a column, else a plain one that says what its figures are."""
    unit = "percent" if upload.scores == "percent" else f"{out_of:g} points"
    return upload.headings.get(name) or f"{plain} ({unit})"


def unknown_headings(upload: Upload, sheets: Iterable[str], tasks: Iterable[Competency]) -> list[str]:
    """Return for what a heading was given that no upload has: a name was mistyped."""
    known = {*sheets, "safety", *upload.who, *(name for each in tasks for name in (each.code, each.name))}
    return [name for name in upload.headings if name not in known and name.casefold() not in upload.who]


def heading_of(name: str, upload: Upload) -> str:
    """Return the heading of a column of the roster in the upload."""
    return {key.casefold(): text for key, text in upload.headings.items()}.get(name, name)


def known_by(upload: Upload) -> str:
    """Return the column of the roster that a platform knows people by: the first that is no name, else nothing."""
    return next((name for name in upload.who if name not in NAMES), "")


def unnamed(learners: Sequence[Learner], upload: Upload) -> list[str]:
    """Return in a sentence each who has nothing that the platform knows people by, or the same as somebody else."""
    if not (name := known_by(upload)):
        return []
    people: dict[str, list[str]] = {}
    for learner in learners:
        people.setdefault(about(learner, name, learners).casefold(), []).append(learner.id)
    found = [f"no {name} in roster.csv: {', '.join(people.pop(''))}"] if "" in people else []
    return found + [f"the same {name}, {said}: {', '.join(mine)}" for said, mine in people.items() if len(mine) > 1]


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


def _safety_cell(by_sheet: Mapping[str, Mapping[str, Outcome]], upload: Upload, learner: str) -> str:
    found = safe(learner, by_sheet)
    return "" if found is None else _number(100 * found[0] / found[1], upload)


def _amount(score: float, out_of: float, upload: Upload) -> str:
    if upload.scores == "percent":
        return _number(100 * score / out_of, upload) if out_of else ""
    return _number(score, upload)


def _number(figure: float, upload: Upload) -> str:
    """Return a figure with two digits at most behind its decimal sign."""
    return f"{figure:.2f}".rstrip("0").rstrip(".").replace(".", upload.decimal)


def about(learner: Learner, name: str, learners: Sequence[Learner]) -> str:
    """Return what the roster says of a learner under a heading.

    Raises
    ------
    ClassError
        If it has no such column.
    """
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


def table_text(rows: Iterable[Sequence[str]], separator: str = ",", ends: str = "\n") -> str:
    """Return rows as CSV."""
    text = io.StringIO()
    csv.writer(text, delimiter=separator, lineterminator=ends).writerows(rows)
    return text.getvalue()
