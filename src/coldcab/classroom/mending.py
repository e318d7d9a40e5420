"""A key that turned out wrong, mended without a program: an answer counts too, a tolerance is wider, a line is dropped.

What was decided stands in ``lessons/<sheet>/mended.toml`` of the class, which a person can read; keys stay as they are.
"""

from __future__ import annotations

import difflib
import json
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from coldcab.assess import Assignment, Item, Mark, Sheet, fold, read_answer
from coldcab.classroom.settings import ClassError

MENDED = "mended.toml"

WIDEST = 100.0
"""Times that a tolerance may be widened; more gives the points to any number, and ``full`` says so honestly."""


@dataclass(frozen=True)
class Mend:
    """What was decided about one line: answers or wrong ideas that count too, times wider, or all points for all."""

    accept: tuple[str, ...] = ()
    wider: float = 1.0
    full: bool = False

    @property
    def nothing(self) -> bool:
        """Whether the line is marked as its key says."""
        return self == Mend()


Mends = Mapping[str, Mend]


def read_mends(text: str) -> dict[str, Mend]:
    """Return what was decided about the lines of a sheet.

    Raises
    ------
    ClassError
        If the text says something else.
    """
    try:
        found = tomllib.loads(text)
        mends = {
            label: Mend(
                tuple(map(str, about.get("accept", ()))), float(about.get("wider", 1.0)), about.get("full") is True
            )
            for label, about in found.items()
        }
    except (ValueError, AttributeError, TypeError) as error:
        raise ClassError(f"{MENDED} cannot be read ({error}); mend it, or remove it and decide again.") from None
    if wrong := [label for label, mend in mends.items() if not 1.0 <= mend.wider <= WIDEST]:
        raise ClassError(
            f"{MENDED}: {wrong[0]} is to be {mends[wrong[0]].wider:g} times wider; 1 to {WIDEST:g} can be."
        )
    return mends


def write_mends(mends: Mends) -> str:
    """Return the text of ``mended.toml``."""
    lines = ["# What was decided about single lines after sheets were out; coldcab class mend writes it."]
    for label, mend in sorted(mends.items()):
        lines += ["", f"[{json.dumps(label)}]"]
        lines += [f"accept = {json.dumps(list(mend.accept))}"] if mend.accept else []
        lines += [f"wider = {mend.wider:g}"] if mend.wider != 1.0 else []
        lines += ["full = true"] if mend.full else []
    return "\n".join(lines) + "\n"


def widened(assignment: Assignment, mends: Mends) -> Assignment:
    """Return the sheet with the tolerances that were widened."""
    return replace(assignment, items=tuple(_widened(item, mends.get(item.label)) for item in assignment.items))


def _widened(item: Item, mend: Mend | None) -> Item:
    if mend is None or mend.wider == 1.0 or item.key is None:
        return item
    old = item.key.tolerance
    reason = f"{old.reason}; {mend.wider:g} times as wide in this class"
    tolerance = replace(old, reason=reason, absolute=old.absolute * mend.wider, relative=old.relative * mend.wider)
    return replace(item, key=replace(item.key, tolerance=tolerance))


def mended_marks(
    marks: Iterable[Mark], items: Iterable[Item], mends: Mends, sheet: Sheet, case: Any
) -> tuple[Mark, ...]:
    """Return the marks as they are after what was decided."""
    if not mends:
        return tuple(marks)
    by_label = {item.label: item for item in items}
    return tuple(
        _mended(mark, by_label[mark.label], mends[mark.label], sheet.answers.get(mark.label, ""), case)
        if mark.label in mends else mark
        for mark in marks
    )  # fmt: skip


def _mended(mark: Mark, item: Item, mend: Mend, answer: str, case: Any) -> Mark:
    if mark.status == "right":
        return mark
    if mend.full:
        return replace(mark, status="right", points=mark.out_of, idea=None, feedback="This line counts for everybody.")
    if any(_is_accepted(mark, item, said, answer, case) for said in mend.accept):
        return replace(mark, status="right", points=mark.out_of, idea=None, feedback="Right; this answer counts, too.")
    return mark


def _is_accepted(mark: Mark, item: Item, said: str, answer: str, case: Any) -> bool:
    if mark.idea and mark.idea == said:
        return True
    wanted, typed = (read_answer(item, text, case).value for text in (said, answer))
    if wanted is None or typed is None:
        return False
    if isinstance(wanted, str) or isinstance(typed, str):
        return wanted == typed
    width = item.tolerance.width(wanted) if item.tolerance else 0.0
    return abs(typed - wanted) <= max(width, 1e-9 * max(1.0, abs(wanted)))


def decided(
    assignment: Assignment, mends: Mends, line: str, *, accept: str = "", wider: float = 1.0, full: bool = False
) -> tuple[str, dict[str, Mend]]:
    """Return the label of the line meant, and what is decided with this added; nothing given takes all back.

    Raises
    ------
    ClassError
        If there is no such line, the answer is none that the line knows, or it cannot be widened so.
    """
    item = _line(assignment, line)
    ideas = ", ".join(repr(idea.name) for idea in item.ideas)
    if accept and _is_letters(item, accept):
        raise ClassError(
            f"{accept!r} means something else on each learner's sheet; name one of the line's ideas: {ideas}."
        )
    if accept and not _is_known(item, accept):
        raise ClassError(f"{accept!r} is no answer that this line reads, and none of its ideas: {ideas}.")
    if not 1.0 <= wider <= WIDEST:
        raise ClassError(f"A tolerance cannot be {wider:g} times as wide; write 1 to {WIDEST:g}.")
    old = mends.get(item.label, Mend())
    if not accept and wider == 1.0 and not full:
        new = Mend()
    else:
        accepted = tuple(dict.fromkeys((*old.accept, accept))) if accept else old.accept
        new = Mend(accepted, wider if wider != 1.0 else old.wider, full or old.full)
    rest = {label: mend for label, mend in mends.items() if label != item.label}
    return item.label, rest if new.nothing else {**rest, item.label: new}


def _line(assignment: Assignment, line: str) -> Item:
    labels = {fold(item.label): item for item in assignment.items}
    if fold(line) in labels:
        return labels[fold(line)]
    near = difflib.get_close_matches(fold(line), labels, 1)
    hint = f"did you mean {labels[near[0]].label!r}?" if near else f"there are {', '.join(map(repr, labels))}."
    raise ClassError(f"There is no line {line!r} on this sheet; {hint}")


def _is_letters(item: Item, said: str) -> bool:
    """Whether an answer is made of letters, which every learner has in an order of their own."""
    said_as = read_answer(item, said).value
    return isinstance(said_as, str) and all(len(part) == 1 for part in said_as.split(", "))


def _is_known(item: Item, said: str) -> bool:
    return any(idea.name == said for idea in item.ideas) or read_answer(item, said).value is not None
