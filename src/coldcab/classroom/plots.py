"""Plots of the report: drawings within the page that need no colour, and say in words what they show."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from html import escape
from io import StringIO
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK, QUIET, FILL, GROUND = "#1d2a33", "#52616b", "#1b5e8a", "#f4f6f7"
_FONT = 'font-family="system-ui, sans-serif" font-size="12"'
_WIDTH, _ROW, _LABEL = 640, 22, 250
_HEAD = re.compile(r"<metadata>.*?</metadata>|<style.*?</style>", re.DOTALL)


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
    edges = [out_of * number / bins for number in range(bins + 1)]
    with _axes(2.4) as (figure, axes):
        places = [(low + high) / 2 for low, high in pairwise(edges)]
        columns = axes.bar(places, counts, 0.92 * out_of / bins, color=GROUND, edgecolor=FILL, hatch="////")
        axes.bar_label(columns, [f"{count}" if count else "" for count in counts], padding=2)
        axes.set_xticks(edges, [f"{edge:.3g}" for edge in edges])
        axes.set(xlabel="points", ylim=(0, 1.18 * max([*counts, 1])))
        axes.yaxis.set_visible(False)
        said = [
            f"{count} with {low:.3g} to {high:.3g}"
            for count, (low, high) in zip(counts, pairwise(edges), strict=True)
            if count
        ]
        return _as_svg(figure, title, "Learners by points: " + ("; ".join(said) or "none"))


def scatter(title: str, points: Sequence[tuple[int, float, float]], across: str, up: str) -> str:
    """Return numbered lines of a sheet by two figures: (number, across 0 to 1, up -1 to 1)."""
    with _axes(3.6) as (figure, axes):
        axes.axhline(0.0, color=QUIET, linestyle=":", linewidth=1)
        for number, x, y in points:
            axes.text(
                x, y, f"{number}", ha="center", va="center", bbox={"boxstyle": "circle", "fc": "#ffffff", "ec": FILL}
            )
        axes.set(xlim=(-0.05, 1.05), ylim=(-1.1, 1.1), xlabel=across, ylabel=up)
        axes.set_xticks([0, 0.5, 1])
        axes.set_yticks([-1, 0, 1])
        said = [f"line {number}: {across} {x:.2f}, {up} {y:.2f}" for number, x, y in points]
        return _as_svg(figure, title, "; ".join(said) or "Nothing to show")


@contextmanager
def _axes(height: float) -> Iterator[tuple[Figure, Axes]]:
    """Give an empty chart as wide as a page's text, ``height`` in inches; who draws none loads no matplotlib."""
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    # Letters stay letters, for who searches or reads aloud; the salt makes the same chart the same text every time.
    look = {
        "svg.fonttype": "none",
        "svg.hashsalt": "coldcab",
        "font.size": 9,
        "hatch.color": FILL,
        "hatch.linewidth": 0.8,
    }
    with rc_context({**look, "text.color": INK, "axes.edgecolor": QUIET, "xtick.color": QUIET, "ytick.color": QUIET}):
        figure = Figure(figsize=(_WIDTH / 96, height))
        axes = figure.add_axes((0.09, 0.55 / height, 0.89, 1 - 0.65 / height))
        axes.spines[["top", "right"]].set_visible(False)
        yield figure, axes


def _as_svg(figure: Figure, title: str, words: str) -> str:
    drawn = StringIO()
    figure.savefig(drawn, format="svg", transparent=True, metadata={"Date": None, "Creator": None})
    # Within a page the drawing's own head and a style for everything around it have no business.
    inside = _HEAD.sub("", drawn.getvalue().partition("<svg")[2].partition(">")[2])
    width, height = figure.get_size_inches() * 72
    return (
        f'<svg role="img" aria-label="{escape(title)}. {escape(words)}" viewBox="0 0 {width:g} {height:g}" '
        f'width="{_WIDTH}" height="{height * 96 / 72:g}" xmlns:xlink="http://www.w3.org/1999/xlink">'
        f"<title>{escape(title)}</title><desc>{escape(words)}</desc>{inside}"
    )


SPARK = 150, 34
"""Width and height of a small curve."""


def spark(title: str, shares: Sequence[float], said: Sequence[str]) -> str:
    """Return a small curve of shares, 0 to 1, with a line halfway; ``said`` names each point for who cannot see it."""
    width, height = SPARK
    step = (width - 12) / max(1, len(shares) - 1)
    places = [
        (6 + number * step, 4 + (height - 8) * (1 - max(0.0, min(1.0, share)))) for number, share in enumerate(shares)
    ]
    line = " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
    dots = "".join(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.2" fill="{FILL}"/>' for x, y in places)
    words = escape(f"{title}: {'; '.join(said)}")
    return (
        f'<svg role="img" aria-label="{words}" viewBox="0 0 {width} {height}" width="{width}" height="{height}">'
        f'<rect width="{width}" height="{height}" fill="{GROUND}"/>'
        f'<line x1="0" x2="{width}" y1="{height / 2:g}" y2="{height / 2:g}" stroke="{QUIET}" stroke-dasharray="2 4"/>'
        f'<polyline points="{line}" fill="none" stroke="{FILL}" stroke-width="1.6"/>{dots}</svg>'
    )
