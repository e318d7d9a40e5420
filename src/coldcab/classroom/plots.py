"""Plots of the report: drawings within the page that need no colour, and say in words what they show."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

INK, QUIET, FILL, GROUND = "#1d2a33", "#52616b", "#1b5e8a", "#f4f6f7"
_FONT = 'font-family="system-ui, sans-serif" font-size="12"'
_WIDTH, _ROW, _LABEL = 640, 22, 250


def _figure(height: float, title: str, words: str, parts: list[str]) -> str:
    return (
        f'<svg role="img" aria-label="{escape(title)}. {escape(words)}" '
        f'viewBox="0 0 {_WIDTH} {height:g}" width="{_WIDTH}" height="{height:g}" {_FONT} fill="{INK}">'
        f"<title>{escape(title)}</title><desc>{escape(words)}</desc>{''.join(parts)}</svg>"
    )


def _text(x: float, y: float, words: str, more: str = "") -> str:
    return f'<text x="{x:g}" y="{y:g}" {more}>{escape(words)}</text>'


def bars(title: str, rows: Sequence[tuple[str, float, str]], most: float) -> str:
    """Return lying bars: (label, value, what stands at its end), at most ``most`` long."""
    parts = []
    room = _WIDTH - _LABEL - 90
    for number, (label, value, said) in enumerate(rows):
        y = number * _ROW
        short = label if len(label) <= 38 else label[:37] + "…"
        length = room * max(0.0, min(1.0, value / most)) if most else 0.0
        parts.append(_text(_LABEL - 8, y + 15, short, 'text-anchor="end"'))
        parts.append(f'<rect x="{_LABEL}" y="{y + 4}" width="{room:g}" height="14" fill="{GROUND}"/>')
        parts.append(f'<rect x="{_LABEL}" y="{y + 4}" width="{length:.1f}" height="14" fill="{FILL}"/>')
        parts.append(_text(_LABEL + room + 8, y + 15, said, f'fill="{QUIET}"'))
    words = "; ".join(f"{label}: {said}" for label, _, said in rows) or "Nothing to show"
    return _figure(max(_ROW, len(rows) * _ROW), title, words, parts)


def histogram(title: str, values: Sequence[float], out_of: float, bins: int = 10) -> str:
    """Return how many learners have how many points."""
    counts = [0] * bins
    for value in values:
        counts[min(bins - 1, max(0, int(value / out_of * bins)) if out_of else 0)] += 1
    most, step, height = max([*counts, 1]), (_WIDTH - 60) / bins, 150
    parts = [f'<line x1="40" y1="{height}" x2="{_WIDTH - 20}" y2="{height}" stroke="{QUIET}"/>']
    said = []
    for number, count in enumerate(counts):
        x, tall = 40 + number * step, (height - 24) * count / most
        low, high = out_of * number / bins, out_of * (number + 1) / bins
        parts.append(
            f'<rect x="{x + 2:.1f}" y="{height - tall:.1f}" width="{step - 4:.1f}" height="{tall:.1f}" fill="{FILL}"/>'
        )
        if count:
            parts.append(_text(x + step / 2, height - tall - 5, f"{count}", 'text-anchor="middle"'))
            said.append(f"{count} with {low:.3g} to {high:.3g}")
        parts.append(_text(x, height + 16, f"{low:.3g}", f'text-anchor="middle" fill="{QUIET}"'))
    parts.append(_text(_WIDTH - 20, height + 16, f"{out_of:.3g}", f'text-anchor="middle" fill="{QUIET}"'))
    parts.append(_text(_WIDTH / 2, height + 34, "points", f'text-anchor="middle" fill="{QUIET}"'))
    return _figure(height + 42, title, "Learners by points: " + ("; ".join(said) or "none"), parts)


def scatter(title: str, points: Sequence[tuple[int, float, float]], across: str, up: str) -> str:
    """Return numbered lines of a sheet by two figures: (number, across 0 to 1, up -1 to 1)."""
    left, right, top, bottom = 60, _WIDTH - 30, 14, 230
    zero = top + (bottom - top) / 2
    parts = [
        f'<rect x="{left}" y="{top}" width="{right - left}" height="{bottom - top}" fill="{GROUND}"/>',
        f'<line x1="{left}" y1="{zero}" x2="{right}" y2="{zero}" stroke="{QUIET}" stroke-dasharray="3 3"/>',
    ]
    said = []
    for number, x, y in points:
        place = left + (right - left) * x, zero - (bottom - top) / 2 * y
        parts.append(f'<circle cx="{place[0]:.1f}" cy="{place[1]:.1f}" r="9" fill="#ffffff" stroke="{FILL}"/>')
        parts.append(_text(place[0], place[1] + 4, f"{number}", 'text-anchor="middle"'))
        said.append(f"line {number}: {across} {x:.2f}, {up} {y:.2f}")
    for share in (0, 0.5, 1):
        parts.append(_text(left + (right - left) * share, bottom + 16, f"{share:g}", 'text-anchor="middle"'))
        parts.append(
            _text(left - 8, zero - (bottom - top) * (share - 0.5) + 4, f"{2 * share - 1:g}", 'text-anchor="end"')
        )
    parts.append(_text((left + right) / 2, bottom + 34, across, f'text-anchor="middle" fill="{QUIET}"'))
    parts.append(
        _text(4, top + 4, up, f'fill="{QUIET}" transform="rotate(-90 14 {zero:g}) translate(-60 {zero - 20:g})"')
    )
    return _figure(bottom + 42, title, "; ".join(said) or "Nothing to show", parts)


SPARK = 180, 44
"""Width and height of a small curve."""


def spark(title: str, shares: Sequence[float], said: Sequence[str], places: Sequence[float] = ()) -> str:
    """Return a small curve of shares, 0 to 1: a dot for each, lines at nothing, half and all.

    ``places`` are where the dots stand from left to right, 0 to 1, by default one after the other; ``said`` names each
    for who cannot see it.
    """
    width, height = SPARK
    if len(places) != len(shares):
        places = (
            [number / (len(shares) - 1) for number in range(len(shares))] if len(shares) > 1 else [0.5] * len(shares)
        )
    dots = [
        (7 + (width - 14) * place, 6 + (height - 12) * (1 - max(0.0, min(1.0, share))))
        for place, share in zip(places, shares, strict=True)
    ]
    rules = "".join(
        f'<line x1="0" x2="{width}" y1="{6 + (height - 12) * part:g}" y2="{6 + (height - 12) * part:g}" '
        f'stroke="{QUIET}" stroke-width="0.8"{dashes}/>'
        for part, dashes in ((0, ""), (0.5, ' stroke-dasharray="2 4"'), (1, ""))
    )
    line = " ".join(f"{x:.1f},{y:.1f}" for x, y in dots)
    drawn = "".join(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.4" fill="{INK}"/>' for x, y in dots)
    words = escape(f"{title}: {'; '.join(said)}")
    return (
        f'<svg role="img" aria-label="{words}" viewBox="0 0 {width} {height}" width="{width}" height="{height}">{rules}'
        f'<polyline points="{line}" fill="none" stroke="{FILL}" stroke-width="2"/>{drawn}</svg>'
    )
