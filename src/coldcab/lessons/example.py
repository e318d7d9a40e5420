"""What a worked example shows: a table or a picture, with its text alternative."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from coldcab import learner

# "28.5 psia (197 kPa absolute)": a number with its unit, and the same in the other system.
_BOTH = re.compile(r"(?P<trade>-?[\d.,]+ [^()]+?) \((?P<metric>-?[\d.,]+ [^()]+)\)")


@dataclass(frozen=True)
class Example:
    """Something to show: a text alternative, and a table or a drawing as HTML."""

    text: str
    html: str = ""

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, Any]:
        bundle: dict[str, Any] = {"text/plain": self.text}
        if self.html:
            bundle["text/html"] = self.html
        return bundle


def metric_first(cell: str) -> str:
    """A cell that shows a quantity in both systems, with the metric one first; any other cell as it is."""
    found = _BOTH.fullmatch(cell)
    return f"{found['metric']} ({found['trade']})" if found else cell


def example_table(head: tuple[str, ...], body: Sequence[tuple[str, ...]], caption: str) -> Example:
    """Return rows as a table: in words with aligned columns, and as HTML; the cells are text of our own."""
    if learner.units() == "si":
        body = [tuple(metric_first(cell) for cell in row) for row in body]
    widths = [max(len(row[column]) for row in [head, *body]) for column in range(len(head))]
    text = [caption] + [
        "  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip() for row in [head, *body]
    ]
    cell = 'style="text-align:left;padding:2px 14px 2px 0"'
    html = (
        f'<table style="border-collapse:collapse"><caption style="text-align:left">{caption}</caption><tr>'
        + "".join(f'<th scope="col" {cell}>{each}</th>' for each in head)
        + "</tr>"
        + "".join("<tr>" + "".join(f"<td {cell}>{each}</td>" for each in row) + "</tr>" for row in body)
        + "</table>"
    )
    return Example("\n".join(text), html)
