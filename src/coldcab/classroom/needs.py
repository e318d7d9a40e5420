"""Who needs a word, and why: those in greatest need first, each reason said once for all sheets it is true of."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from coldcab.classroom.copies import suspicions
from coldcab.classroom.inbox import MISSING, NOT_GRADABLE, Outcome

LOW = 0.4
"""Share of the points below which a learner needs a word."""

FALL = 0.3
"""Share of the points by which a learner has fallen behind their own other sheets."""

FIRST_WORDS = 8
"""Learners that the report names at once; the others stand behind them, to be unfolded."""

FIRST_REASONS = 3
"""Reasons that the report gives of one learner."""

FIRST_SHEETS = 3
"""Sheets that one reason names."""

NEEDS = ("not gradable", "copied", "safety", "unread", "blank", "fall", "low", "missing", "idea", "late")
"""Kinds of reasons, the one that needs a word most first."""


@dataclass(frozen=True)
class Reason:
    """Why a learner needs a word about one sheet; ``short`` is what is said where it is true of several."""

    kind: str
    text: str
    short: str = ""


def how_long(seconds: float) -> str:
    """Return a time in words that people use."""
    for size, word in ((86_400, "days"), (3_600, "hours"), (60, "minutes")):
        if seconds >= 2 * size:
            return f"{seconds / size:.0f} {word}"
    return f"{seconds:.0f} seconds"


def share_of(outcome: Outcome) -> float | None:
    """Return the share of the points of a sheet that tells something of its owner, else None.

    What waits for a person counts for nobody yet.
    """
    if outcome.score is None or not outcome.out_of or outcome.fits or outcome.blank or outcome.unread:
        return None
    waiting = sum(mark.out_of for mark in outcome.marks) if outcome.to_read else outcome.out_of
    return outcome.earned / (waiting or outcome.out_of)


def reasons_of(outcome: Outcome) -> Iterator[Reason]:
    """Yield why a learner needs a word about one sheet."""
    if outcome.status == MISSING:
        yield Reason("missing", "nothing handed in")
    if outcome.status == NOT_GRADABLE:
        yield Reason("not gradable", f"not gradable: {outcome.reason}")
    for why in suspicions(outcome):
        yield Reason("copied", f"{why}; talk before you judge")
    if outcome.unsafe and not outcome.blank:
        yield Reason("safety", f"not passed, safety: {', '.join(outcome.unsafe)}", "not passed, safety")
    if outcome.blank:
        yield Reason("blank", "handed in empty")
    if outcome.unread:
        yield Reason("unread", "nothing on it could be read; look at the sheet together")
    if outcome.seconds_late:
        yield Reason("late", f"{how_long(outcome.seconds_late)} late", "late")
    held = Counter(mark.idea for mark in outcome.marks if mark.idea)
    for idea, count in held.items():
        if count > 1:
            yield Reason("idea", f"“{idea}” on {count} lines", f"“{idea}”")
    share = share_of(outcome)
    if share is not None and share < LOW:
        few = f"fewer than {LOW:.0%} of the points"
        yield Reason("low", f"{outcome.score:g} of {outcome.out_of:g} points", few)


def need_a_word(sheets: Sequence[tuple[str, Sequence[Outcome]]]) -> dict[str, list[str]]:
    """Return who needs a word, and why: learner to reasons, whoever needs it most first, and so their reasons."""
    found: dict[str, dict[tuple[str, str], list[tuple[str, str]]]] = defaultdict(lambda: defaultdict(list))
    shares: dict[str, dict[str, float]] = defaultdict(dict)
    for name, outcomes in sheets:
        for each in outcomes:
            for reason in reasons_of(each):
                found[each.learner.id][reason.kind, reason.short or reason.text].append((name, reason.text))
            if (share := share_of(each)) is not None:
                shares[each.learner.id][name] = share
    for who, by_sheet in shares.items():
        for name, share in by_sheet.items():
            others = [other for sheet, other in by_sheet.items() if sheet != name]
            if others and share < sum(others) / len(others) - FALL:
                text = "far below this learner's other sheets"
                found[who]["fall", text].append((name, text))
    for reasons in found.values():
        if missing := reasons.get(("missing", "nothing handed in")):
            reasons["missing", "nothing handed in"] = missing if len(missing) < len(sheets) else [("", missing[0][1])]
    ordered = {who: sorted(reasons.items(), key=lambda item: _order(item[0][0])) for who, reasons in found.items()}
    first = sorted(ordered, key=lambda who: (_order(ordered[who][0][0][0]), -_weight(ordered[who]), who))
    return {who: [_said(short, where, len(sheets)) for (_, short), where in ordered[who]] for who in first}


def _order(kind: str) -> int:
    return NEEDS.index(kind)


def _weight(reasons: Sequence[tuple[tuple[str, str], Sequence[object]]]) -> int:
    return sum(len(where) for _, where in reasons)


def _said(short: str, where: list[tuple[str, str]], sheets: int) -> str:
    """Say one reason: with its detail where it is true of one sheet, in short where of several."""
    if len(where) == 1:
        name, text = where[0]
        return f"{name}: {text}" if sheets > 1 and name else text
    names = [name for name, _ in where]
    more = f" and {len(names) - FIRST_SHEETS} more" if len(names) > FIRST_SHEETS else ""
    return f"{', '.join(names[:FIRST_SHEETS])}{more}: {short}"
