"""What a learner meets after ``coldcab open``: the page, one click to life, calm, and a file that keeps."""

import pytest
from playwright.sync_api import expect

from browser.hands import CHECK, START

LESSON = "cycle/1-pressure-and-temperature.ipynb"


def test_the_first_page_is_there_without_questions(lab):
    lab.go_to_start()
    expect(lab.tab("start-here.ipynb")).to_be_visible()
    expect(lab.notebook.get_by_role("heading", name="Start here")).to_be_visible()
    assert lab.page.locator(".jp-Dialog").count() == 0
    assert lab.page.locator(".Toastify__toast").count() == 0
    assert lab.errors() == []


def test_nothing_is_asked_of_the_network(lab):
    lab.go_to_start().start()
    assert lab.foreign_requests() == []


def test_the_toolbar_has_what_a_learner_needs_and_no_more(lab):
    lab.go_to_start()
    items = lab.notebook.locator(".jp-NotebookPanel-toolbar .jp-Toolbar-item:visible")
    check = lab.notebook.locator(f".jp-NotebookPanel-toolbar [data-jp-item-name='{CHECK}']")
    expect(check).to_be_hidden()  # no sheet stands on this page
    lab.open(LESSON)
    expect(check).to_be_visible()
    names = [item.get_attribute("data-jp-item-name") for item in items.all()]
    assert names[:4] == [START, CHECK, "save", "restart"]
    assert not {"insert", "cut", "copy", "paste", "run", "interrupt", "restart-and-run", "cellType"} & set(names)
    expect(lab.notebook.get_by_text("Start this lesson", exact=True).first).to_be_visible()
    expect(lab.notebook.get_by_text("Check this sheet", exact=True).first).to_be_visible()


def test_the_instructors_tools_are_hidden_and_validate_stands_on_graded_sheets(lab):
    pytest.importorskip("nbgrader", reason="without nbgrader there is nothing to hide")
    lab.go_to_start()
    validate = lab.page.get_by_text("Validate", exact=True)
    expect(validate.first).to_be_hidden()
    assert lab.page.locator(".lm-MenuBar-itemLabel", has_text="Nbgrader").count() == 0
    assert lab.page.get_by_title("Create Assignment").count() == 0
    lab.open("graded/cycle-1/cycle-1.ipynb")
    expect(lab.notebook.get_by_text("Validate", exact=True)).to_be_visible()
    lab.go_to_start()
    expect(validate.first).to_be_hidden()


def test_one_click_runs_the_page(lab):
    lab.go_to_start().start()
    assert lab.errors() == []
    expect(lab.notebook.locator(".jp-OutputArea-output").first).to_be_visible()


def test_a_lesson_stays_at_its_beginning_when_it_is_started(lab):
    lab.open(LESSON).start()
    assert lab.errors() == []
    assert lab.scroller.evaluate("element => element.scrollTop") == 0
    assert lab.scroller.evaluate("element => element.scrollHeight > 2 * element.clientHeight"), "a long page"


def test_a_link_opens_the_lesson_beside(lab):
    lab.go_to_start().follow("Pressure and temperature")
    expect(lab.tab("1-pressure-and-temperature.ipynb")).to_be_visible()
    expect(lab.tab("start-here.ipynb")).to_be_visible()
    expect(lab.notebook.get_by_role("heading", name="Pressure and temperature").first).to_be_visible()


def test_code_stays_out_of_sight(lab):
    lab.open(LESSON)
    hidden = lab.notebook.locator(".jp-CodeCell .jp-InputPlaceholder")
    assert hidden.count() > 0
    for strip in hidden.all():
        assert strip.bounding_box()["height"] <= 12


def test_a_saved_page_keeps_pictures_and_opens_again_without_an_error(lab, page, server):
    lab.open(LESSON).start()
    assert lab.drawings().count() > 0
    lab.save()
    stored = lab.stored(LESSON)
    kinds = {kind for cell in stored["cells"] for output in cell.get("outputs", []) for kind in output.get("data", {})}
    assert "text/html" in kinds
    assert "application/vnd.jupyter.widget-view+json" not in kinds
    # The kernel has gone, as it has the next morning.
    lab.page.evaluate("fetch(document.baseURI.split('/lab')[0] + '/api/sessions')")
    lab.press("restart")
    lab.page.locator(".jp-Dialog .jp-mod-accept").click()
    lab.wait_until_idle()
    lab.open(LESSON)
    assert "Error displaying widget" not in lab.text()
    assert lab.notebook.locator(".jp-OutputArea-output svg").count() > 0


def test_a_slider_moves_the_drawing(lab):
    lab.open(LESSON).start()
    before = lab.drawings().first.get_attribute("aria-label")
    lab.move_slider("altitude", 3)
    expect(lab.drawings().first).not_to_have_attribute("aria-label", before)
    assert lab.errors() == []


def test_a_practice_sheet_is_read_at_once(lab):
    lab.open(LESSON).start()
    sheet = "%%answers"
    lab.fill_in(sheet, absolute_pressure="29.5 psia").check(sheet)
    expect(lab.output(sheet)).to_contain_text("29.5 psia")
    assert lab.errors() == []


def test_the_users_own_jupyter_is_left_alone(lab, server):
    lab.go_to_start().start()
    left = {path.name for path in server.home.iterdir()}
    assert not left & {".jupyter", ".ipython", ".local"}, left
