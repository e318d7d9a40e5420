"""Whoever has practiced has met every decision of the graded sheet: each choice and list is practiced, or one like it."""

import pytest

from coldcab.assess import WORDS
from coldcab.lessons import FORMS, PRACTICE

THE_SAME_DECISION = {
    ("cycle-2", "loop C"): "loop A",
    ("retrofit-1", "case 3"): "case 1",
    ("retrofit-1", "case 4"): "case 2",
    ("oil-1", "tin for job 3"): "tin for job 2",
    ("oil-1", "fault of order 2"): "fault of order 1",
    ("faults-1", "next points, machine C"): "next points, machine B",
    ("faults-3", "situation 3"): "situation 2",
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
