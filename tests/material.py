"""The teaching material, for tests: every sheet with its keys, and the keys' own functions."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from coldcab.lessons import FORMS, PRACTICE
from coldcab.lessons.keys import keyed, keys_module

MATERIAL = Path(__file__).parents[1] / "instructor"

COMMON_PRACTICE = "common practice"
"""Stands for the check in a lesson's row ``(words, check)`` where only practice knows the number, as the page says."""


class _Keyed(Mapping):
    """Sheets with keys by name; each is loaded once, when it is asked for."""

    def __init__(self, names):
        self._names = tuple(names)

    def __getitem__(self, name):
        if name not in self._names:
            raise KeyError(name)
        return _sheet(name)

    def __iter__(self):
        return iter(self._names)

    def __len__(self):
        return len(self._names)


@cache
def _sheet(name):
    return keyed(MATERIAL / "lessons" / name.removeprefix("practice-"), name)


@cache
def keys_of(lesson):
    """Return the module ``keys.py`` of a lesson."""
    return keys_module(MATERIAL / "lessons" / lesson)


GRADED = _Keyed(FORMS)
PRACTICED = _Keyed(PRACTICE)
