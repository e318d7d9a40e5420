"""Areas filled with oil: each type has its own pattern, so that a drawing reads without color."""

from __future__ import annotations

from collections.abc import Mapping

from coldcab.instruments.drawing import style, svg

STEP = 10.0


def filled(x: float, y: float, width: float, height: float, oil: str) -> str:
    """A rectangle filled with the color and pattern of an oil, without outline."""
    look = style.OIL[oil]
    drawn = svg.box(x, y, width, height, fill=look.color)
    if height < 2.0 or width < 2.0:
        return drawn
    marks = {"lines": _lines, "dots": _dots, "crosses": _crosses, "rungs": _rungs}[look.pattern](x, y, width, height)
    return drawn + marks


def stacked(x: float, bottom: float, width: float, height: float, volumes: Mapping[str, float]) -> str:
    """Oils above each other, from `bottom` upward, sharing `height` by their volumes."""
    whole = sum(volume for volume in volumes.values() if volume > 0.0)
    drawn, at = "", bottom
    for oil, volume in volumes.items():
        if volume <= 0.0 or whole <= 0.0:
            continue
        part = height * volume / whole
        drawn += filled(x, at - part, width, part, oil)
        at -= part
    return drawn


def _lines(x: float, y: float, width: float, height: float) -> str:
    """Slanting lines, cut at the edges."""
    pieces = []
    for place in range(1, int((width + height) / STEP) + 1):
        along = place * STEP
        start = (x + max(along - height, 0.0), y + min(along, height))
        end = (x + min(along, width), y + max(along - width, 0.0))
        pieces.append(f"M{svg.number(start[0])} {svg.number(start[1])} L{svg.number(end[0])} {svg.number(end[1])}")
    return svg.element("path", d=" ".join(pieces), stroke=style.SOFT, stroke_width=1.0, fill="none") if pieces else ""


def _dots(x: float, y: float, width: float, height: float) -> str:
    return svg.group(
        "".join(svg.circle(px, py, 1.5) for px, py in _grid(x, y, width, height)),
        fill=style.SOFT,
    )


def _crosses(x: float, y: float, width: float, height: float) -> str:
    pieces = [
        f"M{svg.number(px - 2.5)} {svg.number(py)} h5 M{svg.number(px)} {svg.number(py - 2.5)} v5"
        for px, py in _grid(x, y, width, height)
    ]
    return svg.element("path", d=" ".join(pieces), stroke=style.SOFT, stroke_width=1.0, fill="none") if pieces else ""


def _rungs(x: float, y: float, width: float, height: float) -> str:
    pieces = [
        f"M{svg.number(x)} {svg.number(y + place * STEP)} h{svg.number(width)}"
        for place in range(1, int(height / STEP) + 1)
    ]
    return svg.element("path", d=" ".join(pieces), stroke=style.SOFT, stroke_width=1.0, fill="none") if pieces else ""


def _grid(x: float, y: float, width: float, height: float) -> list[tuple[float, float]]:
    """Places that keep clear of the edges."""
    across, down = int((width - 3.0) / STEP), int((height - 3.0) / STEP)
    return [
        (x + STEP * (0.5 + column) + 1.5, y + height - STEP * (0.5 + row) - 1.5)
        for row in range(max(down, 0))
        for column in range(max(across, 0))
    ]
