"""The running job in a learner's hands: buttons by mouse and by keyboard, undo, and the record at the end."""

import re

from playwright.sync_api import expect

PAGE = "capstone/rebuild.ipynb"


def test_a_job_runs_from_the_complaint_to_the_owners_copy(lab):
    lab.open(PAGE).start()
    drawing = lab.drawings().first
    expect(drawing).to_have_attribute("aria-label", re.compile("The running job"))
    status = lab.notebook.locator(".jupyter-widgets p[role=status]").first
    expect(status).to_contain_text("Complaint")

    def button(name):
        return lab.notebook.locator(".coldcab-desk").first.get_by_role("button", name=name, exact=True)

    button("A").click()
    expect(status).to_contain_text("The leak")
    button("B").focus()
    lab.page.keyboard.press("Enter")  # by keyboard
    expect(status).to_contain_text("The quote")
    button("undo").click()
    expect(status).to_contain_text("The leak:")
    for _ in range(20):
        if not button("A").is_visible():
            break
        before = status.inner_text()
        button("A").click()
        expect(status).not_to_have_text(before)
    expect(lab.notebook.get_by_text("The record, with what came of each choice")).to_be_visible()
    expect(lab.notebook.get_by_text("owner’s copy")).to_be_visible()
    lab.notebook.get_by_role("button", name="Reset").first.click()
    expect(status).to_contain_text("Complaint")
    assert lab.errors() == []
    assert lab.foreign_requests() == []
