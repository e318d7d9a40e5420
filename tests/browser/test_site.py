"""The course with nothing installed: the site in a browser that reaches no other host.

The runtime's files come from a wheel of strangers on PyPI that happens to hold them; each is checked by the hash of
Pyodide's own release, and nothing else of that wheel is used. Where it is not to be had, these tests are skipped.
"""

from __future__ import annotations

import base64
import functools
import json
import re
import subprocess
import sys
import threading
import zipfile
from contextlib import contextmanager
from dataclasses import replace
from http.server import ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, expect

from browser.conftest import FLAGS, SIZE
from browser.visits import BLOCKED, PATIENCE, PLAIN, WALL, Visit, alive_when_pressed_at_once, given_out
from classes import by_learner, filled, put, small_class
from coldcab import learner
from coldcab.classroom import collecting, grading
from coldcab.classroom.demo import TERM
from coldcab.course import folder as course_folder
from coldcab.course.pictures import browser_path
from coldcab.desk.hand_in import name_of
from coldcab.lessons import LESSONS, PRACTICE, practice_case
from coldcab.site import assembling, front, serving

LESSON = "cycle/1-pressure-and-temperature.ipynb"
BENCH = "faults/bench.ipynb"
SHEET = "graded/cycle-1/cycle-1.ipynb"
PLANNER = "refresher/job-planner.ipynb"
PHONE = {"width": 390, "height": 844}
ROUNDS, BESIDE = 10, 2
"""Start is pressed at once ten times in each of two browsers."""
ANSWERS = "%%answers practice-cycle-1"
IDEA = "A gauge counts from the air pressure around it"
SI = learner.UNITS["si"]


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
    made = browser.new_context(proxy=BLOCKED, viewport=SIZE, accept_downloads=True)
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


def test_the_front_page_opened_as_a_file_says_what_to_do(context, site):
    page = context.new_page()
    page.goto(site.address)
    expect(page.locator("#file")).not_to_be_visible()
    page.goto((site.folder / "index.html").as_uri())
    expect(page.locator("#file")).to_contain_text("They need a web server")


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
    for path, count in ((LESSON, 3), ("cycle/4-the-valve.ipynb", 4), (BENCH, 1)):
        if path != LESSON:
            visit.go(path)
        visit.press("start-lesson").press("start-lesson").comes_alive(count)
        assert visit.errors() == []
        assert len(visit.page.workers) == 1
    visit.go(LESSON).press("start-lesson").comes_alive()
    case = practice_case("practice-cycle-1", 1)
    visit.fill_in(ANSWERS, absolute_pressure=f"{case.low_side_psig:g} psia")
    visit.cell(ANSWERS).get_by_role("button", name="Check").first.click()
    expect(visit.output(ANSWERS)).to_contain_text(IDEA)
    assert any(address.endswith("pyodide.asm.wasm") for address in visit.asked)  # the worker is heard too
    assert visit.foreign_requests() == []


def enroll(visit: Visit, name: str, term: str, units: str = learner.UNITS["us"]) -> None:
    """Type id and term on the first page, which shows its fields by itself."""
    visit.open("start-here.ipynb")
    expect(visit.widget("Learner id")).to_be_visible(timeout=PATIENCE)
    visit.type_value("Learner id", name)
    visit.type_value("Class term", term)
    visit.choose("Units", units)
    visit.notebook.get_by_role("button", name="Save", exact=True).click()
    expect(visit.notebook.get_by_text("Saved. You are")).to_be_visible(timeout=PATIENCE)


@contextmanager
def of_the_day(site, version: str):
    """Have the site name another version as that of the day, which lies beside the other one."""
    named = site.folder / assembling.NAMED
    said = named.read_text(encoding="utf-8")
    beside = site.folder / version
    if not beside.exists():
        beside.symlink_to(site.folder / site.version)
    try:
        named.write_text(json.dumps(json.loads(said) | {"path": version}), encoding="utf-8")
        yield
    finally:
        named.write_text(said, encoding="utf-8")
        beside.unlink()


FORMER = "0.0.1-0123456789"


def opened_with(browser: Browser, profile: Path) -> BrowserContext:
    """Start a browser of its own with what it keeps on the disk."""
    return browser.browser_type.launch_persistent_context(
        profile,
        executable_path=browser_path(),
        args=[*FLAGS, WALL],
        proxy=BLOCKED,
        viewport=SIZE,
        accept_downloads=True,
    )


def practiced(visit: Visit) -> None:
    """Hold a wrong idea and hear of it, in SI units since the learner asked for them."""
    case = practice_case("practice-cycle-1", 1)
    visit.fill_in(ANSWERS, absolute_pressure=f"{case.low_side_psig:g} psia")
    visit.cell(ANSWERS).get_by_role("button", name="Check").first.click()
    expect(visit.output(ANSWERS)).to_contain_text(IDEA)
    visit.fill_in(ANSWERS, state_at_A="superheated")
    expect(visit.output("%practice cycle-1")).to_contain_text(re.compile(r"\d kPa gauge \([\d.]+ psig\)"))


def planned(visit: Visit) -> list[str]:
    """Make a plan by the form and take it away; the names of the files that came."""
    visit.go(PLANNER).press("start-lesson").wait_until_idle(240)
    form = visit.cell('JobForm("jobs/seal-leak.toml")').locator(".jupyter-widgets").first
    form.get_by_role("button", name="Make the plan").click()
    expect(form.get_by_text("The plan stands below")).to_be_visible(timeout=PATIENCE)
    came: list[str] = []
    visit.page.on("download", lambda download: came.append(download.suggested_filename))
    form.get_by_role("button", name="Save the page").click()
    expect(form.get_by_text("Saved beside this page")).to_be_visible(timeout=PATIENCE)
    while len(came) < 2:
        visit.page.wait_for_timeout(100)
    return came


def test_an_evening_and_the_next_one_with_the_browser_closed_between(browser, site, tmp_path):
    """Id, term, units, answers, progress and a plan; then a reload, another start of the browser, and a new version of
    the site, reached by a bookmark of the former one."""

    def opened():
        return opened_with(browser, tmp_path)

    with of_the_day(site, FORMER):
        first = Visit(opened().pages[0], site)
        enroll(first, "ash", TERM, SI)
        bookmark = first.page.url
        assert FORMER in bookmark
        first.go(LESSON).press("start-lesson").comes_alive()
        practiced(first)
        assert {Path(name).suffix for name in planned(first)} == {".html", ".toml"}
        assert first.errors() == []
        first.page.goto(bookmark.replace("start-here.ipynb", LESSON))
        first.notebook.locator(".jp-Notebook-cell").first.wait_for()
        assert "state at A: superheated" in first.source(ANSWERS)  # after a reload
        first.page.context.close()

    second = Visit(opened().pages[0], site)
    second.page.goto(bookmark)
    expect(second.widget("Learner id").locator("input")).to_have_value("ash", timeout=PATIENCE)
    expect(second.widget("Class term").locator("input")).to_have_value(TERM)
    expect(second.widget("Units").locator("option:checked")).to_have_text(SI)
    desk = second.notebook.locator(".jupyter-widgets").first
    expect(desk).to_contain_text("Welcome back, ash")
    expect(desk).to_contain_text("Pressure and temperature: 0 of 11 practice lines right")
    assert site.version in second.page.url  # nobody keeps a stale copy
    second.go(LESSON)
    assert "state at A: superheated" in second.source(ANSWERS)
    assert second.page.locator(".jp-NotebookPanel").count() == len(second.page.workers) == 1  # no tab of the last visit
    assert second.errors() == []
    assert first.foreign_requests() == second.foreign_requests() == []
    second.page.context.close()


def test_start_pressed_at_once_comes_alive_every_time(browser, site):
    contexts = [browser.new_context(proxy=BLOCKED, viewport=SIZE) for _ in range(BESIDE)]
    assert alive_when_pressed_at_once(contexts, site, BENCH, ROUNDS) == ROUNDS * BESIDE
    for each in contexts:
        each.close()


@contextmanager
def under_a_path(folder: Path):
    """Give a folder's parent out, as a school's server does with many sites beside each other."""
    handler = functools.partial(serving._Handler, directory=str(folder.parent))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as running:
        threading.Thread(target=running.serve_forever, daemon=True).start()
        yield f"http://{PLAIN}:{running.server_address[1]}/{folder.name}/"
        running.shutdown()


def dragged(visit: Visit, handle: Locator, far: float) -> None:
    """Put a finger on a slider's handle and move it."""
    handle.scroll_into_view_if_needed()
    place = handle.bounding_box()
    across, down = place["x"] + place["width"] / 2, place["y"] + place["height"] / 2
    touch = visit.page.context.new_cdp_session(visit.page)
    for kind, x in (("touchStart", across), ("touchMove", across + far / 2), ("touchMove", across + far)):
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": down}]})
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def test_a_phone_in_the_bay_at_a_plain_address_with_a_finger(browser, site):
    """A name in the shop's network and a folder on its server: no safe address, so neither a service worker nor a
    lasting promise of the browser's. A slider, a choice and a line of practice by touch; then a reload."""
    context = browser.new_context(proxy=BLOCKED, viewport=PHONE, has_touch=True, is_mobile=True)
    with under_a_path(site.folder) as address:
        visit = Visit(context.new_page(), replace(site, address=address)).open(LESSON)
        assert not visit.page.evaluate("isSecureContext || 'serviceWorker' in navigator")
        start = visit.notebook.locator(".jp-NotebookPanel-toolbar [data-jp-item-name='start-lesson']")
        expect(start).to_be_in_viewport(ratio=1)
        expect(visit.page.locator(".jp-DirListing")).not_to_be_visible()
        start.tap()
        expect(visit.instruments().first).to_be_attached(timeout=PATIENCE)
        assert visit.page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
        drawing = visit.instruments().first
        before = drawing.get_attribute("aria-label")
        dragged(visit, visit.notebook.locator(".noUi-handle").first, 60)
        expect(drawing).not_to_have_attribute("aria-label", before, timeout=PATIENCE)
        visit.fill_in(ANSWERS, state_at_A="superheated")
        visit.cell(ANSWERS).get_by_role("button", name="Check").first.tap()
        expect(visit.output(ANSWERS)).to_contain_text("state at A")
        visit.wait_until_kept("state at A: superheated").page.reload()
        visit.notebook.locator(".jp-Notebook-cell").first.wait_for()
        assert "state at A: superheated" in visit.source(ANSWERS)
        assert visit.errors() == []
        assert visit.foreign_requests() == []
    context.close()


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
LOAD = """async base => {
  const { loadPyodide } = await import(base + "pyodide.mjs");
  window.python = await loadPyodide({ indexURL: base, packages: ["numpy", "coldcab-site"] });
}"""


@pytest.fixture(scope="module")
def python(browser, site):
    """Return the site's own Python without a page around it; what its last expression says in JSON comes back."""
    context = browser.new_context(proxy=BLOCKED)
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    page.goto(site.address)
    page.evaluate(LOAD, f"{site.address}{site.version}/runtime/")
    yield lambda program: json.loads(page.evaluate("program => python.runPython(program)", program))
    context.close()


def test_five_hundred_drawn_circuits_read_as_they_do_natively(python):
    """The same numbers from the same equations: what differs is the last digit of a function of the processor."""
    import numpy as np

    space: dict = {}
    exec(NUMBERS, space)
    native = space["numbers"](COUNT, SEED)
    cases = (Path(__file__).parents[1] / "machine_cases.py").read_text(encoding="utf-8")
    here = python(
        f"open('machine_cases.py', 'w').write({cases!r})\n{NUMBERS}\njson.dumps(numbers({COUNT}, {SEED}))",
    )
    assert len(native) >= 10
    assert here.keys() == native.keys()
    for name, values in native.items():
        np.testing.assert_allclose(here[name], values, rtol=1e-9, atol=1e-9, err_msg=name)


CELLS = """
import json, os
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output
from traitlets.config import Config

def said(pages):
    shell = InteractiveShell.instance(config=Config({"HistoryManager": {"enabled": False}}))
    found = {}
    for path, cells in pages.items():
        os.makedirs(os.path.dirname(path) or ".", exist_ok=True)
        home = os.getcwd()
        os.chdir(os.path.dirname(path) or ".")
        shell.reset(new_session=False)
        for number, text in enumerate(cells):
            with capture_output() as shown:
                done = shell.run_cell(text)
            error = done.error_before_exec or done.error_in_exec
            words = [shown.stdout, *(output.data.get("text/html", "") for output in shown.outputs)]
            name = text.splitlines()[0] if text.startswith("%%") else number
            found[f"{path}: {name}"] = repr(error) if error else "".join(words)
        os.chdir(home)
    return found
"""


def cells_of(path: Path) -> list[str]:
    """The code cells of a page, each line of practice filled in with what the sheet has as an example."""
    cells = ["".join(cell["source"]) for cell in json.loads(path.read_bytes())["cells"] if cell["cell_type"] == "code"]
    return [filled_in(text) if text.startswith("%%answers") else text for text in cells]


def filled_in(text: str) -> str:
    head, *lines = text.splitlines()
    examples = {item.label: item.example for item in PRACTICE[head.split()[1]].items}
    return "\n".join([head, *(f"{line.strip()} {examples[line.strip().removesuffix(':')]}" for line in lines)])


def test_every_page_runs_in_the_sites_python_and_practice_is_answered_as_natively(python, tmp_path):
    """Every cell of every lesson with the trimmed library; a practice's sheet is read and marked as on a computer."""
    root = course_folder()
    paths = (path for path in sorted(root.rglob("*.ipynb")) if "graded" not in path.relative_to(root).parts)
    pages = {path.relative_to(root).as_posix(): cells_of(path) for path in paths}
    begin = "import os, shutil, coldcab; shutil.copytree(os.path.dirname(coldcab.__file__) + '/_course', '/all'); "
    here = python(f"{begin}os.chdir('/all')\n{CELLS}\njson.dumps(said({pages!r}))")
    assert len(here) > 200
    assert {name: words for name, words in here.items() if re.match(r"\w+(Error|Exception)\(", words)} == {}
    sheets = {
        path: [cells[0], *(text for text in cells if text.startswith(("%practice", "%%answers")))]
        for path, cells in pages.items()
    }
    program = f"{CELLS}\nprint(json.dumps(said({sheets!r})))"
    done = subprocess.run([sys.executable, "-c", program], cwd=tmp_path, capture_output=True, text=True, check=True)
    native = json.loads(done.stdout.splitlines()[-1])
    answered = {name: words for name, words in native.items() if "%%answers" in name}
    assert len(answered) == len(LESSONS)
    assert all("right" in words for words in answered.values())
    assert {name: here[name] for name in answered} == answered


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
    visit.write(ANSWERS, f"{ANSWERS}\nstate at A: mine\n")
    visit.wait_until_kept("state at A: mine")
    context.route(address, newer)
    again = Visit(context.new_page(), site).open(LESSON)
    bar = again.page.locator("#coldcab-edition")
    expect(bar).to_contain_text("This page has a new edition")
    bar.get_by_role("button", name="Take the new one").click()
    expect(again.notebook.get_by_role("heading", name="A later edition")).to_be_visible()
    assert later


def test_work_is_copied_out_and_brought_back_in_another_browser(browser, visit, site, tmp_path):
    visit.open(LESSON)
    visit.write(ANSWERS, f"{ANSWERS}\nstate at A: my own words\n")
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
    assert "my own words" in there.source(ANSWERS)
    other.close()


# What goes wrong -----------------------------------------------------------------------------------------------------


def copy_of(visit: Visit, button: Locator) -> dict[str, str]:
    """Save a copy of the work, and return its files."""
    with visit.page.expect_download() as taken:
        button.click()
    files = json.loads(Path(taken.value.path()).read_text(encoding="utf-8"))["files"]
    return {path: base64.b64decode(data).decode() for path, data in files.items()}


def test_a_browser_whose_storage_is_switched_off_says_so_works_and_gives_a_copy(browser, site, tmp_path):
    """Cookies and site data are blocked by the browser's own setting."""
    settings = {"profile": {"default_content_setting_values": {"cookies": 2}}}
    (tmp_path / "Default").mkdir()
    (tmp_path / "Default" / "Preferences").write_text(json.dumps(settings))
    context = opened_with(browser, tmp_path)
    visit = Visit(context.pages[0], site).open(LESSON)
    told = visit.page.locator("#coldcab-storage")
    expect(told).to_contain_text("This browser keeps nothing here: its storage is switched off")
    visit.press("start-lesson").comes_alive()
    visit.write(ANSWERS, f"{ANSWERS}\nstate at A: mine\n")
    assert "state at A: mine" in copy_of(visit, told.get_by_role("button", name="Save a copy"))[LESSON]
    context.close()


FULL = """() => {
  IDBObjectStore.prototype.put = () => { throw new DOMException("no room", "QuotaExceededError") };
}"""
"""A device without room: the browser refuses whatever is to be kept from now on."""
WRITTEN = (
    """() => new BroadcastChannel("coldcab").postMessage(JSON.stringify({ path: ".coldcab/kept", content: "eA==" }))"""
)
"""As the kernel tells of a file that it wrote."""


def test_what_a_learner_may_meet_is_said_in_a_sentence(context, site):
    """The runtime does not come; storage is full; a page that is not there; a second tab; an address of nothing."""
    context.route("**/runtime/**", lambda route: route.abort())
    visit = Visit(context.new_page(), site).open(LESSON)
    said = visit.page.locator("#coldcab-notices")
    expect(said).to_contain_text("The instruments could not be fetched")
    expect(visit.notebook.get_by_role("heading", name="Pressure and temperature").first).to_be_visible()

    visit.page.evaluate(FULL)
    visit.write(ANSWERS, f"{ANSWERS}\nstate at A: mine\n")
    expect(said).to_contain_text("its storage is full or was switched off")
    visit.page.locator(".jp-Dialog button").last.click()  # JupyterLab's own word about it
    visit.page.evaluate(WRITTEN)
    files = copy_of(visit, said.get_by_role("button", name="Save a copy"))
    assert "state at A: mine" in files[LESSON]
    assert files[".coldcab/kept"] == "x"

    visit.page.goto(visit.at("cycle/no-such-page.ipynb"))
    expect(said).to_contain_text("There is no page “cycle/no-such-page.ipynb” in this course")
    expect(visit.page.get_by_role("tabpanel", name="start-here.ipynb")).to_be_visible()

    other = Visit(context.new_page(), site).open(LESSON)
    for each in (visit, other):
        expect(each.page.locator("#coldcab-notices")).to_contain_text("open in another tab of this browser too")
    other.page.goto(f"{site.address}no/such/address.html")
    expect(other.page.get_by_role("heading", name="This page is not here")).to_be_visible()
    expect(said).not_to_contain_text("open in another tab")
    other.page.get_by_role("link", name="To the course's first page").click()
    expect(other.page.get_by_role("heading", name="Where your work is kept")).to_be_visible()
    other.page.goto(f"{site.address}{FORMER}/lab/index.html?mode=single-document&page={LESSON}")
    other.page.wait_for_url(f"**/{site.version}/lab/index.html**")
    expect(other.notebook.get_by_role("heading", name="Pressure and temperature").first).to_be_visible()


def test_a_tab_left_open_hears_of_a_new_version(context, site):
    context.route("**/runtime/**", lambda route: route.abort())
    visit = Visit(context.new_page(), site).open(LESSON)
    with of_the_day(site, FORMER):
        visit.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        told = visit.page.locator("#coldcab-version")
        expect(told).to_contain_text("The course has a new version")
        told.get_by_role("button", name="Go to it").click()
        visit.page.wait_for_url(f"**/{FORMER}/lab/index.html**")
        visit.notebook.locator(".jp-Notebook-cell").first.wait_for()
