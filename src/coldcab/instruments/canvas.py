"""The drawing of an instrument in a page: put there once, then only what moves is sent."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from coldcab.instruments.changes import Change, Node, changes, read

FACE = '<g class="coldcab-face">{}</g>'
DRAWN = '<g class="coldcab-all">{}</g>'
HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """One state of a drawing: its HTML, the piece of it that does not move, and its tree without that piece."""

    html: str
    face: str
    tree: Node | None  # None where it cannot be read and must go whole


def drawn(html: str, face: str) -> Drawing:
    """Return a drawing with its tree.

    Parameters
    ----------
    html : the drawing with its words.
    face : the piece of it that does not move; as long as it is the same, it is not looked at.
    """
    return Drawing(html, face, _without_face(html, face))


def difference(old: Drawing, new: Drawing) -> list[Change] | None:
    """Return what makes the new one of the old one; None where it must go whole."""
    if old.tree is None or new.tree is None or old.tree.name != new.tree.name:
        return None
    if old.face == new.face:
        return changes(old.tree, new.tree)
    try:
        return changes(*(read(_grouped(one.html, one.face, one.face)) for one in (old, new)))
    except ValueError:
        return None


class Canvas(anywidget.AnyWidget):
    """A drawing with its words, as HTML that is well formed.

    Every state has a number. A view that missed one, because it was opened later or the page was loaded anew, asks and
    is sent the whole.
    """

    _esm = "\n".join((HERE / name).read_text(encoding="utf-8") for name in ("canvas_room.js", "canvas.js"))
    _css = (HERE / "canvas.css").read_text(encoding="utf-8")
    drawing = traitlets.Dict().tag(sync=True)

    def __init__(self, html: str, face: str, **more: Any) -> None:
        self._now, self._number = drawn(html, face), 0
        super().__init__(**more)
        self.on_msg(self._asked)

    @property
    def now(self) -> Drawing:
        """The present state."""
        return self._now

    @property
    def html(self) -> str:
        """The present state as HTML, as it was given."""
        return self._now.html

    @property
    def whole(self) -> dict[str, Any]:
        """The present state: its number, and the drawing with the part that does not move in a group of its own."""
        now = self._now
        return {"number": self._number, "html": _grouped(now.html, now.face, now.face)}

    def show(self, html: str, face: str) -> None:
        """Bring every view to a new state, told as for `drawn`."""
        if html != self._now.html:
            drawing = drawn(html, face)
            self.turn(drawing, difference(self._now, drawing))

    def turn(self, drawing: Drawing, changed: list[Change] | None) -> None:
        """Bring every view to a drawing, where it is known what makes it of the present one."""
        self._now = drawing
        if changed == []:
            return
        self._number += 1
        if changed is None:
            self.send(self.whole)
        else:
            self.send({"number": self._number, "changes": changed})

    def get_state(self, key: Any = None, drop_defaults: bool = False) -> dict[str, Any]:
        """What a page is told when it opens: the drawing as it is now, which nobody else keeps up to date."""
        state = super().get_state(key, drop_defaults=drop_defaults)
        return state | {"drawing": self.whole} if "drawing" in state else state

    def _asked(self, _canvas: Any, content: Any, _buffers: Any) -> None:
        """A view tells the number that it has."""
        if isinstance(content, dict) and content.get("have") != self._number:
            self.send(self.whole)


def _grouped(html: str, face: str, shown: str) -> str:
    """A drawing with all of it in one group, and in that the still part in another, with ``shown`` for it."""
    begin, end = html.find("</desc>") + len("</desc>"), html.rfind("</svg>")
    if begin < len("</desc>") or end < begin:
        return html
    drawn = html[begin:end]
    if face:
        drawn = drawn.replace(face, FACE.format(shown), 1)
    return html[:begin] + DRAWN.format(drawn) + html[end:]


def _without_face(html: str, face: str) -> Node | None:
    """The tree of a drawing, its still part as one empty group; None where it cannot be read and must go whole."""
    try:
        return read(_grouped(html, face, ""))
    except ValueError:
        return None
