"""Which of a sheet's numbers a line is about, told by their names; the page brings them into view.

Rows whose names differ in a letter alone ("part A" to "part H") are one block. A line that is answered with letters is
about the block that has these letters and whose name it says; any line is about the rows that it calls by their whole
name. Where neither tells, the line names its rows (`Item.rows`).
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from coldcab.assess.items import Item

_LETTERED = re.compile(r"^\s*(.*?)\s*\b([A-Z])\b(?:,.*)?$")


def rows_about(item: Item, names: Sequence[str]) -> list[int]:
    """Return the rows that a line is about.

    Parameters
    ----------
    item
        The line.
    names
        The names of the sheet's rows, in their order.

    Returns
    -------
    list
        Numbers of rows, from 0, in order; empty where nothing tells.
    """
    if item.rows:
        return [number for number, name in enumerate(names) if _begins(name, item.rows)]
    asked = _plain(f"{item.label}. {item.prompt}")
    called = {number for number, name in enumerate(names) if _is_called(name, asked)}
    letters = {choice for choice in item.choices if re.fullmatch("[A-Z]", choice)}
    return sorted(called | _lettered(letters, asked, names, called))


def choices_there(item: Item, names: Sequence[str]) -> list[str]:
    """Return the choices of a line that a learner's numbers have: of a block that is shorter here, fewer letters.

    Arguments as for `rows_about`.
    """
    rows = [_LETTERED.match(names[number]) for number in rows_about(item, names)]
    there = {row[2] for row in rows if row}
    return [choice for choice in item.choices if not re.fullmatch("[A-Z]", choice) or choice in there or not there]


def _plain(text: str) -> str:
    return f" {' '.join(re.findall(r'[a-z0-9]+', text.lower()))} "


def _begins(name: str, beginnings: Sequence[str]) -> bool:
    return _plain(name).startswith(tuple(_plain(beginning).rstrip() for beginning in beginnings))


def _is_called(name: str, asked: str) -> bool:
    """Whether a line says a row's name of two words or more, whole or up to its first comma."""
    plain = [_plain(part) for part in (name, name.partition(",")[0])]
    return any(len(words.split()) > 1 and words in asked for words in plain)


def _lettered(letters: set[str], asked: str, names: Sequence[str], called: set[int]) -> set[int]:
    """Return the rows of these letters whose name is said, or the only rows of these letters."""
    blocks: dict[str, dict[str, int]] = {}
    for number, name in enumerate(names):
        if letters and (match := _LETTERED.match(name)):
            blocks.setdefault(match[1], {})[match[2]] = number
    fitting = {head: rows for head, rows in blocks.items() if set(rows) == letters}
    said = [rows for head, rows in fitting.items() if _says(asked, head)]
    chosen = said or (list(fitting.values()) if len(fitting) == 1 else [])
    return {number for rows in chosen for number in rows.values()}


def _says(asked: str, head: str) -> bool:
    """Whether a text has a name, or the plural of it."""
    word = _plain(head).strip()
    return any(f" {form} " in asked for form in (word, f"{word}s", f"{word}es", word.removesuffix("y") + "ies"))
