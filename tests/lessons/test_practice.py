"""Whoever has practiced has met every decision of the graded sheet: each choice and list, or one like it."""

import json
import re
from pathlib import Path

import pytest

from coldcab.assess import WORDS, read_answer
from coldcab.lessons import FORMS, LESSONS, PRACTICE

ROOT = Path(__file__).parents[2]

THE_SAME_DECISION = {
    ("cycle-2", "loop C"): "loop A",
    ("retrofit-1", "case 3"): "case 1",
    ("retrofit-1", "case 4"): "case 2",
    ("oil-1", "tin for job 3"): "tin for job 2",
    ("oil-1", "fault of order 2"): "fault of order 1",
    ("faults-3", "decision Q"): "decision P",
    ("faults-4", "machine 3, measurements"): "machine 2, measurements",
    ("faults-4", "machine 3, proof"): "machine 2, proof",
}
"""Lines that are not practiced, and the practiced line that asks the same of another machine."""


def decisions(sheet):
    return {item.label: item for item in sheet.items if item.kind in WORDS}


@pytest.mark.parametrize("name", FORMS)
def test_practice_covers_every_graded_decision(name):
    graded, practiced = decisions(FORMS[name]), decisions(PRACTICE[f"practice-{name}"])
    for label in graded.keys() - practiced.keys():
        other = THE_SAME_DECISION.get((name, label))
        assert other in practiced, f"{name} lets nobody practice {label!r}"
        assert graded[label].choices == practiced[other].choices, "the same question has the same choices"


def test_no_reason_is_kept_for_a_line_that_is_practiced():
    for name, label in THE_SAME_DECISION:
        assert label in decisions(FORMS[name]).keys() - decisions(PRACTICE[f"practice-{name}"]).keys()


@pytest.mark.parametrize("name", FORMS)
def test_the_page_s_own_examples_are_read(name):
    """What stands as an example behind a line's name on the lesson's page is an answer that the line takes."""
    cells = json.loads((ROOT / "course" / LESSONS[name]).read_text(encoding="utf-8"))["cells"]
    text = "".join("".join(cell["source"]) for cell in cells if cell["id"].startswith("practice"))
    items = {item.label: item for item in PRACTICE[f"practice-{name}"].items}
    for row in re.findall(r"^- (\*\*.+)$", text, re.MULTILINE):
        labels = [label for label in re.findall(r"\*\*([^*]+)\*\*", row) if label in items]
        for example in re.findall(r"`([^`]+)`", row):
            for label in labels if len(labels) == 1 else []:
                assert read_answer(items[label], example).value is not None, f"{label}: {example}"
