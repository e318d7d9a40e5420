"""A whole lesson from the desk to the copy for the instructor: once on a phone, once with the keyboard alone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from browser.hands import Lab, nothing_done_yet
from coldcab import assess, learner, lessons

NAME = "cycle-1"
PRACTICE = lessons.PRACTICE[f"practice-{NAME}"]
FORM = lessons.FORMS[NAME]
PAGE, SHEET = lessons.LESSONS[NAME], f"graded/{NAME}/{NAME}.ipynb"
PHONE = {"width": 390, "height": 844}
UNIT = {"pressure": "Pa", "temperature": "K", "pressure difference": "Pa"}
NUMBERS = [item for item in PRACTICE.items if item.kind in UNIT]


def right(item, number=1):
    """The right answer of a practice line as a learner may type it."""
    value = lessons.deck(PRACTICE.name).card(item.label, number).right
    return str(value) if item.kind in assess.WORDS else f"{value:.8g} {UNIT[item.kind]}"


@pytest.fixture(scope="module")
def server(own_server):
    """Nobody has written on its pages."""
    return own_server


@pytest.fixture
def enrolled(server):
    """Sam has an id and has done nothing yet; what other tests left behind comes back afterwards."""
    with nothing_done_yet(server.folder, PAGE, SHEET):
        learner.write(learner.Learner("s07"), server.folder)
        yield server.folder
        (server.folder / learner.FILE_NAME).unlink()


def sheet(lab):
    return lab.notebook.locator(".coldcab-sheet").first


def row(lab, label):
    return sheet(lab).locator(".coldcab-row").filter(has=lab.page.get_by_text(label, exact=True))


def bar(lab):
    return lab.notebook.get_by_role("region", name="Hand in")


def nothing_hangs_over(lab):
    width, room = lab.scroller.evaluate("e => [e.scrollWidth, e.clientWidth]")
    assert width <= room


def copy_of(folder):
    return (folder / "hand-in" / f"{NAME}_s07.ipynb").read_text(encoding="utf-8")


# By thumb -------------------------------------------------------------------------------------------------------------


@pytest.fixture
def phone(browser, server):
    context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True, reduced_motion="reduce")
    yield Lab(context.new_page(), server)
    context.close()


DOUBLE_TAP = 400  # ms; two taps closer than about 300 ms are one double tap to the browser, and no thumb types so fast


def write_by_thumb(lab, label, answer):
    """Tap behind a label and type."""
    line = sheet(lab).locator(".cm-line", has_text=re.compile(rf"^{re.escape(label)}:")).first
    line.scroll_into_view_if_needed()
    place = line.bounding_box()
    line.tap(position={"x": place["width"] - 4, "y": place["height"] - 6})  # a long label takes two rows of a phone
    lab.page.keyboard.insert_text(answer)
    lab.page.wait_for_timeout(DOUBLE_TAP)


def test_a_whole_lesson_on_a_phone(phone, enrolled):
    phone.page.goto(phone.server.address)
    begin = phone.notebook.locator(".jupyter-widgets").get_by_role("link", name="Begin: Pressure and temperature")
    begin.tap()
    expect(phone.notebook.get_by_role("heading", name="Pressure and temperature").first).to_be_visible()
    nothing_hangs_over(phone)
    phone.notebook.locator("[data-jp-item-name='start-lesson'] jp-button").tap()
    phone.notebook.get_by_role("slider", name="gauge reading, psig").first.wait_for()
    # Practice: numbers are typed, choices are tapped.
    sheet(phone).locator(".coldcab-row").first.wait_for()
    for item in NUMBERS:
        write_by_thumb(phone, item.label, right(item))
    for item in PRACTICE.items:
        for choice in right(item).split(", ") if item.kind in assess.WORDS else ():
            row(phone, item.label).get_by_role("button", name=choice, exact=True).tap()
    sheet(phone).get_by_role("button", name="Check this sheet").tap()
    everything = f"{len(PRACTICE.items)} of {len(PRACTICE.items)} right."
    expect(sheet(phone).locator(".jp-Cell-outputArea")).to_contain_text(everything)
    nothing_hangs_over(phone)
    # The graded sheet, by its link at the end of the practice, and the copy.
    phone.notebook.get_by_role("link", name="your sheet for this lesson").first.tap()
    expect(phone.notebook.get_by_role("heading", name=f"Graded sheet {NAME}").first).to_be_visible()
    sheet(phone).locator(".coldcab-row").first.wait_for()
    write_by_thumb(phone, "absolute pressure", "31.5 psia")
    button = bar(phone).get_by_role("button", name="Hand in")
    button.tap()
    expect(bar(phone).get_by_role("status")).to_contain_text(f"{NAME}_s07.ipynb lies in")
    nothing_hangs_over(phone)
    assert button.bounding_box()["height"] >= 36
    phone.picture("phone_hand_in")
    assert "absolute pressure: 31.5 psia" in copy_of(enrolled)
    assert phone.errors() == []


# By keyboard ----------------------------------------------------------------------------------------------------------


def tab_to(lab, target, most=400):
    """Press Tab until ``target`` has the cursor; nothing else moves it."""
    here = "e => e === document.activeElement || e.contains(document.activeElement)"
    met = []
    for _ in range(most):
        lab.page.keyboard.press("Tab")
        if target.count() and target.first.evaluate(here):
            return
        met.append(
            lab.page.evaluate("document.activeElement.tagName + ' ' + document.activeElement.textContent.slice(0, 20)")
        )
    raise AssertionError(f"{most} times Tab does not reach {target}, but {met[-30:]}")


def test_a_whole_lesson_by_keyboard_alone(lab, enrolled):
    keys = lab.page.keyboard
    lab.page.goto(lab.server.address)
    begin = lab.notebook.locator(".jupyter-widgets").get_by_role("link", name="Begin: Pressure and temperature")
    begin.wait_for()
    tab_to(lab, begin)
    keys.press("Enter")
    expect(lab.notebook.get_by_role("heading", name="Pressure and temperature").first).to_be_visible()
    sheet(lab).locator(".coldcab-row").first.wait_for()
    keys.press("Control+Shift+Enter")  # from wherever the cursor is
    lab.notebook.get_by_role("slider", name="gauge reading, psig").first.wait_for()
    lab.wait_until_idle()
    # An instrument, then the practice: numbers typed line after line, then Space on the choices.
    slider = lab.notebook.get_by_role("slider", name="gauge reading, psig").first
    tab_to(lab, slider)
    keys.press("ArrowRight")
    expect(slider).not_to_have_attribute("aria-valuetext", "30.0 psig")
    tab_to(lab, sheet(lab).locator(".cm-content"))
    for item in PRACTICE.items:
        if item.kind in UNIT:
            keys.type(right(item))
        keys.press("Tab")
    for item in PRACTICE.items:
        for choice in right(item).split(", ") if item.kind in assess.WORDS else ():
            group = sheet(lab).get_by_role("group", name=re.compile(f"^{re.escape(item.label)}:"))
            if not group.evaluate("e => e.contains(document.activeElement)"):
                tab_to(lab, group, 40)
            for _step in range(20):
                if lab.page.evaluate("document.activeElement.textContent") == choice:
                    break
                keys.press("ArrowRight")
            keys.press("Space")
    keys.press("Control+Enter")
    everything = f"{len(PRACTICE.items)} of {len(PRACTICE.items)} right."
    expect(sheet(lab).locator(".jp-Cell-outputArea")).to_contain_text(everything)
    # On to the graded sheet.
    tab_to(lab, lab.notebook.get_by_role("link", name="your sheet for this lesson").last)
    keys.press("Enter")
    expect(lab.notebook.get_by_role("heading", name=f"Graded sheet {NAME}").first).to_be_visible()
    sheet(lab).locator(".coldcab-row").first.wait_for()
    tab_to(lab, sheet(lab).locator(".cm-content"))
    keys.type("31.5 psia")
    tab_to(lab, bar(lab).get_by_role("button", name="Hand in"))
    keys.press("Enter")
    expect(bar(lab).get_by_role("status")).to_contain_text(f"{NAME}_s07.ipynb lies in")
    assert "absolute pressure: 31.5 psia" in copy_of(enrolled)
    assert lab.errors() == []
