"""For whoever works by keyboard, by ear or on a phone: names, the written answer, the narrow page, Validate's words."""

from __future__ import annotations

import json
import re

import pytest
from playwright.sync_api import expect

from browser.hands import CHECK, START, Lab
from coldcab import learner, lessons
from coldcab.classroom.marked_notebook import STUB
from coldcab.course import folder
from coldcab.learner import Learner

LESSON = "cycle/1-pressure-and-temperature.ipynb"
PHONE = {"width": 412, "height": 860}
ROLES = {"slider", "textbox", "combobox", "checkbox", "spinbutton", "listbox", "radio", "button"}
JUPYTERLABS_OWN = "jp-collapseHeadingButton"  # a button of JupyterLab's without a name, outside the Tab order
TYPED = 'He said "full"; (no) *one* _knows_ [yet] `x` {y}\nuntil the liquid is gone.  '
THUMB = 24  # CSS px, the least size of a target in WCAG 2.2, success criterion 2.5.8 (W3C, 2023)


def controls(lab):
    """Every control on the page as a screen reader gets it: role, name, class."""
    lab.page.wait_for_timeout(500)
    reader = lab.page.context.new_cdp_session(lab.page)
    for node in reader.send("Accessibility.getFullAXTree")["nodes"]:
        if not node["ignored"] and node["role"]["value"] in ROLES:
            element = reader.send("DOM.describeNode", {"backendNodeId": node["backendDOMNodeId"]})["node"]
            pairs = element.get("attributes", [])
            kind = dict(zip(pairs[::2], pairs[1::2], strict=True)).get("class", "")
            yield node["role"]["value"], node.get("name", {}).get("value", "").strip(), kind


def connected(lab, path):
    """Wait until the page talks to its kernel: JupyterLab drops what is started before, and its mark says "idle"."""
    base, token = lab.server.address.split("/lab/")[0], lab.server.address.split("token=")[-1]
    for _ in range(240):
        sessions = lab.page.request.get(f"{base}/api/sessions?token={token}").json()
        kernels = [one["kernel"] for one in sessions if one["path"] == path]
        if any(one["execution_state"] == "idle" and one["connections"] for one in kernels):
            lab.page.wait_for_timeout(500)
            return
        lab.page.wait_for_timeout(250)
    pytest.fail("the page did not reach its kernel in a minute")


def begin(lab, path):
    """Open a page and press "Start this lesson"."""
    lab.open(path)
    connected(lab, path)
    return lab.start()


def copy_sheet(server, name, change=lambda cells: None):
    """Put a fresh form into the learner's folder, changed as the test wants; its path there."""
    learner.write(Learner("birch", "open"), server.folder)
    path = f"graded/{name}/{name}.ipynb"
    book = json.loads((folder() / path).read_text(encoding="utf-8"))
    change(book["cells"])
    (server.folder / path).write_text(json.dumps(book), encoding="utf-8")
    return path


def written(cells):
    (cell,) = [cell for cell in cells if cell["cell_type"] == "markdown" and cell["metadata"]["nbgrader"]["solution"]]
    return cell


def text_of(lab, path):
    """The written answer as it lies on the disk."""
    return "".join(written(lab.stored(path)["cells"])["source"])


@pytest.fixture
def phone(browser, server):
    context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True, reduced_motion="reduce")
    yield Lab(context.new_page(), server)
    context.close()


# Names


@pytest.mark.parametrize(
    "path", [LESSON, "graded/cycle-3/cycle-3.ipynb", "refresher/job-planner.ipynb", "refresher/placement.ipynb"]
)
def test_every_control_has_a_name(lab, path):
    begin(lab, path)
    found = list(controls(lab))
    assert len(found) > 20, "the page is not there"
    assert [one for one in found if not one[1] and JUPYTERLABS_OWN not in one[2]] == []
    assert lab.errors() == []


def test_a_slider_is_found_by_its_name_and_says_what_the_box_says(lab):
    begin(lab, LESSON)
    slider = lab.notebook.get_by_role("slider", name="gauge reading, psig").first
    box = lab.notebook.get_by_role("textbox", name="gauge reading, psig").first
    expect(slider).to_have_attribute("aria-valuetext", "30.0 psig")
    slider.focus()
    lab.page.keyboard.press("ArrowRight")
    expect(slider).to_have_attribute("aria-valuetext", "30.5 psig")
    expect(box).to_have_value("30.5 psig")
    box.fill("150.3")  # between two steps of the slider
    box.press("Enter")
    expect(slider).to_have_attribute("aria-valuetext", "150.3 psig")
    lab.wait_until_idle()
    box.fill("plenty")
    box.press("Enter")
    lab.wait_until_idle().page.wait_for_timeout(500)
    expect(slider).to_have_attribute("aria-valuetext", "150.3 psig")
    slider.focus()
    lab.page.keyboard.press("Home")
    expect(box).to_have_value(re.compile("inHg vacuum"))
    expect(slider).to_have_attribute("aria-valuetext", box.input_value())
    assert lab.errors() == []


def test_a_slider_never_says_a_long_fraction(lab):
    begin(lab, "cycle/3-the-air-side.ipynb")
    lab.page.wait_for_timeout(500)
    said = [one.get_attribute("aria-valuetext") for one in lab.notebook.get_by_role("slider").all()]
    assert said
    assert [words for words in said if not re.fullmatch(r"-?[\d,]+(\.\d{1,2})? ?\D*", words)] == []


def test_both_ends_of_a_range_are_named(lab, server):
    source = "import ipywidgets; ipywidgets.IntRangeSlider(description='band')"
    cell = {"cell_type": "code", "id": "band", "metadata": {}, "source": source, "outputs": [], "execution_count": None}
    book = {"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
    (server.folder / "band.ipynb").write_text(json.dumps(book), encoding="utf-8")
    begin(lab, "band.ipynb")
    for end in ("lower", "upper"):
        expect(lab.notebook.get_by_role("slider", name=f"band, {end} end")).to_be_visible()


def test_stored_pictures_have_their_text_before_anything_runs(lab):
    lab.open(LESSON)
    picture = lab.notebook.get_by_role("img", name=re.compile("^Chart of gauge pressure against container temperature"))
    expect(picture).to_be_visible()


# The written answer


def test_one_click_opens_the_written_answer_and_it_is_stored_as_typed(lab, server):
    path = copy_sheet(server, "cycle-2")
    lab.open(path)
    box = lab.notebook.get_by_role("group", name="Your written answer")
    assert float(box.evaluate("e => parseFloat(getComputedStyle(e).borderTopWidth)")) >= 1, "it looks like a box"
    box.click()
    expect(lab.notebook.get_by_role("textbox", name="Your written answer")).to_be_focused()
    lab.page.keyboard.insert_text(TYPED)
    lab.save()
    assert text_of(lab, path) == TYPED
    lab.picture("written_answer")
    assert lab.errors() == []


BY_KEYS = "(a) \"b\" *c* [d] 'e'\n1. drain it\n2. measure it\n- put it back\n\nThat is the first line.\nSo it goes on."


def test_typed_key_by_key_nothing_is_added(lab, server):
    path = copy_sheet(server, "cycle-2")
    lab.open(path)
    lab.notebook.get_by_role("group", name="Your written answer").click()
    lab.page.keyboard.type(BY_KEYS)  # an editor of Markdown would go on with numbers and dashes of its own
    lab.save()
    assert text_of(lab, path) == BY_KEYS
    lab.open(path)  # another day: each line is where it was
    box = lab.notebook.get_by_role("group", name="Your written answer")
    expect(box).to_contain_text("So it goes on.")
    assert box.inner_text().split("\n")[-2:] == ["That is the first line.", "So it goes on."]
    box.click()
    lab.page.keyboard.press("ControlOrMeta+End")
    lab.page.keyboard.type(" And on.")
    lab.save()
    assert text_of(lab, path) == BY_KEYS + " And on."


def test_by_keyboard_alone(lab, server):
    path = copy_sheet(server, "cycle-2")
    lab.open(path)
    box = lab.notebook.get_by_role("group", name="Your written answer")
    lab.notebook.locator(f"[data-jp-item-name='{CHECK}'] jp-button").focus()
    for _ in range(60):
        lab.page.keyboard.press("Tab")
        if box.evaluate("e => e === document.activeElement"):
            break
    expect(box).to_be_focused()
    lab.page.keyboard.press("Enter")
    expect(lab.notebook.get_by_role("textbox", name="Your written answer")).to_be_focused()
    lab.page.keyboard.type("Weigh it.")
    lab.save()
    assert text_of(lab, path) == "Weigh it."
    assert lab.errors() == []


def test_looking_at_it_changes_no_letter(lab, server):
    path = copy_sheet(server, "cycle-2")
    before = [cell["source"] for cell in lab.stored(path)["cells"]]
    lab.open(path)
    lab.notebook.get_by_role("group", name="Your written answer").click()
    lab.start().save()
    assert [cell["source"] for cell in lab.stored(path)["cells"]] == before
    assert text_of(lab, path) == STUB


def test_copying_from_it_and_following_its_links_do_not_open_it(lab, server):
    path = copy_sheet(
        server, "cycle-2", lambda cells: written(cells).update(source="Weigh it, as [here](../../start-here.ipynb).")
    )
    lab.open(path)
    box = lab.notebook.get_by_role("group", name="Your written answer")
    place = box.locator("p").bounding_box()
    lab.page.mouse.move(place["x"] + 2, place["y"] + 8)
    lab.page.mouse.down()
    lab.page.mouse.move(place["x"] + 50, place["y"] + 8, steps=5)
    lab.page.mouse.up()
    expect(box).to_be_visible()
    box.get_by_role("link").click()
    expect(lab.tab("start-here.ipynb")).to_be_visible()


# Narrow windows


def go_to(phone, path):
    """Open a page on the phone, where the mark of a resting kernel is folded away with other buttons."""
    base, token = phone.server.address.split("/lab/")[0], phone.server.address.split("token=")[-1]
    phone.page.goto(f"{base}/lab/tree/{path}?reset&token={token}")
    phone.notebook.locator(".jp-Notebook-cell").first.wait_for()
    connected(phone, path)


def test_a_phone_shows_the_page_and_the_list_of_files_when_asked(phone):
    go_to(phone, LESSON)
    files = phone.page.locator("#jp-left-stack")
    expect(files).to_be_hidden()
    assert phone.notebook.bounding_box()["width"] > 0.98 * PHONE["width"]
    picture = phone.notebook.locator(".jp-RenderedImage img").first
    assert picture.bounding_box()["width"] > 600, "the words of a stored picture can be read"
    assert picture.locator("..").evaluate("box => box.scrollWidth > box.clientWidth"), "it is moved in its own box"
    phone.picture("phone_start")
    phone.page.get_by_role("button", name="Files", exact=True).tap()
    expect(files).to_be_visible()
    phone.page.wait_for_timeout(1500)
    expect(files).to_be_visible()
    assert phone.errors() == []


def test_a_wide_window_keeps_its_list_of_files(lab):
    lab.open(LESSON)
    expect(lab.page.locator("#jp-left-stack")).to_be_visible()


def test_a_thumb_can_start_the_lesson_and_move_a_slider(phone):
    go_to(phone, LESSON)
    for name in (START, CHECK):
        button = phone.notebook.locator(f"[data-jp-item-name='{name}'] jp-button").bounding_box()
        assert button["height"] >= THUMB
        assert button["x"] + button["width"] <= PHONE["width"]
    toolbar = phone.notebook.locator(".jp-NotebookPanel-toolbar").bounding_box()
    for item in phone.notebook.locator(".jp-NotebookPanel-toolbar .jp-Toolbar-item:visible").all():
        box = item.bounding_box()
        assert box["y"] + box["height"] <= toolbar["y"] + toolbar["height"] + 1, "a button fell off the toolbar"
    phone.notebook.locator(f"[data-jp-item-name='{START}'] jp-button").tap()
    slider = phone.notebook.get_by_role("slider", name="gauge reading, psig").first
    slider.wait_for()
    slider.scroll_into_view_if_needed()
    handle = slider.bounding_box()
    assert min(handle["width"], handle["height"]) >= THUMB
    track = phone.notebook.locator(".noUi-base").first.bounding_box()
    assert track["width"] > 120, "no room to move"
    phone.page.touchscreen.tap(track["x"] + 0.8 * track["width"], track["y"] + track["height"] / 2)
    expect(slider).not_to_have_attribute("aria-valuetext", "30.0 psig")
    sides = phone.scroller.evaluate("e => [e.scrollWidth, e.clientWidth]")
    assert sides[0] <= sides[1], "nothing hangs over the edge"
    phone.picture("phone_lesson")
    assert phone.errors() == []


def test_a_tap_opens_the_written_answer(phone):
    go_to(phone, copy_sheet(phone.server, "cycle-2"))
    phone.notebook.get_by_role("group", name="Your written answer").tap()
    expect(phone.notebook.get_by_role("textbox", name="Your written answer")).to_be_focused()


# Validate


OPENER = "[data-jp-item-name='toolbar-popup-opener'] jp-button"


def with_examples(cells):
    """Fill every line with the example that stands beside it, and write an answer."""
    examples = {item.label: item.example for item in lessons.FORMS["cycle-2"].items}
    for cell in cells:
        lines = "".join(cell["source"]).split("\n")
        if lines[0].startswith("%%answers"):
            filled = [f"{line.split(':')[0]}: {examples[line.split(':')[0]]}" for line in lines[1:] if ":" in line]
            cell["source"] = "\n".join([lines[0], *filled])
    written(cells)["source"] = "Weigh it."


def with_nothing_written(cells):
    with_examples(cells)
    written(cells)["source"] = " "


def with_a_line_of_the_form_changed(cells):
    with_examples(cells)
    cells[-1]["source"] = "%check my own line"


@pytest.mark.parametrize(
    ("change", "said", "not_said"),
    [
        (lambda cells: None, ["Not ready yet", "not filled in yet", "In your own words: nothing"], "Every line"),
        (with_nothing_written, ["Not ready yet", "In your own words: nothing written"], "not filled in"),
        (with_examples, ["Every line can be read", "Whether they are right is for the grading"], "Not ready"),
        (with_a_line_of_the_form_changed, ["Something outside the answers was changed"], "Every line"),
    ],
    ids=["as handed out", "nothing written", "complete", "form changed"],
)
def test_validate_speaks_plainly(lab, server, change, said, not_said):
    lab.open(copy_sheet(server, "cycle-2", change))
    lab.notebook.locator(".jp-NotebookPanel-toolbar").get_by_text("Validate", exact=True).click()
    dialog = lab.page.get_by_role("dialog", name="Before you hand in")
    expect(dialog).to_be_visible(timeout=120_000)
    for words in said:
        expect(dialog).to_contain_text(words)
    shown = dialog.inner_text()
    assert not_said not in shown
    for word in ("cell", "test", "code", "failed", "Validation", "%check", "Traceback"):
        assert word not in shown
    dialog.get_by_role("button", name="Ok").click()
    expect(dialog).to_be_hidden()
    assert lab.errors() == []


def test_validate_is_two_taps_away_on_a_phone(phone):
    go_to(phone, copy_sheet(phone.server, "cycle-2", with_nothing_written))
    phone.notebook.locator(OPENER).first.tap()
    phone.page.get_by_text("Validate", exact=True).first.tap()
    dialog = phone.page.get_by_role("dialog", name="Before you hand in")
    expect(dialog).to_contain_text("In your own words: nothing written", timeout=120_000)
    for box in (dialog.get_by_role("heading", name="Before you hand in"), dialog.get_by_role("button", name="Ok")):
        expect(box).to_be_in_viewport()
    dialog.get_by_role("button", name="Ok").tap()
    expect(dialog).to_be_hidden()
    assert phone.errors() == []


# When JupyterLab changes


def test_what_a_later_jupyterlab_lacks_is_missing_without_a_word(lab):
    """A name that JupyterLab does not have stands for one that it gave up."""

    def rename(route):
        answer = route.fetch()
        route.fulfill(response=answer, body=answer.text().replace("addWidgetExtension", "noLongerThere"))

    lab.page.route("**/coldcab/static/common.js", rename)
    lab.page.set_viewport_size(PHONE)
    base, token = lab.server.address.split("/lab/")[0], lab.server.address.split("token=")[-1]
    lab.page.goto(f"{base}/lab/tree/{LESSON}?reset&token={token}")
    lab.notebook.locator(".jp-Notebook-cell").first.wait_for()
    expect(lab.page.locator("#jp-left-stack")).to_be_hidden()  # the other aids are there
    assert lab.errors() == []


# Starting

FRESH = "oil/2-the-oil-ledger.ipynb"  # no other test of this file has started its kernel


def test_a_start_before_the_kernel_is_there_is_not_lost(lab):
    """The button stands there before the page has reached its kernel; JupyterLab alone drops that click for good."""
    base, token = lab.server.address.split("/lab/")[0], lab.server.address.split("token=")[-1]
    lab.page.goto(f"{base}/lab/tree/{FRESH}?reset&token={token}")
    lab.press(START)  # as soon as it can be seen
    expect(lab.notebook.locator(".jupyter-widgets .noUi-handle").first).to_be_visible()
    lab.wait_until_idle()
    # Once, in their order. (The first cell only loads the words; JupyterLab may have kept it and run it by itself too.)
    lab.save()
    counts = [cell["execution_count"] for cell in lab.stored(FRESH)["cells"] if cell["cell_type"] == "code"]
    assert counts[1:] == list(range(counts[1], counts[1] + len(counts) - 1))
    assert lab.errors() == []
