"""An answer sheet under a learner's hands: its own Check, keys alone, choices, numbers in view, nothing lost."""

import re

import pytest
from playwright.sync_api import expect

from browser.hands import CHECK, START, Lab
from coldcab import assess, lessons

PAGE = "cycle/1-pressure-and-temperature.ipynb"
NAME = "practice-cycle-1"
GRADED = "graded/cycle-1/cycle-1.ipynb"
RUNNING = "graded/capstone/capstone.ipynb"
SHEET = lessons.PRACTICE[NAME]
SIZE = {"width": 1366, "height": 768}
PHONE = {"width": 390, "height": 844}
UNIT = {"pressure": "Pa", "temperature": "K", "pressure difference": "Pa"}


def right(number):
    """Every answer of a practice card as a learner may type it."""
    cards = {item: lessons.deck(NAME).card(item.label, number).right for item in SHEET.items}
    return {
        item.label: str(value) if item.kind in assess.WORDS else f"{value:.8g} {UNIT[item.kind]}"
        for item, value in cards.items()
    }


@pytest.fixture(scope="module")
def shared(browser, server):
    """One page for the tests that go on from each other."""
    context = browser.new_context(viewport=SIZE, reduced_motion="reduce")
    yield Lab(context.new_page(), server)
    context.close()


@pytest.fixture(scope="module")
def desk(shared):
    shared.open(PAGE)
    shared.page.locator(".coldcab-sheet").wait_for()
    return shared


def sheet(lab):
    return lab.notebook.locator(".coldcab-sheet")


def feedback(lab):
    return sheet(lab).locator(".jp-Cell-outputArea")


def typed(lab):
    return lab.source("%%answers")


def row(lab, label):
    return sheet(lab).locator(".coldcab-row").filter(has=lab.page.get_by_text(label, exact=True))


def empty(lab):
    lab.write("%%answers", assess.blank_form(right(1)).replace(assess.MAGIC, f"{assess.MAGIC} {NAME}"))


def test_check_answers_before_start_with_the_cursor_elsewhere(desk):
    desk.notebook.get_by_role("heading", name="Pressure and temperature").first.click()
    desk.press(CHECK)
    expect(feedback(desk)).to_contain_text("Nothing filled in yet")
    expect(sheet(desk)).to_contain_text("Practice 1:")  # the numbers that it is about were opened, too


def test_ctrl_enter_never_runs_an_instrument_anew(desk):
    desk.start()
    slider = desk.notebook.get_by_role("slider", name="gauge reading, psig").first
    slider.focus()
    for _ in range(4):
        desk.page.keyboard.press("ArrowRight")
    expect(slider).to_have_attribute("aria-valuetext", "32.0 psig")
    for keys in ("Control+Enter", "Shift+Enter"):
        desk.page.keyboard.press(keys)
        desk.wait_until_idle()
        expect(slider).to_have_attribute("aria-valuetext", "32.0 psig")
    expect(feedback(desk)).to_contain_text("Nothing filled in yet")


def test_what_a_line_is_read_as_stands_beside_it_while_it_is_written(desk):
    desk.fill_in("%%answers", absolute_pressure="45 psia")
    expect(row(desk, "absolute pressure")).to_contain_text("read as 45 psia = 310 kPa absolute")
    desk.fill_in("%%answers", absolute_pressure="45")
    expect(row(desk, "absolute pressure")).to_contain_text("unit")


def test_choices_write_their_phrase_and_can_be_taken_back(desk):
    choice = row(desk, "state at A").get_by_role("button", name="saturated", exact=True)
    choice.click()
    expect(choice).to_have_attribute("aria-pressed", "true")
    assert "\nstate at A: saturated\n" in typed(desk)
    several = row(desk, "machines without liquid")
    for letter in ("C", "A"):
        several.get_by_role("button", name=letter, exact=True).click()
        expect(several.get_by_role("button", name=letter, exact=True)).to_have_attribute("aria-pressed", "true")
    assert "\nmachines without liquid: A, C\n" in typed(desk)
    desk.page.wait_for_timeout(600)  # presses within half a second are one step of undo
    several.get_by_role("button", name="C", exact=True).click()
    expect(several.get_by_role("button", name="C", exact=True)).to_have_attribute("aria-pressed", "false")
    desk.save()
    (cell,) = [one for one in desk.stored(PAGE)["cells"] if "".join(one["source"]).startswith("%%answers")]
    assert "machines without liquid: A\n" in "".join(cell["source"])
    sheet(desk).locator(".cm-content").click()
    desk.page.keyboard.press("ControlOrMeta+z")
    expect(several.get_by_role("button", name="C", exact=True)).to_have_attribute("aria-pressed", "true")


def test_the_numbers_stay_beside_the_lines(desk):
    for line in ("absolute pressure", "work to stop"):
        row(desk, line).scroll_into_view_if_needed()
        card = sheet(desk).locator(".coldcab-numbers-card")
        seen, mine = card.bounding_box(), row(desk, line).bounding_box()
        assert seen["x"] > mine["x"]
        assert 0 < seen["y"] < mine["y"] + mine["height"] < SIZE["height"]
        assert seen["height"] > 200
    desk.picture("sheet_wide")


def test_a_practice_sheet_by_keyboard_alone(desk):
    """From the toolbar: Tab to the sheet and through its lines, Space on a choice, Ctrl+Enter; all right."""
    empty(desk)
    desk.notebook.locator("[data-jp-item-name='start-lesson'] jp-button").focus()
    keys, editor = desk.page.keyboard, sheet(desk).locator(".cm-content")
    for _ in range(300):
        keys.press("Tab")
        if editor.evaluate("e => e === document.activeElement"):
            break
    expect(editor).to_be_focused()
    choices = []
    for label, answer in right(1).items():
        if SHEET.item(label).kind == assess.CHOICE:
            choices.append((label, answer))
        else:
            keys.type(answer)
        keys.press("Tab")
    for label, answer in choices:
        group = sheet(desk).get_by_role("group", name=re.compile(f"^{label}:"))
        while not group.evaluate("e => e.contains(document.activeElement)"):
            keys.press("Tab")
        while desk.page.evaluate("document.activeElement.textContent") != answer:
            keys.press("ArrowRight")
        keys.press("Space")
    expect(row(desk, choices[-1][0]).locator("[aria-pressed=true]")).to_have_count(1)
    keys.press("Control+Enter")
    expect(feedback(desk)).to_contain_text(f"{len(SHEET.items)} of {len(SHEET.items)} right.")
    expect(sheet(desk).locator(".coldcab-keys")).to_contain_text("Ctrl+Enter")
    assert desk.errors() == []


def test_new_numbers_leave_the_old_answers_with_theirs(desk):
    answered = typed(desk)
    press = desk.notebook.locator(".jupyter-widgets").get_by_role
    press("button", name="New numbers").click()
    expect(sheet(desk).locator(".coldcab-numbers")).to_contain_text("Practice 2:")
    expect(row(desk, "state at A").locator("[aria-pressed=true]")).to_have_count(0)
    assert typed(desk) == assess.blank_form(right(1)).replace(assess.MAGIC, f"{assess.MAGIC} {NAME}").rstrip("\n")
    expect(feedback(desk)).to_contain_text("Your answers to practice 1 are kept")
    desk.fill_in("%%answers", **{label.replace(" ", "_"): answer for label, answer in right(2).items()})
    sheet(desk).get_by_role("button", name="Check this sheet").click()
    everything = f"{len(SHEET.items)} of {len(SHEET.items)} right."
    expect(feedback(desk)).to_contain_text(everything)
    press("button", name="Back to practice 1").click()
    expect(sheet(desk).locator(".coldcab-numbers")).to_contain_text("Practice 1:")
    assert typed(desk) == answered
    sheet(desk).get_by_role("button", name="Check this sheet").click()
    expect(feedback(desk)).to_contain_text(everything)
    desk.save()
    desk.open(PAGE).start()  # another day
    expect(sheet(desk).locator(".coldcab-numbers")).to_contain_text("Practice 1:")
    press("button", name="On to practice 2").click()
    expect(sheet(desk).locator(".coldcab-numbers")).to_contain_text("Practice 2:")
    sheet(desk).get_by_role("button", name="Check this sheet").click()
    expect(feedback(desk)).to_contain_text(everything)


def test_check_starts_a_kernel_that_was_shut_down(desk):
    desk.page.get_by_role("menuitem", name="Kernel", exact=True).click()
    desk.page.get_by_role("menuitem", name="Shut Down Kernel", exact=True).click()
    sheet(desk).get_by_role("button", name="Check this sheet").click()
    expect(sheet(desk).locator(".coldcab-said")).to_have_text(re.compile(r"right\.|^Nothing filled in"))
    expect(sheet(desk).locator(".coldcab-said")).to_have_class(re.compile("coldcab-done"))


def test_a_graded_sheet_stays_where_it_is_started_and_ends_with_what_was_read(shared, server):
    path = server.folder / GRADED
    before, known = path.read_bytes(), server.folder / ".coldcab.json"
    known.write_text('{"id": "s07"}')
    try:
        shared.open(GRADED).start()
        assert shared.scroller.evaluate("e => e.scrollTop") == 0  # JupyterLab would stand at the last cell
        first = sheet(shared).first
        shared.write("absolute pressure:", "%%answers cycle-1\nabsolute pressure: 31.5 psia\n")
        first.get_by_role("button", name="Check this sheet").click()
        expect(first.locator(".coldcab-said")).to_contain_text("1 of")
        shared.scroller.evaluate("e => e.scrollTo(0, e.scrollHeight)")
        expect(shared.notebook.get_by_text("absolute pressure: read as 31.5 psia")).to_be_attached()
    finally:
        known.unlink()
        path.write_bytes(before)


IN_SIGHT = """card => [...card.querySelectorAll("tr.coldcab-now")].map((row) => {
  const mine = row.getBoundingClientRect(), all = card.getBoundingClientRect();
  return [row.querySelector("th").textContent, mine.top >= all.top && mine.bottom <= all.bottom + 1];
})"""


def test_check_reads_all_parts_and_the_numbers_go_with_the_line(shared, server):
    path, known = server.folder / RUNNING, server.folder / ".coldcab.json"
    before = path.read_bytes()
    known.write_text('{"id": "s07"}')
    try:
        shared.open(RUNNING).start()
        parts = sheet(shared)
        above = shared.notebook.get_by_role("button", name="Show all 59 rows")
        assert shared.notebook.locator(".coldcab-long").bounding_box()["height"] < 340
        above.click()
        assert shared.notebook.locator(".jp-OutputArea").get_by_text("sentence F").first.is_visible()
        shared.notebook.get_by_role("button", name="Show fewer rows").click()
        expect(parts.last.locator(".coldcab-now").first).to_have_text(re.compile("as left"))
        parts.first.locator(".cm-line", has_text="leak for the quote:").click()
        shared.page.keyboard.insert_text(" B")
        parts.nth(1).locator(".coldcab-row", has_text="oil to add").click()
        shared.page.keyboard.insert_text("3 fl oz")
        for label, about in (("oil to add", "oil in the new compressor"), ("parts that go", "part H")):
            parts.nth(1).locator(".coldcab-row", has_text=label).locator(".coldcab-label").click()
            if label == "parts that go":
                parts.nth(1).locator(".coldcab-row", has_text=label).get_by_role("button", name="A", exact=True).click()
            rows = parts.nth(1).locator(".coldcab-numbers-card")
            expect(rows.locator("tr.coldcab-now").last).to_contain_text(about)
            assert all(seen for _name, seen in rows.evaluate(IN_SIGHT)), rows.evaluate(IN_SIGHT)
        shared.picture("numbers_follow")
        # The cursor stands in one part, and in none: every part is read.
        parts.nth(1).locator(".cm-content").click()
        for _way in range(2):
            shared.press(CHECK)
            for part in (parts.first, parts.nth(1), parts.last):
                expect(part.locator(".coldcab-said")).to_contain_text("Whole sheet: 3 of 13 lines can be read.")
            expect(parts.first.locator(".jp-Cell-outputArea")).to_contain_text("1 of 4 lines here can be read")
            expect(parts.last.locator(".jp-Cell-outputArea")).to_contain_text("0 of 3 lines here can be read")
            shared.notebook.get_by_role("heading", name="Graded sheet capstone").click()
        expect(shared.page.locator(".Toastify__toast")).to_contain_text("Whole sheet: 3 of 13 lines")
        assert shared.errors() == []
    finally:
        known.unlink()
        path.write_bytes(before)


@pytest.fixture
def phone(browser, server):
    """A lesson on a phone, started."""
    context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True, reduced_motion="reduce")
    phone = Lab(context.new_page(), server)
    base, token = server.address.split("/lab/")[0], server.address.split("token=")[-1]
    phone.page.goto(f"{base}/lab/tree/oil/1-choosing-oil.ipynb?reset&token={token}")
    phone.page.locator(f"[data-jp-item-name='{START}'] jp-button").tap()
    yield phone
    context.close()


WHERE = """() => {
  const rows = document.querySelector(".coldcab-rows"), from = rows.getBoundingClientRect();
  return [...rows.querySelectorAll(".coldcab-label, .coldcab-choice, .coldcab-fold")]
    .map((one) => one.getBoundingClientRect()).filter((box) => box.height)
    .map((box) => [Math.round(box.left), Math.round(box.top - from.top)]).concat([Math.round(from.height)]);
}"""


def test_nothing_moves_under_the_next_tap(phone):
    """What a line is read as, and what is chosen, has its room before it is there."""
    typed_rows = sheet(phone).locator(".coldcab-typed")
    typed_rows.get_by_text("for example").first.wait_for()
    first, second = typed_rows.all()
    before = phone.page.evaluate(WHERE)
    first.locator(".coldcab-label").tap()  # brings the cursor to its line
    phone.page.keyboard.insert_text("4 oz")
    expect(first).to_contain_text("this line wants a ratio, for example")  # more than a line of the phone holds
    second.locator(".coldcab-label").tap()
    phone.page.keyboard.insert_text("sixty percent")
    expect(second).to_contain_text("read as 60 %")
    choices = sheet(phone).locator(".coldcab-choice:visible").all()
    for one in choices[:3]:
        one.tap()
        expect(one).to_have_attribute("aria-pressed", "true")
    assert phone.page.evaluate(WHERE) == before
    assert "mineral oil left: sixty percent" in phone.source("%%answers")


def test_on_a_phone_the_numbers_are_one_tap_away(phone):
    turn = sheet(phone).get_by_role("button", name=re.compile("^(Show|Hide) numbers"))
    expect(turn).to_be_visible()
    card = sheet(phone).locator(".coldcab-numbers-card")
    expect(card).to_be_hidden()
    turn.tap()
    expect(card).to_be_visible()
    choice = sheet(phone).locator(".coldcab-choice:visible").first
    choice.tap()
    expect(choice).to_have_attribute("aria-pressed", "true")
    seen = card.bounding_box()
    assert seen["y"] >= 0
    assert seen["y"] + seen["height"] < PHONE["height"] / 2 + 60
    sides = phone.scroller.evaluate("e => [e.scrollWidth, e.clientWidth]")
    assert sides[0] <= sides[1], "nothing hangs over the edge"
    phone.picture("sheet_phone")
    assert phone.errors() == []
