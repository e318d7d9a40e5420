"""The bench in a learner's hands: every lever by keyboard, faults from the list, weights typed, nonsense answered."""

import re

from playwright.sync_api import expect

from coldcab import units
from coldcab.faults import catalogue
from coldcab.machine.fleet import FLEET

BENCH = "faults/bench.ipynb"
DRAWER = "Weather, doors and a second fault"


def started(lab):
    lab.open(BENCH).start()
    # What an earlier test set comes back, as it should; here each begins with the bench of the page.
    lab.notebook.get_by_role("button", name="Reset").first.click()
    lab.wait_until_idle()
    drawing = lab.drawings().first
    expect(drawing).to_have_attribute("aria-label", re.compile("The bench"))
    return drawing


def told(drawing) -> str:
    return drawing.get_attribute("aria-label")


def low_side(drawing) -> float:
    return float(re.search(r"Low side ([\d.]+) psig", told(drawing))[1])


def test_the_bench_is_found_from_the_first_page(lab):
    lab.go_to_start().follow("the bench")
    expect(lab.notebook.get_by_role("heading", name="The bench").first).to_be_visible()
    lab.start()
    assert lab.drawings().count() == 2  # the bench, and the machine while time goes
    assert lab.errors() == []
    assert lab.foreign_requests() == []


def test_charge_and_severity_move_the_drawing(lab):
    drawing = started(lab)
    before = told(drawing)
    lab.move_slider("charge", -10)
    expect(drawing).not_to_have_attribute("aria-label", before)
    lab.choose("fault", "drier restricted")
    expect(drawing).to_have_attribute("aria-label", re.compile(re.escape(catalogue["drier restricted"].meaning)))
    before = told(drawing)
    lab.move_slider("severity", 10)
    expect(drawing).not_to_have_attribute("aria-label", before)
    status = lab.notebook.locator(".jupyter-widgets p[role=status]").first
    expect(status).to_contain_text("Drier restricted")
    assert lab.errors() == []


def test_the_lever_of_a_fault_comes_with_the_fault(lab):
    started(lab)
    expect(lab.widget("severity")).to_be_hidden()
    lab.choose("fault", "worn compressor")
    expect(lab.widget("severity")).to_be_visible()
    lab.choose("fault", "none")
    expect(lab.widget("severity")).to_be_hidden()


def test_every_lever_answers_to_the_keyboard(lab):
    drawing = started(lab)
    expect(lab.widget("altitude")).to_be_hidden()
    lab.notebook.get_by_role("button", name=DRAWER).press("Space")
    expect(lab.widget("altitude")).to_be_visible()
    lab.choose("fault", "condenser blocked")
    lab.choose("second fault", "low evaporator air")
    for label in (
        "severity",
        "charge",
        "engine speed",
        "outside air",
        "blower",
        "relative humidity",
        "altitude",
        "its severity",
    ):
        lab.wait_until_idle()
        before = told(drawing)
        lab.move_slider(label, -2 if label in ("blower", "charge") else 4)
        expect(drawing).not_to_have_attribute("aria-label", before)
    for label, option in (
        ("machine", FLEET[12].name),
        ("refrigerant", "R-12"),
        ("doors and windows", "shut, cab cooled down"),
    ):
        before = told(drawing)
        lab.choose(label, option)
        expect(drawing).not_to_have_attribute("aria-label", before)
    assert lab.errors() == []


def test_a_weight_is_taken_and_nonsense_is_answered(lab):
    drawing = started(lab)
    lab.type_value("charge", "2 lb")
    pounds = units.show(units.parse("2 lb", "mass").value, "mass")
    expect(drawing).to_have_attribute("aria-label", re.compile(re.escape(f"In the circuit: {pounds}")))
    lab.type_value("charge", "plenty")
    expect(lab.notebook.locator(".jupyter-widgets p[role=status]").first).to_contain_text("plenty")
    lab.choose("fault", "foreign refrigerant")
    lab.choose("refrigerant", "R-12")
    expect(drawing).to_have_attribute("aria-label", re.compile("No reading: Foreign refrigerant"))
    lab.choose("fault", "none")
    expect(drawing).to_have_attribute("aria-label", re.compile("Running"))
    assert lab.errors() == []


def test_a_leak_shows_in_the_glass_before_the_gauge(lab):
    drawing = started(lab)
    before = low_side(drawing)
    lab.type_value("charge", "74 %")
    expect(drawing).to_have_attribute("aria-label", re.compile("Bubbles pass"))
    assert abs(low_side(drawing) - before) < 1.0  # psi; a gauge is read to about one
    assert lab.errors() == []
