"""The drawing of an instrument in a page: put there once, then only what moves is sent."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import anywidget
import traitlets

from coldcab.instruments.changes import Node, changes, read

FACE = '<g class="coldcab-face">{}</g>'
DRAWN = '<g class="coldcab-all">{}</g>'
HERE = Path(__file__).parent


class Canvas(anywidget.AnyWidget):
    """A drawing with its words, as HTML that is well formed.

    Every state has a number. A view that missed one, because it was opened later or the page was loaded anew, asks and
    is sent the whole.
    """

    _esm = "\n".join((HERE / name).read_text(encoding="utf-8") for name in ("canvas_room.js", "canvas.js"))
    _css = (HERE / "canvas.css").read_text(encoding="utf-8")
    drawing = traitlets.Dict().tag(sync=True)

    def __init__(self, html: str, face: str, **more: Any) -> None:
        self._html, self._face, self._number = html, face, 0
        self._tree = _without_face(html, face)
        super().__init__(**more)
        self.on_msg(self._asked)

    @property
    def html(self) -> str:
        """The present state as HTML, as it was given."""
        return self._html

    @property
    def whole(self) -> dict[str, Any]:
        """The present state: its number, and the drawing with the part that does not move in a group of its own."""
        return {"number": self._number, "html": _grouped(self._html, self._face, self._face)}

    def show(self, html: str, face: str) -> None:
        """Bring every view to a new state.

        Parameters
        ----------
        html : the drawing with its words.
        face : the piece of it that does not move; as long as it is the same, it is not looked at.
        """
        if html == self._html:
            return
        same, tree = face == self._face, _without_face(html, face)
        old, self._html, self._face, self._tree = self._tree, html, face, tree
        self._number += 1
        if same and tree is not None and old is not None and tree.name == old.name:
            self.send({"number": self._number, "changes": changes(old, tree)})
        else:
            self.send(self.whole)

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
