"""The site in a browser: bytes, seconds to a page that can be read and to a live instrument, and the repaint.

Run on request: ``pytest -n 0 -s tests/benchmarks/test_site.py``. The targets are the project's own, for two idle cores;
seconds of the processor are those of all of the browser's processes. Cold is a browser that has never been here, warm
the same one started again, with what it kept on its disk. Where a target for a live instrument is missed, it warns: a
busy computer takes more seconds of the processor for the same work.
"""

from __future__ import annotations

import os
import statistics
import time
import warnings
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright

from browser.conftest import FLAGS, SIZE
from browser.hands import START
from browser.visits import BLOCKED, Visit, given_out
from coldcab.course.pictures import browser_path
from coldcab.site.front import first_visit

LESSON = "cycle/1-pressure-and-temperature.ipynb"
MOST_BYTES = 30e6
READABLE, LIVE_COLD, LIVE_WARM = 6.0, 15.0, 10.0  # s; the last two of the processor
REPAINT = 0.080  # s, 19 of 20
MOVES = 40
SETTLES = 4_000  # ms in which a browser writes down what it has compiled
TICKS = os.sysconf("SC_CLK_TCK")
WATCH = """drawing => { window.painted = 0; new MutationObserver(() => requestAnimationFrame(() => {
  if (!window.painted) window.painted = performance.now() })).observe(drawing, {subtree: true, childList: true,
  attributes: true, characterData: true}) }"""

CLOCK = """window.painted = 0;
  addEventListener("keydown", () => { window.pressed = performance.now() }, {capture: true, once: true})"""


def processor_seconds(parent: int) -> float:
    """Seconds that the browsers of a process have had of the processor."""
    table = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text().rsplit(")", 1)[1].split()
        except OSError:
            continue
        table[int(stat.parent.name)] = (int(fields[1]), sum(map(int, fields[11:15])) / TICKS)
    family = {parent}
    while more := {one for one, (above, _) in table.items() if above in family} - family:
        family |= more
    drives = {one for one, (above, _) in table.items() if above == parent} | {parent}  # the test and what steers for it
    return sum(table[one][1] for one in family - drives if one in table)


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    with given_out(tmp_path_factory.mktemp("site")) as given:
        yield given


@pytest.mark.filterwarnings("default")
def test_sizes_times_and_repaints(site, tmp_path):
    found = {}
    for visit_of in ("cold", "warm"):
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch_persistent_context(
                tmp_path, executable_path=browser_path(), args=list(FLAGS), proxy=BLOCKED, viewport=SIZE
            )
            visit = Visit(browser.new_page(), site)
            sizes = []
            visit.page.on("requestfinished", lambda request, sizes=sizes: sizes.append(request.sizes()))
            spent, start = processor_seconds(os.getpid()), time.monotonic()
            visit.open(LESSON)
            found[f"{visit_of}: readable, s"] = time.monotonic() - start
            visit.press(START).instruments().first.wait_for(state="attached")
            found[f"{visit_of}: live, s"] = time.monotonic() - start
            found[f"{visit_of}: live, s of the processor"] = processor_seconds(os.getpid()) - spent
            found[f"{visit_of}: MB"] = sum(one["responseBodySize"] for one in sizes) / 1e6
            if visit_of == "warm":
                found |= repaints(visit)
            visit.wait_until_idle(240).page.wait_for_timeout(SETTLES)
            browser.close()
    for words, value in found.items():
        print(f"{words}: {value:.3g}")
    assert found["cold: MB"] < MOST_BYTES / 1e6
    assert abs(found["cold: MB"] - first_visit(site.folder / site.version)) < 1  # as the front page says
    assert found["cold: readable, s"] < READABLE
    for words, target in (("cold", LIVE_COLD), ("warm", LIVE_WARM)):
        if found[f"{words}: live, s of the processor"] > target:
            warnings.warn(f"{words}: a live instrument is to take {target:.0f} s of the processor", stacklevel=1)
    assert found["repaint, 19 of 20, s"] < REPAINT


def repaints(visit: Visit) -> dict[str, float]:
    """From a key on the first slider to the next frame after the drawing's first change."""
    visit.wait_until_idle(240)
    drawing = visit.instruments().first
    handle = visit.notebook.locator(".noUi-handle").first
    drawing.evaluate(WATCH)
    handle.focus()
    times = []
    for number in range(MOVES):
        visit.page.evaluate(CLOCK)
        visit.page.keyboard.press("ArrowRight" if number < MOVES / 2 else "ArrowLeft")
        visit.page.wait_for_function("window.painted > 0")
        times.append(visit.page.evaluate("window.painted - window.pressed") / 1000)
        visit.page.wait_for_timeout(150)
    return {
        "repaint, median, s": statistics.median(times),
        "repaint, 19 of 20, s": statistics.quantiles(times, n=20)[-1],
    }
