"""A technician at the machine: the form filled on a phone, the plan made, the page saved."""

from __future__ import annotations

import time

from playwright.sync_api import expect

PLANNER = "refresher/job-planner.ipynb"
PHONE = {"width": 412, "height": 860}


def test_five_facts_make_a_plan_on_a_phone(lab, server):
    lab.open(PLANNER).start()
    lab.page.keyboard.press("ControlOrMeta+b")  # a window that was wide keeps its list of files until it is folded away
    lab.page.set_viewport_size(PHONE)
    form = lab.cell("JobForm()").locator(".jupyter-widgets").first
    lab.page.wait_for_timeout(500)
    box = form.get_by_placeholder("for example 2 lb 4 oz")
    box.fill("two pounds")
    box.press("Enter")
    expect(form.get_by_text("does not start with a number")).to_be_visible()
    start = time.monotonic()
    box.fill("2 lb")
    box.press("Enter")
    expect(form.get_by_text("2 lb 0.0 oz (907 g)")).to_be_visible()
    print(f"an answer was read after {time.monotonic() - start:.2f} s")
    form.locator("select").first.select_option(label="orchard sprayer")
    form.get_by_role("button", name="Make the plan").click()
    expect(lab.notebook.get_by_text("The plan stands below")).to_be_visible()
    inside = lab.page.frame_locator("iframe[title='The plan']").first
    expect(inside.get_by_role("heading", name="Expected readings, doors open, blower on full")).to_be_attached()
    form.get_by_role("button", name="Save the page").click()
    expect(lab.notebook.get_by_text("Saved beside this page")).to_be_visible()
    lab.picture("planner_on_a_phone")
    saved = [path.suffix for path in (server.folder / "refresher").glob("job.*")]
    assert sorted(saved) == [".html", ".pdf", ".toml"]
    assert lab.errors() == []
    assert lab.foreign_requests() == []


def test_ten_minutes_name_the_lessons_for_the_evening(lab):
    lab.open("refresher/placement.ipynb").start()
    check = lab.cell("PlacementCheck()").locator(".jupyter-widgets").first
    check.locator("select").first.select_option(index=1)
    check.get_by_role("button", name="Show my evening").click()
    expect(check.get_by_text("These lessons are worth the evening")).to_be_visible()
    expect(check.get_by_role("link", name="cycle-1 · Pressure and temperature")).to_be_visible()
    check.get_by_role("link", name="cycle-1 · Pressure and temperature").click()
    expect(lab.tab("1-pressure-and-temperature.ipynb")).to_be_visible()
    assert lab.errors() == []
