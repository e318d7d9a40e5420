"""Where an instrument of a page keeps its settings in the learner's copy, and which kept ones are still good.

Kept are SI numbers, words and switches that differ from those that the page gives, and beside them the page's own: when
the page gives others, another edition or other numbers of a sheet, what was kept belongs to something else.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from coldcab import progress
from coldcab.instruments.controls import Choice, Control, Entry, Slider, Switch

PAGE_VARIABLE = "JPY_SESSION_NAME"
"""Where a Jupyter server tells a kernel which notebook it serves."""
_SAME = 1e-9  # share of a slider's travel below which two positions are one

_shown: dict[str, tuple[str, int]] = {}  # by cell: its run, and how many instruments that has shown


def place() -> str:
    """Return the place of an instrument that the running cell shows: ``instruments/<notebook>/<cell>``, with a number
    where the cell shows several; empty outside a page."""
    try:
        from IPython import get_ipython

        parent = get_ipython().kernel.get_parent()
        cell, run = parent["metadata"]["cellId"], parent["header"]["msg_id"]
    except (ImportError, AttributeError, KeyError, TypeError):
        return ""
    page = _name(Path(os.environ.get(PAGE_VARIABLE) or Path.cwd().name).stem)
    if not page or not _name(cell):
        return ""
    before, many = _shown.get(cell, ("", 0))
    many = many + 1 if before == run else 1
    _shown[cell] = run, many
    return f"instruments/{page}/{_name(cell)}" + (f"-{many}" if many > 1 else "")


def recall(where: str, page: Mapping[str, Any], controls: tuple[Control, ...]) -> tuple[dict[str, Any], Any]:
    """Return the settings that were kept for what the page gives, and what else was; bad values are left out."""
    kept = progress.kept(where) if where else None
    if not isinstance(kept, dict) or kept.get("page") != _plain(page) or not isinstance(kept.get("set"), dict):
        return {}, None
    known = {control.name: control for control in controls}
    found = {name: value for name, value in kept["set"].items() if name in known and _good(known[name], value)}
    return found, kept.get("more")


def keep(where: str, page: Mapping[str, Any], settings: Mapping[str, Any], more: Any = None) -> None:
    """Keep what differs from the page; where nothing does, the place is forgotten."""
    if not where:
        return
    moved = {name: value for name, value in _plain(settings).items() if value != _plain(page).get(name)}
    progress.keep(where, {"page": _plain(page), "set": moved, "more": more} if moved or more else None)


def _plain(settings: Mapping[str, Any]) -> dict[str, Any]:
    """Settings as JSON gives them back."""
    return {name: float(value) if isinstance(value, float) else value for name, value in settings.items()}


def _good(control: Control, value: object) -> bool:
    if isinstance(control, Slider):
        low, high = control.limits
        slack = _SAME * (high - low)
        number = isinstance(value, int | float) and not isinstance(value, bool)
        return number and low - slack <= value <= high + slack  # type: ignore[operator]
    if isinstance(control, Choice):
        return value in control.options
    return (
        isinstance(value, bool)
        if isinstance(control, Switch)
        else isinstance(control, Entry) and isinstance(value, str)
    )


def _name(text: str) -> str:
    return re.sub(r"[^a-z0-9_.-]+", "-", text.lower()).strip("-_.")[:56]
