"""The desk on the first page, handing in, and what must not be lost, as a learner meets them."""

from __future__ import annotations

import json
import re
from urllib.request import Request, urlopen

import pytest
from playwright.sync_api import expect

from browser.hands import CHECK, START, nothing_done_yet
from coldcab.lessons import LESSONS, deck

LESSON = LESSONS["cycle-1"]
SHEET = "graded/cycle-1/cycle-1.ipynb"
CLINIC = LESSONS["faults-4"]


@pytest.fixture(scope="module")
def server(own_server):
    """The desk shows what was written on any sheet."""
    return own_server


@pytest.fixture(autouse=True)
def as_delivered(server):
    """Each test begins as a learner who has done nothing yet; other tests' records come back afterwards."""
    with nothing_done_yet(server.folder, LESSON, SHEET, CLINIC):
        yield


def kernels(server):
    """The kernels that run now."""
    base, token = server.address.split("/lab/")[0], server.address.split("token=")[-1]
    with urlopen(Request(f"{base}/api/kernels", headers={"Authorization": f"token {token}"}), timeout=10) as answer:
        return json.load(answer)


def words_of(file):
    """The cells of a notebook: name and text."""
    return [(cell["id"], "".join(cell["source"])) for cell in json.loads(file.read_bytes())["cells"]]


def desk(lab):
    return lab.notebook.locator(".jupyter-widgets").first


def test_the_desk_knows_a_returning_learner_at_once(lab):
    lab.go_to_start()
    expect(lab.notebook.get_by_text("Nothing is done yet").first).to_be_visible()  # nothing was pressed
    desk(lab).get_by_role("link", name="Begin: Pressure and temperature").click()
    expect(lab.notebook.get_by_role("heading", name="Pressure and temperature").first).to_be_visible()
    lab.start()
    wrong, right = deck("practice-cycle-1").card("absolute pressure", 1), deck("practice-cycle-1").card("state at A", 1)
    idea = next(value for number, value in wrong.shows if wrong.ideas[number].name == "gauge taken for absolute")
    lines = f"absolute pressure: {idea / 6894.757:.2f} psia\nstate at A: {right.right}\n"
    lab.write("%%answers practice-cycle-1", f"%%answers practice-cycle-1\n{lines}").press(CHECK)
    expect(lab.notebook.get_by_text("1 of 11 right").first).to_be_visible()
    # Back on the first page everything is fresh; the idea links to its passage.
    lab.tab("start-here.ipynb").click()
    expect(desk(lab)).to_contain_text("1 of 11 practice lines right")
    expect(desk(lab)).to_contain_text("gauge taken for absolute")
    desk(lab).get_by_role("link", name="read again: Why: gauge, absolute, vacuum").click()
    expect(lab.notebook.get_by_role("heading", name="Why: gauge, absolute, vacuum")).to_be_in_viewport()
    # Another day: the page is opened and knows.
    lab.go_to_start()
    expect(desk(lab)).to_contain_text("Welcome back")
    lab.notebook.get_by_role("button", name="What I can do").click()
    expect(lab.notebook.locator(".coldcab-print")).to_contain_text("I can turn a gauge reading into absolute pressure")
    assert lab.errors() == []


def test_lessons_do_not_pile_up(lab, server):
    lab.go_to_start()
    expect(desk(lab)).to_contain_text("Nothing is done yet")
    tabs = lab.page.locator("#jp-main-dock-panel .lm-TabBar-tab")
    for name in ("cycle-1", "cycle-2", "cycle-3", "cycle-4", "retrofit-1"):
        desk(lab).locator(f"a[href='{LESSONS[name]}']").first.click()
        expect(lab.notebook.locator("h1").first).not_to_contain_text("Start here")
        if name == "cycle-1":
            lab.write("%%answers practice-cycle-1", "%%answers practice-cycle-1\nstate at A: not saved by hand\n")
        lab.page.wait_for_function("() => document.querySelectorAll('#jp-main-dock-panel .lm-TabBar-tab').length <= 4")
        lab.tab("start-here.ipynb").click()
    expect(tabs).to_have_count(4)
    expect(lab.tab("1-pressure-and-temperature.ipynb")).to_have_count(0)
    mine = [one for one in kernels(server) if one["connections"]]
    assert len(mine) <= 4
    assert "not saved by hand" in json.dumps(lab.stored(LESSON))
    assert lab.errors() == []


def test_measurements_at_the_clinic_are_not_lost(lab):
    lab.open(CLINIC).start()
    label = lab.page.locator(".widget-label", has_text="ticket, from your sheet")
    last = lab.notebook.locator(".jp-Cell", has=label).last

    def ticket(number):
        field = last.get_by_label("ticket, from your sheet")
        field.fill(number)
        field.press("Enter")
        lab.wait_until_idle()

    def measure(name):
        last.get_by_label("take a measurement").select_option(label=name)

    ticket("217")
    measure("glass (1 min)")
    expect(last).to_contain_text("1 of 30 minutes")
    ticket("218")
    expect(last).to_contain_text("0 of 30 minutes")
    ticket("217")
    expect(last).to_contain_text("1 of 30 minutes")
    options = last.get_by_label("take a measurement").locator("option").all_inner_texts()
    assert "start again" not in options
    lab.start()  # once more
    ticket("217")
    expect(last).to_contain_text("1 of 30 minutes")
    lab.open(CLINIC).start()  # a reload, another day
    ticket("217")
    expect(last).to_contain_text("1 of 30 minutes")
    ticket("P9999")
    expect(last).to_contain_text("For the sheet: glass. There is no ticket P9999")
    expect(last.get_by_label("ticket, from your sheet")).to_have_value("217")


def test_one_press_brings_the_desk_s_list_into_the_sheet(lab):
    lab.open(CLINIC).start()
    desk = lab.notebook.locator(".jp-Cell", has=lab.page.get_by_role("button", name="write it into the sheet")).last
    sheet = "%%answers practice-faults-4"
    desk.get_by_role("button", name="machine 2", exact=True).click()
    for name in ("gauges (8 min)", "vent (2 min)", "gauges (8 min)"):
        desk.get_by_label("take a measurement").select_option(label=name)
        lab.wait_until_idle()
    expect(desk).to_contain_text("For the sheet: gauges, vent. Gauges: already taken")
    desk.get_by_role("button", name="write it into the sheet").click()
    expect(desk).to_contain_text("Written into the line “machine 2, measurements”")
    lab.cell(sheet).scroll_into_view_if_needed()
    expect(lab.cell(sheet)).to_contain_text("machine 2, measurements: gauges, vent")
    assert "machine 1, measurements: \n" in lab.source(sheet) + "\n"
    assert lab.errors() == []


def test_hand_in_makes_the_copy_and_says_what_is_next(lab, server):
    (server.folder / ".coldcab.json").write_text('{"id": "s07"}')
    try:
        lab.open(SHEET)
        lab.write("absolute pressure:", "%%answers cycle-1\nabsolute pressure: 31.5 psia\n")
        lab.notebook.get_by_role("group", name="Your written answer").click()
        lab.page.keyboard.type("A gauge counts from the air.")
        bar = lab.notebook.get_by_role("region", name="Hand in")
        bar.get_by_role("button", name="Hand in").press("Enter")  # by keyboard, before anything was started
        expect(bar.get_by_role("status")).to_contain_text("cycle-1_s07.ipynb lies in")
        expect(bar.get_by_role("status")).to_contain_text("state at A")
        expect(bar.get_by_role("status").get_by_text("absolute pressure", exact=True)).to_have_count(0)
        copy = server.folder / "hand-in" / "cycle-1_s07.ipynb"
        assert "absolute pressure: 31.5 psia" in copy.read_text(encoding="utf-8")
        assert "A gauge counts from the air." in copy.read_text(encoding="utf-8")
        expect(bar.get_by_role("status")).not_to_contain_text("own words")
        expect(bar.get_by_role("heading", level=3)).to_have_text(re.compile(r"^Handed in, but \d+ lines are blank$"))
        assert re.search(r"Still blank:.*state at A.*Next: give", bar.inner_text(), re.DOTALL)
        with lab.page.expect_download() as file:
            bar.get_by_role("button", name="Download the copy").click()
        assert file.value.suggested_filename == copy.name
        assert words_of(file.value.path()) == words_of(copy)
    finally:
        (server.folder / ".coldcab.json").unlink()


@pytest.mark.parametrize("time", range(3))
def test_start_pressed_early_never_fails(lab, time):
    lab.page.goto(f"{lab.server.address.split('/lab/')[0]}/lab/tree/{LESSON}?reset&token={lab.server.address[-48:]}")
    button = lab.page.locator(f".jp-NotebookPanel-toolbar [data-jp-item-name='{START}']")
    button.wait_for()
    button.click()  # at once, whatever is still coming up
    expect(lab.notebook.locator(".jupyter-widgets").first).to_be_visible()
