"""Instruments in the page: what is sent makes the drawing, the newest move wins, one screen, a phone's type, reset."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import expect

from browser.hands import START, Lab

PHONE = {"width": 390, "height": 844}
LAPTOP = {"width": 1366, "height": 768}
LEAST = 11.0  # px; smallest type that a phone may show
ON_A_PHONE = (
    "gauge_pair()", "bench()", "pressure_and_temperature()", "charging_bench()", "container()", "sight_glass()",
    "clinic_desk()", "leak_bench()", "running_job()", "ph_chart()",
)  # fmt: skip
# Type in px of every line of words, and the lines that no piece shows whole.
TYPE = """
canvas => {
  const svg = canvas.querySelector('svg[role=img]'), frame = svg.getBoundingClientRect();
  const unit = svg.viewBox.baseVal.width / frame.width;
  const told = [...canvas.querySelectorAll('.coldcab-pieces :is(p, td, th)')];
  const pieces = [...canvas.querySelectorAll('.coldcab-pieces svg')];
  const least = [], cut = [];
  for (const line of svg.querySelectorAll('text')) {
    if (!line.textContent.trim()) continue;
    const paragraph = told.find(one => one.textContent.includes(line.textContent));
    if (paragraph) { least.push(parseFloat(getComputedStyle(paragraph).fontSize)); continue; }
    const box = line.getBoundingClientRect();
    const [left, right] = [(box.left - frame.left) * unit, (box.right - frame.left) * unit];
    const [top, bottom] = [(box.top - frame.top) * unit, (box.bottom - frame.top) * unit];
    const whole = pieces.filter(piece => {
      const view = piece.viewBox.baseVal;
      return left > view.x - 2 && right < view.x + view.width + 2 &&
        top > view.y - 3 && bottom < view.y + view.height + 3;
    });
    if (!whole.length) cut.push(line.textContent);
    const size = parseFloat(getComputedStyle(line).fontSize);
    const scale = piece => piece.getBoundingClientRect().width / piece.viewBox.baseVal.width;
    least.push(size * Math.max(...whole.map(scale)));
  }
  return [Math.min(...least), cut, canvas.getBoundingClientRect().width, canvas.scrollWidth];
}
"""


def put(server, name: str, *calls: str) -> str:
    """Put a notebook into the learner's folder, a call of an instrument in each cell."""
    cells = [
        {"cell_type": "code", "id": f"cell-{n}", "metadata": {}, "execution_count": None, "outputs": [], "source": call}
        for n, call in enumerate(("from coldcab.instruments import *", *calls))
    ]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    book = {"cells": cells, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}
    (server.folder / name).write_text(json.dumps(book), encoding="utf-8")
    return name


@pytest.fixture(scope="module")
def laptop(browser, server):
    """One page for all tests of this file that need no other."""
    path = put(
        server,
        "on-a-laptop.ipynb",
        "pair = gauge_pair()\npair",
        "one = bench(fault='drier restricted')\none",
        "import IPython\nIPython.display.display(pair, one)",
    )
    context = browser.new_context(viewport=LAPTOP)
    lab = Lab(context.new_page(), server)
    lab.open(path).start()
    expect(lab.drawings()).to_have_count(4)
    yield lab
    context.close()


def canvas(lab: Lab, place: int):
    return lab.notebook.locator(".coldcab-canvas").nth(place)


def drawn(lab: Lab, place: int) -> str:
    """A drawing as it stands in the page, without what its room adds."""
    return canvas(lab, place).evaluate(
        """canvas => { const copy = canvas.firstElementChild.cloneNode(true);
        copy.querySelector('.coldcab-pieces')?.remove(); copy.querySelector('svg').style.cssText = '';
        copy.querySelector('.coldcab-all').removeAttribute('id'); return copy.outerHTML; }"""
    )


def test_what_is_sent_makes_the_drawing(laptop):
    """After many moves the page holds what a view that opens now is given whole."""
    for label, steps in (("low side", 9), ("high side", -7)):
        laptop.move_slider(label, steps)
    laptop.choose("temperature scale", "R-12 and R-134a").move_slider("low side", -3)
    laptop.move_slider("severity", 12).move_slider("outside air", -6)
    laptop.wait_until_idle().page.wait_for_timeout(600)
    moved = drawn(laptop, 0), drawn(laptop, 1)
    laptop.cell("IPython.display").locator(".cm-content").click()
    laptop.page.keyboard.press("Shift+Enter")
    laptop.wait_until_idle().page.wait_for_timeout(600)
    assert (drawn(laptop, 2), drawn(laptop, 3)) == moved
    assert laptop.errors() == []


def test_the_newest_move_wins(laptop):
    """A drawing that is slower than the hand skips what is no longer asked for."""
    many = canvas(laptop, 1).evaluate(
        """async canvas => { const handle = [...document.querySelectorAll('.widget-slider')]
          .find(one => one.textContent.includes('outside air')).querySelector('.noUi-handle');
        let seen = 0;
        const watch = new MutationObserver(() => { seen += 1; });
        watch.observe(canvas, {subtree: true, attributes: true, attributeFilter: ['aria-label']});
        for (let move = 0; move < 30; move++) {
          handle.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowLeft', code: 'ArrowLeft', bubbles: true}));
          await new Promise(go => setTimeout(go, 4));
        }
        await new Promise(go => setTimeout(go, 2500));
        return seen; }"""
    )
    assert 1 <= many < 25
    box = laptop.widget("outside air").locator("xpath=..").locator("input[type=text]").first
    assert box.input_value() in drawn(laptop, 1)


def test_reset_comes_back_to_the_page_and_is_kept_over_start(laptop):
    box = laptop.widget("low side").locator("xpath=..").locator("input[type=text]").first
    laptop.type_value("low side", "44 psig").wait_until_idle().page.wait_for_timeout(800)
    laptop.start()
    expect(box).to_have_value("44.0 psig")
    laptop.notebook.get_by_role("button", name="Reset").first.click()
    expect(box).to_have_value("31.0 psig")
    laptop.start()
    expect(box).to_have_value("31.0 psig")


def test_controls_stay_in_sight_while_the_sheet_scrolls(laptop):
    desk = laptop.notebook.locator(".coldcab-desk").nth(1)
    sheet = laptop.drawings().nth(1)
    room = laptop.scroller.bounding_box()
    for _ in range(50):  # a busy computer lays the page out later
        sheet.evaluate("svg => svg.scrollIntoView({block: 'end'})")
        place = desk.bounding_box()
        if room["y"] - 1 <= place["y"] <= room["y"] + 2:
            break
        laptop.page.wait_for_timeout(100)
    assert room["y"] - 1 <= place["y"] <= room["y"] + 2
    assert place["height"] <= room["height"]
    assert place["x"] + place["width"] <= sheet.bounding_box()["x"] + 1  # beside it, not over it
    first = laptop.drawings().nth(0).bounding_box()
    assert first["height"] + laptop.notebook.locator(".coldcab-desk").nth(0).bounding_box()["height"] < room["height"]


def test_a_phone_shows_every_word_large_enough(browser, server):
    path = put(server, "on-a-phone.ipynb", *ON_A_PHONE)
    context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True, reduced_motion="reduce")
    phone = Lab(context.new_page(), server)
    base, token = server.address.split("/lab/")[0], server.address.split("token=")[-1]
    phone.page.goto(f"{base}/lab/tree/{path}?reset&token={token}")
    phone.notebook.locator(".jp-Notebook-cell").first.wait_for()
    phone.page.wait_for_timeout(3000)
    phone.notebook.locator(f"[data-jp-item-name='{START}'] jp-button").tap()
    phone.page.set_viewport_size({"width": 390, "height": 12_000})  # else cells below are not on the page
    expect(phone.notebook.locator(".coldcab-pieces")).to_have_count(len(ON_A_PHONE))
    phone.page.wait_for_timeout(1000)
    for place, call in enumerate(ON_A_PHONE):
        least, cut, width, wide = canvas(phone, place).evaluate(TYPE)
        assert (call, cut) == (call, [])
        assert least >= LEAST, call
        assert wide <= width + 1 <= 391, call
    assert phone.errors() == []
    context.close()
