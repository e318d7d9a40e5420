"""What a sheet shows: its numbers, what became of its lines, and, while it is being written, how they are read.

The page of a notebook asks at every pause of the pen for the choices of its lines and for how each answer is read; what
comes back is plain data. Nothing is marked here.

Of a practice sheet `progress` keeps, under ``practice/<lesson>``, the number of the card on the desk and each answer
with the number that it was written for::

    {"number": 3, "lines": {"absolute pressure": {"answer": "45 psia", "number": 2}}}

Start, a reload and another day go on from there. Under ``practice-aside/<lesson>`` lie the answers to other numbers, by
the number of their card: ``{"2": {"absolute pressure": "45 psia"}}``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from html import escape
from typing import Any

from coldcab import assess, lessons, progress
from coldcab.assess.marking import Mark
from coldcab.assess.pointing import choices_there, rows_about
from coldcab.instruments.drawing import style
from coldcab.instruments.tables import html_table
from coldcab.scenario.showing import in_order, lines_in_order
from coldcab.words import _

_STYLE = (
    f"background:{style.CARD_GROUND};color:{style.CARD_INK};border:1px solid {style.CARD_RULE};"
    "border-radius:6px;padding:10px 14px;font:14px/1.45 system-ui,sans-serif;max-width:46em"
)
# Shape and word carry the meaning; the colour only helps.
_SIGNS = {
    "right": ("✔", "right", style.CARD_RIGHT),
    "idea": ("✎", "look again", style.CARD_WRONG),
    "wrong": ("✎", "look again", style.CARD_WRONG),
    "blank": ("○", "blank", style.CARD_QUIET),
    "unreadable": ("?", "not read", style.CARD_WRONG),
    "read": ("✔", "read", style.CARD_READ),
    "earlier": ("↺", "earlier", style.CARD_QUIET),
}

Row = tuple[str, str, str, str]
"""Status, label, what was read, feedback."""

TARGET = "coldcab-sheet"
"""Under this name the page and its kernel talk about the sheets."""


@dataclass
class Card:
    """Something to show, in words and as HTML."""

    text: str
    html: str

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, str]:
        return {"text/plain": self.text, "text/html": f'<div style="{_STYLE}">{self.html}</div>'}


def numbers_card(title: str, numbers: list[tuple[str, str]], note: str = "") -> Card:
    """Show the numbers of a sheet: name and value of each row."""
    lines = lines_in_order(numbers)
    width = max(len(label) for label, __ in lines)
    text = "\n".join([title, *(f"  {label:<{width}}  {value}" for label, value in lines), *([note] if note else [])])
    foot = f'<div style="color:{style.CARD_QUIET};margin-top:4px">{escape(note)}</div>' if note else ""
    return Card(text, f"<strong>{escape(title)}</strong>{_numbers_table(lines)}{foot}")


def _numbers_table(lines: list[tuple[str, str]]) -> str:
    cell = "text-align:left;padding:2px 14px 2px 0;vertical-align:top"
    head = "text-align:left;font-weight:600;min-width:12em;padding:2px 14px 2px 0;vertical-align:top"
    return html_table(lines, look="border-collapse:collapse;margin:4px 0", cell=cell, row_head=head)


def feedback_card(rows: list[tuple[str, str, str, str]], problems: tuple[str, ...], summary: str) -> Card:
    """Show what became of each line: (status, label, what was read, feedback)."""
    rows = [(status, label, read, in_order(feedback)) for status, label, read, feedback in rows]
    problems = tuple(map(in_order, problems))
    text = [summary, *problems]
    html = [f"<strong>{escape(summary)}</strong>"]
    html += [f'<p style="margin:4px 0;color:{style.CARD_WRONG}">{escape(problem)}</p>' for problem in problems]
    html.append('<table style="border-collapse:collapse;margin:4px 0">')
    for status, label, read, feedback in rows:
        sign, word, color = _SIGNS[status]
        text.append(f"{sign} {label}: " + "; ".join(part for part in (read, feedback) if part))
        html.append(
            f'<tr><td style="color:{color};padding:2px 10px 2px 0;white-space:nowrap;vertical-align:top;'
            f'text-align:left">{sign} {word}</td><th scope="row" style="text-align:left;font-weight:600;'
            f'padding:2px 12px 2px 0;vertical-align:top">{escape(label)}</th><td style="text-align:left;'
            f'padding:2px 0;vertical-align:top">{escape(read)}'
            + (f"<br>{escape(feedback)}" if read and feedback else escape(feedback))
            + "</td></tr>"
        )
    html.append("</table>")
    return Card("\n".join(text), "".join(html))


def sheet_lines(sheet: assess.Assignment, case: Any, text: str) -> list[dict[str, Any]]:
    """Return one row for each line of ``sheet`` that stands in ``text``, in the order of the text.

    Parameters
    ----------
    sheet
        The form; of a form in several cells, only the lines of the cell are returned.
    case
        The numbers of the sheet, or None while nobody has seen them: then nothing is said about an answer.
    text
        What stands in the cell.

    Returns
    -------
    list
        Label, prompt, whether several choices may be named, the choices, those of them that are chosen, how the
        answer was read, what hinders reading it or is asked back, or what may stand there, and which rows of the
        numbers it is about.
    """
    items = {item.label: item for item in sheet.items}
    answers = assess.parse_sheet(text, items).answers
    names = [name for name, _value in sheet.shown(case)] if case is not None else []
    return [
        _line(items[label], answer, case)
        | {"rows": rows_about(items[label], names), "choices": choices_there(items[label], names)}
        for label, answer in answers.items()
    ]


def whole_sheet(sheet: assess.Assignment, case: Any, text: str) -> str:
    """Return in a sentence how far a graded sheet is, from the text of all its parts; what is open is named."""
    answers = assess.parse_sheet(text, [item.label for item in sheet.items]).answers
    rows = [form_row(item, answers.get(item.label, ""), case) for item in sheet.items]
    read = sum(status == "read" for status, *_rest in rows)
    said = _("Whole sheet: {read} of {lines} lines can be read.").format(read=read, lines=len(rows))
    for status, words in (("blank", _(" Still blank: {labels}.")), ("unreadable", _(" Not read: {labels}."))):
        if labels := [label for one, label, *_rest in rows if one == status]:
            more = [_("{count} more").format(count=len(labels) - MOST_NAMED)] if len(labels) > MOST_NAMED else []
            said += words.format(labels=", ".join(labels[:MOST_NAMED] + more))
    return said


MOST_NAMED = 4
"""Lines that the sentence about a whole sheet names; more would hide what stands above it."""


def form_row(item: assess.Item, answer: str, case: Any) -> Row:
    """Return how a line of a graded sheet is read: status, label, what was read, what to do about it."""
    reading = assess.read_answer(item, answer, case)
    if reading.question:
        return "unreadable", item.label, reading.echo, reading.question
    if reading.value is not None:
        return "read", item.label, reading.echo, ""
    if reading.problem:
        return "unreadable", item.label, "", reading.problem
    return "blank", item.label, "", _("not filled in yet, for example {example}").format(example=item.example)


def _line(item: assess.Item, answer: str, case: Any) -> dict[str, Any]:
    words = item.kind in assess.WORDS
    # A gauge reading needs the air pressure of the case; words need nothing.
    reading = assess.read_answer(item, answer, case) if words or case is not None else assess.Reading(None)
    value = reading.value if isinstance(reading.value, str) else ""
    chosen = value.split(", ") if item.kind == assess.LIST else [value]
    return {
        "label": item.label,
        "prompt": in_order(item.prompt),
        "several": item.kind == assess.LIST,
        "chosen": [choice for choice in chosen if choice],
        "read": "" if reading.question else reading.echo,
        "problem": in_order(reading.problem or reading.question),
        "hint": "" if words else in_order(_("for example {example}").format(example=item.example)),
    }


@dataclass(frozen=True)
class Written:
    """An answer and the number of the practice card that it was written for."""

    answer: str
    number: int


def written_for(before: Mapping[str, Written], answers: Mapping[str, str], number: int) -> dict[str, Written]:
    """Return each answer with the card that it was written for: ``number``, or an earlier one if it is unchanged."""
    found = {}
    for label, answer in answers.items():
        known = before.get(label)
        if answer:
            found[label] = known if known and known.answer == answer else Written(answer, number)
    return found


def kept(sheet: str) -> tuple[int, dict[str, Written]]:
    """Return the number of a practice sheet's card, from 1, and its answers, as they were left."""
    content: Any = progress.kept(_place(sheet))
    try:
        lines = {str(label): Written(**row) for label, row in content["lines"].items()}
        number = content["number"]
    except (TypeError, KeyError, AttributeError):
        return 1, {}
    counts = [number, *(line.number for line in lines.values())]
    if not all(isinstance(count, int) and 0 < count < MOST_CARDS for count in counts):
        return 1, {}
    return number, lines


def keep(sheet: str, number: int, lines: Mapping[str, Written]) -> None:
    """Keep the number of a practice sheet's card and its answers."""
    progress.keep(_place(sheet), {"number": number, "lines": {label: asdict(line) for label, line in lines.items()}})


def kept_aside(sheet: str) -> dict[int, dict[str, str]]:
    """Return the answers of a practice sheet to other numbers than those on the desk, by the number of their card."""
    content: Any = progress.kept(_place(sheet, _ASIDE))
    try:
        sets = {int(number): {str(label): str(said) for label, said in own.items()} for number, own in content.items()}
    except (TypeError, ValueError, AttributeError):
        return {}
    return {number: own for number, own in sets.items() if 0 < number < MOST_CARDS and own}


def keep_aside(sheet: str, sets: Mapping[int, Mapping[str, str]]) -> None:
    """Keep the answers of a practice sheet to other numbers; of many sets the latest."""
    latest = sorted(sets)[-MOST_ASIDE:]
    progress.keep(_place(sheet, _ASIDE), {str(number): dict(sets[number]) for number in latest})


MOST_ASIDE = 30
"""Sets of answers that are kept for one sheet."""

MOST_CARDS = 1_000_000
"""More often nobody draws new numbers; a file that says so is not ours."""


_ASIDE = "practice-aside"


def _place(sheet: str, folder: str = "practice") -> str:
    return f"{folder}/{sheet.removeprefix(assess.PRACTICE_PREFIX)}"


def practice_rows(
    sheet: assess.Assignment, number: int, answers: Mapping[str, str], written: dict[str, Written]
) -> tuple[list[Mark], list[Row], str]:
    """Return the marks for the present numbers, the rows of a practice sheet, and what to say of all together.

    An answer that was written for earlier numbers is judged by those, unless it is right for the present ones too;
    then ``written`` is told so.
    """
    marks, rows, earlier = [], [], set()
    for item in (item for item in sheet.items if item.label in answers):
        mark = _practice_mark(sheet.name, item, answers[item.label], number)
        line = written.get(item.label)
        if mark.status == "right" and line:
            written[item.label] = Written(line.answer, number)
        elif line and line.number != number:
            earlier.add(line.number)
            rows.append(_earlier_row(sheet.name, item, line, number))
            continue
        question = assess.read_answer(item, answers[item.label]).question
        if mark.status == "right" or not question:
            marks.append(mark)
        rows.append(_practice_row(mark, question))
    right = sum(mark.status == "right" for mark in marks)
    summary = _("{right} of {items} right.").format(right=right, items=len(sheet.items))
    if earlier:
        summary += _(" Answers to earlier numbers still stand here: practice {numbers}.").format(
            numbers=", ".join(map(str, sorted(earlier)))
        )
    elif all(row[0] == "blank" for row in rows):
        summary = _("Nothing filled in yet. Write an answer after a colon, then press “Check this sheet”.")
    return marks, rows, summary


def _practice_mark(sheet: str, item: assess.Item, answer: str, number: int) -> Mark:
    card, case = lessons.deck(sheet).card(item.label, number), lessons.practice_case(sheet, number)
    return assess.mark_by_card(item, answer, card, case)


def _earlier_row(sheet: str, item: assess.Item, line: Written, number: int) -> Row:
    mark = _practice_mark(sheet, item, line.answer, line.number)
    said = _("right for practice {earlier}. The numbers are those of practice {number} now: answer anew.")
    if mark.status != "right":
        said = _("written for practice {earlier}; of that: {feedback} The numbers are those of practice {number} now.")
    said = said.format(earlier=line.number, number=number, feedback=mark.feedback)
    return "earlier", item.label, mark.read, said


def _practice_row(mark: Mark, question: str = "") -> Row:
    if question and mark.status != "right":
        return "unreadable", mark.label, mark.read, question
    return mark.status, mark.label, mark.read, "" if mark.status == "right" else mark.feedback
