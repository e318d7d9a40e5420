"""A learner's evening: from the first page to the lesson, a wrong idea and its answer, the graded sheet and back."""

import re

from playwright.sync_api import expect

from coldcab import learner, lessons, units
from material import keys_of

LESSON = "cycle/1-pressure-and-temperature.ipynb"
LOOP = "cycle/2-the-loop-on-the-p-h-chart.ipynb"
GRADED = "graded/cycle-1/cycle-1.ipynb"
PRACTICE = "%%answers practice-cycle-1"


def enroll(lab, name="birch", term="open"):
    """Type id and term on the first page."""
    lab.go_to_start().start()
    lab.type_value("Learner id", name)
    lab.type_value("Class term", term)
    lab.notebook.get_by_role("button", name="Save", exact=True).click()
    expect(lab.notebook.get_by_text("Saved. You are")).to_be_visible()


def test_from_start_here_to_the_lesson_and_a_moving_gauge(lab):
    lab.go_to_start().follow("Pressure and temperature")
    expect(lab.notebook.get_by_role("heading", name="Pressure and temperature").first).to_be_visible()
    lab.start()
    gauge = lab.drawings().first
    before, drawn = gauge.get_attribute("aria-label"), gauge.inner_html()
    lab.move_slider("gauge reading", 10)
    expect(gauge).not_to_have_attribute("aria-label", before)
    assert gauge.inner_html() != drawn
    assert lab.errors() == []


def test_a_typed_reading_moves_the_gauge_and_nonsense_is_answered(lab):
    lab.open(LESSON).start()
    lab.type_value("gauge reading", "150 psig")
    expect(lab.drawings().first).to_have_attribute("aria-label", re.compile("150"))
    lab.type_value("gauge reading", "plenty")
    assert lab.errors() == []


def test_a_wrong_idea_is_answered_on_the_practice_sheet(lab):
    lab.open(LESSON).start()
    case = lessons.case("practice-cycle-1", "practice", "1")
    lab.fill_in(PRACTICE, absolute_pressure=f"{case.low_side_psig:g} psia").check(PRACTICE)
    expect(lab.output(PRACTICE)).to_contain_text("A gauge counts from the air pressure around it")
    right = units.convert(keys_of("cycle-1").pressure(case, case.low_side_psig), "pressure", "psia")
    lab.fill_in(PRACTICE, absolute_pressure=f"{right:.1f} psia").check(PRACTICE)
    expect(lab.output(PRACTICE)).to_contain_text("1 of 11 right")
    assert lab.errors() == []


def test_new_numbers_are_another_machine(lab):
    lab.open(LESSON).start()
    expect(lab.notebook.get_by_text("Practice 1: Pressure and temperature").first).to_be_visible()
    lab.notebook.get_by_role("button", name="New numbers").click()
    expect(lab.notebook.get_by_text("Practice 2: Pressure and temperature").first).to_be_visible()
    case = lessons.case("practice-cycle-1", "practice", "2")
    expect(lab.notebook.get_by_text(f"{case.altitude_feet:,.0f} ft").first).to_be_visible()


def test_new_numbers_take_the_old_feedback_away(lab):
    lab.open(LESSON).start()
    lab.fill_in(PRACTICE, absolute_pressure="30 psia").check(PRACTICE)
    expect(lab.output(PRACTICE)).to_contain_text("of 11 right")
    lab.notebook.get_by_role("button", name="New numbers").click()
    expect(lab.output(PRACTICE)).to_contain_text("New numbers are drawn")
    expect(lab.output(PRACTICE)).not_to_contain_text("of 11 right")


def test_nonsense_leaves_the_box_with_its_sentence(lab):
    lab.open(LESSON).start()
    lab.type_value("gauge reading", "plenty")
    lab.move_slider("altitude", 2)
    expect(lab.notebook.locator("input[type=text]").first).not_to_have_value("plenty")


def test_letters_typed_beside_an_answer_change_no_cell(lab):
    lab.open(GRADED)
    cells = lab.notebook.locator(".jp-Notebook-cell")
    before = cells.count()
    written = lab.notebook.locator(".jp-MarkdownCell").nth(2)
    written.click()
    for letter in "mxddabcvyrz1":
        lab.page.keyboard.press(letter)
    assert cells.count() == before
    assert written.get_attribute("class").count("jp-MarkdownCell") == 1
    assert lab.errors() == []


def test_a_spoiled_sheet_is_answered_calmly(lab):
    lab.open(LESSON).start()
    lab.write(PRACTICE, "absolute pressure: 31 psi\nstate at A: dunno").check("state at A: dunno")
    expect(lab.output("state at A: dunno")).to_contain_text("psig for a gauge reading or psia")
    assert lab.errors() == []


def test_the_second_lesson_lives_too(lab):
    lab.open(LOOP).start()
    chart = lab.drawings().first
    before = chart.get_attribute("aria-label")
    lab.move_slider("condensing at", 10)
    expect(chart).not_to_have_attribute("aria-label", before)
    assert lab.errors() == []
    assert lab.foreign_requests() == []


def test_the_graded_sheet_carries_own_numbers_and_validates(lab, server):
    enroll(lab)
    assert learner.read(server.folder).id == "birch"
    lab.follow("cycle-1")
    lab.start()
    case = lessons.case("cycle-1", "open", "birch")
    expect(lab.notebook.get_by_text(f"{case.altitude_feet:,.0f} ft").first).to_be_visible()
    sheet = "absolute pressure during evacuation:"
    lab.fill_in(sheet, absolute_pressure="29.5 psia").check(sheet)
    expect(lab.output(sheet)).to_contain_text("29.5 psia = 203 kPa absolute")
    expect(lab.output(sheet)).to_contain_text("Whether they are right is for the grading")
    lab.save()
    lab.notebook.locator(".jp-NotebookPanel-toolbar").get_by_text("Validate", exact=True).click()
    dialog = lab.page.locator(".jp-Dialog")
    expect(dialog).to_contain_text("not filled in yet", timeout=120_000)
    assert "Traceback" not in dialog.inner_text()
    dialog.locator(".jp-mod-accept").click()
    lab.follow("all lessons")
    expect(lab.tab("start-here.ipynb")).to_be_visible()
    assert lab.errors() == []


def test_every_line_of_the_sheets_is_listed_before_handing_in(lab):
    lab.open(GRADED).start()
    for item in lessons.FORMS["cycle-1"].items:
        expect(lab.notebook.get_by_text(f"{item.label}:").last).to_be_visible()
    assert lab.errors() == []


def test_a_sheet_is_read_without_starting_the_page(lab):
    lab.open(LESSON)
    lab.fill_in(PRACTICE, absolute_pressure="30 psia").check(PRACTICE)
    expect(lab.output(PRACTICE)).to_contain_text("30 psia = 207 kPa absolute")
    assert lab.errors() == []
