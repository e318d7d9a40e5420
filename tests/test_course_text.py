"""The text of the course: its anatomy, its plainness, its links. Numbers in sentences: lessons/test_sentences.py."""

import json
import re
from pathlib import Path

import pytest

from coldcab import assess, lessons

ROOT = Path(__file__).parents[1]
COURSE = ROOT / "course"
NOTEBOOKS = sorted(path for path in COURSE.rglob("*.ipynb") if ".ipynb_checkpoints" not in path.parts)
# A lesson's file name begins with its number; a page without one is an instrument to try.
LESSONS = [path for path in NOTEBOOKS if path.stem[0].isdigit() and "graded" not in path.parts]
ANATOMY = ["Practice", "At the machine", "Sources"]
# Between title, job, caution and these the shape follows the matter.


def name(path):
    return str(path.relative_to(COURSE))


def book(path):
    return json.loads(path.read_text(encoding="utf-8"))


def words_of(path):
    """Markdown of a notebook as one text."""
    return "\n\n".join("".join(cell["source"]) for cell in book(path)["cells"] if cell["cell_type"] == "markdown")


def sentences(text):
    """Sentences of running text: no tables, links' targets, code or emphasis marks."""
    text = re.sub(r"^\|.*$", "", text, flags=re.M)
    text = re.sub(r"\]\([^)]*\)", "]", text)
    text = re.sub(r"[*_`>#\[\]]", "", text)
    blocks = re.split(r"\n\s*\n|\n- |\n\d+\. ", text)
    return [
        sentence
        for block in blocks
        for sentence in re.split(r"(?<=[.?!:])[\"”]?\s+(?=[A-Z0-9“\"])|;", " ".join(block.split()))
        if sentence
    ]


@pytest.mark.parametrize("path", LESSONS, ids=name)
def test_a_lesson_has_its_parts_in_order(path):
    text = words_of(path)
    places = [text.find(f"## {part}") for part in ANATOMY]
    assert -1 not in places, f"missing: {[part for part, place in zip(ANATOMY, places, strict=True) if place < 0]}"
    assert places == sorted(places)
    assert text.index("**The job.**") < text.index("**Caution.**") < places[0]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=name)
def test_cells_are_few_short_and_named(path):
    cells = book(path)["cells"]
    assert len(cells) <= 45
    for cell in cells:
        assert re.fullmatch(r"[a-z][a-z0-9-]{2,63}", cell["id"], re.I), cell["id"]
        assert not re.fullmatch(r"[0-9a-f]{8,}", cell["id"]), f"{cell['id']} is a machine's name"
        if cell["cell_type"] == "code":
            source = "".join(cell["source"])
            assert len(source.splitlines()) <= (12 if source.startswith("%%answers") else 8)
            shown = not cell["metadata"].get("jupyter", {}).get("source_hidden")
            assert shown == source.startswith("%%answers"), f"{cell['id']}: only sheets are open"


@pytest.mark.parametrize("path", NOTEBOOKS, ids=name)
def test_notebooks_are_plain_files(path):
    text = path.read_text(encoding="utf-8")
    assert book(path)["metadata"]["kernelspec"]["name"] == "python3"
    assert not re.search(r"(?<![\w.])/(?:home|root|tmp|work|usr)/", text)
    assert '"stderr"' not in text
    assert '"error"' not in text
    assert "pip install" not in text
    assert len(text) < 1_500_000


@pytest.mark.parametrize("path", NOTEBOOKS, ids=name)
def test_links_lead_somewhere(path):
    for target in re.findall(r"\]\(([^)]+)\)", words_of(path)):
        assert not target.startswith("http"), "the course works without network"
        assert (path.parent / target).resolve().is_file(), target


@pytest.mark.parametrize("path", NOTEBOOKS, ids=name)
def test_sentences_are_short(path):
    lengths = [len(re.findall(r"[\w’'-]+", sentence)) for sentence in sentences(words_of(path))]
    longest = max(sentences(words_of(path)), key=lambda sentence: len(sentence.split()))
    assert max(lengths) <= 30, longest
    assert sum(lengths) / len(lengths) < 16


def test_every_lesson_has_practice_form_and_source():
    for path in LESSONS:
        sheet = next(lesson for lesson, place in lessons.LESSONS.items() if place == name(path))
        assert f"practice-{sheet}" in lessons.PRACTICE
        assert sheet in lessons.FORMS
        assert f"graded/{sheet}/{sheet}.ipynb" in words_of(path)
        assert (ROOT / "instructor" / "lessons" / sheet / "layout.md").is_file()
        assert (ROOT / "instructor" / "lessons" / sheet / "written.md").is_file()
        assert lessons.LESSONS[sheet] == name(path)
        assert name(path) in words_of(COURSE / "start-here.ipynb")


@pytest.mark.parametrize("name", lessons.LESSONS)
def test_practice_leaves_lines_to_the_graded_sheet(name):
    graded = {item.label for item in lessons.FORMS[name].items}
    practiced = {item.label for item in lessons.PRACTICE[f"practice-{name}"].items}
    assert practiced < graded
    assert 1 <= len(graded - practiced) <= 5


def test_practice_cells_hold_exactly_the_lines_of_their_sheet():
    for path in LESSONS:
        for cell in book(path)["cells"]:
            source = "".join(cell["source"])
            if source.startswith("%%answers"):
                sheet = lessons.PRACTICE[source.split("\n")[0].split()[1]]
                assert list(assess.parse_sheet(source).answers) == [item.label for item in sheet.items]
