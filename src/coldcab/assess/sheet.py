"""Reading an answer sheet: words in, labels and answers out. Nothing in a sheet is ever run."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, field

from coldcab.words import _

MAGIC = "%%answers"
"""First line of a cell that holds a sheet."""

LONGEST_SHEET = 20_000
"""Characters that a sheet may have; a filled sheet of the course has fewer than 2000."""

LONGEST_ANSWER = 400
"""Characters that one answer may have; a list of all measurements of the clinic has about 280."""


_APART = {"<fraction>": " ", "<super>": "^"}
"""What must stand before a sign that NFKC spells out, so that it does not grow into the digits before it."""

_LINE_END = re.compile(r"\r\n|[\r\v\f\x1c-\x1e\x85\u2028\u2029]")
"""What ends a line on some computer or in some program."""

MOST_MARKS = 30
"""Accents on one letter that are kept, as in Unicode's stream-safe format (UAX #15, D4): sorting more takes the square
of their number."""

_PLAIN = re.compile(r"[\t\n -~]*")


@dataclass(frozen=True)
class Sheet:
    """What was read: an answer (perhaps empty) for each label, and what could not be read, in plain sentences."""

    answers: dict[str, str] = field(default_factory=dict)
    problems: tuple[str, ...] = ()


def clean(text: str) -> str:
    """Return ``text`` with look-alike characters made plain (NFKC) and without control characters."""
    if _PLAIN.fullmatch(text):
        return text  # nearly all that people type; a class has thousands of sheets
    text = _without_piles(_LINE_END.sub("\n", text))
    # NFKC alone would turn 1½ into 11⁄2 and 10⁵ into 105: another number, silently.
    spaced = "".join(_APART.get(unicodedata.decomposition(sign).split(" ")[0], "") + sign for sign in text)
    plain = unicodedata.normalize("NFKC", spaced)
    return "".join(sign for sign in plain if sign in "\n\t" or unicodedata.category(sign)[0] != "C")


def _without_piles(text: str) -> str:
    kept, marks = [], 0
    for sign in text:
        marks = marks + 1 if unicodedata.combining(sign) else 0
        if marks <= MOST_MARKS:
            kept.append(sign)
    return "".join(kept)


def fold(label: str) -> str:
    """Return ``label`` as it is compared: small letters, single spaces, no punctuation."""
    return " ".join(re.findall(r"[a-z0-9]+", clean(label).casefold()))


def parse_sheet(text: str, labels: Iterable[str] = ()) -> Sheet:
    """Read one sheet of lines ``label: answer``.

    Parameters
    ----------
    text
        The cell's text, with or without its first line ``%%answers``. Blank lines and lines that begin with ``#``
        are passed over.
    labels
        The labels of the form. Without them every label is taken as it stands.

    Returns
    -------
    Sheet
        Answers by label; a label that stands twice with different answers has no answer and is named.
    """
    if len(text) > LONGEST_SHEET:
        return Sheet(
            problems=(
                _("This sheet has {value:,} characters; {longest_sheet:,} are the most that is read.").format(
                    value=len(text), longest_sheet=LONGEST_SHEET
                ),
            )
        )
    known = {fold(label): label for label in labels}
    answers: dict[str, str] = {}
    doubled: list[str] = []
    problems: list[str] = []
    for number, raw in enumerate(clean(text).split("\n"), 1):
        line = raw.strip()
        if not line or line.startswith(("#", MAGIC)):
            continue
        # An equals sign instead of the colon is a slip of the pen, not a mistake.
        typed, mark, answer = line.partition(":") if ":" in line else line.partition("=")
        shown = _short(typed)
        if not mark:
            problems.append(
                _("Line {number}, “{line}”, has no colon; write the label, a colon and your answer.").format(
                    number=number, line=_short(line)
                )
            )
            continue
        label = known.get(fold(typed)) if known else typed.strip()
        if label is None:
            nearest = difflib.get_close_matches(fold(typed), known, n=1, cutoff=0.6)
            advice = (
                _("did you mean “{known}”?").format(known=known[nearest[0]])
                if nearest
                else _("use the labels as they are printed.")
            )
            problems.append(
                _("Line {number}: this sheet has no line “{shown}”; {advice}").format(
                    number=number, shown=shown, advice=advice
                )
            )
            continue
        answer = answer.strip()
        if len(answer) > LONGEST_ANSWER:
            much = _("the answer has {answer} characters").format(answer=len(answer))
            problems.append(
                _("“{label}”: {much}; write a number and its unit, or a few words.").format(label=label, much=much)
            )
            answer = ""
        if answers.get(label) and answer and answer != answers[label]:
            doubled.append(label)
        answers[label] = answer or answers.get(label, "")
    for label in dict.fromkeys(doubled):
        answers[label] = ""
        problems.append(_("“{label}” stands twice with different answers; keep one.").format(label=label))
    return Sheet(answers, tuple(problems))


def merge_sheets(texts: Iterable[str], labels: Iterable[str]) -> Sheet:
    """Read the sheets of several cells as one; what they say twice must agree."""
    return parse_sheet("\n".join(texts), labels)


def blank_form(labels: Iterable[str]) -> str:
    """Return the text of an empty sheet."""
    return "\n".join((MAGIC, *(f"{label}: " for label in labels)))


def _short(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 40 else text[:39] + "…"
