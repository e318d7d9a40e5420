"""SI first: pages are shown with the metric quantity in front as soon as it is chosen; their files stay as they are."""

import json

import pytest
from playwright.sync_api import expect

from coldcab import learner

LESSON = "cycle/1-pressure-and-temperature.ipynb"
SHEET = "graded/cycle-1/cycle-1.ipynb"


@pytest.fixture
def copy(server):
    """The learner's folder; who was at the desk before is there again afterwards."""
    place = server.folder / learner.FILE_NAME
    before = place.read_bytes() if place.exists() else None
    yield server.folder
    place.unlink(missing_ok=True)
    if before is not None:
        place.write_bytes(before)


def texts(folder, path):
    cells = json.loads((folder / path).read_text(encoding="utf-8"))["cells"]
    return [cell["source"] for cell in cells if cell["cell_type"] == "markdown"]


def shown(lab, words):
    return lab.notebook.locator(".jp-RenderedMarkdown", has_text=words).first


def test_who_chooses_si_reads_pages_in_si_and_back(lab, copy):
    before = {path: texts(copy, path) for path in (LESSON, SHEET)}
    lab.go_to_start().follow("Pressure and temperature")
    expect(shown(lab, "reads 60 psig and says")).to_be_visible()
    for system, words, said in [("si", "SI units first", "reads 414 kPa gauge (60 psig) and says"),
                                ("us", "US customary units first", "reads 60 psig and says")]:  # fmt: skip
        lab.go_to_start()
        lab.type_value("Learner id", "juniper")
        lab.choose("Units", words)
        lab.notebook.get_by_role("button", name="Save", exact=True).click()
        expect(lab.notebook.get_by_text("Saved. You are")).to_be_visible()
        assert learner.units(copy) == system
        lab.follow("Pressure and temperature")
        expect(shown(lab, said)).to_be_visible()
        lab.save()
    assert lab.errors() == []
    assert {path: texts(copy, path) for path in before} == before
