"""The course with nothing installed: the site in a browser that reaches no other host.

The runtime's files come from a wheel of strangers on PyPI that happens to hold them; each is checked by the hash of
Pyodide's own release, and nothing else of that wheel is used. Where it is not to be had, these tests are skipped.
"""

from __future__ import annotations

import json
import re
import zipfile
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from browser.conftest import FLAGS
from browser.visits import BLOCKED, PATIENCE, WALL, Visit, given_out
from classes import by_learner, filled, put, small_class
from coldcab.classroom import collecting, grading
from coldcab.classroom.demo import TERM
from coldcab.course.pictures import browser_path
from coldcab.desk.hand_in import name_of
from coldcab.lessons import LESSONS, practice_case
from coldcab.site import assembling, front

LESSON = "cycle/1-pressure-and-temperature.ipynb"
SHEET = "graded/cycle-1/cycle-1.ipynb"
PHONE = {"width": 390, "height": 844}
PRACTICE = "%%answers practice-cycle-1"


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    with given_out(tmp_path_factory.mktemp("site")) as given:
        yield given


@pytest.fixture(scope="module")
def browser(browser: Browser):
    """Return a browser for which no other computer exists."""
    walled = browser.browser_type.launch(executable_path=browser_path(), args=[*FLAGS, WALL])
    yield walled
    walled.close()


@pytest.fixture
def context(browser: Browser):
    made = browser.new_context(proxy=BLOCKED, viewport={"width": 1280, "height": 800}, accept_downloads=True)
    yield made
    made.close()


@pytest.fixture
def visit(context, site):
    return Visit(context.new_page(), site)


def test_the_front_page_is_read_without_a_program(browser, site):
    context = browser.new_context(proxy=BLOCKED, java_script_enabled=False, viewport=PHONE)
    page = context.new_page()
    page.goto(site.address)
    for heading in ("What it is", "Units", "Cautions", "Where your work is kept", "For instructors"):
        expect(page.get_by_role("heading", name=heading)).to_be_visible()
    links = [link.get_attribute("href") for link in page.get_by_role("listitem").get_by_role("link").all()]
    assert len(links) == len(LESSONS)
    expect(page.get_by_text(f"fetches some {front.first_visit(site.folder / site.version):.0f} MB")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    for link in links:
        page_of_link = re.search(r"page=(.+)", link)[1]
        assert (site.folder / site.version / "files" / page_of_link).is_file()
    page.goto(f"{site.address}api/coldcab/cycle.html")
    expect(page.get_by_text("Raises").first).to_be_visible()
    context.close()


def test_a_browser_is_given_compiled_modules_and_nothing_that_marks(site):
    (package,) = (site.folder / site.version / "runtime").glob("coldcab-site-*.zip")
    names = zipfile.ZipFile(package).namelist()
    assert {"coldcab/notebook.pyc", "IPython/core/interactiveshell.pyc", "anywidget/widget.pyc"} <= set(names)
    assert [name for name in names if name.endswith(".py") and "ipython_config" not in name] == []
    # What a key is stands in the first; none of them is here.
    assert [name for name in names if name.endswith("keys.pyc")] == ["coldcab/assess/keys.pyc"]


def test_the_same_course_makes_the_same_files_whenever_it_is_written(site, tmp_path):
    """Otherwise every writing of the site has a new version, and everybody fetches all of it again."""
    built = assembling._lite(tmp_path)
    names = {path.relative_to(built) for path in built.rglob("*") if path.is_file()}
    first = site.folder / site.version
    assert len(names) > 100
    assert [name for name in sorted(names) if (built / name).read_bytes() != (first / name).read_bytes()] == []


def test_what_is_asked_of_others_is_seen_and_gets_no_answer(visit, site):
    visit.page.goto(site.address)
    for address in ("http://example.org/", "http://192.0.2.1/"):
        assert visit.page.evaluate("address => fetch(address).then(() => 'came', () => 'lost')", address) == "lost"
        assert visit.foreign_requests()[-1] == address


def test_three_lessons_live_on_one_kernel_and_a_wrong_idea_is_answered(visit):
    """One visit, the pages after each other; Start is pressed as soon as it is there, and again."""
    visit.open(LESSON)
    expect(visit.page.locator("#coldcab-stage")).to_contain_text("You can read this page now")
    for path, count in ((LESSON, 3), ("cycle/4-the-valve.ipynb", 4), ("faults/bench.ipynb", 1)):
        if path != LESSON:
            visit.go(path)
        visit.press("start-lesson").press("start-lesson").comes_alive(count)
        assert visit.errors() == []
        assert len(visit.page.workers) == 1
    visit.go(LESSON).press("start-lesson").comes_alive()
    case = practice_case("practice-cycle-1", 1)
    visit.fill_in(PRACTICE, absolute_pressure=f"{case.low_side_psig:g} psia")
    visit.cell(PRACTICE).get_by_role("button", name="Check").first.click()
    expect(visit.output(PRACTICE)).to_contain_text("A gauge counts from the air pressure around it")
    assert any(address.endswith("pyodide.asm.wasm") for address in visit.asked)  # the worker is heard too
    assert visit.foreign_requests() == []


def enroll(visit: Visit, name: str, term: str) -> None:
    """Type id and term on the first page, which shows its fields by itself."""
    visit.open("start-here.ipynb")
    expect(visit.widget("Learner id")).to_be_visible(timeout=PATIENCE)
    visit.type_value("Learner id", name)
    visit.type_value("Class term", term)
    visit.notebook.get_by_role("button", name="Save", exact=True).click()
    expect(visit.notebook.get_by_text("Saved. You are")).to_be_visible(timeout=PATIENCE)


def test_a_learner_types_an_id_and_a_wrong_idea_is_answered(visit):
    enroll(visit, "ash", TERM)
    visit.open(LESSON).press("start-lesson").comes_alive()
    case = practice_case("practice-cycle-1", 1)
    visit.fill_in(PRACTICE, absolute_pressure=f"{case.low_side_psig:g} psia")
    visit.cell(PRACTICE).get_by_role("button", name="Check").first.click()
    expect(visit.output(PRACTICE)).to_contain_text("A gauge counts from the air pressure around it")
    assert visit.foreign_requests() == []


def test_a_sheet_filled_in_here_is_graded_as_one_filled_in_natively(visit, tmp_path):
    """Typed, handed in, downloaded, collected as it is: the same points as for the same words in a file."""
    folder = small_class(tmp_path / "class")
    native = filled(folder, "ash", said="Weigh it.")
    enroll(visit, "ash", folder.term)
    visit.go(SHEET).press("start-lesson")
    expect(visit.notebook.get_by_text("sheet of ash").first).to_be_visible(timeout=PATIENCE)
    for cell in json.loads(native)["cells"]:
        text = "".join(cell["source"])
        if text.startswith("%%answers"):
            visit.write(text.splitlines()[1].split(":")[0] + ":", text)
    visit.notebook.locator(".coldcab-written").first.locator(".jp-MarkdownOutput").click()
    visit.page.keyboard.insert_text("Weigh it.")
    with visit.page.expect_download(timeout=PATIENCE) as taken:
        visit.notebook.get_by_role("button", name="Hand in").click()
    copy = tmp_path / "upload" / taken.value.suggested_filename
    taken.value.save_as(copy)
    assert copy.name == name_of("cycle-1", "ash")
    assert visit.foreign_requests() == []

    (collected,) = collecting.collect(folder, [copy.parent])
    assert (collected.status, collected.learner, collected.sheet) == (collecting.NEW, "ash", "cycle-1")
    other = small_class(tmp_path / "native")
    put(other, "ash", native)
    here, there = (by_learner(grading.grade_class(each, "cycle-1"))["ash"] for each in (folder, other))
    assert here.score == there.score > 0


NUMBERS = """
import json, dataclasses
import numpy as np
from machine_cases import wild
from coldcab.machine import simulate_many
from coldcab.machine.fleet import WHEEL_LOADER

def numbers(count, seed):
    conditions, effects, charge = wild(count, seed)
    found = simulate_many(WHEEL_LOADER, conditions, refrigerant="R-134a", charge=charge, faults=effects)
    read = {}
    for field in dataclasses.fields(found):
        value = np.asarray(getattr(found, field.name))
        rest = field.name.endswith("residual")  # what the solver leaves; it is no reading, and near zero
        if value.dtype.kind == "f" and value.shape == (count,) and not rest:
            read[field.name] = value.tolist()
    return read
"""
COUNT, SEED = 500, 20
IN_BROWSER = """async ([base, cases, numbers]) => {
  const { loadPyodide } = await import(base + "pyodide.mjs");
  const python = await loadPyodide({ indexURL: base, packages: ["numpy", "coldcab-site"] });
  python.FS.writeFile("/home/pyodide/machine_cases.py", cases);
  return python.runPython(numbers);
}"""


def test_five_hundred_drawn_circuits_read_as_they_do_natively(visit, site):
    """The same numbers from the same equations: what differs is the last digit of a function of the processor."""
    import numpy as np

    space: dict = {}
    exec(NUMBERS, space)
    native = space["numbers"](COUNT, SEED)
    visit.page.goto(site.address)
    cases = (Path(__file__).parents[1] / "machine_cases.py").read_text(encoding="utf-8")
    base = f"{site.address}{site.version}/runtime/"
    said = visit.page.evaluate(IN_BROWSER, [base, cases, f"{NUMBERS}\njson.dumps(numbers({COUNT}, {SEED}))"])
    here = json.loads(said)
    assert len(native) >= 10
    assert here.keys() == native.keys()
    for name, values in native.items():
        np.testing.assert_allclose(here[name], values, rtol=1e-9, atol=1e-9, err_msg=name)


def test_a_new_edition_takes_an_unwritten_page_and_asks_about_a_written_one(context, visit, site):
    """A learner's own copy from an earlier edition, with and without words of the learner's."""
    address = f"{site.address}{site.version}/files/{LESSON}"
    later = []

    def newer(route):
        page = route.fetch().json()
        page["metadata"]["coldcab"]["edition"] = "later"
        page["cells"][0]["source"] = "# A later edition"
        later.append(route.request.url)
        route.fulfill(json=page)

    visit.open(LESSON)
    visit.write(PRACTICE, f"{PRACTICE}\nstate at A: mine\n")
    visit.page.keyboard.press("ControlOrMeta+s")
    visit.page.wait_for_function("localStorage.getItem('coldcab: pages')?.includes('cycle/1')")
    context.route(address, newer)
    again = Visit(context.new_page(), site).open(LESSON)
    bar = again.page.locator(".coldcab-edition")
    expect(bar).to_contain_text("This page has a new edition")
    bar.get_by_role("button", name="Take the new one").click()
    expect(again.notebook.get_by_role("heading", name="A later edition")).to_be_visible()
    assert later


def test_work_is_copied_out_and_brought_back_in_another_browser(browser, visit, site, tmp_path):
    visit.open(LESSON)
    visit.write(PRACTICE, f"{PRACTICE}\nstate at A: my own words\n")
    visit.press("work")
    window = visit.page.locator("#coldcab-work")
    expect(window).to_contain_text("are kept in this browser")
    with visit.page.expect_download() as taken:
        window.get_by_role("button", name="Save a copy").click()
    taken.value.save_as(tmp_path / "copy.json")
    other = browser.new_context(proxy=BLOCKED)
    there = Visit(other.new_page(), site).open(LESSON)
    there.press("work")
    with there.page.expect_navigation():
        there.page.locator("#coldcab-work input[type=file]").set_input_files(tmp_path / "copy.json")
    there.notebook.locator(".jp-Notebook-cell").first.wait_for()
    assert "my own words" in there.source(PRACTICE)
    other.close()
