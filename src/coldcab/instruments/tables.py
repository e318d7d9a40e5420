"""Words in rows and columns, as HTML and as plain text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from coldcab import learner, units
from coldcab.instruments.drawing import style


@dataclass(frozen=True)
class Table:
    """Words in rows and columns; ``left`` sets them to the left, for sentences."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    left: bool = False

    def html(self) -> str:
        """The table as HTML, on its own light ground."""
        ground = f"color:{style.INK};background:{style.GROUND}"
        return html_table(
            self.rows,
            look=f"border-collapse:collapse;background:{style.GROUND};color:{style.INK};font:15px/1.4 {style.FONT}",
            cell=f"padding:4px 14px;text-align:{'left' if self.left else 'right'};vertical-align:top;"
            f"border-bottom:1px solid {style.RULE}",
            heads=self.heads,
            caption=f'<caption style="caption-side:top;text-align:left;padding:6px 14px;{ground}">'
            f"{escape(self.caption)}</caption>",
        )

    def __str__(self) -> str:
        widths = [max(len(row[place]) for row in (self.heads, *self.rows)) for place in range(len(self.heads))]
        lines = [
            "  ".join(
                words.ljust(width) if self.left else words.rjust(width)
                for words, width in zip(row, widths, strict=True)
            ).rstrip()
            for row in (self.heads, *self.rows)
        ]
        return "\n".join((self.caption, *lines))

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        mine = self.in_order(learner.units())
        return {"text/html": mine.html(), "text/plain": str(mine)}

    def in_order(self, system: str) -> Table:
        """The table in the order of units of who reads it."""

        def turned(words: Iterable[str]) -> tuple[str, ...]:
            return tuple(units.in_order(one, system) for one in words)

        rows = tuple(turned(row) for row in self.rows)
        return Table(units.in_order(self.caption, system), turned(self.heads), rows, self.left)


def html_table(
    rows: Iterable[Sequence[str]],
    *,
    look: str,
    cell: str,
    row_head: str = "",
    heads: Sequence[str] = (),
    caption: str = "",
) -> str:
    """Rows of words as an HTML table; the words are escaped.

    Parameters
    ----------
    rows : words of each row.
    look, cell, row_head : style of the table, of a cell, and of the first column where it heads its rows.
    heads : words over the columns, if any.
    caption : the caption's element, if any.
    """
    first = 1 if row_head else 0
    body = "".join(
        "<tr>"
        + "".join(f'<th scope="row" style="{row_head}">{escape(words)}</th>' for words in row[:first])
        + "".join(f'<td style="{cell}">{escape(words)}</td>' for words in row[first:])
        + "</tr>"
        for row in rows
    )
    if heads:
        over = "".join(f'<th scope="col" style="{cell}">{escape(head)}</th>' for head in heads)
        body = f"<thead><tr>{over}</tr></thead><tbody>{body}</tbody>"
    return f'<table style="{look}">{caption}{body}</table>'
