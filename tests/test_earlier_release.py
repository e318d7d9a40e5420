"""Classes and hand-ins of release 0.2 and before: ``tests/earlier_release`` holds what such a class folder has."""

import shutil
from pathlib import Path

import pytest

from coldcab.assess import mark_by_card
from coldcab.classroom import material
from coldcab.lessons import LESSONS
from material import GRADED, MATERIAL

EARLIER = Path(__file__).parent / "earlier_release"


KEPT = [name for name in LESSONS if (EARLIER / "reference" / f"{name.replace('-', '_')}.py").is_file()]
"""Lessons of that release; younger ones have no old keys."""


@pytest.mark.parametrize("name", KEPT)
def test_old_keys_mark_as_they_did(name):
    old, new = material.key(EARLIER, name), GRADED[name]
    old_case, case = old.case("spring", "birch"), new.case("spring", "birch")
    assert old_case.lines() == case.lines()
    for before, now in zip(old.items, new.items, strict=True):
        was, card = before.card(old_case).finished(), now.card(case).finished()
        assert was == card
        outcome = mark_by_card(before, str(card.right) if isinstance(card.right, str) else "", was, old_case)
        assert outcome.status in ("right", "blank")


def test_an_old_key_that_was_edited_keeps_its_edit(tmp_path):
    place = tmp_path / "class"
    shutil.copytree(EARLIER, place)
    file = place / "reference" / "cycle_1.py"
    text = file.read_text(encoding="utf-8")
    assert '"it stays the same"' in text
    file.write_text(text.replace('"it stays the same"', '"it falls a little"'), encoding="utf-8")
    item = material.key(place, "cycle-1").item("pressure after a further leak")
    assert item.answer(GRADED["cycle-1"].case("spring", "birch")) == "it falls a little"


def test_old_rubrics_and_passages_are_found():
    assert "saturation" in material.rubric(EARLIER, "cycle-1")
    assert material.taught_in(EARLIER, "cycle-1") == material.taught_in(MATERIAL, "cycle-1") != {}
    assert material.taught_in(EARLIER, "nothing") == {}
