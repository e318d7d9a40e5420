"""What a notebook's file keeps of an instrument: its last picture and description, not the live thing.

An instrument lives as long as the kernel behind it. A file that only points at a live one shows an error when it is
opened the next day, so the pointer is dropped on saving.
"""

from __future__ import annotations

from typing import Any

from coldcab.words import _

WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"
WIDGET_STATE = "application/vnd.jupyter.widget-state+json"
_PICTURES = ("text/html", "image/svg+xml", "image/png")
ASLEEP = _('Press "Start this lesson" above to bring this instrument to life.')


def drop_live_instruments(model: dict[str, Any] | None = None, **__: Any) -> None:
    """Take the live instruments out of a notebook that is about to be saved (a JupyterLab pre-save hook).

    The page on the screen keeps them; the file keeps their pictures. ``model`` is the notebook as JupyterLab's
    contents manager has it, changed in place; anything but a notebook is left alone.
    """
    content = (model or {}).get("content")
    if (model or {}).get("type") != "notebook" or not isinstance(content, dict):
        return
    content.get("metadata", {}).get("widgets", {}).pop(WIDGET_STATE, None)
    for cell in content.get("cells", []):
        for output in cell.get("outputs", []):
            data = output.get("data", {})
            if data.pop(WIDGET_VIEW, None) is not None and not any(kind in data for kind in _PICTURES):
                # Without a picture the text would be a line of Python.
                data["text/plain"] = ASLEEP
