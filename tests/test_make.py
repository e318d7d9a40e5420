"""What is made is made: each generated file is what its parts give today."""

import json

import pytest

from coldcab.classroom.sheets import notebook_text, read_written, source_text
from coldcab.lessons import LESSONS, deck, module_name
from coldcab.make.__main__ import PACKAGE, PARTS, main
from coldcab.make.practice import CARDS, practice_deck, practice_passages
from material import GRADED, MATERIAL, PRACTICED


@pytest.mark.parametrize("name", LESSONS)
def test_practice_cards_are_those_of_the_keys(name):
    stored = (PACKAGE / "lessons" / module_name(name) / "practice.json").read_text(encoding="utf-8")
    assert stored == practice_deck(PRACTICED[f"practice-{name}"]), "run: python -m coldcab.make cards"
    assert len(deck(f"practice-{name}")) == CARDS


def test_passages_are_those_of_the_teaching_material():
    stored = (PACKAGE / "lessons" / "passages.json").read_text(encoding="utf-8")
    assert stored == practice_passages(MATERIAL), "run: python -m coldcab.make cards"


NO_CARDS: dict[tuple[str, str], str] = {}
"""Practice lines that cannot travel as cards, with the reason; at most a tenth of all."""


def test_practice_lines_travel_as_cards():
    lines = [(name, item.label) for name, sheet in PRACTICED.items() for item in sheet.items]
    assert len(NO_CARDS) <= len(lines) / 10
    for name, label in lines:
        if (name, label) not in NO_CARDS:
            assert all(deck(name).card(label, number).right != "" for number in range(1, CARDS + 1))


def test_forms_are_what_a_class_releases():
    from coldcab.make.forms import forms

    for name, book in forms(MATERIAL).items():
        stored = MATERIAL.parent / "course" / "graded" / name / f"{name}.ipynb"
        assert stored.read_text(encoding="utf-8") == notebook_text(book), "run: python -m coldcab.make forms"


def test_lines_in_si_are_those_of_the_pages():
    from coldcab.course.order import turned_lines

    stored = PACKAGE / "cli" / "lab" / "labextensions" / "coldcab" / "static" / "order.json"
    assert json.loads(stored.read_text(encoding="utf-8")) == turned_lines(), "run: python -m coldcab.make lines"


@pytest.mark.parametrize("name", LESSONS)
def test_every_line_stands_on_its_sheet_once_and_is_checked_once(name):
    cells = json.loads(source_text(MATERIAL / "lessons" / name, name))["cells"]
    texts = ["".join(cell["source"]) for cell in cells]
    for item in GRADED[name].items:
        assert sum(text.count(f"- **{item.label}** (") for text in texts) == 1
        assert texts.count(f"%check {item.label}") == 1
        assert sum(f"\n{item.label}: " in text for text in texts if text.startswith("%%answers")) == 1


def test_a_written_part_without_its_headings_is_refused():
    with pytest.raises(ValueError, match="Task, Rubric, Model answer"):
        read_written("# Rubric (4 points)\n\n## Task\n\nSay.\n")


def test_an_unknown_part_is_named(capsys):
    assert main(["clouds"]) == 2
    assert f"no part 'clouds'; there are {', '.join(PARTS)}" in capsys.readouterr().err
