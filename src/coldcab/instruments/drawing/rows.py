"""Rows of numbers on a drawing: a name, then one column or more."""

from __future__ import annotations

from collections.abc import Sequence

from coldcab.instruments.drawing import style, svg

ROW = 23.0


def rows(
    y: float,
    columns: Sequence[float],
    lines: Sequence[Sequence[str]],
    *,
    left: float = style.MARGIN,
    right: float = style.WIDTH - style.MARGIN,
    bold: int = 1,
) -> str:
    """Lines of words, the first one at baseline `y`, one column bold; a hairline below each.

    They stand in a group of their own, so that a narrow page can tell them as a table.
    """
    drawn = ""
    for place, words in enumerate(lines):
        at = y + ROW * place
        drawn += svg.line(left, at + 6, right, at + 6, stroke=style.RULE)
        drawn += "".join(
            svg.text(x, at, part, bold=column == bold)
            for column, (x, part) in enumerate(zip(columns, words, strict=False))
            if part
        )
    return f'<g data-table="{len(columns)}">{drawn}</g>'
