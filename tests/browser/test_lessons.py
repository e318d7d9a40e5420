"""Every lesson opens, runs and answers to the hand: each instrument is moved, and what it says changes."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from coldcab.course import folder

PAGES = sorted(
    str(path.relative_to(folder()))
    for path in folder().rglob("*.ipynb")
    if "graded" not in path.parts and path.stem not in ("start-here", "job-planner", "placement", "how-true")
)
TRIES = 6


def moved(drawing, handles, page) -> bool:
    """Try the sliders one after the other until the drawing says something else."""
    before = drawing.get_attribute("aria-label")
    for handle in handles[:TRIES]:
        for key in ("ArrowRight", "ArrowLeft"):
            handle.focus()
            for _ in range(3):
                page.keyboard.press(key)
            page.wait_for_timeout(700)
            if drawing.get_attribute("aria-label") != before:
                return True
    return False


@pytest.mark.parametrize("path", PAGES)
def test_a_lesson_lives_in_the_browser(lab, path):
    lab.open(path).start()
    drawings = lab.drawings()
    assert drawings.count() >= 1
    for number in range(drawings.count()):
        drawing = drawings.nth(number)
        panel = drawing.locator("xpath=ancestor::div[contains(@class,'widget-vbox')][last()]")
        handles = [one for one in panel.locator(".noUi-handle").all() if one.is_visible()]
        choices = [one for one in panel.locator("select").all() if one.is_visible()]
        if handles:
            assert moved(drawing, handles, lab.page), f"{path}: instrument {number + 1} does not answer to its sliders"
        elif choices:
            before = drawing.get_attribute("aria-label")
            options = choices[0].locator("option").all_inner_texts()
            choices[0].select_option(label=options[-1])
            expect(drawing).not_to_have_attribute("aria-label", before)
    assert lab.errors() == []
    assert lab.foreign_requests() == []
