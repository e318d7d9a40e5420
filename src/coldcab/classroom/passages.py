"""Which passage of a lesson to read again when an idea shows.

The teaching material says where each line of a sheet is taught (``passages.toml``); of several places, and for lines
that it does not know, it is the passage that speaks most of the same things.
"""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from coldcab.lessons import LESSONS

_NOT_TAUGHT = re.compile(r"practi[cs]e|sources|able to|caution|at the machine|^(the )?job$|hand in", re.IGNORECASE)
"""Headings under which nothing is explained."""

_COMMON = frozenset(
    re.findall(
        r"[a-z]+",
        "the and for that this with from not are has have was were its than then but you your all one what when which "
        "who how can does did into out off per too very more most less only also like there they them their will would",
    )
)


@dataclass(frozen=True)
class Passage:
    """A section of a lesson."""

    lesson: str
    heading: str
    words: Counter[str]


def lesson_of(sheet: str, course: Path) -> Path | None:
    """Return the notebook of the lesson that a sheet belongs to; a lesson of a class's own is ``cycle/1-….ipynb``."""
    if (course / LESSONS.get(sheet, "")).is_file():
        return course / LESSONS[sheet]
    unit, _, number = sheet.rpartition("-")
    found = sorted((course / (unit or sheet)).glob(f"{number}-*.ipynb" if unit else "*.ipynb"))
    return found[0] if found else None


@lru_cache(maxsize=64)
def passages(file: Path) -> tuple[Passage, ...]:
    """Return the sections of a lesson in which something is explained."""
    try:
        cells = json.loads(file.read_text(encoding="utf-8"))["cells"]
    except (OSError, ValueError, KeyError, TypeError):
        return ()
    title, heading, found = file.stem, "", []
    for cell in cells:
        if cell.get("cell_type") != "markdown":
            continue
        for line in "".join(cell["source"]).split("\n"):
            if line.startswith("# "):
                title = line[2:].strip()
            elif line.startswith(("## ", "### ")):
                heading = line.lstrip("# ").strip()
                found.append(Passage(title, heading, Counter(_words(heading) * 3)))
            elif found and heading:
                found[-1].words.update(_words(line))
    return tuple(each for each in found if not _NOT_TAUGHT.search(each.heading))


def _words(text: str) -> list[str]:
    # The first letters carry the word: saturate, saturated and saturation are one.
    return [word[:7] for word in re.findall(r"[a-z][a-z0-9-]{2,}", text.casefold()) if word not in _COMMON]


def passage_for(sheet: str, about: str, course: Path, places: Iterable[str] = ()) -> str:
    """Return lesson and heading of the passage nearest to ``about``, or nothing if no lesson speaks of it.

    ``places`` are the headings to choose from, ``lesson: heading`` for those of other lessons; without them, or if
    none of them is there any more, all of the sheet's own lesson.
    """
    sections = [found for place in places if (found := _named(sheet, place, course))]
    placed = bool(sections)
    if not placed and (file := lesson_of(sheet, course)):
        sections = list(passages(file))
    if not sections:
        return ""
    spread = Counter(word for each in sections for word in set(each.words))
    wanted = Counter(_words(about))

    def nearness(section: Passage) -> float:
        length = math.sqrt(sum(section.words.values())) or 1.0
        rare = {word: math.log(1 + len(sections) / spread[word]) for word in wanted if word in section.words}
        return sum(min(section.words[word], 5) * weight for word, weight in rare.items()) / length

    best = max(sections, key=nearness)
    return f"{best.lesson}, “{best.heading}”" if placed or nearness(best) > 0 else ""


def places_named(sheet: str, course: Path, places: Iterable[str]) -> str:
    """Return all of these places as a learner reads them: headings, with the lesson where it is another one."""
    own = lesson_of(sheet, course)
    found = []
    for place in places:
        passage = _named(sheet, place, course)
        if passage is not None:
            here = own is not None and passage in passages(own)
            found.append(f"“{passage.heading}”" if here else f"“{passage.heading}” in the lesson {passage.lesson}")
    return " and ".join(dict.fromkeys(found))


def _named(sheet: str, place: str, course: Path) -> Passage | None:
    lesson, separator, heading = place.partition(": ")
    file = lesson_of(lesson, course) if separator else None
    if file is None:  # a heading of the sheet's own lesson, which may hold a colon too
        file, heading = lesson_of(sheet, course), place
    return next((each for each in passages(file) if each.heading == heading), None) if file else None
