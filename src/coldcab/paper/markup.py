"""From a page of our own, in HTML, to blocks that the house style sets on paper.

The pages that a class opens in a browser are printed from the same words: whatever a template says there stands on
paper as well. Blocks are data; a template sets them as text.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from html import unescape
from html.parser import HTMLParser

from coldcab.words import _

Run = dict[str, str | bool]
"""Words in one style: ``text``, and whether it is ``bold``, ``italic`` or ``code``; or a small drawing among words."""

Block = dict[str, object]
"""A block: ``kind`` is heading, words, list, table, code, drawing or box, and what each of them holds."""

EMPTY = frozenset(("area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"))
SILENT = frozenset(("head", "script", "style", "title", "template"))
HEADINGS = ("h1", "h2", "h3", "h4", "h5", "h6")
BLOCKS = frozenset(
    ("body", "details", "div", "html", "ol", "p", "pre", "section", "summary", "svg", "table", "ul", *HEADINGS)
)
ON_SCREEN = ("anchor-link", "screen")
"""Classes of what is of no use on paper."""
STYLES = {"strong": "bold", "b": "bold", "em": "italic", "i": "italic", "code": "code", "kbd": "code"}
_DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
_SPACE = re.compile(r"[ \t\r\n\f]+")
"""Space that may become a new line; what keeps words together stays."""
_FONT = re.compile(r'font-family="[^"]*"')


@dataclass
class Node:
    """An element: its name, its class, what lies in it; words lie in it as text."""

    name: str
    css: str = ""
    inside: list[Node | str] = field(default_factory=list)


class _Reader(HTMLParser):
    """Reads a page into nodes; what is left open is closed at the end of what it lies in.

    A drawing is a node that holds all of its markup.
    """

    def __init__(self, drawings: list[str]) -> None:
        super().__init__()
        self.open = [Node("html")]
        self.drawings = drawings

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        css = next((value or "" for name, value in attrs if name == "class"), "")
        node = Node(tag, self.drawings[int(css)] if tag == "svg" else css)
        self.open[-1].inside.append(node)
        if tag not in EMPTY:
            self.open.append(node)

    def handle_endtag(self, tag: str) -> None:
        for place in range(len(self.open) - 1, 0, -1):
            if self.open[place].name == tag:
                del self.open[place:]
                return

    def handle_data(self, data: str) -> None:
        self.open[-1].inside.append(data)


def blocks(html: str, under: int = 0) -> list[Block]:
    """The blocks of a page or a part of one.

    Headings go down one level at a time, as a reader that reads aloud needs it.

    Parameters
    ----------
    html : markup of our own templates; what somebody wrote is escaped in it.
    under : level of the heading that stands above it on the paper, 0 for none.
    """
    drawings: list[str] = []

    def kept(match: re.Match[str]) -> str:
        drawings.append(match[0])
        return f'<svg class="{len(drawings) - 1}"></svg>'

    marked = _DRAWING.sub(kept, html)
    reader = _Reader(drawings)
    reader.feed(marked)
    reader.close()
    found = list(_blocks(reader.open[0]))
    for one in _headings(found):
        one["level"] = under = min(int(str(one["level"])), under + 1, 3)
    return found


def _headings(found: Iterable[Block]) -> Iterator[Block]:
    """All headings, also those within boxes and lists, in their order."""
    for one in found:
        if one["kind"] == "heading":
            yield one
        inside, items = one.get("inside"), one.get("items")
        for lower in [inside, *(items if isinstance(items, list) else [])]:
            yield from _headings(lower if isinstance(lower, list) else [])


def _blocks(node: Node) -> Iterator[Block]:
    """Blocks in a node; words between them become blocks of their own."""
    loose: list[Node | str] = []

    def told() -> Iterator[Block]:
        runs = _runs(loose)
        loose.clear()
        if runs:
            yield {"kind": "words", "runs": runs}

    for part in node.inside:
        if isinstance(part, str) or part.name not in BLOCKS:
            loose.append(part)
            continue
        yield from told()
        yield from _block(part)
    yield from told()


def _block(node: Node) -> Iterator[Block]:
    if node.name in HEADINGS and not (runs := _runs(node.inside)):
        return
    if node.name in HEADINGS:
        yield {"kind": "heading", "level": int(node.name[1:]), "runs": runs}
    elif node.name == "summary":
        yield {"kind": "heading", "level": 3, "runs": _runs(node.inside)}
    elif node.name == "pre":
        yield {"kind": "code", "text": _text(node).strip("\n")}
    elif node.name == "svg":
        yield {"kind": "drawing", **_drawing(node.css)}
    elif node.name in ("ul", "ol"):
        items = [list(_blocks(one)) for one in _children(node, "li")]
        yield {"kind": "list", "ordered": node.name == "ol", "items": items}
    elif node.name == "table":
        yield from _tables(node)
    elif node.name == "p" and not node.css:
        if runs := _runs(node.inside):
            yield {"kind": "words", "runs": runs}
    elif node.css:
        yield {"kind": "box", "role": node.css, "inside": list(_blocks(node))}
    else:
        yield from _blocks(node)


def _drawing(svg: str) -> Run:
    """A drawing with what it says in words; its letters are those of the paper."""
    said = re.search(r'aria-label="([^"]*)"', svg)
    words = unescape(said[1]) if said else _("drawing")
    return {"svg": _FONT.sub('font-family="DejaVu Sans"', svg), "alt": words}


MOST_COLUMNS = 14
"""Columns that a table of marks can have beside the names; one with more is set as several."""


def _tables(node: Node) -> Iterator[Block]:
    found = [(part.name, [_cell(one) for one in _cells(row)]) for part in _parts(node) for row in _children(part, "tr")]
    width = max((len(row) for _name, row in found), default=0)
    if not width:
        return
    several = -(-(width - 1) // MOST_COLUMNS) if "grid" in node.css else 0
    each = -(-(width - 1) // several) if several else 0
    for part in [slice(1 + place * each, 1 + (place + 1) * each) for place in range(several)] or [slice(None)]:
        head, body = (
            [_padded(row, part, width) for name, row in found if (name == "thead") is on_top]
            for on_top in (True, False)
        )
        columns = list(zip(*head, *body, strict=True))
        lengths = [max(map(_length, column)) for column in columns]
        drawn = [any("svg" in run for cell in column for run in cell) for column in columns]
        longest = max(sum(map(_length, row)) for row in [*head, *body])
        yield {"kind": "table", "role": node.css, "head": head, "rows": body, "widths": _widths(lengths, drawn),
               "whole": longest < WHOLE}  # fmt: skip


WHOLE = 900
"""Letters of the longest row that no end of a page divides."""

A_LINE = 88
"""Letters of the smallest size that stand beside each other on a page, the rules of a table taken off."""

NARROW = 14
"""Letters of a column that is never made narrower."""


def _widths(lengths: list[int], drawn: list[bool]) -> list[float]:
    """Shares of the page for the columns of a table; 0 is a column as wide as what stands in it, as a drawing is."""
    if sum(lengths) <= A_LINE:
        return [0] * len(lengths)
    columns = zip(lengths, drawn, strict=True)
    return [0 if length <= NARROW or drawing else round(length**0.6, 2) for length, drawing in columns]


DRAWING = 22
"""Letters as wide as a drawing among words."""


def _length(runs: list[Run]) -> int:
    return sum(DRAWING if "svg" in run else len(str(run["text"])) for run in runs)


def _padded(row: list[list[Run]], part: slice, width: int) -> list[list[Run]]:
    """A row with as many cells as the widest; of a part, the first column stands before it."""
    full = [*row, *([] for _ in range(width - len(row)))]
    return full if part == slice(None) else [full[0], *full[part]]


def _cell(node: Node) -> list[Run]:
    """What stands in a cell; a heading's words are bold."""
    return [run | {"bold": True} if node.name == "th" and "bold" in run else run for run in _runs(node.inside)]


def _parts(table: Node) -> Iterable[Node]:
    """Parts of a table; rows that lie in none are a part of their own."""
    return [table, *(one for one in table.inside if isinstance(one, Node) and one.name in ("thead", "tbody"))]


def _children(node: Node, name: str) -> list[Node]:
    return [one for one in node.inside if isinstance(one, Node) and one.name == name]


def _cells(row: Node) -> list[Node]:
    return [one for one in row.inside if isinstance(one, Node) and one.name in ("th", "td")]


def _text(node: Node) -> str:
    return "".join(part if isinstance(part, str) else _text(part) for part in node.inside)


def _runs(parts: Iterable[Node | str]) -> list[Run]:
    """Words with their style; space between words is one space, and none stands at the ends of a line."""
    found: list[Run] = []
    for text, styles in _words(parts, frozenset()):
        if isinstance(text, Node):
            found.append({"text": "", **_drawing(text.css)})
            continue
        if text == "\n":
            found.append({"text": "\n"})
            continue
        said = _SPACE.sub(" ", text)
        if not found or str(found[-1]["text"]).endswith((" ", "\n")):
            said = said.lstrip(" ")
        if said:
            found.append({"text": said} | {style: style in styles for style in ("bold", "italic", "code")})
    while found and "svg" not in found[-1] and not str(found[-1]["text"]).strip():
        found.pop()
    if found:
        found[-1]["text"] = str(found[-1]["text"]).rstrip()
    return found


def _words(parts: Iterable[Node | str], styles: frozenset[str]) -> Iterator[tuple[str | Node, frozenset[str]]]:
    for part in parts:
        if isinstance(part, str):
            yield part, styles
        elif part.name == "br":
            yield "\n", styles
        elif part.name == "svg":
            yield part, styles
        elif part.name not in SILENT and part.css not in ON_SCREEN:
            yield from _words(part.inside, styles | ({STYLES[part.name]} if part.name in STYLES else set()))
