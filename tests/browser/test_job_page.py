"""The planner's page in a browser: on a phone nothing runs out of the screen, and printed from there it can be read."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from coldcab import job
from coldcab.job import page as job_page
from coldcab.paper import SMALLEST

JOBS = Path(__file__).parents[2] / "course" / "refresher" / "jobs"
WIDTHS = (320, 390)


@pytest.fixture(scope="module")
def addresses(tmp_path_factory):
    """Pages of a long and of a short job."""
    folder = tmp_path_factory.mktemp("jobs")
    for name in ("seal-leak", "not-enough-read"):
        made = job.plan(job.read_job(JOBS / f"{name}.toml"))
        (folder / f"{name}.html").write_text(job_page.html(made), encoding="utf-8")
    return {file.stem: file.as_uri() for file in folder.iterdir()}


def test_a_phone_shows_what_to_do_next_and_scrolls_only_down(page, addresses):
    for address in addresses.values():
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 700})
            page.goto(address)
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            next_step = page.locator("[data-next]")
            assert next_step.is_visible()
            box = next_step.bounding_box()
            assert box["y"] + box["height"] < 350, "in the upper half of the first screen"
            for tick in page.locator("ul.steps input").all()[:3]:
                assert tick.bounding_box()["height"] >= 24, "as large as a finger needs it (WCAG 2.2, 2.5.8)"


def test_printed_from_the_browser_it_is_whole_and_no_letter_is_small(page, addresses):
    for name, most in (("seal-leak", 6), ("not-enough-read", 4)):
        page.goto(addresses[name])
        held = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True, tagged=True)))
        assert len(held.pages) <= most
        assert held.trailer["/Root"]["/MarkInfo"]["/Marked"]
        sizes, words = [], []

        def seen(text, matrix, place, _font, size, sizes=sizes):
            if text.strip():
                sizes.append(size * abs(place[3] * matrix[3]))

        for sheet in held.pages:
            words.append(sheet.extract_text(visitor_text=seen))
        text = " ".join(" ".join(words).split())
        assert min(sizes) >= SMALLEST - 0.05
        for said in ("Order of work", "Label to cut out", "Expected readings", "Record", "Name and signature"):
            assert said in text
        assert "Save this page" not in text
        assert "Next:" not in text
