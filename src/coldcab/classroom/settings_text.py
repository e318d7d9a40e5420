"""One line of a settings file changed, all others left as a person wrote them, comments and order included."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Sequence
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def with_line(text: str, table: Sequence[str], name: str, value: str) -> str:
    """Return the text of a TOML file in which ``name`` of a table is ``value``, or, with no value, is not there.

    It is meant for lines that stand by themselves; whoever calls it looks that the result says what it should.
    """
    lines = text.splitlines()
    wanted: dict[str, Any] = {}
    for part in reversed(table):
        wanted = {part: wanted}
    start = next((number for number, line in enumerate(lines) if _heading(line) == wanted), None)
    new = [f"{key(name)} = {json.dumps(value, ensure_ascii=False)}"] if value else []
    if start is None:
        return "\n".join([*lines, "", f"[{'.'.join(map(key, table))}]", *new, ""]) if new else text
    end = next((number for number in range(start + 1, len(lines)) if _heading(lines[number]) is not None), len(lines))
    for number in range(start + 1, end):
        if name in (_read(lines[number]) or {}):
            return "\n".join([*lines[:number], *new, *lines[number + 1 :], ""])
    # Comments above the next heading speak of it.
    while end > start + 1 and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#")):
        end -= 1
    return "\n".join([*lines[:end], *new, *lines[end:], ""])


def _heading(line: str) -> dict[str, Any] | None:
    """Return what the heading of a table opens, or None where a line is no such heading."""
    return _read(line) if line.lstrip().startswith("[") else None


def _read(line: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(line)
    except tomllib.TOMLDecodeError:
        return None


def key(name: str) -> str:
    """Return a name as it stands before the equals sign, in quotation marks where it needs them."""
    return name if _BARE.fullmatch(name) else json.dumps(name, ensure_ascii=False)
