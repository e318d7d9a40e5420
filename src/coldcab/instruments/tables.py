"""Words in rows and columns, as HTML and as plain text."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from coldcab.instruments.drawing import style


@dataclass(frozen=True)
class Table:
    """Words in rows and columns."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def html(self) -> str:
        """The table as HTML, on its own light ground."""
        cell = f"padding:4px 14px;text-align:right;border-bottom:1px solid {style.RULE}"
        heads = "".join(f'<th scope="col" style="{cell}">{escape(head)}</th>' for head in self.heads)
        rows = "".join(
            "<tr>" + "".join(f'<td style="{cell}">{escape(words)}</td>' for words in row) + "</tr>" for row in self.rows
        )
        return (
            f'<table style="border-collapse:collapse;background:{style.GROUND};color:{style.INK};'
            f'font:15px/1.4 {style.FONT}"><caption style="caption-side:top;text-align:left;padding:6px 14px;'
            f'color:{style.INK};background:{style.GROUND}">{escape(self.caption)}</caption>'
            f"<thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"
        )

    def __str__(self) -> str:
        widths = [max(len(row[place]) for row in (self.heads, *self.rows)) for place in range(len(self.heads))]
        lines = [
            "  ".join(words.rjust(width) for words, width in zip(row, widths, strict=True))
            for row in (self.heads, *self.rows)
        ]
        return "\n".join((self.caption, *lines))

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        return {"text/html": self.html(), "text/plain": str(self)}
