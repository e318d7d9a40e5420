"""Small words for drawing: each function returns a piece of SVG text."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from html import escape

from coldcab.instruments.drawing import style

_WORD = re.compile(r"\(?[-−]?\d[\d.,]* [^\s\d]\S*|\S+")  # "37.8 C)" is one word


def number(value: float) -> str:
    """A coordinate with at most two decimals."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def element(name: str, content: str = "", **attributes: object) -> str:
    """One SVG element. Underscores in attribute names become hyphens; attributes that are None are left out."""
    parts = [name]
    for key, value in attributes.items():
        if value is None:
            continue
        shown = number(value) if isinstance(value, float) else escape(str(value))
        parts.append(f'{key.replace("_", "-")}="{shown}"')
    return f"<{' '.join(parts)}>{content}</{name}>" if content else f"<{' '.join(parts)}/>"


def text(
    x: float,
    y: float,
    words: str,
    *,
    size: float | None = None,
    anchor: str | None = None,
    color: str | None = None,
    bold: bool = False,
    halo: bool = False,
    **attributes: object,
) -> str:
    """A line of text; `anchor` is "start", "middle" or "end"; a halo keeps it readable across lines.

    Size, anchor and color left out are those of the group around it, at last BODY and INK.
    """
    if halo:
        attributes.update(paint_order="stroke", stroke=style.GROUND, stroke_width=5, stroke_linejoin="round")
    return element(
        "text",
        escape(words),
        x=float(x),
        y=float(y),
        font_size=size,
        text_anchor=anchor,
        fill=color,
        font_weight="600" if bold else None,
        **attributes,
    )


def line(x1: float, y1: float, x2: float, y2: float, **attributes: object) -> str:
    """A straight line."""
    return element("line", x1=float(x1), y1=float(y1), x2=float(x2), y2=float(y2), **attributes)


def box(x: float, y: float, width: float, height: float, **attributes: object) -> str:
    """A rectangle."""
    return element("rect", x=float(x), y=float(y), width=float(width), height=float(height), **attributes)


def circle(x: float, y: float, radius: float, **attributes: object) -> str:
    """A circle."""
    return element("circle", cx=float(x), cy=float(y), r=float(radius), **attributes)


def path(points: Iterable[tuple[float, float]], *, closed: bool = False, **attributes: object) -> str:
    """Straight lines through points (drawing units)."""
    drawn = " L".join(f"{number(x)} {number(y)}" for x, y in points)
    return element("path", d=f"M{drawn}{' Z' if closed else ''}", **{"fill": "none", **attributes})


def group(content: str, **attributes: object) -> str:
    """Pieces that share attributes."""
    return element("g", content, **attributes)


def polar(x: float, y: float, radius: float, degrees: float) -> tuple[float, float]:
    """A point at `radius` from (x, y), `degrees` clockwise from the top."""
    angle = math.radians(degrees)
    return x + radius * math.sin(angle), y - radius * math.cos(angle)


def arc(x: float, y: float, radius: float, first: float, last: float, **attributes: object) -> str:
    """A circular arc from `first` to `last` degrees, clockwise from the top."""
    (x1, y1), (x2, y2) = polar(x, y, radius, first), polar(x, y, radius, last)
    large = 1 if last - first > 180 else 0
    drawn = f"M{number(x1)} {number(y1)} A{number(radius)} {number(radius)} 0 {large} 1 {number(x2)} {number(y2)}"
    return element("path", d=drawn, **{"fill": "none", **attributes})


def marker(shape: str, x: float, y: float, size: float = 6.0, **attributes: object) -> str:
    """A marker of about `size` units from its middle: circle, square, triangle or diamond."""
    if shape == "circle":
        return circle(x, y, size, **attributes)
    if shape == "square":
        side = 1.8 * size
        return box(x - side / 2, y - side / 2, side, side, **attributes)
    if shape == "triangle":
        corners = [(x, y - 1.2 * size), (x + 1.1 * size, y + 0.8 * size), (x - 1.1 * size, y + 0.8 * size)]
    else:
        corners = [(x, y - 1.3 * size), (x + 1.3 * size, y), (x, y + 1.3 * size), (x - 1.3 * size, y)]
    return path(corners, closed=True, **{"fill": None, **attributes})


def text_width(words: str, size: float) -> float:
    """Estimated width of a line of text, drawing units."""
    return style.LETTER_WIDTH * size * len(words)


def wrap(words: str, width: float, size: float = style.BODY) -> list[str]:
    """Words broken into lines not wider than `width` drawing units; a number stays with its unit."""
    lines: list[str] = []
    for word in _WORD.findall(words):
        if lines and text_width(f"{lines[-1]} {word}", size) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def paragraph(x: float, y: float, words: str, width: float, *, size: float = style.BODY, **attributes: object) -> str:
    """Several lines of text; `y` is the baseline of the first."""
    return "".join(
        text(x, y + 1.35 * size * row, part, size=size, **attributes)
        for row, part in enumerate(wrap(words, width, size))
    )


def stops(low: float, high: float, step: float) -> list[float]:
    """The multiples of `step` from `low` to `high`, both included where they fall on a multiple."""
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [index * step for index in range(first, last + 1)]
