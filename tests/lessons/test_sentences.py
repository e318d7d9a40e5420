"""Numbers with a unit in the sentences of a lesson's page: each is quoted by a row of that lesson, and the row holds.

The rows are the list ``SAID`` of ``test_<lesson>.py`` beside this file: (words of the page, check). The check computes
the number, or reads it from what is published; it is `material.COMMON_PRACTICE` where the sentence says so itself.
"""

from __future__ import annotations

import json
import re
import runpy
from functools import cache
from pathlib import Path

import pytest

from coldcab.lessons import LESSONS, module_name
from material import COMMON_PRACTICE

COURSE = Path(__file__).parents[2] / "course"


_NUMBER = r"[+−-]?\d[\d,]*(?:\.\d+)?"
_UNIT = (
    r"(?:psi[ag]?|inHg|microns?|Pa|kPa|bar|Btu|kJ|J|fl oz|oz|lb|pounds?|kg|g|grains?|mL|L|ft|feet|inch(?:es)?|mm|cm|m"
    r"|in(?! (?:the|a|its)\b)|min|minutes?|h|hours?|(?<= )s|seconds?|days?|years?|%|per cent|times|V|volts?|A|amperes?"
    r"|ohms?|W|kW|hp|rpm|cSt|cfm|ppm|F|C|K|degrees?)"
)
QUANTITY = re.compile(rf"(?<![\w.]){_NUMBER}(?:(?: to | or | and |, |–|/| × | ± ){_NUMBER})* ?{_UNIT}(?![\w-])")
"""One number or several with one unit behind them."""

# Headings, tables, how long a lesson takes, typed examples and the targets of links.
_NOT_A_SENTENCE = re.compile(r"^>? ?[#|].*|.*\[all lessons\].*|`[^`]*`|\]\([^)]*\)")


@cache
def page(lesson: str) -> tuple[str, str]:
    """Return a lesson's markdown as one line of text, and the same with what is no sentence blanked."""
    cells = json.loads((COURSE / LESSONS[lesson]).read_text(encoding="utf-8"))["cells"]
    lines = [
        " ".join(line.split())
        for cell in cells
        if cell["cell_type"] == "markdown"
        for line in "".join(cell["source"]).splitlines()
    ]
    blanked = [_NOT_A_SENTENCE.sub(lambda found: " " * len(found[0]), line) for line in lines]
    kept = [number for number, line in enumerate(lines) if line]
    return " ".join(lines[number] for number in kept), " ".join(blanked[number] for number in kept)


@cache
def said(lesson: str):
    """Return the rows of a lesson."""
    file = Path(__file__).with_name(f"test_{module_name(lesson)}.py")
    return runpy.run_path(str(file)).get("SAID", []) if file.is_file() else []


def unchecked(text: str, blanked: str, quotes: list[str]) -> list[str]:
    """Return each quantity of a page that no quote contains, with the words around it."""
    checked = [found.span() for quote in quotes for found in re.finditer(re.escape(quote), text)]
    return [
        f"{found[0]}  …{text[max(0, found.start() - 40) : found.end() + 20]}…"
        for found in QUANTITY.finditer(blanked)
        if not any(start <= found.start() and found.end() <= end for start, end in checked)
    ]


@pytest.mark.parametrize("lesson", LESSONS)
def test_every_number_with_a_unit_has_a_row(lesson):
    assert unchecked(*page(lesson), [words for words, _ in said(lesson)]) == []


@pytest.mark.parametrize(
    ("lesson", "words", "check"),
    [
        pytest.param(lesson, words, check, id=f"{lesson}: {words}")
        for lesson in LESSONS
        for words, check in said(lesson)
    ],
)
def test_what_the_sentence_says_holds(lesson, words, check):
    text = page(lesson)[0]
    assert words in text, "the sentence has changed; change this row with it"
    if check is COMMON_PRACTICE:
        # In the quoted sentence or in one right beside it.
        at = text.index(words)
        assert re.search("common practice|trade|usual|many shops", text[max(0, at - 150) : at + len(words) + 150], re.I)
    else:
        assert check()


def test_what_counts_as_a_number_with_a_unit():
    text = (
        "It leaves 9.9 inHg at 6,000 ft. From 35 to 55 psi, 70 F (21 C), −5 %. Write `31 psig`. 3 hoses; 40 CFR 82; "
        "sections 82.34 and 82.152 in the text; R-134a; 0.050 in here"
    )
    blanked = _NOT_A_SENTENCE.sub(lambda found: " " * len(found[0]), text)
    found = [one[0] for one in QUANTITY.finditer(blanked)]
    assert found == ["9.9 inHg", "6,000 ft", "35 to 55 psi", "70 F", "21 C", "−5 %", "0.050 in"]
    assert len(unchecked(text, blanked, ["leaves 9.9 inHg at", "to 55 psi"])) == 6
