"""Which edition of a page somebody's own copy came from, so that a later one can be offered."""

from __future__ import annotations

import json
from typing import Any

_BASIS, _PRIME, _WORD = 0x811C9DC5, 0x01000193, 0xFFFFFFFF


def mark(text: str) -> str:
    """Return a short mark of ``text``: FNV-1a, 32 bits, over its UTF-16 code units, as the page's script has it.

    A browser offers nothing stronger on a plain address, and nobody gains by forging it.
    """
    value = _BASIS
    data = text.encode("utf-16-le")
    for place in range(0, len(data), 2):
        value = ((value ^ (data[place] | data[place + 1] << 8)) * _PRIME) & _WORD
    return f"{value:08x}"


def sources(notebook: dict[str, Any]) -> str:
    """Return what a person can write in a notebook: the text of its cells."""
    return "\0".join("".join(cell["source"]) for cell in notebook["cells"])


def with_edition(data: bytes) -> bytes:
    """Return a notebook whose metadata name its edition and the mark of its sources as delivered."""
    notebook = json.loads(data)
    written = mark(sources(notebook))
    shown = mark(json.dumps(notebook["cells"], sort_keys=True))
    notebook["metadata"]["coldcab"] = {"edition": f"{written}-{shown}", "sources": written}
    # The browser's kernel has a name of its own.
    notebook["metadata"]["kernelspec"] = {"display_name": "Python", "language": "python", "name": "python"}
    return (json.dumps(notebook, ensure_ascii=False, indent=1) + "\n").encode()
