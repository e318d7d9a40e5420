"""Pages of the course for who wants SI first.

A page is written once, trade units first, and never changed for anybody: while the lab shows it, each line of the
course is shown as the line that it is turned into here. So what a learner wrote and the locked cells of a sheet stay as
they are, byte for byte.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

from coldcab.course.copying import folder
from coldcab.units import in_order

# "`2.6 lb` or `1.18 kg`": how an answer may be typed; each of them alone can be typed as it stands.
_TYPED = re.compile(r"`(?P<trade>[^`\n]+)`(?: or `(?P<metric>[^`\n]+)`)?")


def line_in_order(line: str, system: str) -> str:
    """Return a line of a page in the order of units of who reads it.

    Parameters
    ----------
    line : of markdown, written in trade units first.
    system : "us" leaves it as it is; "si" puts the metric quantity first, and of typed examples the metric one.

    Example
    -------
    >>> line_in_order("at 95 F, for example `2 lb` or `0.9 kg`", "si")
    'at 35.0 C (95 F), for example `0.9 kg` or `2 lb`'
    """
    found, end = [], 0
    for typed in _TYPED.finditer(line):
        found += [in_order(line[end : typed.start()], system), _typed(typed, system)]
        end = typed.end()
    return "".join((*found, in_order(line[end:], system)))


def text_in_order(text: str, system: str) -> str:
    """Return a text of several lines in the order of units of who reads it, see `line_in_order`."""
    return "\n".join(line_in_order(line, system) for line in text.split("\n")) if system == "si" else text


def _typed(typed: re.Match[str], system: str) -> str:
    turned = in_order(typed["trade"], system)
    if turned == typed["trade"]:
        return typed[0]
    metric = typed["metric"] or turned.partition(" (")[0]
    return f"`{metric}` or `{typed['trade']}`"


def page_lines(course: Path | None = None) -> Iterator[tuple[Path, str]]:
    """Yield every line of text of every page, with its page; those of the installed course unless told otherwise."""
    for page in sorted((course or folder()).rglob("*.ipynb")):
        if ".ipynb_checkpoints" in page.parts:
            continue
        for cell in json.loads(page.read_text(encoding="utf-8"))["cells"]:
            if cell["cell_type"] == "markdown":
                yield from ((page, line) for line in "".join(cell["source"]).splitlines())


def turned_lines(course: Path | None = None) -> dict[str, str]:
    """Return each line of the course that reads otherwise for who wants SI first, with what it is shown as."""
    lines = {line for __, line in page_lines(course)}
    turned = {line: line_in_order(line, "si") for line in sorted(lines)}
    return {line: shown for line, shown in turned.items() if shown != line}
