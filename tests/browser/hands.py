"""A learner's hands on JupyterLab: opening, pressing, writing, moving sliders, seeing what stands on the page."""

from __future__ import annotations

import contextlib
import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import ConsoleMessage, Locator, Page, expect

PICTURES = Path(__file__).parent / "pictures"
PATIENCE = 60_000  # milliseconds; slow shared computers

START = "start-lesson"
CHECK = "check-sheet"
ERROR = "[data-mime-type='application/vnd.jupyter.error']"
STDERR = "[data-mime-type='application/vnd.jupyter.stderr']"


@dataclass
class Server:
    """A running ``coldcab open``: where it answers, the learner's folder, and the user's (empty) home."""

    address: str
    folder: Path
    home: Path
    process: subprocess.Popen[bytes]

    def messages(self) -> str:
        """Return JupyterLab's own messages so far."""
        return (self.folder / ".coldcab" / "lab" / "messages.txt").read_text(encoding="utf-8", errors="replace")


def open_course(folder: Path, home: Path, *options: str) -> Server:
    """Start ``coldcab open --no-browser`` and wait for its address."""
    home.mkdir(parents=True, exist_ok=True)
    kept = ("PATH", "PYTHONPATH", "LANG", "LC_ALL", "TMPDIR", "SYSTEMROOT", "OPENBLAS_CORETYPE", "OPENBLAS_L2_SIZE")
    environment = {name: os.environ[name] for name in kept if name in os.environ} | {"HOME": str(home)}
    said = home / "coldcab-open.txt"
    with open(said, "wb") as stream:
        process = subprocess.Popen(
            [sys.executable, "-m", "coldcab", "open", "--no-browser", "--folder", str(folder), *options],
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=stream,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
    while process.poll() is None:
        opened = re.search(r"is open: (\S+)\n", said.read_text(encoding="utf-8"))
        if opened:
            return Server(opened[1], folder, home, process)
        time.sleep(0.2)
    raise RuntimeError(f"coldcab open did not start: {said.read_text(encoding='utf-8')}")


def close_course(server: Server) -> int:
    """End it as a closed terminal would, and return the exit code."""
    server.process.terminate()
    return server.process.wait(30)


@contextlib.contextmanager
def nothing_done_yet(folder: Path, *pages: str) -> Iterator[None]:
    """Give a learner's copy in which nothing is remembered; what other tests left behind comes back afterwards."""
    place = folder / ".coldcab" / "progress"
    aside = place.with_name("progress-aside")
    if place.exists():
        place.rename(aside)
    before = {page: (folder / page).read_bytes() for page in (*pages, "start-here.ipynb")}
    yield
    for page, data in before.items():
        (folder / page).write_bytes(data)
    shutil.rmtree(place, ignore_errors=True)
    shutil.rmtree(folder / "hand-in", ignore_errors=True)
    if aside.exists():
        aside.rename(place)


def _is_fault(message: ConsoleMessage) -> bool:
    # The kernel of the course as a site, where it is installed beside, finds no home in JupyterLab and says so.
    return message.type == "error" and "@jupyterlite/" not in message.text


@dataclass
class Lab:
    """JupyterLab in the learner's browser.

    ``notebook`` is the panel in front. Cells are named by a phrase that is in their text or source, or by number
    (from 0). Waiting is built in; nothing sleeps longer than it must.
    """

    page: Page
    server: Server
    faults: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.set_default_timeout(PATIENCE)
        self.page.on("pageerror", lambda error: self.faults.append(f"script: {error}"))
        self.page.on(
            "console",
            lambda message: self.faults.append(f"console: {message.text}") if _is_fault(message) else None,
        )
        self.page.on("request", lambda request: self.asked.append(request.url))

    # Places

    def go_to_start(self) -> Lab:
        """Open the address that ``coldcab open`` prints."""
        self.page.goto(self.server.address)
        self._settled()
        return self

    def open(self, path: str) -> Lab:
        """Open a notebook of the learner's folder, as a fresh page without the tabs of before."""
        base, token = self.server.address.split("/lab/")[0], self.server.address.split("token=")[-1]
        self.page.goto(f"{base}/lab/tree/{path}?reset&token={token}")
        self._settled()
        expect(self.tab(Path(path).name)).to_be_visible()
        return self

    def follow(self, words: str) -> Lab:
        """Click a link in the text of the notebook in front."""
        before = self.notebook.get_attribute("id")
        self.notebook.get_by_role("link", name=words).first.click()
        expect(self.notebook).not_to_have_id(before)
        self._settled()
        return self

    def tab(self, name: str) -> Locator:
        return self.page.locator("#jp-main-dock-panel .lm-TabBar-tab", has_text=Path(name).stem[:20])

    @property
    def notebook(self) -> Locator:
        return self.page.locator("#jp-main-dock-panel .jp-NotebookPanel:not(.lm-mod-hidden)")

    @property
    def scroller(self) -> Locator:
        return self.notebook.locator(".jp-WindowedPanel-outer").first

    def cell(self, which: str | int) -> Locator:
        cells = self.notebook.locator(".jp-Notebook-cell")
        return cells.nth(which) if isinstance(which, int) else cells.filter(has_text=which).first

    # Doing

    def press(self, button: str) -> Lab:
        """Press a button of the notebook's toolbar by its name: START or CHECK, 'save', 'restart' ..."""
        self.notebook.locator(f".jp-NotebookPanel-toolbar [data-jp-item-name='{button}']").click()
        return self

    def start(self) -> Lab:
        """Press "Start this lesson" and wait until everything has run."""
        self.press(START)
        return self.wait_until_idle()

    def write(self, which: str | int, text: str) -> Lab:
        """Replace the text of a code cell, as a learner would by hand."""
        editor = self.cell(which).locator(".cm-content")
        editor.click()
        self.page.keyboard.press("ControlOrMeta+a")
        self.page.keyboard.insert_text(text)
        return self

    def fill_in(self, which: str | int, **answers: str) -> Lab:
        """Write answers behind their labels on a sheet; ``absolute_pressure="45 psia"`` for "absolute pressure:"."""
        text = self.source(which)
        for name, answer in answers.items():
            label = name.replace("_", " ")
            lines = text.splitlines()
            assert sum(line.startswith(f"{label}:") for line in lines) == 1, f"no line {label!r} on the sheet"
            text = "\n".join(f"{label}: {answer}" if line.startswith(f"{label}:") else line for line in lines)
        return self.write(which, text)

    def check(self, which: str | int) -> Lab:
        """Put the cursor into a sheet and press "Check this sheet"."""
        self.cell(which).locator(".cm-content").click()
        self.press(CHECK)
        return self.wait_until_idle()

    def move_slider(self, label: str, steps: int, *, within: str | int | None = None) -> Lab:
        """Move a slider by its label, step by step with the arrow keys (negative: to the left)."""
        handle = self.widget(label, within=within).locator(".noUi-handle").first
        handle.focus()
        for _ in range(abs(steps)):
            self.page.keyboard.press("ArrowRight" if steps > 0 else "ArrowLeft")
        return self

    def type_value(self, label: str, text: str, *, within: str | int | None = None) -> Lab:
        """Type into the text box of a control, or the one beside its slider, and press Enter."""
        control = self.widget(label, within=within)
        box = control.locator("input[type=text]")
        if box.count() == 0:
            box = control.locator("xpath=..").locator("input[type=text]")
        box.first.fill(text)
        box.first.press("Enter")
        return self

    def choose(self, label: str, option: str, *, within: str | int | None = None) -> Lab:
        """Choose an option of a drop-down list by its label."""
        self.widget(label, within=within).locator("select").select_option(label=option)
        return self

    def widget(self, label: str, *, within: str | int | None = None) -> Locator:
        """Return the control whose label begins with ``label``."""
        place = self.notebook if within is None else self.cell(within)
        name = place.page.locator(".widget-label", has_text=re.compile(rf"^\s*{re.escape(label)}"))
        return place.locator(".jupyter-widgets").filter(has=name).and_(place.locator(":not(.widget-box)")).first

    def save(self) -> Lab:
        """Save with Ctrl-S and wait until the file has been written."""
        with self.page.expect_response(
            lambda answer: "/api/contents/" in answer.url and answer.request.method == "PUT"
        ):
            self.page.keyboard.press("ControlOrMeta+s")
        return self

    # Seeing

    def text(self) -> str:
        return self.notebook.inner_text()

    def source(self, which: str | int) -> str:
        """Return what stands in a code cell; an editor draws its lines only where they can be seen."""
        self.cell(which).locator(".cm-line").first.scroll_into_view_if_needed()
        return "\n".join(self.cell(which).locator(".cm-line").all_inner_texts()).replace("\u200b", "")

    def output(self, which: str | int) -> Locator:
        return self.cell(which).locator(".jp-Cell-outputArea")

    def drawings(self) -> Locator:
        """Return every live drawing on the page."""
        return self.notebook.locator(".jp-OutputArea-output .jupyter-widgets svg[role=img]")

    def errors(self) -> list[str]:
        """Return every traceback and every stderr line on the page, and scripts' errors."""
        shown = self.notebook.locator(f".jp-OutputArea :is({ERROR}, {STDERR})").all_inner_texts()
        return shown + self.faults

    def stored(self, path: str) -> dict:
        """Return a notebook as it lies in the learner's folder."""
        return json.loads((self.server.folder / path).read_text(encoding="utf-8"))

    def foreign_requests(self) -> list[str]:
        """Return every address outside this computer that the page asked for."""
        base = self.server.address.split("/lab/")[0]
        local = (base, base.replace("http", "ws", 1), "data:", "blob:")
        return [url for url in self.asked if not url.startswith(local)]

    def picture(self, name: str) -> Path:
        """Save a picture of the page and return its path."""
        PICTURES.mkdir(exist_ok=True)
        path = PICTURES / f"{name}.png"
        self.page.screenshot(path=str(path))
        return path

    # Waiting

    def wait_until_idle(self, seconds: float = 90) -> Lab:
        """Wait until no cell is waiting or running and the kernel rests."""
        end = time.monotonic() + seconds
        quiet = 0
        while quiet < 3:
            if time.monotonic() > end:
                raise TimeoutError(f"the notebook did not come to rest in {seconds:.0f} seconds")
            self.page.wait_for_timeout(250)
            quiet = quiet + 1 if self._rests() else 0
        return self

    def _rests(self) -> bool:
        waiting = self.notebook.locator(".jp-InputArea-prompt", has_text="[*]").count()
        status = self.notebook.locator(".jp-Notebook-ExecutionIndicator").first.get_attribute("data-status")
        return waiting == 0 and status == "idle"

    def _settled(self) -> None:
        self.notebook.locator(".jp-Notebook-cell").first.wait_for()
        self.wait_until_idle()
