"""The teaching material, for tests: every sheet with its keys, and the keys' own functions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache, lru_cache
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


def remembered(sheet, cases):
    """Return the sheet with keys that keep what they worked out for so many cases: tests ask them again and again."""

    def kept(function):
        return function and lru_cache(maxsize=cases)(function)

    def same(key):
        ideas = tuple(replace(idea, result=kept(idea.result)) for idea in key.ideas)
        return replace(key, answer=kept(key.answer), ideas=ideas, evidence=kept(key.evidence))

    return sheet.with_keys({item.label: same(item.key) for item in sheet.items})


GRADED = _Keyed(FORMS)
PRACTICED = _Keyed(PRACTICE)
