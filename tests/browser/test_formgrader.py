"""An instructor's browser: nbgrader's formgrader over a graded class, with hostile words in it that must not act."""

import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from coldcab.classroom import demo, formgrader, forms, grading, material, reporting
from coldcab.classroom.gradebook import sheet_book
from coldcab.cli.server import free_port

MATERIAL = Path(__file__).parents[2] / "instructor"
HOSTILE = (
    "Plain words. <script>window.caught=1</script> <img src=x onerror='window.caught=1'> "
    "[a link](javascript:window.caught=1) <svg onload=window.caught=1></svg>"
)


@pytest.fixture(scope="module")
def classroom(tmp_path_factory):
    """The demo class, in which one learner wrote markup wherever it can be written."""
    folder = demo.make_demo_class(tmp_path_factory.mktemp("class") / "demo", MATERIAL, ("cycle-1",))
    name = "cycle-1"
    assignment = material.key(folder.path, name)
    form, case = forms.form_of(folder, name), assignment.case(demo.TERM, "oak")
    text = demo.filled_notebook(form, assignment, case, lambda item, _: HOSTILE[:110], HOSTILE)
    (folder.inbox / "oak" / name / f"{name}.ipynb").write_text(text, encoding="utf-8")
    grading.grade_class(folder, name)
    reporting.write_report(folder, (name,))
    return folder


@pytest.fixture(scope="module")
def server_of_class(classroom):
    """The instructor's desk, as ``coldcab class desk`` opens it; the address with its token."""
    with formgrader.formgrader_server(classroom, free_port(8898)) as (address, _):
        yield address


@pytest.fixture
def desk(page, server_of_class):
    """The instructor's page, logged in; the address of the server."""
    page.set_default_timeout(60_000)
    page.goto(server_of_class)
    expect(page.locator("#jp-main-dock-panel")).to_be_visible()
    return page, server_of_class.split("/lab?")[0]


def look(page, name):
    """Keep a picture where COLDCAB_PICTURES names a folder, for a person to look at."""
    folder = os.environ.get("COLDCAB_PICTURES")
    if folder:
        page.screenshot(path=str(Path(folder) / f"{name}.png"), full_page=True)


def test_the_gradebook_lists_the_sheet(desk):
    page, address = desk
    page.goto(f"{address}/formgrader/gradebook/cycle-1/cycle-1")
    expect(page.locator("table")).to_contain_text("Submission #1")
    look(page, "formgrader-gradebook")


def test_hostile_words_do_not_act_in_formgrader(desk, classroom):
    from nbgrader.api import Gradebook

    page, address = desk
    with Gradebook(classroom.gradebook_url) as gradebook:
        oak = gradebook.find_submission_notebook("cycle-1", "cycle-1", "oak").id
    page.goto(f"{address}/formgrader/submissions/{oak}/")
    expect(page.locator("body")).to_contain_text("Plain words.")
    expect(page.locator("body")).to_contain_text("<script>window.caught=1</script>")
    page.wait_for_timeout(1500)
    assert page.evaluate("window.caught") is None
    assert page.locator("a[href*='javascript']:has-text('a link')").count() == 0
    look(page, "formgrader-submission")


def test_the_desk_opens_formgrader_in_jupyterlab(desk):
    page, _ = desk
    frame = page.frame_locator("#formgrader iframe")
    expect(frame.locator("body")).to_contain_text("cycle-1")
    expect(frame.locator("body")).to_contain_text("Manual Grading")
    look(page, "desk")


def test_the_rubric_stands_beside_the_written_answer(desk, classroom):
    from nbgrader.api import Gradebook

    page, address = desk
    with Gradebook(classroom.gradebook_url) as gradebook:
        ash = gradebook.find_submission_notebook("cycle-1", "cycle-1", "ash").id
    page.goto(f"{address}/formgrader/submissions/{ash}/")
    rubric = page.locator(".coldcab-rubric")
    expect(rubric).to_be_visible()
    expect(rubric).to_contain_text("Half points are fine")
    answer = page.locator("input.score#cycle-1-written")
    expect(answer).to_be_visible()
    page.wait_for_load_state("networkidle")  # until then formgrader goes to its own first answer
    page.wait_for_timeout(1500)
    answer.evaluate("box => box.scrollIntoView({ block: 'center', behavior: 'instant' })")
    page.wait_for_timeout(500)
    beside, box = rubric.bounding_box(), answer.bounding_box()
    assert box["x"] + box["width"] <= beside["x"], "the rubric covers nothing that is clicked"
    assert beside["y"] < box["y"] < beside["y"] + beside["height"], "both are seen at the same time"
    look(page, "desk-rubric")


def test_next_leads_to_the_written_answer_and_typing_replaces_its_points(server_of_class, page):
    page.set_default_timeout(60_000)
    page.goto(formgrader.address_of(server_of_class, "cycle-1"))
    page.get_by_role("link", name="Submission #1", exact=True).click()
    for points in ("3", "0.5"):
        box = page.locator("input.score#cycle-1-written")
        expect(box).to_be_focused()
        page.wait_for_load_state("networkidle")
        with page.expect_response(re.compile(r"/formgrader/api/grade/")) as saved:
            page.keyboard.type(points)
            page.keyboard.press("Tab")
        assert saved.value.ok
        # nbgrader would take 30.5 for all points: what is there must not be added to.
        expect(box).to_have_value(points)
        page.reload()
    first = page.url
    page.locator("li.next a").click()
    expect(page.locator("input.score#cycle-1-written")).to_be_focused()
    assert page.url != first


def test_points_by_hand_are_kept(desk, classroom):
    from nbgrader.api import Gradebook

    page, address = desk
    with Gradebook(classroom.gradebook_url) as gradebook:
        ash = gradebook.find_submission_notebook("cycle-1", "cycle-1", "ash").id
    page.goto(f"{address}/formgrader/submissions/{ash}/")
    box = page.locator("input.score#cycle-1-written")
    expect(box).to_be_visible()
    page.wait_for_load_state("networkidle")  # until then formgrader does not listen to the box
    with page.expect_response(re.compile(r"/formgrader/api/grade/")) as saved:
        box.fill("3.5")
        box.press("Tab")
    assert saved.value.ok
    found = {each.learner.id: each for each in grading.grade_class(classroom, "cycle-1")}
    full = sum(item.points for item in material.key(classroom.path, "cycle-1").items)
    assert found["ash"].score == full + 3.5
    assert "3.5 of 4 points" in (classroom.feedback / "ash" / "cycle-1" / "cycle-1.html").read_text()


def test_feedback_and_report_run_and_fetch_nothing(page, classroom):
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    for file in (classroom.feedback / "oak" / "cycle-1" / "cycle-1.html", classroom.report / "index.html"):
        page.goto(file.as_uri())
        page.wait_for_timeout(500)
        assert page.evaluate("window.caught") is None
        look(page, f"page-{file.stem}")
    assert all(address.startswith("file:") for address in asked)


def test_next_visits_only_what_waits_and_then_comes_back_to_the_list(server_of_class, classroom, page):
    with sheet_book(classroom, "cycle-1") as book:
        waiting = {who for who, entry in book.entries().items() if entry.waits}
    assert 1 < len(waiting) < 11, "some wait and some do not, else this shows nothing"
    page.set_default_timeout(60_000)
    page.goto(formgrader.address_of(server_of_class, "cycle-1"))
    page.get_by_role("link", name="Submission #1", exact=True).click()
    seen = []
    for _ in range(len(waiting) + 1):
        box = page.locator("input.score#cycle-1-written")
        expect(box).to_be_focused()
        page.wait_for_load_state("networkidle")
        seen.append(page.url.split("/submissions/")[1].split("/")[0].split("?")[0])
        with page.expect_response(re.compile(r"/formgrader/api/grade/")):
            page.keyboard.type("2")
            page.keyboard.press("Tab")
        page.keyboard.press("Shift+Tab")
        with page.expect_navigation():
            page.keyboard.press("Control+.")
        if "/gradebook/" in page.url:
            break
    with sheet_book(classroom, "cycle-1") as book:
        assert not [who for who, entry in book.entries().items() if entry.waits]
    assert "/formgrader/gradebook/cycle-1/cycle-1" in page.url
    assert len(seen) == len(set(seen)) <= len(waiting) + 1
