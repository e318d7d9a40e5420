"""Practice as finished data: each lesson's cards, worked out from the instructor's keys, and where a line is taught."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

from coldcab.assess.cards import deck_text
from coldcab.assess.items import PRACTICE_PREFIX, Assignment
from coldcab.lessons import LESSONS, PRACTICE

CARDS = 100
"""Sets of numbers in a deck."""


def practice_deck(keyed: Assignment) -> str:
    """Return the text of ``practice.json`` for a practice sheet with its keys."""
    cases = (keyed.case("practice", str(number)) for number in range(1, CARDS + 1))
    labels = [item.label for item in keyed.items]
    return deck_text(labels, ({item.label: item.card(case).finished() for item in keyed.items} for case in cases))


def practice_passages(material: Path) -> str:
    """Return the text of ``passages.json``: for each practice line the passages, as lesson and heading."""
    rows = []
    for lesson in LESSONS:
        taught = tomllib.loads((material / "lessons" / lesson / "passages.toml").read_text(encoding="utf-8"))
        labels = [item.label for item in PRACTICE[PRACTICE_PREFIX + lesson].items]
        places = {label: _places(lesson, taught[label]) for label in labels if label in taught}
        lines = ",\n".join(f"{_json(label)}: {_json(found)}" for label, found in places.items())
        rows.append(f"{_json(lesson)}: {{\n{lines}\n}}")
    return "{\n" + ",\n".join(rows) + "\n}\n"


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def _places(lesson: str, headings: str | list[str]) -> list[tuple[str, str]]:
    each = [headings] if isinstance(headings, str) else headings
    pairs = [(heading.partition(": "), heading) for heading in each]
    return [(first, rest) if first in LESSONS else (lesson, whole) for (first, _sign, rest), whole in pairs]
